//! Faults and exceptions.

use pyo3::create_exception;
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use pyo3::types::PyTuple;
use slopewright::error::Room;

create_exception!(
    slopewright,
    SlopewrightError,
    PyValueError,
    "Something is wrong with an input. `faults` lists everything that is."
);
create_exception!(
    slopewright,
    QuantityError,
    SlopewrightError,
    "A text cannot be read as a length, a pitch or another amount."
);
create_exception!(slopewright, CatalogueError, SlopewrightError, "A catalogue of formats has faults.");
create_exception!(slopewright, SurveyError, SlopewrightError, "A survey has faults.");
create_exception!(slopewright, SetOutError, SlopewrightError, "A slope cannot be set out.");
create_exception!(slopewright, StockError, SlopewrightError, "Pieces cannot be cut from the stock.");
create_exception!(slopewright, SalvageError, SlopewrightError, "Counts of old units have faults.");
create_exception!(slopewright, OrderError, SlopewrightError, "An order has faults.");
create_exception!(slopewright, OutputError, SlopewrightError, "A result cannot be written.");

/// One thing that is wrong with an input.
#[pyclass(frozen, module = "slopewright", eq, hash, get_all)]
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct Fault {
    /// The kind, a stable code such as `opening-outside`.
    kind: String,
    /// Where: `slope 'north', opening 2`.
    place: String,
    /// What is wrong.
    problem: String,
    /// What was given.
    given: String,
    /// What is allowed.
    allowed: String,
    /// What to do.
    advice: String,
    /// All of it in a sentence, as `str` gives it.
    text: String,
}

#[pymethods]
impl Fault {
    fn __str__(&self) -> &str {
        &self.text
    }

    fn __repr__(&self) -> String {
        format!("Fault({:?}, {:?}, {:?})", self.kind, self.place, self.problem)
    }
}

impl From<&slopewright::Fault> for Fault {
    fn from(fault: &slopewright::Fault) -> Self {
        Self {
            kind: fault.kind.code().to_owned(),
            place: fault.place.clone(),
            problem: fault.problem.clone(),
            given: fault.given.clone(),
            allowed: fault.allowed.clone(),
            advice: fault.advice.clone(),
            text: fault.to_string(),
        }
    }
}

/// The exception for an error, with its faults: that of the room of its first fault, or of the document that was read
/// where the fault is in an amount or a format that stands in it.
#[expect(clippy::needless_pass_by_value, reason = "it is passed on by map_err")]
pub(crate) fn raise(py: Python<'_>, error: slopewright::Error, document: Option<Room>) -> PyErr {
    let message = error.to_string();
    let room = match (error.kind().room(), document) {
        (Room::Quantity | Room::Catalogue, Some(document)) => document,
        (room, _) => room,
    };
    let raised = match room {
        Room::Quantity => QuantityError::new_err(message),
        Room::Catalogue => CatalogueError::new_err(message),
        Room::Survey => SurveyError::new_err(message),
        Room::SetOut => SetOutError::new_err(message),
        Room::Stock => StockError::new_err(message),
        Room::Salvage => SalvageError::new_err(message),
        Room::Order => OrderError::new_err(message),
        Room::Output => OutputError::new_err(message),
        _ => SlopewrightError::new_err(message),
    };
    let faults = PyTuple::new(py, error.faults().map(Fault::from).collect::<Vec<_>>());
    match faults.and_then(|faults| raised.value(py).setattr("faults", faults)) {
        Ok(()) => raised,
        Err(other) => other,
    }
}

/// Gives every exception the attribute `faults`, empty for those that nobody filled.
pub(crate) fn add_faults(py: Python<'_>) -> PyResult<()> {
    py.get_type::<SlopewrightError>().setattr("faults", PyTuple::empty(py))
}

/// Every kind of fault: its code, the exception raised for it, and what it means. In a document, an amount or a format
/// that is wrong raises the exception of the document.
#[pyfunction]
pub(crate) fn fault_kinds() -> Vec<(&'static str, &'static str, &'static str)> {
    slopewright::FaultKind::ALL
        .iter()
        .map(|kind| {
            let exception = match kind.room() {
                Room::Quantity => "QuantityError",
                Room::Catalogue => "CatalogueError",
                Room::Survey => "SurveyError",
                Room::SetOut => "SetOutError",
                Room::Stock => "StockError",
                Room::Salvage => "SalvageError",
                Room::Order => "OrderError",
                Room::Output => "OutputError",
                _ => "SlopewrightError",
            };
            (kind.code(), exception, kind.meaning().trim())
        })
        .collect()
}
