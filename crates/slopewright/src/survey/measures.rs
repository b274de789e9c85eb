//! A slope from plain numbers, for batches: what a [`SlopeDocument`](super::SlopeDocument) says in texts, in metres and
//! degrees. It passes the same checks, so that a row of a table and a document give the same slope or the same faults. The
//! place of a fault begins with the field of [`Measures`] that it is of; a fault of the slope as a whole has none.

use super::check_openings::sound_openings;
use super::document::OpeningDocument;
use super::entry::Entry;
use super::opening::Opening;
use super::outline::{Point, Ring, flaws, settled, signed_area};
use super::reading::Reading;
use super::roof::{Edge, EdgeRole, Laying, Slope};
use super::shape::{NamedOutline, SHAPES, Shape, role_by_direction};
use crate::error::{Fault, FaultKind, Result};
use crate::quantity::{Limit, Pitch, figure, limit, m};

/// The measures of one slope. It is filled anew for each row, in the memory that it has.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Measures {
    /// The shape; empty for an outline by its corners.
    pub shape: String,
    /// The corners of an outline or a plan, in metres.
    pub corners: Vec<Point>,
    /// The openings, each by its corners, in metres.
    pub openings: Vec<Ring>,
    /// The length of the eaves, in metres.
    pub eaves_m: Option<f64>,
    /// The length of the ridge, in metres.
    pub ridge_m: Option<f64>,
    /// Eaves to ridge on the slope, in metres.
    pub rafter_m: Option<f64>,
    /// Left end of the eaves to the left end of the top, in metres.
    pub offset_m: Option<f64>,
    /// The pitch, in degrees.
    pub pitch_deg: Option<f64>,
    /// The key of the covering; empty for the one of the terms.
    pub covering: String,
    /// The least headlap wanted, in metres.
    pub headlap_m: Option<f64>,
    /// The largest gauge wanted, in metres.
    pub gauge_m: Option<f64>,
    /// How far the covering reaches past the eaves, in metres.
    pub eaves_overhang_m: Option<f64>,
    /// How far it reaches past the verges, in metres.
    pub verge_overhang_m: Option<f64>,
    /// The roles of the edges, edge 1 from the first corner to the second; where one is absent, the direction tells it.
    pub roles: Vec<Option<EdgeRole>>,
    /// Words that are no roles, with the numbers of their edges: faults. See [`Measures::push_role`].
    pub strange_roles: Vec<(usize, String)>,
}

impl Measures {
    /// Empties every field and keeps the memory.
    pub fn clear(&mut self) {
        self.shape.clear();
        self.corners.clear();
        self.openings.clear();
        self.covering.clear();
        self.roles.clear();
        self.strange_roles.clear();
        for field in [
            &mut self.eaves_m,
            &mut self.ridge_m,
            &mut self.rafter_m,
            &mut self.offset_m,
            &mut self.pitch_deg,
            &mut self.headlap_m,
            &mut self.gauge_m,
            &mut self.eaves_overhang_m,
            &mut self.verge_overhang_m,
        ] {
            *field = None;
        }
    }

    /// Adds the role of the next edge by its word; an empty word leaves it to the direction of the edge. Edge 1 runs from
    /// the first corner to the second.
    pub fn push_role(&mut self, word: &str) {
        let role = EdgeRole::from_word(word);
        if role.is_none() && !word.is_empty() {
            self.strange_roles.push((self.roles.len() + 1, word.to_owned()));
        }
        self.roles.push(role);
    }

    /// Makes everything longer up the slope, as a change of pitch over the same plan does. Corners and rafters given in
    /// plan stay.
    pub fn stretch_up(&mut self, factor: f64) {
        if self.shape == "plan" {
            return;
        }
        self.corners.iter_mut().chain(self.openings.iter_mut().flatten()).for_each(|p| p.v *= factor);
        self.rafter_m = self.rafter_m.map(|rafter| rafter * factor);
    }

    /// The slope that the measures make, laid as `laying` says. Its edges have no names: nobody reads them in a batch.
    ///
    /// # Errors
    /// With every fault of the measures.
    pub fn slope(&self, laying: &Laying) -> Result<Slope> {
        self.slope_laid(laying.clone(), Vec::new())
    }

    /// The same, with a laying to keep, and memory for the edges.
    pub(crate) fn slope_laid(&self, laying: Laying, room_for_edges: Vec<Edge>) -> Result<Slope> {
        let mut reading = Reading::default();
        let slope = reading.measured(self, laying, room_for_edges);
        reading.finish()?;
        slope.ok_or_else(|| Fault::new(FaultKind::FieldMissing, "has no outline").into())
    }
}

