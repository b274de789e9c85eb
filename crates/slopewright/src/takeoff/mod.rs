//! Take-off: from a roof set out to the quantities of everything that is laid.
//!
//! Each part counts numbers; [`TakeOff::lines`] and [`TakeOff::findings`] put them into words with their working
//! when somebody asks, so that a program that wants only numbers does not pay for text.
//!
//! ```
//! use slopewright::quantity::{Pitch, m, mm};
//! use slopewright::survey::{CoveringDocument, SlopeDocument, SurveyDocument};
//! use slopewright::takeoff::TakeOff;
//! let pitch = Pitch::from_degrees(40.0).unwrap();
//! let survey = SurveyDocument::new("shed")
//!     .with_covering(CoveringDocument::new("plain-tile-265x165"))
//!     .with_rafters(mm(450.0))
//!     .with_slope(SlopeDocument::rectangle("front", m(4.0), m(3.0), pitch));
//! let take_off = TakeOff::of(&survey.check()?)?;
//! let tiles = take_off.slopes[0].units.whole;
//! assert!((600..800).contains(&tiles), "{tiles}");
//! # Ok::<(), slopewright::Error>(())
//! ```

mod bars;
mod battens;
mod cutting;
mod days_open;
mod edges;
mod findings;
mod fixings;
mod lengths;
mod lines;
mod measured;
mod openings;
mod pairing;
mod part;
mod placing;
mod sums;
mod tape_range;
mod timber_cutting;
mod timbers;
mod totals;
mod underlay;
mod unit_places;
mod units;

#[cfg(test)]
mod tests;

use std::sync::{Arc, OnceLock};

use rust_decimal::Decimal;

pub use battens::{BattenRow, Rafters, SlopeBattens};
pub use cutting::SlopeCutting;
pub use edges::{
    AirGap, Capping, EavesWork, EdgeRun, EdgeSide, HipUnits, LeadStrip, MitredHip, Pieces, RoofEdges,
    SideAbutment, Soakers, TopAbutment, Undercloak, ValleySheet, ValleyUnits, VergeUnits,
    hip_units_per_metre, places_along,
};
pub use fixings::{Pattern, SlopeFixings};
pub use lengths::LengthCutting;
pub use lines::{Line, Part};
pub use measured::{MeasuredOpening, MeasuredSlope, MeasuredWork};
pub use openings::{
    CourseLoss, LeadPieces, OpeningBatten, OpeningTakeOff, OpeningUnits, PipeSlate, SideLengths, StripUse,
    UnderlayStrips, WallFlashing,
};
pub use pairing::{CutPiece, Keeps, Pairing};
pub use placing::{OpeningMove, Placing};
pub use tape_range::TapeRange;
pub(crate) use timber_cutting::TIMBER_TO_BUY;
pub use timbers::OpeningTimbers;
pub(crate) use totals::NET_BATTENS;
pub use underlay::{Laps, Rolls, SlopeUnderlay, UnderlayRun};
pub use unit_places::{Laid, UnitPlace};
pub(crate) use units::unit_rule;
pub use units::{CourseUnits, PairedCuts, SlopeUnits};

use crate::catalogue::{Batten, Figure, Nail};
use crate::error::{Error, Result};
use crate::quantity::{Length, LengthIn};
use crate::rules::{BattenJoints, Exposure, FixingPattern, Rules, UnderlayLaps};
use crate::setout::Layout;
use crate::setout::layout::too_many_courses;
use crate::stock::JointRule;
pub use crate::survey::CutPolicy;
use crate::survey::{
    BattenBars, Edge, EdgeRef, Joint, OldCovering, Roof, Slope, TimberChoice, UnderlayChoice,
};
use openings::OpeningRules;

