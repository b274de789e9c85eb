//! A rule that steps with the pitch: each step holds from its pitch up to that of the next.

use crate::catalogue::entry::Entry;
use crate::error::{Fault, FaultKind};
use crate::quantity::Pitch;

/// Pitches closer than this, in degrees, are the same: 9 in 12 read back as degrees is not lost by its last bit.
const SAME_PITCH_DEG: f64 = 1e-9;

/// Where a step begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Start {
    /// At any pitch.
    Level,
    /// At this pitch and over it.
    From(Pitch),
    /// Only over this pitch.
    Over(Pitch),
}

impl Start {
    fn holds(self, pitch: Pitch) -> bool {
        match self {
            Self::Level => true,
            Self::From(start) => pitch.degrees() >= start.degrees() - SAME_PITCH_DEG,
            Self::Over(start) => pitch.degrees() > start.degrees() + SAME_PITCH_DEG,
        }
    }

    fn degrees(self) -> f64 {
        match self {
            Self::Level => 0.0,
            Self::From(start) | Self::Over(start) => start.degrees(),
        }
    }
}

/// Steps by pitch, flattest first.
#[derive(Debug, Clone)]
pub(super) struct Steps<T> {
    steps: Vec<(Start, T)>,
    /// Over this pitch the rule does not hold.
    until: Option<Pitch>,
}

impl<T> Steps<T> {
    /// The step that holds at a pitch; `None` below the first step and above the last.
    pub(super) fn at(&self, pitch: Pitch) -> Option<&T> {
        if self.until.is_some_and(|until| Start::Over(until).holds(pitch)) {
            return None;
        }
        self.steps.iter().rev().find(|(start, _)| start.holds(pitch)).map(|(_, step)| step)
    }

    /// The steps with their starts.
    pub(super) fn iter(&self) -> impl Iterator<Item = &(Start, T)> {
        self.steps.iter()
    }

    /// Changes every step.
    pub(super) fn each(&mut self, change: impl Fn(&mut T)) {
        self.steps.iter_mut().for_each(|(_, step)| change(step));
    }

    /// Reads `steps = [ { from = "35 deg", ... }, { over = "60 deg", ... } ]` and, if there is one, `until`.
    pub(super) fn read(entry: &mut Entry<'_>, mut step: impl FnMut(&mut Entry<'_>) -> Option<T>) -> Self {
        let until = entry.pitch("until").map(|figure| figure.value);
        let rows = entry.rows("steps");
        if rows.is_empty() {
            entry.fault("steps", Fault::new(FaultKind::CatalogueFieldMissing, "is missing"));
        }
        let mut steps: Vec<(Start, T)> = Vec::new();
        let mut faults = Vec::new();
        for (at, row) in rows.iter().enumerate() {
            let mut part = Entry::part(&format!("step {}", at + 1), row, entry.sources(), entry.own_source());
            let start = match (part.pitch("from"), part.pitch("over")) {
                (Some(from), _) => Start::From(from.value),
                (None, Some(over)) => Start::Over(over.value),
                (None, None) => Start::Level,
            };
            let read = step(&mut part);
            if part.finish(&mut faults).is_none() {
                continue;
            }
            if steps.last().is_some_and(|(before, _)| before.degrees() >= start.degrees()) {
                faults.push(
                    Fault::new(FaultKind::FiguresDisagree, "is not steeper than the step before")
                        .at(format!("step {}", at + 1)),
                );
            }
            steps.extend(read.map(|step| (start, step)));
        }
        for fault in faults {
            entry.fault("steps", fault);
        }
        Self { steps, until }
    }
}
