//! Where every unit of a course sits, and how much of it the covered region takes.
//!
//! A course is a band across the slope, cut into cells of one cover width. A cell is *laid* if the covered region
//! takes more than a hundredth of it, *whole* if it takes all but a millionth, else *cut*. The shares are true areas.
//!
//! The sweep goes through the courses from the eaves up and looks only at the edges that cross each one. An edge
//! gives the cells it crosses the area to its right, and every cell further right the full height it spans, with the
//! sign of its direction; summed from left to right this is the exact area of the region in each cell, and between
//! two cells that edges cross it does not change. So a course costs what its edges cost, not what its units cost.

use super::Region;
use crate::quantity::{nearest_whole, whole_below};
use crate::survey::outline::{Point, edges, greater, lesser};

mod corners;
mod piece;
mod plain;

use corners::Leg;
use piece::{Piece, Runs, gather};
pub(crate) use plain::{PlainEnd, PlainStretch};

/// A cell with no more than this share of its face covered is not laid.
pub const LAID_OVER: f64 = 0.01;
/// A share that is over the limit by less than this is over it by a rounding error only: 3 mm of a cover width of 300 mm
/// is one hundredth wherever on the slope it lies.
pub const SHARE_TOLERANCE: f64 = 1e-9;
/// A cell with at least this share of its face covered is a whole unit.
pub const WHOLE_FROM: f64 = 1.0 - 1e-6;

/// The band of one course and its division into cells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Where the tails lie, in metres up the slope.
    pub low: f64,
    /// The upper end of the band.
    pub high: f64,
    /// The left end of cell 0.
    pub origin: f64,
    /// The width of a cell: the cover width.
    pub width: f64,
}

impl Band {
    /// The cell that a place lies in.
    #[must_use]
    pub fn cell_at(&self, u: f64) -> i32 {
        whole_below((u - self.origin) / self.width)
    }
}

/// A run of neighbouring cells with the same share covered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// The first cell.
    pub first: i32,
    /// How many cells.
    pub cells: u32,
    /// The covered share of each cell's face, 0 to 1.
    pub share: f64,
    /// The width that a unit cut for such a cell must have, in cover widths: the covered part's bounding width.
    pub width: f64,
    /// Whether the covered part goes on to the left of the run.
    pub joins_left: bool,
    /// Whether the covered part goes on to the right of the run.
    pub joins_right: bool,
}

impl Run {
    /// Whether its cells are laid at all.
    #[must_use]
    pub fn is_laid(&self) -> bool {
        self.share > LAID_OVER + SHARE_TOLERANCE
    }

    /// Whether its cells take whole units.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.share >= WHOLE_FROM
    }

    /// Whether cells with this share are laid, and whether they are whole.
    fn kind(share: f64) -> (bool, bool) {
        (share > LAID_OVER + SHARE_TOLERANCE, share >= WHOLE_FROM)
    }

    /// The cell after the last.
    #[must_use]
    pub fn end(&self) -> i32 {
        self.first.saturating_add_unsigned(self.cells)
    }
}

/// An edge of the region that is not level: from its lower to its upper end.
#[derive(Debug, Clone, Copy)]
struct Edge {
    low: f64,
    high: f64,
    u_low: f64,
    u_per_v: f64,
    /// +1 where the region lies to the right, -1 where it lies to the left.
    side: f64,
}

impl Edge {
    /// The edge from one corner to the next, with the region to its left: one that goes up has it on the left, one that
    /// goes down on the right. A level edge spans no height.
    #[inline]
    fn between((a, b): (Point, Point)) -> Option<Self> {
        let (bottom, top, side) = if a.v < b.v { (a, b, -1.0) } else { (b, a, 1.0) };
        let height = top.v - bottom.v;
        let u_per_v = (top.u - bottom.u) / height;
        (height > 0.0).then_some(Self { low: bottom.v, high: top.v, u_low: bottom.u, u_per_v, side })
    }

