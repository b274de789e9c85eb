//! Choosing the joints: row after row, each run is split where it wastes least, given the bars already begun.
//!
//! A bar begun is known by what is cut from it so far; its kind is settled late, as the cheapest length that holds it.
//! Each way of splitting a run is grown from left to right, rafter by rafter, and only the most promising few are kept.
//! Afterwards every run is taken up and laid again, a stated number of rounds, now that its neighbours are known.

use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};

use super::{
    battens::{BattenJob, Exception, Stagger},
    battens_bound::Joints,
    job::tenths,
    task::real,
};

/// A run to be laid. Places are tenths of a millimetre along the row.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    pub(super) row: usize,
    pub(super) from: i64,
    pub(super) to: i64,
    /// The first rafter under it and the one after the last.
    pub(super) first: usize,
    pub(super) end: usize,
}

/// A run as it is laid: its joints by rafter and by place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Laid {
    joints: Vec<(usize, i64)>,
    pub(super) exception: Option<Exception>,
    /// For each piece its bar and what it takes of it.
    pub(super) bars: Vec<(usize, usize)>,
}

impl Laid {
    /// The pieces from left to right, each from and to.
    pub(super) fn spans(&self, run: &Run) -> Vec<(i64, i64)> {
        let starts = core::iter::once(run.from).chain(self.joints.iter().map(|joint| joint.1));
        let ends = self.joints.iter().map(|joint| joint.1).chain([run.to]);
        starts.zip(ends).collect()
    }
}

/// A bar with something cut from it: the offcut in hand that it is, if it is one, and the length cut with its kerfs.
type Begun = (Option<usize>, usize);

/// How many partial splits are kept at each joint.
const KEPT: usize = 6;
/// How often every run is taken up and laid again.
const ROUNDS: usize = 4;
/// What a useful offcut is taken to lose of its worth: it should be used, not gathered.
const OFFCUT_LOSS: f64 = 0.12;

/// The saw bench: the bars begun and the joints laid.
#[derive(Debug)]
pub(super) struct Bench<'a> {
    pub(super) joints: Joints<'a>,
    stagger: Stagger,
    /// Rooms and costs of the stock, shortest first, none dearer than a longer one.
    pub(super) stock: Vec<(usize, f64)>,
    /// The least cost of one unit of length.
    rate: f64,
    /// Every bar begun.
    pub(super) bars: Vec<Begun>,
    /// Bars that all was taken up from again.
    empty: BTreeSet<usize>,
    /// The bars by what is cut from them, so that equal ones are looked at once.
    begun: BTreeMap<Begun, BTreeSet<usize>>,
    /// For each rafter, how many joints stand on it in each row.
    standing: Vec<Vec<u8>>,
    /// How many bars were looked at for a piece so far: the measure of the work done.
    steps: Cell<usize>,
}

#[derive(Debug, Clone)]
struct Part {
    score: f64,
    at: i64,
    joints: Vec<(usize, i64)>,
    bars: Vec<(usize, usize)>,
}

impl<'a> Bench<'a> {
    pub(super) fn new(job: &BattenJob, rafters: &'a [i64], stagger: Stagger, runs: &[Run]) -> Self {
        let kerf = tenths(job.kerf);
        let mut stock: Vec<(usize, f64)> = job
            .stock
            .iter()
            .map(|stock| {
                let length = tenths(stock.length);
                let price =
                    stock.price.map_or(real(length), |price| price.try_into().unwrap_or(real(length)));
                (length + kerf, price)
            })
            .collect();
        stock.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        for index in (1..stock.len()).rev() {
            if let (Some(&(_, longer)), Some(shorter)) = (stock.get(index), stock.get(index - 1))
                && shorter.1 > longer
            {
                stock.remove(index - 1);
            }
        }
        let rate = stock.iter().map(|&(room, cost)| cost / real(room.max(1))).fold(f64::INFINITY, f64::min);
        let bars: Vec<Begun> = job.offcuts.iter().map(|offcut| (Some(tenths(*offcut) + kerf), 0)).collect();
        let mut begun: BTreeMap<Begun, BTreeSet<usize>> = BTreeMap::new();
        for (number, bar) in bars.iter().enumerate() {
            begun.entry(*bar).or_default().insert(number);
        }
        let rows = runs.iter().map(|run| run.row + 1).max().unwrap_or(0);
        Self {
            joints: Joints {
                rafters,
                least: tenths(job.rule.least_length),
                supports: job.rule.least_supports,
                kerf,
            },
            stagger,
            stock,
            rate,
            bars,
            empty: BTreeSet::new(),
            begun,
            standing: vec![vec![0; rows]; rafters.len()],
            steps: Cell::new(0),
        }
    }

