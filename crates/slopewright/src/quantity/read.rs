//! Reading what people write on a tape sheet: `4.15 m`, `4150 mm`, `13 ft 7 1/2 in`, `40 deg`, `9 in 12`.

use super::{Area, CoverMass, Length, Mass, Pitch, kg, kg_per_m2, m, m2};
use crate::error::{Error, Fault, FaultKind, Result};

/// A unit as written, and how a number in it becomes the base unit.
type UnitRow = (&'static [&'static str], fn(f64) -> f64);

/// A kind of quantity: its units, and what to write, for advice.
struct Measure {
    units: &'static [UnitRow],
    example: &'static str,
}

const LENGTH: Measure =
    Measure { units: LENGTH_UNITS, example: "\"4.15 m\", \"4150 mm\", \"13 ft 7 1/2 in\"" };
const AREA: Measure = Measure { units: AREA_UNITS, example: "\"12.5 m2\", \"4 squares\"" };
const MASS: Measure = Measure { units: MASS_UNITS, example: "\"1.2 kg\", \"2 1/2 lb\"" };
const COVER_MASS: Measure = Measure { units: COVER_MASS_UNITS, example: "\"46 kg/m2\", \"9 lb/ft2\"" };
const PITCH_EXAMPLE: &str = "\"40 deg\", \"9 in 12\"";

const LENGTH_UNITS: &[UnitRow] = &[
    (&["mm", "millimetre", "millimetres", "millimeter", "millimeters"], |v| v / 1000.0),
    (&["cm", "centimetre", "centimetres", "centimeter", "centimeters"], |v| v / 100.0),
    (&["m", "metre", "metres", "meter", "meters"], |v| v),
    (&["ft", "foot", "feet", "'", "′"], |v| v * 0.3048),
    (&["in", "inch", "inches", "\"", "″", "''"], |v| v * 0.0254),
    (&["yd", "yard", "yards"], |v| v * 0.9144),
];
const AREA_UNITS: &[UnitRow] = &[
    (&["m2", "m²", "sqm"], |v| v),
    (&["mm2", "mm²"], |v| v / 1e6),
    (&["ft2", "ft²", "sqft"], |v| v * 0.092_903_04),
    (&["sq", "square", "squares"], |v| v * 9.290_304),
];
const MASS_UNITS: &[UnitRow] = &[
    (&["kg", "kilogram", "kilograms"], |v| v),
    (&["g", "gram", "grams"], |v| v / 1000.0),
    (&["t", "tonne", "tonnes"], |v| v * 1000.0),
    (&["lb", "lbs", "pound", "pounds"], |v| v * 0.453_592_37),
];
const COVER_MASS_UNITS: &[UnitRow] =
    &[(&["kg/m2", "kg/m²"], |v| v), (&["lb/ft2", "lb/ft²"], |v| v * 0.453_592_37 / 0.092_903_04)];

/// Reads a length. Parts add up: `13 ft 7 1/2 in`, `4 m 15 cm`.
///
/// # Errors
/// If the text is empty, has no number or no unit, or is not finite.
///
/// ```
/// use slopewright::quantity::{read_length, inch, mm};
/// assert_eq!(read_length("4.15 m").unwrap(), mm(4150.0));
/// assert_eq!(read_length("13 ft 7 1/2 in").unwrap(), inch(163.5));
/// assert!(read_length("4150").is_err());
/// ```
pub fn read_length(text: &str) -> Result<Length> {
    read_sum(text, &LENGTH).map(m)
}

/// Reads an area: `12.5 m2`, `4 squares`.
///
/// # Errors
/// As [`read_length`].
pub fn read_area(text: &str) -> Result<Area> {
    read_sum(text, &AREA).map(m2)
}

/// Reads a mass: `1.2 kg`, `5 lb`.
///
/// # Errors
/// As [`read_length`].
pub fn read_mass(text: &str) -> Result<Mass> {
    read_sum(text, &MASS).map(kg)
}

/// Reads a mass per area: `46 kg/m2`.
///
/// # Errors
/// As [`read_length`].
pub fn read_cover_mass(text: &str) -> Result<CoverMass> {
    read_sum(text, &COVER_MASS).map(kg_per_m2)
}

