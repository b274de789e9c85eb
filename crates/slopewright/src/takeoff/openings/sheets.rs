//! Underlay round openings: turned up their sides, and as a collar on the slope. Strips of one width are cut side by side
//! from the roll.

use super::perimeter_m;
use crate::quantity::LengthIn;
use crate::survey::outline::edges;
use crate::survey::{Opening, Slope, UnderlayChoice};
use crate::takeoff::{Laps, SlopeUnderlay};

/// What strips of underlay round an opening are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StripUse {
    /// Turned up its sides.
    Upstand,
    /// Laid on the slope round it.
    Collar,
}

/// Strips of underlay round one opening, one for each of its sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnderlayStrips {
    /// The opening, by its place on the slope.
    pub opening: usize,
    /// What they are for.
    pub use_for: StripUse,
    /// The width of a strip, in metres.
    pub width_m: f64,
    /// Their lengths together, in metres.
    pub length_m: f64,
    /// How many of them are cut side by side from the roll.
    pub abreast: u32,
    /// The length that they take off the roll, in metres.
    pub roll_m: f64,
}

impl UnderlayStrips {
    /// Their area, in square metres.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        self.length_m * self.width_m
    }

    /// Strips of these lengths, cut side by side from a roll: the longest next to each other, so that each length of
    /// roll goes by the longest in it.
    ///
    /// ```
    /// use slopewright::takeoff::{StripUse, UnderlayStrips};
    /// // By hand: from a roll 1 m wide two strips of 400 mm lie side by side: 3 m and 2 m take 3 m of it, 2 m and 1 m take 2 m.
    /// let strips = UnderlayStrips::of(0, StripUse::Collar, 0.4, &[1.0, 2.0, 3.0, 2.0], 1.0);
    /// assert_eq!((strips.abreast, strips.roll_m, strips.length_m), (2, 5.0, 8.0));
    /// ```
    #[must_use]
    pub fn of(opening: usize, use_for: StripUse, width_m: f64, lengths_m: &[f64], roll_width_m: f64) -> Self {
        /// A strip fits beside another if it misses by no more than a rounding error.
        const TOLERANCE: f64 = 1e-9;
        let abreast = crate::quantity::whole_down(roll_width_m / width_m + TOLERANCE).max(1);
        let mut lengths = lengths_m.to_vec();
        lengths.sort_unstable_by(|one, other| other.total_cmp(one));
        let roll_m = lengths.iter().step_by(abreast as usize).sum();
        Self { opening, use_for, width_m, length_m: lengths.iter().sum(), abreast, roll_m }
    }

    /// The strips of one opening: its upstand as stated or by the rule, its collar where one is stated.
    fn round(number: usize, opening: &Opening, laps: Laps, roll_width_m: f64) -> Vec<Self> {
        let sides: Vec<f64> = edges(&opening.outline).map(|(a, b)| b.minus(a).length()).collect();
        let upstand_m = opening.underlay_upstand.map_or(laps.up_wall_m, LengthIn::m);
        let mut strips = Vec::new();
        if upstand_m > 0.0 {
            strips.push(Self::of(number, StripUse::Upstand, upstand_m, &sides, roll_width_m));
        }
        if let Some(collar_m) = opening.underlay_collar.map(LengthIn::m).filter(|width| *width > 0.0) {
            // At each corner a strip laid flat goes on by its own width.
            let longer: Vec<f64> = sides.iter().map(|side| 2.0_f64.mul_add(collar_m, *side)).collect();
            strips.push(Self::of(number, StripUse::Collar, collar_m, &longer, roll_width_m));
        }
        strips
    }

    /// The strips round every opening of a slope.
    pub(in crate::takeoff) fn of_slope(
        slope: &Slope,
        underlay: &SlopeUnderlay,
        choice: &UnderlayChoice,
    ) -> Vec<Self> {
        let roll_width_m = choice.underlay.width.value.m();
        let openings = slope.openings.iter().enumerate().filter(|(_, opening)| perimeter_m(opening) > 0.0);
        openings
            .flat_map(|(number, opening)| Self::round(number, opening, underlay.laps, roll_width_m))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strips_side_by_side() {
        // By hand: ten strips of 100 mm fill a roll of 1 m exactly; of 101 mm nine do.
        let abreast = |width| UnderlayStrips::of(0, StripUse::Upstand, width, &[1.0; 4], 1.0).abreast;
        assert_eq!((abreast(0.1), abreast(0.101), abreast(1.5)), (10, 9, 1));
        // All four sides of an opening of 0.78 x 1.18 m side by side take the longest side's length.
        let strips = UnderlayStrips::of(0, StripUse::Upstand, 0.1, &[0.78, 1.18, 0.78, 1.18], 1.0);
        assert!((strips.roll_m - 1.18).abs() < 1e-12 && (strips.area_m2() - 0.392).abs() < 1e-12);
    }
}
