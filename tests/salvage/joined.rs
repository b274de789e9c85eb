//! From the survey through salvage to the order: what the take-off needs is met or bought, whatever the roof.

use std::collections::BTreeMap;

use proptest::prelude::*;
use slopewright::order::{Decimal, OrderDocument, PriceRow, RoundingPlace, Terms};
use slopewright::quantity::{MoneyRounding, Pitch, m};
use slopewright::salvage::{Basis, Counting, Heap, Need, Reckoning, Salvage, Sharing, UnitKey, UnitKind};
use slopewright::survey::{CoveringDocument, SlopeDocument, SurveyDocument};
use slopewright::{FaultKind, TakeOff};

const ROOM: &str = include_str!("../../docs/examples/reading-room.toml");
const SALVAGE: &str = include_str!("../../docs/examples/reading-room-salvage.toml");
const ORDER: &str = include_str!("../../docs/examples/reading-room-order.toml");
const PRICES: &str = include_str!("../../docs/examples/reading-room-prices.csv");

fn take_off(survey: &SurveyDocument) -> TakeOff {
    TakeOff::of(&survey.check().unwrap()).unwrap()
}

/// Two slopes of a format, one of them with its gauge made smaller.
fn roof(format: &str, eaves: f64, rafter: f64, pitch: f64) -> TakeOff {
    let pitch = Pitch::from_degrees(pitch).unwrap();
    take_off(
        &SurveyDocument::new("barn")
            .with_covering(CoveringDocument::new(format))
            .with_slope(SlopeDocument::rectangle("north", m(eaves), m(rafter), pitch))
            .with_slope(SlopeDocument::rectangle("south", m(eaves / 2.0), m(rafter), pitch)),
    )
}

fn sums(needs: &[Need]) -> BTreeMap<UnitKind, u64> {
    let mut sums = BTreeMap::new();
    for need in needs {
        *sums.entry(need.unit.kind).or_default() += need.count;
    }
    sums
}

#[test]
fn a_first_course_laid_double_needs_whole_units() {
    // By hand: shingles laid double at the eaves; nothing is short, so nothing but the edges' cuts is cut.
    let shingles: Vec<TakeOff> = slopewright::catalogue::Catalogue::standard()
        .coverings()
        .iter()
        .filter(|of| of.eaves_unit.is_none())
        .filter_map(|of| {
            let pitch = Pitch::from_degrees(45.0).unwrap();
            let survey = SurveyDocument::new("barn")
                .with_covering(CoveringDocument::new(&of.key))
                .with_slope(SlopeDocument::rectangle("north", m(6.0), m(4.0), pitch));
            TakeOff::of(&survey.check().ok()?).ok()
        })
        .collect();
    assert!(shingles.len() > 10, "{}", shingles.len());
    for take_off in &shingles {
        let needs = sums(&take_off.needs());
        let units = &take_off.slopes[0].units;
        assert!(!needs.contains_key(&UnitKind::Eaves), "no such unit in the format");
        assert_eq!(needs.values().sum::<u64>(), u64::from(units.laid()));
    }
}

#[test]
fn needs_are_the_totals_of_the_take_off() {
    let take_off = take_off(&SurveyDocument::from_toml(ROOM).unwrap());
    let needs = sums(&take_off.needs());
    // Two ways to one number: the lines of the whole roof are summed up elsewhere.
    let line = |words: &str| {
        let lines = take_off.lines();
        lines.iter().find(|line| line.slope.is_empty() && line.item.starts_with(words)).unwrap().clone()
    };
    assert_eq!(Some(needs[&UnitKind::Whole] + needs[&UnitKind::Cut]), line("whole units to take").count);
    assert_eq!(Some(needs[&UnitKind::TileAndAHalf]), line("tile-and-a-half units to take").count);
    assert_eq!(Some(needs[&UnitKind::Eaves]), line("under-eaves units to take").count);
    assert_eq!(Some(needs[&UnitKind::Top]), line("top units to take").count);
    let mass: f64 = take_off
        .needs()
        .iter()
        .filter(|need| need.unit.kind == UnitKind::Whole || need.unit.kind == UnitKind::Cut)
        .map(|need| need.mass_each.unwrap().value * f64::from(u32::try_from(need.count).unwrap()))
        .sum();
    assert!((mass - line("whole units to take").mass_kg.unwrap()).abs() < 1e-6, "{mass}");
}

