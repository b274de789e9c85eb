//! Surveys.

use pyo3::prelude::*;
use slopewright::error::Room;
use slopewright::quantity::{read_length, read_pitch};
use slopewright::survey::{Roof, SurveyDocument};

use crate::takeoff::TakeOff;
use crate::{run, run_on};

/// A survey: the covering that is wanted, and the slopes as measured.
#[pyclass(frozen, module = "slopewright", eq)]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Survey {
    document: SurveyDocument,
}

impl From<SurveyDocument> for Survey {
    fn from(document: SurveyDocument) -> Self {
        Self { document }
    }
}

impl Survey {
    pub(crate) const fn document(&self) -> &SurveyDocument {
        &self.document
    }

    fn checked(&self) -> slopewright::Result<Roof> {
        self.document.check()
    }
}

#[pymethods]
impl Survey {
    /// Reads a survey from TOML text. Raises `SurveyError` if the text is not TOML.
    #[staticmethod]
    fn from_toml(py: Python<'_>, text: &str) -> PyResult<Self> {
        run_on(py, Room::Survey, || SurveyDocument::from_toml(text)).map(|document| Self { document })
    }

    /// Reads a survey from JSON text. Raises `SurveyError` if the text is not JSON.
    #[staticmethod]
    fn from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        run_on(py, Room::Survey, || SurveyDocument::from_json(text)).map(|document| Self { document })
    }

    /// The survey as TOML text.
    fn to_toml(&self, py: Python<'_>) -> PyResult<String> {
        run(py, || self.document.to_toml())
    }

    /// The survey as JSON text.
    fn to_json(&self, py: Python<'_>) -> PyResult<String> {
        run(py, || self.document.to_json())
    }

    /// The JSON schema of the survey document, as JSON text.
    #[staticmethod]
    fn schema() -> String {
        SurveyDocument::schema().to_string()
    }

    /// Checks the survey. Raises `SurveyError` with every fault in `faults`.
    fn check(&self, py: Python<'_>) -> PyResult<()> {
        run_on(py, Room::Survey, || self.checked().map(drop))
    }

    /// Takes the roof off: tiles, battens, underlay and fixings. Raises `SurveyError` or `SetOutError` with every fault.
    fn take_off(&self, py: Python<'_>) -> PyResult<TakeOff> {
        run_on(py, Room::Survey, || slopewright::TakeOff::of(&self.checked()?)).map(TakeOff::from)
    }

    fn __repr__(&self) -> String {
        let name = self.document.name.given().map_or("", String::as_str);
        let forms = self.document.form.given().map_or(0, Vec::len);
        let slopes = self.document.slope.given().map_or(0, Vec::len);
        format!("Survey({name:?}, forms={forms}, slopes={slopes})")
    }
}

/// Reads a length with its unit, such as "13 ft 7 1/2 in", in millimetres. Raises `QuantityError`.
#[pyfunction]
pub(crate) fn length_mm(py: Python<'_>, text: &str) -> PyResult<f64> {
    run(py, || read_length(text)).map(slopewright::quantity::LengthIn::mm)
}

/// Reads a pitch, such as "40 deg" or "9 in 12", in degrees. Raises `QuantityError`.
#[pyfunction]
pub(crate) fn pitch_deg(py: Python<'_>, text: &str) -> PyResult<f64> {
    run(py, || read_pitch(text)).map(slopewright::quantity::Pitch::degrees)
}
