//! The outcomes of rows as Arrow tables: totals, lines and errors.

use std::collections::HashMap;
use std::ops::Range;
use std::sync::Arc;

use arrow_array::builder::{Float64Builder, StringBuilder, UInt32Builder};
use arrow_array::{ArrayRef, Float64Array, Int64Array, RecordBatch, StringArray, UInt64Array};
use arrow_schema::{ArrowError, DataType, Field, Schema, SchemaRef};
use slopewright::Fault;
use slopewright::batch::{Study, StudyCase, TotalColumn, Totals, Value};

use super::work::Work;
use crate::rows::{Ids, SlopeRows};

/// What the rows of a part are called by, in an output table.
fn id_column(ids: &Ids, rows: &[usize]) -> Option<ArrayRef> {
    Some(match ids {
        Ids::None => return None,
        Ids::Texts(texts) => Arc::new(rows.iter().map(|at| texts.get(*at)).collect::<StringArray>()),
        Ids::Numbers(numbers) => {
            use arrow_array::Array as _;
            Arc::new(
                rows.iter()
                    .map(|at| (!numbers.is_null(*at)).then(|| numbers.value(*at)))
                    .collect::<Int64Array>(),
            )
        }
    })
}

fn field(name: &str, kind: DataType, nullable: bool, meaning: &str) -> Field {
    let metadata = HashMap::from([("meaning".to_owned(), meaning.to_owned())]);
    Field::new(name, kind, nullable).with_metadata(metadata)
}

/// What every table was made with: two runs with both of these equal give the same totals for the same rows.
fn origin() -> HashMap<String, String> {
    HashMap::from([
        ("library".to_owned(), slopewright::VERSION.to_owned()),
        ("data_sha256".to_owned(), slopewright::origin::data_sha256().to_owned()),
    ])
}

/// The schemas of the three tables.
pub(super) struct Schemas {
    pub(super) totals: SchemaRef,
    pub(super) lines: SchemaRef,
    pub(super) errors: SchemaRef,
}

impl Schemas {
    pub(super) fn new(work: &Work, id: Option<&DataType>, is_study: bool) -> Self {
        let head = || {
            let mut fields = vec![field("row_number", DataType::UInt64, false, "number of the row, from 0")];
            fields.extend(id.map(|kind| field("id", kind.clone(), true, "what the row is called by")));
            fields
        };
        let mut totals = head();
        totals.push(field("covering", DataType::Utf8, false, "key of the covering"));
        if is_study {
            totals.push(field("gauge_most_mm", DataType::Float64, true, "largest gauge of the case"));
            totals.push(field(
                "eaves_overhang_mm",
                DataType::Float64,
                true,
                "overhang at the eaves of the case",
            ));
        }
        totals.extend(work.column_list().map(|column| {
            let kind = if column.is_count() { DataType::UInt32 } else { DataType::Float64 };
            field(column.name, kind, true, column.meaning)
        }));
        let mut lines = head();
        lines.extend([
            field("part", DataType::Utf8, false, "part of the roof"),
            field("item", DataType::Utf8, false, "what it is, in the trade's words"),
            field("format", DataType::Utf8, false, "key of the covering; empty for other parts"),
            field("count", DataType::UInt32, true, "how many"),
            field("length_m", DataType::Float64, true, "how long"),
            field("area_m2", DataType::Float64, true, "how large"),
        ]);
        let mut errors = head();
        errors.extend([
            field("kind", DataType::Utf8, false, "kind of the fault, a stable code"),
            field(
                "place",
                DataType::Utf8,
                false,
                "where: the column, and the place in it; empty for the row as a whole",
            ),
            field("problem", DataType::Utf8, false, "what is wrong"),
            field("given", DataType::Utf8, false, "what was given"),
            field("allowed", DataType::Utf8, false, "what is allowed"),
            field("advice", DataType::Utf8, false, "what to do"),
        ]);
        let schema = |fields: Vec<Field>| Arc::new(Schema::new_with_metadata(fields, origin()));
        Self { totals: schema(totals), lines: schema(lines), errors: schema(errors) }
    }
}

/// Where the outcomes of a part come from: rows, or the cases of a study over rows.
pub(super) struct Source<'a> {
    pub(super) rows: &'a SlopeRows,
    pub(super) study: Option<&'a Study>,
    pub(super) first_number: u64,
}

impl Source<'_> {
    /// The row that an outcome is of.
    fn row(&self, at: usize) -> usize {
        self.study.and_then(|study| study.case(at)).map_or(at, |case| case.slope)
    }

    fn covering(&self, at: usize) -> Option<&str> {
        let of_study = self.study.and_then(|study| study.case(at)).and_then(|case| case.covering);
        let own = || self.rows.covering.as_ref().and_then(|column| column.get(self.row(at)));
        of_study.or_else(own).filter(|key| !key.is_empty())
    }

    /// The columns that a study has more.
    fn case_columns(&self, at: &[usize]) -> Vec<ArrayRef> {
        let Some(study) = self.study else { return Vec::new() };
        let figure = |value: fn(&StudyCase<'_>) -> Option<f64>| -> ArrayRef {
            let values =
                at.iter().map(|at| study.case(*at).and_then(|case| value(&case)).map(|by| by * 1000.0));
            Arc::new(values.collect::<Float64Array>())
        };
        vec![figure(|case| case.gauge_m), figure(|case| case.eaves_overhang_m)]
    }
}

