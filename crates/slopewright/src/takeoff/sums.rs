//! Lines of the whole roof: lines of its parts added up, like with like.

use smol_str::SmolStr;

use super::lines::Line;
use crate::quantity::figure;
use crate::reason::{IntoText as _, Working, joined, said};

/// One line for each kind of thing, in the order in which they first come. Like is what has one item and one format.
pub(super) fn of(lines: &[Line], formula: &'static str) -> Vec<Line> {
    let mut kinds: Vec<Vec<&Line>> = Vec::new();
    for line in lines {
        let is_like =
            |other: &&Line| other.part == line.part && other.item == line.item && other.format == line.format;
        match kinds.iter_mut().find(|kind| kind.first().is_some_and(is_like)) {
            Some(kind) => kind.push(line),
            None => kinds.push(vec![line]),
        }
    }
    kinds.iter().filter_map(|parts| added(parts, formula)).collect()
}

fn added(parts: &[&Line], formula: &'static str) -> Option<Line> {
    let first = parts.first()?;
    let count = parts.iter().map(|part| part.count).sum();
    let length_m = parts.iter().map(|part| part.length_m).sum();
    let metres = |length| figure(length, 2).with("m");
    let counts = || joined(parts.iter().filter_map(|part| part.count), " + ");
    let lengths = || joined(parts.iter().filter_map(|part| part.length_m).map(|m| figure(m, 2)), " + ");
    let (numbers, result) = match (count, length_m) {
        (Some(count), None) => (counts(), said!("{count}")),
        (Some(count), Some(length)) => (counts(), said!("{count}, {}", metres(length))),
        (None, Some(length)) => (lengths(), metres(length).into_text()),
        (None, None) => <(SmolStr, SmolStr)>::default(),
    };
    let Working { rule, source, .. } = &first.working;
    let working = Working::new("in all", formula, numbers, result).by(rule, source);
    let mut total = Line::new("", first.part, &first.item, &first.format, working);
    (total.count, total.length_m) = (count, length_m);
    total.area_m2 = parts.iter().map(|part| part.area_m2).sum();
    total.mass_kg = parts.iter().map(|part| part.mass_kg).sum();
    Some(total)
}
