//! One slope set out: the covered region, its courses and its batten lines.

use super::across::Across;
use super::cells::Band;
use super::courses::{CourseKind, Gauging};
use super::region::Region;
use crate::catalogue::{Covering, Figure, Layers};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{AreaIn as _, Length, LengthIn as _, Pitch, figure, limit, m, millimetres};
use crate::rules::{Exposure, Rules};
use crate::survey::{EdgeRole, Laying, Opening, Slope};

/// How far the covering reaches past an edge (positive) or stops short of it (negative), and why.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeReach {
    /// In metres.
    pub reach_m: f64,
    /// Who says so.
    pub why: ReachSource,
}

/// Who says how far the covering reaches at an edge.
#[derive(Debug, Clone, PartialEq)]
pub enum ReachSource {
    /// The survey.
    Survey,
    /// A rule.
    Rule(Figure<Length>),
    /// Nobody: the covering ends on the outline.
    Outline,
}

impl EdgeReach {
    /// The rule's reach for an edge that the survey says nothing of.
    fn by_rule(role: EdgeRole, pitch: Pitch, rules: &Rules) -> Self {
        let figure = rules.edges().and_then(|edges| match role {
            EdgeRole::Eaves => Some((1.0, edges.eaves_overhang.clone())),
            EdgeRole::Verge => Some((1.0, edges.verge_overhang_most.clone())),
            EdgeRole::Valley => edges.valley_half_channel(pitch).map(|half| (-1.0, half)),
            EdgeRole::SideAbutment | EdgeRole::TopAbutment => Some((-1.0, edges.abutment_clearance.clone())),
            EdgeRole::Ridge | EdgeRole::Hip | EdgeRole::ChangeOfPitch => None,
        });
        match figure {
            Some((way, figure)) => Self { reach_m: way * figure.value.m(), why: ReachSource::Rule(figure) },
            None => Self { reach_m: 0.0, why: ReachSource::Outline },
        }
    }
}

/// [`EdgeReach::by_rule`] in metres alone.
pub(super) fn reach_by_rule(role: EdgeRole, pitch: Pitch, rules: &Rules) -> f64 {
    let Some(edges) = rules.edges() else { return 0.0 };
    match role {
        EdgeRole::Eaves => edges.eaves_overhang.value.m(),
        EdgeRole::Verge => edges.verge_overhang_most.value.m(),
        EdgeRole::Valley => edges.valley_channel(pitch).map_or(0.0, |open| -open.value.m() / 2.0),
        EdgeRole::SideAbutment | EdgeRole::TopAbutment => -edges.abutment_clearance.value.m(),
        EdgeRole::Ridge | EdgeRole::Hip | EdgeRole::ChangeOfPitch => 0.0,
    }
}

/// The headlap that is asked for, and by whom.
#[derive(Debug, Clone, PartialEq)]
pub struct HeadlapNeed {
    /// By the rule for this covering, pitch and exposure; `None` if the pitch lies below the rule.
    pub by_rule: Option<Figure<Length>>,
    /// By the format itself.
    pub by_format: Option<Figure<Length>>,
    /// By the survey.
    pub by_survey: Option<Length>,
    /// The largest of them.
    pub needed: Length,
}

impl HeadlapNeed {
    fn new(laying: &Laying, pitch: Pitch, exposure: Exposure, rules: &Rules) -> Self {
        let by_rule = rules.headlap(&laying.covering, pitch, exposure).cloned();
        let by_format = laying.covering.headlap_least.clone();
        let values = [by_rule.as_ref().map(|f| f.value), by_format.as_ref().map(|f| f.value), laying.headlap];
        let needed =
            values.into_iter().flatten().fold(m(0.0), |most, lap| if lap > most { lap } else { most });
        Self { by_rule, by_format, by_survey: laying.headlap, needed }
    }
}

/// One course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// From 1 at the eaves; 0 for a course under the first.
    pub number: u32,
    /// What it is.
    pub kind: CourseKind,
    /// Its band and cells.
    pub band: Band,
    /// The length of its units, in metres.
    pub unit_length_m: f64,
    /// Where it lies along the eaves, if not all the way: from and to, in metres.
    pub between: Option<(f64, f64)>,
}

