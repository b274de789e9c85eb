//! Properties: nothing is made and nothing vanishes, for any input.

use proptest::prelude::*;
use slopewright::salvage::{
    Basis, Counting, CutDown, FormatSize, Grade, Heap, Hold, Manner, Need, Portion, Rank, Reckoning, Reserve,
    Sharing, Substitute, Turn, UnitKey, UnitKind, alternatives, count, share,
};

const KINDS: [UnitKind; 6] = [
    UnitKind::Whole,
    UnitKind::Cut,
    UnitKind::Half,
    UnitKind::TileAndAHalf,
    UnitKind::Eaves,
    UnitKind::Ridge,
];

fn unit() -> impl Strategy<Value = UnitKey> {
    (prop_oneof![Just("a"), Just("b")], prop::sample::select(&KINDS[..]))
        .prop_map(|(format, kind)| UnitKey::new(format, kind))
}

fn amount() -> impl Strategy<Value = u64> {
    prop_oneof![0..5_u64, 0..2_000_u64, Just(1_000_000_000_u64)]
}

fn counting() -> impl Strategy<Value = Counting> {
    let grade = prop_oneof![Just(Grade::Sound), Just(Grade::Doubtful), Just(Grade::Broken)];
    prop_oneof![
        (amount(), 0..500_u64, 0..500_u64).prop_map(|(sound, doubtful, broken)| Counting::Grades {
            sound,
            doubtful,
            broken
        }),
        (0..50_u64, 0..60_u64, 0..60_u64, grade).prop_map(|(stacks, per_stack, loose, grade)| {
            Counting::Stacks { stacks, per_stack, loose, grade }
        }),
        (0..2_000_u64, 1..60_u64, 0..60_u64).prop_map(|(more, inspected, sound)| Counting::Sample {
            lot: more + inspected,
            inspected,
            sound: sound.min(inspected),
        }),
    ]
}

fn portion() -> impl Strategy<Value = Portion> {
    (0..=100_u32).prop_map(|percent| format!("{percent} %").parse().unwrap())
}

fn reckoning() -> impl Strategy<Value = Reckoning> {
    let basis =
        prop_oneof![Just(Basis::Likely), (0.01..0.999_f64).prop_map(|sureness| Basis::Sure { sureness })];
    (basis, any::<bool>(), portion(), portion()).prop_map(
        |(basis, lay_doubtful, handling_loss, refixing_loss)| Reckoning {
            basis,
            lay_doubtful,
            handling_loss,
            refixing_loss,
        },
    )
}

fn needs() -> impl Strategy<Value = Vec<Need>> {
    let need = ("[ns]", prop_oneof![Just(""), Just("barn")], unit(), amount()).prop_map(
        |(slope, roof, unit, count)| Need { roof: roof.to_owned(), ..Need::new(slope, unit, count) },
    );
    prop::collection::vec(need, 0..12)
}