    /// Lays every run. `None` stands for a run that cannot be laid at all.
    pub(super) fn lay(&mut self, runs: &[Run]) -> Vec<Option<Laid>> {
        let mut laid: Vec<Option<Laid>> = Vec::with_capacity(runs.len());
        for run in runs {
            let one = self.best(run);
            if let Some(one) = &one {
                self.put(run, one, true);
            }
            laid.push(one);
        }
        let mut least = (self.total(), laid.clone());
        for _ in 0..ROUNDS {
            for (run, slot) in runs.iter().zip(&mut laid) {
                let Some(old) = slot.take() else { continue };
                self.put(run, &old, false);
                let new = self.best(run).unwrap_or(old);
                self.put(run, &new, true);
                *slot = Some(new);
            }
            let total = self.total();
            if total < least.0 - 1e-9 {
                least = (total, laid.clone());
            }
        }
        self.swap(runs, &laid, &least.1);
        least.1
    }

    /// Takes up every run as laid and lays it in another way.
    pub(super) fn swap(&mut self, runs: &[Run], old: &[Option<Laid>], new: &[Option<Laid>]) {
        for (laid, down) in [(old, false), (new, true)] {
            for (run, laid) in runs.iter().zip(laid) {
                if let Some(laid) = laid {
                    self.put(run, laid, down);
                }
            }
        }
    }

    /// What is cut from each bar, in tenths of a millimetre.
    pub(super) fn bars_of(&self, laid: &[Option<Laid>]) -> Vec<Vec<usize>> {
        let mut bars: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for &(number, length) in laid.iter().flatten().flat_map(|laid| &laid.bars) {
            bars.entry(number).or_default().push(length.saturating_sub(self.joints.kerf));
        }
        bars.into_values().collect()
    }

    /// The first of the three degrees of strictness under which the run can be laid.
    pub(super) fn best(&self, run: &Run) -> Option<Laid> {
        let short = self.joints.is_short(run);
        let one = |exception| {
            let part = self.extend(&Part::new(run), run.to, None)?;
            Some(Laid { joints: part.joints, exception, bars: part.bars })
        };
        if short && let Some(one) = one(Some(Exception::ShortRun)) {
            return Some(one);
        }
        self.split(run, true, true)
            .map(|part| Laid { joints: part.joints, exception: None, bars: part.bars })
            .or_else(|| {
                self.split(run, true, false).map(|part| Laid {
                    joints: part.joints,
                    exception: Some(Exception::Stagger),
                    bars: part.bars,
                })
            })
            .or_else(|| {
                self.split(run, false, true).or_else(|| self.split(run, false, false)).map(|part| Laid {
                    joints: part.joints,
                    exception: Some(Exception::ShortPiece),
                    bars: part.bars,
                })
            })
    }

    /// The best split of a run: the partial splits that end at each rafter, grown to the next ones.
    fn split(&self, run: &Run, long: bool, staggered: bool) -> Option<Part> {
        let mut ends: Vec<Vec<Part>> = vec![Vec::new(); run.end - run.first];
        let mut best: Option<Part> = None;
        let longest = self.longest();
        for start in 0..=ends.len() {
            // Start 0 is the beginning of the run; start `k` is a joint on rafter `first + k - 1`.
            let from = if start == 0 {
                vec![Part::new(run)]
            } else {
                ends.get(start - 1).cloned().unwrap_or_default()
            };
            let Some(at) = from.first().map(|part| part.at) else { continue };
            let first = run.first + start.saturating_sub(1);
            if usize::try_from(run.to - at).is_ok_and(|rest| rest + self.joints.kerf <= longest)
                && (!long || self.joints.lawful(at, run.to, first, run.end))
            {
                for part in from.iter().filter_map(|part| self.extend(part, run.to, None)) {
                    if best.as_ref().is_none_or(|best| part.score < best.score - 1e-9) {
                        best = Some(part);
                    }
                }
            }
            for rafter in first..run.end {
                let Some(&joint) = self.joints.rafters.get(rafter) else { break };
                if joint <= at || joint >= run.to {
                    continue;
                }
                if usize::try_from(joint - at).is_ok_and(|length| length + self.joints.kerf > longest) {
                    break;
                }
                if (long && !self.joints.lawful(at, joint, first, rafter + 1))
                    || (staggered && !self.may_joint(rafter, run.row))
                {
                    continue;
                }
                // What is left must be long enough too, or this is no place for a joint.
                if long && !self.joints.lawful(joint, run.to, rafter, run.end) {
                    continue;
                }
                if let Some(slot) = ends.get_mut(rafter - run.first) {
                    slot.extend(from.iter().filter_map(|part| self.extend(part, joint, Some(rafter))));
                    slot.sort_by(|a, b| a.score.total_cmp(&b.score));
                    slot.truncate(KEPT);
                }
            }
        }
        best
    }

    fn longest(&self) -> usize {
        let bought = self.stock.last().map_or(0, |stock| stock.0);
        self.bars.iter().filter_map(|bar| bar.0).fold(bought, usize::max)
    }

