//! Writing lengths for people: metric with stated decimals, imperial to the sixteenth of an inch.

use super::{Length, LengthIn as _};

/// A number with at most this many decimals and no trailing zeros: `4.15`, `12`.
#[must_use]
pub fn figure(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if !text.contains('.') {
        return text;
    }
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}

/// `4.15 m`, to the millimetre.
#[must_use]
pub fn metres(length: Length) -> String {
    format!("{} m", figure(length.m(), 3))
}

/// `4150 mm`, to the tenth of a millimetre.
#[must_use]
pub fn millimetres(length: Length) -> String {
    format!("{} mm", figure(length.mm(), 1))
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
