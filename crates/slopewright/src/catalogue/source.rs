//! Where a figure comes from, and how far it can be leant on.

use core::fmt;
use std::sync::{Arc, OnceLock};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use smol_str::SmolStr;

use super::document::{document, tables};
use super::entry::Entry;
use crate::error::Fault;
use crate::reason::said;

/// How a source is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Standing {
    /// Read in the text named.
    Seen,
    /// Somebody else relays the text named.
    SecondHand,
    /// Recalled without a text at hand: a default only, and the working says so.
    Memory,
    /// Common practice that no text is named for.
    Practice,
    /// This library's own calculation or convention.
    Own,
    /// Stated by the user of the library.
    User,
}

impl Standing {
    /// Every standing, with its word in data files.
    pub const ALL: &'static [(&'static str, Self)] = &[
        ("seen", Self::Seen),
        ("second-hand", Self::SecondHand),
        ("memory", Self::Memory),
        ("practice", Self::Practice),
        ("own", Self::Own),
        ("user", Self::User),
    ];

    /// What the working has to say beside a figure of this standing; `None` if its source is enough.
    #[must_use]
    pub const fn remark(self) -> Option<&'static str> {
        match self {
            Self::Seen => None,
            Self::SecondHand => Some("seen second-hand"),
            Self::Memory => Some("from memory"),
            Self::Practice => Some("common practice, no source"),
            Self::Own => Some("own convention"),
            Self::User => Some("stated by the user"),
        }
    }
}

/// A text that figures are taken from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Source {
    /// The short key that figures quote.
    pub key: String,
    /// The text, body or practice.
    pub title: String,
    /// Its year or edition.
    pub edition: String,
    /// Page, table, clause or chapter.
    pub place: String,
    /// How it is known.
    pub standing: Standing,
    /// Doubts, misprints, limits.
    pub note: String,
    #[serde(skip)]
    cited: Cited,
}

impl Source {
    /// Title, edition and place in one line: `Standards, chapter 7.2 (2025), 7.2.19 table 21`.
    #[must_use]
    pub fn citation(&self) -> SmolStr {
        self.cited.plain.get_or_init(|| said!("{}", OneLine(self))).clone()
    }

    /// The same with what the working has to say beside it.
    pub(super) fn citation_with_remark(&self) -> SmolStr {
        let remarked = || match self.standing.remark() {
            // The title of the user's own source says it already.
            Some(remark) if self.standing != Standing::User => said!("{} [{remark}]", OneLine(self)),
            _ => self.citation(),
        };
        self.cited.with_remark.get_or_init(remarked).clone()
    }
}

/// The citations of a source, each written when it is first asked for: a working repeats the same few many times.
#[derive(Debug, Clone, Default)]
struct Cited {
    plain: OnceLock<SmolStr>,
    with_remark: OnceLock<SmolStr>,
}

impl PartialEq for Cited {
    /// They follow from the source's other fields.
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for Cited {}

/// A source as a citation has it.
struct OneLine<'a>(&'a Source);

impl fmt::Display for OneLine<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(Source { title, edition, place, .. }) = self;
        f.write_str(title)?;
        if !edition.is_empty() {
            write!(f, " ({edition})")?;
        }
        if !place.is_empty() {
            write!(f, ", {place}")?;
        }
        Ok(())
    }
}

/// Every source of the built-in data, in the order of the file.
#[must_use]
pub fn sources() -> &'static [Arc<Source>] {
    &built_in().0
}

/// The built-in source with this key.
#[must_use]
pub fn source(key: &str) -> Option<&'static Arc<Source>> {
    sources().iter().find(|source| source.key == key)
}

/// The source of every figure that a user gives without naming one.
#[must_use]
pub fn stated_by_the_user() -> Arc<Source> {
    static USER: OnceLock<Arc<Source>> = OnceLock::new();
    Arc::clone(USER.get_or_init(|| {
        Arc::new(Source {
            key: "user".to_owned(),
            title: "Stated by the user".to_owned(),
            edition: String::new(),
            place: String::new(),
            standing: Standing::User,
            note: String::new(),
            cited: Cited::default(),
        })
    }))
}

fn built_in() -> &'static (Vec<Arc<Source>>, Vec<Fault>) {
    static SOURCES: OnceLock<(Vec<Arc<Source>>, Vec<Fault>)> = OnceLock::new();
    SOURCES.get_or_init(|| {
        let mut faults = Vec::new();
        let mut found = Vec::new();
        match document(include_str!("../../data/sources.toml")) {
            Ok(document) => {
                for table in tables(&document, "source", &mut faults) {
                    found.extend(read(&table, &mut faults));
                }
            }
            Err(error) => faults.extend(error.into_faults()),
        }
        (found, faults)
    })
}

/// Reads one `[[source]]`.
pub(crate) fn read(table: &toml::Table, faults: &mut Vec<Fault>) -> Option<Arc<Source>> {
    let mut entry = Entry::new("source", table, &[]);
    let key = entry.key();
    let title = entry.text("title");
    let title = entry.needed("title", title);
    let edition = entry.text("edition").unwrap_or_default();
    let place = entry.text("place").unwrap_or_default();
    let standing = entry.choice("standing", Standing::ALL).unwrap_or(Standing::User);
    let note = entry.text("note").unwrap_or_default();
    entry.finish(faults)?;
    Some(Arc::new(Source {
        key: key?,
        title: title?,
        edition,
        place,
        standing,
        note,
        cited: Cited::default(),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_sources_read_without_a_fault_and_have_unique_keys() {
        assert_eq!(built_in().1, vec![]);
        let mut keys: Vec<_> = sources().iter().map(|source| source.key.as_str()).collect();
        assert!(keys.len() > 20, "{keys:?}");
        let count = keys.len();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), count);
        assert!(sources().iter().all(|source| source.standing != Standing::User));
    }
}
