//! The plain course: every edge in it goes right through, and they bound stretches that lie well apart. Most courses of
//! most slopes are plain.
//!
//! Along each edge the share of the cells grows from the outside in, so that the outermost cell and the innermost one
//! tell what all of them are. No cell in between has to be looked at, however flat the edge rakes.

use super::{Band, Edge, LAID_OVER, MOST_CELLS, Place, SHARE_TOLERANCE, Sweep, WHOLE_FROM};

/// A stretch of a plain course: cut cells along its left edge, whole cells, cut cells along its right edge, without a gap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PlainStretch {
    /// Whole cells.
    pub(crate) whole: u32,
    /// Along the left edge.
    pub(crate) left: PlainEnd,
    /// Along the right edge.
    pub(crate) right: PlainEnd,
}

/// The cells along one edge of a plain stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PlainEnd {
    /// Cut cells that are laid.
    pub(crate) cut: u32,
    /// The covered share of the outermost laid cell's face.
    pub(crate) share: f64,
    /// Its bounding width, in cover widths; 1 if it is whole.
    pub(crate) width: f64,
}

/// Along an edge that rakes over more cells than this, the outermost cells are too narrow slivers to be laid, and the
/// innermost too nearly whole to be cut: those have to be looked at one by one. Half a cell of so many is over a hundredth.
const CELLS_AT_MOST: f64 = 40.0;

impl Sweep {
    /// Hands over the stretches of the course in this band and says so, if the course is plain. If it says no, the
    /// stretches handed over so far count for nothing and [`Sweep::course`] has the course.
    #[inline]
    pub(crate) fn plain_course(&mut self, band: Band, mut each: impl FnMut(&PlainStretch)) -> bool {
        self.advance(band);
        let (from, to) = self.crossed_by_all;
        if !(from <= band.low && band.high <= to) {
            return false;
        }
        let per_width = 1.0 / band.width;
        // The last cell that a stretch before may have.
        let mut taken = f64::NEG_INFINITY;
        let mut sides = self.active.iter();
        while let Some(left) = sides.next() {
            let Some(right) = sides.next().filter(|right| left.side > 0.0 && right.side < 0.0) else {
                return false;
            };
            let left = left.reach(band, per_width);
            // Seen from the right: the same in a mirror. The edge of a cell belongs to the cell inside it.
            let right = right.reach(band, per_width).mirrored();
            // Between two stretches an empty cell keeps the units of the one from those of the other.
            if !(left.outer.cell() > taken + 1.0 && left.is_plain() && right.is_plain()) {
                return false;
            }
            let between = -right.inner.cell() - left.inner.cell() - 2.0;
            if between < 0.0 || between.is_nan() {
                return false;
            }
            taken = -1.0 - right.outer.cell();
            let (left, is_whole_left) = PlainEnd::new(left);
            let (right, is_whole_right) = PlainEnd::new(right);
            let whole = number(between) + u32::from(is_whole_left) + u32::from(is_whole_right);
            each(&PlainStretch { whole, left, right });
        }
        true
    }
}

/// How far an edge reaches in a band that it goes through, in cells that count up to the inside.
#[derive(Clone, Copy)]
struct Reach {
    outer: Place,
    inner: Place,
}

impl Reach {
    #[inline]
    fn mirrored(self) -> Self {
        Self { outer: self.inner.mirrored(), inner: self.outer.mirrored() }
    }

    #[inline]
    fn is_plain(&self) -> bool {
        self.inner.at - self.outer.at <= CELLS_AT_MOST && self.outer.at.abs() < MOST_CELLS
    }
}

impl Edge {
    #[inline]
    fn reach(&self, band: Band, per_width: f64) -> Reach {
        let place = |v| Place::new((self.at(v) - band.origin) * per_width);
        let (low, high) = (place(band.low), place(band.high));
        if low.at < high.at { Reach { outer: low, inner: high } } else { Reach { outer: high, inner: low } }
    }
}

impl PlainEnd {
    /// The end at an edge, and whether the innermost of its cells is whole.
    #[inline]
    fn new(Reach { outer, inner }: Reach) -> (Self, bool) {
        let (first, last) = (outer.cell(), inner.cell());
        // What of the outermost cell lies inside the edge.
        let width = first + 1.0 - outer.at;
        if last <= first {
            let share = first + 1.0 - 0.5 * (outer.at + inner.at);
            let is_whole = share >= WHOLE_FROM;
            let cut = u32::from(!is_whole && is_laid(share));
            return (Self { cut, share, width: if is_whole { 1.0 } else { width } }, is_whole);
        }
        let per_cell = 1.0 / (inner.at - outer.at);
        let share = 0.5 * width * width * per_cell;
        let missing = inner.at - last;
        let is_whole = 1.0 - 0.5 * missing * missing * per_cell >= WHOLE_FROM;
        let further = number(last - first) - u32::from(is_whole);
        if is_laid(share) {
            return (Self { cut: further + 1, share, width }, is_whole);
        }
        // The next cell is as wide as a unit; its share is asked for by nobody.
        (Self { cut: further, share: 1.0, width: 1.0 }, is_whole)
    }
}

#[inline]
fn is_laid(share: f64) -> bool {
    share > LAID_OVER + SHARE_TOLERANCE
}

/// A count of cells; it is whole and no course has too many.
#[inline]
fn number(cells: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a float cast saturates")]
    {
        cells as u32
    }
}
