//! Old units: the salvage document, its result, heaps inspected, and tallies.

use pyo3::prelude::*;
use slopewright::catalogue::Catalogue;
use slopewright::error::Room;
use slopewright::output::{JobDocument, Table as CoreTable};
use slopewright::quantity::{MassIn, kg};
use slopewright::salvage::{self as core, Grade, Inspection};

use crate::display;
use crate::reason::{Finding, Working};
use crate::table::Table;
use crate::takeoff::TakeOff;
use crate::{run, run_on};

/// So many units of one sort for one slope.
#[pyclass(frozen, module = "slopewright", eq, get_all, from_py_object)]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Need {
    /// The roof; may be empty.
    roof: String,
    /// The slope.
    slope: String,
    /// The unit by its format and kind, such as `plain-tile-265x165 whole`.
    unit: String,
    /// How many.
    count: u64,
    /// The mass of one in kilograms, where it is known.
    mass_each_kg: Option<f64>,
}

#[pymethods]
impl Need {
    #[new]
    #[pyo3(signature = (*, slope, unit, count, roof = String::new(), mass_each_kg = None))]
    fn new(slope: String, unit: String, count: u64, roof: String, mass_each_kg: Option<f64>) -> Self {
        Self { roof, slope, unit, count, mass_each_kg }
    }

    fn __repr__(&self) -> String {
        format!("Need({:?}, {:?}, {})", self.slope, self.unit, self.count)
    }
}

impl From<core::Need> for Need {
    fn from(need: core::Need) -> Self {
        Self {
            mass_each_kg: need.mass_each.map(MassIn::kg),
            unit: need.unit.to_string(),
            roof: need.roof,
            slope: need.slope,
            count: need.count,
        }
    }
}

impl Need {
    fn core(&self) -> slopewright::Result<core::Need> {
        Ok(core::Need {
            roof: self.roof.clone(),
            slope: self.slope.clone(),
            unit: self.unit.parse()?,
            count: self.count,
            mass_each: self.mass_each_kg.map(kg),
        })
    }
}

/// What came off, how to reckon with it and how to share it out, as a document.
#[pyclass(frozen, module = "slopewright", eq)]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SalvageDocument {
    document: core::Salvage,
}

#[pymethods]
impl SalvageDocument {
    /// Reads a salvage document from TOML text. Raises `SalvageError` with every part that cannot be read.
    #[staticmethod]
    fn from_toml(py: Python<'_>, text: &str) -> PyResult<Self> {
        run_on(py, Room::Salvage, || core::Salvage::from_toml(text)).map(|document| Self { document })
    }

    /// Reads a salvage document from JSON text. Raises `SalvageError` with every part that cannot be read.
    #[staticmethod]
    fn from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        run_on(py, Room::Salvage, || core::Salvage::from_json(text)).map(|document| Self { document })
    }

    /// The document as TOML text.
    fn to_toml(&self, py: Python<'_>) -> PyResult<String> {
        run(py, || self.document.to_toml())
    }

    /// The document as JSON text.
    fn to_json(&self, py: Python<'_>) -> PyResult<String> {
        run(py, || self.document.to_json())
    }

    /// The JSON schema of the document, as JSON text.
    #[staticmethod]
    fn schema() -> String {
        core::Salvage::schema().to_string()
    }

    /// The document with what a tally has counted. Raises `SalvageError` if the tally contradicts itself.
    fn with_tally(&self, py: Python<'_>, tally: &Tally) -> PyResult<Self> {
        run(py, || {
            let mut document = self.document.clone();
            document.add_tally(&tally.core)?;
            Ok(Self { document })
        })
    }

    /// Counts, checks and shares out what came off among the take-offs of one job. Raises `SalvageError` with every
    /// fault.
    #[pyo3(signature = (*take_offs: "TakeOff"))]
    #[expect(clippy::needless_pass_by_value, reason = "what comes from Python comes as a value")]
    fn reckon(&self, py: Python<'_>, take_offs: Vec<PyRef<'_, TakeOff>>) -> PyResult<Salvaged> {
        let take_offs: Vec<slopewright::TakeOff> = take_offs.iter().map(|of| of.core().clone()).collect();
        run(py, || {
            let core = self.document.reckon_for(&take_offs.iter().collect::<Vec<_>>())?;
            Ok(Salvaged { core, take_offs })
        })
    }

    /// Counts, checks and shares out what came off among needs that are stated one by one. Raises `SalvageError` with
    /// every fault.
    #[expect(clippy::needless_pass_by_value, reason = "what comes from Python comes as a value")]
    fn reckon_needs(&self, py: Python<'_>, needs: Vec<Need>) -> PyResult<Salvaged> {
        run(py, || {
            let document = self.document.clone().with_sizes_of(Catalogue::standard().coverings());
            let needs = needs.iter().map(Need::core).collect::<slopewright::Result<Vec<_>>>()?;
            Ok(Salvaged { core: document.reckon(&needs)?, take_offs: Vec::new() })
        })
    }

    fn __repr__(&self) -> String {
        format!(
            "SalvageDocument(heaps={}, reserves={})",
            self.document.heaps.len(),
            self.document.sharing.reserves.len()
        )
    }
}

