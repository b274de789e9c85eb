//! The plain course: one stretch after the other, each bounded by a left and a right side that go right through the course
//! and lie well apart. Most courses of most slopes are plain.
//!
//! Along a side the share of the cells grows from the outside in, so that the outermost cell and the innermost one tell
//! what all of them are. No cell in between has to be looked at, however flat the side rakes.

use super::{Band, Edge, LAID_OVER, MOST_CELLS, Place, SHARE_TOLERANCE, Sweep, WHOLE_FROM};

/// A stretch of a plain course: cut cells along its left side, whole cells, cut cells along its right side, without a gap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PlainStretch {
    /// Whole cells.
    pub(crate) whole: u32,
    /// Along the left side.
    pub(crate) left: PlainEnd,
    /// Along the right side.
    pub(crate) right: PlainEnd,
}

/// The cells along one side of a plain stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PlainEnd {
    /// The outermost and the innermost cell that the side goes through, counted up to the inside.
    pub(crate) cells: (f64, f64),
    /// Cut cells that are laid.
    pub(crate) cut: u32,
    /// Whole cells.
    pub(crate) whole: u32,
    /// The covered share of the outermost laid cell's face.
    pub(crate) share: f64,
    /// Its bounding width, in cover widths; 1 if it is whole.
    pub(crate) width: f64,
}

/// Along an edge that rakes over more cells than this, the outermost cells are too narrow slivers to be laid, and the
/// innermost too nearly whole to be cut: their shares tell. Half a cell of so many is over a hundredth.
const CELLS_AT_MOST: f64 = 40.0;

impl Sweep {
    /// Hands over the stretches of the course in this band and says so, if the course is plain. If it says no, the
    /// stretches handed over so far count for nothing and [`Sweep::course`] has the course.
    pub(crate) fn plain_course(&mut self, band: Band, mut each: impl FnMut(&PlainStretch)) -> bool {
        self.advance(band);
        if !self.all_go_through(band) {
            return self.stretch_with_corners(band).as_ref().map(each).is_some();
        }
        // The last cell that a stretch before may have.
        let mut taken = f64::NEG_INFINITY;
        let mut sides = self.active.iter();
        while let Some(left) = sides.next() {
            let Some(stretch) = sides.next().and_then(|right| PlainStretch::of(left, right, band)) else {
                // Two sides may go through the same cells, as where they meet.
                return taken.is_infinite() && self.stretch_with_corners(band).as_ref().map(each).is_some();
            };
            let (first, end) = stretch.cells();
            // Between two stretches an empty cell keeps the units of the one from those of the other.
            if first <= taken + 1.0 {
                return false;
            }
            taken = end - 1.0;
            each(&stretch);
        }
        true
    }

    /// The stretch of a course that [`Sweep::goes_on_plain`], if its edges rake over few cells each and none together.
    #[expect(
        clippy::inline_always,
        reason = "asked for millions of times; as a call it takes half as long again"
    )]
    #[inline(always)]
    pub(crate) fn plain_stretch(&self, band: Band) -> Option<PlainStretch> {
        let [left, right] = self.active.as_slice() else { return None };
        let [left, right] = PlainStretch::reaches(left, right, band)?;
        if !(left.is_short() && right.is_short()) {
            return None;
        }
        PlainStretch::between(PlainEnd::new(left), PlainEnd::new(right))
    }

    /// By how many cells the two edges of such a course move in for each metre up.
    #[inline]
    pub(crate) fn leans(&self, width: f64) -> [f64; 2] {
        let [left, right] = self.active.as_slice() else { return [f64::NAN; 2] };
        [left.u_per_v / width, -right.u_per_v / width]
    }

    /// Whether two edges bound the course in this band, as they do the one before it, and go right through it.
    #[inline]
    pub(crate) fn goes_on_plain(&self, band: Band) -> bool {
        self.active.len() == 2 && band.high <= self.next_start && self.all_go_through(band)
    }

    #[inline]
    fn all_go_through(&self, band: Band) -> bool {
        let (from, to) = self.crossed_by_all;
        from <= band.low && band.high <= to
    }
}

impl PlainStretch {
    /// The stretch between two edges that go right through a band.
    fn of(left: &Edge, right: &Edge, band: Band) -> Option<Self> {
        let [left, right] = Self::reaches(left, right, band)?;
        if left.is_short() && right.is_short() {
            return Self::between(PlainEnd::new(left), PlainEnd::new(right));
        }
        Self::of_long_reaches([left, right])
    }