#[test]
fn the_examples_go_all_the_way() {
    let take_off = take_off(&SurveyDocument::from_toml(ROOM).unwrap());
    let salvaged = Salvage::from_toml(SALVAGE).unwrap().reckon(&take_off.needs()).unwrap();
    assert!(salvaged.answer[0].starts_with("Have we enough? No: "), "{}", salvaged.answer[0]);
    assert!(salvaged.answer.len() <= 5, "the answer fits five lines");
    // Independent: scipy.stats.poisson(1400 / 1000 * 1.5 * 25).ppf(0.9) = 62.
    assert_eq!((salvaged.shared.reserves[0].wanted, salvaged.shared.reserves[0].held), (62, 62));
    let document = OrderDocument::from_toml(ORDER).unwrap().with_csv(PRICES).unwrap();
    let made = document.order_for(&salvaged, &[&take_off]).unwrap();
    for short in &salvaged.shortages {
        let line = made.lines.iter().find(|line| line.item == short.unit.to_string()).unwrap();
        assert_eq!(line.needed, short.to_buy);
        assert!(line.ordered >= line.needed && line.packs > 0);
    }
    assert!(made.unpriced.is_empty(), "{:?}", made.unpriced);
    assert_eq!(made.total.net + made.total.tax, made.total.gross);
    // Without its price a unit that is short is a fault; another material is named and left out.
    let mut fewer = document.clone();
    fewer.prices.retain(|row| row.item != "membrane-1x50");
    assert_eq!(fewer.order_for(&salvaged, &[&take_off]).unwrap().unpriced, ["membrane-1x50"]);
    fewer.prices.retain(|row| !row.item.ends_with(" whole"));
    let error = fewer.order_for(&salvaged, &[&take_off]).unwrap_err();
    assert_eq!(error.kind(), FaultKind::PriceMissing);
}

/// In the example only what breaks has a spare for breakage.
#[test]
fn the_example_orders_no_spare_for_what_does_not_break() {
    let take_off = take_off(&SurveyDocument::from_toml(ROOM).unwrap());
    let salvaged = Salvage::from_toml(SALVAGE).unwrap().reckon(&take_off.needs()).unwrap();
    let document = OrderDocument::from_toml(ORDER).unwrap().with_csv(PRICES).unwrap();
    let made = document.order_for(&salvaged, &[&take_off]).unwrap();
    let spared: Vec<&str> =
        made.lines.iter().filter(|line| line.chance_short.is_some()).map(|line| line.item.as_str()).collect();
    let units = ["whole", "tile-and-a-half", "eaves", "top"].map(|kind| format!("plain-tile-265x165 {kind}"));
    let others = ["ridge-450", "bonnet-plain-tile"].map(str::to_owned);
    assert_eq!(spared, units.iter().chain(&others).map(String::as_str).collect::<Vec<_>>());
    for item in ["membrane-1x50", "lead saddles", "ridge bedding mortar, 1 : 3 cement and sand (m)"] {
        let line = made.lines.iter().find(|line| line.item == item).unwrap();
        assert_eq!(line.wanted, line.needed, "{item}");
    }
}

/// Another gauge makes other soakers: they keep their price where it is for every size, and where it is for others alone
/// the order says which.
#[test]
fn soakers_of_another_size_keep_their_price_or_are_named() {
    let closer = ROOM.replacen(
        "format = \"plain-tile-265x165\"",
        "format = \"plain-tile-265x165\"\ngauge = \"92 mm\"",
        1,
    );
    let take_off = take_off(&SurveyDocument::from_toml(&closer).unwrap());
    let salvaged = Salvage::from_toml(SALVAGE).unwrap().reckon(&take_off.needs()).unwrap();
    let priced = |prices: &str| {
        let document = OrderDocument::from_toml(ORDER).unwrap().with_csv(prices).unwrap();
        document.order_for(&salvaged, &[&take_off]).unwrap()
    };
    let made = priced(PRICES);
    let soakers = made.lines.iter().find(|line| line.item.starts_with("soakers")).unwrap();
    assert_ne!(soakers.item, "soakers, lead code 3, 192 mm x 175 mm", "the gauge changed nothing");
    let row = PRICES.lines().find(|line| line.starts_with("\"soakers")).unwrap();
    let sized = ["400 mm x 175 mm", "192 mm x 175 mm"]
        .map(|size| row.replacen("lead code 3\"", &format!("lead code 3, {size}\""), 1))
        .join("\n");
    let made = priced(&PRICES.replace(row, &sized));
    assert_eq!(made.unpriced, std::slice::from_ref(&soakers.item));
    let others = ["soakers, lead code 3, 192 mm x 175 mm", "soakers, lead code 3, 400 mm x 175 mm"];
    assert_eq!(made.other_sizes[&soakers.item], others, "the nearest first");
    let findings: Vec<String> = made.findings().iter().map(ToString::to_string).collect();
    assert!(
        findings.iter().any(|finding| finding.contains("or one to 'soakers, lead code 3'")),
        "{findings:?}"
    );
}

