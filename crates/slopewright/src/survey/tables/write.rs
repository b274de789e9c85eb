//! From a survey document to its tables.

use serde_json::Value;

use super::fields::{Field, Fields, Holds, get};
use super::{Cell, SurveyTable, name};
use crate::error::{Fault, FaultKind, Result};
use crate::survey::SurveyDocument;

/// What lies between the parts of a cell that holds several.
pub(super) const BETWEEN: &str = "; ";

/// The slopes of a form that have fields of their own.
pub(super) const SIDES: [&str; 4] = ["front", "rear", "left", "right"];

/// The empty tables of a survey: a template to fill in.
#[must_use]
pub fn template() -> Vec<SurveyTable> {
    Writing::of(&Value::Null).tables
}

/// The tables of a survey.
///
/// # Errors
/// If the survey holds what a table cannot say: fields that are not known, or that cannot be read.
pub fn tables_of(survey: &SurveyDocument) -> Result<Vec<SurveyTable>> {
    let tables = Writing::of(&serde_json::to_value(survey).unwrap_or_default()).tables;
    let sheets: Vec<_> = tables.iter().map(SurveyTable::sheet).collect();
    // What can be read back as it was has been written whole.
    match super::read::document(&sheets) {
        Ok((back, _)) if is_equal(&back, survey) => Ok(tables),
        _ => Err(Fault::new(FaultKind::DocumentNotWritable, "holds what tables cannot say")
            .advice("mend its faults first, or write it as TOML or JSON")
            .into()),
    }
}

/// Whether two surveys say the same; an empty structure says nothing.
fn is_equal(one: &SurveyDocument, other: &SurveyDocument) -> bool {
    let said = |survey| serde_json::to_value(survey).map(without_empty).ok();
    said(one) == said(other)
}

fn without_empty(value: Value) -> Value {
    let is_nothing = |value: &Value| match value {
        Value::Null => true,
        Value::Array(items) => items.is_empty(),
        Value::Object(fields) => fields.is_empty(),
        _ => false,
    };
    match value {
        Value::Array(items) => Value::Array(items.into_iter().map(without_empty).collect()),
        Value::Object(fields) => Value::Object(
            fields
                .into_iter()
                .map(|(key, field)| (key, without_empty(field)))
                .filter(|(_, field)| !is_nothing(field))
                .collect(),
        ),
        other => other,
    }
}

/// Several things of one kind: what each is called where another row names it.
fn labels(things: &[Value]) -> Vec<String> {
    let name = |thing: &Value| thing.get("name").and_then(Value::as_str).map(str::to_owned);
    let names: Vec<_> = things.iter().map(name).collect();
    names
        .iter()
        .enumerate()
        .map(|(at, name)| match name {
            Some(name)
                if name.trim() == name
                    && !name.is_empty()
                    && !name.starts_with('#')
                    && names.iter().filter(|other| other.as_ref() == Some(name)).count() == 1 =>
            {
                name.clone()
            }
            _ => format!("#{}", at + 1),
        })
        .collect()
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value.get(key).and_then(Value::as_array).map_or(&[], Vec::as_slice)
}

/// The cell of a field.
fn cell(value: Option<&Value>) -> Cell {
    match value {
        None | Some(Value::Null | Value::Object(_)) => Cell::Empty,
        Some(Value::Bool(truth)) => Cell::Text(if *truth { "yes" } else { "no" }.to_owned()),
        Some(Value::String(text)) => Cell::Text(text.clone()),
        Some(Value::Number(number)) => number.as_f64().map_or(Cell::Empty, Cell::Number),
        Some(Value::Array(items)) => {
            let texts: Vec<String> = items.iter().map(|item| cell(Some(item)).text()).collect();
            Cell::Text(texts.join(BETWEEN))
        }
    }
}

fn cells(value: &Value, fields: &[Field]) -> Vec<Cell> {
    fields.iter().map(|field| cell(get(value, &field.name))).collect()
}

struct Writing {
    fields: Fields,
    tables: Vec<SurveyTable>,
}

