//! The calculations that published figures are checked against, each one call of the library.

use serde::Deserialize;
use slopewright::catalogue::{Catalogue, Covering, Hanging, Layers, Pace};
use slopewright::quantity::{
    Area, AreaIn as _, CoverMassIn as _, Length, LengthIn as _, MassIn as _, Pitch, m, m2, packs_for,
    read_area, read_cover_mass, read_mass, spaces,
};
use slopewright::rules::{Exposure, MeasuringRule, Rules};
use slopewright::survey::UnitLaying;
use slopewright::takeoff::{AirGap, Capping, Pieces, PipeSlate, hip_units_per_metre, places_along};

use crate::files::Inputs;

#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Calculation {
    Gauge,
    HeadlapAtGauge,
    UnitsPerM2,
    UnitsPerSquare,
    SquareFeetPerThousand,
    UnitsPerMetreAcross,
    UnderEavesLength,
    BattenMetresPerM2,
    MassPerM2,
    UnitsOnSlopes,
    Spaces,
    EqualGauge,
    SlopeFactor,
    HipFactor,
    SlopeLength,
    SlopeArea,
    SlopeInchesPerFoot,
    HipInchesPerFoot,
    RafterOfSpan,
    Squares,
    SquareFeet,
    Packs,
    HeadlapRule,
    PitchRule,
    UnderlayLap,
    UnderlayEndLap,
    BattenWidth,
    BattenDepth,
    LeadMass,
    NailsPerKg,
    NailsPerPound,
    RollSquares,
    Load,
    KilogramsPerM2,
    EavesVentilation,
    RidgeVentilation,
    ValleyChannel,
    HipUnitsPerMetre,
    LeadWork,
    LeadPieces,
    LeadLength,
    WedgePlaces,
    AirPerMetre,
    RidgeUnitsPerMetre,
    AlongEdges,
    RaftersAdded,
    TrimmingLimit,
    OpeningWork,
    PipeBase,
    WeightChange,
    Deduction,
    MeasuringAddition,
    RecalledLead,
    HipLength,
    CounterFixing,
}