/// The corners of a slope, anticlockwise, and whether they were given the other way round.
struct Outline {
    corners: Ring,
    is_turned: bool,
}

impl Reading {
    fn measured(&mut self, measures: &Measures, laying: Laying, mut edges: Vec<Edge>) -> Option<Slope> {
        let pitch = self.measured_pitch(measures.pitch_deg);
        let outline = self.measured_outline(measures, pitch);
        let laying = self.measured_laying(measures, laying);
        let eaves = self.measured_length("eaves_overhang_m", measures.eaves_overhang_m, &limit::overhang);
        let verge = self.measured_length("verge_overhang_m", measures.verge_overhang_m, &limit::overhang);
        let Outline { corners, is_turned } = outline?;
        let roles = &measures.roles;
        edges.clear();
        edges.extend(super::outline::edges(&corners).enumerate().map(|(at, (from, to))| {
            // Turned round, edge `j` is the old edge `count - 2 - j`, and the last one stays the closing edge.
            let given = if is_turned { (corners.len() - 2).checked_sub(at).unwrap_or(at) } else { at };
            let stated = roles.get(given).copied().flatten();
            let role = stated.unwrap_or_else(|| role_by_direction(from, to));
            let stated_reach = match role {
                EdgeRole::Eaves => eaves,
                EdgeRole::Verge => verge,
                _ => None,
            };
            Edge { name: String::new(), from, to, role, role_is_stated: stated.is_some(), stated_reach }
        }));
        let openings = if measures.openings.is_empty() {
            Vec::new()
        } else {
            sound_openings(&measures.openings, &corners, &edges)
                .unwrap_or_else(|| self.faulty_openings(&measures.openings, corners, &mut edges))
        };
        Some(Slope { name: String::new(), pitch: pitch?, edges, openings, laying: laying?, tape: None })
    }

    /// Reads openings as those of a document, which says what is wrong with them.
    #[cold]
    fn faulty_openings(&mut self, rings: &[Ring], corners: Ring, edges: &mut [Edge]) -> Vec<Opening> {
        // The fault names the edge that an opening lies outside of.
        edges.iter_mut().zip(1..).for_each(|(edge, number)| edge.name = number.to_string());
        let outline = NamedOutline { corners, names: Vec::new(), roles: Vec::new(), tape: None };
        let documents = rings.iter().map(|ring| Entry::Given(opening_document(ring)));
        let documents = Entry::Given(documents.collect());
        self.within("openings", |reading| reading.openings(Some(&outline), edges, &documents))
    }

    fn measured_pitch(&mut self, degrees: Option<f64>) -> Option<Pitch> {
        let Some(degrees) = degrees else {
            self.measure_missing("pitch_deg", &limit::pitch);
            return None;
        };
        if let Some(pitch) = Pitch::from_degrees(degrees).filter(|_| limit::pitch.holds(degrees)) {
            return Some(pitch);
        }
        self.within("pitch_deg", |reading| {
            let fault = if degrees.is_finite() {
                Fault::new(FaultKind::PitchOutOfRange, "is out of range")
            } else {
                Fault::new(FaultKind::NotFinite, "is no number")
            };
            reading.fault(fault.given(degrees).allowed(limit::pitch.range()));
        });
        None
    }

    fn measured_length(&mut self, field: &str, value: Option<f64>, limit: &Limit) -> Option<f64> {
        let value = value?;
        if limit.holds(value) {
            return Some(settled(value));
        }
        self.within(field, |reading| {
            let kind = match value {
                value if !value.is_finite() => FaultKind::NotFinite,
                value if limit.least >= 0.0 && value < 0.0 => FaultKind::LengthNegative,
                _ => FaultKind::LengthOutOfRange,
            };
            let given = if value.is_finite() { format!("{} m", figure(value, 4)) } else { value.to_string() };
            reading.fault(
                Fault::new(kind, format!("is out of range for {}", limit.label))
                    .given(given)
                    .allowed(limit.range()),
            );
        });
        None
    }

