//! Lines of the whole roof: lines of its parts added up, like with like.

use smol_str::SmolStr;

use super::lines::Line;
use crate::quantity::figure;
use crate::reason::{IntoText as _, Working, joined, said};

/// One line for each kind of thing, in the order in which they first come. Like is what has one item and one format.
pub(super) fn of(lines: &[Line], formula: &'static str) -> Vec<Line> {
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

fn added(mut total: Line, parts: &[&Line], formula: &'static str) -> Line {
    total.count = parts.iter().map(|part| part.count).sum();
    total.length_m = parts.iter().map(|part| part.length_m).sum();
    total.area_m2 = parts.iter().map(|part| part.area_m2).sum();
    total.mass_kg = parts.iter().map(|part| part.mass_kg).sum();
    let metres = |length| figure(length, 2).with("m");
    let counts = || joined(parts.iter().filter_map(|part| part.count), " + ");
    let lengths = || joined(parts.iter().filter_map(|part| part.length_m).map(|m| figure(m, 2)), " + ");
    let (numbers, result) = match (total.count, total.length_m) {
        (Some(count), None) => (counts(), said!("{count}")),
        (Some(count), Some(length)) => (counts(), said!("{count}, {}", metres(length))),
        (None, Some(length)) => (lengths(), metres(length).into_text()),
        (None, None) => <(SmolStr, SmolStr)>::default(),
    };
    total.working = Working::new("in all", formula, numbers, result);
    if let Some(first) = parts.first() {
        total.working.rule.clone_from(&first.working.rule);
        total.working.source.clone_from(&first.working.source);
    }
    total
}
