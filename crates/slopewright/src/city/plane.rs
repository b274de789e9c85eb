//! Planes through corners: the one that lies closest to all of them, and places in it.

use crate::survey::outline::Point;

/// A place in the model, in metres.
pub(super) type Place = [f64; 3];

pub(super) fn minus(a: Place, b: Place) -> Place {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn dot(a: Place, b: Place) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: Place, b: Place) -> Place {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(super) fn length(a: Place) -> f64 {
    dot(a, a).sqrt()
}

fn scaled(a: Place, by: f64) -> Place {
    a.map(|part| part * by)
}

/// The area vector of a ring (Newell's method): square to it, as long as its area.
pub(super) fn area_vector(ring: &[Place]) -> Place {
    let Some(origin) = ring.first() else { return [0.0; 3] };
    let sum = ring.iter().zip(ring.iter().cycle().skip(1)).fold([0.0; 3], |sum: Place, (a, b)| {
        let part = cross(minus(*a, *origin), minus(*b, *origin));
        [sum[0] + part[0], sum[1] + part[1], sum[2] + part[2]]
    });
    scaled(sum, 0.5)
}

/// A plane that is neither level nor upright enough to have no way up: an origin, a normal that looks up, the way to the
/// right as one looks at the slope from its foot, and the way up the slope.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plane {
    pub(super) origin: Place,
    pub(super) normal: Place,
    pub(super) right: Place,
    pub(super) up: Place,
}

impl Plane {
    /// The plane closest to some corners, by the sum of the squares of their distances. `None` if they lie on a line.
    pub(super) fn through(corners: &[Place]) -> Option<Self> {
        let count = f64::from(u32::try_from(corners.len()).ok()?);
        if count < 3.0 {
            return None;
        }
        let sum =
            corners.iter().fold([0.0; 3], |sum: Place, p| [sum[0] + p[0], sum[1] + p[1], sum[2] + p[2]]);
        let origin = scaled(sum, 1.0 / count);
        let mut spread = [[0.0; 3]; 3];
        for corner in corners {
            let by = minus(*corner, origin);
            for (row, a) in spread.iter_mut().zip(by) {
                for (cell, b) in row.iter_mut().zip(by) {
                    *cell += a * b;
                }
            }
        }
        let normal = least_axis(spread)?;
        let normal = if normal[2] < 0.0 { scaled(normal, -1.0) } else { normal };
        let level = normal[0].hypot(normal[1]);
        // A level face has no way up: any will do.
        let right = if level > 1e-9 { [-normal[1] / level, normal[0] / level, 0.0] } else { [1.0, 0.0, 0.0] };
        Some(Self { origin, normal, right, up: cross(normal, right) })
    }

    /// Degrees from level.
    pub(super) fn pitch_deg(&self) -> f64 {
        self.normal[0].hypot(self.normal[1]).atan2(self.normal[2]).to_degrees()
    }

    /// The way it faces: degrees from the second axis (north) towards the first (east).
    pub(super) fn facing_deg(&self) -> f64 {
        self.normal[0].atan2(self.normal[1]).to_degrees().rem_euclid(360.0)
    }

    /// How far a place lies over it; under it, if negative.
    pub(super) fn over(&self, place: Place) -> f64 {
        dot(minus(place, self.origin), self.normal)
    }

    /// A place laid flat into it.
    pub(super) fn flat(&self, place: Place) -> Point {
        let by = minus(place, self.origin);
        Point::new(dot(by, self.right), dot(by, self.up))
    }
}