    fn measured_laying(&mut self, measures: &Measures, laying: Laying) -> Option<Laying> {
        let before = self.count();
        let headlap = self.measured_length("headlap_m", measures.headlap_m, &limit::headlap);
        let gauge = self.measured_length("gauge_m", measures.gauge_m, &limit::gauge);
        let own = Laying {
            headlap: headlap.map(m).or(laying.headlap),
            gauge: gauge.map(m).or(laying.gauge),
            ..laying
        };
        if headlap.is_some() {
            self.within("headlap_m", |reading| reading.laps_fit(&own.covering, headlap.map(m), None));
        }
        if gauge.is_some() {
            self.within("gauge_m", |reading| reading.laps_fit(&own.covering, None, gauge.map(m)));
        }
        (self.count() == before).then_some(own)
    }

    /// A fault for a measure that has to be there.
    fn measure_missing(&mut self, field: &str, limit: &Limit) {
        let fault = Fault::new(FaultKind::FieldMissing, "is missing").allowed(limit.range());
        self.within(field, |reading| reading.fault(fault));
    }

    /// A length that has to be there.
    fn needed_measure(&mut self, field: &str, value: Option<f64>, limit: &Limit) -> Option<f64> {
        if value.is_none() {
            self.measure_missing(field, limit);
        }
        self.measured_length(field, value, limit)
    }

    fn measured_outline(&mut self, measures: &Measures, pitch: Option<Pitch>) -> Option<Outline> {
        let before = self.count();
        self.strange_roles(&measures.strange_roles);
        let shape = self.measured_shape(measures)?;
        self.fits_shape(measures, shape);
        let mut corners = match shape {
            Shape::Outline | Shape::Plan => self.corners_given(measures, shape, pitch)?,
            _ => self.corners_of_shape(measures, shape)?,
        };
        if measures.roles.len() > corners.len() {
            let fault = Fault::new(FaultKind::EdgeUnknown, "has roles for more edges than there are")
                .given(format!("{} roles", measures.roles.len()))
                .allowed(format!("up to {}, one for each edge", corners.len()));
            self.within("roles", |reading| reading.fault(fault));
        }
        if self.count() > before {
            return None;
        }
        if !flaws(&corners).is_empty() {
            let field = if measures.corners.is_empty() { "shape" } else { "corners" };
            self.within(field, |reading| reading.sound(&corners));
            return None;
        }
        let is_turned = signed_area(&corners) < 0.0;
        if is_turned {
            corners.reverse();
        }
        Some(Outline { corners, is_turned })
    }

    fn strange_roles(&mut self, strange: &[(usize, String)]) {
        for (edge, word) in strange {
            let words: Vec<&str> = EdgeRole::ALL.into_iter().map(EdgeRole::word).collect();
            let problem = format!("'{word}' is not one of the words for 'role'");
            let fault = Fault::new(FaultKind::RoleUnknown, problem)
                .given(format!("\"{word}\""))
                .allowed(words.join(", "));
            self.within(format!("roles, edge {edge}"), |reading| reading.fault(fault));
        }
    }

    /// A fault for each measure that is given and that the shape does not take, as the check of a document has it.
    fn fits_shape(&mut self, measures: &Measures, shape: Shape) {
        let wanted: &[&str] = match shape {
            Shape::Rectangle => &["eaves_m", "rafter_m"],
            Shape::Trapezoid => &["eaves_m", "ridge_m", "rafter_m", "offset_m"],
            Shape::Triangle | Shape::Parallelogram => &["eaves_m", "rafter_m", "offset_m"],
            Shape::Outline | Shape::Plan | Shape::Tape => &["corners"],
        };
        for (field, is_given) in [
            ("eaves_m", measures.eaves_m.is_some()),
            ("ridge_m", measures.ridge_m.is_some()),
            ("rafter_m", measures.rafter_m.is_some()),
            ("offset_m", measures.offset_m.is_some()),
            ("corners", !measures.corners.is_empty()),
        ] {
            if is_given && !wanted.contains(&field) {
                self.measure_not_taken(measures, field, wanted);
            }
        }
    }

    #[cold]
    fn measure_not_taken(&mut self, measures: &Measures, field: &str, wanted: &[&str]) {
        let figure = match field {
            "eaves_m" => measures.eaves_m,
            "ridge_m" => measures.ridge_m,
            "rafter_m" => measures.rafter_m,
            "offset_m" => measures.offset_m,
            _ => None,
        };
        let given = figure
            .map_or_else(|| format!("{} corners", measures.corners.len()), |figure| format!("{figure} m"));
        let shape = if measures.shape.is_empty() { "outline" } else { measures.shape.as_str() };
        let problem = format!("is given, and the shape '{shape}' does not take it");
        let fault = Fault::new(FaultKind::FieldNotForShape, problem)
            .given(given)
            .allowed(wanted.join(", "))
            .advice("leave it empty in this row, or choose the shape that has it");
        self.within(field, |reading| reading.fault(fault));
    }

