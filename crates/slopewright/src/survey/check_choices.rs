//! What the survey chooses: coverings, battens, underlay, fixings, and what comes off.

use std::sync::Arc;

use super::document::{
    BattensDocument, CoveringDocument, FixingsDocument, OldCoveringDocument, UnderlayDocument,
};
use super::entry::{Entry, LengthText};
use super::reading::Reading;
use super::roof::{
    BattenBars, BattenChoice, CutPolicy, FixingChoice, Laying, OldCovering, Start, UnderlayChoice,
};
use crate::catalogue::{Catalogue, Covering};
use crate::error::{Fault, FaultKind};
use crate::quantity::{Length, LengthIn, figure, limit, m, read_length};

const STARTS: &[(&str, Start)] = &[("left", Start::Left), ("right", Start::Right), ("centre", Start::Centre)];

impl Reading {
    /// The covering of a slope: its own, or the survey's.
    pub(super) fn laying_of(
        &mut self,
        own: &Entry<CoveringDocument>,
        survey: Option<&Option<Laying>>,
        catalogue: &Catalogue,
    ) -> Option<Laying> {
        if let Some(covering) = self.entry("covering", own, "a table") {
            return self.within("covering", |reading| reading.laying(covering, catalogue));
        }
        let Some(laying) = survey else {
            self.has_no_covering();
            return None;
        };
        laying.clone()
    }

    pub(super) fn laying(&mut self, document: &CoveringDocument, catalogue: &Catalogue) -> Option<Laying> {
        self.unknown(CoveringDocument::FIELDS, &document.unknown);
        let key = self.needed("format", &document.format, "a key of the catalogue");
        let headlap = self.length("headlap", &document.headlap, &limit::headlap);
        let gauge = self.length("gauge", &document.gauge, &limit::gauge);
        let joint = self.length("joint", &document.joint, &limit::joint);
        let start = self.choice("start", &document.start, STARTS, FaultKind::StartUnknown);
        let least_cut = self.length("least_cut", &document.least_cut, &limit::unit_width);
        let cuts = self.choice("cuts", &document.cuts, CutPolicy::ALL, FaultKind::CutsUnknown);
        let saw_kerf = self.length("saw_kerf", &document.saw_kerf, &limit::kerf);
        let key = key?;
        let found = catalogue.covering(key);
        if found.is_none() {
            self.fault(
                Fault::new(
                    FaultKind::CoveringUnknown,
                    format!("has the format '{key}', which the catalogue does not have"),
                )
                .given(format!("\"{key}\""))
                .allowed(keys(catalogue.coverings().iter().map(|covering| covering.key.as_str()))),
            );
        }
        let mut covering = found?.clone();
        if let Some(joint) = joint {
            covering = covering.with_joint(joint);
        }
        self.laps_fit(&covering, headlap, gauge);
        let cover_width = covering.cover_width().m();
        let bond_shift = self.bond(&document.bond, covering.bond.shift(), cover_width);
        if let Some(width) = least_cut.filter(|width| width.m() > cover_width) {
            self.fault(
                Fault::new(FaultKind::LeastCutTooLarge, "has a least cut wider than a unit")
                    .given(format!("{} mm", figure(width.mm(), 1)))
                    .allowed(format!("up to {} mm", figure(cover_width * 1000.0, 1))),
            );
        }
        Some(Laying {
            covering: Arc::new(covering),
            headlap,
            gauge,
            bond_shift,
            start: start.unwrap_or_default(),
            least_cut,
            cuts: cuts.unwrap_or_default(),
            saw_kerf,
        })
    }

    /// A fault where a headlap leaves no gauge, or a gauge no lap.
    pub(super) fn laps_fit(&mut self, covering: &Covering, headlap: Option<Length>, gauge: Option<Length>) {
        let longest_lap = covering.headlap_for(m(limit::gauge.least));
        if let Some(headlap) = headlap.filter(|headlap| *headlap > longest_lap) {
            self.fault(
                Fault::new(FaultKind::HeadlapTooLarge, "has a headlap that leaves no gauge")
                    .given(format!("{} mm", figure(headlap.mm(), 1)))
                    .allowed(format!("up to {} mm, for this unit", figure(longest_lap.mm(), 1))),
            );
        }
        let largest = covering.gauge_for(crate::quantity::mm(0.0));
        if let Some(gauge) = gauge.filter(|gauge| *gauge > largest) {
            self.fault(
                Fault::new(FaultKind::GaugeTooLarge, "has a gauge at which the units do not lap")
                    .given(format!("{} mm", figure(gauge.mm(), 1)))
                    .allowed(format!("up to {} mm", figure(largest.mm(), 1))),
            );
        }
    }

