//! What an opening is and what is to be done with it: kind, clearances, flue, how far it may move, lead, and the
//! timbers round all of them.

use std::sync::Arc;

use super::document::{FlashingDocument, OpeningDocument, TimbersDocument};
use super::opening::{Clearance, Clearances, Flashing, Flue, Moves, Opening, OpeningKind, rows_of};
use super::reading::Reading;
use super::roof::TimberChoice;
use crate::catalogue::{Catalogue, Figure};
use crate::error::{Fault, FaultKind};
use crate::quantity::{Length, LengthIn, limit};
use crate::rules::Rules;

impl Reading {
    /// What an opening is.
    pub(super) fn opening_kind(&mut self, opening: &OpeningDocument) -> OpeningKind {
        let words: Vec<(&str, OpeningKind)> =
            OpeningKind::ALL.into_iter().map(|kind| (kind.word(), kind)).collect();
        self.choice("kind", &opening.kind, &words, FaultKind::OpeningKindUnknown).unwrap_or_default()
    }

    /// How far the covering stays away from it: the survey's distance for the side, for all sides, or the rule's.
    pub(super) fn opening_clearances(&mut self, opening: &OpeningDocument, kind: OpeningKind) -> Clearances {
        let rule = Rules::standard().opening_clearances(kind.word());
        let all_round = self.length("clearance", &opening.clearance, &limit::overhang);
        let mut side = |field, entry, rule: Option<&Figure<Length>>| {
            let stated = self.length(field, entry, &limit::overhang).or(all_round);
            let rule = if stated.is_some() { None } else { rule.cloned() };
            let by = stated.or(rule.as_ref().map(|rule| rule.value));
            Clearance { by_m: by.map_or(0.0, LengthIn::m), rule }
        };
        Clearances {
            below: side("clearance_below", &opening.clearance_below, rule.map(|rule| &rule.below)),
            above: side("clearance_above", &opening.clearance_above, rule.map(|rule| &rule.above)),
            beside: side("clearance_beside", &opening.clearance_beside, rule.map(|rule| &rule.beside)),
        }
    }

    pub(super) fn opening_flue(&mut self, opening: &OpeningDocument, kind: OpeningKind) -> Flue {
        let flue = self.choice("flue", &opening.flue, Flue::ALL, FaultKind::FlueUnknown);
        let may_have_one = matches!(kind, OpeningKind::Chimney | OpeningKind::Pipe);
        if !may_have_one && flue.is_some_and(|flue| flue != Flue::None) {
            self.fault(
                Fault::new(
                    FaultKind::FlueNotForOpening,
                    format!("is of the kind {} and has a flue", kind.word()),
                )
                .allowed("a flue in a chimney or a pipe"),
            );
        }
        // A chimney without a word on it is taken to be of brick: the safe side.
        flue.unwrap_or(if kind == OpeningKind::Chimney { Flue::Brick } else { Flue::None })
    }

    /// How far an opening may be moved.
    pub(super) fn opening_moves(&mut self, opening: &OpeningDocument, existing: bool) -> Moves {
        let step = self.length("move_step", &opening.move_step, &limit::move_step);
        let step = step.or_else(|| Rules::standard().opening_work().map(|work| work.move_step.value));
        let mut way = |field, entry| self.length(field, entry, &limit::may_move).map_or(0.0, LengthIn::m);
        let moves = Moves {
            up_m: way("may_move_up", &opening.may_move_up),
            down_m: way("may_move_down", &opening.may_move_down),
            left_m: way("may_move_left", &opening.may_move_left),
            right_m: way("may_move_right", &opening.may_move_right),
            step_m: step.map_or(limit::move_step.least, LengthIn::m),
        };
        if existing && [moves.up_m, moves.down_m, moves.left_m, moves.right_m].iter().any(|by| *by > 0.0) {
            self.fault(Fault::new(
                FaultKind::OpeningStays,
                "is there already and cannot be moved, but has a distance by which it may be",
            ));
        }
        moves
    }

