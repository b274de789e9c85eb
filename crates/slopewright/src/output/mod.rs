//! Results for others: tables of plain columns, CSV and JSON.
//!
//! Every table is made here once, as columns with a name, a meaning and plain values; CSV, the Python tables and
//! whatever comes later are all fed from it. A column of figures carries its unit at the end of its name.

mod columns;
mod csv;
mod document;
mod job;
mod markdown;
mod meanings;
mod order_tables;
mod salvage_tables;

pub use columns::{Column, Table, Values};
pub(crate) use columns::{count, figure, text};
pub use csv::{CSV_DECIMALS, csv_text};
pub use document::{RESULT_VERSION, TakeOffDocument};
pub use job::{JOB_VERSION, JobDocument, to_json};
pub use meanings::{COLUMNS, meaning_of};
