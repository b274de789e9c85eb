//! From the text of a city model to buildings with their roof surfaces.

use std::collections::BTreeMap;

use super::document::{Document, Transform};
use super::edges::{CityEdge, CityJoint, classify};
use super::faces::{BuildingFaces, Face};
use super::plane::{Place, Plane};
use super::reference::{self, Unit};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::limit;
use crate::reader_words::{fault_of, not_json};
use crate::survey::outline::{Point, Ring, bounds, signed_area};

/// The unit of a model's coordinates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LengthUnit {
    /// The metre.
    #[default]
    Metre,
    /// The international foot: 0.3048 m.
    Foot,
    /// The US survey foot: 1200/3937 m.
    UsSurveyFoot,
}

impl LengthUnit {
    /// Every unit, with its word.
    pub const ALL: &'static [(&'static str, Self)] =
        &[("m", Self::Metre), ("ft", Self::Foot), ("us-ft", Self::UsSurveyFoot)];

    /// How many metres it is long.
    #[must_use]
    pub fn metres(self) -> f64 {
        match self {
            Self::Metre => 1.0,
            Self::Foot => 0.3048,
            Self::UsSurveyFoot => 1200.0 / 3937.0,
        }
    }
}

/// How a model is read.
#[derive(Debug, Clone, PartialEq)]
pub struct CityTerms {
    /// The unit of the coordinates; by default that of the reference system where it is known, else the metre.
    pub unit: Option<LengthUnit>,
    /// Roof surfaces flatter than this are flat roofs and no slopes, in degrees.
    pub flat_below_deg: f64,
    /// Roof surfaces smaller than this are scraps and no slopes, in square metres.
    pub small_below_m2: f64,
    /// The level of detail that is read; by default the finest that has roof surfaces.
    pub lod: Option<String>,
}

impl Default for CityTerms {
    /// Flat under five degrees, small under one square metre (common practice, no source).
    fn default() -> Self {
        Self { unit: None, flat_below_deg: 5.0, small_below_m2: 1.0, lod: None }
    }
}

/// What a roof surface is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FaceKind {
    /// A slope that can be covered course by course.
    Slope,
    /// A flat roof.
    Flat,
    /// A scrap.
    Small,
    /// Too steep to be a slope.
    Upright,
}

impl FaceKind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Slope => "slope",
            Self::Flat => "flat",
            Self::Small => "small",
            Self::Upright => "upright",
        }
    }
}

/// A roof surface, laid into the plane closest to its corners.
#[derive(Debug, Clone, PartialEq)]
pub struct CitySurface {
    /// The object that has it: a building or a part of one.
    pub object: String,
    /// Its number among the roof surfaces of the building, from 1.
    pub number: usize,
    /// What it is.
    pub face: FaceKind,
    /// Its pitch, in degrees.
    pub pitch_deg: f64,
    /// The way it faces: degrees from the second axis of the model (north) towards the first (east).
    pub facing_deg: f64,
    /// How far the corner that lies furthest from the plane is off it, in metres.
    pub out_of_plane_m: f64,
    /// Its area on the slope, in square metres.
    pub area_m2: f64,
    /// Its area in plan, in square metres.
    pub plan_area_m2: f64,
    /// Its corners, anticlockwise: to the right and up the slope, in metres.
    pub corners: Ring,
    /// Its openings.
    pub openings: Vec<Ring>,
    /// Its edges, from each corner to the next.
    pub edges: Vec<CityEdge>,
}

/// A building.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CityBuilding {
    /// What the model calls it.
    pub name: String,
    /// Its roof surfaces.
    pub surfaces: Vec<CitySurface>,
    /// The edges that two of them share, each once.
    pub joints: Vec<CityJoint>,
    /// The area of its ground surfaces in plan, in square metres; `None` if it has none.
    pub footprint_m2: Option<f64>,
}

/// The roof surfaces of a city model.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CityModel {
    /// The buildings that have roof surfaces.
    pub buildings: Vec<CityBuilding>,
    /// What was wrong with single surfaces: they are left out.
    pub faults: Vec<Fault>,
    /// The reference system, as the model names it.
    pub reference_system: Option<String>,
}

