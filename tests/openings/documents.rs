//! What a survey may say of openings, what is refused, and what the lines and findings then say.

use slopewright::takeoff::{Line, Part};
use slopewright::{FaultKind, SurveyDocument, TakeOff};

fn document(rest: &str, openings: &str) -> SurveyDocument {
    let text = format!(
        r#"
        slopewright = 1
        covering.format = "plain-tile-265x165"
        battens.rafter_spacing = "400 mm"
        underlay = {{ format = "membrane-1x50", supported = true }}
        {rest}
        [[slope]]
        name = "s"
        shape = "rectangle"
        pitch = "40 deg"
        eaves = "9 m"
        rafter = "5 m"
        opening = [{openings}]
        "#
    );
    SurveyDocument::from_toml(&text).unwrap()
}

const PLACE: &str = r#"from_left = "2 m", from_eaves = "1.5 m", width = "900 mm", height = "680 mm""#;

#[test]
fn what_is_refused() {
    for (kind, rest, said) in [
        (FaultKind::OpeningKindUnknown, "", r#"kind = "roof-windw""#),
        (FaultKind::FlueUnknown, "", r#"kind = "chimney", flue = "bricks""#),
        (FaultKind::FlueNotForOpening, "", r#"kind = "hatch", flue = "brick""#),
        (FaultKind::LevelAlone, "", r#"level_with = "b""#),
        // Level with itself is level with nothing.
        (FaultKind::LevelAlone, "", r#"level_with = "a""#),
        (FaultKind::OpeningStays, "", r#"existing = true, may_move_up = "10 mm""#),
        (FaultKind::LeadCodeUnknown, "", "flashing = { lead_code = 9 }"),
        (FaultKind::FieldUnknown, "", "flashing = { code = 5 }"),
        (FaultKind::LengthNegative, "", r#"may_move_left = "-10 mm""#),
        (FaultKind::LengthOutOfRange, "", r#"may_move_left = "10 mm", move_step = "0.5 mm""#),
        (FaultKind::TrimmingUnknown, "timbers.rule = \"any\"", r#"kind = "opening""#),
        (FaultKind::NailUnknown, "timbers.hanger_nail = \"any\"", r#"kind = "opening""#),
        (FaultKind::CountOutOfRange, "timbers.hanger_nails = 0", r#"kind = "opening""#),
        (FaultKind::LengthOutOfRange, "timbers.rafter_width = \"5 mm\"", r#"kind = "opening""#),
    ] {
        let found = document(rest, &format!("{{ name = \"a\", {PLACE}, {said} }}")).check();
        let error = found.expect_err(said);
        let kinds: Vec<_> = error.faults().map(|fault| fault.kind).collect();
        assert_eq!(kinds, [kind], "{said}: {error}");
        let fault = error.faults().next().unwrap();
        assert!(fault.place.contains("opening 'a'") || fault.place.starts_with("timbers"), "{}", fault.place);
        assert!(!fault.given.is_empty() || !fault.allowed.is_empty() || kind == FaultKind::OpeningStays);
    }
}

#[test]
fn rows_are_tied_by_a_name_or_a_shared_word() {
    let at = |name: &str, left: &str, rest: &str| {
        format!(
            r#"{{ name = "{name}", from_left = "{left}", from_eaves = "1 m", width = "500 mm", height = "500 mm"{rest} }}"#
        )
    };
    let all = [
        at("a", "1 m", ""),
        at("b", "2 m", ", level_with = \"a\""),
        at("c", "3 m", ", level_with = \"b\""),
        at("d", "4 m", ", level_with = \"top row\""),
        at("e", "5 m", ", level_with = \"top row\""),
        at("f", "6 m", ""),
    ];
    let roof = document("", &all.join(", ")).check().unwrap();
    let rows = slopewright::survey::rows_of(&roof.slopes[0].openings);
    assert_eq!(rows, [vec![0, 1, 2], vec![3, 4], vec![5]]);
}

fn line<'a>(lines: &'a [Line], item: &str) -> &'a Line {
    lines.iter().find(|line| line.item.starts_with(item)).unwrap_or_else(|| panic!("no line '{item}'"))
}

/// Lead of code 5 weighs 25.40 kg/m2 (EN 12588:1999 as relayed); pieces of 1.5 m at most with laps of 100 mm (NHBC Standards
/// 7.2.20). The rest by hand.
#[test]
fn a_chimney_in_lines() {
    let chimney = format!(
        r#"{{ name = "stack", {PLACE}, kind = "chimney", existing = true, underlay_collar = "150 mm",
             flashing = {{ lead_code = 5, width = "300 mm", head_width = "450 mm", past_corner = "150 mm" }} }}"#
    )
    .replace('\n', " ");
    let take_off = TakeOff::of(&document("", &chimney).check().unwrap()).unwrap();
    let lines: Vec<Line> = take_off.lines().into_iter().filter(|line| line.part == Part::Openings).collect();
    let near = |found: Option<f64>, wanted: f64, within: f64| {
        assert!((found.unwrap() - wanted).abs() < within, "{found:?} is not {wanted}");
    };
    // 900 + 2 x 150 mm in one piece, 0.3 m wide: 0.36 m2.
    let apron = line(&lines, "stack: front apron");
    assert_eq!(apron.count, Some(1));
    near(apron.length_m, 1.2, 1e-9);
    near(apron.mass_kg, 0.36 * 25.40, 0.01);
    near(line(&lines, "stack: back gutter").mass_kg, 1.2 * 0.45 * 25.40, 0.01);
    let jambs = line(&lines, "stack: step flashing up the sides, lead code 5, 300 mm wide");
    assert_eq!(jambs.count, Some(2));
    near(jambs.mass_kg, 2.0 * 0.68 * 0.3 * 25.40, 0.01);
    // Perimeter 2 x (900 + 680) mm; the upturn at an abutment is 100 mm (NHBC Standards 7.2.14).
    let upstand = line(&lines, "stack: underlay upstand");
    near(upstand.length_m, 3.16, 1e-9);
    near(upstand.area_m2, 0.316, 1e-9);
    // A frame of 150 mm round 900 x 680 mm: 1200 x 980 mm less the hole, and each corner lapped once more.
    near(line(&lines, "stack: underlay collar").area_m2, 1.2 * 0.98 - 0.9 * 0.68 + 4.0 * 0.15 * 0.15, 1e-9);
    near(line(&lines, "stack: sarking cut out").area_m2, 0.612, 1e-9);
    // Rafters at 200, 600 ... 1800, 2200, 2600, 3000 mm: the rows at sill and head reach from 1800 to 3000 mm, 2.4 m, less what
    // rows of the slope have there, whose tops lie within the 38 mm of a batten (the least section by BS 5534:2014, table 3).
    let there = |top: f64| -> f64 {
        let rows = take_off.slopes[0].battens.rows.iter().filter(|row| (row.at_m - top).abs() < 0.038);
        rows.map(|row| (row.to_m.min(3.0) - row.from_m.max(1.8)).max(0.0)).sum()
    };
    let missing = 2.4 - there(1.5).min(1.2) - there(2.18 + 0.038).min(1.2);
    near(line(&lines, "stack: extra battens at sill and head").length_m, missing, 1e-9);
    // Courses of 98 mm or so over 680 mm: seven or eight of them touch the sides.
    let soakers = line(&lines, "stack: soakers, lead code 3").count.unwrap();
    assert!(soakers == 14 || soakers == 16, "{soakers}");
}

#[test]
fn clearances_by_kind_give_way_to_the_survey_and_say_when_they_are_recalled() {
    let of = |said: &str| {
        let roof = document("", &format!("{{ name = \"a\", {PLACE}, {said} }}")).check().unwrap();
        let clearances = roof.slopes[0].openings[0].clearances.clone();
        let take_off = TakeOff::of(&roof).unwrap();
        let recalled = take_off
            .findings()
            .iter()
            .any(|finding| finding.place.contains("opening 'a'") && finding.message.contains("from memory"));
        ([clearances.below.by_m, clearances.above.by_m, clearances.beside.by_m], recalled)
    };
    assert_eq!(of(r#"kind = "opening""#), ([0.0, 0.0, 0.0], false));
    // From memory: the data file says so, and so does the finding.
    assert_eq!(of(r#"kind = "roof-window""#), ([0.0, 0.08, 0.04], true));
    assert_eq!(of(r#"kind = "roof-window", clearance = "30 mm""#), ([0.03, 0.03, 0.03], false));
    assert_eq!(
        of(r#"kind = "roof-window", clearance = "30 mm", clearance_above = "100 mm""#),
        ([0.03, 0.1, 0.03], false)
    );
}

#[test]
fn a_row_that_is_not_level_is_told() {
    let pair = |low: &str| {
        let text = format!(
            r#"{{ name = "a", {PLACE} }}, {{ name = "b", from_left = "5 m", from_eaves = "{low}", width = "900 mm", height = "800 mm", level_with = "a" }}"#
        );
        let take_off = TakeOff::of(&document("", &text).check().unwrap()).unwrap();
        take_off.findings().iter().any(|finding| finding.message.contains("are to be level"))
    };
    // Sills at 1500 mm, heads at 2180 mm; both sides of the tolerance of 2 mm (a convention of this library).
    assert!(!pair("1501.9 mm") && pair("1502.1 mm"));
    assert!(!pair("1381 mm") && pair("1390 mm"));
}
