//! What a reader must know about openings.

use super::OpeningTakeOff;
use crate::quantity::{LengthIn as _, figure, millimetres};
use crate::reason::{Finding, Severity};
use crate::survey::{Flue, OpeningKind, rows_of};
use crate::takeoff::{SlopeTakeOff, TakeOff};

impl SlopeTakeOff {
    pub(in crate::takeoff) fn opening_findings(&self, roof: &TakeOff, findings: &mut Vec<Finding>) {
        if self.slope.openings.is_empty() {
            return;
        }
        for found in self.openings(roof) {
            let place = format!("slope '{}', opening '{}'", self.layout.slope, found.opening.name);
            flue_finding(&found, &place, roof, findings);
            lead_finding(&found, &place, roof, findings);
            memory_finding(&found, &place, roof, findings);
            timber_findings(&found, &place, roof, findings);
            dormer_finding(&found, &place, roof, findings);
            if found.units.narrow > 0 {
                let message = format!(
                    "{} narrow cuts beside it are laid for want of a wider unit: fix them well, or move it",
                    found.units.narrow
                );
                findings.push(Finding::new(Severity::Caution, place, message));
            }
        }
        self.level_findings(roof, findings);
    }

    /// Openings that are to stay level and are not.
    fn level_findings(&self, roof: &TakeOff, findings: &mut Vec<Finding>) {
        let work = roof.opening_rules.as_deref().and_then(|rules| rules.work.as_ref());
        let tolerance = work.map_or(0.0, |work| work.level_tolerance.value.m());
        for row in rows_of(&self.slope.openings) {
            let members: Vec<_> = row.iter().filter_map(|at| self.slope.openings.get(*at)).collect();
            let spread = |level: fn(&crate::survey::Opening) -> f64| {
                let levels = members.iter().map(|opening| level(opening));
                let (low, high) = levels
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
                high - low
            };
            let (sills, heads) =
                (spread(|opening| opening.bounds().0.v), spread(|opening| opening.bounds().1.v));
            if members.len() > 1 && sills.min(heads) > tolerance {
                let names: Vec<String> =
                    members.iter().map(|opening| format!("'{}'", opening.name)).collect();
                let message = format!(
                    "the openings {} are to be level, and neither their sills nor their heads are: they differ by {} and {} mm",
                    names.join(", "),
                    figure(sills * 1000.0, 0),
                    figure(heads * 1000.0, 0)
                );
                let place = format!("slope '{}'", self.layout.slope);
                findings.push(Finding::new(Severity::Caution, place, message));
            }
        }
    }
}

/// How far timber stays away from a flue.
fn flue_finding(found: &OpeningTakeOff<'_>, place: &str, roof: &TakeOff, findings: &mut Vec<Finding>) {
    match found.opening.flue {
        Flue::None => {}
        Flue::Other => findings.push(Finding::new(
            Severity::Caution,
            place,
            "how far timber and underlay stay away from the flue is for its maker and the local code",
        )),
        Flue::Brick => {
            let rules = roof.opening_rules.as_deref();
            let Some(work) = rules.and_then(|rules| rules.work.as_ref()) else { return };
            let message = format!(
                "timber stays at least {} away from a brick flue, existing timber too; the local code may ask for more",
                millimetres(work.flue_clearance.value)
            );
            findings.push(
                Finding::new(Severity::Caution, place, message)
                    .by("timber from flues", work.flue_clearance.citation()),
            );
        }
    }
}

/// What the cheeks of a dormer stand on.
fn dormer_finding(found: &OpeningTakeOff<'_>, place: &str, roof: &TakeOff, findings: &mut Vec<Finding>) {
    let work = roof.opening_rules.as_deref().and_then(|rules| rules.work.as_ref());
    let Some(work) = work.filter(|_| found.opening.kind == OpeningKind::Dormer) else { return };
    let message = format!(
        "the cheeks of a dormer stand on {} rafters side by side; its own roof and cheeks are slopes and walls of their \
         own and are not counted here",
        work.cheek_rafters.value
    );
    findings.push(
        Finding::new(Severity::Caution, place, message)
            .by("rafters under a dormer's cheeks", work.cheek_rafters.citation()),
    );
}