    /// How far its two edges reach.
    #[inline]
    fn reaches(left: &Edge, right: &Edge, band: Band) -> Option<[Reach; 2]> {
        if !(left.side > 0.0 && right.side < 0.0) {
            return None;
        }
        let per_width = 1.0 / band.width;
        // Seen from the right: the same in a mirror. The edge of a cell belongs to the cell inside it.
        Some([left.reach(band, per_width), right.reach(band, per_width).mirrored()])
    }

    /// The stretch between two ends, unless they go through the same cells.
    #[inline]
    pub(super) fn between(left: PlainEnd, right: PlainEnd) -> Option<Self> {
        let between = -right.cells.1 - left.cells.1 - 2.0;
        // No number would pass the other way round.
        (between >= 0.0).then(|| Self { whole: number(between) + left.whole + right.whole, left, right })
    }

    /// The first of its cells, and the one after the last.
    #[inline]
    pub(crate) fn cells(&self) -> (f64, f64) {
        (self.left.cells.0, -self.right.cells.0)
    }

    /// What of it lies between the start of one cell and that of another; nothing, if its sides do not go through them all
    /// on one side of these.
    pub(crate) fn within(&self, (from, to): (f64, f64)) -> Option<Self> {
        let (first, end) = self.cells();
        if from <= first && end <= to {
            return Some(*self);
        }
        let left = if from <= first { Some(self.left) } else { self.left.cut_off_at(from) };
        let right = if end <= to { Some(self.right) } else { self.right.cut_off_at(-to) };
        Self::between(left?, right?)
    }
}

/// How far an edge reaches in a band that it goes through, in cells that count up to the inside.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reach {
    pub(super) outer: Place,
    pub(super) inner: Place,
}

impl Reach {
    #[inline]
    pub(super) fn mirrored(self) -> Self {
        Self { outer: self.inner.mirrored(), inner: self.outer.mirrored() }
    }

    #[inline]
    fn is_short(&self) -> bool {
        self.inner.at - self.outer.at <= CELLS_AT_MOST && self.outer.at.abs() < MOST_CELLS
    }
}

impl Edge {
    #[inline]
    pub(super) fn reach(&self, band: Band, per_width: f64) -> Reach {
        let place = |v| Place::new((self.at(v) - band.origin) * per_width);
        let (low, high) = (place(band.low), place(band.high));
        if low.at < high.at { Reach { outer: low, inner: high } } else { Reach { outer: high, inner: low } }
    }
}

impl PlainEnd {
    /// An end on a joint further in than the side goes.
    fn cut_off_at(&self, cell: f64) -> Option<Self> {
        let cells = (cell - 1.0, cell - 1.0);
        (self.cells.1 < cell).then_some(Self { cells, cut: 0, whole: 0, share: 1.0, width: 1.0 })
    }

    /// The end at an edge that rakes over few cells.
    #[inline]
    fn new(Reach { outer, inner }: Reach) -> Self {
        let cells @ (first, last) = (outer.cell(), inner.cell());
        // What of the outermost cell lies inside the edge.
        let width = first + 1.0 - outer.at;
        if last <= first {
            let share = first + 1.0 - 0.5 * (outer.at + inner.at);
            let is_whole = share >= WHOLE_FROM;
            let cut = u32::from(!is_whole && is_laid(share));
            let width = if is_whole { 1.0 } else { width };
            return Self { cells, cut, whole: u32::from(is_whole), share, width };
        }
        let per_cell = 1.0 / (inner.at - outer.at);
        let share = 0.5 * width * width * per_cell;
        let missing = inner.at - last;
        let whole = u32::from(1.0 - 0.5 * missing * missing * per_cell >= WHOLE_FROM);
        let further = number(last - first) - whole;
        if is_laid(share) {
            return Self { cells, cut: further + 1, whole, share, width };
        }
        // The next cell is as wide as a unit; its share is asked for by nobody.
        Self { cells, cut: further, whole, share: 1.0, width: 1.0 }
    }
}

#[inline]
pub(super) fn is_laid(share: f64) -> bool {
    share > LAID_OVER + SHARE_TOLERANCE
}

/// A count of cells; it is whole and no course has too many.
#[inline]
pub(super) fn number(cells: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a float cast saturates")]
    {
        cells as u32
    }
}
