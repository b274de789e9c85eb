//! What looking at more of a heap would be worth: more of it could be relied on, if the rest is like the sample.

use serde::Serialize;

use super::{Heap, Reckoning, Shared, UnitKey};
use crate::error::Result;

/// A heap of which more could be inspected.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct LookAgain {
    /// What the heap is called.
    pub label: String,
    /// The unit.
    pub unit: UnitKey,
    /// How many of it can be relied on now.
    pub relied_on: u64,
    /// How many are likely to be sound.
    pub likely: u64,
    /// How many more would have to be relied on to meet what is short.
    pub short: u64,
    /// How many more to inspect for that, if they are as good as the sample; `None` if the heap is not likely to hold
    /// that many.
    pub inspect_more: Option<u64>,
}

/// The sampled heaps of units that are short, and how many more of each to inspect. Empty if nothing is short or if no
/// sureness is asked for.
pub(super) fn look_again(heaps: &[Heap], reckoning: Reckoning, shared: &Shared) -> Result<Vec<LookAgain>> {
    let mut all = Vec::new();
    for heap in heaps {
        let short = short_of(&heap.unit, shared);
        let Some(inspection) = heap.inspection()?.filter(|_| short > 0) else { continue };
        let same = heaps.iter().filter(|other| other.unit == heap.unit);
        let sampled = same.filter(|other| other.inspection().is_ok_and(|seen| seen.is_some())).count();
        let Some(sureness) = reckoning.sureness_of_each(sampled) else { continue };
        let relied_on = inspection.at_least(sureness)?;
        all.push(LookAgain {
            label: heap.label.clone(),
            unit: heap.unit.clone(),
            relied_on,
            likely: inspection.likely(),
            short,
            inspect_more: inspection.more_for_need(sureness, relied_on.saturating_add(short))?,
        });
    }
    Ok(all)
}

/// How many are short of the needs that this unit serves as it is.
fn short_of(unit: &UnitKey, shared: &Shared) -> u64 {
    let serves = |format: &str| {
        format == unit.format
            || shared.fits.iter().any(|fit| fit.allowed && fit.old == unit.format && fit.new == format)
    };
    shared
        .needs
        .iter()
        .filter(|row| row.need.unit.bought_as().kind == unit.kind && serves(&row.need.unit.format))
        .map(|row| row.bought)
        .sum()
}
