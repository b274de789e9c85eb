//! Units lost to an opening and cut round it: what the same courses would hold without it, less what they hold.

use crate::setout::cells::{LAID_OVER, Run, Sweep, WHOLE_FROM};
use crate::setout::{Course, CourseKind, Region};
use crate::survey::outline::Ring;
use crate::takeoff::SlopeTakeOff;
use crate::takeoff::units::{CourseUnits, runs_of, unit_rule};

/// What one course loses to an opening.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct CourseLoss {
    /// The course's place in the layout.
    pub course: usize,
    /// Positions laid without the opening and not with it.
    pub lost: u32,
    /// Positions whole without the opening and cut with it.
    pub cut: u32,
    /// Positions cut without the opening too, that the opening cuts again.
    pub cut_again: u32,
}

/// Units lost to an opening and cut round it. They are in the counts of the slope already.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct OpeningUnits {
    /// The courses that it touches.
    pub courses: Vec<CourseLoss>,
    /// Positions laid without the opening and not with it.
    pub lost: u32,
    /// Positions whole without the opening and cut with it.
    pub cut: u32,
    /// Positions that it cuts once more.
    pub cut_again: u32,
    /// Units of one and a half more than without it: narrow cuts beside it joined to their neighbours.
    pub tile_and_half: i64,
    /// Narrow cuts laid for want of a wider unit more than without it.
    pub narrow: i64,
}

impl OpeningUnits {
    /// Counts what the opening with this number takes.
    pub(super) fn count(slope: &SlopeTakeOff, at: usize) -> Self {
        let layout = &slope.layout;
        let Some(opening) = slope.slope.openings.get(at) else { return Self::default() };
        let moves: Vec<f64> = layout.reaches.iter().map(|reach| reach.reach_m).collect();
        let others: Vec<Ring> = slope
            .slope
            .openings
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != at)
            .map(|(_, opening)| opening.cleared.clone())
            .collect();
        let without = Region::from_moved_edges(&slope.slope.outline(), &moves).without(&others);
        let (low, high) = opening.cleared_bounds();
        let mut before = Sweep::new(&without);
        let mut after = Sweep::new(&layout.covered);
        let (mut before_taken, mut after_taken) = (Vec::new(), Vec::new());
        let mut found = Self::default();
        for (number, course) in layout.courses.iter().enumerate() {
            if course.band.high <= low.v || course.band.low >= high.v {
                continue;
            }
            let before = runs_of(&mut before, course, &mut before_taken);
            let after = runs_of(&mut after, course, &mut after_taken);
            found.add(number, course, (before, after), (low.u, high.u));
            let (least_width, has_tile_and_half) = unit_rule(&layout.laying, &layout.across);
            let joins = has_tile_and_half && course.kind == CourseKind::Field;
            let units_before = CourseUnits::of(before, least_width, joins);
            let units_after = CourseUnits::of(after, least_width, joins);
            found.tile_and_half +=
                i64::from(units_after.tile_and_half) - i64::from(units_before.tile_and_half);
            found.narrow += i64::from(units_after.narrow) - i64::from(units_before.narrow);
        }
        found
    }

    /// Compares one course, cell by cell over the width of the opening.
    fn add(&mut self, number: usize, course: &Course, (before, after): (&[Run], &[Run]), span: (f64, f64)) {
        let mut loss = CourseLoss { course: number, ..CourseLoss::default() };
        for cell in course.band.cell_at(span.0)..=course.band.cell_at(span.1) {
            let (without, with) = (share_of(before, cell), share_of(after, cell));
            if without <= LAID_OVER {
                continue;
            }
            if with <= LAID_OVER {
                loss.lost += 1;
            } else if with < WHOLE_FROM {
                if without >= WHOLE_FROM {
                    loss.cut += 1;
                } else if (without - with).abs() > 1.0 - WHOLE_FROM {
                    loss.cut_again += 1;
                }
            }
        }
        self.lost += loss.lost;
        self.cut += loss.cut;
        self.cut_again += loss.cut_again;
        self.courses.push(loss);
    }
}

/// The share of a cell that is covered.
fn share_of(runs: &[Run], cell: i32) -> f64 {
    runs.iter().find(|run| run.first <= cell && cell < run.end()).map_or(0.0, |run| run.share)
}