fn sharing() -> impl Strategy<Value = Sharing> {
    let reserve = (unit(), amount(), any::<bool>()).prop_map(|(unit, count, first)| Reserve {
        roof: "barn".to_owned(),
        unit,
        hold: Hold::Number { count },
        turn: if first { Turn::First } else { Turn::Last },
    });
    let rank = (prop_oneof![Just(""), Just("barn")], prop_oneof![Just(""), Just("n")], 0..3_u32)
        .prop_map(|(roof, slope, rank)| Rank { roof: roof.to_owned(), slope: slope.to_owned(), rank });
    (
        any::<bool>(),
        prop::collection::vec(rank, 0..4),
        prop::collection::vec(reserve, 0..4),
        any::<bool>(),
        1..4_u64,
    )
        .prop_map(|(evenly, ranks, reserves, swap, pieces)| {
            let cut = |from, to, pieces| CutDown { from, to, pieces };
            let size = |format: &str, length: &str| FormatSize {
                format: format.into(),
                length: length.into(),
                width: "165 mm".into(),
            };
            let substitute = Substitute {
                old: "a".into(),
                new: "b".into(),
                length_within: "2 mm".into(),
                width_within: "0 mm".into(),
            };
            Sharing {
                manner: if evenly { Manner::Evenly } else { Manner::WholeSlopes },
                ranks,
                cut_down: vec![
                    cut(UnitKind::Whole, UnitKind::Cut, 1),
                    cut(UnitKind::Whole, UnitKind::Half, pieces),
                    cut(UnitKind::TileAndAHalf, UnitKind::Eaves, pieces),
                    cut(UnitKind::TileAndAHalf, UnitKind::Whole, 1),
                ],
                formats: vec![size("a", "266.7 mm"), size("b", "265 mm")],
                substitutes: if swap { vec![substitute] } else { Vec::new() },
                reserves,
            }
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn nothing_is_made_and_nothing_vanishes(
        heaps in prop::collection::vec((unit(), counting()), 0..8),
        reckoning in reckoning(),
        needs in needs(),
        how in sharing(),
    ) {
        let heaps: Vec<Heap> =
            heaps.into_iter().map(|(unit, counted)| Heap { label: String::new(), unit, counted }).collect();
        // Sums over the limit are refused; that is not what is looked at here.
        let Ok(supplies) = count(&heaps, reckoning) else { return Ok(()) };
        let came_off: u64 = heaps
            .iter()
            .map(|heap| match heap.counted {
                Counting::Grades { sound, doubtful, broken } => sound + doubtful + broken,
                Counting::Stacks { stacks, per_stack, loose, .. } => stacks * per_stack + loose,
                Counting::Sample { lot, .. } => lot,
                _ => unreachable!(),
            })
            .sum();
        prop_assert_eq!(supplies.iter().map(|of| of.broken + of.set_aside + of.salvaged).sum::<u64>(), came_off);
        let shared = share(&supplies, &needs, &how).unwrap();
        for row in &shared.supplies {
            prop_assert_eq!(row.supply.salvaged, row.used + row.reserve + row.left + row.supply.lost);
        }
        for row in &shared.needs {
            prop_assert_eq!(row.need.count, row.met + row.bought);
            prop_assert_eq!(row.taken.iter().map(|taken| taken.meets).sum::<u64>(), row.met);
        }
        let used: u64 = shared.supplies.iter().map(|row| row.used).sum();
        let taken: u64 = shared.needs.iter().flat_map(|row| &row.taken).map(|taken| taken.used).sum();
        prop_assert_eq!(used, taken);
        let held: u64 = shared.supplies.iter().map(|row| row.reserve).sum();
        prop_assert_eq!(held, shared.reserves.iter().map(|row| row.held).sum::<u64>());
        prop_assert!(shared.reserves.iter().all(|row| row.held <= row.wanted));
        // No unit lies idle while a need of its very own is short, unless it is held back.
        for row in &shared.supplies {
            let short = shared.needs.iter().any(|need| need.need.unit == row.supply.unit && need.bought > 0);
            prop_assert!(row.left == 0 || !short);
        }
    }

    #[test]
    fn a_way_out_that_ends_the_shortage_does(needs in needs(), have in amount()) {
        let how = Sharing::default();
        let heaps = [Heap {
            label: String::new(),
            unit: UnitKey::new("a", UnitKind::Whole),
            counted: Counting::Grades { sound: have, doubtful: 0, broken: 0 },
        }];
        let reckoning = Reckoning {
            basis: Basis::Likely,
            lay_doubtful: false,
            handling_loss: Portion::NONE,
            refixing_loss: Portion::NONE,
        };
        let supplies = count(&heaps, reckoning).unwrap();
        for way in alternatives(&supplies, &needs, &how).unwrap() {
            let rest: Vec<Need> =
                needs.iter().filter(|need| !way.other_covering.contains(&need.place())).cloned().collect();
            let bought: u64 = share(&supplies, &rest, &how).unwrap().needs.iter().map(|row| row.bought).sum();
            prop_assert_eq!(bought, way.still_to_buy);
        }
    }
}
