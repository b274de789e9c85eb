//! What is laid round openings is carried into the totals of the whole roof, once.

use slopewright::order::materials;
use slopewright::takeoff::{Line, Part, WallFlashing};
use slopewright::{SurveyDocument, TakeOff};

fn take_off(covering: &str, pitch: &str, rest: &str, openings: &str) -> TakeOff {
    let text = format!(
        r#"
        slopewright = 1
        covering.format = "{covering}"
        battens = {{ rafter_spacing = "600 mm", first_rafter = "300 mm", counter_battens = true }}
        underlay = {{ format = "membrane-1x50" }}
        timbers = {{ rafter_width = "50 mm", rafter_depth = "100 mm", hanger_nails = 20 }}
        {rest}
        [[slope]]
        name = "s"
        shape = "rectangle"
        pitch = "{pitch}"
        eaves = "9 m"
        rafter = "5 m"
        opening = [{openings}]
        "#
    )
    .replace("\n             ", " ");
    TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap()
}

fn windows(how_many: usize) -> String {
    let at = |n: usize| {
        format!(
            r#"{{ name = "w{n}", kind = "roof-window", from_left = "{} m", from_eaves = "1.55 m", width = "780 mm", height = "1180 mm", underlay_collar = "150 mm" }}"#,
            1.0 + 2.0 * n as f64
        )
    };
    (0..how_many).map(at).collect::<Vec<_>>().join(", ")
}

fn totals<'a>(lines: &'a [Line], item: &str) -> Vec<&'a Line> {
    lines.iter().filter(|line| line.slope.is_empty() && line.item.starts_with(item)).collect()
}

fn total<'a>(lines: &'a [Line], item: &str) -> &'a Line {
    let found = totals(lines, item);
    assert_eq!(found.len(), 1, "{item}: {found:?}");
    found[0]
}

/// By the lines themselves: a total is the sum of the lines of the openings that it stands for.
#[test]
fn totals_are_the_sums_of_the_lines_of_the_openings() {
    let roof = take_off("plain-tile-265x165", "45 deg", "", &windows(3));
    let lines = roof.lines();
    let sum = |item: &str, amount: fn(&Line) -> f64| -> f64 {
        let ours = lines.iter().filter(|line| !line.slope.is_empty() && line.item.contains(item));
        ours.map(amount).sum()
    };
    let count = |line: &Line| line.count.unwrap() as f64;
    let length = |line: &Line| line.length_m.unwrap();
    for item in ["headers", "rafters added beside openings"] {
        assert!((length(total(&lines, item)) - sum(item, length)).abs() < 1e-9, "{item}");
        assert!((count(total(&lines, item)) - sum(item, count)).abs() < 1e-9, "{item}");
    }
    for item in ["hangers", "hanger nails", "made flashing of a roof-window, 780 x 1180 mm"] {
        assert!((count(total(&lines, item)) - sum(&format!(": {item}"), count)).abs() < 1e-9, "{item}");
    }
    assert_eq!(total(&lines, "made flashing").count, Some(3));
    // Battens and their nails: the rows of the slope, and what the openings have besides.
    let slope = &roof.slopes[0].battens;
    let extra = sum("extra battens at sill and head", length);
    assert!(extra > 0.0);
    assert!((length(total(&lines, "battens, net")) - slope.length_m - extra).abs() < 1e-9);
    let nails: u32 = slope.round_openings.iter().filter_map(|row| row.crossings).sum();
    assert_eq!(total(&lines, "batten nails").count, Some(u64::from(slope.crossings.unwrap() + nails)));
    assert!((length(total(&lines, "counter-battens")) - slope.counter_length_m.unwrap()).abs() < 1e-9);
    // Fifteen rafters 5 m long, nails no further apart than 300 mm (a clause of the national building specification). By hand:
    // 17 spaces and 18 nails on each; the four that the windows part, those at 1.5, 3.3, 5.1 and 5.7 m, have 1.55 and 2.27 m
    // with 7 and 9. 11 x 18 + 4 x 16.
    assert_eq!(total(&lines, "counter-batten nails").count, Some(262));
    // What cannot be bought is in no total.
    for item in ["units lost", "rafters cut", "extra battens", "underlay upstand", "flashing along the sill"]
    {
        assert!(totals(&lines, item).is_empty(), "{item}");
    }
}

