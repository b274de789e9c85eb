//! Old units that are kept because they are sound: counting them, and sharing them out.

pub mod chance;
mod limits;
mod lot;
mod working;

pub use limits::{MOST_ROWS, MOST_UNITS};
pub use lot::Inspection;
pub use working::Working;
