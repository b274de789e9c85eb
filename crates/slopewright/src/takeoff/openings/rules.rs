//! The rules that openings are taken off by, kept with a roof that has openings.

use crate::rules::{LeadCode, LeadWork, OpeningWork, PipeLaps, Rules, Trimming};
use crate::survey::Roof;

/// The rules for openings, as one roof needs them.
#[derive(Debug, Clone)]
pub(crate) struct OpeningRules {
    pub(crate) work: Option<OpeningWork>,
    pub(crate) trimming: Option<Trimming>,
    pub(crate) lead_work: Option<LeadWork>,
    pub(crate) lead: Vec<LeadCode>,
    /// The laps of pipes' flashings by the name of the slope, where its pitch has some.
    pipes: Vec<(String, PipeLaps)>,
}

impl OpeningRules {
    /// The rules for a roof; `None` if it has no openings.
    pub(crate) fn of(roof: &Roof, rules: &Rules) -> Option<Box<Self>> {
        if roof.slopes.iter().all(|slope| slope.openings.is_empty()) {
            return None;
        }
        let trimming = match &roof.timbers.rule {
            Some(key) => rules.trimming(key),
            None => rules.trimming_rules().first(),
        };
        Some(Box::new(Self {
            work: rules.opening_work().cloned(),
            trimming: trimming.cloned(),
            lead_work: rules.lead_work().cloned(),
            lead: rules.lead_codes().to_vec(),
            pipes: roof
                .slopes
                .iter()
                .filter_map(|slope| Some((slope.name.clone(), rules.pipe_laps(slope.pitch)?)))
                .collect(),
        }))
    }

    /// The laps of a pipe's flashing on a slope.
    pub(crate) fn pipe_laps(&self, slope: &str) -> Option<&PipeLaps> {
        self.pipes.iter().find(|(name, _)| name == slope).map(|(_, laps)| laps)
    }
}
