//! From the bytes of a workbook to its sheets.

use std::io::{Cursor, Read as _};
use std::panic::{AssertUnwindSafe, catch_unwind};

use calamine::{DataRef, Reader as _, Xlsx};
use slopewright::quantity::limit;
use slopewright::survey::tables::{Cell, Sheet, read_tables};
use slopewright::{Fault, FaultKind, Result, SurveyDocument};

/// Reads a survey from a workbook and checks it. Sheets that are none of the survey's tables are left alone.
///
/// # Errors
/// If the bytes are no workbook, or too many; and with every fault of the survey, each with its sheet and cell.
pub fn read_survey(bytes: &[u8]) -> Result<SurveyDocument> {
    // The reader of workbooks panics on some cell references that no spreadsheet writes.
    let read = catch_unwind(AssertUnwindSafe(|| sheets(bytes)));
    let sheets = read.unwrap_or_else(|_| Err(no_workbook("a cell in a place that there is not").into()))?;
    read_tables(&sheets)
}

/// What was given is said in our words: those of the readers of archives are about their insides.
fn no_workbook(given: impl std::fmt::Display) -> Fault {
    Fault::new(FaultKind::WorkbookUnreadable, "is not a workbook that can be read")
        .given(given)
        .allowed("an .xlsx workbook")
}

/// How bytes begin that are no archive, as a workbook is one: enough to tell a text or another format by.
fn no_archive(bytes: &[u8]) -> Fault {
    const SHOWN: usize = 24;
    let start: String = bytes.iter().take(SHOWN).map(|byte| char::from(*byte)).collect();
    let start: String =
        start.chars().map(|sign| if sign.is_ascii_graphic() || sign == ' ' { sign } else { '.' }).collect();
    match bytes {
        [] => no_workbook("nothing: 0 bytes"),
        [b'P', b'K', ..] => {
            no_workbook(format!("an archive that is cut off or damaged, of {} bytes", bytes.len()))
        }
        _ => no_workbook(format!("{} bytes that begin with \"{start}\"", bytes.len())),
    }
}

/// An archive of which a part is damaged.
const DAMAGED: &str = "an archive with a damaged part";

/// Refuses what unpacks to more than any survey needs. The parts are unpacked to be counted, since what an archive says
/// of their size need not be true; no more is unpacked than is allowed.
fn check_size(bytes: &[u8]) -> Result<()> {
    let kind = FaultKind::DocumentTooLarge;
    limit::document_size.check_size(bytes.len(), kind, "a workbook")?;
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|_| no_archive(bytes))?;
    let mut unpacked = 0;
    for at in 0..archive.len() {
        let part = archive.by_index(at).map_err(|_| no_workbook(DAMAGED))?;
        let mut allowed = part.take(MOST_UNPACKED + 1);
        unpacked += std::io::copy(&mut allowed, &mut std::io::sink()).map_err(|_| no_workbook(DAMAGED))?;
        check_unpacked(unpacked)?;
    }
    Ok(())
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the limit is a whole number")]
const MOST_UNPACKED: u64 = limit::workbook_unpacked.most as u64;

fn check_unpacked(bytes: u64) -> Result<()> {
    let bytes = usize::try_from(bytes).unwrap_or(usize::MAX);
    limit::workbook_unpacked.check_size(bytes, FaultKind::DocumentTooLarge, "a workbook once unpacked")
}

/// The sheets of a workbook.
fn sheets(bytes: &[u8]) -> Result<Vec<Sheet>> {
    check_size(bytes)?;
    let mut book = Xlsx::new(Cursor::new(bytes))
        .map_err(|_| no_workbook("an archive without the parts of an .xlsx workbook"))?;
    let mut held = 0;
    book.sheet_names().into_iter().map(|name| sheet(&mut book, name, &mut held)).collect()
}

/// One sheet, read cell by cell: a lone cell far out costs no more than its row. `held` is what the cells take in memory:
/// a text that stands once in the file may be in very many cells.
fn sheet(book: &mut Xlsx<Cursor<&[u8]>>, name: String, held: &mut u64) -> Result<Sheet> {
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let known = slopewright::survey::tables::template().iter().any(|table| table.name == name);
    if !known {
        return Ok(Sheet { name, rows });
    }
    let damaged = || no_workbook(format!("a damaged sheet '{name}'"));
    let mut cells = book.worksheet_cells_reader(&name).map_err(|_| damaged())?;
    while let Some(cell) = cells.next_cell().map_err(|_| damaged())? {
        let (row, column) = cell.get_position();
        let value = cell.get_value();
        // Before the text is looked at: a blank one of a megabyte in a million cells takes its time too.
        *held += text_size(value) as u64;
        check_unpacked(*held)?;
        if is_blank(value) {
            continue;
        }
        // What is a little too long is told as the table's own fault.
        if f64::from(row) > 2.0 * limit::table_rows.most || f64::from(column) >= limit::sheet_columns.most {
            let place =
                format!("sheet '{name}', row {}, column {}", u64::from(row) + 1, u64::from(column) + 1);
            return Err(Fault::new(FaultKind::TableTooLong, "has a cell far outside its table")
                .at(place)
                .allowed(format!("{} rows, {} columns", limit::table_rows.most, limit::sheet_columns.most))
                .into());
        }
        let (Ok(row), Ok(column)) = (usize::try_from(row), usize::try_from(column)) else { continue };
        if rows.len() <= row {
            rows.resize_with(row + 1, Vec::new);
        }
        let Some(cells) = rows.get_mut(row) else { continue };
        let added = (column + 1).saturating_sub(cells.len());
        *held += (added * size_of::<Cell>()) as u64;
        check_unpacked(*held)?;
        cells.resize(cells.len() + added, Cell::Empty);
        if let Some(place) = cells.get_mut(column) {
            *place = read(value);
        }
    }
    Ok(Sheet { name, rows })
}

/// The length of the text that a cell refers to.
fn text_size(value: &DataRef<'_>) -> usize {
    match value {
        DataRef::String(text) => text.len(),
        DataRef::SharedString(text) => text.len(),
        _ => 0,
    }
}

fn is_blank(value: &DataRef<'_>) -> bool {
    match value {
        DataRef::Empty => true,
        DataRef::String(text) => text.trim().is_empty(),
        DataRef::SharedString(text) => text.trim().is_empty(),
        _ => false,
    }
}

/// What a cell holds; of a formula, its result as last reckoned.
fn read(value: &DataRef<'_>) -> Cell {
    match value {
        DataRef::Empty => Cell::Empty,
        DataRef::String(text) => Cell::Text(text.clone()),
        DataRef::SharedString(text) => Cell::Text((*text).to_owned()),
        DataRef::Float(number) => Cell::Number(*number),
        #[expect(clippy::cast_precision_loss, reason = "beyond 2^53 no cell keeps a whole number either")]
        DataRef::Int(number) => Cell::Number(*number as f64),
        DataRef::Bool(truth) => Cell::Truth(*truth),
        DataRef::Error(error) => Cell::Other(error.to_string()),
        _ => Cell::Other("a date or a time".to_owned()),
    }
}
