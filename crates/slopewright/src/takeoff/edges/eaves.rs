//! Eaves: what lifts the first course and carries the underlay into the gutter.

use super::super::lengths::Sold;
use super::super::lines::{Line, Part};
use super::{EdgeRun, Pieces, RoofEdges, laid, line, metres, millimetres};
use crate::quantity::LengthIn as _;
use crate::reason::{Working, said};
use crate::survey::EavesSupport;

/// What an eaves takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EavesWork {
    /// Tilting fillet, in metres.
    pub fillet_m: f64,
    /// Support trays.
    pub trays: Option<Pieces>,
    /// Comb under the first course, in metres.
    pub comb_m: f64,
}

impl EavesWork {
    /// The eaves of a run: a fillet, or trays of a length with a lap; a comb where one is wanted.
    #[must_use]
    pub fn of(run: &EdgeRun, trays: Option<(f64, f64)>, comb: bool) -> Self {
        Self {
            fillet_m: if trays.is_some() { 0.0 } else { run.laid_m },
            trays: trays.and_then(|(length_m, lap_m)| Pieces::of(run.laid_m, length_m, lap_m)),
            comb_m: if comb { run.laid_m } else { 0.0 },
        }
    }
}

pub(super) fn lines(edges: &RoofEdges, run: &EdgeRun, lines: &mut Vec<Line>) {
    let choice = &edges.choice.eaves;
    let Some(rule) = &edges.by_default else { return };
    let trays =
        (choice.support == EavesSupport::Tray).then(|| (rule.tray_length.value.m(), rule.tray_lap.value.m()));
    let found = EavesWork::of(run, trays, choice.comb.unwrap_or_else(|| run.is_single_lap()));
    if found.fillet_m > 0.0 {
        let working = Working::new("tilting fillet", "length", laid(run), metres(found.fillet_m)).by(
            "lifts the first course; the underlay lies on it into the gutter",
            "common practice, no source",
        );
        let line = line(run, Part::Eaves, "tilting fillet", "", working).length(found.fillet_m);
        lines.push(line.cut_into("tilting fillet", Sold::Fillets, vec![found.fillet_m]));
    }
    if let Some(trays) = found.trays {
        let working = Working::new(
            "support trays",
            "length in trays that lap",
            said!("{} in trays of {}, laps of {}", laid(run), metres(trays.most_m), millimetres(trays.lap_m)),
            said!("{} trays", trays.count),
        )
        .by("carry the underlay into the gutter", rule.tray_length.citation());
        lines.push(
            line(run, Part::Eaves, "underlay support trays", "", working)
                .count(trays.count.into())
                .length(run.laid_m),
        );
    }
    if found.comb_m > 0.0 {
        let working = Working::new("comb", "length", laid(run), metres(found.comb_m))
            .by("closes the hollows under the first course to birds", "common practice, no source");
        lines.push(line(run, Part::Eaves, "eaves comb", "", working).length(found.comb_m));
    }
}