#[test]
fn a_format_that_nothing_knows_is_told() {
    let take_off = take_off(&SurveyDocument::from_toml(ROOM).unwrap());
    let slip = SALVAGE.replace("unit = \"plain-tile-265x165 eaves\"", "unit = \"plain-tile-256x165 eaves\"");
    for (text, expected) in [(SALVAGE, &[][..]), (slip.as_str(), &["plain-tile-256x165"])] {
        let salvaged = Salvage::from_toml(text).unwrap().reckon_for(&[&take_off]).unwrap();
        assert_eq!(salvaged.unknown_formats, expected);
        let told =
            salvaged.findings().iter().filter(|of| of.to_string().contains("Check the spelling")).count();
        assert_eq!(told, expected.len());
    }
}

#[test]
fn a_roof_is_handed_in_once() {
    let take_off = take_off(&SurveyDocument::from_toml(ROOM).unwrap());
    let salvage = Salvage::from_toml(SALVAGE).unwrap();
    let twice = salvage.reckon_for(&[&take_off, &take_off]).unwrap_err();
    assert_eq!(twice.kind(), FaultKind::RoofRepeated);
    let salvaged = salvage.reckon_for(&[&take_off]).unwrap();
    let document = OrderDocument::from_toml(ORDER).unwrap().with_csv(PRICES).unwrap();
    let twice = document.order_for(&salvaged, &[&take_off, &take_off]).unwrap_err();
    assert_eq!(twice.kind(), FaultKind::RoofRepeated);
    // Two that are alike have names of their own.
    let mut twin = take_off.clone();
    "twin".clone_into(&mut twin.name);
    assert!(salvage.reckon_for(&[&take_off, &twin]).is_ok());
}

#[test]
fn documents_go_out_and_come_back() {
    let salvage = Salvage::from_toml(SALVAGE).unwrap();
    assert_eq!(Salvage::from_toml(&salvage.to_toml().unwrap()).unwrap(), salvage);
    assert_eq!(Salvage::from_json(&salvage.to_json().unwrap()).unwrap(), salvage);
    let order = OrderDocument::from_toml(ORDER).unwrap().with_csv(PRICES).unwrap();
    assert_eq!(OrderDocument::from_toml(&order.to_toml().unwrap()).unwrap(), order);
    assert_eq!(OrderDocument::from_json(&order.to_json().unwrap()).unwrap(), order);
    for schema in [Salvage::schema(), OrderDocument::schema()] {
        assert_eq!(schema["properties"]["slopewright"]["const"], 1);
        assert!(schema["required"].as_array().unwrap().iter().any(|name| name == "slopewright"));
    }
}

#[test]
fn every_faulty_part_of_a_document_is_named() {
    let faulty = SALVAGE
        .replace("slopewright = 1", "slopewright = 9")
        .replace("sound = 98", "sound = 98, oops = 1")
        .replace("handling_loss", "handling_los")
        .replace("ranks", "rankz")
        .replace("plain-tile-265x165 eaves", "plain-tile-265x165 eves");
    let error = Salvage::from_toml(&faulty).unwrap_err();
    let places: Vec<&str> = error.faults().map(|fault| fault.place.as_str()).collect();
    assert_eq!(places, ["", "heaps 2, counted", "heaps 4, unit", "reckoning", "sharing"]);
    assert!(error.faults().all(|fault| fault.kind == FaultKind::SalvageUnreadable));
    for (text, says) in [
        ("currency = \"EUR\"", "does not say its version"),
        ("slopewright = 1\ncurrency = \"EUR\"", "lacks the field 'terms'"),
        ("slopewright = 1\ncurrency = ", "is not TOML"),
    ] {
        let error = OrderDocument::from_toml(text).unwrap_err();
        assert!(error.to_string().contains(says), "{error}");
        assert!(error.faults().all(|fault| fault.kind == FaultKind::OrderUnreadable));
    }
    assert!(OrderDocument::from_json("{").unwrap_err().to_string().contains("is not JSON"));
    assert!(Salvage::from_json("[]").unwrap_err().to_string().contains("is not a table"));
}

