//! Formats of coverings, battens, underlays and nails: those that standards and handbooks give, and the user's own.
//!
//! The built-in catalogue is data (`data/catalogue/*.toml`), and every figure in it quotes its source. A user adds
//! entries by the same file format ([`Catalogue::with_toml`]) or in code ([`Catalogue::with_covering`]).
//!
//! ```
//! use slopewright::catalogue::Catalogue;
//! use slopewright::quantity::mm;
//! let mine = Catalogue::standard().with_toml(r#"
//!     [[covering]]
//!     key = "our-old-tile"
//!     like = "plain-tile-265x165"
//!     name = "The tile that came off"
//!     length = "270 mm"
//! "#).unwrap();
//! let tile = mine.covering("our-old-tile").unwrap();
//! assert_eq!(tile.length.value, mm(270.0));
//! assert_eq!(tile.length.remark(), Some("stated by the user"));
//! assert_eq!(tile.width.value, mm(165.0));
//! ```

mod batten;
mod conventions;
mod covering;
pub(crate) mod document;
mod edge_unit;
pub(crate) mod entry;
mod family;
mod figure;
mod nail;
mod read_covering;
mod read_figure;
mod source;
mod stated;
mod underlay;

use std::sync::{Arc, OnceLock};

pub use batten::Batten;
pub use covering::{Bond, Companion, Covering, Hanging, Layers};
pub use edge_unit::{EdgeUnit, Pace, UnitEdge};
pub use family::{Family, families};
pub use figure::Figure;
pub use nail::{Metal, Nail};
pub use source::{Source, Standing, source, sources, stated_by_the_user};
pub use underlay::Underlay;

use crate::error::{Error, Fault, FaultKind, Result};
use crate::fault_list::FaultList;

/// Everything that can be laid, by key.
#[derive(Debug, Clone, Default)]
pub struct Catalogue {
    sources: Vec<Arc<Source>>,
    coverings: Vec<Covering>,
    battens: Vec<Batten>,
    underlays: Vec<Underlay>,
    metals: Vec<Metal>,
    nails: Vec<Nail>,
    edge_units: Vec<EdgeUnit>,
}

const BUILT_IN: &[(&str, &str)] = &[
    ("plain-tiles.toml", include_str!("../../data/catalogue/plain-tiles.toml")),
    ("slates-metric.toml", include_str!("../../data/catalogue/slates-metric.toml")),
    ("slates-imperial.toml", include_str!("../../data/catalogue/slates-imperial.toml")),
    ("single-lap.toml", include_str!("../../data/catalogue/single-lap.toml")),
    ("shingles.toml", include_str!("../../data/catalogue/shingles.toml")),
    ("battens.toml", include_str!("../../data/catalogue/battens.toml")),
    ("underlays.toml", include_str!("../../data/catalogue/underlays.toml")),
    ("nails.toml", include_str!("../../data/catalogue/nails.toml")),
    ("edge-units.toml", include_str!("../../data/catalogue/edge-units.toml")),
];

