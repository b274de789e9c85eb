//! What a search is said to cost, and what it gives up.

use super::*;
use crate::SurveyDocument;
use crate::takeoff::TakeOff;

/// Tiles of 300 mm cover at 300 mm of gauge, four corners, and a hatch 1.1 m high and 600 mm wide that may move sideways.
fn roof(from_mm: f64, left_mm: f64, right_mm: f64) -> TakeOff {
    let text = format!(
        "slopewright = 1\ncovering = {{ format = \"interlocking-420x330\", gauge = \"300 mm\" }}\n[[slope]]\nname = \"a\"\n\
         shape = \"rectangle\"\npitch = \"40 deg\"\neaves = \"9 m\"\nrafter = \"3410 mm\"\n[slope.edges]\n\
         eaves.overhang = \"0 mm\"\nleft.overhang = \"0 mm\"\nright.overhang = \"0 mm\"\n[[slope.opening]]\nname = \"hatch\"\n\
         from_left = \"{from_mm} mm\"\nfrom_eaves = \"900 mm\"\nwidth = \"600 mm\"\nheight = \"1100 mm\"\n\
         clearance = \"0 mm\"\nmay_move_left = \"{left_mm} mm\"\nmay_move_right = \"{right_mm} mm\"\nmove_step = \"10 mm\""
    );
    TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap()
}

#[test]
fn a_search_costs_the_courses_that_it_counts() {
    let roof = roof(3000.0, 0.0, 200.0);
    let ground = Ground::of(&roof.slopes[0]).unwrap();
    // 3410 - 410 mm are ten spaces of 300 mm, eleven courses. Twenty steps and the place itself: 21 places. 1100 mm are
    // four courses at the most and one at either end for where it may begin: six in each place; four corners are no course.
    // And once all courses without the hatch: 21 x 6 + 11.
    assert_eq!(roof.slopes[0].layout.courses.len(), 11);
    assert_eq!(ground.places(), 21);
    assert_eq!(ground.work(21), 137);
}

#[test]
fn what_a_search_costs_comes_off_the_allowance_or_it_is_given_up() {
    let roof = roof(3000.0, 0.0, 200.0);
    let ground = Ground::of(&roof.slopes[0]).unwrap();
    let mut allowance = 137;
    let found = ground.search(&mut allowance);
    assert!(!found.too_many && found.moves.len() == 1);
    assert_eq!(allowance, 0);
    let mut short = 136;
    let given_up = ground.search(&mut short);
    assert!(given_up.too_many && given_up.moves.is_empty());
    assert_eq!((short, given_up.cut_after), (136, given_up.cut_before));
    assert!(
        given_up.finding().message.starts_with("the openings have 21 places at the stated step, more than")
    );
}

#[test]
fn a_place_on_the_joints_cuts_fewer_and_is_described() {
    // From 3.00 to 3.60 m the sides stand on the joints of 300 mm, so nothing is cut beside it, and no place is better.
    let still = roof(3000.0, 0.0, 200.0).placing().swap_remove(0);
    assert_eq!((still.is_better(), still.places_text().as_str()), (false, "none moves"));
    // From 3.05 m they are 50 mm to the left, from 2.95 m as much to the right.
    for (from, words, right_m) in
        [(3050.0, "'hatch' 50 mm to the left", -0.05), (2950.0, "'hatch' 50 mm to the right", 0.05)]
    {
        let better = roof(from, 100.0, 100.0).placing().swap_remove(0);
        assert!(better.is_better());
        assert_eq!(better.places_text(), words);
        assert!((better.moves[0].right_m - right_m).abs() < 1e-12 && better.moves[0].up_m == 0.0);
        // The hatch touches the courses from 900 to 2000 mm: the fourth to the seventh (1800 to 2100 mm), four courses,
        // each with a cut at either side. The seventh is cut along the head, whatever the place: two units.
        assert_eq!((better.cut_before, better.cut_after), (3 * 2 + 3, 2));
        let message = better.finding().message;
        assert!(message.starts_with("7 units fewer are cut (2 instead of 9)"), "{message}");
    }
}
