//! What is said of edges, and what is not.

use crate::SurveyDocument;
use crate::takeoff::TakeOff;

const PLAIN: &str = "plain-tile-265x165";
const SINGLE: &str = "interlocking-420x330";

fn take_off(covering: &str, text: &str) -> TakeOff {
    let text = format!("slopewright = 1\ncovering.format = \"{covering}\"\n{text}");
    TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap()
}

/// Every message that has these words in it.
fn said(roof: &TakeOff, words: &str) -> Vec<String> {
    let findings = roof.findings().into_iter();
    findings.map(|finding| finding.message).filter(|message| message.contains(words)).collect()
}

fn hipped(covering: &str, edgework: &str, hip_pitch: &str) -> TakeOff {
    take_off(
        covering,
        &format!(
            "{edgework}\n[[form]]\nform = \"hipped\"\nlength = \"10 m\"\nspan = \"6 m\"\npitch = \"45 deg\"\nhip_pitch = \
             \"{hip_pitch}\""
        ),
    )
}

#[test]
fn what_helps_where_courses_do_not_meet_goes_by_what_lies_on_the_joint() {
    // Pitches of 45 and 60 degrees: the courses rise by different steps on all four hips.
    let advice = |covering: &str, edgework: &str| {
        let found = said(&hipped(covering, edgework, "60 deg"), "do not meet on the line");
        assert_eq!(found.len(), 4, "{found:?}");
        let (_, after) = found[0].rsplit_once("; or ").unwrap();
        after.to_owned()
    };
    // The hip tiles of plain tiles go by the course, ridge tiles by their cover, and a mitred hip has neither.
    assert_eq!(advice(PLAIN, ""), "take ridge tiles by their cover, or mitre the hip");
    assert_eq!(advice(PLAIN, "edgework.hip.make = \"mitred\""), "take ridge tiles by their cover");
    assert_eq!(
        advice(PLAIN, "edgework.hip.unit = \"ridge-300\""),
        "see that the ridge tiles over the hip cover the steps"
    );
    assert_eq!(advice(SINGLE, ""), "see that the ridge tiles over the hip cover the steps");
    // Equal pitches and one gauge: nothing is said.
    assert!(said(&hipped(PLAIN, "", "45 deg"), "do not meet on the line").is_empty());
}

#[test]
fn the_gauge_that_would_make_courses_meet_is_said() {
    // A gauge of g at 45 degrees rises g x 0.7071; on 60 degrees the same rise takes a gauge of g x 0.7071 / 0.8660, that
    // is 0.8165 g, and the steeper slope is the one to change.
    let roof = hipped(PLAIN, "", "60 deg");
    let flat = roof.slopes.iter().find(|slope| slope.layout.pitch.degrees() < 50.0).unwrap();
    let gauge_mm = flat.layout.gauging.gauge_m * 1000.0;
    let message = said(&roof, "do not meet on the line").swap_remove(0);
    let (_, after) = message.split_once("a gauge of at most ").unwrap();
    let (gauge, rest) = after.split_once(" mm on the slope at ").unwrap();
    let gauge: f64 = gauge.parse().unwrap();
    assert!((gauge - 0.8165 * gauge_mm).abs() < 0.06, "{gauge} of {gauge_mm}");
    assert!(rest.starts_with("60 degrees"), "{rest}");
}

#[test]
fn valleys_need_courses_that_meet_only_if_units_lie_in_them() {
    let wing = |make: &str| {
        take_off(
            PLAIN,
            &format!(
                "edgework.valley.make = \"{make}\"\n[[form]]\nform = \"winged\"\nlength = \"12 m\"\nspan = \"8 m\"\n\
                 pitch = \"40 deg\"\nwing_span = \"5 m\"\nwing_length = \"4 m\"\nwing_from_left = \"3 m\"\nwing_pitch = \"50 deg\""
            ),
        )
    };
    let units = said(&wing("units"), "do not meet on the line");
    assert!(!units.is_empty());
    assert!(units.iter().all(|message| message.ends_with("; or take an open valley")), "{units:?}");
    assert!(said(&wing("lead"), "do not meet on the line").is_empty());
}

/// A lone slope with roles for its edges.
fn lone(covering: &str, more: &str, roles: &str) -> TakeOff {
    take_off(
        covering,
        &format!(
            "{more}\n[[slope]]\nname = \"a\"\nshape = \"rectangle\"\npitch = \"40 deg\"\neaves = \"6 m\"\nrafter = \"4 m\"\n\
             [slope.edges]\n{roles}"
        ),
    )
}