    pub(super) fn opening_flashing(&mut self, opening: &OpeningDocument) -> Flashing {
        let Some(flashing) = self.entry("flashing", &opening.flashing, "a table") else {
            return Flashing::default();
        };
        self.within("flashing", |reading| {
            reading.unknown(FlashingDocument::FIELDS, &flashing.unknown);
            let lead_code = reading.entry("lead_code", &flashing.lead_code, "a whole number").copied();
            if let Some(code) = lead_code.filter(|code| Rules::standard().lead(*code).is_none()) {
                let codes: Vec<String> =
                    Rules::standard().lead_codes().iter().map(|lead| lead.code.to_string()).collect();
                reading.fault(
                    Fault::new(FaultKind::LeadCodeUnknown, "has a lead code that the table does not have")
                        .given(code)
                        .allowed(codes.join(", ")),
                );
            }
            Flashing {
                lead_code,
                width: reading.length("width", &flashing.width, &limit::flashing_width),
                head_width: reading.length("head_width", &flashing.head_width, &limit::flashing_width),
                past_corner: reading.length("past_corner", &flashing.past_corner, &limit::overhang),
            }
        })
    }

    /// A fault for each opening that is to be level with one that is not there.
    pub(super) fn rows_are_sound(&mut self, openings: &[Opening]) {
        for row in rows_of(openings) {
            let [alone] = row.as_slice() else { continue };
            let Some(opening) = openings.get(*alone) else { continue };
            if let Some(wanted) = &opening.level_with {
                self.within(format!("opening '{}'", opening.name), |reading| {
                    let names: Vec<&str> = openings
                        .iter()
                        .filter(|other| other.name != opening.name)
                        .map(|other| other.name.as_str())
                        .collect();
                    reading.fault(
                        Fault::new(FaultKind::LevelAlone, "is to be level with an opening that is not there")
                            .given(format!("\"{wanted}\""))
                            .allowed(if names.is_empty() {
                                "the slope has no other opening".to_owned()
                            } else {
                                names.join(", ")
                            }),
                    );
                });
            }
        }
    }

    /// The timbers round openings.
    pub(super) fn timbers(
        &mut self,
        document: Option<&TimbersDocument>,
        catalogue: &Catalogue,
    ) -> TimberChoice {
        let Some(document) = document else { return TimberChoice::default() };
        self.unknown(TimbersDocument::FIELDS, &document.unknown);
        let rules = Rules::standard().trimming_rules();
        let rule = self.entry("rule", &document.rule, "a key of a rule").cloned();
        if let Some(key) = rule.as_ref().filter(|key| !rules.iter().any(|rule| rule.key == **key)) {
            let keys: Vec<&str> = rules.iter().map(|rule| rule.key.as_str()).collect();
            self.fault(
                Fault::new(FaultKind::TrimmingUnknown, "has a rule that is not known")
                    .given(format!("\"{key}\""))
                    .allowed(keys.join(", ")),
            );
        }
        let hanger_nail = self.entry("hanger_nail", &document.hanger_nail, "a key of the catalogue");
        let hanger_nail = hanger_nail.and_then(|key| {
            let found = catalogue.nail(key);
            if found.is_none() {
                let keys: Vec<&str> = catalogue.nails().iter().map(|nail| nail.key.as_str()).collect();
                self.fault(
                    Fault::new(
                        FaultKind::NailUnknown,
                        format!("has the hanger_nail '{key}', which the catalogue does not have"),
                    )
                    .given(format!("\"{key}\""))
                    .allowed(keys.join(", ")),
                );
            }
            found.map(|nail| Arc::new(nail.clone()))
        });
        TimberChoice {
            rafter_width: self.length("rafter_width", &document.rafter_width, &limit::timber_side),
            rafter_depth: self.length("rafter_depth", &document.rafter_depth, &limit::timber_side),
            rule,
            hanger_nails: self.whole_number("hanger_nails", &document.hanger_nails, &limit::hanger_nails),
            hanger_nail,
            stock: self.stock_lengths("stock", &document.stock),
        }
    }
}