    /// Where it is at a height, in metres.
    #[inline]
    fn at(&self, v: f64) -> f64 {
        (v - self.low) * self.u_per_v + self.u_low
    }
}

/// A place in a course, from the origin of its cells, in cover widths; on the joint between two cells if only a rounding
/// error lies between.
#[derive(Debug, Clone, Copy)]
struct Place {
    at: f64,
    nearest_joint: f64,
}

impl Place {
    #[inline]
    fn new(at: f64) -> Self {
        let nearest_joint = nearest_whole(at);
        let is_on_it = (at - nearest_joint).abs() < SHARE_TOLERANCE;
        Self { at: if is_on_it { nearest_joint } else { at }, nearest_joint }
    }

    /// The number of its cell; of the one to the right if it is a joint.
    #[inline]
    fn cell(self) -> f64 {
        self.nearest_joint - if self.nearest_joint > self.at { 1.0 } else { 0.0 }
    }

    /// The same place with the cells counted from right to left.
    #[inline]
    fn mirrored(self) -> Self {
        Self { at: -self.at, nearest_joint: -self.nearest_joint }
    }
}

/// No course has cells further from its origin than this: thirty times a slope's greatest length in the narrowest of
/// units. Where it seems to, its band is no band, and to go through its cells would take for ever.
const MOST_CELLS: f64 = 1e6;

/// Goes through the courses of a region from the eaves up.
#[derive(Debug, Clone)]
pub struct Sweep {
    edges: Vec<Edge>,
    next: usize,
    /// The edges that reach into the course at hand; from left to right, if there is a height that all of them cross.
    active: Vec<Edge>,
    /// The heights that all active edges cross: from the highest start to the lowest end.
    crossed_by_all: (f64, f64),
    /// Where the next edge starts.
    next_start: f64,
    pieces: Vec<Piece>,
    /// Those of the left side and of the right.
    legs: [Vec<Leg>; 2],
    runs: Vec<Run>,
}

impl Sweep {
    /// A sweep of a region, standing under its lowest course.
    #[must_use]
    pub fn new(region: &Region) -> Self {
        let mut sweep = Self {
            edges: Vec::new(),
            next: 0,
            active: Vec::new(),
            crossed_by_all: (0.0, 0.0),
            next_start: f64::NEG_INFINITY,
            pieces: Vec::new(),
            legs: [Vec::new(), Vec::new()],
            runs: Vec::new(),
        };
        sweep.start(region);
        sweep
    }

    /// Starts again with another region, in the memory it has.
    pub fn start(&mut self, region: &Region) {
        self.edges.clear();
        for ring in region.rings() {
            edges(ring).for_each(|side| self.edges.extend(Edge::between(side)));
        }
        sort_by(&mut self.edges, |edge| edge.low);
        self.next = 0;
        self.active.clear();
        self.next_start = f64::NEG_INFINITY;
    }

    /// Goes up to a band: takes up the edges that reach into it and lays down those that end below.
    #[inline]
    pub(crate) fn advance(&mut self, band: Band) {
        if band.high > self.next_start || band.low >= self.crossed_by_all.1 {
            self.change_edges(band);
        }
    }

    #[inline(never)]
    fn change_edges(&mut self, band: Band) {
        self.active.retain(|edge| edge.high > band.low);
        while let Some(edge) = self.edges.get(self.next).filter(|edge| edge.low < band.high) {
            if edge.high > band.low {
                self.active.push(*edge);
            }
            self.next += 1;
        }
        self.next_start = self.edges.get(self.next).map_or(f64::INFINITY, |edge| edge.low);
        let from = self.active.iter().fold(f64::NEG_INFINITY, |most, edge| greater(most, edge.low));
        let to = self.active.iter().fold(f64::INFINITY, |least, edge| lesser(least, edge.high));
        self.crossed_by_all = (from, to);
        if from < to {
            // Edges never cross, so what lies further left at one height does so at all.
            let middle = f64::midpoint(from, to);
            sort_by(&mut self.active, |edge| edge.at(middle));
        }
    }

