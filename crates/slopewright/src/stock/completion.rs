//! The exact search for small rests: fill one bar at a time, always with the longest piece left, and try every way of
//! filling it that leaves no room for a further piece.
//!
//! A bar with room for another piece need not be tried: moving a piece into it from another bar never makes a
//! packing worse. What is left empty in all bars together is known beforehand, so a bar that wastes more than that is
//! given up at once.

use std::collections::HashSet;

use super::{
    relax::Rest,
    task::{Effort, Packing, Pattern, Task},
};

/// What the search found out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Verdict {
    /// The pieces fit, like this.
    Fits(Packing),
    /// Every way was tried and none fits.
    Never,
    /// The effort ran out first.
    Unknown,
}

/// The most ways of filling one bar that are looked at; beyond it the answer can no longer be "never".
const MOST_WAYS: usize = 3000;

/// Whether the rest fits into its bars.
pub(super) fn complete(task: &Task, rest: &Rest, effort: &mut Effort) -> Verdict {
    let mut search = Search { task, failed: HashSet::new(), cut_short: false, effort, packing: Vec::new() };
    let mut rest = rest.clone();
    if search.go(&mut rest) {
        return Verdict::Fits(search.packing);
    }
    if search.cut_short { Verdict::Unknown } else { Verdict::Never }
}

struct Search<'a> {
    task: &'a Task,
    failed: HashSet<Rest>,
    cut_short: bool,
    effort: &'a mut Effort,
    packing: Packing,
}

struct Ways<'a> {
    task: &'a Task,
    due: &'a [usize],
    slack: usize,
    take: Vec<(usize, usize)>,
    found: Vec<(usize, Vec<(usize, usize)>)>,
    steps: usize,
}

impl Search<'_> {
    fn go(&mut self, rest: &mut Rest) -> bool {
        let Some(longest) = rest.due.iter().position(|due| *due > 0) else { return true };
        let room: usize = self.task.kinds.iter().zip(&rest.bars).map(|(kind, bars)| kind.room * bars).sum();
        let Some(slack) = room.checked_sub(self.task.load(&rest.due)) else { return false };
        if self.effort.spent() {
            self.cut_short = true;
            return false;
        }
        self.effort.spend(rest.due.len() + 50);
        if self.failed.contains(rest) {
            return false;
        }
        let mut all = Vec::new();
        for kind in 0..self.task.kinds.len() {
            let Some(free) = self.task.room(kind).checked_sub(self.task.size(longest)) else { continue };
            if rest.bars.get(kind).is_none_or(|bars| *bars == 0) {
                continue;
            }
            let mut due = rest.due.clone();
            if let Some(first) = due.get_mut(longest) {
                *first -= 1;
            }
            let mut ways =
                Ways { task: self.task, due: &due, slack, take: Vec::new(), found: Vec::new(), steps: 0 };
            ways.grow(longest, free, usize::MAX);
            self.effort.spend(ways.steps);
            self.cut_short |= ways.found.len() >= MOST_WAYS;
            all.extend(ways.found.into_iter().map(|(left, take)| (left, kind, take)));
        }
        all.sort();
        for (_, kind, mut take) in all {
            match take.first_mut() {
                Some((place, count)) if *place == longest => *count += 1,
                _ => take.insert(0, (longest, 1)),
            }
            let pattern = Pattern { kind, take };
            let mut next = rest.clone();
            next.cut(&pattern, 1);
            self.packing.push((pattern, 1));
            if self.go(&mut next) {
                return true;
            }
            self.packing.pop();
            if self.cut_short && self.effort.spent() {
                return false;
            }
        }
        self.failed.insert(rest.clone());
        false
    }
}

impl Ways<'_> {
    /// `left_out` is the shortest piece passed over so far.
    fn grow(&mut self, from: usize, free: usize, left_out: usize) {
        self.steps += 1;
        if self.found.len() >= MOST_WAYS {
            return;
        }
        let next = (from..self.due.len())
            .find(|&place| self.due.get(place).is_some_and(|due| *due > 0) && self.task.size(place) <= free);
        let Some(place) = next else {
            if free <= self.slack && left_out > free {
                self.found.push((free, self.take.clone()));
            }
            return;
        };
        let size = self.task.size(place);
        let due = self.due.get(place).copied().unwrap_or(0);
        let most = due.min(free / size.max(1));
        for count in (0..=most).rev() {
            if count > 0 {
                self.take.push((place, count));
            }
            let left_out = if count < due { left_out.min(size) } else { left_out };
            self.grow(place + 1, free - count * size, left_out);
            if count > 0 {
                self.take.pop();
            }
        }
    }
}
