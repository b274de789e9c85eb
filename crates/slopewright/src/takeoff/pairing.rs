//! Two cuts out of one unit: how many units a list of cut pieces takes at the least, where a unit yields two at the most.
//!
//! Two pieces come out of one unit if their bounding widths and the saw cut are no wider than it. Units that are the same
//! to the left and to the right give any two pieces. Single-lap units are not: the side lap is on one side, so that a
//! unit yields one piece that keeps its left side and one that keeps its right side, and never two of one hand; a piece
//! that keeps both sides or neither is not paired there.

use crate::catalogue::Layers;
use crate::quantity::{LengthIn as _, mm};
use crate::setout::Across;
use crate::setout::cells::Run;
use crate::survey::{CutPolicy, Laying};

/// Which side of the unit a cut piece keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keeps {
    /// Its left side: the piece joins a neighbour to its left only.
    Left,
    /// Its right side.
    Right,
    /// Both sides, or neither.
    Other,
}

/// A cut piece of a unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutPiece {
    /// Its bounding width, in cover widths.
    pub width: f64,
    /// Which side of the unit it keeps.
    pub keeps: Keeps,
}

impl CutPiece {
    pub(super) const fn of(run: &Run) -> Self {
        let keeps = match (run.joins_left, run.joins_right) {
            (true, false) => Keeps::Left,
            (false, true) => Keeps::Right,
            _ => Keeps::Other,
        };
        Self { width: run.width, keeps }
    }
}

/// How cut pieces share units on a slope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pairing {
    /// The widest that two pieces may be together, in cover widths: the unit less the saw cut.
    pub room: f64,
    /// Whether a unit yields one piece of each hand only.
    pub is_handed: bool,
}

/// Widths that fit but for a rounding error fit.
const TOLERANCE: f64 = 1e-9;

impl Pairing {
    /// The pairing on a slope, if one is wanted there.
    pub(crate) fn wanted(laying: &Laying, across: &Across) -> Option<Self> {
        if laying.cuts != CutPolicy::Pairs {
            return None;
        }
        let covering = &laying.covering;
        let kerf_m = laying.saw_kerf.unwrap_or_else(|| mm(super::USUAL_KERF_MM)).m();
        let cover_m = across.cover_m;
        let unit_m = covering.width.value.m().min(cover_m);
        Some(Self { room: (unit_m - kerf_m) / cover_m, is_handed: covering.layers == Layers::Single })
    }

    /// The most pairs that can be made of some pieces.
    ///
    /// ```
    /// use slopewright::takeoff::{CutPiece, Keeps, Pairing};
    /// let pieces = [0.3, 0.6, 0.7, 0.2].map(|width| CutPiece { width, keeps: Keeps::Left });
    /// let alike = Pairing { room: 0.98, is_handed: false };
    /// // By hand: 0.3 with 0.6, 0.2 with 0.7.
    /// assert_eq!(alike.pairs(&pieces), 2);
    /// // All keep the left side: with a side lap no two of them come out of one unit.
    /// assert_eq!(Pairing { is_handed: true, ..alike }.pairs(&pieces), 0);
    /// ```
    #[must_use]
    pub fn pairs(&self, pieces: &[CutPiece]) -> u32 {
        let widths = |keeps: Keeps| {
            let mut widths: Vec<f64> =
                pieces.iter().filter(|piece| piece.keeps == keeps).map(|piece| piece.width).collect();
            widths.sort_unstable_by(f64::total_cmp);
            widths
        };
        if self.is_handed {
            return self.across(&widths(Keeps::Left), &widths(Keeps::Right));
        }
        let mut all: Vec<f64> = pieces.iter().map(|piece| piece.width).collect();
        all.sort_unstable_by(f64::total_cmp);
        self.among(&all)
    }

    fn fits(&self, one: f64, other: f64) -> bool {
        one + other <= self.room + TOLERANCE
    }

    /// Pairs among widths in ascending order: the widest piece takes the narrowest if it can take any, for what goes with
    /// the widest goes with every other as well; if it cannot, it stays alone in every answer.
    fn among(&self, mut widths: &[f64]) -> u32 {
        let mut pairs = 0;
        while let [narrowest, between @ .., widest] = widths {
            if self.fits(*narrowest, *widest) {
                pairs += 1;
                widths = between;
            } else {
                widths = widths.split_last().map_or(&[][..], |(_, rest)| rest);
            }
        }
        pairs
    }

    /// Pairs of one from each list, both in ascending order: the same from the widest of the second on.
    fn across(&self, lefts: &[f64], rights: &[f64]) -> u32 {
        let mut free = lefts.iter();
        let mut next = free.next();
        let mut pairs = 0;
        for right in rights.iter().rev() {
            if let Some(left) = next
                && self.fits(*left, *right)
            {
                pairs += 1;
                next = free.next();
            }
        }
        pairs
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The most pairs by trying every way to pair: the first piece stays alone or goes with any other.
    fn by_trying_all(pairing: Pairing, pieces: &[CutPiece]) -> u32 {
        let Some((first, rest)) = pieces.split_first() else { return 0 };
        let mut best = by_trying_all(pairing, rest);
        for at in 0..rest.len() {
            let hands_fit = !pairing.is_handed
                || matches!(
                    (first.keeps, rest[at].keeps),
                    (Keeps::Left, Keeps::Right) | (Keeps::Right, Keeps::Left)
                );
            if hands_fit && first.width + rest[at].width <= pairing.room + TOLERANCE {
                let others: Vec<CutPiece> = rest
                    .iter()
                    .enumerate()
                    .filter(|(other, _)| *other != at)
                    .map(|(_, piece)| *piece)
                    .collect();
                best = best.max(1 + by_trying_all(pairing, &others));
            }
        }
        best
    }

    #[test]
    fn as_many_pairs_as_by_trying_all() {
        // Independent: exhaustive search on small lists of every mixture, widths from a fixed generator.
        let mut state = 20_261_125_u64;
        // A whole number under a limit.
        let mut next = move |limit: u32| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            u32::try_from(state >> 33).unwrap() % limit
        };
        for _ in 0..400 {
            let count = next(9);
            let pieces: Vec<CutPiece> = (0..count)
                .map(|_| CutPiece {
                    width: f64::from(50 + next(950)) / 1000.0,
                    keeps: [Keeps::Left, Keeps::Right, Keeps::Other][next(3) as usize],
                })
                .collect();
            for is_handed in [false, true] {
                let pairing = Pairing { room: 0.98, is_handed };
                assert_eq!(pairing.pairs(&pieces), by_trying_all(pairing, &pieces), "{pieces:?} {is_handed}");
            }
        }
    }

    #[test]
    fn both_sides_of_the_room() {
        let pieces = [0.5, 0.48].map(|width| CutPiece { width, keeps: Keeps::Other });
        assert_eq!(Pairing { room: 0.98, is_handed: false }.pairs(&pieces), 1);
        assert_eq!(Pairing { room: 0.979, is_handed: false }.pairs(&pieces), 0);
    }
}
