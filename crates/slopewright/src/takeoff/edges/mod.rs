//! Edges: what ridges, hips, valleys, verges, eaves and walls take, each joint once.
//!
//! [`RoofEdges`] holds one [`EdgeRun`] for each joint and each edge that no joint has; the quantities of a run are worked
//! out from it and from how the survey says that edges are made. Where the survey says nothing, the default and its
//! source stand in the working.

mod abutment;
mod air;
mod capping;
mod eaves;
mod findings;
mod hip;
mod lead;
mod pieces;
mod ridge;
mod run;
mod valley;
mod verge;

use core::fmt;

use smol_str::SmolStr;

pub use abutment::{SideAbutment, Soakers, TopAbutment};
pub use air::AirGap;
pub use capping::Capping;
pub use eaves::EavesWork;
pub use hip::{HipUnits, MitredHip, hip_units_per_metre};
pub use lead::LeadStrip;
pub use pieces::{Pieces, places_along};
pub use run::{EdgeRun, EdgeSide};
pub use valley::{ValleySheet, ValleyUnits};
pub use verge::{Undercloak, VergeUnits};

use super::SlopeTakeOff;
use super::lines::{Line, Part};
use crate::quantity::{Shown, figure};
use crate::reason::{IntoText, Working, joined, said};
use crate::rules::{Edges, EdgeworkRule, LeadCode, LeadWork, Rules};
use crate::survey::{EdgeRole, EdgeworkChoice, Roof};

/// The edges of a roof, and what they are made with.
#[derive(Debug, Clone)]
pub struct RoofEdges {
    /// Joints first, then the edges that no joint has, slope by slope.
    pub runs: Vec<EdgeRun>,
    /// How the survey says that they are made.
    pub choice: EdgeworkChoice,
    /// What is taken where it says nothing.
    pub by_default: Option<EdgeworkRule>,
    /// Lengths along edges.
    pub along: Option<Edges>,
    /// Lengths that lead work goes by.
    pub lead_work: Option<LeadWork>,
    /// The lead of flashings.
    pub flashing_lead: Option<LeadCode>,
    /// The lead of soakers.
    pub soaker_lead: Option<LeadCode>,
    /// The lead of valleys.
    pub valley_lead: Option<LeadCode>,
    /// The lead of saddles.
    pub saddle_lead: Option<LeadCode>,
}

impl RoofEdges {
    /// The edges of a roof that is set out.
    pub(super) fn of(roof: &Roof, slopes: &[SlopeTakeOff], rules: &Rules) -> Self {
        let choice = roof.edgework.clone();
        let joints = roof.joints.iter().filter_map(|joint| EdgeRun::of(slopes, &joint.sides, joint.length_m));
        let lone = roof.lone_edges().filter_map(|(at, edge)| EdgeRun::of(slopes, &[at], edge.length_m()));
        let mut runs: Vec<EdgeRun> = joints.chain(lone).collect();
        if choice.ventilation.is_cold == Some(true) {
            air::plan(&mut runs, slopes, choice.ventilation.span, rules);
        }
        let by_default = rules.edgework().cloned();
        let lead_work = rules.lead_work().cloned();
        let code = |stated: Option<u32>, default: Option<u32>| {
            stated.or(default).and_then(|code| rules.lead(code)).cloned()
        };
        let least = |figure: fn(&LeadWork) -> u32| lead_work.as_ref().map(figure);
        Self {
            flashing_lead: code(choice.abutment.flashing_code, least(|work| work.flashing_code_least.value)),
            soaker_lead: code(choice.abutment.soaker_code, least(|work| work.soaker_code_least.value)),
            saddle_lead: code(choice.ridge.saddle_code, least(|work| work.flashing_code_least.value)),
            valley_lead: code(choice.valley.code, by_default.as_ref().map(|rule| rule.valley_code.value)),
            along: rules.edges().cloned(),
            runs,
            choice,
            by_default,
            lead_work,
        }
    }

    /// The runs of one kind.
    pub fn of_role(&self, role: EdgeRole) -> impl Iterator<Item = &EdgeRun> {
        self.runs.iter().filter(move |run| run.role == role)
    }

    /// The true length of all runs of one kind, each joint once, in metres.
    #[must_use]
    pub fn length_m(&self, role: EdgeRole) -> f64 {
        self.of_role(role).map(|run| run.length_m).sum()
    }

    /// The lines of every run, and then those of the whole roof.
    pub(super) fn lines_into(&self, lines: &mut Vec<Line>) {
        let before = lines.len();
        for run in &self.runs {
            match run.role {
                EdgeRole::Ridge => ridge::lines(self, run, lines),
                EdgeRole::Hip => hip::lines(self, run, lines),
                EdgeRole::Valley => valley::lines(self, run, lines),
                EdgeRole::Verge => verge::lines(self, run, lines),
                EdgeRole::Eaves => eaves::lines(self, run, lines),
                EdgeRole::SideAbutment => abutment::side_lines(self, run, lines),
                EdgeRole::TopAbutment => abutment::top_lines(self, run, lines),
                EdgeRole::ChangeOfPitch => lines.push(change_of_pitch_line(run)),
            }
            air::lines(run, lines);
        }
        let of_edges = lines.get(before..).unwrap_or_default();
        let totals = super::sums::of(of_edges, "sum over the edges, each joint once");
        lines.extend(totals);
    }
}

/// The length where two pitches meet. How it is covered is for the drawing: it is only measured here.
fn change_of_pitch_line(run: &EdgeRun) -> Line {
    let length = figure(run.length_m, 2).with("m");
    let working = Working::new("change of pitch", "true length of the joint", "", length);
    line(run, Part::Abutments, "change of pitch, to be flashed as drawn", "", working).length(run.length_m)
}

/// A line of a run.
fn line(run: &EdgeRun, part: Part, item: impl IntoText, format: &str, working: Working) -> Line {
    let mut line = Line::new(&run.slope, part, item, format, working);
    line.edge = run.edge.as_str().into();
    line
}

/// `6.4 m` in workings.
const fn metres(length_m: f64) -> Shown {
    figure(length_m, 3).with("m")
}

/// `75 mm` in workings.
fn millimetres(length_m: f64) -> Shown {
    figure(length_m * 1000.0, 1).with("mm")
}

/// The true length and what is added to it: `6.4 m and 0.1 m to the overhangs`.
const fn laid(run: &EdgeRun) -> Laid<'_> {
    Laid(run)
}

/// What [`laid`] says.
struct Laid<'a>(&'a EdgeRun);

impl fmt::Display for Laid<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(run) = self;
        let past = run.laid_m - run.length_m;
        metres(run.length_m).fmt(f)?;
        if past > 1e-9 { write!(f, " and {} to the overhangs", metres(past)) } else { Ok(()) }
    }
}

impl IntoText for Laid<'_> {
    fn into_text(self) -> SmolStr {
        said!("{self}")
    }
}

/// Several sources in one text.
fn citations<const N: usize>(sources: [Option<SmolStr>; N]) -> SmolStr {
    let mut all: Vec<SmolStr> = Vec::with_capacity(N);
    for source in sources.into_iter().flatten().filter(|source| !source.is_empty()) {
        if !all.contains(&source) {
            all.push(source);
        }
    }
    match all.as_slice() {
        [only] => only.clone(),
        all => joined(all, "; "),
    }
}

#[cfg(test)]
mod tests;
