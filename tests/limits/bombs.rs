//! Small files that would become large ones.

use std::io::{Cursor, Write as _};

use slopewright::quantity::limit;
use slopewright::{FaultKind, SurveyDocument};
use slopewright_workbook::{read_survey, survey_workbook};
use zip::write::SimpleFileOptions;

/// A sound workbook with one part exchanged, or one more.
fn book_with(part: &str, content: &[u8]) -> Vec<u8> {
    let sound = survey_workbook(&SurveyDocument::new("shed")).unwrap();
    let mut from = zip::ZipArchive::new(Cursor::new(sound)).unwrap();
    let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let packed = SimpleFileOptions::default();
    for at in 0..from.len() {
        let mut part_of = from.by_index(at).unwrap();
        let name = part_of.name().unwrap().into_owned();
        if name != part {
            archive.start_file(name, packed).unwrap();
            std::io::copy(&mut part_of, &mut archive).unwrap();
        }
    }
    archive.start_file(part, packed).unwrap();
    archive.write_all(content).unwrap();
    archive.finish().unwrap().into_inner()
}

fn refused(book: &[u8]) -> FaultKind {
    read_survey(book).unwrap_err().kind()
}

#[test]
fn a_workbook_that_unpacks_to_more_than_is_allowed() {
    let most = limit::workbook_unpacked.most as usize;
    let book = book_with("xl/media/blank.bin", &vec![0; most]);
    // A thousandth of what it unpacks to, so that only the unpacking tells.
    assert!(limit::document_size.holds_count(book.len()), "{}", book.len());
    assert_eq!(refused(&book), FaultKind::DocumentTooLarge);
}

#[test]
fn a_workbook_that_lies_about_its_size() {
    let most = limit::workbook_unpacked.most as usize;
    let mut book = book_with("xl/media/blank.bin", &vec![0; most]);
    // The size stands as four bytes in the part's own header and in the list at the end: both are made to say 9.
    let size = u32::try_from(most).unwrap().to_le_bytes();
    let places: Vec<usize> = (0..book.len() - 3).filter(|at| book[*at..at + 4] == size).collect();
    assert!(!places.is_empty());
    for at in places {
        book[at..at + 4].copy_from_slice(&9_u32.to_le_bytes());
    }
    let kind = refused(&book);
    assert!(matches!(kind, FaultKind::DocumentTooLarge | FaultKind::WorkbookUnreadable), "{kind}");
}

/// One text of a megabyte that a hundred thousand cells refer to.
#[test]
fn a_text_that_is_in_very_many_cells() {
    let text = "x".repeat(1_000_000);
    let strings = format!(
        "<sst xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"><si><t>{text}</t></si></sst>"
    );
    let shared = book_with("xl/sharedStrings.xml", strings.as_bytes());
    let rows: String = (1..20_000)
        .map(|row| format!("<row r=\"{row}\"><c r=\"A{row}\" t=\"s\"><v>0</v></c></row>"))
        .collect();
    let sheet = format!(
        "<worksheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"><sheetData>{rows}</sheetData></worksheet>"
    );
    // Every sheet is exchanged, so that it does not matter which of them is which table.
    let mut from = zip::ZipArchive::new(Cursor::new(shared)).unwrap();
    let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for at in 0..from.len() {
        let mut part = from.by_index(at).unwrap();
        let name = part.name().unwrap().into_owned();
        archive.start_file(&name, SimpleFileOptions::default()).unwrap();
        if name.contains("worksheets/sheet") {
            archive.write_all(sheet.as_bytes()).unwrap();
        } else {
            std::io::copy(&mut part, &mut archive).unwrap();
        }
    }
    assert_eq!(refused(archive.finish().unwrap().get_ref()), FaultKind::DocumentTooLarge);
}

#[test]
fn documents_that_are_nested_very_deep() {
    let deep = 300_000;
    let json = format!("{{\"catalogue\":{}{}}}", "[".repeat(deep), "]".repeat(deep));
    assert_eq!(SurveyDocument::from_json(&json).unwrap_err().kind(), FaultKind::DocumentUnreadable);
    let toml = format!("catalogue = {}{}", "[".repeat(deep), "]".repeat(deep));
    assert_eq!(SurveyDocument::from_toml(&toml).unwrap_err().kind(), FaultKind::DocumentUnreadable);
    let dotted = format!("catalogue.{}x = 1", "a.".repeat(deep));
    assert_eq!(SurveyDocument::from_toml(&dotted).unwrap_err().kind(), FaultKind::DocumentUnreadable);
    let header = format!("[catalogue.{}x]", "a.".repeat(deep));
    assert_eq!(SurveyDocument::from_toml(&header).unwrap_err().kind(), FaultKind::DocumentUnreadable);
}
