//! Mending a plan: the runs cut from an ill-filled bar are taken up, with a few others, and laid again in another order.
//! What is no worse is kept. It ends at a cost that cannot be bettered, or after so many steps.

use super::{
    battens::Exception,
    battens_lay::{Bench, Laid, Run},
    task::real,
};

/// How many runs are taken up at once, at the most.
const MOST_TAKEN: usize = 7;

/// Numbers in a fixed, well mixed order, so that one job always gives one plan (the mixing of a linear congruential
/// generator's high bits).
#[derive(Debug)]
struct Draws(u64);

impl Draws {
    /// A number below `end`.
    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let high = usize::try_from(self.0 >> 33).unwrap_or(0);
        high.checked_rem(end).unwrap_or(0)
    }
}

/// How many of these runs break the stagger.
fn broken<'a>(laid: impl Iterator<Item = &'a Laid>) -> usize {
    laid.filter(|laid| laid.exception == Some(Exception::Stagger)).count()
}

impl Bench<'_> {
    /// Lays runs again until the bars cost no more than `least`, for so many steps at the most. What costs no more than
    /// `enough` is left as it is.
    pub(super) fn mend(
        &mut self,
        runs: &[Run],
        laid: &mut [Option<Laid>],
        least: f64,
        enough: f64,
        steps: usize,
    ) {
        let end = self.steps() + steps;
        let mut draws = Draws(1);
        let mut had = self.worth();
        if had.0 <= enough {
            return;
        }
        while had.0 > least + 1e-9 && self.steps() < end {
            let taken = self.to_take_up(laid, &mut draws);
            let Some(old) = self.take_up(runs, laid, &taken) else { return };
            let was_broken = broken(old.iter().map(|(_, one)| one));
            let whole = taken.iter().all(|&number| self.lay_one(runs, laid, number));
            let now = self.worth();
            let is_cheaper = now.0 < had.0 - 1e-9 || (now.0 <= had.0 + 1e-9 && now.1 <= had.1 + 1e-9);
            let is_lawful =
                broken(taken.iter().filter_map(|&number| laid.get(number)?.as_ref())) <= was_broken;
            if whole && is_cheaper && is_lawful {
                had = now;
            } else {
                self.put_back(runs, laid, old);
            }
        }
    }

    /// Runs cut from a bar that is far from full, and some drawn from the rest, in the order of laying.
    fn to_take_up(&self, laid: &[Option<Laid>], draws: &mut Draws) -> Vec<usize> {
        let bars = self.emptiest_first();
        // The smallest of three draws: mostly one of the emptiest.
        let least_of_three = [0; 3].map(|_| draws.below(bars.len())).into_iter().min().unwrap_or(0);
        let bar = bars.get(least_of_three).copied();
        let from_bar = |laid: &Option<Laid>| {
            laid.as_ref().is_some_and(|laid| laid.bars.iter().any(|(number, _)| Some(*number) == bar))
        };
        let mut taken: Vec<usize> =
            laid.iter().enumerate().filter(|(_, laid)| from_bar(laid)).map(|(number, _)| number).collect();
        let more = 1 + draws.below(3);
        for _ in 0..more {
            let other = draws.below(laid.len());
            if laid.get(other).is_some_and(Option::is_some) && !taken.contains(&other) {
                taken.push(other);
            }
        }
        for end in (1..taken.len()).rev() {
            taken.swap(end, draws.below(end + 1));
        }
        taken.truncate(MOST_TAKEN);
        taken
    }

    fn take_up(
        &mut self,
        runs: &[Run],
        laid: &mut [Option<Laid>],
        taken: &[usize],
    ) -> Option<Vec<(usize, Laid)>> {
        let mut old = Vec::with_capacity(taken.len());
        for &number in taken {
            let (run, one) = (runs.get(number)?, laid.get_mut(number)?.take()?);
            self.put(run, &one, false);
            old.push((number, one));
        }
        (!old.is_empty()).then_some(old)
    }

    fn lay_one(&mut self, runs: &[Run], laid: &mut [Option<Laid>], number: usize) -> bool {
        let (Some(run), Some(slot)) = (runs.get(number), laid.get_mut(number)) else { return false };
        let Some(one) = self.best(run) else { return false };
        self.put(run, &one, true);
        *slot = Some(one);
        true
    }

    fn put_back(&mut self, runs: &[Run], laid: &mut [Option<Laid>], old: Vec<(usize, Laid)>) {
        for (number, _) in &old {
            if let (Some(run), Some(Some(new))) = (runs.get(*number), laid.get_mut(*number).map(Option::take))
            {
                self.put(run, &new, false);
            }
        }
        for (number, one) in old {
            if let (Some(run), Some(slot)) = (runs.get(number), laid.get_mut(number)) {
                self.put(run, &one, true);
                *slot = Some(one);
            }
        }
    }

    /// Bars bought, those with the largest share unused first.
    fn emptiest_first(&self) -> Vec<usize> {
        let mut bars: Vec<(f64, usize)> = self
            .bars
            .iter()
            .enumerate()
            .filter(|(_, (hand, filled))| hand.is_none() && *filled > 0)
            .filter_map(|(number, &(_, filled))| {
                let (room, _) = self.cheapest_for(filled)?;
                Some((real(room - filled) / real(room), number))
            })
            .collect();
        bars.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        bars.into_iter().map(|(_, number)| number).collect()
    }

    /// What the bars bought cost, and how little of use is left in them.
    pub(super) fn worth(&self) -> (f64, f64) {
        let bought = self.bars.iter().filter(|(hand, filled)| hand.is_none() && *filled > 0);
        let costs = bought.filter_map(|&(_, filled)| self.cheapest_for(filled));
        (costs.map(|(_, cost)| cost).sum(), self.total())
    }

    /// The room and the cost of the cheapest length that so much can be cut from.
    fn cheapest_for(&self, filled: usize) -> Option<(usize, f64)> {
        let fits = self.stock.iter().copied().filter(|(room, _)| *room >= filled);
        fits.min_by(|a, b| a.1.total_cmp(&b.1))
    }
}
