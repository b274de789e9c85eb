//! How the edges of a roof are made: ridge, hips, valleys, verges, eaves, walls, ventilation.
//!
//! Every field may be left out. What is then taken is named in the working: ridge tiles bedded in mortar, hip tiles one
//! to a course on plain tiles and ridge tiles on others, open lead valleys, verges on an undercloak, a tilting fillet.

use std::sync::Arc;

use super::check_choices::keys;
use super::entry::{Entry, LengthText, document};
use super::reading::Reading;
use crate::catalogue::{Catalogue, EdgeUnit, UnitEdge};
use crate::error::{Fault, FaultKind};
use crate::quantity::{Length, limit};
use crate::rules::Rules;

document! {
    /// How the edges are made.
    pub struct EdgeworkDocument {
        /// Ridges.
        ridge: RidgeDocument,
        /// Hips.
        hip: HipDocument,
        /// Valleys.
        valley: ValleyDocument,
        /// Verges.
        verge: VergeDocument,
        /// Eaves.
        eaves: EavesDocument,
        /// Edges against walls.
        abutment: AbutmentDocument,
        /// Openings for air.
        ventilation: VentilationDocument,
    }
}

document! {
    /// How ridges are made.
    pub struct RidgeDocument {
        /// The key of the ridge unit in the catalogue; by default `ridge-450`.
        unit: String,
        /// `bedded` in mortar and fixed as well (the default), or `dry`.
        laying: String,
        /// How many fixings each unit takes; by default one at each end, shared with its neighbour.
        fixings_each: u32,
    }
}

document! {
    /// How hips are made.
    pub struct HipDocument {
        /// `units` (the default), or `mitred` with soakers.
        make: String,
        /// The key of the hip unit; by default `bonnet-plain-tile` on plain tiles, the ridge unit on others.
        unit: String,
        /// `bedded` (the default) or `dry`.
        laying: String,
        /// How many fixings each unit takes.
        fixings_each: u32,
    }
}

document! {
    /// How valleys are made.
    pub struct ValleyDocument {
        /// `lead` (open, the default), `units` one to a course, or another `sheet`.
        make: String,
        /// The key of the valley unit.
        unit: String,
        /// The code of the lead.
        code: u32,
        /// The width of the lead or sheet.
        width: LengthText,
        /// The lap of one piece over the next, along the valley.
        lap: LengthText,
        /// The longest piece.
        piece: LengthText,
    }
}

document! {
    /// How verges are made.
    pub struct VergeDocument {
        /// `undercloak` (bedded, the default) or `units` one to a course.
        make: String,
        /// The key of the verge unit.
        unit: String,
    }
}

document! {
    /// How eaves are made.
    pub struct EavesDocument {
        /// What lifts the first course and carries the underlay: `fillet` (the default) or `tray`.
        support: String,
        /// Whether a comb closes the hollows under the first course; by default under single-lap tiles.
        comb: bool,
    }
}

document! {
    /// How edges against walls are made.
    pub struct AbutmentDocument {
        /// The code of the flashings.
        flashing_code: u32,
        /// The code of the soakers.
        soaker_code: u32,
        /// The width of the flashing of a side abutment.
        side_width: LengthText,
        /// The width of the flashing of a top abutment.
        top_width: LengthText,
        /// The height of a course of the wall, for the steps.
        wall_course: LengthText,
    }
}

document! {
    /// Openings for air at eaves and ridge.
    pub struct VentilationDocument {
        /// `cold`: insulated at the ceiling, with an underlay of high vapour resistance; `warm`: none is counted.
        roof: String,
        /// The span of the roof; by default that of its slopes in plan.
        span: LengthText,
    }
}

/// What holds ridge and hip units down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum UnitLaying {
    /// Mortar, and fixings as well.
    #[default]
    Bedded,
    /// Fixings alone, over a roll or seal.
    Dry,
}

/// What hips are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum HipMake {
    /// Units.
    #[default]
    Units,
    /// The covering cut to the line, soakers under it.
    Mitred,
}

/// What valleys are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ValleyMake {
    /// Open lead.
    #[default]
    Lead,
    /// Valley units.
    Units,
    /// Another sheet.
    Sheet,
}

/// What verges are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum VergeMake {
    /// Units bedded on an undercloak.
    #[default]
    Undercloak,
    /// Verge units.
    Units,
}

/// What lifts the first course.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum EavesSupport {
    /// A tilting fillet.
    #[default]
    Fillet,
    /// Support trays.
    Tray,
}

