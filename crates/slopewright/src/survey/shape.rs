//! From the measures of a shape to the outline of a slope, and from directions to the roles of its edges.

use super::document::SlopeDocument;
use super::entry::{Entry, LengthText};
use super::outline::{Point, RingFlaw, flaws, signed_area};
use super::reading::Reading;
use super::roof::EdgeRole;
use super::tape::Tape;
use crate::error::{Fault, FaultKind};
use crate::quantity::{LengthIn, Pitch, figure, limit};

/// A shape that a slope may be stated by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shape {
    Rectangle,
    Trapezoid,
    Triangle,
    Parallelogram,
    Outline,
    Plan,
    Tape,
}

/// The words for the shapes. A hip end is a triangle.
pub(super) const SHAPES: &[(&str, Shape)] = &[
    ("rectangle", Shape::Rectangle),
    ("trapezoid", Shape::Trapezoid),
    ("triangle", Shape::Triangle),
    ("hip-end", Shape::Triangle),
    ("parallelogram", Shape::Parallelogram),
    ("outline", Shape::Outline),
    ("plan", Shape::Plan),
    ("tape", Shape::Tape),
];

/// An outline with the names of its edges: edge `i` runs from corner `i` to the next, anticlockwise. Where a role is
/// missing, the direction of the edge tells it. An outline by tape says how well its measures close.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct NamedOutline {
    pub(super) corners: Vec<Point>,
    pub(super) names: Vec<String>,
    pub(super) roles: Vec<Option<EdgeRole>>,
    pub(super) tape: Option<Tape>,
}

impl NamedOutline {
    fn four_sided(corners: [(f64, f64); 4]) -> Self {
        Self::new(&corners, &["eaves", "right", "top", "left"])
    }

    fn three_sided(corners: [(f64, f64); 3]) -> Self {
        Self::new(&corners, &["eaves", "right", "left"])
    }

    fn new(corners: &[(f64, f64)], names: &[&str]) -> Self {
        Self {
            corners: corners.iter().map(|(u, v)| Point::new(*u, *v)).collect(),
            names: names.iter().map(|name| (*name).to_owned()).collect(),
            roles: Vec::new(),
            tape: None,
        }
    }

    /// Four sides from eaves, ridge, rafter and the offset of the ridge's left end.
    pub(super) fn trapezoid(eaves: f64, ridge: f64, rafter: f64, offset: f64) -> Self {
        Self::four_sided([(0.0, 0.0), (eaves, 0.0), (offset + ridge, rafter), (offset, rafter)])
    }

    /// Three sides from eaves, rafter and the offset of the apex.
    pub(super) fn triangle(eaves: f64, rafter: f64, offset: f64) -> Self {
        Self::three_sided([(0.0, 0.0), (eaves, 0.0), (offset, rafter)])
    }
}

impl Reading {
    /// The outline of a slope, from the fields that its shape takes.
    pub(super) fn outline(
        &mut self,
        slope: &SlopeDocument,
        shape: Shape,
        pitch: Option<Pitch>,
    ) -> Option<NamedOutline> {
        self.fields_fit(slope, shape);
        let size = &limit::slope_length;
        match shape {
            Shape::Rectangle => {
                let eaves = self.needed_length("eaves", &slope.eaves, size);
                let rafter = self.needed_length("rafter", &slope.rafter, size);
                let (eaves, rafter) = (eaves?.m(), rafter?.m());
                Some(NamedOutline::trapezoid(eaves, eaves, rafter, 0.0))
            }
            Shape::Trapezoid => {
                let eaves = self.needed_length("eaves", &slope.eaves, size);
                let ridge = self.needed_length("ridge", &slope.ridge, size);
                let rafter = self.needed_length("rafter", &slope.rafter, size);
                let offset = self.length("offset", &slope.offset, &limit::coordinate);
                let (eaves, ridge, rafter) = (eaves?.m(), ridge?.m(), rafter?.m());
                let offset = offset.map_or((eaves - ridge) / 2.0, LengthIn::m);
                Some(NamedOutline::trapezoid(eaves, ridge, rafter, offset))
            }
            Shape::Triangle => {
                let eaves = self.needed_length("eaves", &slope.eaves, size);
                let rafter = self.needed_length("rafter", &slope.rafter, size);
                let offset = self.length("offset", &slope.offset, &limit::coordinate);
                let (eaves, rafter) = (eaves?.m(), rafter?.m());
                Some(NamedOutline::triangle(eaves, rafter, offset.map_or(eaves / 2.0, LengthIn::m)))
            }
            Shape::Parallelogram => {
                let eaves = self.needed_length("eaves", &slope.eaves, size);
                let rafter = self.needed_length("rafter", &slope.rafter, size);
                let offset = self.needed_length("offset", &slope.offset, &limit::coordinate);
                let (eaves, rafter, offset) = (eaves?.m(), rafter?.m(), offset?.m());
                Some(NamedOutline::trapezoid(eaves, eaves, rafter, offset))
            }
            Shape::Tape => self.tape(slope),
            Shape::Outline | Shape::Plan => {
                self.must_be_there("points", &slope.points, "a list of pairs of lengths");
                let corners = self.corners("points", &slope.points)?;
                let up = match shape {
                    Shape::Plan => pitch?.slope_factor(),
                    _ => 1.0,
                };
                let corners: Vec<Point> = corners.into_iter().map(|p| Point::new(p.u, p.v * up)).collect();
                self.sound(&corners).then(|| numbered(corners))
            }
        }
    }

