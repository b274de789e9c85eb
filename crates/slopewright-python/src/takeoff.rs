//! Take-offs.

use std::sync::Arc;

use pyo3::prelude::*;
use slopewright::drawing::{DrawingOptions, Layer};
use slopewright::output::{Table as CoreTable, TakeOffDocument};
use slopewright::takeoff::SlopeTakeOff;

use crate::display;
use crate::drawing::{Drawing, Words, options};
use crate::placing::Placing;
use crate::reason::{Finding, Line, Working};
use crate::run;
use crate::salvage::Need;
use crate::table::Table;

/// The quantities of a roof, with their working and findings.
#[pyclass(frozen, module = "slopewright")]
#[derive(Debug)]
pub(crate) struct TakeOff {
    core: Arc<slopewright::TakeOff>,
}

impl TakeOff {
    pub(crate) fn core(&self) -> &slopewright::TakeOff {
        &self.core
    }
}

impl From<slopewright::TakeOff> for TakeOff {
    fn from(core: slopewright::TakeOff) -> Self {
        Self { core: Arc::new(core) }
    }
}

const TABLES: [&str; 7] = ["lines", "courses", "battens", "underlay", "edges", "findings", "measured"];

#[pymethods]
impl TakeOff {
    /// What the job is called.
    #[getter]
    fn name(&self) -> &str {
        &self.core.name
    }

    /// The lines, slope by slope, each with its working.
    #[getter]
    fn lines(&self) -> Vec<Line> {
        self.core.lines().into_iter().map(Line::from).collect()
    }

    /// What the reader must know, departures first.
    #[getter]
    fn findings(&self) -> Vec<Finding> {
        self.core.findings().iter().map(Finding::from).collect()
    }

    /// The units of covering that each slope needs, as salvage takes them.
    #[getter]
    fn needs(&self) -> Vec<Need> {
        self.core.needs().into_iter().map(Need::from).collect()
    }

    /// The best places for the openings that may be moved, slope by slope. Every place at the stated step is tried, so
    /// this takes longer the more of them there are.
    #[getter]
    fn placing(&self, py: Python<'_>) -> PyResult<Vec<Placing>> {
        run(py, || Ok(self.core.placing().iter().map(Placing::from).collect()))
    }

    /// How each slope is set out.
    #[getter]
    fn slopes(&self) -> Vec<SlopeLayout> {
        self.core.slopes.iter().map(|slope| SlopeLayout::of(slope, &self.core)).collect()
    }

    /// The edges that two slopes share, each once.
    #[getter]
    fn joints(&self) -> Vec<Joint> {
        self.core.joints.iter().map(|joint| Joint::of(joint, &self.core)).collect()
    }

    /// A table: lines, courses, battens, underlay, edges, findings or measured. Raises `OutputError` for another name.
    #[pyo3(signature = (name = "lines"))]
    fn table(&self, py: Python<'_>, name: &str) -> PyResult<Table> {
        let table = match name {
            "lines" => CoreTable::lines(&self.core.lines()),
            "courses" => CoreTable::courses(&self.core),
            "battens" => CoreTable::battens(&self.core),
            "underlay" => CoreTable::underlay(&self.core),
            "edges" => CoreTable::edges(&self.core),
            "findings" => CoreTable::findings(&self.core.findings()),
            "measured" => CoreTable::measured(&self.core),
            other => {
                return run(py, || Err(CoreTable::unknown(other, &TABLES)));
            }
        };
        Ok(Table::from(table))
    }

    /// Cuts the battens of every slope from stock, with joints over rafters only. Raises `StockError` with every fault, one
    /// of them if the survey states no rafter spacing.
    fn cut_battens(&self, py: Python<'_>) -> PyResult<Cutting> {
        let name = self.core.name.clone();
        run(py, || self.core.cut_battens(slopewright::rules::Rules::standard()))
            .map(|slopes| Cutting { name, slopes })
    }