/// The quantities of one slope.
#[derive(Debug, Clone)]
pub struct SlopeTakeOff {
    /// The slope as surveyed.
    pub slope: Slope,
    /// How it is set out.
    pub layout: Layout,
    /// Its units.
    pub units: SlopeUnits,
    /// Its battens.
    pub battens: SlopeBattens,
    /// Its underlay, if any is wanted.
    pub underlay: Option<SlopeUnderlay>,
    /// The rule that the underlay's laps follow, if one is known for the pitch.
    pub underlay_rule: Option<UnderlayLaps>,
    /// The least section of the battens by the rule, if one is known for the covering and the rafters.
    pub batten_rule: Option<Figure<(Length, Length)>>,
    /// The pattern by which its units are fixed.
    pub pattern: Pattern,
    /// The rule's pattern, where the survey leaves something open.
    pub pattern_rule: Option<FixingPattern>,
    /// Its fixings.
    pub fixings: SlopeFixings,
}

/// The quantities of a roof.
#[derive(Debug, Clone)]
pub struct TakeOff {
    /// What the job is called.
    pub name: String,
    /// The SHA-256 of the survey: [`SurveyDocument::sha256`](crate::SurveyDocument::sha256).
    pub survey_sha256: String,
    /// How exposed the site is.
    pub exposure: Exposure,
    /// Slope by slope, in the order of the survey.
    pub slopes: Vec<SlopeTakeOff>,
    /// Its edges, each joint once.
    pub edges: RoofEdges,
    /// The work as measured under a rule, if the survey names one.
    pub measured: Option<MeasuredWork>,
    /// The edges that two slopes share, each once.
    pub joints: Vec<Joint>,
    /// The underlay, if any is wanted.
    pub underlay: Option<UnderlayChoice>,
    /// Rolls of underlay for the whole roof, offcuts carried on from slope to slope.
    pub rolls: u32,
    /// What is left of the last of them, in metres.
    pub roll_left_m: f64,
    /// The batten, if the survey states one.
    pub batten: Option<Arc<Batten>>,
    /// What the battens are cut from, as far as the survey says.
    pub batten_bars: BattenBars,
    /// The nail for the units, if stated.
    pub nail: Option<Arc<Nail>>,
    /// The nail for the battens, if stated.
    pub batten_nail: Option<Arc<Nail>>,
    /// What comes off.
    pub old_covering: OldCovering,
    /// The change of weight above which the structure must be checked.
    pub weight_change_limit: Option<Figure<f64>>,
    /// How cut pieces are made: in pairs, if they are on any slope.
    pub cuts: CutPolicy,
    /// The timbers round openings, as far as the survey states them.
    pub timbers: TimberChoice,
    opening_rules: Option<Box<OpeningRules>>,
    /// The rule by which its battens are jointed, if the rules have one.
    joint_rule: Option<JointRule>,
    /// Nails that a joint of battens takes over those of a crossing.
    nails_more_at_joint: u32,
    /// What a bar of each of the lengths on sale costs, where that chooses among them; else empty.
    bar_prices: Vec<Decimal>,
    /// Its battens as bars, worked out when they are first asked for.
    bars: OnceLock<Option<bars::BattensToBuy>>,
}

impl TakeOff {
    /// Takes off a roof under the built-in rules.
    ///
    /// # Errors
    /// If nothing of a slope is left to cover, with every such slope; if the slopes have too many courses together.
    pub fn of(roof: &Roof) -> Result<Self> {
        Self::with_rules(roof, Rules::standard())
    }

