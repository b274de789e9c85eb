//! What the reader of an order must know.

use super::prices::without_size;
use super::{CoverChange, Order};
use crate::reason::{Finding, Severity};

impl Order {
    /// What is left out of the order or of its mass, and an order under the least that is delivered.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        let mut findings = Vec::new();
        let mut caution = |message: String| findings.push(Finding::new(Severity::Caution, "order", message));
        if !self.unpriced.is_empty() {
            caution(format!("not in the price list and so not in the order: {}", self.unpriced.join("; ")));
        }
        for (item, others) in &self.other_sizes {
            caution(
                format!(
                    "{item} has no price, but other sizes have: {}; give this size a price of its own",
                    others.join("; ")
                ) + &priced_for_all_sizes(item),
            );
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

/// What to do beside it where one price may stand for all sizes.
fn priced_for_all_sizes(item: &str) -> String {
    without_size(item).map_or_else(String::new, |name| format!(", or one to '{name}' for all of its sizes"))
}

impl CoverChange {
    /// The change as a finding, if it is over the threshold.
    #[must_use]
    pub fn finding(&self, place: &str) -> Option<Finding> {
        let message = self.message.clone()?;
        Some(Finding::new(Severity::Departure, place, message).by("change of weight", &self.source))
    }
}
