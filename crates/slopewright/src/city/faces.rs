//! The faces of one building: their rings as shared corners, and what each face is.

use std::collections::HashMap;

use serde_json::Value;

use super::document::{Geometry, Object};
use super::plane::{Place, Plane, area_vector};
use crate::error::{Fault, FaultKind};

/// A face: its rings with the numbers and places of their corners. The outline of a roof runs anticlockwise as seen from
/// above.
#[derive(Debug, Clone)]
pub(super) struct Face {
    pub(super) object: String,
    pub(super) is_roof: bool,
    pub(super) is_ground: bool,
    pub(super) rings: Vec<Vec<(usize, Place)>>,
    /// Square to the face, on the side from which its outline runs anticlockwise; of length one.
    pub(super) outward: Place,
    /// The plane of a roof surface.
    pub(super) plane: Option<Plane>,
}

impl Face {
    /// Its area in plan, openings deducted.
    pub(super) fn plan_area_m2(&self) -> f64 {
        let areas = self.rings.iter().map(|ring| {
            let places: Vec<Place> = ring.iter().map(|(_, place)| *place).collect();
            area_vector(&places)[2].abs()
        });
        areas.enumerate().map(|(at, area)| if at == 0 { area } else { -area }).sum()
    }
}

/// The faces of a building. Corners closer than a tenth of a millimetre are one.
#[derive(Debug, Default)]
pub(super) struct BuildingFaces {
    pub(super) faces: Vec<Face>,
    pub(super) faults: Vec<Fault>,
    corners: HashMap<[i64; 3], usize>,
}

impl BuildingFaces {
    /// Adds the faces of an object, in the finest level of detail that has roof surfaces, or in the one stated.
    pub(super) fn add(&mut self, name: &str, object: &Object, vertices: &[Place], lod: Option<&str>) {
        let has_roof = |geometry: &&Geometry| geometry.faces().iter().any(|(kind, _)| *kind == "RoofSurface");
        let wanted = |geometry: &&Geometry| lod.is_none_or(|lod| geometry.lod() == lod);
        // The levels of detail are written so that texts compare as they are fine: 1.3, 2, 2.2.
        let finest =
            object.geometry.iter().filter(wanted).filter(has_roof).max_by_key(|geometry| geometry.lod());
        let Some(geometry) = finest else { return };
        for (number, (kind, rings)) in geometry.faces().into_iter().enumerate() {
            match self.face(name, kind, rings, vertices) {
                Ok(Some(face)) => self.faces.push(face),
                Ok(None) => {}
                Err(fault) => self.faults.push(fault.at(format!("object '{name}', surface {}", number + 1))),
            }
        }
    }

    fn face(
        &mut self,
        object: &str,
        kind: &str,
        rings: &Value,
        vertices: &[Place],
    ) -> Result<Option<Face>, Fault> {
        let unreadable = |problem: &str| Fault::new(FaultKind::CityModelUnreadable, problem);
        let mut read = Vec::new();
        for ring in rings.as_array().into_iter().flatten() {
            let mut corners: Vec<(usize, Place)> = Vec::new();
            for number in ring.as_array().into_iter().flatten() {
                let vertex = number.as_u64().and_then(|at| vertices.get(usize::try_from(at).ok()?));
                let place = *vertex.ok_or_else(|| {
                    unreadable("names a vertex that is not there")
                        .given(number)
                        .allowed(format!("0 to {}", vertices.len().saturating_sub(1)))
                })?;
                let corner = self.corner(place);
                if corners.last().is_none_or(|(before, _)| *before != corner) {
                    corners.push((corner, place));
                }
            }
            if corners.len() > 1
                && corners.first().map(|(first, _)| first) == corners.last().map(|(last, _)| last)
            {
                corners.pop();
            }
            read.push(corners);
        }
        let is_roof = kind == "RoofSurface";
        let Some(outline) = read.first_mut().filter(|outline| outline.len() >= 3) else {
            // A face without a width is none; only of a roof it is worth a word.
            return if is_roof { Err(unreadable("has fewer than three corners")) } else { Ok(None) };
        };
        let places = |ring: &[(usize, Place)]| ring.iter().map(|(_, place)| *place).collect::<Vec<_>>();
        let mut outward = area_vector(&places(outline));
        if is_roof && outward[2] < 0.0 {
            outline.reverse();
            outward = outward.map(|part| -part);
        }
        let size = super::plane::length(outward);
        if size < 1e-9 {
            return if is_roof { Err(unreadable("has no area")) } else { Ok(None) };
        }
        let plane = if is_roof { Plane::through(&places(outline)) } else { None };
        if is_roof && plane.is_none() {
            return Err(unreadable("has all its corners on one line"));
        }
        Ok(Some(Face {
            object: object.to_owned(),
            is_roof,
            is_ground: kind == "GroundSurface",
            rings: read,
            outward: outward.map(|part| part / size),
            plane,
        }))
    }

    fn corner(&mut self, place: Place) -> usize {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a float cast saturates; such places are refused later"
        )]
        let key = place.map(|part| (part / crate::survey::outline::GRID_M).round() as i64);
        let next = self.corners.len();
        *self.corners.entry(key).or_insert(next)
    }

    /// The lowest and highest coordinates.
    pub(super) fn bounds(&self) -> Option<(Place, Place)> {
        let mut places =
            self.faces.iter().flat_map(|face| face.rings.iter().flatten()).map(|(_, place)| *place);
        let first = places.next()?;
        Some(places.fold((first, first), |(low, high), place| {
            let [x, y, z] = place;
            ([low[0].min(x), low[1].min(y), low[2].min(z)], [high[0].max(x), high[1].max(y), high[2].max(z)])
        }))
    }
}
