//! Reads the entries of a document and keeps every fault with its place.

use std::collections::BTreeMap;

use serde_json::Value;

use super::entry::{CoverMassText, Entry, LengthText, PitchText};
use super::outline::settled;
use crate::error::{Fault, FaultKind, Result};
use crate::fault_list::FaultList;
use crate::quantity::{
    CoverMass, Length, LengthIn as _, Limit, Pitch, limit, m, read_cover_mass, read_length, read_pitch,
};

/// The faults found so far, and the place in the document that is being read.
#[derive(Debug, Default)]
pub(super) struct Reading {
    faults: FaultList,
    place: Vec<String>,
    /// The slopes that have no covering: one fault at the end tells all of them.
    uncovered: Vec<String>,
}

impl Reading {
    /// Reads something inside a place.
    pub(super) fn within<R>(&mut self, place: impl Into<String>, read: impl FnOnce(&mut Self) -> R) -> R {
        self.place.push(place.into());
        let result = read(self);
        self.place.pop();
        result
    }

    /// Keeps a fault of this place.
    pub(super) fn fault(&mut self, fault: Fault) {
        let place = &self.place;
        self.faults.push(|| fault.at(place.join(", ")));
    }

    /// Keeps the faults of an error, if it is one.
    pub(super) fn taken<T>(&mut self, result: Result<T>) -> Option<T> {
        match result {
            Ok(value) => Some(value),
            Err(error) => {
                for fault in error.into_faults() {
                    self.fault(fault);
                }
                None
            }
        }
    }

    /// Keeps that the slope of this place has no covering.
    pub(super) fn has_no_covering(&mut self) {
        self.uncovered.push(self.place.join(", "));
    }

    /// One fault for all slopes without a covering, at the place of the slope if it is one alone.
    pub(super) fn tell_uncovered(&mut self) {
        let uncovered = core::mem::take(&mut self.uncovered);
        let fault =
            Fault::new(FaultKind::CoveringMissing, "has no covering, and the survey has none for all")
                .allowed("a table with a format: covering.format = \"plain-tile-265x165\"");
        match uncovered.as_slice() {
            [] => {}
            [place] => self.fault(fault.at(place)),
            all => self.fault(fault.given(format!("{} slopes without one: {}", all.len(), all.join("; ")))),
        }
    }

    /// Forgets keys that were looked up in vain if the survey's own catalogue holds them: that catalogue has faults,
    /// which are what is to be mended.
    pub(super) fn forget_keys_of(&mut self, own: &str) {
        let is_unknown_key = |kind| {
            matches!(
                kind,
                FaultKind::CoveringUnknown
                    | FaultKind::BattenUnknown
                    | FaultKind::UnderlayUnknown
                    | FaultKind::NailUnknown
            )
        };
        self.faults.retain(|fault| !(is_unknown_key(fault.kind) && own.contains(&fault.given)));
    }

    /// How many faults there are so far.
    pub(super) const fn count(&self) -> usize {
        self.faults.count()
    }

    /// The end of the reading: an error if there were faults.
    pub(super) fn finish(self) -> Result<()> {
        self.faults.check()
    }

    /// Keeps a fault for each field that this part of the document does not have.
    pub(super) fn unknown(&mut self, known: &[&str], unknown: &BTreeMap<String, Value>) {
        for (name, value) in unknown {
            // To look for a near name takes time that nobody needs who has a thousand faults to mend.
            if self.faults.is_full() {
                self.fault(Fault::new(FaultKind::FieldUnknown, ""));
                continue;
            }
            let fault = Fault::new(FaultKind::FieldUnknown, format!("has an unknown field '{name}'"))
                .given(shown(value))
                .allowed(known.join(", "));
            let fault = match nearest(name, known) {
                Some(near) => fault.advice(format!("did you mean '{near}'? Otherwise take the field out")),
                None => fault,
            };
            self.fault(fault);
        }
    }