impl Calculation {
    /// The library's answer in the unit that the sources print; `None` where it has none.
    #[expect(clippy::too_many_lines, reason = "one arm for each calculation is the plainest list of them")]
    pub(crate) fn answer(self, inputs: &Inputs) -> Option<f64> {
        let rules = Rules::standard();
        Some(match self {
            Self::Gauge => in_unit(covering(inputs).gauge_for(inputs.length("headlap")), inputs),
            Self::HeadlapAtGauge => in_unit(covering(inputs).headlap_for(inputs.length("gauge")), inputs),
            Self::UnitsPerM2 => {
                let covering = covering(inputs);
                covering.units_per_m2(gauge(&covering, inputs)) * allowance(inputs)
            }
            Self::UnitsPerSquare => {
                let covering = covering(inputs);
                covering.units_per_m2(gauge(&covering, inputs)) * square().m2()
            }
            Self::SquareFeetPerThousand => {
                let covering = covering(inputs);
                m2(1000.0 / covering.units_per_m2(gauge(&covering, inputs))).square_feet()
            }
            Self::UnitsPerMetreAcross => 1.0 / covering(inputs).cover_width().m(),
            Self::UnderEavesLength => {
                let covering = covering(inputs);
                in_unit(covering.under_eaves_length(gauge(&covering, inputs)), inputs)
            }
            Self::BattenMetresPerM2 => {
                let covering = covering(inputs);
                covering.batten_metres_per_m2(gauge(&covering, inputs))
            }
            Self::MassPerM2 => {
                let covering = match inputs.text("mass") {
                    Some(mass) => covering(inputs).with_mass(read_mass(mass).expect("a mass")),
                    None => covering(inputs),
                };
                covering.mass_per_m2(gauge(&covering, inputs))?.kg_per_m2()
            }
            Self::UnitsOnSlopes => {
                let count = covering(inputs).units_on_rectangle(
                    inputs.length("slope-width"),
                    inputs.length("rafter"),
                    inputs.length("gauge"),
                    inputs.flag("first-course-double"),
                );
                #[expect(clippy::cast_precision_loss, reason = "counts of one roof are small")]
                let count = count as f64;
                count * inputs.number("slopes")
            }
            Self::Spaces => f64::from(spaces(inputs.length("distance"), inputs.length("largest"))),
            Self::EqualGauge => {
                let distance = inputs.length("distance");
                in_unit(distance / f64::from(spaces(distance, inputs.length("largest"))), inputs)
            }
            Self::SlopeFactor => inputs.pitch("pitch").slope_factor(),
            Self::HipFactor => inputs.pitch("pitch").hip_factor(),
            Self::SlopeLength => in_unit(inputs.pitch("pitch").on_slope(inputs.length("run")), inputs),
            Self::SlopeArea => {
                let plan = read_area(inputs.needed("plan")).expect("an area");
                (plan * inputs.pitch("pitch").slope_factor()).square_feet()
            }
            Self::SlopeInchesPerFoot => inputs.pitch("pitch").slope_factor() * 12.0,
            Self::HipInchesPerFoot => inputs.pitch("pitch").hip_factor() * 12.0,
            Self::RafterOfSpan => inputs.pitch("pitch").slope_factor() / 2.0,
            Self::Squares => area(inputs).squares(),
            Self::SquareFeet => area(inputs).square_feet(),
            Self::Packs => {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "the files state whole counts"
                )]
                let (count, pack) = (inputs.number("count") as u64, inputs.number("per-pack") as u64);
                #[expect(clippy::cast_precision_loss, reason = "counts of one roof are small")]
                let packs = packs_for(count, pack)? as f64;
                packs
            }
            Self::HeadlapRule => {
                let covering = covering(inputs);
                let headlap = rules.headlap(&covering, inputs.pitch("pitch"), exposure(inputs))?;
                in_unit(headlap.value, inputs)
            }
            Self::PitchRule => rules.pitch_least(&covering(inputs), exposure(inputs))?.value.degrees(),
            Self::UnderlayLap => {
                let laps = rules.underlay_laps(inputs.pitch("pitch"), inputs.flag("supported"))?;
                in_unit(laps.horizontal.value, inputs)
            }
            Self::UnderlayEndLap => {
                let laps = rules.underlay_laps(inputs.pitch("pitch"), inputs.flag("supported"))?;
                in_unit(laps.end.value, inputs)
            }
            Self::BattenWidth => section(inputs)?.0.mm(),
            Self::BattenDepth => section(inputs)?.1.mm(),
            Self::LeadMass => {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "the files state whole codes"
                )]
                let code = inputs.number("code") as u32;
                rules.lead(code)?.mass_per_m2().kg_per_m2()
            }
            Self::NailsPerKg => nail(inputs)?.per_kg()?.value,
            Self::NailsPerPound => nail(inputs)?.per_pound()?.value,
            Self::RollSquares => Catalogue::standard()
                .underlay(inputs.needed("underlay"))?
                .covered_area(inputs.length("lap"))
                .squares(),
            Self::Load => read_cover_mass(inputs.needed("mass")).expect("a mass per area").kn_per_m2(),
            Self::KilogramsPerM2 => (read_mass(inputs.needed("mass")).expect("a mass").kg()) / square().m2(),
            Self::EavesVentilation => ventilation(inputs)?.eaves.value.mm(),
            Self::RidgeVentilation => ventilation(inputs)?.ridge?.value.mm(),
            Self::HipUnitsPerMetre => hip_units_per_metre(inputs.length("gauge"), inputs.pitch("pitch")),
            Self::LeadWork => lead_work(inputs)?,
            Self::LeadPieces => f64::from(pieces(inputs)?.count),
            Self::LeadLength => in_unit(m(pieces(inputs)?.sheet_m), inputs),
            Self::WedgePlaces => {
                f64::from(places_along(inputs.length("length").m(), inputs.length("most").m()))
            }
            Self::AirPerMetre => {
                let air = ventilation(inputs)?;
                let gap = if inputs.flag("at-ridge") { air.ridge? } else { air.eaves };
                AirGap { length_m: 1.0, gap_m: gap.value.m() }.area_m2() * 1e6
            }
            Self::RidgeUnitsPerMetre => {
                let unit = Catalogue::standard().edge_unit(inputs.needed("unit"))?;
                let Pace::Cover(cover) = &unit.pace else { return None };
                f64::from(Capping::of(1000.0, cover.value, UnitLaying::Bedded, None).units) / 1000.0
            }
            Self::AlongEdges => along_edges(inputs)?.mm(),
            Self::RaftersAdded => {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "the files state whole counts"
                )]
                let cut = inputs.number("cut") as u32;
                f64::from(rules.trimming(inputs.needed("rule"))?.added_for(cut)?)
            }
            Self::TrimmingLimit => in_unit(trimming_limit(inputs)?, inputs),
            Self::OpeningWork => opening_work(inputs)?,
            Self::PipeBase => {
                let laps = rules.pipe_laps(inputs.pitch("pitch"))?;
                PipeSlate::of(inputs.length("pipe"), &laps).base_m * 1000.0
            }
            Self::WeightChange => rules.weight_change_limit()?.value * 100.0,
            Self::Deduction => {
                let opening = read_area(inputs.needed("opening")).expect("an area");
                tradition(inputs)?.deduction(opening, false).square_feet()
            }
            Self::MeasuringAddition => in_unit(measuring_addition(inputs)?, inputs),
            Self::CounterFixing => rules.batten_joint_rule()?.counter_fixing_most.value.mm(),
            Self::RecalledLead => recalled_lead(inputs)?,
            Self::HipLength => in_unit(inputs.length("run") * inputs.pitch("pitch").hip_factor(), inputs),
            Self::ValleyChannel => rules.edges()?.valley_channel(inputs.pitch("pitch"))?.value.mm(),
        })
    }
}

