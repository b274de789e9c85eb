//! Reading one entry of a data file, field by field, with every fault noted and none hidden behind another.
//!
//! A figure is written as text with its unit: `width = "165 mm"`, with its own source
//! `width = { is = "165 mm", source = "rta-tiling" }`, or with a note of its own. A figure without a source takes
//! that of its entry (`source = "..."`); without one there either, it counts as stated by the user.

use std::collections::HashSet;
use std::sync::Arc;

use toml::{Table, Value};

use super::source::{Source, stated_by_the_user};
use crate::error::{Fault, FaultKind};
use crate::quantity::limit;

/// One entry while it is being read.
pub(crate) struct Entry<'a> {
    table: &'a Table,
    place: String,
    sources: &'a [Arc<Source>],
    fallback: Arc<Source>,
    asked: Vec<&'static str>,
    faults: Vec<Fault>,
}

impl<'a> Entry<'a> {
    /// An entry called `covering 'x'` in faults, whose figures may quote these sources.
    pub(crate) fn new(word: &str, table: &'a Table, sources: &'a [Arc<Source>]) -> Self {
        let place = match table.get("key").and_then(Value::as_str) {
            Some(key) => format!("{word} '{key}'"),
            None => word.to_owned(),
        };
        Self { table, place, sources, fallback: stated_by_the_user(), asked: Vec::new(), faults: Vec::new() }
    }

    /// A part of an entry, such as one step of a rule: without a source of its own it has that of the whole.
    pub(crate) fn part(
        word: &str,
        table: &'a Table,
        sources: &'a [Arc<Source>],
        fallback: Arc<Source>,
    ) -> Self {
        Self { fallback, ..Self::new(word, table, sources) }
    }

