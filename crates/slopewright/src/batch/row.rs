//! One row: from measures to totals.

use std::sync::Arc;

use super::totals::Totals;
use crate::catalogue::Covering;
use crate::error::{Error, Result};
use crate::quantity::LengthIn as _;
use crate::rules::Rules;
use crate::salvage::unit_mass_kg;
use crate::setout::cells::Sweep;
use crate::setout::layout::batten_lines;
use crate::setout::{BattenLine, Brief, Course, Levels, Region, ShadowRoom};
use crate::survey::outline::signed_area;
use crate::survey::{Edge, EdgeRole, Laying, Measures, Roof, Slope, Terms};
use crate::takeoff::{
    BattenRow, CourseUnits, Pairing, Rolls, SlopeBattens, SlopeFixings, SlopeUnderlay, SlopeUnits, laps_of,
    pattern_of, rafters_of, unit_rule,
};

/// How much of a take-off is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash)]
pub enum Extent {
    /// The units alone.
    Units,
    /// Units, battens, underlay, fixings and edges.
    #[default]
    Whole,
}

/// Memory that rows are worked in, one after the other.
#[derive(Debug)]
pub struct Room {
    sweep: Sweep,
    courses: Vec<Course>,
    course_units: Vec<CourseUnits>,
    edges: Vec<Edge>,
    lines: Vec<BattenLine>,
    levels: Levels,
    batten_rows: Vec<BattenRow>,
    shadow: ShadowRoom,
    /// The format of the row before, and a copy of it that no other core counts the owners of.
    covering: Option<(Arc<Covering>, Arc<Covering>)>,
}

impl Room {
    /// A laying of this core alone.
    fn own(&mut self, laying: &Laying) -> Laying {
        let known = self.covering.as_ref().filter(|(shared, _)| Arc::ptr_eq(shared, &laying.covering));
        let covering = known.map_or_else(|| Arc::new((*laying.covering).clone()), |(_, own)| Arc::clone(own));
        if known.is_none() {
            self.covering = Some((Arc::clone(&laying.covering), Arc::clone(&covering)));
        }
        Laying { covering, ..*laying }
    }
}

impl Default for Room {
    fn default() -> Self {
        Self {
            sweep: Sweep::new(&Region::default()),
            courses: Vec::new(),
            course_units: Vec::new(),
            edges: Vec::new(),
            lines: Vec::new(),
            levels: Levels::default(),
            batten_rows: Vec::new(),
            shadow: ShadowRoom::default(),
            covering: None,
        }
    }
}

/// Takes off one slope.
///
/// # Errors
/// With every fault of its measures, or if it cannot be set out.
pub fn take_off_row(measures: &Measures, terms: &Terms, extent: Extent, room: &mut Room) -> Result<Totals> {
    let laying = terms.laying(&measures.covering)?;
    let laying = room.own(laying);
    let slope = measures.slope_laid(laying, core::mem::take(&mut room.edges))?;
    let rules = Rules::standard();
    let brief = Brief::new(&slope, terms.roof.exposure, rules, core::mem::take(&mut room.courses))
        .map_err(without_slope)?;
    room.sweep.start(&brief.covered);
    let rule = unit_rule(&slope.laying, &brief.across);
    let units = SlopeUnits::count_courses(
        &mut room.sweep,
        &brief.courses,
        rule,
        Pairing::wanted(&slope.laying, &brief.across),
        core::mem::take(&mut room.course_units),
    );
    let mut totals = of_units(&slope, &brief, &units, terms, rules);
    if extent == Extent::Whole {
        add_the_rest(&mut totals, &slope, &brief, &units, &terms.roof, rules, room);
    }
    room.edges = slope.edges;
    room.courses = brief.courses;
    room.course_units = units.courses;
    Ok(totals)
}

/// The faults of setting out without the place of the slope, which is the row and has no name.
#[cold]
fn without_slope(error: Error) -> Error {
    error.map_places(|place| match place.strip_prefix("slope ''") {
        Some(inner) => inner.trim_start_matches(", ").to_owned(),
        None => place,
    })
}

fn of_units(slope: &Slope, brief: &Brief, units: &SlopeUnits, terms: &Terms, rules: &Rules) -> Totals {
    let covering = &*slope.laying.covering;
    let gross = signed_area(&brief.outline);
    let gauge = crate::quantity::m(brief.gauging.gauge_m);
    let mut totals = Totals {
        pitch_deg: slope.pitch.degrees(),
        gross_area_m2: gross,
        plan_area_m2: gross * slope.pitch.radians().cos(),
        covered_area_m2: brief.covered.area_m2(),
        gauge_m: gauge.m(),
        headlap_m: covering.headlap_for(gauge).m(),
        pitch_least_deg: rules
            .pitch_least(covering, terms.roof.exposure)
            .map(|figure| figure.value.degrees()),
        courses: u32::try_from(brief.courses.len()).unwrap_or(u32::MAX),
        whole: units.whole,
        cut: units.cut,
        tile_and_half: units.tile_and_half,
        under_eaves: units.under_eaves,
        top: units.top,
        narrow: units.narrow,
        unit_mass_kg: unit_mass_kg(covering, units),
        ..Totals::default()
    };
    for course in &units.courses {
        totals.positions_whole += course.positions.whole;
        totals.positions_cut += course.positions.cut;
    }
    totals
}

fn add_the_rest(
    totals: &mut Totals,
    slope: &Slope,
    brief: &Brief,
    units: &SlopeUnits,
    roof: &Roof,
    rules: &Rules,
    memory: &mut Room,
) {
    let covering = &*slope.laying.covering;
    let lines = core::mem::take(&mut memory.lines);
    let lines = batten_lines(covering, &brief.gauging, &brief.courses, lines);
    let deck = brief.deck(slope);
    let rows = core::mem::take(&mut memory.batten_rows);
    let (rafters, with_counters) = (rafters_of(roof), roof.battens.counter_battens);
    let battens = SlopeBattens::lay_on(&deck, &lines, rafters, with_counters, None, &mut memory.levels, rows);
    (memory.lines, memory.batten_rows) = (lines, battens.rows);
    totals.batten_m = battens.length_m;
    totals.batten_crossings = battens.crossings;
    totals.counter_batten_m = battens.counter_length_m;
    if let Some(choice) = &roof.underlay {
        let rule = rules.underlay_laps(slope.pitch, choice.supported);
        let laps = laps_of(choice, rule);
        let mut rolls = Rolls::new(choice.underlay.length.value.m());
        let shadow = &mut memory.shadow;
        let underlay =
            SlopeUnderlay::lay_to(slope, &brief.outline, &brief.reaches_m, choice, laps, &mut rolls, shadow);
        totals.underlay_area_m2 = Some(underlay.net_area_m2);
        totals.underlay_m = Some(underlay.length_m);
        totals.rolls = Some(underlay.rolls);
    }
    let pattern = pattern_of(roof, slope, rules.fixing_pattern(covering, slope.pitch));
    let fixings = SlopeFixings::count_courses(&brief.courses, units, pattern);
    totals.unit_nails = fixings.nails;
    totals.clips = fixings.clips;
    for edge in &slope.edges {
        let at = EdgeRole::ALL.iter().position(|role| *role == edge.role);
        if let Some(length) = at.and_then(|at| totals.edges_m.get_mut(at)) {
            *length += edge.length_m();
        }
    }
}
