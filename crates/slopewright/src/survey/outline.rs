//! Points and closed outlines in the plane of one slope: `u` to the right along the eaves, `v` up the slope, in metres.

use serde::Serialize;

/// A point in a slope's own plane, in metres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// To the right along the eaves.
    pub u: f64,
    /// Up the slope.
    pub v: f64,
}

impl Point {
    /// A point from its two distances in metres.
    #[must_use]
    pub const fn new(u: f64, v: f64) -> Self {
        Self { u, v }
    }

    /// The vector from `other` to here.
    #[must_use]
    pub fn minus(self, other: Self) -> Self {
        Self::new(self.u - other.u, self.v - other.v)
    }

    /// This point moved by `other` times `factor`.
    #[must_use]
    pub fn plus(self, other: Self, factor: f64) -> Self {
        Self::new(self.u + factor * other.u, self.v + factor * other.v)
    }

    /// The z component of the cross product: positive if `other` lies to the left.
    #[must_use]
    pub fn cross(self, other: Self) -> f64 {
        self.u * other.v - self.v * other.u
    }

    /// The scalar product.
    #[must_use]
    pub fn dot(self, other: Self) -> f64 {
        self.u * other.u + self.v * other.v
    }

    /// Distance from the origin.
    #[must_use]
    pub fn length(self) -> f64 {
        // A square root is the same to the last bit on every machine, which `hypot` is not.
        self.dot(self).sqrt()
    }

    /// Whether both coordinates are finite.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.u.is_finite() && self.v.is_finite()
    }
}

/// The corners of a closed outline in order; the last joins the first.
pub type Ring = Vec<Point>;

/// The pairs of neighbouring corners of a ring, the closing one last.
pub fn edges(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    let next = ring.iter().skip(1).chain(ring.first());
    ring.iter().zip(next).map(|(from, to)| (*from, *to))
}

/// Area by the shoelace rule: positive if the ring runs anticlockwise.
#[must_use]
pub fn signed_area(ring: &[Point]) -> f64 {
    let Some(origin) = ring.first() else { return 0.0 };
    // From the first corner, so that an outline far from the origin loses no digits.
    0.5 * edges(ring).map(|(a, b)| a.minus(*origin).cross(b.minus(*origin))).sum::<f64>()
}

/// Turns a ring so that it runs anticlockwise.
pub fn run_anticlockwise(ring: &mut [Point]) {
    if signed_area(ring) < 0.0 {
        ring.reverse();
    }
}

/// The least and greatest `u` and `v` of some points: `(low, high)`.
#[must_use]
pub fn bounds<'a>(points: impl IntoIterator<Item = &'a Point>) -> (Point, Point) {
    points.into_iter().fold(
        (Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY)),
        |(low, high), p| {
            (Point::new(low.u.min(p.u), low.v.min(p.v)), Point::new(high.u.max(p.u), high.v.max(p.v)))
        },
    )
}

/// Distances under this are no distance: the grid of 0.1 mm.
pub const GRID_M: f64 = 0.000_1;

/// A distance of less than a millionth of a millimetre is none. Between two numbers that are all but zero the steepness of
/// an edge would be no number.
#[must_use]
pub const fn settled(distance_m: f64) -> f64 {
    if distance_m.abs() < 1e-9 { 0.0 } else { distance_m }
}

/// So many crossings of an outline are told at most: a scribble has as many as the square of its edges.
pub const MOST_CROSSINGS: usize = 20;

/// What can be wrong with a ring as an outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RingFlaw {
    /// Fewer than three corners.
    TooFewCorners,
    /// A corner is NaN or infinite; its index.
    NotFinite(usize),
    /// Two neighbouring corners are the same; the first's index.
    RepeatedCorner(usize),
    /// The outline turns back on itself at a corner: a spike of no width; its index.
    Spike(usize),
    /// Two edges cross or touch; the edges' indices and where.
    Crossing(usize, usize, Point),
    /// It encloses nothing.
    NoArea,
}

