//! One joint or lone edge: its true length, how far its material runs, and the courses on each side of it.

use std::sync::Arc;

use super::super::SlopeTakeOff;
use crate::catalogue::{Covering, Figure, Layers};
use crate::quantity::{Length, LengthIn as _, Pitch};
use crate::setout::{CourseKind, Layout};
use crate::survey::{Edge, EdgeRef, EdgeRole, Slope};

/// One side of an edge: the slope there, and how it is laid.
#[derive(Debug, Clone)]
pub struct EdgeSide {
    /// Which edge of which slope.
    pub at: EdgeRef,
    /// The pitch there.
    pub pitch: Pitch,
    /// How far the edge climbs, up the slope, in metres.
    pub up_m: f64,
    /// The courses that end at the edge, short ones under the first left out.
    pub courses: u32,
    /// Their gauge, in metres.
    pub gauge_m: f64,
    /// The headlap that it leaves, in metres.
    pub headlap_m: f64,
    /// The covering.
    pub covering: Arc<Covering>,
}

impl EdgeSide {
    /// How much higher each course lies than the one below it, in metres upright.
    #[must_use]
    pub fn rise_m(&self) -> f64 {
        self.gauge_m * self.pitch.radians().sin()
    }

    /// Whether over the whole edge the courses of the two sides part by more than a quarter of a course.
    pub(super) fn drifts_from(&self, other: &Self) -> bool {
        /// As far as courses are drawn together on a roof (common practice, no source).
        const SHARE: f64 = 0.25;
        let courses = f64::from(self.courses.min(other.courses));
        (self.rise_m() - other.rise_m()).abs() * courses > SHARE * self.rise_m().min(other.rise_m())
    }

    /// The gauge at which a steeper or wider spaced side rises like this one; `None` on a level slope.
    pub(super) fn gauge_like(&self, other: &Self) -> Option<f64> {
        let sine = other.pitch.radians().sin();
        (sine > 1e-9).then(|| self.rise_m() / sine)
    }
}

/// A joint, or an edge that no joint has.
#[derive(Debug, Clone)]
pub struct EdgeRun {
    /// The slope, or the two slopes with ` / ` between.
    pub slope: String,
    /// The edge's name, or the two names.
    pub edge: String,
    /// What it is.
    pub role: EdgeRole,
    /// Its true length, in metres.
    pub length_m: f64,
    /// How far its material runs: to the overhangs of the edges it ends at, in metres.
    pub laid_m: f64,
    /// The height from its lower to its upper end, in metres.
    pub rise_m: f64,
    /// The slopes that it parts: two at a joint, else one.
    pub sides: Vec<EdgeSide>,
    /// How many of its ends meet hips or valleys.
    pub ends_at_rakes: u32,
    /// The gap for air along it, where one is wanted.
    pub air: Option<Figure<Length>>,
}

impl EdgeRun {
    /// The run of these edges: the two sides of a joint, or one edge. `None` if there is no such edge.
    pub(super) fn of(slopes: &[SlopeTakeOff], at: &[EdgeRef], length_m: f64) -> Option<Self> {
        let found: Vec<(EdgeRef, &SlopeTakeOff, &Edge)> = at
            .iter()
            .filter_map(|at| {
                let slope = slopes.get(at.slope)?;
                Some((*at, slope, slope.slope.edges.get(at.edge)?))
            })
            .collect();
        let (_, first, edge) = found.first()?;
        let join = |words: Vec<&str>| words.join(" / ");
        let past = found
            .iter()
            .map(|(at, slope, _)| past_ends(&slope.slope, &slope.layout, at.edge))
            .fold(0.0_f64, f64::max);
        let rakes = found.iter().map(|(at, slope, _)| rakes_met(&slope.slope, at.edge)).max();
        Some(Self {
            slope: join(found.iter().map(|(_, slope, _)| slope.layout.slope.as_str()).collect()),
            edge: join(found.iter().map(|(_, _, edge)| edge.name.as_str()).collect()),
            role: edge.role,
            length_m,
            laid_m: length_m + past,
            rise_m: climb(edge) * first.layout.pitch.radians().sin(),
            sides: found.iter().map(|(at, slope, edge)| side(*at, &slope.layout, edge)).collect(),
            ends_at_rakes: rakes.unwrap_or(0),
            air: None,
        })
    }

