//! Battens as rows and net metres, with their crossings of the rafters. Cutting them from stock comes later.

use serde::Serialize;

use super::{OpeningBatten, places_along};
use crate::quantity::{Length, LengthIn as _, whole_below};
use crate::setout::{BattenLine, Layout, Levels, Region};

/// One stretch of batten along a line.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BattenRow {
    /// Which line it lies on, from 1 at the eaves.
    pub line: u32,
    /// The top of the batten, in metres up the slope.
    pub at_m: f64,
    /// Its left end, in metres from the left end of the eaves.
    pub from_m: f64,
    /// Its right end.
    pub to_m: f64,
    /// How many rafters it crosses, if their places are known.
    pub crossings: Option<u32>,
}

impl BattenRow {
    /// Its length in metres.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.to_m - self.from_m
    }
}

/// The rafters of a slope: centres at equal distances.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Rafters {
    /// The distance between centres, in metres.
    pub spacing_m: f64,
    /// The first centre, in metres from the left end of the eaves.
    pub first_m: f64,
}

impl Rafters {
    /// A batten end on the centre line of a rafter is nailed to it: within a millimetre counts.
    const NEAR_M: f64 = 1e-3;

    /// How many spacings from the first centre to the first one at or after a place.
    #[inline]
    fn steps_to(&self, from_m: f64) -> i32 {
        -whole_below((self.first_m + Self::NEAR_M - from_m) * (1.0 / self.spacing_m)).max(-i32::MAX)
    }

    /// How many centres lie between two places, both included.
    #[inline]
    #[must_use]
    pub fn between(&self, from_m: f64, to_m: f64) -> u32 {
        let first = self.steps_to(from_m);
        let last = whole_below((to_m - self.first_m + Self::NEAR_M) * (1.0 / self.spacing_m));
        if last < first { 0 } else { last.abs_diff(first).saturating_add(1) }
    }

    /// The centres between two places.
    pub fn centres(&self, from_m: f64, to_m: f64) -> impl Iterator<Item = f64> + use<> {
        let Self { spacing_m, first_m } = *self;
        let first = self.steps_to(from_m);
        (0..self.between(from_m, to_m))
            .map(move |step| first_m + (f64::from(first) + f64::from(step)) * spacing_m)
    }
}

/// The battens of a slope.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SlopeBattens {
    /// The rafters they are nailed to, if stated.
    pub rafters: Option<Rafters>,
    /// The rows from the eaves up.
    pub rows: Vec<BattenRow>,
    /// Net length of the rows, in metres.
    pub length_m: f64,
    /// Crossings of rafters, one nail each.
    pub crossings: Option<u32>,
    /// Net length of the counter-battens on the rafters, in metres, if any are wanted.
    pub counter_length_m: Option<f64>,
    /// Its stretches one by one, in metres.
    pub counter_stretches_m: Vec<f64>,
    /// Nails along the counter-battens, no further apart than the rule, if any are wanted.
    pub counter_nails: Option<u32>,
    /// What lies at the sills and heads of openings besides the rows.
    pub round_openings: Vec<OpeningBatten>,
}

impl SlopeBattens {
    /// The battens of a layout: each line clipped to the slope and its openings.
    #[must_use]
    pub fn lay(
        layout: &Layout,
        rafters: Option<Rafters>,
        counter_battens: bool,
        counter_fixing: Option<Length>,
    ) -> Self {
        let (lines, levels) = (&layout.batten_lines, &mut Levels::default());
        Self::lay_on(&layout.deck, lines, rafters, counter_battens, counter_fixing, levels, Vec::new())
    }

    /// The same on a deck, along its lines. `levels` is memory to work in, `rows` memory for the rows.
    pub(crate) fn lay_on(
        deck: &Region,
        lines: &[BattenLine],
        rafters: Option<Rafters>,
        counter_battens: bool,
        counter_fixing: Option<Length>,
        levels: &mut Levels,
        mut rows: Vec<BattenRow>,
    ) -> Self {
        rows.clear();
        rows.reserve(lines.len());
        let mut battens = Self { rafters, rows, ..Self::default() };
        levels.start(deck);
        for (number, line) in (1..).zip(lines) {
            levels.each_stretch_at(line.at_m, |from, to| {
                let (from_m, to_m) =
                    line.between.map_or((from, to), |(left, right)| (from.max(left), to.min(right)));
                if to_m <= from_m {
                    return;
                }
                let crossings = rafters.map(|rafters| rafters.between(from_m, to_m));
                battens.length_m += to_m - from_m;
                battens.crossings =
                    battens.crossings.map_or(crossings, |sum| crossings.map(|more| sum + more));
                battens.rows.push(BattenRow { line: number, at_m: line.at_m, from_m, to_m, crossings });
            });
        }
        if counter_battens && let Some(rafters) = rafters {
            let stretches = counter_stretches(deck, rafters);
            battens.counter_length_m = Some(stretches.iter().sum());
            battens.counter_nails = counter_fixing
                .map(|spacing| stretches.iter().map(|length_m| places_along(*length_m, spacing.m())).sum());
            battens.counter_stretches_m = stretches;
        }
        battens
    }

    /// Net length of what lies at the sills and heads of openings besides the rows, in metres.
    #[must_use]
    pub fn round_openings_m(&self) -> f64 {
        // A sum of nothing is minus nought.
        self.round_openings.iter().map(OpeningBatten::length_m).sum::<f64>() + 0.0
    }

    /// Crossings of rafters by the rows and by what lies round openings, one nail each.
    #[must_use]
    pub fn all_crossings(&self) -> Option<u32> {
        let round_openings: u32 = self.round_openings.iter().filter_map(|row| row.crossings).sum();
        self.crossings.map(|crossings| crossings + round_openings)
    }
}

/// Battens up the slope, one on each rafter: the length of each stretch, in metres.
fn counter_stretches(deck: &Region, rafters: Rafters) -> Vec<f64> {
    let turned = deck.turned();
    let (low, high) = deck.bounds();
    rafters
        .centres(low.u, high.u)
        .flat_map(|at| turned.stretches_at(at).into_iter().map(|(from, to)| to - from))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crossings_counted_by_hand() {
        let rafters = Rafters { spacing_m: 0.45, first_m: 0.225 };
        // Centres at 0.225, 0.675, 1.125 ... 7.875: eighteen within 8 m.
        assert_eq!(rafters.between(0.0, 8.0), 18);
        assert_eq!(rafters.between(0.225, 0.675), 2);
        assert_eq!(rafters.between(0.3, 0.6), 0);
        // A centre half a millimetre before the start counts, and is the first.
        assert_eq!(rafters.between(0.2255, 0.6), 1);
        assert!(rafters.centres(0.2255, 0.6).eq([0.225]));
        let centres: Vec<f64> = rafters.centres(0.5, 1.2).collect();
        assert!(
            centres.len() == 2 && (centres[0] - 0.675).abs() < 1e-12 && (centres[1] - 1.125).abs() < 1e-12
        );
    }
}
