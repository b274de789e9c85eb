//! Cutting from stock, checked from outside: published instances, a solver of another kind, and the text of the rules.
#![allow(missing_docs, reason = "a test")]
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::similar_names,
    clippy::cast_precision_loss,
    reason = "a test fails by panicking, and its numbers are small"
)]

mod battens;
mod bought;
mod checker;
mod generated;
mod lists;
mod priced;
mod published;
mod real;
mod slopes;

/// Even numbers in a fixed order (splitmix64), so that a test is the same everywhere.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From `low` to `high`, both included.
    fn range(&mut self, low: u64, high: u64) -> u64 {
        low + self.roll() % (high - low + 1)
    }
}
