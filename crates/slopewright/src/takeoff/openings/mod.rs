//! Openings: the units each of them takes away and has cut, and what is laid round it.
//!
//! Everything here is worked out when somebody asks: a take-off that nobody asks for its openings does not pay for
//! them.

mod battens;
mod findings;
mod flashing;
mod lead;
mod lines;
mod pipe;
mod rules;
mod sheets;
mod timber_lines;
mod units;
mod wall;

pub use battens::OpeningBatten;
pub use lead::{LeadPieces, SideLengths};
pub(super) use lines::OpeningLines;
pub use pipe::PipeSlate;
pub(super) use rules::OpeningRules;
pub use sheets::{StripUse, UnderlayStrips};
pub use units::{CourseLoss, OpeningUnits};
pub use wall::WallFlashing;

use super::timbers::OpeningTimbers;
use super::{SlopeTakeOff, TakeOff};
use crate::survey::Opening;
use crate::survey::outline::edges;

/// What one opening takes and leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningTakeOff<'a> {
    /// The opening as surveyed.
    pub opening: &'a Opening,
    /// The units lost to it and cut round it.
    pub units: OpeningUnits,
    /// Battens at its sill and head besides the rows of the slope.
    pub battens: Vec<&'a OpeningBatten>,
    /// Strips of underlay turned up its sides and laid round it.
    pub underlay: Vec<&'a UnderlayStrips>,
    /// The lengths of its sides.
    pub sides: SideLengths,
    /// The timbers round it, if the rafters are known and it is not there already.
    pub timbers: Option<OpeningTimbers>,
}

impl SlopeTakeOff {
    /// What each opening of the slope takes and leaves, in the order of the survey.
    #[must_use]
    pub fn openings(&self, roof: &TakeOff) -> Vec<OpeningTakeOff<'_>> {
        self.slope
            .openings
            .iter()
            .enumerate()
            .map(|(at, opening)| OpeningTakeOff {
                opening,
                units: OpeningUnits::count(self, at),
                battens: self.battens.round_openings.iter().filter(|row| row.opening == at).collect(),
                underlay: self
                    .underlay
                    .iter()
                    .flat_map(|underlay| &underlay.round_openings)
                    .filter(|strips| strips.opening == at)
                    .collect(),
                sides: SideLengths::of(opening, roof.opening_rules.as_deref()),
                timbers: OpeningTimbers::count(self, opening, roof),
            })
            .collect()
    }
}

/// The length round an opening, in metres.
pub(super) fn perimeter_m(opening: &Opening) -> f64 {
    edges(&opening.outline).map(|(a, b)| b.minus(a).length()).sum()
}
