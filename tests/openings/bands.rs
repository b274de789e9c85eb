//! Fixed points: the gauge divided for each band, courses and battens with it.

use slopewright::TakeOff;
use slopewright::quantity::LengthIn as _;
use slopewright::survey::outline::bounds;

use crate::random::{Hole, Random, covering, slope, survey};

/// Published rule (Roof Tile Association, "Tiling"): eaves, ridge and the bottom and top of openings are fixed points and
/// the gauge is set separately for each band between them.
#[test]
fn courses_meet_every_fixed_point_and_none_is_over_the_largest_gauge() {
    let mut random = Random::new(11);
    let mut kept = 0;
    for _ in 0..200 {
        let covering = covering(&mut random);
        let (slope, width, _) = slope(&mut random);
        let hole = Hole {
            left: width * 0.4,
            low: random.mm(200, 1500),
            width: random.mm(300, 700),
            height: random.mm(300, 1200),
            clearance: random.mm(0, 60),
        };
        let Ok(roof) =
            survey(covering, slope.with_opening(hole.document("hole").with_fixed_points())).check()
        else {
            continue;
        };
        let take_off = TakeOff::of(&roof).unwrap();
        let layout = &take_off.slopes[0].layout;
        let field: Vec<_> = layout.courses.iter().filter(|course| course.number > 0).collect();
        // No gap between courses, and none over the largest gauge.
        for pair in field.windows(2).filter(|pair| pair[0].between.is_none()) {
            assert!((pair[0].band.high - pair[1].band.low).abs() < 1e-9, "{hole:?}");
        }
        for course in &field {
            let gauge = course.band.high - course.band.low;
            assert!(gauge <= layout.gauging.gauge_most_m + 1e-4, "{hole:?}: {gauge}");
        }
        let (low, high) = bounds(&roof.slopes[0].openings[0].cleared);
        for level in [low.v, high.v].into_iter().filter(|level| layout.gauging.keeps(*level)) {
            assert!(field.iter().any(|course| (course.band.low - level).abs() < 1e-4), "{hole:?}: {level}");
            kept += 1;
        }
        // The last tail line is where it is without fixed points.
        let last = layout.gauging.first_tail_m + layout.gauging.distance_m;
        if !layout.gauging.last_is_cut {
            assert!((layout.gauging.tail_m(layout.gauging.spaces) - last).abs() < 1e-9);
        }
        // One batten for each course, in the order of the slope, with its working and a finding for each short band.
        assert!(layout.batten_lines.windows(2).all(|pair| pair[0].at_m < pair[1].at_m));
        let short = layout.gauging.bands.iter().filter(|band| band.last_is_cut).count();
        let findings = layout.findings(&roof.slopes[0]);
        let told = findings.iter().filter(|finding| finding.message.contains("least gauge of")).count();
        assert_eq!(short.max(usize::from(layout.gauging.last_is_cut)), told, "{findings:?}");
        let steps = layout.working(&roof.slopes[0]);
        for band in 1..=layout.gauging.bands.len() {
            assert!(steps.iter().any(|step| step.what.starts_with(&format!("gauge of band {band},"))));
        }
    }
    assert!(kept > 200, "only {kept} fixed points were met");
}

/// By hand: with the sill on a tail line no unit is cut below an opening as wide as whole units.
#[test]
fn fixed_points_keep_the_courses_at_sill_and_head_whole() {
    let pitch = slopewright::quantity::Pitch::from_degrees(45.0).unwrap();
    let mm = slopewright::quantity::mm;
    let hole = Hole { left: 1650.0, low: 1013.0, width: 660.0, height: 977.0, clearance: 0.0 };
    let cut = |fixed: bool| {
        let opening = hole.document("hole");
        let opening = if fixed { opening.with_fixed_points() } else { opening };
        let slope = slopewright::survey::SlopeDocument::rectangle("s", mm(5000.0), mm(4000.0), pitch);
        let take_off =
            TakeOff::of(&survey("plain-tile-265x165", slope.with_opening(opening)).check().unwrap()).unwrap();
        let units = take_off.slopes[0].openings(&take_off)[0].units.clone();
        let gauge = take_off.slopes[0].layout.gauge().mm();
        assert!(gauge <= 100.0 + 1e-6);
        (units.courses.first().unwrap().cut, units.courses.last().unwrap().cut)
    };
    // Cells of 165 mm from the verge's overhang of 50 mm on: the hole covers three or four of them and cuts those at its
    // sides. Between the courses it cuts all that it touches in the first and last one as well.
    let (at_sill, at_head) = cut(false);
    let (sill_kept, head_kept) = cut(true);
    assert!(at_sill >= 4 && at_head >= 4, "{at_sill} {at_head}");
    assert!(sill_kept <= 2 && head_kept <= 2, "{sill_kept} {head_kept}");
}
