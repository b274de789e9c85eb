//! Lines of the whole roof: lines of its parts added up, like with like.

use super::lines::Line;
use crate::quantity::figure;
use crate::reason::Working;

/// One line for each kind of thing, in the order in which they first come. Like is what has one item and one format.
pub(super) fn of(lines: &[Line], formula: &str) -> Vec<Line> {
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
    totals.into_iter().map(|(total, parts)| added(total, &parts, formula)).collect()
}

fn added(mut total: Line, parts: &[&Line], formula: &str) -> Line {
    total.count = parts.iter().map(|part| part.count).sum();
    total.length_m = parts.iter().map(|part| part.length_m).sum();
    total.area_m2 = parts.iter().map(|part| part.area_m2).sum();
    total.mass_kg = parts.iter().map(|part| part.mass_kg).sum();
    let metres = |length| format!("{} m", figure(length, 2));
    let (numbers, result) = match (total.count, total.length_m) {
        (Some(count), length) => (
            parts.iter().filter_map(|part| part.count).map(|count| count.to_string()).collect::<Vec<_>>(),
            length.map_or_else(|| count.to_string(), |length| format!("{count}, {}", metres(length))),
        ),
        (None, Some(length)) => (
            parts.iter().filter_map(|part| part.length_m).map(|length| figure(length, 2)).collect(),
            metres(length),
        ),
        (None, None) => (Vec::new(), String::new()),
    };
    total.working = Working::new("in all", formula, numbers.join(" + "), result);
    if let Some(first) = parts.first() {
        total.working.rule.clone_from(&first.working.rule);
        total.working.source.clone_from(&first.working.source);
    }
    total
}
