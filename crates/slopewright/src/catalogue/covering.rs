//! A covering: one format of tile, slate or shingle, with what it takes to set it out.

use std::sync::Arc;

use super::conventions::Conventions;
use super::figure::Figure;
use super::source::{Source, stated_by_the_user};
use crate::quantity::{CoverMass, Length, LengthIn as _, Mass, MassIn as _, Pitch, kg_per_m2, spaces};

/// How many units lie over each other away from the laps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Layers {
    /// One: each unit laps the one below it.
    Single,
    /// Two: each unit laps the next but one below it.
    Double,
    /// Three: shingles.
    Triple,
}

impl Layers {
    /// Every number of layers, with its word in files.
    pub const ALL: &'static [(&'static str, Self)] =
        &[("single", Self::Single), ("double", Self::Double), ("triple", Self::Triple)];

    /// 1, 2 or 3.
    #[must_use]
    pub const fn count(self) -> u32 {
        match self {
            Self::Single => 1,
            Self::Double => 2,
            Self::Triple => 3,
        }
    }
}

/// How a unit holds on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Hanging {
    /// By nibs over the batten.
    Nibs,
    /// By nails near its head.
    HeadNailed,
    /// By nails just above the head of the course below.
    CentreNailed,
}

impl Hanging {
    /// Every hanging, with its word in files.
    pub const ALL: &'static [(&'static str, Self)] =
        &[("nibs", Self::Nibs), ("head-nailed", Self::HeadNailed), ("centre-nailed", Self::CentreNailed)];
}

/// The sideways shift of alternate courses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bond {
    /// By half a cover width.
    Half,
    /// None: joints in line up the slope.
    Straight,
    /// By this share of a cover width.
    Shift(f64),
}

impl Bond {
    /// The shift as a share of a cover width, from 0 to under 1.
    #[must_use]
    pub const fn shift(self) -> f64 {
        match self {
            Self::Half => 0.5,
            Self::Straight => 0.0,
            Self::Shift(share) => share,
        }
    }
}

/// A unit of another size that goes with the covering: tile-and-a-half, eaves unit, top unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Companion {
    /// Its width.
    pub width: Length,
    /// Its length.
    pub length: Length,
    /// Its mass, if known; [`Covering::companion_mass`] scales the whole unit's where it is not.
    pub mass: Option<Mass>,
    /// Where its sizes come from.
    pub source: Arc<Source>,
    /// A doubt or limit.
    pub note: Option<Arc<str>>,
}

impl Companion {
    /// A companion that the user states.
    #[must_use]
    pub fn new(width: Length, length: Length) -> Self {
        Self { width, length, mass: None, source: stated_by_the_user(), note: None }
    }
}

/// A format of covering.
///
/// Take one from [`Catalogue::standard`](super::Catalogue::standard), read one from a file, or state one in code:
///
/// ```
/// use slopewright::catalogue::{Covering, Hanging, Layers};
/// use slopewright::quantity::{LengthIn, mm};
/// let slate = Covering::new("my-slate", Layers::Double, mm(500.0), mm(250.0))
///     .with_family("natural-slate")
///     .with_hanging(Hanging::CentreNailed)
///     .with_joint(mm(5.0));
/// assert!((slate.gauge_for(mm(100.0)).mm() - 200.0).abs() < 1e-9);
/// // BS 8000-6 prints 19.6 for this size and lap.
/// assert!((slate.units_per_m2(mm(200.0)) - 19.6).abs() < 0.05);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Covering {
    /// The key in the catalogue.
    pub key: String,
    /// The name for people.
    pub name: String,
    /// What it is made of.
    pub material: String,
    /// The key under which the rules know it: `plain-tile`, `natural-slate`, `interlocking` ...
    pub family: String,
    /// How many units lie over each other.
    pub layers: Layers,
    /// Length of a unit, head to tail.
    pub length: Figure<Length>,
    /// Width of a unit.
    pub width: Figure<Length>,
    /// Gap between neighbours, added to the width; 0 where the count goes by the nominal width.
    pub joint: Figure<Length>,
    /// Width that a unit covers, where it is stated and not width plus joint.
    pub cover_width: Option<Figure<Length>>,
    /// How far a unit may be pulled wider or pushed narrower than its cover width.
    pub side_play: Option<Figure<Length>>,
    /// How a unit holds on.
    pub hanging: Hanging,
    /// Tail to the top of the batten it hangs on; `None` for nailed units, where it follows from the nail hole.
    pub hanging_length: Option<Figure<Length>>,
    /// What head-nailed units lose before the lap is counted; 0 for the others.
    pub nail_allowance: Figure<Length>,
    /// The least gauge the format allows.
    pub gauge_least: Option<Figure<Length>>,
    /// The largest gauge the format allows.
    pub gauge_most: Option<Figure<Length>>,
    /// The least headlap the format itself asks for, whatever the rules say.
    pub headlap_least: Option<Figure<Length>>,
    /// The least pitch the format itself asks for, whatever the rules say.
    pub pitch_least: Option<Figure<Pitch>>,
    /// Sideways shift of alternate courses.
    pub bond: Bond,
    /// Mass of a unit.
    pub mass: Option<Figure<Mass>>,
    /// Mass for each unit of a piece's own face, from which the mass of another size follows.
    pub face_mass: Option<Figure<CoverMass>>,
    /// The unit half as wide again, for verges and cuts.
    pub tile_and_half: Option<Companion>,
    /// The short unit under the first course.
    pub eaves_unit: Option<Companion>,
    /// The short unit under the ridge.
    pub top_unit: Option<Companion>,
    /// Nails in a unit that is nailed.
    pub nails_each: Option<Figure<u32>>,
}