    pub(super) fn get(&mut self, field: &'static str) -> Option<&'a Value> {
        if !self.asked.contains(&field) {
            self.asked.push(field);
        }
        self.table.get(field)
    }

    /// Whether the entry states this field at all.
    pub(crate) fn has(&self, field: &str) -> bool {
        self.table.contains_key(field)
    }

    /// Notes a fault at a field.
    pub(crate) fn fault(&mut self, field: &str, fault: Fault) {
        self.faults.push(fault.at(field).at(&self.place));
    }

    pub(super) fn wrong_kind(&mut self, field: &str, value: &Value, wanted: &str) {
        let fault = Fault::new(FaultKind::FieldKindWrong, format!("is a {}", value.type_str()))
            .given(value)
            .allowed(wanted);
        self.fault(field, fault);
    }

    /// Passes a value on, and notes that the field is missing if it is.
    pub(crate) fn needed<T>(&mut self, field: &'static str, value: Option<T>) -> Option<T> {
        if value.is_none() && !self.has(field) {
            self.fault(field, Fault::new(FaultKind::CatalogueFieldMissing, "is missing"));
        }
        value
    }

    /// The entry's key: words of small letters, digits, hyphens and points.
    pub(crate) fn key(&mut self) -> Option<String> {
        let key = self.text("key");
        let key = self.needed("key", key)?;
        let fits =
            key.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '.'));
        if fits {
            return Some(key);
        }
        let fault = Fault::new(FaultKind::KeyUnfit, "is not a key")
            .given(&key)
            .allowed("small letters, digits, hyphens and points");
        self.fault("key", fault);
        None
    }

    /// A text of at least one character and of a length that a name may have; notes may be longer.
    pub(crate) fn text(&mut self, field: &'static str) -> Option<String> {
        match self.get(field)? {
            Value::String(text) if text.trim().is_empty() => {
                self.fault(field, Fault::new(FaultKind::CatalogueFieldMissing, "is empty"));
                None
            }
            Value::String(text) => {
                #[expect(clippy::cast_precision_loss, reason = "no text is near the exact range of f64")]
                let length = text.chars().count() as f64;
                if field != "note" && !limit::name_length.holds(length) {
                    let fault = Fault::new(FaultKind::FigureOutOfRange, "is too long")
                        .given(text)
                        .allowed(limit::name_length.range());
                    self.fault(field, fault);
                    return None;
                }
                Some(text.clone())
            }
            other => {
                self.wrong_kind(field, other, "a text in quotes");
                None
            }
        }
    }

    /// `true` or `false`.
    pub(crate) fn flag(&mut self, field: &'static str) -> Option<bool> {
        match self.get(field)? {
            Value::Boolean(flag) => Some(*flag),
            other => {
                self.wrong_kind(field, other, "true or false");
                None
            }
        }
    }

    /// One of a few words.
    pub(crate) fn choice<T: Clone>(&mut self, field: &'static str, words: &[(&str, T)]) -> Option<T> {
        let word = self.text(field)?;
        let found = words.iter().find(|(name, _)| *name == word).map(|(_, value)| value.clone());
        if found.is_none() {
            let fault = unknown_word(&word, words.iter().map(|(name, _)| *name));
            self.fault(field, fault);
        }
        found
    }

    /// A list of such words; one word stands for a list of one.
    pub(crate) fn choices<T: Clone>(&mut self, field: &'static str, words: &[(&str, T)]) -> Vec<T> {
        let mut found = Vec::new();
        for word in self.texts(field) {
            if let Some((_, value)) = words.iter().find(|(name, _)| *name == word) {
                found.push(value.clone());
            } else {
                self.fault(field, unknown_word(&word, words.iter().map(|(name, _)| *name)));
            }
        }
        found
    }

    /// A list of texts; one text stands for a list of one.
    pub(crate) fn texts(&mut self, field: &'static str) -> Vec<String> {
        let Some(value) = self.get(field) else {
            return Vec::new();
        };
        let items: &[Value] =
            if let Value::Array(list) = value { list } else { core::slice::from_ref(value) };
        let mut found = Vec::new();
        for item in items {
            match item {
                Value::String(text) => found.push(text.clone()),
                other => self.wrong_kind(field, other, "a text in quotes, or a list of them"),
            }
        }
        found
    }

    /// The tables of a field that is a list, such as `steps = [ { ... }, { ... } ]`.
    pub(crate) fn rows(&mut self, field: &'static str) -> Vec<Table> {
        let mut found = Vec::new();
        match self.get(field) {
            None => {}
            Some(Value::Array(list)) => {
                for item in list {
                    match item {
                        Value::Table(table) => found.push(table.clone()),
                        other => self.wrong_kind(field, other, "a list of { ... }"),
                    }
                }
            }
            Some(other) => self.wrong_kind(field, other, "a list of { ... }"),
        }
        found
    }

    /// The table of a field, such as `eaves-unit = { ... }`.
    pub(crate) fn table(&mut self, field: &'static str) -> Option<&'a Table> {
        match self.get(field)? {
            Value::Table(table) => Some(table),
            other => {
                self.wrong_kind(field, other, "{ ... }");
                None
            }
        }
    }

    /// The source that the entry names for all its figures.
    pub(crate) fn own_source(&mut self) -> Arc<Source> {
        match self.text("source") {
            Some(key) => self.source_called("source", &key).unwrap_or_else(|| Arc::clone(&self.fallback)),
            None => Arc::clone(&self.fallback),
        }
    }

    pub(super) fn source_called(&mut self, field: &str, key: &str) -> Option<Arc<Source>> {
        let found = self.sources.iter().find(|source| source.key == key).cloned();
        if found.is_none() {
            let fault = Fault::new(FaultKind::SourceUnknown, "quotes a source that is not listed").given(key);
            self.fault(field, fault);
        }
        found
    }

    /// The sources that its figures may quote.
    pub(crate) const fn sources(&self) -> &'a [Arc<Source>] {
        self.sources
    }

    /// Notes fields that nobody asked for, and hands the faults over. `None` if there were any.
    pub(crate) fn finish(mut self, faults: &mut Vec<Fault>) -> Option<()> {
        let known = self.asked.join(", ");
        for field in self.table.keys() {
            if !self.asked.contains(&field.as_str()) {
                self.faults.push(
                    Fault::new(FaultKind::CatalogueFieldUnknown, "is not a field of this entry")
                        .at(&self.place)
                        .given(field)
                        .allowed(&known),
                );
            }
        }
        // A source that is not listed is asked for with each figure: once is enough.
        let clean = self.faults.is_empty();
        let mut seen = HashSet::new();
        faults.extend(self.faults.into_iter().filter(|fault| seen.insert(fault.clone())));
        clean.then_some(())
    }
}

/// A word that is not one of a list.
pub(crate) fn unknown_word<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Fault {
    Fault::new(FaultKind::ChoiceUnknown, "is not one of the words known here")
        .given(word)
        .allowed(known.collect::<Vec<_>>().join(", "))
}
