//! Reading the figures of an entry: text with a unit, a source, and a note.

use std::sync::Arc;

use toml::{Table, Value};

use super::entry::Entry;
use super::figure::Figure;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{
    Area, CoverMass, Length, LengthIn as _, Limit, Mass, MassIn as _, Pitch, limit, read_area,
    read_cover_mass, read_length, read_mass, read_pitch,
};

/// A limit, and how a value is measured against it.
type Within<T> = (Limit, fn(T) -> f64);

impl Entry<'_> {
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
                            None => Fault::new(FaultKind::CatalogueFieldMissing, "has no value"),
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
            let fault = Fault::new(FaultKind::CatalogueFieldUnknown, "is not a part of a figure")
                .given(part)
                .allowed(PARTS.join(", "));
            self.fault(field, fault);
        }
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
        self.figure(field, read_cover_mass, Some((limit::mass_per_area, |mass: CoverMass| mass.value)))
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
