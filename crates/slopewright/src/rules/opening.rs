//! Gaps round openings by their kind, and the lengths that work round them goes by.

use super::{Rules, table};
use crate::catalogue::Figure;
use crate::error::Fault;
use crate::quantity::{Length, limit};

/// How far the covering stays away from an opening of a kind, unless the survey says otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningClearances {
    /// The word of the kind.
    pub kind: String,
    /// Below it.
    pub below: Figure<Length>,
    /// Above it.
    pub above: Figure<Length>,
    /// To its left and right.
    pub beside: Figure<Length>,
}

/// Lengths that work round openings goes by.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningWork {
    /// The least distance of timber from a brick flue.
    pub flue_clearance: Figure<Length>,
    /// The step by which places of an opening are tried.
    pub move_step: Figure<Length>,
    /// Openings of a row whose levels differ by no more are level.
    pub level_tolerance: Figure<Length>,
    /// How far an apron or a back gutter goes on past each corner of a chimney.
    pub past_corner: Figure<Length>,
    /// Nails in each hole of a hanger.
    pub nails_per_hole: Figure<u32>,
    /// The width of the apron below a chimney or the front of a dormer.
    pub apron_width: Figure<Length>,
    /// The width of the back gutter of a chimney.
    pub back_gutter_width: Figure<Length>,
    /// Rafters side by side under the cheek of a dormer.
    pub cheek_rafters: Figure<u32>,
}

impl Rules {
    /// The gaps round an opening of this kind, by its word.
    #[must_use]
    pub fn opening_clearances(&self, kind: &str) -> Option<&OpeningClearances> {
        self.openings.iter().find(|opening| opening.kind == kind)
    }

    /// The lengths that work round openings goes by.
    #[must_use]
    pub const fn opening_work(&self) -> Option<&OpeningWork> {
        self.opening_work.as_ref()
    }
}

const TEXT: &str = include_str!("../../data/rules/openings.toml");

pub(super) fn read_clearances(faults: &mut Vec<Fault>) -> Vec<OpeningClearances> {
    table::read(TEXT, "opening", &["opening-work"], faults, |entry| {
        let kind = entry.text("kind");
        let kind = entry.needed("kind", kind);
        let mut gap = |field| {
            let found = entry.length(field, limit::overhang);
            entry.needed(field, found)
        };
        let below = gap("clearance-below");
        let above = gap("clearance-above");
        let beside = gap("clearance-beside");
        Some(OpeningClearances { kind: kind?, below: below?, above: above?, beside: beside? })
    })
}

pub(super) fn read_work(faults: &mut Vec<Fault>) -> Option<OpeningWork> {
    let rows = table::read(TEXT, "opening-work", &["opening"], faults, |entry| {
        let mut length = |field, within| {
            let found = entry.length(field, within);
            entry.needed(field, found)
        };
        let flue_clearance = length("flue-clearance", limit::overhang);
        let move_step = length("move-step", limit::move_step);
        let level_tolerance = length("level-tolerance", limit::overhang);
        let past_corner = length("past-corner", limit::overhang);
        let apron_width = length("apron-width", limit::flashing_width);
        let back_gutter_width = length("back-gutter-width", limit::flashing_width);
        let cheek_rafters = entry.count("cheek-rafters");
        let cheek_rafters = entry.needed("cheek-rafters", cheek_rafters);
        let nails_per_hole = entry.count("nails-per-hole");
        let nails_per_hole = entry.needed("nails-per-hole", nails_per_hole);
        Some(OpeningWork {
            flue_clearance: flue_clearance?,
            move_step: move_step?,
            level_tolerance: level_tolerance?,
            past_corner: past_corner?,
            nails_per_hole: nails_per_hole?,
            apron_width: apron_width?,
            back_gutter_width: back_gutter_width?,
            cheek_rafters: cheek_rafters?,
        })
    });
    rows.into_iter().next()
}
