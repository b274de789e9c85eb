//! The linear programme over the patterns found so far: a revised simplex with a dense inverse, in floats.
//!
//! Rows are the sizes still due (at least so many) and then the kinds of bar (at most so many). Every row starts with a
//! column of its own, so there is always a basis to begin from: a shortage at a high cost for a size, a spare bar at
//! no cost for a kind. What comes out only guides the search and proposes prices; no proof rests on it.
#![allow(clippy::indexing_slicing, reason = "every index is below the number of rows the tables were made with")]

use super::task::Effort;

/// What a basic column stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Basic {
    /// A pattern, by its number.
    Pattern(usize),
    /// More pieces cut than due.
    Surplus(usize),
    /// A piece not cut.
    Shortage(usize),
    /// A bar not used.
    Spare(usize),
}

/// One pattern as a column: its cost and its entries by row.
#[derive(Debug, Clone)]
pub(super) struct Column {
    pub(super) number: usize,
    pub(super) cost: f64,
    pub(super) entries: Vec<(usize, f64)>,
}

/// The programme and its present basis.
#[derive(Debug)]
pub(super) struct Master {
    rows: usize,
    sizes: usize,
    /// The inverse of the basis, column after column.
    inverse: Vec<f64>,
    level: Vec<f64>,
    price: Vec<f64>,
    basis: Vec<Basic>,
    alpha: Vec<f64>,
}

const SMALL: f64 = 1e-9;
/// A column is worth entering only from this reduced cost on.
pub(super) const GAIN: f64 = 1e-7;

impl Master {
    /// The starting basis: everything short, every bar spare.
    pub(super) fn new(due: &[usize], bars: &[usize], shortage_cost: f64) -> Self {
        let rows = due.len() + bars.len();
        let mut inverse = vec![0.0; rows * rows];
        for row in 0..rows {
            inverse[row * rows + row] = 1.0;
        }
        // Levels that are all equal make the simplex stall; a tiny, fixed unevenness keeps it moving.
        let level = due
            .iter()
            .chain(bars)
            .enumerate()
            .map(|(row, &value)| super::task::real(value) + 1e-7 * super::task::real((row * 7919) % 101 + 1))
            .collect();
        let mut price = vec![shortage_cost; due.len()];
        price.resize(rows, 0.0);
        let basis = (0..due.len())
            .map(Basic::Shortage)
            .chain((due.len()..rows).map(Basic::Spare))
            .collect();
        Self { rows, sizes: due.len(), inverse, level, price, basis, alpha: vec![0.0; rows] }
    }

    /// What each row is worth at present.
    pub(super) fn prices(&self) -> &[f64] {
        &self.price
    }

    /// The basic columns and their levels.
    pub(super) fn solution(&self) -> impl Iterator<Item = (Basic, f64)> {
        self.basis.iter().copied().zip(self.level.iter().copied())
    }

    fn reduced(&self, column: &Column) -> f64 {
        column.cost - column.entries.iter().map(|&(row, value)| self.price[row] * value).sum::<f64>()
    }

    /// Enters a column if it gains.
    pub(super) fn try_enter(&mut self, column: &Column, effort: &mut Effort) {
        let reduced = self.reduced(column);
        if reduced < -GAIN {
            self.pivot(Basic::Pattern(column.number), &column.entries, reduced, effort);
        }
    }

    /// Goes on until no column of the pool gains.
    pub(super) fn solve(&mut self, pool: &[Column], effort: &mut Effort) {
        let mut turns = 50 * self.rows + 1000;
        while turns > 0 && !effort.spent() {
            turns -= 1;
            let mut best = -GAIN;
            let mut entering = None;
            let mut entries = 0;
            for column in pool {
                entries += column.entries.len();
                let reduced = self.reduced(column);
                if reduced < best {
                    best = reduced;
                    entering = Some((Basic::Pattern(column.number), column.entries.as_slice()));
                }
            }
            effort.spend(entries);
            let mut unit = [(0, 0.0)];
            for row in 0..self.rows {
                let (reduced, sign) =
                    if row < self.sizes { (self.price[row], -1.0) } else { (-self.price[row], 1.0) };
                if reduced < best {
                    best = reduced;
                    unit = [(row, sign)];
                    entering = None;
                }
            }
            let entered = if unit[0].1 != 0.0 && entering.is_none() {
                let row = unit[0].0;
                let basic = if row < self.sizes { Basic::Surplus(row) } else { Basic::Spare(row) };
                self.pivot(basic, &unit, best, effort)
            } else if let Some((basic, entries)) = entering {
                self.pivot(basic, entries, best, effort)
            } else {
                return;
            };
            if !entered {
                return;
            }
        }
    }

    fn pivot(&mut self, basic: Basic, entries: &[(usize, f64)], reduced: f64, effort: &mut Effort) -> bool {
        let rows = self.rows;
        self.alpha.fill(0.0);
        for &(row, value) in entries {
            for (alpha, inverse) in self.alpha.iter_mut().zip(&self.inverse[row * rows..(row + 1) * rows]) {
                *alpha += value * inverse;
            }
        }
        let mut leaving = None;
        let mut least = f64::INFINITY;
        for row in 0..rows {
            let alpha = self.alpha[row];
            if alpha > SMALL {
                let ratio = self.level[row].max(0.0) / alpha;
                let better = ratio < least - 1e-12
                    || (ratio <= least + 1e-12 && leaving.is_some_and(|old: usize| alpha > self.alpha[old]));
                if better {
                    least = ratio.min(least);
                    leaving = Some(row);
                }
            }
        }
        let Some(leaving) = leaving else { return false };
        let pivot = self.alpha[leaving];
        let step = self.level[leaving].max(0.0) / pivot;
        for (level, alpha) in self.level.iter_mut().zip(&self.alpha) {
            *level -= step * alpha;
        }
        self.level[leaving] = step;
        let mut touched = 0;
        for (column, price) in self.inverse.chunks_exact_mut(rows).zip(&mut self.price) {
            let factor = column[leaving] / pivot;
            if factor == 0.0 {
                continue;
            }
            touched += 1;
            *price += reduced * factor;
            for (inverse, alpha) in column.iter_mut().zip(&self.alpha) {
                *inverse -= factor * alpha;
            }
            column[leaving] = factor;
        }
        effort.spend(touched * rows / 2 + rows * 4);
        self.basis[leaving] = basic;
        true
    }
}
