//! Units of a slope, course by course: whole, cut, tile-and-a-half, under the eaves and at the top.

use self::count::{Count, Cuts};
use super::pairing::{CutPiece, Pairing};
use crate::quantity::LengthIn as _;
use crate::setout::cells::{PlainEnd, PlainStretch, Positions, Run, Sweep};
use crate::setout::{Across, Course, CourseKind, Layout, Region};
use crate::survey::Laying;

/// Units saved by taking two cuts out of one, by the kind of course.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PairedCuts {
    /// Among units of full length.
    pub field: u32,
    /// Among units under the eaves course.
    pub under_eaves: u32,
    /// Among units of the top course.
    pub top: u32,
}

/// A cut is as wide as the least width if it is within a thousandth of a unit of it.
const WIDTH_TOLERANCE: f64 = 1e-3;

/// A share is a half if it is within this of it: far under a saw's width.
const HALF_TOLERANCE: f64 = 1e-6;

/// The units of one course.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct CourseUnits {
    /// The positions that the covered region takes, before narrow cuts are joined to their neighbours.
    pub positions: Positions,
    /// Whole units.
    pub whole: u32,
    /// Cut units.
    pub cut: u32,
    /// Units of one and a half, each in the place of a narrow cut and its neighbour.
    pub tile_and_half: u32,
    /// How many of those are cut.
    pub tile_and_half_cut: u32,
    /// Cuts narrower than the least width that are laid all the same, for want of a wider unit.
    pub narrow: u32,
    /// Units at the ends of the course, at openings and along raking edges.
    pub at_edges: u32,
}

impl CourseUnits {
    /// Pieces laid, of all sizes.
    #[must_use]
    pub const fn laid(&self) -> u32 {
        self.whole + self.cut + self.tile_and_half
    }

    /// The units of a course from its runs. A cut of no more than `least_width` (in cover widths) and its neighbour
    /// become one unit of one and a half, if the format has one.
    #[must_use]
    pub fn of(runs: &[Run], least_width: f64, has_tile_and_half: bool) -> Self {
        Self::counted(runs, least_width, has_tile_and_half, |_, _| {}, |_, _, _| {})
    }

    /// As [`CourseUnits::of`]; `each_cut` is told of every run of which some cut cells stay cut units, and how many.
    pub(super) fn with_cuts(
        runs: &[Run],
        least_width: f64,
        has_tile_and_half: bool,
        each_cut: impl FnMut(&Run, u32),
    ) -> Self {
        Self::counted(runs, least_width, has_tile_and_half, each_cut, |_, _, _| {})
    }

    /// As [`CourseUnits::of`]; each unit of one and a half is told to `joined`: the narrow cut, the cell of its neighbour,
    /// and whether the unit is cut.
    pub(super) fn of_each(
        runs: &[Run],
        least_width: f64,
        has_tile_and_half: bool,
        joined: impl FnMut(i32, i32, bool),
    ) -> Self {
        Self::counted(runs, least_width, has_tile_and_half, |_, _| {}, joined)
    }

    /// Adds a stretch of a plain course, to the same counts as those of [`CourseUnits::of`].
    #[expect(clippy::needless_bitwise_bool, reason = "no branch could guess which ends are narrow")]
    #[inline]
    pub(super) fn add_plain(&mut self, stretch: &PlainStretch, least_width: f64, has_tile_and_half: bool) {
        let PlainStretch { whole, left, right } = *stretch;
        let cut = left.cut + right.cut;
        self.positions.whole += whole;
        self.positions.cut += cut;
        let mut free = whole + cut;
        // A stretch of one whole unit has it at both ends: it counts once.
        let ends = u32::from(left.cut == 0) + u32::from(right.cut == 0);
        self.at_edges += cut + if whole > 0 { ends.min(free) } else { 0 };
        let (mut joined, mut with_whole, mut uncut) = (0, 0, 0);
        for end in [&left, &right] {
            // On the way from the left, the left unit of one and a half has taken two cells.
            let is_narrow = end.is_narrow(least_width) & (free > 0);
            let is_joined = is_narrow & has_tile_and_half & (free > 1);
            // The neighbour of an outermost cut, to the inside: is it whole?
            let takes_whole = is_joined & (end.cut == 1) & (whole > 0);
            free -= u32::from(is_narrow) + u32::from(is_joined);
            self.narrow += u32::from(is_narrow & !is_joined);
            joined += u32::from(is_joined);
            with_whole += u32::from(takes_whole);
            uncut += u32::from(takes_whole & is_half(end.share));
        }
        self.whole += whole.saturating_sub(with_whole);
        self.cut += cut.saturating_sub(2 * joined - with_whole);
        self.tile_and_half += joined;
        self.tile_and_half_cut += joined - uncut;
    }

