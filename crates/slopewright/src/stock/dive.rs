//! Diving: solve the relaxation, keep what it says clearly, solve the rest again, and step back a little where it fails.

use super::{
    completion::{Verdict, complete},
    first_fit::{Choice, fit},
    knapsack::Pricer,
    relax::{Pool, Relaxed, Rest, relax},
    task::{Effort, Packing, Pattern, Task, gathered, real, real_cost},
};

/// The state of a search for a packing within a budget.
#[derive(Debug)]
pub(super) struct Dive<'a> {
    pub(super) task: &'a Task,
    pub(super) pool: &'a mut Pool,
    pub(super) pricer: &'a mut Pricer,
    pub(super) effort: &'a mut Effort,
    /// The search ends as soon as a packing costs no more than this.
    pub(super) target: u64,
    /// The best packing so far and its cost.
    pub(super) best: Option<(u64, Packing)>,
    /// Whether bars are limited to just about what is wanted, so that an exact search of small rests pays.
    pub(super) tight: bool,
    /// Which pattern is kept first.
    pub(super) taste: Taste,
    /// Whether large programmes are hurried: several patterns kept at once, few rounds of pricing between.
    pub(super) hurried: bool,
}

/// What makes one pattern preferred to another when neither is whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Taste {
    /// The nearest to a whole number.
    Part,
    /// The fullest.
    Full,
    /// The one with the fewest pieces.
    Few,
    /// The one with the longest piece.
    Long,
}

struct Node {
    rest: Rest,
    fixed: Packing,
    spent: u64,
}

/// Rests of at most so many pieces are searched exactly.
const SMALL_REST: usize = 27;
/// Steps back are made where at most so many pieces are left: there they are cheap, and that is where dives fail.
const LATE: usize = 50;
/// The square of the sizes still due, over this, is how many patterns more are kept at once.
const SIZES_SQUARED_TO_A_PATTERN: usize = 6_000;
/// With more sizes than this still due, a programme is not solved to its end on the way down.
pub(super) const MANY_SIZES: usize = 60;
/// So many rounds of pricing it gets then.
const FEW_ROUNDS: usize = 8;
/// How near to a whole number a level must be to count as one.
const NEARLY: f64 = 1e-3;

