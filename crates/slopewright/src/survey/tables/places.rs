//! Where in the tables a thing of the document stands, so that a fault names its sheet, row and cell.

use std::collections::BTreeMap;

use crate::error::{Error, Fault};

/// The columns of one sheet, by field.
pub(super) type Columns = BTreeMap<String, usize>;

/// One thing of the document and its row.
#[derive(Debug, Clone)]
struct Place {
    /// As a fault of the document says it: `slope 'north', opening 2`.
    of_document: String,
    sheet: String,
    row: usize,
}

/// The places of everything in a document.
#[derive(Debug, Clone, Default)]
pub(super) struct Places {
    things: Vec<Place>,
    columns: BTreeMap<String, Columns>,
    /// The rows of the fields that hold for the whole roof, and the sheet and column of their values.
    roof: BTreeMap<String, usize>,
    roof_value: Option<(String, usize)>,
}

impl Places {
    /// Keeps the columns of a sheet.
    pub(super) fn columns(&mut self, sheet: &str, columns: Columns) {
        self.columns.insert(sheet.to_owned(), columns);
    }

    /// Keeps the row of a field of the whole roof.
    pub(super) fn roof(&mut self, sheet: &str, value_column: usize, field: &str, row: usize) {
        self.roof_value = Some((sheet.to_owned(), value_column));
        self.roof.insert(field.to_owned(), row);
    }

    /// Keeps the row of a thing.
    pub(super) fn keep(&mut self, of_document: String, sheet: &str, row: usize) {
        self.things.push(Place { of_document, sheet: sheet.to_owned(), row });
    }

    /// The faults of a document with their places in the tables in front.
    pub(super) fn mapped(&self, error: Error) -> Vec<Fault> {
        error.into_faults().into_iter().map(|fault| self.with_place(fault)).collect()
    }

    fn with_place(&self, fault: Fault) -> Fault {
        let inside = |of: &Place| {
            fault.place.strip_prefix(&of.of_document).filter(|rest| rest.is_empty() || rest.starts_with(", "))
        };
        let nearest = self
            .things
            .iter()
            .filter_map(|of| Some((of, inside(of)?)))
            .max_by_key(|(of, _)| of.of_document.len());
        let place = match nearest {
            Some((of, rest)) => {
                let columns = self.columns.get(&of.sheet);
                let rest = rest.trim_start_matches(", ");
                let column = named(rest, |name| columns?.get(name).copied())
                    .or_else(|| spoken_of(rest, &fault, columns?));
                Some(place(&of.sheet, of.row, column))
            }
            None => self.roof_value.as_ref().and_then(|(sheet, value)| {
                let row = named(&fault.place, |name| self.roof.get(name).copied())
                    .or_else(|| spoken_of(&fault.place, &fault, &self.roof))?;
                Some(place(sheet, row, Some(*value)))
            }),
        };
        match place {
            Some(place) => fault.at(place),
            None => fault,
        }
    }
}

/// What a part of a place is called in the tables, the longest name first: `flashing, width` is `flashing.width`, and
/// `stock 2` is in `stock`.
fn named(rest: &str, found: impl Fn(&str) -> Option<usize>) -> Option<usize> {
    let parts: Vec<&str> = rest.split(", ").collect();
    (1..=parts.len()).rev().find_map(|count| {
        let name = parts.get(..count)?.join(".");
        let without_number = name.trim_end_matches(|letter: char| letter.is_ascii_digit()).trim_end();
        found(&name).or_else(|| found(without_number)).or_else(|| match name.as_str() {
            "to the right" => found("right"),
            "up the slope" | "to the rear" => found("up"),
            _ => None,
        })
    })
}

/// Where a fault speaks of a field that its place does not name: of `'start'` in a covering, or of `covering.format`. Of
/// something inside a table of fields (`covering`), it is at least one of those.
fn spoken_of(rest: &str, fault: &Fault, fields: &BTreeMap<String, usize>) -> Option<usize> {
    let inside = rest.replace(", ", ".");
    let start = if inside.is_empty() { String::new() } else { format!("{inside}.") };
    let of_place = || fields.iter().filter(|(name, _)| name.starts_with(&start));
    let quoted =
        |name: &str| fault.problem.contains(&format!("'{}'", name.strip_prefix(&start).unwrap_or(name)));
    let worded = |name: &str| {
        let word = name.strip_prefix(&start).unwrap_or(name).replace('_', " ");
        fault
            .problem
            .split(|sign: char| sign != ' ' && !sign.is_alphabetic())
            .any(|part| format!(" {part} ").contains(&format!(" {word} ")))
    };
    let advised =
        |name: &str| name.contains('.') && (fault.allowed.contains(name) || fault.advice.contains(name));
    let found = |speaks: &dyn Fn(&str) -> bool| of_place().find(|(name, _)| speaks(name)).map(|(_, at)| *at);
    found(&quoted)
        .or_else(|| if start.is_empty() { None } else { found(&worded) })
        .or_else(|| found(&advised))
        .or_else(|| if start.is_empty() { None } else { of_place().next().map(|(_, at)| *at) })
}

/// `sheet 'Slopes', cell C4`, or the row where no cell is meant.
pub(super) fn place(sheet: &str, row: usize, column: Option<usize>) -> String {
    match column {
        Some(column) => format!("sheet '{sheet}', cell {}{row}", letters(column)),
        None => format!("sheet '{sheet}', row {row}"),
    }
}

/// The letters of a column, counted from 0: A to Z, AA, AB.
fn letters(column: usize) -> String {
    let mut letters = String::new();
    let mut rest = column + 1;
    while rest > 0 {
        let letter = u8::try_from((rest - 1) % 26).map_or('?', |at| char::from(b'A' + at));
        letters.insert(0, letter);
        rest = (rest - 1) / 26;
    }
    letters
}

#[cfg(test)]
mod tests {
    use super::letters;

    #[test]
    fn columns_have_the_letters_of_spreadsheets() {
        // As every spreadsheet counts them: Z is the 26th, AA the 27th, ZZ the 702nd, AAA the 703rd.
        for (column, wanted) in [(0, "A"), (25, "Z"), (26, "AA"), (51, "AZ"), (701, "ZZ"), (702, "AAA")] {
            assert_eq!(letters(column), wanted);
        }
    }
}
