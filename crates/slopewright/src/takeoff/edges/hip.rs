//! Hips: ridge tiles by cover, hip tiles one to a course, or the covering mitred over soakers.

use smol_str::{SmolStr, ToSmolStr as _};

use std::sync::Arc;

use super::super::lines::{Line, Part};
use super::capping::{self, Made, bedding_line};
use super::{EdgeRun, RoofEdges, Soakers, citations, laid, line, metres, millimetres};
use crate::catalogue::{EdgeUnit, Pace};
use crate::quantity::{Length, LengthIn as _, Pitch, figure};
use crate::reason::{Working, said};
use crate::survey::{HipMake, UnitLaying};

/// Hip tiles for a metre of hip, one to a course: two slopes of one pitch at a square corner.
///
/// ```
/// use slopewright::quantity::{Pitch, mm};
/// use slopewright::takeoff::hip_units_per_metre;
/// let at = |degrees| hip_units_per_metre(mm(100.0), Pitch::from_degrees(degrees).unwrap());
/// // Worked out by hand: at 45 degrees the hip goes 122.5 mm for 100 mm up the slope.
/// assert!((at(45.0) - 8.165).abs() < 5e-4);
/// ```
#[must_use]
pub fn hip_units_per_metre(gauge: Length, pitch: Pitch) -> f64 {
    // Along the hip, one metre of run on the slope becomes the hip factor over the slope factor.
    pitch.slope_factor() / (pitch.hip_factor() * gauge.m())
}

/// Hip tiles, one to a course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HipUnits {
    /// Units: the courses of the side that has more.
    pub units: u32,
    /// Nails: one in each, or those stated.
    pub fixings: u32,
    /// What the length gives at the gauge, as a check: not rounded.
    pub by_length: Option<f64>,
}

impl HipUnits {
    /// The hip tiles of a run.
    #[must_use]
    pub fn of(run: &EdgeRun, fixings_each: Option<u32>) -> Self {
        let units = run.courses();
        Self {
            units,
            fixings: units.saturating_mul(fixings_each.unwrap_or(1)),
            by_length: run.gauge_along_m().map(|along| run.length_m / along),
        }
    }
}

/// A hip without units: the covering cut to the line, a soaker under each course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MitredHip {
    /// The soakers.
    pub soakers: Soakers,
}

impl MitredHip {
    /// The soakers of a run: one under each course, reaching `each_side_m` to both sides of the line.
    #[must_use]
    pub fn of(run: &EdgeRun, each_side_m: f64, addition_m: f64, mass_per_m2: f64) -> Option<Self> {
        let side = run.side_with_more()?;
        // Along the hip a course is longer than up the slope.
        let stretch = run.gauge_along_m()? / side.gauge_m;
        let length_m = (side.gauge_m + side.headlap_m).mul_add(stretch, addition_m);
        Some(Self { soakers: Soakers::new(run.courses(), length_m, 2.0 * each_side_m, mass_per_m2) })
    }
}

/// The unit of a hip: the survey's, or the default for the covering.
pub(super) fn unit<'a>(edges: &'a RoofEdges, run: &EdgeRun) -> Option<&'a Arc<EdgeUnit>> {
    let hip = &edges.choice.hip;
    let families = edges.by_default.as_ref().map_or(&[][..], |rule| &rule.hip_unit_families);
    let has_own = run.sides.first().is_some_and(|side| families.contains(&side.covering.family));
    let default = if has_own { hip.default_unit.as_ref() } else { None };
    hip.unit.as_ref().or(default).or(edges.choice.ridge.unit.as_ref())
}

