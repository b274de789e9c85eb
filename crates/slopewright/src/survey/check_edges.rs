//! The edges of a slope: their roles, and how far the covering reaches at each.

use std::collections::BTreeMap;

use super::document::EdgeDocument;
use super::entry::Entry;
use super::outline::edges;
use super::reading::Reading;
use super::roof::{Edge, EdgeRole};
use super::shape::{NamedOutline, role_by_direction};
use crate::error::{Fault, FaultKind};
use crate::quantity::{LengthIn, limit, metres};

/// The edges of a slope by name, as the document has them.
pub(super) type EdgeTable = BTreeMap<String, Entry<EdgeDocument>>;

/// What the survey says of an edge.
struct Stated {
    role: Option<EdgeRole>,
    reach_m: Option<f64>,
}

impl Reading {
    pub(super) fn edges(
        &mut self,
        outline: &NamedOutline,
        entries: &Entry<BTreeMap<String, Entry<EdgeDocument>>>,
    ) -> Vec<Edge> {
        let nothing = BTreeMap::new();
        let stated = self.entry("edges", entries, "a table of edges").unwrap_or(&nothing);
        for (name, edge) in stated {
            if !outline.names.contains(name) {
                self.fault(
                    Fault::new(FaultKind::EdgeUnknown, format!("has no edge '{name}'"))
                        .allowed(outline.names.join(", ")),
                );
            }
            self.entry(&format!("edge '{name}'"), edge, "a table");
        }
        edges(&outline.corners)
            .zip(&outline.names)
            .enumerate()
            .map(|(at, ((from, to), name))| {
                let known = outline.roles.get(at).copied().flatten();
                let Some(edge) = stated.get(name).and_then(Entry::given) else {
                    let role = known.unwrap_or_else(|| role_by_direction(from, to));
                    return Edge {
                        name: name.clone(),
                        from,
                        to,
                        role,
                        role_is_stated: known.is_some(),
                        stated_reach: None,
                    };
                };
                let Stated { role, reach_m } = self.edge(name, edge);
                Edge {
                    name: name.clone(),
                    from,
                    to,
                    role: role.or(known).unwrap_or_else(|| role_by_direction(from, to)),
                    role_is_stated: role.or(known).is_some(),
                    stated_reach: reach_m,
                }
            })
            .collect()
    }

    /// Reads the edges of a slope without an outline, so that their faults are reported too.
    pub(super) fn edges_alone(&mut self, entries: &Entry<EdgeTable>) {
        for (name, entry) in self.entry("edges", entries, "a table of edges").into_iter().flatten() {
            if let Some(edge) = self.entry(&format!("edge '{name}'"), entry, "a table") {
                self.edge(name, edge);
            }
        }
    }

    fn edge(&mut self, name: &str, edge: &EdgeDocument) -> Stated {
        let roles: Vec<(&str, EdgeRole)> =
            EdgeRole::ALL.into_iter().map(|role| (role.word(), role)).collect();
        self.within(format!("edge '{name}'"), |reading| {
            reading.unknown(EdgeDocument::FIELDS, &edge.unknown);
            let role = reading.choice("role", &edge.role, &roles, FaultKind::RoleUnknown);
            let overhang = reading.length("overhang", &edge.overhang, &limit::overhang);
            let clearance = reading.length("clearance", &edge.clearance, &limit::overhang);
            if let (Some(overhang), Some(clearance)) = (overhang, clearance) {
                reading.fault(
                    Fault::new(FaultKind::EdgeReachTwice, "has both an overhang and a clearance")
                        .given(format!("overhang {}, clearance {}", metres(overhang), metres(clearance)))
                        .allowed("one of the two"),
                );
            }
            Stated { role, reach_m: overhang.map(LengthIn::m).or_else(|| clearance.map(|by| -by.m())) }
        })
    }
}
