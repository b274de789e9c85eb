//! The least headlap by family, size, pitch and exposure.

use super::steps::Steps;
use super::{Exposure, Rules, table};
use crate::catalogue::entry::Entry;
use crate::catalogue::{Covering, Figure};
use crate::error::{Fault, FaultKind};
use crate::quantity::{Length, LengthIn as _, Pitch, limit, read_length};

/// Steps of one table.
#[derive(Debug, Clone)]
pub(super) struct HeadlapTable {
    families: Vec<String>,
    /// Length and width; empty for any size.
    sizes: Vec<(Length, Length)>,
    /// Whether it is only for sizes that no other table names.
    other_sizes: bool,
    /// Empty for any exposure.
    exposures: Vec<Exposure>,
    steps: Steps<Figure<Length>>,
}

/// Sizes closer than this are the same size.
const SAME_SIZE_M: f64 = 0.001;

impl HeadlapTable {
    fn is_for(&self, covering: &Covering, exposure: Exposure) -> bool {
        (self.exposures.is_empty() || self.exposures.contains(&exposure))
            && (self.sizes.is_empty() || self.names_size_of(covering))
    }

    fn names_size_of(&self, covering: &Covering) -> bool {
        let same = |a: Length, b: Length| (a - b).m().abs() < SAME_SIZE_M;
        self.sizes
            .iter()
            .any(|(length, width)| same(*length, covering.length.value) && same(*width, covering.width.value))
    }
}

impl Rules {
    /// The least headlap for a covering at a pitch: that of the first table of the file that is for it and reaches
    /// down to the pitch, or the covering's own if that is larger or no table is for it. `None` if the pitch lies
    /// under every table of its family, or neither a table nor the covering has a figure.
    #[must_use]
    pub fn headlap<'a>(
        &'a self,
        covering: &'a Covering,
        pitch: Pitch,
        exposure: Exposure,
    ) -> Option<&'a Figure<Length>> {
        let own = covering.headlap_least.as_ref();
        let of_family = || self.headlaps.iter().filter(|table| table.families.contains(&covering.family));
        let size_is_named = of_family().any(|table| table.names_size_of(covering));
        let mut tables = of_family()
            .filter(|table| table.is_for(covering, exposure) && !(table.other_sizes && size_is_named))
            .peekable();
        if tables.peek().is_none() {
            return own;
        }
        let ruled = tables.find_map(|table| table.steps.at(pitch))?;
        match own {
            Some(own) if own.value > ruled.value => Some(own),
            _ => Some(ruled),
        }
    }
}

pub(super) fn read(faults: &mut Vec<Fault>) -> Vec<HeadlapTable> {
    table::read(include_str!("../../data/rules/headlaps.toml"), "headlap", &[], faults, |entry| {
        let note = entry.text("note");
        Some(HeadlapTable {
            families: table::families_of(entry),
            sizes: sizes(entry),
            other_sizes: entry.flag("other-sizes").unwrap_or(false),
            exposures: entry.choices("exposure", Exposure::ALL),
            steps: Steps::read(entry, |step| {
                let figure = step.length("headlap", limit::headlap);
                let figure = step.needed("headlap", figure)?;
                Some(match (&note, &figure.note) {
                    (Some(note), None) => figure.noted(note.as_str()),
                    _ => figure,
                })
            }),
        })
    })
}

/// `500 x 300 mm`: length and width.
fn sizes(entry: &mut Entry<'_>) -> Vec<(Length, Length)> {
    let mut found = Vec::new();
    for text in entry.texts("sizes") {
        let size = text.split_once(" x ").and_then(|(length, width)| {
            let unit = width.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
            Some((read_length(&format!("{length}{unit}")).ok()?, read_length(width).ok()?))
        });
        if let Some(size) = size {
            found.push(size);
        } else {
            let fault = Fault::new(FaultKind::FieldKindWrong, "is not a size")
                .given(&text)
                .allowed("length x width unit, such as 500 x 300 mm");
            entry.fault("sizes", fault);
        }
    }
    found
}