/// The ridge as chosen.
#[derive(Debug, Clone, Default)]
pub struct RidgeChoice {
    /// The unit; the default where the survey names none.
    pub unit: Option<Arc<EdgeUnit>>,
    /// Whether the survey names it.
    pub is_stated: bool,
    /// What holds it.
    pub laying: UnitLaying,
    /// Fixings of each unit, if stated.
    pub fixings_each: Option<u32>,
}

/// The hips as chosen.
#[derive(Debug, Clone, Default)]
pub struct HipChoice {
    /// What they are made of.
    pub make: HipMake,
    /// The unit, if stated.
    pub unit: Option<Arc<EdgeUnit>>,
    /// The hip unit of coverings that have one, by default.
    pub default_unit: Option<Arc<EdgeUnit>>,
    /// What holds it.
    pub laying: UnitLaying,
    /// Fixings of each unit, if stated.
    pub fixings_each: Option<u32>,
}

/// The valleys as chosen.
#[derive(Debug, Clone, Default)]
pub struct ValleyChoice {
    /// What they are made of.
    pub make: ValleyMake,
    /// The unit; the default where the survey names none.
    pub unit: Option<Arc<EdgeUnit>>,
    /// The code of the lead, if stated.
    pub code: Option<u32>,
    /// The width of the sheet, if stated.
    pub width: Option<Length>,
    /// The lap, if stated.
    pub lap: Option<Length>,
    /// The longest piece, if stated.
    pub piece: Option<Length>,
}

/// The verges as chosen.
#[derive(Debug, Clone, Default)]
pub struct VergeChoice {
    /// What they are made of.
    pub make: VergeMake,
    /// The unit; the default where the survey names none.
    pub unit: Option<Arc<EdgeUnit>>,
}

/// The eaves as chosen.
#[derive(Debug, Clone, Default)]
pub struct EavesChoice {
    /// What lifts the first course.
    pub support: EavesSupport,
    /// Whether a comb is wanted, if stated.
    pub comb: Option<bool>,
}

/// The edges against walls as chosen.
#[derive(Debug, Clone, Default)]
pub struct AbutmentChoice {
    /// The code of the flashings, if stated.
    pub flashing_code: Option<u32>,
    /// The code of the soakers, if stated.
    pub soaker_code: Option<u32>,
    /// The width of side flashings, if stated.
    pub side_width: Option<Length>,
    /// The width of top flashings, if stated.
    pub top_width: Option<Length>,
    /// The height of a course of the wall, if stated.
    pub wall_course: Option<Length>,
}

/// The ventilation as chosen.
#[derive(Debug, Clone, Copy, Default)]
pub struct VentilationChoice {
    /// Whether the roof is cold, if stated.
    pub is_cold: Option<bool>,
    /// The span, if stated.
    pub span: Option<Length>,
}

/// How the edges of a roof are made.
#[derive(Debug, Clone, Default)]
pub struct EdgeworkChoice {
    /// Ridges.
    pub ridge: RidgeChoice,
    /// Hips.
    pub hip: HipChoice,
    /// Valleys.
    pub valley: ValleyChoice,
    /// Verges.
    pub verge: VergeChoice,
    /// Eaves.
    pub eaves: EavesChoice,
    /// Edges against walls.
    pub abutment: AbutmentChoice,
    /// Openings for air.
    pub ventilation: VentilationChoice,
}

const LAYINGS: &[(&str, UnitLaying)] = &[("bedded", UnitLaying::Bedded), ("dry", UnitLaying::Dry)];
const HIPS: &[(&str, HipMake)] = &[("units", HipMake::Units), ("mitred", HipMake::Mitred)];
const VALLEYS: &[(&str, ValleyMake)] =
    &[("lead", ValleyMake::Lead), ("units", ValleyMake::Units), ("sheet", ValleyMake::Sheet)];
const VERGES: &[(&str, VergeMake)] = &[("undercloak", VergeMake::Undercloak), ("units", VergeMake::Units)];
const SUPPORTS: &[(&str, EavesSupport)] = &[("fillet", EavesSupport::Fillet), ("tray", EavesSupport::Tray)];
const ROOFS: &[(&str, bool)] = &[("cold", true), ("warm", false)];