/// The direction in which points spread least, by turning their spread until only its axes are left (Jacobi's method).
/// `None` if they spread in one direction only.
fn least_axis(mut spread: [[f64; 3]; 3]) -> Option<Place> {
    /// Each round lessens what is off the axes by far more than ten times; this many are more than doubles can tell.
    const ROUNDS: usize = 12;
    let mut axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    let whole = spread[0][0] + spread[1][1] + spread[2][2];
    for _ in 0..ROUNDS {
        turn::<0, 1, 2>(&mut spread, &mut axes);
        turn::<0, 2, 1>(&mut spread, &mut axes);
        turn::<1, 2, 0>(&mut spread, &mut axes);
    }
    let mut found = [(spread[0][0], axes[0]), (spread[1][1], axes[1]), (spread[2][2], axes[2])];
    found.sort_by(|one, other| one.0.total_cmp(&other.0));
    let [(_, least), (middle, _), _] = found;
    // Corners on a line spread in one direction only.
    (middle > 1e-12 * whole && whole.is_finite()).then_some(least)
}

/// Turns the axes `P` and `Q` so that nothing is left between them. `R` is the third.
fn turn<const P: usize, const Q: usize, const R: usize>(
    spread: &mut [[f64; 3]; 3],
    axes: &mut [[f64; 3]; 3],
) {
    let between = spread[P][Q];
    if between == 0.0 {
        return;
    }
    let slant = (spread[Q][Q] - spread[P][P]) / (2.0 * between);
    let tangent = slant.signum() / (slant.abs() + slant.hypot(1.0));
    let cosine = 1.0 / tangent.hypot(1.0);
    let sine = tangent * cosine;
    let (p_r, q_r) = (spread[P][R], spread[Q][R]);
    spread[P][P] -= tangent * between;
    spread[Q][Q] += tangent * between;
    spread[P][Q] = 0.0;
    spread[Q][P] = 0.0;
    spread[P][R] = cosine * p_r - sine * q_r;
    spread[R][P] = spread[P][R];
    spread[Q][R] = sine * p_r + cosine * q_r;
    spread[R][Q] = spread[Q][R];
    let (p, q) = (axes[P], axes[Q]);
    axes[P] = [0, 1, 2].map(|at: usize| cosine * pick(p, at) - sine * pick(q, at));
    axes[Q] = [0, 1, 2].map(|at: usize| sine * pick(p, at) + cosine * pick(q, at));
}

fn pick(place: Place, at: usize) -> f64 {
    place.get(at).copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slope_by_its_rise_and_run() {
        // Nine in twelve, 8 m wide, facing south (the second axis downwards): 36.87 degrees, the angle of a 3-4-5 triangle.
        let corners = [[0.0, 0.0, 0.0], [8.0, 0.0, 0.0], [8.0, 4.0, 3.0], [0.0, 4.0, 3.0]];
        let plane = Plane::through(&corners).unwrap();
        assert!((plane.pitch_deg() - (3.0_f64 / 5.0).asin().to_degrees()).abs() < 1e-12);
        assert!((plane.facing_deg() - 180.0).abs() < 1e-9);
        assert!(corners.iter().all(|p| plane.over(*p).abs() < 1e-12));
        let (low, high) = (plane.flat(corners[0]), plane.flat(corners[2]));
        assert!((high.u - low.u - 8.0).abs() < 1e-12 && (high.v - low.v - 5.0).abs() < 1e-12);
    }

    #[test]
    fn one_corner_out_of_plane_is_shared_out() {
        // A square of 2 m with one corner 40 mm up: by symmetry the least-squares plane misses each corner by 10 mm, up to
        // the tilt it takes.
        let corners = [[0.0, 0.0, 0.0], [2.0, 0.0, 0.0], [2.0, 2.0, 0.04], [0.0, 2.0, 0.0]];
        let plane = Plane::through(&corners).unwrap();
        assert!(corners.iter().all(|p| (plane.over(*p).abs() - 0.01).abs() < 1e-5));
    }

    #[test]
    fn corners_on_a_line_have_no_plane() {
        assert!(Plane::through(&[[0.0; 3], [1.0, 1.0, 1.0], [2.0, 2.0, 2.0]]).is_none());
        assert!(Plane::through(&[[0.0; 3], [1.0, 1.0, 1.0]]).is_none());
    }
}
