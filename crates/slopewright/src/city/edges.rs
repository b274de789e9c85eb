//! What the edges of roof surfaces are, by the surfaces that share them.
//!
//! An edge runs from one corner to the next with its surface on the left; the surface on the other side runs along it the
//! other way. Whether the two make a ridge, a hip, a valley or a change of pitch follows from which way each goes from
//! the edge, up or down, and from whether the second lies below the plane of the first (convex) or above it.

use std::collections::HashMap;

use super::faces::{BuildingFaces, Face};
use super::plane::{Place, cross, dot, length, minus};
use super::read::{CitySurface, FaceKind};
use crate::survey::EdgeRole;

/// What lies on the other side of an edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Beyond {
    /// A slope.
    Slope,
    /// A roof surface that is no slope: flat, small or upright.
    OtherRoof,
    /// A wall that goes up from the edge.
    WallUp,
    /// A wall that goes down from it.
    WallDown,
    /// Nothing that the model has.
    Nothing,
}

impl Beyond {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Slope => "slope",
            Self::OtherRoof => "other-roof",
            Self::WallUp => "wall-up",
            Self::WallDown => "wall-down",
            Self::Nothing => "nothing",
        }
    }
}

/// An edge of a roof surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CityEdge {
    /// What it is.
    pub role: EdgeRole,
    /// What lies beyond it.
    pub beyond: Beyond,
    /// The roof surface on its other side and the edge there, as places in the building's lists.
    pub shared_with: Option<(usize, usize)>,
    /// Its true length, in metres.
    pub length_m: f64,
}

/// An edge that two roof surfaces share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CityJoint {
    /// What it is.
    pub role: EdgeRole,
    /// The two sides: roof surface and edge, as places in the building's lists.
    pub sides: [(usize, usize); 2],
    /// Its true length, in metres.
    pub length_m: f64,
}

/// Sine of five degrees: an edge that rises by less in the plane of its slope is level.
const LEVEL: f64 = 0.087;

/// Where an edge lies: its face and its place in the outline. An edge of an opening has no place.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Site {
    face: usize,
    edge: Option<usize>,
}

/// Finds what every edge of every roof surface is, and the joints among them.
pub(super) fn classify(
    faces: &BuildingFaces,
    numbers: &[Option<usize>],
    surfaces: &mut [CitySurface],
) -> Vec<CityJoint> {
    let mut sites: HashMap<(usize, usize), Vec<Site>> = HashMap::new();
    for (face, of) in faces.faces.iter().enumerate() {
        for (ring, corners) in of.rings.iter().enumerate() {
            for (at, ((from, _), (to, _))) in sides(corners).enumerate() {
                let edge = (ring == 0).then_some(at);
                sites.entry((from, to)).or_default().push(Site { face, edge });
            }
        }
    }
    let kinds: Vec<FaceKind> = surfaces.iter().map(|surface| surface.face).collect();
    let kind_of =
        |face: usize| numbers.get(face).copied().flatten().and_then(|number| kinds.get(number).copied());
    let mut joints = Vec::new();
    for (at, face) in faces.faces.iter().enumerate() {
        let Some((surface, kind)) = numbers.get(at).copied().flatten().zip(kind_of(at)) else { continue };
        let Some(outline) = face.rings.first() else { continue };
        let edges: Vec<CityEdge> = sides(outline)
            .enumerate()
            .map(|(edge, ((from, a), (to, b)))| {
                let site = beside(faces, &sites, at, (from, to));
                let other = site.and_then(|site| Some((faces.faces.get(site.face)?, kind_of(site.face))));
                let number = site.and_then(|site| numbers.get(site.face).copied().flatten());
                let shared_with = number.zip(site.and_then(|site| site.edge));
                let (role, beyond) = role((face, kind), (a, b), other);
                let length_m = length(minus(b, a));
                if let Some(there) = shared_with
                    && (surface, edge) < there
                {
                    joints.push(CityJoint { role, sides: [(surface, edge), there], length_m });
                }
                CityEdge { role, beyond, shared_with, length_m }
            })
            .collect();
        if let Some(surface) = surfaces.get_mut(surface) {
            surface.edges = edges;
        }
    }
    joints
}

