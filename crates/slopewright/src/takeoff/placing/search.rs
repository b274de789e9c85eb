//! The search itself: every place at the step, counted by sweeping only the courses that an opening touches.

use super::ground::{Cluster, Ground, Range, Row};
use super::{OpeningMove, Placing};
use crate::setout::cells::Sweep;
use crate::setout::{Course, CourseKind, Region};
use crate::survey::Opening;
use crate::survey::outline::{Ring, bounds};
use crate::takeoff::units::{CourseUnits, runs_of, unit_rule};

/// More places than this are not tried.
const MOST_PLACES: u64 = 2_000_000;

/// And no more work than this: courses counted, over all places of all slopes of a roof. On an ordinary slope a place
/// touches a dozen courses or two.
pub(super) const MOST_WORK: u64 = 60_000_000;

/// Cutting a hole out of so many corners costs as much as counting one course.
const CORNERS_A_COURSE: usize = 8;

/// Units cut more than without the openings that move, then movement in tenths of a millimetre. The least is best.
type Score = (i64, u64);

/// Steps of one opening: to the right, and up.
type Steps = (usize, i32, i32);

/// A set of places with its score.
#[derive(Debug, Clone, Default)]
struct Best {
    score: Score,
    steps: Vec<Steps>,
}

impl Best {
    /// Adds the best of a part that does not touch the others.
    fn with(mut self, other: Self) -> Self {
        self.score = (self.score.0 + other.score.0, self.score.1 + other.score.1);
        self.steps.extend(other.steps);
        self
    }

    fn or_better(this: Option<Self>, other: Option<Self>) -> Option<Self> {
        match (this, other) {
            (Some(this), Some(other)) => Some(if other.score < this.score { other } else { this }),
            (this, other) => this.or(other),
        }
    }
}

/// The courses under one set of fixed points, and the units cut in each without the openings that move.
struct Courses {
    courses: Vec<Course>,
    cut: Vec<i64>,
}