/// The tables of one part.
pub(super) struct Part {
    pub(super) totals: RecordBatch,
    pub(super) lines: Option<RecordBatch>,
    pub(super) errors: Option<RecordBatch>,
    pub(super) faulty: usize,
}

pub(super) type Outcomes = Vec<slopewright::Result<Totals>>;

pub(super) fn part(
    work: &Work,
    schemas: &Schemas,
    source: &Source<'_>,
    range: Range<usize>,
    outcomes: &Outcomes,
) -> Result<Part, ArrowError> {
    let numbered = || range.clone().zip(outcomes);
    let good: Vec<(usize, &Totals)> =
        numbered().filter_map(|(at, outcome)| Some((at, outcome.as_ref().ok()?))).collect();
    let faults: Vec<(usize, &Fault)> = numbered()
        .filter_map(|(at, outcome)| Some((at, outcome.as_ref().err()?)))
        .flat_map(|(at, error)| error.faults().map(move |fault| (at, fault)))
        .collect();
    let covering = |at: usize| source.covering(at).unwrap_or(&work.default_covering);
    let head = |at: &[usize]| {
        let rows: Vec<usize> = at.iter().map(|at| source.row(*at)).collect();
        let numbers: UInt64Array = rows.iter().map(|row| source.first_number + *row as u64).collect();
        let mut columns: Vec<ArrayRef> = vec![Arc::new(numbers)];
        columns.extend(id_column(&source.rows.ids, &rows));
        columns
    };
    let at: Vec<usize> = good.iter().map(|(at, _)| *at).collect();
    let mut totals = head(&at);
    totals.push(Arc::new(StringArray::from_iter_values(at.iter().map(|at| covering(*at)))));
    totals.extend(source.case_columns(&at));
    totals.extend(work.column_list().map(|column| total_column(column, &good)));
    let lines = if work.wants_lines { Some(lines(work, schemas, &good, &head, &covering)?) } else { None };
    let errors = if faults.is_empty() {
        None
    } else {
        let at: Vec<usize> = faults.iter().map(|(at, _)| *at).collect();
        let mut columns = head(&at);
        let kinds = faults.iter().map(|(_, fault)| fault.kind.code());
        columns.push(Arc::new(StringArray::from_iter_values(kinds)));
        let places = faults.iter().map(|(at, fault)| source.rows.place(source.row(*at), fault.place.clone()));
        columns.push(Arc::new(StringArray::from_iter_values(places)));
        let texts: [fn(&Fault) -> &str; 4] =
            [|fault| &fault.problem, |fault| &fault.given, |fault| &fault.allowed, |fault| &fault.advice];
        columns.extend(texts.map(|text| -> ArrayRef {
            Arc::new(StringArray::from_iter_values(faults.iter().map(|(_, fault)| text(fault))))
        }));
        Some(RecordBatch::try_new(Arc::clone(&schemas.errors), columns)?)
    };
    Ok(Part {
        totals: RecordBatch::try_new(Arc::clone(&schemas.totals), totals)?,
        lines,
        errors,
        faulty: outcomes.len() - good.len(),
    })
}

fn total_column(column: &TotalColumn, good: &[(usize, &Totals)]) -> ArrayRef {
    if column.is_count() {
        let mut builder = UInt32Builder::with_capacity(good.len());
        for (_, totals) in good {
            builder.append_option(match (column.value)(totals) {
                Value::Count(count) => count,
                Value::Figure(_) => None,
            });
        }
        Arc::new(builder.finish())
    } else {
        let mut builder = Float64Builder::with_capacity(good.len());
        for (_, totals) in good {
            builder.append_option(match (column.value)(totals) {
                Value::Figure(figure) => figure,
                Value::Count(_) => None,
            });
        }
        Arc::new(builder.finish())
    }
}

/// A line for each item of each slope of which there is any.
fn lines<'a>(
    work: &Work,
    schemas: &Schemas,
    good: &[(usize, &Totals)],
    head: &impl Fn(&[usize]) -> Vec<ArrayRef>,
    covering: &impl Fn(usize) -> &'a str,
) -> Result<RecordBatch, ArrowError> {
    let mut at = Vec::new();
    let (mut parts, mut items, mut formats) =
        (StringBuilder::new(), StringBuilder::new(), StringBuilder::new());
    let mut counts = UInt32Builder::new();
    let (mut lengths, mut areas) = (Float64Builder::new(), Float64Builder::new());
    for (row, totals) in good {
        for column in work.column_list() {
            let Some((part, item)) = column.line else { continue };
            let (count, figure) = match (column.value)(totals) {
                Value::Count(count) => (count.filter(|count| *count > 0), None),
                Value::Figure(figure) => (None, figure.filter(|figure| *figure > 0.0)),
            };
            if count.is_none() && figure.is_none() {
                continue;
            }
            at.push(*row);
            parts.append_value(part.word());
            items.append_value(item);
            formats.append_value(if part.word() == "covering" { covering(*row) } else { "" });
            counts.append_option(count);
            let is_area = column.name.ends_with("_m2");
            lengths.append_option(figure.filter(|_| !is_area));
            areas.append_option(figure.filter(|_| is_area));
        }
    }
    let mut columns = head(&at);
    columns.extend([
        Arc::new(parts.finish()) as ArrayRef,
        Arc::new(items.finish()),
        Arc::new(formats.finish()),
        Arc::new(counts.finish()),
        Arc::new(lengths.finish()),
        Arc::new(areas.finish()),
    ]);
    RecordBatch::try_new(Arc::clone(&schemas.lines), columns)
}
