//! Packs, spare, masses, lifts, ranges, price lists and the load. The expected numbers are worked out by hand beside
//! each case.

use proptest::prelude::*;
use rust_decimal::Decimal;
use slopewright::order::{
    ChangeThreshold, CountOn, ItemSpare, Order, PriceList, PriceRow, RoundingPlace, Spare, Terms, Wanted,
    cover_change, order, order_range,
};
use slopewright::quantity::{MoneyRounding, kg_per_m2, m2};
use slopewright::salvage::Portion;
use slopewright::takeoff::Part;

fn dec(text: &str) -> Decimal {
    text.parse().unwrap()
}

fn percent(text: &str) -> Portion {
    text.parse().unwrap()
}

fn ranged(low: u64, likely: u64, high: u64) -> Wanted {
    Wanted { low, high, ..Wanted::exactly("tile", likely) }
}

fn terms() -> Terms {
    Terms::new(MoneyRounding::HalfUp, RoundingPlace::PerLine)
}

fn list(rows: Vec<PriceRow>) -> PriceList {
    PriceList { currency: "EUR".into(), rows }
}

fn ordered(made: &Order) -> Vec<u64> {
    made.lines.iter().map(|line| line.ordered).collect()
}

#[test]
fn packs_part_packs_and_the_least_that_is_sold() {
    let row = |item: &str, part_packs, least| PriceRow {
        pack: 24,
        part_packs,
        least,
        ..PriceRow::new(item, dec("1"))
    };
    let prices = list(vec![row("whole packs", false, 0), row("opened", true, 0), row("least", false, 100)]);
    let wanted = ["whole packs", "opened", "least"].map(|item| Wanted::exactly(item, 50));
    let made = order(&wanted, &prices, &terms()).unwrap();
    // 50 in packs of 24: 3 packs; 50 loose; 100 in packs: 5 packs.
    assert_eq!(ordered(&made), [72, 50, 120]);
    let second = &made.lines[1];
    assert_eq!((second.packs, second.loose, second.surplus), (2, 2, 0));
    // Nothing wanted, no line; and the same item twice is rounded up once.
    let wanted =
        [Wanted::exactly("least", 0), Wanted::exactly("whole packs", 20), Wanted::exactly("whole packs", 20)];
    assert_eq!(ordered(&order(&wanted, &prices, &terms()).unwrap()), [48]);
}

#[test]
fn three_lists_are_put_together_item_by_item() {
    // An item that only one of the lists has is wanted nought times in the others; one named twice is added up.
    let short = vec![Wanted::exactly("tile", 10), Wanted::exactly("batten", 3)];
    let taped = vec![Wanted::exactly("batten", 4), Wanted::exactly("tile", 7), Wanted::exactly("tile", 5)];
    let long = vec![Wanted::exactly("lead", 1), Wanted::exactly("tile", 13), Wanted::exactly("batten", 4)];
    let all = slopewright::order::ranged([short, taped, long]);
    let told: Vec<_> = all.iter().map(|of| (of.item.as_str(), of.low, of.likely, of.high)).collect();
    assert_eq!(told, [("tile", 10, 12, 13), ("batten", 3, 4, 4), ("lead", 0, 0, 1)]);
}

#[test]
fn a_price_list_takes_what_the_limits_allow_and_no_more() {
    // docs/limits.md: a price to a thousand million, with six decimals.
    let check = |price: &str| list(vec![PriceRow::new("tile", dec(price))]).check().is_ok();
    for allowed in ["0", "0.000001", "999999999.999999", "1000000000", "1.500000000"] {
        assert!(check(allowed), "{allowed}");
    }
    for beyond in ["-0.01", "0.0000001", "1000000000.000001", "1000000001"] {
        assert!(!check(beyond), "{beyond}");
    }
}

#[test]
fn spare_and_range() {
    let prices = list(vec![PriceRow::new("tile", dec("0.50")), PriceRow::new("ridge", dec("9"))]);
    let wanted = [ranged(980, 1000, 1020), Wanted::exactly("ridge", 21)];
    let how = Terms {
        spare: Spare::Allowance { part: percent("5 %") },
        spares: vec![ItemSpare::of_item("ridge", Spare::None)],
        ..terms()
    };
    let range = order_range(&wanted, &prices, &how).unwrap();
    assert_eq!(range.each_ref().map(ordered), [[1029, 21], [1050, 21], [1071, 21]]);
    let high = Terms { count_on: CountOn::High, ..how };
    assert_eq!(order(&wanted, &prices, &high).unwrap(), range[2]);
}

