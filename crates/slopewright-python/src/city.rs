//! City models: roof surfaces as rows of a batch, and buildings as surveys.

use std::collections::HashMap;
use std::sync::Arc;

use arrow_array::builder::{FixedSizeListBuilder, Float64Builder, ListBuilder, StringBuilder};
use arrow_array::{ArrayRef, Float64Array, RecordBatch, StringArray, UInt32Array};
use arrow_schema::{ArrowError, Field, Schema};
use pyo3::exceptions::PyKeyError;
use pyo3::prelude::*;
use slopewright::city::{CityBuilding, CityModel as Core, CitySurface, CityTerms, FaceKind, LengthUnit};
use slopewright::output::Table as CoreTable;
use slopewright::survey::outline::Ring;
use slopewright::{Fault as CoreFault, FaultKind};

use crate::arrow::{ArrowTable, failed};
use crate::error::Fault;
use crate::run;
use crate::survey::Survey;
use crate::table::Table;

/// The roof surfaces of a city model, laid flat, with what their edges are.
#[pyclass(frozen, module = "slopewright")]
#[derive(Debug)]
pub(crate) struct CityModel {
    core: Core,
}

/// What a column of the slopes means.
const MEANINGS: &[(&str, &str)] = &[
    ("id", "building and number of the surface"),
    ("building", "what the model calls the building"),
    ("surface", "number of the roof surface in its building, from 1"),
    ("corners_m", "corners in order, each as (to the right, up the slope)"),
    ("openings_m", "openings, each by its corners"),
    ("roles", "what the edges are, from each corner to the next"),
    ("pitch_deg", "pitch"),
    ("facing_deg", "the way it faces, from north (0) by east (90)"),
    ("out_of_plane_mm", "how far the corner furthest from its plane is off it"),
    ("area_m2", "how large on the slope"),
    ("plan_area_m2", "how large in plan"),
];

type PairBuilder = FixedSizeListBuilder<Float64Builder>;

fn pairs() -> PairBuilder {
    FixedSizeListBuilder::new(Float64Builder::new(), 2)
}

fn add_ring(builder: &mut ListBuilder<PairBuilder>, ring: &Ring) {
    for point in ring {
        builder.values().values().append_value(point.u);
        builder.values().values().append_value(point.v);
        builder.values().append(true);
    }
    builder.append(true);
}

fn slopes(model: &Core) -> Result<ArrowTable, ArrowError> {
    type Row<'a> = (&'a CityBuilding, &'a CitySurface);
    let rows: Vec<Row<'_>> =
        model.surfaces().filter(|(_, surface)| surface.face == FaceKind::Slope).collect();
    let text = |value: fn(&Row<'_>) -> String| -> ArrayRef {
        Arc::new(StringArray::from_iter_values(rows.iter().map(value)))
    };
    let figure = |value: fn(&CitySurface) -> f64| -> ArrayRef {
        Arc::new(Float64Array::from_iter_values(rows.iter().map(|(_, surface)| value(surface))))
    };
    let mut corners = ListBuilder::new(pairs());
    let mut openings = ListBuilder::new(ListBuilder::new(pairs()));
    let mut roles = ListBuilder::new(StringBuilder::new());
    for (_, surface) in &rows {
        add_ring(&mut corners, &surface.corners);
        surface.openings.iter().for_each(|ring| add_ring(openings.values(), ring));
        openings.append(true);
        surface.edges.iter().for_each(|edge| roles.values().append_value(edge.role.word()));
        roles.append(true);
    }
    let numbers = rows.iter().map(|(_, surface)| u32::try_from(surface.number).unwrap_or(u32::MAX));
    let columns: Vec<(&str, ArrayRef)> = vec![
        ("id", text(|(building, surface)| format!("{} {}", building.name, surface.number))),
        ("building", text(|(building, _)| building.name.clone())),
        ("surface", Arc::new(UInt32Array::from_iter_values(numbers))),
        ("corners_m", Arc::new(corners.finish())),
        ("openings_m", Arc::new(openings.finish())),
        ("roles", Arc::new(roles.finish())),
        ("pitch_deg", figure(|surface| surface.pitch_deg)),
        ("facing_deg", figure(|surface| surface.facing_deg)),
        ("out_of_plane_mm", figure(|surface| surface.out_of_plane_m * 1000.0)),
        ("area_m2", figure(|surface| surface.area_m2)),
        ("plan_area_m2", figure(|surface| surface.plan_area_m2)),
    ];
    let fields: Vec<Field> = columns
        .iter()
        .map(|(name, array)| {
            let meaning =
                MEANINGS.iter().find(|(known, _)| known == name).map_or("", |(_, meaning)| *meaning);
            let metadata = HashMap::from([("meaning".to_owned(), meaning.to_owned())]);
            Field::new(*name, array.data_type().clone(), false).with_metadata(metadata)
        })
        .collect();
    let schema = Arc::new(Schema::new(fields));
    let batch =
        RecordBatch::try_new(Arc::clone(&schema), columns.into_iter().map(|(_, array)| array).collect())?;
    Ok(ArrowTable::new(schema, vec![batch]))
}

