//! The Arrow C interface: tables of other libraries in, and out again, without copying their columns.

use std::ffi::CStr;
use std::sync::Arc;

use arrow_array::cast::AsArray as _;
use arrow_array::ffi::{FFI_ArrowArray, FFI_ArrowSchema, from_ffi};
use arrow_array::ffi_stream::{FFI_ArrowArrayStream, RecordBatchStreamReader};
use arrow_array::types::{Float64Type, Int64Type, UInt32Type, UInt64Type};
use arrow_array::{Array as _, ArrayRef, RecordBatch, RecordBatchIterator, RecordBatchReader, StructArray};
use arrow_schema::{ArrowError, DataType, Field, SchemaRef};
use pyo3::exceptions::{PyRuntimeError, PyTypeError};
use pyo3::prelude::*;
use pyo3::types::{PyCapsule, PyDict, PyList, PyTuple};
use slopewright::output::{CSV_DECIMALS, csv_text};
use slopewright::quantity::figure;

use crate::display::{self, Shown};

/// Batches of rows as they come.
pub(crate) type Reader = Box<dyn RecordBatchReader + Send>;

pub(crate) fn failed(error: &ArrowError) -> PyErr {
    PyRuntimeError::new_err(format!("the table cannot be handed over: {error}"))
}

/// The batches of whatever has an Arrow stream, or is a single Arrow batch.
pub(crate) fn reader(table: &Bound<'_, PyAny>) -> PyResult<Reader> {
    if table.hasattr("__arrow_c_stream__")? {
        let capsule = table.call_method0("__arrow_c_stream__")?;
        return from_stream(capsule.cast::<PyCapsule>()?);
    }
    if table.hasattr("__arrow_c_array__")? {
        let pair = table.call_method0("__arrow_c_array__")?;
        let pair = pair.cast::<PyTuple>()?;
        return from_array(pair.get_item(0)?.cast::<PyCapsule>()?, pair.get_item(1)?.cast::<PyCapsule>()?);
    }
    let kind = table.get_type().name()?;
    Err(PyTypeError::new_err(format!(
        "a table with an Arrow interface is needed (polars, pandas, pyarrow, DuckDB ...), not {kind}"
    )))
}

#[expect(unsafe_code, reason = "the Arrow C interface hands over pointers; the capsule's name says to what")]
fn from_stream(capsule: &Bound<'_, PyCapsule>) -> PyResult<Reader> {
    const NAME: &CStr = c"arrow_array_stream";
    let pointer = capsule.pointer_checked(Some(NAME))?.cast::<FFI_ArrowArrayStream>();
    // SAFETY: a capsule of this name holds a stream by the Arrow C interface; it is moved out and marked as such.
    let stream = unsafe { FFI_ArrowArrayStream::from_raw(pointer.as_ptr()) };
    Ok(Box::new(RecordBatchStreamReader::try_new(stream).map_err(|error| failed(&error))?))
}

#[expect(unsafe_code, reason = "the Arrow C interface hands over pointers; the capsules' names say to what")]
fn from_array(schema: &Bound<'_, PyCapsule>, array: &Bound<'_, PyCapsule>) -> PyResult<Reader> {
    let schema = schema.pointer_checked(Some(c"arrow_schema"))?.cast::<FFI_ArrowSchema>();
    let array = array.pointer_checked(Some(c"arrow_array"))?.cast::<FFI_ArrowArray>();
    // SAFETY: capsules of these names hold a schema and an array by the Arrow C interface, made for each other; the array
    // is moved out and marked as such, the schema is only read.
    let data = unsafe { from_ffi(FFI_ArrowArray::from_raw(array.as_ptr()), schema.as_ref()) };
    let batch = RecordBatch::from(StructArray::from(data.map_err(|error| failed(&error))?));
    let schema = batch.schema();
    Ok(Box::new(RecordBatchIterator::new([Ok(batch)], schema)))
}

/// Batches as an Arrow stream in a capsule.
pub(crate) fn stream(
    py: Python<'_>,
    batches: Vec<RecordBatch>,
    schema: SchemaRef,
) -> PyResult<Bound<'_, PyAny>> {
    let batches = RecordBatchIterator::new(batches.into_iter().map(Ok), schema);
    let stream = FFI_ArrowArrayStream::new(Box::new(batches));
    Ok(PyCapsule::new_with_value(py, stream, c"arrow_array_stream")?.into_any())
}

/// One value of a plain column.
enum Cell<'a> {
    Absent,
    Text(&'a str),
    Whole(i128),
    Figure(f64),
    Other,
}

impl<'a> Cell<'a> {
    fn of(column: &'a ArrayRef, row: usize) -> Self {
        if column.is_null(row) {
            return Self::Absent;
        }
        match column.data_type() {
            DataType::Utf8 => Self::Text(column.as_string::<i32>().value(row)),
            DataType::Float64 => Self::Figure(column.as_primitive::<Float64Type>().value(row)),
            DataType::UInt32 => Self::Whole(column.as_primitive::<UInt32Type>().value(row).into()),
            DataType::UInt64 => Self::Whole(column.as_primitive::<UInt64Type>().value(row).into()),
            DataType::Int64 => Self::Whole(column.as_primitive::<Int64Type>().value(row).into()),
            _ => Self::Other,
        }
    }
}

/// A table of batches. polars, pandas, pyarrow and `DuckDB` read it through the Arrow interface.
#[pyclass(frozen, module = "slopewright")]
#[derive(Debug, Clone)]
pub(crate) struct ArrowTable {
    schema: SchemaRef,
    batches: Vec<RecordBatch>,
}

impl ArrowTable {
    pub(crate) fn new(schema: SchemaRef, batches: Vec<RecordBatch>) -> Self {
        Self { schema, batches }
    }

