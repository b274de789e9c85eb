//! A whole job as one versioned document: whether there is enough, who gets what, what is bought, and what to know.

use serde::Serialize;

use crate::error::{Fault, FaultKind, Result};
use crate::order::{Order, SlopeLoad, loads};
use crate::reason::Finding;
use crate::rules::Rules;
use crate::salvage::Salvaged;
use crate::takeoff::TakeOff;

/// The version of the job document.
pub const JOB_VERSION: u32 = 1;

/// The salvage and the order of one or more roofs.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct JobDocument {
    /// The version of this document.
    pub slopewright_job: u32,
    /// The version of the library that made it.
    pub library: String,
    /// The SHA-256 of the catalogue, rules and sources built into it.
    pub data_sha256: String,
    /// The SHA-256 of the surveys, roof by roof.
    pub surveys_sha256: Vec<String>,
    /// What the roofs are called.
    pub roofs: Vec<String>,
    /// Whether the old units are enough, in a few lines.
    pub answer: Vec<String>,
    /// Who gets what, what is short, and the ways out.
    pub salvage: Salvaged,
    /// What is bought, if prices are stated.
    pub order: Option<Order>,
    /// The old covering off against the new covering on.
    pub load: Vec<SlopeLoad>,
    /// What the reader must know, departures first.
    pub findings: Vec<Finding>,
}

impl JobDocument {
    /// The document of some roofs, their salvage and their order.
    #[must_use]
    pub fn of(take_offs: &[&TakeOff], salvaged: &Salvaged, order: Option<&Order>) -> Self {
        let mut findings: Vec<Finding> = Vec::new();
        let found = take_offs.iter().flat_map(|take_off| take_off.findings());
        for finding in found.chain(salvaged.findings()).chain(order.iter().flat_map(|made| made.findings())) {
            // Two roofs of one job share the general cautions.
            if !findings.contains(&finding) {
                findings.push(finding);
            }
        }
        findings.sort_by_key(|finding| core::cmp::Reverse(finding.severity));
        Self {
            slopewright_job: JOB_VERSION,
            library: crate::VERSION.to_owned(),
            data_sha256: crate::origin::data_sha256().to_owned(),
            surveys_sha256: take_offs.iter().map(|take_off| take_off.survey_sha256.clone()).collect(),
            roofs: take_offs.iter().map(|take_off| take_off.name.clone()).collect(),
            answer: salvaged.answer.clone(),
            salvage: salvaged.clone(),
            order: order.cloned(),
            load: take_offs.iter().flat_map(|take_off| loads(take_off, Rules::standard())).collect(),
            findings,
        }
    }

    /// The document as JSON, on several lines.
    ///
    /// # Errors
    /// If it cannot be written; no input is known to cause that.
    pub fn to_json(&self) -> Result<String> {
        to_json(self)
    }

    /// The JSON schema of the document.
    #[must_use]
    pub fn schema() -> serde_json::Value {
        schemars::schema_for!(Self).to_value()
    }
}

/// A result as JSON, on several lines.
///
/// # Errors
/// If it cannot be written; no input is known to cause that.
pub fn to_json(result: &impl Serialize) -> Result<String> {
    serde_json::to_string_pretty(result).map_err(|error| {
        Fault::new(FaultKind::DocumentNotWritable, format!("cannot be written: {error}")).into()
    })
}
