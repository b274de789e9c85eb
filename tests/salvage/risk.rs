//! The stated chances against simulation and against exact sums.

use slopewright::order::{SecondDelivery, Spare, chance_short};
use slopewright::salvage::chance::{Counted, Hypergeometric};
use slopewright::salvage::{Inspection, Portion};

const DELIVERIES: u32 = 100_000;

/// A small generator with a seed of its own (splitmix64, Steele, Lea and Flood 2014).
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// True once in so many.
    fn breaks(&mut self, one_in: u64) -> bool {
        self.roll() < u64::MAX / one_in
    }
}

#[test]
fn a_hundred_thousand_deliveries_run_out_as_often_as_stated() {
    for (need, breakage, one_in, sureness, ordered) in [
        // Independent: scipy.stats.binom, the least order whose breakages stay within the spare with the sureness.
        (1000, "2 %", 50, 0.95, 1028),
        (1000, "4 %", 25, 0.8, 1047),
        (50, "10 %", 10, 0.9, 59),
        (1, "50 %", 2, 0.999, 10),
    ] {
        let part: Portion = breakage.parse().unwrap();
        let spare = Spare::Risk { breakage: part, sureness };
        let (got, working) = spare.order_for(need).unwrap();
        assert_eq!(got, ordered, "{working}");
        let stated = chance_short(need, ordered, part);
        // The least: it keeps the risk, one fewer does not.
        assert!(stated <= 1.0 - sureness && chance_short(need, ordered - 1, part) > 1.0 - sureness);
        let mut dice = Dice(need ^ one_in);
        let short = (0..DELIVERIES)
            .filter(|_| {
                (0..ordered).filter(|_| !dice.breaks(one_in)).count() < usize::try_from(need).unwrap()
            })
            .count();
        let seen = f64::from(u32::try_from(short).unwrap()) / f64::from(DELIVERIES);
        let error = (stated * (1.0 - stated) / f64::from(DELIVERIES)).sqrt();
        println!(
            "need {need}, breakage {breakage}, order {ordered}: stated {stated:.5}, seen {seen:.5}, {:.2} errors apart",
            (seen - stated) / error
        );
        assert!((seen - stated).abs() < 4.0 * error, "stated {stated}, seen {seen}");
    }
}

#[test]
fn the_bound_of_a_sample_holds_as_often_as_it_says() {
    // Exact: over every sample that a heap may give, the bound is no higher than the truth with the sureness.
    for (lot, inspected) in [(60, 15), (200, 30)] {
        for sureness in [0.8, 0.95] {
            let bounds: Vec<u64> = (0..=inspected)
                .map(|sound| Inspection::new(lot, inspected, sound).unwrap().at_least(sureness).unwrap())
                .collect();
            for truth in 0..=lot {
                let samples = Hypergeometric::new(lot, truth, inspected).unwrap();
                let holds: f64 = (0_u64..)
                    .zip(&bounds)
                    .filter(|(_, bound)| **bound <= truth)
                    .map(|(k, _)| samples.pmf(k))
                    .sum();
                assert!(holds >= sureness - 1e-12, "lot {lot}, {truth} sound: holds with {holds}");
            }
        }
    }
}

#[test]
fn a_second_delivery_against_a_surplus() {
    let weighed = SecondDelivery {
        need: 1000,
        breakage: "2 %".parse().unwrap(),
        pack: 10,
        price_each: "0.65".parse().unwrap(),
        worth_left_over: "20 %".parse().unwrap(),
        delivery: "180".parse().unwrap(),
    };
    let choices = weighed.choices().unwrap();
    // Independent: numpy sums over scipy.stats.binom(n, 0.98).pmf.
    let expected = [
        (1000, 0.999999998317, 0.0, 20.0, 192.999999697),
        (1010, 0.9908252692009, 0.006751172, 10.206751172, 191.482059066),
        (1020, 0.4767510519673, 1.577870644, 1.977870644, 99.895682089),
        (1030, 0.01824592585448, 9.444396941, 0.044396941, 21.585353063),
        (1040, 4.834061289795e-05, 19.200090614, 9.0614e-05, 23.51274843),
        (1050, 1.426106976682e-08, 29.000000023, 2.3e-08, 28.730002579),
    ];
    for (choice, (ordered, short, left_over, missing, cost)) in choices.iter().zip(expected) {
        assert_eq!(choice.ordered, ordered);
        let near = |got: f64, expected: f64| (got - expected).abs() < 1e-8 * expected.abs().max(1.0);
        assert!(near(choice.chance_short, short), "{choice:?}");
        assert!(near(choice.left_over, left_over) && near(choice.missing, missing), "{choice:?}");
        assert!(near(choice.cost, cost), "{choice:?}");
        assert_eq!(choice.cheapest, ordered == 1030);
    }
    // A further pack would be bought against a chance under one in a million.
    assert_eq!(choices.len(), expected.len());
}