impl CityModel {
    /// Reads a model: one `CityJSON` document, or a `CityJSONSeq` with one document a line.
    ///
    /// # Errors
    /// If a document cannot be read, or if the coordinates are degrees.
    pub fn read(text: &str, terms: &CityTerms) -> Result<Self> {
        limit::city_model_size.check_size(text.len(), FaultKind::CityModelUnreadable, "a city model")?;
        let mut model = Self::default();
        let mut reader = ModelReader { terms, head: None, unit: terms.unit.unwrap_or_default() };
        if let Ok(document) = serde_json::from_str::<Document>(text) {
            reader.take(&document, &mut model)?;
            return Ok(model);
        }
        let mut lines = (1..).zip(text.lines()).filter(|(_, line)| !line.trim().is_empty()).peekable();
        if lines.peek().is_none() {
            return Err(unreadable("is empty").given("\"\"").into());
        }
        let is_sequence = lines.peek().is_some_and(|(_, line)| line.trim_end().ends_with('}'));
        if !is_sequence {
            let given = text.lines().next().unwrap_or_default();
            let why = serde_json::from_str::<Document>(text).err();
            return Err(why
                .map_or_else(|| unreadable("is not JSON"), |why| no_document(&why))
                .given(given)
                .into());
        }
        for (number, line) in lines {
            let document = serde_json::from_str::<Document>(line)
                .map_err(|error| Error::from(no_document(&error).given(line).at(format!("line {number}"))))?;
            reader.take(&document, &mut model).map_err(|error| error.at(format!("line {number}")))?;
        }
        Ok(model)
    }

    /// Every roof surface with its building.
    pub fn surfaces(&self) -> impl Iterator<Item = (&CityBuilding, &CitySurface)> {
        self.buildings
            .iter()
            .flat_map(|building| building.surfaces.iter().map(move |surface| (building, surface)))
    }
}

/// A document that is no JSON, or whose fields hold something else than those of a city model.
fn no_document(error: &serde_json::Error) -> Fault {
    if !error.is_data() {
        return unreadable(&not_json(error));
    }
    let message = error.to_string();
    let fault = fault_of(FaultKind::CityModelUnreadable, &message, &serde_json::Value::Null);
    Fault {
        problem: format!(
            "is no city model in line {}, column {}: {}",
            error.line(),
            error.column(),
            fault.problem
        ),
        ..fault
    }
}

fn unreadable(problem: &str) -> Fault {
    Fault::new(FaultKind::CityModelUnreadable, problem)
        .allowed("a CityJSON document, or a CityJSONSeq with one document a line")
}

struct ModelReader<'a> {
    terms: &'a CityTerms,
    /// The transform of a sequence's first line.
    head: Option<Transform>,
    unit: LengthUnit,
}

