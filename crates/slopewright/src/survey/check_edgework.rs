//! What the survey says of its edges, read and checked: words, units of the catalogue, codes of lead, the measuring rule.

use std::sync::Arc;

use super::check_choices::keys;
use super::edgework::{
    AbutmentChoice, AbutmentDocument, EavesChoice, EavesDocument, EavesSupport, EdgeworkChoice,
    EdgeworkDocument, HipChoice, HipDocument, HipMake, RidgeChoice, RidgeDocument, UnitLaying, ValleyChoice,
    ValleyDocument, ValleyMake, VentilationChoice, VentilationDocument, VergeChoice, VergeDocument,
    VergeMake,
};
use super::entry::Entry;
use super::reading::Reading;
use crate::catalogue::{Catalogue, EdgeUnit, UnitEdge};
use crate::error::{Fault, FaultKind};
use crate::quantity::limit;
use crate::rules::Rules;

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
            let saddle_length = reading.length("saddle_length", &ridge.saddle_length, &limit::sheet_width);
            let saddle_width = reading.length("saddle_width", &ridge.saddle_width, &limit::sheet_width);
            RidgeChoice {
                saddle_code: reading.lead_code("saddle_code", &ridge.saddle_code),
                saddle_size: saddle_length.zip(saddle_width),
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
                lead_rolls: reading.stock_lengths("lead_rolls", &wall.lead_rolls),
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
