//! A slope by tape: four sides and two diagonals, of which five are enough. With all six the corners are placed by
//! least squares, and what is left over of each measure is kept.

use super::document::SlopeDocument;
use super::entry::{Entry, LengthText};
use super::outline::{Point, signed_area};
use super::reading::Reading;
use super::roof::EdgeRole;
use super::shape::NamedOutline;
use crate::error::{Fault, FaultKind};
use crate::quantity::{LengthIn, figure, limit};

/// One measure of a tape survey.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct TapeMeasure {
    /// What was measured: the name of its field.
    pub name: &'static str,
    /// As measured, in metres.
    pub measured_m: f64,
    /// As laid, in metres.
    pub laid_m: f64,
}

impl TapeMeasure {
    /// What is left over: as laid less as measured, in metres.
    #[must_use]
    pub fn residual_m(&self) -> f64 {
        self.laid_m - self.measured_m
    }
}

/// How well the measures of a tape survey close.
#[derive(Debug, Clone, PartialEq)]
pub struct Tape {
    /// The measures.
    pub measures: Vec<TapeMeasure>,
    /// How large a residual may be before it is reported, in metres.
    pub tolerance_m: f64,
}

impl Tape {
    /// The root of the mean square of the residuals, in metres.
    #[must_use]
    pub fn rms_m(&self) -> f64 {
        let (sum, count) = self.measures.iter().fold((0.0, 0.0), |(sum, count), measure: &TapeMeasure| {
            (measure.residual_m().mul_add(measure.residual_m(), sum), count + 1.0)
        });
        if count == 0.0 { 0.0 } else { (sum / count).sqrt() }
    }

    /// The largest residual, without its sign, in metres.
    #[must_use]
    pub fn worst_m(&self) -> f64 {
        self.measures.iter().fold(0.0, |worst, measure| measure.residual_m().abs().max(worst))
    }
}

/// How large a residual may be where the survey says nothing (common practice, no source).
const TOLERANCE_M: f64 = 0.02;

/// Residuals of so many times the tolerance are a slip of a measure, not of the tape.
const A_SLIP: f64 = 10.0;

/// The corners: left and right end of the eaves, right and left end of the ridge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Corner {
    EavesLeft,
    EavesRight,
    RidgeRight,
    RidgeLeft,
}
use Corner::{EavesLeft, EavesRight, RidgeLeft, RidgeRight};

/// What is measured: the name of its field, from where to where, and whether it is a diagonal.
const MEASURES: [(&str, [Corner; 2], bool); 6] = [
    ("eaves", [EavesLeft, EavesRight], false),
    ("right_rafter", [EavesRight, RidgeRight], false),
    ("ridge", [RidgeRight, RidgeLeft], false),
    ("left_rafter", [RidgeLeft, EavesLeft], false),
    ("left_diagonal", [EavesLeft, RidgeRight], true),
    ("right_diagonal", [EavesRight, RidgeLeft], true),
];

/// The places of the four corners.
#[derive(Debug, Clone, Copy)]
struct Places([Point; 4]);

impl Places {
    const fn of(&self, corner: Corner) -> Point {
        let [eaves_left, eaves_right, ridge_right, ridge_left] = self.0;
        match corner {
            EavesLeft => eaves_left,
            EavesRight => eaves_right,
            RidgeRight => ridge_right,
            RidgeLeft => ridge_left,
        }
    }

    fn length(&self, [from, to]: [Corner; 2]) -> f64 {
        self.of(to).minus(self.of(from)).length()
    }

    /// The sum of the squares of what is left over.
    fn misfit(&self, given: &[Option<f64>; 6]) -> f64 {
        MEASURES
            .iter()
            .zip(given)
            .filter_map(|((_, ends, _), length)| Some((self.length(*ends) - (*length)?).powi(2)))
            .sum()
    }

    /// With the left end of the eaves in the origin, the eaves level to the right, and the ridge above.
    fn set_level(self) -> Self {
        let origin = self.of(EavesLeft);
        let eaves = self.of(EavesRight).minus(origin);
        let length = eaves.length();
        let along = Point::new(eaves.u / length, eaves.v / length);
        let up = if signed_area(&self.0) < 0.0 { -1.0 } else { 1.0 };
        Self(self.0.map(|place| {
            let from = place.minus(origin);
            Point::new(along.dot(from), along.cross(from) * up)
        }))
    }
}

