//! Where the slopes lie in plan: laid down one after the other along the joints that hold them together.

use crate::survey::outline::{Point, Ring, bounds};
use crate::survey::{EdgeRef, Slope};
use crate::takeoff::TakeOff;

/// A slope in plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanSlope {
    /// The slope, as its place in [`TakeOff::slopes`].
    pub slope: usize,
    /// Which of the parts that joints hold together it belongs to, from 0.
    pub part: usize,
    /// Its outline, in metres.
    pub outline: Ring,
    /// Its openings.
    pub openings: Vec<Ring>,
    /// The way down, of length 1.
    pub down: Point,
}

/// A turn and a move in plan.
#[derive(Debug, Clone, Copy)]
struct Motion {
    cosine: f64,
    sine: f64,
    by: Point,
}

impl Motion {
    const NONE: Self = Self { cosine: 1.0, sine: 0.0, by: Point::new(0.0, 0.0) };

    fn turned(self, p: Point) -> Point {
        Point::new(self.cosine * p.u - self.sine * p.v, self.sine * p.u + self.cosine * p.v)
    }

    fn of(self, p: Point) -> Point {
        self.turned(p).plus(self.by, 1.0)
    }

    /// What lays one segment on another, middle on middle.
    fn between((a, b): (Point, Point), (c, d): (Point, Point)) -> Option<Self> {
        let (from, to) = (b.minus(a), d.minus(c));
        let size = from.length() * to.length();
        if !(size > 0.0 && size.is_finite()) {
            return None;
        }
        let turn =
            Self { cosine: from.dot(to) / size, sine: from.cross(to) / size, by: Point::new(0.0, 0.0) };
        let middle = |p: Point, q: Point| Point::new(f64::midpoint(p.u, q.u), f64::midpoint(p.v, q.v));
        Some(Self { by: middle(c, d).minus(turn.turned(middle(a, b))), ..turn })
    }
}

/// A slope's own plane seen from above.
fn flat(slope: &Slope, p: Point) -> Point {
    Point::new(p.u, p.v * slope.pitch.degrees().to_radians().cos())
}

/// Every slope in plan, the eaves of the first along the bottom. Parts that no joint holds together stand side by side.
#[must_use]
pub fn plan_places(roof: &TakeOff) -> Vec<PlanSlope> {
    let slopes: Vec<&Slope> = roof.slopes.iter().map(|of| &of.slope).collect();
    let mut motions: Vec<Option<(Motion, usize)>> = vec![None; slopes.len()];
    let mut parts = 0;
    for first in 0..slopes.len() {
        if motions.get(first).is_some_and(Option::is_some) {
            continue;
        }
        let mut next = vec![(first, Motion::NONE)];
        while let Some((at, motion)) = next.pop() {
            let Some(place) = motions.get_mut(at).filter(|place| place.is_none()) else { continue };
            *place = Some((motion, parts));
            for (here, there) in neighbours(roof, at) {
                let (Some(of), Some(other)) = (slopes.get(here.slope), slopes.get(there.slope)) else {
                    continue;
                };
                let (Some(edge), Some(opposite)) = (of.edges.get(here.edge), other.edges.get(there.edge))
                else {
                    continue;
                };
                // The two sides of a joint run in opposite ways.
                let target = (motion.of(flat(of, edge.to)), motion.of(flat(of, edge.from)));
                let own = (flat(other, opposite.from), flat(other, opposite.to));
                if let Some(found) = Motion::between(own, target) {
                    next.insert(0, (there.slope, found));
                }
            }
        }
        parts += 1;
    }
    let mut placed: Vec<PlanSlope> = Vec::with_capacity(slopes.len());
    for (slope, (of, motion)) in slopes.iter().zip(&motions).enumerate() {
        let Some((motion, part)) = motion else { continue };
        let lay = |ring: &Ring| ring.iter().map(|p| motion.of(flat(of, *p))).collect();
        placed.push(PlanSlope {
            slope,
            part: *part,
            outline: lay(&of.outline()),
            openings: of.openings.iter().map(|opening| lay(&opening.outline)).collect(),
            down: motion.turned(Point::new(0.0, -1.0)),
        });
    }
    side_by_side(&mut placed, parts);
    placed
}

fn neighbours(roof: &TakeOff, slope: usize) -> Vec<(EdgeRef, EdgeRef)> {
    let sides = roof.joints.iter().flat_map(|joint| {
        let [one, other] = joint.sides;
        [(one, other), (other, one)]
    });
    sides.filter(|(here, _)| here.slope == slope).collect()
}

/// Moves each part to the right of those before it.
fn side_by_side(placed: &mut [PlanSlope], parts: usize) {
    const GAP_M: f64 = 0.8;
    let mut right = 0.0;
    for part in 0..parts {
        let (low, high) = bounds(placed.iter().filter(|of| of.part == part).flat_map(|of| &of.outline));
        if !low.is_finite() || !high.is_finite() {
            continue;
        }
        let by = Point::new(right - low.u, -low.v);
        for of in placed.iter_mut().filter(|of| of.part == part) {
            for p in of.outline.iter_mut().chain(of.openings.iter_mut().flatten()) {
                *p = p.plus(by, 1.0);
            }
        }
        right += high.u - low.u + GAP_M;
    }
}
