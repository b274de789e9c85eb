//! The reading room and a slope of every kind, to tables and back; and the cells that people get wrong.

use super::{Cell, Sheet, read_tables, tables_of, template};
use crate::error::FaultKind;
use crate::survey::SurveyDocument;

const ROOM: &str = include_str!("../../../../../docs/examples/reading-room.toml");

fn sheets(text: &str) -> Vec<Sheet> {
    let survey = SurveyDocument::from_toml(text).unwrap();
    tables_of(&survey).unwrap().iter().map(super::SurveyTable::sheet).collect()
}

fn sheet<'a>(sheets: &'a mut [Sheet], name: &str) -> &'a mut Sheet {
    sheets.iter_mut().find(|sheet| sheet.name == name).unwrap()
}

/// Puts a cell under a heading.
fn put(sheet: &mut Sheet, row: usize, column: &str, cell: Cell) {
    let at = sheet.rows[0].iter().position(|cell| cell.text() == column).unwrap();
    while sheet.rows.len() <= row {
        let width = sheet.rows[0].len();
        sheet.rows.push(vec![Cell::Empty; width]);
    }
    sheet.rows[row][at] = cell;
}

fn text(text: &str) -> Cell {
    Cell::Text(text.to_owned())
}

#[test]
fn a_survey_comes_back_as_it_was() {
    let survey = SurveyDocument::from_toml(ROOM).unwrap();
    assert_eq!(read_tables(&sheets(ROOM)).unwrap(), survey);
}

#[test]
fn what_lies_deeper_comes_back_too() {
    let text = r#"
        slopewright = 1
        covering.format = "plain-tile-265x165"
        battens.stock = ["4.8 m", "5.4 m"]
        underlay.supported = true
        underlay.format = "membrane-1x50"
        edgework.hip.make = "mitred"
        [[form]]
        form = "winged"
        length = "12 m"
        span = "7 m"
        pitch = "45 deg"
        wing_span = "5 m"
        wing_length = "3 m"
        wing_from_left = "3 m"
        slopes."wing left".covering = { format = "plain-tile-265x165", headlap = "70 mm" }
        front.edges.left.overhang = "40 mm"
        [[slope]]
        name = "north"
        shape = "outline"
        pitch = "9 in 12"
        points = [["0 m", "0 m"], ["8 m", "0 m"], ["8 m", "5 m"], ["0 m", "5 m"]]
        edges.1.role = "eaves"
        [[slope.opening]]
        points = [["2 m", "2 m"], ["3 m", "2 m"], ["2.5 m", "3 m"]]
        kind = "hatch"
        existing = true
        [[slope]]
        name = "north annex"
        shape = "rectangle"
        pitch = "40 deg"
        eaves = "13 ft 7 1/2 in"
        rafter = "3 m"
    "#;
    let survey = SurveyDocument::from_toml(text).unwrap();
    survey.check().unwrap();
    assert_eq!(read_tables(&sheets(text)).unwrap(), survey);
}

#[test]
fn plain_numbers_have_the_unit_that_the_roof_says() {
    let mut tables: Vec<Sheet> = template().iter().map(super::SurveyTable::sheet).collect();
    let field = |sheets: &mut Vec<Sheet>, name: &str, value: Cell| {
        let roof = sheet(sheets, "Roof");
        let row = roof.rows.iter().position(|row| row[0].text() == name).unwrap();
        roof.rows[row][1] = value;
    };
    field(&mut tables, "covering.format", text("plain-tile-265x165"));
    let slopes = sheet(&mut tables, "Slopes");
    for (column, cell) in [
        ("shape", text("rectangle")),
        ("pitch", text("45 deg")),
        ("eaves", Cell::Number(8000.0)),
        ("rafter", Cell::Number(4525.5)),
    ] {
        put(slopes, 2, column, cell);
    }
    // Without the unit both cells are faults, at their places: row 3 of the sheet.
    let error = read_tables(&tables).unwrap_err();
    let places: Vec<_> = error.faults().map(|fault| (fault.kind, fault.place.clone())).collect();
    assert_eq!(places.len(), 2, "{error}");
    assert!(places.iter().all(|(kind, _)| *kind == FaultKind::UnitMissing));
    assert!(places[0].1.starts_with("sheet 'Slopes', cell D3, "), "{}", places[0].1);
    field(&mut tables, "plain_numbers", text("mm"));
    let survey = read_tables(&tables).unwrap();
    assert!(survey.to_toml().unwrap().contains("rafter = \"4525.5 mm\""));
}

#[test]
fn every_fault_has_its_cell() {
    let mut tables = sheets(ROOM);
    put(sheet(&mut tables, "Openings"), 2, "width", text("78 smoots"));
    put(sheet(&mut tables, "Openings"), 3, "flashing.width", text("wide"));
    put(sheet(&mut tables, "Openings"), 4, "slope", text("front"));
    put(sheet(&mut tables, "Openings"), 4, "form", text("annex"));
    put(sheet(&mut tables, "Edges"), 1, "form", text("#1"));
    put(sheet(&mut tables, "Edges"), 1, "slope", text("front"));
    put(sheet(&mut tables, "Edges"), 1, "edge", text("left"));
    put(sheet(&mut tables, "Edges"), 1, "overhang", text("much"));
    let error = read_tables(&tables).unwrap_err();
    let places: Vec<_> = error.faults().map(|fault| fault.place.clone()).collect();
    // What belongs nowhere comes first: the rest is checked once everything has its place.
    assert_eq!(places, ["sheet 'Openings', row 5"]);
    sheet(&mut tables, "Openings").rows.truncate(4);
    let error = read_tables(&tables).unwrap_err();
    let mut places: Vec<_> = error.faults().map(|fault| fault.place.clone()).collect();
    places.sort_unstable();
    assert_eq!(places.len(), 3, "{error}");
    assert!(
        places[0].starts_with("sheet 'Edges', cell E2, form 'main roof', front, edge 'left'"),
        "{places:?}"
    );
    assert!(places[1].starts_with("sheet 'Openings', cell F3, "), "{places:?}");
    assert!(places[1].contains("opening 'east window', width"), "{places:?}");
    assert!(places[2].starts_with("sheet 'Openings', cell "), "{places:?}");
    assert!(places[2].contains("opening 'chimney', flashing"), "{places:?}");
}

#[test]
fn a_survey_with_a_field_that_is_not_known_is_not_written() {
    let survey = SurveyDocument::from_toml("slopewright = 1\nnothing_known = 3\n").unwrap();
    assert_eq!(tables_of(&survey).unwrap_err().kind(), FaultKind::DocumentNotWritable);
}

#[test]
fn the_template_has_every_field_of_the_document() {
    let tables = template();
    let columns: usize = tables.iter().map(|table| table.columns.len() + table.rows.len()).sum();
    // By hand, from the structures of the document: over 150 fields that a cell can hold.
    assert!(columns > 150, "{columns}");
    let openings = tables.iter().find(|table| table.name == "Openings").unwrap();
    assert!(openings.columns.iter().any(|column| column.name == "flashing.lead_code"));
    for table in &tables {
        for column in &table.columns {
            assert!(!column.meaning.is_empty(), "{} of {}", column.name, table.name);
        }
    }
}
