//! What must hold for every roof: properties, checked on random surveys.
//!
//! `PROPTEST_CASES` raises the number of cases of every property. A case that once failed is kept as a test of its
//! own, named after what was wrong.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp,
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    reason = "a check may stop at the first surprise; its numbers are small"
)]

mod counts;
mod documents;
mod once_wrong;
mod quantities;
mod setting_out;
mod sketch;
mod take_off;
mod wild;

use proptest::test_runner::Config;

/// So many cases, unless the environment says otherwise.
fn cases(by_default: u32) -> Config {
    let stated = std::env::var("PROPTEST_CASES").ok().and_then(|text| text.parse().ok());
    let cases = stated.unwrap_or(by_default);
    // A case that a property does not speak of is drawn again, but a property that speaks of few fails.
    Config { cases, max_global_rejects: 12 * cases, failure_persistence: None, ..Config::default() }
}
