//! A checked roof: slopes in their own planes, edges with roles, openings. Whatever is in here has passed the check.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::edgework::EdgeworkChoice;
use super::joint::{EdgeRef, Joint};
use super::opening::Opening;
use super::outline::{Point, Ring, bounds, signed_area};
use super::tape::Tape;
use crate::catalogue::{Batten, Covering, Nail, Underlay};
use crate::quantity::{Area, CoverMass, Length, Pitch, m2};
use crate::rules::Exposure;

/// What an edge of a slope is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum EdgeRole {
    /// The low edge.
    Eaves,
    /// The level top edge where two slopes meet.
    Ridge,
    /// A raking edge at a gable.
    Verge,
    /// An external raking joint of two slopes.
    Hip,
    /// An internal raking joint of two slopes.
    Valley,
    /// The level joint of a lower and an upper slope, as on a mansard.
    ChangeOfPitch,
    /// A side edge against a wall.
    SideAbutment,
    /// A top edge against a wall.
    TopAbutment,
}

impl EdgeRole {
    /// Every role.
    pub const ALL: [Self; 8] = [
        Self::Eaves,
        Self::Ridge,
        Self::Verge,
        Self::Hip,
        Self::Valley,
        Self::ChangeOfPitch,
        Self::SideAbutment,
        Self::TopAbutment,
    ];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Eaves => "eaves",
            Self::Ridge => "ridge",
            Self::Verge => "verge",
            Self::Hip => "hip",
            Self::Valley => "valley",
            Self::ChangeOfPitch => "change-of-pitch",
            Self::SideAbutment => "side-abutment",
            Self::TopAbutment => "top-abutment",
        }
    }

    /// The role of a word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.word() == word)
    }
}

/// One edge of a slope.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// Its name on this slope: `eaves`, `right`, `top`, `left`, or the number of an outline's edge.
    pub name: String,
    /// Where it starts; the slope lies to its left.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// What it is.
    pub role: EdgeRole,
    /// Whether the survey or the form says what it is, or its direction does.
    pub role_is_stated: bool,
    /// How far the covering reaches past it (positive) or stops short of it (negative), in metres, if stated.
    pub stated_reach: Option<f64>,
}

impl Edge {
    /// Whether courses start from it: eaves, or the upper slope's side of a change of pitch.
    #[must_use]
    pub fn is_foot(&self) -> bool {
        match self.role {
            EdgeRole::Eaves => true,
            EdgeRole::ChangeOfPitch => self.to.u > self.from.u,
            _ => false,
        }
    }

    /// Its true length on the slope.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.to.minus(self.from).length()
    }
}

/// How a covering is to be laid on a slope.
#[derive(Debug, Clone)]
pub struct Laying {
    /// The format.
    pub covering: Arc<Covering>,
    /// The least headlap wanted.
    pub headlap: Option<Length>,
    /// The largest gauge wanted.
    pub gauge: Option<Length>,
    /// The sideways shift of alternate courses, as a share of the cover width.
    pub bond_shift: f64,
    /// Where the first whole unit stands.
    pub start: Start,
    /// The least width of a cut unit.
    pub least_cut: Option<Length>,
    /// How cut pieces are made.
    pub cuts: CutPolicy,
    /// The width of a saw cut through a unit.
    pub saw_kerf: Option<Length>,
}

/// How cut pieces are made. The result says which was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum CutPolicy {
    /// Every cut piece takes a unit of its own.
    #[default]
    None,
    /// Two cut pieces come out of one unit where their widths allow it, within a slope and a kind of course.
    Pairs,
}

impl CutPolicy {
    /// Every policy, with its word.
    pub const ALL: &'static [(&'static str, Self)] = &[("none", Self::None), ("pairs", Self::Pairs)];
}

/// Where the first whole unit of the first course stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Start {
    /// At the left edge.
    #[default]
    Left,
    /// At the right edge.
    Right,
    /// With its middle on the middle of the slope.
    Centre,
}

/// One flat face of a roof, in its own plane.
#[derive(Debug, Clone)]
pub struct Slope {
    /// What it is called.
    pub name: String,
    /// Its pitch.
    pub pitch: Pitch,
    /// Its edges in order, anticlockwise.
    pub edges: Vec<Edge>,
    /// Its openings.
    pub openings: Vec<Opening>,
    /// What it is covered with.
    pub laying: Laying,
    /// How well its measures close, if it was measured by tape with diagonals.
    pub tape: Option<Tape>,
}

impl Slope {
    /// Its corners, anticlockwise.
    #[must_use]
    pub fn outline(&self) -> Ring {
        self.edges.iter().map(|edge| edge.from).collect()
    }

    /// The area of its outline, openings not deducted.
    #[must_use]
    pub fn gross_area(&self) -> Area {
        m2(signed_area(&self.outline()))
    }

