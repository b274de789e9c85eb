//! The take-off as lines: one for each kind of thing on each slope, with its working.

use core::fmt;

use serde::Serialize;
use smol_str::{SmolStr, ToSmolStr as _};

use super::lengths::{CutInto, Sold};
use super::openings::OpeningLines;
pub use super::part::Part;
use super::{CourseUnits, SlopeTakeOff, SlopeUnderlay, TakeOff, sums};
use crate::catalogue::{Companion, Covering, Nail};
use crate::quantity::{Mass, MassIn as _, figure, kg};
use crate::reason::{IntoText, Working, joined, said};
use crate::rules::Rules;
use crate::setout::CourseKind;
use crate::survey::CutPolicy;

/// One line of a take-off.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// The slope, or the two slopes of a joint with ` / ` between; empty for the whole roof.
    pub slope: SmolStr,
    /// The edge of the slope, or the two edges of a joint; empty where the line is of no edge.
    #[serde(skip_serializing_if = "SmolStr::is_empty")]
    pub edge: SmolStr,
    /// The part of the roof.
    pub part: Part,
    /// What it is, in the trade's words.
    pub item: SmolStr,
    /// The key of its format in the catalogue; empty where there is none.
    pub format: SmolStr,
    /// How many.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<u64>,
    /// How long, in metres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_m: Option<f64>,
    /// How large, in square metres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub area_m2: Option<f64>,
    /// How heavy, in kilograms.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mass_kg: Option<f64>,
    /// Why.
    pub working: Working,
    /// What it is cut into, where that is cut from something sold by length.
    #[serde(skip)]
    pub(in crate::takeoff) cut_into: Option<CutInto>,
    /// How many are bought, where cut together fewer are enough than each edge takes by itself.
    #[serde(skip)]
    pub(crate) to_buy: Option<u64>,
    /// Whether other lines buy what it is cut from, so that it is not bought itself.
    #[serde(skip)]
    pub(crate) is_cut_from_stock: bool,
}

impl Line {
    pub(super) fn new(slope: &str, part: Part, item: impl IntoText, format: &str, working: Working) -> Self {
        Self {
            slope: slope.into(),
            edge: SmolStr::default(),
            part,
            item: item.into_text(),
            format: format.into(),
            count: None,
            length_m: None,
            area_m2: None,
            mass_kg: None,
            working,
            cut_into: None,
            to_buy: None,
            is_cut_from_stock: false,
        }
    }

    /// The same, cut into pieces of these lengths in metres.
    pub(super) fn cut_into(mut self, sold_as: impl IntoText, from: Sold, pieces_m: Vec<f64>) -> Self {
        self.cut_into = Some(CutInto { sold_as: sold_as.into_text(), from, pieces_m });
        self
    }

    pub(super) fn count(mut self, count: u64) -> Self {
        self.count = Some(count);
        self
    }

    pub(super) fn length(mut self, length_m: f64) -> Self {
        self.length_m = Some(length_m);
        self
    }

    pub(super) fn area(mut self, area_m2: f64) -> Self {
        self.area_m2 = Some(area_m2);
        self
    }

    pub(super) fn mass_each(mut self, each: Option<Mass>) -> Self {
        self.mass_kg = each.zip(self.count).map(|(each, count)| (each * count_factor(count)).kg());
        self
    }
}

#[expect(clippy::cast_precision_loss, reason = "counts are far below 2^53")]
fn count_factor(count: u64) -> f64 {
    count as f64
}

impl TakeOff {
    /// Every line, slope by slope, then those of the whole roof.
    #[must_use]
    pub fn lines(&self) -> Vec<Line> {
        /// Lines of a slope and of the whole roof, on most roofs.
        const USUAL: usize = 24;
        let mut lines = Vec::with_capacity(USUAL * (self.slopes.len() + 1));
        let mut of_openings = OpeningLines::default();
        for slope in &self.slopes {
            slope.covering_lines(&mut lines);
            slope.batten_lines(self, &mut lines);
            slope.underlay_lines(self, &mut lines);
            slope.fixing_lines(self, &mut lines);
            slope.opening_lines(self, &mut of_openings);
            lines.append(&mut of_openings.lines);
        }
        self.total_lines(&mut lines);
        self.roll_line(&mut lines);
        lines.extend(sums::of(&of_openings.bought, "sum over the openings"));
        self.edges.lines_into(&mut lines);
        self.buy_lengths(&mut lines, &of_openings.bought);
        lines.extend(self.measured_lines());
        lines
    }

