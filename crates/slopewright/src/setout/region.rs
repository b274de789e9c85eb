//! The covered region: the outline of a slope with each edge moved out by its overhang or in by its clearance, less
//! its openings.
//!
//! As long as no edges or openings run into each other, the corners stay the doubles that the survey gives. Where
//! they do, the region is cut on a grid of 0.1 mm in whole numbers, so that every machine gives the same bits.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;

use super::cells::sort_by;
use super::levels::{crossing, crossing_at, pair_up};
use crate::survey::outline::{
    GRID_M, Point, Ring, bounds, contains, edges, greater, is_convex, lesser, meeting, meets_itself,
    run_anticlockwise, signed_area,
};

/// A part of a slope's plane: outlines that run anticlockwise, holes that run clockwise, none crossing another.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Region {
    rings: Vec<Ring>,
}

/// A moved edge never reaches further from its corner than this many times the move.
const LONGEST_MITRE: f64 = 4.0;

impl Region {
    /// The region that one outline encloses.
    #[must_use]
    pub fn from_outline(mut outline: Ring) -> Self {
        run_anticlockwise(&mut outline);
        Self { rings: vec![outline] }
    }

    /// The region that an outline encloses when each edge is moved out by its own distance (in, where negative).
    /// Edge `i` runs from corner `i` to the next; the outline runs anticlockwise.
    #[must_use]
    pub fn from_moved_edges(outline: &[Point], moves: &[f64]) -> Self {
        if moves.iter().all(|by| *by == 0.0) {
            return Self { rings: vec![outline.to_vec()] };
        }
        let (ring, kept_order) = move_edges(outline, moves);
        // An outline that its clearances turn inside out can be simple all the same.
        if kept_order && signed_area(&ring) > 0.0 && is_simple(&ring) {
            return Self { rings: vec![ring] };
        }
        Self::from_grid(on_grid_of(&[ring], &[], OverlayRule::Subject, FillRule::Positive))
    }

    /// The same region without what lies inside the holes (each any simple ring, in either direction).
    #[must_use]
    pub fn without(mut self, holes: &[Ring]) -> Self {
        let mut cut: Vec<&Ring> = Vec::new();
        let mut clear: Vec<Ring> = Vec::new();
        for hole in holes {
            if self.holds_apart(hole) && clear.iter().all(|other| are_apart(hole, other)) {
                clear.push(hole.clone());
            } else {
                cut.push(hole);
            }
        }
        if cut.is_empty() {
            for mut hole in clear {
                run_anticlockwise(&mut hole);
                hole.reverse();
                self.rings.push(hole);
            }
            return self;
        }
        let holes: Vec<Ring> = holes
            .iter()
            .map(|hole| {
                let mut hole = hole.clone();
                run_anticlockwise(&mut hole);
                hole
            })
            .collect();
        Self::from_grid(on_grid_of(&self.rings, &holes, OverlayRule::Difference, FillRule::NonZero))
    }

    /// What of the region lies within the upright rectangle between two corners, cut on the grid.
    #[must_use]
    pub fn within(&self, low: Point, high: Point) -> Self {
        let frame = vec![low, Point::new(high.u, low.v), high, Point::new(low.u, high.v)];
        Self::from_grid(on_grid_of(&self.rings, &[frame], OverlayRule::Intersect, FillRule::NonZero))
    }

    fn from_grid(shapes: Vec<Vec<Vec<IntPoint<i32>>>>) -> Self {
        let off_grid = |p: IntPoint<i32>| Point::new(f64::from(p.x) * GRID_M, f64::from(p.y) * GRID_M);
        Self {
            rings: shapes
                .into_iter()
                .flatten()
                .map(|ring| ring.into_iter().map(off_grid).collect())
                .collect(),
        }
    }

    /// Whether a ring lies wholly inside the one outline of this region, touching nothing.
    pub(crate) fn holds_apart(&self, hole: &[Point]) -> bool {
        let [outline] = self.rings.as_slice() else { return false };
        hole.iter().all(|p| contains(outline, *p)) && !rings_meet(hole, outline)
    }

    /// The rings: outlines anticlockwise, holes clockwise.
    #[must_use]
    pub fn rings(&self) -> &[Ring] {
        &self.rings
    }

    /// The region with `u` and `v` exchanged, so that level lines become lines up the slope.
    #[must_use]
    pub fn turned(&self) -> Self {
        // Exchanging the axes mirrors a ring; running it backwards keeps its direction.
        let turn = |ring: &Ring| ring.iter().rev().map(|p| Point::new(p.v, p.u)).collect();
        Self { rings: self.rings.iter().map(turn).collect() }
    }

