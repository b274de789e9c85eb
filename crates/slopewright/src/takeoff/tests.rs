//! Fixings, battens and the words on a cutting list, at both sides of each limit. The numbers are by hand.

use super::*;
use crate::stock::CuttingPlan;
use crate::survey::SurveyDocument;

mod places;

fn take_off(text: &str) -> TakeOff {
    let text = format!("slopewright = 1\n{text}");
    TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap()
}

/// A rectangle whose covering ends on its outline all round; `before` are fields of the document, `openings` of the slope.
fn bare(before: &str, pitch: &str, wide_mm: f64, rafter_mm: f64, openings: &str) -> TakeOff {
    take_off(&format!(
        "{before}\n[[slope]]\nname = \"a\"\nshape = \"rectangle\"\npitch = \"{pitch}\"\neaves = \"{wide_mm} mm\"\n\
         rafter = \"{rafter_mm} mm\"\n[slope.edges]\neaves.overhang = \"0 mm\"\nleft.overhang = \"0 mm\"\n\
         right.overhang = \"0 mm\"\n{openings}"
    ))
}

/// 300 mm of cover; 345 mm of gauge at most; 410 mm from the last tail to the top (15 mm of gap, 395 mm to its batten).
const SINGLE: &str = "covering.format = \"interlocking-420x330\"";
/// 265 x 165 mm, 100 mm of gauge at most.
const PLAIN: &str = "covering.format = \"plain-tile-265x165\"";

/// Ten tiles wide, and three spaces of 340 mm: four courses.
fn four_courses_of_ten(fixings: &str) -> TakeOff {
    bare(&format!("{SINGLE}\n{fixings}"), "40 deg", 3000.0, 1020.0 + 410.0, "")
}

#[test]
fn fixings_of_four_courses_of_ten() {
    let slope = four_courses_of_ten("").slopes.swap_remove(0);
    let laid: Vec<u32> = slope.units.courses.iter().map(CourseUnits::laid).collect();
    assert_eq!(laid, [10, 10, 10, 10]);
    let count = |every_course: u32, edges: bool| {
        let pattern = Pattern { every_course, nails_each: 1, clips_each: 3, edges, edge_nails: 2 };
        let found = SlopeFixings::count(&slope.layout, &slope.units, pattern);
        (found.in_full_courses, found.at_edges, found.nails, found.clips)
    };
    // Edges: all of the first and the last course, two each of those between; 24. Of every second course the second has
    // eight more, the fourth none. Clips are on the units of full courses, and on those at edges if every course is one.
    assert_eq!(count(2, true), (8, 24, 8 + 48, 24));
    assert_eq!(count(1, true), (16, 24, 16 + 48, 120));
    assert_eq!(count(3, true), (8, 24, 8 + 48, 24));
    assert_eq!(count(5, true), (0, 24, 48, 0));
    assert_eq!(count(2, false), (20, 0, 20, 60));
    assert_eq!(count(1, false), (40, 0, 40, 120));
    // No full course at all, not even the one under the first.
    assert_eq!(count(0, true), (0, 24, 48, 0));
    let plain = bare(PLAIN, "40 deg", 3300.0, 2000.0, "").slopes.swap_remove(0);
    assert!(plain.layout.courses.iter().any(|course| course.number == 0));
    let pattern = Pattern { every_course: 0, nails_each: 2, clips_each: 1, edges: false, edge_nails: 2 };
    assert_eq!(SlopeFixings::count(&plain.layout, &plain.units, pattern), SlopeFixings::default());
}

#[test]
fn a_rule_is_named_wherever_it_still_says_something_of_the_pattern() {
    let source = |fixings: &str| {
        let roof = four_courses_of_ten(&format!("fixings = {{ {fixings} }}"));
        let lines = roof.lines();
        let nails = lines.iter().find(|line| line.slope == "a" && line.item == "unit nails").unwrap();
        nails.working.source.clone()
    };
    let survey = "stated by the survey";
    assert_eq!(source("nails_each = 2, every_course = 3, edges = true"), survey);
    // BS 5534, as recalled, is the source of the rule.
    for partly in [
        "nails_each = 2, every_course = 3",
        "nails_each = 2, edges = true",
        "every_course = 3, edges = true",
        "nails_each = 2",
        "every_course = 3",
        "edges = true",
        "",
    ] {
        let named = source(partly);
        assert!(named.contains("5534") && named != survey, "{partly}: {named}");
    }
}