    /// The lines that say what they are cut into.
    pub(super) fn lines_to_cut(&self) -> Vec<Line> {
        let mut lines = Vec::new();
        let mut of_openings = OpeningLines::default();
        for slope in &self.slopes {
            slope.batten_lines(self, &mut lines);
            slope.opening_lines(self, &mut of_openings);
        }
        lines.extend(of_openings.bought);
        self.edges.lines_into(&mut lines);
        lines
    }

    fn roll_line(&self, lines: &mut Vec<Line>) {
        let Some(choice) = &self.underlay else { return };
        let length: f64 =
            self.slopes.iter().filter_map(|slope| slope.underlay.as_ref()).map(|u| u.length_m).sum();
        let end_laps: u32 =
            self.slopes.iter().filter_map(|slope| slope.underlay.as_ref()).map(|u| u.end_laps).sum();
        let underlays = self.slopes.iter().filter_map(|slope| slope.underlay.as_ref());
        let strips: f64 = underlays.map(SlopeUnderlay::round_openings_m).sum();
        let round = if strips > 0.0 {
            said!(" + {} m for upstands and collars at openings", figure(strips, 2))
        } else {
            SmolStr::default()
        };
        let roll = &choice.underlay;
        let working = Working::new(
            "rolls",
            "runs and end laps cut one after the other, then the strips round openings; what is left of a roll laid before the next is opened",
            said!(
                "{} m with {end_laps} end laps{round}, from rolls of {} m",
                figure(length, 2),
                figure(roll.length.value.value, 2)
            ),
            self.rolls.to_smolstr(),
        )
        .by("offcuts carried on from slope to slope", roll.length.citation());
        let mass = roll.roll_mass();
        lines.push(
            Line::new("", Part::Underlay, "rolls of underlay", &roll.key, working)
                .count(self.rolls.into())
                .mass_each(mass),
        );
    }
}

impl SlopeTakeOff {
    pub(super) fn name(&self) -> &str {
        &self.layout.slope
    }

    fn covering_lines(&self, lines: &mut Vec<Line>) {
        let covering = self.layout.covering();
        let units = &self.units;
        let mass = covering.mass.as_ref().map(|mass| mass.value);
        let name = self.name();
        let area = self.layout.covered.area_m2();
        let net = Working::new(
            "covered area",
            "outline with overhangs and clearances, less openings",
            "",
            figure(area, 2).with("m2"),
        );
        lines.push(Line::new(name, Part::Covering, "area covered", &covering.key, net).area(area));

        let whole = self.course_working("whole units", CourseKind::Field, |course| course.whole);
        lines.push(
            Line::new(name, Part::Covering, "whole units", &covering.key, whole)
                .count(units.whole.into())
                .mass_each(mass),
        );
        let cut = self.course_working("cut units", CourseKind::Field, |course| course.cut);
        let cut = paired(cut, units.cut, units.paired.field, self.layout.laying.cuts);
        lines.push(
            Line::new(name, Part::Covering, "units to be cut", &covering.key, cut)
                .count(units.taken_for_cuts().into())
                .mass_each(mass),
        );
        if let Some(half) = &covering.tile_and_half {
            let working = self
                .course_working("units of one and a half", CourseKind::Field, |course| course.tile_and_half)
                .by(
                    said!(
                        "in place of a narrow cut and its neighbour; {} of them cut",
                        units.tile_and_half_cut
                    ),
                    half.source.citation(),
                );
            lines.push(
                Line::new(name, Part::Covering, "tile-and-a-half units", &covering.key, working)
                    .count(units.tile_and_half.into())
                    .mass_each(covering.companion_mass(half)),
            );
        }
        self.short_line(
            lines,
            "under-eaves units",
            CourseKind::UnderEaves,
            covering.eaves_unit.as_ref(),
            (units.under_eaves, units.paired.under_eaves),
        );
        let top = (units.top, units.paired.top);
        self.short_line(lines, "top units", CourseKind::Top, covering.top_unit.as_ref(), top);
    }

