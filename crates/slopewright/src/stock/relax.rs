//! Column generation: the linear programme over all patterns there could be, by pricing new ones as they are wanted.

use std::collections::HashMap;

use super::{
    knapsack::{Item, Pricer},
    master::{Basic, Column, GAIN, Master},
    task::{Effort, Pattern, Task, real, real_cost},
};

/// What is still to be cut and from what.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct Rest {
    /// How many of each size are still due.
    pub(super) due: Vec<usize>,
    /// How many bars of each kind there still are.
    pub(super) bars: Vec<usize>,
}

impl Rest {
    /// Everything due, every bar there.
    pub(super) fn whole(task: &Task, bars: &[usize]) -> Self {
        Self { due: task.demand.clone(), bars: bars.to_vec() }
    }

    /// How many pieces are due.
    pub(super) fn pieces(&self) -> usize {
        self.due.iter().sum()
    }

    /// How often a pattern can be cut from the rest without a piece too many.
    pub(super) fn times(&self, pattern: &Pattern) -> usize {
        let bars = self.bars.get(pattern.kind).copied().unwrap_or(0);
        pattern
            .take
            .iter()
            .map(|&(place, count)| self.due.get(place).map_or(0, |due| due / count.max(1)))
            .fold(bars, usize::min)
    }

    /// Takes a pattern out of the rest, so many times.
    pub(super) fn cut(&mut self, pattern: &Pattern, times: usize) {
        if let Some(bars) = self.bars.get_mut(pattern.kind) {
            *bars = bars.saturating_sub(times);
        }
        for &(place, count) in &pattern.take {
            if let Some(due) = self.due.get_mut(place) {
                *due = due.saturating_sub(count * times);
            }
        }
    }
}

/// All patterns met so far, each once.
#[derive(Debug, Default)]
pub(super) struct Pool {
    patterns: Vec<Pattern>,
    numbers: HashMap<Pattern, usize>,
}

impl Pool {
    /// Adds a pattern if it is new. Its number either way.
    pub(super) fn add(&mut self, pattern: Pattern) -> (usize, bool) {
        if let Some(&number) = self.numbers.get(&pattern) {
            return (number, false);
        }
        let number = self.patterns.len();
        self.numbers.insert(pattern.clone(), number);
        self.patterns.push(pattern);
        (number, true)
    }

    /// A pattern by its number.
    pub(super) fn get(&self, number: usize) -> Option<&Pattern> {
        self.patterns.get(number)
    }
}

/// The answer of the linear programme.
#[derive(Debug, Clone)]
pub(super) struct Relaxed {
    /// Patterns used and how much of each.
    pub(super) levels: Vec<(usize, f64)>,
    /// Pieces that no bar is left for.
    pub(super) shortage: f64,
    /// The cost, in the task's money.
    pub(super) cost: f64,
    /// What each size is worth, as a share of the dearest bar.
    pub(super) prices: Vec<f64>,
}

/// A shortage costs this many times the dearest bar.
const SHORTAGE_COST: f64 = 10.0;
/// How many patterns beside the best one are taken from one pricing.
const OTHER_PATTERNS: usize = 6;

/// Solves the relaxation of a rest, with so many rounds of pricing at the most. `start` names patterns likely to be in
/// the answer.
pub(super) fn relax(
    task: &Task,
    rest: &Rest,
    pool: &mut Pool,
    pricer: &mut Pricer,
    start: &[usize],
    rounds: usize,
    effort: &mut Effort,
) -> Relaxed {
    let mut rounds = rounds;
    let scale = real_cost(task.kinds.iter().map(|kind| kind.cost).max().unwrap_or(1).max(1));
    let places: Vec<usize> =
        rest.due.iter().enumerate().filter(|(_, due)| **due > 0).map(|(place, _)| place).collect();
    let mut row_of = vec![usize::MAX; task.sizes.len()];
    for (row, &place) in places.iter().enumerate() {
        if let Some(slot) = row_of.get_mut(place) {
            *slot = row;
        }
    }
    let due: Vec<usize> = places.iter().filter_map(|&place| rest.due.get(place).copied()).collect();
    let column = |number: usize, pattern: &Pattern| Column {
        number,
        cost: real_cost(task.cost(pattern.kind)) / scale,
        entries: pattern
            .take
            .iter()
            .filter_map(|&(place, count)| row_of.get(place).map(|&row| (row, real(count))))
            .chain([(places.len() + pattern.kind, 1.0)])
            .collect(),
    };
    let mut columns: Vec<Column> = pool
        .patterns
        .iter()
        .enumerate()
        .filter(|(_, pattern)| rest.times(pattern) > 0)
        .map(|(number, pattern)| column(number, pattern))
        .collect();
    let mut master = Master::new(&due, &rest.bars, SHORTAGE_COST);
    for &number in start {
        if let Ok(at) = columns.binary_search_by_key(&number, |column| column.number)
            && let Some(column) = columns.get(at)
        {
            master.try_enter(column, effort);
        }
    }
    let rooms: Vec<usize> =
        task.kinds.iter().zip(&rest.bars).map(|(kind, bars)| if *bars > 0 { kind.room } else { 0 }).collect();
    loop {
        master.solve(&columns, effort);
        if effort.spent() || rounds == 0 {
            break;
        }
        rounds -= 1;
        // What a pattern of each kind has to be worth before it gains.
        let spare = master.prices().get(places.len()..).unwrap_or_default();
        let least: Vec<f64> = task
            .kinds
            .iter()
            .zip(spare)
            .map(|(kind, spare)| real_cost(kind.cost) / scale - spare + GAIN)
            .collect();
        let items: Vec<Item> = places
            .iter()
            .zip(master.prices())
            .filter(|(_, price)| **price > GAIN)
            .filter_map(|(&place, &worth)| {
                let most = rest.due.get(place).copied()?;
                Some(Item { place, size: task.size(place), most, worth })
            })
            .collect();
        let found = pricer.best(&items, &rooms, &least, OTHER_PATTERNS, effort);
        let mut fresh = false;
        for (kind, patterns) in found.into_iter().enumerate() {
            if rest.bars.get(kind).is_none_or(|bars| *bars == 0) {
                continue;
            }
            let least = least.get(kind).copied().unwrap_or(f64::INFINITY);
            for one in patterns {
                if one.worth <= least {
                    continue;
                }
                let (number, new) = pool.add(Pattern { kind, take: one.take });
                if new && let Some(pattern) = pool.get(number) {
                    columns.push(column(number, pattern));
                    fresh = true;
                }
            }
        }
        if !fresh {
            break;
        }
    }
    read(task, &master, &columns, &places, scale)
}

fn read(task: &Task, master: &Master, columns: &[Column], places: &[usize], scale: f64) -> Relaxed {
    let mut levels = Vec::new();
    let mut shortage = 0.0;
    let mut cost = 0.0;
    for (basic, level) in master.solution() {
        match basic {
            Basic::Pattern(number) if level > 1e-6 => {
                levels.push((number, level));
                if let Ok(at) = columns.binary_search_by_key(&number, |column| column.number) {
                    cost += columns.get(at).map_or(0.0, |column| column.cost) * level * scale;
                }
            }
            Basic::Shortage(_) => shortage += level.max(0.0),
            _ => {}
        }
    }
    levels.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let mut prices = vec![0.0; task.sizes.len()];
    for (&place, &price) in places.iter().zip(master.prices()) {
        if let Some(slot) = prices.get_mut(place) {
            *slot = price.max(0.0);
        }
    }
    Relaxed { levels, shortage, cost, prices }
}
