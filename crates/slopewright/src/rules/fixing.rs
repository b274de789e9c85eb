//! Named defaults for which units are nailed or clipped. The specification against wind is an input: it is for a
//! competent person and the local code.

use std::sync::Arc;

use super::steps::{Start, Steps};
use super::{Rules, table};
use crate::catalogue::{Covering, Hanging, Source};
use crate::error::Fault;
use crate::quantity::Pitch;

/// Which units are fixed, and how, at one pitch.
#[derive(Debug, Clone, PartialEq)]
pub struct FixingPattern {
    /// The key by which a user can ask for it.
    pub key: String,
    /// The name for people.
    pub name: String,
    /// Every so many courses all units of a course are fixed; 1 for every course.
    pub every_nth_course: u32,
    /// The pitch from which every course is fixed, where that begins at a pitch.
    pub all_above_pitch: Option<Pitch>,
    /// Whether units along every edge of the slope and of openings are fixed whatever their course.
    pub perimeter: bool,
    /// Nails in each fixed unit.
    pub nails_per_unit: u32,
    /// Fixings in each perimeter unit.
    pub perimeter_fixings: u32,
    /// Clips on each fixed unit.
    pub clips_per_unit: u32,
    /// Where it comes from.
    pub source: Arc<Source>,
    /// What to bear in mind.
    pub note: Option<Arc<str>>,
}

#[derive(Debug, Clone)]
pub(super) struct FixingTable {
    key: String,
    families: Vec<String>,
    hangings: Vec<Hanging>,
    steps: Steps<FixingPattern>,
}

impl Rules {
    /// The named default for a covering at a pitch.
    #[must_use]
    pub fn fixing_pattern(&self, covering: &Covering, pitch: Pitch) -> Option<&FixingPattern> {
        self.fixings
            .iter()
            .find(|table| {
                table.families.contains(&covering.family) && table.hangings.contains(&covering.hanging)
            })
            .and_then(|table| table.steps.at(pitch))
    }

    /// The pattern with this key at a pitch.
    #[must_use]
    pub fn fixing_pattern_called(&self, key: &str, pitch: Pitch) -> Option<&FixingPattern> {
        self.fixings.iter().find(|table| table.key == key).and_then(|table| table.steps.at(pitch))
    }

    /// The keys of every pattern.
    pub fn fixing_patterns(&self) -> impl Iterator<Item = &str> {
        self.fixings.iter().map(|table| table.key.as_str())
    }
}

pub(super) fn read(faults: &mut Vec<Fault>) -> Vec<FixingTable> {
    table::read(include_str!("../../data/rules/fixings.toml"), "pattern", &[], faults, |entry| {
        let key = entry.key();
        let name = entry.text("name");
        let name = entry.needed("name", name);
        let families = table::families_of(entry);
        let hangings = entry.choices("hanging", Hanging::ALL);
        let perimeter_fixings = entry.count("perimeter-fixings").map(|figure| figure.value);
        let source = entry.own_source();
        let note = entry.text("note").map(Arc::from);
        let mut steps = Steps::read(entry, |step| {
            let mut count = |field| {
                let found = step.count(field);
                step.needed(field, found).map(|figure| figure.value)
            };
            let (every, nails, clips) = (count("every"), count("nails"), count("clips"));
            let nails_per_unit = nails?;
            Some(FixingPattern {
                key: key.clone()?,
                name: name.clone()?,
                every_nth_course: every?.max(1),
                all_above_pitch: None,
                perimeter: perimeter_fixings.is_some(),
                nails_per_unit,
                perimeter_fixings: perimeter_fixings.unwrap_or(nails_per_unit),
                clips_per_unit: clips?,
                source: Arc::clone(&source),
                note: note.clone(),
            })
        });
        let all_above_pitch = steps.iter().find_map(|(start, step)| match start {
            Start::From(pitch) | Start::Over(pitch) if step.every_nth_course == 1 => Some(*pitch),
            _ => None,
        });
        steps.each(|step| step.all_above_pitch = all_above_pitch);
        Some(FixingTable { key: key?, families, hangings, steps })
    })
}