/// Who gets the old units, what is short, what is held back, and the ways out.
#[pyclass(frozen, module = "slopewright")]
#[derive(Debug)]
pub(crate) struct Salvaged {
    core: core::Salvaged,
    take_offs: Vec<slopewright::TakeOff>,
}

impl Salvaged {
    pub(crate) const fn core(&self) -> &core::Salvaged {
        &self.core
    }

    pub(crate) fn take_offs(&self) -> Vec<&slopewright::TakeOff> {
        self.take_offs.iter().collect()
    }
}

#[pymethods]
impl Salvaged {
    /// Whether the old units are enough, in a few lines; the first says it for all of them.
    #[getter]
    fn answer(&self) -> Vec<String> {
        self.core.answer.clone()
    }

    /// Whether nothing must be bought.
    #[getter]
    fn is_enough(&self) -> bool {
        self.core.shortages.iter().all(|of| of.to_buy == 0)
    }

    /// How many must be bought, by unit; units of which none is short are left out.
    #[getter]
    fn to_buy(&self) -> std::collections::BTreeMap<String, u64> {
        let short = self.core.shortages.iter().filter(|of| of.to_buy > 0);
        short.map(|of| (of.unit.to_string(), of.to_buy)).collect()
    }

    /// What the reader must know.
    #[getter]
    fn findings(&self) -> Vec<Finding> {
        self.core.findings().iter().map(Finding::from).collect()
    }

    /// A table: shortages, supplies, needs, reserves, checks, fits, alternatives, findings or load. Raises `OutputError`
    /// for another name.
    #[pyo3(signature = (name = "shortages"))]
    fn table(&self, py: Python<'_>, name: &str) -> PyResult<Table> {
        let mut tables = CoreTable::salvage(&self.core);
        tables.push(CoreTable::findings(&self.core.findings()));
        tables.push(CoreTable::load(&self.job(None).load));
        run(py, || CoreTable::named(tables, name)).map(Table::from)
    }

    /// The whole result as JSON text.
    fn to_json(&self, py: Python<'_>) -> PyResult<String> {
        run(py, || self.job(None).to_json())
    }

    /// The JSON schema of the result, as JSON text.
    #[staticmethod]
    fn schema() -> String {
        JobDocument::schema().to_string()
    }

    fn __repr__(&self) -> String {
        format!("Salvaged({:?})", self.core.answer.first().map_or("", String::as_str))
    }

    fn _repr_html_(&self) -> String {
        let mut html = String::new();
        for (at, sentence) in self.core.answer.iter().enumerate() {
            html += &if at == 0 { display::heading(sentence) } else { display::paragraph(sentence) };
        }
        html + &display::whole(&CoreTable::shortages(&self.core))
    }
}

impl Salvaged {
    /// The job with its order, if there is one.
    pub(crate) fn job(&self, order: Option<&slopewright::order::Order>) -> JobDocument {
        JobDocument::of(&self.take_offs(), &self.core, order)
    }
}