impl Reading {
    pub(super) fn edgework(
        &mut self,
        document: Option<&EdgeworkDocument>,
        catalogue: &Catalogue,
    ) -> EdgeworkChoice {
        let nothing = EdgeworkDocument::default();
        let document = document.unwrap_or(&nothing);
        self.unknown(EdgeworkDocument::FIELDS, &document.unknown);
        let ridge = self.ridge_choice(&document.ridge, catalogue);
        EdgeworkChoice {
            hip: self.hip_choice(&document.hip, catalogue),
            valley: self.valley_choice(&document.valley, catalogue),
            verge: self.verge_choice(&document.verge, catalogue),
            eaves: self.eaves_choice(&document.eaves),
            abutment: self.abutment_choice(&document.abutment),
            ventilation: self.ventilation_choice(&document.ventilation),
            ridge,
        }
    }

    fn ridge_choice(&mut self, entry: &Entry<RidgeDocument>, catalogue: &Catalogue) -> RidgeChoice {
        let default = || default_unit(catalogue, |rule| &rule.ridge_unit);
        let Some(ridge) = self.entry("ridge", entry, "a table") else {
            return RidgeChoice { unit: default(), ..RidgeChoice::default() };
        };
        self.within("ridge", |reading| {
            reading.unknown(RidgeDocument::FIELDS, &ridge.unknown);
            let stated = reading.edge_unit(&ridge.unit, UnitEdge::Ridge, catalogue);
            RidgeChoice {
                is_stated: stated.is_some(),
                unit: stated.or_else(default),
                laying: reading.word("laying", &ridge.laying, LAYINGS),
                fixings_each: reading.whole_number("fixings_each", &ridge.fixings_each, &limit::fixings_each),
            }
        })
    }

    fn hip_choice(&mut self, entry: &Entry<HipDocument>, catalogue: &Catalogue) -> HipChoice {
        let default_unit = default_unit(catalogue, |rule| &rule.hip_unit);
        let Some(hip) = self.entry("hip", entry, "a table") else {
            return HipChoice { default_unit, ..HipChoice::default() };
        };
        self.within("hip", |reading| {
            reading.unknown(HipDocument::FIELDS, &hip.unknown);
            HipChoice {
                make: reading.word("make", &hip.make, HIPS),
                unit: reading.edge_unit(&hip.unit, UnitEdge::Hip, catalogue),
                default_unit,
                laying: reading.word("laying", &hip.laying, LAYINGS),
                fixings_each: reading.whole_number("fixings_each", &hip.fixings_each, &limit::fixings_each),
            }
        })
    }

    fn valley_choice(&mut self, entry: &Entry<ValleyDocument>, catalogue: &Catalogue) -> ValleyChoice {
        let default = || default_unit(catalogue, |rule| &rule.valley_unit);
        let Some(valley) = self.entry("valley", entry, "a table") else {
            return ValleyChoice { unit: default(), ..ValleyChoice::default() };
        };
        self.within("valley", |reading| {
            reading.unknown(ValleyDocument::FIELDS, &valley.unknown);
            let lap = reading.length("lap", &valley.lap, &limit::underlay_lap);
            let piece = reading.length("piece", &valley.piece, &limit::unit_length);
            if let (Some(lap), Some(piece)) = (lap, piece)
                && lap >= piece
            {
                reading.fault(
                    Fault::new(FaultKind::LengthOutOfRange, "has a lap as long as the piece")
                        .allowed("a lap under the length of the piece"),
                );
            }
            ValleyChoice {
                make: reading.word("make", &valley.make, VALLEYS),
                unit: reading.edge_unit(&valley.unit, UnitEdge::Valley, catalogue).or_else(default),
                code: reading.lead_code("code", &valley.code),
                width: reading.length("width", &valley.width, &limit::sheet_width),
                lap,
                piece,
            }
        })
    }

    fn verge_choice(&mut self, entry: &Entry<VergeDocument>, catalogue: &Catalogue) -> VergeChoice {
        let default = || default_unit(catalogue, |rule| &rule.verge_unit);
        let Some(verge) = self.entry("verge", entry, "a table") else {
            return VergeChoice { unit: default(), ..VergeChoice::default() };
        };
        self.within("verge", |reading| {
            reading.unknown(VergeDocument::FIELDS, &verge.unknown);
            VergeChoice {
                make: reading.word("make", &verge.make, VERGES),
                unit: reading.edge_unit(&verge.unit, UnitEdge::Verge, catalogue).or_else(default),
            }
        })
    }

