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

/// The part of a slope between two fixed points, divided for itself. All lengths in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeBand {
    /// The tail line at its lower fixed point.
    pub from_m: f64,
    /// The tail line at its upper fixed point.
    pub to_m: f64,
    /// Spaces in it.
    pub spaces: u32,
    /// The gauge.
    pub gauge_m: f64,
    /// Whether the equal gauge would have been under the least, so that the largest is kept and the last space is what
    /// is left.
    pub last_is_cut: bool,
}

impl GaugeBand {
    /// Divides a distance into the fewest equal spaces none of which is over the largest gauge; where they would be
    /// under the least gauge, all but the last keep the largest.
    fn divide(from_m: f64, to_m: f64, gauge_most: Length, gauge_least: Length) -> Self {
        let distance = m(to_m - from_m);
        let room = distance.m() > SPACE_TOLERANCE_M;
        let count = if room { spaces(distance, gauge_most) } else { 0 };
        let equal = if count == 0 { gauge_most } else { distance / f64::from(count) };
        let last_is_cut = count > 0 && equal.m() < gauge_least.m() - SPACE_TOLERANCE_M;
        let gauge = if last_is_cut { gauge_most } else { equal };
        Self { from_m, to_m, spaces: count, gauge_m: gauge.m(), last_is_cut }
    }

    /// The distance between the two fixed points.
    #[must_use]
    pub fn distance_m(&self) -> f64 {
        self.to_m - self.from_m
    }

    /// The last space, where it is not the gauge.
    #[must_use]
    pub fn last_space_m(&self) -> f64 {
        if self.last_is_cut {
            self.distance_m() - f64::from(self.spaces.saturating_sub(1)) * self.gauge_m
        } else {
            self.gauge_m
        }
    }
}

/// How a slope is divided up its length. All lengths in metres.
#[derive(Debug, Clone, PartialEq)]
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
    /// Spaces in the distance, those of all bands together.
    pub spaces: u32,
    /// The gauge; the largest of them if there are several bands.
    pub gauge_m: f64,
    /// Whether the equal gauge would have been under the least at the top of the slope, so that the largest is kept and
    /// the last course is cut.
    pub last_is_cut: bool,
    /// The bands between fixed points, from the eaves up; empty if the eaves and the ridge are the only ones.
    pub bands: Vec<GaugeBand>,
}

impl Gauging {
    /// Divides the slope from `first_tail` to `top`: the top of the last unit's batten. Spaces are equal and none is
    /// over the largest gauge; if that would put them under the least gauge, they keep the largest and the last
    /// course is cut.
    ///
    /// Each of the fixed points, levels up the slope in metres in any order, gets a tail line of its own, and each band
    /// between two of them is divided for itself. One that is not between the first and the last tail line is left
    /// out.
    ///
    /// The last course of a double or triple lap is one of short units; where the format has none of its own, they
    /// are cut from whole ones and share the top batten with the course below.
    #[must_use]
    pub fn new(
        covering: &Covering,
        first_tail: Length,
        top: Length,
        gauge_most: Length,
        fixed_points: &[f64],
    ) -> Self {
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
        let least = covering.gauge_least.as_ref().map_or(m(0.0), |least| least.value);
        let last_tail_m = first_tail.m() + distance.m();
        let whole = GaugeBand::divide(first_tail.m(), last_tail_m, gauge_most, least);
        let mut gauging = Self {
            first_tail_m: first_tail.m(),
            distance_m: distance.m().max(0.0),
            hanging_m: hanging.m(),
            top_hanging_m: top_hanging.m(),
            gauge_most_m: gauge_most.m(),
            spaces: whole.spaces,
            gauge_m: whole.gauge_m,
            last_is_cut: whole.last_is_cut,
            bands: Vec::new(),
        };
        if !fixed_points.is_empty() {
            gauging.set_bands(fixed_points, last_tail_m, gauge_most, least);
        }
        gauging
    }

