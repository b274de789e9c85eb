//! The limits of inputs: the page that lists them, and the worst that they allow, taken to the end in bounded memory.
//!
//! Nothing here looks at a clock: an input that is not bounded would not come to its end.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    clippy::format_collect,
    reason = "a check may stop at the first surprise; its numbers are small and its speed is nobody's concern"
)]

mod bombs;
mod page;
mod same;
mod worst;