    /// A slope to scale in its own plane. `layers` are words of `drawing_layers()`, or one of them; by default units,
    /// openings and dimensions. The name may be left out for a roof of one slope. With the layer battens the joints are
    /// drawn too, where they can be cut. `prefix` begins every id of the drawing. Raises `OutputError` for an unknown slope
    /// or layer.
    #[pyo3(signature = (slope = None, *, layers = None, prefix = ""))]
    fn drawing(
        &self,
        py: Python<'_>,
        slope: Option<&str>,
        layers: Option<Words>,
        prefix: &str,
    ) -> PyResult<Drawing> {
        run(py, || {
            let options = options(layers.map(Words::list), prefix)?;
            let only = match self.core.slopes.as_slice() {
                [only] => only.layout.slope.as_str(),
                _ => "",
            };
            let cut = if options.has(Layer::Battens) {
                // Without a stated spacing of the rafters there are no joints, and the rows are drawn alone.
                self.core.cut_battens(slopewright::rules::Rules::standard()).unwrap_or_default()
            } else {
                Vec::new()
            };
            self.core.drawing(slope.unwrap_or(only), &options, &cut)
        })
        .map(Drawing::from)
    }

    /// The roof in plan.
    #[pyo3(signature = (*, prefix = ""))]
    fn plan_drawing(&self, py: Python<'_>, prefix: &str) -> PyResult<Drawing> {
        let options = DrawingOptions::default().with_prefix(prefix);
        run(py, || Ok(self.core.plan_drawing(&options))).map(Drawing::from)
    }

    /// The cutting list of the timbers round openings, line by line; empty where the survey does not say in which lengths
    /// they are bought. Raises `StockError` if one is longer than all of them.
    fn timber_list(&self, py: Python<'_>) -> PyResult<Vec<String>> {
        run(py, || self.core.timber_list())
    }

    /// The cutting lists of what else goes by length, line by line: counter-battens, ridge and hip battens, fillets and lead
    /// where the survey says in which lengths they are bought, and undercloak strips. Raises `StockError` if a piece is longer
    /// than all of them.
    fn length_list(&self, py: Python<'_>) -> PyResult<Vec<String>> {
        run(py, || self.core.length_list())
    }

    /// The whole result as JSON text, with the battens cut from stock if that is handed in.
    #[pyo3(signature = (cutting = None))]
    fn to_json(&self, py: Python<'_>, cutting: Option<&Cutting>) -> PyResult<String> {
        run(py, || {
            let cut = cutting.map(|cutting| cutting.slopes.clone()).unwrap_or_default();
            TakeOffDocument::of(&self.core).with_cutting(cut).to_json()
        })
    }

    /// The JSON schema of the result document, as JSON text.
    #[staticmethod]
    fn schema() -> String {
        TakeOffDocument::schema().to_string()
    }

    fn __repr__(&self) -> String {
        let laid: u64 = self.core.slopes.iter().map(|slope| u64::from(slope.units.laid())).sum();
        format!("TakeOff({:?}, slopes={}, units={laid})", self.core.name, self.core.slopes.len())
    }

    fn _repr_html_(&self) -> String {
        let mut html = display::main_columns(
            &CoreTable::lines(&self.core.lines()),
            &["slope", "edge", "item", "count", "length_m", "area_m2", "mass_kg", "working"],
        );
        for finding in self.core.findings() {
            html += &display::paragraph(&finding.to_string());
        }
        html
    }

    /// The lines as an Arrow stream in a capsule, for whatever reads those.
    #[pyo3(signature = (requested_schema: "object | None" = None) -> "object")]
    fn __arrow_c_stream__<'py>(
        &self,
        py: Python<'py>,
        requested_schema: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        Table::from(CoreTable::lines(&self.core.lines())).stream(py, requested_schema)
    }
}

/// A roof taken off three times: with every measured length shorter by the tape's tolerance, as measured, and longer.
#[pyclass(frozen, module = "slopewright")]
#[derive(Debug)]
pub(crate) struct TapeRange {
    core: slopewright::takeoff::TapeRange,
}

impl From<slopewright::takeoff::TapeRange> for TapeRange {
    fn from(core: slopewright::takeoff::TapeRange) -> Self {
        Self { core }
    }
}

#[pymethods]
impl TapeRange {
    /// By how much each length may be off, in millimetres.
    #[getter]
    fn tolerance_mm(&self) -> f64 {
        slopewright::quantity::LengthIn::mm(self.core.tolerance)
    }

    /// The take-off with every measured length shorter.
    #[getter]
    fn low(&self) -> TakeOff {
        self.core.low.clone().into()
    }

    /// The take-off as measured.
    #[getter]
    fn likely(&self) -> TakeOff {
        self.core.likely.clone().into()
    }