/// Reads a pitch: `40 deg`, `40°`, `9 in 12`, `9:12`, `75 %`.
///
/// # Errors
/// If the text is not a pitch, or not between level and upright.
pub fn read_pitch(text: &str) -> Result<Pitch> {
    let unreadable = || {
        let fault = Fault::new(FaultKind::PitchUnreadable, "cannot be read as a pitch").given(quoted(text));
        Error::from(fault.allowed("deg, rise in run, %"))
    };
    let text_trimmed = text.trim();
    if text_trimmed.is_empty() {
        return Err(empty(PITCH_EXAMPLE));
    }
    let parts = split(text_trimmed).map_err(|error| match error.kind() {
        FaultKind::LengthUnreadable => unreadable(),
        _ => error,
    })?;
    let pitch = match parts.as_slice() {
        [Part::Number(degrees), Part::Word(unit)]
            if matches!(unit.as_str(), "deg" | "degs" | "degree" | "degrees" | "°") =>
        {
            Pitch::from_degrees(*degrees)
        }
        [Part::Number(rise), Part::Word(per), Part::Number(run)]
            if matches!(per.as_str(), "in" | ":" | "/") =>
        {
            Pitch::from_rise_in_run(*rise, *run)
        }
        [Part::Number(percent), Part::Word(unit)] if unit == "%" => Pitch::from_rise_in_run(*percent, 100.0),
        [Part::Number(_)] => {
            return Err(Fault::new(FaultKind::UnitMissing, "has no unit")
                .given(quoted(text))
                .allowed("deg, rise in run, %")
                .advice("write degrees (\"40 deg\") or rise in run (\"9 in 12\")")
                .into());
        }
        _ => return Err(unreadable()),
    };
    pitch.ok_or_else(|| {
        Fault::new(FaultKind::PitchOutOfRange, "is not between level and upright")
            .given(quoted(text))
            .allowed("over 0 and under 90 degrees")
            .into()
    })
}

fn quoted(text: &str) -> String {
    format!("\"{text}\"")
}

fn empty(example: &str) -> Error {
    Fault::new(FaultKind::QuantityEmpty, "is empty")
        .given("\"\"")
        .allowed("a number and its unit")
        .advice(format!("write the figure with its unit, for example {example}"))
        .into()
}

/// Adds up `number unit` parts into the base unit.
fn read_sum(text: &str, measure: &Measure) -> Result<f64> {
    let Measure { units, example } = *measure;
    let known =
        || units.iter().filter_map(|(names, _)| names.first().copied()).collect::<Vec<_>>().join(", ");
    if text.trim().is_empty() {
        return Err(empty(example));
    }
    let unreadable = |why: &str| -> Error {
        Fault::new(FaultKind::LengthUnreadable, why)
            .given(quoted(text))
            .allowed(known())
            .advice(format!("write a number and a unit: {example}"))
            .into()
    };
    let parts = split(text).map_err(|error| match error.kind() {
        FaultKind::LengthUnreadable => unreadable("cannot be read as a number"),
        _ => error,
    })?;
    let mut sum = 0.0;
    let mut rest = parts.as_slice();
    while let Some((first, after)) = rest.split_first() {
        let Part::Number(value) = first else {
            return Err(unreadable("has no number where one is expected"));
        };
        let Some((Part::Word(unit), after)) = after.split_first() else {
            return Err(Fault::new(FaultKind::UnitMissing, "has no unit")
                .given(quoted(text))
                .allowed(known())
                .advice(format!("write the unit behind the number, for example {example}"))
                .into());
        };
        let Some((_, to_base)) = units.iter().find(|(names, _)| names.contains(&unit.as_str())) else {
            return Err(Fault::new(FaultKind::UnitUnknown, format!("has the unit \"{unit}\""))
                .given(quoted(text))
                .allowed(known())
                .into());
        };
        // "-1 ft 2 in" is as far below as "1 ft 2 in" is above.
        sum += if sum < 0.0 { -to_base(value.abs()) } else { to_base(*value) };
        rest = after;
    }
    if sum.is_finite() {
        Ok(sum)
    } else {
        Err(Fault::new(FaultKind::NotFinite, "is not finite")
            .given(quoted(text))
            .allowed("a number that can be measured")
            .into())
    }
}

#[derive(Debug, PartialEq)]
enum Part {
    Number(f64),
    Word(String),
}

