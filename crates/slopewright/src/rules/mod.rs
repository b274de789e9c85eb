//! Published limits as typed look-ups: headlaps, pitches, underlay laps, batten sections and joints, fixing patterns,
//! lead, ventilation, edges, measurement.
//!
//! The figures are data (`data/rules/*.toml`, one file for each table) and come back as [`Figure`]s, so that the
//! working can name their source. A rule that is not known for a case gives `None`, never a guess.
//!
//! ```
//! use slopewright::catalogue::Catalogue;
//! use slopewright::quantity::{Pitch, mm};
//! use slopewright::rules::{Exposure, Rules};
//! let tile = Catalogue::standard().covering("plain-tile-265x165").unwrap();
//! let pitch = Pitch::from_degrees(40.0).unwrap();
//! let headlap = Rules::standard().headlap(tile, pitch, Exposure::Moderate).unwrap();
//! assert_eq!(headlap.value, mm(65.0));
//! assert!(headlap.citation().starts_with("NHBC Standards"));
//! ```

mod batten;
mod edge;
mod edgework;
mod fixing;
mod headlap;
mod lead;
mod measuring;
mod opening;
mod pipe;
mod pitch;
mod steps;
mod table;
mod trimming;
mod underlay;
mod ventilation;
mod weight;

use std::sync::OnceLock;

pub use batten::BattenJoints;
pub use edge::Edges;
pub use edgework::EdgeworkRule;
pub use fixing::FixingPattern;
pub use lead::{LeadCode, LeadWork};
pub use measuring::{EavesMeasure, MeasuringRule};
pub use opening::{OpeningClearances, OpeningWork};
pub use pipe::PipeLaps;
pub use trimming::{AddedRafters, HeaderLimits, Trimming};
pub use underlay::UnderlayLaps;
pub use ventilation::Ventilation;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::catalogue::Figure;
use crate::error::Fault;

/// How hard wind and rain drive at a roof. Which of them holds for a place is for the local code to say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Exposure {
    /// In the lee of ground, trees or houses.
    Sheltered,
    /// Neither.
    Moderate,
    /// Driving rain of 56.5 litres per square metre in a spell, and over.
    Severe,
}

impl Exposure {
    /// Every exposure, with its word in files.
    pub const ALL: &'static [(&'static str, Self)] =
        &[("sheltered", Self::Sheltered), ("moderate", Self::Moderate), ("severe", Self::Severe)];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sheltered => "sheltered",
            Self::Moderate => "moderate",
            Self::Severe => "severe",
        }
    }
}

/// All rules. The look-ups are methods, each in the file of its table.
#[derive(Debug, Clone)]
pub struct Rules {
    headlaps: Vec<headlap::HeadlapTable>,
    pitches: Vec<pitch::PitchLeast>,
    underlays: Option<steps::Steps<underlay::UnderlayStep>>,
    sections: Vec<batten::SectionRow>,
    joints: Option<BattenJoints>,
    fixings: Vec<fixing::FixingTable>,
    measuring: Vec<MeasuringRule>,
    lead: Vec<LeadCode>,
    lead_work: Option<LeadWork>,
    ventilation: Option<ventilation::VentilationTable>,
    edges: Option<Edges>,
    edgework: Option<EdgeworkRule>,
    weight_change: Option<Figure<f64>>,
    openings: Vec<OpeningClearances>,
    opening_work: Option<OpeningWork>,
    trimming: Vec<Trimming>,
    pipes: Option<pipe::PipeTable>,
}

impl Rules {
    /// The built-in rules.
    #[must_use]
    pub fn standard() -> &'static Self {
        &Self::read_once().0
    }

    /// A broken built-in file must not panic: its rows are left out, and a test holds every file to no faults.
    fn read_once() -> &'static (Self, Vec<Fault>) {
        static READ: OnceLock<(Rules, Vec<Fault>)> = OnceLock::new();
        READ.get_or_init(|| {
            let mut faults = Vec::new();
            let rules = Self {
                headlaps: headlap::read(&mut faults),
                pitches: pitch::read(&mut faults),
                underlays: underlay::read(&mut faults),
                sections: batten::read_sections(&mut faults),
                joints: batten::read_joints(&mut faults),
                fixings: fixing::read(&mut faults),
                measuring: measuring::read(&mut faults),
                lead: lead::read_codes(&mut faults),
                lead_work: lead::read_work(&mut faults),
                ventilation: ventilation::read(&mut faults),
                edges: edge::read(&mut faults),
                edgework: edgework::read(&mut faults),
                weight_change: weight::read(&mut faults),
                openings: opening::read_clearances(&mut faults),
                opening_work: opening::read_work(&mut faults),
                trimming: trimming::read(&mut faults),
                pipes: pipe::read(&mut faults),
            };
            (rules, faults)
        })
    }
}

#[cfg(test)]
mod glossary_tests;
#[cfg(test)]
mod tests;
