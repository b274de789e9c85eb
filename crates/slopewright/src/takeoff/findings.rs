//! What the reader of a take-off must know: departures from rules, and the usual cautions.

use super::{SlopeTakeOff, TakeOff};
use crate::quantity::{CoverMassIn as _, figure};
use crate::reason::{Finding, Severity};
use crate::survey::{OpeningKind, is_shared};

/// A difference between the sides of a joint from which it is reported: less is rounding.
const SHOWN_M: f64 = 0.001;

impl TakeOff {
    /// Every finding, departures first.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        let mut findings = Vec::new();
        for slope in &self.slopes {
            findings.extend(slope.layout.findings(&slope.slope));
            slope.tape_finding(&mut findings);
            slope.narrow_findings(&mut findings);
            slope.batten_findings(self, &mut findings);
            self.weight_finding(slope, &mut findings);
            slope.opening_findings(self, &mut findings);
        }
        self.edges.findings(self.has_lead_round_openings(), &mut findings);
        self.days_open_finding(&mut findings);
        self.joint_findings(&mut findings);
        self.general_cautions(&mut findings);
        findings.sort_by_key(|finding| core::cmp::Reverse(finding.severity));
        findings
    }

    /// Whether lead is worked round an opening.
    fn has_lead_round_openings(&self) -> bool {
        let mut openings = self.slopes.iter().flat_map(|slope| &slope.slope.openings);
        openings.any(|opening| {
            opening.flashing.lead_code.is_some()
                || matches!(opening.kind, OpeningKind::Chimney | OpeningKind::Dormer)
        })
    }

    /// Edges that look like one side of a joint and have no other, and joints whose sides were measured differently.
    fn joint_findings(&self, findings: &mut Vec<Finding>) {
        let alone: Vec<String> = self
            .edges()
            .filter(|(_, _, edge, joint)| joint.is_none() && is_shared(edge.role))
            .map(|(here, _, edge, _)| format!("{} ({})", self.edge_name(here), edge.role.word()))
            .collect();
        if !alone.is_empty() {
            let message = format!(
                "edges that no joint has are counted for their own slope alone: {}. Where two of them are one, state the joint, or its length \
                 counts twice",
                alone.join(", ")
            );
            findings.push(Finding::new(Severity::Caution, "", message));
        }
        for joint in self.joints.iter().filter(|joint| joint.difference_m >= SHOWN_M) {
            let [one, other] = joint.sides.map(|side| self.edge_name(side));
            let message = format!(
                "the two sides of this {} differ by {} mm: the mean, {} m, is counted",
                joint.role.word(),
                figure(joint.difference_m * 1000.0, 0),
                figure(joint.length_m, 3)
            );
            findings.push(Finding::new(Severity::Caution, format!("{one} and {other}"), message));
        }
    }

    /// The change of weight, where both coverings' masses are known.
    fn weight_finding(&self, slope: &SlopeTakeOff, findings: &mut Vec<Finding>) {
        let Some((old, how)) = &self.old_covering.mass else { return };
        let place = format!("slope '{}'", slope.layout.slope);
        let Some(new) = slope.layout.covering().mass_per_m2(slope.layout.gauge()) else {
            let message = "the change of weight is not known: the new covering has no mass in the catalogue";
            findings.push(Finding::new(Severity::Caution, place, message));
            return;
        };
        let change = new.kg_per_m2() / old.kg_per_m2() - 1.0;
        let Some(limit) = &self.weight_change_limit else { return };
        if change.abs() <= limit.value {
            return;
        }
        let message = format!(
            "the new covering weighs {} kg/m2 against {} kg/m2 now ({how}): {} % {}. The structure must be checked by a competent person, and \
             the local code may ask for approval",
            figure(new.kg_per_m2(), 1),
            figure(old.kg_per_m2(), 1),
            figure(change.abs() * 100.0, 0),
            if change > 0.0 { "more" } else { "less" }
        );
        let rule = format!("change of weight over {} %", figure(limit.value * 100.0, 0));
        findings.push(Finding::new(Severity::Departure, place, message).by(rule, limit.citation()));
    }

    fn general_cautions(&self, findings: &mut Vec<Finding>) {
        let mut caution = |message: &str| findings.push(Finding::new(Severity::Caution, "", message));
        if self.old_covering.may_hold_asbestos {
            caution(
                "the old covering may hold asbestos: do not break, drill, brush or wash it; have it tested and taken off by a licensed \
                 contractor under the local rules",
            );
        }
        caution(
            "work at height: scaffold with edge protection, roof ladders, no one below while tiles come off; keep to the local rules for \
             work at height",
        );
        caution(
            "nails are counted by a pattern; how the covering is fixed against the wind is for a competent person under the local code",
        );
        if self.slopes.iter().any(|slope| slope.battens.rafters.is_none()) {
            caution(
                "the rafter spacing is not stated: batten nails are not counted and the batten size is not checked",
            );
        }
        if self.underlay.is_none() {
            caution("no underlay is stated: none is counted");
        }
    }
}

impl SlopeTakeOff {
    /// A tape survey that misses by more than its tolerance.
    fn tape_finding(&self, findings: &mut Vec<Finding>) {
        let Some(tape) = self.slope.tape.as_ref().filter(|tape| tape.worst_m() > tape.tolerance_m) else {
            return;
        };
        let residuals: Vec<String> = tape
            .measures
            .iter()
            .map(|measure| format!("{} {} mm", measure.name, figure(measure.residual_m() * 1000.0, 0)))
            .collect();
        let message = format!(
            "the tape's measures miss each other by more than {} mm; laid by least squares, each is off by: {}; {} mm root mean square. \
             Measure again before ordering",
            figure(tape.tolerance_m * 1000.0, 0),
            residuals.join(", "),
            figure(tape.rms_m() * 1000.0, 1)
        );
        findings.push(Finding::new(Severity::Caution, format!("slope '{}'", self.layout.slope), message));
    }

    fn narrow_findings(&self, findings: &mut Vec<Finding>) {
        if self.units.narrow == 0 {
            return;
        }
        let message = format!(
            "{} cuts are narrower than the least width and are laid all the same: {}",
            self.units.narrow,
            if self.layout.covering().tile_and_half.is_some() {
                "their neighbours are taken up already"
            } else {
                "the format has no wider unit; fix them well, or move the first unit"
            }
        );
        findings.push(Finding::new(Severity::Caution, format!("slope '{}'", self.layout.slope), message));
    }

    /// A stated batten smaller than the rule asks for.
    fn batten_findings(&self, roof: &TakeOff, findings: &mut Vec<Finding>) {
        let place = format!("slope '{}'", self.layout.slope);
        if let (Some(rafters), None) = (self.battens.rafters, &self.batten_rule) {
            let message = format!(
                "no published batten size is known here for {} on rafters at {} mm: ask a structural engineer",
                self.layout.covering().name,
                figure(rafters.spacing_m * 1000.0, 0)
            );
            findings.push(Finding::new(Severity::Departure, &place, message).by("batten size", ""));
        }
        if let (Some(batten), Some(rule)) = (&roof.batten, &self.batten_rule) {
            let (width, depth) = rule.value;
            if batten.width.value < width || batten.depth.value < depth {
                let message = format!(
                    "the batten {} is smaller than the rule's least, {} x {} mm",
                    batten.name,
                    figure(width.value * 1000.0, 0),
                    figure(depth.value * 1000.0, 0)
                );
                findings.push(
                    Finding::new(Severity::Departure, place, message)
                        .by("batten size by covering and rafter spacing", rule.citation()),
                );
            }
        }
    }
}
