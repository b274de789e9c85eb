//! The survey as tables: what stands in a workbook or in one comma-separated file a table, and how it is read back.
//!
//! A table has a heading and rows of cells. One row is one thing: a form, a slope, an opening, an edge. Rows that belong
//! to another row name it: an opening says which slope it is in. The columns are those of the survey document, so that a
//! field that is added there has its column here.
//!
//! ```
//! use slopewright::survey::SurveyDocument;
//! use slopewright::survey::tables::{Cell, read_tables, tables_of};
//! let survey = SurveyDocument::from_toml(r#"
//!     slopewright = 1
//!     covering.format = "plain-tile-265x165"
//!     [[slope]]
//!     name = "north"
//!     shape = "rectangle"
//!     pitch = "45 deg"
//!     eaves = "8 m"
//!     rafter = "5 m"
//! "#)?;
//! let tables = tables_of(&survey)?;
//! let sheets: Vec<_> = tables.iter().map(|table| table.sheet()).collect();
//! assert_eq!(read_tables(&sheets)?, survey);
//! # Ok::<(), slopewright::Error>(())
//! ```

mod fields;
mod places;
mod read;
mod write;

pub use fields::{Field, Holds, roof_fields};
pub use read::read_tables;
pub use write::{tables_of, template};

/// What a cell holds.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Cell {
    /// Nothing.
    #[default]
    Empty,
    /// Text.
    Text(String),
    /// A number.
    Number(f64),
    /// Yes or no.
    Truth(bool),
    /// Something that is none of these, as it is shown: an error, a date.
    Other(String),
}

impl Cell {
    /// The text of a cell, without the blanks at its ends; of a number the shortest that reads back as the same.
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Text(text) | Self::Other(text) => text.trim().to_owned(),
            Self::Number(number) => number.to_string(),
            Self::Truth(truth) => if *truth { "yes" } else { "no" }.to_owned(),
        }
    }

    /// Whether nothing is in it, or only blanks.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        match self {
            Self::Empty => true,
            Self::Text(text) => text.trim().is_empty(),
            Self::Number(_) | Self::Truth(_) | Self::Other(_) => false,
        }
    }
}

/// One table of a survey.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyTable {
    /// Its name: `Roof`, `Slopes`.
    pub name: &'static str,
    /// What its rows are.
    pub meaning: &'static str,
    /// Its columns.
    pub columns: Vec<Field>,
    /// Its rows, each as long as there are columns.
    pub rows: Vec<Vec<Cell>>,
}

impl SurveyTable {
    /// The table as it stands on a sheet: its heading, then its rows.
    #[must_use]
    pub fn sheet(&self) -> Sheet {
        let heading = self.columns.iter().map(|column| Cell::Text(column.name.clone())).collect();
        let rows = std::iter::once(heading).chain(self.rows.iter().cloned()).collect();
        Sheet { name: self.name.to_owned(), rows }
    }
}

/// A sheet as it is read: a name and rows of cells, the first of them the heading. Rows are numbered from 1, as a
/// spreadsheet shows them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sheet {
    /// Its name.
    pub name: String,
    /// Its rows.
    pub rows: Vec<Vec<Cell>>,
}

/// The tables by name.
pub(super) mod name {
    pub(in crate::survey) const ROOF: &str = "Roof";
    pub(in crate::survey) const FORMS: &str = "Forms";
    pub(in crate::survey) const SLOPES: &str = "Slopes";
    pub(in crate::survey) const PARTS: &str = "Parts of forms";
    pub(in crate::survey) const EDGES: &str = "Edges";
    pub(in crate::survey) const OPENINGS: &str = "Openings";
    pub(in crate::survey) const CORNERS: &str = "Corners";
    pub(in crate::survey) const JOINTS: &str = "Joints";
    pub(in crate::survey) const CATALOGUE: &str = "Catalogue";
    /// Every table, in the order of the sheets.
    pub(in crate::survey) const ALL: [&str; 9] =
        [ROOF, FORMS, SLOPES, PARTS, EDGES, OPENINGS, CORNERS, JOINTS, CATALOGUE];
}

/// The field of the table `Roof` that says what numbers without a unit are.
pub(super) const PLAIN_NUMBERS: &str = "plain_numbers";

#[cfg(test)]
mod tests;