fn terms(
    unit: Option<&str>,
    flat_below_deg: f64,
    small_below_m2: f64,
    lod: Option<String>,
) -> slopewright::Result<CityTerms> {
    let read = |word: &str| -> slopewright::Result<LengthUnit> {
        let found = LengthUnit::ALL.iter().find(|(known, _)| *known == word).map(|(_, unit)| *unit);
        found.ok_or_else(|| {
            let words: Vec<&str> = LengthUnit::ALL.iter().map(|(word, _)| *word).collect();
            let fault = CoreFault::new(FaultKind::UnitUnknown, "is no unit of a city model").at("unit");
            fault.given(format!("\"{word}\"")).allowed(words.join(", ")).into()
        })
    };
    Ok(CityTerms { unit: unit.map(read).transpose()?, flat_below_deg, small_below_m2, lod })
}

#[pymethods]
impl CityModel {
    /// Reads a model from the text of a `CityJSON` document or of a `CityJSONSeq`. Raises `SurveyError` if it cannot be
    /// read, or if its coordinates are degrees.
    #[staticmethod]
    #[pyo3(signature = (text, *, unit = None, flat_below_deg = 5.0, small_below_m2 = 1.0, lod = None))]
    fn from_text(
        py: Python<'_>,
        text: &str,
        unit: Option<&str>,
        flat_below_deg: f64,
        small_below_m2: f64,
        lod: Option<String>,
    ) -> PyResult<Self> {
        run(py, || Core::read(text, &terms(unit, flat_below_deg, small_below_m2, lod)?))
            .map(|core| Self { core })
    }

    /// The names of the buildings that have roof surfaces.
    #[getter]
    fn buildings(&self) -> Vec<&str> {
        self.core.buildings.iter().map(|building| building.name.as_str()).collect()
    }

    /// The areas of the buildings' ground surfaces in plan, for those that have any.
    #[getter]
    fn footprints_m2(&self) -> HashMap<&str, f64> {
        let all = self.core.buildings.iter();
        all.filter_map(|building| Some((building.name.as_str(), building.footprint_m2?))).collect()
    }

    /// The reference system as the model names it.
    #[getter]
    fn reference_system(&self) -> Option<&str> {
        self.core.reference_system.as_deref()
    }

    /// What was wrong with single surfaces: they are left out.
    #[getter]
    fn faults(&self) -> Vec<Fault> {
        self.core.faults.iter().map(Fault::from).collect()
    }

    /// The slopes as rows of a batch; flat, small and upright surfaces are left out.
    #[getter]
    fn slopes(&self) -> PyResult<ArrowTable> {
        slopes(&self.core).map_err(|error| failed(&error))
    }

    /// A table: surfaces or edges. Raises `OutputError` for another name.
    #[pyo3(signature = (name = "surfaces"))]
    fn table(&self, py: Python<'_>, name: &str) -> PyResult<Table> {
        match name {
            "surfaces" => Ok(Table::from(self.core.surfaces_table())),
            "edges" => Ok(Table::from(self.core.edges_table())),
            other => run(py, || Err(CoreTable::unknown(other, &["surfaces", "edges"]))),
        }
    }

    /// A building as a survey, its slopes with roles and joints, covered as another survey says. Raises `KeyError` if there
    /// is no such building.
    #[pyo3(signature = (building, survey))]
    fn survey(&self, building: &str, survey: &Survey) -> PyResult<Survey> {
        let found = self.core.buildings.iter().find(|other| other.name == building);
        let found = found.ok_or_else(|| PyKeyError::new_err(self.without(building)))?;
        Ok(Survey::from(found.survey(survey.document())))
    }

    fn __len__(&self) -> usize {
        self.core.buildings.len()
    }

    fn __repr__(&self) -> String {
        format!(
            "CityModel(buildings={}, surfaces={})",
            self.core.buildings.len(),
            self.core.surfaces().count()
        )
    }
}

impl CityModel {
    /// What is said of a building that is not there: what is.
    fn without(&self, building: &str) -> String {
        /// So many are named; a model may have thousands.
        const NAMED: usize = 3;
        let some = self.core.buildings.iter().take(NAMED).map(|building| format!("'{}'", building.name));
        let some = some.collect::<Vec<_>>().join(", ");
        match self.core.buildings.len() {
            0 => format!("no building '{building}': the model has none"),
            all if all > NAMED => {
                format!("no building '{building}': the model has {all}, the first of them {some}")
            }
            _ => format!("no building '{building}': the model has {some}"),
        }
    }
}
