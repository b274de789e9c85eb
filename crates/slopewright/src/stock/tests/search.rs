//! The parts of the search, each against every way there is on tasks small enough for that.

use super::super::{
    basket::{Baskets, Cheapest, Cut},
    battens_bound::Joints,
    battens_lay::Run,
    completion::{Verdict, complete},
    first_fit::{Choice, fit},
    knapsack::Pricer,
    relax::{Pool, Rest, relax},
    task::{Effort, Kind, Packing, Pattern, Task, gathered, real, real_cost},
};
use super::{Dice, EveryWay};

const ENOUGH: u64 = 100_000_000;

fn whole(value: u64) -> usize {
    usize::try_from(value).unwrap()
}

/// A task of a few sizes and kinds, longest size first.
fn task(dice: &mut Dice, most_kinds: u64, limit: u64) -> Task {
    let mut sizes: Vec<usize> = (0..dice.range(1, 4)).map(|_| whole(dice.range(3, 16))).collect();
    sizes.sort_unstable_by(|one, other| other.cmp(one));
    sizes.dedup();
    let demand = sizes.iter().map(|_| whole(dice.range(1, 3))).collect();
    let kinds = (0..dice.range(1, most_kinds))
        .map(|_| Kind { room: whole(dice.range(16, 30)), cost: dice.range(1, 20), limit: whole(limit) })
        .collect();
    Task { sizes, demand, kinds }
}

/// The least cost by every way there is.
fn least(task: &Task, bars: &[usize]) -> Option<u64> {
    let pieces = task.sizes.iter().zip(&task.demand);
    let every = EveryWay {
        pieces: pieces.flat_map(|(size, count)| vec![*size as u64; *count]).collect(),
        kinds: task.kinds.iter().zip(bars).map(|(kind, bars)| (kind.room as u64, kind.cost, *bars)).collect(),
        best: None,
    };
    every.least()
}

/// Every pattern that a bar with this room can be cut by, the empty one left out.
fn patterns(task: &Task, room: usize) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = vec![Vec::new()];
    for due in &task.demand {
        all = all
            .iter()
            .flat_map(|had| (0..=*due).map(|count| [had.clone(), vec![count]].concat()))
            .filter(|counts| {
                counts.iter().zip(&task.sizes).map(|(count, size)| count * size).sum::<usize>() <= room
            })
            .collect();
    }
    all.retain(|counts| counts.iter().any(|count| *count > 0));
    all
}

#[test]
fn the_relaxation_carries_its_own_proof() {
    // Prices under which no pattern is worth more than its bar, and all pieces together worth what the answer costs: by the
    // duality of linear programmes (von Neumann; Gale, Kuhn and Tucker 1951) no answer costs less.
    let mut dice = Dice(11);
    for number in 0..400 {
        let task = task(&mut dice, 3, 99);
        let bars: Vec<usize> = task.kinds.iter().map(|kind| kind.limit).collect();
        let (mut pool, mut pricer) = (Pool::default(), Pricer::default());
        let rest = Rest::whole(&task, &bars);
        let found = relax(&task, &rest, &mut pool, &mut pricer, &[], usize::MAX, &mut Effort::of(ENOUGH));
        assert!(found.shortage < 1e-3, "{number}: {}", found.shortage);
        let dearest = real_cost(task.kinds.iter().map(|kind| kind.cost).max().unwrap());
        for kind in &task.kinds {
            for counts in patterns(&task, kind.room) {
                let worth: f64 =
                    counts.iter().zip(&found.prices).map(|(count, price)| real(*count) * price).sum();
                assert!(
                    worth * dearest <= real_cost(kind.cost) + 1e-4,
                    "{number}: {counts:?} {found:?} {task:?}"
                );
            }
        }
        let all: f64 = task.demand.iter().zip(&found.prices).map(|(due, price)| real(*due) * price).sum();
        assert!(
            (all * dearest - found.cost).abs() < 1e-2,
            "{number}: {all} x {dearest} against {}",
            found.cost
        );
        // The levels cut every piece and cost what is said.
        let mut cut = vec![0.0; task.sizes.len()];
        let mut cost = 0.0;
        for (pattern, level) in &found.levels {
            let pattern = pool.get(*pattern).unwrap();
            assert!(task.filled(pattern) <= task.room(pattern.kind), "{number}");
            cost += level * real_cost(task.cost(pattern.kind));
            for (place, count) in &pattern.take {
                cut[*place] += level * real(*count);
            }
        }
        assert!((cost - found.cost).abs() < 1e-3, "{number}: {cost} {}", found.cost);
        assert!(cut.iter().zip(&task.demand).all(|(cut, due)| *cut > real(*due) - 1e-3), "{number}");
        assert!(found.levels.is_sorted_by(|one, other| one.1 >= other.1), "{number}");
        // And whole bars cost no less.
        assert!(found.cost <= real_cost(least(&task, &bars).unwrap()) + 1e-2, "{number}");
    }
}

