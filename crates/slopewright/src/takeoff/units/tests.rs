//! Units by hand, and the quick ways of counting against the cells one by one.

use super::*;
use crate::quantity::whole_down;
use crate::setout::Region;
use crate::setout::cells::Band;
use crate::survey::outline::Point;

fn run(first: i32, cells: u32, share: f64, width: f64, joins_left: bool, joins_right: bool) -> Run {
    Run { first, cells, share, width, joins_left, joins_right }
}

#[test]
fn half_tiles_at_both_verges_become_tiles_and_a_half() {
    // A shifted course: a half, 45 whole, a half. By hand: two units of one and a half and 43 whole ones.
    let runs = [
        run(0, 1, 0.5, 0.5, false, true),
        run(1, 45, 1.0, 1.0, true, true),
        run(46, 1, 0.5, 0.5, true, false),
    ];
    let units = CourseUnits::of(&runs, 0.5, true);
    assert_eq!((units.whole, units.cut, units.tile_and_half, units.tile_and_half_cut), (43, 0, 2, 0));
    assert_eq!((units.laid(), units.at_edges, units.narrow), (45, 2, 0));
    // Without such a unit in the format the halves are laid, and said to be narrow.
    let units = CourseUnits::of(&runs, 0.5, false);
    assert_eq!((units.whole, units.cut, units.tile_and_half, units.narrow), (45, 2, 0, 2));
}

#[test]
fn a_neighbour_is_taken_once() {
    // Two narrow cuts on either side of one unit: one joins it, the other is laid alone.
    let runs =
        [run(0, 1, 0.3, 0.3, false, true), run(1, 1, 1.0, 1.0, true, true), run(2, 1, 0.3, 0.3, true, false)];
    let units = CourseUnits::of(&runs, 0.5, true);
    assert_eq!(
        (units.whole, units.cut, units.tile_and_half, units.tile_and_half_cut, units.narrow),
        (0, 1, 1, 1, 1)
    );
    // A cut wider than the least is a cut.
    let wide = [run(0, 1, 0.7, 0.7, false, true), run(1, 3, 1.0, 1.0, true, false)];
    assert_eq!(CourseUnits::of(&wide, 0.5, true).tile_and_half, 0);
    // A raking cut joins a cut neighbour.
    let raking =
        [run(0, 1, 0.2, 0.4, false, true), run(1, 1, 0.9, 1.0, true, true), run(2, 4, 1.0, 1.0, true, false)];
    let units = CourseUnits::of(&raking, 0.5, true);
    assert_eq!((units.whole, units.cut, units.tile_and_half), (4, 0, 1));
}

#[test]
fn edges_of_stretches() {
    // Two stretches beside an opening: four ends. A lone whole unit is one.
    let beside = [run(0, 5, 1.0, 1.0, false, true), run(9, 5, 1.0, 1.0, true, false)];
    assert_eq!(CourseUnits::of(&beside, 0.5, true).at_edges, 4);
    assert_eq!(CourseUnits::of(&[run(0, 1, 1.0, 1.0, false, false)], 0.5, true).at_edges, 1);
    let with_cut = [run(0, 5, 1.0, 1.0, false, true), run(5, 1, 0.6, 0.6, true, false)];
    assert_eq!(CourseUnits::of(&with_cut, 0.5, true).at_edges, 2);
}