impl Course {
    /// Whether a cell belongs to it: one that its stretch of the eaves covers by more than a hundredth.
    #[must_use]
    pub fn takes(&self, cell: i32) -> bool {
        self.between.is_none_or(|(from, to)| {
            let left = f64::from(cell).mul_add(self.band.width, self.band.origin);
            let overlap = (left + self.band.width).min(to) - left.max(from);
            overlap > (super::cells::LAID_OVER + super::cells::SHARE_TOLERANCE) * self.band.width
        })
    }

    /// The cells that its stretch of the eaves takes, from the first to before the last, if it has one; see
    /// [`Course::takes`].
    #[inline]
    pub(crate) fn cells_taken(&self) -> Option<core::ops::Range<i32>> {
        self.between.map(|between| self.cells_between(between))
    }

    fn cells_between(&self, (from, to): (f64, f64)) -> core::ops::Range<i32> {
        // The cells that the ends lie in, or their neighbours.
        let (left, right) = (self.band.cell_at(from), self.band.cell_at(to));
        let near = |cell: i32, way: i32| [-1, 0, 1].map(|step| cell.saturating_add(step * way));
        let first = near(left, 1).into_iter().find(|cell| self.takes(*cell));
        let last = near(right, -1).into_iter().find(|cell| self.takes(*cell));
        first.zip(last).map_or(0..0, |(first, last)| first..last.saturating_add(1))
    }
}

/// One line of battens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BattenLine {
    /// The course that hangs on it, as [`Course::number`]; the lower one if two do.
    pub course: u32,
    /// The top of the batten, in metres up the slope.
    pub at_m: f64,
    /// Where it lies along the slope, if not all the way.
    pub between: Option<(f64, f64)>,
}

/// A slope set out.
#[derive(Debug, Clone)]
pub struct Layout {
    /// The slope's name.
    pub slope: String,
    /// Its pitch.
    pub pitch: Pitch,
    /// What it is covered with.
    pub laying: Laying,
    /// How far the covering reaches at each edge, in the order of the slope's edges.
    pub reaches: Vec<EdgeReach>,
    /// The gap between the ridge line and the top of the last batten.
    pub top_gap: Option<Figure<Length>>,
    /// The least pitch for the covering, if a rule or the format gives one.
    pub pitch_least: Option<Figure<Pitch>>,
    /// The headlap asked for.
    pub headlap: HeadlapNeed,
    /// Up the slope.
    pub gauging: Gauging,
    /// Across the slope.
    pub across: Across,
    /// The courses, from the eaves up.
    pub courses: Vec<Course>,
    /// The lines of battens, from the eaves up.
    pub batten_lines: Vec<BattenLine>,
    /// What the covering covers.
    pub covered: Region,
    /// The slope itself, less its openings: what battens run over.
    pub deck: Region,
}

impl Layout {
    /// Sets a slope out.
    ///
    /// # Errors
    /// If the clearances leave nothing to cover.
    pub fn new(slope: &Slope, exposure: Exposure, rules: &Rules) -> Result<Self> {
        let outline = slope.outline();
        let reaches: Vec<EdgeReach> = slope
            .edges
            .iter()
            .map(|edge| match edge.stated_reach {
                Some(reach_m) => EdgeReach { reach_m, why: ReachSource::Survey },
                None => EdgeReach::by_rule(edge.role, slope.pitch, rules),
            })
            .collect();
        let moves: Vec<f64> = reaches.iter().map(|reach| reach.reach_m).collect();
        let holes: Vec<_> = slope.openings.iter().map(|opening| opening.cleared.clone()).collect();
        let covered = Region::from_moved_edges(&outline, &moves).without(&holes);
        if covered.is_empty() {
            return Err(nothing_to_cover(slope));
        }
        let frames: Vec<_> = slope.openings.iter().map(|opening| opening.outline.clone()).collect();
        let deck = Region::from_outline(outline).without(&frames);

        let covering = &*slope.laying.covering;
        let headlap = HeadlapNeed::new(&slope.laying, slope.pitch, exposure, rules);
        let top_gap = rules.edges().map(|edges| edges.ridge_gap_most.clone());
        let gap = top_gap.as_ref().map_or(m(0.0), |gap| gap.value);
        let (low, high) = covered.bounds();
        let gauge_most = gauge_most(&slope.laying, headlap.needed);
        leaves_a_gauge(slope, headlap.needed, gauge_most)?;
        let gauging =
            Gauging::new(covering, m(low.v), m(high.v) - gap, gauge_most, &fixed_points(&slope.openings));
        let across = Across::new(&slope.laying, low.u, high.u);
        let courses = courses(slope, &moves, &gauging, &across, (low.u, high.u), Vec::new());
        let batten_lines = batten_lines(covering, &gauging, &courses, Vec::new());
        Ok(Self {
            slope: slope.name.clone(),
            pitch: slope.pitch,
            laying: slope.laying.clone(),
            reaches,
            top_gap,
            pitch_least: rules.pitch_least(covering, exposure).cloned(),
            headlap,
            gauging,
            across,
            courses,
            batten_lines,
            covered,
            deck,
        })
    }