#[test]
fn a_shortage_is_what_no_bar_is_left_for() {
    // Two pieces of 10 and one bar of 16: one is short.
    let kinds = vec![Kind { room: 16, cost: 3, limit: 1 }];
    let task = Task { sizes: vec![10], demand: vec![2], kinds };
    let (mut pool, mut pricer) = (Pool::default(), Pricer::default());
    let rest = Rest::whole(&task, &[1]);
    let found = relax(&task, &rest, &mut pool, &mut pricer, &[], usize::MAX, &mut Effort::of(ENOUGH));
    assert!((found.shortage - 1.0).abs() < 1e-3, "{found:?}");
    assert!((found.cost - 3.0).abs() < 1e-3, "{found:?}");
}

#[test]
fn the_exact_search_says_whether_pieces_fit() {
    let mut dice = Dice(12);
    let (mut fit, mut never) = (0, 0);
    for number in 0..600 {
        let mut task = task(&mut dice, 2, 9);
        for kind in &mut task.kinds {
            kind.limit = whole(dice.range(0, 3));
        }
        let bars: Vec<usize> = task.kinds.iter().map(|kind| kind.limit).collect();
        let verdict = complete(&task, &Rest::whole(&task, &bars), &mut Effort::of(ENOUGH));
        match verdict {
            Verdict::Fits(packing) => {
                assert!(task.holds(&gathered(packing)), "{number}: {task:?}");
                fit += 1;
            }
            Verdict::Never => {
                assert_eq!(least(&task, &bars), None, "{number}: {task:?}");
                never += 1;
            }
            Verdict::Unknown => panic!("{number} is small enough for a verdict"),
        }
    }
    assert!(fit > 150 && never > 150, "{fit} {never}");
    // Nothing due fits into nothing; and without effort there is no verdict.
    let none = Task { sizes: vec![5], demand: vec![0], kinds: vec![] };
    assert_eq!(complete(&none, &Rest::whole(&none, &[]), &mut Effort::of(0)), Verdict::Fits(Vec::new()));
    let one = Task { sizes: vec![5], demand: vec![1], kinds: vec![Kind { room: 5, cost: 1, limit: 1 }] };
    assert_eq!(complete(&one, &Rest::whole(&one, &[1]), &mut Effort::of(0)), Verdict::Unknown);
}

/// First or best fit, piece by piece, into bars of one kind: what is in each bar, piece by piece.
fn one_by_one(task: &Task, choice: Choice) -> Vec<Vec<usize>> {
    let room = task.kinds[0].room;
    let mut bars: Vec<Vec<usize>> = Vec::new();
    for (size, due) in task.sizes.iter().zip(&task.demand) {
        for _ in 0..*due {
            let free = |bar: &Vec<usize>| room - bar.iter().sum::<usize>();
            let mut fitting: Vec<usize> = (0..bars.len()).filter(|at| free(&bars[*at]) >= *size).collect();
            if choice == Choice::Best {
                fitting.sort_by_key(|at| free(&bars[*at]));
            }
            match fitting.first() {
                Some(at) => bars[*at].push(*size),
                None => bars.push(vec![*size]),
            }
        }
    }
    bars.sort();
    bars
}

fn contents(task: &Task, packing: &Packing) -> Vec<Vec<usize>> {
    let pieces = |pattern: &Pattern| -> Vec<usize> {
        pattern.take.iter().flat_map(|(place, count)| vec![task.sizes[*place]; *count]).collect()
    };
    let mut bars: Vec<Vec<usize>> =
        packing.iter().flat_map(|(pattern, times)| vec![pieces(pattern); *times]).collect();
    bars.sort();
    bars
}

#[test]
fn quick_answers_are_first_fit_and_best_fit() {
    let mut dice = Dice(13);
    let mut differ = 0;
    for number in 0..500 {
        let mut task = task(&mut dice, 1, 99);
        task.kinds[0].room = whole(dice.range(16, 40));
        let of =
            |choice| fit(&task, &task.demand, &[99], None, choice).map(|packing| contents(&task, &packing));
        for choice in [Choice::First, Choice::Best] {
            assert_eq!(of(choice), Some(one_by_one(&task, choice)), "{number} {choice:?} {task:?}");
        }
        differ += usize::from(of(Choice::First) != of(Choice::Best));
    }
    assert!(differ > 0);
}

