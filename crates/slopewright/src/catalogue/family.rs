//! The kinds of covering that rules speak of.

use std::sync::OnceLock;

use super::document::{document, tables};
use super::entry::Entry;
use crate::error::Fault;

/// A kind of covering: the key that coverings and rules share.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Family {
    /// The key, such as `plain-tile`.
    pub key: String,
    /// The name for people.
    pub name: String,
}

/// Every family, in the order of the file.
#[must_use]
pub fn families() -> &'static [Family] {
    &read_once().0
}

fn read_once() -> &'static (Vec<Family>, Vec<Fault>) {
    static READ: OnceLock<(Vec<Family>, Vec<Fault>)> = OnceLock::new();
    READ.get_or_init(|| {
        let mut faults = Vec::new();
        let mut found = Vec::new();
        let document = document(include_str!("../../data/catalogue/families.toml")).unwrap_or_else(|error| {
            faults.extend(error.into_faults());
            toml::Table::new()
        });
        for table in tables(&document, "family", &mut faults) {
            let mut entry = Entry::new("family", &table, &[]);
            let key = entry.key();
            let name = entry.text("name");
            let name = entry.needed("name", name);
            if let (Some(()), Some(key), Some(name)) = (entry.finish(&mut faults), key, name) {
                found.push(Family { key, name });
            }
        }
        (found, faults)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_families_read_without_a_fault() {
        assert_eq!(read_once().1, vec![]);
        assert!(families().iter().any(|family| family.key == "plain-tile"));
    }
}
