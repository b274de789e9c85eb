//! The result as one versioned document.

use serde::Serialize;

use super::columns::gauge_mm;
use crate::error::{Fault, FaultKind, Result};
use crate::quantity::LengthIn as _;
use crate::reason::{Finding, Working};
use crate::takeoff::{CutPolicy, Line, TakeOff};

/// The version of the result document.
pub const RESULT_VERSION: u32 = 1;

/// A take-off as a document: what was set out and why, the lines, and the findings.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct TakeOffDocument {
    /// The version of this document.
    pub slopewright_take_off: u32,
    /// The version of the library that made it.
    pub library: String,
    /// What the job is called.
    pub name: String,
    /// How cut pieces are made: `none` means that each takes a unit of its own.
    #[schemars(with = "String")]
    pub cuts: CutPolicy,
    /// How each slope is set out.
    pub slopes: Vec<SlopeSummary>,
    /// The lines, each with its working.
    #[schemars(with = "Vec<serde_json::Value>")]
    pub lines: Vec<Line>,
    /// What the reader must know.
    #[schemars(with = "Vec<serde_json::Value>")]
    pub findings: Vec<Finding>,
}

/// How one slope is set out.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct SlopeSummary {
    /// The slope.
    pub slope: String,
    /// Its pitch in degrees.
    pub pitch_degrees: f64,
    /// The key of its covering.
    pub covering: String,
    /// The gauge in millimetres.
    pub gauge_mm: f64,
    /// The headlap that the gauge leaves, in millimetres.
    pub headlap_mm: f64,
    /// The cover width in millimetres.
    pub cover_width_mm: f64,
    /// How many courses, those under the first included.
    pub course_count: usize,
    /// The covered area in square metres.
    pub covered_area_m2: f64,
    /// The working, in the order of the work.
    #[schemars(with = "Vec<serde_json::Value>")]
    pub working: Vec<Working>,
}

impl TakeOffDocument {
    /// The document of a take-off.
    #[must_use]
    pub fn of(take_off: &TakeOff) -> Self {
        let slopes = take_off
            .slopes
            .iter()
            .map(|slope| SlopeSummary {
                slope: slope.layout.slope.clone(),
                pitch_degrees: slope.layout.pitch.degrees(),
                covering: slope.layout.covering().key.clone(),
                gauge_mm: gauge_mm(slope),
                headlap_mm: slope.layout.headlap_laid().mm(),
                cover_width_mm: slope.layout.across.cover_m * 1000.0,
                course_count: slope.layout.courses.len(),
                covered_area_m2: slope.layout.covered.area_m2(),
                working: slope.layout.working(&slope.slope),
            })
            .collect();
        Self {
            slopewright_take_off: RESULT_VERSION,
            library: crate::VERSION.to_owned(),
            name: take_off.name.clone(),
            cuts: take_off.cuts,
            slopes,
            lines: take_off.lines(),
            findings: take_off.findings(),
        }
    }

    /// The document as JSON, on several lines.
    ///
    /// # Errors
    /// If it cannot be written; no input is known to cause that.
    pub fn to_json(&self) -> Result<String> {
        serde_json::to_string_pretty(self).map_err(|error| {
            Fault::new(FaultKind::DocumentNotWritable, format!("cannot be written: {error}")).into()
        })
    }

    /// The JSON schema of the document.
    #[must_use]
    pub fn schema() -> serde_json::Value {
        schemars::schema_for!(Self).to_value()
    }
}
