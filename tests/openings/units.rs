//! Units lost to openings and cut round them.

use slopewright::TakeOff;
use slopewright::quantity::{Pitch, m, mm};
use slopewright::survey::{OpeningDocument, SlopeDocument};
use slopewright::takeoff::OpeningUnits;

use crate::random::{Hole, Random, covering, slope, survey};

fn by_hand(left: f64, low: f64) -> OpeningUnits {
    // An interlocking tile with a cover width of 300 mm in straight bond on a slope 6 m wide without overhangs: twenty to a
    // course. The gauge is an equal division, so the hole is put on the tail lines that the layout gives.
    let pitch = Pitch::from_degrees(35.0).unwrap();
    let plain = SlopeDocument::rectangle("s", m(6.0), m(4.0), pitch)
        .with_edge("left", slopewright::survey::EdgeRole::Verge, Some(mm(0.0)))
        .with_edge("right", slopewright::survey::EdgeRole::Verge, Some(mm(0.0)));
    let set_out = TakeOff::of(&survey("interlocking-420x330", plain.clone()).check().unwrap()).unwrap();
    let layout = &set_out.slopes[0].layout;
    let cover = layout.across.cover_m;
    let tails: Vec<f64> = layout.courses.iter().map(|course| course.band.low).collect();
    let gauge = layout.gauging.gauge_m;
    let opening = OpeningDocument::rectangle(
        "hole",
        m(layout.across.origin_m + (5.0 + left) * cover),
        m(tails[3] + low * gauge),
        m(2.0 * cover),
        m(3.0 * gauge),
    );
    let take_off =
        TakeOff::of(&survey("interlocking-420x330", plain.with_opening(opening)).check().unwrap()).unwrap();
    take_off.slopes[0].openings(&take_off)[0].units.clone()
}

#[test]
fn a_hole_on_the_joints_takes_whole_units_and_cuts_none() {
    // By hand: two units wide, three courses high.
    let units = by_hand(0.0, 0.0);
    assert_eq!((units.lost, units.cut, units.cut_again), (6, 0, 0));
}

#[test]
fn half_a_unit_aside_it_cuts_two_in_each_course() {
    // By hand: in each course one unit lies wholly in the hole and one on each side is cut to half.
    let units = by_hand(0.5, 0.0);
    assert_eq!((units.lost, units.cut), (3, 6));
}

#[test]
fn half_a_course_up_it_cuts_the_courses_at_sill_and_head() {
    // By hand: two whole courses of two are lost; two units each are cut in the courses at sill and head.
    let units = by_hand(0.0, 0.5);
    assert_eq!((units.lost, units.cut), (4, 4));
    let by_course: Vec<_> = units.courses.iter().map(|loss| (loss.lost, loss.cut)).collect();
    assert_eq!(by_course, [(0, 2), (2, 0), (2, 0), (0, 2)]);
}

/// Independent: two whole take-offs, with the opening and without it, counted course by course.
#[test]
fn lost_and_cut_are_the_difference_of_two_take_offs() {
    let mut random = Random::new(7);
    let mut checked = 0;
    for _ in 0..400 {
        let covering = covering(&mut random);
        let (bare, width, rafter) = slope(&mut random);
        let hole = Hole {
            left: random.mm(300, 3000).min(width),
            low: random.mm(0, 2500).min(rafter),
            width: random.mm(60, 1200),
            height: random.mm(60, 1200),
            clearance: random.mm(0, 60),
        };
        let holed = survey(covering, bare.clone().with_opening(hole.document("hole")));
        // A hole that lies outside is a fault, and no case.
        let Ok(roof) = holed.check() else { continue };
        let without = TakeOff::of(&survey(covering, bare).check().unwrap()).unwrap();
        let taken = TakeOff::of(&roof).unwrap();
        let units = taken.slopes[0].openings(&taken)[0].units.clone();
        let (before, after) = (&without.slopes[0].units, &taken.slopes[0].units);
        if before.courses.len() != after.courses.len() {
            // A hole through the top or the eaves changes how high the covering is.
            continue;
        }
        let mut lost = 0;
        let mut whole_less = 0_i64;
        let mut cut_more = 0_i64;
        for (before, after) in before.courses.iter().zip(&after.courses) {
            lost += i64::from(before.positions.laid()) - i64::from(after.positions.laid());
            whole_less += i64::from(before.positions.whole) - i64::from(after.positions.whole);
            cut_more += i64::from(after.positions.cut) - i64::from(before.positions.cut);
        }
        assert_eq!(i64::from(units.lost), lost, "{hole:?} {covering}");
        // What was whole is lost or cut; what was cut before can only be lost.
        let lost_cut = i64::from(units.cut) - cut_more;
        assert!(lost_cut >= 0 && lost_cut <= lost, "{hole:?} {covering}");
        assert_eq!(
            i64::from(units.cut) + i64::from(units.lost) - lost_cut,
            whole_less,
            "{hole:?} {covering}"
        );
        checked += 1;
    }
    assert!(checked > 150, "only {checked} holes lay inside");
}