    /// The format.
    #[must_use]
    pub fn covering(&self) -> &Covering {
        &self.laying.covering
    }

    /// The courses as they would be with other fixed points, everything else being the same.
    #[must_use]
    pub(crate) fn courses_with(&self, slope: &Slope, fixed_points: &[f64]) -> Vec<Course> {
        let gap = self.top_gap.as_ref().map_or(m(0.0), |gap| gap.value);
        let (low, high) = self.covered.bounds();
        let most = m(self.gauging.gauge_most_m);
        let gauging = Gauging::new(self.covering(), m(low.v), m(high.v) - gap, most, fixed_points);
        let moves: Vec<f64> = self.reaches.iter().map(|reach| reach.reach_m).collect();
        courses(slope, &moves, &gauging, &self.across, (low.u, high.u), Vec::new())
    }

    /// The gauge.
    #[must_use]
    pub fn gauge(&self) -> Length {
        m(self.gauging.gauge_m)
    }

    /// The headlap that the gauge leaves.
    #[must_use]
    pub fn headlap_laid(&self) -> Length {
        self.covering().headlap_for(self.gauge())
    }
}

/// The levels at which openings ask for a tail line: where the covering ends below them and begins again above.
pub(crate) fn fixed_points<'a>(openings: impl IntoIterator<Item = &'a Opening>) -> Vec<f64> {
    openings
        .into_iter()
        .filter(|opening| opening.fixed_point)
        .flat_map(|opening| {
            let (low, high) = opening.cleared_bounds();
            [low.v, high.v]
        })
        .collect()
}

pub(super) fn nothing_to_cover(slope: &Slope) -> Error {
    let area = format!("{} m2 of slope", figure(slope.gross_area().m2(), 2));
    let fault = Fault::new(FaultKind::NothingToCover, "has nothing left to cover").given(area);
    fault.at(format!("slope '{}'", slope.name)).into()
}

/// The fault of a slope with which a roof has too many courses.
pub(crate) fn too_many_courses(slope: &Slope, courses: usize) -> Option<Fault> {
    let fits = u32::try_from(courses).is_ok_and(|count| f64::from(count) <= limit::courses.most);
    let fault = || {
        Fault::new(
            FaultKind::TooManyCourses,
            "has more courses, with the slopes before it, than a roof may have",
        )
        .at(format!("slope '{}'", slope.name))
        .given(courses)
        .allowed(limit::courses.range())
    };
    (!fits).then(fault)
}

/// The largest gauge allowed: by the headlap, by the format, and by the survey.
pub(super) fn gauge_most(laying: &Laying, headlap: Length) -> Length {
    let by_headlap = laying.covering.gauge_for(headlap);
    let others = [laying.covering.gauge_most.as_ref().map(|figure| figure.value), laying.gauge];
    others.into_iter().flatten().fold(by_headlap, |least, gauge| if gauge < least { gauge } else { least })
}

