//! From tables back to the survey document, with every fault at its sheet, row and cell.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Number, Value};

use super::fields::{Field, Fields, Holds, put};
use super::places::{Places, place};
use super::write::SIDES;
use super::{Cell, PLAIN_NUMBERS, Sheet, name};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::limit;
use crate::survey::check::named_apart;
use crate::survey::{Entry, SurveyDocument};

/// Reads a survey from its tables and checks it. Sheets that are none of the survey's tables are left alone, so that
/// a workbook may hold other things too.
///
/// # Errors
/// With every fault, each with its sheet, row and cell.
pub fn read_tables(sheets: &[Sheet]) -> Result<SurveyDocument> {
    let (survey, places) = document(sheets)?;
    match survey.check() {
        Ok(_) => Ok(survey),
        Err(error) => {
            Error::check(places.mapped(error))?;
            Ok(survey)
        }
    }
}

/// Reads a survey from its tables without checking it; also returns where everything stands.
pub(super) fn document(sheets: &[Sheet]) -> Result<(SurveyDocument, Places)> {
    let fields = Fields::of_document();
    let mut reading = Reading { faults: Vec::new(), places: Places::default(), plain_unit: String::new() };
    if !sheets.iter().any(|sheet| name::ALL.contains(&sheet.name.as_str())) {
        reading.faults.push(
            Fault::new(FaultKind::TablesMissing, "has none of the tables of a survey")
                .given(sheets.iter().map(|sheet| format!("'{}'", sheet.name)).collect::<Vec<_>>().join(", "))
                .allowed(name::ALL.join(", ")),
        );
    }
    let mut survey = reading.roof(sheets, &fields);
    let mut forms = reading.things(sheets, &fields, name::FORMS);
    let mut slopes = reading.things(sheets, &fields, name::SLOPES);
    reading.parts(sheets, &fields, &mut forms);
    reading.edges(sheets, &fields, &mut forms, &mut slopes);
    reading.openings(sheets, &fields, &mut forms, &mut slopes);
    reading.corners(sheets, &fields, &mut forms, &mut slopes);
    for (key, things) in [("form", forms), ("slope", slopes)] {
        if !things.is_empty() {
            put(&mut survey, key, Value::Array(things.into_iter().map(|thing| thing.value).collect()));
        }
    }
    let joints = reading.rows(sheets, &fields, name::JOINTS);
    if !joints.is_empty() {
        for (at, joint) in joints.iter().enumerate() {
            reading.places.keep(format!("joint {}", at + 1), name::JOINTS, joint.number);
        }
        put(&mut survey, "joint", Value::Array(joints.into_iter().map(|joint| joint.value).collect()));
    }
    reading.catalogue(sheets, &fields, &mut survey);
    Error::check(reading.faults)?;
    let survey = serde_json::from_value(survey).map_err(|error| {
        Fault::new(FaultKind::TableCellUnreadable, format!("cannot be read as a survey: {error}"))
    })?;
    Ok((survey, reading.places))
}

/// A row of a table: what it belongs to, and what it says.
struct Row {
    number: usize,
    /// The columns of the owner, in front of the thing's own.
    owner: BTreeMap<String, String>,
    value: Value,
}

/// A form or a slope.
struct Thing {
    /// As faults call it.
    place: String,
    name: Option<String>,
    value: Value,
}

struct Reading {
    faults: Vec<Fault>,
    places: Places,
    plain_unit: String,
}

/// The columns that say what a row belongs to.
const OWNERS: [&str; 4] = ["form", "slope", "edge", "opening"];

fn is_owner(table: &str, column: &str) -> bool {
    matches!(table, name::PARTS | name::EDGES | name::OPENINGS | name::CORNERS) && OWNERS.contains(&column)
}

fn find<'a>(sheets: &'a [Sheet], table: &str) -> Option<&'a Sheet> {
    sheets.iter().find(|sheet| sheet.name == table)
}

