//! Battens at the sill and head of openings, besides the rows of the slope.
//!
//! A row of the slope that runs within a batten's width of a sill or head does that service already: what lies along it
//! is not counted again, and neither is what an opening beside has along the same level.

use serde::Serialize;

use crate::setout::Layout;
use crate::survey::Slope;
use crate::survey::outline::bounds;
use crate::takeoff::SlopeBattens;

/// A piece of batten along the sill or the head of an opening.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct OpeningBatten {
    /// The opening, by its place on the slope.
    pub opening: usize,
    /// The top of the batten, in metres up the slope.
    pub at_m: f64,
    /// Its left end, in metres from the left end of the eaves.
    pub from_m: f64,
    /// Its right end.
    pub to_m: f64,
    /// How many rafters it crosses, if their places are known.
    pub crossings: Option<u32>,
}

impl OpeningBatten {
    /// Its length in metres.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.to_m - self.from_m
    }

    /// A row under the sill and one over the head of each opening, from the last rafter before it to the first one
    /// after it, or as wide as the opening where the rafters are not known; less what the slope's rows and other
    /// openings have there already.
    pub(in crate::takeoff) fn lay(
        slope: &Slope,
        layout: &Layout,
        battens: &SlopeBattens,
        width_m: f64,
    ) -> Vec<Self> {
        /// Levels no further apart are one.
        const SAME_LEVEL_M: f64 = 1e-3;
        let near_m = width_m.max(SAME_LEVEL_M);
        let (first, last) = bounds(&slope.outline());
        let mut laid: Vec<Self> = Vec::new();
        for (number, opening) in slope.openings.iter().enumerate() {
            let (low, high) = opening.bounds();
            let (from, to) = battens.rafters.map_or((low.u, high.u), |rafters| {
                let steps = |at: f64| (at - rafters.first_m) / rafters.spacing_m;
                let centre = |step: f64| step.mul_add(rafters.spacing_m, rafters.first_m);
                (centre(steps(low.u).floor()), centre(steps(high.u).ceil()))
            });
            let (from, to) = (from.max(first.u), to.min(last.u));
            // The batten under the sill has its top there, the one over the head its foot.
            for (at_m, middle_m) in [(low.v, low.v - near_m / 2.0), (high.v + width_m, high.v + near_m / 2.0)]
            {
                let room = layout.deck.stretches_at(middle_m);
                let mut pieces: Vec<(f64, f64)> = room
                    .into_iter()
                    .map(|(left, right)| (left.max(from), right.min(to)))
                    .filter(|(left, right)| right - left > SAME_LEVEL_M)
                    .collect();
                let rows = battens.rows.iter().map(|row| (row.at_m, row.from_m, row.to_m));
                let others = laid.iter().map(|other| (other.at_m, other.from_m, other.to_m));
                for (_, left, right) in rows.chain(others).filter(|(at, ..)| (at - at_m).abs() < near_m) {
                    pieces = pieces.into_iter().flat_map(|piece| less(piece, (left, right))).collect();
                }
                pieces.retain(|(left, right)| right - left > SAME_LEVEL_M);
                laid.extend(pieces.into_iter().map(|(from_m, to_m)| Self {
                    opening: number,
                    at_m,
                    from_m,
                    to_m,
                    crossings: battens.rafters.map(|rafters| rafters.between(from_m, to_m)),
                }));
            }
        }
        laid
    }
}

/// What of one stretch lies outside another.
fn less((from, to): (f64, f64), (left, right): (f64, f64)) -> impl Iterator<Item = (f64, f64)> {
    let parts = if right <= from || left >= to {
        [(from, to), (to, to)]
    } else {
        [(from, left.max(from)), (right.min(to), to)]
    };
    parts.into_iter().filter(|(from, to)| to > from)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stretch_less_another() {
        let left_over = |other| less((1.0, 3.0), other).collect::<Vec<_>>();
        assert_eq!(left_over((0.0, 1.0)), [(1.0, 3.0)]);
        assert_eq!(left_over((0.0, 1.5)), [(1.5, 3.0)]);
        assert_eq!(left_over((1.5, 2.0)), [(1.0, 1.5), (2.0, 3.0)]);
        assert_eq!(left_over((2.5, 4.0)), [(1.0, 2.5)]);
        assert_eq!(left_over((0.0, 4.0)), []);
    }
}
