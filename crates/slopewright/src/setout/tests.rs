//! What a slope set out says of itself, and where its courses lie, at both sides of each limit. The numbers are by hand.

use super::*;
use crate::quantity::LengthIn as _;
use crate::reason::{Finding, Severity, Working};
use crate::rules::Rules;
use crate::survey::{EdgeRole, Slope, SurveyDocument};

/// A survey's only slope with its layout.
fn set_out(text: &str) -> (Slope, Layout) {
    let roof = SurveyDocument::from_toml(&format!("slopewright = 1\n{text}")).unwrap().check().unwrap();
    let slope = roof.slopes.first().unwrap().clone();
    let layout = Layout::new(&slope, roof.exposure, Rules::standard()).unwrap();
    (slope, layout)
}

/// A rectangle whose covering ends on its outline all round; `more` goes to the covering or the openings.
fn bare(covering: &str, pitch: &str, wide_mm: f64, rafter_mm: f64, more: &str) -> (Slope, Layout) {
    set_out(&format!(
        "{covering}\n[[slope]]\nname = \"a\"\nshape = \"rectangle\"\npitch = \"{pitch}\"\neaves = \"{wide_mm} mm\"\n\
         rafter = \"{rafter_mm} mm\"\n[slope.edges]\neaves.overhang = \"0 mm\"\nleft.overhang = \"0 mm\"\n\
         right.overhang = \"0 mm\"\n{more}"
    ))
}

/// 420 mm long, 300 mm cover, 2 mm of side play, gauge 300 to 345 mm, 395 mm from its tail to the top of its batten.
const SINGLE: &str = "covering.format = \"interlocking-420x330\"";
/// 265 x 165 mm, gauge 88 to 100 mm.
const PLAIN: &str = "covering.format = \"plain-tile-265x165\"";

/// What the last batten stays away from the top (15 mm) and the unit above it (395 mm).
const ABOVE_THE_LAST_TAIL_MM: f64 = 410.0;

fn of_severity(findings: &[Finding], severity: Severity) -> Vec<&str> {
    findings.iter().filter(|finding| finding.severity == severity).map(|f| f.message.as_str()).collect()
}

/// The working step of this name, as its formula, its numbers and its result.
fn step(layout: &Layout, slope: &Slope, what: &str) -> Option<(String, String, String)> {
    let steps = layout.working(slope).into_iter();
    let said = |step: Working| (step.formula.into(), step.numbers.into(), step.result.into());
    let found = steps.filter(|step| step.what == what).map(said);
    let mut found: Vec<_> = found.collect();
    assert!(found.len() < 2, "{what} stands there twice");
    found.pop()
}

#[test]
fn a_cover_width_within_the_side_play_is_laid_and_said() {
    // 6.03 m is twenty units of 301.5 mm, 6.04 m twenty of 302 mm, which is all that the play of 2 mm gives; 6.042 m
    // would be twenty of 302.1 mm, so the format's 300 mm stay. 6 m is twenty of 300 mm, and there is nothing to say.
    // In half bond half units count: 6.17 m is 41 halves, and 12.34 m in 41 parts is 300.98 mm.
    let single = |bond: &str| format!("{SINGLE}\ncovering.bond = \"{bond}\"");
    for (bond, wide_mm, laid_mm, said) in [
        ("straight", 6030.0, 301.5, Some("301.5 mm")),
        ("straight", 5970.0, 298.5, Some("298.5 mm")),
        ("straight", 6040.0, 302.0, Some("302 mm")),
        ("straight", 6042.0, 300.0, None),
        ("straight", 6000.0, 300.0, None),
        ("straight", 6170.0, 300.0, None),
        ("half", 6170.0, 300.975_609_756, Some("301 mm")),
        ("half", 6150.0, 300.0, None),
    ] {
        let (slope, layout) = bare(&single(bond), "40 deg", wide_mm, 3000.0, "");
        let cover_mm = layout.across.cover_m * 1000.0;
        assert!((cover_mm - laid_mm).abs() < 1e-6, "{bond} {wide_mm}: {cover_mm}");
        let found = step(&layout, &slope, "cover width laid").map(|(.., result)| result);
        assert_eq!(found.as_deref(), said, "{bond} {wide_mm}");
    }
}