    /// A line for the short units of a kind of course: units of their own, or cut from whole ones.
    fn short_line(
        &self,
        lines: &mut Vec<Line>,
        item: &str,
        kind: CourseKind,
        own: Option<&Companion>,
        (count, saved): (u32, u32),
    ) {
        let covering = self.layout.covering();
        let Some(course) = self.layout.courses.iter().find(|course| course.kind == kind) else { return };
        let length = figure(course.unit_length_m * 1000.0, 1);
        let (item, mass, by) = match own {
            Some(unit) => {
                (said!("{item}, {length} mm"), covering.companion_mass(unit), unit.source.citation())
            }
            None if course.unit_length_m < covering.length.value.value - 1e-6 => (
                said!("{item}, {length} mm, cut from whole units"),
                whole_mass(covering),
                SmolStr::new_static("length - gauge"),
            ),
            None => (
                said!("{item}, whole"),
                whole_mass(covering),
                SmolStr::new_static("first course laid double"),
            ),
        };
        let mut working = self.course_working(&item, kind, CourseUnits::laid).by("", by);
        if saved > 0 {
            working.result = said!("{}, less {saved} for two cuts out of one", working.result);
        }
        lines.push(
            Line::new(self.name(), Part::Covering, item, &covering.key, working)
                .count(count.saturating_sub(saved).into())
                .mass_each(mass),
        );
    }

    /// The sum over the courses of a kind, neighbours with the same number taken together.
    fn course_working(
        &self,
        what: impl IntoText,
        kind: CourseKind,
        count: impl Fn(&CourseUnits) -> u32,
    ) -> Working {
        /// More groups than this are not written out: the table of courses has them.
        const MOST_GROUPS: usize = 12;
        let of_kind = self
            .layout
            .courses
            .iter()
            .zip(&self.units.courses)
            .filter(|(course, _)| course.kind == kind)
            .map(|(_, units)| count(units));
        let (mut courses, mut total) = (0, 0);
        let mut groups: Vec<(u32, u32)> = Vec::with_capacity(MOST_GROUPS);
        for count in of_kind {
            courses += 1;
            total += u64::from(count);
            match groups.iter_mut().find(|(number, _)| *number == count) {
                Some((_, times)) => *times += 1,
                None => groups.push((count, 1)),
            }
        }
        let numbers = if groups.len() <= MOST_GROUPS {
            joined(groups.into_iter().map(Courses), " + ")
        } else {
            said!("{courses} courses, as in the table of courses")
        };
        Working::new(what, "sum over the courses", numbers, total.to_smolstr())
    }

    fn batten_lines(&self, roof: &TakeOff, lines: &mut Vec<Line>) {
        let battens = &self.battens;
        let section = self.batten_rule.as_ref();
        let (format, item, source) = match (&roof.batten, section) {
            (Some(batten), _) => (
                SmolStr::from(&batten.key),
                said!("battens {}", batten.name),
                SmolStr::new_static("stated by the survey"),
            ),
            (None, Some(rule)) => {
                let (width, depth) = rule.value;
                let size =
                    said!("{} x {} mm", figure(width.value * 1000.0, 0), figure(depth.value * 1000.0, 0));
                (SmolStr::default(), said!("battens {size} (the least by the rule)"), rule.citation())
            }
            (None, None) => (SmolStr::default(), SmolStr::new_static("battens"), SmolStr::default()),
        };
        let rows = battens.rows.len();
        let working = Working::new(
            "net length",
            "rows on each batten line, clipped to the slope and its openings",
            said!("{rows} rows on {} lines", self.layout.batten_lines.len()),
            figure(battens.length_m, 2).with("m"),
        )
        .by("batten size by covering and rafter spacing", source);
        lines.push(Line::new(self.name(), Part::Battens, item, &format, working).length(battens.length_m));
        if let Some(length) = battens.counter_length_m {
            let working = Working::new(
                "net length",
                "one on each rafter, clipped to the slope and its openings",
                "",
                figure(length, 2).with("m"),
            );
            let line = Line::new(self.name(), Part::Battens, "counter-battens", "", working).length(length);
            let stretches = battens.counter_stretches_m.clone();
            lines.push(line.cut_into("counter-battens", Sold::CounterBattens, stretches));
            if let Some(nails) = battens.counter_nails {
                let rule = Rules::standard().batten_joint_rule();
                let source = rule.map_or_else(SmolStr::default, |rule| rule.counter_fixing_most.citation());
                let formula = "along each, no further apart than the rule, one at each end";
                let working = Working::new("counter-batten nails", formula, "", nails.to_smolstr())
                    .by("nails along a counter-batten", source);
                let line = Line::new(self.name(), Part::Fixings, "counter-batten nails", "", working);
                lines.push(line.count(nails.into()));
            }
        }
        if let (Some(crossings), Some(rafters)) = (battens.crossings, battens.rafters) {
            let working = Working::new(
                "batten nails",
                "one for each crossing of a batten and a rafter; what joints take more is counted where bars are, for the whole roof",
                said!("rafters at {} mm", figure(rafters.spacing_m * 1000.0, 0)),
                crossings.to_smolstr(),
            );
            let nail = roof.batten_nail.as_deref();
            lines.push(
                Line::new(
                    self.name(),
                    Part::Fixings,
                    "batten nails",
                    nail.map_or("", |nail| nail.key.as_str()),
                    working,
                )
                .count(crossings.into())
                .mass_each(nail.and_then(nail_mass)),
            );
        }
    }

