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

/// Bars that are begun in the same way. A sorted list of them is gone through much more often than it is changed.
#[derive(Debug)]
struct Alike {
    begun: Begun,
    burden: f64,
    /// Their numbers, least first; never none.
    numbers: Vec<usize>,
}

/// How many partial splits are kept at each joint.
const KEPT: usize = 3;
/// How often every run is taken up and laid again at the most.
const ROUNDS: usize = 2;
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
    /// The bars begun, so that equal ones are looked at once.
    alike: Vec<Alike>,
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

/// The bar that a piece is best cut from, with what it takes of it, and the score of the split with that piece.
#[derive(Debug, Clone, Copy)]
struct Choice {
    score: f64,
    bar: (usize, usize),
}

impl<'a> Bench<'a> {
    pub(super) fn new(job: &BattenJob, joints: Joints<'a>, stagger: Stagger, runs: &[Run]) -> Self {
        let kerf = joints.kerf;
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
                && shorter.1 >= longer
            {
                stock.remove(index - 1);
            }
        }
        let rate = stock.iter().map(|&(room, cost)| cost / real(room.max(1))).fold(f64::INFINITY, f64::min);
        let bars: Vec<Begun> = job.offcuts.iter().map(|offcut| (Some(tenths(*offcut) + kerf), 0)).collect();
        let rows = runs.iter().map(|run| run.row + 1).max().unwrap_or(0);
        let mut bench = Self {
            joints,
            stagger,
            stock,
            rate,
            bars: Vec::new(),
            empty: BTreeSet::new(),
            alike: Vec::new(),
            standing: vec![vec![0; rows]; joints.rafters.len()],
            steps: Cell::new(0),
        };
        for (number, bar) in bars.iter().enumerate() {
            bench.gather(*bar, number);
        }
        Self { bars, ..bench }
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
        laid
    }

    /// Takes every run up and lays it again, round after round, until the bars cost no more than `enough` or a round
    /// betters nothing.
    pub(super) fn lay_again(&mut self, runs: &[Run], laid: &mut Vec<Option<Laid>>, enough: f64) {
        let mut least = (self.total(), laid.clone());
        for _ in 0..ROUNDS {
            if self.worth().0 <= enough {
                break;
            }
            for (run, slot) in runs.iter().zip(laid.iter_mut()) {
                let Some(old) = slot.take() else { continue };
                self.put(run, &old, false);
                let new = self.best(run).unwrap_or(old);
                self.put(run, &new, true);
                *slot = Some(new);
            }
            let total = self.total();
            if total >= least.0 - 1e-9 {
                break;
            }
            least = (total, laid.clone());
        }
        self.swap(runs, laid, &least.1);
        *laid = least.1;
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
            let whole = Part::new(run);
            let part = whole.grown(self.choose(&whole, run.to)?, run.to, None);
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
        let may_joint: Vec<bool> =
            (run.first..run.end).map(|rafter| !staggered || self.may_joint(rafter, run.row)).collect();
        for start in 0..=ends.len() {
            // Start 0 is the beginning of the run; start `k` is a joint on rafter `first + k - 1`.
            let from = if start == 0 {
                vec![Part::new(run)]
            } else {
                ends.get_mut(start - 1).map(core::mem::take).unwrap_or_default()
            };
            let Some(at) = from.first().map(|part| part.at) else { continue };
            let first = run.first + start.saturating_sub(1);
            if usize::try_from(run.to - at).is_ok_and(|rest| rest + self.joints.kerf <= longest)
                && (!long || self.joints.lawful(at, run.to, first, run.end))
            {
                for part in &from {
                    let Some(choice) = self.choose(part, run.to) else { continue };
                    if best.as_ref().is_none_or(|best| choice.score < best.score - 1e-9) {
                        best = Some(part.grown(choice, run.to, None));
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
                if !may_joint.get(rafter - run.first).is_some_and(|may| *may)
                    || (long && !self.joints.lawful(at, joint, first, rafter + 1))
                {
                    continue;
                }
                // What is left must be long enough too, or this is no place for a joint.
                if long && !self.joints.lawful(joint, run.to, rafter, run.end) {
                    continue;
                }
                let Some(slot) = ends.get_mut(rafter - run.first) else { continue };
                for part in &from {
                    let Some(choice) = self.choose(part, joint) else { continue };
                    let place = slot.partition_point(|other| other.score <= choice.score);
                    if place < KEPT {
                        slot.insert(place, part.grown(choice, joint, Some(rafter)));
                        slot.truncate(KEPT);
                    }
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

    /// The bar that suits the piece up to `to` best, and by how much the score of the part changes with it.
    fn choose(&self, part: &Part, to: i64) -> Option<Choice> {
        let length = usize::try_from(to - part.at).ok()? + self.joints.kerf;
        let mut best: Option<(f64, usize)> = None;
        let mut looked_at = part.bars.len() + 1;
        let mut consider = |number: usize, old: Begun, had: f64| {
            if let Some(after) = self.burden((old.0, old.1 + length)) {
                let change = after - had;
                if best.is_none_or(|(least, _)| change < least - 1e-9) {
                    best = Some((change, number));
                }
            }
        };
        // Of the bars bought only those with room left are looked at: they are few.
        let room = self.stock.last().map_or(0, |stock| stock.0);
        let most = room.checked_sub(length);
        let bought =
            self.alike.iter().take_while(|alike| most.is_some_and(|most| alike.begun <= (None, most)));
        let in_hand = self.alike.iter().skip(self.alike.partition_point(|alike| alike.begun.0.is_none()));
        for alike in bought.chain(in_hand) {
            looked_at += 1;
            let is_free = |number: &&usize| part.bars.iter().all(|(taken, _)| taken != *number);
            if let Some(&number) = alike.numbers.iter().find(is_free) {
                consider(number, alike.begun, alike.burden);
            }
        }
        self.steps.set(self.steps.get() + looked_at);
        for &(number, _) in &part.bars {
            let (hand, filled) = self.bars.get(number).copied().unwrap_or((None, 0));
            let added: usize =
                part.bars.iter().filter(|(other, _)| *other == number).map(|(_, length)| length).sum();
            let begun = (hand, filled + added);
            consider(number, begun, self.burden(begun).unwrap_or(0.0));
        }
        consider(self.fresh(part), (None, 0), 0.0);
        // A burden knows what is cut from a bar, the saw's dust with it; the dust is no use, so a further joint costs it.
        let dust = self.rate * real(self.joints.kerf);
        best.map(|(change, number)| Choice { score: part.score + change + dust, bar: (number, length) })
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
        let used = self.rate * real(filled);
        let of_use = self.joints.least + self.joints.kerf;
        let holding = self.stock.iter().rev().take_while(|(room, _)| *room >= filled);
        let burdens = holding.map(|&(room, cost)| {
            let left = room - filled;
            let kept = if left >= of_use { (1.0 - OFFCUT_LOSS) * self.rate * real(left) } else { 0.0 };
            cost - used - kept
        });
        burdens.reduce(f64::min)
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
            self.part_from(old, number);
            if new.0.is_some() || new.1 > 0 {
                self.gather(new, number);
                self.empty.remove(&number);
            } else {
                self.empty.insert(number);
            }
        }
    }

    /// Puts a bar to those that are begun like it.
    fn gather(&mut self, begun: Begun, number: usize) {
        match self.alike.binary_search_by_key(&begun, |alike| alike.begun) {
            Ok(place) => {
                if let Some(alike) = self.alike.get_mut(place) {
                    let after = alike.numbers.partition_point(|other| *other < number);
                    alike.numbers.insert(after, number);
                }
            }
            Err(place) => {
                let burden = self.burden(begun).unwrap_or(0.0);
                self.alike.insert(place, Alike { begun, burden, numbers: vec![number] });
            }
        }
    }

    /// Takes a bar from those that are begun like it.
    fn part_from(&mut self, begun: Begun, number: usize) {
        let Ok(place) = self.alike.binary_search_by_key(&begun, |alike| alike.begun) else { return };
        let Some(alike) = self.alike.get_mut(place) else { return };
        alike.numbers.retain(|other| *other != number);
        if alike.numbers.is_empty() {
            self.alike.remove(place);
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

    /// The part with one more piece, up to `to`, which is on a rafter unless the run ends there.
    fn grown(&self, choice: Choice, to: i64, rafter: Option<usize>) -> Self {
        let mut next = self.clone();
        next.score = choice.score;
        next.at = to;
        next.bars.push(choice.bar);
        next.joints.extend(rafter.map(|rafter| (rafter, to)));
        next
    }
}