#[test]
fn findings_say_what_is_off() {
    let twice = SALVAGE
        .replace("area = \"44.6 m2\"", "area = \"89.2 m2\"")
        .replace("laid = 1400", "laid = 1400000")
        .replace("plain-tile-265x165 eaves", "plain-tile-10.5x6.5in eaves");
    let take_off = take_off(&SurveyDocument::from_toml(ROOM).unwrap());
    let standard = slopewright::catalogue::Catalogue::standard().coverings();
    let salvage = Salvage::from_toml(&twice).unwrap().with_sizes_of(standard);
    let messages: Vec<String> =
        salvage.reckon(&take_off.needs()).unwrap().findings().iter().map(ToString::to_string).collect();
    for says in
        ["should have come off", "can be held back", "is not laid for plain-tile-265x165", "266.7 x 165.1 mm"]
    {
        assert!(messages.iter().any(|message| message.contains(says)), "{says}: {messages:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn what_the_take_off_needs_is_met_or_bought(
        format in prop_oneof![Just("plain-tile-265x165"), Just("plain-tile-10.5x6.5in"), Just("interlocking-420x330"),
                              Just("plain-tile-german-180x380")],
        eaves in 1.0..20.0_f64,
        rafter in 1.0..9.0_f64,
        pitch in 36.0..60.0_f64,
        have in prop::collection::vec((0..5_usize, 0..4_000_u64), 0..5),
    ) {
        let take_off = roof(format, eaves, rafter, pitch);
        let needs = take_off.needs();
        // Nothing is lost between the layout and the needs.
        let laid: u64 = take_off.slopes.iter().map(|slope| u64::from(slope.units.laid())).sum();
        prop_assert_eq!(needs.iter().map(|need| need.count).sum::<u64>(), laid);

        let kinds = [UnitKind::Whole, UnitKind::TileAndAHalf, UnitKind::Eaves, UnitKind::Top, UnitKind::Half];
        let heaps: Vec<Heap> = have
            .iter()
            .map(|(kind, sound)| Heap {
                label: String::new(),
                unit: UnitKey::new(format, kinds[*kind]),
                counted: Counting::Grades { sound: *sound, doubtful: 0, broken: 0 },
            })
            .collect();
        let reckoning = Reckoning { basis: Basis::Sure { sureness: 0.9 }, ..Reckoning::LIKELY };
        let salvage = Salvage { heaps, reckoning, old_coverings: Vec::new(), sharing: Sharing::default() };
        let salvaged = salvage.reckon(&needs).unwrap();
        for (need, row) in needs.iter().zip(&salvaged.shared.needs) {
            prop_assert_eq!(&row.need, need);
            prop_assert_eq!(row.met + row.bought, need.count);
        }

        // The order has a line for each shortage, and never less than it.
        let mut document = OrderDocument::new("EUR", Terms::new(MoneyRounding::HalfEven, RoundingPlace::PerLine));
        let items = kinds.iter().map(|kind| UnitKey::new(format, *kind).to_string());
        document.prices = items.map(|item| PriceRow { pack: 7, ..PriceRow::new(item, Decimal::ONE) }).collect();
        let made = document.order_for(&salvaged, &[&take_off]).unwrap();
        let bought: u64 = salvaged.shared.needs.iter().map(|row| row.bought).sum();
        prop_assert_eq!(made.lines.iter().map(|line| line.needed).sum::<u64>(), bought);
        for line in &made.lines {
            prop_assert!(line.ordered >= line.needed && line.ordered < line.needed + 7);
        }
    }
}
