//! Which numbers of bars could possibly suffice, and the cheapest of them: where the proved bound comes from.
//!
//! Give every size any worth at all. If the best-filled bar of kind `k` is worth `z_k`, then `n_k` bars of each kind can
//! only hold all pieces if `sum(n_k z_k)` is at least the worth of all pieces. Each such inequality is a [`Cut`]: it is
//! made of whole numbers found by an exact search, so whatever prompted the worths, it holds. The bound is the cost
//! of the cheapest basket of bars that no cut forbids.

use super::{
    knapsack::best_values,
    task::{Effort, Kind, Task},
};

/// `sum(bars * gives) >= needs` must hold for every basket into which the pieces fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cut {
    gives: Vec<u64>,
    needs: u128,
}

/// Worths are whole numbers of this part of the dearest bar.
const GRAIN: f64 = 68_719_476_736.0; // 2^36

impl Cut {
    /// The cut that these worths make. `None` if its proof would take too long.
    pub(super) fn from_worths(task: &Task, worths: &[u64], effort: &mut Effort) -> Option<Self> {
        let rooms: Vec<usize> = task.kinds.iter().map(|kind| kind.room).collect();
        let gives = best_values(&task.sizes, &task.demand, worths, &rooms, effort)?;
        let needs =
            worths.iter().zip(&task.demand).map(|(&worth, &due)| u128::from(worth) * due as u128).sum();
        Some(Self { gives, needs })
    }

    /// The cut made of the prices of a linear programme, brought to whole numbers.
    pub(super) fn from_prices(task: &Task, prices: &[f64], effort: &mut Effort) -> Option<Self> {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "any worth at all is allowed"
        )]
        let worths: Vec<u64> =
            prices.iter().map(|price| (price.clamp(0.0, 1000.0) * GRAIN).round() as u64).collect();
        Self::from_worths(task, &worths, effort)
    }

    /// The cut by a weight under which pieces never weigh more than the bar they come from: what a bar of each kind
    /// weighs, and what all pieces weigh.
    pub(super) fn by_weight(kinds: &[Kind], weigh: impl Fn(usize) -> u64, needs: u128) -> Self {
        Self { gives: kinds.iter().map(|kind| weigh(kind.room)).collect(), needs }
    }

    /// The cut by sheer length: no search is needed for it.
    pub(super) fn by_length(kinds: &[Kind], load: usize) -> Self {
        Self::by_weight(kinds, |room| room as u64, load as u128)
    }

    /// The least cost that the cut asks for, if parts of bars could be bought.
    pub(super) fn least_cost(&self, kinds: &[Kind]) -> u128 {
        let of_kinds = || kinds.iter().zip(&self.gives);
        let in_hand = of_kinds().filter(|(kind, _)| kind.cost == 0);
        let given: u128 = in_hand.map(|(kind, &gives)| u128::from(gives) * kind.limit as u128).sum();
        let short = self.needs.saturating_sub(given);
        let bought = of_kinds().filter(|(kind, gives)| kind.cost > 0 && **gives > 0);
        let costs = bought.map(|(kind, &gives)| (short * u128::from(kind.cost)).div_ceil(u128::from(gives)));
        costs.min().unwrap_or(0)
    }

    /// Whether the cut lets a basket pass.
    pub(super) fn allows(&self, basket: &[usize]) -> bool {
        let given: u128 =
            self.gives.iter().zip(basket).map(|(&gives, &bars)| u128::from(gives) * bars as u128).sum();
        given >= self.needs
    }
}

/// Everything known about which baskets cannot do.
#[derive(Debug, Default)]
pub(super) struct Baskets {
    cuts: Vec<Cut>,
    /// Baskets shown to be too small by a full search, or given up. Nothing inside them needs to be looked at.
    refused: Vec<Vec<usize>>,
}

/// The most nodes of one search for the cheapest basket.
const MOST_NODES: usize = 30_000;
/// What a node costs of the allowance of steps.
const STEPS_PER_NODE: usize = 60;
/// How many nodes are spent on finding a roomier basket at the same least cost.
const ENOUGH_NODES: usize = 2_000;

/// The cheapest basket that nothing forbids.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Cheapest {
    /// This one, at this cost.
    Basket(u64, Vec<usize>),
    /// None below the ceiling.
    NoneBelow,
    /// The search was too large to finish; none costs less than this.
    AtLeast(u64),
}

struct Search<'a> {
    task: &'a Task,
    baskets: &'a Baskets,
    order: Vec<usize>,
    bars: Vec<usize>,
    best: Option<(u64, core::cmp::Reverse<u128>, Vec<usize>)>,
    ceiling: u64,
    /// What the cuts ask for at the least. A basket at this cost cannot be beaten, only equalled.
    least: u64,
    nodes: usize,
}