    /// The runs of one course from left to right; cells that are not covered at all are left out. Courses must come
    /// with ascending `low`; several may share one.
    ///
    /// A band without height, with cells of no width or more cells than any slope has, has no runs.
    pub fn course(&mut self, band: Band) -> &[Run] {
        self.runs_in(band, false)
    }

    /// As [`Sweep::course`], in fewer runs: neighbours that are all whole, all cut or all not laid, and covered from side
    /// to side, are one. Its share is that of the first.
    pub(crate) fn kinds_in_course(&mut self, band: Band) -> &[Run] {
        self.runs_in(band, true)
    }

    fn runs_in(&mut self, band: Band, together: bool) -> &[Run] {
        self.advance(band);
        self.pieces.clear();
        self.runs.clear();
        let per_width = 1.0 / band.width;
        for edge in &self.active {
            let (low, high) = (edge.low.max(band.low), edge.high.min(band.high));
            if high <= low {
                continue;
            }
            let at = |v: f64| Place::new((edge.at(v) - band.origin) * per_width);
            let Some(piece) = Piece::new(at(low), at(high), (high - low) * edge.side) else { return &[] };
            self.pieces.push(piece);
        }
        sort_by(&mut self.pieces, Piece::first);
        gather(&self.pieces, band.high - band.low, &mut Runs { made: &mut self.runs, together });
        &self.runs
    }
}

/// Sorts by a number. Up to a few dozen, which is nearly always, moving each into place beats a general sort.
pub(super) fn sort_by<T: Copy>(items: &mut [T], number: impl Fn(&T) -> f64) {
    const FEW: usize = 32;
    if items.len() > FEW {
        items.sort_by(|one, other| number(one).total_cmp(&number(other)));
        return;
    }
    for end in 1..items.len() {
        let mut at = end;
        while at > 0
            && let Some([before, item]) = items.get_mut(at - 1..=at)
            && number(before) > number(item)
        {
            core::mem::swap(before, item);
            at -= 1;
        }
    }
}

/// How many cells of a course are whole and how many are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
pub struct Positions {
    /// Cells that take whole units.
    pub whole: u32,
    /// Cells that take cut units.
    pub cut: u32,
}

impl Positions {
    /// Counts runs.
    #[must_use]
    pub fn of(runs: &[Run]) -> Self {
        let mut count = Self::default();
        for run in runs {
            if run.is_whole() {
                count.whole += run.cells;
            } else if run.is_laid() {
                count.cut += run.cells;
            }
        }
        count
    }

