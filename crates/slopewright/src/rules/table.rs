//! Reading the entries of one rule file.

use crate::catalogue::document::{document, refuse_other_words, tables};
use crate::catalogue::entry::Entry;
use crate::catalogue::{families, sources};
use crate::error::Fault;

/// Reads every `[[word]]` of a file; `others` are words of the same file that somebody else reads.
pub(super) fn read<T>(
    text: &str,
    word: &str,
    others: &[&str],
    faults: &mut Vec<Fault>,
    mut row: impl FnMut(&mut Entry<'_>) -> Option<T>,
) -> Vec<T> {
    let document = match document(text) {
        Ok(document) => document,
        Err(error) => {
            faults.extend(error.into_faults().into_iter().map(|fault| fault.at(word)));
            return Vec::new();
        }
    };
    let mut known = vec![word];
    known.extend(others);
    refuse_other_words(&document, &known, faults);
    let mut found = Vec::new();
    for (at, table) in tables(&document, word, faults).iter().enumerate() {
        let mut entry = Entry::new(&format!("{word} {}", at + 1), table, sources());
        let read = row(&mut entry);
        if entry.finish(faults).is_some() {
            found.extend(read);
        }
    }
    found
}

/// The families a rule holds for; each of them must be known.
pub(super) fn families_of(entry: &mut Entry<'_>) -> Vec<String> {
    let known: Vec<(&str, String)> =
        families().iter().map(|family| (family.key.as_str(), family.key.clone())).collect();
    entry.choices("families", &known)
}
