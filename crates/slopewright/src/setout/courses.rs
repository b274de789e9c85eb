//! Setting out up the slope: how many courses, at what gauge, from which tail line.

use crate::catalogue::{Covering, Hanging, Layers};
use crate::quantity::{Length, LengthIn as _, SPACE_TOLERANCE_M, m, spaces};

/// What a course is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum CourseKind {
    /// Short units under the first course, with their tails on the same line.
    UnderEaves,
    /// Whole units.
    Field,
    /// Short units under the ridge.
    Top,
}

impl CourseKind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::UnderEaves => "under-eaves",
            Self::Field => "field",
            Self::Top => "top",
        }
    }
}

/// How a slope is divided up its length. All lengths in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauging {
    /// The tail line of the first course.
    pub first_tail_m: f64,
    /// Tail line of the first course to that of the last course of whole units.
    pub distance_m: f64,
    /// Tail to the top of its batten, for a whole unit; to its head, if it is centre-nailed.
    pub hanging_m: f64,
    /// The same for the unit of the last course: a top unit where the format has one.
    pub top_hanging_m: f64,
    /// The largest gauge allowed.
    pub gauge_most_m: f64,
    /// Spaces in the distance.
    pub spaces: u32,
    /// The gauge.
    pub gauge_m: f64,
    /// Whether the equal gauge would have been under the least, so that the largest is kept and the last course is cut.
    pub last_is_cut: bool,
}

impl Gauging {
    /// Divides the slope from `first_tail` to `top`: the top of the last unit's batten. Spaces are equal and none is
    /// over the largest gauge; if that would put them under the least gauge, they keep the largest and the last
    /// course is cut.
    ///
    /// The last course of a double or triple lap is one of short units; where the format has none of its own, they
    /// are cut from whole ones and share the top batten with the course below.
    #[must_use]
    pub fn new(covering: &Covering, first_tail: Length, top: Length, gauge_most: Length) -> Self {
        // A centre-nailed unit reaches far above its batten: it is its head that must stay under the top.
        let hanging = match covering.hanging {
            Hanging::CentreNailed => covering.length.value,
            Hanging::Nibs | Hanging::HeadNailed => covering.hanging_length_at(gauge_most),
        };
        let top_hanging = match (&covering.top_unit, covering.layers) {
            (Some(unit), Layers::Double | Layers::Triple) => covering.hanging_length_of(unit, gauge_most),
            _ => hanging,
        };
        let distance = top - first_tail - top_hanging;
        let room = distance.m() > SPACE_TOLERANCE_M;
        let count = if room { spaces(distance, gauge_most) } else { 0 };
        let equal = if count == 0 { gauge_most } else { distance / f64::from(count) };
        let least = covering.gauge_least.as_ref().map_or(m(0.0), |least| least.value);
        let last_is_cut = count > 0 && equal.m() < least.m() - SPACE_TOLERANCE_M;
        let gauge = if last_is_cut { gauge_most } else { equal };
        Self {
            first_tail_m: first_tail.m(),
            distance_m: distance.m().max(0.0),
            hanging_m: hanging.m(),
            top_hanging_m: top_hanging.m(),
            gauge_most_m: gauge_most.m(),
            spaces: count,
            gauge_m: gauge.m(),
            last_is_cut,
        }
    }

    /// The tail line of the course with this number, counted from 0 at the eaves.
    #[must_use]
    pub fn tail_m(&self, number: u32) -> f64 {
        f64::from(number).mul_add(self.gauge_m, self.first_tail_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::mm;

    /// A single-lap tile of 420 mm that hangs 395 mm over its tail.
    fn interlocking(least: f64) -> Covering {
        Covering::new("tile", Layers::Single, mm(420.0), mm(330.0))
            .with_cover_width(mm(300.0))
            .with_hanging_length(mm(395.0))
            .with_gauge_range(Some(mm(least)), None)
    }

    #[test]
    fn equal_spaces_none_over_the_largest() {
        // Published set-out example (a South African tiling manual, second-hand): 4.325 m at 320 mm at most, 14 spaces of 309 mm.
        let gauging = Gauging::new(&interlocking(300.0), mm(0.0), mm(4325.0 + 395.0), mm(320.0));
        assert_eq!(gauging.spaces, 14);
        assert!((gauging.gauge_m * 1000.0 - 309.0).abs() < 0.5, "{}", gauging.gauge_m);
        assert!((gauging.tail_m(14) - 4.325).abs() < 1e-12);
    }

    #[test]
    fn under_the_least_gauge_the_last_course_is_cut() {
        let gauging = Gauging::new(&interlocking(312.0), mm(-50.0), mm(750.0), mm(345.0));
        assert_eq!((gauging.spaces, gauging.last_is_cut), (2, true));
        assert!((gauging.gauge_m - 0.345).abs() < 1e-12);
    }

    #[test]
    fn a_slope_shorter_than_a_unit_has_one_course() {
        let gauging = Gauging::new(&interlocking(300.0), mm(0.0), mm(300.0), mm(345.0));
        assert_eq!((gauging.spaces, gauging.distance_m), (0, 0.0));
        assert!((gauging.gauge_m - 0.345).abs() < 1e-12);
    }
}