/// The rows of a sheet under its heading that have something in them, with their numbers.
fn filled(sheet: &Sheet) -> impl Iterator<Item = (usize, &Vec<Cell>)> {
    let numbered = sheet.rows.iter().enumerate().skip(1).map(|(at, row)| (at + 1, row));
    numbered.filter(|(_, row)| row.iter().any(|cell| !cell.is_empty()))
}

/// The name of a thing, kept as a document keeps it.
fn name_of(value: &Value) -> Entry<String> {
    match value.get("name") {
        Some(Value::String(name)) => Entry::Given(name.clone()),
        _ => Entry::Absent,
    }
}

impl Reading {
    fn fault(&mut self, sheet: &str, row: usize, column: Option<usize>, fault: Fault) {
        self.faults.push(fault.at(place(sheet, row, column)));
    }

    /// The columns of a sheet by its heading.
    fn heading(&mut self, sheet: &Sheet, known: &[&str]) -> BTreeMap<String, usize> {
        let mut columns = BTreeMap::new();
        for (at, cell) in sheet.rows.first().into_iter().flatten().enumerate() {
            let text = cell.text();
            if text.is_empty() {
                continue;
            }
            let problem = if !known.contains(&text.as_str()) {
                "is no column of this table"
            } else if columns.insert(text.clone(), at).is_some() {
                "is a column that is there twice"
            } else {
                continue;
            };
            let fault =
                Fault::new(FaultKind::TableColumnUnknown, problem).given(text).allowed(known.join(", "));
            self.fault(&sheet.name, 1, Some(at), fault);
        }
        let rows = sheet.rows.len().saturating_sub(1);
        if !limit::table_rows.holds_count(rows) {
            self.faults.push(
                Fault::new(FaultKind::TableTooLong, "has too many rows")
                    .at(format!("sheet '{}'", sheet.name))
                    .given(rows)
                    .allowed(limit::table_rows.range()),
            );
        }
        columns
    }

    /// What holds for the whole roof.
    fn roof(&mut self, sheets: &[Sheet], fields: &Fields) -> Value {
        let mut survey = Value::Object(Map::new());
        let Some(sheet) = find(sheets, name::ROOF) else { return survey };
        let columns = self.heading(sheet, &["field", "value", "meaning"]);
        let (Some(&field_at), Some(&value_at)) = (columns.get("field"), columns.get("value")) else {
            let fault = Fault::new(FaultKind::TableColumnUnknown, "has no columns 'field' and 'value'");
            self.fault(&sheet.name, 1, None, fault);
            return survey;
        };
        let mut given: Vec<(usize, &Field, &Cell)> = Vec::new();
        for (row, cells) in filled(sheet) {
            let text = cells.get(field_at).map(Cell::text).unwrap_or_default();
            let known = fields.roof.iter().find(|field| field.name == text);
            if known.is_some() {
                // An empty one too: what is missing there has its cell.
                self.places.roof(&sheet.name, value_at, &text, row);
            }
            let Some(value) = cells.get(value_at).filter(|cell| !cell.is_empty()) else { continue };
            let is_again = given.iter().any(|(_, field, _)| field.name == text);
            if let Some(field) = known.filter(|_| !is_again) {
                given.push((row, field, value));
            } else {
                let problem = if is_again { "is there twice" } else { "is no field of a survey" };
                let known: Vec<&str> = fields.roof.iter().map(|field| field.name.as_str()).collect();
                let fault =
                    Fault::new(FaultKind::TableColumnUnknown, problem).given(text).allowed(known.join(", "));
                self.fault(&sheet.name, row, Some(field_at), fault);
            }
        }
        for (row, field, cell) in &given {
            if field.name == PLAIN_NUMBERS {
                let unit = cell.text();
                if field.choices.contains(&unit.as_str()) {
                    self.plain_unit = unit;
                } else {
                    let fault = Fault::new(FaultKind::TableCellUnreadable, "is no unit for plain numbers")
                        .given(unit)
                        .allowed(field.choices.join(", "));
                    self.fault(&sheet.name, *row, Some(value_at), fault);
                }
            }
        }
        for (row, field, cell) in given {
            if field.name != PLAIN_NUMBERS
                && let Some(value) = self.value(sheet, row, value_at, field.holds, cell)
            {
                put(&mut survey, &field.name, value);
            }
        }
        survey
    }