const LEAD: &str = "lead is poisonous";
const LADDERS: &str = "roof ladders and scaffold, not from the units";
const MORTAR: &str = "cutting out old mortar";
const AIR: &str = "openings for air are not counted";

#[test]
fn each_caution_comes_with_the_work_that_it_is_for() {
    let dry = "edgework.ridge.laying = \"dry\"\nedgework.verge.make = \"units\"";
    // The roof, and which of lead, ladders, mortar and air are spoken of.
    for (more, roles, expected) in [
        (dry, "top.role = \"ridge\"", [false, true, false, true]),
        (
            "edgework.ridge.laying = \"bedded\"\nedgework.verge.make = \"units\"",
            "top.role = \"ridge\"",
            [false, true, true, true],
        ),
        (
            "edgework.ridge.laying = \"dry\"\nedgework.verge.make = \"undercloak\"",
            "top.role = \"ridge\"",
            [false, true, true, true],
        ),
        // No ridge, so its bedding is nobody's; no verge, so its undercloak neither.
        (
            "",
            "top.role = \"change-of-pitch\"\nleft.role = \"change-of-pitch\"\nright.role = \"change-of-pitch\"",
            [false, false, false, true],
        ),
        (dry, "top.role = \"ridge\"\nleft.role = \"side-abutment\"", [true, true, false, true]),
        (dry, "top.role = \"top-abutment\"", [true, true, false, true]),
        (dry, "top.role = \"ridge\"\nleft.role = \"valley\"", [true, true, false, true]),
        ("edgework.ventilation = { roof = \"warm\" }", "top.role = \"ridge\"", [false, true, true, false]),
        ("edgework.ventilation = { roof = \"cold\" }", "top.role = \"ridge\"", [false, true, true, false]),
    ] {
        let roof = lone(SINGLE, more, roles);
        let found = [LEAD, LADDERS, MORTAR, AIR].map(|words| !said(&roof, words).is_empty());
        assert_eq!(found, expected, "{more} {roles}");
    }
    // Lead in valleys and saddles, and mitred hips over soakers: a hipped roof whose ridge is dry has saddles where it ends.
    assert_eq!(said(&hipped(SINGLE, "", "45 deg"), LEAD).len(), 1);
    let sheet = "edgework.valley = { make = \"sheet\" }\nedgework.verge.make = \"units\"";
    assert!(
        said(&lone(SINGLE, sheet, "top.role = \"change-of-pitch\"\nleft.role = \"valley\""), LEAD).is_empty()
    );
    // Lead worked round an opening.
    let stack = "top.role = \"ridge\"\n[[slope.opening]]\nname = \"stack\"\nkind = \"chimney\"\nfrom_left = \"2 m\"\n\
                 from_eaves = \"1 m\"\nwidth = \"0.6 m\"\nheight = \"0.6 m\"";
    assert_eq!(said(&lone(SINGLE, dry, stack), LEAD).len(), 1);
}

#[test]
fn an_edge_of_two_slopes_that_only_one_has_is_said() {
    for role in ["ridge", "hip", "valley"] {
        let edge = if role == "ridge" { "top" } else { "left" };
        let roof = lone(
            PLAIN,
            "",
            &format!("top.role = \"ridge\"\n{edge}.role = \"{role}\"")
                .replace("top.role = \"ridge\"\ntop.role = \"ridge\"", "top.role = \"ridge\""),
        );
        let found = said(&roof, "that no joint of the survey has");
        assert!(
            found.iter().any(|message| message.starts_with(&format!("edge '{edge}' is a {role} "))),
            "{found:?}"
        );
    }
    assert!(said(&hipped(PLAIN, "", "45 deg"), "that no joint of the survey has").is_empty());
    let walls = lone(PLAIN, "", "top.role = \"top-abutment\"\nleft.role = \"side-abutment\"");
    assert!(said(&walls, "that no joint of the survey has").is_empty());
}

#[test]
fn soakers_thinner_than_the_rule_are_said() {
    // NHBC Standards 7.2.20 (seen): soakers of code 3, flashings of code 4 at least.
    let thin =
        |codes: &str| said(&lone(PLAIN, codes, "left.role = \"side-abutment\""), "is thinner than code");
    assert!(thin("edgework.abutment = { soaker_code = 3, flashing_code = 4 }").is_empty());
    let message = thin("edgework.abutment = { flashing_code = 3 }");
    assert_eq!(message, ["lead of code 3 is thinner than code 4, the least for flashings"]);
}
