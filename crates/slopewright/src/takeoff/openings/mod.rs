//! Openings: the units each of them takes away and has cut, and what is laid round it.
//!
//! Everything here is worked out when somebody asks: a take-off that nobody asks for its openings does not pay for
//! them.

mod findings;
mod lead;
mod lines;
mod rules;
mod timber_lines;
mod units;

pub use lead::{LeadPieces, SideLengths};
pub(super) use rules::OpeningRules;
pub use units::{CourseLoss, OpeningUnits};

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
    /// Extra battens at its sill and head: level, left end and right end, in metres.
    pub extra_battens: [(f64, f64, f64); 2],
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
                extra_battens: self.extra_battens(opening),
                sides: SideLengths::of(opening, roof.opening_rules.as_deref()),
                timbers: OpeningTimbers::count(self, opening, roof),
            })
            .collect()
    }

    /// A row of batten under the sill and one over the head, each from the last rafter before the opening to the first
    /// one after it, or as wide as the opening where the rafters are not known.
    fn extra_battens(&self, opening: &Opening) -> [(f64, f64, f64); 2] {
        let (low, high) = opening.bounds();
        let (first, last) = crate::survey::outline::bounds(&self.slope.outline());
        let (from, to) = self.battens.rafters.map_or((low.u, high.u), |rafters| {
            let steps = |at: f64| (at - rafters.first_m) / rafters.spacing_m;
            let centre = |step: f64| step.mul_add(rafters.spacing_m, rafters.first_m);
            (centre(steps(low.u).floor()), centre(steps(high.u).ceil()))
        });
        let (from, to) = (from.max(first.u), to.min(last.u));
        [(low.v, from, to), (high.v, from, to)]
    }
}

/// The length round an opening, in metres.
pub(super) fn perimeter_m(opening: &Opening) -> f64 {
    edges(&opening.outline).map(|(a, b)| b.minus(a).length()).sum()
}
