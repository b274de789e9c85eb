//! What the reader must know about the edges.

use super::{RoofEdges, hip};
use crate::catalogue::Pace;
use crate::quantity::figure;
use crate::reason::{Finding, Severity};
use crate::survey::{EdgeRole, HipMake, UnitLaying, ValleyMake, VergeMake};

impl RoofEdges {
    /// Departures at edges, and the usual cautions; `lead_round_openings` if lead is worked elsewhere on the roof.
    pub(in super::super) fn findings(&self, lead_round_openings: bool, findings: &mut Vec<Finding>) {
        self.joint_findings(findings);
        self.hip_findings(findings);
        self.course_findings(findings);
        self.lead_findings(findings);
        self.cautions(lead_round_openings, findings);
    }

    /// Ridges, hips and valleys that only one slope is known to have.
    fn joint_findings(&self, findings: &mut Vec<Finding>) {
        for run in &self.runs {
            let is_shared = matches!(run.role, EdgeRole::Ridge | EdgeRole::Hip | EdgeRole::Valley);
            if !is_shared || run.sides.len() > 1 {
                continue;
            }
            let message = format!(
                "edge '{}' is a {} that no joint of the survey has: it is counted for this slope alone. If another \
                 slope meets it there, state the joint, else its units are counted twice",
                run.edge,
                run.role.word()
            );
            findings.push(Finding::new(Severity::Caution, format!("slope '{}'", run.slope), message));
        }
    }

    /// Hip tiles made for equal pitches, where they are not.
    fn hip_findings(&self, findings: &mut Vec<Finding>) {
        let Some(rule) = &self.by_default else { return };
        if self.choice.hip.make == HipMake::Mitred {
            return;
        }
        for run in self.of_role(EdgeRole::Hip) {
            let is_by_course = hip::unit(self, run).is_some_and(|unit| unit.pace == Pace::Course);
            let most = &rule.hip_pitch_difference_most;
            let difference = run.pitch_difference_degrees();
            if !is_by_course || run.sides.len() < 2 || difference <= most.value.degrees() + 1e-9 {
                continue;
            }
            let message = format!(
                "the pitches differ by {} degrees: hip tiles laid one to a course do not fit, and the courses of \
                 the two slopes do not meet. Take ridge tiles, or mitre the hip",
                figure(difference, 1)
            );
            findings.push(
                Finding::new(Severity::Departure, format!("hip {}", run.slope), message)
                    .by("pitches at bonnet and arris hips", most.citation()),
            );
        }
    }

    /// Hips, and valleys of units, whose two slopes rise by different steps from course to course, so that their courses do
    /// not meet. In an open valley they need not.
    fn course_findings(&self, findings: &mut Vec<Finding>) {
        let must_meet = |run: &&super::EdgeRun| match run.role {
            EdgeRole::Hip => true,
            EdgeRole::Valley => self.choice.valley.make == ValleyMake::Units,
            _ => false,
        };
        for run in self.runs.iter().filter(must_meet) {
            let [one, other] = run.sides.as_slice() else { continue };
            if one.courses == other.courses && !one.drifts_from(other) {
                continue;
            }
            let (steep, flat) = if one.rise_m() > other.rise_m() { (one, other) } else { (other, one) };
            let advice = flat.gauge_like(steep).map_or_else(String::new, |gauge_m| {
                format!(
                    ": a gauge of at most {} mm on the slope at {} degrees makes its courses rise like the other's",
                    figure(gauge_m * 1000.0, 1),
                    figure(steep.pitch.degrees(), 1)
                )
            });
            let by_cover = hip::unit(self, run).is_some_and(|unit| unit.pace != Pace::Course);
            let unit = match run.role {
                EdgeRole::Hip if self.choice.hip.make == HipMake::Mitred => "take ridge tiles by their cover",
                EdgeRole::Hip if by_cover => "see that the ridge tiles over the hip cover the steps",
                EdgeRole::Hip => "take ridge tiles by their cover, or mitre the hip",
                _ => "take an open valley",
            };
            let message = format!(
                "{} courses at gauge {} mm meet {} at gauge {} mm: they rise {} and {} mm a course and do not meet on the \
                 line. Set both slopes out to one rise{advice}; or {unit}",
                one.courses,
                figure(one.gauge_m * 1000.0, 1),
                other.courses,
                figure(other.gauge_m * 1000.0, 1),
                figure(one.rise_m() * 1000.0, 1),
                figure(other.rise_m() * 1000.0, 1)
            );
            let place = format!("{} {}", run.role.word(), run.slope);
            findings.push(Finding::new(Severity::Caution, place, message).by(
                "courses that meet at a joint",
                "geometry: gauge x sine of the pitch is the rise of a course",
            ));
        }
    }

    /// Lead thinner than the rule's least.
    fn lead_findings(&self, findings: &mut Vec<Finding>) {
        let Some(work) = &self.lead_work else { return };
        let wall = &self.choice.abutment;
        for (stated, least, what) in [
            (wall.flashing_code, &work.flashing_code_least, "flashings"),
            (wall.soaker_code, &work.soaker_code_least, "soakers"),
        ] {
            if let Some(code) = stated.filter(|code| *code < least.value) {
                let message =
                    format!("lead of code {code} is thinner than code {}, the least for {what}", least.value);
                findings.push(
                    Finding::new(Severity::Departure, "", message).by("least code of lead", least.citation()),
                );
            }
        }
    }

    fn cautions(&self, lead_round_openings: bool, findings: &mut Vec<Finding>) {
        let mut caution = |message: &str| findings.push(Finding::new(Severity::Caution, "", message));
        let has = |role| self.of_role(role).next().is_some();
        let has_wall = has(EdgeRole::SideAbutment) || has(EdgeRole::TopAbutment);
        let takes_lead = has_wall
            || lead_round_openings
            || has(EdgeRole::Valley) && self.choice.valley.make == ValleyMake::Lead
            || has(EdgeRole::Hip) && self.choice.hip.make == HipMake::Mitred
            || self.of_role(EdgeRole::Ridge).any(|run| run.ends_at_rakes > 0);
        if takes_lead {
            caution(
                "lead is poisonous: gloves, no eating or smoking with it on the hands, wash before breaks, no dry sanding or \
                 burning of old lead, keep offcuts for the scrap; lift rolls by mass, not by size. Keep to the local rules \
                 for work with lead",
            );
        }
        if has(EdgeRole::Ridge) || has(EdgeRole::Hip) || has(EdgeRole::Verge) {
            caution(
                "ridge, hips and verges are worked from roof ladders and scaffold, not from the units or a leaning \
                 ladder; ridge units are heavy, and lifted one by one",
            );
        }
        let is_bedded = has(EdgeRole::Ridge) && self.choice.ridge.laying == UnitLaying::Bedded
            || has(EdgeRole::Verge) && self.choice.verge.make == VergeMake::Undercloak;
        if is_bedded {
            caution(
                "cutting out old mortar makes dust that harms the lungs: damp it down, mask and eye protection; wet cement burns \
                 the skin. Mortar alone does not hold ridge and hip units: they are fixed as well",
            );
        }
        if self.choice.ventilation.is_cold.is_none() && has(EdgeRole::Eaves) {
            caution(
                "openings for air are not counted: state under edgework.ventilation whether the roof is cold (insulated at \
                 the ceiling) or warm; a cold roof without air rots",
            );
        }
    }
}

#[cfg(test)]
mod tests;
