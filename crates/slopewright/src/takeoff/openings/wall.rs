//! A chimney, and the foot of a dormer: walls that stand up through the covering. An apron below, soakers and a flashing
//! up both sides, a back gutter above a chimney, and what holds all that in the joints of the brickwork.

use smol_str::SmolStr;

use super::flashing::{Strip, past_words};
use super::lines::PRACTICE;
use super::{OpeningLines, OpeningTakeOff};
use crate::catalogue::{Figure, Layers};
use crate::quantity::{Length, LengthIn as _, figure, m, spaces};
use crate::reason::Working;
use crate::rules::LeadCode;
use crate::setout::CourseKind;
use crate::survey::{Opening, OpeningKind};
use crate::takeoff::edges::{RoofEdges, Soakers, places_along};
use crate::takeoff::{SlopeTakeOff, TakeOff};

/// What a chimney or the foot of a dormer takes besides its strips of lead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallFlashing {
    /// Soakers, one to a course on each side; none in single lap.
    pub soakers: Option<Soakers>,
    /// Steps of one side: courses of brick from the lower to the upper end; none against a dormer's cheek.
    pub steps: u32,
    /// Wedges of lead in the joints of the brickwork, all four sides.
    pub wedges: u32,
    /// Clips at free edges: of the apron, and in single lap of the sides.
    pub clips: u32,
    /// The chase that is pointed, all four sides, in metres.
    pub chase_m: f64,
}

impl WallFlashing {
    /// What the wall of an opening takes on a slope.
    #[must_use]
    pub fn of(slope: &SlopeTakeOff, opening: &Opening, edges: &RoofEdges) -> Option<Self> {
        let (rule, work) = (edges.by_default.as_ref()?, edges.lead_work.as_ref()?);
        let soaker_lead = edges.soaker_lead.as_ref()?;
        let is_double = slope.layout.covering().layers == Layers::Double;
        let (width_m, height_m) = opening.size_m();
        let soakers = is_double.then(|| {
            let gauge_m = slope.layout.gauge().m();
            let length_m = gauge_m + slope.layout.headlap_laid().m() + work.soaker_addition.value.m();
            let wide_m = work.soaker_upstand.value.m() + work.soaker_under.value.m();
            let count = 2 * courses_beside(slope, opening);
            Soakers::new(count, length_m, wide_m, soaker_lead.mass_per_m2().value)
        });
        let spacing_m = work.wedge_spacing_most.value.m();
        let wall_course = edges.choice.abutment.wall_course.unwrap_or(rule.wall_course.value);
        let is_brick = opening.kind == OpeningKind::Chimney;
        let rise_m = height_m * slope.layout.pitch.radians().sin();
        let steps = if is_brick { spaces(m(rise_m), wall_course) } else { 0 };
        let wedges = if is_brick {
            2 * steps.max(places_along(height_m, spacing_m)) + 2 * places_along(width_m, spacing_m)
        } else {
            0
        };
        let clip_m = rule.clip_spacing_most.value.m();
        let at_sides = if is_double { 0 } else { 2 * places_along(height_m, clip_m) };
        Some(Self {
            soakers,
            steps,
            wedges,
            clips: places_along(width_m, clip_m) + at_sides,
            chase_m: if is_brick { 2.0 * (width_m + height_m) } else { 0.0 },
        })
    }
}

/// Courses that end at the sides of an opening.
fn courses_beside(slope: &SlopeTakeOff, opening: &Opening) -> u32 {
    let (low, high) = opening.bounds();
    let beside = slope
        .layout
        .courses
        .iter()
        .filter(|course| course.kind != CourseKind::UnderEaves)
        .filter(|course| course.band.low < high.v && course.band.high > low.v)
        .count();
    u32::try_from(beside).unwrap_or(u32::MAX)
}