    /// Its area in square metres.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        self.rings.iter().map(|ring| signed_area(ring)).sum()
    }

    /// Whether nothing is left.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rings.is_empty()
    }

    /// The least and greatest coordinates.
    #[must_use]
    pub fn bounds(&self) -> (Point, Point) {
        bounds(self.rings.iter().flatten())
    }

    /// Every edge, with the region to its left.
    pub fn edges(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        self.rings.iter().flat_map(|ring| edges(ring))
    }

    /// The stretches of the level line at `v` that lie inside, from left to right; none shorter than 0.1 mm.
    #[must_use]
    pub fn stretches_at(&self, v: f64) -> Vec<(f64, f64)> {
        let mut crossings: Vec<f64> = self.edges().filter_map(|side| crossing_at(v, side)).collect();
        let mut stretches = Vec::new();
        pair_up(&mut crossings, &mut stretches);
        stretches
    }

    /// The shadow of the band `low..high` on the level line: every `u` at which the region has a point in the band.
    #[must_use]
    pub fn shadow_of_band(&self, low: f64, high: f64) -> Vec<(f64, f64)> {
        self.shadow_in(low, high, &mut ShadowRoom::default()).to_vec()
    }

    /// [`Region::shadow_of_band`] in memory that is there already.
    pub(crate) fn shadow_in<'r>(&self, low: f64, high: f64, room: &'r mut ShadowRoom) -> &'r [(f64, f64)] {
        let ShadowRoom { sides, at_low, at_high, shadow } = room;
        shadow.clear();
        sides.clear();
        let nowhere = Point::new(0.0, 0.0);
        sides.resize(self.rings.iter().map(Vec::len).sum(), (nowhere, nowhere));
        let mut count = 0;
        for ring in &self.rings {
            let Some(mut a) = ring.last() else { continue };
            for b in ring {
                // Most sides lie above or below; but which do, no processor guesses.
                if let Some(side) = sides.get_mut(count) {
                    *side = (*a, *b);
                }
                count += usize::from(lesser(a.v, b.v) <= high && greater(a.v, b.v) >= low);
                a = b;
            }
        }
        sides.truncate(count);
        let goes_through = |(a, b): &(Point, Point)| lesser(a.v, b.v) <= low && greater(a.v, b.v) > high;
        if sides.len() == 2 && sides.iter().all(goes_through) {
            // All that lies between them.
            let ends = |side| [crossing(low, side), crossing(high, side)];
            let parts = sides.iter().flat_map(|side| ends(*side));
            let part = parts.fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), at| {
                (lesser(at, from), greater(at, to))
            });
            shadow.extend(Some(part).filter(|(from, to)| to - from >= GRID_M));
            return shadow;
        }
        at_low.clear();
        at_high.clear();
        for side in sides {
            at_low.extend(crossing_at(low, *side));
            at_high.extend(crossing_at(high, *side));
            shadow.extend(shadow_of_side(*side, low, high));
        }
        pair_up(at_low, shadow);
        pair_up(at_high, shadow);
        sort_by(shadow, |part| part.0);
        shadow.dedup_by(|next, part| {
            let touches = next.0 <= part.1 + GRID_M;
            if touches {
                part.1 = part.1.max(next.1);
            }
            touches
        });
        shadow.retain(|(from, to)| to - from >= GRID_M);
        shadow
    }
}

/// Memory to cast a shadow in.
#[derive(Debug, Default)]
pub(crate) struct ShadowRoom {
    sides: Vec<(Point, Point)>,
    at_low: Vec<f64>,
    at_high: Vec<f64>,
    shadow: Vec<(f64, f64)>,
}

/// The shadow of one side, if it reaches into the band.
fn shadow_of_side((a, b): (Point, Point), low: f64, high: f64) -> Option<(f64, f64)> {
    let (bottom, top) = if a.v <= b.v { (a, b) } else { (b, a) };
    if bottom.v >= high || top.v <= low {
        return None;
    }
    let at = |v: f64| {
        if top.v > bottom.v {
            bottom.u + (v - bottom.v) / (top.v - bottom.v) * (top.u - bottom.u)
        } else {
            top.u
        }
    };
    let from = if bottom.v < low { at(low) } else { bottom.u };
    let to = if top.v > high { at(high) } else { top.u };
    Some((from.min(to), from.max(to)))
}

