//! Tables as Markdown.

use super::{Table, Values};
use crate::drawing::clean;
use crate::quantity::figure;

/// Decimals of a figure in Markdown.
const DECIMALS: usize = 3;

impl Table {
    /// The table as Markdown, with bars between the cells and figures to the right. Nothing in a text is taken for
    /// markup: its signs are escaped, and its line breaks become spaces.
    ///
    /// ```
    /// use slopewright::output::{Column, Table, Values};
    /// let table = Table {
    ///     name: "test",
    ///     columns: vec![
    ///         Column { name: "item", values: Values::Text(vec!["a|b <i>".into()]) },
    ///         Column { name: "count", values: Values::Count(vec![Some(3)]) },
    ///     ],
    /// };
    /// assert_eq!(table.to_markdown(), "| item | count |\n| --- | ---: |\n| a\\|b \\<i\\> | 3 |\n");
    /// ```
    #[must_use]
    pub fn to_markdown(&self) -> String {
        let mut text = String::new();
        line(&mut text, self.columns.iter().map(|column| column.name.to_owned()));
        let rule = |values: &Values| if matches!(values, Values::Text(_)) { "---" } else { "---:" };
        line(&mut text, self.columns.iter().map(|column| rule(&column.values).to_owned()));
        for row in 0..self.rows() {
            line(&mut text, self.columns.iter().map(|column| cell(&column.values, row)));
        }
        text
    }
}

fn line(text: &mut String, cells: impl Iterator<Item = String>) {
    for cell in cells {
        text.push_str("| ");
        text.push_str(&cell);
        text.push_str(if cell.is_empty() { "" } else { " " });
    }
    text.push_str("|\n");
}

fn cell(values: &Values, row: usize) -> String {
    match values {
        Values::Text(values) => values.get(row).map_or_else(String::new, |value| plain(value)),
        Values::Count(values) => {
            values.get(row).copied().flatten().map_or_else(String::new, |value| value.to_string())
        }
        Values::Figure(values) => values
            .get(row)
            .copied()
            .flatten()
            .map_or_else(String::new, |value| figure(value, DECIMALS).to_string()),
        Values::Money(values) => {
            values.get(row).copied().flatten().map_or_else(String::new, |value| value.to_string())
        }
    }
}

/// A text in which nothing is markup.
fn plain(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for character in clean(text).chars() {
        if matches!(
            character,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '#' | '~' | '$' | '&' | '!' | '{' | '}'
        ) {
            shown.push('\\');
        }
        shown.push(character);
    }
    shown.trim().to_owned()
}