    /// The shift of alternate courses: a word or a length.
    fn bond(&mut self, entry: &Entry<String>, own: f64, cover_width: f64) -> f64 {
        let Some(text) = self.entry("bond", entry, "half, straight, or a length") else { return own };
        match text.as_str() {
            "half" => 0.5,
            "straight" => 0.0,
            other => match read_length(other) {
                Ok(shift) if shift.m() >= 0.0 && shift.m() < cover_width => shift.m() / cover_width,
                _ => {
                    self.fault(
                        Fault::new(FaultKind::BondUnknown, "has a bond that is no shift of a course")
                            .given(format!("\"{other}\""))
                            .allowed("half, straight, or a length under the cover width"),
                    );
                    own
                }
            },
        }
    }

    pub(super) fn battens(
        &mut self,
        document: Option<&BattensDocument>,
        catalogue: &Catalogue,
    ) -> BattenChoice {
        let nothing = BattensDocument::default();
        let document = document.unwrap_or(&nothing);
        self.unknown(BattensDocument::FIELDS, &document.unknown);
        let key = self.entry("format", &document.format, "a key of the catalogue");
        let batten = key.and_then(|key| {
            let found = catalogue.batten(key);
            if found.is_none() {
                self.fault(
                    Fault::new(
                        FaultKind::BattenUnknown,
                        format!("has the format '{key}', which the catalogue does not have"),
                    )
                    .given(format!("\"{key}\""))
                    .allowed(keys(catalogue.battens().iter().map(|batten| batten.key.as_str()))),
                );
            }
            found.map(|batten| Arc::new(batten.clone()))
        });
        let bars = self.batten_bars(document);
        BattenChoice {
            batten,
            bars,
            rafter_spacing: self.length("rafter_spacing", &document.rafter_spacing, &limit::rafter_spacing),
            first_rafter: self.length("first_rafter", &document.first_rafter, &limit::first_rafter),
            counter_battens: self
                .entry("counter_battens", &document.counter_battens, "true or false")
                .copied()
                .unwrap_or(false),
        }
    }

    fn batten_bars(&mut self, document: &BattensDocument) -> BattenBars {
        BattenBars {
            lengths: self.stock_lengths("stock", &document.stock),
            counter_lengths: self.stock_lengths("counter_stock", &document.counter_stock),
            fillet_lengths: self.stock_lengths("fillet_stock", &document.fillet_stock),
            kerf: self.length("kerf", &document.kerf, &limit::kerf),
            least_offcut: self.length("least_offcut", &document.least_offcut, &limit::overhang),
        }
    }

    /// Lengths that can be bought.
    pub(super) fn stock_lengths(
        &mut self,
        field: &str,
        entry: &Entry<Vec<Entry<LengthText>>>,
    ) -> Vec<Length> {
        let mut lengths = Vec::new();
        let many = Some((&limit::stock_lengths, FaultKind::TooManyStockLengths));
        for (number, text) in self.list(field, entry, many) {
            let entry = Entry::Given(text.clone());
            lengths.extend(self.length(&format!("{field} {number}"), &entry, &limit::stock_length));
        }
        lengths
    }

    pub(super) fn underlay(
        &mut self,
        document: &UnderlayDocument,
        catalogue: &Catalogue,
    ) -> Option<UnderlayChoice> {
        self.unknown(UnderlayDocument::FIELDS, &document.unknown);
        let key = self.needed("format", &document.format, "a key of the catalogue");
        let supported =
            self.entry("supported", &document.supported, "true or false").copied().unwrap_or(false);
        let horizontal_lap = self.length("horizontal_lap", &document.horizontal_lap, &limit::underlay_lap);
        let end_lap = self.length("end_lap", &document.end_lap, &limit::underlay_lap);
        let days_open = self.whole_number("days_open", &document.days_open, &limit::days_open);
        let days_open_most = self.whole_number("days_open_most", &document.days_open_most, &limit::days_open);
        let key = key?;
        let Some(underlay) = catalogue.underlay(key) else {
            self.fault(
                Fault::new(
                    FaultKind::UnderlayUnknown,
                    format!("has the format '{key}', which the catalogue does not have"),
                )
                .given(format!("\"{key}\""))
                .allowed(keys(catalogue.underlays().iter().map(|underlay| underlay.key.as_str()))),
            );
            return None;
        };
        for (problem, lap, roll, most) in [
            // A roll that shows less than a tenth of its width covers next to nothing.
            ("has a horizontal lap that leaves too little of the roll", horizontal_lap, &underlay.width, 0.9),
            // A piece under two laps long would be nothing but laps.
            ("has an end lap over half the length of the roll", end_lap, &underlay.length, 0.5),
        ] {
            let most = roll.value * most;
            if let Some(lap) = lap.filter(|lap| *lap > most) {
                self.fault(
                    Fault::new(FaultKind::LapTooLarge, problem)
                        .given(format!("{} mm", figure(lap.mm(), 1)))
                        .allowed(format!("up to {} mm", figure(most.mm(), 1))),
                );
            }
        }
        Some(UnderlayChoice {
            underlay: Arc::new(underlay.clone()),
            supported,
            horizontal_lap,
            end_lap,
            days_open,
            days_open_most,
        })
    }

