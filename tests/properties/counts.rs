//! Openings and clearances take units away and never bring any.

use proptest::prelude::*;
use slopewright::TakeOff;
use slopewright::setout::CourseKind;

use crate::cases;
use crate::sketch::{Sketch, is_clear_cut, layout, sketch};

/// Whole positions, and all that are laid, of each course over the one under the eaves.
fn positions(take_off: &TakeOff) -> Vec<(u32, u32)> {
    let slope = &take_off.slopes[0];
    let courses = slope.layout.courses.iter().zip(&slope.units.courses);
    courses
        // Eaves that are moved up by a gauge get a course of their own under them.
        .filter(|(course, _)| course.kind != CourseKind::UnderEaves)
        .map(|(_, units)| (units.positions.whole, units.positions.laid()))
        .collect()
}

/// Whether no course of the one has more than its fellow of the other.
fn none_has_more(one: &TakeOff, other: &TakeOff) -> Result<(), TestCaseError> {
    let (one, other) = (positions(one), positions(other));
    prop_assert_eq!(one.len(), other.len());
    for ((whole, laid), (whole_of_other, laid_of_other)) in one.into_iter().zip(other) {
        prop_assert!(whole <= whole_of_other, "{} whole over {}", whole, whole_of_other);
        prop_assert!(laid <= laid_of_other, "{} laid over {}", laid, laid_of_other);
    }
    Ok(())
}

/// Whether the outline turns by 30 to 150 degrees at a corner: there moved edges meet within four times the move.
fn turns_sharply(sketch: &Sketch, at: usize) -> bool {
    let corner = |step: usize| sketch.corners[(at + sketch.corners.len() + step - 1) % sketch.corners.len()];
    let (before, here, after) = (corner(0), corner(1), corner(2));
    let (one, other) = ((here.0 - before.0, here.1 - before.1), (after.0 - here.0, after.1 - here.1));
    let cross = (one.0 * other.1 - one.1 * other.0) as f64;
    let lengths = (one.0 as f64).hypot(one.1 as f64) * (other.0 as f64).hypot(other.1 as f64);
    cross.abs() >= 0.5 * lengths
}

/// Whether both are divided alike: an opening in a corner of the slope may move where the first unit stands.
fn set_out_alike(one: &TakeOff, other: &TakeOff) -> bool {
    let (one, other) = (layout(one), layout(other));
    one.across == other.across && one.gauging == other.gauging
}

proptest! {
    #![proptest_config(cases(100))]

    #[test]
    fn an_opening_adds_no_whole_unit(sketch in sketch()) {
        prop_assume!(!sketch.holes.is_empty());
        let closed = Sketch { holes: sketch.holes[1..].to_vec(), ..sketch.clone() };
        let (Some(with), Some(without)) = (sketch.take_off(), closed.take_off()) else { return Err(TestCaseError::reject("nothing to lay")) };
        prop_assume!(set_out_alike(&with, &without) && is_clear_cut(&with));
        none_has_more(&with, &without)?;
        prop_assert!(layout(&with).covered.area_m2() <= layout(&without).covered.area_m2() + 1e-9);
        // Each batten line loses what the opening takes of it.
        prop_assert!(with.slopes[0].battens.length_m <= without.slopes[0].battens.length_m + 1e-9);
    }

    #[test]
    fn a_larger_clearance_round_openings_adds_no_whole_unit(sketch in sketch(), by in 1..300i64) {
        prop_assume!(!sketch.holes.is_empty());
        let mut wider = sketch.clone();
        for hole in &mut wider.holes {
            hole.clearance += by;
        }
        let (Some(wide), Some(narrow)) = (wider.take_off(), sketch.take_off()) else { return Err(TestCaseError::reject("nothing to lay")) };
        prop_assume!(set_out_alike(&wide, &narrow) && is_clear_cut(&wide));
        none_has_more(&wide, &narrow)?;
        prop_assert!(layout(&wide).covered.area_m2() <= layout(&narrow).covered.area_m2() + 1e-9);
    }

    #[test]
    fn a_larger_clearance_at_the_edges_adds_no_whole_unit(sketch in sketch(), at in 0..9usize, by in 1..200i64) {
        let at = at % sketch.reaches.len();
        // At a blunt corner the moved edges do not run on until they meet, but step from one to the other.
        prop_assume!(turns_sharply(&sketch, at) && turns_sharply(&sketch, at + 1));
        let mut shorter = sketch.clone();
        let reach = sketch.reaches[at].unwrap_or(0);
        shorter.reaches[at] = Some(reach - by);
        let longer = Sketch { reaches: { let mut all = sketch.reaches.clone(); all[at] = Some(reach); all }, ..sketch.clone() };
        let (Some(short), Some(long)) = (shorter.take_off(), longer.take_off()) else { return Err(TestCaseError::reject("nothing to lay")) };
        prop_assume!(set_out_alike(&short, &long) && is_clear_cut(&short));
        none_has_more(&short, &long)?;
        prop_assert!(layout(&short).covered.area_m2() <= layout(&long).covered.area_m2() + 1e-9);
    }
}