/// What the timbers round it do not settle.
fn timber_findings(found: &OpeningTakeOff<'_>, place: &str, roof: &TakeOff, findings: &mut Vec<Finding>) {
    if found.opening.existing {
        return;
    }
    let Some(timbers) = &found.timbers else {
        findings.push(Finding::new(
            Severity::Caution,
            place,
            "the rafter spacing is not stated: the timbers round it are not counted",
        ));
        return;
    };
    if timbers.cut == 0 {
        return;
    }
    if timbers.added.is_none() {
        let message = format!(
            "{} rafters are cut, more than the rule has a number for: what carries the roof beside it is for a structural engineer",
            timbers.cut
        );
        findings.push(Finding::new(Severity::Departure, place, message).by("rafters added", ""));
    }
    if timbers.at_the_end {
        let message = "on one side no rafter stands beside it: what carries its headers there is for a structural engineer";
        findings.push(Finding::new(Severity::Departure, place, message));
    }
    if let Some(by) = timbers.fits_if_moved_m {
        let way = if by < 0.0 { "left" } else { "right" };
        let message = format!(
            "it cuts {} rafters, and would fit between two of them {} mm further to the {way}",
            timbers.cut,
            figure(by.abs() * 1000.0, 0)
        );
        findings.push(Finding::new(Severity::Caution, place, message));
    }
    if roof.timbers.hanger_nails.is_none() && timbers.hangers > 0 {
        let message = "how many holes a hanger has is not stated: its nails are not counted";
        findings.push(Finding::new(Severity::Caution, place, message));
    }
    findings.push(Finding::new(
        Severity::Caution,
        place,
        "rafters, headers and trimmers are counted, not designed: their sizes, spans and loads are for a structural engineer or the \
         local code; cut no truss without one",
    ));
}

/// Lead thinner than the rule allows for flashings.
fn lead_finding(found: &OpeningTakeOff<'_>, place: &str, roof: &TakeOff, findings: &mut Vec<Finding>) {
    let work = roof.opening_rules.as_deref().and_then(|rules| rules.lead_work.as_ref());
    let (Some(code), Some(work)) = (found.opening.flashing.lead_code, work) else { return };
    let least = &work.flashing_code_least;
    if code < least.value {
        let message =
            format!("lead of code {code} is thinner than the least for flashings, code {}", least.value);
        findings.push(
            Finding::new(Severity::Departure, place, message).by("lead for flashings", least.citation()),
        );
    }
}

/// Figures that are only recalled.
fn memory_finding(found: &OpeningTakeOff<'_>, place: &str, roof: &TakeOff, findings: &mut Vec<Finding>) {
    let clearances = &found.opening.clearances;
    let sides = [("below", &clearances.below), ("above", &clearances.above), ("beside", &clearances.beside)];
    let mut names: Vec<String> = sides
        .into_iter()
        .filter_map(|(side, clearance)| {
            let rule = clearance.rule.as_ref().filter(|rule| rule.is_from_memory())?;
            Some(format!("clearance {side} {}", millimetres(rule.value)))
        })
        .collect();
    let work = roof.opening_rules.as_deref().and_then(|rules| rules.work.as_ref());
    if let Some(work) = work
        && matches!(found.opening.kind, OpeningKind::Chimney | OpeningKind::Dormer)
        && found.opening.flashing.past_corner.is_none()
        && work.past_corner.is_from_memory()
    {
        names.push(format!("flashing past the corners {}", millimetres(work.past_corner.value)));
    }
    if !names.is_empty() {
        let message =
            format!("these figures are from memory: {}; measure them, or state your own", names.join(", "));
        findings.push(Finding::new(Severity::Caution, place, message));
    }
}
