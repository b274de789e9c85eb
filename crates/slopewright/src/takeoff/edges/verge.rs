//! Verges: bedded on an undercloak, or verge units one to a course.
//!
//! The tile-and-a-half units of a verge are counted with the covering, and its nails with the fixings.

use smol_str::ToSmolStr as _;

use super::super::lengths::Sold;
use super::super::lines::{Line, Part};
use super::capping::bedding_line;
use super::{EdgeRun, Pieces, RoofEdges, citations, laid, line, metres, millimetres};
use crate::quantity::LengthIn as _;
use crate::reason::{Working, said};
use crate::survey::VergeMake;

/// The undercloak of a verge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Undercloak {
    /// Its length, in metres.
    pub length_m: f64,
    /// Its width, in metres.
    pub width_m: f64,
    /// Strips butted end to end.
    pub strips: Pieces,
}

impl Undercloak {
    /// The undercloak of a run.
    #[must_use]
    pub fn of(run: &EdgeRun, width_m: f64, strip_m: f64) -> Option<Self> {
        let strips = Pieces::of(run.laid_m, strip_m, 0.0)?;
        Some(Self { length_m: run.laid_m, width_m, strips })
    }
}

/// Verge units, one to a course.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct VergeUnits {
    /// Units.
    pub units: u32,
}

impl VergeUnits {
    /// The verge units of a run.
    #[must_use]
    pub fn of(run: &EdgeRun) -> Self {
        Self { units: run.courses() }
    }
}

pub(super) fn lines(edges: &RoofEdges, run: &EdgeRun, lines: &mut Vec<Line>) {
    let verge = &edges.choice.verge;
    if verge.make == VergeMake::Units {
        if let Some(unit) = &verge.unit {
            let found = VergeUnits::of(run);
            let hand = if unit.handed { handed(run) } else { "" };
            let working = Working::new(
                "verge units",
                "one to a course",
                said!("{} courses", found.units),
                found.units.to_smolstr(),
            )
            .by("sides are named looking at the slope", unit.source.citation());
            lines.push(
                line(run, Part::Verges, said!("verge units{hand}, {}", unit.name), &unit.key, working)
                    .count(found.units.into())
                    .mass_each(unit.mass.as_ref().map(|mass| mass.value)),
            );
        }
        return;
    }
    let (Some(along), Some(rule)) = (&edges.along, &edges.by_default) else { return };
    let width = &along.undercloak_width;
    let Some(found) = Undercloak::of(run, width.value.m(), rule.undercloak_strip.value.m()) else { return };
    let working = Working::new(
        "undercloak",
        "length, in strips butted end to end",
        said!("{} / {}", laid(run), metres(found.strips.most_m)),
        said!("{} in {} strips", metres(found.length_m), found.strips.count),
    )
    .by(
        said!("{} wide", millimetres(found.width_m)),
        citations([Some(width.citation()), Some(rule.undercloak_strip.citation())]),
    );
    let item = said!("undercloak, {} wide", millimetres(found.width_m));
    lines.push(
        line(run, Part::Verges, item.clone(), "", working)
            .count(found.strips.count.into())
            .length(found.length_m)
            .cut_into(item, Sold::Undercloak, vec![found.length_m]),
    );
    bedding_line(edges, run, Part::Verges, "verge", run.laid_m, "between undercloak and units", lines);
}

/// Which hand a verge is, looking at the slope from its eaves.
fn handed(run: &EdgeRun) -> &'static str {
    match run.edge.as_str() {
        "left" => " left",
        "right" => " right",
        _ => "",
    }
}
