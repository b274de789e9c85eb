//! Setting out: areas, courses, and what mirrors, shifts and units must leave alone.

use proptest::prelude::*;
use slopewright::TakeOff;
use slopewright::setout::cells::Sweep;
use slopewright::setout::{CourseKind, Region};
use slopewright::survey::outline::Point;

use crate::cases;
use crate::sketch::{Sketch, is_clear_cut, layout, sketch};

/// The area of a region between two level lines, by cutting each of its rings at both lines (a half plane cuts a
/// ring's signed area exactly, whatever its shape).
fn area_between(region: &Region, low: f64, high: f64) -> f64 {
    fn above(ring: &[Point], level: f64, way: f64) -> Vec<Point> {
        let mut cut = Vec::new();
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let (a_in, b_in) = ((a.v - level) * way >= 0.0, (b.v - level) * way >= 0.0);
            if a_in {
                cut.push(*a);
            }
            if a_in != b_in {
                cut.push(Point::new(a.u + (level - a.v) / (b.v - a.v) * (b.u - a.u), level));
            }
        }
        cut
    }
    let area = |ring: &[Point]| {
        let doubled: f64 =
            ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| (a.u - b.u) * (a.v + b.v)).sum();
        doubled / 2.0
    };
    region.rings().iter().map(|ring| area(&above(&above(ring, low, 1.0), high, -1.0))).sum()
}

/// Whole and cut positions of each course, from the eaves up.
fn positions(take_off: &TakeOff) -> Vec<(u32, u32, u32)> {
    let slope = &take_off.slopes[0];
    slope
        .layout
        .courses
        .iter()
        .zip(&slope.units.courses)
        .map(|(course, units)| (course.number, units.positions.whole, units.positions.cut))
        .collect()
}