impl Baskets {
    /// Adds a cut.
    pub(super) fn learn(&mut self, cut: Cut) {
        self.cuts.push(cut);
    }

    /// Rules out a basket and every basket inside it.
    pub(super) fn refuse(&mut self, basket: Vec<usize>) {
        self.refused.push(basket);
    }

    fn allows(&self, basket: &[usize]) -> bool {
        self.cuts.iter().all(|cut| cut.allows(basket))
            && !self.refused.iter().any(|refused| refused.iter().zip(basket).all(|(most, bars)| bars <= most))
    }

    /// The cheapest basket at a cost below `ceiling`; of equally cheap ones that with the most room.
    pub(super) fn cheapest(&self, task: &Task, ceiling: u64, effort: &mut Effort) -> Cheapest {
        // What is in hand costs nothing, so a basket holds all of it.
        let bars: Vec<usize> =
            task.kinds.iter().map(|kind| if kind.cost == 0 { kind.limit } else { 0 }).collect();
        let mut order: Vec<usize> = (0..task.kinds.len()).filter(|&kind| task.cost(kind) > 0).collect();
        order.sort_by_key(|&kind| core::cmp::Reverse((task.cost(kind), task.room(kind))));
        let mut search = Search { task, baskets: self, order, bars, best: None, ceiling, least: 0, nodes: 0 };
        search.least = search.further(0).unwrap_or(u64::MAX);
        search.go(0, 0);
        let least = search.least;
        effort.spend(search.nodes * STEPS_PER_NODE);
        match search.best {
            Some((cost, _, basket)) if cost <= least => Cheapest::Basket(cost, basket),
            _ if search.nodes > MOST_NODES => Cheapest::AtLeast(least.min(ceiling)),
            Some((cost, _, basket)) => Cheapest::Basket(cost, basket),
            None => Cheapest::NoneBelow,
        }
    }
}

impl Search<'_> {
    /// The least further cost that some cut asks for, if only the kinds from `from` on are bought.
    fn further(&self, from: usize) -> Option<u64> {
        let open = self.order.get(from..).unwrap_or_default();
        let mut most = 0;
        for cut in &self.baskets.cuts {
            let given: u128 = cut
                .gives
                .iter()
                .zip(&self.bars)
                .map(|(&gives, &bars)| u128::from(gives) * bars as u128)
                .sum();
            let Some(short) = cut.needs.checked_sub(given).filter(|short| *short > 0) else { continue };
            // The best buy for this cut, as a fraction cost / gives.
            let least = open
                .iter()
                .filter_map(|&kind| cut.gives.get(kind).map(|&gives| (self.task.cost(kind), gives)))
                .filter(|(_, gives)| *gives > 0)
                .map(|(cost, gives)| (short * u128::from(cost)).div_ceil(u128::from(gives)))
                .min()?;
            most = most.max(u64::try_from(least).unwrap_or(u64::MAX));
        }
        Some(most)
    }

    /// Whether to stop: at the limit, or soon after a basket is found that can only be equalled.
    fn done(&self) -> bool {
        self.nodes > MOST_NODES
            || (self.nodes > ENOUGH_NODES && self.best.as_ref().is_some_and(|best| best.0 <= self.least))
    }

    fn go(&mut self, from: usize, cost: u64) {
        self.nodes += 1;
        if self.done() {
            return;
        }
        let ceiling =
            self.best.as_ref().map_or(self.ceiling, |(best, ..)| self.ceiling.min(best.saturating_add(1)));
        let Some(further) = self.further(from) else { return };
        if cost.saturating_add(further) >= ceiling {
            return;
        }
        let Some(&kind) = self.order.get(from) else {
            if self.baskets.allows(&self.bars) {
                let room = self
                    .task
                    .kinds
                    .iter()
                    .zip(&self.bars)
                    .map(|(kind, &bars)| kind.room as u128 * bars as u128);
                let found = (cost, core::cmp::Reverse(room.sum()), self.bars.clone());
                if self.best.as_ref().is_none_or(|best| found < *best) {
                    self.best = Some(found);
                }
            }
            return;
        };
        let each = self.task.cost(kind).max(1);
        let most = usize::try_from((ceiling - 1 - cost) / each).unwrap_or(usize::MAX);
        let limit = self.task.kinds.get(kind).map_or(0, |kind| kind.limit);
        let mut low = 0;
        if from + 1 == self.order.len() {
            // The last kind has to give all that is still wanting.
            low = usize::try_from(further.div_ceil(each)).unwrap_or(usize::MAX);
        }
        for bars in low..=most.min(limit) {
            if let Some(slot) = self.bars.get_mut(kind) {
                *slot = bars;
            }
            self.go(from + 1, cost + each * bars as u64);
            if self.done() {
                break;
            }
        }
        if let Some(slot) = self.bars.get_mut(kind) {
            *slot = 0;
        }
    }
}
