//! Surveys.

use pyo3::prelude::*;
use pyo3::types::PyBytes;
use slopewright::error::Room;
use slopewright::quantity::{AreaIn as _, figure, read_length, read_pitch};
use slopewright::survey::{Roof, Slope, SurveyDocument};

use crate::display::{self, Shown};
use crate::takeoff::{TakeOff, TapeRange};
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

    /// Reads a survey from the bytes of an .xlsx workbook and checks it. Raises `SurveyError` with every fault, each with
    /// its sheet and cell.
    #[staticmethod]
    fn from_workbook(py: Python<'_>, data: &[u8]) -> PyResult<Self> {
        run_on(py, Room::Survey, || slopewright_workbook::read_survey(data)).map(|document| Self { document })
    }

    /// The survey as the bytes of an .xlsx workbook. Raises `SurveyError` if it holds what tables cannot say.
    fn to_workbook<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        let bytes = run_on(py, Room::Survey, || slopewright_workbook::survey_workbook(&self.document))?;
        Ok(PyBytes::new(py, &bytes))
    }

    /// The bytes of an .xlsx workbook to fill in, with notes and with lists to choose from.
    #[staticmethod]
    fn blank_workbook(py: Python<'_>) -> PyResult<Bound<'_, PyBytes>> {
        let bytes = run(py, slopewright_workbook::survey_template)?;
        Ok(PyBytes::new(py, &bytes))
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

    /// Takes the roof off three times: as measured, and with every measured length shorter and longer by a tolerance in
    /// millimetres. Raises as `take_off` does.
    #[pyo3(signature = (tolerance_mm = 10.0))]
    fn tape_range(&self, py: Python<'_>, tolerance_mm: f64) -> PyResult<TapeRange> {
        let tolerance = slopewright::quantity::mm(tolerance_mm);
        run(py, || slopewright::takeoff::TapeRange::of(&self.document, tolerance)).map(TapeRange::from)
    }

    fn __repr__(&self) -> String {
        let name = self.document.name.given().map_or("", String::as_str);
        let forms = self.document.form.given().map_or(0, Vec::len);
        let slopes = self.document.slope.given().map_or(0, Vec::len);
        format!("Survey({name:?}, forms={forms}, slopes={slopes})")
    }

    /// The slopes as they are checked; or every fault.
    fn _repr_html_(&self) -> String {
        const HEADS: [&str; 6] = ["slope", "covering", "pitch_deg", "gross_area_m2", "edges", "openings"];
        let roof = match self.checked() {
            Ok(roof) => roof,
            Err(error) => return display::faults(&error),
        };
        let cell = |row: usize, column: usize| {
            let Some(slope) = roof.slopes.get(row) else { return Shown::nothing() };
            match HEADS.get(column).copied() {
                Some("slope") => Shown::words(&slope.name),
                Some("covering") => Shown::words(&slope.laying.covering.key),
                Some("pitch_deg") => Shown::amount(slope.pitch.degrees()),
                Some("gross_area_m2") => Shown::amount(slope.gross_area().m2()),
                Some("edges") => Shown::words(&edges_of(slope)),
                Some("openings") => Shown::words(&openings_of(slope)),
                _ => Shown::nothing(),
            }
        };
        display::heading(&roof.name) + &display::rows_and_columns(&HEADS, roof.slopes.len(), cell)
    }
}

/// The edges of a slope in order, each by what it is and how long.
fn edges_of(slope: &Slope) -> String {
    let edges =
        slope.edges.iter().map(|edge| format!("{} {} m", edge.role.word(), figure(edge.length_m(), 2)));
    edges.collect::<Vec<_>>().join(", ")
}

fn openings_of(slope: &Slope) -> String {
    slope.openings.iter().map(|opening| opening.name.as_str()).collect::<Vec<_>>().join(", ")
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
