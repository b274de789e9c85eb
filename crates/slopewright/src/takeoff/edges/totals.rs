//! The edges of the whole roof: the lines of its runs added up, like with like.

use super::super::lines::Line;
use crate::quantity::figure;
use crate::reason::Working;

/// One line for each kind of thing, in the order in which they first come.
pub(super) fn of(lines: &[Line]) -> Vec<Line> {
    let mut totals: Vec<(Line, Vec<&Line>)> = Vec::new();
    for line in lines {
        let same = totals.iter_mut().find(|(total, _)| {
            total.part == line.part && total.item == line.item && total.format == line.format
        });
        match same {
            Some((_, parts)) => parts.push(line),
            None => totals.push((
                Line::new("", line.part, line.item.clone(), &line.format, Working::new("in all", "", "", "")),
                vec![line],
            )),
        }
    }
    totals.into_iter().map(|(total, parts)| added(total, &parts)).collect()
}

fn added(mut total: Line, parts: &[&Line]) -> Line {
    total.count = parts.iter().map(|part| part.count).sum();
    total.length_m = parts.iter().map(|part| part.length_m).sum();
    total.area_m2 = parts.iter().map(|part| part.area_m2).sum();
    total.mass_kg = parts.iter().map(|part| part.mass_kg).sum();
    let (numbers, result) = match (total.count, total.length_m) {
        (Some(count), _) => (
            parts.iter().filter_map(|part| part.count).map(|count| count.to_string()).collect::<Vec<_>>(),
            count.to_string(),
        ),
        (None, Some(length)) => (
            parts.iter().filter_map(|part| part.length_m).map(|length| figure(length, 2)).collect(),
            format!("{} m", figure(length, 2)),
        ),
        (None, None) => (Vec::new(), String::new()),
    };
    total.working =
        Working::new("in all", "sum over the edges, each joint once", numbers.join(" + "), result);
    if let Some(first) = parts.first() {
        total.working.rule.clone_from(&first.working.rule);
        total.working.source.clone_from(&first.working.source);
    }
    total
}