/// Moves every edge out by its distance and joins neighbours where their lines meet. The second value says whether
/// every edge still runs its old way, that is, none has been swallowed by its neighbours.
fn move_edges(outline: &[Point], moves: &[f64]) -> (Ring, bool) {
    let sides = || {
        edges(outline)
            .zip(moves)
            .filter(|((a, b), _)| a != b)
            .map(|((a, b), by)| -> Side { (a, unit(b.minus(a)), *by) })
    };
    let mut ring = Ring::with_capacity(outline.len() + 2);
    let Some(mut before) = sides().last() else { return (ring, true) };
    let mut kept_order = true;
    // The last corner made for the start of the side before, to see whether that side still runs forward.
    let mut start_before: Option<Point> = None;
    for side in sides() {
        let first_of_these = ring.len();
        join(before, side, &mut ring);
        if let (Some(from), Some(to)) = (start_before, ring.get(first_of_these)) {
            kept_order &= to.minus(from).dot(before.1) > 0.0;
        }
        start_before = ring.last().copied();
        before = side;
    }
    if let (Some(from), Some(to)) = (start_before, ring.first()) {
        kept_order &= to.minus(from).dot(before.1) > 0.0;
    }
    (ring, kept_order)
}

/// A side of an outline: where it starts, its direction, and by how much it moves out.
type Side = (Point, Point, f64);

/// The corner between two moved sides: where their lines meet, or a step where that is nowhere near.
fn join((_, along_before, z_by): Side, (a, along, by): Side, ring: &mut Ring) {
    let outward = |along: Point| Point::new(along.v, -along.u);
    let (here, there) = (a.plus(outward(along), by), a.plus(outward(along_before), z_by));
    let sine = along_before.cross(along);
    let straight_on = along_before.dot(along) > 0.0;
    if sine.abs() < 1e-9 && straight_on && (by - z_by).abs() < 1e-12 {
        ring.push(here);
        return;
    }
    // The moved lines meet at `there + t * along_before`.
    let t = here.minus(there).cross(along) / sine;
    let corner = there.plus(along_before, t);
    let reach = LONGEST_MITRE * by.abs().max(z_by.abs());
    if sine.abs() > 1e-9 && corner.minus(a).length() <= reach {
        ring.push(corner);
    } else {
        ring.push(there);
        ring.push(here);
    }
}

fn unit(vector: Point) -> Point {
    let length = vector.length();
    Point::new(vector.u / length, vector.v / length)
}

fn is_simple(ring: &[Point]) -> bool {
    is_convex(ring) || !meets_itself(ring)
}

fn rings_meet(one: &[Point], other: &[Point]) -> bool {
    edges(one).any(|side| edges(other).any(|opposite| meeting(side, opposite).is_some()))
}

/// Whether two rings share no point and neither lies inside the other.
pub(crate) fn are_apart(one: &[Point], other: &[Point]) -> bool {
    let inside = |outer: &[Point], inner: &[Point]| inner.first().is_some_and(|p| contains(outer, *p));
    !rings_meet(one, other) && !inside(one, other) && !inside(other, one)
}