    /// The rows of a table.
    fn rows(&mut self, sheets: &[Sheet], fields: &Fields, table: &str) -> Vec<Row> {
        let Some(sheet) = find(sheets, table) else { return Vec::new() };
        let known: Vec<&str> = fields.of(table).iter().map(|field| field.name.as_str()).collect();
        let columns = self.heading(sheet, &known);
        let mut rows = Vec::new();
        for (row, cells) in filled(sheet) {
            let mut owner = BTreeMap::new();
            let mut value = Value::Object(Map::new());
            for field in fields.of(table) {
                let Some(&at) = columns.get(&field.name) else { continue };
                let Some(cell) = cells.get(at).filter(|cell| !cell.is_empty()) else { continue };
                if is_owner(table, &field.name) {
                    owner.insert(field.name.clone(), cell.text());
                } else if let Some(read) = self.value(sheet, row, at, field.holds, cell) {
                    put(&mut value, &field.name, read);
                }
            }
            rows.push(Row { number: row, owner, value });
        }
        self.places.columns(table, columns);
        rows
    }

    /// What a cell says. What it cannot be read as is kept as it stands, and the check of the document says so.
    fn value(
        &mut self,
        sheet: &Sheet,
        row: usize,
        column: usize,
        holds: Holds,
        cell: &Cell,
    ) -> Option<Value> {
        if let Cell::Other(shown) = cell {
            let fault =
                Fault::new(FaultKind::TableCellUnreadable, "holds neither text nor a number").given(shown);
            self.fault(&sheet.name, row, Some(column), fault);
            return None;
        }
        let listed = |of: Holds| {
            let text = cell.text();
            let parts = text.split(';').map(str::trim).filter(|part| !part.is_empty());
            Value::Array(parts.map(|part| self.one(of, &Cell::Text(part.to_owned()))).collect())
        };
        Some(match holds {
            Holds::Texts => listed(Holds::Text),
            Holds::Counts => listed(Holds::Count),
            Holds::Lengths if matches!(cell, Cell::Text(_)) => listed(Holds::Length),
            Holds::Lengths => Value::Array(vec![self.one(Holds::Length, cell)]),
            other => self.one(other, cell),
        })
    }

    fn one(&self, holds: Holds, cell: &Cell) -> Value {
        let text = cell.text();
        match (holds, cell) {
            (Holds::Truth, _) => match text.to_lowercase().as_str() {
                "yes" | "true" => Value::Bool(true),
                "no" | "false" => Value::Bool(false),
                _ => Value::String(text),
            },
            (Holds::Count, _) => text.parse::<u32>().map_or(Value::String(text), Value::from),
            (Holds::Length, Cell::Number(number)) if self.plain_unit.is_empty() => {
                Number::from_f64(*number).map_or(Value::String(text), Value::Number)
            }
            (Holds::Length, Cell::Number(_)) => Value::String(format!("{text} {}", self.plain_unit)),
            (Holds::Pitch | Holds::CoverMass, Cell::Number(number)) => {
                Number::from_f64(*number).map_or(Value::String(text), Value::Number)
            }
            // The blanks of a text are its own.
            (Holds::Text, Cell::Text(whole)) => Value::String(whole.clone()),
            _ => Value::String(text),
        }
    }

    fn things(&mut self, sheets: &[Sheet], fields: &Fields, table: &str) -> Vec<Thing> {
        let noun = if table == name::FORMS { "form" } else { "slope" };
        let rows = self.rows(sheets, fields, table);
        let mut earlier = BTreeSet::new();
        rows.into_iter()
            .enumerate()
            .map(|(at, row)| {
                let entry = name_of(&row.value);
                let place = named_apart(noun, at + 1, &entry, &mut earlier);
                self.places.keep(place.clone(), table, row.number);
                Thing { place, name: entry.given().cloned(), value: row.value }
            })
            .collect()
    }

