//! Batches: rows of slopes in, totals, lines and errors out, all as Arrow tables.

use std::collections::HashMap;
use std::ops::Range;
use std::sync::{Arc, Mutex, PoisonError};

use arrow_array::builder::{Float64Builder, StringBuilder, UInt32Builder};
use arrow_array::{ArrayRef, Float64Array, Int64Array, RecordBatch, StringArray, UInt64Array};
use arrow_schema::{ArrowError, DataType, Field, Schema, SchemaRef};
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use slopewright::batch::{
    Extent, Measures, Rows, Study, StudyCase, TOTALS, Terms, TotalColumn, Totals, Value, in_parts, on_threads,
};
use slopewright::{Fault, FaultKind};

use crate::arrow::{ArrowTable, Reader, reader};
use crate::display;
use crate::rows::{Ids, SlopeRows, check_names};
use crate::survey::Survey;

/// What a batch comes to: totals with a row for each slope, lines if they are wanted, and errors with a row for each fault.
#[pyclass(frozen, module = "slopewright", get_all)]
#[derive(Debug)]
pub(crate) struct Batch {
    /// Rows that were read.
    row_count: u64,
    /// Rows that have faults.
    faulty_count: u64,
    /// A row for each slope: its amounts side by side.
    totals: ArrowTable,
    /// A row for each slope and item; without any unless lines were asked for.
    lines: ArrowTable,
    /// A row for each fault, with the number of its row.
    errors: ArrowTable,
}

#[pymethods]
impl Batch {
    /// The batches of `take_off_batches` as one, in their order. Raises `ValueError` without any, or if their columns differ.
    #[staticmethod]
    #[expect(clippy::needless_pass_by_value, reason = "what comes from Python comes as a value")]
    fn joined(batches: Vec<PyRef<'_, Self>>) -> PyResult<Self> {
        let differ =
            || PyValueError::new_err("batches of different columns, or none at all, cannot be joined");
        let table = |of: fn(&Self) -> &ArrowTable| {
            ArrowTable::joined(batches.iter().map(|batch| of(batch))).ok_or_else(differ)
        };
        Ok(Self {
            row_count: batches.iter().map(|batch| batch.row_count).sum(),
            faulty_count: batches.iter().map(|batch| batch.faulty_count).sum(),
            totals: table(|batch| &batch.totals)?,
            lines: table(|batch| &batch.lines)?,
            errors: table(|batch| &batch.errors)?,
        })
    }

    fn __repr__(&self) -> String {
        format!("Batch(rows={}, faulty={})", self.row_count, self.faulty_count)
    }

    /// How many rows there are and how many are faulty, the totals, and the faults.
    fn _repr_html_(&self) -> String {
        let mut html = display::heading(&format!("{} rows, {} faulty", self.row_count, self.faulty_count));
        html += &self.totals.html();
        if self.errors.rows() > 0 {
            html += &self.errors.html();
        }
        html
    }
}

/// How the rows of a call are worked.
#[derive(Clone)]
struct Work {
    terms: Arc<Terms>,
    default_covering: Arc<str>,
    extent: Extent,
    wants_lines: bool,
    threads: Option<usize>,
}

impl Work {
    fn new(
        survey: &Survey,
        extent: Extent,
        wants_lines: bool,
        threads: Option<usize>,
    ) -> slopewright::Result<Self> {
        let document = survey.document();
        let covering = document.covering.given().and_then(|covering| covering.format.given());
        Ok(Self {
            terms: Arc::new(document.check_terms()?),
            default_covering: Arc::from(covering.map_or("", String::as_str)),
            extent,
            wants_lines,
            threads,
        })
    }

    fn column_list(&self) -> impl Iterator<Item = &'static TotalColumn> + use<> {
        let extent = self.extent;
        TOTALS.iter().filter(move |column| extent == Extent::Whole || !column.needs_whole)
    }
}

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
struct Schemas {
    totals: SchemaRef,
    lines: SchemaRef,
    errors: SchemaRef,
}