    fn counted(
        runs: &[Run],
        least_width: f64,
        has_tile_and_half: bool,
        mut each_cut: impl FnMut(&Run, u32),
        mut joined: impl FnMut(i32, i32, bool),
    ) -> Self {
        let mut units = Self { positions: Positions::of(runs), ..Self::default() };
        units.whole = units.positions.whole;
        units.cut = units.positions.cut;
        units.at_edges = units.cut + whole_at_ends(runs);
        let is_narrow = |run: &Run| {
            run.is_laid() && !run.is_whole() && run.cells == 1 && run.width <= least_width + WIDTH_TOLERANCE
        };
        // How many cells at the left end of the run at hand its left neighbour has taken.
        let mut taken_of_this = 0;
        let mut before: Option<(&Run, u32)> = None;
        // The cut cells of the run before that no tile-and-a-half has taken so far.
        let mut cut_before: Option<(&Run, u32)> = None;
        for (at, run) in runs.iter().enumerate() {
            let mut cut_here = if run.is_laid() && !run.is_whole() { run.cells } else { 0 };
            let next = runs.get(at + 1);
            let mut taken_of_next = 0;
            if is_narrow(run) && taken_of_this == 0 {
                let right = next.filter(|next| {
                    has_tile_and_half && run.joins_right && next.is_laid() && next.first == run.end()
                });
                let left = before.filter(|(left, free)| {
                    has_tile_and_half
                        && run.joins_left
                        && left.is_laid()
                        && left.end() == run.first
                        && *free > 0
                });
                if let Some(neighbour) = right {
                    joined(run.first, neighbour.first, units.join(run.share, neighbour.is_whole()));
                    taken_of_next = 1;
                    cut_here = 0;
                } else if let Some((neighbour, _)) = left {
                    joined(run.first, run.first - 1, units.join(run.share, neighbour.is_whole()));
                    cut_here = 0;
                    if let Some((_, cells)) = &mut cut_before {
                        *cells = cells.saturating_sub(1);
                    }
                } else {
                    units.narrow += 1;
                }
                before = Some((run, 0));
            } else {
                before = Some((run, run.cells.saturating_sub(taken_of_this)));
                cut_here = cut_here.saturating_sub(taken_of_this);
            }
            if let Some((run, cells)) = cut_before.replace((run, cut_here)).filter(|(_, cells)| *cells > 0) {
                each_cut(run, cells);
            }
            taken_of_this = taken_of_next;
        }
        if let Some((run, cells)) = cut_before.filter(|(_, cells)| *cells > 0) {
            each_cut(run, cells);
        }
        units
    }

    /// Puts one unit of one and a half in the place of a narrow cut and its neighbour; returns whether it is cut.
    fn join(&mut self, share_of_narrow: f64, neighbour_is_whole: bool) -> bool {
        self.cut = self.cut.saturating_sub(1);
        if neighbour_is_whole {
            self.whole = self.whole.saturating_sub(1);
        } else {
            self.cut = self.cut.saturating_sub(1);
        }
        self.tile_and_half += 1;
        let is_uncut = neighbour_is_whole && is_half(share_of_narrow);
        self.tile_and_half_cut += u32::from(!is_uncut);
        !is_uncut
    }
}

impl PlainEnd {
    /// Whether its outermost cut is no wider than a cut may be.
    #[inline]
    fn is_narrow(&self, least_width: f64) -> bool {
        self.cut > 0 && self.width <= least_width + WIDTH_TOLERANCE
    }
}

/// Whether a narrow cut of this share and a whole neighbour are just a unit of one and a half.
#[inline]
fn is_half(share: f64) -> bool {
    (share - 0.5).abs() < HALF_TOLERANCE
}

/// Whole units that stand at the end of a stretch without gaps.
fn whole_at_ends(runs: &[Run]) -> u32 {
    let mut ends = 0;
    // The laid run before, and whether its stretch begins with it.
    let mut before: Option<(&Run, bool)> = None;
    // A stretch of one whole unit has it at both ends: it counts once.
    let right_end = |(run, begins): (&Run, bool)| u32::from(run.is_whole() && !(begins && run.cells == 1));
    for run in runs.iter().filter(|run| run.is_laid()) {
        let begins = before.is_none_or(|(before, _)| before.end() != run.first);
        if begins {
            ends += before.map_or(0, right_end) + u32::from(run.is_whole());
        }
        before = Some((run, begins));
    }
    ends + before.map_or(0, right_end)
}

