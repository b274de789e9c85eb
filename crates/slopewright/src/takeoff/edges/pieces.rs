//! Sheet cut into pieces that lap: how many, and how much of it there is.

use crate::quantity::{m, spaces};

/// Pieces of one length of sheet, each lapping the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pieces {
    /// How many.
    pub count: u32,
    /// Their length in all, laps included, in metres.
    pub sheet_m: f64,
    /// The lap of one over the next, in metres.
    pub lap_m: f64,
    /// The longest piece allowed, in metres.
    pub most_m: f64,
}

impl Pieces {
    /// The fewest pieces of at most `most_m`, each lapping the next by `lap_m`, that run `length_m`. `None` if a piece
    /// is no longer than its lap, or a length is not a positive number.
    ///
    /// ```
    /// use slopewright::takeoff::Pieces;
    /// // By hand: 1.5 + 1.4 + 1.4 = 4.3 m is enough for 4 m; the laps add 0.2 m.
    /// let pieces = Pieces::of(4.0, 1.5, 0.1).unwrap();
    /// assert_eq!(pieces.count, 3);
    /// assert!((pieces.sheet_m - 4.2).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn of(length_m: f64, most_m: f64, lap_m: f64) -> Option<Self> {
        let are_sound = length_m > 0.0 && length_m.is_finite() && lap_m >= 0.0 && most_m > lap_m;
        if !are_sound {
            return None;
        }
        // Each piece shows its length less the lap; the last one has nothing to lap.
        let count = spaces(m((length_m - lap_m).max(0.0)), m(most_m - lap_m));
        Some(Self { count, sheet_m: f64::from(count - 1).mul_add(lap_m, length_m), lap_m, most_m })
    }

    /// The length of each: as long as they may be, and a rest.
    #[must_use]
    pub fn lengths_m(&self) -> Vec<f64> {
        let mut lengths = vec![self.most_m; self.count.saturating_sub(1) as usize];
        lengths.push(f64::from(self.count.saturating_sub(1)).mul_add(-self.most_m, self.sheet_m));
        lengths
    }

    /// The area of the sheet at a width, in square metres.
    #[must_use]
    pub fn area_m2(&self, width_m: f64) -> f64 {
        self.sheet_m * width_m
    }
}

/// Places for wedges or clips along a length, no further apart than `most_m`: one at each end and between.
#[must_use]
pub fn places_along(length_m: f64, most_m: f64) -> u32 {
    spaces(m(length_m), m(most_m)).saturating_add(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_sides_of_a_further_piece() {
        // NHBC Standards 7.2.20 (seen): pieces of at most 1.5 m, laps of at least 100 mm. By hand: one piece to
        // 1.5 m, two to 2.9 m, three to 4.3 m.
        for (length, count) in [(1.5, 1), (1.501, 2), (2.9, 2), (2.901, 3), (4.3, 3), (4.301, 4)] {
            assert_eq!(Pieces::of(length, 1.5, 0.1).unwrap().count, count, "{length}");
        }
        assert!((Pieces::of(2.9, 1.5, 0.1).unwrap().sheet_m - 3.0).abs() < 1e-12);
        // By hand: 3.5 m takes two laps, 3.7 m of sheet: 1.5 + 1.5 + 0.7.
        let lengths = Pieces::of(3.5, 1.5, 0.1).unwrap().lengths_m();
        assert!(lengths.iter().zip([1.5, 1.5, 0.7]).all(|(found, by_hand)| (found - by_hand).abs() < 1e-12));
        assert_eq!(lengths.len(), 3);
    }

    #[test]
    fn no_length_panics() {
        for length in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(Pieces::of(length, 1.5, 0.1), None, "{length}");
        }
        assert_eq!(Pieces::of(3.0, 0.1, 0.1), None);
        assert_eq!(Pieces::of(0.05, 1.5, 0.1).unwrap().count, 1);
    }

    #[test]
    fn wedges_at_the_widest_spacing() {
        // NHBC Standards 7.2.20 (seen): wedges at no more than 450 mm. By hand: 4.5 m has ten spaces, eleven wedges.
        assert_eq!(places_along(4.5, 0.45), 11);
        assert_eq!(places_along(4.501, 0.45), 12);
    }
}
