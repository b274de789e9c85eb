//! Roofing materials take-off: what a roof needs, course by course, what the old units already cover, what to buy,
//! and why.

pub mod error;
pub mod quantity;
pub mod stock;

pub use error::{Error, Fault, FaultKind, Result};
