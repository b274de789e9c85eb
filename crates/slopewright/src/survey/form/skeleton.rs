//! The roof over any straight-sided plan at one pitch: the straight skeleton.
//!
//! The edges of the plan move inwards, all at one speed, and stay straight: at every moment they are the contour of
//! the roof at one level. Where two neighbours meet they draw a hip, or a valley at an inner corner; where an edge has
//! shrunk to nothing its neighbours meet; where an inner corner runs into an edge the contour parts in two. A gable
//! stands still.
//!
//! Everything that can happen next is looked for among all edges: some hundred corners do not need more, and there
//! is no queue that rounding could put out of order.

use super::super::outline::{Point, edges, signed_area};

/// Distances under this are none: a hundredth of a micrometre.
const NONE_M: f64 = 1e-8;

/// Places nearer than this are one node.
const ONE_NODE_M: f64 = 1e-6;

/// Directions whose sine is under this are one.
const PARALLEL: f64 = 1e-9;

/// An edge of the plan.
#[derive(Debug, Clone, Copy)]
struct Side {
    along: Point,
    inwards: Point,
    speed: f64,
}

/// A corner of the contour: between which edges, where now, and from which node it comes.
#[derive(Debug, Clone, Copy)]
struct Front {
    at: Point,
    velocity: Point,
    before: usize,
    after: usize,
    node: usize,
}

/// A line where two faces meet, the face of edge `left` on its left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Crease {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) left: usize,
    pub(super) right: usize,
    /// Whether the faces meet in an inner corner.
    pub(super) is_inner: bool,
}

/// What happens next to a contour.
#[derive(Debug, Clone, Copy)]
enum Event {
    /// The edge after this corner has shrunk to nothing.
    Shrinks(usize),
    /// The inner corner runs into the edge after the other corner.
    Parts(usize, usize),
}

/// The roof over a plan.
#[derive(Debug)]
pub(super) struct Skeleton {
    sides: Vec<Side>,
    /// Where the nodes are in plan; the corners of the plan first.
    pub(super) nodes: Vec<Point>,
    /// How far from their eaves the nodes lie, level.
    pub(super) runs: Vec<f64>,
    /// The lines where faces meet.
    pub(super) creases: Vec<Crease>,
    /// For each edge, the first of those that share its face.
    same_face: Vec<usize>,
}

impl Skeleton {
    /// The roof over a plan whose corners run anticlockwise; `None` if rounding leaves it open.
    pub(super) fn of(plan: &[Point], gables: &[bool]) -> Option<Self> {
        let sides = edges(plan)
            .enumerate()
            .map(|(at, (from, to))| {
                let line = to.minus(from);
                let length = line.length();
                let along = Point::new(line.u / length, line.v / length);
                let is_gable = gables.get(at).copied().unwrap_or(false);
                Side {
                    along,
                    inwards: Point::new(-along.v, along.u),
                    speed: if is_gable { 0.0 } else { 1.0 },
                }
            })
            .collect();
        let mut skeleton = Self {
            sides,
            nodes: plan.to_vec(),
            runs: vec![0.0; plan.len()],
            creases: Vec::new(),
            same_face: (0..plan.len()).collect(),
        };
        let count = plan.len();
        let contour = (0..count)
            .zip(plan)
            .map(|(at, corner)| skeleton.front(*corner, at, (at + count - 1) % count, at))
            .collect::<Option<Vec<Front>>>()?;
        let mut waiting = vec![(0.0, contour)];
        // Each event takes an edge or an inner corner away; many more than that, and rounding goes in circles.
        let mut left = 20 * count + 100;
        while let Some((run, contour)) = waiting.pop() {
            left = left.checked_sub(1)?;
            waiting.extend(skeleton.step(run, contour)?);
        }
        skeleton.part_creases();
        Some(skeleton)
    }

    /// Parts every line at the nodes that lie on it: a valley that ends on a ridge parts the ridge.
    fn part_creases(&mut self) {
        let mut whole = std::mem::take(&mut self.creases);
        while let Some(crease) = whole.pop() {
            match self.node_on(&crease) {
                None => self.creases.push(crease),
                Some(node) => {
                    whole.push(Crease { to: node, ..crease });
                    whole.push(Crease { from: node, ..crease });
                }
            }
        }
    }

