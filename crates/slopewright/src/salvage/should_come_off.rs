//! The number that should come off, from the old gauge, cover width and area: a check on the count.

use serde::{Deserialize, Serialize};

use super::{Portion, UnitKey, chance::real};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{
    Area, AreaIn as _, Length, LengthIn as _, figure, millimetres, read_area, read_length,
};
use crate::reason::Working;

/// The old covering as it was measured before it came off.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OldCovering {
    /// The unit that it was laid with.
    pub unit: UnitKey,
    /// The area it covered, on the slope: `"62.4 m2"`.
    pub area: String,
    /// The old gauge: `"100 mm"`.
    pub gauge: String,
    /// The old cover width (unit and joint): `"165 mm"`.
    pub cover_width: String,
    /// By how much the count may differ before it is worth a word: `"5 %"`.
    pub allowed: Portion,
}

/// The count beside the number that should have come off.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct CountCheck {
    /// The unit.
    pub unit: UnitKey,
    /// The number that should come off.
    pub expected: u64,
    /// The number counted.
    pub counted: u64,
    /// Counted less expected.
    pub difference: i64,
    /// The difference over the expected number.
    pub difference_share: f64,
    /// Whether it differs by more than was allowed.
    pub differs: bool,
    /// How it was reached.
    pub working: Working,
}

impl OldCovering {
    /// Sets a count beside the number that should have come off.
    ///
    /// # Errors
    /// If a measure cannot be read or is not over 0.
    pub fn check(&self, counted: u64) -> Result<CountCheck> {
        let mut faults = Vec::new();
        let area = keep(read_area(&self.area), "area", &mut faults).map(Area::m2);
        let gauge = keep(read_length(&self.gauge), "gauge", &mut faults).map(Length::m);
        let width = keep(read_length(&self.cover_width), "cover width", &mut faults).map(Length::m);
        for (place, value, given) in [
            ("area", area, &self.area),
            ("gauge", gauge, &self.gauge),
            ("cover width", width, &self.cover_width),
        ] {
            if value.is_some_and(|value| value <= 0.0) {
                faults.push(
                    Fault::new(FaultKind::CountUneven, "is nothing").at(place).given(given).allowed("over 0"),
                );
            }
        }
        super::limits::count(counted, "counted", &mut faults);
        Error::check(faults)?;
        let (area, gauge, width) = (area.unwrap_or(0.0), gauge.unwrap_or(1.0), width.unwrap_or(1.0));
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a float cast saturates, and the value is over 0"
        )]
        let expected = ((area / (gauge * width)).round() as u64).min(super::MOST_UNITS);
        let difference =
            i64::try_from(counted).unwrap_or(i64::MAX) - i64::try_from(expected).unwrap_or(i64::MAX);
        let share = if expected == 0 { 0.0 } else { real(difference.unsigned_abs()) / real(expected) };
        let differs = difference.unsigned_abs() > 0 && (expected == 0 || share > self.allowed.chance());
        Ok(CountCheck {
            unit: self.unit.clone(),
            expected,
            counted,
            difference,
            difference_share: share.copysign(if difference < 0 { -1.0 } else { 1.0 }),
            differs,
            working: Working::new(
                "should have come off",
                "area / (gauge x cover width)",
                format!(
                    "area {} m2, gauge {}, cover width {}; counted {counted}, allowed difference {}",
                    figure(area, 3),
                    millimetres(crate::quantity::m(gauge)),
                    millimetres(crate::quantity::m(width)),
                    self.allowed
                ),
                format!("{expected}, so the count is {} % off", figure(share * 100.0, 1)),
            ),
        })
    }
}

fn keep<T>(read: Result<T>, place: &str, faults: &mut Vec<Fault>) -> Option<T> {
    read.map_err(|error| faults.extend(error.at(place).into_faults())).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn old(area: &str, allowed: &str) -> OldCovering {
        OldCovering {
            unit: "imperial whole".parse().unwrap(),
            area: area.to_owned(),
            gauge: "100 mm".to_owned(),
            cover_width: "200 mm".to_owned(),
            allowed: allowed.parse().unwrap(),
        }
    }

    #[test]
    fn a_count_differs_from_its_limit_on() {
        // 20 m2 of 100 x 200 mm are 1000. Two in a hundred may be wanting or over.
        for (counted, difference, differs) in
            [(1000, 0, false), (1020, 20, false), (1021, 21, true), (980, -20, false), (979, -21, true)]
        {
            let found = old("20 m2", "2 %").check(counted).unwrap();
            assert_eq!((found.expected, found.difference, found.differs), (1000, difference, differs));
        }
        // 0.004 m2 is a fifth of a unit: none should have come off, and one is worth a word.
        let nearly_nothing = |counted| old("0.004 m2", "2 %").check(counted).unwrap();
        assert_eq!((nearly_nothing(0).expected, nearly_nothing(0).differs), (0, false));
        assert!(nearly_nothing(1).differs);
        // Without any leave, one is.
        assert!(
            old("20 m2", "0 %").check(1001).unwrap().differs
                && !old("20 m2", "0 %").check(1000).unwrap().differs
        );
    }

    #[test]
    fn the_share_has_the_sign_of_the_difference() {
        let share = |counted| old("20 m2", "2 %").check(counted).unwrap().difference_share;
        assert!((share(1100) - 0.1).abs() < 1e-12 && (share(900) + 0.1).abs() < 1e-12);
    }
}
