//! What the reader of an order must know.

use super::{CoverChange, Order};
use crate::reason::{Finding, Severity};

impl Order {
    /// What is left out of the order or of its mass, and an order under the least that is delivered.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        let mut findings = Vec::new();
        let mut caution = |message: String| findings.push(Finding::new(Severity::Caution, "order", message));
        if !self.unpriced.is_empty() {
            caution(format!("not in the price list and so not in the order: {}", self.unpriced.join(", ")));
        }
        if !self.mass_unknown.is_empty() {
            caution(format!(
                "the mass is not known, and is not in the total, of: {}",
                self.mass_unknown.join(", ")
            ));
        }
        if let Some(under) = self.under_least_value {
            caution(format!(
                "the net value is {under} {} under the least that is delivered",
                self.total.currency
            ));
        }
        if self.lifts.is_some() {
            caution(
                "lifts are counted by the stated load alone; what a machine may carry at its reach, and what a scaffold or a roof \
                 may be loaded with, is for whoever answers for it"
                    .to_owned(),
            );
        }
        findings
    }
}

impl CoverChange {
    /// The change as a finding, if it is over the threshold.
    #[must_use]
    pub fn finding(&self, place: &str) -> Option<Finding> {
        let message = self.message.clone()?;
        Some(Finding::new(Severity::Departure, place, message).by("change of weight", &self.source))
    }
}
