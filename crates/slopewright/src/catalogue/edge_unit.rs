//! Units for edges: ridge, hip, valley and verge units, by the length they cover or one to a course.

use std::sync::Arc;

use super::entry::Entry;
use super::figure::Figure;
use super::source::{Source, stated_by_the_user};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{Length, LengthIn as _, Mass, limit, millimetres};

/// The edges that have units of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum UnitEdge {
    /// Ridges.
    Ridge,
    /// Hips.
    Hip,
    /// Valleys.
    Valley,
    /// Verges.
    Verge,
}

impl UnitEdge {
    /// Every such edge, with its word in files.
    pub const ALL: &'static [(&'static str, Self)] =
        &[("ridge", Self::Ridge), ("hip", Self::Hip), ("valley", Self::Valley), ("verge", Self::Verge)];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ridge => "ridge",
            Self::Hip => "hip",
            Self::Valley => "valley",
            Self::Verge => "verge",
        }
    }
}

/// How many units an edge takes.
#[derive(Debug, Clone, PartialEq)]
pub enum Pace {
    /// One for each length that it covers.
    Cover(Figure<Length>),
    /// One for each course.
    Course,
}

/// A format of unit for an edge.
///
/// ```
/// use slopewright::catalogue::{Catalogue, Pace};
/// use slopewright::quantity::LengthIn;
/// let ridge = Catalogue::standard().edge_unit("ridge-450").unwrap();
/// let Pace::Cover(cover) = &ridge.pace else { panic!("laid by the length it covers") };
/// assert_eq!(cover.value.mm(), 450.0);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeUnit {
    /// The key in the catalogue.
    pub key: String,
    /// The name for people.
    pub name: String,
    /// The edges that it serves.
    pub edges: Vec<UnitEdge>,
    /// How many an edge takes.
    pub pace: Pace,
    /// Its length, where it is known.
    pub length: Option<Figure<Length>>,
    /// Whether there is one for the left and one for the right.
    pub handed: bool,
    /// Its mass.
    pub mass: Option<Figure<Mass>>,
    /// Where the format comes from.
    pub source: Arc<Source>,
}

impl EdgeUnit {
    /// A unit that the user states, one for each `cover` along the edge.
    #[must_use]
    pub fn by_cover(key: impl Into<String>, edges: &[UnitEdge], cover: Length) -> Self {
        Self { pace: Pace::Cover(Figure::stated(cover)), ..Self::one_per_course(key, edges) }
    }

    /// A unit that the user states, one for each course.
    #[must_use]
    pub fn one_per_course(key: impl Into<String>, edges: &[UnitEdge]) -> Self {
        let key = key.into();
        Self {
            name: key.clone(),
            key,
            edges: edges.to_vec(),
            pace: Pace::Course,
            length: None,
            handed: false,
            mass: None,
            source: stated_by_the_user(),
        }
    }

    /// With the mass of a unit.
    #[must_use]
    pub fn with_mass(mut self, mass: Mass) -> Self {
        self.mass = Some(Figure::stated(mass));
        self
    }

    /// Whether it serves an edge.
    #[must_use]
    pub fn serves(&self, edge: UnitEdge) -> bool {
        self.edges.contains(&edge)
    }

    /// Checks that it serves an edge and that its cover is one that units have.
    ///
    /// # Errors
    /// With every figure that is out of range.
    pub fn check(&self) -> Result<()> {
        let mut faults = Vec::new();
        if self.edges.is_empty() {
            faults.push(Fault::new(FaultKind::CatalogueFieldMissing, "is missing").at("edges"));
        }
        if let Pace::Cover(cover) = &self.pace {
            if !limit::unit_length.holds(cover.value.m()) {
                faults.push(
                    Fault::new(FaultKind::FigureOutOfRange, "the cover is out of range")
                        .at("cover")
                        .given(millimetres(cover.value))
                        .allowed(limit::unit_length.range()),
                );
            } else if self.length.as_ref().is_some_and(|length| length.value < cover.value) {
                faults.push(
                    Fault::new(FaultKind::FiguresDisagree, "covers more than its length")
                        .at("cover")
                        .given(millimetres(cover.value)),
                );
            }
        }
        Error::check(faults).map_err(|error| error.at(format!("edge-unit '{}'", self.key)))
    }
}

const BY_COVER: bool = true;

/// Reads one `[[edge-unit]]`.
pub(super) fn read(
    table: &toml::Table,
    sources: &[Arc<Source>],
    faults: &mut Vec<Fault>,
) -> Option<EdgeUnit> {
    let mut entry = Entry::new("edge-unit", table, sources);
    let key = entry.key();
    let name = entry.text("name");
    let edges = entry.choices("edges", UnitEdge::ALL);
    let laid = entry.choice("laid", &[("by-cover", BY_COVER), ("one-per-course", !BY_COVER)]);
    let laid = entry.needed("laid", laid);
    let length = entry.length("length", limit::unit_length);
    let cover = entry.length("cover", limit::unit_length);
    let pace = match laid {
        Some(BY_COVER) => {
            let cover = cover.or_else(|| length.clone());
            entry.needed("length", cover).map(Pace::Cover)
        }
        Some(_) => Some(Pace::Course),
        None => None,
    };
    let handed = entry.flag("handed").unwrap_or(false);
    let mass = entry.mass("mass");
    let source = entry.own_source();
    entry.finish(faults)?;
    let key = key?;
    let unit = EdgeUnit {
        name: name.unwrap_or_else(|| key.clone()),
        key,
        edges,
        pace: pace?,
        length,
        handed,
        mass,
        source,
    };
    match unit.check() {
        Ok(()) => Some(unit),
        Err(error) => {
            faults.extend(error.into_faults());
            None
        }
    }
}
