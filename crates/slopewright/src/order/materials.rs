//! What a take-off wants besides units of covering: battens, underlay, nails and whatever else it has a total of.

use rust_decimal::Decimal;

use super::Wanted;
use crate::quantity::whole_up;
use crate::takeoff::{Line, NET_BATTENS, Part, TIMBER_TO_BUY, TakeOff};

/// The other materials of a take-off, by the names that a price list knows them by: the key of the format, or the words of
/// the take-off where there is none; what goes by length is wanted in whole metres, and its name ends in `(m)`.
/// Battens go by the bar (`battens, 4.8 m`, or `batten-50x25, 4.8 m` where the survey names one) if the survey states the
/// rafter spacing and the lengths on sale, else by net metres.
///
/// ```
/// use slopewright::{SurveyDocument, TakeOff, order::materials};
/// let survey = SurveyDocument::from_toml(r#"
///     slopewright = 1
///     name = "boat shed"
///     covering.format = "interlocking-420x330"
///     underlay.format = "membrane-1x50"
///     [[slope]]
///     name = "front"
///     shape = "rectangle"
///     eaves = "9 m"
///     rafter = "3.3 m"
///     pitch = "35 deg"
/// "#)?;
/// let wanted = materials(&TakeOff::of(&survey.check()?)?);
/// assert!(wanted.iter().any(|of| of.item == "membrane-1x50" && of.likely == 1));
/// # Ok::<(), slopewright::Error>(())
/// ```
#[must_use]
pub fn materials(take_off: &TakeOff) -> Vec<Wanted> {
    let lines = take_off.lines();
    let bought: Vec<&Line> =
        lines.iter().filter(|line| line.slope.is_empty() && is_bought(line.part)).collect();
    let in_bars = bought.iter().any(|line| is_bar(line));
    let timber_in_bars = bought.iter().any(|line| line.item.starts_with(TIMBER_TO_BUY));
    bought
        .into_iter()
        .filter(|line| !line.is_cut_from_stock)
        .filter(|line| !(in_bars && line.item == NET_BATTENS))
        .filter(|line| !(timber_in_bars && is_by_length(line)))
        .filter_map(wanted)
        .collect()
}

/// Whether a line is of battens by the bar.
fn is_bar(line: &Line) -> bool {
    line.part == Part::Battens && line.count.is_some() && line.item.starts_with("battens, ")
}

/// Whether a line is of timber that is bought by length, however many pieces it is cut into.
fn is_by_length(line: &Line) -> bool {
    line.part == Part::Timbers && line.length_m.is_some() && !line.item.starts_with(TIMBER_TO_BUY)
}

/// Whether lines of a part are material to buy here: units of covering are dealt with as needs, an opening for air and a
/// measured length are no product.
const fn is_bought(part: Part) -> bool {
    !matches!(part, Part::Covering | Part::Ventilation | Part::Measured)
}

/// The finest mass that is kept, a milligram: finer than any balance on a site.
const MASS_DECIMALS: u32 = 6;

fn wanted(line: &Line) -> Option<Wanted> {
    let name = match line.item.split_once(", ") {
        Some((_, length)) if is_bar(line) && !line.format.is_empty() => &format!("{}, {length}", line.format),
        _ if line.format.is_empty() => line.item.as_str(),
        _ => line.format.as_str(),
    };
    if let Some(count) = line.count.filter(|_| !is_by_length(line)) {
        let mass = line.mass_kg.and_then(Decimal::from_f64_retain);
        let each = mass.and_then(|mass| mass.checked_div(Decimal::from(count)));
        let mass_each_kg = each.map(|each| each.round_dp(MASS_DECIMALS).normalize());
        let count = line.to_buy.unwrap_or(count);
        return Some(Wanted { mass_each_kg, ..Wanted::exactly(name, count).of_part(line.part) });
    }
    let wanted =
        |length| Wanted::exactly(format!("{name} (m)"), u64::from(whole_up(length))).of_part(line.part);
    line.length_m.map(wanted)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::SurveyDocument;

    #[test]
    fn a_thing_weighs_its_share_of_what_all_of_them_weigh() {
        let survey = r#"
            slopewright = 1
            covering.format = "plain-tile-265x165"
            fixings.nail = "copper-nail-38x3.35"
            [[form]]
            form = "hipped"
            length = "8 m"
            span = "6 m"
            pitch = "45 deg"
        "#;
        let roof = TakeOff::of(&SurveyDocument::from_toml(survey).unwrap().check().unwrap()).unwrap();
        let wanted = materials(&roof);
        let nails = wanted.iter().find(|of| of.item == "copper-nail-38x3.35").unwrap();
        let lines = roof.lines();
        let line = lines.iter().find(|line| line.slope.is_empty() && line.format == nails.item).unwrap();
        let count = u32::try_from(line.count.unwrap()).unwrap();
        let all_kg = f64::try_from(nails.mass_each_kg.unwrap()).unwrap() * f64::from(count);
        assert!((all_kg - line.mass_kg.unwrap()).abs() < 1e-3 * all_kg, "{all_kg} of {:?}", line.mass_kg);
        // By hand: copper of 8.9 kg/dm3, 38 mm long and 3.35 mm thick, is 2.98 g without its head; a nail with one is heavier by
        // less than half.
        let each_g = f64::try_from(nails.mass_each_kg.unwrap()).unwrap() * 1000.0;
        assert!((2.9..4.5).contains(&each_g), "{each_g}");
        // Units of covering, openings for air and measured lengths are no material.
        assert!(!wanted.iter().any(|of| of.item == "plain-tile-265x165"));
    }
}
