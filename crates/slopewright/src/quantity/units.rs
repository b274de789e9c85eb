//! The quantities as plain aliases, with short makers and getters.

use uom::si::{
    area::square_meter, areal_mass_density::kilogram_per_square_meter, f64 as si, length::meter,
    mass::kilogram,
};

/// A length, on the slope unless a name says otherwise.
pub type Length = si::Length;
/// An area, on the slope unless a name says otherwise.
pub type Area = si::Area;
/// A mass.
pub type Mass = si::Mass;
/// Mass for each unit of slope area.
pub type CoverMass = si::ArealMassDensity;

const METRES_PER_INCH: f64 = 0.0254;
const METRES_PER_FOOT: f64 = 0.3048;
const KILOGRAMS_PER_POUND: f64 = 0.453_592_37;
/// One square of roofing is 100 square feet.
const SQUARE_FEET_PER_SQUARE: f64 = 100.0;

/// A length in millimetres.
#[must_use]
pub fn mm(value: f64) -> Length {
    // Divided, not multiplied: 4150 / 1000 is the same double as the literal 4.15.
    Length::new::<meter>(value / 1000.0)
}

/// A length in metres.
#[must_use]
pub fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

/// A length in inches of 25.4 mm.
#[must_use]
pub fn inch(value: f64) -> Length {
    Length::new::<meter>(value * METRES_PER_INCH)
}

/// A length in feet of 12 inches.
#[must_use]
pub fn ft(value: f64) -> Length {
    Length::new::<meter>(value * METRES_PER_FOOT)
}

/// An area in square metres.
#[must_use]
pub fn m2(value: f64) -> Area {
    Area::new::<square_meter>(value)
}

/// A mass in kilograms.
#[must_use]
pub fn kg(value: f64) -> Mass {
    Mass::new::<kilogram>(value)
}

/// A mass in pounds (avoirdupois).
#[must_use]
pub fn lb(value: f64) -> Mass {
    Mass::new::<kilogram>(value * KILOGRAMS_PER_POUND)
}

/// A mass per area in kilograms per square metre.
#[must_use]
pub fn kg_per_m2(value: f64) -> CoverMass {
    CoverMass::new::<kilogram_per_square_meter>(value)
}

/// Reads a length in a named unit.
pub trait LengthIn {
    /// In metres.
    fn m(self) -> f64;
    /// In millimetres.
    fn mm(self) -> f64;
    /// In inches.
    fn inches(self) -> f64;
    /// In feet.
    fn feet(self) -> f64;
}

impl LengthIn for Length {
    fn m(self) -> f64 {
        self.value
    }
    fn mm(self) -> f64 {
        self.value * 1000.0
    }
    fn inches(self) -> f64 {
        self.value / METRES_PER_INCH
    }
    fn feet(self) -> f64 {
        self.value / METRES_PER_FOOT
    }
}

/// Reads an area in a named unit.
pub trait AreaIn {
    /// In square metres.
    fn m2(self) -> f64;
    /// In square feet.
    fn square_feet(self) -> f64;
    /// In squares of 100 square feet.
    fn squares(self) -> f64;
}

impl AreaIn for Area {
    fn m2(self) -> f64 {
        self.value
    }
    fn square_feet(self) -> f64 {
        self.value / (METRES_PER_FOOT * METRES_PER_FOOT)
    }
    fn squares(self) -> f64 {
        self.square_feet() / SQUARE_FEET_PER_SQUARE
    }
}

/// Reads a mass in a named unit.
pub trait MassIn {
    /// In kilograms.
    fn kg(self) -> f64;
    /// In pounds.
    fn pounds(self) -> f64;
}

impl MassIn for Mass {
    fn kg(self) -> f64 {
        self.value
    }
    fn pounds(self) -> f64 {
        self.value / KILOGRAMS_PER_POUND
    }
}

/// Reads a mass per area in a named unit.
pub trait CoverMassIn {
    /// In kilograms per square metre.
    fn kg_per_m2(self) -> f64;
    /// As a load in kilonewtons per square metre, at standard gravity.
    fn kn_per_m2(self) -> f64;
}

impl CoverMassIn for CoverMass {
    fn kg_per_m2(self) -> f64 {
        self.value
    }
    fn kn_per_m2(self) -> f64 {
        /// Metres per second squared, rounded as building tables round it.
        const GRAVITY: f64 = 9.81;
        self.value * GRAVITY / 1000.0
    }
}