    pub(super) fn fixings(
        &mut self,
        document: Option<&FixingsDocument>,
        catalogue: &Catalogue,
    ) -> FixingChoice {
        let Some(document) = document else { return FixingChoice::default() };
        self.unknown(FixingsDocument::FIELDS, &document.unknown);
        let mut nail = |field: &str, entry: &Entry<String>| {
            let key = self.entry(field, entry, "a key of the catalogue")?;
            let found = catalogue.nail(key);
            if found.is_none() {
                self.fault(
                    Fault::new(
                        FaultKind::NailUnknown,
                        format!("has the {field} '{key}', which the catalogue does not have"),
                    )
                    .given(format!("\"{key}\""))
                    .allowed(keys(catalogue.nails().iter().map(|nail| nail.key.as_str()))),
                );
            }
            found.map(|nail| Arc::new(nail.clone()))
        };
        let unit_nail = nail("nail", &document.nail);
        let batten_nail = nail("batten_nail", &document.batten_nail);
        FixingChoice {
            nail: unit_nail,
            batten_nail,
            nails_each: self.whole_number("nails_each", &document.nails_each, &limit::nails_each),
            every_course: self.whole_number("every_course", &document.every_course, &limit::every_course),
            edges: self.entry("edges", &document.edges, "true or false").copied(),
            all_from_pitch: self.pitch("all_from_pitch", &document.all_from_pitch),
        }
    }

    pub(super) fn whole_number(
        &mut self,
        field: &str,
        entry: &Entry<u32>,
        limit: &crate::quantity::Limit,
    ) -> Option<u32> {
        let number = *self.entry(field, entry, "a whole number")?;
        if limit.holds(f64::from(number)) {
            return Some(number);
        }
        self.fault(
            Fault::new(FaultKind::CountOutOfRange, format!("has a '{field}' out of range"))
                .given(number)
                .allowed(limit.range()),
        );
        None
    }

    pub(super) fn old_covering(
        &mut self,
        document: Option<&OldCoveringDocument>,
        catalogue: &Catalogue,
    ) -> OldCovering {
        let Some(document) = document else { return OldCovering::default() };
        self.unknown(OldCoveringDocument::FIELDS, &document.unknown);
        let may_hold_asbestos = self
            .entry("may_hold_asbestos", &document.may_hold_asbestos, "true or false")
            .copied()
            .unwrap_or(false);
        let stated = self.cover_mass("mass", &document.mass);
        let gauge = self.length("gauge", &document.gauge, &limit::gauge);
        let mut mass = stated.map(|mass| (mass, "stated by the survey".to_owned()));
        if let Some(key) = self.entry("format", &document.format, "a key of the catalogue") {
            match (catalogue.covering(key), gauge) {
                (None, _) => self.fault(
                    Fault::new(
                        FaultKind::CoveringUnknown,
                        format!("has the format '{key}', which the catalogue does not have"),
                    )
                    .given(format!("\"{key}\""))
                    .allowed(keys(catalogue.coverings().iter().map(|covering| covering.key.as_str()))),
                ),
                (Some(_), None) => {
                    self.fault(
                        Fault::new(FaultKind::FieldMissing, "has a format but no 'gauge'")
                            .allowed("the gauge it was laid to"),
                    );
                }
                (Some(covering), Some(gauge)) if mass.is_none() => {
                    mass = covering.mass_per_m2(gauge).map(|mass| {
                        (mass, format!("{} at a gauge of {} mm", covering.name, figure(gauge.mm(), 1)))
                    });
                }
                _ => {}
            }
        }
        OldCovering { mass, may_hold_asbestos }
    }
}

/// A list of keys that fits on a few lines.
pub(super) fn keys<'a>(all: impl Iterator<Item = &'a str>) -> String {
    all.collect::<Vec<_>>().join(", ")
}