impl Covering {
    /// A covering that the user states: hung by nibs, nominal width, half bond (straight in single lap).
    /// Nothing is checked yet; [`Catalogue::with_covering`](super::Catalogue::with_covering) and [`Covering::check`] do.
    #[must_use]
    pub fn new(key: impl Into<String>, layers: Layers, length: Length, width: Length) -> Self {
        let key = key.into();
        let (family, bond) = match layers {
            Layers::Single => ("interlocking", Bond::Straight),
            Layers::Double => ("plain-tile", Bond::Half),
            Layers::Triple => ("shingle", Bond::Half),
        };
        Self {
            name: key.clone(),
            key,
            material: String::new(),
            family: family.to_owned(),
            layers,
            length: Figure::stated(length),
            width: Figure::stated(width),
            joint: Conventions::standard().no_joint.clone(),
            cover_width: None,
            side_play: None,
            hanging: Hanging::Nibs,
            hanging_length: None,
            nail_allowance: Conventions::standard().no_allowance.clone(),
            gauge_least: None,
            gauge_most: None,
            headlap_least: None,
            pitch_least: None,
            bond,
            mass: None,
            face_mass: None,
            tile_and_half: None,
            eaves_unit: None,
            top_unit: None,
            nails_each: None,
        }
    }

    /// The width that a unit covers: as stated, or width and joint.
    #[must_use]
    pub fn cover_width(&self) -> Length {
        self.cover_width.as_ref().map_or_else(|| self.width.value + self.joint.value, |stated| stated.value)
    }

    /// Which convention the cover width follows, for the working.
    #[must_use]
    pub fn cover_width_convention(&self) -> &'static str {
        if self.cover_width.is_some() {
            "stated cover width"
        } else if self.joint.value.m() > 0.0 {
            "width and joint"
        } else {
            "nominal width, no joint"
        }
    }

    /// The gauge that leaves this headlap: (length - nail allowance - headlap) / layers.
    #[must_use]
    pub fn gauge_for(&self, headlap: Length) -> Length {
        (self.length.value - self.nail_allowance.value - headlap) / f64::from(self.layers.count())
    }

    /// The headlap that this gauge leaves; negative if the gauge is too large to lap at all.
    #[must_use]
    pub fn headlap_for(&self, gauge: Length) -> Length {
        self.length.value - self.nail_allowance.value - gauge * f64::from(self.layers.count())
    }

    /// The length of the short unit under the first course: length less gauge.
    #[must_use]
    pub fn under_eaves_length(&self, gauge: Length) -> Length {
        self.length.value - gauge
    }

    /// Units for each square metre of slope at this gauge, without any for eaves, top or cuts.
    #[must_use]
    pub fn units_per_m2(&self, gauge: Length) -> f64 {
        1.0 / (self.cover_width().m() * gauge.m())
    }

    /// Metres of batten for each square metre of slope at this gauge.
    #[must_use]
    pub fn batten_metres_per_m2(&self, gauge: Length) -> f64 {
        1.0 / gauge.m()
    }

    /// Units on a rectangle laid from edge to edge: the units of one course, rounded up, in each course; one course
    /// more if the first is laid double.
    #[must_use]
    pub fn units_on_rectangle(
        &self,
        width: Length,
        rafter: Length,
        gauge: Length,
        first_course_double: bool,
    ) -> u64 {
        let courses = u64::from(spaces(rafter, gauge)) + u64::from(first_course_double);
        courses * u64::from(spaces(width, self.cover_width()))
    }

    /// Tail to the top of the batten at this gauge. For nailed units it is tail to nail hole: gauge, headlap and
    /// the clearance of the hole for centre-nailed ones, the length less the nail allowance for head-nailed ones.
    /// A nibbed unit without a stated hanging length is taken to hang at its head.
    #[must_use]
    pub fn hanging_length_at(&self, gauge: Length) -> Length {
        match (&self.hanging_length, self.hanging) {
            (Some(stated), _) => stated.value,
            (None, Hanging::Nibs) => self.length.value,
            (None, Hanging::HeadNailed) => self.length.value - self.nail_allowance.value,
            (None, Hanging::CentreNailed) => {
                let hole = gauge + self.headlap_for(gauge) + Conventions::standard().holing_clearance.value;
                if hole < self.length.value { hole } else { self.length.value }
            }
        }
    }

    /// The same for a companion, whose nibs or holes sit as far from its head as those of the whole unit.
    #[must_use]
    pub fn hanging_length_of(&self, companion: &Companion, gauge: Length) -> Length {
        companion.length - (self.length.value - self.hanging_length_at(gauge))
    }

    /// The mass of a companion: as stated, or the whole unit's in proportion to the face.
    #[must_use]
    pub fn companion_mass(&self, companion: &Companion) -> Option<Mass> {
        companion.mass.or_else(|| {
            let whole = self.mass.as_ref()?.value;
            let share = (companion.width * companion.length) / (self.width.value * self.length.value);
            Some(whole * share.value)
        })
    }

    /// Mass of the units for each area of slope at this gauge.
    #[must_use]
    pub fn mass_per_m2(&self, gauge: Length) -> Option<CoverMass> {
        self.mass.as_ref().map(|mass| kg_per_m2(mass.value.kg() * self.units_per_m2(gauge)))
    }
}