#[test]
fn the_first_unit_and_the_shift_are_said() {
    let said = |covering: &str| {
        let (slope, layout) = bare(&format!("{SINGLE}\n{covering}"), "40 deg", 6100.0, 3000.0, "");
        let bond = step(&layout, &slope, "bond").unwrap();
        (bond.1, bond.2, layout.across.origin_m)
    };
    // Half of 300 mm. The middle of 6.1 m less half a unit is 2.9 m.
    for (covering, first, shift, origin_m) in [
        ("covering.bond = \"straight\"", "first unit at the left edge", "0 mm", 0.0),
        ("covering.start = \"right\"", "first unit at the right edge", "0 mm", 6.1),
        ("covering.start = \"centre\"\ncovering.bond = \"half\"", "first unit at the middle", "150 mm", 2.9),
    ] {
        let (numbers, result, origin) = said(covering);
        assert_eq!((numbers.as_str(), result.as_str()), (first, shift));
        assert!((origin - origin_m).abs() < 1e-9, "{origin}");
    }
}

#[test]
fn a_last_course_that_is_cut_names_the_other_choices() {
    // 850 mm to divide: three spaces of 283 mm, under 300 mm. Two spaces of 345 mm are 690 mm, 160 mm less; three of 300
    // mm are 900 mm, 50 mm more.
    let (slope, layout) = bare(SINGLE, "40 deg", 6000.0, 850.0 + ABOVE_THE_LAST_TAIL_MM, "");
    let findings = layout.findings(&slope);
    let departures = of_severity(&findings, Severity::Departure);
    assert_eq!(departures.len(), 1, "{departures:?}");
    assert!(departures[0].starts_with("equal spaces would be under the least gauge of 300 mm"));
    let choices =
        "160 mm less to divide (a smaller eaves overhang) makes 2 spaces, 50 mm more (a larger one) makes 3;";
    assert!(departures[0].contains(choices), "{}", departures[0]);
    let (_, numbers, spaces) = step(&layout, &slope, "spaces").unwrap();
    assert_eq!((numbers.as_str(), spaces.as_str()), ("850 mm / 345 mm", "3"));
    let (formula, _, gauge) = step(&layout, &slope, "gauge").unwrap();
    assert_eq!((formula.as_str(), gauge.as_str()), ("the largest gauge", "345 mm"));
    // 900 mm are three spaces of 300 mm: nothing to say, and the gauge is worked out.
    let (slope, layout) = bare(SINGLE, "40 deg", 6000.0, 900.0 + ABOVE_THE_LAST_TAIL_MM, "");
    assert_eq!(of_severity(&layout.findings(&slope), Severity::Departure), Vec::<&str>::new());
    let (formula, numbers, gauge) = step(&layout, &slope, "gauge").unwrap();
    assert_eq!([formula, numbers, gauge], ["distance / spaces", "900 mm / 3", "300 mm"]);
    let (.., headlap) = step(&layout, &slope, "headlap laid").unwrap();
    assert_eq!(headlap, "120 mm");
}

