//! Underlays: rolls of a width and a length.

use std::sync::Arc;

use super::entry::Entry;
use super::figure::Figure;
use super::source::Source;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{Area, CoverMass, Length, LengthIn as _, Mass, limit, m, metres};

/// An underlay in rolls of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct Underlay {
    /// The key in the catalogue.
    pub key: String,
    /// The name for people.
    pub name: String,
    /// Width of the roll.
    pub width: Figure<Length>,
    /// Length on the roll.
    pub length: Figure<Length>,
    /// Mass for each area of the sheet.
    pub mass_per_m2: Option<Figure<CoverMass>>,
    /// Days it may lie open to the weather.
    pub days_open_most: Option<Figure<f64>>,
}

impl Underlay {
    /// An underlay that the user states.
    #[must_use]
    pub fn new(key: impl Into<String>, width: Length, length: Length) -> Self {
        let key = key.into();
        Self {
            name: key.clone(),
            key,
            width: Figure::stated(width),
            length: Figure::stated(length),
            mass_per_m2: None,
            days_open_most: None,
        }
    }

    /// The area on the roll.
    #[must_use]
    pub fn roll_area(&self) -> Area {
        self.width.value * self.length.value
    }

    /// The area of slope that one roll covers with this horizontal lap and no end laps; zero if the lap is as wide
    /// as the roll.
    #[must_use]
    pub fn covered_area(&self, horizontal_lap: Length) -> Area {
        let visible = (self.width.value - horizontal_lap).m().max(0.0);
        m(visible) * self.length.value
    }

    /// The mass of a roll, if known.
    #[must_use]
    pub fn roll_mass(&self) -> Option<Mass> {
        self.mass_per_m2.as_ref().map(|mass| mass.value * self.roll_area())
    }

    /// Checks that the roll is of a size that rolls have.
    ///
    /// # Errors
    /// With every figure that is out of range.
    pub fn check(&self) -> Result<()> {
        let sizes = [("width", &self.width, limit::roll_width), ("length", &self.length, limit::roll_length)];
        Error::check(
            sizes
                .into_iter()
                .filter(|(_, figure, limit)| !limit.holds(figure.value.m()))
                .map(|(field, figure, limit)| {
                    Fault::new(FaultKind::FigureOutOfRange, format!("{} is out of range", limit.label))
                        .at(field)
                        .at(format!("underlay '{}'", self.key))
                        .given(metres(figure.value))
                        .allowed(limit.range())
                })
                .collect(),
        )
    }
}

/// Reads one `[[underlay]]`.
pub(super) fn read(
    table: &toml::Table,
    sources: &[Arc<Source>],
    faults: &mut Vec<Fault>,
) -> Option<Underlay> {
    let mut entry = Entry::new("underlay", table, sources);
    let key = entry.key();
    let name = entry.text("name");
    let width = entry.length("width", limit::roll_width);
    let width = entry.needed("width", width);
    let length = entry.length("length", limit::roll_length);
    let length = entry.needed("length", length);
    let mass_per_m2 = entry.cover_mass("mass");
    let days_open_most = entry.number("open-most", "days");
    entry.finish(faults)?;
    let key = key?;
    let name = name.unwrap_or_else(|| key.clone());
    Some(Underlay { key, name, width: width?, length: length?, mass_per_m2, days_open_most })
}
