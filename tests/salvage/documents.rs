//! The documents of both rooms: as text, as schema, and with a slip of the pen in them.

use slopewright::order::{PriceList, SecondDelivery, Terms, Wanted};
use slopewright::salvage::{Entry, Inspection, Need, Salvage, Tally};
use slopewright::{Fault, FaultKind};

const SALVAGE: &str = r#"
    [[heaps]]
    label = "behind the barn"
    unit = "imperial whole"
    counted = { by = "sampled-stacks", stacks = 29, per_stack = 40, loose = 40, inspected = 80, sound = 70 }

    [[heaps]]
    unit = "imperial ridge"
    counted = { by = "grades", sound = 20, broken = 3 }

    [reckoning]
    basis = { on = "sure", sureness = 0.95 }
    handling_loss = "2 %"
    refixing_loss = "1.5 %"

    [[old_coverings]]
    unit = "imperial whole"
    area = "20 m2"
    gauge = "4 in"
    cover_width = "6 1/2 in"
    allowed = "5 %"

    [sharing]
    manner = "evenly"
    ranks = [{ slope = "north", rank = 1 }]
    cut_down = [{ from = "whole", to = "cut", pieces = 1 }, { from = "whole", to = "half", pieces = 2 }]
    formats = [
        { format = "imperial", length = "10 1/2 in", width = "6 1/2 in" },
        { format = "metric", length = "265 mm", width = "165 mm" },
    ]
    substitutes = [{ old = "imperial", new = "metric", length_within = "2 mm", width_within = "0.5 mm" }]

    [[sharing.reserves]]
    roof = "barn"
    unit = "imperial whole"
    hold = { by = "breakage", laid = 900, per_thousand_a_year = 1.0, years = 20, sureness = 0.9 }
    turn = "first"
"#;

#[test]
fn a_salvage_document_with_everything_in_it() {
    let salvage: Salvage = toml::from_str(SALVAGE).unwrap();
    let back: Salvage = serde_json::from_str(&serde_json::to_string(&salvage).unwrap()).unwrap();
    assert_eq!(back, salvage);
    let needs = [
        Need::new("south", "metric whole".parse().unwrap(), 500),
        Need::new("north", "metric whole".parse().unwrap(), 400),
        Need::new("ridge", "metric ridge".parse().unwrap(), 25),
    ];
    let result = salvage.reckon(&needs).unwrap();
    // Independent: half the risk on the sample: hypergeometric bound at 97.5 % = 943; half on the losses:
    // scipy.stats.binom(943, 0.0347).ppf(0.975) = 44; reserve scipy.stats.poisson(18).ppf(0.9) = 24. Then
    // 943 - 44 - 24 = 875 to lay: 400 to the north and 475 to the south.
    let whole = &result.shared.supplies[0];
    assert_eq!((whole.supply.salvaged, whole.supply.lost, whole.reserve), (943, 44, 24));
    assert_eq!(result.shared.needs.iter().map(|row| row.met).collect::<Vec<_>>()[..2], [475, 400]);
    // By hand: 20 m2 at 4 x 6 1/2 in is 20 / (0.1016 x 0.1651) = 1192.3, and 1200 came off.
    assert_eq!((result.checks[0].expected, result.checks[0].differs), (1192, false));
    assert!(result.answer[0].starts_with("Have we enough? No:"), "{}", result.answer[0]);
    assert!(!result.alternatives.is_empty());
    // All of the reserve is held, so nothing is said of it. A hundred times as many laid want scipy.stats.poisson(1800).ppf(0.9) =
    // 1854, and no more than the 943 - 44 that are there can be held.
    let of_reserves = |salvage: &Salvage| -> Vec<String> {
        let findings = salvage.reckon(&needs).unwrap().findings();
        let of_reserves = findings.into_iter().filter(|finding| finding.message.contains("can be held back"));
        of_reserves.map(|finding| finding.message).collect()
    };
    assert!(of_reserves(&salvage).is_empty());
    let more: Salvage = toml::from_str(&SALVAGE.replace("laid = 900,", "laid = 90000,")).unwrap();
    assert_eq!(of_reserves(&more), ["only 899 of 1854 imperial whole can be held back"]);
    // 25 whole ones are short (875 of 900) and the heap is likely to hold them: with so many more inspected and found as
    // good as the sample, it can be relied on for them.
    let again = &result.look_again[0];
    assert_eq!((again.relied_on, again.likely, again.short), (943, 1050, 25));
    let more = again.inspect_more.unwrap();
    let seen = |more: u64| Inspection::new(1200, 80 + more, (80 + more) * 70 / 80).unwrap();
    assert!(
        seen(more).at_least(0.975).unwrap() >= 968 && seen(more / 2).at_least(0.975).unwrap() < 968,
        "{more}"
    );
    // Where nothing is short no heap need be looked at again.
    let few = [Need::new("north", "metric whole".parse().unwrap(), 400)];
    assert!(salvage.reckon(&few).unwrap().look_again.is_empty());
    // Results are plain data.
    assert!(serde_json::to_string(&result).unwrap().contains("\"unit\":\"imperial whole\""));
}

