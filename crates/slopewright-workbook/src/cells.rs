//! What every sheet has in common: formats, headings, paper.

use rust_decimal::{Decimal, prelude::ToPrimitive as _};
use rust_xlsxwriter::{
    Color, DocProperties, ExcelDateTime, Format, FormatAlign, Workbook, Worksheet, XlsxError,
};
use slopewright::output::{Table, Values};
use slopewright::{Error, Fault, FaultKind, Result};

/// The longest text that a cell takes.
const LONGEST_TEXT: usize = 32_767;

/// The ways in which cells are written.
#[derive(Debug, Clone)]
pub(crate) struct Formats {
    pub(crate) title: Format,
    pub(crate) heading: Format,
    pub(crate) text: Format,
    /// Text on one line, however long.
    pub(crate) line: Format,
    pub(crate) count: Format,
    pub(crate) figure: Format,
    pub(crate) money: Format,
    pub(crate) percent: Format,
    /// A cell that the reader may change.
    pub(crate) input_percent: Format,
    pub(crate) input_count: Format,
    pub(crate) input_price: Format,
    pub(crate) input_mass: Format,
    pub(crate) input_text: Format,
    pub(crate) total_money: Format,
    pub(crate) total_text: Format,
}

/// A pale ground tells what may be changed; the legend of the sheet says so in words too.
const INPUT_GROUND: Color = Color::RGB(0x00FF_F8E1);
const HEADING_GROUND: Color = Color::RGB(0x00E6_ECEF);

impl Formats {
    pub(crate) fn new(money_decimals: u32) -> Self {
        let decimals = usize::try_from(money_decimals).unwrap_or(2);
        let point = if decimals > 0 { format!(".{}", "0".repeat(decimals)) } else { String::new() };
        let money = format!("#,##0{point}");
        let price = format!("#,##0{point}####");
        let top = || Format::new().set_align(FormatAlign::Top);
        let input = || top().set_background_color(INPUT_GROUND);
        Self {
            title: Format::new().set_bold().set_font_size(14),
            heading: Format::new()
                .set_bold()
                .set_text_wrap()
                .set_align(FormatAlign::Top)
                .set_background_color(HEADING_GROUND),
            // Set in from the edge, or it runs into the number of the column before.
            text: top().set_text_wrap().set_align(FormatAlign::Left).set_indent(1),
            line: top(),
            count: top().set_num_format("#,##0"),
            figure: top().set_num_format("#,##0.00"),
            money: top().set_num_format(&money),
            percent: top().set_num_format("0.######%"),
            input_percent: input().set_num_format("0.######%"),
            input_count: input().set_num_format("#,##0"),
            input_price: input().set_num_format(&price),
            // Of a nail, a gram is much.
            input_mass: input().set_num_format("#,##0.00####"),
            input_text: input().set_text_wrap().set_align(FormatAlign::Left).set_indent(1),
            total_money: Format::new().set_bold().set_num_format(&money),
            total_text: Format::new().set_bold(),
        }
    }
}

/// An empty workbook. It carries no time of its making, so that equal input gives equal bytes.
pub(crate) fn new_workbook(title: &str) -> Result<Workbook> {
    let mut book = Workbook::new();
    let made = ExcelDateTime::from_ymd(2000, 1, 1).map_err(failed)?;
    let title: String = printable(title).chars().take(200).collect();
    book.set_properties(&DocProperties::new().set_title(title).set_creation_datetime(&made));
    Ok(book)
}

/// The bytes of a workbook.
pub(crate) fn bytes(mut book: Workbook) -> Result<Vec<u8>> {
    book.save_to_buffer().map_err(failed)
}

/// Nothing is known to fail but a sheet that is too large.
#[expect(clippy::needless_pass_by_value, reason = "it is passed on by map_err")]
pub(crate) fn failed(error: XlsxError) -> Error {
    Fault::new(FaultKind::DocumentNotWritable, format!("cannot be written as a workbook: {error}")).into()
}

/// A text as a cell takes it: without what XML cannot say, and not too long.
pub(crate) fn printable(text: &str) -> String {
    let is_sayable = |letter: &char| matches!(letter, '\t' | '\n') || !letter.is_control();
    text.chars().filter(is_sayable).take(LONGEST_TEXT / 2).collect()
}

pub(crate) fn write_text(
    sheet: &mut Worksheet,
    row: u32,
    column: u16,
    text: &str,
    format: &Format,
) -> Result<()> {
    sheet.write_string_with_format(row, column, printable(text), format).map_err(failed)?;
    Ok(())
}

pub(crate) fn write_number(
    sheet: &mut Worksheet,
    row: u32,
    column: u16,
    number: f64,
    format: &Format,
) -> Result<()> {
    sheet.write_number_with_format(row, column, number, format).map_err(failed)?;
    Ok(())
}