    /// The take-off with every measured length longer.
    #[getter]
    fn high(&self) -> TakeOff {
        self.core.high.clone().into()
    }

    /// Everything that the roof takes, with its low, likely and high count.
    fn table(&self) -> Table {
        Table::from(CoreTable::range(&slopewright::order::wanted_range(&self.core)))
    }

    fn __repr__(&self) -> String {
        format!("TapeRange({:?}, tolerance_mm={})", self.core.likely.name, self.tolerance_mm())
    }

    fn _repr_html_(&self) -> String {
        display::whole(&CoreTable::range(&slopewright::order::wanted_range(&self.core)))
    }
}

/// Battens cut from stock, slope by slope.
#[pyclass(frozen, module = "slopewright")]
#[derive(Debug)]
pub(crate) struct Cutting {
    name: String,
    slopes: Vec<slopewright::takeoff::SlopeCutting>,
}

#[pymethods]
impl Cutting {
    /// What to buy: a line for each slope and stock length, with how far it is from the least possible.
    #[getter]
    fn lines(&self) -> Vec<Line> {
        self.slopes.iter().flat_map(slopewright::takeoff::SlopeCutting::lines).map(Line::from).collect()
    }

    /// The cutting list as the person at the saw reads it, slope by slope.
    #[getter]
    fn list(&self) -> Vec<String> {
        self.slopes.iter().flat_map(slopewright::takeoff::SlopeCutting::list).collect()
    }

    /// A table: cutting (equal bars together) or pieces (where each lies). Raises `OutputError` for another name.
    #[pyo3(signature = (name = "cutting"))]
    fn table(&self, py: Python<'_>, name: &str) -> PyResult<Table> {
        match name {
            "cutting" => Ok(Table::from(CoreTable::cutting(&self.slopes))),
            "pieces" => Ok(Table::from(CoreTable::pieces(&self.slopes))),
            other => run(py, || Err(CoreTable::unknown(other, &["cutting", "pieces"]))),
        }
    }

    /// The cutting list as bars, of one slope or of all. Raises `OutputError` for an unknown slope.
    #[pyo3(signature = (slope = None, *, prefix = ""))]
    fn drawing(&self, py: Python<'_>, slope: Option<&str>, prefix: &str) -> PyResult<Drawing> {
        let options = DrawingOptions::default().with_prefix(prefix);
        run(py, || slopewright::drawing::cutting_drawing(&self.name, &self.slopes, slope, &options))
            .map(Drawing::from)
    }

    fn _repr_svg_(&self, py: Python<'_>) -> PyResult<String> {
        let drawing = self.drawing(py, None, "")?;
        Ok(drawing.text().to_owned())
    }

    fn __repr__(&self) -> String {
        let bars: usize = self.slopes.iter().map(|slope| slope.plan.cutting.bars.len()).sum();
        format!("Cutting(slopes={}, bars={bars})", self.slopes.len())
    }
}

/// How one slope is set out. Lengths are on the slope.
#[pyclass(frozen, module = "slopewright")]
#[derive(Debug, Clone)]
pub(crate) struct SlopeLayout {
    take_off: Arc<slopewright::TakeOff>,
    /// The slope.
    #[pyo3(get)]
    slope: String,
    /// Its pitch in degrees.
    #[pyo3(get)]
    pitch_deg: f64,
    /// The key of its covering.
    #[pyo3(get)]
    covering: String,
    /// The gauge in millimetres.
    #[pyo3(get)]
    gauge_mm: f64,
    /// The headlap that the gauge leaves, in millimetres.
    #[pyo3(get)]
    headlap_mm: f64,
    /// The cover width in millimetres.
    #[pyo3(get)]
    cover_width_mm: f64,
    /// The covered area in square metres.
    #[pyo3(get)]
    covered_area_m2: f64,
    /// The rings of the covered region as (u, v) in metres: outlines anticlockwise, holes clockwise.
    #[pyo3(get)]
    covered_rings_m: Vec<Vec<(f64, f64)>>,
    /// The corners of the slope as surveyed, anticlockwise, as (to the right, up the slope) [m].
    #[pyo3(get)]
    outline_m: Vec<(f64, f64)>,
    /// The area of the slope as surveyed, openings not deducted [m2].
    #[pyo3(get)]
    gross_area_m2: f64,
    /// The measures of a tape survey as (name, measured, laid) [m]; None for other shapes.
    #[pyo3(get)]
    tape_m: Option<Vec<(&'static str, f64, f64)>>,
    /// The root of the mean square of what the tape's measures leave over [m].
    #[pyo3(get)]
    tape_rms_m: Option<f64>,
    /// The courses as (number, kind, low, high, origin of the cells, width of a cell) in metres.
    #[pyo3(get)]
    course_cells_m: Vec<(u32, String, f64, f64, f64, f64)>,
    /// Where each of these courses lies, as (from, to) along the eaves in metres; None if it goes all the way. A cell
    /// belongs to the course if more than a hundredth of its width lies there.
    #[pyo3(get)]
    course_stretches_m: Vec<Option<(f64, f64)>>,
    /// The working, in the order of the work.
    #[pyo3(get)]
    working: Vec<Working>,
}

#[pymethods]
impl SlopeLayout {
    fn __repr__(&self) -> String {
        format!(
            "SlopeLayout({:?}, {:?}, gauge_mm={:.1}, courses={})",
            self.slope,
            self.covering,
            self.gauge_mm,
            self.course_cells_m.len()
        )
    }

