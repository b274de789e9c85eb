//! What notebooks show of a result: markup in which text of the user's stays text.

use std::fmt::Write as _;

use slopewright::drawing::shortened;
use slopewright::output::{Column, Table, Values};
use slopewright::quantity::figure;

/// A notebook shows no more rows than this.
const MOST_ROWS: usize = 200;
/// No cell shows more characters than this.
const LONGEST: usize = 2_000;
/// A text of more bytes than this is a sentence rather than a name.
const SENTENCE: usize = 60;
/// Decimals of figures as they are shown.
const DECIMALS: usize = 3;

/// A text that may hold the user's words, for markup: cleaned, shortened and escaped.
pub(crate) fn escaped(text: &str) -> String {
    shortened(text, LONGEST)
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// A paragraph of its own direction.
pub(crate) fn paragraph(text: &str) -> String {
    format!("<p dir=\"auto\">{}</p>", escaped(text))
}

/// A paragraph that stands out.
pub(crate) fn heading(text: &str) -> String {
    format!("<p dir=\"auto\"><strong>{}</strong></p>", escaped(text))
}

/// Everything that is wrong, a paragraph for each fault.
pub(crate) fn faults(error: &slopewright::Error) -> String {
    error.faults().map(|fault| paragraph(&fault.to_string())).collect()
}

/// A cell as it is shown, and whether it is text, which stands on the left.
pub(crate) struct Shown {
    text: String,
    is_words: bool,
}

impl Shown {
    pub(crate) fn words(text: &str) -> Self {
        Self { text: text.to_owned(), is_words: true }
    }

    pub(crate) fn amount(value: f64) -> Self {
        Self { text: figure(value, DECIMALS).to_string(), is_words: false }
    }

    pub(crate) fn number(value: &impl ToString) -> Self {
        Self { text: value.to_string(), is_words: false }
    }

    pub(crate) const fn nothing() -> Self {
        Self { text: String::new(), is_words: false }
    }
}

/// A table of so many rows; `cell` is asked for no more of them than are shown.
pub(crate) fn rows_and_columns(heads: &[&str], rows: usize, cell: impl Fn(usize, usize) -> Shown) -> String {
    let mut text = String::from("<table><thead><tr>");
    for head in heads {
        let _ = write!(text, "<th>{}</th>", escaped(head));
    }
    text.push_str("</tr></thead><tbody>");
    for row in 0..rows.min(MOST_ROWS) {
        text.push_str("<tr>");
        for column in 0..heads.len() {
            let shown = cell(row, column);
            let side = match &shown {
                // A sentence in a narrow column would be all height.
                Shown { is_words: true, text } if text.len() > SENTENCE => {
                    " dir=\"auto\" style=\"text-align: start; min-width: 24em\""
                }
                Shown { is_words: true, .. } => " dir=\"auto\" style=\"text-align: start\"",
                Shown { .. } => "",
            };
            let _ = write!(text, "<td{side}>{}</td>", escaped(&shown.text));
        }
        text.push_str("</tr>");
    }
    text.push_str("</tbody></table>");
    if rows > MOST_ROWS {
        let _ = write!(text, "<p>{rows} rows in all</p>");
    }
    text
}

/// A table with all of its columns.
pub(crate) fn whole(table: &Table) -> String {
    show(&table.columns.iter().collect::<Vec<_>>(), table.rows())
}

/// A table with the columns that a reader looks for first; the others are in the table itself.
pub(crate) fn main_columns(table: &Table, names: &[&str]) -> String {
    let found = names.iter().filter_map(|name| table.columns.iter().find(|column| column.name == *name));
    show(&found.collect::<Vec<_>>(), table.rows())
}

fn show(columns: &[&Column], rows: usize) -> String {
    let heads: Vec<&str> = columns.iter().map(|column| column.name).collect();
    rows_and_columns(&heads, rows, |row, at| {
        columns.get(at).map_or_else(Shown::nothing, |column| shown(&column.values, row))
    })
}

fn shown(values: &Values, row: usize) -> Shown {
    fn some<T: Copy>(values: &[Option<T>], row: usize, show: impl Fn(T) -> Shown) -> Shown {
        values.get(row).copied().flatten().map_or_else(Shown::nothing, show)
    }
    match values {
        Values::Text(values) => values.get(row).map_or_else(Shown::nothing, |text| Shown::words(text)),
        Values::Count(values) => some(values, row, |value| Shown::number(&value)),
        Values::Figure(values) => some(values, row, Shown::amount),
        Values::Money(values) => some(values, row, |value| Shown::number(&value)),
    }
}