/// A fault if the headlap that is needed, most likely by a rule, takes up the whole unit.
pub(super) fn leaves_a_gauge(slope: &Slope, headlap: Length, gauge_most: Length) -> Result<()> {
    let least = m(limit::gauge.least);
    if gauge_most.m() >= least.m() - 1e-9 {
        return Ok(());
    }
    let covering = &slope.laying.covering;
    let problem = format!("needs a headlap of {}, which leaves no gauge", millimetres(headlap));
    let fault = Fault::new(FaultKind::HeadlapTooLarge, problem)
        .given(format!("{}, {} long", covering.name, millimetres(covering.length.value)))
        .allowed(format!("a headlap of up to {}", millimetres(covering.headlap_for(least))));
    Err(fault.at("covering").at(format!("slope '{}'", slope.name)).into())
}

/// The courses from the eaves up. An under-eaves course lies under the first course at the lowest eaves, and another
/// one along each eaves further up.
///
/// `wide` is how far the covered region reaches to the left and to the right; `courses` is room for them.
pub(super) fn courses(
    slope: &Slope,
    moves: &[f64],
    gauging: &Gauging,
    across: &Across,
    wide: (f64, f64),
    mut courses: Vec<Course>,
) -> Vec<Course> {
    let covering = &*slope.laying.covering;
    let is_lapped_double = covering.layers != Layers::Single;
    let whole = covering.length.value.m();
    let last =
        gauging.spaces + u32::from(is_lapped_double && covering.top_unit.is_none() && gauging.spaces > 0);
    courses.clear();
    let mut further_up =
        if is_lapped_double { under_eaves_courses(slope, moves, gauging, across, wide) } else { Vec::new() };
    // An under-eaves course comes before the field courses that start no lower.
    let at_the_foot = further_up.partition_point(|course| course.band.low <= gauging.first_tail_m);
    courses.extend(further_up.drain(..at_the_foot));
    courses.extend((0..last.saturating_add(1)).map(|number| {
        let (low, gauge) = (gauging.tail_m(number), gauging.gauge_of(number));
        let band = Band {
            low,
            high: low + gauge,
            origin: across.origin_of(i64::from(number)),
            width: across.cover_m,
        };
        Course { number: number + 1, kind: CourseKind::Field, band, unit_length_m: whole, between: None }
    }));
    if let Some(top) = courses.last_mut().filter(|_| is_lapped_double && last > 0) {
        let short = whole - gauging.gauge_of(last);
        top.kind = CourseKind::Top;
        top.unit_length_m = covering.top_unit.as_ref().map_or(short, |unit| unit.length.m());
    }
    for course in further_up {
        let is_below = |other: &Course| other.number == 0 || other.band.low < course.band.low;
        let place = courses.partition_point(is_below);
        courses.insert(place, course);
    }
    courses
}

/// The courses under the eaves courses, from the lowest eaves up.
fn under_eaves_courses(
    slope: &Slope,
    moves: &[f64],
    gauging: &Gauging,
    across: &Across,
    wide: (f64, f64),
) -> Vec<Course> {
    let covering = &*slope.laying.covering;
    let whole = covering.length.value.m();
    let gauge = gauging.gauge_of(0);
    let unit_length_m = match (&covering.eaves_unit, covering.layers) {
        (Some(unit), _) => unit.length.m(),
        // A triple lap starts with whole units laid double.
        (None, Layers::Triple) => whole,
        (None, _) => whole - gauge,
    };
    let mut levels = eaves_levels(slope, moves, gauging, across.cover_m);
    levels.sort_by(|one, other| one.0.total_cmp(&other.0));
    let course = |(low, between): (f64, (f64, f64))| {
        let goes_all_the_way = between.0 <= wide.0 && between.1 >= wide.1;
        Course {
            number: 0,
            kind: CourseKind::UnderEaves,
            band: Band { low, high: low + gauge, origin: across.origin_of(-1), width: across.cover_m },
            unit_length_m,
            between: (!goes_all_the_way).then_some(between),
        }
    };
    levels.into_iter().map(course).collect()
}