#[test]
fn spare_by_part_of_the_roof() {
    let prices = ["tile", "ridge", "nail", "odd"].map(|item| PriceRow::new(item, dec("1")));
    let wanted = [
        Wanted::exactly("tile", 1000).of_part(Part::Covering),
        Wanted::exactly("ridge", 100).of_part(Part::Ridge),
        Wanted::exactly("nail", 1000).of_part(Part::Fixings),
        Wanted::exactly("odd", 100),
    ];
    let by = |text: &str| Spare::Allowance { part: percent(text) };
    let how = Terms {
        spare: by("1 %"),
        spares: vec![
            ItemSpare::of_part(Part::Covering, by("5 %")),
            ItemSpare::of_part(Part::Ridge, by("7 %")),
            ItemSpare::of_item("ridge", by("10 %")),
        ],
        ..terms()
    };
    // That of the part; the item's own, which goes before it; that of all, with a part and without one.
    assert_eq!(ordered(&order(&wanted, &list(prices.to_vec()), &how).unwrap()), [1050, 110, 1010, 101]);
}

#[test]
fn a_price_without_a_size_is_for_every_size() {
    let rows =
        [("soakers, lead code 3", "3"), ("soakers, lead code 3, 192 mm x 175 mm", "2"), ("battens", "1")];
    let prices = list(rows.map(|(item, price)| PriceRow::new(item, dec(price))).to_vec());
    let price = |item: &str| prices.row(item).map(|row| row.price);
    assert_eq!(price("soakers, lead code 3, 192 mm x 175 mm"), Some(dec("2")), "its own goes before");
    assert_eq!(price("soakers, lead code 3, 292.5 mm x 175 mm"), Some(dec("3")));
    // No price is taken for another thing: another code, or a length that is bought as it is.
    for other in
        ["soakers, lead code 4, 192 mm x 175 mm", "battens, 4.8 m", "soakers", "soakers, lead code 3, wide"]
    {
        assert_eq!(price(other), None, "{other}");
    }
    let wanted = [Wanted::exactly("soakers, lead code 3, 292.5 mm x 175 mm", 10)];
    let made = order(&wanted, &prices, &terms()).unwrap();
    assert_eq!((made.lines[0].item.as_str(), made.lines[0].net), (wanted[0].item.as_str(), dec("30.00")));
}

#[test]
fn masses_pallets_and_lifts() {
    let tile = PriceRow {
        pack: 8,
        mass_each_kg: Some(dec("1.15")),
        pallet: 480,
        ..PriceRow::new("tile", dec("0.50"))
    };
    let clip = PriceRow::new("clip", dec("0.05"));
    let slab = PriceRow { mass_each_kg: Some(dec("60")), pack: 4, ..PriceRow::new("slab", dec("40")) };
    let prices = list(vec![tile, clip, slab]);
    let wanted = [Wanted::exactly("tile", 1000), Wanted::exactly("clip", 7), Wanted::exactly("slab", 3)];
    let how = Terms { lift_kg: Some(dec("100")), ..terms() };
    let made = order(&wanted, &prices, &how).unwrap();
    // Tiles: 1000 x 1.15 = 1150 kg, 1000 / 480 = 3 pallets; a pack is 9.2 kg, 10 packs (80 tiles) to a lift: 13 lifts.
    // Slabs: 4 x 60 = 240 kg; no pack of 240 kg can be lifted, so one at a time: 4 lifts.
    assert_eq!(made.mass_kg, dec("1390"));
    assert_eq!((made.lines[0].pallets, made.lines[0].lifts, made.lines[2].lifts), (3, Some(13), Some(4)));
    assert_eq!((made.pallets, made.lifts), (3, Some(17)));
    assert_eq!(made.mass_unknown, ["clip"]);
}

#[test]
fn what_is_short_after_salvage_is_ordered_with_its_mass() {
    use slopewright::quantity::kg;
    use slopewright::salvage::{Need, Sharing, share};
    let tile = |count| Need {
        mass_each: Some(kg(1.15)),
        ..Need::new("north", "plain whole".parse().unwrap(), count)
    };
    let cut = Need { mass_each: Some(kg(0.6)), ..Need::new("north", "plain cut".parse().unwrap(), 10) };
    let shared = share(&[], &[cut, tile(90)], &Sharing::default()).unwrap();
    let wanted: Vec<Wanted> = shared.shortages().iter().map(Wanted::from).collect();
    // Cut units are bought whole, at the mass of a whole one: 100 x 1.15 kg, unless the price list knows better.
    let mass = |row| order(&wanted, &list(vec![row]), &terms()).unwrap().mass_kg;
    let row = PriceRow::new("plain whole", dec("0.50"));
    assert_eq!(mass(row.clone()), dec("115"));
    assert_eq!(mass(PriceRow { mass_each_kg: Some(dec("1.2")), ..row }), dec("120"));
}

#[test]
fn a_least_value() {
    let prices = list(vec![PriceRow::new("tile", dec("0.50"))]);
    let under = |least: &str| {
        let how = Terms { least_value: Some(dec(least)), ..terms() };
        order(&[Wanted::exactly("tile", 100)], &prices, &how).unwrap().under_least_value
    };
    assert_eq!((under("50"), under("80.00")), (None, Some(dec("30.00"))));
}