    /// Reads the measures of a slope whose shape is not known, so that their faults are reported too.
    pub(super) fn measures_alone(&mut self, slope: &SlopeDocument) {
        let size = &limit::slope_length;
        for (field, entry, limit) in [
            ("eaves", &slope.eaves, size),
            ("ridge", &slope.ridge, size),
            ("rafter", &slope.rafter, size),
            ("offset", &slope.offset, &limit::coordinate),
            ("left_rafter", &slope.left_rafter, size),
            ("right_rafter", &slope.right_rafter, size),
            ("left_diagonal", &slope.left_diagonal, size),
            ("right_diagonal", &slope.right_diagonal, size),
            ("tolerance", &slope.tolerance, &limit::overhang),
        ] {
            self.length(field, entry, limit);
        }
        if let Some(corners) = self.corners("points", &slope.points) {
            self.sound(&corners);
        }
    }

    /// A fault for each field that is given and does not belong to the shape.
    fn fields_fit(&mut self, slope: &SlopeDocument, shape: Shape) {
        let wanted: &[&str] = match shape {
            Shape::Rectangle => &["eaves", "rafter"],
            Shape::Trapezoid => &["eaves", "ridge", "rafter", "offset"],
            Shape::Triangle | Shape::Parallelogram => &["eaves", "rafter", "offset"],
            Shape::Outline | Shape::Plan => &["points"],
            Shape::Tape => &[
                "eaves",
                "ridge",
                "left_rafter",
                "right_rafter",
                "left_diagonal",
                "right_diagonal",
                "tolerance",
            ],
        };
        let given = [
            ("eaves", slope.eaves.is_absent()),
            ("ridge", slope.ridge.is_absent()),
            ("rafter", slope.rafter.is_absent()),
            ("offset", slope.offset.is_absent()),
            ("points", slope.points.is_absent()),
            ("left_rafter", slope.left_rafter.is_absent()),
            ("right_rafter", slope.right_rafter.is_absent()),
            ("left_diagonal", slope.left_diagonal.is_absent()),
            ("right_diagonal", slope.right_diagonal.is_absent()),
            ("tolerance", slope.tolerance.is_absent()),
        ];
        for (field, is_absent) in given {
            if !is_absent && !wanted.contains(&field) {
                self.fault(
                    Fault::new(
                        FaultKind::FieldNotForShape,
                        format!("has '{field}', which its shape does not take"),
                    )
                    .allowed(wanted.join(", ")),
                );
            }
        }
    }

    /// The corners of an outline: pairs of lengths.
    pub(super) fn corners(
        &mut self,
        field: &str,
        entry: &Entry<Vec<Entry<Vec<Entry<LengthText>>>>>,
    ) -> Option<Vec<Point>> {
        let before = self.count();
        let mut corners = Vec::new();
        for (number, pair) in self.list(field, entry, Some((&limit::corners, FaultKind::TooManyCorners))) {
            self.within(format!("corner {number}"), |reading| {
                let [right, up] = pair.as_slice() else {
                    reading.fault(
                        Fault::new(FaultKind::CornerNotAPair, "is not a pair of lengths")
                            .given(format!("{} lengths", pair.len()))
                            .allowed("the distance to the right, then the distance up the slope"),
                    );
                    return;
                };
                let right = reading.needed_length("to the right", right, &limit::coordinate);
                let up = reading.needed_length("up the slope", up, &limit::coordinate);
                if let (Some(right), Some(up)) = (right, up) {
                    corners.push(Point::new(right.m(), up.m()));
                }
            });
        }
        (self.count() == before && !entry.is_absent()).then_some(corners)
    }

