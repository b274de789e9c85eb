//! Openings: what they are, what is kept free round them, how far they may move, and which of them stay level.

use serde::Serialize;

use super::outline::{Point, Ring, bounds};
use crate::catalogue::Figure;
use crate::quantity::Length;

/// What an opening is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum OpeningKind {
    /// A plain hole in the covering.
    #[default]
    Opening,
    /// A window in the plane of the slope.
    RoofWindow,
    /// A stack of flues.
    Chimney,
    /// A pipe.
    Pipe,
    /// A way out on to the roof.
    Hatch,
    /// The foot of a dormer on the slope.
    Dormer,
}

impl OpeningKind {
    /// Every kind.
    pub const ALL: [Self; 6] =
        [Self::Opening, Self::RoofWindow, Self::Chimney, Self::Pipe, Self::Hatch, Self::Dormer];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Opening => "opening",
            Self::RoofWindow => "roof-window",
            Self::Chimney => "chimney",
            Self::Pipe => "pipe",
            Self::Hatch => "hatch",
            Self::Dormer => "dormer",
        }
    }
}

/// What a chimney or pipe carries off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Flue {
    /// A flue of brick: timber keeps a published distance.
    Brick,
    /// Another flue: its maker says how far timber stays away.
    Other,
    /// No flue at all.
    None,
}

impl Flue {
    /// Every flue, with its word.
    pub const ALL: &'static [(&'static str, Self)] =
        &[("brick", Self::Brick), ("other", Self::Other), ("none", Self::None)];
}

/// How far the covering stays away on one side, and who says so.
#[derive(Debug, Clone, PartialEq)]
pub struct Clearance {
    /// In metres.
    pub by_m: f64,
    /// The rule, where the survey says nothing.
    pub rule: Option<Figure<Length>>,
}

/// How far the covering stays away from an opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Clearances {
    /// Below it.
    pub below: Clearance,
    /// Above it.
    pub above: Clearance,
    /// To its left and right.
    pub beside: Clearance,
}

/// How far an opening may be moved, in metres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moves {
    /// Up the slope.
    pub up_m: f64,
    /// Down the slope.
    pub down_m: f64,
    /// To the left.
    pub left_m: f64,
    /// To the right.
    pub right_m: f64,
    /// The step.
    pub step_m: f64,
}

impl Moves {
    /// Whether it may be moved at all.
    #[must_use]
    pub fn is_none(&self) -> bool {
        [self.up_m, self.down_m, self.left_m, self.right_m].iter().all(|by| *by < self.step_m)
    }
}

/// The lead round an opening, as far as the survey states it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Flashing {
    /// The code of the lead.
    pub lead_code: Option<u32>,
    /// The width of the pieces at sill and sides.
    pub width: Option<Length>,
    /// The width of the piece at the head.
    pub head_width: Option<Length>,
    /// How far the pieces at sill and head go on past each corner.
    pub past_corner: Option<Length>,
}

/// A hole in the covering.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// What it is called.
    pub name: String,
    /// What it is.
    pub kind: OpeningKind,
    /// Its corners, anticlockwise.
    pub outline: Ring,
    /// Its corners with the clearance around it: what the covering leaves free.
    pub cleared: Ring,
    /// The clearance round it.
    pub clearances: Clearances,
    /// Its flue.
    pub flue: Flue,
    /// Whether it is there already.
    pub existing: bool,
    /// Whether its lower and upper side are fixed points for the gauge.
    pub fixed_point: bool,
    /// How far it may be moved.
    pub moves: Moves,
    /// The opening or row that it stays level with.
    pub level_with: Option<String>,
    /// The lead round it.
    pub flashing: Flashing,
    /// How high the underlay is turned up its sides, if stated.
    pub underlay_upstand: Option<Length>,
    /// How wide a collar of underlay lies round it, if stated.
    pub underlay_collar: Option<Length>,
}

impl Opening {
    /// The lower left and upper right corner of what it takes up.
    #[must_use]
    pub fn bounds(&self) -> (Point, Point) {
        bounds(&self.outline)
    }

    /// The same with its clearance.
    #[must_use]
    pub fn cleared_bounds(&self) -> (Point, Point) {
        bounds(&self.cleared)
    }

    /// Its width and height up the slope, in metres.
    #[must_use]
    pub fn size_m(&self) -> (f64, f64) {
        let (low, high) = self.bounds();
        (high.u - low.u, high.v - low.v)
    }

    /// The opening moved to the right and up the slope, in metres.
    #[must_use]
    pub fn moved(&self, right_m: f64, up_m: f64) -> Self {
        Self {
            outline: moved_ring(&self.outline, right_m, up_m),
            cleared: moved_ring(&self.cleared, right_m, up_m),
            ..self.clone()
        }
    }
}

/// A ring moved to the right and up.
pub(crate) fn moved_ring(ring: &[Point], right_m: f64, up_m: f64) -> Ring {
    ring.iter().map(|p| Point::new(p.u + right_m, p.v + up_m)).collect()
}

/// The rows of openings that stay level with each other, as places in the list: each opening is in exactly one, alone
/// if nothing ties it to another.
#[must_use]
pub fn rows_of(openings: &[Opening]) -> Vec<Vec<usize>> {
    let mut row_of: Vec<usize> = (0..openings.len()).collect();
    let tied = |one: &Opening, other: &Opening| match (&one.level_with, &other.level_with) {
        (Some(row), _) if *row == other.name => true,
        (Some(row), Some(others)) => row == others,
        _ => false,
    };
    for (i, one) in openings.iter().enumerate() {
        for (j, other) in openings.iter().enumerate() {
            if i != j && tied(one, other) {
                let (Some(&from), Some(&to)) = (row_of.get(j), row_of.get(i)) else { continue };
                for row in row_of.iter_mut().filter(|row| **row == from) {
                    *row = to;
                }
            }
        }
    }
    let mut rows: Vec<(usize, Vec<usize>)> = Vec::new();
    for (at, row) in row_of.iter().enumerate() {
        match rows.iter_mut().find(|(known, _)| known == row) {
            Some((_, members)) => members.push(at),
            None => rows.push((*row, vec![at])),
        }
    }
    rows.into_iter().map(|(_, members)| members).collect()
}
