//! Lead in strips: pieces of at most a length, laps, area and mass by code.

use smol_str::SmolStr;

use super::super::lengths::Sold;
use super::super::lines::{Line, Part};
use super::{EdgeRun, Pieces, laid, line, metres, millimetres};
use crate::quantity::figure;
use crate::reason::{IntoText, Working, said};
use crate::rules::LeadCode;

/// A strip of lead of one width, in pieces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeadStrip {
    /// The code.
    pub code: u32,
    /// Its width, in metres.
    pub width_m: f64,
    /// Its pieces.
    pub pieces: Pieces,
    /// Its area, laps included, in square metres.
    pub area_m2: f64,
    /// Its mass, in kilograms.
    pub mass_kg: f64,
}

impl LeadStrip {
    /// Lead of a code and width along a length, in the fewest pieces.
    #[must_use]
    pub fn of(lead: &LeadCode, width_m: f64, pieces: Pieces) -> Self {
        let area_m2 = pieces.area_m2(width_m);
        Self { code: lead.code, width_m, pieces, area_m2, mass_kg: area_m2 * lead.mass_per_m2().value }
    }

    /// The line of the strip.
    pub(super) fn line(
        &self,
        run: &EdgeRun,
        part: Part,
        item: &'static str,
        lead: &LeadCode,
        rule: impl IntoText,
        source: SmolStr,
    ) -> Line {
        let pieces = self.pieces;
        let working = Working::new(
            item,
            "length + a lap for each piece after the first; area x mass by code",
            said!(
                "{} in {} pieces of at most {}, laps of {}; {} x {} x {} kg/m2",
                laid(run),
                pieces.count,
                metres(pieces.most_m),
                millimetres(pieces.lap_m),
                metres(pieces.sheet_m),
                metres(self.width_m),
                figure(lead.mass_per_m2().value, 2)
            ),
            said!("{}, {} kg", metres(pieces.sheet_m), figure(self.mass_kg, 1)),
        )
        .by(rule, source);
        let sold_as = said!("lead code {}, {} wide", self.code, millimetres(self.width_m));
        let mut line = line(run, part, said!("{item}, {sold_as}"), "", working)
            .count(pieces.count.into())
            .length(pieces.sheet_m)
            .area(self.area_m2)
            .cut_into(sold_as, Sold::Lead, pieces.lengths_m());
        line.mass_kg = Some(self.mass_kg);
        line
    }
}
