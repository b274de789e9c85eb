//! Battens: their section and the lengths they are sold in.

use std::sync::Arc;

use super::entry::Entry;
use super::figure::Figure;
use super::source::Source;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{Length, LengthIn as _, Limit, Mass, kg, limit, millimetres};

/// A batten of one section.
#[derive(Debug, Clone, PartialEq)]
pub struct Batten {
    /// The key in the catalogue.
    pub key: String,
    /// The name for people.
    pub name: String,
    /// The face that lies on the rafter.
    pub width: Figure<Length>,
    /// The height off the rafter.
    pub depth: Figure<Length>,
    /// The lengths in stock, shortest first.
    pub stock_lengths: Vec<Figure<Length>>,
    /// Density in kg/m3, if known.
    pub density: Option<Figure<f64>>,
}

pub(super) const SECTION: Limit = limit::batten_side;
pub(super) const STOCK: Limit = limit::batten_stock;

impl Batten {
    /// A batten that the user states.
    #[must_use]
    pub fn new(key: impl Into<String>, width: Length, depth: Length, stock_lengths: &[Length]) -> Self {
        let key = key.into();
        let mut stock_lengths: Vec<_> = stock_lengths.iter().copied().map(Figure::stated).collect();
        stock_lengths.sort_by(|a, b| a.value.m().total_cmp(&b.value.m()));
        Self {
            name: key.clone(),
            key,
            width: Figure::stated(width),
            depth: Figure::stated(depth),
            stock_lengths,
            density: None,
        }
    }

    /// The mass of a length of it; `None` without a density.
    #[must_use]
    pub fn mass(&self, length: Length) -> Option<Mass> {
        let density = self.density.as_ref()?.value;
        Some(kg(self.width.value.m() * self.depth.value.m() * length.m() * density))
    }

    /// Checks that the figures are in range.
    ///
    /// # Errors
    /// With every figure that is out of range.
    pub fn check(&self) -> Result<()> {
        let sides = [("width", &self.width, SECTION), ("depth", &self.depth, SECTION)];
        let stock = self.stock_lengths.iter().map(|length| ("stock-lengths", length, STOCK));
        let faults =
            sides.into_iter().chain(stock).filter(|(_, figure, limit)| !limit.holds(figure.value.m()));
        Error::check(
            faults
                .map(|(field, figure, limit)| {
                    Fault::new(FaultKind::FigureOutOfRange, format!("{} is out of range", limit.label))
                        .at(field)
                        .at(format!("batten '{}'", self.key))
                        .given(millimetres(figure.value))
                        .allowed(limit.range())
                })
                .collect(),
        )
    }
}

/// Reads one `[[batten]]`.
pub(super) fn read(table: &toml::Table, sources: &[Arc<Source>], faults: &mut Vec<Fault>) -> Option<Batten> {
    let mut entry = Entry::new("batten", table, sources);
    let key = entry.key();
    let name = entry.text("name");
    let width = entry.length("width", SECTION);
    let width = entry.needed("width", width);
    let depth = entry.length("depth", SECTION);
    let depth = entry.needed("depth", depth);
    let mut stock_lengths = entry.lengths("stock-lengths", STOCK);
    stock_lengths.sort_by(|a, b| a.value.m().total_cmp(&b.value.m()));
    let density = entry.number("density", "kg/m3");
    entry.finish(faults)?;
    let key = key?;
    Some(Batten {
        name: name.unwrap_or_else(|| key.clone()),
        key,
        width: width?,
        depth: depth?,
        stock_lengths,
        density,
    })
}
