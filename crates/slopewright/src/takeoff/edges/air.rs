//! Openings for air at eaves and ridge of a cold roof, by pitch and span.

use super::super::SlopeTakeOff;
use super::super::lines::{Line, Part};
use super::{EdgeRun, line, metres, millimetres};
use crate::quantity::{Length, LengthIn as _, figure, m};
use crate::reason::{Working, said};
use crate::rules::Rules;
use crate::survey::EdgeRole;

/// A gap for air along an edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirGap {
    /// Its length, in metres.
    pub length_m: f64,
    /// Its clear width, in metres.
    pub gap_m: f64,
}

impl AirGap {
    /// The gap of a run; `None` where none is wanted.
    #[must_use]
    pub fn of(run: &EdgeRun) -> Option<Self> {
        let gap = run.air.as_ref()?;
        Some(Self { length_m: run.length_m, gap_m: gap.value.m() })
    }

    /// Its clear area, in square metres.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        self.length_m * self.gap_m
    }
}

/// Gives each eaves and ridge its gap.
pub(super) fn plan(runs: &mut [EdgeRun], slopes: &[SlopeTakeOff], stated: Option<Length>, rules: &Rules) {
    let depth_m = |run: &EdgeRun| -> f64 {
        run.sides
            .iter()
            .filter_map(|side| slopes.get(side.at.slope))
            .map(|slope| {
                let (low, high) = slope.slope.levels_m();
                (high - low) / slope.layout.pitch.slope_factor()
            })
            .sum()
    };
    let ridges = || runs.iter().filter(|run| run.role == EdgeRole::Ridge && run.sides.len() > 1);
    // A roof whose slopes meet at no ridge and no hip has one slope, or slopes stated one by one.
    let meets = runs.iter().any(|run| run.sides.len() > 1);
    let deepest = runs.iter().filter(|run| run.role == EdgeRole::Eaves).map(&depth_m).fold(0.0_f64, f64::max);
    let between_eaves = ridges().map(&depth_m).fold(0.0_f64, f64::max);
    let is_lean_to = !meets && runs.iter().any(|run| run.role == EdgeRole::TopAbutment);
    let span_m = match stated {
        Some(span) => span.m(),
        None if between_eaves > 0.0 => between_eaves,
        None if is_lean_to => deepest,
        None => 2.0 * deepest,
    };
    for run in runs.iter_mut() {
        let steepest = run.sides.iter().map(|side| side.pitch);
        let Some(pitch) = steepest.max_by(|one, other| one.degrees().total_cmp(&other.degrees())) else {
            continue;
        };
        let Some(air) = rules.ventilation(pitch, m(span_m), is_lean_to) else { continue };
        let noted = said!("span {}", metres(span_m));
        run.air = match run.role {
            EdgeRole::Eaves => Some(air.eaves.noted(noted)),
            EdgeRole::Ridge => air.ridge.map(|gap| gap.noted(noted)),
            EdgeRole::TopAbutment if is_lean_to => air.ridge.map(|gap| gap.noted(noted)),
            _ => None,
        };
    }
}

pub(super) fn lines(run: &EdgeRun, lines: &mut Vec<Line>) {
    let (Some(found), Some(figure_of_rule)) = (AirGap::of(run), &run.air) else { return };
    let square_millimetres = found.area_m2() * 1e6;
    let working = Working::new(
        "clear area",
        "length x gap",
        said!("{} x {}", metres(found.length_m), millimetres(found.gap_m)),
        figure(square_millimetres, 0).with("mm2"),
    )
    .by("cold roof, underlay of high vapour resistance, by pitch and span", figure_of_rule.citation());
    let at = run.role.word().replace('-', " ");
    let item = said!("air openings at {at}, {} mm2 a metre", figure(found.gap_m * 1e6, 0));
    lines.push(line(run, Part::Ventilation, item, "", working).length(found.length_m).area(found.area_m2()));
}

#[cfg(test)]
mod tests;
