//! Where the sides of an outline meet, and the outlines in which they do not.

use super::{Point, every_corner, greater, lesser};

/// Whether any two sides of a ring meet that are not neighbours: whether [`crossings`] finds one.
///
/// Each side is held against every later one. Nearly all of them lie apart, which their least and greatest coordinates
/// tell at once; for the few dozen corners of a slope no order of the sides is quicker than that.
pub(crate) fn meets_itself(ring: &[Point]) -> bool {
    let (Some(first), Some(last)) = (ring.first(), ring.last()) else { return false };
    let mut rest = ring;
    let mut is_first = true;
    while let [a, from_b @ ..] = rest
        && let [b, later @ ..] = from_b
    {
        let frame = Frame::of(*a, *b);
        let meets = |c: Point, d: Point| frame.reaches(c, d) && meeting((*a, *b), (c, d)).is_some();
        let sides = || later.iter().zip(later.iter().skip(1));
        // A look at every frame costs less than a branch for each.
        let is_near = sides().fold(false, |near, (c, d)| near | frame.reaches(*c, *d));
        if is_near && sides().any(|(c, d)| meets(*c, *d)) {
            return true;
        }
        // The closing side is a neighbour of the first and of the last before it.
        if !is_first && !later.is_empty() && meets(*last, *first) {
            return true;
        }
        (rest, is_first) = (from_b, false);
    }
    false
}

/// The least and greatest coordinates of a side.
struct Frame {
    low: Point,
    high: Point,
}

impl Frame {
    #[inline]
    fn of(a: Point, b: Point) -> Self {
        Self {
            low: Point::new(lesser(a.u, b.u), lesser(a.v, b.v)),
            high: Point::new(greater(a.u, b.u), greater(a.v, b.v)),
        }
    }

    /// Whether the frame of another side reaches into this one.
    #[expect(clippy::needless_bitwise_bool, reason = "four branches cost more than four comparisons")]
    #[inline]
    fn reaches(&self, c: Point, d: Point) -> bool {
        let other = Self::of(c, d);
        (other.low.u <= self.high.u)
            & (other.low.v <= self.high.v)
            & (other.high.u >= self.low.u)
            & (other.high.v >= self.low.v)
    }
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
    let turns_left = every_corner(ring, |a, b, c| {
        let way = b.u - a.u;
        if way != 0.0 {
            turns_of_u += u32::from(way_before * way < 0.0);
            way_before = way;
        }
        b.minus(a).cross(c.minus(b)) >= 0.0
    });
    turns_left && turns_of_u <= 2
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

#[cfg(test)]
mod tests {
    use super::super::edges;
    use super::*;

    #[test]
    fn an_outline_meets_itself_where_two_of_its_sides_do() {
        // Independent: every pair of sides looked at one by one. Outlines from a fixed generator, of 3 to 200 corners, most
        // of them round a middle so that they are simple, some with two corners exchanged or one put on to another side.
        let mut state = 20_261_128_u64;
        let mut next = move |steps: u32| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            u32::try_from(state >> 33).unwrap() % steps
        };
        let mut found = [0, 0];
        for _ in 0..600 {
            let most = if next(4) == 0 { 198 } else { 20 };
            let count = 3 + next(most);
            let mut ring: Vec<Point> = (0..count)
                .map(|at| {
                    let (sin, cos) = (f64::from(at) / f64::from(count) * core::f64::consts::TAU).sin_cos();
                    let far = 1.0 + f64::from(next(100)) / 20.0;
                    Point::new(far * cos, far * sin)
                })
                .collect();
            let (one, other) = (next(count) as usize, next(count) as usize);
            match next(4) {
                0 => ring.swap(one, other),
                1 => ring[one] = ring[other].plus(ring[(other + 1) % ring.len()].minus(ring[other]), 0.5),
                _ => {}
            }
            let sides: Vec<(Point, Point)> = edges(&ring).collect();
            let are_neighbours = |i: usize, j: usize| j == i + 1 || (i == 0 && j == sides.len() - 1);
            let expected = (0..sides.len()).any(|i| {
                (i + 1..sides.len()).any(|j| !are_neighbours(i, j) && meeting(sides[i], sides[j]).is_some())
            });
            assert_eq!(meets_itself(&ring), expected, "{ring:?}");
            assert_eq!(crossings(&sides).next().is_some(), expected, "{ring:?}");
            found[usize::from(expected)] += 1;
        }
        assert!(found.iter().all(|count| *count > 100), "{found:?}");
    }
}