#[test]
fn the_order_sees_what_openings_take_by_stable_names() {
    let stack = r#", { name = "stack", kind = "chimney", existing = true, from_left = "7.2 m", from_eaves = "3 m", width = "900 mm", height = "680 mm" }"#;
    let roof = take_off("plain-tile-265x165", "45 deg", "", &format!("{}{stack}", windows(2)));
    let wanted = materials(&roof);
    let likely = |item: &str| {
        let found = wanted.iter().find(|of| of.item == item);
        found
            .unwrap_or_else(|| {
                panic!("no {item} in {:?}", wanted.iter().map(|of| &of.item).collect::<Vec<_>>())
            })
            .likely
    };
    assert_eq!(likely("made flashing of a roof-window, 780 x 1180 mm"), 2);
    // Timber by the metre, whatever pieces it is cut into.
    assert!(likely("headers 50 x 100 mm (m)") >= 2);
    assert!(likely("rafters added beside openings 50 x 100 mm (m)") >= 20);
    for item in ["hangers", "hanger nails", "lead wedges", "lead clips", "pointing of the chase (m)"] {
        assert!(likely(item) > 0, "{item}");
    }
    // Without a code in the survey the least that the standard allows for flashings, code 4 (NHBC Standards 7.2.20).
    assert_eq!(likely("front apron, lead code 4, 300 mm wide"), 1);
    assert_eq!(likely("back gutter, lead code 4, 450 mm wide"), 1);
    assert_eq!(likely("step flashing up the sides, lead code 4, 150 mm wide"), 2);
    assert!(wanted.iter().any(|of| of.item.starts_with("soakers, lead code 3, ")));
}

/// By hand: a row that runs just under the sill is there already; one just over it is cut by the hole, and the hole's width
/// is what is missing.
#[test]
fn a_row_that_lies_there_is_not_counted_again() {
    let bare = take_off("interlocking-420x330", "30 deg", "", "");
    let at = |line: usize| bare.slopes[0].battens.rows[line].at_m;
    // Rafters at 0.3 + 0.6 n: the rows at sill and head go from 1.5 to 3.3 m.
    let extra = |low: f64, high: f64| {
        let window = format!(
            r#"{{ name = "w", from_left = "2 m", from_eaves = "{low} m", width = "1 m", height = "{} m" }}"#,
            high - low
        );
        let roof = take_off("interlocking-420x330", "30 deg", "", &window);
        let pieces: Vec<f64> = roof.slopes[0]
            .battens
            .round_openings
            .iter()
            .map(slopewright::takeoff::OpeningBatten::length_m)
            .collect();
        let net = roof.slopes[0].battens.length_m;
        (pieces, net)
    };
    let near = |found: &[f64], wanted: &[f64]| {
        assert_eq!(found.len(), wanted.len(), "{found:?}");
        assert!(
            found.iter().zip(wanted).all(|(one, other)| (one - other).abs() < 1e-9),
            "{found:?} {wanted:?}"
        );
    };
    // Midway between rows nothing lies near: two whole rows of 1.8 m.
    let middle = |line: usize| f64::midpoint(at(line), at(line + 1));
    near(&extra(middle(3), middle(5)).0, &[1.8, 1.8]);
    // The top of a row 5 mm below the sill: it runs through.
    near(&extra(at(3) + 0.005, middle(5)).0, &[1.8]);
    // The top of a row 5 mm above the sill: the hole cuts it, 1 m of the row at the sill is wanted.
    let (pieces, net) = extra(at(3) - 0.005, middle(5));
    near(&pieces, &[1.0, 1.8]);
    // Nothing twice: three rows are cut by 1 m each.
    assert!((bare.slopes[0].battens.length_m - net - 3.0).abs() < 1e-9);
}