    /// Whether one more joint on a rafter in a row keeps the stagger in every group of rows that holds the row.
    fn may_joint(&self, rafter: usize, row: usize) -> bool {
        let Some(standing) = self.standing.get(rafter) else { return false };
        let span = self.stagger.rows;
        let low = (row + 1).saturating_sub(span);
        (low..=row).all(|from| {
            let within = standing.get(from..(from + span).min(standing.len())).unwrap_or_default();
            within.iter().map(|count| usize::from(*count)).sum::<usize>() < self.stagger.joints
        })
    }

    /// Adds the piece up to `to`, cut from whatever bar it suits best.
    fn extend(&self, part: &Part, to: i64, rafter: Option<usize>) -> Option<Part> {
        let length = usize::try_from(to - part.at).ok()? + self.joints.kerf;
        let mut choice: Option<(f64, usize)> = None;
        let mut consider = |number: usize, old: Begun| {
            if let Some(after) = self.burden((old.0, old.1 + length)) {
                let change = after - self.burden(old).unwrap_or(0.0);
                if choice.is_none_or(|(best, _)| change < best - 1e-9) {
                    choice = Some((change, number));
                }
            }
        };
        for (&begun, numbers) in &self.begun {
            if let Some(&number) =
                numbers.iter().find(|number| part.bars.iter().all(|(taken, _)| taken != *number))
            {
                consider(number, begun);
            }
        }
        self.steps.set(self.steps.get() + self.begun.len() + part.bars.len() + 1);
        for &(number, _) in &part.bars {
            let (hand, filled) = self.bars.get(number).copied().unwrap_or((None, 0));
            let added: usize =
                part.bars.iter().filter(|(other, _)| *other == number).map(|(_, length)| length).sum();
            consider(number, (hand, filled + added));
        }
        consider(self.fresh(part), (None, 0));
        let (change, number) = choice?;
        let mut next = part.clone();
        next.score += change;
        next.at = to;
        next.bars.push((number, length));
        if let Some(rafter) = rafter {
            next.joints.push((rafter, to));
        }
        Some(next)
    }

    /// A bar with nothing cut from it.
    fn fresh(&self, part: &Part) -> usize {
        let taken = |number: &usize| part.bars.iter().any(|(taken, _)| taken == number);
        self.empty.iter().copied().find(|number| !taken(number)).unwrap_or_else(|| {
            part.bars.iter().map(|(number, _)| number + 1).fold(self.bars.len(), usize::max)
        })
    }

    /// The work done so far.
    pub(super) fn steps(&self) -> usize {
        self.steps.get()
    }

    /// What a bar begun costs beyond the worth of what is cut from it. `None` if no length holds it.
    fn burden(&self, (hand, filled): Begun) -> Option<f64> {
        if let Some(room) = hand {
            return (filled <= room).then(|| -self.rate * real(filled));
        }
        if filled == 0 {
            return Some(0.0);
        }
        // A longer bar may be the better buy, if what is left of it is of use.
        self.stock
            .iter()
            .filter(|(room, _)| *room >= filled)
            .map(|&(room, cost)| {
                let left = room - filled;
                let used = self.rate * real(filled);
                let kept = if left >= self.joints.least + self.joints.kerf {
                    (1.0 - OFFCUT_LOSS) * self.rate * real(left)
                } else {
                    0.0
                };
                cost - used - kept
            })
            .min_by(f64::total_cmp)
    }

    /// Books a run as laid, or takes it up again.
    pub(super) fn put(&mut self, run: &Run, laid: &Laid, down: bool) {
        for &(rafter, _) in &laid.joints {
            if let Some(count) = self.standing.get_mut(rafter).and_then(|rows| rows.get_mut(run.row)) {
                *count = if down { count.saturating_add(1) } else { count.saturating_sub(1) };
            }
        }
        for &(number, length) in &laid.bars {
            while self.bars.len() <= number {
                self.empty.insert(self.bars.len());
                self.bars.push((None, 0));
            }
            let Some(bar) = self.bars.get_mut(number) else { continue };
            let old = *bar;
            bar.1 = if down { bar.1 + length } else { bar.1.saturating_sub(length) };
            let new = *bar;
            if let Some(numbers) = self.begun.get_mut(&old) {
                numbers.remove(&number);
                if numbers.is_empty() {
                    self.begun.remove(&old);
                }
            }
            if new.0.is_some() || new.1 > 0 {
                self.begun.entry(new).or_default().insert(number);
                self.empty.remove(&number);
            } else {
                self.empty.insert(number);
            }
        }
    }

    /// What all bars begun cost beyond the worth of what is cut from them.
    pub(super) fn total(&self) -> f64 {
        self.bars.iter().filter_map(|bar| self.burden(*bar)).sum()
    }
}

impl Part {
    fn new(run: &Run) -> Self {
        Self { score: 0.0, at: run.from, joints: Vec::new(), bars: Vec::new() }
    }
}