#[test]
fn the_survey_s_pattern_goes_before_the_rule_s() {
    let pattern = |pitch: &str, fixings: &str| {
        let before = format!("{PLAIN}\nfixings = {{ {fixings} }}");
        bare(&before, pitch, 3300.0, 2000.0, "").slopes.swap_remove(0).pattern
    };
    // The rule for nibbed tiles in double lap: every fifth course, every one from 60 degrees; edges, two nails.
    let by_rule = Pattern { every_course: 5, nails_each: 2, clips_each: 0, edges: true, edge_nails: 2 };
    assert_eq!(pattern("59.9 deg", ""), by_rule);
    assert_eq!(pattern("60 deg", ""), Pattern { every_course: 1, ..by_rule });
    // All from a pitch, that pitch itself included.
    assert_eq!(pattern("44.9 deg", "all_from_pitch = \"45 deg\"").every_course, 5);
    assert_eq!(pattern("45 deg", "all_from_pitch = \"45 deg\"").every_course, 1);
    let stated = pattern("40 deg", "nails_each = 1, every_course = 3, edges = false");
    assert_eq!(
        stated,
        Pattern { every_course: 3, nails_each: 1, clips_each: 0, edges: false, edge_nails: 1 }
    );
}

#[test]
fn a_row_parted_by_an_opening_is_one_row_of_two_runs() {
    // Rows at 395 mm and every 340 mm above: 395, 735, 1075 and 1415 mm. The opening from 600 to 1200 mm parts two of them;
    // its sill and its head have battens of their own, since no row runs within a batten's width of either.
    let hatch = "[[slope.opening]]\nname = \"hatch\"\nfrom_left = \"1200 mm\"\nfrom_eaves = \"600 mm\"\nwidth = \"600 mm\"\n\
                 height = \"600 mm\"\nclearance = \"0 mm\"";
    let battens = "battens = { rafter_spacing = \"600 mm\", first_rafter = \"0 mm\", stock = [\"3.6 m\"] }";
    let roof = bare(&format!("{SINGLE}\n{battens}"), "40 deg", 3000.0, 1020.0 + 410.0, hatch);
    let job = roof.batten_job_of("a", Rules::standard()).unwrap();
    let runs_of = |row: &crate::stock::BattenRow| -> Vec<(f64, f64)> {
        row.runs.iter().map(|(from, to)| (from.mm().round(), to.mm().round())).collect()
    };
    let rows = job.rows.iter().map(|row| (row.label.as_str(), row.up.mm().round(), runs_of(row)));
    let rows: Vec<_> = rows.collect();
    let whole = vec![(0.0, 3000.0)];
    let parted = vec![(0.0, 1200.0), (1800.0, 3000.0)];
    let batten_mm = (roof.slopes[0].batten_rule.as_ref().unwrap().value.0.mm()).round();
    assert_eq!(
        rows,
        [
            ("row 1", 395.0, whole.clone()),
            ("at 'hatch'", 600.0, vec![(1200.0, 1800.0)]),
            ("row 2", 735.0, parted.clone()),
            ("row 3", 1075.0, parted),
            ("at 'hatch'", 1200.0 + batten_mm, vec![(1200.0, 1800.0)]),
            ("row 4", 1415.0, whole),
        ]
    );
    // The rule speaks of the gauge and has its own numbers: NHBC Standards 7.2.17, 1.2 m over three rafters. The run of
    // 600 mm is the shortest piece of this roof, so no shorter end is worth keeping.
    assert!((job.rule.least_length.mm() - 1200.0).abs() < 1e-9 && job.rule.least_supports == 3);
    assert!((job.least_offcut.mm() - 600.0).abs() < 1e-6, "{}", job.least_offcut.mm());
    assert!((job.gauge.mm() - 340.0).abs() < 1e-6);
    assert!(roof.batten_job_of("b", Rules::standard()).is_none());
}