proptest! {
    #![proptest_config(cases(150))]

    #[test]
    fn the_shares_of_all_cells_add_up_to_the_area(sketch in sketch()) {
        let Some(take_off) = sketch.take_off() else { return Err(TestCaseError::reject("nothing to lay")) };
        let layout = layout(&take_off);
        let mut sweep = Sweep::new(&layout.covered);
        for course in layout.courses.iter().filter(|course| course.kind != CourseKind::UnderEaves) {
            let band = course.band;
            let cells: f64 = sweep.course(band).iter().map(|run| run.share * f64::from(run.cells)).sum();
            let area = cells * (band.high - band.low) * band.width;
            let wanted = area_between(&layout.covered, band.low, band.high);
            prop_assert!((area - wanted).abs() < 1e-9, "course {}: {area} of {wanted}", course.number);
        }
        let (low, high) = layout.covered.bounds();
        let whole = area_between(&layout.covered, low.v, high.v);
        prop_assert!((whole - layout.covered.area_m2()).abs() < 1e-9);
    }

    #[test]
    fn the_courses_cover_the_whole_slope(sketch in sketch()) {
        let Some(take_off) = sketch.take_off() else { return Err(TestCaseError::reject("nothing to lay")) };
        let layout = layout(&take_off);
        let courses: Vec<_> =
            layout.courses.iter().filter(|course| course.kind != CourseKind::UnderEaves).collect();
        let (low, high) = layout.covered.bounds();
        prop_assert!((courses[0].band.low - low.v).abs() < 1e-9, "the first tail lies on the lowest edge");
        for (lower, upper) in courses.iter().zip(courses.iter().skip(1)) {
            prop_assert!((lower.band.high - upper.band.low).abs() < 1e-9, "a gap between two courses");
        }
        // The last unit reaches to the top, less the gap that is left for the ridge.
        let last = courses[courses.len() - 1];
        let gap = layout.top_gap.as_ref().map_or(0.0, |gap| gap.value.value);
        prop_assert!(last.band.low + last.unit_length_m >= high.v - gap - 1e-6, "{last:?} under {}", high.v);
        let gauge = layout.gauging.gauge_m;
        prop_assert!(gauge <= layout.gauging.gauge_most_m + 1e-4 / f64::from(layout.gauging.spaces.max(1)));
        prop_assert!(layout.headlap_laid().value >= layout.headlap.needed.value - 3e-4);
    }

    #[test]
    fn a_mirror_changes_no_count(sketch in sketch()) {
        let Some(take_off) = sketch.take_off() else { return Err(TestCaseError::reject("nothing to lay")) };
        let mirrored = sketch.mirrored().take_off().expect("what is sound is sound in the mirror");
        prop_assume!(is_clear_cut(&take_off));
        // Courses of the same level, under eaves on either side of a recess, stand the other way round in the mirror.
        let counts = |of: &TakeOff| {
            let edges = of.slopes[0].units.courses.iter().map(|course| course.at_edges);
            let mut counts: Vec<_> = positions(of).into_iter().zip(edges).collect();
            counts.sort_unstable();
            counts
        };
        prop_assert_eq!(counts(&take_off), counts(&mirrored));
        let (one, other) = (&take_off.slopes[0], &mirrored.slopes[0]);
        prop_assert!((one.battens.length_m - other.battens.length_m).abs() < 1e-3);
    }

    #[test]
    fn a_shift_changes_no_count(sketch in sketch(), by in -300_000..300_000i64) {
        let Some(take_off) = sketch.take_off() else { return Err(TestCaseError::reject("nothing to lay")) };
        let shifted = sketch.shifted(by).take_off().expect("what is sound is sound elsewhere");
        prop_assume!(is_clear_cut(&take_off));
        prop_assert_eq!(positions(&take_off), positions(&shifted));
        let (one, other) = (&take_off.slopes[0], &shifted.slopes[0]);
        prop_assert_eq!(&one.units, &other.units);
        prop_assert!((one.battens.length_m - other.battens.length_m).abs() < 1e-3);
        let runs = |of: &TakeOff| of.slopes[0].underlay.as_ref().map(|underlay| underlay.runs.len());
        prop_assert_eq!(runs(&take_off), runs(&shifted));
    }

    #[test]
    fn a_finer_gauge_never_needs_fewer_courses(sketch in sketch(), fine in 40..200i64, by in 1..150i64) {
        let with = |gauge: i64| Sketch { gauge: Some(gauge), ..sketch.clone() }.take_off();
        let (Some(fine), Some(coarse)) = (with(fine), with(fine + by)) else { return Err(TestCaseError::reject("nothing to lay")) };
        let spaces = |of: &TakeOff| layout(of).gauging.spaces;
        prop_assert!(spaces(&fine) >= spaces(&coarse), "{} under {}", spaces(&fine), spaces(&coarse));
        prop_assert!(layout(&fine).courses.len() >= layout(&coarse).courses.len());
    }

    #[test]
    fn inches_and_millimetres_give_the_same_counts(sketch in sketch()) {
        // The sketch's numbers are taken as tenths of an inch: 2.54 mm each, exact in both.
        let inches = sketch.toml(|tenths| {
            let (sign, tenths) = (if tenths < 0 { "-" } else { "" }, tenths.abs());
            match tenths / 120 {
                0 => format!("{sign}{}.{} in", tenths / 10, tenths % 10),
                feet => format!("{sign}{feet} ft {}.{} in", tenths % 120 / 10, tenths % 10),
            }
        });
        let millimetres = sketch.toml(|tenths| {
            let (sign, hundredths) = (if tenths < 0 { "-" } else { "" }, tenths.abs() * 254);
            format!("{sign}{}.{:02} mm", hundredths / 100, hundredths % 100)
        });
        let read = |text: &str| {
            let survey = slopewright::SurveyDocument::from_toml(text).unwrap();
            survey.check().and_then(|roof| TakeOff::of(&roof)).ok()
        };
        match (read(&inches), read(&millimetres)) {
            (Some(one), Some(other)) => {
                prop_assert_eq!(positions(&one), positions(&other));
                prop_assert_eq!(&one.slopes[0].units, &other.slopes[0].units);
                prop_assert_eq!(&one.slopes[0].fixings, &other.slopes[0].fixings);
                prop_assert_eq!(one.rolls, other.rolls);
            }
            (one, other) => prop_assert_eq!(one.is_some(), other.is_some()),
        }
    }
}

#[test]
fn a_slope_of_exact_units_is_the_same_in_both_units() {
    // 24 slates of 10 in and 11 spaces of 8 1/2 in: no cut across, whatever the last bit says.
    let base = Sketch {
        corners: vec![(0, 0), (2400, 0), (2400, 1335), (0, 1335)],
        reaches: vec![Some(0); 4],
        holes: Vec::new(),
        covering: "slate-20x10in",
        bond: "straight",
        start: "left",
        gauge: Some(85),
        pitch_degrees: 40,
    };
    let inches = base
        .toml(|tenths| format!("{} in", tenths as f64 / 10.0))
        .replace("[covering]", "[covering]\njoint = \"0 mm\"");
    let millimetres = base
        .toml(|tenths| format!("{} mm", tenths as f64 * 2.54))
        .replace("[covering]", "[covering]\njoint = \"0 mm\"");
    let counts = [inches, millimetres].map(|text| {
        let survey = slopewright::SurveyDocument::from_toml(&text).unwrap();
        positions(&TakeOff::of(&survey.check().unwrap()).unwrap())
    });
    assert_eq!(counts[0], counts[1]);
    let below_top = &counts[0][..counts[0].len() - 3];
    assert!(below_top.iter().all(|(_, whole, cut)| (*whole, *cut) == (24, 0)), "{below_top:?}");
}
