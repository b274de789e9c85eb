//! Setting out across the slope: cover width, bond, and where the first unit stands.

use crate::catalogue::{Covering, Layers};
use crate::quantity::LengthIn as _;
use crate::survey::{Laying, Start};

/// How the courses are divided across. All lengths in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Across {
    /// The cover width of the format.
    pub format_cover_m: f64,
    /// The cover width that is laid: the format's, or changed within the side play so that whole units fill the width.
    pub cover_m: f64,
    /// The left end of cell 0 of the first course.
    pub origin_m: f64,
    /// How far each second course is shifted to the left.
    pub shift_m: f64,
}

impl Across {
    /// Sets out across a region between `left` and `right`.
    #[must_use]
    pub fn new(laying: &Laying, left: f64, right: f64) -> Self {
        let format_cover_m = laying.covering.cover_width().m();
        let cover_m =
            adjusted_cover(&laying.covering, laying.bond_shift, right - left).unwrap_or(format_cover_m);
        let origin_m = match laying.start {
            Start::Left => left,
            Start::Right => right,
            Start::Centre => f64::midpoint(left, right) - cover_m / 2.0,
        };
        Self { format_cover_m, cover_m, origin_m, shift_m: laying.bond_shift * cover_m }
    }

    /// The left end of cell 0 of a course, counted from 0 at the eaves; -1 is the course under the first.
    #[inline]
    #[must_use]
    pub const fn origin_of(&self, course: i64) -> f64 {
        if course & 1 == 0 { self.origin_m } else { self.origin_m - self.shift_m }
    }
}

/// The cover width at which a whole number of units (of half units, in half bond) fills the width, if that lies
/// within the side play of the format. Only single-lap units have one: their neighbours lock with play.
fn adjusted_cover(covering: &Covering, bond_shift: f64, width: f64) -> Option<f64> {
    if covering.layers != Layers::Single {
        return None;
    }
    let play = covering.side_play.as_ref()?.value.m();
    let cover = covering.cover_width().m();
    let steps_per_unit = if bond_shift == 0.0 {
        1.0
    } else if (bond_shift - 0.5).abs() < 1e-9 {
        2.0
    } else {
        return None;
    };
    let steps = (width / cover * steps_per_unit).round();
    let needed = width / steps * steps_per_unit;
    (steps >= 1.0 && (needed - cover).abs() <= play + 1e-9).then_some(needed)
}