/// The units of a slope.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SlopeUnits {
    /// Course by course, in the order of the layout's courses.
    pub courses: Vec<CourseUnits>,
    /// Whole units of full length.
    pub whole: u32,
    /// Cut units of full length.
    pub cut: u32,
    /// Units of one and a half.
    pub tile_and_half: u32,
    /// How many of those are cut.
    pub tile_and_half_cut: u32,
    /// Units under the eaves course, cut ones included.
    pub under_eaves: u32,
    /// Units of the top course, cut ones included.
    pub top: u32,
    /// Cuts narrower than the least width that are laid all the same.
    pub narrow: u32,
    /// Units saved by taking two cuts out of one; nothing unless the survey asks for pairs.
    pub paired: PairedCuts,
}

impl SlopeUnits {
    /// Counts the units of a layout.
    #[must_use]
    pub fn count(layout: &Layout) -> Self {
        Self::count_in(layout, &mut Sweep::new(&Region::default()), Vec::new())
    }

    /// The same in memory that is there already: a sweep of any region, and room for the units course by course.
    #[must_use]
    pub fn count_in(layout: &Layout, sweep: &mut Sweep, room: Vec<CourseUnits>) -> Self {
        sweep.start(&layout.covered);
        let rule = unit_rule(&layout.laying, &layout.across);
        let pairing = Pairing::wanted(&layout.laying, &layout.across);
        Self::count_courses(sweep, &layout.courses, rule, pairing, room)
    }

    /// Counts the units of some courses from the eaves up, with a sweep that stands under them. `room` is memory for the
    /// units course by course.
    pub(crate) fn count_courses(
        sweep: &mut Sweep,
        courses: &[Course],
        rule: (f64, bool),
        pairing: Option<Pairing>,
        mut room: Vec<CourseUnits>,
    ) -> Self {
        room.clear();
        room.reserve(courses.len());
        let mut units = Self { courses: room, ..Self::default() };
        let mut count = Count::new(sweep, rule, pairing.is_some().then(Cuts::default));
        units.courses.extend(courses.iter().map(|course| count.next(course)));
        let Cuts { field, under_eaves, top } = &count.into_cuts();
        units.sum_up(courses);
        if let Some(pairing) = pairing {
            units.paired = PairedCuts {
                field: pairing.pairs(field),
                under_eaves: pairing.pairs(under_eaves),
                top: pairing.pairs(top),
            };
        }
        units
    }

    /// Units of full length that are taken for the cut ones.
    #[must_use]
    pub const fn taken_for_cuts(&self) -> u32 {
        self.cut.saturating_sub(self.paired.field)
    }

    /// Units taken for the course under the eaves.
    #[must_use]
    pub const fn taken_under_eaves(&self) -> u32 {
        self.under_eaves.saturating_sub(self.paired.under_eaves)
    }

    /// Units taken for the top course.
    #[must_use]
    pub const fn taken_at_top(&self) -> u32 {
        self.top.saturating_sub(self.paired.top)
    }

    fn sum_up(&mut self, courses: &[Course]) {
        for (course, units) in courses.iter().zip(&self.courses) {
            match course.kind {
                CourseKind::UnderEaves => self.under_eaves += units.laid(),
                CourseKind::Top => self.top += units.laid(),
                CourseKind::Field => {
                    self.whole += units.whole;
                    self.cut += units.cut;
                    self.tile_and_half += units.tile_and_half;
                    self.tile_and_half_cut += units.tile_and_half_cut;
                    self.narrow += units.narrow;
                }
            }
        }
    }

    /// Pieces laid, of all kinds.
    #[must_use]
    pub const fn laid(&self) -> u32 {
        self.whole + self.cut + self.tile_and_half + self.under_eaves + self.top
    }
}

/// The runs of a course, less the cells that belong to another stretch of the eaves. `taken` is room to work in.
pub(super) fn runs_of<'a>(sweep: &'a mut Sweep, course: &Course, taken: &'a mut Vec<Run>) -> &'a [Run] {
    taken_of(sweep.course(course.band), course, taken)
}

fn taken_of<'a>(all: &'a [Run], course: &Course, taken: &'a mut Vec<Run>) -> &'a [Run] {
    let Some(cells) = course.cells_taken() else { return all };
    taken.clear();
    taken.extend(all.iter().filter_map(|run| {
        let (first, end) = (run.first.max(cells.start), run.end().min(cells.end));
        (first < end).then(|| Run { first, cells: end.abs_diff(first), ..*run })
    }));
    taken
}

/// The least width of a cut in cover widths, and whether the format has a unit of one and a half.
pub(crate) fn unit_rule(laying: &Laying, across: &Across) -> (f64, bool) {
    (least_cut(laying, across), laying.covering.tile_and_half.is_some())
}

/// The least width of a cut, in cover widths.
fn least_cut(laying: &Laying, across: &Across) -> f64 {
    /// A cut is at least half a unit wide unless the survey says otherwise (common practice, no source).
    const HALF: f64 = 0.5;
    laying.least_cut.map_or(HALF, |width| width.m() / across.cover_m)
}

mod count;
#[cfg(test)]
mod tests;