#[test]
fn a_band_that_is_cut_names_the_other_choices() {
    let opening = |from_mm: f64, height_mm: f64| {
        format!(
            "[[slope.opening]]\nname = \"hatch\"\nfrom_left = \"2 m\"\nfrom_eaves = \"{from_mm} mm\"\nwidth = \"1 m\"\n\
             height = \"{height_mm} mm\"\nclearance = \"0 mm\"\nfixed_point = true"
        )
    };
    let departures = |from_mm: f64, height_mm: f64, to_mm: f64| {
        let rafter_mm = to_mm + ABOVE_THE_LAST_TAIL_MM;
        let (slope, layout) = bare(SINGLE, "40 deg", 6000.0, rafter_mm, &opening(from_mm, height_mm));
        let findings = layout.findings(&slope);
        let found: Vec<String> =
            of_severity(&findings, Severity::Departure).into_iter().map(str::to_owned).collect();
        (slope, layout, found)
    };
    // 1000 mm are three spaces of 333 mm; 1180 mm would be four of 295 mm. Three of 345 mm are 1035 mm, 145 mm less and the
    // last space; four of 300 mm are 20 mm more. Above, 2070 mm are six of 345 mm.
    let (slope, layout, found) = departures(1000.0, 1180.0, 4250.0);
    assert_eq!(found.len(), 1, "{found:?}");
    for part in [
        "between the fixed points at 1000 mm and 2180 mm",
        "under the least gauge of 300 mm; the largest gauge is kept and the last space is 145 mm",
        "there is 145 mm less to divide, for 3 spaces; or 20 mm more, for 4 spaces",
    ] {
        assert!(found[0].contains(part), "{}", found[0]);
    }
    let (_, numbers, spaces) = step(&layout, &slope, "spaces of band 2, 1000 mm to 2180 mm").unwrap();
    assert_eq!((numbers.as_str(), spaces.as_str()), ("1180 mm / 345 mm", "4"));
    assert!(step(&layout, &slope, "gauge of band 3, 2180 mm to 4250 mm").is_some());
    // 200 mm hold one space only, 100 mm short of the least.
    let (.., found) = departures(1000.0, 200.0, 3270.0);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].contains("leave one of them out as a fixed point; or 100 mm more"), "{}", found[0]);
    // The topmost band speaks of the top: 850 mm above 2000 mm.
    let (.., found) = departures(1000.0, 1000.0, 2850.0);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0].contains("160 mm less to divide (a smaller eaves overhang) makes 2 spaces"),
        "{}",
        found[0]
    );
}

#[test]
fn an_opening_past_the_last_tail_is_no_fixed_point() {
    let opening = "[[slope.opening]]\nname = \"hatch\"\nfrom_left = \"2 m\"\nfrom_eaves = \"1000 mm\"\nwidth = \"1 m\"\n\
                   height = \"1200 mm\"\nclearance = \"0 mm\"\nfixed_point = true";
    // The last tail lies at 2070 mm; the head at 2200 mm gets no line, the sill at 1000 mm does.
    let (slope, layout) = bare(SINGLE, "40 deg", 6000.0, 2070.0 + ABOVE_THE_LAST_TAIL_MM, opening);
    let findings = layout.findings(&slope);
    let said = of_severity(&findings, Severity::Caution);
    let no_point: Vec<&&str> = said.iter().filter(|message| message.contains("is no fixed point")).collect();
    assert_eq!(no_point.len(), 1, "{said:?}");
    assert!(no_point[0].starts_with("the upper side of opening 'hatch' at 2200 mm"), "{}", no_point[0]);
}

#[test]
fn the_pitch_and_the_headlap_are_held_against_their_rules() {
    let departures = |covering: &str, pitch: &str| -> Vec<String> {
        let (slope, layout) = bare(covering, pitch, 6000.0, 3000.0, "");
        let findings = layout.findings(&slope);
        of_severity(&findings, Severity::Departure).into_iter().map(str::to_owned).collect()
    };
    // NHBC Standards 7.2.19 (the rule's source): plain tiles from 35 degrees, with 65 mm of headlap.
    assert_eq!(departures(PLAIN, "35 deg"), Vec::<String>::new());
    let under = departures(PLAIN, "34.99 deg");
    assert!(
        under.iter().any(|message| message.contains("the pitch of 34.99 degrees is under the least")),
        "{under:?}"
    );
    assert!(under.iter().any(|message| message.contains("no published headlap is known")), "{under:?}");
    // Less headlap than the rule's 65 mm is not laid.
    let asked = |mm: f64| {
        let (slope, layout) =
            bare(&format!("{PLAIN}\ncovering.headlap = \"{mm} mm\""), "40 deg", 6000.0, 3000.0, "");
        let findings = layout.findings(&slope);
        let said = of_severity(&findings, Severity::Caution)
            .iter()
            .any(|message| message.contains("wanted is under"));
        (layout.headlap.needed.mm().round(), said)
    };
    assert_eq!([asked(60.0), asked(65.0), asked(70.0)], [(65.0, true), (65.0, false), (70.0, false)]);
    // 265 mm less a headlap of 91 mm is two gauges of 87 mm, under the least of 88 mm; with 89 mm it is 88 mm.
    let narrow = departures(&format!("{PLAIN}\ncovering.headlap = \"91 mm\""), "40 deg");
    assert_eq!(narrow.len(), 1, "{narrow:?}");
    assert!(
        narrow[0]
            .starts_with("the gauge that the headlap leaves, 87 mm, is under the least of the format, 88 mm")
    );
    let wide = departures(&format!("{PLAIN}\ncovering.headlap = \"89 mm\""), "40 deg");
    assert!(wide.iter().all(|message| !message.contains("that the headlap leaves")), "{wide:?}");
}