    fn set_bands(&mut self, fixed_points: &[f64], last_tail_m: f64, gauge_most: Length, least: Length) {
        let mut levels: Vec<f64> =
            fixed_points.iter().copied().filter(|at| self.is_between(*at, last_tail_m)).collect();
        levels.sort_unstable_by(f64::total_cmp);
        levels.dedup_by(|later, earlier| *later - *earlier < SPACE_TOLERANCE_M);
        if levels.is_empty() {
            return;
        }
        levels.push(last_tail_m);
        let mut from_m = self.first_tail_m;
        for to_m in levels {
            self.bands.push(GaugeBand::divide(from_m, to_m, gauge_most, least));
            from_m = to_m;
        }
        self.spaces = self.bands.iter().map(|band| band.spaces).sum();
        self.gauge_m = self.bands.iter().map(|band| band.gauge_m).fold(0.0, f64::max);
        self.last_is_cut = self.bands.last().is_some_and(|band| band.last_is_cut);
    }

    fn is_between(&self, level_m: f64, last_tail_m: f64) -> bool {
        level_m > self.first_tail_m + SPACE_TOLERANCE_M && level_m < last_tail_m - SPACE_TOLERANCE_M
    }

    /// Whether a fixed point at this level got a tail line.
    #[must_use]
    pub fn keeps(&self, level_m: f64) -> bool {
        self.bands.iter().skip(1).any(|band| (band.from_m - level_m).abs() <= SPACE_TOLERANCE_M)
    }

    /// The tail line of the course with this number, counted from 0 at the eaves.
    #[inline]
    #[must_use]
    pub fn tail_m(&self, number: u32) -> f64 {
        match self.band_of(number) {
            None => self.first_tail_m + f64::from(number) * self.gauge_m,
            Some((band, within)) => band.from_m + f64::from(within) * band.gauge_m,
        }
    }

    /// The gauge of the course with this number: its tail line to the next.
    #[inline]
    #[must_use]
    pub fn gauge_of(&self, number: u32) -> f64 {
        match self.band_of(number) {
            None => self.gauge_m,
            // Between fixed points the last space is what is left; at the top the course is cut instead.
            Some((band, within))
                if band.last_is_cut && within + 1 == band.spaces && number + 1 < self.spaces =>
            {
                band.last_space_m()
            }
            Some((band, _)) => band.gauge_m,
        }
    }

    /// The band of a course, and the course's number in it; the last band takes all courses above.
    #[inline]
    fn band_of(&self, number: u32) -> Option<(&GaugeBand, u32)> {
        if self.bands.is_empty() { None } else { self.band_among(number) }
    }

    fn band_among(&self, number: u32) -> Option<(&GaugeBand, u32)> {
        let mut within = number;
        let mut bands = self.bands.iter().peekable();
        while let Some(band) = bands.next() {
            if within < band.spaces || bands.peek().is_none() {
                return Some((band, within));
            }
            within -= band.spaces;
        }
        None
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
        let gauging = Gauging::new(&interlocking(300.0), mm(0.0), mm(4325.0 + 395.0), mm(320.0), &[]);
        assert_eq!(gauging.spaces, 14);
        assert!((gauging.gauge_m * 1000.0 - 309.0).abs() < 0.5, "{}", gauging.gauge_m);
        assert!((gauging.tail_m(14) - 4.325).abs() < 1e-12);
    }

    #[test]
    fn under_the_least_gauge_the_last_course_is_cut() {
        let gauging = Gauging::new(&interlocking(312.0), mm(-50.0), mm(750.0), mm(345.0), &[]);
        assert_eq!((gauging.spaces, gauging.last_is_cut), (2, true));
        assert!((gauging.gauge_m - 0.345).abs() < 1e-12);
    }

