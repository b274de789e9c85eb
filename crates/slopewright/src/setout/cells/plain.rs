//! The plain course: two edges bound it, and both go right through it. Most courses of most slopes are plain.
//!
//! Along each edge the share of the cells grows from the outside in, so that the outermost cell and the innermost one
//! tell what all of them are. No cell in between has to be looked at, however flat the edge rakes.

use super::{Band, Edge, LAID_OVER, SHARE_TOLERANCE, Sweep, WHOLE_FROM, on_joint};
use crate::quantity::whole_below;

/// A plain course: cut cells along its left edge, whole cells, cut cells along its right edge, without a gap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlainCourse {
    /// Whole cells.
    pub whole: u32,
    /// Along the left edge.
    pub left: PlainEnd,
    /// Along the right edge.
    pub right: PlainEnd,
}

/// The cells along one edge of a plain course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlainEnd {
    /// Cut cells that are laid.
    pub cut: u32,
    /// The covered share of the outermost laid cell's face.
    pub share: f64,
    /// Its bounding width, in cover widths; 1 if it is whole.
    pub width: f64,
}

/// Along an edge that rakes over more cells than this, the outermost cells are too narrow slivers to be laid, and the
/// innermost too nearly whole to be cut: those have to be looked at one by one. Half a cell of so many is over a hundredth.
const CELLS_AT_MOST: f64 = 40.0;

impl Sweep {
    /// The course in this band if it is plain; else [`Sweep::course`] has it.
    pub fn plain_course(&mut self, band: Band) -> Option<PlainCourse> {
        self.advance(band);
        let [one, other] = self.active.as_slice() else { return None };
        let goes_through = |edge: &Edge| edge.low <= band.low && edge.high >= band.high;
        if one.side * other.side > 0.0 || !goes_through(one) || !goes_through(other) {
            return None;
        }
        let (left, right) = if one.side > 0.0 { (one, other) } else { (other, one) };
        let per_width = 1.0 / band.width;
        let (left, right) = (left.reach(band, per_width), right.reach(band, per_width));
        // The innermost cells. The edge of a cell belongs to the cell inside it, on the right as on the left.
        let left_cell = whole_below(left.1);
        let right_cell = -1 - whole_below(-right.0);
        let rakes_little = |(from, to): (f64, f64)| to - from <= CELLS_AT_MOST;
        if left_cell >= right_cell || !rakes_little(left) || !rakes_little(right) {
            return None;
        }
        let (left, is_whole_left) = PlainEnd::new(left.0, left.1);
        // Seen from the right: the same edge in a mirror.
        let (right, is_whole_right) = PlainEnd::new(-right.1, -right.0);
        let between = left_cell.abs_diff(right_cell) - 1;
        Some(PlainCourse {
            whole: between + u32::from(is_whole_left) + u32::from(is_whole_right),
            left,
            right,
        })
    }
}

impl Edge {
    /// How far it reaches to the left and to the right in a band that it goes through: from the origin of the cells, in
    /// cover widths.
    #[inline]
    fn reach(&self, band: Band, per_width: f64) -> (f64, f64) {
        let place = |v| on_joint((self.at(v) - band.origin) * per_width);
        let (low, high) = (place(band.low), place(band.high));
        if low < high { (low, high) } else { (high, low) }
    }
}

impl PlainEnd {
    /// The end at an edge that reaches from `outer` to `inner`, in cells that count up to the inside. Also whether the
    /// innermost of its cells is whole.
    #[inline]
    fn new(outer: f64, inner: f64) -> (Self, bool) {
        let (first, last) = (whole_below(outer), whole_below(inner));
        // What of the outermost cell lies inside the edge.
        let width = f64::from(first) + 1.0 - outer;
        if first == last {
            let share = f64::from(first) + 1.0 - 0.5 * (outer + inner);
            let is_whole = share >= WHOLE_FROM;
            let cut = u32::from(!is_whole && is_laid(share));
            return (Self { cut, share, width: if is_whole { 1.0 } else { width } }, is_whole);
        }
        let per_cell = 1.0 / (inner - outer);
        let share = 0.5 * width * width * per_cell;
        let missing = inner - f64::from(last);
        let is_whole = 1.0 - 0.5 * missing * missing * per_cell >= WHOLE_FROM;
        let further = first.abs_diff(last) - u32::from(is_whole);
        if is_laid(share) {
            return (Self { cut: further + 1, share, width }, is_whole);
        }
        // The next cell is as wide as a unit; its share is asked for by nobody.
        (Self { cut: further, share: 1.0, width: 1.0 }, is_whole)
    }
}

fn is_laid(share: f64) -> bool {
    share > LAID_OVER + SHARE_TOLERANCE
}