/// Cuts a text into numbers (with a fraction, if one follows) and words.
fn split(text: &str) -> Result<Vec<Part>> {
    let spaced = spell_out_fractions(text);
    let mut parts: Vec<Part> = Vec::new();
    let mut rest = spaced.trim_start();
    while let Some(first) = rest.chars().next() {
        let is_number = first.is_ascii_digit()
            || matches!(first, '.' | ',')
            || (matches!(first, '-' | '+') && parts.is_empty());
        let end = rest
            .char_indices()
            .skip(1)
            .find(|(_, c)| {
                if is_number {
                    !(c.is_ascii_digit() || matches!(c, '.' | ','))
                } else {
                    c.is_whitespace() || c.is_ascii_digit()
                }
            })
            .map_or(rest.len(), |(at, _)| at);
        let end = if is_number { with_exponent(rest, end) } else { with_square(rest, end) };
        let (token, after) = rest.split_at(end);
        if is_number {
            let mut value = number(token, text)?;
            // "7 1/2" and "7-1/2": a fraction behind a whole number, or alone.
            let mut after_number = after;
            if let Some((under, tail)) = fraction_tail(after) {
                value /= under;
                after_number = tail;
            } else if let Some((over, under, tail)) = mixed_tail(after) {
                value += (over / under).copysign(value);
                after_number = tail;
            }
            parts.push(Part::Number(value));
            rest = after_number.trim_start();
        } else {
            parts.push(Part::Word(token.trim_end_matches('.').to_lowercase()));
            rest = after.trim_start();
        }
    }
    Ok(parts)
}

/// Lets a unit keep the 2 of `m2`, but not that of `13ft2in`.
fn with_square(rest: &str, end: usize) -> usize {
    let is_square = rest
        .get(end..)
        .and_then(|after| after.strip_prefix('2'))
        .is_some_and(|after| after.chars().next().is_none_or(char::is_whitespace));
    if is_square { end + 1 } else { end }
}

/// Lets a number keep its power of ten, as programs write small numbers: `5e-05`.
fn with_exponent(rest: &str, end: usize) -> usize {
    let power = rest.get(end..).and_then(|after| after.strip_prefix(['e', 'E'])).map(|after| {
        let digits = after.strip_prefix(['-', '+']).unwrap_or(after);
        let count = digits.chars().take_while(char::is_ascii_digit).count();
        (1 + after.len() - digits.len() + count, count)
    });
    power.filter(|(_, digits)| *digits > 0).map_or(end, |(length, _)| end + length)
}

/// `/2 in` behind a number: the denominator and what follows. Only whole numbers make a fraction.
fn fraction_tail(text: &str) -> Option<(f64, &str)> {
    let (under, tail) = whole_number(text.strip_prefix('/')?)?;
    // "9/12" alone is a pitch, not a fraction: a fraction has a unit behind it.
    (!tail.trim().is_empty() && under > 0.0).then_some((under, tail))
}

/// ` 1/2 in` or `-1/2 in` behind a number.
fn mixed_tail(text: &str) -> Option<(f64, f64, &str)> {
    let text = text.strip_prefix('-').unwrap_or(text).trim_start();
    let (over, tail) = whole_number(text)?;
    let (under, tail) = fraction_tail(tail)?;
    Some((over, under, tail))
}

fn whole_number(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (digits, tail) = text.split_at(end);
    if tail.starts_with(['.', ',']) {
        return None;
    }
    digits.parse().ok().map(|value| (value, tail))
}

/// A decimal number with a point or a comma; a comma before exactly three digits is refused as ambiguous.
fn number(token: &str, whole: &str) -> Result<f64> {
    let unreadable =
        |why: &str| -> Error { Fault::new(FaultKind::LengthUnreadable, why).given(quoted(whole)).into() };
    let commas = token.matches(',').count();
    if commas > 0 {
        let behind = token.rsplit(',').next().unwrap_or_default();
        if commas > 1 || token.contains('.') || behind.len() == 3 {
            return Err(Fault::new(
                FaultKind::CommaAmbiguous,
                "has a comma that may be a decimal sign or a thousands mark",
            )
            .given(quoted(whole))
            .allowed("a decimal point, or a comma with one or two decimals")
            .into());
        }
    }
    token.replace(',', ".").parse().map_err(|_| unreadable("cannot be read as a number"))
}

