//! The least pitch by family and exposure.

use super::{Exposure, Rules, table};
use crate::catalogue::{Covering, Figure};
use crate::error::Fault;
use crate::quantity::Pitch;

/// One row of the table.
#[derive(Debug, Clone)]
pub(super) struct PitchLeast {
    families: Vec<String>,
    exposures: Vec<Exposure>,
    pitch: Figure<Pitch>,
}

impl Rules {
    /// The least pitch for a covering: that of its family, or the covering's own if that is steeper or its family
    /// has none.
    #[must_use]
    pub fn pitch_least<'a>(
        &'a self,
        covering: &'a Covering,
        exposure: Exposure,
    ) -> Option<&'a Figure<Pitch>> {
        let ruled = self.pitches.iter().find(|row| {
            row.families.contains(&covering.family)
                && (row.exposures.is_empty() || row.exposures.contains(&exposure))
        });
        match (ruled, &covering.pitch_least) {
            (Some(ruled), Some(own)) if own.value > ruled.pitch.value => Some(own),
            (Some(ruled), _) => Some(&ruled.pitch),
            (None, own) => own.as_ref(),
        }
    }
}

pub(super) fn read(faults: &mut Vec<Fault>) -> Vec<PitchLeast> {
    table::read(include_str!("../../data/rules/pitches.toml"), "pitch-least", &[], faults, |entry| {
        let families = table::families_of(entry);
        let exposures = entry.choices("exposure", Exposure::ALL);
        let pitch = entry.pitch("pitch");
        Some(PitchLeast { families, exposures, pitch: entry.needed("pitch", pitch)? })
    })
}