/// Where under-eaves courses lie: the level of the tails, and the stretch along it.
fn eaves_levels(slope: &Slope, moves: &[f64], gauging: &Gauging, cover_m: f64) -> Vec<(f64, (f64, f64))> {
    let mut levels: Vec<(f64, (f64, f64))> = Vec::new();
    // Past its ends the covering goes on to the verge's overhang or the foot of the hip.
    let past = moves.iter().fold(0.0_f64, |most, by| most.max(*by));
    for (edge, reach) in slope.edges.iter().zip(moves).filter(|(edge, _)| edge.is_foot()) {
        let level = edge.from.v.min(edge.to.v) - reach;
        // Eaves that fall out of level by less than a course still start on the first tail line.
        let level =
            if level - gauging.first_tail_m < gauging.gauge_of(0) { gauging.first_tail_m } else { level };
        levels.push((level, (edge.from.u.min(edge.to.u) - past, edge.from.u.max(edge.to.u) + past)));
    }
    if levels.len() < 2 {
        return levels;
    }
    levels.sort_by(|one, other| one.1.0.total_cmp(&other.1.0));
    let mut stretches: Vec<(f64, (f64, f64))> = Vec::new();
    for (level, (from, to)) in levels {
        // Neighbours with less than a unit between them are one stretch, so that no unit belongs to two. Others stay
        // apart: between them the slope may run on further down, and has no eaves there.
        let known = stretches.iter_mut().find_map(|(other, stretch)| match stretch {
            known if (*other - level).abs() < 1e-3 && from - known.1 < cover_m => Some(known),
            _ => None,
        });
        match known {
            Some(known) => known.1 = known.1.max(to),
            None => stretches.push((level, (from, to))),
        }
    }
    stretches
}

/// The batten lines from the eaves up: one for each course, one for two courses that hang on the same line. `lines` is
/// room for them.
pub(crate) fn batten_lines(
    covering: &Covering,
    gauging: &Gauging,
    courses: &[Course],
    mut lines: Vec<BattenLine>,
) -> Vec<BattenLine> {
    let hanging_at = |gauge_m| covering.hanging_length_at(m(gauge_m)).m();
    // Where no fixed points part the slope into bands, every course has one gauge.
    let steady_m = gauging.bands.is_empty().then(|| hanging_at(gauging.gauge_m));
    let line_of = |course: &Course| {
        // A centre-nailed unit is nailed over the head of the course below: the gauge of that one counts.
        let gauge_below = || gauging.gauge_of(course.number.saturating_sub(2));
        let hanging_m = steady_m.unwrap_or_else(|| hanging_at(gauge_below()));
        let hanging = match course.kind {
            CourseKind::Field => hanging_m,
            CourseKind::UnderEaves | CourseKind::Top => {
                course.unit_length_m - (covering.length.value.m() - hanging_m)
            }
        };
        BattenLine { course: course.number, at_m: course.band.low + hanging, between: course.between }
    };
    let is_same = |one: &BattenLine, other: &BattenLine| (one.at_m - other.at_m).abs() < 1e-3;
    let (above, under_eaves) = (|course: &&Course| course.number > 0, |course: &&Course| course.number == 0);
    lines.clear();
    lines.extend(courses.iter().filter(above).map(line_of));
    // The short units of the top may hang lower than the course under them.
    if !lines.is_sorted_by(|one, other| one.at_m <= other.at_m) {
        lines.sort_by(|one, other| one.at_m.total_cmp(&other.at_m));
    }
    lines.dedup_by(|later, earlier| is_same(later, earlier));
    // An under-eaves course may share the line of a field course, which goes all the way.
    let of_field = lines.len();
    for line in courses.iter().filter(under_eaves).map(line_of) {
        match lines.iter_mut().find(|other| other.between.is_none() && is_same(other, &line)) {
            Some(other) => other.course = other.course.min(line.course),
            None => lines.push(line),
        }
    }
    for at in of_field..lines.len() {
        if let Some((line, below)) = lines.get_mut(..=at).and_then(|lines| lines.split_last_mut()) {
            let place = below.partition_point(|other| other.at_m <= line.at_m);
            lines.get_mut(place..=at).into_iter().for_each(|moved| moved.rotate_right(1));
        }
    }
    lines
}
