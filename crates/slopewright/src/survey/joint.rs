//! Joints: edges that two slopes share. Each is counted once.

use std::collections::BTreeSet;

use super::document::JointDocument;
use super::entry::Entry;
use super::reading::Reading;
use super::roof::{EdgeRole, Slope};
use crate::error::{Fault, FaultKind};
use crate::quantity::{LengthIn, figure, limit};

/// One edge of one slope of a roof.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EdgeRef {
    /// The slope, as its place in [`Roof::slopes`](super::Roof::slopes).
    pub slope: usize,
    /// The edge, as its place in [`Slope::edges`].
    pub edge: usize,
}

/// An edge that two slopes share: a ridge, hip, valley or change of pitch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// What it is.
    pub role: EdgeRole,
    /// The two edges.
    pub sides: [EdgeRef; 2],
    /// Its true length: the mean of the two sides, in metres.
    pub length_m: f64,
    /// By how much the two sides differ, in metres.
    pub difference_m: f64,
}

impl Joint {
    /// The other side of one of its edges.
    #[must_use]
    pub fn other_side(&self, side: EdgeRef) -> Option<EdgeRef> {
        let [one, other] = self.sides;
        if side == one {
            Some(other)
        } else if side == other {
            Some(one)
        } else {
            None
        }
    }

    /// The joint of two edges; `None` if one of them is not there.
    #[must_use]
    pub fn between(slopes: &[Slope], sides: [EdgeRef; 2]) -> Option<Self> {
        let [one, other] = sides;
        let edge = |side: EdgeRef| slopes.get(side.slope)?.edges.get(side.edge);
        let (first, second) = (edge(one)?, edge(other)?);
        let (a, b) = (first.length_m(), second.length_m());
        Some(Self { role: first.role, sides, length_m: f64::midpoint(a, b), difference_m: (a - b).abs() })
    }
}

/// How far two measures of one joint may differ where the survey says nothing: a tape survey is no better
/// (common practice, no source).
pub(super) const TOLERANCE_M: f64 = 0.02;

/// Whether an edge of this role is the edge of two slopes.
pub(crate) const fn is_shared(role: EdgeRole) -> bool {
    matches!(role, EdgeRole::Ridge | EdgeRole::Hip | EdgeRole::Valley | EdgeRole::ChangeOfPitch)
}

impl Reading {
    /// The joints that the survey states between slopes: two edges each, with one role and one length.
    pub(super) fn joints(
        &mut self,
        entries: &Entry<Vec<Entry<JointDocument>>>,
        slopes: &[Slope],
        taken: &mut BTreeSet<EdgeRef>,
    ) -> Vec<Joint> {
        let mut joints = Vec::new();
        for (number, joint) in self.list("joint", entries, Some((&limit::joints, FaultKind::TooManyJoints))) {
            self.within(format!("joint {number}"), |reading| {
                reading.unknown(JointDocument::FIELDS, &joint.unknown);
                if let Some(read) = reading.joint(joint, slopes, taken) {
                    joints.push(read);
                }
            });
        }
        joints
    }

    fn joint(
        &mut self,
        joint: &JointDocument,
        slopes: &[Slope],
        taken: &mut BTreeSet<EdgeRef>,
    ) -> Option<Joint> {
        let tolerance = self.length("tolerance", &joint.tolerance, &limit::overhang);
        let _ = self.needed("between", &joint.between, "two edges, each as \"slope: edge\"");
        let names: Vec<&String> =
            self.list("between", &joint.between, None).into_iter().map(|(_, name)| name).collect();
        let [one, other] = names.as_slice() else {
            if !joint.between.is_absent() {
                self.fault(
                    Fault::new(FaultKind::JointUnreadable, "is not between two edges")
                        .given(format!("{} edges", names.len()))
                        .allowed("two edges, each as \"slope: edge\""),
                );
            }
            return None;
        };
        let sides = [self.edge_ref(one, slopes), self.edge_ref(other, slopes)];
        let [Some(one), Some(other)] = sides else { return None };
        for side in [one, other] {
            if !taken.insert(side) {
                self.fault(
                    Fault::new(FaultKind::JointTwice, "takes an edge that another joint has")
                        .given(edge_name(slopes, side)),
                );
                return None;
            }
        }
        let read = Joint::between(slopes, [one, other])?;
        let role_of = |side: EdgeRef| {
            slopes.get(side.slope).and_then(|slope| slope.edges.get(side.edge)).map(|edge| edge.role)
        };
        if role_of(one) != role_of(other) || !is_shared(read.role) {
            let words: Vec<&str> = [one, other].into_iter().filter_map(role_of).map(EdgeRole::word).collect();
            self.fault(
                Fault::new(FaultKind::JointRolesDiffer, "is between edges that cannot be one joint")
                    .given(words.join(" and "))
                    .allowed("two ridges, two hips, two valleys or two changes of pitch"),
            );
            return None;
        }
        let allowed = tolerance.map_or(TOLERANCE_M, LengthIn::m);
        if read.difference_m > allowed + 1e-9 {
            self.fault(
                Fault::new(
                    FaultKind::JointLengthsDiffer,
                    format!("has sides that differ by {} mm", figure(read.difference_m * 1000.0, 0)),
                )
                .given(format!("{} and {}", edge_name(slopes, one), edge_name(slopes, other)))
                .allowed(format!("a difference of up to {} mm", figure(allowed * 1000.0, 0))),
            );
            return None;
        }
        Some(read)
    }

    /// The edge that `slope: edge` names.
    fn edge_ref(&mut self, name: &str, slopes: &[Slope]) -> Option<EdgeRef> {
        let found = name.rsplit_once(':').and_then(|(slope, edge)| {
            let slope = slopes.iter().position(|other| other.name == slope.trim())?;
            let edge = slopes.get(slope)?.edges.iter().position(|other| other.name == edge.trim())?;
            Some(EdgeRef { slope, edge })
        });
        if found.is_none() {
            let known: Vec<&str> = slopes.iter().map(|slope| slope.name.as_str()).collect();
            self.fault(
                Fault::new(
                    FaultKind::JointUnreadable,
                    format!("names an edge '{name}' that the roof does not have"),
                )
                .given(format!("\"{name}\""))
                .allowed(format!("\"slope: edge\" with a slope of {}", known.join(", "))),
            );
        }
        found
    }
}

fn edge_name(slopes: &[Slope], side: EdgeRef) -> String {
    let Some(slope) = slopes.get(side.slope) else { return String::new() };
    let Some(edge) = slope.edges.get(side.edge) else { return slope.name.clone() };
    format!("{}: {} ({} m)", slope.name, edge.name, figure(edge.length_m(), 3))
}
