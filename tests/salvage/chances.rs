//! The chances against scipy (independent) and against published values.
//!
//! The table is made by `tests/oracle/salvage_chances.py`; it says which cases are exact arithmetic.

use serde::Deserialize;
use slopewright::FaultKind;
use slopewright::salvage::Inspection;
use slopewright::salvage::chance::{Beta, Binomial, Counted, Hypergeometric, Poisson, proportion_range};

/// The bar: nine digits, or the exact whole number.
const RELATIVE: f64 = 1e-9;

#[derive(Deserialize)]
struct Table {
    hypergeometric: Vec<HypergeometricCase>,
    binomial: Vec<BinomialCase>,
    poisson: Vec<PoissonCase>,
    beta: Vec<BetaCase>,
    finite_lot: Vec<LotCase>,
}

#[derive(Deserialize)]
struct HypergeometricCase {
    lot: u64,
    sound: u64,
    drawn: u64,
    #[serde(flatten)]
    expected: Expected,
}

#[derive(Deserialize)]
struct BinomialCase {
    trials: u64,
    chance: f64,
    #[serde(flatten)]
    expected: Expected,
}

#[derive(Deserialize)]
struct PoissonCase {
    mean: f64,
    #[serde(flatten)]
    expected: Expected,
}

#[derive(Deserialize)]
struct Expected {
    k: u64,
    pmf: f64,
    cdf: f64,
    sf: f64,
    share: f64,
    quantile: u64,
}

#[derive(Deserialize)]
struct BetaCase {
    a: f64,
    b: f64,
    x: f64,
    cdf: f64,
    sf: f64,
    share: f64,
    quantile: f64,
}

#[derive(Deserialize)]
struct LotCase {
    lot: u64,
    inspected: u64,
    sound: u64,
    sureness: f64,
    at_least: u64,
    proportion_low: f64,
    proportion_high: f64,
}

fn table() -> Table {
    serde_json::from_str(include_str!("../oracle/salvage_chances.json")).unwrap()
}

/// Collects what is off, so that one run shows all of it.
#[derive(Default)]
struct Off {
    worst: f64,
    rows: Vec<String>,
}

impl Off {
    fn check(&mut self, what: &str, got: f64, expected: f64) {
        let off = if got == expected { 0.0 } else { (got - expected).abs() / expected.abs() };
        self.worst = self.worst.max(off);
        if off.is_nan() || off > RELATIVE {
            self.rows.push(format!("{what}: {got:e}, expected {expected:e}, off by {off:e}"));
        }
    }

    fn counted(&mut self, what: &str, of: &impl Counted, expected: &Expected) {
        self.check(&format!("{what} pmf"), of.pmf(expected.k), expected.pmf);
        self.check(&format!("{what} cdf"), of.cdf(expected.k), expected.cdf);
        self.check(&format!("{what} sf"), of.sf(expected.k), expected.sf);
        if of.quantile(expected.share) != expected.quantile {
            self.rows.push(format!("{what} quantile {}", of.quantile(expected.share)));
        }
    }

    fn done(self, what: &str) {
        println!("{what}: worst relative difference {:e}", self.worst);
        assert!(self.rows.is_empty(), "{what}: {} off\n{}", self.rows.len(), self.rows.join("\n"));
    }
}

#[test]
fn hypergeometric_against_scipy() {
    let mut off = Off::default();
    for case in table().hypergeometric {
        let of = Hypergeometric::new(case.lot, case.sound, case.drawn).unwrap();
        off.counted(&format!("{of:?}, k {}", case.expected.k), &of, &case.expected);
    }
    off.done("hypergeometric");
}

#[test]
fn binomial_against_scipy() {
    let mut off = Off::default();
    for case in table().binomial {
        let of = Binomial::new(case.trials, case.chance).unwrap();
        off.counted(&format!("{of:?}, k {}", case.expected.k), &of, &case.expected);
    }
    off.done("binomial");
}

#[test]
fn poisson_against_scipy() {
    let mut off = Off::default();
    for case in table().poisson {
        let of = Poisson::new(case.mean).unwrap();
        off.counted(&format!("{of:?}, k {}", case.expected.k), &of, &case.expected);
    }
    off.done("poisson");
}

#[test]
fn beta_against_scipy() {
    let mut off = Off::default();
    for case in table().beta {
        let of = Beta::new(case.a, case.b).unwrap();
        off.check(&format!("{of:?} cdf({})", case.x), of.cdf(case.x), case.cdf);
        off.check(&format!("{of:?} sf({})", case.x), of.sf(case.x), case.sf);
        off.check(&format!("{of:?} quantile({})", case.share), of.quantile(case.share), case.quantile);
    }
    off.done("beta");
}

#[test]
fn finite_lots_against_exact_whole_numbers_and_proportions_against_scipy() {
    let mut off = Off::default();
    for case in table().finite_lot {
        let seen = Inspection::new(case.lot, case.inspected, case.sound).unwrap();
        assert_eq!(seen.at_least(case.sureness).unwrap(), case.at_least, "{seen:?} at {}", case.sureness);
        let range = proportion_range(case.sound, case.inspected, case.sureness).unwrap();
        off.check(&format!("{seen:?} low"), range.low, case.proportion_low);
        off.check(&format!("{seen:?} high"), range.high, case.proportion_high);
    }
    off.done("proportions");
}

