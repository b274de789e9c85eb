//! The parts of a roof.

use serde::{Deserialize, Serialize};

/// What part of the roof a line belongs to.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Part {
    /// Tiles, slates, shingles.
    Covering,
    /// Battens and counter-battens.
    Battens,
    /// Underlay.
    Underlay,
    /// Nails.
    Fixings,
    /// Ridges.
    Ridge,
    /// Hips.
    Hips,
    /// Valleys.
    Valleys,
    /// Verges.
    Verges,
    /// Eaves.
    Eaves,
    /// Edges against walls.
    Abutments,
    /// Openings for air.
    Ventilation,
    /// Work measured under a rule, not material.
    Measured,
    /// What openings take away and what is laid round them.
    Openings,
    /// Timbers round openings.
    Timbers,
}

impl Part {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Covering => "covering",
            Self::Battens => "battens",
            Self::Underlay => "underlay",
            Self::Fixings => "fixings",
            Self::Ridge => "ridge",
            Self::Hips => "hips",
            Self::Valleys => "valleys",
            Self::Verges => "verges",
            Self::Eaves => "eaves",
            Self::Abutments => "abutments",
            Self::Ventilation => "ventilation",
            Self::Measured => "measured",
            Self::Openings => "openings",
            Self::Timbers => "timbers",
        }
    }
}
