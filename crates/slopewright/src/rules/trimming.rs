//! How many timbers an opening takes: rafters added for those cut, and when headers and trimmers are doubled or hung.

use super::{Rules, table};
use crate::catalogue::Figure;
use crate::catalogue::entry::Entry;
use crate::error::Fault;
use crate::quantity::{Length, Limit};

const TIMBER: Limit =
    Limit { name: "timber", label: "a length of a timber", unit: "m", least: 0.1, most: 20.0 };

/// Rafters added for up to so many cut.
#[derive(Debug, Clone, PartialEq)]
pub struct AddedRafters {
    /// The most rafters cut for which it holds.
    pub cut_up_to: Figure<u32>,
    /// Rafters added, half of them on each side.
    pub rafters: Figure<u32>,
}

/// When headers and trimmers are doubled, and when their ends are hung.
#[derive(Debug, Clone, PartialEq)]
pub struct HeaderLimits {
    /// The longest header that may be single.
    pub single_header_most: Figure<Length>,
    /// The longest header whose ends need no hangers.
    pub unhung_header_most: Figure<Length>,
    /// The longest cut rafter whose end needs no hanger.
    pub unhung_tail_most: Figure<Length>,
    /// A single trimmer may carry a single header this far from the bearing.
    pub single_trimmer_from_bearing: Figure<Length>,
}

/// A rule for the timbers round an opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Trimming {
    /// Its key.
    pub key: String,
    /// Its name.
    pub name: String,
    /// Rafters added by the number cut; empty if the rule does not go by it.
    pub added: Vec<AddedRafters>,
    /// Doubling and hanging by the length of the header, if the rule goes by that.
    pub headers: Option<HeaderLimits>,
}

impl Trimming {
    /// Rafters added for so many cut: none for none; `None` if the rule gives no number for it.
    #[must_use]
    pub fn added_for(&self, cut: u32) -> Option<u32> {
        if cut == 0 {
            return Some(0);
        }
        self.added.iter().find(|row| cut <= row.cut_up_to.value).map(|row| row.rafters.value)
    }

    /// Where it comes from.
    #[must_use]
    pub fn citation(&self) -> smol_str::SmolStr {
        let added = self.added.first().map(|row| row.rafters.citation());
        added
            .or_else(|| self.headers.as_ref().map(|limits| limits.single_header_most.citation()))
            .unwrap_or_default()
    }
}

impl Rules {
    /// The rules for timbers round openings; the first is taken where the survey names none.
    #[must_use]
    pub fn trimming_rules(&self) -> &[Trimming] {
        &self.trimming
    }

    /// The rule for timbers round openings with this key.
    #[must_use]
    pub fn trimming(&self, key: &str) -> Option<&Trimming> {
        self.trimming.iter().find(|rule| rule.key == key)
    }
}

pub(super) fn read(faults: &mut Vec<Fault>) -> Vec<Trimming> {
    let text = include_str!("../../data/rules/trimming.toml");
    let mut parts = Vec::new();
    let rules = table::read(text, "trimming", &[], faults, |entry| {
        let key = entry.key();
        let name = entry.text("name");
        let name = entry.needed("name", name);
        let mut added = Vec::new();
        for row in entry.rows("added") {
            let source = entry.own_source();
            let mut part = Entry::part("added", &row, entry.sources(), source);
            let (cut, rafters) = (part.count("cut-up-to"), part.count("rafters"));
            let (cut, rafters) = (part.needed("cut-up-to", cut), part.needed("rafters", rafters));
            if part.finish(&mut parts).is_some()
                && let (Some(cut_up_to), Some(rafters)) = (cut, rafters)
            {
                added.push(AddedRafters { cut_up_to, rafters });
            }
        }
        let single = entry.length("single-header-most", TIMBER);
        let header = entry.length("unhung-header-most", TIMBER);
        let tail = entry.length("unhung-tail-most", TIMBER);
        let bearing = entry.length("single-trimmer-from-bearing", TIMBER);
        let headers = match (single, header, tail, bearing) {
            (
                Some(single_header_most),
                Some(unhung_header_most),
                Some(unhung_tail_most),
                Some(single_trimmer_from_bearing),
            ) => Some(HeaderLimits {
                single_header_most,
                unhung_header_most,
                unhung_tail_most,
                single_trimmer_from_bearing,
            }),
            _ => None,
        };
        Some(Trimming { key: key?, name: name?, added, headers })
    });
    faults.extend(parts);
    rules
}