    /// What an entry holds; a fault if it holds something else.
    pub(super) fn entry<'a, T>(&mut self, field: &str, entry: &'a Entry<T>, wanted: &str) -> Option<&'a T> {
        match entry {
            Entry::Given(value) => Some(value),
            Entry::Absent => None,
            Entry::Unreadable(value) => {
                let is_bare_number = value.is_number() && wanted.contains("unit");
                let fault = if is_bare_number {
                    Fault::new(FaultKind::UnitMissing, "has no unit")
                } else {
                    Fault::new(FaultKind::FieldWrongType, format!("is not {wanted}"))
                };
                self.within(field, |reading| reading.fault(fault.given(shown(value)).allowed(wanted)));
                None
            }
        }
    }

    /// As [`Reading::entry`], and a fault if it is absent.
    pub(super) fn needed<'a, T>(&mut self, field: &str, entry: &'a Entry<T>, wanted: &str) -> Option<&'a T> {
        self.must_be_there(field, entry, wanted);
        self.entry(field, entry, wanted)
    }

    /// A fault if an entry is absent; what it holds is read elsewhere.
    pub(super) fn must_be_there<T>(&mut self, field: &str, entry: &Entry<T>, wanted: &str) {
        if entry.is_absent() {
            self.fault(
                Fault::new(FaultKind::FieldMissing, format!("lacks the field '{field}'")).allowed(wanted),
            );
        }
    }

    /// A length inside its limits.
    pub(super) fn length(&mut self, field: &str, entry: &Entry<LengthText>, limit: &Limit) -> Option<Length> {
        let text = self.entry(field, entry, "a length with its unit, such as \"4.15 m\"")?;
        self.length_of(field, &text.0, limit)
    }

    /// A length that has to be there.
    pub(super) fn needed_length(
        &mut self,
        field: &str,
        entry: &Entry<LengthText>,
        limit: &Limit,
    ) -> Option<Length> {
        let text = self.needed(field, entry, "a length with its unit, such as \"4.15 m\"")?;
        self.length_of(field, &text.0, limit)
    }

    fn length_of(&mut self, field: &str, text: &str, limit: &Limit) -> Option<Length> {
        self.within(field, |reading| {
            let length = reading.taken(read_length(text))?;
            if limit.holds(length.m()) {
                return Some(m(settled(length.m())));
            }
            let kind = if limit.least >= 0.0 && length.m() < 0.0 {
                FaultKind::LengthNegative
            } else {
                FaultKind::LengthOutOfRange
            };
            reading.fault(
                Fault::new(kind, format!("is out of range for {}", limit.label))
                    .given(format!("\"{text}\""))
                    .allowed(limit.range()),
            );
            None
        })
    }

    /// A pitch inside its limits.
    pub(super) fn pitch(&mut self, field: &str, entry: &Entry<PitchText>) -> Option<Pitch> {
        let text = self.entry(field, entry, "a pitch with its unit, such as \"40 deg\" or \"9 in 12\"")?;
        self.within(field, |reading| {
            let pitch = reading.taken(read_pitch(&text.0))?;
            if limit::pitch.holds(pitch.degrees()) {
                return Some(pitch);
            }
            reading.fault(
                Fault::new(FaultKind::PitchOutOfRange, "is out of range")
                    .given(format!("\"{}\"", text.0))
                    .allowed(limit::pitch.range()),
            );
            None
        })
    }

    /// A pitch that has to be there.
    pub(super) fn needed_pitch(&mut self, field: &str, entry: &Entry<PitchText>) -> Option<Pitch> {
        if entry.is_absent() {
            self.fault(
                Fault::new(FaultKind::FieldMissing, format!("lacks the field '{field}'"))
                    .allowed("a pitch, such as \"40 deg\""),
            );
        }
        self.pitch(field, entry)
    }

    /// A mass per area above zero.
    pub(super) fn cover_mass(&mut self, field: &str, entry: &Entry<CoverMassText>) -> Option<CoverMass> {
        let text = self.entry(field, entry, "a mass per area with its unit, such as \"76 kg/m2\"")?;
        self.within(field, |reading| {
            let mass = reading.taken(read_cover_mass(&text.0))?;
            if limit::cover_mass.holds(mass.value) {
                return Some(mass);
            }
            reading.fault(
                Fault::new(FaultKind::MassOutOfRange, "is out of range")
                    .given(format!("\"{}\"", text.0))
                    .allowed(limit::cover_mass.range()),
            );
            None
        })
    }

    /// One of a few words.
    pub(super) fn choice<T: Copy>(
        &mut self,
        field: &str,
        entry: &Entry<String>,
        words: &[(&str, T)],
        kind: FaultKind,
    ) -> Option<T> {
        let word = self.entry(field, entry, "a word")?;
        let found = words.iter().find(|(name, _)| name == word).map(|(_, value)| *value);
        if found.is_none() {
            let names: Vec<&str> = words.iter().map(|(name, _)| *name).collect();
            let fault = Fault::new(kind, format!("'{word}' is not one of the words for '{field}'"))
                .given(format!("\"{word}\""))
                .allowed(names.join(", "));
            let fault = match nearest(word, &names) {
                Some(near) => fault.advice(format!("did you mean '{near}'?")),
                None => fault,
            };
            self.fault(fault);
        }
        found
    }

    /// A name: not empty, not too long, no control characters.
    pub(super) fn name(&mut self, field: &str, entry: &Entry<String>) -> Option<String> {
        let name = self.entry(field, entry, "a text")?;
        let length = u32::try_from(name.chars().count()).map_or(f64::INFINITY, f64::from);
        if name.trim().is_empty() {
            self.fault(
                Fault::new(FaultKind::NameEmpty, format!("has an empty '{field}'"))
                    .given(format!("{name:?}"))
                    .allowed(limit::name_length.range()),
            );
        } else if !limit::name_length.holds(length) {
            self.fault(
                Fault::new(FaultKind::NameTooLong, format!("has too long a '{field}'"))
                    .given(format!("\"{name}\""))
                    .allowed(limit::name_length.range()),
            );
        } else if name.chars().any(char::is_control) {
            self.fault(
                Fault::new(FaultKind::NameUnprintable, format!("has a control character in its '{field}'"))
                    .given(format!("{name:?}"))
                    .allowed("letters, digits, signs and spaces"),
            );
        } else {
            return Some(name.clone());
        }
        None
    }

    /// A list's entries that can be read, with their numbers from 1; a fault if there are more than the limit allows.
    pub(super) fn list<'a, T>(
        &mut self,
        field: &str,
        entry: &'a Entry<Vec<Entry<T>>>,
        most: Option<(&Limit, FaultKind)>,
    ) -> Vec<(usize, &'a T)> {
        let (whole, each) = match field {
            "points" => ("a list of pairs of lengths", "a pair of lengths"),
            _ => ("a list, each entry headed with double brackets", "a table"),
        };
        let Some(entries) = self.entry(field, entry, whole) else { return Vec::new() };
        if let Some((limit, kind)) = most
            && limit.is_exceeded_by(entries.len())
        {
            self.fault(
                Fault::new(kind, format!("has too many entries in '{field}'"))
                    .given(entries.len())
                    .allowed(limit.range()),
            );
            return Vec::new();
        }
        let mut read = Vec::with_capacity(entries.len());
        for (at, item) in entries.iter().enumerate() {
            if let Some(value) = self.entry(&format!("{field} {}", at + 1), item, each) {
                read.push((at + 1, value));
            }
        }
        read
    }
}

