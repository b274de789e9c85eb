//! Ridges: units by the length they cover.

use super::super::lines::{Line, Part};
use super::capping::{self, Made};
use super::{EdgeRun, RoofEdges, line};
use crate::reason::Working;

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
        let working = Working::new(
            "lead saddles",
            "one where the ridge meets hips or valleys",
            "",
            run.ends_at_rakes.to_string(),
        )
        .by("under the last ridge unit; cut to suit", "common practice, no source");
        lines.push(line(run, Part::Ridge, "lead saddles", "", working).count(run.ends_at_rakes.into()));
    }
}
