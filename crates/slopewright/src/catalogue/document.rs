//! A data file as a whole: its size, its syntax, and the entries under each word.

use toml::{Table, Value};

use crate::error::{Fault, FaultKind, Result};
use crate::quantity::limit;

/// Reads a whole document.
pub(crate) fn document(text: &str) -> Result<Table> {
    limit::document_size.check_size(text.len(), FaultKind::CatalogueTooLarge, "a catalogue")?;
    text.parse().map_err(|error: toml::de::Error| {
        let line = error
            .span()
            .map_or(1, |span| text.get(..span.start).map_or(1, |before| before.matches('\n').count() + 1));
        Fault::new(FaultKind::CatalogueUnreadable, format!("cannot be read as TOML: {}", error.message()))
            .given(text.lines().nth(line - 1).unwrap_or_default().trim())
            .at(format!("line {line}"))
            .into()
    })
}

/// The tables of `[[word]]`; anything else under that word is a fault.
pub(crate) fn tables(document: &Table, word: &str, faults: &mut Vec<Fault>) -> Vec<Table> {
    let Some(value) = document.get(word) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    let wrong = || {
        Fault::new(FaultKind::FieldKindWrong, "is not a list of entries")
            .at(word)
            .advice(format!("head each entry with [[{word}]]"))
    };
    let Value::Array(list) = value else {
        faults.push(wrong());
        return found;
    };
    for item in list {
        match item {
            Value::Table(table) => found.push(table.clone()),
            _ => faults.push(wrong()),
        }
    }
    found
}

/// Notes every top-level word of a document that is not one of `known`.
pub(crate) fn refuse_other_words(document: &Table, known: &[&str], faults: &mut Vec<Fault>) {
    for word in document.keys().filter(|word| !known.contains(&word.as_str())) {
        faults.push(
            Fault::new(FaultKind::CatalogueFieldUnknown, "is not a kind of entry")
                .given(word)
                .allowed(known.join(", ")),
        );
    }
}