fn on_grid_of(
    subject: &[Ring],
    clip: &[Ring],
    rule: OverlayRule,
    fill: FillRule,
) -> Vec<Vec<Vec<IntPoint<i32>>>> {
    /// Sums and differences of numbers up to this, 50 km from the origin, fit the numbers of the grid.
    const FURTHEST: f64 = 536_870_912.0;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "they are within the furthest, and no number is nought"
    )]
    let steps = |m: f64| (m / GRID_M).round().clamp(-FURTHEST, FURTHEST) as i32;
    let on_grid = |p: &Point| IntPoint::new(steps(p.u), steps(p.v));
    let lay =
        |rings: &[Ring]| rings.iter().map(|ring| ring.iter().map(on_grid).collect()).collect::<Vec<Vec<_>>>();
    Overlay::<i32>::from_subj_and_clip(&lay(subject), &lay(clip)).overlay(rule, fill)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(f64, f64)]) -> Ring {
        corners.iter().map(|(u, v)| Point::new(*u, *v)).collect()
    }

    #[test]
    fn each_edge_moves_by_its_own_distance() {
        // Eaves out 0.05, right verge out 0.04, ridge stays, left edge in 0.10: 8 x 5 becomes 7.94 x 5.05.
        let region = Region::from_moved_edges(
            &ring(&[(0.0, 0.0), (8.0, 0.0), (8.0, 5.0), (0.0, 5.0)]),
            &[0.05, 0.04, 0.0, -0.10],
        );
        assert!((region.area_m2() - 7.94 * 5.05).abs() < 1e-12);
        assert_eq!(region.bounds(), (Point::new(0.10, -0.05), Point::new(8.04, 5.0)));
    }

    #[test]
    fn a_straight_edge_in_two_parts_with_two_overhangs_gets_a_step() {
        let outline = ring(&[(0.0, 0.0), (4.0, 0.0), (8.0, 0.0), (8.0, 5.0), (0.0, 5.0)]);
        let region = Region::from_moved_edges(&outline, &[0.10, 0.05, 0.0, 0.0, 0.0]);
        assert!((region.area_m2() - (40.0 + 0.4 + 0.2)).abs() < 1e-12);
    }

    #[test]
    fn an_edge_swallowed_by_its_neighbours_leaves_a_sound_region() {
        // A notch 0.1 wide in the top edge; clearing its two sides by 0.2 each swallows the notch's bottom from outside.
        let outline = ring(&[
            (0.0, 0.0),
            (8.0, 0.0),
            (8.0, 5.0),
            (4.1, 5.0),
            (4.1, 4.0),
            (4.0, 4.0),
            (4.0, 5.0),
            (0.0, 5.0),
        ]);
        let region = Region::from_moved_edges(&outline, &[0.0, 0.0, 0.0, 0.06, 0.0, 0.06, 0.0, 0.0]);
        assert!((region.area_m2() - 40.0).abs() < 1e-3, "{}", region.area_m2());
        // A narrow gable cleared from both sides by more than its width leaves nothing.
        let nothing = Region::from_moved_edges(
            &ring(&[(0.0, 0.0), (0.3, 0.0), (0.3, 5.0), (0.0, 5.0)]),
            &[0.0, -0.2, 0.0, -0.2],
        );
        assert!(nothing.is_empty());
    }

    #[test]
    fn holes_apart_stay_exact_and_overlapping_ones_are_cut_once() {
        let slope = Region::from_outline(ring(&[(0.0, 0.0), (8.0, 0.0), (8.0, 5.0), (0.0, 5.0)]));
        let one = ring(&[(1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0)]);
        let two = ring(&[(1.5, 1.5), (2.5, 1.5), (2.5, 2.5), (1.5, 2.5)]);
        let over_the_edge = ring(&[(7.5, 1.0), (8.5, 1.0), (8.5, 2.0), (7.5, 2.0)]);
        assert!((slope.clone().without(core::slice::from_ref(&one)).area_m2() - 39.0).abs() < 1e-12);
        assert!((slope.clone().without(&[one.clone(), two]).area_m2() - (40.0 - 1.75)).abs() < 1e-9);
        assert!((slope.without(&[one, over_the_edge]).area_m2() - 38.5).abs() < 1e-9);
    }

    #[test]
    fn no_size_is_too_large_for_the_grid() {
        // Nothing is asked of the numbers but that there is an answer: checked slopes are under 1 km.
        for size in [1e3, 1e5, 2e5, 1e6, 1e9, 1e300, f64::INFINITY, f64::NAN] {
            let square = |from: f64, to: f64| ring(&[(from, from), (to, from), (to, to), (from, to)]);
            let slope = Region::from_outline(square(-size, size));
            let _ = slope.clone().without(&[square(0.0, 2.0 * size), square(-0.5 * size, 0.5 * size)]);
            let _ = slope.within(Point::new(-2.0 * size, 0.0), Point::new(2.0 * size, 0.25 * size));
            let bow = ring(&[(-size, -size), (size, size), (size, -size), (-size, size)]);
            let _ = Region::from_moved_edges(&bow, &[0.1 * size, -0.3 * size, 0.1, 0.2]);
        }
    }

    #[test]
    fn stretches_and_shadows() {
        let slope = Region::from_outline(ring(&[(0.0, 0.0), (8.0, 0.0), (6.0, 5.0), (2.0, 5.0)]))
            .without(&[ring(&[(3.0, 1.0), (4.0, 1.0), (4.0, 2.0), (3.0, 2.0)])]);
        let rounded = |stretches: Vec<(f64, f64)>| -> Vec<(f64, f64)> {
            stretches
                .into_iter()
                .map(|(from, to)| ((from * 1e9).round() / 1e9, (to * 1e9).round() / 1e9))
                .collect()
        };
        assert_eq!(rounded(slope.stretches_at(1.5)), [(0.6, 3.0), (4.0, 7.4)]);
        assert_eq!(slope.stretches_at(6.0), []);
        // A band that the opening does not fill: its shadow is whole. One that it fills: its shadow has a gap.
        assert_eq!(rounded(slope.shadow_of_band(0.5, 1.5)), [(0.2, 7.8)]);
        assert_eq!(rounded(slope.shadow_of_band(1.25, 1.75)), [(0.5, 3.0), (4.0, 7.5)]);
    }
}