impl SlopeTakeOff {
    pub(super) fn wall_lines(
        &self,
        found: &OpeningTakeOff<'_>,
        roof: &TakeOff,
        stated: Option<&LeadCode>,
        lines: &mut OpeningLines,
    ) {
        let edges = &roof.edges;
        let opening = found.opening;
        let work = roof.opening_rules.as_deref().and_then(|rules| rules.work.as_ref());
        let (Some(lead), Some(lead_work), Some(rule), Some(work), Some(wall)) = (
            stated.or(edges.flashing_lead.as_ref()),
            edges.lead_work.as_ref(),
            edges.by_default.as_ref(),
            work,
            WallFlashing::of(self, opening, edges),
        ) else {
            return;
        };
        let is_chimney = opening.kind == OpeningKind::Chimney;
        let sides = found.sides;
        let past = past_words(sides.past_corner_m);
        let width = opening.flashing.width;
        let at_sides = match (wall.soakers.is_some(), is_chimney) {
            (true, true) => ("step flashing up the sides", &rule.step_flashing_width),
            (true, false) => ("flashing up the cheeks", &rule.step_flashing_width),
            (false, true) => ("step and cover flashing up the sides", &rule.cover_flashing_width),
            (false, false) => ("cover flashing up the cheeks", &rule.cover_flashing_width),
        };
        let mut strips = vec![
            Strip {
                item: "front apron",
                length_m: sides.sill_m,
                times: 1,
                width,
                by_default: Some(&work.apron_width),
                formula: past.clone(),
            },
            Strip {
                item: at_sides.0,
                length_m: sides.jamb_m,
                times: 2,
                width: width.or(edges.choice.abutment.side_width),
                by_default: Some(at_sides.1),
                formula: SmolStr::new_static("side of the opening, twice"),
            },
        ];
        if is_chimney {
            strips.push(Strip {
                item: "back gutter",
                length_m: sides.head_m,
                times: 1,
                width: opening.flashing.head_width.or(width),
                by_default: Some(&work.back_gutter_width),
                formula: past,
            });
        }
        for strip in &strips {
            self.strip_line(found, strip, (lead, lead_work), lines);
        }
        if !is_chimney {
            let working = Working::new(
                "head of the dormer",
                "side of the opening",
                "",
                format!("{} m", figure(sides.head_m, 3)),
            )
            .by(
                "where its roof meets the slope: valleys or a flashing, as drawn; not among the materials",
                "",
            );
            lines
                .tell(found, self.opening_line("head of the dormer, as drawn", working).length(sides.head_m));
        }
        self.soaker_line(found, &wall, edges, lines);
        self.held_lines(found, &wall, edges, lines);
    }

    /// In double lap a soaker lies under each unit beside the wall, on both sides.
    fn soaker_line(
        &self,
        found: &OpeningTakeOff<'_>,
        wall: &WallFlashing,
        edges: &RoofEdges,
        lines: &mut OpeningLines,
    ) {
        let (Some(soakers), Some(lead), Some(work)) = (wall.soakers, &edges.soaker_lead, &edges.lead_work)
        else {
            return;
        };
        let working = Working::new(
            "soakers",
            "courses beside it x 2 sides; length gauge + headlap + addition, width up the wall + under the units",
            format!(
                "{} x 2; {} + {} + {} mm",
                soakers.count / 2,
                figure(self.layout.gauge().mm(), 1),
                figure(self.layout.headlap_laid().mm(), 1),
                figure(work.soaker_addition.value.mm(), 0)
            ),
            soakers.count.to_string(),
        )
        .by(
            format!("one for each course in double lap; at least code {}", work.soaker_code_least.value),
            format!("{}; {}", work.soaker_code_least.citation(), work.soaker_addition.citation()),
        );
        let mut line = self
            .opening_line(soakers.item("soakers", lead), working)
            .count(soakers.count.into())
            .area(soakers.area_m2);
        line.mass_kg = Some(soakers.mass_kg);
        lines.buy(found, line);
    }

    /// Wedges, clips and pointing.
    fn held_lines(
        &self,
        found: &OpeningTakeOff<'_>,
        wall: &WallFlashing,
        edges: &RoofEdges,
        lines: &mut OpeningLines,
    ) {
        let (Some(rule), Some(work)) = (&edges.by_default, &edges.lead_work) else { return };
        let cited = |one: &Figure<Length>, other: &Figure<Length>| {
            format!("{}; {}", one.citation(), other.citation())
        };
        if wall.wedges > 0 {
            let working = Working::new(
                "wedges",
                "up each side the more of one at each step and places no further apart than the rule; along front and back the places",
                format!(
                    "{} steps in a side; at most {} mm apart",
                    wall.steps,
                    figure(work.wedge_spacing_most.value.mm(), 0)
                ),
                wall.wedges.to_string(),
            )
            .by("", cited(&work.wedge_spacing_most, &rule.wall_course));
            lines.buy(found, self.opening_line("lead wedges", working).count(wall.wedges.into()));
        }
        let working = Working::new(
            "clips",
            "free edges / spacing, rounded up, and one more each",
            format!("at most {} mm apart", figure(rule.clip_spacing_most.value.mm(), 0)),
            wall.clips.to_string(),
        )
        .by("", rule.clip_spacing_most.citation());
        lines.buy(found, self.opening_line("lead clips", working).count(wall.clips.into()));
        if wall.chase_m > 0.0 {
            let working =
                Working::new("pointing", "round the stack", "", format!("{} m", figure(wall.chase_m, 2)))
                    .by("mortar or sealant in the chase over the lead", PRACTICE);
            lines.buy(found, self.opening_line("pointing of the chase", working).length(wall.chase_m));
        }
    }
}
