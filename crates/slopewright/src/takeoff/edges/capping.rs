//! Ridge tiles and the like along a ridge or hip: units by the length they cover, bedding, fixings, battens.

use smol_str::{SmolStr, ToSmolStr as _};

use super::super::lengths::Sold;
use super::super::lines::{Line, Part};
use super::{EdgeRun, RoofEdges, citations, laid, line, metres, millimetres};
use crate::catalogue::{EdgeUnit, Pace};
use crate::quantity::{Length, LengthIn as _, m, spaces};
use crate::reason::{Working, said};
use crate::survey::UnitLaying;

/// What a ridge or hip takes that is capped with units by the length they cover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capping {
    /// Units, rounded up for this ridge or hip.
    pub units: u32,
    /// Fixings: one at each joint and end, or those stated for each unit.
    pub fixings: u32,
    /// Bedding along both edges of the units, in metres; nothing where they are laid dry.
    pub bed_m: f64,
    /// The batten that the fixings go into, in metres.
    pub batten_m: f64,
    /// The roll or seal under dry units, in metres.
    pub roll_m: f64,
}

impl Capping {
    /// The capping of a length with units of this cover.
    #[must_use]
    pub fn of(laid_m: f64, cover: Length, laying: UnitLaying, fixings_each: Option<u32>) -> Self {
        let units = spaces(m(laid_m), cover);
        let is_bedded = laying == UnitLaying::Bedded;
        Self {
            units,
            fixings: match fixings_each {
                Some(each) => units.saturating_mul(each),
                None => units.saturating_add(1),
            },
            bed_m: if is_bedded { laid_m * 2.0 } else { 0.0 },
            batten_m: laid_m,
            roll_m: if is_bedded { 0.0 } else { laid_m },
        }
    }
}

/// What a capping is made with.
pub(super) struct Made<'a> {
    pub(super) part: Part,
    pub(super) noun: &'static str,
    pub(super) unit: &'a EdgeUnit,
    pub(super) is_stated: bool,
    pub(super) laying: UnitLaying,
    pub(super) fixings_each: Option<u32>,
}

/// The lines of a capping; false if its unit does not go by cover.
pub(super) fn lines(edges: &RoofEdges, run: &EdgeRun, made: &Made<'_>, lines: &mut Vec<Line>) -> bool {
    let Pace::Cover(cover) = &made.unit.pace else { return false };
    let capping = Capping::of(run.laid_m, cover.value, made.laying, made.fixings_each);
    let noun = made.noun;
    let how = if made.is_stated { "stated by the survey" } else { "by default: state your own" };
    let working = Working::new(
        said!("{noun} units"),
        "length / cover, rounded up for this edge",
        said!("{} / {}", laid(run), millimetres(cover.value.m())),
        capping.units.to_smolstr(),
    )
    .by(how, cover.citation());
    let mass = made.unit.mass.as_ref().map(|mass| mass.value);
    lines.push(
        line(run, made.part, said!("{noun} units, {}", made.unit.name), &made.unit.key, working)
            .count(capping.units.into())
            .mass_each(mass),
    );
    bedding_line(edges, run, made.part, noun, capping.bed_m, "both edges of the units", lines);
    if capping.roll_m > 0.0 {
        let working = Working::new("roll or seal", "length", laid(run), metres(capping.roll_m))
            .by("under units laid dry, as their maker says", "common practice, no source");
        lines.push(line(run, made.part, said!("{noun} roll or seal"), "", working).length(capping.roll_m));
    }
    let (formula, numbers) = match made.fixings_each {
        Some(each) => ("units x fixings each", said!("{} x {each}", capping.units)),
        None => ("one at each joint and at each end: units + 1", said!("{} + 1", capping.units)),
    };
    let working = Working::new("fixings", formula, numbers, capping.fixings.to_smolstr()).by(
        "ridge and hip units are fixed mechanically as well; a count, not a wind specification",
        citations([
            edges.by_default.as_ref().map(|rule| rule.mortar_sand_parts.source.citation()),
            Some(SmolStr::new_static("their number: common practice, no source")),
        ]),
    );
    lines.push(line(run, made.part, said!("{noun} fixings"), "", working).count(capping.fixings.into()));
    let working = Working::new(said!("{noun} batten"), "length", laid(run), metres(capping.batten_m))
        .by("what the fixings go into", "common practice, no source");
    let batten = line(run, made.part, said!("{noun} batten"), "", working).length(capping.batten_m);
    lines.push(batten.cut_into(said!("{noun} batten"), Sold::Fillets, vec![capping.batten_m]));
    true
}

/// The metres of bedding, with the mix; none where nothing is bedded.
pub(super) fn bedding_line(
    edges: &RoofEdges,
    run: &EdgeRun,
    part: Part,
    noun: &str,
    bed_m: f64,
    where_to: &'static str,
    lines: &mut Vec<Line>,
) {
    if bed_m <= 0.0 {
        return;
    }
    let mix = edges.by_default.as_ref().map(|rule| &rule.mortar_sand_parts);
    let parts = mix.map_or_else(SmolStr::default, |parts| said!(", 1 : {} cement and sand", parts.value));
    let working = Working::new("bedding", where_to, laid(run), metres(bed_m)).by(
        "metres of bed: no published volume for each metre is known here",
        citations([mix.map(crate::catalogue::Figure::citation)]),
    );
    lines.push(line(run, part, said!("{noun} bedding mortar{parts}"), "", working).length(bed_m));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::mm;

    #[test]
    fn units_by_cover() {
        // Common practice, no source (from memory): ridge tiles of 300 and 450 mm are 3.3 and 2.2 to the metre.
        for (cover, per_metre) in [(300.0, 3.3), (450.0, 2.2)] {
            let units = Capping::of(100.0, mm(cover), UnitLaying::Bedded, None).units;
            assert!((f64::from(units) / 100.0 - per_metre).abs() < 0.05, "{units}");
        }
        // By hand, both sides of a further unit: 9 m is 20 units of 450 mm, 9.001 m is 21.
        let at = |length| Capping::of(length, mm(450.0), UnitLaying::Bedded, None);
        assert_eq!((at(9.0).units, at(9.001).units), (20, 21));
        assert_eq!((at(9.0).fixings, at(9.0).bed_m, at(9.0).roll_m), (21, 18.0, 0.0));
        let dry = Capping::of(9.0, mm(450.0), UnitLaying::Dry, Some(2));
        assert_eq!((dry.fixings, dry.bed_m, dry.roll_m), (40, 0.0, 9.0));
    }
}