    /// A node on a line, not at its ends.
    fn node_on(&self, crease: &Crease) -> Option<usize> {
        let (from, to) = (*self.nodes.get(crease.from)?, *self.nodes.get(crease.to)?);
        let line = to.minus(from);
        let length = line.length();
        self.nodes.iter().enumerate().position(|(at, node)| {
            let here = node.minus(from);
            let (along, aside) = (line.dot(here) / length, line.cross(here) / length);
            at != crease.from
                && at != crease.to
                && aside.abs() < ONE_NODE_M
                && along > ONE_NODE_M
                && along < length - ONE_NODE_M
        })
    }

    fn side(&self, at: usize) -> Option<Side> {
        self.sides.get(at).copied()
    }

    /// The edge that stands for the face of an edge.
    pub(super) fn face_of(&self, side: usize) -> usize {
        self.same_face.get(side).copied().unwrap_or(side)
    }

    /// The direction of an edge.
    pub(super) fn along(&self, side: usize) -> Option<Point> {
        self.side(side).map(|side| side.along)
    }

    /// Whether an edge is a gable.
    pub(super) fn is_gable(&self, side: usize) -> bool {
        self.side(side).is_some_and(|side| side.speed == 0.0)
    }

    fn front(&self, at: Point, node: usize, before: usize, after: usize) -> Option<Front> {
        let (one, other) = (self.side(before)?, self.side(after)?);
        Some(Front { at, velocity: velocity(one, other), before, after, node })
    }

    /// The node at a place.
    fn node(&mut self, at: Point, run: f64) -> usize {
        if let Some(known) = self.nodes.iter().position(|other| at.minus(*other).length() < ONE_NODE_M) {
            return known;
        }
        self.nodes.push(at);
        self.runs.push(run);
        self.nodes.len() - 1
    }

    /// Draws the line that a corner has gone along, and gives the node where it is now.
    fn drawn(&mut self, front: &Front, run: f64) -> usize {
        let node = self.node(front.at, run);
        let is_inner = self.is_inner(front);
        self.crease(front.node, node, front, is_inner);
        node
    }

    fn crease(&mut self, from: usize, to: usize, of: &Front, is_inner: bool) {
        if from != to && self.face_of(of.before) != self.face_of(of.after) {
            self.creases.push(Crease { from, to, left: of.before, right: of.after, is_inner });
        }
    }

    /// Whether a corner of the contour is an inner one.
    fn is_inner(&self, front: &Front) -> bool {
        let (Some(before), Some(after)) = (self.side(front.before), self.side(front.after)) else {
            return false;
        };
        before.along.cross(after.along) < -PARALLEL
    }

    /// The contours that are left after the next event.
    fn step(&mut self, run: f64, contour: Vec<Front>) -> Option<Vec<(f64, Vec<Front>)>> {
        let mut contour = self.tidied(run, contour)?;
        if contour.len() < 3 {
            self.close(run, &contour);
            return Some(Vec::new());
        }
        let (further, event) = self.next_event(&contour)?;
        let run = run + further;
        for front in &mut contour {
            front.at = front.at.plus(front.velocity, further);
        }
        match event {
            Event::Shrinks(at) => {
                self.shrink(run, &mut contour, at)?;
                Some(vec![(run, contour)])
            }
            Event::Parts(corner, edge) => {
                let parts = self.part(run, &contour, corner, edge)?;
                Some(parts.into_iter().map(|part| (run, part)).collect())
            }
        }
    }

    /// The last two corners of a contour, with a ridge between them unless they are one.
    fn close(&mut self, run: f64, contour: &[Front]) {
        let ends: Vec<usize> = contour.iter().map(|front| self.drawn(front, run)).collect();
        if let ([front, _], [from, to]) = (contour, ends.as_slice()) {
            // The two faces fall away from it on both sides, however little their eaves turn.
            self.crease(*from, *to, front, false);
        }
    }