#[test]
fn a_cutting_list_as_the_saw_reads_it() {
    // Two rows as long as a bar: nothing to joint, nothing left.
    let battens = "battens = { rafter_spacing = \"600 mm\", first_rafter = \"0 mm\", stock = [\"3.6 m\"], kerf = \"0 mm\" }";
    let roof = bare(&format!("{SINGLE}\n{battens}"), "40 deg", 3600.0, 340.0 + 410.0, "");
    let cut = roof.cut_battens(Rules::standard()).unwrap();
    assert_eq!(
        cut[0].list(),
        [
            "a: battens",
            "  7.2 m net in 2 rows; 2 bars bought, which is the least possible; 0 runs cannot keep the joint rule",
            "  bring 2 x 3.6 m",
            "  cut:",
            "    bar 1-2: 2 x 3.6 m: 3.60, no offcut",
            "  lay:",
            "    row 1: 3.600 (bar 1)",
            "    row 2: 3.600 (bar 2)",
        ]
    );
    // A row of 6 m in bars of 3.6 m: two pieces that meet over the rafter at 2.4, 3.0 or 3.6 m; two bars can be no less.
    let roof = bare(&format!("{SINGLE}\n{battens}"), "40 deg", 6000.0, 410.0, "");
    let list = roof.cut_battens(Rules::standard()).unwrap()[0].list();
    assert_eq!(
        list[1..3],
        [
            "  6 m net in 1 rows; 2 bars bought, which is the least possible; 0 runs cannot keep the joint rule",
            "  bring 2 x 3.6 m",
        ]
    );
    let row = list.last().unwrap();
    assert!(row.contains(" + ") && row.contains("; joint at ") && !row.contains("joints at"), "{row}");
}

#[test]
fn what_is_kept_goes_to_the_next_slope() {
    // The row of 3.3 m takes a bar of 4.8 m and leaves 1.5 m, which is the row of the next slope.
    let slope = |name: &str, wide_mm: f64| {
        format!(
            "[[slope]]\nname = \"{name}\"\nshape = \"rectangle\"\npitch = \"40 deg\"\neaves = \"{wide_mm} mm\"\n\
             rafter = \"410 mm\"\n[slope.edges]\neaves.overhang = \"0 mm\"\nleft.overhang = \"0 mm\"\n\
             right.overhang = \"0 mm\"\n"
        )
    };
    let battens = "battens = { rafter_spacing = \"600 mm\", first_rafter = \"0 mm\", stock = [\"4.8 m\"], kerf = \"0 mm\" }";
    let roof = take_off(&format!("{SINGLE}\n{battens}\n{}{}", slope("a", 3300.0), slope("b", 1500.0)));
    let cut = roof.cut_battens(Rules::standard()).unwrap();
    assert!(cut[0].list().contains(&"  keep for the next slope: 1.500".to_owned()), "{:?}", cut[0].list());
    let list = cut[1].list();
    assert!(list.contains(&"  and 1 kept from the slopes before".to_owned()), "{list:?}");
    assert!(list.contains(&"    bar 1: 1 x 1.5 m: 1.50, no offcut (kept)".to_owned()), "{list:?}");
    let bought = |plan: &CuttingPlan| plan.purchases.iter().map(|bought| bought.count).sum::<usize>();
    assert_eq!((bought(&cut[0].plan.cutting), bought(&cut[1].plan.cutting)), (1, 0));
    // The lines for what is bought: one bar of 4.8 m for the first slope, none for the second.
    let line = &cut[0].lines()[0];
    assert_eq!((line.item.as_str(), line.count), ("battens to buy, 4.8 m", Some(1)));
    assert!((line.length_m.unwrap() - 4.8).abs() < 1e-9);
    assert!(cut[1].lines().is_empty());
}

#[test]
fn a_slope_lower_than_its_lowest_batten_has_nothing_to_cut() {
    // The lowest batten lies 395 mm up, so a slope of 300 mm has none; the one beside it is cut all the same.
    let slope = |name: &str, rafter_mm: f64| {
        format!(
            "[[slope]]\nname = \"{name}\"\nshape = \"rectangle\"\npitch = \"40 deg\"\neaves = \"3 m\"\n\
             rafter = \"{rafter_mm} mm\"\n[slope.edges]\neaves.overhang = \"0 mm\"\n"
        )
    };
    let battens = "battens = { rafter_spacing = \"600 mm\", first_rafter = \"0 mm\", stock = [\"3.6 m\"] }";
    let roof = take_off(&format!("{SINGLE}\n{battens}\n{}{}", slope("low", 300.0), slope("high", 410.0)));
    let cut = roof.cut_battens(Rules::standard()).unwrap();
    let bars = |at: usize| (cut[at].plan.rows.len(), cut[at].plan.cutting.bars.len());
    assert_eq!((bars(0), bars(1)), ((0, 0), (1, 1)));
    assert!(cut[0].list()[1].starts_with("  0 m net in 0 rows; 0 bars bought"), "{:?}", cut[0].list());
}

