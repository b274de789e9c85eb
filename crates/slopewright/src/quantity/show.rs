//! Writing lengths for people: metric with stated decimals, imperial to the sixteenth of an inch.

use core::fmt;

use super::rounding::nearest_whole;
use super::{Length, LengthIn as _};

/// A number with at most this many decimals and no trailing zeros: `4.15`, `12`.
#[must_use]
pub const fn figure(value: f64, decimals: usize) -> Shown {
    Shown { value, decimals, unit: "" }
}

/// A number as [`figure`] shows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    value: f64,
    decimals: usize,
    unit: &'static str,
}

/// More decimals than one less than this are rare.
const LONGEST: usize = 10;
/// No unit has more bytes than this.
const LONGEST_UNIT: usize = 8;

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.in_units() {
            Some(units) => self.write_whole(f, units),
            None => self.write_exactly(f),
        }
    }
}

impl Shown {
    fn write_exactly(self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = format!("{:.*}", self.decimals, self.value);
        let short = text.trim_end_matches('0').trim_end_matches('.');
        f.write_str(if text.contains('.') { short } else { &text })?;
        if self.unit.is_empty() { Ok(()) } else { write!(f, " {}", self.unit) }
    }

    /// Writes the number of units of the last decimal: from the last digit to the first, and all of it in one piece.
    fn write_whole(self, f: &mut fmt::Formatter<'_>, units: i64) -> fmt::Result {
        let (mut rest, mut decimals) = (units.unsigned_abs(), self.decimals);
        while decimals > 0 && rest.is_multiple_of(10) {
            (rest, decimals) = (rest / 10, decimals - 1);
        }
        // Digits of the fraction may be noughts.
        let mut text = [b'0'; 2 * LONGEST + LONGEST_UNIT];
        let mut from = text.len();
        let mut put = |from: &mut usize, byte: u8| {
            *from = from.saturating_sub(1);
            if let Some(place) = text.get_mut(*from) {
                *place = byte;
            }
        };
        if !self.unit.is_empty() {
            self.unit.bytes().rev().for_each(|byte| put(&mut from, byte));
            put(&mut from, b' ');
        }
        let mut written = 0;
        while rest > 0 || written <= decimals {
            if written == decimals && decimals > 0 {
                put(&mut from, b'.');
            }
            put(&mut from, b'0' + (rest % 10) as u8);
            (rest, written) = (rest / 10, written + 1);
        }
        if units < 0 {
            put(&mut from, b'-');
        }
        f.write_str(text.get(from..).and_then(|text| str::from_utf8(text).ok()).unwrap_or_default())
    }
}

impl Shown {
    /// The same with a unit after it: `4.15 m`.
    #[must_use]
    pub const fn with(self, unit: &'static str) -> Self {
        Self { unit, ..self }
    }

    /// The number counted in units of its last decimal, and how many of those are one; `None` where it lies too near to
    /// half-way between two, or is too large, for a product to tell. A take-off shows hundreds of numbers, and to round
    /// each by its exact value takes several times as long.
    fn in_units(self) -> Option<i64> {
        const PER_ONE: [f64; LONGEST] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9];
        /// Below this a product is off by less than a millionth.
        const LARGEST: f64 = 1e9;
        let scaled = self.value * PER_ONE.get(self.decimals)?;
        let nearest = nearest_whole(scaled);
        let is_sure = scaled.abs() < LARGEST && (scaled - nearest).abs() < 0.499_999;
        #[expect(clippy::cast_possible_truncation, reason = "it is whole and below a thousand millions")]
        is_sure.then_some(nearest as i64)
    }
}

/// `4.15 m`, to the millimetre.
#[must_use]
pub fn metres(length: Length) -> String {
    figure(length.m(), 3).with("m").to_string()
}

/// `4150 mm`, to the tenth of a millimetre.
#[must_use]
pub fn millimetres(length: Length) -> String {
    figure(length.mm(), 1).with("mm").to_string()
}

/// `13 ft 7 1/2 in`, to the nearest sixteenth of an inch.
///
/// ```
/// use slopewright::quantity::{feet_inches, inch};
/// assert_eq!(feet_inches(inch(163.5)), "13 ft 7 1/2 in");
/// ```
#[must_use]
pub fn feet_inches(length: Length) -> String {
    const SIXTEENTHS_PER_FOOT: i64 = 12 * 16;
    #[expect(clippy::cast_possible_truncation, reason = "a float cast saturates; no roof is near the limit")]
    let sixteenths = (length.inches() * 16.0).round() as i64;
    let sign = if sixteenths < 0 { "-" } else { "" };
    let sixteenths = sixteenths.saturating_abs();
    let feet = sixteenths / SIXTEENTHS_PER_FOOT;
    let inches = sixteenths % SIXTEENTHS_PER_FOOT / 16;
    let mut over = sixteenths % 16;
    let mut under = 16;
    while over != 0 && over % 2 == 0 {
        over /= 2;
        under /= 2;
    }
    let inches = match (inches, over) {
        (0, 0) if feet > 0 => return format!("{sign}{feet} ft"),
        (whole, 0) => format!("{whole} in"),
        (0, _) => format!("{over}/{under} in"),
        (whole, _) => format!("{whole} {over}/{under} in"),
    };
    if feet > 0 { format!("{sign}{feet} ft {inches}") } else { format!("{sign}{inches}") }
}
