//! The workbook of a survey: its tables, with notes and with lists to choose from.

use rust_xlsxwriter::{DataValidation, Formula, Note, Workbook, Worksheet};
use slopewright::catalogue::Catalogue;
use slopewright::survey::tables::{Cell, Field, Holds, SurveyTable, tables_of, template};
use slopewright::{Result, SurveyDocument};

use crate::cells::{
    Formats, bytes, failed, lay_out, lines, new_workbook, set_lines, write_number, write_text,
};

/// The rows of a table that have lists to choose from: a template has room for as many things.
const ROOM: u32 = 500;

/// The sheet with the keys of the catalogue, which the lists draw on.
const KEYS: &str = "Formats";

/// An empty workbook to fill in: every table of a survey, a note on each heading, and lists to choose from.
///
/// # Errors
/// If it cannot be written; nothing is known to cause that.
pub fn survey_template() -> Result<Vec<u8>> {
    write("Survey", &template())
}

/// The workbook of a survey.
///
/// # Errors
/// If the survey holds what tables cannot say.
pub fn survey_workbook(survey: &SurveyDocument) -> Result<Vec<u8>> {
    let name = survey.name.given().map_or("Survey", String::as_str);
    write(name, &tables_of(survey)?)
}

fn write(title: &str, tables: &[SurveyTable]) -> Result<Vec<u8>> {
    let mut book = new_workbook(title)?;
    let formats = Formats::new(2);
    let coverings = Catalogue::standard().coverings().iter().map(|of| of.key.as_str()).collect::<Vec<_>>();
    let last_key = u32::try_from(coverings.len()).unwrap_or(0) + 1;
    for table in tables {
        let sheet = book.add_worksheet();
        sheet.set_name(table.name).map_err(failed)?;
        if table.name == "Roof" {
            roof(sheet, table, &formats, last_key)
        } else {
            things(sheet, table, &formats, last_key)
        }?;
    }
    keys(&mut book, &coverings, &formats)?;
    bytes(book)
}

/// The keys of the coverings.
fn keys(book: &mut Workbook, coverings: &[&str], formats: &Formats) -> Result<()> {
    let sheet = book.add_worksheet();
    sheet.set_name(KEYS).map_err(failed)?;
    sheet.set_column_width(0, 40).map_err(failed)?;
    write_text(sheet, 0, 0, "coverings that are known here", &formats.heading)?;
    for (row, key) in (1_u32..).zip(coverings) {
        write_text(sheet, row, 0, key, &formats.text)?;
    }
    Ok(())
}

/// The list that a field is chosen from, if there is one. Another entry is let through where the list is not all.
fn choice(field: &Field, last_key: u32) -> Result<Option<DataValidation>> {
    let with = |validation: DataValidation| {
        let hint: String = field.meaning.chars().take(240).collect();
        let title: String = field.name.chars().take(30).collect();
        validation
            .set_input_title(title)
            .and_then(|validation| validation.set_input_message(hint))
            .map_err(failed)
    };
    let validation = if field.name.ends_with("covering.format") || field.name == "format" {
        let list = Formula::new(format!("={KEYS}!$A$2:$A${last_key}"));
        // A catalogue of one's own has other keys.
        DataValidation::new().allow_list_formula(list).show_error_message(false)
    } else if field.holds == Holds::Truth {
        DataValidation::new().allow_list_strings(&["yes", "no"]).map_err(failed)?
    } else if !field.choices.is_empty() {
        DataValidation::new().allow_list_strings(field.choices).map_err(failed)?
    } else {
        return Ok(None);
    };
    with(validation).map(Some)
}

/// A cell of a survey, as text wherever it is text.
fn cell(sheet: &mut Worksheet, row: u32, column: u16, cell: &Cell, formats: &Formats) -> Result<()> {
    match cell {
        Cell::Empty => {
            sheet.write_blank(row, column, &formats.input_text).map_err(failed)?;
            Ok(())
        }
        Cell::Number(number) => write_number(sheet, row, column, *number, &formats.input_count),
        other => write_text(sheet, row, column, &whole_text(other), &formats.input_text),
    }
}

/// The text of a cell with the blanks at its ends.
fn whole_text(cell: &Cell) -> String {
    match cell {
        Cell::Text(text) => text.clone(),
        other => other.text(),
    }
}

/// What holds for the whole roof: a field in each row.
fn roof(sheet: &mut Worksheet, table: &SurveyTable, formats: &Formats, last_key: u32) -> Result<()> {
    for (column, field) in (0_u16..).zip(&table.columns) {
        write_text(sheet, 0, column, &field.name, &formats.heading)?;
    }
    for (column, width) in (0_u16..).zip([34, 28, 90]) {
        sheet.set_column_width(column, width).map_err(failed)?;
    }
    let fields = slopewright::survey::tables::roof_fields();
    for (row, cells) in (1_u32..).zip(&table.rows) {
        for (column, of) in (0_u16..).zip(cells) {
            match column {
                1 => cell(sheet, row, column, of, formats)?,
                _ => write_text(sheet, row, column, &of.text(), &formats.text)?,
            }
        }
        set_lines(sheet, row, cells.last().map_or(1.0, |meaning| lines(&meaning.text(), 90.0)))?;
        let name = cells.first().map(Cell::text).unwrap_or_default();
        if let Some(field) = fields.iter().find(|field| field.name == name)
            && let Some(validation) = choice(field, last_key)?
        {
            sheet.add_data_validation(row, 1, row, 1, &validation).map_err(failed)?;
        }
    }
    lay_out(sheet, 0, u32::try_from(table.rows.len()).unwrap_or(0), 3)
}

/// A table with a thing in each row.
fn things(sheet: &mut Worksheet, table: &SurveyTable, formats: &Formats, last_key: u32) -> Result<()> {
    let mut columns = 0_u16;
    for (column, field) in (0_u16..).zip(&table.columns) {
        columns = column + 1;
        write_text(sheet, 0, column, &field.name, &formats.heading)?;
        let note = Note::new(&field.meaning).add_author_prefix(false);
        sheet.insert_note(0, column, &note).map_err(failed)?;
        let width = f64::from(u32::try_from(field.name.len()).unwrap_or(20).clamp(10, 24)) + 2.0;
        sheet.set_column_width(column, width).map_err(failed)?;
        if let Some(validation) = choice(field, last_key)? {
            sheet.add_data_validation(1, column, ROOM, column, &validation).map_err(failed)?;
        }
    }
    for (row, cells) in (1_u32..).zip(&table.rows) {
        for (column, of) in (0_u16..).zip(cells).filter(|(_, of)| !of.is_empty()) {
            cell(sheet, row, column, of, formats)?;
        }
    }
    lay_out(sheet, 0, u32::try_from(table.rows.len()).unwrap_or(0), columns)
}
