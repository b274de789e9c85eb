//! From the bytes of a workbook to its sheets.

use std::io::Cursor;

use calamine::{DataRef, Reader as _, Xlsx};
use slopewright::quantity::limit;
use slopewright::survey::tables::{Cell, Sheet, read_tables};
use slopewright::{Fault, FaultKind, Result, SurveyDocument};

/// The most that the parts of a workbook may be once unpacked: a packed file may be a thousandth of that.
const MOST_UNPACKED: u64 = 64_000_000;

/// The widest sheet that is read: a survey's widest table has not half as many columns.
const MOST_COLUMNS: u32 = 256;

/// Reads a survey from a workbook and checks it. Sheets that are none of the survey's tables are left alone.
///
/// # Errors
/// If the bytes are no workbook, or too many; and with every fault of the survey, each with its sheet and cell.
pub fn read_survey(bytes: &[u8]) -> Result<SurveyDocument> {
    read_tables(&sheets(bytes)?)
}

fn no_workbook(why: impl std::fmt::Display) -> Fault {
    Fault::new(FaultKind::WorkbookUnreadable, "is not a workbook that can be read").given(why)
}

/// Refuses what would unpack to more than any survey needs, before it is unpacked.
fn check_size(bytes: &[u8]) -> Result<()> {
    let size = u32::try_from(bytes.len()).map_or(f64::INFINITY, f64::from);
    let too_large = |given: String, allowed: String| {
        Fault::new(FaultKind::DocumentTooLarge, "is too large a workbook").given(given).allowed(allowed)
    };
    if !limit::document_size.holds(size) {
        return Err(too_large(format!("{} bytes", bytes.len()), limit::document_size.range()).into());
    }
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(no_workbook)?;
    let mut unpacked = 0_u64;
    for at in 0..archive.len() {
        unpacked = unpacked.saturating_add(archive.by_index_raw(at).map_err(no_workbook)?.size());
    }
    if unpacked > MOST_UNPACKED {
        let given = format!("{unpacked} bytes unpacked");
        return Err(too_large(given, format!("up to {MOST_UNPACKED}")).into());
    }
    Ok(())
}

/// The sheets of a workbook.
fn sheets(bytes: &[u8]) -> Result<Vec<Sheet>> {
    check_size(bytes)?;
    let mut book = Xlsx::new(Cursor::new(bytes)).map_err(no_workbook)?;
    book.sheet_names().into_iter().map(|name| sheet(&mut book, name)).collect()
}

/// One sheet, read cell by cell: a lone cell far out costs no more than itself.
fn sheet(book: &mut Xlsx<Cursor<&[u8]>>, name: String) -> Result<Sheet> {
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let known = slopewright::survey::tables::template().iter().any(|table| table.name == name);
    if !known {
        return Ok(Sheet { name, rows });
    }
    let mut cells = book.worksheet_cells_reader(&name).map_err(no_workbook)?;
    while let Some(cell) = cells.next_cell().map_err(no_workbook)? {
        let (row, column) = cell.get_position();
        let read = read(cell.get_value());
        if read.is_empty() {
            continue;
        }
        // What is a little too long is told as the table's own fault.
        if f64::from(row) > 2.0 * limit::table_rows.most || column >= MOST_COLUMNS {
            let place =
                format!("sheet '{name}', row {}, column {}", u64::from(row) + 1, u64::from(column) + 1);
            return Err(Fault::new(FaultKind::TableTooLong, "has a cell far outside its table")
                .at(place)
                .allowed(format!("{} rows, {MOST_COLUMNS} columns", limit::table_rows.most))
                .into());
        }
        let (Ok(row), Ok(column)) = (usize::try_from(row), usize::try_from(column)) else { continue };
        if rows.len() <= row {
            rows.resize_with(row + 1, Vec::new);
        }
        let Some(cells) = rows.get_mut(row) else { continue };
        if cells.len() <= column {
            cells.resize(column + 1, Cell::Empty);
        }
        if let Some(place) = cells.get_mut(column) {
            *place = read;
        }
    }
    Ok(Sheet { name, rows })
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
        other => Cell::Other(format!("{other:?}")),
    }
}