#[test]
fn narrow_cuts_are_said_with_what_can_be_done() {
    let said = |before: &str, wide_mm: f64| {
        let roof = bare(before, "40 deg", wide_mm, 2000.0, "");
        let findings = roof.findings();
        findings
            .iter()
            .find(|finding| finding.message.contains("narrower"))
            .map(|found| found.message.clone())
    };
    // 3.1 m is ten units of 300 mm and 100 mm, under half a unit: five courses of them (four spaces and the last), and the
    // format has no wider unit. Of 3.16 m 160 mm are left, over half.
    let message = said(SINGLE, 3100.0).unwrap();
    let courses = bare(SINGLE, "40 deg", 3100.0, 2000.0, "").slopes[0].layout.courses.len();
    assert!(message.starts_with(&format!("{courses} cuts are narrower")), "{message}");
    assert!(message.contains("the format has no wider unit"), "{message}");
    assert_eq!(said(SINGLE, 3160.0), None);
}

#[test]
fn a_batten_smaller_than_the_rule_is_said() {
    let departs = |batten: &str, spacing: &str| {
        let battens = format!("battens = {{ rafter_spacing = \"{spacing}\", format = \"{batten}\" }}");
        let roof = bare(&format!("{SINGLE}\n{battens}"), "40 deg", 3000.0, 2000.0, "");
        roof.findings().iter().any(|finding| finding.message.contains("smaller than the rule's least"))
    };
    // BS 5534 battens for interlocking tiles (the rule's source): 38 x 25 mm on rafters up to 450 mm, 50 x 25 mm to 600 mm.
    assert!(!departs("batten-50x25", "600 mm") && !departs("batten-50x25", "450 mm"));
    assert!(departs("batten-38x25", "600 mm") && !departs("batten-38x25", "450 mm"));
}

#[test]
fn a_change_of_weight_is_said_from_its_limit() {
    // 4.76 kg over 300 mm x 340 mm is 46.67 kg/m2. More than 15 % (the rule) over 40 is more than 46, over 41 more than
    // 47.15; 15 % less than 55 is 46.75, than 54 it is 45.9.
    let said = |old: f64| {
        let roof = four_courses_of_ten(&format!("old_covering.mass = \"{old} kg/m2\""));
        let findings = roof.findings();
        findings
            .iter()
            .find(|finding| finding.message.contains("the new covering weighs"))
            .map(|f| f.message.clone())
    };
    assert!(said(40.0).unwrap().contains("46.7 kg/m2 against 40 kg/m2 now"), "{:?}", said(40.0));
    assert!(said(40.0).unwrap().contains("17 % more"), "{:?}", said(40.0));
    assert_eq!((said(41.0), said(54.0)), (None, None));
    assert!(said(56.0).unwrap().contains("17 % less"), "{:?}", said(56.0));
}

#[test]
fn joints_measured_differently_are_said() {
    let roof = |rear_mm: f64| {
        take_off(&format!(
            "{PLAIN}\n[[slope]]\nname = \"front\"\nshape = \"rectangle\"\npitch = \"40 deg\"\neaves = \"8 m\"\nrafter = \"4 m\"\n\
             edges.top.role = \"ridge\"\n[[slope]]\nname = \"rear\"\nshape = \"rectangle\"\npitch = \"40 deg\"\n\
             eaves = \"{rear_mm} mm\"\nrafter = \"4 m\"\nedges.top.role = \"ridge\"\n[[joint]]\n\
             between = [\"front: top\", \"rear: top\"]\ntolerance = \"50 mm\""
        ))
    };
    let said = |rear_mm: f64| {
        let findings = roof(rear_mm).findings();
        let found = findings.iter().find(|finding| finding.message.contains("the two sides of this ridge"));
        found.map(|finding| (finding.place.clone(), finding.message.clone()))
    };
    let (place, message) = said(8020.0).unwrap();
    assert_eq!(place, "front: top and rear: top");
    assert_eq!(message, "the two sides of this ridge differ by 20 mm: the mean, 8.01 m, is counted");
    assert_eq!((said(8000.0), said(8000.9)), (None, None));
    assert!(said(8001.1).is_some());
}