    /// The level of its lowest and highest corner, in metres up the slope.
    #[must_use]
    pub fn levels_m(&self) -> (f64, f64) {
        let (low, high) = bounds(&self.outline());
        (low.v, high.v)
    }
}

/// The battens of a roof and what they are nailed to.
#[derive(Debug, Clone)]
pub struct BattenChoice {
    /// The batten, if stated.
    pub batten: Option<Arc<Batten>>,
    /// The distance between rafter centres, if stated.
    pub rafter_spacing: Option<Length>,
    /// The first rafter's centre from the left end of the eaves.
    pub first_rafter: Option<Length>,
    /// Whether counter-battens lie on the rafters.
    pub counter_battens: bool,
    /// What battens are cut from.
    pub bars: BattenBars,
}

/// What battens are cut from, as far as the survey says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BattenBars {
    /// The lengths that can be bought.
    pub lengths: Vec<Length>,
    /// The lengths that counter-battens can be bought in.
    pub counter_lengths: Vec<Length>,
    /// The lengths that ridge and hip battens and fillets can be bought in.
    pub fillet_lengths: Vec<Length>,
    /// The width of a saw cut.
    pub kerf: Option<Length>,
    /// The shortest offcut that is kept.
    pub least_offcut: Option<Length>,
}

/// The underlay of a roof.
#[derive(Debug, Clone)]
pub struct UnderlayChoice {
    /// The format.
    pub underlay: Arc<Underlay>,
    /// Whether it lies on boards.
    pub supported: bool,
    /// The least horizontal lap wanted.
    pub horizontal_lap: Option<Length>,
    /// The least end lap wanted.
    pub end_lap: Option<Length>,
    /// How many days it is to lie open.
    pub days_open: Option<u32>,
    /// How many days it may lie open, if the survey says so.
    pub days_open_most: Option<u32>,
}

/// How the units are fixed, where the survey says so.
#[derive(Debug, Clone, Default)]
pub struct FixingChoice {
    /// The nail for the units.
    pub nail: Option<Arc<Nail>>,
    /// How many nails a fixed unit takes.
    pub nails_each: Option<u32>,
    /// Every how many courses all units are fixed.
    pub every_course: Option<u32>,
    /// Whether the units at the edges are all fixed.
    pub edges: Option<bool>,
    /// The pitch from which every unit is fixed.
    pub all_from_pitch: Option<Pitch>,
    /// The nail for the battens.
    pub batten_nail: Option<Arc<Nail>>,
}

/// The timbers round openings, as far as the survey states them.
#[derive(Debug, Clone, Default)]
pub struct TimberChoice {
    /// The width of a rafter, along the eaves.
    pub rafter_width: Option<Length>,
    /// The depth of a rafter.
    pub rafter_depth: Option<Length>,
    /// The key of the rule for counting them.
    pub rule: Option<String>,
    /// Nails in a hanger.
    pub hanger_nails: Option<u32>,
    /// The nail for the hangers.
    pub hanger_nail: Option<Arc<Nail>>,
    /// The lengths that it can be bought in.
    pub stock: Vec<Length>,
}

/// The covering that comes off.
#[derive(Debug, Clone, Default)]
pub struct OldCovering {
    /// Its mass for each square metre of slope, and how that is known.
    pub mass: Option<(CoverMass, String)>,
    /// Whether it may hold asbestos.
    pub may_hold_asbestos: bool,
}

/// A roof that has passed the check.
#[derive(Debug, Clone)]
pub struct Roof {
    /// What the job is called.
    pub name: String,
    /// The SHA-256 of the survey that it was read from: [`SurveyDocument::sha256`](super::SurveyDocument::sha256).
    pub survey_sha256: String,
    /// How exposed the site is.
    pub exposure: Exposure,
    /// Its slopes.
    pub slopes: Vec<Slope>,
    /// The edges that two of them share.
    pub joints: Vec<Joint>,
    /// Its battens.
    pub battens: BattenChoice,
    /// Its underlay, if any is wanted.
    pub underlay: Option<UnderlayChoice>,
    /// Its fixings.
    pub fixings: FixingChoice,
    /// How its edges are made.
    pub edgework: EdgeworkChoice,
    /// The rule that it is measured by, if any.
    pub measuring: Option<String>,
    /// The timbers round its openings.
    pub timbers: TimberChoice,
    /// What comes off.
    pub old_covering: OldCovering,
}

impl Roof {
    /// The edges that no joint has, in the order of the slopes.
    pub fn lone_edges(&self) -> impl Iterator<Item = (EdgeRef, &Edge)> {
        self.slopes.iter().enumerate().flat_map(move |(slope, of)| {
            of.edges.iter().enumerate().filter_map(move |(edge, found)| {
                let here = EdgeRef { slope, edge };
                let is_joined = self.joints.iter().any(|joint| joint.sides.contains(&here));
                (!is_joined).then_some((here, found))
            })
        })
    }
}
