//! Reads the documents of the salvage and order rooms part by part, so that every part with a fault is reported and not
//! only the first.

use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use crate::error::{Error, Fault, FaultKind, Result};
use crate::fault_list::FaultList;
use crate::quantity::limit;
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
            serde_json::from_str(text).map_err(|error| {
                Fault::new(kind, format!("is not JSON: {error}")).at(format!("line {}", error.line()))
            })?
        } else {
            toml::from_str(text).map_err(|error| {
                let lines = |end: usize| 1 + text.get(..end).unwrap_or_default().matches('\n').count();
                let place =
                    error.span().map_or_else(String::new, |span| format!("line {}", lines(span.start)));
                Fault::new(kind, format!("is not TOML: {}", error.message().trim())).at(place)
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
        let mut read =
            Self { place, kind, rest: Map::new(), known: Vec::new(), faults: FaultList::default() };
        match value {
            Value::Object(fields) => read.rest = fields,
            other => read.fault(Fault::new(kind, "is not a table").given(other)),
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

    fn value<T: DeserializeOwned>(&mut self, place: &str, value: Value) -> Option<T> {
        match T::deserialize(&value) {
            Ok(read) => Some(read),
            Err(error) => {
                let problem = format!("cannot be read ({})", in_plain_words(&error.to_string()));
                self.fault(Fault::new(self.kind, problem).at(place).given(value));
                None
            }
        }
    }

    /// A field that may be absent.
    pub(crate) fn one<T: DeserializeOwned>(&mut self, field: &'static str) -> Option<T> {
        let value = self.taken(field)?;
        self.value(field, value)
    }

    /// A field that has to be there.
    pub(crate) fn needed<T: DeserializeOwned>(&mut self, field: &'static str) -> Option<T> {
        if !self.rest.contains_key(field) {
            self.known.push(field);
            self.fault(Fault::new(self.kind, format!("has no '{field}'")));
            return None;
        }
        self.one(field)
    }

    /// A list, row by row.
    pub(crate) fn list<T: DeserializeOwned>(&mut self, field: &'static str) -> Vec<T> {
        match self.taken(field) {
            None => Vec::new(),
            Some(Value::Array(rows)) => {
                if !limit::list_rows.holds_count(rows.len()) {
                    let fault = Fault::new(self.kind, "has too many rows").at(field).given(rows.len());
                    self.fault(fault.allowed(limit::list_rows.range()));
                    return Vec::new();
                }
                let rows = rows.into_iter().enumerate();
                rows.filter_map(|(at, row)| self.value(&format!("{field} {}", at + 1), row)).collect()
            }
            Some(other) => {
                self.fault(Fault::new(self.kind, "is not a list").at(field).given(other));
                Vec::new()
            }
        }
    }

    /// A table inside this one; empty if it is absent.
    pub(crate) fn within<T>(&mut self, field: &'static str, read: impl FnOnce(&mut Self) -> T) -> T {
        let value = self.taken(field).unwrap_or_else(|| Value::Object(Map::new()));
        let place = if self.place.is_empty() { field.to_owned() } else { format!("{}, {field}", self.place) };
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
            let fault = Fault::new(self.kind, format!("has no field '{name}'")).given(value);
            self.fault(fault.allowed(&known).advice("take the field out, or use one of those listed"));
        }
    }

    /// The end of the document: every fault, unknown fields among them.
    pub(crate) fn finish(mut self) -> Result<()> {
        self.close();
        self.faults.check()
    }
}

/// The reader's message without the names of our types.
fn in_plain_words(message: &str) -> String {
    for of_a_type in ["expected struct", "expected internally tagged enum"] {
        if let Some((before, _)) = message.split_once(of_a_type) {
            return format!("{before}expected a table");
        }
    }
    message.to_owned()
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