/// By hand: two windows side by side between the same rafters share what lies along their sills.
#[test]
fn neighbours_share_a_row() {
    let pair = r#"{ name = "a", from_left = "2 m", from_eaves = "1.62 m", width = "400 mm", height = "1 m" },
             { name = "b", from_left = "2.5 m", from_eaves = "1.62 m", width = "400 mm", height = "1 m" }"#;
    let roof = take_off("interlocking-420x330", "30 deg", "", pair);
    // Rafters at 1.5, 2.1, 2.7, 3.3 m: a from 1.5 to 2.7, b from 2.1 to 3.3; together 1.8 m wherever no row lies near.
    let mut by_level: std::collections::BTreeMap<i64, f64> = std::collections::BTreeMap::new();
    for row in &roof.slopes[0].battens.round_openings {
        *by_level.entry((row.at_m * 1e4).round() as i64).or_default() += row.length_m();
    }
    assert!(by_level.values().all(|length| *length < 1.8 + 1e-9), "{by_level:?}");
}

#[test]
fn strips_round_openings_are_among_the_rolls() {
    // By hand: a collar of 600 mm lies alone on a roll of 1 m: round 780 x 1180 mm 2 x (1.98 + 2.38) = 8.72 m of roll for each
    // window. The upstand of 100 mm lies ten abreast: 1.18 m.
    let wide = windows(4).replace("150 mm", "600 mm");
    let with = take_off("plain-tile-265x165", "45 deg", "", &wide);
    let underlay = with.slopes[0].underlay.as_ref().unwrap();
    assert!((underlay.round_openings_m() - 4.0 * (8.72 + 1.18)).abs() < 1e-9);
    let runs = |roof: &TakeOff| roof.slopes[0].underlay.as_ref().unwrap().length_m;
    // From rolls of 50 m: what runs and strips take together, rounded up, where no end of a roll is wasted.
    let least = ((runs(&with) + underlay.round_openings_m()) / 50.0).ceil() as u32;
    assert!(underlay.waste_m < 1e-9 && with.rolls == least, "{} {least}", with.rolls);
    assert!(
        with.lines()
            .iter()
            .any(|line| line.item == "rolls of underlay" && line.working.numbers.contains("39.6 m for"))
    );
}

/// NHBC Standards 7.2.20: wedges no further apart than 450 mm and at each step. The rest by hand; the course of brick of 75 mm
/// is recalled.
#[test]
fn a_stack_is_held() {
    let stack = r#"{ name = "stack", kind = "chimney", existing = true, from_left = "4 m", from_eaves = "3 m", width = "900 mm", height = "700 mm" }"#;
    let wall = |covering: &str| {
        let roof = take_off(covering, "30 deg", "", stack);
        WallFlashing::of(&roof.slopes[0], &roof.slopes[0].slope.openings[0], &roof.edges).unwrap()
    };
    // 700 mm at 30 degrees rise 350 mm: five courses of 75 mm. Along 900 mm three places; up each side five steps. 2 x 5 + 2 x 3.
    let double = wall("slate-500x250");
    assert_eq!((double.steps, double.wedges), (5, 16));
    assert!((double.chase_m - 3.2).abs() < 1e-9);
    // Over soakers the sides have no free edge: 900 mm at 500 mm take three clips. In single lap each side has three more.
    assert_eq!((double.clips, double.soakers.is_some()), (3, true));
    let single = wall("interlocking-420x330");
    assert_eq!((single.clips, single.soakers.is_some()), (9, false));
    // One soaker to a course on each side: 700 mm of slope over the gauge, the course at each end shared.
    let soakers = double.soakers.unwrap();
    let roof = take_off("slate-500x250", "30 deg", "", stack);
    let gauge = roof.slopes[0].layout.gauging.gauge_m;
    let (least, most) = ((0.7 / gauge).floor() as u32, (0.7 / gauge).ceil() as u32 + 1);
    assert!(soakers.count.is_multiple_of(2) && (2 * least..=2 * most).contains(&soakers.count));
}