/// Writes `7½` as `7 1/2`, so that one reader does for both.
fn spell_out_fractions(text: &str) -> String {
    const FRACTIONS: &[(char, &str)] = &[
        ('½', " 1/2 "),
        ('¼', " 1/4 "),
        ('¾', " 3/4 "),
        ('⅓', " 1/3 "),
        ('⅔', " 2/3 "),
        ('⅛', " 1/8 "),
        ('⅜', " 3/8 "),
        ('⅝', " 5/8 "),
        ('⅞', " 7/8 "),
    ];
    text.chars()
        .map(|c| {
            FRACTIONS
                .iter()
                .find(|(sign, _)| *sign == c)
                .map_or_else(|| c.to_string(), |(_, spelt)| (*spelt).to_owned())
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{LengthIn as _, inch, mm};

    fn millimetres(text: &str) -> f64 {
        let value = read_length(text).unwrap_or_else(|error| panic!("{text}: {error}")).mm();
        (value * 1e6).round() / 1e6
    }

    #[test]
    fn what_a_tape_sheet_says() {
        for (text, expected) in [
            ("4.15 m", 4150.0),
            ("4,15 m", 4150.0),
            ("4150mm", 4150.0),
            (" 415 cm ", 4150.0),
            ("4 m 15 cm", 4150.0),
            ("13 ft 7 1/2 in", 4152.9),
            ("13' 7 1/2\"", 4152.9),
            ("13ft 7½in", 4152.9),
            ("13 ft 7-1/2 in.", 4152.9),
            ("1/2 in", 12.7),
            ("10½\"", 266.7),
            ("2 yd", 1828.8),
            ("-50 mm", -50.0),
            ("-1 ft 2 1/2 in", -368.3),
            ("1 1/2 ft", 457.2),
            ("5e-05 m", 0.05),
            ("1.5E+3mm", 1500.0),
        ] {
            assert!((millimetres(text) - expected).abs() < 1e-6, "{text}: {}", millimetres(text));
        }
        assert_eq!(read_length("4150 mm").unwrap(), mm(4150.0));
        assert_eq!(read_length("163.5 in").unwrap(), inch(163.5));
    }

    #[test]
    fn what_is_refused_and_why() {
        for (text, kind) in [
            ("", FaultKind::QuantityEmpty),
            ("  ", FaultKind::QuantityEmpty),
            ("4150", FaultKind::UnitMissing),
            ("13 ft 7", FaultKind::UnitMissing),
            ("4150 furlongs", FaultKind::UnitUnknown),
            ("m", FaultKind::LengthUnreadable),
            ("about 4 m", FaultKind::LengthUnreadable),
            ("4..2 m", FaultKind::LengthUnreadable),
            ("4,150 mm", FaultKind::CommaAmbiguous),
            ("1,234,567 mm", FaultKind::CommaAmbiguous),
            ("1/0 in", FaultKind::UnitUnknown),
        ] {
            assert_eq!(read_length(text).unwrap_err().kind(), kind, "{text}");
        }
        let long = "9".repeat(400) + " m";
        assert_eq!(read_length(&long).unwrap_err().kind(), FaultKind::NotFinite);
    }

    #[test]
    fn pitches() {
        for (text, degrees) in [
            ("40 deg", 40.0),
            ("40°", 40.0),
            ("22.5 degrees", 22.5),
            ("9 in 12", 36.869_897_645_844_02),
            ("9:12", 36.869_897_645_844_02),
            ("9/12", 36.869_897_645_844_02),
            ("100 %", 45.0),
        ] {
            assert!((read_pitch(text).unwrap().degrees() - degrees).abs() < 1e-9, "{text}");
        }
        for (text, kind) in [
            ("", FaultKind::QuantityEmpty),
            ("40", FaultKind::UnitMissing),
            ("steep", FaultKind::PitchUnreadable),
            ("90 deg", FaultKind::PitchOutOfRange),
            ("0 deg", FaultKind::PitchOutOfRange),
            ("-5 deg", FaultKind::PitchOutOfRange),
            ("9 in 0", FaultKind::PitchOutOfRange),
        ] {
            assert_eq!(read_pitch(text).unwrap_err().kind(), kind, "{text}");
        }
    }

    #[test]
    fn other_quantities() {
        use crate::quantity::{AreaIn as _, MassIn as _};
        assert!((read_area("2 squares").unwrap().m2() - 18.580_608).abs() < 1e-9);
        assert!((read_mass("12 1/2 lb").unwrap().kg() - 5.669_904_625).abs() < 1e-9);
        assert!((read_cover_mass("46 kg/m2").unwrap().value - 46.0).abs() < 1e-12);
    }
}
