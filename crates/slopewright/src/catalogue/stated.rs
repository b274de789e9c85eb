//! Stating a covering in code, field by field. Every figure stated here counts as the user's own.

use super::conventions::Conventions;
use super::covering::{Bond, Companion, Covering, Hanging};
use super::figure::Figure;
use crate::quantity::{Length, Mass, Pitch};

impl Covering {
    /// With a name for people.
    #[must_use]
    pub fn with_name(mut self, name: impl Into<String>) -> Self {
        self.name = name.into();
        self
    }

    /// With a material.
    #[must_use]
    pub fn with_material(mut self, material: impl Into<String>) -> Self {
        self.material = material.into();
        self
    }

    /// With the family whose rules hold for it.
    #[must_use]
    pub fn with_family(mut self, family: impl Into<String>) -> Self {
        self.family = family.into();
        self
    }

    /// With a joint between neighbours.
    #[must_use]
    pub fn with_joint(mut self, joint: Length) -> Self {
        self.joint = Figure::stated(joint);
        self
    }

    /// With a stated cover width.
    #[must_use]
    pub fn with_cover_width(mut self, cover_width: Length) -> Self {
        self.cover_width = Some(Figure::stated(cover_width));
        self
    }

    /// With a side play, wider or narrower, for each unit.
    #[must_use]
    pub fn with_side_play(mut self, side_play: Length) -> Self {
        self.side_play = Some(Figure::stated(side_play));
        self
    }

    /// With another hanging; head-nailed units take the usual nail allowance, the others none.
    #[must_use]
    pub fn with_hanging(mut self, hanging: Hanging) -> Self {
        self.hanging = hanging;
        self.nail_allowance = match hanging {
            Hanging::HeadNailed => Conventions::standard().nail_allowance.clone(),
            Hanging::Nibs | Hanging::CentreNailed => Conventions::standard().no_allowance.clone(),
        };
        self
    }

    /// With a nail allowance of its own.
    #[must_use]
    pub fn with_nail_allowance(mut self, allowance: Length) -> Self {
        self.nail_allowance = Figure::stated(allowance);
        self
    }

    /// With a stated length from tail to the top of its batten.
    #[must_use]
    pub fn with_hanging_length(mut self, length: Length) -> Self {
        self.hanging_length = Some(Figure::stated(length));
        self
    }

    /// With the gauges that the format allows.
    #[must_use]
    pub fn with_gauge_range(mut self, least: Option<Length>, most: Option<Length>) -> Self {
        self.gauge_least = least.map(Figure::stated);
        self.gauge_most = most.map(Figure::stated);
        self
    }

    /// With a least headlap of its own.
    #[must_use]
    pub fn with_headlap_least(mut self, headlap: Length) -> Self {
        self.headlap_least = Some(Figure::stated(headlap));
        self
    }

    /// With a least pitch of its own.
    #[must_use]
    pub fn with_pitch_least(mut self, pitch: Pitch) -> Self {
        self.pitch_least = Some(Figure::stated(pitch));
        self
    }

    /// With a bond.
    #[must_use]
    pub const fn with_bond(mut self, bond: Bond) -> Self {
        self.bond = bond;
        self
    }

    /// With the mass of a unit.
    #[must_use]
    pub fn with_mass(mut self, mass: Mass) -> Self {
        self.mass = Some(Figure::stated(mass));
        self
    }

    /// With a tile-and-a-half.
    #[must_use]
    pub fn with_tile_and_half(mut self, unit: Companion) -> Self {
        self.tile_and_half = Some(unit);
        self
    }

    /// With an eaves unit.
    #[must_use]
    pub fn with_eaves_unit(mut self, unit: Companion) -> Self {
        self.eaves_unit = Some(unit);
        self
    }

    /// With a top unit.
    #[must_use]
    pub fn with_top_unit(mut self, unit: Companion) -> Self {
        self.top_unit = Some(unit);
        self
    }

    /// With a number of nails in each nailed unit.
    #[must_use]
    pub fn with_nails_each(mut self, nails: u32) -> Self {
        self.nails_each = Some(Figure::stated(nails));
        self
    }
}