impl Reading {
    /// The outline of a slope by tape.
    pub(super) fn tape(&mut self, slope: &SlopeDocument) -> Option<NamedOutline> {
        let entries: [&Entry<LengthText>; 6] = [
            &slope.eaves,
            &slope.right_rafter,
            &slope.ridge,
            &slope.left_rafter,
            &slope.left_diagonal,
            &slope.right_diagonal,
        ];
        let before = self.count();
        let mut given = [None; 6];
        for ((length, entry), (name, ..)) in given.iter_mut().zip(entries).zip(MEASURES) {
            *length = self.length(name, entry, &limit::slope_length).map(LengthIn::m);
        }
        let tolerance_m =
            self.length("tolerance", &slope.tolerance, &limit::overhang).map_or(TOLERANCE_M, LengthIn::m);
        let absent = entries.iter().filter(|entry| entry.is_absent()).count();
        if absent > 1 {
            let names: Vec<&str> = MEASURES.iter().map(|(name, ..)| *name).collect();
            self.fault(
                Fault::new(FaultKind::TapeTooFew, "has too few measures to lay it down")
                    .given(format!("{} measures", 6 - absent))
                    .allowed(format!("at least five of {}", names.join(", "))),
            );
        }
        if self.count() > before {
            return None;
        }
        let Some(places) = placed(&given) else {
            self.fault(
                Fault::new(FaultKind::TapeDoesNotClose, "has measures of which three make no triangle")
                    .given(listed(&given)),
            );
            return None;
        };
        let measures: Vec<TapeMeasure> = MEASURES
            .iter()
            .zip(&given)
            .filter_map(|((name, ends, _), length)| {
                Some(TapeMeasure { name, measured_m: (*length)?, laid_m: places.length(*ends) })
            })
            .collect();
        let tape = Tape { measures, tolerance_m };
        if tape.worst_m() > A_SLIP * tolerance_m.max(0.001) {
            self.fault(
                Fault::new(
                    FaultKind::TapeDoesNotClose,
                    format!("has measures that miss each other by {} mm", figure(tape.worst_m() * 1000.0, 0)),
                )
                .given(listed(&given))
                .allowed(format!(
                    "up to {} mm, ten times the tolerance",
                    figure(A_SLIP * tolerance_m.max(0.001) * 1000.0, 0)
                )),
            );
            return None;
        }
        let corners = places.0.to_vec();
        self.sound(&corners).then(|| NamedOutline {
            corners,
            names: ["eaves", "right", "top", "left"].map(str::to_owned).to_vec(),
            // Out of level they are eaves and ridge all the same.
            roles: vec![Some(EdgeRole::Eaves), None, Some(EdgeRole::Ridge), None],
            tape: Some(tape),
        })
    }
}

/// `eaves 8 m, ridge 7.98 m` and so on.
fn listed(given: &[Option<f64>; 6]) -> String {
    let lengths: Vec<String> = MEASURES
        .iter()
        .zip(given)
        .filter_map(|((name, ..), length)| Some(format!("{name} {} m", figure((*length)?, 3))))
        .collect();
    lengths.join(", ")
}

/// The corners that fit the measures best; `None` if three of them make no triangle.
fn placed(given: &[Option<f64>; 6]) -> Option<Places> {
    // A start from any five of them: the best of those that close.
    let start = (0..MEASURES.len())
        .filter(|at| given.iter().enumerate().all(|(other, length)| other == *at || length.is_some()))
        .filter_map(|at| without(at, given))
        .min_by(|one, other| one.misfit(given).total_cmp(&other.misfit(given)))?;
    let mut places = start.set_level();
    for _ in 0..60 {
        let step = best_step(&places, given)?;
        let [eaves, right_u, right_v, left_u, left_v] = step;
        let Places([origin, eaves_right, ridge_right, ridge_left]) = places;
        places = Places([
            origin,
            eaves_right.plus(Point::new(eaves, 0.0), 1.0),
            ridge_right.plus(Point::new(right_u, right_v), 1.0),
            ridge_left.plus(Point::new(left_u, left_v), 1.0),
        ]);
        if step.iter().all(|by| by.abs() < 1e-13) {
            break;
        }
    }
    places.0.iter().all(|place| place.is_finite()).then_some(places)
}