    /// Takes off a roof under some rules.
    ///
    /// # Errors
    /// As [`TakeOff::of`].
    pub fn with_rules(roof: &Roof, rules: &Rules) -> Result<Self> {
        let mut faults = Vec::new();
        let mut slopes = Vec::with_capacity(roof.slopes.len());
        let mut rolls = roof.underlay.as_ref().map(|choice| Rolls::new(choice.underlay.length.value.m()));
        let mut courses = 0;
        for slope in &roof.slopes {
            match Layout::new(slope, roof.exposure, rules) {
                Ok(layout) => {
                    courses += layout.courses.len();
                    if let Some(fault) = too_many_courses(slope, courses) {
                        faults.push(fault);
                        break;
                    }
                    slopes.push(slope_take_off(roof, slope, layout, rules, rolls.as_mut()));
                }
                Err(error) => faults.extend(error.into_faults()),
            }
        }
        Error::check(faults)?;
        if let Some((choice, rolls)) = roof.underlay.as_ref().zip(rolls.as_mut()) {
            for slope in &mut slopes {
                if let Some(underlay) = &mut slope.underlay {
                    underlay.cut_round_openings(&slope.slope, choice, rolls);
                }
            }
        }
        let edges = RoofEdges::of(roof, &slopes, rules);
        let measuring = roof.measuring.as_ref().and_then(|key| rules.measuring_rule(key));
        Ok(Self {
            name: roof.name.clone(),
            survey_sha256: roof.survey_sha256.clone(),
            exposure: roof.exposure,
            measured: measuring.map(|rule| MeasuredWork::of(rule, &slopes, &edges)),
            edges,
            slopes,
            joints: roof.joints.clone(),
            underlay: roof.underlay.clone(),
            rolls: rolls.map_or(0, |rolls| rolls.opened()),
            roll_left_m: rolls.map_or(0.0, |rolls| rolls.left_over_m()),
            batten: roof.battens.batten.clone(),
            batten_bars: roof.battens.bars.clone(),
            nail: roof.fixings.nail.clone(),
            batten_nail: roof.fixings.batten_nail.clone(),
            old_covering: roof.old_covering.clone(),
            weight_change_limit: rules.weight_change_limit().cloned(),
            cuts: roof.slopes.iter().map(|slope| slope.laying.cuts).max().unwrap_or_default(),
            timbers: roof.timbers.clone(),
            opening_rules: OpeningRules::of(roof, rules),
            joint_rule: rules.batten_joint_rule().map(cutting::joint_rule),
            nails_more_at_joint: rules.batten_joint_rule().map_or(0, BattenJoints::nails_more_at_joint),
            bar_prices: Vec::new(),
            bars: OnceLock::new(),
        })
    }

    /// Every edge of every slope, with the joint that has it, if one does.
    pub fn edges(&self) -> impl Iterator<Item = (EdgeRef, &SlopeTakeOff, &Edge, Option<&Joint>)> {
        self.slopes.iter().enumerate().flat_map(move |(slope, of)| {
            of.slope.edges.iter().enumerate().map(move |(edge, found)| {
                let here = EdgeRef { slope, edge };
                (here, of, found, self.joints.iter().find(|joint| joint.sides.contains(&here)))
            })
        })
    }

    /// An edge as `slope: edge`; empty for one that is not there.
    #[must_use]
    pub fn edge_name(&self, side: EdgeRef) -> String {
        self.slopes
            .get(side.slope)
            .and_then(|of| Some((of, of.slope.edges.get(side.edge)?)))
            .map_or_else(String::new, |(of, edge)| format!("{}: {}", of.slope.name, edge.name))
    }
}