#[test]
fn roles_that_nobody_stated_are_said() {
    let outline = |edges: &str| {
        let (slope, layout) = set_out(&format!(
            "{PLAIN}\n[[slope]]\nname = \"a\"\nshape = \"outline\"\npitch = \"40 deg\"\n\
             points = [[\"0 m\", \"0 m\"], [\"6 m\", \"0 m\"], [\"6 m\", \"4 m\"], [\"0 m\", \"4 m\"]]\n{edges}"
        ));
        let findings = layout.findings(&slope);
        let found = findings.iter().find(|finding| finding.message.contains("taken from their direction"));
        found.map(|finding| finding.message.clone())
    };
    let said = outline("").unwrap();
    assert!(said.contains("1 eaves, 2 verge, 3 ridge, 4 verge"), "{said}");
    let said = outline("[slope.edges]\n2.role = \"verge\"\n4.role = \"hip\"").unwrap();
    assert!(said.contains("direction: 1 eaves, 3 ridge;"), "{said}");
    let all = "[slope.edges]\n1.role = \"eaves\"\n2.role = \"verge\"\n3.role = \"ridge\"\n4.role = \"verge\"";
    assert_eq!(outline(all), None);
    // The edges of a rectangle have names, and their roles come with the shape.
    let (slope, layout) = bare(PLAIN, "40 deg", 6000.0, 3000.0, "");
    assert!(layout.findings(&slope).iter().all(|finding| !finding.message.contains("their direction")));
}

/// The under-eaves courses: the level of each and its stretch of the eaves, in millimetres.
fn under_eaves(layout: &Layout) -> Vec<(f64, Option<(f64, f64)>)> {
    let mm = |length_m: f64| (length_m * 1000.0).round();
    let courses = layout.courses.iter().filter(|course| course.kind == CourseKind::UnderEaves);
    courses.map(|course| (mm(course.band.low), course.between.map(|(from, to)| (mm(from), mm(to))))).collect()
}

/// An outline from its corners in metres, each edge ending on it; the roles are stated edge by edge.
fn outline(points: &[(f64, f64)], roles: &[&str]) -> (Slope, Layout) {
    let corners: Vec<String> = points.iter().map(|(u, v)| format!("[\"{u} m\", \"{v} m\"]")).collect();
    let edges: Vec<String> = (1..)
        .zip(roles)
        .map(|(number, role)| {
            let reach = if matches!(*role, "eaves" | "verge") { ", overhang = \"0 mm\"" } else { "" };
            format!("{number} = {{ role = \"{role}\"{reach} }}")
        })
        .collect();
    set_out(&format!(
        "{PLAIN}\n[[slope]]\nname = \"a\"\nshape = \"outline\"\npitch = \"40 deg\"\npoints = [{}]\n[slope.edges]\n{}",
        corners.join(", "),
        edges.join("\n")
    ))
}

