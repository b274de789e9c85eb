//! Level lines across a region, from the eaves up: where they cross its sides, and what of them lies inside.

use super::cells::sort_by;
use super::region::Region;
use crate::survey::outline::{GRID_M, Point};

/// Goes up a region and looks only at the sides that each level line crosses.
#[derive(Debug, Default)]
pub(crate) struct Levels {
    /// From the lowest foot up.
    sides: Vec<(Point, Point)>,
    next: usize,
    active: Vec<(Point, Point)>,
    /// Between these levels the same sides are crossed.
    same_sides: (f64, f64),
    crossings: Vec<f64>,
    stretches: Vec<(f64, f64)>,
}

impl Levels {
    /// Starts under a region, in the memory it has.
    pub(crate) fn start(&mut self, region: &Region) {
        self.sides.clear();
        // A level side crosses no level line.
        region.edges().filter(|side| foot(side) < head(side)).for_each(|side| self.sides.push(side));
        sort_by(&mut self.sides, foot);
        self.active.clear();
        self.next = 0;
        self.same_sides = (f64::INFINITY, f64::NEG_INFINITY);
    }

    /// Hands over the stretches of the line at `v` that lie inside, from left to right, as [`Region::stretches_at`] has
    /// them. Lines must come from the eaves up.
    #[inline]
    pub(crate) fn each_stretch_at(&mut self, v: f64, mut each: impl FnMut(f64, f64)) {
        if !(self.same_sides.0 <= v && v < self.same_sides.1) {
            self.change_sides(v);
        }
        if let [one, other] = self.active.as_slice() {
            let (one, other) = (crossing(v, *one), crossing(v, *other));
            let (from, to) = if one < other { (one, other) } else { (other, one) };
            if to - from >= GRID_M {
                each(from, to);
            }
            return;
        }
        self.crossings.clear();
        self.stretches.clear();
        self.crossings.extend(self.active.iter().map(|side| crossing(v, *side)));
        pair_up(&mut self.crossings, &mut self.stretches);
        self.stretches.iter().for_each(|(from, to)| each(*from, *to));
    }

    fn change_sides(&mut self, v: f64) {
        self.active.retain(|side| head(side) > v);
        while let Some(side) = self.sides.get(self.next).filter(|side| foot(side) <= v) {
            if head(side) > v {
                self.active.push(*side);
            }
            self.next += 1;
        }
        let next = self.sides.get(self.next).map_or(f64::INFINITY, foot);
        self.same_sides = (v, self.active.iter().map(head).fold(next, f64::min));
    }
}

fn foot((a, b): &(Point, Point)) -> f64 {
    if a.v < b.v { a.v } else { b.v }
}

fn head((a, b): &(Point, Point)) -> f64 {
    if a.v > b.v { a.v } else { b.v }
}

/// Where a side crosses the level line at `v`, if it does: its foot belongs to it, its head does not.
#[inline]
pub(super) fn crossing_at(v: f64, (a, b): (Point, Point)) -> Option<f64> {
    ((a.v > v) != (b.v > v)).then(|| crossing(v, (a, b)))
}

/// Where a side that crosses the level line at `v` does so.
#[inline]
pub(super) fn crossing(v: f64, (a, b): (Point, Point)) -> f64 {
    a.u + (v - a.v) / (b.v - a.v) * (b.u - a.u)
}

/// Adds the stretches between each crossing and the next but one; none shorter than 0.1 mm, and none so near the one
/// before it.
pub(super) fn pair_up(crossings: &mut [f64], stretches: &mut Vec<(f64, f64)>) {
    sort_by(crossings, |at| *at);
    let mut last: Option<(f64, f64)> = None;
    for pair in crossings.chunks_exact(2) {
        let [from, to] = *pair else { continue };
        if to - from < GRID_M {
            continue;
        }
        last = match last {
            Some((start, end)) if from <= end + GRID_M => Some((start, end.max(to))),
            before => {
                stretches.extend(before);
                Some((from, to))
            }
        };
    }
    stretches.extend(last);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_from_the_eaves_up_are_the_lines_one_by_one() {
        // Independent of the sweep: every side looked at for every line. Stars of 3 to 40 corners from a fixed generator,
        // half of them with corners on the lines; some with a hole.
        let mut state = 20_261_127_u64;
        let mut next = move |most: u32| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            u32::try_from(state >> 33).unwrap() % most
        };
        let mut levels = Levels::default();
        for _ in 0..500 {
            let count = 3 + next(38);
            let on_lines = next(2) == 0;
            let corner = |at: u32, far: f64| {
                let (sin, cos) = (f64::from(at) / f64::from(count) * core::f64::consts::TAU).sin_cos();
                let v = far * sin;
                Point::new(far * cos, if on_lines { (v * 10.0).round() / 10.0 } else { v })
            };
            let outline = (0..count).map(|at| corner(at, 1.0 + f64::from(next(100)) / 20.0)).collect();
            let mut region = Region::from_outline(outline);
            if next(3) == 0 {
                let hole = [(-0.2, -0.1), (0.2, -0.1), (0.1, 0.3)].map(|(u, v)| Point::new(u, v));
                region = region.without(&[hole.to_vec()]);
            }
            levels.start(&region);
            for line in -70..70 {
                let v = f64::from(line) / 10.0;
                let mut stretches = Vec::new();
                levels.each_stretch_at(v, |from, to| stretches.push((from, to)));
                assert_eq!(stretches, region.stretches_at(v), "{v} {region:?}");
            }
        }
    }
}