    /// The slope to scale, as `TakeOff.drawing` draws it.
    fn _repr_svg_(&self, py: Python<'_>) -> PyResult<String> {
        run(py, || self.take_off.drawing(&self.slope, &DrawingOptions::default(), &[]))
            .map(|drawing| drawing.svg().to_owned())
    }
}

impl SlopeLayout {
    fn of(slope: &SlopeTakeOff, take_off: &Arc<slopewright::TakeOff>) -> Self {
        use slopewright::quantity::{AreaIn as _, LengthIn as _};
        let layout = &slope.layout;
        Self {
            take_off: Arc::clone(take_off),
            slope: layout.slope.clone(),
            pitch_deg: layout.pitch.degrees(),
            covering: layout.covering().key.clone(),
            gauge_mm: layout.gauge().mm(),
            headlap_mm: layout.headlap_laid().mm(),
            cover_width_mm: layout.across.cover_m * 1000.0,
            covered_area_m2: layout.covered.area_m2(),
            covered_rings_m: layout
                .covered
                .rings()
                .iter()
                .map(|ring| ring.iter().map(|p| (p.u, p.v)).collect())
                .collect(),
            outline_m: slope.slope.outline().iter().map(|p| (p.u, p.v)).collect(),
            gross_area_m2: slope.slope.gross_area().m2(),
            tape_m: slope
                .slope
                .tape
                .as_ref()
                .map(|tape| tape.measures.iter().map(|one| (one.name, one.measured_m, one.laid_m)).collect()),
            tape_rms_m: slope.slope.tape.as_ref().map(slopewright::survey::Tape::rms_m),
            course_cells_m: layout
                .courses
                .iter()
                .map(|course| {
                    let band = course.band;
                    (
                        course.number,
                        course.kind.word().to_owned(),
                        band.low,
                        band.high,
                        band.origin,
                        band.width,
                    )
                })
                .collect(),
            course_stretches_m: layout.courses.iter().map(|course| course.between).collect(),
            working: layout.working(&slope.slope).iter().map(Working::from).collect(),
        }
    }
}

/// An edge that two slopes share: a ridge, hip, valley or change of pitch.
#[pyclass(frozen, get_all, module = "slopewright")]
#[derive(Debug)]
pub(crate) struct Joint {
    /// What it is.
    role: String,
    /// The two edges, each as "slope: edge".
    between: (String, String),
    /// Its true length, the mean of its two sides [m].
    length_m: f64,
    /// By how much the two sides differ [m].
    difference_m: f64,
}

#[pymethods]
impl Joint {
    fn __repr__(&self) -> String {
        let (one, other) = &self.between;
        format!("Joint({:?}, {one:?}, {other:?}, length_m={:.3})", self.role, self.length_m)
    }
}

impl Joint {
    fn of(joint: &slopewright::survey::Joint, take_off: &slopewright::TakeOff) -> Self {
        let [one, other] = joint.sides.map(|side| take_off.edge_name(side));
        Self {
            role: joint.role.word().to_owned(),
            between: (one, other),
            length_m: joint.length_m,
            difference_m: joint.difference_m,
        }
    }
}