/// A value as it stood in the document, on one line.
pub(crate) fn shown(value: &Value) -> String {
    // A bare date of TOML comes as a table with one key of the parser's own.
    let date = value.as_object().filter(|table| table.len() == 1).and_then(|table| table.iter().next());
    match date {
        Some((key, Value::String(date))) if key.starts_with("$__toml") => date.clone(),
        _ => value.to_string(),
    }
}

/// The known word that is most like the given one, if any is like it at all.
fn nearest<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    let word = word.to_lowercase().replace([' ', '-'], "_");
    known
        .iter()
        .map(|name| (distance(&word, &name.replace('-', "_")), *name))
        .min()
        .filter(|(distance, name)| *distance <= (name.len() / 3).max(1))
        .map(|(_, name)| name)
}

/// How many letters must be put in, left out or changed to make one word of the other.
fn distance(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    // A word far longer than any field is like none of them; this also bounds the work.
    for (i, a) in one.chars().take(60).enumerate() {
        let mut before = i;
        let mut last = i + 1;
        let mut next = vec![last];
        for (b, up) in other.iter().zip(row.iter().skip(1)) {
            last = if a == *b { before } else { 1 + before.min(*up).min(last) };
            next.push(last);
            before = *up;
        }
        row = next;
    }
    row.last().copied().unwrap_or_default()
}
