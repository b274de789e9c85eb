//! Reading one entry of a data file, field by field, with every fault noted and none hidden behind another.
//!
//! A figure is written as text with its unit: `width = "165 mm"`, with its own source
//! `width = { is = "165 mm", source = "rta-tiling" }`, or with a note of its own. A figure without a source takes
//! that of its entry (`source = "..."`); without one there either, it counts as stated by the user.

use std::sync::Arc;

use toml::{Table, Value};

use super::figure::Figure;
use super::source::{Source, stated_by_the_user};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{
    Area, CoverMass, Length, LengthIn as _, Limit, Mass, MassIn as _, Pitch, limit, read_area,
    read_cover_mass, read_length, read_mass, read_pitch,
};

/// Reads a whole document.
pub(crate) fn document(text: &str) -> Result<Table> {
    #[expect(clippy::cast_precision_loss, reason = "a size in bytes is far below the exact range of f64")]
    let size = text.len() as f64;
    if !limit::document_size.holds(size) {
        return Err(Fault::new(FaultKind::CatalogueTooLarge, "is too large to read")
            .given(format!("{size} bytes"))
            .allowed(limit::document_size.range())
            .into());
    }
    text.parse().map_err(|error: toml::de::Error| {
        let line = error
            .span()
            .map_or(1, |span| text.get(..span.start).map_or(1, |before| before.matches('\n').count() + 1));
        Fault::new(FaultKind::CatalogueUnreadable, format!("cannot be read as TOML: {}", error.message()))
            .at(format!("line {line}"))
            .into()
    })
}

/// The tables of `[[word]]`; anything else under that word is a fault.
pub(crate) fn tables(document: &Table, word: &str, faults: &mut Vec<Fault>) -> Vec<Table> {
    let Some(value) = document.get(word) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    let wrong = || {
        Fault::new(FaultKind::FieldKindWrong, "is not a list of entries")
            .at(word)
            .advice(format!("head each entry with [[{word}]]"))
    };
    let Value::Array(list) = value else {
        faults.push(wrong());
        return found;
    };
    for item in list {
        match item {
            Value::Table(table) => found.push(table.clone()),
            _ => faults.push(wrong()),
        }
    }
    found
}

/// Notes every top-level word of a document that is not one of `known`.
pub(crate) fn refuse_other_words(document: &Table, known: &[&str], faults: &mut Vec<Fault>) {
    for word in document.keys().filter(|word| !known.contains(&word.as_str())) {
        faults.push(
            Fault::new(FaultKind::FieldUnknown, "is not a kind of entry")
                .given(word)
                .allowed(known.join(", ")),
        );
    }
}

/// One entry while it is being read.
pub(crate) struct Entry<'a> {
    table: &'a Table,
    place: String,
    sources: &'a [Arc<Source>],
    fallback: Arc<Source>,
    asked: Vec<&'static str>,
    faults: Vec<Fault>,
}