#[test]
fn a_slip_of_the_pen_is_refused_and_named() {
    for (right, wrong) in [
        ("handling_loss", "handling_los"),
        ("per_stack", "perstack"),
        ("ranks", "rank"),
        ("years", "year"),
        ("allowed", "allow"),
        ("length_within", "length_with"),
        ("\"imperial ridge\"", "\"imperial rigde\""),
    ] {
        let error = toml::from_str::<Salvage>(&SALVAGE.replace(right, wrong)).unwrap_err().to_string();
        assert!(error.contains(wrong.trim_matches('"')), "{wrong}: {error}");
    }
}

#[test]
fn all_faults_of_a_document_come_at_once() {
    let mut salvage: Salvage = toml::from_str(
        &SALVAGE
            .replace("inspected = 80", "inspected = 8")
            .replace("\"4 in\"", "\"4\"")
            .replace("years = 20", "years = -20"),
    )
    .unwrap();
    let error = salvage.reckon(&[]).unwrap_err();
    let seen: Vec<_> = error.faults().map(|fault| (fault.place.as_str(), fault.kind)).collect();
    assert_eq!(
        seen,
        [
            ("heap 1 'behind the barn'", FaultKind::CountUneven),
            ("old covering, imperial whole, gauge", FaultKind::UnitMissing),
            ("reserve for roof 'barn', imperial whole, years", FaultKind::NotFinite),
        ]
    );
    // A tally that contradicts itself adds nothing.
    let line = |count: u64| {
        format!("{{\"id\":\"a\",\"unit\":\"imperial whole\",\"grade\":\"sound\",\"count\":{count}}}\n")
    };
    let before = salvage.heaps.len();
    assert!(salvage.add_tally(&Tally::read(&(line(1) + &line(2))).unwrap()).is_err());
    assert_eq!(salvage.heaps.len(), before);
    salvage.add_tally(&Tally::read(&line(3)).unwrap()).unwrap();
    assert_eq!(salvage.heaps.len(), before + 1);
    assert!(error.faults().all(|fault: &Fault| !fault.advice.is_empty()));
}

#[test]
fn documents_have_schemas() {
    for (schema, must) in [
        (schemars::schema_for!(Salvage), "handling_loss"),
        (schemars::schema_for!(Need), "mass_each_kg"),
        (schemars::schema_for!(Entry), "corrects"),
        (schemars::schema_for!(PriceList), "part_packs"),
        (schemars::schema_for!(Terms), "rounding_place"),
        (schemars::schema_for!(Wanted), "likely"),
        (schemars::schema_for!(SecondDelivery), "worth_left_over"),
    ] {
        let text = serde_json::to_string(&schema).unwrap();
        assert!(text.contains(must) && text.contains("\"additionalProperties\":false"), "{text}");
    }
}
