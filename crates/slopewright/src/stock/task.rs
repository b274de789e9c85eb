//! The cutting task in whole numbers: what is left of an input once the units, the kerf and the labels are off it.
//!
//! Every size is in the same small unit and already has one kerf added to it, and so has every room, because a bar of
//! length `L` holds pieces with `sum(l + kerf) <= L + kerf`. All sums are exact.

/// One kind of bar that pieces can be cut from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Kind {
    /// What fits in: the length and one kerf.
    pub(super) room: usize,
    /// What one bar costs. Nought for what is in hand already.
    pub(super) cost: u64,
    /// The most bars there are of this kind.
    pub(super) limit: usize,
}

/// Pieces by size, longest first, and the kinds of bar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Task {
    /// Distinct sizes, longest first.
    pub(super) sizes: Vec<usize>,
    /// How many of each size.
    pub(super) demand: Vec<usize>,
    /// The kinds of bar.
    pub(super) kinds: Vec<Kind>,
}

/// How one bar of a kind is cut: which sizes and how many of each, longest first.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Pattern {
    /// The kind of bar.
    pub(super) kind: usize,
    /// Place in `Task::sizes` and number of pieces, by rising place.
    pub(super) take: Vec<(usize, usize)>,
}

/// A full answer: patterns and how many bars are cut by each.
pub(super) type Packing = Vec<(Pattern, usize)>;

impl Task {
    /// The size at a place in the list.
    pub(super) fn size(&self, place: usize) -> usize {
        self.sizes.get(place).copied().unwrap_or(0)
    }

    /// The cost of one bar of a kind.
    pub(super) fn cost(&self, kind: usize) -> u64 {
        self.kinds.get(kind).map_or(0, |kind| kind.cost)
    }

    /// The room of one bar of a kind.
    pub(super) fn room(&self, kind: usize) -> usize {
        self.kinds.get(kind).map_or(0, |kind| kind.room)
    }

    /// The room a pattern takes up.
    pub(super) fn filled(&self, pattern: &Pattern) -> usize {
        pattern.take.iter().map(|&(place, count)| self.size(place) * count).sum()
    }

    /// The cost of a packing.
    pub(super) fn cost_of(&self, packing: &Packing) -> u64 {
        packing.iter().map(|(pattern, times)| self.cost(pattern.kind) * *times as u64).sum()
    }

    /// The room that these pieces take together.
    pub(super) fn load(&self, demand: &[usize]) -> usize {
        self.sizes.iter().zip(demand).map(|(size, count)| size * count).sum()
    }

    /// Whether a packing cuts every piece once, overfills no bar and keeps every limit. The last word on any answer,
    /// whoever found it.
    pub(super) fn holds(&self, packing: &Packing) -> bool {
        let mut left = self.demand.clone();
        let mut bars: Vec<usize> = self.kinds.iter().map(|kind| kind.limit).collect();
        for (pattern, times) in packing {
            let Some(stock) = bars.get_mut(pattern.kind) else { return false };
            let Some(rest) = stock.checked_sub(*times) else { return false };
            *stock = rest;
            if self.filled(pattern) > self.room(pattern.kind) {
                return false;
            }
            for &(place, count) in &pattern.take {
                let Some(due) = left.get_mut(place) else { return false };
                let Some(rest) = due.checked_sub(count * times) else { return false };
                *due = rest;
            }
        }
        left.iter().all(|due| *due == 0)
    }
}

/// Puts equal patterns together, in a fixed order.
pub(super) fn gathered(mut packing: Packing) -> Packing {
    packing.sort();
    let mut result: Packing = Vec::with_capacity(packing.len());
    for (pattern, times) in packing {
        match result.last_mut() {
            Some((last, count)) if *last == pattern => *count += times,
            _ => result.push((pattern, times)),
        }
    }
    result
}

/// The work a search may still do, counted in elementary steps and not by the clock, so that the same input always
/// gives the same answer.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    left: u64,
}

impl Effort {
    /// An allowance of so many steps.
    pub(super) const fn of(steps: u64) -> Self {
        Self { left: steps }
    }

    /// Takes steps off the allowance.
    pub(super) fn spend(&mut self, steps: usize) {
        self.left = self.left.saturating_sub(steps as u64);
    }

    /// Whether nothing is left.
    pub(super) const fn spent(&self) -> bool {
        self.left == 0
    }

    /// Sets a part of the allowance aside: at most `steps` of it.
    pub(super) fn part(&mut self, steps: u64) -> Self {
        Self { left: steps.min(self.left) }
    }

    /// Books what was used of a part.
    pub(super) fn settle(&mut self, given: Self, rest: Self) {
        self.left = self.left.saturating_sub(given.left.saturating_sub(rest.left));
    }

    /// The steps left.
    pub(super) const fn left(&self) -> u64 {
        self.left
    }
}

/// A cost as a float, for the same parts.
#[expect(
    clippy::cast_precision_loss,
    reason = "only guides the search; every answer is checked in whole numbers"
)]
pub(super) fn real_cost(value: u64) -> f64 {
    value as f64
}

/// A whole number as a float, for the parts that only guide the search.
#[expect(
    clippy::cast_precision_loss,
    reason = "only guides the search; every answer is checked in whole numbers"
)]
pub(super) fn real(value: usize) -> f64 {
    value as f64
}
