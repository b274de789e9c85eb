//! Small jobs by hand, and against every way there is to cut them.

use rust_decimal::Decimal;

use super::*;
use crate::error::FaultKind;
use crate::quantity::{LengthIn as _, mm};

mod battens;
mod search;

fn job(pieces: &[(f64, u32)], stock: &[f64], offcuts: &[f64]) -> CuttingJob {
    let piece = |(row, &(length, count)): (usize, &(f64, u32))| Piece {
        length: mm(length),
        count,
        label: format!("row {row}"),
    };
    CuttingJob {
        pieces: pieces.iter().enumerate().map(piece).collect(),
        stock: stock.iter().map(|length| StockLength::of(mm(*length))).collect(),
        offcuts: offcuts.iter().map(|length| mm(*length)).collect(),
        kerf: mm(0.0),
        least_offcut: mm(300.0),
    }
}

fn said(plan: &CuttingPlan) -> Vec<String> {
    plan.groups().iter().map(ToString::to_string).collect()
}

#[test]
fn only_bars_that_are_cut_alike_are_one_group() {
    // Three bars of 4.8 m: two give 2 x 2.4 m, one gives 3.0 + 1.8 m. The same length, and not the same cuts.
    let plan = cut(&job(&[(2400.0, 4), (3000.0, 1), (1800.0, 1)], &[4800.0], &[])).unwrap();
    let mut groups = said(&plan);
    groups.sort();
    assert_eq!(groups, ["1 x 4.8 m: 3.00 + 1.80, no offcut", "2 x 4.8 m: 2.40 + 2.40, no offcut"]);
    let places: Vec<usize> = plan.groups().iter().flat_map(|group| group.places.clone()).collect();
    assert_eq!(places, [0, 1, 2]);
    // A bar in hand stays apart from a bought one that is cut alike.
    let plan = cut(&job(&[(2400.0, 2)], &[2400.0], &[2400.0])).unwrap();
    let groups = plan.groups();
    assert_eq!(
        groups.iter().map(|group| (group.count, group.bar.in_hand)).collect::<Vec<_>>(),
        [(1, true), (1, false)]
    );
    // And so do bars of two lengths with the same cut: 4.8 m for two pieces of 2.3 m, 2.4 m for one... of the least metres,
    // 7.2 m, with one of the long ones only.
    let mut short = job(&[(2300.0, 3)], &[4800.0, 2400.0], &[]);
    short.stock[0].limit = Some(1);
    let plan = cut(&short).unwrap();
    assert_eq!(plan.value, "7.2".parse().unwrap());
    assert!(plan.proved);
}

#[test]
fn what_is_kept_and_what_is_waste() {
    // From a bar of 4.8 m: 2.4 m and 2.0 m, two cuts of 3 mm; 394 mm are left. From 300 mm on it is kept.
    let mut one = job(&[(2400.0, 1), (2000.0, 1)], &[4800.0], &[]);
    one.kerf = mm(3.0);
    let plan = cut(&one).unwrap();
    assert_eq!(said(&plan), ["1 x 4.8 m: 2.40 + 2.00, offcut 0.394"]);
    assert!((plan.waste.mm() - 6.0).abs() < 1e-6 && plan.bars[0].keep);
    for (least, keep, waste) in [(394.0, true, 6.0), (394.1, false, 400.0)] {
        one.least_offcut = mm(least);
        let plan = cut(&one).unwrap();
        assert_eq!((plan.bars[0].keep, plan.offcuts.len()), (keep, usize::from(keep)));
        assert!((plan.waste.mm() - waste).abs() < 1e-6, "{least}: {}", plan.waste.mm());
    }
    // Nothing left is nothing to keep, whatever is asked for.
    let mut full = job(&[(2400.0, 2)], &[4800.0], &[]);
    full.least_offcut = mm(0.0);
    let plan = cut(&full).unwrap();
    assert!(!plan.bars[0].keep && plan.offcuts.is_empty() && plan.waste.mm() == 0.0);
    // Kept ends stand with the longest first.
    let plan = cut(&job(&[(4000.0, 1), (3500.0, 1), (4200.0, 1)], &[4800.0], &[])).unwrap();
    let kept: Vec<f64> = plan.offcuts.iter().map(|length| length.mm().round()).collect();
    assert_eq!(kept, [1300.0, 800.0, 600.0]);
}

#[test]
fn lengths_are_written_as_finely_as_they_are() {
    let plan = cut(&job(&[(1234.5, 1), (1200.0, 1), (1001.0, 1)], &[4800.0], &[])).unwrap();
    assert_eq!(said(&plan), ["1 x 4.8 m: 1.2345 + 1.20 + 1.001, offcut 1.3645"]);
}