    /// The thing that a row names.
    fn named<'a>(things: &'a mut [Thing], label: &str) -> Option<&'a mut Thing> {
        let numbered = label.strip_prefix('#').and_then(|number| number.trim().parse::<usize>().ok());
        let at = match numbered {
            Some(number) => number.checked_sub(1),
            None => things.iter().position(|thing| thing.name.as_deref().map(str::trim) == Some(label)),
        };
        things.get_mut(at?)
    }

    /// The slope that a row belongs to, and how faults call it.
    fn owner<'a>(
        &mut self,
        table: &str,
        row: &Row,
        forms: &'a mut [Thing],
        slopes: &'a mut [Thing],
    ) -> Option<(&'a mut Value, String)> {
        let form = row.owner.get("form").map_or("", String::as_str);
        let slope = row.owner.get("slope").map_or("", String::as_str);
        let known = |things: &[Thing]| {
            let names = things.iter().enumerate();
            names
                .map(|(at, of)| of.name.clone().unwrap_or_else(|| format!("#{}", at + 1)))
                .collect::<Vec<_>>()
                .join(", ")
        };
        if form.is_empty() {
            let allowed = known(slopes);
            if let Some(found) = Self::named(slopes, slope) {
                return Some((&mut found.value, found.place.clone()));
            }
            let fault = Fault::new(FaultKind::TableRowUnplaced, "belongs to no slope of the table 'Slopes'");
            self.fault(table, row.number, None, fault.given(format!("\"{slope}\"")).allowed(allowed));
            return None;
        }
        let allowed = known(forms);
        let Some(found) = Self::named(forms, form) else {
            let fault = Fault::new(FaultKind::TableRowUnplaced, "belongs to no form of the table 'Forms'");
            self.fault(table, row.number, None, fault.given(format!("\"{form}\"")).allowed(allowed));
            return None;
        };
        let place = format!("{}, {slope}", found.place);
        if slope.is_empty() {
            return Some((&mut found.value, found.place.clone()));
        }
        let Value::Object(of_form) = &mut found.value else { return None };
        let part = if SIDES.contains(&slope) {
            of_form.entry(slope)
        } else {
            let further = of_form.entry("slopes").or_insert_with(|| Value::Object(Map::new()));
            let Value::Object(further) = further else { return None };
            further.entry(slope)
        };
        Some((part.or_insert_with(|| Value::Object(Map::new())), place))
    }

    fn parts(&mut self, sheets: &[Sheet], fields: &Fields, forms: &mut [Thing]) {
        for row in self.rows(sheets, fields, name::PARTS) {
            let Some((part, place)) = self.owner(name::PARTS, &row, forms, &mut []) else { continue };
            if let (Value::Object(part), Value::Object(own)) = (part, row.value.clone()) {
                part.extend(own);
            }
            self.places.keep(place, name::PARTS, row.number);
        }
    }

    fn edges(&mut self, sheets: &[Sheet], fields: &Fields, forms: &mut [Thing], slopes: &mut [Thing]) {
        for row in self.rows(sheets, fields, name::EDGES) {
            let edge = row.owner.get("edge").cloned().unwrap_or_default();
            let Some((slope, place)) = self.owner(name::EDGES, &row, forms, slopes) else { continue };
            let Value::Object(slope) = slope else { continue };
            let edges = slope.entry("edges").or_insert_with(|| Value::Object(Map::new()));
            let Value::Object(edges) = edges else { continue };
            if edges.insert(edge.clone(), row.value.clone()).is_some() {
                let fault =
                    Fault::new(FaultKind::TableRowUnplaced, "is about an edge that another row is about");
                self.fault(name::EDGES, row.number, None, fault.given(format!("\"{edge}\"")));
            }
            self.places.keep(format!("{place}, edge '{edge}'"), name::EDGES, row.number);
        }
    }

    fn openings(&mut self, sheets: &[Sheet], fields: &Fields, forms: &mut [Thing], slopes: &mut [Thing]) {
        for row in self.rows(sheets, fields, name::OPENINGS) {
            let Some((slope, place)) = self.owner(name::OPENINGS, &row, forms, slopes) else { continue };
            let Value::Object(slope) = slope else { continue };
            let openings = slope.entry("opening").or_insert_with(|| Value::Array(Vec::new()));
            let Value::Array(openings) = openings else { continue };
            openings.push(row.value.clone());
            let noun = opening_place(openings, openings.len() - 1);
            self.places.keep(format!("{place}, {noun}"), name::OPENINGS, row.number);
        }
    }

    fn corners(&mut self, sheets: &[Sheet], fields: &Fields, forms: &mut [Thing], slopes: &mut [Thing]) {
        for row in self.rows(sheets, fields, name::CORNERS) {
            let label = row.owner.get("opening").cloned().unwrap_or_default();
            let Some((slope, place)) = self.owner(name::CORNERS, &row, forms, slopes) else { continue };
            let (holder, place) = if label.is_empty() {
                (slope, place)
            } else {
                let Some((noun, opening)) = opening_named(slope, &label) else {
                    let fault = Fault::new(FaultKind::TableRowUnplaced, "belongs to no opening of its slope");
                    self.fault(name::CORNERS, row.number, None, fault.given(format!("\"{label}\"")));
                    continue;
                };
                (opening, format!("{place}, {noun}"))
            };
            let Value::Object(holder) = holder else { continue };
            let points = holder.entry("points").or_insert_with(|| Value::Array(Vec::new()));
            let Value::Array(points) = points else { continue };
            let pair = ["right", "up"].iter().filter_map(|axis| row.value.get(axis).cloned()).collect();
            points.push(Value::Array(pair));
            self.places.keep(format!("{place}, corner {}", points.len()), name::CORNERS, row.number);
        }
    }

    /// The lines of a catalogue of the user's own.
    fn catalogue(&mut self, sheets: &[Sheet], fields: &Fields, survey: &mut Value) {
        let rows = self.rows(sheets, fields, name::CATALOGUE);
        let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return };
        // Empty rows are kept, so that a line of the text is a row of the sheet.
        let mut lines = vec![String::new(); last.number.saturating_sub(first.number) + 1];
        for row in &rows {
            let text = row.value.get("text").and_then(Value::as_str).unwrap_or_default();
            if let Some(line) = lines.get_mut(row.number.saturating_sub(first.number)) {
                text.clone_into(line);
            }
        }
        let text = lines.join("\n");
        match toml::from_str::<Value>(&text) {
            Ok(own) => {
                put(survey, "catalogue", own);
                self.places.keep("catalogue".to_owned(), name::CATALOGUE, first.number);
            }
            Err(error) => {
                let before = error.span().and_then(|span| text.get(..span.start)).unwrap_or_default();
                let row = first.number + before.matches('\n').count();
                let problem = format!("is not TOML: {}", error.message().trim().replace('\n', ", "));
                self.fault(name::CATALOGUE, row, None, Fault::new(FaultKind::TableCellUnreadable, problem));
            }
        }
    }
}

/// How faults call an opening among those of its slope.
fn opening_place(openings: &[Value], at: usize) -> String {
    let mut earlier = BTreeSet::new();
    let places =
        (1..).zip(openings).map(|(number, of)| named_apart("opening", number, &name_of(of), &mut earlier));
    places.take(at + 1).last().unwrap_or_default()
}

/// The opening of a slope that a row names, and how faults call it.
fn opening_named<'a>(slope: &'a mut Value, label: &str) -> Option<(String, &'a mut Value)> {
    let openings = slope.get_mut("opening")?.as_array_mut()?;
    let at = match label.strip_prefix('#').and_then(|number| number.trim().parse::<usize>().ok()) {
        Some(number) => number.checked_sub(1)?,
        None => openings
            .iter()
            .position(|of| of.get("name").and_then(Value::as_str).map(str::trim) == Some(label))?,
    };
    let place = opening_place(openings, at);
    Some((place, openings.get_mut(at)?))
}
