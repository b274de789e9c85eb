//! Workbooks: a survey in and an order out, as `.xlsx`.
//!
//! [`survey_template`] is what somebody fills in on a laptop or phone; [`read_survey`] reads it back and reports every
//! fault by sheet and cell; [`survey_workbook`] writes a survey that there is. [`order_workbook`] writes an order whose
//! figures are formulas: change an allowance, a price or a count, and the sheet reckons on as the library would.
//!
//! What a user wrote is always written as text, so that it can never become a formula. Equal input gives equal bytes.
//!
//! ```
//! use slopewright::SurveyDocument;
//! use slopewright_workbook::{read_survey, survey_workbook};
//! let survey = SurveyDocument::from_toml(r#"
//!     slopewright = 1
//!     name = "boat shed"
//!     covering.format = "interlocking-420x330"
//!     [[slope]]
//!     name = "front"
//!     shape = "rectangle"
//!     eaves = "9 m"
//!     rafter = "3.3 m"
//!     pitch = "35 deg"
//! "#)?;
//! let bytes = survey_workbook(&survey)?;
//! assert_eq!(read_survey(&bytes)?, survey);
//! # Ok::<(), slopewright::Error>(())
//! ```

mod cells;
mod order_lines;
mod order_sheets;
mod read;
mod rounding;
mod survey_sheets;

pub use order_sheets::order_workbook;
pub use read::read_survey;
pub use survey_sheets::{survey_template, survey_workbook};