#[test]
fn a_price_is_above_nothing_and_within_its_limit() {
    // docs/limits.md: up to 1 000 000, with at most six decimals.
    let taken = |price: &str| {
        let mut one = job(&[(2400.0, 2)], &[4800.0], &[]);
        one.stock[0].price = Some(price.parse().unwrap());
        match cut(&one) {
            Ok(plan) => plan.value == price.parse().unwrap(),
            Err(error) => {
                assert!(error.faults().all(|fault| fault.kind == FaultKind::StockPriceOutOfRange), "{error}");
                false
            }
        }
    };
    let prices = ["0.000001", "1000000", "9.5000000", "0", "-1", "1000000.01", "0.0000001"];
    assert_eq!(prices.map(taken), [true, true, true, false, false, false, false]);
}

#[test]
fn the_gap_is_a_share_of_the_bound() {
    let plan = cut(&job(&[(2400.0, 2)], &[4800.0], &[])).unwrap();
    assert_eq!(plan.gap(), Decimal::ZERO);
    let with = |value: u32, bound: u32, proved: bool| {
        CuttingPlan { value: value.into(), bound: bound.into(), proved, ..plan.clone() }.gap().to_string()
    };
    // One bar over four is a quarter. Over a bound of nothing it is nothing if that is proved, and the whole if not.
    assert_eq!([with(5, 4, false), with(0, 0, true), with(3, 0, false)], ["0.25", "0", "1"]);
}

#[test]
fn two_rows_that_ask_for_one_length_get_their_own_pieces() {
    // Pieces of one length go to the rows in their order: three for the first, two for the last.
    let plan = cut(&job(&[(1200.0, 3), (2000.0, 1), (1200.0, 2)], &[4800.0], &[])).unwrap();
    let mut of = [0; 3];
    for cut in plan.bars.iter().flat_map(|bar| &bar.cuts) {
        of[cut.row] += 1;
        assert_eq!(cut.label, format!("row {}", cut.row));
    }
    assert_eq!(of, [3, 1, 2]);
    // Three bars of one length in hand: two pieces of 1.2 m take two of them, and nothing is bought.
    let plan = cut(&job(&[(1200.0, 2)], &[4800.0], &[1200.0; 3])).unwrap();
    assert_eq!((plan.bars.len(), plan.value), (2, Decimal::ZERO));
}

/// The least cost over every way to hand out pieces to bars: bars of each kind are opened one by one, and each piece goes
/// into every open bar that has room for it or into a new one.
struct EveryWay {
    pieces: Vec<u64>,
    /// Length, cost and number of each kind of bar.
    kinds: Vec<(u64, u64, usize)>,
    best: Option<u64>,
}

impl EveryWay {
    fn go(&mut self, at: usize, open: &mut Vec<u64>, left: &mut Vec<usize>, cost: u64) {
        if self.best.is_some_and(|best| cost >= best) {
            return;
        }
        let Some(&piece) = self.pieces.get(at) else {
            self.best = Some(cost);
            return;
        };
        for bar in 0..open.len() {
            if open[bar] >= piece && !open[..bar].contains(&open[bar]) {
                open[bar] -= piece;
                self.go(at + 1, open, left, cost);
                open[bar] += piece;
            }
        }
        for kind in 0..self.kinds.len() {
            let (length, price, _) = self.kinds[kind];
            if left[kind] > 0 && length >= piece {
                left[kind] -= 1;
                open.push(length - piece);
                self.go(at + 1, open, left, cost + price);
                open.pop();
                left[kind] += 1;
            }
        }
    }

    fn least(mut self) -> Option<u64> {
        let mut left: Vec<usize> = self.kinds.iter().map(|(.., number)| *number).collect();
        self.go(0, &mut Vec::new(), &mut left, 0);
        self.best
    }
}

/// Even numbers in a fixed order.
struct Dice(u64);

impl Dice {
    fn range(&mut self, low: u64, high: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (self.0 >> 33) % (high - low + 1)
    }
}

fn real(value: u64) -> f64 {
    f64::from(u32::try_from(value).unwrap())
}