/// The corners without one of the measures: two triangles on the side or diagonal that lies across it.
fn without(missing: usize, given: &[Option<f64>; 6]) -> Option<Places> {
    let (_, [x, y], is_diagonal) = *MEASURES.get(missing)?;
    let all = [EavesLeft, EavesRight, RidgeRight, RidgeLeft];
    let mut others = all.into_iter().filter(|corner| *corner != x && *corner != y);
    let (z, w) = (others.next()?, others.next()?);
    let between = |one: Corner, other: Corner| {
        MEASURES
            .iter()
            .zip(given)
            .find(|((_, ends, _), _)| ends.contains(&one) && ends.contains(&other))
            .and_then(|(_, length)| *length)
    };
    let base = between(z, w)?;
    let apex = |corner: Corner| {
        let (from_z, from_w) = (between(corner, z)?, between(corner, w)?);
        let along = (from_z * from_z - from_w * from_w + base * base) / (2.0 * base);
        let square = (from_z - along) * (from_z + along);
        // A triangle of no height within rounding.
        (square > -1e-9 * from_z * from_z).then(|| (along, square.max(0.0).sqrt()))
    };
    let ((xu, xv), (yu, yv)) = (apex(x)?, apex(y)?);
    // What lies across a diagonal lies on both sides of it.
    let other_side = if is_diagonal { -1.0 } else { 1.0 };
    let place = |corner: Corner| {
        if corner == x {
            Point::new(xu, xv)
        } else if corner == y {
            Point::new(yu, yv * other_side)
        } else if corner == z {
            Point::new(0.0, 0.0)
        } else {
            Point::new(base, 0.0)
        }
    };
    Some(Places(all.map(place)))
}

/// The step of Gauss and Newton: along the eaves for their right end, and both ways for the ends of the ridge.
fn best_step(places: &Places, given: &[Option<f64>; 6]) -> Option<[f64; 5]> {
    let measured =
        || MEASURES.iter().zip(given).filter_map(|((_, ends, _), length)| Some((*ends, (*length)?)));
    let left_over: Vec<f64> = measured().map(|(ends, length)| length - places.length(ends)).collect();
    let moves = [
        (EavesRight, Point::new(1.0, 0.0)),
        (RidgeRight, Point::new(1.0, 0.0)),
        (RidgeRight, Point::new(0.0, 1.0)),
        (RidgeLeft, Point::new(1.0, 0.0)),
        (RidgeLeft, Point::new(0.0, 1.0)),
    ];
    let columns: Vec<Vec<f64>> = moves
        .iter()
        .map(|(corner, way)| {
            measured()
                .map(|([from, to], _)| {
                    let line = places.of(to).minus(places.of(from));
                    let sign = f64::from(i8::from(to == *corner) - i8::from(from == *corner));
                    sign * way.dot(line) / line.length()
                })
                .collect()
        })
        .collect();
    <[f64; 5]>::try_from(least_squares(&columns, left_over)?).ok()
}

/// The shares of some columns that add up to the target with the least squares left over (Gram-Schmidt, then back
/// from the last); `None` if one of the columns adds nothing to those before it.
fn least_squares(columns: &[Vec<f64>], mut target: Vec<f64>) -> Option<Vec<f64>> {
    let dot = |one: &[f64], other: &[f64]| one.iter().zip(other).map(|(a, b)| a * b).sum::<f64>();
    let take = |from: &mut [f64], way: &[f64], by: f64| {
        for (value, part) in from.iter_mut().zip(way) {
            *value -= by * part;
        }
    };
    let mut square: Vec<Vec<f64>> = Vec::new();
    let mut parts: Vec<Vec<f64>> = Vec::new();
    let mut shares: Vec<f64> = Vec::new();
    for column in columns {
        let mut rest = column.clone();
        let mut part = Vec::new();
        for way in &square {
            let by = dot(way, &rest);
            take(&mut rest, way, by);
            part.push(by);
        }
        let length = dot(&rest, &rest).sqrt();
        if length.is_nan() || length <= 1e-9 {
            return None;
        }
        let way: Vec<f64> = rest.iter().map(|value| value / length).collect();
        part.push(length);
        let share = dot(&way, &target);
        take(&mut target, &way, share);
        shares.push(share);
        square.push(way);
        parts.push(part);
    }
    for (at, part) in parts.iter().enumerate().rev() {
        let value = shares.get(at)? / part.last()?;
        *shares.get_mut(at)? = value;
        for (earlier, by) in shares.iter_mut().zip(part).take(at) {
            *earlier -= by * value;
        }
    }
    Some(shares)
}
