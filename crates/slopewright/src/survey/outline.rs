//! Points and closed outlines in the plane of one slope: `u` to the right along the eaves, `v` up the slope, in metres.

use serde::Serialize;

mod crossing;

pub use crossing::meeting;
pub(crate) use crossing::{crossings, is_convex, meets_itself};

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
    let closing = ring.last().copied().zip(ring.first().copied());
    let of_pair = |pair: &[Point]| match pair {
        [from, to] => Some((*from, *to)),
        _ => None,
    };
    ring.windows(2).filter_map(of_pair).chain(closing)
}

/// Whether something holds for every corner, handed with the ones before and after it.
#[inline]
fn every_corner(ring: &[Point], mut holds: impl FnMut(Point, Point, Point) -> bool) -> bool {
    let [.., before, here] = ring else { return true };
    let (mut before, mut here) = (*before, *here);
    for after in ring {
        if !holds(before, here, *after) {
            return false;
        }
        (before, here) = (here, *after);
    }
    true
}

/// Area by the shoelace rule: positive if the ring runs anticlockwise.
#[must_use]
pub fn signed_area(ring: &[Point]) -> f64 {
    // From the first corner, so that an outline far from the origin loses no digits; its own two edges enclose nothing.
    let [origin, second, others @ ..] = ring else { return 0.0 };
    let mut twice = 0.0;
    let mut a = second.minus(*origin);
    for corner in others {
        let b = corner.minus(*origin);
        twice += a.cross(b);
        a = b;
    }
    0.5 * twice
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
            let low = Point::new(lesser(p.u, low.u), lesser(p.v, low.v));
            (low, Point::new(greater(p.u, high.u), greater(p.v, high.v)))
        },
    )
}

/// The lesser of two numbers; the second if the first is none. One instruction, which `f64::min` is not.
#[inline]
pub(crate) const fn lesser(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// The greater of two numbers; the second if the first is none.
#[inline]
pub(crate) const fn greater(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
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
    let is_sound = |before, here: Point, after| {
        here.is_finite() && !is_repeated(before, here) && !is_spike(before, here, after)
    };
    if !every_corner(ring, is_sound) {
        let found = flaws_of_corners(ring);
        if !found.is_empty() {
            return found;
        }
    }
    let mut found = Vec::new();
    if !is_convex(ring) && meets_itself(ring) {
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

/// The flaws of the corners: those that are no numbers hide the repeated ones, and those the spikes.
#[cold]
fn flaws_of_corners(ring: &[Point]) -> Vec<RingFlaw> {
    let not_finite = ring.iter().enumerate().filter(|(_, p)| !p.is_finite());
    let mut found: Vec<RingFlaw> = not_finite.map(|(at, _)| RingFlaw::NotFinite(at)).collect();
    if found.is_empty() {
        let repeated = edges(ring).enumerate().filter(|(_, (a, b))| is_repeated(*a, *b));
        found.extend(repeated.map(|(at, _)| RingFlaw::RepeatedCorner(at)));
    }
    if found.is_empty() {
        let corners = edges(ring).zip(edges(ring).skip(1).chain(edges(ring).take(1))).enumerate();
        let spikes = corners.filter(|(_, ((a, b), (_, c)))| is_spike(*a, *b, *c));
        found.extend(spikes.map(|(at, _)| RingFlaw::Spike((at + 1) % ring.len())));
    }
    found
}

/// Whether two neighbouring corners are the same.
fn is_repeated(a: Point, b: Point) -> bool {
    let by = b.minus(a);
    by.dot(by) < GRID_M * GRID_M
}

/// Whether the outline turns back on itself at `b`.
fn is_spike(a: Point, b: Point, c: Point) -> bool {
    let (back, on) = (a.minus(b), c.minus(b));
    // Only where the outline turns sharply back can it be a spike.
    back.dot(on) > 0.0 && back.cross(on).abs() / back.length().max(on.length()) < GRID_M
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
