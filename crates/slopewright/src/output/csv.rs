//! Tables as CSV.

use super::{Column, Table, Values};
use crate::quantity::figure;

/// Decimals of a figure in CSV: tenths of a millimetre in metres, micrometres in millimetres.
pub const CSV_DECIMALS: usize = 4;

/// A text as a cell of CSV: between quotes where it needs them, and never a formula of a spreadsheet.
#[must_use]
pub fn csv_text(text: &str) -> String {
    quoted(&harmless(text))
}

impl Table {
    /// The table as CSV (RFC 4180, lines ending in CR LF), headed by the columns' names. A text that a spreadsheet
    /// would take for a formula is preceded by an apostrophe.
    #[must_use]
    pub fn to_csv(&self) -> String {
        let mut text = String::new();
        line(&mut text, self.columns.iter().map(|column| column.name.to_owned()));
        for row in 0..self.rows() {
            line(&mut text, self.columns.iter().map(|column| column.cell(row)));
        }
        text
    }
}

impl Column {
    /// One value as CSV has it; empty where it is absent.
    fn cell(&self, row: usize) -> String {
        match &self.values {
            Values::Text(values) => values.get(row).map_or_else(String::new, |value| csv_text(value)),
            Values::Count(values) => {
                values.get(row).copied().flatten().map_or_else(String::new, |value| value.to_string())
            }
            Values::Figure(values) => values
                .get(row)
                .copied()
                .flatten()
                .map_or_else(String::new, |value| figure(value, CSV_DECIMALS).to_string()),
            Values::Money(values) => {
                values.get(row).copied().flatten().map_or_else(String::new, |value| value.to_string())
            }
        }
    }
}

fn line(text: &mut String, cells: impl Iterator<Item = String>) {
    for (at, cell) in cells.enumerate() {
        if at > 0 {
            text.push(',');
        }
        text.push_str(&cell);
    }
    text.push_str("\r\n");
}

/// A text that no spreadsheet takes for a formula.
fn harmless(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{text}") } else { text.to_owned() }
}

fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_and_formulas() {
        let table = Table {
            name: "test",
            columns: vec![
                Column { name: "item", values: Values::Text(vec!["a \"b\", c".into(), "=1+1".into()]) },
                Column { name: "count", values: Values::Count(vec![Some(3), None]) },
                Column { name: "length_m", values: Values::Figure(vec![Some(4.15), None]) },
            ],
        };
        assert_eq!(table.to_csv(), "item,count,length_m\r\n\"a \"\"b\"\", c\",3,4.15\r\n'=1+1,,\r\n");
    }
}