impl Schemas {
    fn new(work: &Work, id: Option<&DataType>, is_study: bool) -> Self {
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
struct Source<'a> {
    rows: &'a SlopeRows,
    study: Option<&'a Study>,
    first_number: u64,
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
struct Part {
    totals: RecordBatch,
    lines: Option<RecordBatch>,
    errors: Option<RecordBatch>,
    faulty: usize,
}

type Outcomes = Vec<slopewright::Result<Totals>>;

fn part(
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

/// The tables as they grow, batch by batch.
struct Growing {
    schemas: Schemas,
    totals: Vec<RecordBatch>,
    lines: Vec<RecordBatch>,
    errors: Vec<RecordBatch>,
    rows: u64,
    faulty: u64,
}

impl Growing {
    fn new(work: &Work, schema: &Schema, is_study: bool) -> Self {
        let id = schema.field_with_name("id").ok().map(|field| match field.data_type() {
            kind if kind.is_integer() => DataType::Int64,
            _ => DataType::Utf8,
        });
        Self {
            schemas: Schemas::new(work, id.as_ref(), is_study),
            totals: Vec::new(),
            lines: Vec::new(),
            errors: Vec::new(),
            rows: 0,
            faulty: 0,
        }
    }

    fn add(&mut self, work: &Work, batch: &RecordBatch, first_number: u64) -> slopewright::Result<()> {
        let rows = SlopeRows::new(batch)?;
        let source = Source { rows: &rows, study: None, first_number };
        self.add_from(work, &rows, &source)?;
        self.rows += batch.num_rows() as u64;
        Ok(())
    }

    fn add_from(
        &mut self,
        work: &Work,
        rows: &(impl Rows + ?Sized),
        source: &Source<'_>,
    ) -> slopewright::Result<()> {
        let schemas = &self.schemas;
        let parts = on_threads(work.threads, || {
            in_parts(rows, &work.terms, work.extent, |range, outcomes| {
                part(work, schemas, source, range, &outcomes)
            })
        })?;
        for part in parts {
            let part = part.map_err(|error| handed_over(&error))?;
            self.faulty += part.faulty as u64;
            self.totals.push(part.totals);
            self.lines.extend(part.lines);
            self.errors.extend(part.errors);
        }
        Ok(())
    }

    fn finish(self) -> Batch {
        Batch {
            row_count: self.rows,
            faulty_count: self.faulty,
            totals: ArrowTable::new(self.schemas.totals, self.totals),
            lines: ArrowTable::new(self.schemas.lines, self.lines),
            errors: ArrowTable::new(self.schemas.errors, self.errors),
        }
    }
}

fn handed_over(error: &ArrowError) -> slopewright::Error {
    Fault::new(FaultKind::FieldWrongType, format!("cannot be handed over: {error}")).at("rows").into()
}

const fn extent_of(units_only: bool) -> Extent {
    if units_only { Extent::Units } else { Extent::Whole }
}

/// Takes off every row of a table of slopes, on all cores. What all rows share is the survey; its slopes are not looked at.
/// Raises `SurveyError` if the survey has faults or a column is of the wrong kind; a row with faults is in `errors`.
#[pyfunction]
#[pyo3(signature = (rows, survey, *, units_only = false, lines = false, threads = None))]
pub(crate) fn batch_of(
    py: Python<'_>,
    rows: &Bound<'_, PyAny>,
    survey: &Survey,
    units_only: bool,
    lines: bool,
    threads: Option<usize>,
) -> PyResult<Batch> {
    let rows = reader(rows)?;
    crate::run(py, || {
        let work = Work::new(survey, extent_of(units_only), lines, threads)?;
        let schema = rows.schema();
        check_names(&schema)?;
        let mut growing = Growing::new(&work, &schema, false);
        for batch in rows {
            let batch = batch.map_err(|error| handed_over(&error))?;
            let first = growing.rows;
            growing.add(&work, &batch, first)?;
        }
        Ok(growing.finish())
    })
}

/// Takes off every slope of a table under every combination of some pitches, coverings, gauges and overhangs. An empty list
/// leaves what the slope has. Raises `SurveyError` if a row cannot be read.
#[pyfunction]
#[pyo3(signature = (
    rows, survey, *, pitches_deg, coverings, gauges_mm, eaves_overhangs_mm, keeps_plan = true, units_only = false,
    threads = None
))]
#[expect(clippy::too_many_arguments, reason = "each has its name in Python")]
pub(crate) fn study_of(
    py: Python<'_>,
    rows: &Bound<'_, PyAny>,
    survey: &Survey,
    pitches_deg: Vec<f64>,
    coverings: Vec<String>,
    mut gauges_mm: Vec<f64>,
    mut eaves_overhangs_mm: Vec<f64>,
    keeps_plan: bool,
    units_only: bool,
    threads: Option<usize>,
) -> PyResult<Batch> {
    let rows = reader(rows)?;
    crate::run(py, || {
        let work = Work::new(survey, extent_of(units_only), false, threads)?;
        let schema = rows.schema();
        check_names(&schema)?;
        gauges_mm.iter_mut().chain(&mut eaves_overhangs_mm).for_each(|by| *by /= 1000.0);
        let mut study = Study {
            slopes: Vec::new(),
            keeps_plan,
            pitches_deg,
            coverings,
            gauges_m: gauges_mm,
            eaves_overhangs_m: eaves_overhangs_mm,
        };
        let mut growing = Growing::new(&work, &schema, true);
        let mut first_number = 0;
        for batch in rows {
            let batch = batch.map_err(|error| handed_over(&error))?;
            let rows = SlopeRows::new(&batch)?;
            study.slopes.clear();
            for at in 0..rows.count() {
                let mut measures = Measures::default();
                rows.read(at, &mut measures).map_err(|error| error.at(format!("row {at}")))?;
                study.slopes.push(measures);
            }
            growing.add_from(&work, &study, &Source { rows: &rows, study: Some(&study), first_number })?;
            first_number += batch.num_rows() as u64;
            growing.rows += study.count() as u64;
        }
        Ok(growing.finish())
    })
}