fn slope_take_off(
    roof: &Roof,
    slope: &Slope,
    layout: Layout,
    rules: &Rules,
    rolls: Option<&mut Rolls>,
) -> SlopeTakeOff {
    let units = SlopeUnits::count(&layout);
    let rafters = rafters_of(roof);
    let counter_fixing = rules.batten_joint_rule().map(|rule| rule.counter_fixing_most.value);
    let mut battens = SlopeBattens::lay(&layout, rafters, roof.battens.counter_battens, counter_fixing);
    let underlay_rule =
        roof.underlay.as_ref().and_then(|choice| rules.underlay_laps(slope.pitch, choice.supported));
    let underlay = roof.underlay.as_ref().zip(rolls).map(|(choice, rolls)| {
        let laps = laps_of(choice, underlay_rule);
        SlopeUnderlay::lay(slope, &layout, choice, laps, rolls)
    });
    let batten_rule = roof
        .battens
        .rafter_spacing
        .and_then(|spacing| rules.batten_section(&layout.covering().family, spacing));
    let by_rule = batten_rule.as_ref().map(|rule| rule.value.0);
    let batten_width = roof.battens.batten.as_ref().map(|batten| batten.width.value).or(by_rule);
    battens.round_openings =
        OpeningBatten::lay(slope, &layout, &battens, batten_width.map_or(0.0, LengthIn::m));
    let rule = rules.fixing_pattern(layout.covering(), slope.pitch);
    let pattern = pattern_of(roof, slope, rule);
    let pattern_rule = if pattern_is_stated(roof) { None } else { rule.cloned() };
    let fixings = SlopeFixings::count(&layout, &units, pattern);
    SlopeTakeOff {
        slope: slope.clone(),
        layout,
        units,
        battens,
        underlay,
        underlay_rule: underlay_rule.cloned(),
        batten_rule,
        pattern,
        pattern_rule,
        fixings,
    }
}

/// The rafters of a roof, if their spacing is stated.
pub(crate) fn rafters_of(roof: &Roof) -> Option<Rafters> {
    roof.battens.rafter_spacing.map(|spacing| Rafters {
        spacing_m: spacing.m(),
        // Without a stated place the first rafter stands half a spacing in (common practice, no source).
        first_m: roof.battens.first_rafter.map_or(spacing.m() / 2.0, LengthIn::m),
    })
}

/// The laps of the rule, or the survey's where they are stricter.
pub(crate) fn laps_of(choice: &UnderlayChoice, rule: Option<&UnderlayLaps>) -> Laps {
    let stricter = |figure: Option<&Figure<Length>>, wanted: Option<Length>| {
        let rule = figure.map_or(0.0, |figure| figure.value.m());
        wanted.map_or(rule, |lap| lap.m().max(rule))
    };
    Laps {
        horizontal_m: stricter(rule.map(|rule| &rule.horizontal), choice.horizontal_lap),
        end_m: stricter(rule.map(|rule| &rule.end), choice.end_lap),
        over_ridge_m: stricter(rule.map(|rule| &rule.ridge_carry_over), None),
        over_hip_m: stricter(rule.map(|rule| &rule.hip_carry_over), None),
        up_wall_m: stricter(rule.map(|rule| &rule.abutment_upturn), None),
        least_piece_m: LEAST_PIECE_M,
    }
}

/// The shortest end of a roll that is still laid: one metre, two or three rafters (common practice, no source).
const LEAST_PIECE_M: f64 = 1.0;

/// The width of a saw cut where the survey says nothing (common practice, no source).
const USUAL_KERF_MM: f64 = 3.0;

/// Whether the survey leaves nothing of the pattern to the rule.
fn pattern_is_stated(roof: &Roof) -> bool {
    roof.fixings.nails_each.is_some() && roof.fixings.every_course.is_some() && roof.fixings.edges.is_some()
}

/// The survey's pattern, and the rule's where the survey says nothing.
pub(crate) fn pattern_of(roof: &Roof, slope: &Slope, rule: Option<&FixingPattern>) -> Pattern {
    let stated = &roof.fixings;
    let every_course = stated.every_course.or(rule.map(|rule| rule.every_nth_course)).unwrap_or(0);
    let from_pitch = stated.all_from_pitch.is_some_and(|from| slope.pitch.degrees() >= from.degrees());
    let nails_each = stated.nails_each.or(rule.map(|rule| rule.nails_per_unit)).unwrap_or(0);
    Pattern {
        every_course: if from_pitch { 1 } else { every_course },
        nails_each,
        clips_each: rule.map_or(0, |rule| rule.clips_per_unit),
        edges: stated.edges.or(rule.map(|rule| rule.perimeter)).unwrap_or(false),
        edge_nails: stated.nails_each.or(rule.map(|rule| rule.perimeter_fixings)).unwrap_or(0),
    }
}