fn sides(ring: &[(usize, Place)]) -> impl Iterator<Item = ((usize, Place), (usize, Place))> + '_ {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// The face on the other side of an edge: a roof before a wall, one of the same object before one of another.
fn beside(
    faces: &BuildingFaces,
    sites: &HashMap<(usize, usize), Vec<Site>>,
    face: usize,
    (from, to): (usize, usize),
) -> Option<Site> {
    let here = faces.faces.get(face)?;
    let there = sites.get(&(to, from)).into_iter().flatten();
    // In a loose collection of surfaces a neighbour may run the same way.
    let along = sites.get(&(from, to)).into_iter().flatten();
    let rank = |site: &Site, runs_back: bool| {
        let of = faces.faces.get(site.face)?;
        Some((runs_back, of.object == here.object, of.is_roof))
    };
    there
        .map(|site| (site, true))
        .chain(along.map(|site| (site, false)))
        .filter(|(site, _)| site.face != face)
        .max_by_key(|(site, runs_back)| rank(site, *runs_back))
        .map(|(site, _)| *site)
}

/// What an edge from `a` to `b` of a roof surface is, with what lies beyond it. Seen from a roof surface beyond, it is the
/// same.
fn role(
    (here, kind): (&Face, FaceKind),
    (a, b): (Place, Place),
    other: Option<(&Face, Option<FaceKind>)>,
) -> (EdgeRole, Beyond) {
    let way = minus(b, a);
    let size = length(way).max(f64::MIN_POSITIVE);
    let way = way.map(|part| part / size);
    let into_here = cross(here.outward, way);
    let steepest = [Some(here), other.filter(|(_, kind)| kind.is_some()).map(|(face, _)| face)]
        .into_iter()
        .flatten()
        .map(|face| face.outward[0].hypot(face.outward[1]))
        .fold(0.0_f64, f64::max);
    let is_level = way[2].abs() <= LEVEL * steepest;
    let is_foot = into_here[2] > 0.0;
    let lone = match (is_level, is_foot) {
        (true, true) => EdgeRole::Eaves,
        (true, false) => EdgeRole::Ridge,
        (false, _) => EdgeRole::Verge,
    };
    let Some((other, other_kind)) = other else { return (lone, Beyond::Nothing) };
    let inside = cross(other.outward, way);
    let into_other = if runs_back(other, (a, b)) { inside.map(|part| -part) } else { inside };
    let Some(other_kind) = other_kind else {
        if into_other[2] <= LEVEL {
            return (lone, Beyond::WallDown);
        }
        let role = match (is_level, is_foot) {
            (true, false) => EdgeRole::TopAbutment,
            (false, _) => EdgeRole::SideAbutment,
            // A slope that falls towards a wall ends in a gutter there.
            (true, true) => EdgeRole::Eaves,
        };
        return (role, Beyond::WallUp);
    };
    let beyond = if other_kind == FaceKind::Slope { Beyond::Slope } else { Beyond::OtherRoof };
    let is_foot_of_other = into_other[2] > 0.0;
    let role = match (is_level, kind == FaceKind::Flat, other_kind == FaceKind::Flat) {
        // A slope drains on to a flat roof as into a gutter.
        (true, false, true) if is_foot => EdgeRole::Eaves,
        (true, true, false) if is_foot_of_other => EdgeRole::Eaves,
        (true, is_flat, other_is_flat) if is_flat || other_is_flat => EdgeRole::ChangeOfPitch,
        (true, ..) if is_foot && is_foot_of_other => EdgeRole::Valley,
        (true, ..) if !is_foot && !is_foot_of_other => EdgeRole::Ridge,
        (true, ..) => EdgeRole::ChangeOfPitch,
        (false, ..) if dot(here.outward, into_other) < 0.0 => EdgeRole::Hip,
        (false, ..) => EdgeRole::Valley,
    };
    (role, beyond)
}

/// Whether a face runs along an edge from its end to its start.
fn runs_back(face: &Face, (a, b): (Place, Place)) -> bool {
    face.rings.iter().any(|ring| sides(ring).any(|((_, from), (_, to))| near(from, b) && near(to, a)))
}

fn near(one: Place, other: Place) -> bool {
    length(minus(one, other)) < crate::survey::outline::GRID_M
}