/// Takes off a table of slopes some rows at a time, so that no more than those are held. It is an iterator of `Batch`.
#[pyclass(frozen, module = "slopewright")]
pub(crate) struct Batches {
    state: Mutex<State>,
    work: Work,
    rows_at_once: usize,
}

struct State {
    reader: Reader,
    /// What is left of the batch that was read last.
    rest: Option<RecordBatch>,
    rows: u64,
}

/// Takes off a table of slopes some rows at a time. See `batch_of`.
#[pyfunction]
#[pyo3(signature = (rows, survey, *, units_only = false, lines = false, threads = None, rows_at_once = 131_072))]
pub(crate) fn batches_of(
    py: Python<'_>,
    rows: &Bound<'_, PyAny>,
    survey: &Survey,
    units_only: bool,
    lines: bool,
    threads: Option<usize>,
    rows_at_once: usize,
) -> PyResult<Batches> {
    let reader = reader(rows)?;
    let schema = reader.schema();
    let work = crate::run(py, || {
        check_names(&schema)?;
        Work::new(survey, extent_of(units_only), lines, threads)
    })?;
    let state = Mutex::new(State { reader, rest: None, rows: 0 });
    Ok(Batches { state, work, rows_at_once: rows_at_once.max(1) })
}

#[pymethods]
impl Batches {
    const fn __iter__(slf: PyRef<'_, Self>) -> PyRef<'_, Self> {
        slf
    }

    fn __next__(&self, py: Python<'_>) -> PyResult<Option<Batch>> {
        crate::run(py, || {
            let mut state = self.state.lock().unwrap_or_else(PoisonError::into_inner);
            let batch = match state.rest.take() {
                Some(rest) => rest,
                None => match state.reader.next() {
                    None => return Ok(None),
                    Some(batch) => batch.map_err(|error| handed_over(&error))?,
                },
            };
            let now = batch.num_rows().min(self.rows_at_once);
            if now < batch.num_rows() {
                state.rest = Some(batch.slice(now, batch.num_rows() - now));
            }
            let batch = batch.slice(0, now);
            let mut growing = Growing::new(&self.work, &batch.schema(), false);
            growing.add(&self.work, &batch, state.rows)?;
            state.rows += now as u64;
            Ok(Some(growing.finish()))
        })
    }

    fn __repr__(&self) -> String {
        format!("Batches(rows_at_once={})", self.rows_at_once)
    }
}
