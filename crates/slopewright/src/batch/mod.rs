//! Batches: the same take-off for very many slopes, one row each, in numbers alone.
//!
//! A row is read into [`Measures`], checked, set out and counted into [`Totals`]; a row that cannot be is an error of its
//! own and never stops the others. [`take_off`] does this for any source of rows on all cores, part by part, so that no
//! more than the parts at work are held besides the results. What all rows share are [`Terms`]: a survey without slopes.
//!
//! ```
//! use slopewright::SurveyDocument;
//! use slopewright::batch::{Extent, take_off};
//! use slopewright::survey::{CoveringDocument, Measures};
//! let terms = SurveyDocument::new("estate")
//!     .with_covering(CoveringDocument::new("plain-tile-265x165"))
//!     .check_terms()?;
//! let slope = |pitch_deg| Measures {
//!     shape: "rectangle".to_owned(),
//!     eaves_m: Some(6.0),
//!     rafter_m: Some(4.2),
//!     pitch_deg: Some(pitch_deg),
//!     ..Measures::default()
//! };
//! // A wall is not a slope: the second row is refused, the third is counted all the same.
//! let rows = vec![slope(40.0), slope(90.0), slope(45.0)];
//! let outcomes = take_off(&rows, &terms, Extent::Whole);
//! assert!(outcomes[0].is_ok() && outcomes[1].is_err() && outcomes[2].is_ok());
//! # Ok::<(), slopewright::Error>(())
//! ```

mod columns;
mod parallel;
mod row;
mod study;
mod totals;
mod wkb;

pub use columns::{TOTALS, TotalColumn, Value};
pub use parallel::{PART_ROWS, Rows, in_parts, on_threads, take_off};
pub use row::{Extent, Room, take_off_row};
pub use study::{Study, StudyCase};
pub use totals::Totals;
pub use wkb::read_polygon;

pub use crate::survey::{Measures, Terms};
