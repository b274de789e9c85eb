//! Plain courses whose sides have corners within them, or rake over many cells: the shares of their cells are asked for.
//!
//! Along a side they grow from the outside in, whatever its corners, so that a few of them tell what all are.

use super::plain::{PlainEnd, PlainStretch, Reach, is_laid, number};
use super::{Band, MOST_CELLS, SHARE_TOLERANCE, Sweep, WHOLE_FROM};
use crate::survey::outline::{greater, lesser};

/// A part of a side between two corners: how far it reaches, and the share of the course's height that it spans.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leg {
    reach: Reach,
    height: f64,
}

impl Sweep {
    /// The only stretch of a course, where its sides have corners within it: on each side an edge begins at the height where
    /// the one below it ends, from the foot of the course to its head.
    pub(super) fn stretch_with_corners(&mut self, band: Band) -> Option<PlainStretch> {
        let Self { active, legs: [left, right], .. } = self;
        left.clear();
        right.clear();
        let (per_width, per_height) = (1.0 / band.width, 1.0 / (band.high - band.low));
        // Those that begin within the course stand behind the others, in the order of their feet.
        let (mut left_to, mut right_to) = (band.low, band.low);
        for edge in active {
            let is_left = edge.side > 0.0;
            let low = if is_left { left_to } else { right_to };
            let follows = edge.low <= low && edge.high > low && (edge.low >= low || low <= band.low);
            if !follows {
                return None;
            }
            let high = lesser(edge.high, band.high);
            let height = (high - low) * per_height;
            let reach = edge.reach(Band { low, high, ..band }, per_width);
            let (legs, to, reach) = if is_left {
                (&mut *left, &mut left_to, reach)
            } else {
                (&mut *right, &mut right_to, reach.mirrored())
            };
            // One that only just begins or ends here is a rounding error.
            if height > SHARE_TOLERANCE {
                legs.push(Leg { reach, height });
            }
            *to = high;
        }
        if lesser(left_to, right_to) < band.high {
            return None;
        }
        PlainStretch::with_corners(&Side::new(left)?, &Side::new(right)?)
    }
}

impl PlainStretch {
    /// The stretch between two edges that rake over many cells.
    #[cold]
    pub(super) fn of_long_reaches(reaches: [Reach; 2]) -> Option<Self> {
        let [left, right] = reaches.map(|reach| [Leg { reach, height: 1.0 }]);
        Self::with_corners(&Side::new(&left)?, &Side::new(&right)?)
    }

    /// The stretch between two sides, which may go through the same few cells.
    fn with_corners(left: &Side<'_>, right: &Side<'_>) -> Option<Self> {
        /// Where more cells than this lie on both sides, the runs of the course are as quick.
        const SHARED_AT_MOST: f64 = 4.0;
        // A side on a joint goes through a cell that the other one does not reach.
        let (first, last) = (left.cells.0, -1.0 - right.cells.0);
        let (mut shared, last_shared) = (greater(-1.0 - right.cells.1, first), lesser(left.cells.1, last));
        if shared > last_shared {
            return Self::between(left.end(left.cells.1), right.end(right.cells.1));
        }
        if last_shared - shared >= SHARED_AT_MOST {
            return None;
        }
        // From the left: cut cells, whole ones, cut ones. Anything else is for the runs.
        let (mut of_left, mut of_right) = (left.end(shared - 1.0), right.end(-2.0 - last_shared));
        let (mut whole, mut cut_behind) = (of_left.whole, 0);
        while shared <= last_shared {
            let share = left.share_of(shared) + right.share_of(-1.0 - shared) - 1.0;
            if !is_laid(share) || first >= last {
                return None;
            }
            if share >= WHOLE_FROM {
                whole += 1;
            } else if shared >= last {
                (of_right.cut, of_right.share, of_right.width) = (1, share, right.width());
            } else if shared <= first {
                (of_left.cut, of_left.share, of_left.width) = (1, share, left.width());
            } else if whole == 0 {
                of_left.cut += 1;
            } else {
                cut_behind += 1;
            }
            if share >= WHOLE_FROM && cut_behind > 0 {
                return None;
            }
            shared += 1.0;
        }
        if cut_behind > 0 && of_right.whole > 0 {
            return None;
        }
        of_right.cut += cut_behind;
        Some(Self { whole: whole + of_right.whole, left: of_left, right: of_right })
    }
}

impl Reach {
    /// The share of a cell's face on its inner side, in its part of the course's height.
    fn share_of(&self, cell: f64) -> f64 {
        // How much of the cell lies inside an upright edge, if it is so far from the cell's inner end; and that summed up
        // from no distance to this one.
        let inside = |distance: f64| lesser(greater(distance, 0.0), 1.0);
        let summed = |distance: f64| (distance - 0.5 * inside(distance)) * inside(distance);
        let (far, near) = (cell + 1.0 - self.outer.at, cell + 1.0 - self.inner.at);
        if far - near > SHARE_TOLERANCE { (summed(far) - summed(near)) / (far - near) } else { inside(far) }
    }
}

/// A side of several legs, or of one that rakes over many cells.
struct Side<'l> {
    legs: &'l [Leg],
    /// Where it lies furthest out.
    outer: f64,
    /// Its outermost and its innermost cell.
    cells: (f64, f64),
}

impl<'l> Side<'l> {
    fn new(legs: &'l [Leg]) -> Option<Self> {
        let (mut outer, mut first) = (f64::INFINITY, f64::INFINITY);
        let (mut inner, mut last) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        for Leg { reach, .. } in legs {
            (outer, first) = (lesser(outer, reach.outer.at), lesser(first, reach.outer.cell()));
            (inner, last) = (greater(inner, reach.inner.at), greater(last, reach.inner.cell()));
        }
        (outer > -MOST_CELLS && inner < MOST_CELLS).then_some(Self { legs, outer, cells: (first, last) })
    }

    /// The share of a cell that lies inside it.
    fn share_of(&self, cell: f64) -> f64 {
        self.legs.iter().map(|leg| leg.height * leg.reach.share_of(cell)).sum()
    }

    /// What of its outermost cell lies inside it, in cover widths.
    fn width(&self) -> f64 {
        self.cells.0 + 1.0 - self.outer
    }

    /// The end at this side, up to a cell.
    fn end(&self, last: f64) -> PlainEnd {
        let cells @ (first, _) = self.cells;
        if last < first {
            return PlainEnd { cells, cut: 0, whole: 0, share: 1.0, width: 1.0 };
        }
        let of_first = self.share_of(first);
        let of_last = if last > first { self.share_of(last) } else { of_first };
        let first_laid = if is_laid(of_first) {
            first
        } else {
            first_cell(first + 1.0, last + 1.0, |cell| is_laid(self.share_of(cell)))
        };
        let first_whole = if of_last < WHOLE_FROM {
            last + 1.0
        } else {
            first_cell(first_laid, last, |cell| self.share_of(cell) >= WHOLE_FROM)
        };
        let (cut, whole) = (number(first_whole - first_laid), number(last + 1.0 - first_whole));
        let (share, width) =
            if first_laid <= first && cut > 0 { (of_first, self.width()) } else { (1.0, 1.0) };
        PlainEnd { cells, cut, whole, share, width }
    }
}

/// The first cell from one on that is so, as all after it are; `end` if none before it is.
fn first_cell(mut from: f64, mut end: f64, is_so: impl Fn(f64) -> bool) -> f64 {
    while from < end {
        let middle = from + f64::from(number((end - from) * 0.5));
        if is_so(middle) {
            end = middle;
        } else {
            from = middle + 1.0;
        }
    }
    end
}