#[test]
fn eaves_further_up_have_an_under_eaves_course_of_their_own() {
    let stepped = |step: f64| {
        let corners = [(0.0, 0.0), (4.0, 0.0), (4.0, step), (8.0, step), (8.0, 4.0), (0.0, 4.0)];
        outline(&corners, &["eaves", "verge", "eaves", "verge", "ridge", "verge"]).1
    };
    // A metre up: a course along each of them. The lower one lies under the first course, the upper one under none.
    assert_eq!(under_eaves(&stepped(1.0)), [(0.0, Some((0.0, 4000.0))), (1000.0, Some((4000.0, 8000.0)))]);
    // By less than a course (a gauge is 100 mm at most, 88 mm at least) the eaves are only out of level, and start on one line.
    assert_eq!(under_eaves(&stepped(0.08)), [(0.0, None)]);
    assert_eq!(under_eaves(&stepped(0.101)).len(), 2);
    // Courses stand in the order of their levels.
    let layout = stepped(1.0);
    assert!(layout.courses.is_sorted_by(|one, other| one.band.low <= other.band.low));
    assert!(layout.batten_lines.is_sorted_by(|one, other| one.at_m <= other.at_m));
}

#[test]
fn eaves_with_less_than_a_unit_between_are_one_stretch() {
    let notched = |wide: f64| {
        let corners = [
            (0.0, 0.0),
            (3.0, 0.0),
            (3.0, 1.0),
            (3.0 + wide, 1.0),
            (3.0 + wide, 0.0),
            (6.0, 0.0),
            (6.0, 4.0),
            (0.0, 4.0),
        ];
        let wall = "side-abutment";
        outline(&corners, &["eaves", wall, "top-abutment", wall, "eaves", "verge", "ridge", "verge"]).1
    };
    // A unit is 165 mm wide.
    assert_eq!(under_eaves(&notched(0.1)), [(0.0, None)]);
    assert_eq!(under_eaves(&notched(0.2)), [(0.0, Some((0.0, 3000.0))), (0.0, Some((3200.0, 6000.0)))]);
}

#[test]
fn a_short_slope_of_slates_has_no_top_course() {
    // A slate of 500 mm laps with 100 mm: a slope of 300 mm has room for one course and the short one under it; one of a
    // metre for a top course too, the only one of its kind.
    let kinds = |rafter_mm: f64| {
        let (_, layout) = bare("covering.format = \"slate-500x250\"", "40 deg", 4000.0, rafter_mm, "");
        let kinds: Vec<_> = layout.courses.iter().map(|course| (course.number, course.kind)).collect();
        (kinds, layout.gauging.spaces)
    };
    assert_eq!(kinds(300.0), (vec![(0, CourseKind::UnderEaves), (1, CourseKind::Field)], 0));
    let (kinds, spaces) = kinds(1000.0);
    assert!(spaces > 0);
    assert_eq!(kinds.first(), Some(&(0, CourseKind::UnderEaves)));
    assert_eq!(kinds.last(), Some(&(spaces + 2, CourseKind::Top)));
    assert_eq!(kinds.iter().filter(|(_, kind)| *kind == CourseKind::Top).count(), 1);
}

#[test]
fn reaches_are_said_with_their_source() {
    let (slope, layout) = set_out(&format!(
        "{PLAIN}\n[[slope]]\nname = \"a\"\nshape = \"rectangle\"\npitch = \"40 deg\"\neaves = \"6 m\"\nrafter = \"4 m\"\n\
         [slope.edges]\nleft = {{ role = \"valley\", clearance = \"110 mm\" }}\nright.overhang = \"30 mm\"\ntop.role = \"ridge\""
    ));
    let steps = layout.working(&slope);
    let said = |edge: &str| {
        let found = steps.iter().find(|step| step.what.contains(edge)).unwrap();
        (found.formula.clone(), found.result.clone(), found.source.clone())
    };
    let (formula, by, source) = said("'left' (valley)");
    assert_eq!(formula, "the covering stops short of the edge");
    assert_eq!((by.as_str(), source.as_str()), ("110 mm", "stated by the survey"));
    let (formula, by, _) = said("'right' (verge)");
    assert_eq!((formula.as_str(), by.as_str()), ("the covering reaches past the edge", "30 mm"));
    // Crowood, Roof Tiling (the rule's source): 50 mm past the fascia.
    let (_, by, source) = said("'eaves' (eaves)");
    assert_eq!(by, "50 mm");
    assert!(source != "stated by the survey" && !source.is_empty());
    let (_, by, source) = said("'top' (ridge)");
    assert_eq!((by.as_str(), source.as_str()), ("0 mm", "the covering ends on the outline"));
    assert!(slope.edges.iter().any(|edge| edge.role == EdgeRole::Valley));
}

