//! Measuring work: which openings are deducted from the area, and what is added along edges, under a named tradition.

use std::sync::Arc;

use super::{Rules, table};
use crate::catalogue::{Figure, Source};
use crate::error::Fault;
use crate::quantity::{Area, AreaIn as _, Length, limit, m2};

/// A tradition of measuring roof coverings.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuringRule {
    /// The key by which a user asks for it.
    pub key: String,
    /// The name for people.
    pub name: String,
    /// Openings up to this area stay in; `None` if every opening is deducted.
    pub left_in: Option<Figure<Area>>,
    /// Whether an opening of just that area stays in too.
    pub left_in_inclusive: bool,
    /// Openings over `left_in` and up to this area are deducted by half.
    pub half_up_to: Option<Figure<Area>>,
    /// Whether an opening at the boundary is deducted whatever its size.
    pub boundary_always: bool,
    /// Width added along the edges of openings.
    pub add_at_openings: Option<Figure<Length>>,
    /// Width added along hips and valleys.
    pub add_at_hips_and_valleys: Option<Figure<Length>>,
    /// Whether that width is added on each of the two sides, and not once for both together.
    pub each_side: bool,
    /// Width added along eaves.
    pub add_at_eaves: Option<Figure<Length>>,
    /// A width along eaves that goes by the covering, where it is not a fixed one.
    pub add_at_eaves_of: Option<EavesMeasure>,
    /// Where it comes from.
    pub source: Arc<Source>,
    /// Doubts and limits.
    pub note: Option<Arc<str>>,
}

/// A width along eaves that goes by the covering.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EavesMeasure {
    /// Half the length of a unit.
    HalfUnit,
    /// One gauge: the margin of a course.
    Gauge,
}

/// Areas closer than this are the same area.
const SAME_AREA_M2: f64 = 1e-9;

impl MeasuringRule {
    /// What is deducted for an opening of this area.
    #[must_use]
    pub fn deduction(&self, opening: Area, at_boundary: bool) -> Area {
        let at_most = |limit: &Figure<Area>, inclusive: bool| {
            let over = opening.m2() - limit.value.m2();
            if inclusive { over <= SAME_AREA_M2 } else { over < -SAME_AREA_M2 }
        };
        if at_boundary && self.boundary_always {
            return opening;
        }
        if self.left_in.as_ref().is_some_and(|limit| at_most(limit, self.left_in_inclusive)) {
            return m2(0.0);
        }
        if self.half_up_to.as_ref().is_some_and(|limit| at_most(limit, true)) {
            return opening / 2.0;
        }
        opening
    }
}

impl Rules {
    /// The tradition with this key.
    #[must_use]
    pub fn measuring_rule(&self, key: &str) -> Option<&MeasuringRule> {
        self.measuring.iter().find(|rule| rule.key == key)
    }

    /// Every tradition.
    #[must_use]
    pub fn measuring_rules(&self) -> &[MeasuringRule] {
        &self.measuring
    }
}

pub(super) fn read(faults: &mut Vec<Fault>) -> Vec<MeasuringRule> {
    table::read(include_str!("../../data/rules/measuring.toml"), "tradition", &[], faults, |entry| {
        let key = entry.key();
        let name = entry.text("name");
        let name = entry.needed("name", name);
        let up_to = entry.area("left-in-up-to");
        let under = entry.area("left-in-under");
        let half_up_to = entry.area("half-up-to");
        let boundary_always = entry.flag("boundary-always").unwrap_or(false);
        let mut width = |field| entry.length(field, limit::gauge);
        let add_at_openings = width("add-at-openings");
        let add_at_hips_and_valleys = width("add-at-hips-and-valleys");
        let add_at_eaves = width("add-at-eaves");
        Some(MeasuringRule {
            key: key?,
            name: name?,
            left_in_inclusive: up_to.is_some(),
            left_in: up_to.or(under),
            half_up_to,
            boundary_always,
            add_at_openings,
            add_at_hips_and_valleys,
            each_side: entry.flag("hips-and-valleys-each-side").unwrap_or(false),
            add_at_eaves,
            add_at_eaves_of: entry.choice(
                "add-at-eaves-of",
                &[("half-unit", EavesMeasure::HalfUnit), ("gauge", EavesMeasure::Gauge)],
            ),
            source: entry.own_source(),
            note: entry.text("note").map(Arc::from),
        })
    })
}
