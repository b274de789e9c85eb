//! The pieces of edges that lie in a course, and the runs of cells that they make.

use super::{MOST_CELLS, Place, Run};

/// The piece of an edge within a course: what it leaves in each of its cells is the area to its right in the cell and the
/// height that it spans there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    /// The first and the last of its cells.
    first: f64,
    last: f64,
    /// Its left and right end, in cells.
    from: f64,
    to: f64,
    /// The height it spans, with the sign of its side.
    height: f64,
    /// The same for each cell it goes through.
    height_per_cell: f64,
}

impl Piece {
    /// A piece between two places, spanning `height` (signed); `None` if it goes on and on.
    #[inline]
    pub(super) fn new(start: Place, end: Place, height: f64) -> Option<Self> {
        let (from, to) = if start.at <= end.at { (start, end) } else { (end, start) };
        // The other way round, no number would pass.
        if !(from.at > -MOST_CELLS && to.at < MOST_CELLS) {
            return None;
        }
        let (mut first, mut last) = (from.cell(), to.cell());
        // An upright edge on a joint that has the region to its left closes the cell before the joint, not the one behind.
        if height < 0.0 && to.at <= from.at && from.at <= first {
            first -= 1.0;
            last = first;
        }
        Some(Self {
            first,
            last,
            from: from.at,
            to: to.at,
            height,
            height_per_cell: height / (to.at - from.at),
        })
    }

    pub(super) fn first(&self) -> f64 {
        self.first
    }

    /// What it leaves in one of its cells.
    #[inline]
    fn in_cell(&self, cell: f64) -> Share {
        if self.last <= self.first {
            let area = self.height * (cell + 1.0 - 0.5 * (self.from + self.to));
            return Share { area, height: self.height, from: self.from, to: self.to };
        }
        let from = if self.from > cell { self.from } else { cell };
        let to = if self.to < cell + 1.0 { self.to } else { cell + 1.0 };
        let height = self.height_per_cell * (to - from);
        Share { area: height * (cell + 1.0 - 0.5 * (from + to)), height, from, to }
    }
}

/// What a piece leaves in one cell: the area to its right within the cell, the height it spans, and how far it reaches.
struct Share {
    area: f64,
    height: f64,
    from: f64,
    to: f64,
}

/// Sums up what the pieces, sorted by their first cells, leave in the cells from left to right.
pub(super) fn gather(pieces: &[Piece], height: f64, runs: &mut Runs<'_>) {
    let per_height = 1.0 / height;
    let first_from = |at: usize| pieces.get(at).map_or(f64::INFINITY, Piece::first);
    // The pieces that the cell at hand may lie in, and where the next one starts.
    let (mut done, mut taken, mut next) = (0, 0, first_from(0));
    let (mut cell, mut carried) = (next, 0.0);
    while cell < f64::INFINITY {
        while next <= cell {
            taken += 1;
            next = first_from(taken);
        }
        let carried_share = carried * per_height;
        let mut area = carried;
        let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
        let (mut go_on, mut one_that_does) = (0, None);
        for piece in pieces.get(done..taken).unwrap_or_default().iter().filter(|piece| piece.last >= cell) {
            let share = piece.in_cell(cell);
            area += share.area;
            carried += share.height;
            from = if share.from < from { share.from } else { from };
            to = if share.to > to { share.to } else { to };
            if piece.last > cell {
                (go_on, one_that_does) = (go_on + 1, Some(piece));
            }
        }
        runs.push(cell, area * per_height, (from - cell, to - cell), (carried_share, carried * per_height));
        cell += 1.0;
        match (go_on, one_that_does) {
            // Up to the next piece nothing changes.
            (0, _) => {
                if next > cell && next < f64::INFINITY {
                    runs.push_many(cell, next - cell, carried * per_height);
                }
                (done, cell) = (taken, next);
            }
            (1, Some(piece)) => {
                // It goes right through the cells up to its last one or to the next piece, and leaves the same in each.
                let end = if piece.last < next { piece.last } else { next };
                if end > cell {
                    runs.push_ramp((cell, end), carried * per_height, piece.height_per_cell * per_height);
                    carried += piece.height_per_cell * (end - cell);
                    cell = end;
                }
            }
            _ => {}
        }
    }
}

/// The runs made so far.
pub(super) struct Runs<'a> {
    pub(super) made: &'a mut Vec<Run>,
    /// Whether neighbours of one kind that are covered from side to side become one run.
    pub(super) together: bool,
}

impl Runs<'_> {
    /// Adds one cell: the share of it that is covered, where in it the edges begin and end, and the share of its left
    /// and right boundary that is covered.
    #[inline]
    fn push(&mut self, cell: f64, share: f64, (from, to): (f64, f64), (left, right): (f64, f64)) {
        if !is_open(share) {
            return;
        }
        let (joins_left, joins_right) = (is_open(left), is_open(right));
        let width = if joins_right { 1.0 } else { to } - if joins_left { 0.0 } else { from };
        let run = Run { first: number(cell), cells: 1, share, width, joins_left, joins_right };
        if self.together
            && joins_left
            && joins_right
            && let Some(before) =
                self.made.last_mut().filter(|before| before.joins_left && before.joins_right)
            && before.end() == run.first
            && Run::kind(before.share) == Run::kind(share)
        {
            before.cells += 1;
        } else {
            self.made.push(run);
        }
    }

    /// Adds cells that one edge goes right through: the share of their boundaries, `left` at the first of them, grows by
    /// the same in each.
    fn push_ramp(&mut self, (first, end): (f64, f64), left: f64, growth: f64) {
        let boundary = |cell: f64| left + (cell - first) * growth;
        let share = |cell: f64| 0.5 * (boundary(cell) + boundary(cell + 1.0));
        let (one, other) = (share(first), share(end - 1.0));
        let is_covered = is_open(left) && is_open(boundary(end));
        if self.together && is_covered && Run::kind(one) == Run::kind(other) {
            // What lies between the two is of their kind too.
            self.push_many(first, end - first, one);
            return;
        }
        let mut cell = first;
        while cell < end {
            self.push(cell, share(cell), (0.0, 1.0), (boundary(cell), boundary(cell + 1.0)));
            cell += 1.0;
        }
    }

    /// Adds cells that no edge crosses.
    #[inline]
    fn push_many(&mut self, first: f64, cells: f64, share: f64) {
        if is_open(share) {
            let (first, cells) = (number(first), count(cells));
            self.made.push(Run { first, cells, share, width: 1.0, joins_left: true, joins_right: true });
        }
    }
}

/// A share of a boundary under this is a rounding error, not a joint.
#[inline]
fn is_open(share: f64) -> bool {
    share > 1e-9
}

/// The number of a cell; [`MOST_CELLS`] is far within what it holds.
#[inline]
fn number(cell: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "a float cast saturates")]
    {
        cell as i32
    }
}

#[inline]
fn count(cells: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a float cast saturates")]
    {
        cells as u32
    }
}