/// The covering named, or one of the size stated; a stated joint, nailing or cover width replaces its own.
fn covering(inputs: &Inputs) -> Covering {
    let mut covering = if let Some(key) = inputs.text("covering") {
        let found = Catalogue::standard().covering(key);
        found.unwrap_or_else(|| panic!("no covering {key}")).clone()
    } else {
        let word = inputs.text("layers").unwrap_or("double");
        let layers = Layers::ALL.iter().find(|(name, _)| *name == word);
        let layers = layers.unwrap_or_else(|| panic!("no layers {word}")).1;
        Covering::new("stated", layers, inputs.length("length"), inputs.length("width"))
    };
    if let Some(family) = inputs.text("family") {
        covering = covering.with_family(family);
    }
    if let Some(nailing) = inputs.text("nailing") {
        let hanging = Hanging::ALL.iter().find(|(word, _)| *word == nailing);
        covering = covering.with_hanging(hanging.unwrap_or_else(|| panic!("no nailing {nailing}")).1);
    }
    if let Some(allowance) = inputs.maybe_length("nail-allowance") {
        covering = covering.with_nail_allowance(allowance);
    }
    if let Some(joint) = inputs.maybe_length("joint") {
        covering = covering.with_joint(joint);
    }
    if let Some(cover_width) = inputs.maybe_length("cover-width") {
        covering = covering.with_cover_width(cover_width);
    }
    if let Some(side_lap) = inputs.maybe_length("side-lap") {
        let width = covering.width.value;
        covering = covering.with_cover_width(width - side_lap);
    }
    covering
}

/// The gauge stated, or that of the headlap stated.
fn gauge(covering: &Covering, inputs: &Inputs) -> Length {
    match inputs.maybe_length("gauge") {
        Some(gauge) => gauge,
        None => covering.gauge_for(inputs.length("headlap")),
    }
}

/// What the source adds for breakage and cutting, as a factor.
fn allowance(inputs: &Inputs) -> f64 {
    if inputs.has("add-percent") { 1.0 + inputs.number("add-percent") / 100.0 } else { 1.0 }
}

fn square() -> Area {
    read_area("1 square").expect("an area")
}

fn area(inputs: &Inputs) -> Area {
    inputs.length("length") * inputs.length("girth")
}

fn exposure(inputs: &Inputs) -> Exposure {
    let word = inputs.text("exposure").unwrap_or("moderate");
    let found = Exposure::ALL.iter().find(|(name, _)| *name == word);
    found.unwrap_or_else(|| panic!("no exposure {word}")).1
}

fn section(inputs: &Inputs) -> Option<(Length, Length)> {
    let section = Rules::standard().batten_section(inputs.needed("family"), inputs.length("spacing"));
    section.map(|figure| figure.value)
}

