//! Reads the documents of the salvage and order rooms part by part, so that every part with a fault is reported and not
//! only the first.

use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use crate::error::{Error, Fault, FaultKind, Result};
use crate::fault_list::FaultList;
use crate::quantity::limit;
use crate::reader_words::{fault_of, lacks, not_json, unknown};
use crate::survey::shown;
use crate::survey::upgrade::{Step, upgraded};

/// The version of these documents that this library reads and writes; the same key as in a survey.
pub const DOCUMENT_VERSION: u64 = 1;

/// The key of the version.
const VERSION_KEY: &str = "slopewright";

/// A table of a document, from which its fields are taken one by one. What is left at the end is unknown.
pub(crate) struct Fields {
    place: String,
    kind: FaultKind,
    rest: Map<String, Value>,
    /// Whether it is a table at all; if not, nothing is missing in it.
    is_table: bool,
    known: Vec<&'static str>,
    faults: FaultList,
}

impl Fields {
    /// The fields of a document in TOML or, if it is so, in JSON.
    ///
    /// One of an older version goes through the steps of its kind first.
    pub(crate) fn read(text: &str, is_json: bool, kind: FaultKind, steps: &[Step]) -> Result<Self> {
        limit::document_size.check_size(text.len(), kind, "a document")?;
        let value: Value = if is_json {
            serde_json::from_str(text)
                .map_err(|error| Fault::new(kind, not_json(&error)).at(format!("line {}", error.line())))?
        } else {
            toml::from_str(text).map_err(|error| {
                let lines = |end: usize| 1 + text.get(..end).unwrap_or_default().matches('\n').count();
                let place =
                    error.span().map_or_else(String::new, |span| format!("line {}", lines(span.start)));
                Fault::new(kind, format!("is not TOML: {}", error.message().trim().replace('\n', ", ")))
                    .at(place)
            })?
        };
        let mut fields = Self::of(up_to_date(value, steps), String::new(), kind);
        match fields.rest.remove(VERSION_KEY) {
            Some(version) if version.as_u64() == Some(DOCUMENT_VERSION) => {}
            Some(version) => fields.fault(
                Fault::new(kind, "is of a version that this library does not know")
                    .given(version)
                    .allowed(format!("{VERSION_KEY} = {DOCUMENT_VERSION}"))
                    .advice("use a newer library, or write the document anew in the version named"),
            ),
            None => fields.fault(
                Fault::new(kind, "does not say its version")
                    .advice(format!("put it in the first line: {VERSION_KEY} = {DOCUMENT_VERSION}")),
            ),
        }
        Ok(fields)
    }

    fn of(value: Value, place: String, kind: FaultKind) -> Self {
        let (rest, other) = match value {
            Value::Object(fields) => (fields, None),
            other => (Map::new(), Some(other)),
        };
        let is_table = other.is_none();
        let mut read = Self { place, kind, rest, is_table, known: Vec::new(), faults: FaultList::default() };
        if let Some(other) = other {
            read.fault(Fault::new(kind, "is not a table").given(shown(&other)).allowed("a table"));
        }
        read
    }

    fn fault(&mut self, fault: Fault) {
        let place = &self.place;
        self.faults.push(|| fault.at(place));
    }

    fn taken(&mut self, field: &'static str) -> Option<Value> {
        self.known.push(field);
        self.rest.remove(field)
    }

    fn value<T: DeserializeOwned>(&mut self, place: &str, value: &Value) -> Option<T> {
        match T::deserialize(value) {
            Ok(read) => Some(read),
            Err(error) => {
                self.fault(fault_of(self.kind, &error.to_string(), value).at(place));
                None
            }
        }
    }

    /// A field that may be absent.
    pub(crate) fn one<T: DeserializeOwned>(&mut self, field: &'static str) -> Option<T> {
        let value = self.taken(field)?;
        self.value(field, &value)
    }

    /// A field that has to be there.
    pub(crate) fn needed<T: DeserializeOwned>(&mut self, field: &'static str) -> Option<T> {
        self.is_there(field).then(|| self.one(field)).flatten()
    }

    /// Whether a field that has to be there is; a fault if it is not.
    fn is_there(&mut self, field: &'static str) -> bool {
        let is_there = self.rest.contains_key(field);
        if !is_there {
            self.known.push(field);
            if self.is_table {
                self.fault(lacks(self.kind, field));
            }
        }
        is_there
    }

    /// A list, row by row.
    pub(crate) fn list<T: DeserializeOwned>(&mut self, field: &'static str) -> Vec<T> {
        let rows = self.rows_of(field);
        rows.into_iter().filter_map(|(place, row)| self.value(&place, &row)).collect()
    }

    /// A list of tables, each read field by field, so that a row tells all its faults.
    pub(crate) fn tables<T>(&mut self, field: &'static str, read: impl Fn(&mut Self) -> Option<T>) -> Vec<T> {
        let rows = self.rows_of(field);
        rows.into_iter().filter_map(|(place, row)| self.inner(&place, row, &read)).collect()
    }

