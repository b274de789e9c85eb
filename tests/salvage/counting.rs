//! Counting old units, losses, the number that should come off, and reserves.

use slopewright::salvage::{
    Basis, Counting, Grade, Heap, Hold, OldCovering, Portion, Reckoning, UnitKey, UnitKind, count,
};

fn tile() -> UnitKey {
    UnitKey::new("plain-265x165", UnitKind::Whole)
}

fn heap(counted: Counting) -> Heap {
    Heap { label: String::new(), unit: tile(), counted }
}

fn reckoning(basis: Basis) -> Reckoning {
    Reckoning { basis, lay_doubtful: false, handling_loss: Portion::NONE, refixing_loss: Portion::NONE }
}

fn percent(text: &str) -> Portion {
    text.parse().unwrap()
}

#[test]
fn grades_and_stacks_add_up() {
    let heaps = [
        heap(Counting::Grades { sound: 410, doubtful: 35, broken: 60 }),
        heap(Counting::Stacks { stacks: 7, per_stack: 40, loose: 13, grade: Grade::Sound }),
        heap(Counting::Stacks { stacks: 1, per_stack: 20, loose: 0, grade: Grade::Broken }),
    ];
    let supply = &count(&heaps, reckoning(Basis::Likely)).unwrap()[0];
    // By hand: 410 + 7 x 40 + 13 = 703 sound; 35 doubtful; 60 + 20 broken; 818 in all.
    assert_eq!((supply.salvaged, supply.set_aside, supply.broken, supply.came_off), (703, 35, 80, 818));
    let laid = Reckoning { lay_doubtful: true, ..reckoning(Basis::Likely) };
    let supply = &count(&heaps, laid).unwrap()[0];
    assert_eq!((supply.salvaged, supply.set_aside), (738, 0));
}

#[test]
fn a_sample_counts_by_its_bound_or_by_its_share() {
    let heaps = [heap(Counting::Sample { lot: 1200, inspected: 80, sound: 70 })];
    let sure = &count(&heaps, reckoning(Basis::Sure { sureness: 0.95 })).unwrap()[0];
    // Independent (exact fractions): 960; the ten that were seen to be unsound are broken, the rest is set aside.
    assert_eq!((sure.salvaged, sure.broken, sure.set_aside), (960, 10, 230));
    let likely = &count(&heaps, reckoning(Basis::Likely)).unwrap()[0];
    assert_eq!(likely.salvaged, 1050);
    let stacks =
        [heap(Counting::SampledStacks { stacks: 29, per_stack: 40, loose: 40, inspected: 80, sound: 70 })];
    assert_eq!(count(&stacks, reckoning(Basis::Sure { sureness: 0.95 })).unwrap()[0].salvaged, 960);
}

#[test]
fn two_samples_share_the_risk() {
    let one = heap(Counting::Sample { lot: 500, inspected: 50, sound: 45 });
    let both = &count(&[one.clone(), one], reckoning(Basis::Sure { sureness: 0.9 })).unwrap()[0];
    // Independent: each at 95 % is 404 (exact fractions), and two risks of 5 % are at most 10 % together.
    assert_eq!(both.salvaged, 808);
}

#[test]
fn losses_likely_and_sure() {
    let heaps = [heap(Counting::Grades { sound: 1000, doubtful: 0, broken: 0 })];
    let lossy = |basis| Reckoning {
        handling_loss: percent("2 %"),
        refixing_loss: percent("3 %"),
        ..reckoning(basis)
    };
    // By hand: 1000 x (1 - 0.98 x 0.97) = 49.4.
    assert_eq!(count(&heaps, lossy(Basis::Likely)).unwrap()[0].lost, 50);
    // Independent: scipy.stats.binom(1000, 0.0494).ppf(0.95) = 61.
    assert_eq!(count(&heaps, lossy(Basis::Sure { sureness: 0.95 })).unwrap()[0].lost, 61);
}

#[test]
fn the_number_that_should_come_off() {
    let old = OldCovering {
        unit: tile(),
        area: "10 m2".into(),
        gauge: "100 mm".into(),
        cover_width: "165 mm".into(),
        allowed: percent("5 %"),
    };
    // Common practice (several suppliers, second-hand): plain tiles at 100 mm gauge are "about 60" to the square metre; by
    // hand 60.6 at 165 mm without a joint.
    let check = old.check(600).unwrap();
    assert_eq!((check.expected, check.difference, check.differs), (606, -6, false));
    let check = old.check(500).unwrap();
    assert!(check.differs && check.difference_share < -0.17, "{check:?}");
    // Both sides of the stated share: 5 % of 606 is 30.3.
    assert!(!old.check(576).unwrap().differs && old.check(575).unwrap().differs);
    assert!(!old.check(636).unwrap().differs && old.check(637).unwrap().differs);
}

#[test]
fn a_reserve_by_breakage_or_as_stated() {
    let hold = |per_thousand_a_year, years, sureness| Hold::Breakage {
        laid: 4000,
        per_thousand_a_year,
        years,
        sureness,
    };
    // Independent: scipy.stats.poisson(40).ppf(0.95) = 51, poisson(40).ppf(0.99) = 55, poisson(0).ppf = 0.
    assert_eq!(hold(0.5, 20.0, 0.95).wanted().unwrap().0, 51);
    assert_eq!(hold(0.5, 20.0, 0.99).wanted().unwrap().0, 55);
    assert_eq!(hold(0.0, 20.0, 0.99).wanted().unwrap().0, 0);
    assert_eq!(Hold::Number { count: 120 }.wanted().unwrap().0, 120);
}

#[derive(serde::Deserialize)]
struct Document {
    heaps: Vec<Heap>,
    reckoning: Reckoning,
}

#[test]
fn documents_read_as_they_are_written() {
    let text = r#"
        [[heaps]]
        label = "behind the barn"
        unit = "plain-265x165 whole"
        counted = { by = "sampled-stacks", stacks = 29, per_stack = 40, loose = 40, inspected = 80, sound = 70 }

        [reckoning]
        basis = { on = "sure", sureness = 0.95 }
        handling_loss = "2 %"
    "#;
    let document: Document = toml::from_str(text).unwrap();
    assert_eq!(document.reckoning.handling_loss, percent("2 %"));
    assert_eq!(count(&document.heaps, document.reckoning).unwrap()[0].came_off, 1200);
    let back: Heap = serde_json::from_str(&serde_json::to_string(&document.heaps[0]).unwrap()).unwrap();
    assert_eq!(back, document.heaps[0]);
}
