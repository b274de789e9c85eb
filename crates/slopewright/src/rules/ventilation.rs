//! Openings for the ventilation of a cold roof with an underlay of high vapour resistance.

use super::steps::Steps;
use super::{Rules, table};
use crate::catalogue::Figure;
use crate::error::Fault;
use crate::quantity::{Length, LengthIn as _, Pitch, SPACE_TOLERANCE_M, limit};

/// Clear gaps along the whole of an edge: 10 mm is 10 000 mm2 for each metre.
#[derive(Debug, Clone, PartialEq)]
pub struct Ventilation {
    /// At the eaves.
    pub eaves: Figure<Length>,
    /// At the ridge, where it is asked for.
    pub ridge: Option<Figure<Length>>,
}

#[derive(Debug, Clone)]
pub(super) struct VentilationTable {
    eaves: Steps<Figure<Length>>,
    ridge: Figure<Length>,
    ridge_over_pitch: Figure<Pitch>,
    ridge_over_span: Figure<Length>,
}

impl Rules {
    /// The gaps for a roof of this pitch and span; `lean_to` if it has one slope only.
    #[must_use]
    pub fn ventilation(&self, pitch: Pitch, span: Length, lean_to: bool) -> Option<Ventilation> {
        let table = self.ventilation.as_ref()?;
        let needs_ridge = lean_to
            || pitch > table.ridge_over_pitch.value
            || span.m() > table.ridge_over_span.value.m() + SPACE_TOLERANCE_M;
        Some(Ventilation {
            eaves: table.eaves.at(pitch)?.clone(),
            ridge: needs_ridge.then(|| table.ridge.clone()),
        })
    }
}

pub(super) fn read(faults: &mut Vec<Fault>) -> Option<VentilationTable> {
    let text = include_str!("../../data/rules/ventilation.toml");
    let rows = table::read(text, "ventilation", &[], faults, |entry| {
        let eaves = Steps::read(entry, |step| {
            let gap = step.length("gap", limit::headlap);
            step.needed("gap", gap)
        });
        let ridge = entry.length("ridge-gap", limit::headlap);
        let ridge_over_pitch = entry.pitch("ridge-over-pitch");
        let ridge_over_span = entry.length("ridge-over-span", limit::slope_length);
        Some(VentilationTable {
            eaves,
            ridge: entry.needed("ridge-gap", ridge)?,
            ridge_over_pitch: entry.needed("ridge-over-pitch", ridge_over_pitch)?,
            ridge_over_span: entry.needed("ridge-over-span", ridge_over_span)?,
        })
    });
    rows.into_iter().next()
}