    /// The rows of a list with their places.
    fn rows_of(&mut self, field: &'static str) -> Vec<(String, Value)> {
        match self.taken(field) {
            None => Vec::new(),
            Some(Value::Array(rows)) => {
                if !limit::list_rows.holds_count(rows.len()) {
                    let fault = Fault::new(self.kind, "has too many rows").at(field).given(rows.len());
                    self.fault(fault.allowed(limit::list_rows.range()));
                    return Vec::new();
                }
                (1..).zip(rows).map(|(number, row)| (format!("{field} {number}"), row)).collect()
            }
            Some(other) => {
                let fault = Fault::new(self.kind, "is not a list").given(shown(&other)).allowed("a list");
                self.fault(fault.at(field));
                Vec::new()
            }
        }
    }

    /// A table inside this one; empty if it is absent.
    pub(crate) fn within<T>(&mut self, field: &'static str, read: impl FnOnce(&mut Self) -> T) -> T {
        let value = self.taken(field).unwrap_or_else(|| Value::Object(Map::new()));
        self.inner(field, value, read)
    }

    /// A table inside this one that has to be there.
    pub(crate) fn needed_within<T>(
        &mut self,
        field: &'static str,
        read: impl FnOnce(&mut Self) -> Option<T>,
    ) -> Option<T> {
        self.is_there(field).then(|| self.within(field, read)).flatten()
    }

    fn inner<T>(&mut self, place: &str, value: Value, read: impl FnOnce(&mut Self) -> T) -> T {
        let place = if self.place.is_empty() { place.to_owned() } else { format!("{}, {place}", self.place) };
        let mut inner = Self::of(value, place, self.kind);
        let result = read(&mut inner);
        inner.close();
        self.faults.append(inner.faults);
        result
    }

    /// Whether there is a field of that name.
    pub(crate) fn has(&self, field: &str) -> bool {
        self.rest.contains_key(field)
    }

    fn close(&mut self) {
        let known = self.known.join(", ");
        for (name, value) in core::mem::take(&mut self.rest) {
            self.fault(unknown(self.kind, &name, &known).given(shown(&value)));
        }
    }

    /// The end of the document: every fault, unknown fields among them.
    pub(crate) fn finish(mut self) -> Result<()> {
        self.close();
        self.faults.check()
    }
}

/// The document itself, or what the steps make of one of an older version.
fn up_to_date(document: Value, steps: &[Step]) -> Value {
    let version =
        document.get(VERSION_KEY).and_then(Value::as_u64).and_then(|version| version.try_into().ok());
    match (document, version) {
        (Value::Object(fields), Some(version)) if version > 0 => {
            Value::Object(upgraded(fields, version, steps))
        }
        (document, _) => document,
    }
}

/// A schema with the version that every document states.
pub(crate) fn versioned(schema: schemars::Schema) -> Value {
    let mut schema = schema.to_value();
    if let Some(properties) = schema.get_mut("properties").and_then(Value::as_object_mut) {
        let version =
            serde_json::json!({ "description": "The version of this document.", "const": DOCUMENT_VERSION });
        properties.insert(VERSION_KEY.to_owned(), version);
    }
    if let Some(required) = schema.as_object_mut() {
        let list = required.entry("required").or_insert_with(|| Value::Array(Vec::new()));
        if let Some(list) = list.as_array_mut() {
            list.push(VERSION_KEY.into());
        }
    }
    schema
}

/// A document as JSON on several lines, headed by its version.
pub(crate) fn write_json(document: &impl serde::Serialize) -> Result<String> {
    let not_writable = |error: &dyn core::fmt::Display| {
        Error::from(Fault::new(FaultKind::DocumentNotWritable, format!("cannot be written: {error}")))
    };
    let value = serde_json::to_value(document).map_err(|error| not_writable(&error))?;
    let mut fields = Map::from_iter([(VERSION_KEY.to_owned(), DOCUMENT_VERSION.into())]);
    fields.extend(value.as_object().cloned().unwrap_or_default());
    serde_json::to_string_pretty(&fields).map_err(|error| not_writable(&error))
}

/// A document as TOML, headed by its version.
pub(crate) fn write_toml(document: &impl serde::Serialize) -> Result<String> {
    toml::to_string(document).map(|text| format!("{VERSION_KEY} = {DOCUMENT_VERSION}\n{text}")).map_err(
        |error| Fault::new(FaultKind::DocumentNotWritable, format!("cannot be written: {error}")).into(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A made-up step from version 1 to 2, of a document that is at home in version 2.
    #[test]
    fn an_older_document_goes_through_the_steps_and_a_newer_one_stays_as_it_is() {
        let steps: &[Step] = &[|document| {
            if let Some(old) = document.remove("piles") {
                document.insert("heaps".to_owned(), old);
            }
        }];
        let taken = |document: Value| up_to_date(document, steps);
        let newest = serde_json::json!({ "slopewright": 2, "heaps": [] });
        assert_eq!(taken(serde_json::json!({ "slopewright": 1, "piles": [] })), newest);
        for untouched in [
            newest.clone(),
            serde_json::json!({ "slopewright": 0, "piles": [] }),
            serde_json::json!({ "slopewright": 3, "piles": [] }),
            serde_json::json!({ "slopewright": "1", "piles": [] }),
            serde_json::json!([1]),
        ] {
            assert_eq!(taken(untouched.clone()), untouched);
        }
    }
}
