//! Nails counted from the layout under a stated pattern.
//!
//! The pattern is a count, not a specification: what a roof needs against the wind is for a competent person and the
//! local code.

use serde::Serialize;

use super::units::SlopeUnits;
use crate::setout::{Course, Layout};

/// Which units are fixed, and with what.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Pattern {
    /// Every how many courses all units are fixed; 1 is every course, 0 none but the edges.
    pub every_course: u32,
    /// Nails in each unit of such a course.
    pub nails_each: u32,
    /// Clips on each unit of such a course.
    pub clips_each: u32,
    /// Whether the units at the edges are all fixed: first and last courses, ends, and cuts.
    pub edges: bool,
    /// Nails in each unit at an edge.
    pub edge_nails: u32,
}

/// The fixings of a slope's units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct SlopeFixings {
    /// Units fixed because their whole course is, those at edges left out.
    pub in_full_courses: u32,
    /// Units fixed because they stand at an edge.
    pub at_edges: u32,
    /// Nails in all.
    pub nails: u32,
    /// Clips in all.
    pub clips: u32,
}

impl SlopeFixings {
    /// Counts the fixings of a slope.
    #[must_use]
    pub fn count(layout: &Layout, units: &SlopeUnits, pattern: Pattern) -> Self {
        Self::count_courses(&layout.courses, units, pattern)
    }

    /// The same for some courses.
    pub(crate) fn count_courses(courses: &[Course], units: &SlopeUnits, pattern: Pattern) -> Self {
        let last = courses.iter().map(|course| course.number).max().unwrap_or(0);
        let mut fixings = Self::default();
        for (course, laid) in courses.iter().zip(&units.courses) {
            let all = laid.laid();
            let at_edges = match (pattern.edges, course.number <= 1 || course.number == last) {
                (true, true) => all,
                (true, false) => laid.at_edges.min(all),
                (false, _) => 0,
            };
            fixings.at_edges += at_edges;
            if pattern.every_course > 0 && course.number.is_multiple_of(pattern.every_course) {
                fixings.in_full_courses += all - at_edges;
            }
        }
        fixings.nails = fixings
            .in_full_courses
            .saturating_mul(pattern.nails_each)
            .saturating_add(fixings.at_edges.saturating_mul(pattern.edge_nails));
        let clipped = if pattern.every_course == 1 {
            fixings.in_full_courses + fixings.at_edges
        } else {
            fixings.in_full_courses
        };
        fixings.clips = clipped.saturating_mul(pattern.clips_each);
        fixings
    }
}