/// A small job with its least cost by every way there is, in units of the objective.
fn small(dice: &mut Dice) -> (CuttingJob, Option<u64>) {
    // Lengths in steps of 100 mm, or of 1 mm, so that bars fill up exactly now and then.
    let step = if dice.range(0, 1) == 0 { 100 } else { 1 };
    let length = |dice: &mut Dice, low: u64, high: u64| dice.range(low / step, high / step) * step;
    let number = usize::try_from(dice.range(1, 8)).unwrap();
    let mut pieces: Vec<u64> = (0..number).map(|_| length(dice, 300, 2600)).collect();
    pieces.sort_unstable_by(|one, other| other.cmp(one));
    let lengths: Vec<u64> = (0..dice.range(1, 3)).map(|_| length(dice, 2600, 5200)).collect();
    let offcuts: Vec<u64> = (0..dice.range(0, 3)).map(|_| length(dice, 400, 3000)).collect();
    let kerf = [0, 3][usize::try_from(dice.range(0, 1)).unwrap()];
    let has_prices = dice.range(0, 1) == 0;
    let prices: Vec<u64> = lengths.iter().map(|_| dice.range(200, 900)).collect();
    let limits: Vec<Option<u64>> =
        lengths.iter().map(|_| (dice.range(0, 3) == 0).then(|| dice.range(0, 3))).collect();
    let stock = lengths.iter().zip(&prices).zip(&limits).map(|((length, price), limit)| StockLength {
        length: mm(real(*length)),
        price: has_prices.then(|| Decimal::new(i64::try_from(*price).unwrap(), 2)),
        limit: limit.map(|limit| u32::try_from(limit).unwrap()),
    });
    let wanted = CuttingJob {
        pieces: pieces
            .iter()
            .map(|length| Piece { length: mm(real(*length)), count: 1, label: String::new() })
            .collect(),
        stock: stock.collect(),
        offcuts: offcuts.iter().map(|length| mm(real(*length))).collect(),
        kerf: mm(real(kerf)),
        least_offcut: mm(300.0),
    };
    // A bar of length L holds pieces with their cuts up to L and one cut more.
    let costs = |at: usize| match (has_prices, lengths.len()) {
        (true, _) => prices[at],
        (false, 1) => 1,
        (false, _) => lengths[at],
    };
    let bought = lengths.iter().enumerate().map(|(at, length)| {
        let limit = limits[at].map_or(pieces.len(), |limit| usize::try_from(limit).unwrap());
        (length + kerf, costs(at), limit)
    });
    let in_hand = offcuts.iter().map(|length| (length + kerf, 0, 1));
    let every = EveryWay {
        pieces: pieces.iter().map(|length| length + kerf).collect(),
        kinds: in_hand.chain(bought).collect(),
        best: None,
    };
    (wanted, every.least())
}

#[test]
fn small_jobs_are_cut_as_well_as_any_way_there_is() {
    let mut dice = Dice(20_261_127);
    let (mut feasible, mut proved, mut in_hand, mut limited) = (0, 0, 0, 0);
    for number in 0..600 {
        let (job, least) = small(&mut dice);
        let Some(least) = least else {
            let error = cut(&job).unwrap_err();
            assert!(error.faults().all(|fault| fault.kind == FaultKind::StockTooLittle), "{number}: {error}");
            limited += 1;
            continue;
        };
        feasible += 1;
        let plan = cut(&job).unwrap();
        let unit = match plan.objective {
            Objective::Bars => Decimal::ONE,
            Objective::Metres => Decimal::new(1, 3),
            Objective::Price => Decimal::new(1, 2),
        };
        let least = Decimal::from(least) * unit;
        assert_eq!(plan.value, least.normalize(), "{number}: {job:?}");
        assert!(plan.bound <= least, "{number}: a bound of {} over {least}", plan.bound);
        assert_eq!(plan.proved, plan.bound == plan.value, "{number}");
        proved += usize::from(plan.proved);
        in_hand += usize::from(plan.bars.iter().any(|bar| bar.in_hand));
        // What is bought is what the value says.
        let bought: Decimal = plan
            .purchases
            .iter()
            .map(|bought| {
                let each = match plan.objective {
                    Objective::Bars => Decimal::ONE,
                    Objective::Metres => Decimal::from_f64_retain(bought.length.m()).unwrap().round_dp(4),
                    Objective::Price => bought.price.unwrap(),
                };
                each * Decimal::from(bought.count)
            })
            .sum();
        assert_eq!(bought.normalize(), plan.value, "{number}");
        let cut_from: usize = plan.bars.iter().filter(|bar| !bar.in_hand).count();
        assert_eq!(plan.purchases.iter().map(|bought| bought.count).sum::<usize>(), cut_from);
    }
    assert!(feasible > 450 && in_hand > 150 && limited > 5, "{feasible} {in_hand} {limited}");
    assert!(proved * 100 >= feasible * 99, "{proved} of {feasible} proved");
}

#[test]
fn without_steps_the_answer_still_stands_over_its_bound() {
    let mut dice = Dice(7);
    for number in 0..200 {
        let (job, least) = small(&mut dice);
        let (Some(least), Ok(plan)) = (least, cut_within(&job, 0)) else { continue };
        let unit = match plan.objective {
            Objective::Bars => Decimal::ONE,
            Objective::Metres => Decimal::new(1, 3),
            Objective::Price => Decimal::new(1, 2),
        };
        let least = Decimal::from(least) * unit;
        assert!(
            plan.bound <= least && least <= plan.value,
            "{number}: {} {least} {}",
            plan.bound,
            plan.value
        );
    }
}