#[expect(clippy::cast_precision_loss, reason = "counts are far below 2^53")]
pub(crate) const fn number(count: u64) -> f64 {
    count as f64
}

pub(crate) fn decimal(value: Decimal) -> f64 {
    value.to_f64().unwrap_or_default()
}

/// Paper, heading row and print titles of a sheet with a table from a row on.
pub(crate) fn lay_out(sheet: &mut Worksheet, heading_row: u32, last_row: u32, columns: u16) -> Result<()> {
    sheet.set_landscape();
    sheet.set_paper_size(9);
    sheet.set_print_fit_to_pages(1, 0);
    sheet.set_margins(0.4, 0.4, 0.5, 0.6, 0.3, 0.3);
    sheet.set_repeat_rows(heading_row, heading_row).map_err(failed)?;
    sheet.set_freeze_panes(heading_row + 1, 0).map_err(failed)?;
    sheet.set_print_area(0, 0, last_row.max(heading_row), columns.saturating_sub(1)).map_err(failed)?;
    sheet.set_footer("&L&A&RPage &P of &N");
    Ok(())
}

fn holds_something(values: &Values) -> bool {
    match values {
        Values::Text(values) => values.iter().any(|text| !text.is_empty()),
        Values::Count(values) => values.iter().any(Option::is_some),
        Values::Figure(values) => values.iter().any(Option::is_some),
        Values::Money(values) => values.iter().any(Option::is_some),
    }
}

/// Writes a table of the library as it is, its heading with the meaning of each column as a note. Columns in which
/// nothing stands are left out, so that the rest can be read when printed.
pub(crate) fn write_table(sheet: &mut Worksheet, table: &Table, formats: &Formats) -> Result<()> {
    let mut columns = 0_u16;
    let mut heights = vec![1.0_f64; table.rows()];
    for column in table.columns.iter().filter(|column| holds_something(&column.values)) {
        let at = columns;
        columns = columns.saturating_add(1);
        write_text(sheet, 0, at, column.name, &formats.heading)?;
        sheet.set_column_width(at, width(column.name, &column.values)).map_err(failed)?;
        for (row, number_of_row) in (1_u32..).zip(0..column.values.len()) {
            match &column.values {
                Values::Text(values) => {
                    let text = values.get(number_of_row).map_or("", String::as_str);
                    if !text.is_empty() {
                        write_text(sheet, row, at, text, &formats.text)?;
                        if let Some(height) = heights.get_mut(number_of_row) {
                            *height = height.max(lines(text, width(column.name, &column.values)));
                        }
                    }
                }
                Values::Count(values) => {
                    if let Some(Some(count)) = values.get(number_of_row) {
                        write_number(sheet, row, at, number(*count), &formats.count)?;
                    }
                }
                Values::Figure(values) => {
                    if let Some(Some(figure)) = values.get(number_of_row) {
                        write_number(sheet, row, at, *figure, &formats.figure)?;
                    }
                }
                Values::Money(values) => {
                    if let Some(Some(amount)) = values.get(number_of_row) {
                        write_number(sheet, row, at, decimal(*amount), &formats.money)?;
                    }
                }
            }
        }
    }
    for (row, height) in (1_u32..).zip(heights) {
        set_lines(sheet, row, height)?;
    }
    lay_out(sheet, 0, u32::try_from(table.rows()).unwrap_or(u32::MAX), columns)
}

/// How many lines a text takes in a column so wide.
pub(crate) fn lines(text: &str, width: f64) -> f64 {
    let of = |line: &str| {
        (f64::from(u32::try_from(line.chars().count()).unwrap_or(u32::MAX)) * 1.1 / width).ceil()
    };
    text.lines().map(|line| of(line).max(1.0)).sum::<f64>().max(1.0)
}

/// The height of a row for so many lines: not every spreadsheet finds it by itself.
pub(crate) fn set_lines(sheet: &mut Worksheet, row: u32, lines: f64) -> Result<()> {
    const LINE: f64 = 15.0;
    /// The highest that a row may be.
    const MOST: f64 = 409.0;
    if lines > 1.0 {
        sheet.set_row_height(row, (lines * LINE).min(MOST)).map_err(failed)?;
    }
    Ok(())
}

/// The width of a column, in letters: that of its texts, within reason.
fn width(name: &str, values: &Values) -> f64 {
    let longest = match values {
        Values::Text(texts) => texts.iter().map(|text| text.chars().count()).max().unwrap_or(0),
        _ => 10,
    };
    f64::from(u32::try_from(longest.max(name.len()).clamp(8, 60)).unwrap_or(60)) + 1.0
}
