//! Checks of the salvage and order rooms from outside them.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    clippy::float_cmp,
    clippy::unreadable_literal,
    reason = "a check may stop at the first surprise, and says what it saw"
)]

mod chances;
mod conservation;
mod counting;
mod documents;
mod faults;
mod joined;
mod money;
mod ordering;
mod risk;
mod sharing;
mod tally;
