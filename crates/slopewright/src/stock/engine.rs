//! The search as a whole: quick answers, the bound, and the search for a packing that meets it.

use super::{
    basket::{Baskets, Cheapest, Cut},
    completion::{Verdict, complete},
    dive::{Dive, MANY_SIZES, Taste},
    first_fit::{Choice, fit},
    knapsack::Pricer,
    relax::{Pool, Rest, relax},
    task::{Effort, Packing, Task},
};

/// What the search found.
#[derive(Debug, Clone)]
pub(super) struct Answer {
    /// The packing.
    pub(super) packing: Packing,
    /// Its cost.
    pub(super) cost: u64,
    /// No packing costs less than this.
    pub(super) bound: u64,
}

/// With more distinct sizes than this only the quick answers and the bound by length are worked out.
const MOST_SIZES: usize = 700;
/// How many baskets are tried for which no verdict is reached, before the search contents itself with its gap.
const MOST_OPEN: usize = 12;

/// Solves a task. `None` if the pieces do not fit into the bars there are, as far as the search can tell.
///
/// A packing known beforehand is where the search begins.
pub(super) fn solve(task: &Task, known: Option<Packing>, effort: &mut Effort) -> Option<Answer> {
    let limits: Vec<usize> = task.kinds.iter().map(|kind| kind.limit).collect();
    let mut baskets = Baskets::default();
    let by_length = Cut::by_length(&task.kinds, task.load(&task.demand));
    let least = by_length.least_cost(&task.kinds);
    baskets.learn(by_length);
    let known = known.filter(|packing| task.holds(packing)).map(|packing| (task.cost_of(&packing), packing));
    // Without effort to spend, what is known is as good as a quick answer.
    let quick = if known.is_some() && effort.spent() { None } else { quick(task, &limits, least) };
    let mut best = known.into_iter().chain(quick).min_by_key(|(cost, _)| *cost);
    let ceiling = |best: &Option<(u64, Packing)>| best.as_ref().map_or(u64::MAX, |(cost, _)| *cost);
    let mut bound = 0;
    let mut raise = |found: &Cheapest, best: &Option<(u64, Packing)>| {
        match found {
            Cheapest::Basket(cost, _) => bound = bound.max(*cost),
            Cheapest::NoneBelow => bound = ceiling(best),
            Cheapest::AtLeast(least) => bound = bound.max(*least),
        }
        bound
    };
    if best.is_some() {
        let first = raise(&baskets.cheapest(task, ceiling(&best), effort), &best);
        if first >= ceiling(&best) || task.sizes.len() > MOST_SIZES {
            return best.map(|(cost, packing)| Answer { packing, cost, bound: first.min(cost) });
        }
    }
    let mut pool = Pool::default();
    let mut pricer = Pricer::default();
    for (pattern, _) in best.iter().flat_map(|(_, packing)| packing) {
        pool.add(pattern.clone());
    }
    // A programme too large to be solved to its end is a place to dive from all the same.
    let given = effort.part(effort.left() / 20 * 9);
    let mut part = given;
    let top = relax(task, &Rest::whole(task, &limits), &mut pool, &mut pricer, &[], usize::MAX, &mut part);
    effort.settle(given, part);
    if let Some(cut) = Cut::from_prices(task, &top.prices, effort) {
        baskets.learn(cut);
    }
    let several = task.kinds.iter().filter(|kind| kind.cost > 0).count() > 1;
    let mut open_baskets = 0;
    let mut settled = true;
    let mut lower = raise(&baskets.cheapest(task, ceiling(&best), effort), &best);
    let mut first = true;
    while !effort.spent() {
        let found = baskets.cheapest(task, ceiling(&best), effort);
        if settled {
            lower = raise(&found, &best);
        }
        let Cheapest::Basket(cost, basket) = found else { break };
        // With several kinds any good packing helps to rule out baskets; with one, a packing of one bar too many is
        // sought before the last bar is fought for.
        let one_more = cost.saturating_add(task.kinds.iter().map(|kind| kind.cost).max().unwrap_or(0));
        if first && (several || ceiling(&best) > one_more) {
            first = false;
            let given = effort.part(effort.left() / if several { 3 } else { 2 });
            let mut part = given;
            let mut dive = Dive {
                task,
                pool: &mut pool,
                pricer: &mut pricer,
                effort: &mut part,
                target: if several { cost } else { one_more },
                best: best.take(),
                tight: false,
                taste: Taste::Part,
                hurried: true,
            };
            dive.run(Rest::whole(task, &limits), &top, 2);
            best = dive.best;
            effort.settle(given, part);
            continue;
        }
        let rest = Rest::whole(task, &basket);
        let start: Vec<usize> = top.levels.iter().map(|&(number, _)| number).collect();
        let relaxed = if several {
            relax(task, &rest, &mut pool, &mut pricer, &start, usize::MAX, effort)
        } else {
            top.clone()
        };
        if several
            && let Some(cut) = Cut::from_prices(task, &relaxed.prices, effort)
            && !cut.allows(&basket)
        {
            baskets.learn(cut);
            continue;
        }
        let verdict = pack(task, &rest, cost, &relaxed, &mut pool, &mut pricer, &mut best, effort);
        if !matches!(verdict, Verdict::Never) {
            if best.as_ref().is_some_and(|(had, _)| *had <= cost) {
                continue;
            }
            settled = false;
            open_baskets += 1;
            if open_baskets >= MOST_OPEN {
                break;
            }
        }
        baskets.refuse(basket);
    }
    best.map(|(cost, packing)| Answer { packing, cost, bound: lower.min(cost) })
}

