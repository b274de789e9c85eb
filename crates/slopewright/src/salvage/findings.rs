//! What the reader of a salvage result must know.

use super::Salvaged;
use crate::quantity::figure;
use crate::reason::{Finding, Severity};

impl Salvaged {
    /// Counts that are not what should have come off, formats laid or refused for others, reserves that could not be held
    /// in full, and heaps of which it is worth to inspect more.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        let mut findings = Vec::new();
        let mut caution = |place: String, message: String, rule: &str| {
            findings.push(Finding::new(Severity::Caution, place, message).by(rule, ""));
        };
        for check in self.checks.iter().filter(|check| check.differs) {
            let message = format!(
                "{} were counted, and {} should have come off: {} % {}. Count again, or measure the old gauge and area again",
                check.counted,
                check.expected,
                figure(check.difference_share.abs() * 100.0, 1),
                if check.difference < 0 { "fewer" } else { "more" }
            );
            caution(check.unit.to_string(), message, "old area / (old gauge x old cover width)");
        }
        for format in &self.unknown_formats {
            let message = "was counted, and neither the catalogue nor this job knows it, so that it serves no need. Check the \
                           spelling; a format of your own has its size under sharing.formats";
            caution(format!("old {format}"), message.to_owned(), "");
        }
        for fit in &self.shared.fits {
            let laid = if fit.allowed { "is laid for" } else { "is not laid for" };
            let message = format!("{} {laid} {}: {}", fit.old, fit.new, fit.reason);
            caution(format!("old {}", fit.old), message, "old units by their own dimensions");
        }
        for held in self.shared.reserves.iter().filter(|held| held.held < held.wanted) {
            let message = format!("only {} of {} {} can be held back", held.held, held.wanted, held.unit);
            caution(format!("reserve for roof '{}'", held.roof), message, "");
        }
        for again in &self.look_again {
            let place = if again.label.is_empty() {
                again.unit.to_string()
            } else {
                format!("heap '{}'", again.label)
            };
            let message = match again.inspect_more {
                Some(more) => format!(
                    "{} are relied on and {} are likely sound; with {more} more inspected and as good as the sample, the {} that \
                     are short could be taken from it",
                    again.relied_on, again.likely, again.short
                ),
                None => format!(
                    "{} are relied on and {} are likely sound: inspecting more of it cannot make up for the {} that are short",
                    again.relied_on, again.likely, again.short
                ),
            };
            caution(place, message, "");
        }
        findings
    }
}
