//! Nails: their size, their metal and how many go to a kilogram.

use core::f64::consts::PI;
use std::sync::Arc;

use super::entry::Entry;
use super::figure::Figure;
use super::source::{Source, source, stated_by_the_user};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{Length, LengthIn as _, MassIn as _, lb, limit, millimetres};

/// A metal that nails are made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Metal {
    /// The key in the catalogue.
    pub key: String,
    /// Density in kg/m3.
    pub density: Figure<f64>,
}

/// A nail of one size and metal.
#[derive(Debug, Clone, PartialEq)]
pub struct Nail {
    /// The key in the catalogue.
    pub key: String,
    /// The name for people.
    pub name: String,
    /// What it is made of.
    pub metal: Metal,
    /// Length under the head.
    pub length: Figure<Length>,
    /// Thickness of the shank; `None` for cut nails, whose count is stated.
    pub shank: Option<Figure<Length>>,
    /// How many go to a kilogram, where a list states it.
    pub stated_per_kg: Option<Figure<f64>>,
}

/// The source that says how a count is worked out where none is stated.
const CYLINDER: &str = "metal-densities";

impl Nail {
    /// A nail that the user states.
    #[must_use]
    pub fn new(key: impl Into<String>, metal: Metal, length: Length, shank: Length) -> Self {
        let key = key.into();
        Self {
            name: key.clone(),
            key,
            metal,
            length: Figure::stated(length),
            shank: Some(Figure::stated(shank)),
            stated_per_kg: None,
        }
    }

    /// How many go to a kilogram: as a list states it, else from the size and the metal as a plain cylinder. The
    /// figure's source says which. `None` if neither is known.
    #[must_use]
    pub fn per_kg(&self) -> Option<Figure<f64>> {
        self.stated_per_kg.clone().or_else(|| self.per_kg_as_cylinder())
    }

    /// The count of a plain cylinder of the nail's length and shank.
    #[must_use]
    pub fn per_kg_as_cylinder(&self) -> Option<Figure<f64>> {
        let radius = self.shank.as_ref()?.value.m() / 2.0;
        let volume = PI * radius * radius * self.length.value.m();
        let origin = source(CYLINDER).cloned().unwrap_or_else(stated_by_the_user);
        Some(Figure::new(1.0 / (volume * self.metal.density.value), origin))
    }

    /// How many go to a pound.
    #[must_use]
    pub fn per_pound(&self) -> Option<Figure<f64>> {
        self.per_kg().map(|figure| figure.map(|count| count * lb(1.0).kg()))
    }

    /// Checks that the size is one that nails have.
    ///
    /// # Errors
    /// With every figure that is out of range.
    pub fn check(&self) -> Result<()> {
        let length = ("length", Some(&self.length), limit::nail_length);
        let shank = ("shank", self.shank.as_ref(), limit::nail_shank);
        let mut faults = Vec::new();
        for (field, figure, limit) in [length, shank] {
            if let Some(figure) = figure.filter(|figure| !limit.holds(figure.value.m())) {
                faults.push(
                    Fault::new(FaultKind::FigureOutOfRange, format!("{} is out of range", limit.label))
                        .at(field)
                        .at(format!("nail '{}'", self.key))
                        .given(millimetres(figure.value))
                        .allowed(limit.range()),
                );
            }
        }
        Error::check(faults)
    }
}

/// Reads one `[[metal]]`.
pub(super) fn read_metal(
    table: &toml::Table,
    sources: &[Arc<Source>],
    faults: &mut Vec<Fault>,
) -> Option<Metal> {
    let mut entry = Entry::new("metal", table, sources);
    let key = entry.key();
    let density = entry.number("density", "kg/m3");
    let density = entry.needed("density", density);
    entry.finish(faults)?;
    Some(Metal { key: key?, density: density? })
}

/// Reads one `[[nail]]`.
pub(super) fn read(
    table: &toml::Table,
    sources: &[Arc<Source>],
    metals: &[Metal],
    faults: &mut Vec<Fault>,
) -> Option<Nail> {
    let mut entry = Entry::new("nail", table, sources);
    let key = entry.key();
    let name = entry.text("name");
    let words: Vec<(&str, &Metal)> = metals.iter().map(|metal| (metal.key.as_str(), metal)).collect();
    let metal = entry.choice("metal", &words);
    let metal = entry.needed("metal", metal);
    let length = entry.length("length", limit::nail_length);
    let length = entry.needed("length", length);
    let shank = entry.length("shank", limit::nail_shank);
    let per_kg = entry.number("per-kg", "");
    let per_pound = entry.number("per-lb", "");
    if shank.is_none() && per_kg.is_none() && per_pound.is_none() {
        let missing = Fault::new(
            FaultKind::CatalogueFieldMissing,
            "is missing, and neither per-kg nor per-lb is stated",
        );
        entry.fault("shank", missing);
    }
    entry.finish(faults)?;
    let key = key?;
    Some(Nail {
        name: name.unwrap_or_else(|| key.clone()),
        key,
        metal: metal?.clone(),
        length: length?,
        shank,
        stated_per_kg: per_kg.or_else(|| per_pound.map(|figure| figure.map(|count| count / lb(1.0).kg()))),
    })
}