    pub(crate) fn html(&self) -> String {
        let plain: Vec<(usize, &str)> = (self.schema.fields().iter().enumerate())
            .filter(|(_, field)| !field.data_type().is_nested())
            .map(|(at, field)| (at, field.name().as_str()))
            .collect();
        let heads: Vec<&str> = plain.iter().map(|(_, name)| *name).collect();
        display::rows_and_columns(&heads, self.rows(), |mut row, column| {
            let Some(batch) = self.batches.iter().find(|batch| {
                let is_here = row < batch.num_rows();
                if !is_here {
                    row -= batch.num_rows();
                }
                is_here
            }) else {
                return Shown::nothing();
            };
            match plain.get(column).map(|(at, _)| Cell::of(batch.column(*at), row)) {
                Some(Cell::Text(text)) => Shown::words(text),
                Some(Cell::Whole(number)) => Shown::number(&number),
                Some(Cell::Figure(value)) => Shown::amount(value),
                Some(Cell::Absent | Cell::Other) | None => Shown::nothing(),
            }
        })
    }

    /// Tables of the same columns one under the other; `None` if the columns differ, or without any.
    pub(crate) fn joined<'a>(tables: impl Iterator<Item = &'a Self>) -> Option<Self> {
        tables.map(|table| Some(table.clone())).reduce(|one, other| {
            let (mut one, other) = (one?, other?);
            (one.schema == other.schema).then(|| {
                one.batches.extend(other.batches);
                one
            })
        })?
    }

    pub(crate) fn rows(&self) -> usize {
        self.batches.iter().map(RecordBatch::num_rows).sum()
    }
}

#[pymethods]
impl ArrowTable {
    /// The names of the columns; a column of figures has its unit at the end.
    #[getter]
    fn column_names(&self) -> Vec<&str> {
        self.schema.fields().iter().map(|field| field.name().as_str()).collect()
    }

    /// What each column means.
    #[getter]
    fn meanings(&self) -> std::collections::HashMap<&str, &str> {
        self.schema
            .fields()
            .iter()
            .map(|field| {
                let meaning = field.metadata().get("meaning").map_or("", String::as_str);
                (field.name().as_str(), meaning)
            })
            .collect()
    }

    /// The sums of the columns of figures and counts, by name; what is absent counts for nothing.
    fn sums(&self) -> std::collections::HashMap<&str, f64> {
        let mut sums = std::collections::HashMap::new();
        for (at, field) in self.schema.fields().iter().enumerate() {
            let columns = || self.batches.iter().map(|batch| batch.column(at));
            let sum: f64 = match field.data_type() {
                DataType::Float64 => {
                    columns().flat_map(ArrayRef::as_primitive::<Float64Type>).flatten().sum()
                }
                DataType::UInt32 => {
                    columns().flat_map(ArrayRef::as_primitive::<UInt32Type>).flatten().map(f64::from).sum()
                }
                _ => continue,
            };
            // Without any, a sum of doubles is -0.
            sums.insert(field.name().as_str(), sum + 0.0);
        }
        sums
    }

    /// The rows as a list of dictionaries, for small tables: lists of figures are left out.
    #[pyo3(signature = () -> "list[dict[str, Any]]")]
    fn records<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        let rows = PyList::empty(py);
        for batch in &self.batches {
            for row in 0..batch.num_rows() {
                let record = PyDict::new(py);
                for (field, column) in self.schema.fields().iter().zip(batch.columns()) {
                    let name = field.name();
                    match Cell::of(column, row) {
                        Cell::Other => {}
                        Cell::Absent => record.set_item(name, py.None())?,
                        Cell::Text(text) => record.set_item(name, text)?,
                        Cell::Whole(number) => record.set_item(name, number)?,
                        Cell::Figure(figure) => record.set_item(name, figure)?,
                    }
                }
                rows.append(record)?;
            }
        }
        Ok(rows)
    }

    /// The table as CSV text; lists are left out.
    fn to_csv(&self) -> String {
        let is_plain = |field: &Arc<Field>| !field.data_type().is_nested();
        let names: Vec<&str> = self
            .schema
            .fields()
            .iter()
            .filter(|field| is_plain(field))
            .map(|field| field.name().as_str())
            .collect();
        let mut text = names.join(",");
        text.push_str("\r\n");
        for batch in &self.batches {
            for row in 0..batch.num_rows() {
                let cells =
                    self.schema.fields().iter().zip(batch.columns()).filter(|(field, _)| is_plain(field));
                let cells = cells.map(|(_, column)| match Cell::of(column, row) {
                    Cell::Text(text) => csv_text(text),
                    Cell::Whole(number) => number.to_string(),
                    Cell::Figure(value) => figure(value, CSV_DECIMALS).to_string(),
                    Cell::Absent | Cell::Other => String::new(),
                });
                text.push_str(&cells.collect::<Vec<_>>().join(","));
                text.push_str("\r\n");
            }
        }
        text
    }

    fn __len__(&self) -> usize {
        self.rows()
    }

    fn __repr__(&self) -> String {
        format!("ArrowTable(rows={}, columns={})", self.rows(), self.schema.fields().len())
    }

    /// The table for a notebook; lists are left out.
    fn _repr_html_(&self) -> String {
        self.html()
    }

    /// The table as an Arrow stream in a capsule, for whatever reads those.
    #[pyo3(signature = (requested_schema: "object | None" = None) -> "object")]
    fn __arrow_c_stream__<'py>(
        &self,
        py: Python<'py>,
        requested_schema: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let _ = requested_schema;
        stream(py, self.batches.clone(), Arc::clone(&self.schema))
    }
}
