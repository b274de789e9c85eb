//! The linear programme over the patterns found so far: a revised simplex with a dense inverse, in floats.
//!
//! Rows are the sizes still due (at least so many) and then the kinds of bar (at most so many). Every row starts with a
//! column of its own, so there is always a basis to begin from: a shortage at a high cost for a size, a spare bar at
//! no cost for a kind. What comes out only guides the search and proposes prices; no proof rests on it.
#![allow(
    clippy::indexing_slicing,
    reason = "every index is below the number of rows the tables were made with"
)]

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
/// How many columns are priced between two looks through the whole pool.
const SHORT_LIST: usize = 40;

impl Master {
    /// The starting basis: everything short, every bar spare.
    pub(super) fn new(due: &[usize], bars: &[usize], shortage_cost: f64) -> Self {
        let rows = due.len() + bars.len();
        let mut inverse = vec![0.0; rows * rows];
        for row in 0..rows {
            inverse[row * rows + row] = 1.0;
        }
        // Levels that are all equal make the simplex stall; a tiny, fixed unevenness keeps it moving.
        let level: Vec<f64> = due
            .iter()
            .chain(bars)
            .enumerate()
            .map(|(row, &value)| super::task::real(value) + 1e-7 * super::task::real((row * 7919) % 101 + 1))
            .collect();
        let mut price = vec![shortage_cost; due.len()];
        price.resize(rows, 0.0);
        let basis = (0..due.len()).map(Basic::Shortage).chain((due.len()..rows).map(Basic::Spare)).collect();
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

    /// Goes on until no column of the pool gains. Between two looks through the whole pool only a short list of
    /// columns that gained at the last look is priced again.
    pub(super) fn solve(&mut self, pool: &[Column], effort: &mut Effort) {
        let mut turns = 50 * self.rows + 1000;
        let mut list: Vec<(f64, usize)> = Vec::new();
        while turns > 0 && !effort.spent() {
            turns -= 1;
            for (reduced, column) in &mut list {
                *reduced = self.reduced(&pool[*column]);
            }
            list.retain(|(reduced, _)| *reduced < -GAIN);
            let unit = self.best_unit();
            if list.is_empty() && unit.is_none() {
                list = self.look_through(pool, effort);
            }
            let column = list.iter().min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))).copied();
            let entered = match (column, unit) {
                (Some((reduced, column)), unit) if unit.is_none_or(|(other, ..)| reduced <= other) => {
                    let column = &pool[column];
                    self.pivot(Basic::Pattern(column.number), &column.entries, reduced, effort)
                }
                (_, Some((reduced, row, sign))) => {
                    let basic = if row < self.sizes { Basic::Surplus(row) } else { Basic::Spare(row) };
                    self.pivot(basic, &[(row, sign)], reduced, effort)
                }
                (_, None) => return,
            };
            if !entered {
                return;
            }
        }
    }

    /// The columns of the pool that gain most.
    fn look_through(&self, pool: &[Column], effort: &mut Effort) -> Vec<(f64, usize)> {
        effort.spend(pool.len() * 5);
        let mut list: Vec<(f64, usize)> = pool
            .iter()
            .enumerate()
            .map(|(index, column)| (self.reduced(column), index))
            .filter(|(reduced, _)| *reduced < -GAIN)
            .collect();
        list.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        list.truncate(SHORT_LIST);
        list
    }

    /// The surplus or spare bar that gains most: its reduced cost, its row and its entry there.
    fn best_unit(&self) -> Option<(f64, usize, f64)> {
        let (sizes, kinds) = self.price.split_at(self.sizes);
        let surplus = sizes.iter().enumerate().map(|(row, &price)| (price, row, -1.0));
        let spare = kinds.iter().enumerate().map(|(kind, &price)| (-price, self.sizes + kind, 1.0));
        surplus.chain(spare).filter(|unit| unit.0 < -GAIN).min_by(|a, b| a.0.total_cmp(&b.0))
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
