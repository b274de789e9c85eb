//! The search for better places against trying every place with a whole take-off.

use slopewright::TakeOff;
use slopewright::quantity::mm;
use slopewright::survey::SlopeDocument;
use slopewright::survey::outline::Point;

use crate::random::{Hole, Random, covering, slope, survey};

/// The search's range of one opening, in steps: up, down, left, right.
type Steps = [i32; 4];

struct Case {
    covering: &'static str,
    slope: SlopeDocument,
    holes: Vec<Hole>,
    ranges: Vec<Steps>,
    step: f64,
    level: bool,
    fixed: Vec<bool>,
}

impl Case {
    /// The slope with its openings moved so many steps to the right and up.
    fn moved(&self, by: &[(i32, i32)]) -> SlopeDocument {
        let mut slope = self.slope.clone();
        for (number, hole) in self.holes.iter().enumerate() {
            let (right, up) = by[number];
            let hole = hole.moved(f64::from(right) * self.step, f64::from(up) * self.step);
            let range = self.ranges[number].map(|steps| mm(f64::from(steps) * self.step));
            let mut opening = hole.document(&format!("o{number}")).with_range(range, mm(self.step));
            if self.fixed[number] {
                opening = opening.with_fixed_points();
            }
            if self.level {
                opening = opening.with_level("row");
            }
            slope = slope.with_opening(opening);
        }
        slope
    }

    /// Units cut in these places by a whole take-off; `None` where the stated conditions do not hold.
    fn cut(&self, by: &[(i32, i32)], frame: &[Point], covered: &[Point]) -> Option<u32> {
        let holes: Vec<Hole> = self
            .holes
            .iter()
            .zip(by)
            .map(|(hole, (right, up))| hole.moved(f64::from(*right) * self.step, f64::from(*up) * self.step))
            .collect();
        for (number, hole) in holes.iter().enumerate() {
            if !inside(frame, &hole.corners_m(0.0)) || !inside(covered, &hole.corners_m(hole.clearance)) {
                return None;
            }
            if holes.iter().skip(number + 1).any(|other| !apart(hole, other)) {
                return None;
            }
        }
        let roof = survey(self.covering, self.moved(by)).check().expect("a place inside has no fault");
        let take_off = TakeOff::of(&roof).unwrap();
        Some(
            take_off.slopes[0].units.courses.iter().map(|course| course.cut + course.tile_and_half_cut).sum(),
        )
    }

    /// The least cut, then the least movement, over every place.
    fn brute_force(&self, frame: &[Point], covered: &[Point]) -> Option<(u32, i32)> {
        let mut best: Option<(u32, i32)> = None;
        let choices = |number: usize| {
            let [up, down, left, right] = self.ranges[number];
            (-left..=right).flat_map(move |u| (-down..=up).map(move |v| (u, v)))
        };
        let mut places: Vec<Vec<(i32, i32)>> = vec![Vec::new()];
        for number in 0..self.holes.len() {
            places = places
                .into_iter()
                .flat_map(|start| {
                    choices(number).map(move |by| {
                        let mut all = start.clone();
                        all.push(by);
                        all
                    })
                })
                .collect();
        }
        for by in places {
            if self.level && by.windows(2).any(|pair| pair[0].1 != pair[1].1) {
                continue;
            }
            if let Some(cut) = self.cut(&by, frame, covered) {
                let moved = by.iter().map(|(u, v)| u.abs() + v.abs()).sum();
                best = Some(best.map_or((cut, moved), |best| best.min((cut, moved))));
            }
        }
        best
    }
}

/// Whether all corners lie inside a convex ring, none on its boundary.
fn inside(ring: &[Point], corners: &[(f64, f64)]) -> bool {
    corners.iter().all(|(u, v)| {
        ring.iter().zip(ring.iter().cycle().skip(1)).all(|(a, b)| {
            let length = (b.u - a.u).hypot(b.v - a.v);
            ((b.u - a.u) * (v - a.v) - (b.v - a.v) * (u - a.u)) / length > 1e-9
        })
    })
}

