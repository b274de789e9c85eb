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
use crate::quantity::whole_below;
use crate::survey::outline::edges;

mod plain;

pub use plain::{PlainCourse, PlainEnd};

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
    /// Where it is at a height, in metres.
    #[inline]
    fn at(&self, v: f64) -> f64 {
        (v - self.low) * self.u_per_v + self.u_low
    }
}

/// What an edge leaves in one cell: the area to its right within the cell, the height it spans, and how far it
/// reaches, all in cover widths.
#[derive(Debug, Clone, Copy)]
struct Deposit {
    cell: i32,
    area: f64,
    height: f64,
    from: f64,
    to: f64,
}

/// Goes through the courses of a region from the eaves up.
#[derive(Debug, Clone)]
pub struct Sweep {
    edges: Vec<Edge>,
    next: usize,
    active: Vec<Edge>,
    deposits: Vec<Deposit>,
    runs: Vec<Run>,
}

impl Sweep {
    /// A sweep of a region, standing under its lowest course.
    #[must_use]
    pub fn new(region: &Region) -> Self {
        let mut sweep =
            Self { edges: Vec::new(), next: 0, active: Vec::new(), deposits: Vec::new(), runs: Vec::new() };
        sweep.start(region);
        sweep
    }

    /// Starts again with another region, in the memory it has.
    pub fn start(&mut self, region: &Region) {
        self.edges.clear();
        for (a, b) in region.rings().iter().flat_map(|ring| edges(ring)) {
            // The region lies to the left of an edge: an edge that goes up has it on the left, one that goes down on the right.
            let (bottom, top, side) = if a.v < b.v { (a, b, -1.0) } else { (b, a, 1.0) };
            let height = top.v - bottom.v;
            // A level edge spans no height.
            if height > 0.0 {
                let u_per_v = (top.u - bottom.u) / height;
                self.edges.push(Edge { low: bottom.v, high: top.v, u_low: bottom.u, u_per_v, side });
            }
        }
        self.edges.sort_unstable_by(|x, y| x.low.total_cmp(&y.low));
        self.next = 0;
        self.active.clear();
    }

    /// Goes up to a band: takes up the edges that reach into it and lays down those that end below.
    fn advance(&mut self, band: Band) {
        while let Some(edge) = self.edges.get(self.next).filter(|edge| edge.low < band.high) {
            self.active.push(*edge);
            self.next += 1;
        }
        if self.active.iter().any(|edge| edge.high <= band.low) {
            self.active.retain(|edge| edge.high > band.low);
        }
    }

    /// The runs of one course from left to right; cells that are not covered at all are left out. Courses must come
    /// with ascending `low`; several may share one.
    pub fn course(&mut self, band: Band) -> &[Run] {
        self.advance(band);
        self.deposits.clear();
        self.runs.clear();
        let per_width = 1.0 / band.width;
        for edge in &self.active {
            let (low, high) = (edge.low.max(band.low), edge.high.min(band.high));
            if high <= low {
                continue;
            }
            let at = |v: f64| (edge.at(v) - band.origin) * per_width;
            deposit(&mut self.deposits, at(low), at(high), (high - low) * edge.side);
        }
        sort_by_cell(&mut self.deposits);
        gather(&self.deposits, band.high - band.low, &mut self.runs);
        &self.runs
    }
}

/// Leaves the traces of one clipped edge, from `start` to `end` in cells, spanning `height` (signed).
#[inline]
fn deposit(deposits: &mut Vec<Deposit>, start: f64, end: f64, height: f64) {
    let (start, end) = (on_joint(start), on_joint(end));
    let (from, to) = if start <= end { (start, end) } else { (end, start) };
    let (mut first, mut last) = (whole_below(from), whole_below(to));
    // An upright edge on a joint that has the region to its left closes the cell before the joint, not the one behind.
    if height < 0.0 && to <= from && from <= f64::from(first) {
        first = first.saturating_sub(1);
        last = first;
    }
    if first == last {
        let area = height * (f64::from(first) + 1.0 - 0.5 * (from + to));
        deposits.push(Deposit { cell: first, area, height, from, to });
        return;
    }
    let height_per_cell = height / (to - from);
    for cell in first..=last {
        let (left, right) = (from.max(f64::from(cell)), to.min(f64::from(cell) + 1.0));
        let height = height_per_cell * (right - left);
        let area = height * (f64::from(cell) + 1.0 - 0.5 * (left + right));
        deposits.push(Deposit { cell, area, height, from: left, to: right });
    }
}

/// A place in cells; on the joint between two cells if only a rounding error lies between.
#[inline]
fn on_joint(place: f64) -> f64 {
    let joint = f64::from(whole_below(place + 0.5));
    if (place - joint).abs() < SHARE_TOLERANCE { joint } else { place }
}

fn sort_by_cell(deposits: &mut [Deposit]) {
    /// Up to here moving each into place beats a general sort.
    const FEW: usize = 20;
    if deposits.len() > FEW {
        deposits.sort_unstable_by_key(|deposit| deposit.cell);
        return;
    }
    for end in 1..deposits.len() {
        let mut at = end;
        while at > 0
            && let Some([left, right]) = deposits.get(at - 1..=at)
            && left.cell > right.cell
        {
            deposits.swap(at - 1, at);
            at -= 1;
        }
    }
}

/// Sums the deposits from left to right into runs.
fn gather(deposits: &[Deposit], height: f64, runs: &mut Vec<Run>) {
    let per_height = 1.0 / height;
    // A share of a boundary under this is a rounding error, not a joint.
    let open = |share: f64| share > 1e-9;
    let mut carried = 0.0;
    let mut rest = deposits;
    let mut next_cell: Option<i32> = None;
    while let Some(&Deposit { cell, .. }) = rest.first() {
        // The stretch since the last crossed cell: nothing changes there.
        let carried_share = carried * per_height;
        if let Some(first) = next_cell
            && first < cell
            && open(carried_share)
        {
            let cells = cell.abs_diff(first);
            runs.push(Run {
                first,
                cells,
                share: carried_share,
                width: 1.0,
                joins_left: true,
                joins_right: true,
            });
        }
        let mut area = carried;
        let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
        while let Some((deposit, after)) = rest.split_first().filter(|(deposit, _)| deposit.cell == cell) {
            area += deposit.area;
            carried += deposit.height;
            from = from.min(deposit.from);
            to = to.max(deposit.to);
            rest = after;
        }
        let share = area * per_height;
        if open(share) {
            let (joins_left, joins_right) = (open(carried_share), open(carried * per_height));
            let left = if joins_left { 0.0 } else { from - f64::from(cell) };
            let right = if joins_right { 1.0 } else { to - f64::from(cell) };
            runs.push(Run { first: cell, cells: 1, share, width: right - left, joins_left, joins_right });
        }
        next_cell = Some(cell.saturating_add(1));
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
    use crate::survey::outline::{Point, Ring};

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