    /// The corners of an outline or a plan.
    fn corners_given(&mut self, measures: &Measures, shape: Shape, pitch: Option<Pitch>) -> Option<Ring> {
        self.measured_corners(&measures.corners)?;
        let up = match shape {
            Shape::Plan => pitch?.slope_factor(),
            _ => 1.0,
        };
        Some(measures.corners.iter().map(|p| Point::new(settled(p.u), settled(p.v * up))).collect())
    }

    /// The corners of a shape, from its measures.
    fn corners_of_shape(&mut self, measures: &Measures, shape: Shape) -> Option<Ring> {
        let eaves = self.needed_measure("eaves_m", measures.eaves_m, &limit::slope_length);
        let rafter = self.needed_measure("rafter_m", measures.rafter_m, &limit::slope_length);
        let ridge = match shape {
            Shape::Trapezoid => self.needed_measure("ridge_m", measures.ridge_m, &limit::slope_length),
            Shape::Triangle => Some(0.0),
            _ => eaves,
        };
        let offset = match shape {
            Shape::Rectangle => Some(0.0),
            Shape::Parallelogram => self.needed_measure("offset_m", measures.offset_m, &limit::coordinate),
            _ => self.measured_length("offset_m", measures.offset_m, &limit::coordinate),
        };
        let (eaves, ridge, rafter) = (eaves?, ridge?, rafter?);
        let offset = offset.unwrap_or((eaves - ridge) / 2.0);
        Some(match shape {
            Shape::Triangle => NamedOutline::triangle(eaves, rafter, offset).corners,
            _ => NamedOutline::trapezoid(eaves, ridge, rafter, offset).corners,
        })
    }

    fn measured_shape(&mut self, measures: &Measures) -> Option<Shape> {
        let by_corners = !measures.corners.is_empty();
        let shape = match measures.shape.as_str() {
            "" if by_corners => Some(Shape::Outline),
            "" => {
                let fault = Fault::new(FaultKind::FieldMissing, "is missing, and so are the corners")
                    .allowed("corners, or one of rectangle, trapezoid, triangle, hip-end, parallelogram");
                self.within("shape", |reading| reading.fault(fault));
                return None;
            }
            word => SHAPES.iter().find(|(name, _)| *name == word).map(|(_, shape)| *shape),
        };
        let shape = shape.filter(|shape| *shape != Shape::Tape);
        if shape.is_none() {
            let words: Vec<&str> =
                SHAPES.iter().filter(|(_, shape)| *shape != Shape::Tape).map(|(word, _)| *word).collect();
            let problem = format!("'{}' is not one of the words for 'shape'", measures.shape);
            let fault = Fault::new(FaultKind::ShapeUnknown, problem)
                .given(format!("\"{}\"", measures.shape))
                .allowed(words.join(", "));
            self.within("shape", |reading| reading.fault(fault));
        }
        shape
    }

    /// Whether some corners are places on a slope, and not too many.
    fn measured_corners(&mut self, corners: &[Point]) -> Option<()> {
        let count = u32::try_from(corners.len()).map_or(f64::INFINITY, f64::from);
        if count > limit::corners.most {
            let fault = Fault::new(FaultKind::TooManyCorners, "has too many corners")
                .given(corners.len())
                .allowed(limit::corners.range());
            self.within("corners", |reading| reading.fault(fault));
            return None;
        }
        let holds = |p: &Point| limit::coordinate.holds(p.u) && limit::coordinate.holds(p.v);
        let outside = corners.iter().position(|p| p.is_finite() && !holds(p));
        if let Some((at, corner)) = outside.and_then(|at| Some((at, corners.get(at)?))) {
            self.within(format!("corners, corner {}", at + 1), |reading| {
                reading.fault(
                    Fault::new(
                        FaultKind::LengthOutOfRange,
                        format!("is out of range for {}", limit::coordinate.label),
                    )
                    .given(format!("({} m, {} m)", figure(corner.u, 3), figure(corner.v, 3)))
                    .allowed(limit::coordinate.range()),
                );
            });
            return None;
        }
        Some(())
    }
}

fn opening_document(ring: &[Point]) -> OpeningDocument {
    let pair = |p: &Point| Entry::Given(vec![Entry::Given(m(p.u).into()), Entry::Given(m(p.v).into())]);
    OpeningDocument { points: Entry::Given(ring.iter().map(pair).collect()), ..OpeningDocument::default() }
}
