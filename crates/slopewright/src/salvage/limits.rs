//! What a count, a share and a sureness may be, and the faults that say so.

use crate::error::{Fault, FaultKind, Result};
use crate::quantity::limit;

/// The most units that one entry may count: far above any site, far below where sums wrap.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the limit is a whole number")]
pub const MOST_UNITS: u64 = limit::units_counted.most as u64;

/// The most rows that a list may have.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the limit is a whole number")]
pub const MOST_ROWS: usize = limit::list_rows.most as usize;

/// Adds a fault if a count is too large.
pub(crate) fn count(count: u64, place: &str, faults: &mut Vec<Fault>) {
    if count > MOST_UNITS {
        faults.push(
            Fault::new(FaultKind::CountTooLarge, "is too large a count")
                .at(place)
                .given(count)
                .allowed(format!("0 to {MOST_UNITS}")),
        );
    }
}

/// Adds a fault if a list is too long.
pub(crate) fn rows(rows: usize, place: &str, faults: &mut Vec<Fault>) {
    if rows > MOST_ROWS {
        faults.push(
            Fault::new(FaultKind::CountTooLarge, "has too many rows")
                .at(place)
                .given(rows)
                .allowed(format!("0 to {MOST_ROWS} rows")),
        );
    }
}

/// Refuses a sureness that is not over 0 and under 1.
pub(crate) fn sureness(sureness: f64) -> Result<()> {
    if sureness > 0.0 && sureness < 1.0 {
        return Ok(());
    }
    Err(Fault::new(FaultKind::SurenessOutOfRange, "is not a sureness")
        .given(sureness)
        .allowed("over 0 and under 1 (0.95 is 95 %)")
        .into())
}
