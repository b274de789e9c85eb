//! The one home of rounding: every step from a length or a share to a whole number is taken here.

use super::{Length, LengthIn as _};

/// How far over a whole number of spaces a distance may be and still count as that number: 0.1 mm, the grid
/// of the geometry. So 3000 mm in spaces of at most 300 mm is 10 spaces, whatever the last bit of the division says.
pub const SPACE_TOLERANCE_M: f64 = 0.000_1;

/// The least number of equal spaces, none larger than `largest`, that fill `distance`; at least 1.
///
/// ```
/// use slopewright::quantity::{mm, spaces};
/// assert_eq!(spaces(mm(3000.0), mm(300.0)), 10);
/// assert_eq!(spaces(mm(3000.2), mm(300.0)), 11);
/// ```
#[must_use]
pub fn spaces(distance: Length, largest: Length) -> u32 {
    whole_up((distance.m() - SPACE_TOLERANCE_M) / largest.m()).max(1)
}

/// The next whole number up; 0 for anything that is not a positive number, `u32::MAX` for anything too large.
#[must_use]
pub fn whole_up(value: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a float cast saturates and sends NaN to 0"
    )]
    {
        value.ceil() as u32
    }
}

/// The next whole number down; 0 for anything that is not a positive number, `u32::MAX` for anything too large.
#[must_use]
pub fn whole_down(value: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a float cast saturates and sends NaN to 0"
    )]
    {
        value.floor() as u32
    }
}

/// The whole number at or below a value; the least or greatest of its type for anything beyond them.
///
/// For where it is asked for millions of times: on the oldest processors, which lack an instruction for it, `floor` is a call.
#[inline]
#[must_use]
pub(crate) fn whole_below(value: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "a float cast saturates and sends NaN to 0")]
    let towards_zero = value as i32;
    if f64::from(towards_zero) > value { towards_zero.saturating_sub(1) } else { towards_zero }
}

/// The nearest whole number, as a float: for values under 2^51 only. Two additions, where `round` is a call.
#[inline]
#[must_use]
pub(crate) const fn nearest_whole(value: f64) -> f64 {
    /// At this size the spacing of floats is one: the sum has no room for a fraction.
    const NO_FRACTIONS: f64 = 6_755_399_441_055_744.0;
    (value + NO_FRACTIONS) - NO_FRACTIONS
}

/// How many packs hold `count` units; `None` if a pack is empty.
#[must_use]
pub const fn packs_for(count: u64, per_pack: u64) -> Option<u64> {
    if per_pack == 0 { None } else { Some(count.div_ceil(per_pack)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{inch, m, mm};

    #[test]
    fn an_exact_division_adds_no_space() {
        // Published set-out example: 3000 mm at 300 mm at most is exactly 10 courses.
        assert_eq!(spaces(mm(3000.0), mm(300.0)), 10);
        // Published: 204 in at 13 in at most is 16 courses.
        assert_eq!(spaces(inch(204.0), inch(13.0)), 16);
        // Both sides of the tolerance.
        assert_eq!(spaces(mm(3000.09), mm(300.0)), 10);
        assert_eq!(spaces(mm(3000.11), mm(300.0)), 11);
    }

    #[test]
    fn nothing_wraps_or_panics() {
        assert_eq!(whole_up(f64::NAN), 0);
        assert_eq!(whole_up(-3.0), 0);
        assert_eq!(whole_up(f64::INFINITY), u32::MAX);
        assert_eq!((whole_down(f64::NAN), whole_down(-3.0), whole_down(2.9)), (0, 0, 2));
        assert_eq!([-2.5, -2.0, -0.1, 0.0, 2.9].map(whole_below), [-3, -2, -1, 0, 2]);
        assert_eq!([f64::NEG_INFINITY, f64::NAN, f64::INFINITY].map(whole_below), [i32::MIN, 0, i32::MAX]);
        assert_eq!(
            [-2.6, -2.4, -0.0, 0.4, 2.6].map(|value| whole_below(nearest_whole(value))),
            [-3, -2, 0, 0, 3]
        );
        assert_eq!(spaces(m(1.0), m(0.0)), u32::MAX);
        assert_eq!(packs_for(10, 0), None);
        assert_eq!(packs_for(11, 5), Some(3));
    }
}