    /// The next event, and how much further in it is.
    fn next_event(&self, contour: &[Front]) -> Option<(f64, Event)> {
        let mut next: Option<(f64, Event)> = None;
        let mut take = |further: f64, event: Event, tie: f64| {
            if further.is_finite() && next.is_none_or(|(first, _)| further < first - tie) {
                next = Some((further.max(0.0), event));
            }
        };
        let pairs = || contour.iter().zip(contour.iter().cycle().skip(1)).enumerate();
        for (at, (front, other)) in pairs() {
            let along = self.side(front.after)?.along;
            let closing = -along.dot(other.velocity.minus(front.velocity));
            if closing > 0.0 {
                take(along.dot(other.at.minus(front.at)) / closing, Event::Shrinks(at), 0.0);
            }
        }
        for (corner, inner) in contour.iter().enumerate().filter(|(_, front)| self.is_inner(front)) {
            for (at, (front, other)) in pairs() {
                if at == corner || (at + 1) % contour.len() == corner {
                    continue;
                }
                let side = self.side(front.after)?;
                let gap = side.inwards.dot(inner.at.minus(front.at));
                let closing = side.speed - side.inwards.dot(inner.velocity);
                if gap < -NONE_M || closing <= 0.0 {
                    continue;
                }
                let further = gap / closing;
                let moved = |front: &Front| front.at.plus(front.velocity, further);
                let (from, to) = (moved(front), moved(other));
                let along = side.along.dot(moved(inner).minus(from));
                if along > -NONE_M && along < side.along.dot(to.minus(from)) + NONE_M {
                    // An edge that shrinks at the same moment goes first.
                    take(further, Event::Parts(corner, at), NONE_M);
                }
            }
        }
        next
    }

    /// Takes out the edge after a corner, which has no length any more.
    fn shrink(&mut self, run: f64, contour: &mut Vec<Front>, at: usize) -> Option<()> {
        let next = (at + 1) % contour.len();
        let (one, other) = (*contour.get(at)?, *contour.get(next)?);
        let middle = one.at.plus(other.at.minus(one.at), 0.5);
        let node = self.drawn(&Front { at: middle, ..one }, run);
        self.drawn(&Front { at: middle, ..other }, run);
        *contour.get_mut(at)? = self.front(middle, node, one.before, other.after)?;
        contour.remove(next);
        Some(())
    }

    /// The two contours after an inner corner has run into an edge.
    fn part(&mut self, run: f64, contour: &[Front], corner: usize, edge: usize) -> Option<[Vec<Front>; 2]> {
        let inner = contour.get(corner)?;
        let side = contour.get(edge)?.after;
        let node = self.drawn(inner, run);
        let count = contour.len();
        let round = |from: usize, to: usize| {
            let steps = (to + count - from) % count;
            (0..=steps).filter_map(move |step| contour.get((from + step) % count)).copied()
        };
        let mut one = vec![self.front(inner.at, node, inner.before, side)?];
        one.extend(round((edge + 1) % count, (corner + count - 1) % count));
        let mut other = vec![self.front(inner.at, node, side, inner.after)?];
        other.extend(round((corner + 1) % count, edge));
        Some([one, other])
    }