impl Writing {
    fn of(survey: &Value) -> Self {
        let fields = Fields::of_document();
        let tables = name::ALL
            .iter()
            .map(|&name| SurveyTable {
                name,
                meaning: meaning(name),
                columns: match name {
                    name::ROOF => vec![
                        Field::new("field", "The field.", Holds::Text),
                        Field::new("value", "What it is.", Holds::Text),
                        Field::new("meaning", "What it means.", Holds::Text),
                    ],
                    _ => fields.of(name).to_vec(),
                },
                rows: Vec::new(),
            })
            .collect();
        let mut writing = Self { fields, tables };
        writing.roof(survey);
        let forms = list(survey, "form");
        for (form, label) in forms.iter().zip(labels(forms)) {
            writing.row(name::FORMS, &[], form);
            writing.corners([&label, "", ""], form);
            let further = form.get("slopes").and_then(Value::as_object);
            let sides = SIDES.iter().filter_map(|side| Some((*side, form.get(side)?)));
            for (side, detail) in
                sides.chain(further.into_iter().flatten().map(|(side, of)| (side.as_str(), of)))
            {
                let part =
                    writing.fields.parts.iter().skip(2).any(|field| get(detail, &field.name).is_some());
                if part {
                    writing.row(name::PARTS, &[&label, side], detail);
                }
                writing.slope([&label, side], detail);
            }
        }
        let slopes = list(survey, "slope");
        for (slope, label) in slopes.iter().zip(labels(slopes)) {
            writing.row(name::SLOPES, &[], slope);
            writing.corners(["", &label, ""], slope);
            writing.slope(["", &label], slope);
        }
        for joint in list(survey, "joint") {
            writing.row(name::JOINTS, &[], joint);
        }
        if let Some(text) = survey.get("catalogue").and_then(|own| toml::to_string(own).ok()) {
            for line in text.lines() {
                writing.push(name::CATALOGUE, vec![Cell::Text(line.to_owned())]);
            }
        }
        writing
    }

    fn push(&mut self, table: &str, row: Vec<Cell>) {
        if let Some(table) = self.tables.iter_mut().find(|of| of.name == table) {
            table.rows.push(row);
        }
    }

    /// A row of a thing: what it belongs to, then its own fields.
    fn row(&mut self, table: &str, owner: &[&str], of: &Value) {
        let owners = owner.iter().map(|text| text_or_empty(text));
        let own = self.fields.of(table).get(owner.len()..).unwrap_or_default();
        let row = owners.chain(cells(of, own)).collect();
        self.push(table, row);
    }

    fn roof(&mut self, survey: &Value) {
        for field in self.fields.roof.clone() {
            let value = cell(get(survey, &field.name));
            let value = match (field.name.as_str(), value) {
                ("slopewright", Cell::Empty) => Cell::Number(f64::from(crate::survey::DOCUMENT_VERSION)),
                (_, value) => value,
            };
            self.push(name::ROOF, vec![Cell::Text(field.name), value, Cell::Text(field.meaning)]);
        }
    }

    /// The edges and openings of a slope.
    fn slope(&mut self, owner: [&str; 2], of: &Value) {
        let [form, slope] = owner;
        for (edge, detail) in of.get("edges").and_then(Value::as_object).into_iter().flatten() {
            self.row(name::EDGES, &[form, slope, edge], detail);
        }
        let openings = list(of, "opening");
        for (opening, label) in openings.iter().zip(labels(openings)) {
            self.row(name::OPENINGS, &owner, opening);
            self.corners([form, slope, &label], opening);
        }
    }

    fn corners(&mut self, owner: [&str; 3], of: &Value) {
        for corner in list(of, "points") {
            let at = |number: usize| cell(corner.get(number));
            let row = owner.iter().map(|text| text_or_empty(text)).chain([at(0), at(1)]).collect();
            self.push(name::CORNERS, row);
        }
    }
}

fn text_or_empty(text: &str) -> Cell {
    if text.is_empty() { Cell::Empty } else { Cell::Text(text.to_owned()) }
}

fn meaning(table: &str) -> &'static str {
    match table {
        name::ROOF => "What holds for the whole roof, a field in each row.",
        name::FORMS => "Whole roofs by their form, measured in plan at the eaves; a form in each row.",
        name::SLOPES => "Slopes measured one by one in their own plane; a slope in each row.",
        name::PARTS => "A covering of its own for one slope of a form.",
        name::EDGES => "Edges that differ from what the form or shape says.",
        name::OPENINGS => "Holes in the covering: roof windows, chimneys, pipes, hatches.",
        name::CORNERS => {
            "The corners of outlines, plans and openings that are no rectangles, one after the other."
        }
        name::JOINTS => "Edges that two stated slopes share.",
        _ => "Coverings, battens, underlays and nails of your own: the lines of a catalogue file.",
    }
}