/// A heap of which a sample was inspected: what can be relied on. Counted exactly for a finite heap.
#[pyclass(frozen, module = "slopewright", get_all, eq)]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct HeapInspection {
    /// How many there are.
    lot: u64,
    /// How many were inspected.
    inspected: u64,
    /// How many of those were sound.
    sound: u64,
    /// The sureness of the bound.
    sureness: f64,
    /// How many are sound at the least, with the sureness.
    at_least: u64,
    /// How many are sound most likely.
    likely: u64,
    /// How the figures were reached.
    working: Working,
}

impl HeapInspection {
    fn core(&self) -> slopewright::Result<Inspection> {
        Inspection::new(self.lot, self.inspected, self.sound)
    }
}

#[pymethods]
impl HeapInspection {
    /// How many more to inspect until `need` can be relied on, if the rest is like the sample; `None` if the heap is not
    /// likely to hold that many.
    #[pyo3(signature = (*, need))]
    fn more_for_need(&self, py: Python<'_>, need: u64) -> PyResult<Option<u64>> {
        run(py, || self.core()?.more_for_need(self.sureness, need))
    }

    /// How many more to inspect until the bound is within `gap` of the likely number, if the rest is like the sample.
    #[pyo3(signature = (*, gap))]
    fn more_for_gap(&self, py: Python<'_>, gap: u64) -> PyResult<u64> {
        run(py, || self.core()?.more_for_gap(self.sureness, gap))
    }

    fn __repr__(&self) -> String {
        format!("HeapInspection(lot={}, at_least={}, likely={})", self.lot, self.at_least, self.likely)
    }
}

/// What a sample says of a heap: how many are sound at the least, and most likely. Raises `SalvageError` if the counts do
/// not fit one another.
///
/// Args:
///     lot: How many there are.
///     inspected: How many of them were inspected, drawn from all over the heap.
///     sound: How many of those were sound.
///     sureness: How sure the bound is to hold; 0.95 is 95 %.
#[pyfunction]
#[pyo3(signature = (*, lot, inspected, sound, sureness = 0.95))]
pub(crate) fn inspect_heap(
    py: Python<'_>,
    lot: u64,
    inspected: u64,
    sound: u64,
    sureness: f64,
) -> PyResult<HeapInspection> {
    run(py, || {
        let seen = Inspection::new(lot, inspected, sound)?;
        Ok(HeapInspection {
            lot,
            inspected,
            sound,
            sureness,
            at_least: seen.at_least(sureness)?,
            likely: seen.likely(),
            working: Working::from(&seen.working(sureness)?),
        })
    })
}

/// One count in a tally.
#[pyclass(frozen, module = "slopewright", eq, get_all, from_py_object)]
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct TallyEntry {
    /// Its own name, never used again.
    id: String,
    /// Who counted, or which stack.
    who: String,
    /// The unit.
    unit: String,
    /// The grade: sound, doubtful or broken.
    grade: String,
    /// How many.
    count: u64,
    /// When, year first.
    time: String,
    /// The id of the line in whose place it stands.
    corrects: Option<String>,
}

const GRADES: [(&str, Grade); 3] =
    [("sound", Grade::Sound), ("doubtful", Grade::Doubtful), ("broken", Grade::Broken)];

#[pymethods]
impl TallyEntry {
    #[new]
    #[pyo3(signature = (*, id, unit, count, grade = "sound".to_owned(), who = String::new(), time = String::new(), corrects = None))]
    fn new(
        id: String,
        unit: String,
        count: u64,
        grade: String,
        who: String,
        time: String,
        corrects: Option<String>,
    ) -> Self {
        Self { id, who, unit, grade, count, time, corrects }
    }

    /// The entry as a line of a tally, checked. Raises `SalvageError` if it is not one.
    fn line(&self, py: Python<'_>) -> PyResult<String> {
        run(py, || {
            let line = self.core()?.line();
            core::Tally::read(&line)?;
            Ok(line)
        })
    }

    fn __repr__(&self) -> String {
        format!("TallyEntry({:?}, {:?}, {:?}, {})", self.id, self.unit, self.grade, self.count)
    }
}

