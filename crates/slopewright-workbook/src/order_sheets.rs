//! The workbook of an order: the answer, the order that reckons, the take-off, who gets what, findings and working.

use slopewright::Result;
use slopewright::order::OrderDocument;
use slopewright::output::{JobDocument, Table};
use slopewright::quantity::Currency;
use slopewright::reason::Working;
use slopewright::salvage::Salvaged;
use slopewright::takeoff::{Line, TakeOff};

use crate::cells::{
    Formats, bytes, failed, lay_out, lines, new_workbook, set_lines, write_table, write_text,
};
use crate::order_lines::write_order;

/// The workbook of an order for what is short after salvage, and of the other materials for whatever has a price.
///
/// # Errors
/// As [`OrderDocument::order_for`].
pub fn order_workbook(
    document: &OrderDocument,
    salvaged: &Salvaged,
    take_offs: &[&TakeOff],
) -> Result<Vec<u8>> {
    let order = document.order_for(salvaged, take_offs)?;
    let job = JobDocument::of(take_offs, salvaged, Some(&order));
    let decimals = Currency::from_code(&document.currency).map_or(2, Currency::decimals);
    let formats = Formats::new(decimals);
    let mut book = new_workbook(&job.roofs.join(", "))?;

    let sheet = book.add_worksheet();
    sheet.set_name("Answer").map_err(failed)?;
    sheet.set_column_width(0, 110).map_err(failed)?;
    write_text(sheet, 0, 0, &job.roofs.join(", "), &formats.title)?;
    let mut row = 2;
    for line in &job.answer {
        write_text(sheet, row, 0, line, &formats.text)?;
        set_lines(sheet, row, lines(line, 110.0))?;
        row += 1;
    }
    for item in &order.unpriced {
        write_text(sheet, row, 0, &format!("not ordered, for want of a price: {item}"), &formats.text)?;
        row += 1;
    }
    lay_out(sheet, 0, row, 1)?;

    let sheet = book.add_worksheet();
    sheet.set_name("Order").map_err(failed)?;
    write_order(sheet, document, salvaged, &order, &formats)?;

    let taken: Vec<Line> = take_offs.iter().flat_map(|take_off| take_off.lines()).collect();
    let mut tables = vec![("Take-off", Table::lines(&taken))];
    tables.extend(Table::salvage(salvaged).into_iter().map(|table| (sheet_name(table.name), table)));
    tables.push(("Load", Table::load(&job.load)));
    tables.push(("Findings", Table::findings(&job.findings)));
    for (name, table) in tables.iter().filter(|(_, table)| table.rows() > 0) {
        let sheet = book.add_worksheet();
        sheet.set_name(*name).map_err(failed)?;
        write_table(sheet, table, &formats)?;
    }

    let sheet = book.add_worksheet();
    sheet.set_name("Working").map_err(failed)?;
    for (column, (heading, width)) in (0_u16..).zip([("item", 40), ("working", 120)]) {
        write_text(sheet, 0, column, heading, &formats.heading)?;
        sheet.set_column_width(column, width).map_err(failed)?;
    }
    let mut row = 1;
    for line in &order.lines {
        let working: Vec<String> = line.working.iter().map(Working::sum).collect();
        write_text(sheet, row, 0, &line.item, &formats.text)?;
        let working = working.join("\n");
        write_text(sheet, row, 1, &working, &formats.text)?;
        set_lines(sheet, row, lines(&working, 120.0))?;
        row += 1;
    }
    lay_out(sheet, 0, row, 2)?;
    bytes(book)
}

/// A table's name as a sheet has it.
fn sheet_name(table: &'static str) -> &'static str {
    match table {
        "shortages" => "Short",
        "supplies" => "Old units",
        "needs" => "Who gets what",
        "reserves" => "Held back",
        "checks" => "Checks of counts",
        "fits" => "Sizes",
        "alternatives" => "Ways out",
        other => other,
    }
}
