//! A form as faces over shared corners.
//!
//! A form is drawn once, in plan: corners, and faces that run round them. From that follow the outline of each slope
//! in its own plane, and the joints: an edge that two faces share is one joint.

use std::collections::BTreeMap;

use super::super::joint::is_shared;
use super::super::outline::Point;
use super::super::roof::EdgeRole;
use super::super::shape::NamedOutline;
use crate::quantity::Pitch;

/// Corners nearer than this are one: a thousandth of a millimetre.
pub(super) const ONE_CORNER_M: f64 = 1e-6;

/// An edge of a face: the corner it starts from, its name on the face, and what it is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FaceEdge {
    from: usize,
    name: String,
    role: EdgeRole,
}

/// One face of a form.
#[derive(Debug, Clone)]
pub(super) struct Face {
    /// Its part of the slope's name.
    pub(super) side: String,
    /// Its pitch.
    pub(super) pitch: Pitch,
    /// The direction of its eaves in plan, left to right as seen from outside, of length one.
    along: Point,
    /// Its edges anticlockwise, the first from the left end of the eaves.
    edges: Vec<FaceEdge>,
}

/// The faces of a form over its corners in plan: `u` along the front eaves, `v` to the rear.
#[derive(Debug, Default)]
pub(super) struct Faces {
    corners: Vec<Point>,
    faces: Vec<Face>,
}

/// The two sides of a joint, each as the face's side and the edge's name.
pub(in super::super) type SharedEdge = [(String, String); 2];

impl Faces {
    /// The corner at a place in plan, the one that is there already if there is one.
    pub(super) fn corner(&mut self, u: f64, v: f64) -> usize {
        let here = Point::new(u, v);
        if let Some(known) = self.corners.iter().position(|other| here.minus(*other).length() < ONE_CORNER_M)
        {
            return known;
        }
        self.corners.push(here);
        self.corners.len() - 1
    }

    /// Adds a face that runs round some corners, each with the name and role of the edge that starts there. An edge
    /// whose two corners are one is left out.
    pub(super) fn add<N: Into<String>>(
        &mut self,
        side: &str,
        pitch: Pitch,
        (right, rear): (f64, f64),
        round: Vec<(usize, N, EdgeRole)>,
    ) {
        let ends: Vec<usize> = round.iter().map(|(from, ..)| *from).collect();
        let next = ends.iter().cycle().skip(1);
        let edges = round
            .into_iter()
            .zip(next)
            .filter(|((from, ..), to)| from != *to)
            .map(|((from, name, role), _)| FaceEdge { from, name: name.into(), role })
            .collect();
        self.faces.push(Face { side: side.to_owned(), pitch, along: Point::new(right, rear), edges });
    }

    /// The faces in the order they were added.
    pub(super) fn faces(&self) -> &[Face] {
        &self.faces
    }

    /// The outline of a face in its own plane.
    pub(super) fn outline(&self, face: &Face) -> NamedOutline {
        let place = |edge: &FaceEdge| self.corners.get(edge.from).copied().unwrap_or(Point::new(0.0, 0.0));
        let origin = face.edges.first().map_or(Point::new(0.0, 0.0), place);
        let up = face.pitch.slope_factor();
        NamedOutline {
            corners: face
                .edges
                .iter()
                .map(|edge| {
                    let from = place(edge).minus(origin);
                    Point::new(face.along.dot(from), face.along.cross(from) * up)
                })
                .collect(),
            names: face.edges.iter().map(|edge| edge.name.clone()).collect(),
            roles: face.edges.iter().map(|edge| Some(edge.role)).collect(),
            tape: None,
        }
    }

    /// The edges that two faces share.
    pub(super) fn shared(&self) -> Vec<SharedEdge> {
        let mut waiting: BTreeMap<(usize, usize), (&Face, &FaceEdge)> = BTreeMap::new();
        let mut shared = Vec::new();
        for face in &self.faces {
            let next = face.edges.iter().cycle().skip(1);
            for (edge, to) in face.edges.iter().zip(next) {
                if !is_shared(edge.role) {
                    continue;
                }
                // The neighbour runs along it the other way.
                match waiting.remove(&(to.from, edge.from)) {
                    Some((other, its)) => shared.push([
                        (other.side.clone(), its.name.clone()),
                        (face.side.clone(), edge.name.clone()),
                    ]),
                    None => drop(waiting.insert((edge.from, to.from), (face, edge))),
                }
            }
        }
        shared
    }
}
