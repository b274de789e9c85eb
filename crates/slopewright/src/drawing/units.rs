//! The units of a slope as paths: one for each way in which units are laid, never an element for each unit.
//!
//! A run of whole units is one closed part with a stroke at each joint inside it; a cut unit is what the covered region
//! leaves of its cell. So the units can be counted in the drawing again.

use super::markup::{PathData, tenths};
use crate::setout::{CourseKind, Region};
use crate::survey::outline::Point;
use crate::takeoff::{Laid, SlopeTakeOff, UnitPlace};

/// Up to so many whole units every joint is drawn; beyond, runs only.
const MOST_JOINTS: u64 = 60_000;

/// The paths of a slope, by the way of laying.
#[derive(Debug, Default)]
pub(super) struct UnitPaths {
    /// Whole units of the field.
    pub(super) whole: PathData,
    /// Cut units of the field.
    pub(super) cut: PathData,
    /// Units of one and a half, whole or cut.
    pub(super) tile_and_half: PathData,
    /// The top course.
    pub(super) top: PathData,
    /// The courses under the first.
    pub(super) under_eaves: PathData,
    /// What of the last courses' units lies above their margin, under the ridge.
    pub(super) heads: PathData,
    /// Whether every joint is drawn.
    pub(super) has_joints: bool,
}

impl UnitPaths {
    /// Draws the units of a slope.
    pub(super) fn of(slope: &SlopeTakeOff) -> Self {
        let places = slope.unit_places();
        let whole: u64 =
            places.iter().filter(|at| at.laid == Laid::Whole).map(|at| u64::from(at.cells)).sum();
        let mut paths = Self { has_joints: whole <= MOST_JOINTS, ..Self::default() };
        let mut band: Option<(usize, Region)> = None;
        for place in &places {
            let Some(course) = slope.layout.courses.get(place.course) else { continue };
            let has_joints = paths.has_joints;
            let path = match (course.kind, place.laid) {
                (CourseKind::UnderEaves, _) => &mut paths.under_eaves,
                (CourseKind::Top, _) => &mut paths.top,
                (CourseKind::Field, Laid::Whole) => &mut paths.whole,
                (CourseKind::Field, Laid::Cut) => &mut paths.cut,
                (CourseKind::Field, Laid::TileAndHalf | Laid::TileAndHalfCut) => &mut paths.tile_and_half,
            };
            let at = |cell: i32| f64::from(cell).mul_add(course.band.width, course.band.origin);
            let (low, high) = (course.band.low, course.band.high);
            match place.laid {
                Laid::Whole => whole_run(path, place, at, (low, high), has_joints),
                Laid::Cut => {
                    let region = in_band(&mut band, place.course, &slope.layout.covered, (low, high));
                    for cell in place.first..place.first.saturating_add_unsigned(place.cells) {
                        clipped(path, region, (at(cell), at(cell.saturating_add(1))), (low, high));
                    }
                }
                Laid::TileAndHalf | Laid::TileAndHalfCut => {
                    let region = in_band(&mut band, place.course, &slope.layout.covered, (low, high));
                    clipped(path, region, (at(place.first), at(place.first.saturating_add(2))), (low, high));
                }
            }
        }
        paths.add_heads(slope);
        paths
    }

    /// Above the last margin the heads of its units go on, as far as they are long.
    fn add_heads(&mut self, slope: &SlopeTakeOff) {
        let layout = &slope.layout;
        let margin = layout.courses.iter().map(|course| course.band.high).fold(f64::NEG_INFINITY, f64::max);
        let heads = layout.courses.iter().map(|course| course.band.low + course.unit_length_m);
        let (low, high) = layout.covered.bounds();
        let top = heads.fold(f64::NEG_INFINITY, f64::max).min(high.v);
        if top - margin > 1e-4 {
            let region = layout.covered.within(Point::new(low.u, margin), Point::new(high.u, top));
            for ring in region.rings() {
                self.heads.ring(ring.iter().map(|p| (tenths(p.u), tenths(p.v))));
            }
        }
    }
}

/// A run of whole units: its outline, and a stroke up or down at each joint.
fn whole_run(
    path: &mut PathData,
    place: &UnitPlace,
    at: impl Fn(i32) -> f64,
    (low, high): (f64, f64),
    has_joints: bool,
) {
    let end = place.first.saturating_add_unsigned(place.cells);
    let (left, right) = (tenths(at(place.first)), tenths(at(end)));
    let (low, high) = (tenths(low), tenths(high));
    path.ring([(left, low), (right, low), (right, high), (left, high)]);
    if !has_joints {
        return;
    }
    let mut is_up = true;
    for joint in place.first.saturating_add(1)..end {
        let u = tenths(at(joint));
        let (from, to) = if is_up { (low, high) } else { (high, low) };
        path.move_to((u, from));
        path.line_to((u, to));
        is_up = !is_up;
    }
}

/// The covered region in the band of a course, made once for each course.
fn in_band<'a>(
    kept: &'a mut Option<(usize, Region)>,
    course: usize,
    covered: &Region,
    (low, high): (f64, f64),
) -> &'a Region {
    if kept.as_ref().is_none_or(|(of, _)| *of != course) {
        let (first, last) = covered.bounds();
        let region = covered.within(Point::new(first.u - 1.0, low), Point::new(last.u + 1.0, high));
        *kept = Some((course, region));
    }
    &kept.get_or_insert_with(|| (course, Region::default())).1
}

/// What of a region lies within a cell.
fn clipped(path: &mut PathData, region: &Region, (left, right): (f64, f64), (low, high): (f64, f64)) {
    let piece = region.within(Point::new(left, low), Point::new(right, high));
    for ring in piece.rings() {
        path.ring(ring.iter().map(|p| (tenths(p.u), tenths(p.v))));
    }
}