#[test]
fn quick_answers_keep_every_limit() {
    let mut dice = Dice(14);
    let (mut answered, mut in_hand) = (0, 0);
    for number in 0..600 {
        let mut task = task(&mut dice, 3, 9);
        for kind in &mut task.kinds {
            kind.limit = whole(dice.range(0, 4));
            // Now and then one that is in hand.
            kind.cost *= u64::from(dice.range(0, 3) > 0);
        }
        let limits: Vec<usize> = task.kinds.iter().map(|kind| kind.limit).collect();
        for preferred in [None, Some(0), Some(task.kinds.len() - 1)] {
            let Some(packing) = fit(&task, &task.demand, &limits, preferred, Choice::First) else { continue };
            assert!(task.holds(&packing), "{number} {task:?} {packing:?}");
            assert!(least(&task, &limits).is_some_and(|least| least <= task.cost_of(&packing)), "{number}");
            answered += 1;
            in_hand += usize::from(packing.iter().any(|(pattern, _)| task.cost(pattern.kind) == 0));
        }
    }
    assert!(answered > 300 && in_hand > 50, "{answered} {in_hand}");
}

#[test]
fn a_bar_is_exchanged_for_a_cheaper_one_that_holds_as_much() {
    // One piece of 10: the bar of 30 for 12 costs least for its room, that of 16 for 8 costs less by itself. A piece of 17
    // stays where it is.
    let kinds = vec![Kind { room: 30, cost: 12, limit: 9 }, Kind { room: 16, cost: 8, limit: 1 }];
    let kind_of = |sizes: Vec<usize>, demand: Vec<usize>| {
        let task = Task { sizes, demand, kinds: kinds.clone() };
        let packing = fit(&task, &task.demand, &[9, 1], None, Choice::First).unwrap();
        packing.iter().flat_map(|(pattern, times)| vec![pattern.kind; *times]).collect::<Vec<_>>()
    };
    assert_eq!(kind_of(vec![10], vec![1]), [1]);
    assert_eq!(kind_of(vec![16], vec![1]), [1]);
    assert_eq!(kind_of(vec![17], vec![1]), [0]);
    // There is one of them only: three pieces of 16 are two bars of 30 and that one.
    assert_eq!(kind_of(vec![16], vec![3]), [0, 0, 1]);
}

#[test]
fn the_cheapest_basket_is_the_cheapest_of_all() {
    let mut dice = Dice(15);
    let (mut found, mut none, mut refused) = (0, 0, 0);
    for number in 0..500 {
        let task = {
            let mut task = task(&mut dice, 3, 4);
            for kind in &mut task.kinds {
                kind.limit = whole(dice.range(0, 4));
                kind.cost *= u64::from(dice.range(0, 4) > 0);
            }
            task
        };
        let cuts: Vec<Cut> = (0..dice.range(1, 2))
            .map(|_| {
                let part = whole(dice.range(5, 16));
                let needs = u128::from(dice.range(1, 8));
                Cut::by_weight(&task.kinds, |room| (room / part) as u64, needs)
            })
            .collect();
        let mut baskets = Baskets::default();
        for cut in &cuts {
            baskets.learn(cut.clone());
        }
        let out: Option<Vec<usize>> =
            (dice.range(0, 2) == 0).then(|| task.kinds.iter().map(|_| whole(dice.range(0, 3))).collect());
        if let Some(out) = &out {
            baskets.refuse(out.clone());
        }
        let ceiling = dice.range(1, 90);
        // Every basket that holds all that is in hand.
        let mut every: Vec<Vec<usize>> = vec![Vec::new()];
        for kind in &task.kinds {
            let low = if kind.cost == 0 { kind.limit } else { 0 };
            every = every
                .iter()
                .flat_map(|had| (low..=kind.limit).map(|bars| [had.clone(), vec![bars]].concat()))
                .collect();
        }
        let cost = |basket: &Vec<usize>| -> u64 {
            basket.iter().zip(&task.kinds).map(|(bars, kind)| *bars as u64 * kind.cost).sum()
        };
        let room = |basket: &Vec<usize>| -> usize {
            basket.iter().zip(&task.kinds).map(|(bars, kind)| bars * kind.room).sum()
        };
        every.retain(|basket| {
            let is_out =
                out.as_ref().is_some_and(|out| basket.iter().zip(out).all(|(bars, most)| bars <= most));
            !is_out && cost(basket) < ceiling && cuts.iter().all(|cut| cut.allows(basket))
        });
        let best = every.iter().map(|basket| (cost(basket), core::cmp::Reverse(room(basket)))).min();
        match (baskets.cheapest(&task, ceiling, &mut Effort::of(ENOUGH)), best) {
            (Cheapest::Basket(spent, basket), Some((least, core::cmp::Reverse(most)))) => {
                assert_eq!((spent, cost(&basket)), (least, least), "{number}: {basket:?} {task:?}");
                assert!(every.contains(&basket), "{number}: {basket:?}");
                assert_eq!(room(&basket), most, "{number}: the roomiest of the cheapest");
                found += 1;
                refused += usize::from(out.is_some());
            }
            (Cheapest::NoneBelow, None) => none += 1,
            (found, best) => panic!("{number}: {found:?} for {best:?}"),
        }
    }
    assert!(found > 150 && none > 50 && refused > 40, "{found} {none} {refused}");
}