    /// Whole and cut together.
    #[must_use]
    pub const fn laid(self) -> u32 {
        self.whole + self.cut
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::outline::Ring;

    fn ring(corners: &[(f64, f64)]) -> Ring {
        corners.iter().map(|(u, v)| Point::new(*u, *v)).collect()
    }

    fn count(region: &Region, band: Band) -> (u32, u32) {
        let positions = Positions::of(Sweep::new(region).course(band));
        (positions.whole, positions.cut)
    }

    #[test]
    fn a_rectangle_by_hand() {
        let region = Region::from_outline(ring(&[(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]));
        let band = Band { low: 0.0, high: 0.1, origin: 0.0, width: 0.2 };
        // Counted by hand: five cells of 0.2 m fill a metre; shifted by half a cell, four are whole and two are halves.
        assert_eq!(count(&region, band), (5, 0));
        assert_eq!(count(&region, Band { origin: -0.1, ..band }), (4, 2));
        // 0.3 m cells: three whole and a cut third of one.
        assert_eq!(count(&region, Band { width: 0.3, ..band }), (3, 1));
        // A course that reaches half its height over the top is cut throughout; one beyond has nothing.
        assert_eq!(count(&region, Band { low: 0.95, high: 1.05, ..band }), (0, 5));
        assert_eq!(count(&region, Band { low: 1.0, high: 1.1, ..band }), (0, 0));
    }

    #[test]
    fn an_opening_by_hand() {
        // A hole from 0.3 to 0.7 and from 0.05 up: under it the band is covered to half its height.
        let region = Region::from_outline(ring(&[(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]))
            .without(&[ring(&[(0.3, 0.05), (0.7, 0.05), (0.7, 0.6), (0.3, 0.6)])]);
        let band = Band { low: 0.0, high: 0.1, origin: 0.0, width: 0.2 };
        let mut sweep = Sweep::new(&region);
        let shares: Vec<f64> =
            sweep.course(band).iter().flat_map(|run| vec![run.share; run.cells as usize]).collect();
        let by_hand = [1.0, 0.75, 0.5, 0.75, 1.0];
        assert!(
            shares.len() == 5 && shares.iter().zip(by_hand).all(|(a, b)| (a - b).abs() < 1e-12),
            "{shares:?}"
        );
        let above = sweep.course(Band { low: 0.1, high: 0.2, ..band }).to_vec();
        assert_eq!(Positions::of(&above), Positions { whole: 2, cut: 2 });
        // The cut cells beside the hole are half as wide and join their outer neighbours only.
        let cut: Vec<_> = above.iter().filter(|run| !run.is_whole()).collect();
        assert!(cut.iter().all(|run| (run.width - 0.5).abs() < 1e-12));
        assert!(cut[0].joins_left && !cut[0].joins_right && !cut[1].joins_left && cut[1].joins_right);
    }

    #[test]
    fn a_band_that_is_none_has_no_runs() {
        let region = Region::from_outline(ring(&[(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]));
        let band = Band { low: 0.0, high: 0.1, origin: 0.0, width: 0.2 };
        let strange = [0.0, -0.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e-300, 1e300, -1e300];
        for number in strange {
            for band in [
                Band { width: number, ..band },
                Band { origin: number, ..band },
                Band { low: number, ..band },
                Band { high: number, ..band },
                Band { width: number, origin: number, ..band },
            ] {
                let runs = Sweep::new(&region).course(band).len();
                assert!(runs <= 7, "{band:?} {runs}");
                let mut stretches = 0;
                Sweep::new(&region).plain_course(band, |_| stretches += 1);
                assert!(stretches <= 1, "{band:?}");
            }
        }
        // Cells a micrometre wide are refused, and so is a slope as wide as the earth.
        assert_eq!(Sweep::new(&region).course(Band { width: 1e-8, ..band }), []);
        let wide = Region::from_outline(ring(&[(0.0, 0.0), (1e8, 0.0), (1e8, 0.01), (0.0, 1.0)]));
        assert_eq!(Sweep::new(&wide).course(band), []);
        let endless = ring(&[(0.0, 0.0), (f64::INFINITY, 0.0), (f64::INFINITY, 1.0), (f64::NAN, 1.0)]);
        assert_eq!(Sweep::new(&Region::from_outline(endless)).course(band), []);
    }

    #[test]
    fn the_shares_of_a_triangle_add_up_to_its_area() {
        let region = Region::from_outline(ring(&[(0.0, 0.0), (7.3, 0.0), (2.9, 4.1)]));
        let mut sweep = Sweep::new(&region);
        let (gauge, width) = (0.1, 0.168);
        let area: f64 = (0..41)
            .map(|course| {
                let low = f64::from(course) * gauge;
                let band = Band { low, high: low + gauge, origin: 0.05, width };
                sweep.course(band).iter().map(|run| run.share * f64::from(run.cells)).sum::<f64>()
            })
            .sum::<f64>()
            * gauge
            * width;
        assert!((area - 7.3 * 4.1 / 2.0).abs() < 1e-10, "{area}");
    }
}