    fn eaves_choice(&mut self, entry: &Entry<EavesDocument>) -> EavesChoice {
        let Some(eaves) = self.entry("eaves", entry, "a table") else { return EavesChoice::default() };
        self.within("eaves", |reading| {
            reading.unknown(EavesDocument::FIELDS, &eaves.unknown);
            EavesChoice {
                support: reading.word("support", &eaves.support, SUPPORTS),
                comb: reading.entry("comb", &eaves.comb, "true or false").copied(),
            }
        })
    }

    fn abutment_choice(&mut self, entry: &Entry<AbutmentDocument>) -> AbutmentChoice {
        let Some(wall) = self.entry("abutment", entry, "a table") else { return AbutmentChoice::default() };
        self.within("abutment", |reading| {
            reading.unknown(AbutmentDocument::FIELDS, &wall.unknown);
            AbutmentChoice {
                flashing_code: reading.lead_code("flashing_code", &wall.flashing_code),
                soaker_code: reading.lead_code("soaker_code", &wall.soaker_code),
                side_width: reading.length("side_width", &wall.side_width, &limit::sheet_width),
                top_width: reading.length("top_width", &wall.top_width, &limit::sheet_width),
                wall_course: reading.length("wall_course", &wall.wall_course, &limit::wall_course),
            }
        })
    }

    fn ventilation_choice(&mut self, entry: &Entry<VentilationDocument>) -> VentilationChoice {
        let Some(air) = self.entry("ventilation", entry, "a table") else {
            return VentilationChoice::default();
        };
        self.within("ventilation", |reading| {
            reading.unknown(VentilationDocument::FIELDS, &air.unknown);
            VentilationChoice {
                is_cold: reading.choice("roof", &air.roof, ROOFS, FaultKind::EdgeworkUnknown),
                span: reading.length("span", &air.span, &limit::slope_length),
            }
        })
    }

    /// The measuring rule that a key names.
    pub(super) fn measuring(&mut self, entry: &Entry<String>) -> Option<String> {
        let key = self.entry("measuring", entry, "the key of a measuring rule")?;
        let rules = Rules::standard();
        if rules.measuring_rule(key).is_none() {
            self.fault(
                Fault::new(
                    FaultKind::MeasuringRuleUnknown,
                    format!("has the measuring rule '{key}', which is not known here"),
                )
                .given(format!("\"{key}\""))
                .allowed(keys(rules.measuring_rules().iter().map(|rule| rule.key.as_str()))),
            );
            return None;
        }
        Some(key.clone())
    }

    fn word<T: Copy + Default>(&mut self, field: &str, entry: &Entry<String>, words: &[(&str, T)]) -> T {
        self.choice(field, entry, words, FaultKind::EdgeworkUnknown).unwrap_or_default()
    }

    fn edge_unit(
        &mut self,
        entry: &Entry<String>,
        edge: UnitEdge,
        catalogue: &Catalogue,
    ) -> Option<Arc<EdgeUnit>> {
        let key = self.entry("unit", entry, "a key of the catalogue")?;
        let found = catalogue.edge_unit(key).filter(|unit| unit.serves(edge));
        if found.is_none() {
            let fitting = catalogue.edge_units().iter().filter(|unit| unit.serves(edge));
            self.fault(
                Fault::new(
                    FaultKind::EdgeUnitUnknown,
                    format!("has the unit '{key}', which the catalogue does not have for a {}", edge.word()),
                )
                .given(format!("\"{key}\""))
                .allowed(keys(fitting.map(|unit| unit.key.as_str()))),
            );
        }
        found.map(|unit| Arc::new(unit.clone()))
    }

    fn lead_code(&mut self, field: &str, entry: &Entry<u32>) -> Option<u32> {
        let code = *self.entry(field, entry, "a code of lead, such as 4")?;
        let rules = Rules::standard();
        if rules.lead(code).is_some() {
            return Some(code);
        }
        let codes: Vec<String> = rules.lead_codes().iter().map(|lead| lead.code.to_string()).collect();
        self.fault(
            Fault::new(
                FaultKind::LeadCodeUnknown,
                format!("has a '{field}' that is not a code of lead sheet"),
            )
            .given(code)
            .allowed(codes.join(", ")),
        );
        None
    }
}

/// The unit that the rules name where the survey names none.
fn default_unit(
    catalogue: &Catalogue,
    key: impl Fn(&crate::rules::EdgeworkRule) -> &String,
) -> Option<Arc<EdgeUnit>> {
    let rule = Rules::standard().edgework()?;
    catalogue.edge_unit(key(rule)).map(|unit| Arc::new(unit.clone()))
}