/// Every flaw of a ring. A flaw of the corners hides those of the edges: the crossings are looked for only when the
/// corners are sound, and no more than [`MOST_CROSSINGS`] of them.
#[must_use]
pub fn flaws(ring: &[Point]) -> Vec<RingFlaw> {
    if ring.len() < 3 {
        return vec![RingFlaw::TooFewCorners];
    }
    let mut found: Vec<RingFlaw> = ring
        .iter()
        .enumerate()
        .filter(|(_, p)| !p.is_finite())
        .map(|(at, _)| RingFlaw::NotFinite(at))
        .collect();
    if !found.is_empty() {
        return found;
    }
    found.extend(
        edges(ring)
            .enumerate()
            .filter(|(_, (a, b))| {
                let by = b.minus(*a);
                by.dot(by) < GRID_M * GRID_M
            })
            .map(|(at, _)| RingFlaw::RepeatedCorner(at)),
    );
    if !found.is_empty() {
        return found;
    }
    for (at, ((a, b), (_, c))) in edges(ring).zip(edges(ring).skip(1).chain(edges(ring).take(1))).enumerate()
    {
        let (back, on) = (a.minus(b), c.minus(b));
        // Only where the outline turns sharply back can it be a spike.
        if back.dot(on) > 0.0 && back.cross(on).abs() / back.length().max(on.length()) < GRID_M {
            found.push(RingFlaw::Spike((at + 1) % ring.len()));
        }
    }
    if !found.is_empty() {
        return found;
    }
    if !is_convex(ring) {
        let sides: Vec<(Point, Point)> = edges(ring).collect();
        let found_here = crossings(&sides).take(MOST_CROSSINGS);
        found.extend(found_here.map(|(i, j, at)| RingFlaw::Crossing(i, j, at)));
    }
    if found.is_empty() {
        let (low, high) = bounds(ring);
        let size = high.minus(low).length();
        if signed_area(ring).abs() < GRID_M * size {
            found.push(RingFlaw::NoArea);
        }
    }
    found
}

/// Where two sides of a ring meet that are not neighbours: the numbers of the sides, and the place.
pub(crate) fn crossings(sides: &[(Point, Point)]) -> impl Iterator<Item = (usize, usize, Point)> + '_ {
    let of = |i: usize, one: (Point, Point)| {
        // Most pairs of sides lie one above the other: those need no closer look.
        let (low, high) = (one.0.v.min(one.1.v), one.0.v.max(one.1.v));
        let is_near = move |(_, (a, b)): &(usize, &(Point, Point))| {
            !(a.v > high && b.v > high || a.v < low && b.v < low)
        };
        let last = if i == 0 { sides.len() - 1 } else { sides.len() };
        let others = sides.iter().enumerate().take(last).skip(i + 2).filter(is_near);
        others.filter_map(move |(j, other)| Some((i, j, meeting(one, *other)?)))
    };
    sides.iter().enumerate().flat_map(move |(i, side)| of(i, *side))
}

/// Whether the sides turn left all the way and only once round.
pub(crate) fn is_convex(ring: &[Point]) -> bool {
    let mut turns_of_u = 0;
    let mut way_before = 0.0_f64;
    for ((a, b), (_, c)) in edges(ring).zip(edges(ring).skip(1).chain(edges(ring).take(1))) {
        if b.minus(a).cross(c.minus(b)) < 0.0 {
            return false;
        }
        let way = b.u - a.u;
        if way != 0.0 {
            if way_before * way < 0.0 {
                turns_of_u += 1;
            }
            way_before = way;
        }
    }
    turns_of_u <= 2
}