    fn underlay_lines(&self, roof: &TakeOff, lines: &mut Vec<Line>) {
        let (Some(underlay), Some(choice)) = (&self.underlay, &roof.underlay) else { return };
        let laps = underlay.laps;
        let working = Working::new(
            "underlay",
            "runs across the slope, each one roll wide, less the horizontal lap; end laps added where a roll ends",
            said!(
                "{} levels of {} m with laps of {} mm; {} pieces, {} end laps of {} mm",
                underlay.levels,
                figure(choice.underlay.width.value.value, 3),
                figure(laps.horizontal_m * 1000.0, 0),
                underlay.runs.len(),
                underlay.end_laps,
                figure(laps.end_m * 1000.0, 0)
            ),
            figure(underlay.length_m, 2).with("m"),
        )
        .by(
            "underlay laps by pitch and support",
            self.underlay_rule.as_ref().map_or_else(SmolStr::default, |rule| rule.horizontal.citation()),
        );
        lines.push(
            Line::new(self.name(), Part::Underlay, "underlay", &choice.underlay.key, working)
                .length(underlay.length_m)
                .area(underlay.net_area_m2),
        );
    }

    fn fixing_lines(&self, roof: &TakeOff, lines: &mut Vec<Line>) {
        let fixings = &self.fixings;
        let pattern = &self.pattern;
        let full = match pattern.every_course {
            0 => SmolStr::new_static("no full course"),
            1 => SmolStr::new_static("every course"),
            every => said!("all units of every course whose number is a multiple of {every}"),
        };
        let edges = if pattern.edges { ", and every unit at an edge" } else { "" };
        let rule = said!("pattern: {full}{edges}; a count, not a wind specification");
        let source = self
            .pattern_rule
            .as_ref()
            .map_or_else(|| SmolStr::new_static("stated by the survey"), |rule| rule.source.citation());
        let working = Working::new(
            "unit nails",
            "units in full courses x nails each + units at edges x nails each",
            said!(
                "{} x {} + {} x {}",
                fixings.in_full_courses,
                pattern.nails_each,
                fixings.at_edges,
                pattern.edge_nails
            ),
            fixings.nails.to_smolstr(),
        )
        .by(rule.clone(), source.clone());
        let nail = roof.nail.as_deref();
        lines.push(
            Line::new(
                self.name(),
                Part::Fixings,
                "unit nails",
                nail.map_or("", |nail| nail.key.as_str()),
                working,
            )
            .count(fixings.nails.into())
            .mass_each(nail.and_then(nail_mass)),
        );
        if fixings.clips > 0 {
            let working = Working::new(
                "clips",
                "units x clips each",
                said!("{} x {}", fixings.clips / pattern.clips_each.max(1), pattern.clips_each),
                fixings.clips.to_smolstr(),
            )
            .by(rule, source);
            lines.push(
                Line::new(self.name(), Part::Fixings, "clips", "", working).count(fixings.clips.into()),
            );
        }
    }
}

/// The mass of one nail, if its number per kilogram is known.
pub(super) fn nail_mass(nail: &Nail) -> Option<Mass> {
    nail.per_kg().map(|per_kg| kg(1.0 / per_kg.value))
}

/// How cut pieces are made, and what that saves.
fn paired(mut working: Working, cut: u32, saved: u32, cuts: CutPolicy) -> Working {
    if cuts != CutPolicy::Pairs {
        return working.by("each cut takes a unit of its own", "");
    }
    working.result = said!("{cut} pieces less {saved} pairs = {}", cut.saturating_sub(saved));
    working.by(
        "two cuts out of one unit where their widths and the saw cut allow it, as many pairs as can be",
        "",
    )
}

/// Courses with a number each: `26 x 54`.
struct Courses((u32, u32));

impl fmt::Display for Courses {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            (number, 1) => write!(f, "{number}"),
            (number, times) => write!(f, "{times} x {number}"),
        }
    }
}

fn whole_mass(covering: &Covering) -> Option<Mass> {
    covering.mass.as_ref().map(|mass| mass.value)
}