    /// The courses at the edge: those of the side that has more.
    #[must_use]
    pub fn courses(&self) -> u32 {
        self.side_with_more().map_or(0, |side| side.courses)
    }

    /// The side that has more courses.
    #[must_use]
    pub fn side_with_more(&self) -> Option<&EdgeSide> {
        self.sides.iter().max_by_key(|side| side.courses)
    }

    /// How far one gauge up the slope goes along the edge, in metres; `None` if the edge is level.
    #[must_use]
    pub fn gauge_along_m(&self) -> Option<f64> {
        let side = self.side_with_more()?;
        (side.up_m > 1e-9).then(|| side.gauge_m * self.length_m / side.up_m)
    }

    /// By how many degrees the pitches of its two sides differ.
    #[must_use]
    pub fn pitch_difference_degrees(&self) -> f64 {
        let degrees = || self.sides.iter().map(|side| side.pitch.degrees());
        degrees().fold(f64::NEG_INFINITY, f64::max) - degrees().fold(f64::INFINITY, f64::min)
    }

    /// Whether the units there lap singly.
    #[must_use]
    pub fn is_single_lap(&self) -> bool {
        self.sides.first().is_some_and(|side| side.covering.layers == Layers::Single)
    }
}

fn climb(edge: &Edge) -> f64 {
    (edge.to.v - edge.from.v).abs()
}

fn side(at: EdgeRef, layout: &Layout, edge: &Edge) -> EdgeSide {
    /// A course that the edge only touches does not end at it.
    const TOUCH_M: f64 = 1e-3;
    let (low, high) = (edge.from.v.min(edge.to.v), edge.from.v.max(edge.to.v));
    let ends_here = layout
        .courses
        .iter()
        .filter(|course| course.kind != CourseKind::UnderEaves)
        .filter(|course| course.band.low < high - TOUCH_M && course.band.high > low + TOUCH_M);
    EdgeSide {
        at,
        pitch: layout.pitch,
        up_m: climb(edge),
        courses: u32::try_from(ends_here.count()).unwrap_or(u32::MAX),
        gauge_m: layout.gauge().m(),
        headlap_m: layout.headlap_laid().m(),
        covering: Arc::clone(&layout.laying.covering),
    }
}

/// How far the material of an edge runs past its two ends, to the overhangs of its neighbours.
fn past_ends(slope: &Slope, layout: &Layout, at: usize) -> f64 {
    /// As far as the corners of the covered region are mitred.
    const MITRE: f64 = 4.0;
    let Some(edge) = slope.edges.get(at) else { return 0.0 };
    let length = edge.length_m();
    if length <= 0.0 {
        return 0.0;
    }
    neighbours(slope, at)
        .into_iter()
        .zip([-1.0, 1.0])
        .map(|((place, neighbour), way)| {
            let reach = layout.reaches.get(place).map_or(0.0, |reach| reach.reach_m);
            let along = edge.to.minus(edge.from);
            let other = neighbour.to.minus(neighbour.from);
            // The sine of the angle at which the edge runs out through its neighbour.
            let sine = way * along.cross(other) / (length * neighbour.length_m());
            match reach {
                reach if reach <= 0.0 || sine <= 0.0 => 0.0,
                reach => reach / sine.max(1.0 / MITRE),
            }
        })
        .sum()
}

/// How many ends of an edge meet a hip or a valley.
fn rakes_met(slope: &Slope, at: usize) -> u32 {
    let is_rake = |edge: &Edge| matches!(edge.role, EdgeRole::Hip | EdgeRole::Valley);
    neighbours(slope, at).iter().map(|(_, edge)| u32::from(is_rake(edge))).sum()
}

/// The edges before and after one, with their places.
fn neighbours(slope: &Slope, at: usize) -> Vec<(usize, &Edge)> {
    let count = slope.edges.len();
    if count == 0 {
        return Vec::new();
    }
    [(at + count - 1) % count, (at + 1) % count]
        .into_iter()
        .filter_map(|place| Some((place, slope.edges.get(place)?)))
        .collect()
}