    /// Whether some corners make an outline; a fault for each flaw.
    pub(super) fn sound(&mut self, corners: &[Point]) -> bool {
        let found = flaws(corners);
        for flaw in &found {
            let place = |at: usize| {
                corners
                    .get(at)
                    .map_or_else(String::new, |p| format!("({} m, {} m)", figure(p.u, 3), figure(p.v, 3)))
            };
            self.fault(match *flaw {
                RingFlaw::TooFewCorners => Fault::new(FaultKind::TooFewCorners, "has too few corners")
                    .given(format!("{} corners", corners.len()))
                    .allowed(limit::corners.range()),
                RingFlaw::NotFinite(at) => {
                    Fault::new(FaultKind::NotFinite, format!("has a corner {} that is no place", at + 1))
                }
                RingFlaw::RepeatedCorner(at) => {
                    Fault::new(FaultKind::CornerRepeated, format!("has corner {} twice in a row", at + 1))
                        .given(place(at))
                }
                RingFlaw::Spike(at) => {
                    Fault::new(FaultKind::OutlineSpike, format!("turns back on itself at corner {}", at + 1))
                        .given(place(at))
                }
                RingFlaw::Crossing(one, other, at) => Fault::new(
                    FaultKind::OutlineCrossesItself,
                    format!(
                        "has edges {} and {} that meet at ({} m, {} m)",
                        one + 1,
                        other + 1,
                        figure(at.u, 3),
                        figure(at.v, 3)
                    ),
                ),
                RingFlaw::NoArea => Fault::new(FaultKind::OutlineWithoutArea, "encloses no area"),
            });
        }
        found.is_empty()
    }
}

/// An outline with edges numbered from 1 as the survey gives them, turned to run anticlockwise.
fn numbered(corners: Vec<Point>) -> NamedOutline {
    let count = corners.len();
    let names = (1..=count).map(|number| number.to_string()).collect();
    let mut outline = NamedOutline { corners, names, roles: Vec::new(), tape: None };
    if signed_area(&outline.corners) < 0.0 {
        outline.corners.reverse();
        // Reversed, edge `j` is the old edge `count - 2 - j`, and the last one stays the closing edge.
        if let Some(closing) = outline.names.pop() {
            outline.names.reverse();
            outline.names.push(closing);
        }
    }
    outline
}

/// What an edge is by its direction, where the survey does not say: level edges are eaves or ridge, upright ones
/// verges, those that lean in are hips and those that lean out valleys.
pub(super) fn role_by_direction(from: Point, to: Point) -> EdgeRole {
    /// Sine of five degrees: a tape survey is no better than that.
    const TOLERANCE: f64 = 0.087;
    let along = to.minus(from);
    let length = along.length();
    let (right, up) = (along.u / length, along.v / length);
    if up.abs() < TOLERANCE {
        if right > 0.0 { EdgeRole::Eaves } else { EdgeRole::Ridge }
    } else if right.abs() < TOLERANCE {
        EdgeRole::Verge
    } else if right < 0.0 {
        // Going round anticlockwise, both right and left edges that lean in run to the left.
        EdgeRole::Hip
    } else {
        EdgeRole::Valley
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use EdgeRole::{Eaves, Hip, Ridge, Valley, Verge};

    #[test]
    fn directions_tell_the_roles() {
        let roles = |outline: &NamedOutline| {
            let corners = &outline.corners;
            (0..corners.len())
                .map(|at| role_by_direction(corners[at], corners[(at + 1) % corners.len()]))
                .collect::<Vec<_>>()
        };
        assert_eq!(roles(&NamedOutline::trapezoid(8.0, 8.0, 5.0, 0.0)), [Eaves, Verge, Ridge, Verge]);
        assert_eq!(roles(&NamedOutline::trapezoid(8.0, 3.0, 5.0, 2.5)), [Eaves, Hip, Ridge, Hip]);
        assert_eq!(roles(&NamedOutline::trapezoid(3.0, 8.0, 5.0, -2.5)), [Eaves, Valley, Ridge, Valley]);
        assert_eq!(roles(&NamedOutline::triangle(6.0, 4.0, 3.0)), [Eaves, Hip, Hip]);
        // Leaning to the right: a valley on the right... is where the slope grows wider, on the left it narrows.
        assert_eq!(roles(&NamedOutline::trapezoid(8.0, 8.0, 5.0, 2.0)), [Eaves, Valley, Ridge, Hip]);
    }

    #[test]
    fn a_clockwise_outline_keeps_the_numbers_of_its_edges() {
        let square = [(0.0, 0.0), (0.0, 5.0), (8.0, 5.0), (8.0, 0.0)];
        let outline = numbered(square.iter().map(|(u, v)| Point::new(*u, *v)).collect());
        // Edge 1 of the survey ran up the left side, edge 4 back along the eaves.
        for (name, from, to) in
            [("1", (0.0, 5.0), (0.0, 0.0)), ("4", (0.0, 0.0), (8.0, 0.0)), ("3", (8.0, 0.0), (8.0, 5.0))]
        {
            let at = outline.names.iter().position(|other| other == name).unwrap();
            let next = (at + 1) % 4;
            assert_eq!((outline.corners[at].u, outline.corners[at].v), from);
            assert_eq!((outline.corners[next].u, outline.corners[next].v), to);
        }
    }
}
