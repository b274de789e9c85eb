//! Ridges: units by the length they cover.

use smol_str::ToSmolStr as _;

use super::super::lines::{Line, Part};
use super::capping::{self, Made};
use super::{EdgeRun, RoofEdges, line, millimetres};
use crate::quantity::{LengthIn as _, figure};
use crate::reason::{Working, said};

pub(super) fn lines(edges: &RoofEdges, run: &EdgeRun, lines: &mut Vec<Line>) {
    let ridge = &edges.choice.ridge;
    if let Some(unit) = &ridge.unit {
        let made = Made {
            part: Part::Ridge,
            noun: "ridge",
            unit,
            is_stated: ridge.is_stated,
            laying: ridge.laying,
            fixings_each: ridge.fixings_each,
        };
        capping::lines(edges, run, &made, lines);
    }
    if run.ends_at_rakes > 0 {
        saddle_line(edges, run, lines);
    }
}

/// Lead under the last ridge unit, weighed where its size is stated.
fn saddle_line(edges: &RoofEdges, run: &EdgeRun, lines: &mut Vec<Line>) {
    let count = run.ends_at_rakes;
    let formula = "one where the ridge meets hips or valleys";
    let Some(((length, width), lead)) = edges.choice.ridge.saddle_size.zip(edges.saddle_lead.as_ref()) else {
        let working = Working::new("lead saddles", formula, "", count.to_smolstr())
            .by("under the last ridge unit; cut to suit, state its size to have it weighed", PRACTICE);
        lines.push(line(run, Part::Ridge, "lead saddles", "", working).count(count.into()));
        return;
    };
    let area_m2 = f64::from(count) * length.m() * width.m();
    let mass_kg = area_m2 * lead.mass_per_m2().value;
    let size = said!("{} x {}", millimetres(length.m()), millimetres(width.m()));
    let working = Working::new(
        "lead saddles",
        said!("{formula}; length x width x mass by code"),
        said!("{count} x {size} x {} kg/m2", figure(lead.mass_per_m2().value, 2)),
        said!("{count}, {} kg", figure(mass_kg, 1)),
    )
    .by("size stated by the survey", lead.thickness.citation());
    let item = said!("lead saddles, lead code {}, {size}", lead.code);
    let mut line = line(run, Part::Ridge, item, "", working).count(count.into()).area(area_m2);
    line.mass_kg = Some(mass_kg);
    lines.push(line);
}

/// What no text is named for.
const PRACTICE: &str = "common practice, no source";
