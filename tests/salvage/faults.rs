//! Each kind of fault of these rooms, provoked once.

use slopewright::salvage::{
    Counting, CutDown, FormatSize, Heap, Inspection, Need, Portion, Sharing, Tally, UnitKey, UnitKind, share,
};
use slopewright::{Error, FaultKind};

fn kinds(error: Error) -> Vec<FaultKind> {
    error.into_faults().into_iter().map(|fault| fault.kind).collect()
}

#[test]
fn salvage_faults() {
    let tile = || UnitKey::new("plain", UnitKind::Whole);
    assert_eq!(kinds(Inspection::new(10, 5, 6).unwrap_err()), [FaultKind::CountUneven]);
    assert_eq!(
        kinds(Inspection::new(10, 5, 5).unwrap().at_least(f64::NAN).unwrap_err()),
        [FaultKind::SurenessOutOfRange]
    );
    for text in ["5", "five %", "101 %", "-1 %", ""] {
        assert_eq!(kinds(text.parse::<Portion>().unwrap_err()), [FaultKind::PortionUnreadable], "{text}");
    }
    for text in ["", "whole", "plain", " whole", "plain slab"] {
        assert_eq!(kinds(text.parse::<UnitKey>().unwrap_err()), [FaultKind::UnitUnreadable], "{text}");
    }
    let how = Sharing {
        cut_down: vec![CutDown { from: UnitKind::Ridge, to: UnitKind::Whole, pieces: 1 }],
        formats: vec![FormatSize { format: "plain".into(), length: "0 mm".into(), width: "165".into() }],
        ..Sharing::default()
    };
    let needs = [Need::new("north", tile(), u64::MAX)];
    assert_eq!(
        kinds(share(&[], &needs, &how).unwrap_err()),
        [
            FaultKind::CountTooLarge,
            FaultKind::SizeOutOfRange,
            FaultKind::UnitMissing,
            FaultKind::CutDownImpossible
        ]
    );
    let heap = Heap {
        label: "first".into(),
        unit: tile(),
        counted: Counting::SampledStacks { stacks: u64::MAX, per_stack: 2, loose: 1, inspected: 1, sound: 1 },
    };
    let reckoning = slopewright::salvage::Reckoning {
        basis: slopewright::salvage::Basis::Sure { sureness: 95.0 },
        lay_doubtful: false,
        handling_loss: Portion::NONE,
        refixing_loss: Portion::NONE,
    };
    assert_eq!(
        kinds(slopewright::salvage::count(&[heap], reckoning).unwrap_err()),
        [FaultKind::SurenessOutOfRange, FaultKind::CountTooLarge]
    );
    assert_eq!(kinds(Tally::read("{}\n").unwrap_err()), [FaultKind::TallyUnreadable]);
    assert_eq!(kinds(Tally::read("{\"id\":\"a\"").unwrap_err()), [FaultKind::TallyTorn]);
}

#[test]
fn order_faults() {
    use slopewright::order::{
        PriceList, PriceRow, RoundingPlace, SecondDelivery, Spare, Terms, Wanted, order,
    };
    use slopewright::quantity::MoneyRounding;
    let terms = Terms::new(MoneyRounding::HalfUp, RoundingPlace::PerLine);
    let one = || PriceRow::new("tile", "1".parse().unwrap());
    let prices = |rows| PriceList { currency: "EUR".into(), rows };

    // Everything that is wrong comes at once, with its place.
    let heavy = PriceRow { mass_each_kg: Some("60".parse().unwrap()), ..one() };
    let fragile = PriceRow { item: "slate".into(), ..one() };
    let how = Terms {
        lift_kg: Some("50".parse().unwrap()),
        spares: vec![slopewright::order::ItemSpare::of_item(
            "slate",
            Spare::Risk { breakage: "100 %".parse().unwrap(), sureness: 0.5 },
        )],
        ..terms.clone()
    };
    let wanted = ["ridge", "tile", "slate"].map(|item| Wanted::exactly(item, 1));
    let error = order(&wanted, &prices(vec![heavy, fragile]), &how).unwrap_err();
    assert_eq!(
        error.faults().map(|fault| (fault.place.as_str(), fault.kind)).collect::<Vec<_>>(),
        [
            ("'ridge'", FaultKind::PriceMissing),
            ("'tile'", FaultKind::LiftTooSmall),
            ("'slate'", FaultKind::SpareImpossible)
        ]
    );

    let wrong = PriceList {
        currency: "euro".into(),
        rows: vec![one(), PriceRow { pack: 0, price: "-1".parse().unwrap(), ..one() }],
    };
    assert_eq!(
        kinds(wrong.check().unwrap_err()),
        [
            FaultKind::CurrencyUnknown,
            FaultKind::PriceOutOfRange,
            FaultKind::PriceOutOfRange,
            FaultKind::PriceTwice
        ]
    );
    let text = "item,price,part_packs\ntile,cheap,perhaps\n,,\"\"\nridge,1\n";
    let error = PriceList::read_csv("EUR", text).unwrap_err();
    assert_eq!(
        error.faults().map(|fault| fault.place.as_str()).collect::<Vec<_>>(),
        ["line 2, price", "line 2, part_packs", "line 4"]
    );
    assert!(error.faults().all(|fault| fault.kind == FaultKind::PriceUnreadable));
    let error = PriceList::read_csv("EUR", "item,item,colour\n").unwrap_err();
    assert_eq!(kinds(error), [FaultKind::PriceUnreadable; 3]);

    let backwards = [Wanted { low: 3, high: 1, ..Wanted::exactly("tile", 2) }];
    assert_eq!(kinds(order(&backwards, &prices(vec![one()]), &terms).unwrap_err()), [FaultKind::CountUneven]);
    let dear: Vec<PriceRow> = (0..3)
        .map(|n| PriceRow { item: n.to_string(), price: "1000000000".parse().unwrap(), ..one() })
        .collect();
    let many = |count| (0..3).map(|n| Wanted::exactly(n.to_string(), count)).collect::<Vec<_>>();
    // Both sides of the largest amount, 10^15.
    let total = order(&many(1_000_000), &prices(dear.clone()), &terms).unwrap().total;
    assert_eq!(total.gross.to_string(), "3000000000000000.00");
    let error = order(&many(1_000_001), &prices(dear), &terms).unwrap_err();
    assert_eq!(kinds(error), [FaultKind::MoneyTooLarge; 3]);
    let empty = SecondDelivery {
        need: 1,
        breakage: Portion::NONE,
        pack: 0,
        price_each: "-1".parse().unwrap(),
        worth_left_over: Portion::NONE,
        delivery: "1".parse().unwrap(),
    };
    assert_eq!(kinds(empty.choices().unwrap_err()), [FaultKind::PriceOutOfRange; 2]);
}
