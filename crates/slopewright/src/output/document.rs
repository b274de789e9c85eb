//! The result as one versioned document.

use serde::Serialize;

use super::columns::gauge_mm;
use crate::error::{Fault, FaultKind, Result};
use crate::quantity::LengthIn as _;
use crate::reason::{Finding, Working};
use crate::survey::{EdgeRole, Tape, TapeMeasure};
use crate::takeoff::{CutPolicy, Line, Placing, SlopeCutting, TakeOff};

/// The version of the result document.
pub const RESULT_VERSION: u32 = 1;

/// A take-off as a document: what was set out and why, the lines, and the findings.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct TakeOffDocument {
    /// The version of this document.
    pub slopewright_take_off: u32,
    /// The version of the library that made it.
    pub library: String,
    /// The SHA-256 of the catalogue, rules and sources built into it.
    pub data_sha256: String,
    /// The SHA-256 of the survey.
    pub survey_sha256: String,
    /// What the job is called.
    pub name: String,
    /// How cut pieces are made: `none` means that each takes a unit of its own, `pairs`
    /// that two come out of one unit where their widths allow it.
    #[schemars(with = "String")]
    pub cuts: CutPolicy,
    /// How each slope is set out.
    pub slopes: Vec<SlopeSummary>,
    /// The edges of the slopes.
    pub edges: Vec<EdgeSummary>,
    /// The edges that two slopes share, each once.
    pub joints: Vec<JointSummary>,
    /// The lines, each with its working.
    #[schemars(with = "Vec<serde_json::Value>")]
    pub lines: Vec<Line>,
    /// Where openings that may be moved would better stand, slope by slope.
    pub placing: Vec<PlacingSummary>,
    /// What the reader must know.
    #[schemars(with = "Vec<serde_json::Value>")]
    pub findings: Vec<Finding>,
    /// The battens cut from stock, slope by slope, if that was asked for.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(with = "Vec<serde_json::Value>", default)]
    pub cutting: Vec<SlopeCutting>,
}

/// Where the openings of one slope would better stand.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct PlacingSummary {
    /// The places: the slope, how far each opening would move in metres, the units cut before and after, and how many
    /// places were tried.
    #[serde(flatten)]
    #[schemars(with = "serde_json::Map<String, serde_json::Value>")]
    pub placing: Placing,
    /// How they were found.
    #[schemars(with = "serde_json::Value")]
    pub working: Working,
    /// What to tell the reader.
    #[schemars(with = "serde_json::Value")]
    pub finding: Finding,
}

impl PlacingSummary {
    fn of(placing: Placing) -> Self {
        Self { working: placing.working(), finding: placing.finding(), placing }
    }
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
    /// How well its measures close, if it was measured by tape.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tape: Option<TapeSummary>,
    /// The working, in the order of the work.
    #[schemars(with = "Vec<serde_json::Value>")]
    pub working: Vec<Working>,
}

/// How well the measures of a tape survey close.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct TapeSummary {
    /// The measures: name, as measured and as laid in metres.
    #[schemars(with = "Vec<serde_json::Value>")]
    pub measures: Vec<TapeMeasure>,
    /// The root of the mean square of what is left over, in metres.
    pub rms_m: f64,
    /// The tolerance in metres.
    pub tolerance_m: f64,
}

impl TapeSummary {
    fn of(tape: &Tape) -> Self {
        Self { measures: tape.measures.clone(), rms_m: tape.rms_m(), tolerance_m: tape.tolerance_m }
    }
}

/// One edge of a slope.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct EdgeSummary {
    /// The slope.
    pub slope: String,
    /// The edge's name on it.
    pub edge: String,
    /// What it is.
    #[schemars(with = "String")]
    pub role: EdgeRole,
    /// Its true length in metres.
    pub length_m: f64,
    /// The joint that has it, as its place in the list of joints.
    pub joint: Option<usize>,
}

/// An edge that two slopes share.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct JointSummary {
    /// What it is.
    #[schemars(with = "String")]
    pub role: EdgeRole,
    /// The two edges, each as `slope: edge`.
    pub between: [String; 2],
    /// Its true length in metres: the mean of its two sides.
    pub length_m: f64,
    /// By how much the two sides differ, in metres.
    pub difference_m: f64,
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
                tape: slope.slope.tape.as_ref().map(TapeSummary::of),
                working: slope.layout.working(&slope.slope),
            })
            .collect();
        Self {
            slopewright_take_off: RESULT_VERSION,
            library: crate::VERSION.to_owned(),
            data_sha256: crate::origin::data_sha256().to_owned(),
            survey_sha256: take_off.survey_sha256.clone(),
            name: take_off.name.clone(),
            cuts: take_off.cuts,
            slopes,
            edges: edges(take_off),
            joints: joints(take_off),
            lines: take_off.lines(),
            placing: take_off.placing().into_iter().map(PlacingSummary::of).collect(),
            findings: take_off.findings(),
            cutting: Vec::new(),
        }
    }

    /// With its battens cut from stock.
    #[must_use]
    pub fn with_cutting(mut self, cutting: Vec<SlopeCutting>) -> Self {
        self.cutting = cutting;
        self
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

fn edges(take_off: &TakeOff) -> Vec<EdgeSummary> {
    take_off
        .edges()
        .map(|(here, of, edge, _)| EdgeSummary {
            slope: of.slope.name.clone(),
            edge: edge.name.clone(),
            role: edge.role,
            length_m: edge.length_m(),
            joint: take_off.joints.iter().position(|joint| joint.sides.contains(&here)),
        })
        .collect()
}

fn joints(take_off: &TakeOff) -> Vec<JointSummary> {
    take_off
        .joints
        .iter()
        .map(|joint| JointSummary {
            role: joint.role,
            between: joint.sides.map(|side| take_off.edge_name(side)),
            length_m: joint.length_m,
            difference_m: joint.difference_m,
        })
        .collect()
}