impl Dive<'_> {
    /// Searches from the top, with so many steps back allowed along one path. True if the target was met.
    pub(super) fn run(&mut self, rest: Rest, top: &Relaxed, steps_back: usize) -> bool {
        let node = Node { rest, fixed: Vec::new(), spent: 0 };
        self.branch(&node, top, steps_back, &mut Vec::new())
    }

    fn offer(&mut self, packing: Packing) -> bool {
        let cost = self.task.cost_of(&packing);
        if self.best.as_ref().is_none_or(|(best, _)| cost < *best) && self.task.holds(&packing) {
            self.best = Some((cost, gathered(packing)));
        }
        self.met()
    }

    fn met(&self) -> bool {
        self.best.as_ref().is_some_and(|(best, _)| *best <= self.target)
    }

    /// The quick answers for what is left.
    fn round(&mut self, node: &Node) -> bool {
        for choice in [Choice::First, Choice::Best] {
            if let Some(tail) = fit(self.task, &node.rest.due, &node.rest.bars, None, choice)
                && self.offer(node.fixed.iter().cloned().chain(tail).collect())
            {
                return true;
            }
        }
        false
    }

    fn visit(&mut self, node: &Node, start: &[usize], steps_back: usize, tabu: &mut Vec<usize>) -> bool {
        let pieces = node.rest.pieces();
        if pieces == 0 {
            return self.offer(node.fixed.clone());
        }
        if self.round(node) {
            return true;
        }
        if self.effort.spent() {
            return false;
        }
        if self.tight && pieces <= SMALL_REST {
            let given = self.effort.part(3_000_000);
            let mut part = given;
            let verdict = complete(self.task, &node.rest, &mut part);
            self.effort.settle(given, part);
            return match verdict {
                Verdict::Fits(tail) => self.offer(node.fixed.iter().cloned().chain(tail).collect()),
                Verdict::Never | Verdict::Unknown => false,
            };
        }
        let sizes = node.rest.due.iter().filter(|due| **due > 0).count();
        let rounds = if self.hurried && sizes > MANY_SIZES { FEW_ROUNDS } else { usize::MAX };
        let relaxed = relax(self.task, &node.rest, self.pool, self.pricer, start, rounds, self.effort);
        // Without limits on the bars, anything better than what is had is worth going on for.
        let had = self.best.as_ref().map_or(0, |(cost, _)| cost.saturating_sub(1));
        let most = if self.tight { self.target } else { self.target.max(had) };
        let over = real_cost(node.spent) + relaxed.cost > real_cost(most) + 0.001;
        if relaxed.shortage > 0.01 || (self.best.is_some() && over) || self.effort.spent() {
            return false;
        }
        self.branch(node, &relaxed, steps_back, tabu)
    }

    fn branch(&mut self, node: &Node, relaxed: &Relaxed, steps_back: usize, tabu: &mut Vec<usize>) -> bool {
        let kept = tabu.len();
        let mut steps_back = steps_back;
        let start: Vec<usize> = relaxed.levels.iter().map(|&(number, _)| number).collect();
        while let Some((child, chosen)) = self.fix(node, relaxed, tabu) {
            let done = self.visit(&child, &start, steps_back, tabu);
            if done || self.effort.spent() {
                tabu.truncate(kept);
                return done;
            }
            let Some(chosen) = chosen else { break };
            if steps_back == 0 || node.rest.pieces() > LATE {
                break;
            }
            steps_back -= 1;
            tabu.push(chosen);
        }
        tabu.truncate(kept);
        false
    }

    /// Keeps the whole parts and one pattern more: the one nearest to its next whole number.
    fn fix(&self, node: &Node, relaxed: &Relaxed, tabu: &[usize]) -> Option<(Node, Option<usize>)> {
        let mut child = Node { rest: node.rest.clone(), fixed: node.fixed.clone(), spent: node.spent };
        let mut parts: Vec<(f64, usize)> = Vec::new();
        let liking = |part: f64, pattern: &Pattern| {
            let free = real(self.task.room(pattern.kind) - self.task.filled(pattern))
                / real(self.task.room(pattern.kind).max(1));
            match self.taste {
                Taste::Part => part,
                Taste::Full => (1.0 - free) + 0.02 * part,
                Taste::Few => part - 0.1 * real(pattern.take.iter().map(|&(_, count)| count).sum()),
                Taste::Long => {
                    part + 0.5
                        * pattern.take.first().map_or(0.0, |&(place, _)| {
                            real(self.task.size(place)) / real(self.task.room(pattern.kind).max(1))
                        })
                }
            }
        };
        for &(number, level) in &relaxed.levels {
            let Some(pattern) = self.pool.get(number) else { continue };
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "levels are small and not negative"
            )]
            let whole = (level + NEARLY).floor() as usize;
            let times = whole.min(child.rest.times(pattern));
            if times > 0 {
                child.keep(self.task, number, self.pool, times);
            }
            let part = level - real(whole);
            if part > NEARLY && !tabu.contains(&number) {
                parts.push((liking(part, pattern), number));
            }
        }
        parts.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let chosen = parts
            .iter()
            .map(|&(_, number)| number)
            .find(|&number| self.pool.get(number).is_some_and(|pattern| child.rest.times(pattern) > 0));
        if let Some(number) = chosen {
            child.keep(self.task, number, self.pool, 1);
            // A large programme is slow to solve again: a few patterns more are kept before it is.
            let sizes = child.rest.due.iter().filter(|due| **due > 0).count();
            let mut more = if self.hurried { sizes * sizes / SIZES_SQUARED_TO_A_PATTERN } else { 0 };
            for &(_, number) in &parts {
                let fits = self.pool.get(number).is_some_and(|pattern| child.rest.times(pattern) > 0);
                if more > 0 && fits {
                    child.keep(self.task, number, self.pool, 1);
                    more -= 1;
                }
            }
        }
        (child.fixed.len() > node.fixed.len()).then_some((child, chosen))
    }
}

impl Node {
    fn keep(&mut self, task: &Task, number: usize, pool: &Pool, times: usize) {
        if let Some(pattern) = pool.get(number) {
            self.rest.cut(pattern, times);
            self.spent += task.cost(pattern.kind) * times as u64;
            self.fixed.push((pattern.clone(), times));
        }
    }
}