/// `digits` as printed.
fn printed(value: f64, digits: usize) -> String {
    format!("{value:.digits$}")
}

#[test]
fn published_acceptance_sampling() {
    // Published: lecture notes on acceptance sampling (studylib 6591195); lot 25, 2 bad, sample 5, accept on none: 0.6333.
    assert_eq!(printed(Hypergeometric::new(25, 2, 5).unwrap().pmf(0), 4), "0.6333");
    // Published: a worked example (algebra.com), lot 4000, 3 % bad, sample 100, reject on one or more; printed by the binomial 0.9524.
    assert_eq!(printed(Binomial::new(100, 0.03).unwrap().sf(0), 4), "0.9524");
    // Independent (exact fractions): the same lot without putting back, and textbook exercises printed without answers.
    for (lot, bad, drawn, most, chance) in [
        (25, 5, 5, 0, "0.2918"),
        (100, 5, 15, 1, "0.8391"),
        (100, 8, 15, 1, "0.6565"),
        (100, 5, 20, 2, "0.9468"),
    ] {
        assert_eq!(printed(Hypergeometric::new(lot, bad, drawn).unwrap().cdf(most), 4), chance);
    }
    for (lot, bad, drawn, accepted, chance) in [
        (4000, 120, 100, 0, "0.9543"),
        (100, 10, 4, 0, "0.3484"),
        (1000, 50, 10, 1, "0.0853"),
        (1000, 100, 10, 1, "0.2637"),
    ] {
        assert_eq!(printed(Hypergeometric::new(lot, bad, drawn).unwrap().sf(accepted), 4), chance);
    }
    // Independent (exact fractions): the one-sided 95 % bound of a finite lot.
    assert_eq!(Inspection::new(1200, 80, 70).unwrap().at_least(0.95).unwrap(), 960);
    assert_eq!(Inspection::new(500, 50, 45).unwrap().at_least(0.95).unwrap(), 404);
}

#[test]
fn large_lots_give_no_nan() {
    for lot in [10_000_u64, 100_000, 1_000_000] {
        for drawn in [1, 200, 500, lot / 2, lot - 1, lot] {
            for sound in [0, 1, lot / 3, lot - 1, lot] {
                let of = Hypergeometric::new(lot, sound, drawn).unwrap();
                for k in [of.least(), of.peak(), of.most().unwrap(), lot] {
                    for value in [of.pmf(k), of.cdf(k), of.sf(k)] {
                        assert!((0.0..=1.0).contains(&value), "{of:?} at {k}: {value}");
                    }
                    assert!((of.cdf(k) + of.sf(k) - 1.0).abs() < 1e-9, "{of:?} at {k}");
                }
            }
        }
    }
}

#[test]
fn inspecting_more_narrows_the_bound() {
    let heap = Inspection::new(1200, 80, 70).unwrap();
    let more = heap.more_for_need(0.95, 1000).unwrap().unwrap();
    // Property: with the answer inspected and the share kept, the bound is there; well before, it is not.
    let seen =
        |more: u64| Inspection::new(1200, 80 + more, (80 + more) * 70 / 80).unwrap().at_least(0.95).unwrap();
    assert!(seen(more) >= 1000 && seen(more / 2) < 1000, "{more}");
    assert_eq!(heap.more_for_need(0.95, 900).unwrap(), Some(0));
    assert_eq!(heap.more_for_need(0.95, 1051).unwrap(), None);
    let gap = heap.more_for_gap(0.95, 20).unwrap();
    assert!(seen(gap) + 20 >= 1050 && gap > more, "{gap}");
    // Property: the whole lot inspected leaves nothing to chance.
    let all = Inspection::new(300, 300, 211).unwrap();
    assert_eq!((all.at_least(0.999).unwrap(), all.likely(), all.at_most(0.999).unwrap()), (211, 211, 211));
    assert_eq!(heap.at_least(1.0).unwrap_err().kind(), FaultKind::SurenessOutOfRange);
    let wrong = Inspection::new(10, 20, 30).unwrap_err();
    assert_eq!(wrong.faults().map(|fault| fault.kind).collect::<Vec<_>>(), [FaultKind::CountUneven; 2]);
}

#[test]
fn means_by_hand() {
    // 18 on average are 18; of 40 with a chance of 0.3 each 12 come out.
    let near =
        |found: f64, expected: f64| assert!((found - expected).abs() < 1e-12, "{found} for {expected}");
    near(Poisson::new(18.0).unwrap().mean(), 18.0);
    near(Binomial::new(40, 0.3).unwrap().mean(), 12.0);
    // The mean is the sum of what may come out, each with its chance.
    for (mean, of) in [
        (12.0, &Binomial::new(40, 0.3).unwrap() as &dyn Counted),
        (2.5, &Poisson::new(2.5).unwrap() as &dyn Counted),
    ] {
        let summed: f64 = (0..=60_u32).map(|k| f64::from(k) * of.pmf(k.into())).sum();
        assert!((summed - mean).abs() < 1e-9, "{summed} for {mean}");
    }
}
