//! The change of weight from which the structure has to be looked at.

use super::{Rules, table};
use crate::catalogue::Figure;
use crate::error::Fault;

impl Rules {
    /// The share of the old covering's mass by which the new one may differ before a competent person has to check
    /// the structure: 0.15 is 15 %.
    #[must_use]
    pub const fn weight_change_limit(&self) -> Option<&Figure<f64>> {
        self.weight_change.as_ref()
    }
}

pub(super) fn read(faults: &mut Vec<Fault>) -> Option<Figure<f64>> {
    let text = include_str!("../../data/rules/weight.toml");
    let rows = table::read(text, "weight-change", &[], faults, |entry| {
        let most = entry.number("most", "%");
        entry.needed("most", most).map(|figure| figure.map(|percent| percent / 100.0))
    });
    rows.into_iter().next()
}