fn apart(one: &Hole, other: &Hole) -> bool {
    let gap = one.clearance + other.clearance + 1e-6;
    one.left + one.width + gap < other.left
        || other.left + other.width + gap < one.left
        || one.low + one.height + gap < other.low
        || other.low + other.height + gap < one.low
}

fn case(random: &mut Random) -> Case {
    let covering = covering(random);
    let (slope, width, rafter) = slope(random);
    let pairs = random.under(3) > 0;
    let level = pairs && random.under(2) == 0;
    let low = random.mm(300, 1200);
    let mut holes = vec![Hole {
        left: width * 0.3 + random.mm(0, 300),
        low,
        width: random.mm(150, 600),
        height: random.mm(150, 800),
        clearance: random.mm(0, 50),
    }];
    if pairs {
        // Near, so that they are looked at together, or far.
        let gap = if random.under(2) == 0 { random.mm(150, 400) } else { random.mm(900, 1500) };
        let first = holes[0];
        holes.push(Hole {
            left: first.left + first.width + gap,
            low: if level { low } else { (low + random.mm(0, 400)).min(rafter * 0.6) },
            width: random.mm(150, 500),
            height: random.mm(150, 700),
            clearance: random.mm(0, 50),
        });
    }
    let most = if holes.len() > 1 { 3 } else { 6 };
    let mut steps = || i32::try_from(random.under(most)).unwrap();
    let ranges: Vec<Steps> = holes.iter().map(|_| [steps(), steps(), steps(), steps()]).collect();
    let step = [10.0, 25.0, 7.0][random.under(3) as usize];
    // A fixed point now and then: moving it moves the courses.
    let fixed = holes.iter().map(|_| random.under(5) == 0).collect();
    Case { covering, slope, holes, ranges, step, level, fixed }
}

#[test]
fn no_place_at_the_step_is_better() {
    let mut random = Random::new(2024);
    let (mut searched, mut better, mut together) = (0, 0, 0);
    while searched < 120 {
        let case = case(&mut random);
        let still = vec![(0, 0); case.holes.len()];
        let bare = TakeOff::of(&survey(case.covering, case.slope.clone()).check().unwrap()).unwrap();
        let covered = bare.slopes[0].layout.covered.rings()[0].clone();
        let frame = bare.slopes[0].slope.outline();
        let Some(cut) = case.cut(&still, &frame, &covered) else { continue };
        let take_off = TakeOff::of(&survey(case.covering, case.moved(&still)).check().unwrap()).unwrap();
        // In a level row each may only move up and down as far as all of them may.
        let Some(placing) = take_off.placing().pop() else { continue };
        assert!(placing.left_out.is_empty() && !placing.too_many);
        assert_eq!(placing.cut_before, cut);
        let by: Vec<(i32, i32)> = case
            .holes
            .iter()
            .enumerate()
            .map(|(number, _)| {
                let found = placing.moves.iter().find(|found| found.opening == format!("o{number}"));
                let steps = |by_m: f64| {
                    #[expect(clippy::cast_possible_truncation, reason = "a few steps")]
                    let steps = (by_m * 1000.0 / case.step).round() as i32;
                    steps
                };
                found.map_or((0, 0), |found| (steps(found.right_m), steps(found.up_m)))
            })
            .collect();
        // The suggestion holds: a whole take-off with the openings there cuts as many as it says, and it is inside.
        assert_eq!(case.cut(&by, &frame, &covered), Some(placing.cut_after), "{by:?}");
        for (by, [up, down, left, right]) in by.iter().zip(&case.ranges) {
            assert!((-left..=*right).contains(&by.0) && (-down..=*up).contains(&by.1), "{by:?}");
        }
        let moved: i32 = by.iter().map(|(u, v)| u.abs() + v.abs()).sum();
        let best = case.brute_force(&frame, &covered).expect("the surveyed place is one");
        assert_eq!((placing.cut_after, moved), best, "{:?} {:?}", case.holes, case.ranges);
        searched += 1;
        better += usize::from(placing.is_better());
        together += usize::from(case.holes.len() > 1);
    }
    assert!(better > 40 && together > 40, "{better} better, {together} with two");
}
