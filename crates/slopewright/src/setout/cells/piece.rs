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
        if self.first == self.last {
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
pub(super) fn gather(pieces: &[Piece], height: f64, runs: &mut Vec<Run>) {
    let per_height = 1.0 / height;
    // A share of a boundary under this is a rounding error, not a joint.
    let open = |share: f64| share > 1e-9;
    let mut carried = 0.0;
    let Some(mut cell) = pieces.first().map(Piece::first) else { return };
    // The pieces that the cell at hand may lie in, those further right, and the last cell of the former.
    let (mut near, mut beyond): (&[Piece], &[Piece]) = (&[], pieces);
    let mut last = f64::NEG_INFINITY;
    loop {
        let reached = beyond.iter().take_while(|piece| piece.first <= cell).count();
        if reached > 0 {
            last = beyond.iter().take(reached).fold(last, |last, piece| last.max(piece.last));
            let known = pieces.len() - beyond.len() - near.len();
            beyond = beyond.get(reached..).unwrap_or_default();
            near = pieces.get(known..pieces.len() - beyond.len()).unwrap_or_default();
        }
        let carried_share = carried * per_height;
        let mut area = carried;
        let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
        for piece in near.iter().filter(|piece| piece.last >= cell) {
            let share = piece.in_cell(cell);
            area += share.area;
            carried += share.height;
            from = if share.from < from { share.from } else { from };
            to = if share.to > to { share.to } else { to };
        }
        let share = area * per_height;
        if open(share) {
            let (joins_left, joins_right) = (open(carried_share), open(carried * per_height));
            let left = if joins_left { 0.0 } else { from - cell };
            let right = if joins_right { 1.0 } else { to - cell };
            let first = number(cell);
            runs.push(Run { first, cells: 1, share, width: right - left, joins_left, joins_right });
        }
        cell += 1.0;
        if last >= cell {
            continue;
        }
        // Up to the next piece nothing changes.
        near = &[];
        let Some(next) = beyond.first().map(Piece::first) else { return };
        let share = carried * per_height;
        if next > cell && open(share) {
            let (first, cells) = (number(cell), count(next - cell));
            runs.push(Run { first, cells, share, width: 1.0, joins_left: true, joins_right: true });
        }
        cell = next;
    }
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