impl ModelReader<'_> {
    fn take(&mut self, document: &Document, model: &mut CityModel) -> Result<()> {
        match document.kind.as_str() {
            "CityJSON" => {
                self.head = document.transform.or(self.head);
                self.reference_system(document, model)?;
            }
            "CityJSONFeature" => {}
            other => return Err(unreadable("is of another type").given(format!("\"{other}\"")).into()),
        }
        let transform = document.transform.or(self.head);
        let to_metres = self.unit.metres();
        let place = |vertex: &[f64; 3]| -> Place {
            match transform {
                // The offset is the same for all and would only cost digits.
                Some(transform) => {
                    let scale = transform.scale;
                    [0, 1, 2].map(|at: usize| part(*vertex, at) * part(scale, at) * to_metres)
                }
                None => vertex.map(|part| part * to_metres),
            }
        };
        let vertices: Vec<Place> = document.vertices.iter().map(place).collect();
        let offset = transform.map_or([0.0; 3], |transform| transform.translate.map(|part| part * to_metres));
        let mut buildings: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for name in document.objects.keys() {
            buildings.entry(root_of(document, name)).or_default().push(name);
        }
        for (name, parts) in buildings {
            let mut faces = BuildingFaces::default();
            for part in parts {
                if let Some(object) = document.objects.get(part) {
                    faces.add(part, object, &vertices, self.terms.lod.as_deref());
                }
            }
            if let Some((low, high)) = faces.bounds() {
                let moved = |place: Place| [0, 1, 2].map(|at: usize| part(place, at) + part(offset, at));
                if reference::look_like_degrees(moved(low), moved(high)) && self.terms.unit.is_none() {
                    let fault = degrees("has buildings no larger than a few hundredths of a unit", "");
                    return Err(fault.at(format!("building '{name}'")).into());
                }
            }
            let place = format!("building '{name}'");
            model.faults.extend(faces.faults.drain(..).map(|fault| fault.at(&place)));
            let building = self.building(name, &faces);
            if !building.surfaces.is_empty() {
                model.buildings.push(building);
            }
        }
        Ok(())
    }

    fn reference_system(&mut self, document: &Document, model: &mut CityModel) -> Result<()> {
        let system = document.metadata.as_ref().and_then(|metadata| metadata.reference_system.clone());
        let Some(system) = system else { return Ok(()) };
        match reference::unit_of(&system) {
            Unit::Degrees => {
                let fault = degrees("has a reference system in degrees", &system);
                return Err(fault.at("referenceSystem").into());
            }
            Unit::Length(unit) => self.unit = self.terms.unit.unwrap_or(unit),
            Unit::Unknown => {}
        }
        model.reference_system = Some(system);
        Ok(())
    }

    fn building(&self, name: &str, faces: &BuildingFaces) -> CityBuilding {
        let mut surfaces = Vec::new();
        // The number of each face among the roof surfaces, where it is one.
        let mut numbers = vec![None; faces.faces.len()];
        for (face, number) in faces.faces.iter().zip(&mut numbers) {
            if let (true, Some(plane)) = (face.is_roof, face.plane) {
                *number = Some(surfaces.len());
                surfaces.push(self.surface(face, &plane, surfaces.len() + 1));
            }
        }
        let joints = classify(faces, &numbers, &mut surfaces);
        let ground: Vec<f64> =
            faces.faces.iter().filter(|face| face.is_ground).map(Face::plan_area_m2).collect();
        CityBuilding {
            name: name.to_owned(),
            surfaces,
            joints,
            footprint_m2: (!ground.is_empty()).then(|| ground.iter().sum()),
        }
    }

    fn surface(&self, face: &Face, plane: &Plane, number: usize) -> CitySurface {
        let mut rings: Vec<Ring> = face
            .rings
            .iter()
            .map(|ring| ring.iter().map(|(_, place)| plane.flat(*place)).collect())
            .collect();
        let low = rings.first().map_or(Point::new(0.0, 0.0), |outline| bounds(outline).0);
        rings.iter_mut().flatten().for_each(|p| *p = p.minus(low));
        let mut rings = rings.into_iter();
        let corners = rings.next().unwrap_or_default();
        let openings: Vec<Ring> = rings.collect();
        let holes: f64 = openings.iter().map(|ring| signed_area(ring).abs()).sum();
        let area_m2 = signed_area(&corners).abs() - holes;
        let pitch_deg = plane.pitch_deg();
        let kind = if area_m2 < self.terms.small_below_m2 {
            FaceKind::Small
        } else if pitch_deg < self.terms.flat_below_deg.max(limit::pitch.least) {
            FaceKind::Flat
        } else if pitch_deg > limit::pitch.most {
            FaceKind::Upright
        } else {
            FaceKind::Slope
        };
        let off = |(_, place): &(usize, Place)| plane.over(*place).abs();
        CitySurface {
            object: face.object.clone(),
            number,
            face: kind,
            pitch_deg,
            facing_deg: plane.facing_deg(),
            out_of_plane_m: face.rings.iter().flatten().map(off).fold(0.0, f64::max),
            area_m2,
            plan_area_m2: face.plan_area_m2(),
            corners,
            openings,
            edges: Vec::new(),
        }
    }
}

fn part(place: Place, at: usize) -> f64 {
    place.get(at).copied().unwrap_or_default()
}

fn degrees(problem: &str, given: &str) -> Fault {
    Fault::new(FaultKind::ReferenceSystemGeographic, problem)
        .given(given)
        .allowed("a projected reference system in metres or feet")
}

/// The building that an object belongs to: its parent's parent's ... name.
fn root_of<'a>(document: &'a Document, name: &'a str) -> &'a str {
    /// Parts of parts go no deeper; a circle of parents ends here.
    const DEEPEST: usize = 8;
    let mut root = name;
    for _ in 0..DEEPEST {
        let parent = document.objects.get(root).and_then(|object| object.parents.first());
        match parent.filter(|parent| document.objects.contains_key(*parent)) {
            Some(parent) => root = parent,
            None => break,
        }
    }
    root
}
