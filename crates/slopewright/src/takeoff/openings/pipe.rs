//! The flashing of a pipe: one piece with a sleeve, its base by the pipe and the pitch.

use core::f64::consts::PI;

use super::lines::OpeningLines;
use super::{OpeningTakeOff, lines::PRACTICE};
use crate::catalogue::Figure;
use crate::quantity::{Length, LengthIn as _, figure};
use crate::reason::Working;
use crate::rules::{LeadCode, PipeLaps};
use crate::takeoff::{SlopeTakeOff, TakeOff};

/// A lead slate, or another one-piece flashing, round a pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PipeSlate {
    /// The width of the pipe, in metres.
    pub pipe_m: f64,
    /// The side of its square base, in metres.
    pub base_m: f64,
    /// Base and sleeve together, in square metres.
    pub area_m2: f64,
}

impl PipeSlate {
    /// The slate round a pipe, square: the larger of what its laps to the sides and to head and foot ask for.
    #[must_use]
    pub fn of(pipe: Length, laps: &PipeLaps) -> Self {
        let lap_m = laps.side.value.m().max(laps.head.value.m());
        let pipe_m = pipe.m();
        let base_m = 2.0_f64.mul_add(lap_m, pipe_m);
        Self { pipe_m, base_m, area_m2: base_m.mul_add(base_m, PI * pipe_m * laps.sleeve.value.m()) }
    }

    /// Its mass in lead of a code, in kilograms.
    #[must_use]
    pub fn mass_kg(&self, lead: &LeadCode) -> f64 {
        self.area_m2 * lead.mass_per_m2().value
    }
}

impl SlopeTakeOff {
    pub(super) fn pipe_lines(
        &self,
        found: &OpeningTakeOff<'_>,
        roof: &TakeOff,
        lead: Option<&LeadCode>,
        lines: &mut OpeningLines,
    ) {
        let (width_m, _) = found.opening.size_m();
        let pipe = crate::quantity::m(width_m);
        let lead_words = lead.map_or_else(String::new, |lead| format!(", lead code {}", lead.code));
        let laps = roof.opening_rules.as_deref().and_then(|rules| rules.pipe_laps(&self.layout.slope));
        let Some(laps) = laps else {
            let item = format!("pipe flashing{lead_words}, pipe {} mm", figure(pipe.mm(), 0));
            let working = Working::new("flashing of a pipe", "one piece with its sleeve", "", "1").by(
                "no published size is known here for a pitch as flat as this: its maker's figure holds",
                PRACTICE,
            );
            lines.buy(found, self.opening_line(item, working).count(1));
            return;
        };
        let slate = PipeSlate::of(pipe, laps);
        let base = figure(slate.base_m * 1000.0, 0);
        let item = format!("pipe flashing{lead_words}, {base} x {base} mm, pipe {} mm", figure(pipe.mm(), 0));
        let shown = |lap: &Figure<Length>| figure(lap.value.mm(), 0);
        let mut numbers = format!(
            "{} mm + 2 x the larger of {} and {} mm",
            figure(pipe.mm(), 0),
            shown(&laps.side),
            shown(&laps.head)
        );
        if let Some(lead) = lead {
            numbers = format!(
                "{numbers}; base and a sleeve of {} mm, {} m2 x {} kg/m2",
                shown(&laps.sleeve),
                figure(slate.area_m2, 3),
                figure(lead.mass_per_m2().value, 2)
            );
        }
        let working = Working::new(
            "flashing of a pipe",
            "one piece with its sleeve; a square base, the pipe and its laps past it",
            numbers,
            format!("1 of {base} x {base} mm"),
        )
        .by("laps past a pipe by pitch", laps.side.citation());
        let mut line = self.opening_line(item, working).count(1).area(slate.area_m2);
        line.mass_kg = lead.map(|lead| slate.mass_kg(lead));
        lines.buy(found, line);
    }
}
