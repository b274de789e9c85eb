//! Edges against walls: soakers and step flashing in double lap, a flashing that covers the units in single lap, and
//! the flashing over a top edge.

use smol_str::{SmolStr, ToSmolStr as _};

use super::super::lines::{Line, Part};
use super::{
    EdgeRun, LeadStrip, Pieces, RoofEdges, citations, laid, line, metres, millimetres, places_along,
};
use crate::catalogue::Figure;
use crate::quantity::{Length, LengthIn as _, m, spaces};
use crate::reason::{Working, said};
use crate::rules::LeadCode;

/// Soakers of one size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Soakers {
    /// How many.
    pub count: u32,
    /// Length of each, in metres.
    pub length_m: f64,
    /// Width of each, in metres.
    pub width_m: f64,
    /// Area in all, in square metres.
    pub area_m2: f64,
    /// Mass in all, in kilograms.
    pub mass_kg: f64,
}

impl Soakers {
    /// So many soakers of a size, cut from sheet of a mass per area.
    #[must_use]
    pub fn new(count: u32, length_m: f64, width_m: f64, mass_per_m2: f64) -> Self {
        let area_m2 = f64::from(count) * length_m * width_m;
        Self { count, length_m, width_m, area_m2, mass_kg: area_m2 * mass_per_m2 }
    }

    /// `soakers, lead code 3, 191 mm x 175 mm`.
    pub(in crate::takeoff) fn item(&self, item: &str, lead: &LeadCode) -> SmolStr {
        let size = said!("{} x {}", millimetres(self.length_m), millimetres(self.width_m));
        said!("{item}, lead code {}, {size}", lead.code)
    }

    pub(super) fn line(
        &self,
        run: &EdgeRun,
        part: Part,
        item: &str,
        lead: &LeadCode,
        working: Working,
    ) -> Line {
        let mut line =
            line(run, part, self.item(item, lead), "", working).count(self.count.into()).area(self.area_m2);
        line.mass_kg = Some(self.mass_kg);
        line
    }
}

/// What a side abutment takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideAbutment {
    /// Soakers, one to a course; none in single lap.
    pub soakers: Option<Soakers>,
    /// The flashing: stepped over the soakers, or step and cover in one.
    pub flashing: LeadStrip,
    /// Steps: courses of the wall from the lower to the upper end.
    pub steps: u32,
    /// Wedges: one at each step, and no further apart than the rule.
    pub wedges: u32,
    /// Clips at the free edge of a flashing that covers the units; none over soakers.
    pub clips: u32,
}

impl SideAbutment {
    /// The side abutment of a run.
    #[must_use]
    pub fn of(edges: &RoofEdges, run: &EdgeRun) -> Option<Self> {
        let (rule, work) = (edges.by_default.as_ref()?, edges.lead_work.as_ref()?);
        let (flashing_lead, soaker_lead) = (edges.flashing_lead.as_ref()?, edges.soaker_lead.as_ref()?);
        let side = run.sides.first()?;
        let soakers = (!run.is_single_lap()).then(|| {
            let length_m = side.gauge_m + side.headlap_m + work.soaker_addition.value.m();
            let width_m = work.soaker_upstand.value.m() + work.soaker_under.value.m();
            Soakers::new(side.courses, length_m, width_m, soaker_lead.mass_per_m2().value)
        });
        let by_default =
            if soakers.is_some() { &rule.step_flashing_width } else { &rule.cover_flashing_width };
        let width = edges.choice.abutment.side_width.unwrap_or(by_default.value);
        let flashing = strip(edges, run, flashing_lead, width.m())?;
        let wall_course = edges.choice.abutment.wall_course.unwrap_or(rule.wall_course.value);
        let clips =
            if soakers.is_some() { 0 } else { places_along(run.laid_m, rule.clip_spacing_most.value.m()) };
        let steps = spaces(m(run.rise_m), wall_course);
        let wedges = steps.max(places_along(run.laid_m, work.wedge_spacing_most.value.m()));
        Some(Self { soakers, flashing, steps, wedges, clips })
    }
}

/// What a top abutment takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TopAbutment {
    /// The flashing over the top course.
    pub flashing: LeadStrip,
    /// Wedges in the joint of the wall.
    pub wedges: u32,
    /// Clips at its free edge.
    pub clips: u32,
}

impl TopAbutment {
    /// The top abutment of a run.
    #[must_use]
    pub fn of(edges: &RoofEdges, run: &EdgeRun) -> Option<Self> {
        let (rule, work) = (edges.by_default.as_ref()?, edges.lead_work.as_ref()?);
        let by_default =
            work.flashing_tuck.value + rule.flashing_upstand.value + rule.top_flashing_cover.value;
        let width = edges.choice.abutment.top_width.unwrap_or(by_default);
        Some(Self {
            flashing: strip(edges, run, edges.flashing_lead.as_ref()?, width.m())?,
            wedges: places_along(run.laid_m, work.wedge_spacing_most.value.m()),
            clips: places_along(run.laid_m, rule.clip_spacing_most.value.m()),
        })
    }
}