fn nail(inputs: &Inputs) -> Option<slopewright::catalogue::Nail> {
    Catalogue::standard().nail(inputs.needed("nail")).cloned()
}

fn ventilation(inputs: &Inputs) -> Option<slopewright::rules::Ventilation> {
    let (pitch, span) = (inputs.pitch("pitch"), inputs.length("span"));
    Rules::standard().ventilation(pitch, span, inputs.flag("lean-to"))
}

fn lead_work(inputs: &Inputs) -> Option<f64> {
    let work = Rules::standard().lead_work()?;
    Some(match inputs.needed("what") {
        "flashing code" => f64::from(work.flashing_code_least.value),
        "soaker code" => f64::from(work.soaker_code_least.value),
        "piece" => work.flashing_piece_most.value.mm(),
        "lap" => work.flashing_lap.value.mm(),
        "tuck" => work.flashing_tuck.value.mm(),
        "wedges" => work.wedge_spacing_most.value.mm(),
        other => panic!("no lead work {other}"),
    })
}

fn trimming_limit(inputs: &Inputs) -> Option<Length> {
    let limits = Rules::standard().trimming(inputs.needed("rule"))?.headers.as_ref()?;
    Some(match inputs.needed("what") {
        "single header" => limits.single_header_most.value,
        "unhung header" => limits.unhung_header_most.value,
        "unhung tail" => limits.unhung_tail_most.value,
        "single trimmer from bearing" => limits.single_trimmer_from_bearing.value,
        other => panic!("no limit of trimming {other}"),
    })
}

fn opening_work(inputs: &Inputs) -> Option<f64> {
    let work = Rules::standard().opening_work()?;
    Some(match inputs.needed("what") {
        "timber from a flue" => work.flue_clearance.value.mm(),
        "rafters under a cheek" => f64::from(work.cheek_rafters.value),
        other => panic!("no work round openings {other}"),
    })
}

fn tradition(inputs: &Inputs) -> Option<&'static MeasuringRule> {
    Rules::standard().measuring_rule(inputs.needed("tradition"))
}

fn measuring_addition(inputs: &Inputs) -> Option<Length> {
    let rule = tradition(inputs)?;
    let found = match inputs.needed("what") {
        "openings" => rule.add_at_openings.as_ref(),
        "hips and valleys" => rule.add_at_hips_and_valleys.as_ref(),
        other => panic!("no addition of measuring {other}"),
    };
    found.map(|figure| figure.value)
}

fn recalled_lead(inputs: &Inputs) -> Option<f64> {
    let (lead, openings) = (Rules::standard().lead_work()?, Rules::standard().opening_work()?);
    Some(match inputs.needed("what") {
        "soaker addition" => lead.soaker_addition.value.mm(),
        "soaker upstand" => lead.soaker_upstand.value.mm(),
        "soaker under" => lead.soaker_under.value.mm(),
        "past corner" => openings.past_corner.value.mm(),
        other => panic!("no recalled figure {other}"),
    })
}

fn pieces(inputs: &Inputs) -> Option<Pieces> {
    Pieces::of(inputs.length("length").m(), inputs.length("piece").m(), inputs.length("lap").m())
}

fn along_edges(inputs: &Inputs) -> Option<Length> {
    let rules = Rules::standard();
    let (edges, pitch) = (rules.edges()?, Pitch::from_degrees(40.0)?);
    let laps = rules.underlay_laps(pitch, false)?;
    Some(match inputs.needed("what") {
        "undercloak width" => edges.undercloak_width.value,
        "least verge overhang" => edges.verge_overhang_least.value,
        "most verge overhang" => edges.verge_overhang_most.value,
        "hip soaker each side" => edges.hip_soaker.value,
        "ridge cover" => edges.ridge_cover.value,
        "underlay over hips" => laps.hip_carry_over.value,
        "underlay up walls" => laps.abutment_upturn.value,
        other => panic!("no length along edges {other}"),
    })
}

/// In the unit that the source prints, millimetres unless stated.
fn in_unit(length: Length, inputs: &Inputs) -> f64 {
    match inputs.text("unit").unwrap_or("mm") {
        "mm" => length.mm(),
        "cm" => length.mm() / 10.0,
        "m" => length.m(),
        "in" => length.inches(),
        "ft" => length.feet(),
        other => panic!("no unit {other}"),
    }
}