/// Where two closed segments meet, if they do; for overlapping ones, one of the points.
#[must_use]
pub fn meeting((a, b): (Point, Point), (c, d): (Point, Point)) -> Option<Point> {
    // Most pairs of segments lie apart.
    let apart = |a: f64, b: f64, c: f64, d: f64| a.max(b) < c.min(d) || c.max(d) < a.min(b);
    if apart(a.u, b.u, c.u, d.u) || apart(a.v, b.v, c.v, d.v) {
        return None;
    }
    let side = |p: Point, q: Point, r: Point| q.minus(p).cross(r.minus(p));
    let (c_side, d_side) = (side(a, b, c), side(a, b, d));
    let (a_side, b_side) = (side(c, d, a), side(c, d, b));
    if c_side * d_side < 0.0 && a_side * b_side < 0.0 {
        let share = a_side / (a_side - b_side);
        return Some(a.plus(b.minus(a), share));
    }
    let on = |p: Point, q: Point, r: Point, r_side: f64| {
        r_side == 0.0 && r.minus(p).dot(q.minus(p)) >= 0.0 && r.minus(q).dot(p.minus(q)) >= 0.0
    };
    [(on(a, b, c, c_side), c), (on(a, b, d, d_side), d), (on(c, d, a, a_side), a), (on(c, d, b, b_side), b)]
        .into_iter()
        .find_map(|(meets, at)| meets.then_some(at))
}

/// Whether a point lies inside a ring (even-odd rule); a point on the boundary may count either way.
#[must_use]
pub fn contains(ring: &[Point], p: Point) -> bool {
    edges(ring)
        .filter(|(a, b)| (a.v > p.v) != (b.v > p.v) && p.u < a.u + (p.v - a.v) / (b.v - a.v) * (b.u - a.u))
        .count()
        % 2
        == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(f64, f64)]) -> Ring {
        corners.iter().map(|(u, v)| Point::new(*u, *v)).collect()
    }

    #[test]
    fn a_plain_outline_has_no_flaw() {
        assert!(flaws(&ring(&[(0.0, 0.0), (8.0, 0.0), (6.0, 5.0), (2.0, 5.0)])).is_empty());
        // A corner in the middle of a straight edge is allowed.
        assert!(flaws(&ring(&[(0.0, 0.0), (4.0, 0.0), (8.0, 0.0), (8.0, 5.0), (0.0, 5.0)])).is_empty());
    }

    #[test]
    fn every_flaw_is_found() {
        let bow_tie = ring(&[(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)]);
        assert_eq!(flaws(&bow_tie), [RingFlaw::Crossing(0, 2, Point::new(2.0, 2.0))]);
        assert_eq!(flaws(&ring(&[(0.0, 0.0), (4.0, 0.0)])), [RingFlaw::TooFewCorners]);
        assert_eq!(flaws(&ring(&[(0.0, 0.0), (f64::NAN, 0.0), (1.0, 1.0)])), [RingFlaw::NotFinite(1)]);
        assert_eq!(
            flaws(&ring(&[(0.0, 0.0), (4.0, 0.0), (4.0, 0.0), (1.0, 1.0)])),
            [RingFlaw::RepeatedCorner(1)]
        );
        assert_eq!(flaws(&ring(&[(0.0, 0.0), (8.0, 0.0), (4.0, 0.0), (4.0, 4.0)])), [RingFlaw::Spike(1)]);
        // A corner that touches another edge.
        let touching = ring(&[(0.0, 0.0), (8.0, 0.0), (8.0, 4.0), (4.0, 0.0), (0.0, 4.0)]);
        assert!(matches!(flaws(&touching)[..], [RingFlaw::Crossing(0, 2, _), ..]));
        assert_eq!(flaws(&ring(&[(0.0, 0.0), (4.0, 0.0), (8.0, 0.0)])).len(), 2);
    }

    #[test]
    fn area_keeps_its_digits_far_from_the_origin() {
        let far: Ring = ring(&[(0.0, 0.0), (8.0, 0.0), (8.0, 5.0), (0.0, 5.0)])
            .into_iter()
            .map(|p| Point::new(p.u + 500_000.0, p.v + 4_000_000.0))
            .collect();
        assert!((signed_area(&far) - 40.0).abs() < 1e-9);
    }
}