#[test]
fn thirds_that_add_up_to_a_half_cent_are_a_half_cent() {
    // By hand: three lines of a third each make 0.025 and 0.335, which are ties; their decimals alone would make
    // 0.0249... and 0.3350...1.
    for (price, up, down) in [("0.025", "0.03", "0.02"), ("0.335", "0.34", "0.33")] {
        let items = ["a", "b", "c"];
        let prices = list(items.map(|item| PriceRow { per: 3, ..PriceRow::new(item, dec(price)) }).to_vec());
        let wanted = items.map(|item| Wanted::exactly(item, 1));
        let net = |mode| {
            order(&wanted, &prices, &Terms::new(mode, RoundingPlace::PerTotal)).unwrap().total.net.to_string()
        };
        assert_eq!(
            (net(MoneyRounding::HalfUp), net(MoneyRounding::HalfDown)),
            (up.to_owned(), down.to_owned())
        );
    }
}

#[test]
fn a_price_list_as_text() {
    let text = "Price,item,part_packs,tax,description,pack,mass_each_kg\n\
                0.65,tile,yes,20 %,\"plain, sanded\",6,1.15\n\
                \n\
                9,ridge,,,,,\n";
    let prices = PriceList::read_csv("GBP", text).unwrap();
    let tile = PriceRow {
        description: "plain, sanded".into(),
        pack: 6,
        part_packs: true,
        tax: percent("20 %"),
        mass_each_kg: Some(dec("1.15")),
        ..PriceRow::new("tile", dec("0.65"))
    };
    assert_eq!(prices.rows, [tile, PriceRow::new("ridge", dec("9"))]);
    let as_toml = toml::to_string(&prices).unwrap();
    assert_eq!(toml::from_str::<PriceList>(&as_toml).unwrap(), prices);
}

#[test]
fn the_load_is_a_finding_over_the_threshold_either_way() {
    let threshold = ChangeThreshold {
        part: percent("15 %"),
        source: "a local authority's guidance".into(),
        checked_by: "a competent person".into(),
    };
    let change = |old: f64, new: f64| cover_change(kg_per_m2(old), kg_per_m2(new), m2(100.0), &threshold);
    // Published: a British builders' book of the 1840s (Google Books KVUEAAAAQAAJ, pp. 138-140) gives plain tiling 14 and
    // pantiling 7 1/2 hundredweight a square, 76.6 and 41.0 kg/m2.
    let lighter = change(76.6, 41.0);
    assert!(lighter.over_threshold && lighter.message.as_ref().unwrap().contains("46.5 % lighter"));
    assert!((lighter.change_kg + 3560.0).abs() < 1e-6);
    // Published second-hand: a data sheet of a 420 x 330 mm tile, 46 kg/m2 at 75 mm lap and 49 at 100 mm: 6.5 %.
    assert!(!change(46.0, 49.0).over_threshold);
    // Both sides of 15 %, both ways: 40 x 1.15 = 46, 40 x 0.85 = 34.
    assert_eq!(
        [46.0, 46.01, 34.0, 33.99].map(|new| change(40.0, new).over_threshold),
        [false, true, false, true]
    );
    assert!(change(0.0, 40.0).over_threshold && change(f64::NAN, 40.0).change_share.is_none());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    #[test]
    fn an_order_is_never_short_and_never_a_pack_too_large(
        need in 1..100_000_u64,
        pack in 1..500_u64,
        part_packs in any::<bool>(),
        allowance in 0..30_u32,
        cents in 0..10_000_u32,
    ) {
        let prices = list(vec![PriceRow { pack, part_packs, ..PriceRow::new("tile", Decimal::new(cents.into(), 2)) }]);
        let how = Terms { spare: Spare::Allowance { part: percent(&format!("{allowance} %")) }, ..terms() };
        let made = order(&[Wanted::exactly("tile", need)], &prices, &how).unwrap();
        let line = &made.lines[0];
        prop_assert!(line.wanted >= need && line.ordered >= line.wanted);
        let step = if part_packs { 1 } else { pack };
        prop_assert!(line.ordered < line.wanted + step);
        prop_assert_eq!(line.packs * pack + line.loose, line.ordered);
        prop_assert_eq!(line.surplus, line.ordered - need);
        prop_assert!(made.total.gross >= Decimal::ZERO);
    }

    #[test]
    fn no_price_list_panics(text in "(item|price|pack|,|\"|\n|[0-9]|%|\\PC){0,60}") {
        let _ = PriceList::read_csv("EUR", &text);
        let _ = PriceList::read_csv(&text, "item,price\na,1\n");
    }

    #[test]
    fn no_figures_panic(
        counts in any::<[u64; 3]>(),
        figures in any::<[u64; 4]>(),
        price in any::<[u8; 16]>(),
        sureness in any::<f64>(),
    ) {
        let price = Decimal::deserialize(price);
        let row = PriceRow {
            pack: figures[0],
            least: figures[1],
            per: figures[2],
            pallet: figures[3],
            mass_each_kg: Some(price),
            ..PriceRow::new("tile", price)
        };
        let wanted = [ranged(counts[0], counts[1], counts[2])];
        let how = Terms {
            spare: Spare::Risk { breakage: percent("3 %"), sureness },
            lift_kg: Some(price),
            least_value: Some(price),
            ..terms()
        };
        let _ = order_range(&wanted, &list(vec![row]), &how);
    }
}