impl Catalogue {
    /// The built-in catalogue.
    #[must_use]
    pub fn standard() -> &'static Self {
        &Self::read_once().0
    }

    fn read_once() -> &'static (Self, Vec<Fault>) {
        static READ: OnceLock<(Catalogue, Vec<Fault>)> = OnceLock::new();
        READ.get_or_init(|| {
            let mut catalogue = Self { sources: sources().to_vec(), ..Self::default() };
            let mut faults = Vec::new();
            for (file, text) in BUILT_IN {
                // A broken built-in file must not panic: a test holds every file to no faults.
                let mut found = Vec::new();
                catalogue.add(text, &mut found);
                faults.extend(found.into_iter().map(|fault| fault.at(file)));
            }
            (catalogue, faults)
        })
    }

    /// This catalogue with the entries of a text in the format of the built-in files: `[[covering]]`, `[[batten]]`,
    /// `[[underlay]]`, `[[metal]]`, `[[nail]]`, `[[edge-unit]]`, and `[[source]]` for sources of their own.
    ///
    /// # Errors
    /// With every fault of the text, each with its place (`covering 'x', width`); then nothing is added.
    pub fn with_toml(&self, text: &str) -> Result<Self> {
        let mut catalogue = self.clone();
        let mut faults = Vec::new();
        catalogue.add(text, &mut faults);
        FaultList::of(faults).check()?;
        Ok(catalogue)
    }

    fn add(&mut self, text: &str, faults: &mut Vec<Fault>) {
        const WORDS: [&str; 7] = ["source", "covering", "batten", "underlay", "metal", "nail", "edge-unit"];
        let document = match document::document(text) {
            Ok(document) => document,
            Err(error) => {
                faults.extend(error.into_faults());
                return;
            }
        };
        document::refuse_other_words(&document, &WORDS, faults);
        for table in document::tables(&document, "source", faults) {
            if let Some(read) = source::read(&table, faults) {
                put(&mut self.sources, read, |source| &source.key, "source", faults);
            }
        }
        for table in document::tables(&document, "covering", faults) {
            let read = read_covering::read(&table, &self.sources, |key| self.covering(key).cloned(), faults);
            if let Some(read) = read {
                put(&mut self.coverings, read, |covering| &covering.key, "covering", faults);
            }
        }
        for table in document::tables(&document, "batten", faults) {
            if let Some(read) = batten::read(&table, &self.sources, faults) {
                put(&mut self.battens, read, |batten| &batten.key, "batten", faults);
            }
        }
        for table in document::tables(&document, "underlay", faults) {
            if let Some(read) = underlay::read(&table, &self.sources, faults) {
                put(&mut self.underlays, read, |underlay| &underlay.key, "underlay", faults);
            }
        }
        for table in document::tables(&document, "metal", faults) {
            if let Some(read) = nail::read_metal(&table, &self.sources, faults) {
                put(&mut self.metals, read, |metal| &metal.key, "metal", faults);
            }
        }
        for table in document::tables(&document, "nail", faults) {
            if let Some(read) = nail::read(&table, &self.sources, &self.metals, faults) {
                put(&mut self.nails, read, |nail| &nail.key, "nail", faults);
            }
        }
        for table in document::tables(&document, "edge-unit", faults) {
            if let Some(read) = edge_unit::read(&table, &self.sources, faults) {
                put(&mut self.edge_units, read, |unit| &unit.key, "edge-unit", faults);
            }
        }
    }

    /// This catalogue with a covering stated in code.
    ///
    /// # Errors
    /// If its figures do not hold ([`Covering::check`]) or its key is taken.
    pub fn with_covering(&self, covering: Covering) -> Result<Self> {
        covering.check()?;
        self.with(covering, |catalogue| &mut catalogue.coverings, |covering| &covering.key, "covering")
    }

    /// This catalogue with a batten stated in code.
    ///
    /// # Errors
    /// If its figures do not hold or its key is taken.
    pub fn with_batten(&self, batten: Batten) -> Result<Self> {
        batten.check()?;
        self.with(batten, |catalogue| &mut catalogue.battens, |batten| &batten.key, "batten")
    }

    /// This catalogue with an underlay stated in code.
    ///
    /// # Errors
    /// If its figures do not hold or its key is taken.
    pub fn with_underlay(&self, underlay: Underlay) -> Result<Self> {
        underlay.check()?;
        self.with(underlay, |catalogue| &mut catalogue.underlays, |underlay| &underlay.key, "underlay")
    }

    /// This catalogue with a nail stated in code.
    ///
    /// # Errors
    /// If its figures do not hold or its key is taken.
    pub fn with_nail(&self, nail: Nail) -> Result<Self> {
        nail.check()?;
        self.with(nail, |catalogue| &mut catalogue.nails, |nail| &nail.key, "nail")
    }

    /// This catalogue with a unit for edges stated in code.
    ///
    /// # Errors
    /// If its figures do not hold or its key is taken.
    pub fn with_edge_unit(&self, unit: EdgeUnit) -> Result<Self> {
        unit.check()?;
        self.with(unit, |catalogue| &mut catalogue.edge_units, |unit| &unit.key, "edge-unit")
    }

    fn with<T>(
        &self,
        item: T,
        list: impl Fn(&mut Self) -> &mut Vec<T>,
        key: impl Fn(&T) -> &String,
        word: &str,
    ) -> Result<Self> {
        let mut catalogue = self.clone();
        let mut faults = Vec::new();
        put(list(&mut catalogue), item, key, word, &mut faults);
        Error::check(faults)?;
        Ok(catalogue)
    }

    /// The covering with this key.
    #[must_use]
    pub fn covering(&self, key: &str) -> Option<&Covering> {
        self.coverings.iter().find(|covering| covering.key == key)
    }

    /// The batten with this key.
    #[must_use]
    pub fn batten(&self, key: &str) -> Option<&Batten> {
        self.battens.iter().find(|batten| batten.key == key)
    }

    /// The underlay with this key.
    #[must_use]
    pub fn underlay(&self, key: &str) -> Option<&Underlay> {
        self.underlays.iter().find(|underlay| underlay.key == key)
    }

    /// The metal with this key.
    #[must_use]
    pub fn metal(&self, key: &str) -> Option<&Metal> {
        self.metals.iter().find(|metal| metal.key == key)
    }

    /// The nail with this key.
    #[must_use]
    pub fn nail(&self, key: &str) -> Option<&Nail> {
        self.nails.iter().find(|nail| nail.key == key)
    }

    /// The unit for edges with this key.
    #[must_use]
    pub fn edge_unit(&self, key: &str) -> Option<&EdgeUnit> {
        self.edge_units.iter().find(|unit| unit.key == key)
    }

    /// The source with this key, built in or the user's own.
    #[must_use]
    pub fn source(&self, key: &str) -> Option<&Arc<Source>> {
        self.sources.iter().find(|source| source.key == key)
    }

    /// Every covering, in the order of the files.
    #[must_use]
    pub fn coverings(&self) -> &[Covering] {
        &self.coverings
    }

    /// Every batten.
    #[must_use]
    pub fn battens(&self) -> &[Batten] {
        &self.battens
    }

    /// Every underlay.
    #[must_use]
    pub fn underlays(&self) -> &[Underlay] {
        &self.underlays
    }

    /// Every nail.
    #[must_use]
    pub fn nails(&self) -> &[Nail] {
        &self.nails
    }

    /// Every unit for edges.
    #[must_use]
    pub fn edge_units(&self) -> &[EdgeUnit] {
        &self.edge_units
    }
}

fn put<T>(list: &mut Vec<T>, item: T, key: impl Fn(&T) -> &String, word: &str, faults: &mut Vec<Fault>) {
    if list.iter().any(|other| key(other) == key(&item)) {
        faults.push(
            Fault::new(FaultKind::KeyTwice, "has a key that is taken")
                .at(format!("{word} '{}'", key(&item)))
                .given(key(&item)),
        );
    } else {
        list.push(item);
    }
}

/// The conventions, for the test that every source is used.
#[cfg(test)]
pub(crate) fn conventions_in_full() -> &'static impl core::fmt::Debug {
    conventions::Conventions::standard()
}

#[cfg(test)]
mod tests;