    /// A contour without edges of no length, without corners between edges of one line, and without strips of no
    /// width: those are ridges.
    fn tidied(&mut self, run: f64, mut contour: Vec<Front>) -> Option<Vec<Front>> {
        'again: while contour.len() > 2 {
            for at in 0..contour.len() {
                let count = contour.len();
                let (last, next) = ((at + count - 1) % count, (at + 1) % count);
                let (front, before, after) = (*contour.get(at)?, *contour.get(last)?, *contour.get(next)?);
                if after.at.minus(front.at).length() < NONE_M {
                    self.shrink(run, &mut contour, at)?;
                    continue 'again;
                }
                let (one, other) = (self.side(front.before)?, self.side(front.after)?);
                if one.along.cross(other.along).abs() > PARALLEL {
                    continue;
                }
                if one.along.dot(other.along) > 0.0 {
                    if one.speed.total_cmp(&other.speed).is_eq() {
                        self.join(run, &mut contour, at)?;
                        continue 'again;
                    }
                    return None;
                }
                // A strip of no width: a ridge back to the nearer of the two neighbours.
                let (back, on) = (before.at.minus(front.at).length(), after.at.minus(front.at).length());
                let from = self.drawn(&front, run);
                let end = if back <= on { before } else { after };
                let to = self.node(end.at, run);
                self.crease(from, to, &front, false);
                if back <= on {
                    let node = self.drawn(&before, run);
                    *contour.get_mut(last)? = self.front(before.at, node, before.before, front.after)?;
                } else {
                    let node = self.drawn(&after, run);
                    *contour.get_mut(next)? = self.front(after.at, node, front.before, after.after)?;
                }
                contour.remove(at);
                continue 'again;
            }
            break;
        }
        Some(contour)
    }

    /// Makes one edge of the two at a corner, which lie on one line: their faces are one.
    fn join(&mut self, run: f64, contour: &mut Vec<Front>, at: usize) -> Option<()> {
        let front = *contour.get(at)?;
        self.drawn(&front, run);
        let (one, other) = (self.face_of(front.before), self.face_of(front.after));
        for face in self.same_face.iter_mut().filter(|face| **face == one || **face == other) {
            *face = one.min(other);
        }
        contour.remove(at);
        let next = at % contour.len();
        contour.get_mut(next)?.before = front.before;
        Some(())
    }

    /// The rings of corners round the face of an edge, each of which holds one or more edges of the plan; `None` if
    /// they do not close. A face that only touches itself at a corner is two.
    pub(super) fn rings(&self, face: usize) -> Option<Vec<Vec<FaceSide>>> {
        let count = self.sides.len();
        let mut open: Vec<FaceSide> = (0..count)
            .filter(|side| self.face_of(*side) == face)
            .map(|side| FaceSide { from: side, to: (side + 1) % count, crease: None, eaves: Some(side) })
            .collect();
        for (at, crease) in self.creases.iter().enumerate() {
            let (left, right) = (self.face_of(crease.left), self.face_of(crease.right));
            if left == right {
                continue;
            }
            if left == face {
                open.push(FaceSide { from: crease.from, to: crease.to, crease: Some(at), eaves: None });
            } else if right == face {
                open.push(FaceSide { from: crease.to, to: crease.from, crease: Some(at), eaves: None });
            }
        }
        let mut rings = Vec::new();
        while let Some(first) = open.pop() {
            let mut walked = vec![first];
            while let Some(last) = walked.last().copied() {
                if let Some(start) = walked.iter().position(|side| side.from == last.to) {
                    rings.push(walked.split_off(start));
                    continue;
                }
                let next = open.iter().position(|side| side.from == last.to)?;
                walked.push(open.swap_remove(next));
            }
        }
        Some(rings)
    }

    /// The area in plan of a ring.
    pub(super) fn area(&self, ring: &[FaceSide]) -> f64 {
        let corners: Vec<Point> = ring.iter().filter_map(|side| self.nodes.get(side.from)).copied().collect();
        signed_area(&corners)
    }
}

/// A side of a face: an edge of the plan, or a line where it meets another face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct FaceSide {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) crease: Option<usize>,
    pub(super) eaves: Option<usize>,
}

/// How a corner between two edges moves; it does not between edges that run against each other.
fn velocity(one: Side, other: Side) -> Point {
    let (a, b) = (one.inwards, other.inwards);
    if one.speed.total_cmp(&other.speed).is_eq() {
        let share = 1.0 + a.dot(b);
        if share < 1e-12 {
            return Point::new(0.0, 0.0);
        }
        return Point::new(one.speed * (a.u + b.u) / share, one.speed * (a.v + b.v) / share);
    }
    let turn = a.cross(b);
    if turn.abs() < 1e-12 {
        return Point::new(0.0, 0.0);
    }
    Point::new((one.speed * b.v - other.speed * a.v) / turn, (a.u * other.speed - b.u * one.speed) / turn)
}