    #[test]
    fn a_slope_shorter_than_a_unit_has_one_course() {
        let gauging = Gauging::new(&interlocking(300.0), mm(0.0), mm(300.0), mm(345.0), &[]);
        assert_eq!((gauging.spaces, gauging.distance_m), (0, 0.0));
        assert!((gauging.gauge_m - 0.345).abs() < 1e-12);
    }

    #[test]
    fn fixed_points_part_the_slope_into_bands() {
        // By hand, under the published rule (Roof Tile Association, "Tiling": each opening's bottom and top are fixed points,
        // the gauge is set separately for each band between them). 4000 mm to the last tail line at 345 mm at most, an opening
        // from 1000 to 2180 mm: 1000/345 -> 3 spaces of 333.3; 1180/345 -> 4 of 295, under the least of 312, so three of 345
        // and one of 145; 1820/345 -> 6 of 303.3, under the least too.
        let fixed = [2.18, 1.0];
        let gauging = Gauging::new(&interlocking(312.0), mm(0.0), mm(4395.0), mm(345.0), &fixed);
        let by_hand: Vec<(u32, f64, bool)> = gauging
            .bands
            .iter()
            .map(|band| (band.spaces, (band.gauge_m * 1e4).round() / 1e4, band.last_is_cut))
            .collect();
        assert_eq!(by_hand, [(3, 0.3333, false), (4, 0.345, true), (6, 0.345, true)]);
        assert_eq!(gauging.spaces, 13);
        assert!((gauging.tail_m(3) - 1.0).abs() < 1e-12 && (gauging.tail_m(7) - 2.18).abs() < 1e-12);
        assert!((gauging.gauge_of(6) - 0.145).abs() < 1e-12, "{}", gauging.gauge_of(6));
        assert!(gauging.keeps(1.0) && gauging.keeps(2.18) && !gauging.keeps(1.1));
        // The top of the slope keeps its own rule: the last course is cut.
        assert!(gauging.last_is_cut && (gauging.gauge_of(12) - 0.345).abs() < 1e-12);
        // Without a least gauge every band is divided into equal spaces, and each tail line follows on the last.
        let gauging = Gauging::new(&interlocking(10.0), mm(0.0), mm(4395.0), mm(345.0), &fixed);
        for number in 0..gauging.spaces {
            let next = gauging.tail_m(number) + gauging.gauge_of(number);
            assert!((gauging.tail_m(number + 1) - next).abs() < 1e-12, "{number}");
        }
        assert!((gauging.tail_m(gauging.spaces) - 4.0).abs() < 1e-12);
    }

    #[test]
    fn fixed_points_nearer_than_the_tolerance_are_one() {
        // Two sills half a tenth of a millimetre apart have one tail line; two a millimetre apart have one each, with a band of
        // 1 mm between them that is cut.
        let bands = |apart_m: f64| {
            let fixed = [1.0, 1.0 + apart_m];
            Gauging::new(&interlocking(300.0), mm(0.0), mm(4395.0), mm(345.0), &fixed).bands.len()
        };
        assert_eq!((bands(0.0), bands(0.000_05), bands(0.001)), (2, 2, 3));
    }

    #[test]
    fn a_fixed_point_outside_the_tail_lines_changes_nothing() {
        let plain = Gauging::new(&interlocking(300.0), mm(0.0), mm(4395.0), mm(345.0), &[]);
        // Both sides of the tolerance of 0.1 mm at the first and at the last tail line.
        for fixed in [-0.5, 0.0, 0.000_09, 3.999_95, 4.2] {
            let gauging = Gauging::new(&interlocking(300.0), mm(0.0), mm(4395.0), mm(345.0), &[fixed]);
            assert_eq!(gauging, plain, "{fixed}");
        }
        for fixed in [0.000_11, 3.999_85] {
            let gauging = Gauging::new(&interlocking(300.0), mm(0.0), mm(4395.0), mm(345.0), &[fixed]);
            assert_eq!(gauging.bands.len(), 2, "{fixed}");
        }
    }
}