impl TallyEntry {
    fn core(&self) -> slopewright::Result<core::Entry> {
        let grade = GRADES.iter().find(|(word, _)| *word == self.grade).map(|(_, grade)| *grade);
        let grade = grade.ok_or_else(|| {
            slopewright::Fault::new(slopewright::FaultKind::TallyUnreadable, "has a grade that is not one")
                .at("grade")
                .given(format!("{:?}", self.grade))
                .allowed(GRADES.map(|(word, _)| word).join(", "))
        })?;
        Ok(core::Entry {
            id: self.id.clone(),
            who: self.who.clone(),
            unit: self.unit.parse()?,
            grade,
            count: self.count,
            time: self.time.clone(),
            corrects: self.corrects.clone(),
        })
    }
}

impl From<&core::Entry> for TallyEntry {
    fn from(entry: &core::Entry) -> Self {
        let grade = GRADES.iter().find(|(_, grade)| *grade == entry.grade).map_or("", |(word, _)| *word);
        Self {
            id: entry.id.clone(),
            who: entry.who.clone(),
            unit: entry.unit.to_string(),
            grade: grade.to_owned(),
            count: entry.count,
            time: entry.time.clone(),
            corrects: entry.corrects.clone(),
        }
    }
}

/// The counts of a job through its days. The order of the lines does not matter, and a line that is there twice counts
/// once.
#[pyclass(frozen, module = "slopewright", eq)]
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Tally {
    core: core::Tally,
}

#[pymethods]
impl Tally {
    #[new]
    fn new() -> Self {
        Self::default()
    }

    /// Reads a tally from its text. Raises `SalvageError` with every line that cannot be read.
    #[staticmethod]
    fn read(py: Python<'_>, text: &str) -> PyResult<Self> {
        run(py, || core::Tally::read(text)).map(|core| Self { core })
    }

    /// Reads what can be read of a damaged tally; also returns the faults of the other lines.
    #[staticmethod]
    fn recover(text: &str) -> (Self, Vec<crate::error::Fault>) {
        let recovered = core::Tally::recover(text);
        (Self { core: recovered.tally }, recovered.faults.iter().map(crate::error::Fault::from).collect())
    }

    /// The tally with one more entry. Raises `SalvageError` if it is not one.
    fn add(&self, py: Python<'_>, entry: &TallyEntry) -> PyResult<Self> {
        run(py, || {
            let mut core = self.core.clone();
            core.add(entry.core()?);
            Ok(Self { core })
        })
    }

    /// Both tallies together. It does not matter which is which, nor how often it is done.
    fn merge(&self, other: &Self) -> Self {
        Self { core: self.core.clone().merge(other.core.clone()) }
    }

    /// Every entry, in the order of the ids.
    #[getter]
    fn entries(&self) -> Vec<TallyEntry> {
        self.core.entries().map(TallyEntry::from).collect()
    }

    /// The entries that hold: of a line and its corrections the last. Raises `SalvageError` if lines contradict each other.
    fn standing(&self, py: Python<'_>) -> PyResult<Vec<TallyEntry>> {
        run(py, || Ok(self.core.standing()?.into_iter().map(TallyEntry::from).collect()))
    }

    /// The counts by day and unit, as a table. Raises `SalvageError` if lines contradict each other.
    fn by_day(&self, py: Python<'_>) -> PyResult<Table> {
        run(py, || Ok(CoreTable::tally(&self.core.by_day()?))).map(Table::from)
    }

    /// The tally as text, in the order of the ids.
    fn text(&self) -> String {
        self.core.write()
    }

    fn __len__(&self) -> usize {
        self.core.entries().count()
    }

    fn __repr__(&self) -> String {
        format!("Tally(entries={})", self.core.entries().count())
    }

    /// The counts by day and unit; where lines contradict each other, which.
    fn _repr_html_(&self) -> String {
        match self.core.by_day() {
            Ok(days) => display::whole(&CoreTable::tally(&days)),
            Err(error) => display::faults(&error),
        }
    }
}