/// The cheapest of the quick answers; the first that costs no more than `least`, if one does.
fn quick(task: &Task, limits: &[usize], least: u128) -> Option<(u64, Packing)> {
    let preferred = core::iter::once(None).chain((0..task.kinds.len()).map(Some));
    let mut best: Option<(u64, Packing)> = None;
    for (kind, choice) in
        preferred.flat_map(|kind| [Choice::First, Choice::Best].map(|choice| (kind, choice)))
    {
        let Some(packing) = fit(task, &task.demand, limits, kind, choice) else { continue };
        let cost = task.cost_of(&packing);
        if best.as_ref().is_none_or(|(known, _)| cost < *known) {
            best = Some((cost, packing));
        }
        if u128::from(cost) <= least {
            break;
        }
    }
    best
}

/// Tries to pack everything into one basket.
#[expect(clippy::too_many_arguments, reason = "the state of the search, handed on as it is")]
fn pack(
    task: &Task,
    rest: &Rest,
    target: u64,
    relaxed: &super::relax::Relaxed,
    pool: &mut Pool,
    pricer: &mut Pricer,
    best: &mut Option<(u64, Packing)>,
    effort: &mut Effort,
) -> Verdict {
    if rest.pieces() <= 60 {
        let given = effort.part(effort.left() / 8);
        let mut part = given;
        let verdict = complete(task, rest, &mut part);
        effort.settle(given, part);
        match verdict {
            Verdict::Fits(packing) => {
                *best = Some((task.cost_of(&packing), super::task::gathered(packing.clone())));
                return Verdict::Fits(packing);
            }
            Verdict::Never => return Verdict::Never,
            Verdict::Unknown => {}
        }
    }
    let tastes = [Taste::Few, Taste::Long, Taste::Part, Taste::Full];
    let large = rest.due.iter().filter(|due| **due > 0).count() > MANY_SIZES;
    let hurried = if large { &tastes[..] } else { &[] };
    let careful = [1, 2, 3, 4, 5, 7, 10, 14, 20, 30]
        .into_iter()
        .flat_map(|steps| tastes.map(|taste| (steps, taste, false)));
    for (steps_back, taste, hurried) in hurried.iter().map(|&taste| (1, taste, true)).chain(careful) {
        let mut dive =
            Dive { task, pool, pricer, effort, target, best: best.take(), tight: true, taste, hurried };
        let met = dive.run(rest.clone(), relaxed, steps_back);
        *best = dive.best;
        if met || effort.spent() {
            break;
        }
    }
    Verdict::Unknown
}
