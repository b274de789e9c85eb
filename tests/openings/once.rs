//! Each joint once, with its units: a roof against its slopes taken one by one.
//!
//! The same slopes are taken off twice: as one roof with its joints, and with every joint taken apart, so that each side of
//! it is counted for its own slope. What the roof has in all must be the sum over the slopes, with what the two sides of a
//! joint both have taken once: the larger of the two, since units laid one to a course go by the side with more courses.

use std::collections::BTreeMap;

use slopewright::survey::{EdgeRole, Roof};
use slopewright::takeoff::{Line, Part};
use slopewright::{SurveyDocument, TakeOff};

use crate::random::Random;

const FAMILIES: [&str; 3] = ["plain-tile-265x165", "interlocking-420x330", "slate-500x250"];

fn form(random: &mut Random, is_winged: bool) -> String {
    let covering = FAMILIES[random.under(3) as usize];
    let span = random.mm(5000, 10_000);
    let pitch = random.mm(36, 50);
    let form = if is_winged {
        let length = random.mm(9000, 15_000);
        let wing = random.mm(1500, (span * 0.8) as u32);
        let from = random.mm(300, (length - wing - 300.0) as u32);
        format!(
            r#"form = "winged", length = "{length} mm", wing_span = "{wing} mm", wing_length = "{} mm", wing_from_left = "{from} mm""#,
            random.mm(800, 5000)
        )
    } else {
        let hip = random.mm(36, 50);
        let length = span * 2.5 + random.mm(0, 4000);
        format!(r#"form = "hipped", length = "{length} mm", hip_pitch = "{hip} deg""#)
    };
    let edgework = match random.under(4) {
        0 => r#"edgework = { hip = { make = "mitred" }, verge = { make = "undercloak" } }"#,
        1 => r#"edgework = { valley = { make = "units" }, ridge = { laying = "dry" } }"#,
        2 => r#"edgework = { hip = { unit = "ridge-450" }, ridge = { unit = "ridge-300" } }"#,
        _ => "",
    };
    format!(
        r#"
        slopewright = 1
        covering.format = "{covering}"
        {edgework}
        form = [{{ name = "r", span = "{span} mm", pitch = "{pitch} deg", {form} }}]
        "#
    )
}

type Amounts = BTreeMap<(&'static str, String, String), (u64, f64, f64)>;

/// What a line amounts to: count, metres, square metres.
fn amounts(line: &Line) -> (u64, f64, f64) {
    (line.count.unwrap_or(0), line.length_m.unwrap_or(0.0), line.area_m2.unwrap_or(0.0))
}

fn key(line: &Line) -> (&'static str, String, String) {
    (line.part.word(), line.item.to_string(), line.format.to_string())
}

/// The lines of one edge, by slope and edge name.
fn of_edge<'a>(lines: &'a [Line], slope: &str, edge: &str) -> Vec<&'a Line> {
    lines.iter().filter(|line| line.slope == slope && line.edge == edge).collect()
}

fn is_edge_total(line: &Line) -> bool {
    let of_slopes = [Part::Covering, Part::Battens, Part::Underlay, Part::Fixings];
    line.slope.is_empty() && !of_slopes.contains(&line.part)
}