impl Ground<'_> {
    /// The best places; what they cost is taken off `allowance`.
    pub(super) fn search(&self, allowance: &mut u64) -> Placing {
        let cut_before: u32 =
            self.take_off.units.courses.iter().map(|course| course.cut + course.tile_and_half_cut).sum();
        let places = self.places();
        let mut placing = Placing {
            slope: self.layout.slope.clone(),
            moves: Vec::new(),
            cut_before,
            cut_after: cut_before,
            places,
            left_out: self.left_out.clone(),
            too_many: places > MOST_PLACES,
        };
        let left = allowance.checked_sub(self.work(places));
        placing.too_many |= left.is_none();
        if placing.too_many {
            return placing;
        }
        *allowance = left.unwrap_or_default();
        let mut best: Option<Best> = None;
        for levels in combinations(&self.rows.iter().map(gauge_range).collect::<Vec<_>>()) {
            best = Best::or_better(best, self.at_levels(&levels));
        }
        let Some(best) = best else { return placing };
        placing.cut_after = u32::try_from(best.score.0).unwrap_or(cut_before);
        for (number, right, up) in best.steps {
            let Some(mover) = self.movers.get(number) else { continue };
            let up_range = self.rows.get(mover.row).map(|row| row.up);
            placing.moves.push(OpeningMove {
                opening: mover.opening.name.clone(),
                right_m: mover.across.by_m(right),
                up_m: up_range.map_or(0.0, |range| range.by_m(up)),
            });
        }
        placing
    }

    /// How many places the search tries.
    fn places(&self) -> u64 {
        let product = |all: &mut dyn Iterator<Item = u64>| all.fold(1_u64, u64::saturating_mul);
        let outer = product(&mut self.rows.iter().map(|row| gauge_range(row).places()));
        let inner = |cluster: &Cluster| {
            let rows = || cluster.rows.iter().filter_map(|row| self.rows.get(*row));
            let up = product(&mut rows().map(|row| free_range(row).places()));
            let mut across = rows()
                .flat_map(|row| &row.members)
                .filter_map(|member| self.movers.get(*member))
                .map(|mover| mover.across.places());
            up.saturating_mul(if cluster.entangled { product(&mut across) } else { across.sum() })
        };
        outer.saturating_mul(self.clusters.iter().map(inner).fold(0, u64::saturating_add))
    }

    /// How many courses are counted to try so many places, those of each set of fixed points included.
    fn work(&self, places: u64) -> u64 {
        let gauge = self.layout.gauging.gauge_m.max(f64::MIN_POSITIVE);
        let touched = |opening: &Opening| {
            let (low, high) = bounds(&opening.cleared);
            ((high.v - low.v) / gauge).ceil().max(0.0) + 2.0
        };
        let touched = self.movers.iter().map(|mover| touched(mover.opening)).sum::<f64>();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a float is cut off, not wrapped"
        )]
        let touched = touched as u64;
        let each = touched.saturating_add((self.corners() / CORNERS_A_COURSE) as u64);
        let levels = self.rows.iter().fold(1_u64, |all, row| all.saturating_mul(gauge_range(row).places()));
        let all_courses = levels.saturating_mul(self.layout.courses.len() as u64);
        places.saturating_mul(each).saturating_add(all_courses)
    }

    /// The best places where the rows that set the gauge stand at these levels.
    fn at_levels(&self, levels: &[i32]) -> Option<Best> {
        let courses = self.courses_at(levels);
        let mut best = Best { score: (courses.cut.iter().sum(), 0), steps: Vec::new() };
        for cluster in &self.clusters {
            let rows: Vec<&Row> = cluster.rows.iter().filter_map(|row| self.rows.get(*row)).collect();
            let ranges: Vec<Range> = rows.iter().map(|row| free_range(row)).collect();
            let mut best_here: Option<Best> = None;
            for free in combinations(&ranges) {
                let ups: Vec<i32> = cluster
                    .rows
                    .iter()
                    .zip(&free)
                    .map(|(row, up)| up + levels.get(*row).copied().unwrap_or(0))
                    .collect();
                let found = if cluster.entangled {
                    self.together(&rows, &ups, &courses)
                } else {
                    self.one_by_one(&rows, &ups, &courses)
                };
                best_here = Best::or_better(best_here, found);
            }
            best = best.with(best_here?);
        }
        Some(best)
    }

    /// Each opening of the rows for itself: none comes near another.
    fn one_by_one(&self, rows: &[&Row], ups: &[i32], courses: &Courses) -> Option<Best> {
        let mut all = Best::default();
        for (row, up) in rows.iter().zip(ups) {
            for number in &row.members {
                let mover = self.movers.get(*number)?;
                let mut best: Option<Best> = None;
                for right in mover.across.all() {
                    let steps = [(*number, right, *up)];
                    best = Best::or_better(best, self.scored(&steps, courses));
                }
                all = all.with(best?);
            }
        }
        Some(all)
    }

    /// All openings of the rows together, in every combination.
    fn together(&self, rows: &[&Row], ups: &[i32], courses: &Courses) -> Option<Best> {
        let members: Vec<(usize, i32)> =
            rows.iter().zip(ups).flat_map(|(row, up)| row.members.iter().map(move |m| (*m, *up))).collect();
        let ranges: Vec<Range> =
            members.iter().filter_map(|(m, _)| self.movers.get(*m)).map(|mover| mover.across).collect();
        let mut best: Option<Best> = None;
        for rights in combinations(&ranges) {
            let steps: Vec<Steps> =
                members.iter().zip(&rights).map(|((number, up), right)| (*number, *right, *up)).collect();
            best = Best::or_better(best, self.scored(&steps, courses));
        }
        best
    }

    /// The score of some openings in these places; `None` if there is no room for one of them.
    fn scored(&self, steps: &[Steps], courses: &Courses) -> Option<Best> {
        let mut placed: Vec<Opening> = Vec::with_capacity(steps.len());
        let mut movement = 0;
        for (number, right, up) in steps {
            let mover = self.movers.get(*number)?;
            let range = self.rows.get(mover.row)?.up;
            let opening = mover.opening.moved(mover.across.by_m(*right), range.by_m(*up));
            if !self.has_room_beside_the_fast(&opening) {
                return None;
            }
            if !self.has_room(&opening, &placed.iter().map(|other| &other.cleared).collect::<Vec<_>>()) {
                return None;
            }
            movement += mover.across.tenths(*right) + range.tenths(*up);
            placed.push(opening);
        }
        let holes: Vec<Ring> = placed.into_iter().map(|opening| opening.cleared).collect();
        let cut = self.cut_more(&self.covered(&holes), &holes, courses);
        Some(Best { score: (cut, movement), steps: steps.to_vec() })
    }

    /// Units cut more with these holes, in the courses that they touch.
    fn cut_more(&self, region: &Region, holes: &[Ring], courses: &Courses) -> i64 {
        let touched: Vec<(f64, f64)> = holes
            .iter()
            .map(|hole| {
                let (low, high) = bounds(hole);
                (low.v, high.v)
            })
            .collect();
        let mut sweep = Sweep::new(region);
        let mut taken = Vec::new();
        courses
            .courses
            .iter()
            .zip(&courses.cut)
            .filter(|(course, _)| {
                touched.iter().any(|(low, high)| course.band.high > *low && course.band.low < *high)
            })
            .map(|(course, before)| {
                let runs = runs_of(&mut sweep, course, &mut taken);
                self.cut_in(course, runs) - before
            })
            .sum()
    }

    fn cut_in(&self, course: &Course, runs: &[crate::setout::cells::Run]) -> i64 {
        let (least_width, has_tile_and_half) = unit_rule(&self.layout.laying, &self.layout.across);
        let joins = has_tile_and_half && course.kind == CourseKind::Field;
        let units = CourseUnits::of(runs, least_width, joins);
        i64::from(units.cut) + i64::from(units.tile_and_half_cut)
    }

    /// The courses where the rows that set the gauge stand at these levels.
    fn courses_at(&self, levels: &[i32]) -> Courses {
        let fixed: Vec<Opening> = self
            .slope
            .openings
            .iter()
            .filter(|opening| opening.fixed_point)
            .map(|opening: &Opening| {
                let mover = self.movers.iter().find(|mover| core::ptr::eq(mover.opening, opening));
                let up_m = mover.and_then(|mover| {
                    let row = self.rows.get(mover.row)?;
                    Some(row.up.by_m(*levels.get(mover.row)?))
                });
                opening.moved(0.0, up_m.unwrap_or(0.0))
            })
            .collect();
        let courses = if levels.iter().all(|level| *level == 0) {
            self.layout.courses.clone()
        } else {
            self.layout.courses_with(self.slope, &crate::setout::layout::fixed_points(&fixed))
        };
        let region = self.covered(&[]);
        let mut sweep = Sweep::new(&region);
        let mut taken = Vec::new();
        let cut = courses
            .iter()
            .map(|course| {
                let runs = runs_of(&mut sweep, course, &mut taken);
                self.cut_in(course, runs)
            })
            .collect();
        Courses { courses, cut }
    }
}

/// The levels of a row that set the gauge; only the surveyed one, if it sets none.
const fn gauge_range(row: &Row) -> Range {
    if row.sets_gauge { row.up } else { Range { back: 0, forth: 0, step_m: row.up.step_m } }
}

/// The levels of a row that leave the courses as they are.
const fn free_range(row: &Row) -> Range {
    if row.sets_gauge { Range { back: 0, forth: 0, step_m: row.up.step_m } } else { row.up }
}

/// Every combination of one step from each range.
fn combinations(ranges: &[Range]) -> impl Iterator<Item = Vec<i32>> + use<> {
    let ranges: Vec<Range> = ranges.to_vec();
    let mut next: Option<Vec<i32>> = Some(ranges.iter().map(|range| -range.back).collect());
    core::iter::from_fn(move || {
        let here = next.clone()?;
        let mut after = here.clone();
        let mut carried = true;
        for (step, range) in after.iter_mut().zip(&ranges) {
            if *step < range.forth {
                *step += 1;
                carried = false;
                break;
            }
            *step = -range.back;
        }
        next = (!carried).then_some(after);
        Some(here)
    })
}

#[cfg(test)]
mod tests;
