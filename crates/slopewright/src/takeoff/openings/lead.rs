//! The sides of an opening, and lead round it in pieces.

use super::rules::OpeningRules;
use crate::quantity::{LengthIn, whole_up};
use crate::rules::{LeadCode, LeadWork};
use crate::survey::{Opening, OpeningKind};

/// The lengths of the sides of an opening that a flashing goes along, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideLengths {
    /// Along the sill, with what goes on past the corners.
    pub sill_m: f64,
    /// Up one jamb.
    pub jamb_m: f64,
    /// Along the head, with what goes on past the corners.
    pub head_m: f64,
    /// What goes on past each corner.
    pub past_corner_m: f64,
}

impl SideLengths {
    /// The sides of an opening, of the rectangle round it if it is none. At a chimney and a dormer what lies along sill and
    /// head goes on past the corners.
    pub(super) fn of(opening: &Opening, rules: Option<&OpeningRules>) -> Self {
        let (width, height) = opening.size_m();
        let by_rule = rules
            .and_then(|rules| rules.work.as_ref())
            .filter(|_| matches!(opening.kind, OpeningKind::Chimney | OpeningKind::Dormer))
            .map(|work| work.past_corner.value);
        let past_corner_m = opening.flashing.past_corner.or(by_rule).map_or(0.0, LengthIn::m);
        let across = 2.0_f64.mul_add(past_corner_m, width);
        Self { sill_m: across, jamb_m: height, head_m: across, past_corner_m }
    }

    /// All four sides.
    #[must_use]
    pub fn round_m(&self) -> f64 {
        2.0_f64.mul_add(self.jamb_m, self.sill_m + self.head_m)
    }
}

/// A length of lead in pieces that lap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeadPieces {
    /// How many.
    pub pieces: u32,
    /// Their lengths together, laps counted twice, in metres.
    pub length_m: f64,
    /// The longest that one may be, in metres.
    pub longest_m: f64,
}

impl LeadPieces {
    /// The fewest pieces no longer than `longest_m` that cover a length with laps of `lap_m`.
    #[must_use]
    pub fn for_length(length_m: f64, longest_m: f64, lap_m: f64) -> Self {
        /// A piece does for a length that is longer by less.
        const TOLERANCE: f64 = 1e-6;
        if length_m <= TOLERANCE {
            return Self { pieces: 0, length_m: 0.0, longest_m };
        }
        let each = longest_m - lap_m;
        let pieces = if each > 0.0 { whole_up((length_m - lap_m - TOLERANCE) / each).max(1) } else { 1 };
        Self { pieces, length_m: f64::from(pieces - 1).mul_add(lap_m, length_m), longest_m }
    }

    /// The length of each, in metres: as long as they may be, and a rest.
    #[must_use]
    pub fn lengths_m(&self) -> Vec<f64> {
        let whole = self.pieces.saturating_sub(1);
        let rest = self.length_m - if whole > 0 { f64::from(whole) * self.longest_m } else { 0.0 };
        core::iter::repeat_n(self.longest_m, whole as usize)
            .chain((self.pieces > 0).then_some(rest))
            .collect()
    }

    /// As [`LeadPieces::for_length`], by the rule for a code.
    pub(super) fn of_code(length_m: f64, lead: &LeadCode, work: &LeadWork) -> Self {
        let longest = lead.piece_most.as_ref().map_or(f64::INFINITY, |piece| piece.value.m());
        Self::for_length(
            length_m,
            longest.min(work.flashing_piece_most.value.m()),
            work.flashing_lap.value.m(),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_length_round_an_opening() {
        // A window of 0.8 x 1.2 m, and a chimney whose lead goes on 0.1 m past each corner at sill and head.
        let round = |past_corner_m: f64| {
            let across = if past_corner_m > 0.0 { 1.0 } else { 0.8 };
            SideLengths { sill_m: across, jamb_m: 1.2, head_m: across, past_corner_m }.round_m()
        };
        assert!((round(0.0) - 4.0).abs() < 1e-12 && (round(0.1) - 4.4).abs() < 1e-12);
    }

    #[test]
    fn pieces_on_both_sides_of_a_break() {
        // Published limits (NHBC Standards 7.2.20): pieces of 1.5 m at most, laps of 100 mm. By hand: one piece does 1.5 m, two do
        // 2.9 m, three 4.3 m.
        for (length, pieces, lead) in
            [(1.5, 1, 1.5), (1.501, 2, 1.601), (2.9, 2, 3.0), (2.901, 3, 3.101), (0.0, 0, 0.0)]
        {
            let found = LeadPieces::for_length(length, 1.5, 0.1);
            assert_eq!(found.pieces, pieces, "{length}");
            assert!((found.length_m - lead).abs() < 1e-12, "{length}: {}", found.length_m);
        }
    }
}
