//! Rows on all cores, part by part.

use core::ops::Range;

use rayon::prelude::*;

use super::row::{Extent, Room, take_off_row};
use super::totals::Totals;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::limit;
use crate::survey::{Measures, Terms};

/// Rows in a part: enough that handing out parts costs nothing beside the work, few enough that all cores end together.
pub const PART_ROWS: usize = 2048;

/// A source of rows.
pub trait Rows: Sync {
    /// How many rows there are.
    fn count(&self) -> usize;

    /// Reads one row into `measures`, which is empty.
    ///
    /// # Errors
    /// If the row cannot be read as measures.
    fn read(&self, at: usize, measures: &mut Measures) -> Result<()>;
}

impl Rows for Vec<Measures> {
    fn count(&self) -> usize {
        self.len()
    }

    fn read(&self, at: usize, measures: &mut Measures) -> Result<()> {
        if let Some(row) = self.get(at) {
            measures.clone_from(row);
        }
        Ok(())
    }
}

/// Takes off rows on all cores; the outcomes stand in the order of the rows.
pub fn take_off<R: Rows + ?Sized>(rows: &R, terms: &Terms, extent: Extent) -> Vec<Result<Totals>> {
    in_parts(rows, terms, extent, |_, outcomes| outcomes).into_iter().flatten().collect()
}

/// Takes off rows on all cores and hands each part, with the numbers of its rows, to `gather`, on the core that worked on
/// it. What `gather` makes of the parts comes back in their order.
pub fn in_parts<R: Rows + ?Sized, T: Send>(
    rows: &R,
    terms: &Terms,
    extent: Extent,
    gather: impl Fn(Range<usize>, Vec<Result<Totals>>) -> T + Sync,
) -> Vec<T> {
    let count = rows.count();
    (0..count.div_ceil(PART_ROWS))
        .into_par_iter()
        .map_init(
            || (Measures::default(), Room::default()),
            |(measures, room), part| {
                let from = part * PART_ROWS;
                let range = from..count.min(from + PART_ROWS);
                let outcomes = range.clone().map(|at| {
                    measures.clear();
                    rows.read(at, measures)?;
                    take_off_row(measures, terms, extent, room)
                });
                let outcomes = outcomes.collect();
                gather(range, outcomes)
            },
        )
        .collect()
}

/// Does some work on a stated number of threads, or on one for each core.
///
/// # Errors
/// If the machine cannot start so many threads.
pub fn on_threads<T: Send>(threads: Option<usize>, work: impl FnOnce() -> T + Send) -> Result<T> {
    let Some(threads) = threads else { return Ok(work()) };
    let fault = |problem: &str| -> Error {
        Fault::new(FaultKind::CountOutOfRange, problem)
            .given(threads)
            .allowed(format!("{} to {}", limit::threads.least, limit::threads.most))
            .at("threads")
            .into()
    };
    if !limit::threads.holds_count(threads) {
        return Err(fault("is no number of threads"));
    }
    match rayon::ThreadPoolBuilder::new().num_threads(threads).build() {
        Ok(pool) => Ok(pool.install(work)),
        Err(_) => Err(fault("is more threads than the machine can start")),
    }
}
