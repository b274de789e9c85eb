//! Batches: rows of slopes in, totals, lines and errors out, all as Arrow tables.

use std::sync::{Mutex, PoisonError};

use arrow_array::RecordBatch;
use arrow_schema::{ArrowError, DataType, Schema};
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use slopewright::batch::{Extent, Measures, Rows, Study, in_parts, on_threads};
use slopewright::{Fault, FaultKind};

use self::tables::{Schemas, Source, part};
use self::work::Work;
use crate::arrow::{ArrowTable, Reader, reader};
use crate::display;
use crate::rows::{SlopeRows, check_names};
use crate::survey::Survey;

mod tables;
mod work;

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