/// A flashing along a run, in pieces that its code and the rule allow.
fn strip(edges: &RoofEdges, run: &EdgeRun, lead: &LeadCode, width_m: f64) -> Option<LeadStrip> {
    let work = edges.lead_work.as_ref()?;
    let by_code = lead.piece_most.as_ref().map_or(f64::INFINITY, |piece| piece.value.m());
    let most_m = work.flashing_piece_most.value.m().min(by_code);
    let pieces = Pieces::of(run.laid_m, most_m, work.flashing_lap.value.m())?;
    Some(LeadStrip::of(lead, width_m, pieces))
}

pub(super) fn side_lines(edges: &RoofEdges, run: &EdgeRun, lines: &mut Vec<Line>) {
    let (Some(found), Some(rule), Some(work), Some(soaker_lead), Some(flashing_lead), Some(side)) = (
        SideAbutment::of(edges, run),
        &edges.by_default,
        &edges.lead_work,
        &edges.soaker_lead,
        &edges.flashing_lead,
        run.sides.first(),
    ) else {
        return;
    };
    let stated = edges.choice.abutment.side_width.is_some();
    let width_source = |figure: &Figure<Length>| {
        if stated { None } else { Some(figure.citation()) }
    };
    let (item, width) = if let Some(soakers) = found.soakers {
        let working = Working::new(
            "soakers",
            "one to a course; length gauge + headlap + addition, width up the wall + under the units",
            said!(
                "{} courses; {} + {} + {}",
                soakers.count,
                millimetres(side.gauge_m),
                millimetres(side.headlap_m),
                millimetres(work.soaker_addition.value.m())
            ),
            soakers.count.to_smolstr(),
        )
        .by(
            said!("at least code {}", work.soaker_code_least.value),
            citations([Some(work.soaker_code_least.citation()), Some(work.soaker_addition.citation())]),
        );
        lines.push(soakers.line(run, Part::Abutments, "soakers", soaker_lead, working));
        ("step flashing", width_source(&rule.step_flashing_width))
    } else {
        ("step and cover flashing", width_source(&rule.cover_flashing_width))
    };
    let source = citations([Some(work.flashing_piece_most.citation()), width]);
    lines.push(found.flashing.line(run, Part::Abutments, item, flashing_lead, flashing_rule(edges), source));
    let working = Working::new(
        "wedges",
        "the more of: one at each step, and places no further apart than the rule",
        said!(
            "{} steps in a rise of {}; {} at {}",
            found.steps,
            metres(run.rise_m),
            places_along(run.laid_m, work.wedge_spacing_most.value.m()),
            millimetres(work.wedge_spacing_most.value.m())
        ),
        found.wedges.to_smolstr(),
    )
    .by("", citations([Some(work.wedge_spacing_most.citation()), Some(rule.wall_course.citation())]));
    lines.push(line(run, Part::Abutments, "lead wedges", "", working).count(found.wedges.into()));
    if found.clips > 0 {
        spaced_line(run, "lead clips", found.clips, &rule.clip_spacing_most, lines);
    }
    pointing_line(run, lines);
}

pub(super) fn top_lines(edges: &RoofEdges, run: &EdgeRun, lines: &mut Vec<Line>) {
    let (Some(found), Some(rule), Some(work), Some(lead)) =
        (TopAbutment::of(edges, run), &edges.by_default, &edges.lead_work, &edges.flashing_lead)
    else {
        return;
    };
    let width = edges.choice.abutment.top_width.is_none().then(|| {
        said!(
            "width: tuck {} + upstand {} + cover {}, {}",
            millimetres(work.flashing_tuck.value.m()),
            millimetres(rule.flashing_upstand.value.m()),
            millimetres(rule.top_flashing_cover.value.m()),
            rule.top_flashing_cover.citation()
        )
    });
    let source = citations([Some(work.flashing_piece_most.citation()), width]);
    let item = "cover flashing at the top";
    lines.push(found.flashing.line(run, Part::Abutments, item, lead, flashing_rule(edges), source));
    spaced_line(run, "lead wedges", found.wedges, &work.wedge_spacing_most, lines);
    spaced_line(run, "lead clips", found.clips, &rule.clip_spacing_most, lines);
    pointing_line(run, lines);
}

/// Wedges or clips at a spacing along the run.
fn spaced_line(
    run: &EdgeRun,
    item: &'static str,
    count: u32,
    spacing: &Figure<Length>,
    lines: &mut Vec<Line>,
) {
    let working = Working::new(
        item,
        "length / spacing, rounded up, and one more",
        said!("{} / {} + 1", laid(run), millimetres(spacing.value.m())),
        count.to_smolstr(),
    )
    .by("", spacing.citation());
    lines.push(line(run, Part::Abutments, item, "", working).count(count.into()));
}

fn flashing_rule(edges: &RoofEdges) -> SmolStr {
    edges.lead_work.as_ref().map_or_else(SmolStr::default, |work| {
        said!(
            "at least code {}, pieces of at most {}, laps of at least {}, tucked {} into the wall",
            work.flashing_code_least.value,
            metres(work.flashing_piece_most.value.m()),
            millimetres(work.flashing_lap.value.m()),
            millimetres(work.flashing_tuck.value.m())
        )
    })
}

fn pointing_line(run: &EdgeRun, lines: &mut Vec<Line>) {
    let working = Working::new("pointing", "length", laid(run), metres(run.laid_m))
        .by("mortar or sealant in the chase over the lead", "common practice, no source");
    lines.push(line(run, Part::Abutments, "pointing of the chase", "", working).length(run.laid_m));
}
