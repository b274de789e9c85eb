//! Setting out: from a checked slope to courses, gauge, bond and batten lines.
//!
//! [`Layout::new`] follows the order of the work: the covered region, then up the slope, then across it. It keeps
//! numbers; [`Layout::working`] and [`Layout::findings`] put them into words when somebody asks.

mod across;
mod brief;
pub mod cells;
mod courses;
pub(crate) mod layout;
mod levels;
pub(crate) mod region;
mod short_bands;
mod words;

#[cfg(test)]
mod tests;

pub use across::Across;
pub(crate) use brief::Brief;
pub use courses::{CourseKind, GaugeBand, Gauging};
pub use layout::{BattenLine, Course, EdgeReach, HeadlapNeed, Layout, ReachSource};
pub(crate) use levels::Levels;
pub use region::Region;
pub(crate) use region::ShadowRoom;
