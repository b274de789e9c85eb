//! Lead sheet by code, and the few lengths that lead work goes by.

use super::{Rules, table};
use crate::catalogue::Figure;
use crate::error::Fault;
use crate::quantity::{CoverMass, Length, LengthIn as _, Limit, kg_per_m2, limit};

/// A code of rolled lead sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct LeadCode {
    /// The code: about the pounds in a square foot.
    pub code: u32,
    /// Thickness.
    pub thickness: Figure<Length>,
    /// Density in kg/m3.
    pub density: Figure<f64>,
    /// The colour it is marked with.
    pub colour: String,
    /// What it is usually taken for.
    pub typical: String,
    /// The longest piece, where one is given.
    pub piece_most: Option<Figure<Length>>,
}

impl LeadCode {
    /// Mass per area: thickness times density.
    #[must_use]
    pub fn mass_per_m2(&self) -> CoverMass {
        kg_per_m2(self.thickness.value.m() * self.density.value)
    }
}

/// Lengths that lead work goes by.
#[derive(Debug, Clone, PartialEq)]
pub struct LeadWork {
    /// The thinnest code for flashings.
    pub flashing_code_least: Figure<u32>,
    /// The thinnest code for soakers.
    pub soaker_code_least: Figure<u32>,
    /// The longest piece of flashing.
    pub flashing_piece_most: Figure<Length>,
    /// Lap of one piece over the next.
    pub flashing_lap: Figure<Length>,
    /// How far a flashing is tucked into a joint of the wall.
    pub flashing_tuck: Figure<Length>,
    /// The widest spacing of the wedges.
    pub wedge_spacing_most: Figure<Length>,
    /// Soaker length beyond gauge and headlap.
    pub soaker_addition: Figure<Length>,
    /// Soaker up the wall.
    pub soaker_upstand: Figure<Length>,
    /// Soaker under the units.
    pub soaker_under: Figure<Length>,
}

impl Rules {
    /// The lead of a code.
    #[must_use]
    pub fn lead(&self, code: u32) -> Option<&LeadCode> {
        self.lead.iter().find(|lead| lead.code == code)
    }

    /// Every code.
    #[must_use]
    pub fn lead_codes(&self) -> &[LeadCode] {
        &self.lead
    }

    /// The lengths that lead work goes by.
    #[must_use]
    pub const fn lead_work(&self) -> Option<&LeadWork> {
        self.lead_work.as_ref()
    }
}

const TEXT: &str = include_str!("../../data/rules/lead.toml");
const SHEET: Limit =
    Limit { name: "sheet", label: "the thickness of a sheet", unit: "m", least: 0.0005, most: 0.01 };

pub(super) fn read_codes(faults: &mut Vec<Fault>) -> Vec<LeadCode> {
    table::read(TEXT, "lead", &["lead-work"], faults, |entry| {
        let code = entry.count("code");
        let code = entry.needed("code", code);
        let thickness = entry.length("thickness", SHEET);
        let thickness = entry.needed("thickness", thickness);
        let density = entry.number("density", "kg/m3");
        let density = entry.needed("density", density);
        let colour = entry.text("colour");
        let colour = entry.needed("colour", colour);
        let typical = entry.text("typical").unwrap_or_default();
        let piece_most = entry.length("piece-most", limit::slope_length);
        Some(LeadCode {
            code: code?.value,
            thickness: thickness?,
            density: density?,
            colour: colour?,
            typical,
            piece_most,
        })
    })
}

pub(super) fn read_work(faults: &mut Vec<Fault>) -> Option<LeadWork> {
    let rows = table::read(TEXT, "lead-work", &["lead"], faults, |entry| {
        let flashing_code_least = entry.count("flashing-code-least");
        let soaker_code_least = entry.count("soaker-code-least");
        let mut length = |field| {
            let found = entry.length(field, limit::gauge);
            entry.needed(field, found)
        };
        let flashing_piece_most = length("flashing-piece-most");
        let flashing_lap = length("flashing-lap");
        let flashing_tuck = length("flashing-tuck");
        let wedge_spacing_most = length("wedge-spacing-most");
        let soaker_addition = length("soaker-addition");
        let soaker_upstand = length("soaker-upstand");
        let soaker_under = length("soaker-under");
        Some(LeadWork {
            flashing_code_least: entry.needed("flashing-code-least", flashing_code_least)?,
            soaker_code_least: entry.needed("soaker-code-least", soaker_code_least)?,
            flashing_piece_most: flashing_piece_most?,
            flashing_lap: flashing_lap?,
            flashing_tuck: flashing_tuck?,
            wedge_spacing_most: wedge_spacing_most?,
            soaker_addition: soaker_addition?,
            soaker_upstand: soaker_upstand?,
            soaker_under: soaker_under?,
        })
    });
    rows.into_iter().next()
}
