//! Timbers round openings, on whole roofs.

use slopewright::{SurveyDocument, TakeOff};

fn take_off(rest: &str, opening: &str) -> TakeOff {
    let text = format!(
        r#"
        slopewright = 1
        covering.format = "plain-tile-265x165"
        {rest}
        [[slope]]
        name = "s"
        shape = "rectangle"
        pitch = "40 deg"
        eaves = "9 m"
        rafter = "5 m"
        opening = [{{ name = "o", from_eaves = "1.5 m", height = "1.2 m", {opening} }}]
        "#
    );
    TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap()
}

const TRUSSES: &str = r#"battens = { rafter_spacing = "600 mm", first_rafter = "300 mm" }
        timbers = { rafter_width = "35 mm", rafter_depth = "97 mm", hanger_nails = 20 }"#;

/// Mindham, Roof Construction and Loft Conversion, figure 3.18b: a window about 550 mm wide fits between trusses at 600 mm;
/// one or two cut, two added; three or four cut, four added.
#[test]
fn rafters_cut_and_added_as_published() {
    for (from_left, width, cut, added) in [
        // Between the trusses at 1.5 and 2.1 m.
        ("1.525 m", "550 mm", 0, Some(0)),
        ("1.400 m", "550 mm", 1, Some(2)),
        ("1.400 m", "1100 mm", 2, Some(2)),
        ("1.400 m", "1700 mm", 3, Some(4)),
        ("1.400 m", "2300 mm", 4, Some(4)),
        ("1.400 m", "2900 mm", 5, None),
    ] {
        let opening = format!("kind = \"roof-window\", from_left = \"{from_left}\", width = \"{width}\"");
        let take_off = take_off(TRUSSES, &opening);
        let found = take_off.slopes[0].openings(&take_off)[0].timbers.clone().unwrap();
        assert_eq!((found.cut, found.added), (cut, added), "{width}");
        let findings = take_off.findings();
        let engineer = findings.iter().filter(|finding| finding.message.contains("structural engineer"));
        assert_eq!(engineer.count() > 0, cut > 0, "{width}");
    }
}

#[test]
fn lengths_by_hand() {
    // Two trusses cut, at 1.5 and 2.1 m; the trimming ones stand at 0.9 and 2.7 m, 35 mm wide: 1800 - 35 = 1765 mm of header,
    // twice. On the left 1400 - 917.5 = 482.5 mm of room, on the right 2682.5 - 2500 = 182.5 mm: two trimmers of 1.2 m. Two
    // rafters of 5 m added. Four ends of headers and four of rafters hung, 20 nails in each.
    let take_off = take_off(TRUSSES, r#"from_left = "1.400 m", width = "1100 mm""#);
    let found = take_off.slopes[0].openings(&take_off)[0].timbers.clone().unwrap();
    assert_eq!((found.headers, found.trimmers, found.hangers, found.hanger_nails), (2, 2, 8, Some(160)));
    assert!((found.header_m - 1.765).abs() < 1e-9 && (found.trimmer_m - 1.2).abs() < 1e-9);
    assert!((found.added_length_m - 10.0).abs() < 1e-9);
}

#[test]
fn a_brick_flue_keeps_timber_away() {
    // The same source: timber 40 mm from a brick flue. A stack of 500 mm fits the bay from
    // 1517.5 to 2082.5 mm, with 40 mm on each side it takes 1510 to 2090 mm and cuts both trusses.
    let stack = r#"from_left = "1.550 m", width = "500 mm", kind = "chimney""#;
    let brick = take_off(TRUSSES, stack);
    let none = take_off(TRUSSES, &format!("{stack}, flue = \"none\""));
    let timbers = |take_off: &TakeOff| take_off.slopes[0].openings(take_off)[0].timbers.clone().unwrap();
    assert_eq!((timbers(&brick).cut, timbers(&none).cut), (2, 0));
    assert!((timbers(&brick).clear_m[0] - 1.51).abs() < 1e-9);
    let told =
        |take_off: &TakeOff| take_off.findings().iter().any(|finding| finding.message.contains("40 mm away"));
    assert!(told(&brick) && !told(&none));
}

#[test]
fn a_rule_can_be_named_and_an_old_opening_needs_no_timber() {
    // IRC R802.9: a header of 1.765 m is over 4 ft (1.219 m): doubled, and the trimming rafters with it; under 6 ft (1.829 m): no
    // hangers at its ends. No cut rafter is over 12 ft.
    let rest = r#"battens = { rafter_spacing = "600 mm", first_rafter = "300 mm" }
        timbers = { rafter_width = "35 mm", rule = "irc-r802-9" }"#;
    let opening = r#"from_left = "1.400 m", width = "1100 mm""#;
    let named = take_off(rest, opening);
    let found = named.slopes[0].openings(&named)[0].timbers.clone().unwrap();
    assert_eq!((found.headers, found.added, found.hangers, found.hanger_nails), (4, Some(2), 0, None));
    let old = take_off(rest, &format!("{opening}, existing = true"));
    assert!(old.slopes[0].openings(&old)[0].timbers.is_none());
    assert!(old.lines().iter().all(|line| line.part.word() != "timbers"));
}
