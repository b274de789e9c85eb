//! Setting out in brief: the numbers of a [`Layout`](super::Layout) without who says so, for batches.
//!
//! It takes the same steps as [`Layout::new`](super::Layout::new) and calls the same functions; a test holds the two
//! together.

use super::across::Across;
use super::courses::Gauging;
use super::layout::{
    Course, courses, fixed_points, gauge_most, leaves_a_gauge, nothing_to_cover, reach_by_rule,
    too_many_courses,
};
use super::region::Region;
use crate::error::Result;
use crate::quantity::{Length, LengthIn, m};
use crate::rules::{Exposure, Rules};
use crate::survey::Slope;
use crate::survey::outline::Ring;

/// A slope set out, in numbers alone.
#[derive(Debug)]
pub(crate) struct Brief {
    /// How far the covering reaches at each edge, in metres.
    pub(crate) reaches_m: Vec<f64>,
    /// The outline of the slope.
    pub(crate) outline: Ring,
    /// What the covering covers.
    pub(crate) covered: Region,
    /// Up the slope.
    pub(crate) gauging: Gauging,
    /// Across the slope.
    pub(crate) across: Across,
    /// The courses, from the eaves up.
    pub(crate) courses: Vec<Course>,
}

impl Brief {
    /// Sets a slope out. `room_for_courses` is memory for the courses.
    ///
    /// # Errors
    /// As [`Layout::new`](super::Layout::new).
    pub(crate) fn new(
        slope: &Slope,
        exposure: Exposure,
        rules: &Rules,
        room_for_courses: Vec<Course>,
    ) -> Result<Self> {
        let outline = slope.outline();
        let reaches_m: Vec<f64> = slope
            .edges
            .iter()
            .map(|edge| edge.stated_reach.unwrap_or_else(|| reach_by_rule(edge.role, slope.pitch, rules)))
            .collect();
        let mut covered = Region::from_moved_edges(&outline, &reaches_m);
        if !slope.openings.is_empty() {
            let holes: Vec<_> = slope.openings.iter().map(|opening| opening.cleared.clone()).collect();
            covered = covered.without(&holes);
        }
        if covered.is_empty() {
            return Err(nothing_to_cover(slope));
        }
        let headlap = headlap(slope, exposure, rules);
        let gap = rules.edges().map_or(m(0.0), |edges| edges.ridge_gap_most.value);
        let (low, high) = covered.bounds();
        let gauge_most = gauge_most(&slope.laying, headlap);
        leaves_a_gauge(slope, headlap, gauge_most)?;
        let fixed = fixed_points(&slope.openings);
        let gauging = Gauging::new(&slope.laying.covering, m(low.v), m(high.v) - gap, gauge_most, &fixed);
        if let Some(fault) = too_many_courses(slope, gauging.spaces as usize) {
            return Err(fault.into());
        }
        let across = Across::new(&slope.laying, low.u, high.u);
        let courses = courses(slope, &reaches_m, &gauging, &across, (low.u, high.u), room_for_courses);
        Ok(Self { reaches_m, outline, covered, gauging, across, courses })
    }

    /// The slope itself, less its openings: what battens run over.
    pub(crate) fn deck(&self, slope: &Slope) -> Region {
        let deck = Region::from_outline(self.outline.clone());
        if slope.openings.is_empty() {
            return deck;
        }
        let frames: Vec<_> = slope.openings.iter().map(|opening| opening.outline.clone()).collect();
        deck.without(&frames)
    }
}

/// The largest of the headlaps that are asked for.
fn headlap(slope: &Slope, exposure: Exposure, rules: &Rules) -> Length {
    let covering = &slope.laying.covering;
    let by_rule = rules.headlap(covering, slope.pitch, exposure).map(|figure| figure.value);
    let by_format = covering.headlap_least.as_ref().map(|figure| figure.value);
    let asked = [by_rule, by_format, slope.laying.headlap].into_iter().flatten();
    m(asked.map(LengthIn::m).fold(0.0, f64::max))
}