#[test]
fn lead_round_an_opening_brings_its_caution() {
    let told = |opening: &str| {
        let roof = take_off("interlocking-420x330", "30 deg", r#"edgework.ridge.laying = "dry""#, opening);
        roof.findings().iter().any(|finding| finding.message.starts_with("lead is poisonous"))
    };
    let at = r#"name = "o", from_left = "4 m", from_eaves = "3 m", width = "500 mm", height = "500 mm""#;
    assert!(told(&format!(r#"{{ {at}, kind = "chimney", existing = true }}"#)));
    assert!(!told(&format!("{{ {at} }}")));
}

#[test]
fn a_pipe_and_a_dormer() {
    let pipe = |pitch: &str, lead: &str| {
        let opening = format!(
            r#"{{ name = "p", kind = "pipe", from_left = "4 m", from_eaves = "3 m", width = "110 mm", height = "120 mm"{lead} }}"#
        );
        let lines = take_off("interlocking-420x330", pitch, "", &opening).lines();
        total(&lines, "pipe flashing").clone()
    };
    // The published base at 22.5 degrees (A roofing consultant's articles, 76): 510 mm square round 110 mm.
    let flat = pipe("22.5 deg", ", flashing = { lead_code = 4 }");
    assert_eq!(flat.item, "pipe flashing, lead code 4, 510 x 510 mm, pipe 110 mm");
    // Code 4 is 20.41 kg/m2 (EN 12588 as relayed); base 0.2601 m2, sleeve 0.15 x 0.3456 m.
    assert!((flat.mass_kg.unwrap() - 20.41 * (0.2601 + 0.051_84)).abs() < 0.01, "{:?}", flat.mass_kg);
    assert_eq!(pipe("40 deg", "").item, "pipe flashing, 410 x 410 mm, pipe 110 mm");
    assert_eq!(pipe("40 deg", "").mass_kg, None);
    let dormer = r#"{ name = "d", kind = "dormer", from_left = "4 m", from_eaves = "2 m", width = "1.5 m", height = "1.6 m" }"#;
    let roof = take_off("plain-tile-265x165", "45 deg", "", dormer);
    let lines = roof.lines();
    assert_eq!(total(&lines, "flashing up the cheeks, lead code 4, 150 mm wide").count, Some(4));
    assert!(totals(&lines, "lead wedges").is_empty() && totals(&lines, "back gutter").is_empty());
    assert!(
        lines
            .iter()
            .any(|line| line.item == "d: head of the dormer, as drawn" && line.part == Part::Openings)
    );
    assert!(roof.findings().iter().any(|finding| finding.message.contains("2 rafters side by side")));
}

/// EN 12588 as relayed: code 4 weighs 20.41 kg/m2. Two ends of a hipped ridge, 600 x 450 mm each.
#[test]
fn saddles_are_weighed_where_their_size_is_stated() {
    let of = |ridge: &str| {
        let text = format!(
            r#"
            slopewright = 1
            covering.format = "plain-tile-265x165"
            edgework.ridge = {{ {ridge} }}
            form = [{{ name = "r", form = "hipped", length = "12 m", span = "8 m", pitch = "45 deg" }}]
            "#
        );
        let take_off = TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap();
        total(&take_off.lines(), "lead saddles").clone()
    };
    let weighed = of(r#"saddle_length = "600 mm", saddle_width = "450 mm""#);
    assert_eq!(
        (weighed.count, weighed.item.as_str()),
        (Some(2), "lead saddles, lead code 4, 600 mm x 450 mm")
    );
    assert!((weighed.mass_kg.unwrap() - 2.0 * 0.27 * 20.41).abs() < 0.01);
    assert_eq!((of("").item.as_str(), of("").mass_kg), ("lead saddles", None));
}