#[test]
fn a_plain_course_counts_as_its_runs_do() {
    // Independent: the runs come from the area of every cell. Slopes from a fixed generator, upright, raking and nearly
    // level sides, some on the joints between cells or with their corners on the tails; some clockwise, some with a
    // slit that parts the courses in two, down to less than a cell wide, some with two openings.
    let mut next = steps(20_261_126);
    let mut plain = [0; 4];
    for _ in 0..6000 {
        let on_joints = next(3) < 0.3;
        let mut place = |from: f64, to: f64| {
            let at = from + next(1000) * (to - from);
            if on_joints { (at / 0.165).round() * 0.165 } else { at }
        };
        let (left, right) = (place(0.0, 2.0), place(2.0, 6.0));
        let (top_left, top_right) = (place(-1.0, 3.0), place(3.0, 7.0));
        let (slit, beside) = (place(left, right), place(0.0, 0.6));
        let tall = 0.2 + next(100) * 3.0;
        let rise = if next(2) < 0.5 { tall } else { (tall * 10.0).round() / 10.0 };
        let mut corners = vec![(left, 0.0), (right, 0.0), (top_right, rise), (top_left, rise)];
        let shape = next(4);
        let foot = 0.35 * rise;
        if shape < 0.3 {
            // From the top down to the foot.
            let of_top = |u: f64| (u - left) / (right - left) * (top_right - top_left) + top_left;
            let bottom = slit + next(3) * 0.2;
            corners.splice(3..3, [(of_top(slit) + beside, rise), (bottom, foot), (of_top(slit), rise)]);
        }
        if next(4) < 0.25 {
            corners.reverse();
        }
        let outline = corners.iter().map(|(u, v)| Point::new(*u, *v)).collect();
        let mut region = Region::from_outline(outline);
        if shape > 0.6 {
            let hole = |u: f64| {
                [(u, foot), (u + beside, foot), (u + 0.5 * beside, 0.8 * rise)]
                    .map(|(u, v)| Point::new(u, v))
                    .to_vec()
            };
            region = region.without(&[hole(slit), hole(slit + 1.0)]);
        }
        let (mut by_runs, mut by_ends) = (Sweep::new(&region), Sweep::new(&region));
        let least_width = 0.3 + 0.2 * next(3) * 3.0;
        for course in 0..30 {
            let low = f64::from(course) * 0.1;
            let band = Band { low, high: low + 0.1, origin: -0.0825 * f64::from(course % 2), width: 0.165 };
            for joins in [true, false] {
                let mut ends = CourseUnits::default();
                let mut stretches = 0;
                let is_plain = by_ends.plain_course(band, |stretch| {
                    stretches += 1;
                    ends.add_plain(stretch, least_width, joins);
                });
                let expected = CourseUnits::of(by_runs.course(band), least_width, joins);
                if is_plain {
                    plain[stretches] += 1;
                    assert_eq!(ends, expected, "{corners:?} {band:?}");
                }
                // The same from fewer runs.
                if least_width < 0.99 {
                    let of_kinds = CourseUnits::of(by_runs.kinds_in_course(band), least_width, joins);
                    assert_eq!(of_kinds, expected, "{corners:?} {band:?}");
                }
            }
        }
    }
    assert!(plain[1] > 40_000 && plain[2] > 4000 && plain[3] > 1000, "{plain:?} plain courses");
}

/// Numbers from 0 to below 1 in so many steps, from a fixed generator.
fn steps(mut state: u64) -> impl FnMut(u32) -> f64 {
    move |steps| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(state >> 33).unwrap() % steps) / f64::from(steps)
    }
}

fn one_of(choices: &[f64], next: &mut impl FnMut(u32) -> f64) -> f64 {
    let count = u32::try_from(choices.len()).unwrap();
    choices[whole_down(next(count) * f64::from(count) + 0.5) as usize]
}

/// A slope so wide and tall: sides upright, out of plumb by a little or a lot, with a corner in them and now and then a
/// tooth under it; eaves and ridges out of level by less than a course or by more, with a corner in them or without.
fn crooked_slope(wide: f64, tall: f64, next: &mut impl FnMut(u32) -> f64) -> Vec<Point> {
    let mut side = |at: f64, out: f64| {
        let foot = if next(4) < 0.25 { (at / 0.0825).round() * 0.0825 } else { at };
        let lean =
            one_of(&[0.0, 1e-10, 1e-4, 0.003, 0.03, 0.3, 1.0], next) * if next(2) < 0.5 { 1.0 } else { -1.0 };
        let (u, v) = (foot + lean * tall * 0.4 + 0.2 * (next(3) - 0.33), tall * (0.1 + 0.8 * next(100)));
        let tooth = (u + out * one_of(&[0.01, 0.2, 1.0], next), v - 0.15 * next(10));
        let corners = [(next(3) < 0.4).then_some((u, v)), (next(6) < 0.4).then_some(tooth)];
        (foot, corners, foot + lean * tall)
    };
    let (left, right) = (side(0.0, -1.0), side(wide, 1.0));
    let mut level = |at: f64, corners: [f64; 2]| {
        let mut out = || at + one_of(&[0.0, 1e-6, 0.001, 0.02, 0.3, 0.0], next);
        let (from, middle, to) = (out(), out(), out());
        let between = corners[0] + (corners[1] - corners[0]) * next(20);
        let middle = (next(3) < 0.5).then_some((between, middle));
        [Some((corners[0], from)), middle, Some((corners[1], to))]
    };
    let (eaves, ridge) = (level(0.0, [left.0, right.0]), level(tall, [right.2, left.2]));
    let [left_corner, left_tooth] = left.1;
    let corners = [eaves.as_slice(), &right.1, &ridge, &[left_tooth, left_corner]].concat();
    corners.into_iter().flatten().map(|(u, v)| Point::new(u, v)).collect()
}