#[test]
fn a_roof_is_its_slopes_with_each_joint_once() {
    let mut random = Random::new(20_261);
    let (mut joints, mut unequal) = (0, 0);
    for number in 0..500 {
        let text = form(&mut random, number % 2 == 1);
        let roof = SurveyDocument::from_toml(&text)
            .unwrap()
            .check()
            .unwrap_or_else(|error| panic!("{text}\n{error}"));
        let apart = Roof { joints: Vec::new(), ..roof.clone() };
        let (whole, apart) = (TakeOff::of(&roof).unwrap(), TakeOff::of(&apart).unwrap());
        let (lines, apart_lines) = (whole.lines(), apart.lines());
        let mut expected = Amounts::new();
        let mut add = |key, (count, length, area): (u64, f64, f64)| {
            let sum = expected.entry(key).or_insert((0, 0.0, 0.0));
            *sum = (sum.0 + count, sum.1 + length, sum.2 + area);
        };
        for run in &whole.edges.runs {
            // Each side of the joint as an edge of its own slope.
            let mut of_run: Amounts = Amounts::new();
            for side in &run.sides {
                let slope = &apart.slopes[side.at.slope].slope;
                let edge = &slope.edges[side.at.edge];
                assert!(
                    (edge.length_m() - run.length_m).abs() < 1e-9 * run.length_m.max(1.0),
                    "{text}: {} against {}",
                    edge.length_m(),
                    run.length_m
                );
                for line in of_edge(&apart_lines, &slope.name, &edge.name) {
                    let found = amounts(line);
                    let most = of_run.entry(key(line)).or_insert(found);
                    *most = (most.0.max(found.0), most.1.max(found.1), most.2.max(found.2));
                }
            }
            joints += usize::from(run.sides.len() == 2);
            unequal += usize::from(run.sides.len() == 2 && run.sides[0].courses != run.sides[1].courses);
            for (key, found) in of_run {
                add(key, found);
            }
        }
        let mut found = Amounts::new();
        for line in lines.iter().filter(|line| is_edge_total(line)) {
            found.insert(key(line), amounts(line));
        }
        // Soakers of a hip have their length in their name, and it goes by the side with more courses: they are held by
        // their number alone.
        let numbers = |amounts: &Amounts| -> BTreeMap<(String, String), u64> {
            let mut sums = BTreeMap::new();
            for ((part, item, _), (count, ..)) in amounts {
                let name = item.split(", lead code").next().unwrap_or_default().to_owned();
                *sums.entry(((*part).to_owned(), name)).or_insert(0) += count;
            }
            sums
        };
        if text.contains("mitred") {
            for (name, count) in numbers(&found) {
                assert!(numbers(&expected)[&name] >= count, "{text}: {name:?}");
            }
            found.retain(|(_, item, _), _| !item.contains("soakers"));
            expected.retain(|(_, item, _), _| !item.contains("soakers"));
        }
        assert_eq!(found.keys().collect::<Vec<_>>(), expected.keys().collect::<Vec<_>>(), "{text}");
        for (key, (count, length, area)) in &found {
            let (other_count, other_length, other_area) = expected[key];
            assert_eq!(*count, other_count, "{text}: {key:?}");
            assert!((length - other_length).abs() < 1e-6, "{text}: {key:?} {length} {other_length}");
            assert!((area - other_area).abs() < 1e-6, "{text}: {key:?} {area} {other_area}");
        }
        // Lengths: what two slopes share counts half of what the slopes have of it.
        for role in [EdgeRole::Ridge, EdgeRole::Hip, EdgeRole::Valley] {
            let (once, twice) = (whole.edges.length_m(role), apart.edges.length_m(role));
            assert!((2.0 * once - twice).abs() < 1e-9 * twice.max(1.0), "{text}: {role:?}");
        }
        for role in [EdgeRole::Eaves, EdgeRole::Verge] {
            let (once, again) = (whole.edges.length_m(role), apart.edges.length_m(role));
            assert!((once - again).abs() < 1e-9 * once.max(1.0), "{text}: {role:?}");
        }
        // Areas and units do not turn on the joints.
        for (one, other) in whole.slopes.iter().zip(&apart.slopes) {
            assert_eq!(one.units, other.units);
            assert!((one.layout.covered.area_m2() - other.layout.covered.area_m2()).abs() < 1e-12);
        }
        let of_slopes: f64 =
            lines.iter().filter(|line| line.item == "area covered").filter_map(|line| line.area_m2).sum();
        let covered: f64 = apart.slopes.iter().map(|slope| slope.layout.covered.area_m2()).sum();
        assert!((of_slopes - covered).abs() < 1e-9 * covered);
    }
    // The roofs have joints enough, and such whose sides differ.
    assert!(joints > 1500 && unequal > 100, "{joints} joints, {unequal} of them with unequal sides");
}

#[test]
fn courses_that_do_not_meet_at_a_hip_are_told_with_both_counts() {
    let told = |hip_pitch: &str| {
        let text = format!(
            r#"
            slopewright = 1
            covering.format = "plain-tile-265x165"
            form = [{{ name = "r", form = "hipped", length = "12 m", span = "8 m", pitch = "40 deg", hip_pitch = "{hip_pitch}" }}]
            "#
        );
        let take_off = TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap();
        let courses: Vec<(u32, u32)> = take_off
            .edges
            .of_role(EdgeRole::Hip)
            .map(|run| (run.sides[0].courses, run.sides[1].courses))
            .collect();
        let found = take_off
            .findings()
            .into_iter()
            .filter(|finding| finding.message.contains("do not meet on the line"));
        (courses, found.map(|finding| finding.message).collect::<Vec<_>>())
    };
    // One pitch on both sides: the same gauge, the same courses, and nothing to say.
    let (courses, messages) = told("40 deg");
    assert!(courses.iter().all(|(one, other)| one == other) && messages.is_empty(), "{messages:?}");
    // At 55 degrees a course of 100 mm rises 82 mm, at 40 degrees 64 mm: by geometry they cannot meet.
    let (courses, messages) = told("55 deg");
    assert_eq!(messages.len(), 4);
    for ((one, other), message) in courses.iter().zip(&messages) {
        assert!(one != other && message.contains(&format!("{one} courses")), "{message}");
        assert!(
            message.contains(&format!("meet {other} at gauge")) && message.contains("a gauge of at most"),
            "{message}"
        );
    }
}