#[test]
fn the_short_way_to_a_reach_gives_the_same_metres() {
    // By the rules' own numbers: 50 mm past eaves and verge, half a channel of 100 mm from 30 degrees and of 125 mm below it,
    // nothing at walls, ridges and hips.
    let rules = Rules::standard();
    for (role, degrees, reach_mm) in [
        (EdgeRole::Eaves, 40.0, 50.0),
        (EdgeRole::Verge, 40.0, 50.0),
        (EdgeRole::Valley, 30.0, -50.0),
        (EdgeRole::Valley, 29.9, -62.5),
        (EdgeRole::SideAbutment, 40.0, 0.0),
        (EdgeRole::TopAbutment, 40.0, 0.0),
        (EdgeRole::Ridge, 40.0, 0.0),
        (EdgeRole::Hip, 40.0, 0.0),
        (EdgeRole::ChangeOfPitch, 40.0, 0.0),
    ] {
        let pitch = crate::quantity::Pitch::from_degrees(degrees).unwrap();
        let found = layout::reach_by_rule(role, pitch, rules) * 1000.0;
        assert!((found - reach_mm).abs() < 1e-9, "{role:?} at {degrees}: {found}");
    }
}

#[test]
fn the_short_setting_out_of_a_row_is_that_of_a_slope() {
    // NHBC Standards 7.2.19: plain tiles lap by 65 mm, by 75 mm where it is severe; half of 265 mm less that is 100 and 95 mm.
    // A lap of 81 mm that is asked for leaves 92 mm, one of 60 mm nothing more than the rule.
    for (terms, gauge_most_mm) in [
        ("exposure = \"sheltered\"", 100.0),
        ("exposure = \"severe\"", 95.0),
        ("covering.headlap = \"81 mm\"", 92.0),
        ("covering.headlap = \"60 mm\"", 100.0),
    ] {
        let text = format!(
            "slopewright = 1\n{PLAIN}\n{terms}\n[[slope]]\nname = \"a\"\nshape = \"rectangle\"\npitch = \"40 deg\"\n\
             eaves = \"5.21 m\"\nrafter = \"3.33 m\"\n[slope.edges]\nleft.role = \"valley\"\n[[slope.opening]]\nname = \"hatch\"\n\
             from_left = \"2 m\"\nfrom_eaves = \"1 m\"\nwidth = \"0.7 m\"\nheight = \"0.9 m\"\nfixed_point = true"
        );
        let roof = SurveyDocument::from_toml(&text).unwrap().check().unwrap();
        let slope = &roof.slopes[0];
        let brief = Brief::new(slope, roof.exposure, Rules::standard(), Vec::new()).unwrap();
        assert!((brief.gauging.gauge_most_m * 1000.0 - gauge_most_mm).abs() < 1e-9, "{terms}");
        // Independent: the setting out with its reasons, by another way through the rules.
        let layout = Layout::new(slope, roof.exposure, Rules::standard()).unwrap();
        assert_eq!((&brief.gauging, &brief.courses), (&layout.gauging, &layout.courses), "{terms}");
        let reaches: Vec<f64> = layout.reaches.iter().map(|reach| reach.reach_m).collect();
        assert_eq!(brief.reaches_m, reaches, "{terms}");
        assert!((brief.deck(slope).area_m2() - layout.deck.area_m2()).abs() < 1e-9, "{terms}");
    }
}