#[test]
fn many_courses_at_once_count_as_each_by_itself() {
    // Independent: the runs of every course, which come from the area of every cell. Crooked slopes with up to 200 courses.
    let mut next = steps(20_261_127);
    let mut counted = 0;
    for number in 0..4000 {
        let (tall, wide) = (0.5 + next(1000) * 20.0, 1.0 + next(1000) * 9.0);
        let ring = crooked_slope(wide, tall, &mut next);
        if crate::survey::outline::meets_itself(&ring) {
            continue;
        }
        let region = Region::from_outline(ring);
        let gauge = 0.1 + 0.003 * next(10);
        let course = |number: u32| {
            let low = f64::from(number) * gauge;
            let origin = -0.0825 * f64::from(number % 2);
            let band = Band { low, high: low + gauge, origin, width: 0.165 };
            Course { number: number + 1, kind: CourseKind::Field, band, unit_length_m: 0.265, between: None }
        };
        // One stretch of eaves that goes nearly all the way, or is a part of it.
        let between = Some((0.3 * next(2), wide - 0.5 * next(3)));
        let eaves = Course { number: 0, kind: CourseKind::UnderEaves, between, ..course(0) };
        let courses: Vec<Course> =
            [eaves].into_iter().chain((0..=whole_down((tall + 0.3) / gauge)).map(course)).collect();
        let least_width = [0.3, 0.5, 0.7][number % 3];
        let rule @ (_, has_tile_and_half) = (least_width, number % 2 == 0);
        let together = SlopeUnits::count_courses(&mut Sweep::new(&region), &courses, rule, None, Vec::new());
        let (mut sweep, mut taken) = (Sweep::new(&region), Vec::new());
        assert_eq!(together.courses.len(), courses.len());
        for (course, units) in courses.iter().zip(&together.courses) {
            let joins = has_tile_and_half && course.kind == CourseKind::Field;
            let expected = CourseUnits::of(runs_of(&mut sweep, course, &mut taken), least_width, joins);
            assert_eq!(*units, expected, "{:?} {course:?} {least_width}", region.rings());
        }
        counted += courses.len();
    }
    assert!(counted > 200_000, "{counted} courses");
}

#[test]
fn the_cells_of_a_stretch_of_eaves() {
    // Independent: every cell asked for itself, with stretches that end on joints, within a hundredth of a cell of them,
    // and in the middle of cells, down to no length.
    let band = Band { low: 0.0, high: 0.1, origin: -0.05, width: 0.165 };
    for from in -40..40 {
        for length in 0..200 {
            let from = f64::from(from) * 0.165 / 8.0 - 0.05 + 0.001_6;
            let to = from + f64::from(length) * 0.165 / 16.0 - 0.001_65;
            let course = Course {
                number: 0,
                kind: CourseKind::UnderEaves,
                band,
                unit_length_m: 0.2,
                between: Some((from, to)),
            };
            let expected: Vec<i32> = (-100..200).filter(|cell| course.takes(*cell)).collect();
            let cells: Vec<i32> = course.cells_taken().unwrap().collect();
            assert_eq!(cells, expected, "{from} {to}");
        }
    }
}