pub(super) fn lines(edges: &RoofEdges, run: &EdgeRun, lines: &mut Vec<Line>) {
    let hip = &edges.choice.hip;
    if hip.make == HipMake::Mitred {
        mitred_lines(edges, run, lines);
        return;
    }
    let Some(unit) = unit(edges, run) else { return };
    let made = Made {
        part: Part::Hips,
        noun: "hip",
        unit,
        is_stated: hip.unit.is_some(),
        laying: hip.laying,
        fixings_each: hip.fixings_each,
    };
    if unit.pace == Pace::Course {
        course_lines(edges, run, &made, lines);
    } else if capping::lines(edges, run, &made, lines) && hip.laying == UnitLaying::Bedded {
        let working = Working::new("hip irons", "one at the foot of each hip", "", "1")
            .by("holds the first unit", "common practice, no source");
        lines.push(line(run, Part::Hips, "hip irons", "", working).count(1));
    }
}

fn course_lines(edges: &RoofEdges, run: &EdgeRun, made: &Made<'_>, lines: &mut Vec<Line>) {
    let found = HipUnits::of(run, made.fixings_each);
    let check = found.by_length.map_or_else(SmolStr::default, |by_length| {
        said!("; by the length {} / {} = {}", metres(run.length_m), along(run), figure(by_length, 1))
    });
    let courses: Vec<SmolStr> = run.sides.iter().map(|side| side.courses.to_smolstr()).collect();
    let working = Working::new(
        "hip units",
        "one to a course, of the side that has more",
        said!("courses {}{check}", courses.join(" and ")),
        found.units.to_smolstr(),
    )
    .by(
        if made.is_stated { "stated by the survey" } else { "by default on this covering: state your own" },
        made.unit.source.citation(),
    );
    let mass = made.unit.mass.as_ref().map(|mass| mass.value);
    lines.push(
        line(run, made.part, said!("hip units, {}", made.unit.name), &made.unit.key, working)
            .count(found.units.into())
            .mass_each(mass),
    );
    if made.laying == UnitLaying::Bedded {
        bedding_line(edges, run, made.part, "hip", run.laid_m, "under each unit, along the hip", lines);
    }
    let working = Working::new(
        "fixings",
        "units x fixings each",
        said!("{} x {}", found.units, made.fixings_each.unwrap_or(1)),
        found.fixings.to_smolstr(),
    )
    .by(
        "hip units are fixed mechanically as well; a count, not a wind specification",
        citations([
            edges.by_default.as_ref().map(|rule| rule.mortar_sand_parts.source.citation()),
            Some(SmolStr::new_static("their number: common practice, no source")),
        ]),
    );
    lines.push(line(run, made.part, "hip fixings", "", working).count(found.fixings.into()));
}

fn along(run: &EdgeRun) -> SmolStr {
    run.gauge_along_m().map_or_else(SmolStr::default, |along| said!("{} for each course", millimetres(along)))
}

fn mitred_lines(edges: &RoofEdges, run: &EdgeRun, lines: &mut Vec<Line>) {
    let (Some(along), Some(work), Some(lead)) = (&edges.along, &edges.lead_work, &edges.soaker_lead) else {
        return;
    };
    let each_side = &along.hip_soaker;
    let mass = lead.mass_per_m2().value;
    let Some(hip) = MitredHip::of(run, each_side.value.m(), work.soaker_addition.value.m(), mass) else {
        return;
    };
    let working = Working::new(
        "soakers",
        "one under each course; length (gauge + headlap) along the hip + addition",
        said!("{} courses, {} {}", hip.soakers.count, laid(run), "of hip"),
        hip.soakers.count.to_smolstr(),
    )
    .by(
        said!("{} to each side of the line", millimetres(each_side.value.m())),
        citations([Some(each_side.citation()), Some(work.soaker_addition.citation())]),
    );
    lines.push(hip.soakers.line(run, Part::Hips, "hip soakers", lead, working));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::mm;

    #[test]
    fn hip_units_to_the_metre() {
        // Worked out apart from this code (1000 / (gauge x root of 1 + cos squared)), to two decimals.
        for (degrees, expected) in [(35.0, 7.74), (40.0, 7.94), (45.0, 8.16)] {
            let found = hip_units_per_metre(mm(100.0), Pitch::from_degrees(degrees).unwrap());
            assert!((found - expected).abs() < 0.006, "{degrees}: {found}");
        }
    }
}
