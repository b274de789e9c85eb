//! The few figures that hold for every covering unless it says otherwise.

use std::sync::OnceLock;

use super::document::{document, tables};
use super::entry::Entry;
use super::figure::Figure;
use super::source::{sources, stated_by_the_user};
use crate::error::Fault;
use crate::quantity::{Length, Limit, limit, mm};

/// Conventions of `data/catalogue/conventions.toml`.
#[derive(Debug, Clone)]
pub(crate) struct Conventions {
    /// No joint: the count goes by the nominal width.
    pub(crate) no_joint: Figure<Length>,
    /// No allowance: the lap is counted from the head.
    pub(crate) no_allowance: Figure<Length>,
    /// What head-nailed units lose before the lap is counted.
    pub(crate) nail_allowance: Figure<Length>,
    /// How far the hole of a centre-nailed unit lies above the head of the course below.
    pub(crate) holing_clearance: Figure<Length>,
}

const SMALL: Limit = limit::small_length;

impl Conventions {
    /// The built-in conventions.
    pub(crate) fn standard() -> &'static Self {
        &Self::read_once().0
    }

    fn read_once() -> &'static (Self, Vec<Fault>) {
        static READ: OnceLock<(Conventions, Vec<Fault>)> = OnceLock::new();
        READ.get_or_init(|| {
            let mut faults = Vec::new();
            let document =
                document(include_str!("../../data/catalogue/conventions.toml")).unwrap_or_else(|error| {
                    faults.extend(error.into_faults());
                    toml::Table::new()
                });
            let table = tables(&document, "conventions", &mut faults).into_iter().next().unwrap_or_default();
            let mut entry = Entry::new("conventions", &table, sources());
            let mut figure = |field| {
                let found = entry.length(field, SMALL);
                // A broken built-in file must not panic: the test below catches it.
                entry.needed(field, found).unwrap_or_else(|| Figure::new(mm(0.0), stated_by_the_user()))
            };
            let conventions = Self {
                no_joint: figure("no-joint"),
                no_allowance: figure("no-allowance"),
                nail_allowance: figure("nail-allowance"),
                holing_clearance: figure("holing-clearance"),
            };
            entry.finish(&mut faults);
            (conventions, faults)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_conventions_read_without_a_fault() {
        assert_eq!(Conventions::read_once().1, vec![]);
    }
}