#[test]
fn a_cut_asks_for_the_least_cost_of_parts_of_bars() {
    // Bars of 30 for 12 and of 16 for 8: 45 of length is one and a half of the first, 18; the second would take 22.5. With a
    // bar of 20 in hand 25 are wanting: 10.
    let kinds = |hand: usize| {
        [
            Kind { room: 30, cost: 12, limit: 9 },
            Kind { room: 16, cost: 8, limit: 9 },
            Kind { room: 20, cost: 0, limit: hand },
        ]
    };
    let cut = Cut::by_length(&kinds(0), 45);
    assert_eq!(cut.least_cost(&kinds(0)), 18);
    assert_eq!(cut.least_cost(&kinds(1)), 10);
    assert_eq!(cut.least_cost(&kinds(3)), 0);
    assert!(cut.allows(&[1, 1, 0]) == (30 + 16 >= 45) && !cut.allows(&[1, 0, 0]) && cut.allows(&[0, 3, 0]));
}

/// The lightest way to split a run, tried way by way; `None` if there is none.
fn by_every_split(
    joints: &Joints<'_>,
    run: &Run,
    longest: usize,
    long: bool,
    weigh: &dyn Fn(usize) -> u64,
) -> Option<u64> {
    let under = |from: i64, to: i64| joints.rafters.iter().filter(|at| (from..=to).contains(*at)).count();
    let lawful = |from: i64, to: i64| {
        let length = usize::try_from(to - from).unwrap();
        length + joints.kerf <= longest
            && (!long || (length >= joints.least && under(from, to) >= joints.supports))
    };
    let places: Vec<i64> =
        joints.rafters.iter().copied().filter(|at| *at > run.from && *at < run.to).collect();
    let mut best = None;
    for choice in 0..1_u32 << places.len() {
        let chosen = places.iter().enumerate().filter(|(bit, _)| choice >> bit & 1 == 1).map(|(_, at)| *at);
        let ends: Vec<i64> = core::iter::once(run.from).chain(chosen).chain([run.to]).collect();
        if ends.windows(2).all(|piece| lawful(piece[0], piece[1])) {
            let weight: u64 = ends
                .windows(2)
                .map(|piece| weigh(usize::try_from(piece[1] - piece[0]).unwrap() + joints.kerf))
                .sum();
            best = Some(best.map_or(weight, |best: u64| best.min(weight)));
        }
    }
    best
}

#[test]
fn a_run_weighs_what_its_lightest_split_weighs() {
    let mut dice = Dice(16);
    let (mut split, mut short, mut loose) = (0, 0, 0);
    for number in 0..600 {
        let spacing = i64::try_from(dice.range(3, 7)).unwrap();
        let rafters: Vec<i64> = (0..8).map(|at| at * spacing).collect();
        let joints = Joints {
            rafters: &rafters,
            least: whole(dice.range(4, 14)),
            supports: whole(dice.range(2, 4)),
            kerf: whole(dice.range(0, 1)),
        };
        let from = i64::try_from(dice.range(0, 10)).unwrap();
        let to = from + i64::try_from(dice.range(2, 36)).unwrap();
        let first = rafters.partition_point(|at| *at < from);
        let end = rafters.partition_point(|at| *at <= to);
        let run = Run { row: 0, from, to, first, end };
        let longest = whole(dice.range(8, 30));
        let part = whole(dice.range(3, 9));
        let weigh = move |size: usize| (size / part) as u64;
        let length = usize::try_from(to - from).unwrap();
        let is_short = length < joints.least || end - first < joints.supports;
        assert_eq!(joints.is_short(&run), is_short, "{number}");
        let expected = if is_short && length + joints.kerf <= longest {
            short += 1;
            Some(weigh(length + joints.kerf))
        } else {
            by_every_split(&joints, &run, longest, true, &weigh).map_or_else(
                || {
                    loose += 1;
                    by_every_split(&joints, &run, longest, false, &weigh)
                },
                |weight| {
                    split += 1;
                    Some(weight)
                },
            )
        };
        assert_eq!(joints.least_weight(&run, longest, weigh), expected, "{number}: {run:?} {joints:?}");
        // No piece of a run is shorter than what is said of it.
        let shortest = match (
            is_short && length + joints.kerf <= longest,
            by_every_split(&joints, &run, longest, true, &|_| 0),
        ) {
            (true, _) => length,
            (false, Some(_)) => joints.least,
            (false, None) => 0,
        };
        assert_eq!(joints.shortest(&[run], longest), shortest, "{number}");
    }
    assert!(split > 100 && short > 50 && loose > 20, "{split} {short} {loose}");
}
