//! Tables that leave through the Arrow interface, or as plain Python values.

use std::collections::HashMap;
use std::sync::Arc;

use arrow_array::ffi_stream::FFI_ArrowArrayStream;
use arrow_array::{
    ArrayRef, Decimal128Array, Float64Array, RecordBatch, RecordBatchIterator, StringArray, UInt64Array,
};
use arrow_schema::{ArrowError, DataType, Field, Schema};
use pyo3::exceptions::PyRuntimeError;
use pyo3::prelude::*;
use pyo3::types::{PyCapsule, PyDict, PyList};
use slopewright::order::Decimal;
use slopewright::output::{Table as CoreTable, Values, meaning_of};

use crate::display;

/// A table of plain columns. polars, pandas, pyarrow and `DuckDB` read it through the Arrow interface.
#[pyclass(frozen, module = "slopewright")]
#[derive(Debug, Clone)]
pub(crate) struct Table {
    core: CoreTable,
}

impl From<CoreTable> for Table {
    fn from(core: CoreTable) -> Self {
        Self { core }
    }
}

/// The digits of a column of money.
const MONEY_DIGITS: u8 = 38;
/// The most decimals of a column of money: the largest amount that is reckoned has sixteen digits before its point.
const MONEY_DECIMALS: u32 = 18;

/// A decimal of Python, exact.
pub(crate) fn decimal<'py>(py: Python<'py>, value: &Decimal) -> PyResult<Bound<'py, PyAny>> {
    py.import("decimal")?.getattr("Decimal")?.call1((value.to_string(),))
}

fn failed(error: &ArrowError) -> PyErr {
    PyRuntimeError::new_err(format!("the table cannot be handed over: {error}"))
}

impl Table {
    fn batch(&self) -> Result<RecordBatch, ArrowError> {
        let mut fields = Vec::with_capacity(self.core.columns.len());
        let mut arrays: Vec<ArrayRef> = Vec::with_capacity(self.core.columns.len());
        for column in &self.core.columns {
            let (kind, nullable, array): (DataType, bool, ArrayRef) = match &column.values {
                Values::Text(values) => {
                    (DataType::Utf8, false, Arc::new(StringArray::from_iter_values(values)))
                }
                Values::Count(values) => {
                    (DataType::UInt64, true, Arc::new(UInt64Array::from(values.clone())))
                }
                Values::Figure(values) => {
                    (DataType::Float64, true, Arc::new(Float64Array::from(values.clone())))
                }
                Values::Money(values) => {
                    let decimals = values.iter().flatten().map(Decimal::scale).max().unwrap_or(0);
                    let scale = decimals.min(MONEY_DECIMALS);
                    let same = |value: &Decimal| {
                        let value = value.round_dp(scale);
                        value.mantissa() * 10_i128.pow(scale - value.scale())
                    };
                    let amounts: Decimal128Array =
                        values.iter().map(|value| value.as_ref().map(same)).collect();
                    let scale = i8::try_from(scale).unwrap_or(0);
                    let amounts = amounts.with_precision_and_scale(MONEY_DIGITS, scale)?;
                    (DataType::Decimal128(MONEY_DIGITS, scale), true, Arc::new(amounts))
                }
            };
            let meaning = meaning_of(column.name).unwrap_or_default().to_owned();
            let metadata = HashMap::from([("meaning".to_owned(), meaning)]);
            fields.push(Field::new(column.name, kind, nullable).with_metadata(metadata));
            arrays.push(array);
        }
        RecordBatch::try_new(Arc::new(Schema::new(fields)), arrays)
    }

    /// The Arrow stream of the table, in a capsule.
    pub(crate) fn stream<'py>(
        &self,
        py: Python<'py>,
        _requested: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let batch = self.batch().map_err(|error| failed(&error))?;
        let schema = batch.schema();
        let batches = RecordBatchIterator::new([Ok(batch)], schema);
        let stream = FFI_ArrowArrayStream::new(Box::new(batches));
        Ok(PyCapsule::new_with_value(py, stream, c"arrow_array_stream")?.into_any())
    }
}

#[pymethods]
impl Table {
    /// What the table holds.
    #[getter]
    fn name(&self) -> &str {
        self.core.name
    }

    /// The names of the columns; a column of figures has its unit at the end.
    #[getter]
    fn column_names(&self) -> Vec<&'static str> {
        self.core.columns.iter().map(|column| column.name).collect()
    }

    /// What each column means.
    #[getter]
    fn meanings(&self) -> HashMap<&'static str, &'static str> {
        self.core
            .columns
            .iter()
            .map(|column| (column.name, meaning_of(column.name).unwrap_or_default()))
            .collect()
    }

    /// The rows as a list of dictionaries: texts, whole numbers, figures and decimals by the names of the columns.
    #[pyo3(signature = () -> "list[dict[str, Any]]")]
    fn records<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        let rows = PyList::empty(py);
        for row in 0..self.core.rows() {
            let record = PyDict::new(py);
            for column in &self.core.columns {
                match &column.values {
                    Values::Text(values) => record.set_item(column.name, values.get(row))?,
                    Values::Count(values) => {
                        record.set_item(column.name, values.get(row).copied().flatten())?;
                    }
                    Values::Figure(values) => {
                        record.set_item(column.name, values.get(row).copied().flatten())?;
                    }
                    Values::Money(values) => {
                        let value = values.get(row).and_then(Option::as_ref);
                        record.set_item(column.name, value.map(|value| decimal(py, value)).transpose()?)?;
                    }
                }
            }
            rows.append(record)?;
        }
        Ok(rows)
    }

    /// The table as CSV text.
    fn to_csv(&self) -> String {
        self.core.to_csv()
    }

    /// The table as Markdown text.
    fn to_markdown(&self) -> String {
        self.core.to_markdown()
    }

    fn __len__(&self) -> usize {
        self.core.rows()
    }

    fn __repr__(&self) -> String {
        format!("Table({:?}, rows={}, columns={})", self.core.name, self.core.rows(), self.core.columns.len())
    }

    fn _repr_html_(&self) -> String {
        display::whole(&self.core)
    }

    /// The table as an Arrow stream in a capsule, for whatever reads those.
    #[pyo3(signature = (requested_schema: "object | None" = None) -> "object")]
    fn __arrow_c_stream__<'py>(
        &self,
        py: Python<'py>,
        requested_schema: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        self.stream(py, requested_schema)
    }
}
