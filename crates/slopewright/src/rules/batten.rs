//! Sections of battens by covering and rafter spacing, and where they may be joined.

use super::{Rules, table};
use crate::catalogue::Figure;
use crate::error::Fault;
use crate::quantity::{Length, LengthIn as _, SPACE_TOLERANCE_M, limit};

#[derive(Debug, Clone)]
pub(super) struct SectionRow {
    families: Vec<String>,
    /// The widest spacing of the rafters, and whether it is itself still inside.
    spacing: Length,
    inclusive: bool,
    section: Figure<(Length, Length)>,
}

/// Where battens may be joined, and how they are nailed.
#[derive(Debug, Clone, PartialEq)]
pub struct BattenJoints {
    /// The shortest piece.
    pub piece_least: Figure<Length>,
    /// The fewest rafters that a piece spans.
    pub supports_least: Figure<u32>,
    /// The gauge over which the first of the two rules below holds, and up to which the second.
    pub gauge_break: Figure<Length>,
    /// Over the break: at most so many joints on one rafter ...
    pub wide_joints: Figure<u32>,
    /// ... in any so many rows that follow each other.
    pub wide_rows: Figure<u32>,
    /// Up to the break: at most so many joints on one rafter ...
    pub close_joints: Figure<u32>,
    /// ... in any so many rows that follow each other.
    pub close_rows: Figure<u32>,
    /// Nails where a batten crosses a rafter.
    pub nails_at_crossing: Figure<u32>,
    /// Nails where two battens meet on a rafter.
    pub nails_at_joint: Figure<u32>,
    /// The widest spacing of the nails along a counter-batten.
    pub counter_fixing_most: Figure<Length>,
}

impl BattenJoints {
    /// Nails that a joint over a rafter takes over those of a crossing.
    #[must_use]
    pub const fn nails_more_at_joint(&self) -> u32 {
        self.nails_at_joint.value.saturating_sub(self.nails_at_crossing.value)
    }

    /// At this gauge: at most so many joints on one rafter, in any so many rows that follow each other.
    #[must_use]
    pub fn stagger(&self, gauge: Length) -> (u32, u32) {
        if gauge.m() > self.gauge_break.value.m() + SPACE_TOLERANCE_M {
            (self.wide_joints.value, self.wide_rows.value)
        } else {
            (self.close_joints.value, self.close_rows.value)
        }
    }
}

impl Rules {
    /// The least section, width by depth, for a family at a spacing of the rafters; `None` if no table reaches so
    /// far. It is not for battens at ridge, hip and valley.
    #[must_use]
    pub fn batten_section(&self, family: &str, rafter_spacing: Length) -> Option<Figure<(Length, Length)>> {
        if !limit::rafter_spacing.holds(rafter_spacing.m()) {
            return None;
        }
        self.sections
            .iter()
            .filter(|row| row.families.iter().any(|name| name == family))
            .find(|row| {
                let over = rafter_spacing.m() - row.spacing.m();
                if row.inclusive { over <= SPACE_TOLERANCE_M } else { over < -SPACE_TOLERANCE_M }
            })
            .map(|row| row.section.clone())
    }

    /// Where battens may be joined.
    #[must_use]
    pub const fn batten_joint_rule(&self) -> Option<&BattenJoints> {
        self.joints.as_ref()
    }
}

const TEXT: &str = include_str!("../../data/rules/battens.toml");

pub(super) fn read_sections(faults: &mut Vec<Fault>) -> Vec<SectionRow> {
    table::read(TEXT, "section", &["joints"], faults, |entry| {
        let families = table::families_of(entry);
        let up_to = entry.length("up-to", limit::rafter_spacing);
        let under = entry.length("under", limit::rafter_spacing);
        let width = entry.length("width", limit::gauge);
        let width = entry.needed("width", width);
        let depth = entry.length("depth", limit::gauge);
        let depth = entry.needed("depth", depth);
        let inclusive = up_to.is_some();
        let spacing = entry.needed("up-to", up_to.or(under))?.value;
        let depth = depth?.value;
        Some(SectionRow { families, spacing, inclusive, section: width?.map(|width| (width, depth)) })
    })
}

pub(super) fn read_joints(faults: &mut Vec<Fault>) -> Option<BattenJoints> {
    let rows = table::read(TEXT, "joints", &["section"], faults, |entry| {
        let piece_least = entry.length("piece-least", limit::slope_length);
        let gauge_break = entry.length("gauge-break", limit::gauge);
        let counter_fixing_most = entry.length("counter-fixing-most", limit::gauge);
        let counter_fixing_most = entry.needed("counter-fixing-most", counter_fixing_most);
        let mut count = |field| {
            let found = entry.count(field);
            entry.needed(field, found)
        };
        let supports_least = count("supports-least");
        let wide_joints = count("wide-joints");
        let wide_rows = count("wide-rows");
        let close_joints = count("close-joints");
        let close_rows = count("close-rows");
        let nails_at_crossing = count("nails-at-crossing");
        let nails_at_joint = count("nails-at-joint");
        Some(BattenJoints {
            piece_least: entry.needed("piece-least", piece_least)?,
            supports_least: supports_least?,
            gauge_break: entry.needed("gauge-break", gauge_break)?,
            wide_joints: wide_joints?,
            wide_rows: wide_rows?,
            close_joints: close_joints?,
            close_rows: close_rows?,
            nails_at_crossing: nails_at_crossing?,
            nails_at_joint: nails_at_joint?,
            counter_fixing_most: counter_fixing_most?,
        })
    });
    rows.into_iter().next()
}
