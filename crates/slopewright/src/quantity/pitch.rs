//! The pitch of a slope and the factors that follow from it.

use core::f64::consts::FRAC_PI_2;

use super::{Length, LengthIn as _, m};

/// The angle of a slope from level: over 0 and under 90 degrees.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Pitch {
    radians: f64,
}

impl Pitch {
    /// A pitch in degrees from level, or `None` outside 0 to 90 (both excluded).
    ///
    /// ```
    /// use slopewright::quantity::Pitch;
    /// assert!((Pitch::from_degrees(45.0).unwrap().slope_factor() - 2f64.sqrt()).abs() < 1e-12);
    /// assert!(Pitch::from_degrees(90.0).is_none());
    /// ```
    #[must_use]
    pub fn from_degrees(degrees: f64) -> Option<Self> {
        Self::from_radians(degrees.to_radians())
    }

    /// A pitch as rise in run, both in the same unit: `9 in 12`.
    #[must_use]
    pub fn from_rise_in_run(rise: f64, run: f64) -> Option<Self> {
        if !(rise > 0.0 && run > 0.0) {
            return None;
        }
        Self::from_radians(rise.atan2(run))
    }

    fn from_radians(radians: f64) -> Option<Self> {
        (radians > 0.0 && radians < FRAC_PI_2).then_some(Self { radians })
    }

    /// In degrees.
    #[must_use]
    pub const fn degrees(self) -> f64 {
        self.radians.to_degrees()
    }

    /// In radians.
    #[must_use]
    pub const fn radians(self) -> f64 {
        self.radians
    }

    /// Rise for one unit of run.
    #[must_use]
    pub fn rise_per_run(self) -> f64 {
        self.radians.tan()
    }

    /// Length on the slope for one unit of run: 1/cos.
    #[must_use]
    pub fn slope_factor(self) -> f64 {
        1.0 / self.radians.cos()
    }

    /// True length of a hip or valley between two slopes of this pitch that meet at a square corner, for one unit
    /// of the common rafter's run: the square root of (slope factor squared + 1).
    #[must_use]
    pub fn hip_factor(self) -> f64 {
        self.slope_factor().hypot(1.0)
    }

    /// The length on the slope that lies above this length in plan.
    #[must_use]
    pub fn on_slope(self, plan: Length) -> Length {
        m(plan.m() * self.slope_factor())
    }
}