/// A limit, and how a value is measured against it.
type Within<T> = (Limit, fn(T) -> f64);

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

    fn get(&mut self, field: &'static str) -> Option<&'a Value> {
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

    fn wrong_kind(&mut self, field: &str, value: &Value, wanted: &str) {
        let fault = Fault::new(FaultKind::FieldKindWrong, format!("is a {}", value.type_str()))
            .given(value)
            .allowed(wanted);
        self.fault(field, fault);
    }

    /// Passes a value on, and notes that the field is missing if it is.
    pub(crate) fn needed<T>(&mut self, field: &'static str, value: Option<T>) -> Option<T> {
        if value.is_none() && !self.has(field) {
            self.fault(field, Fault::new(FaultKind::FieldMissing, "is missing"));
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
                self.fault(field, Fault::new(FaultKind::FieldMissing, "is empty"));
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

    fn source_called(&mut self, field: &str, key: &str) -> Option<Arc<Source>> {
        let found = self.sources.iter().find(|source| source.key == key).cloned();
        if found.is_none() {
            let fault = Fault::new(FaultKind::SourceUnknown, "quotes a source that is not listed").given(key);
            self.fault(field, fault);
        }
        found
    }

    /// A figure in a unit that `read` knows, within a limit.
    fn figure<T: Copy>(
        &mut self,
        field: &'static str,
        read: impl Fn(&str) -> Result<T>,
        limit: Option<Within<T>>,
    ) -> Option<Figure<T>> {
        let default = self.own_source();
        let value = self.get(field)?;
        let (text, source, note) = match value {
            Value::String(text) => (text.clone(), default, None),
            Value::Table(table) => {
                self.refuse_other_parts(field, table);
                let text = match table.get("is") {
                    Some(Value::String(text)) => text.clone(),
                    Some(Value::Integer(number)) => number.to_string(),
                    Some(Value::Float(number)) => number.to_string(),
                    other => {
                        let fault = match other {
                            None => Fault::new(FaultKind::FieldMissing, "has no value"),
                            Some(other) => {
                                Fault::new(FaultKind::FieldKindWrong, format!("is a {}", other.type_str()))
                            }
                        };
                        self.fault(field, fault.advice("write { is = \"265 mm\", source = \"...\" }"));
                        return None;
                    }
                };
                let source = match table.get("source").and_then(Value::as_str) {
                    Some(key) => self.source_called(field, key)?,
                    None => default,
                };
                (text, source, table.get("note").and_then(Value::as_str))
            }
            Value::Integer(number) => (number.to_string(), default, None),
            Value::Float(number) => (number.to_string(), default, None),
            other => {
                self.wrong_kind(field, other, "a figure with its unit, as text");
                return None;
            }
        };
        let value = match read(&text) {
            Ok(value) => value,
            Err(error) => {
                for fault in error.into_faults() {
                    self.fault(field, fault);
                }
                return None;
            }
        };
        if let Some((limit, measure)) = limit
            && !limit.holds(measure(value))
        {
            let fault = Fault::new(FaultKind::FigureOutOfRange, format!("{} is out of range", limit.label))
                .given(text)
                .allowed(limit.range());
            self.fault(field, fault);
            return None;
        }
        let figure = Figure::new(value, source);
        Some(match note {
            Some(note) => figure.noted(note),
            None => figure,
        })
    }

    fn refuse_other_parts(&mut self, field: &str, table: &Table) {
        const PARTS: [&str; 3] = ["is", "source", "note"];
        for part in table.keys().filter(|part| !PARTS.contains(&part.as_str())) {
            let fault = Fault::new(FaultKind::FieldUnknown, "is not a part of a figure")
                .given(part)
                .allowed(PARTS.join(", "));
            self.fault(field, fault);
        }
    }

    /// The sources that its figures may quote.
    pub(crate) const fn sources(&self) -> &'a [Arc<Source>] {
        self.sources
    }

    /// A list of lengths, all from the entry's own source: `[ "3.6 m", "3.9 m" ]`, or
    /// `{ are = [ "3.6 m", "3.9 m" ], source = "..." }`.
    pub(crate) fn lengths(&mut self, field: &'static str, limit: Limit) -> Vec<Figure<Length>> {
        let mut source = self.own_source();
        let list = match self.get(field) {
            None => return Vec::new(),
            Some(Value::Table(table)) => {
                if let Some(key) = table.get("source").and_then(Value::as_str) {
                    source = self.source_called(field, key).unwrap_or(source);
                }
                table.get("are")
            }
            list => list,
        };
        let Some(Value::Array(list)) = list else {
            self.fault(field, Fault::new(FaultKind::FieldKindWrong, "is not a list of lengths"));
            return Vec::new();
        };
        let mut found = Vec::new();
        for item in list {
            let read = item.as_str().map(read_length);
            match read {
                Some(Ok(length)) if limit.holds(length.m()) => {
                    found.push(Figure::new(length, Arc::clone(&source)));
                }
                Some(Ok(_)) => {
                    let fault =
                        Fault::new(FaultKind::FigureOutOfRange, format!("{} is out of range", limit.label))
                            .given(item)
                            .allowed(limit.range());
                    self.fault(field, fault);
                }
                Some(Err(error)) => {
                    for fault in error.into_faults() {
                        self.fault(field, fault);
                    }
                }
                None => self.wrong_kind(field, item, "a length with its unit, as text"),
            }
        }
        found
    }

    /// A length within a limit.
    pub(crate) fn length(&mut self, field: &'static str, limit: Limit) -> Option<Figure<Length>> {
        self.figure(field, read_length, Some((limit, |length: Length| length.m())))
    }

    /// The mass of a unit.
    pub(crate) fn mass(&mut self, field: &'static str) -> Option<Figure<Mass>> {
        self.figure(field, read_mass, Some((limit::unit_mass, |mass: Mass| mass.kg())))
    }

    /// A mass per area.
    pub(crate) fn cover_mass(&mut self, field: &'static str) -> Option<Figure<CoverMass>> {
        const COVER_MASS: Limit = Limit {
            name: "cover_mass",
            label: "the mass per area",
            unit: "kg/m2",
            least: 0.01,
            most: 1000.0,
        };
        self.figure(field, read_cover_mass, Some((COVER_MASS, |mass: CoverMass| mass.value)))
    }

    /// A pitch.
    pub(crate) fn pitch(&mut self, field: &'static str) -> Option<Figure<Pitch>> {
        self.figure(field, read_pitch, None)
    }

    /// An area.
    pub(crate) fn area(&mut self, field: &'static str) -> Option<Figure<Area>> {
        self.figure(field, read_area, None)
    }

    /// A plain number with a named unit behind it (or none, if the unit is empty), over 0.
    pub(crate) fn number(&mut self, field: &'static str, unit: &'static str) -> Option<Figure<f64>> {
        self.figure(field, |text| read_number(text, unit), None)
    }

    /// A whole number, 0 or more.
    pub(crate) fn count(&mut self, field: &'static str) -> Option<Figure<u32>> {
        self.figure(
            field,
            |text| {
                text.trim().parse().map_err(|_| {
                    Fault::new(FaultKind::FieldKindWrong, "is not a whole number").given(text).into()
                })
            },
            None,
        )
    }

    /// Notes fields that nobody asked for, and hands the faults over. `None` if there were any.
    pub(crate) fn finish(mut self, faults: &mut Vec<Fault>) -> Option<()> {
        let known = self.asked.join(", ");
        for field in self.table.keys() {
            if !self.asked.contains(&field.as_str()) {
                self.faults.push(
                    Fault::new(FaultKind::FieldUnknown, "is not a field of this entry")
                        .at(&self.place)
                        .given(field)
                        .allowed(&known),
                );
            }
        }
        // A source that is not listed is asked for with each figure: once is enough.
        let mut seen: Vec<Fault> = Vec::new();
        for fault in self.faults {
            if !seen.contains(&fault) {
                seen.push(fault);
            }
        }
        let clean = seen.is_empty();
        faults.extend(seen);
        clean.then_some(())
    }
}

/// A word that is not one of a list.
pub(crate) fn unknown_word<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Fault {
    Fault::new(FaultKind::ChoiceUnknown, "is not one of the words known here")
        .given(word)
        .allowed(known.collect::<Vec<_>>().join(", "))
}

fn read_number(text: &str, unit: &str) -> Result<f64> {
    let wrong = |problem: &str, kind| -> Error {
        let wanted = if unit.is_empty() { "a number".to_owned() } else { format!("a number and {unit}") };
        Fault::new(kind, problem).given(text).allowed(wanted).into()
    };
    let trimmed = text.trim();
    let bare = if unit.is_empty() {
        trimmed
    } else {
        trimmed.strip_suffix(unit).ok_or_else(|| wrong("has not the unit wanted", FaultKind::UnitUnknown))?
    };
    let value: f64 =
        bare.trim().parse().map_err(|_| wrong("cannot be read as a number", FaultKind::FieldKindWrong))?;
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(wrong("is not a number over 0", FaultKind::FigureOutOfRange))
    }
}
