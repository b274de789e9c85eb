//! Counting a slope's courses from the eaves up.
//!
//! Most edges of most slopes are nearly upright, so that from course to course nothing changes but the bond. So a course
//! between two edges that go on for a while is looked at closely: how much further up may a course of its bond lie until
//! a joint, or a width or share that decides, is reached? Those below that height are just like it.

use super::{CourseUnits, CutPiece, HALF_TOLERANCE, WIDTH_TOLERANCE, taken_of};
use crate::setout::cells::{LAID_OVER, PlainEnd, PlainStretch, Run, SHARE_TOLERANCE, Sweep, WHOLE_FROM};
use crate::setout::{Course, CourseKind};
use crate::survey::outline::lesser;

/// The cuts of a slope, by the kind of their course.
#[derive(Debug, Default)]
pub(super) struct Cuts {
    pub(super) field: Vec<CutPiece>,
    pub(super) under_eaves: Vec<CutPiece>,
    pub(super) top: Vec<CutPiece>,
}

/// Counts courses with a sweep that stands under them.
pub(super) struct Count<'s> {
    sweep: &'s mut Sweep,
    least_width: f64,
    has_tile_and_half: bool,
    /// Whether every cell of a raking edge must be looked at: a least width of a whole unit makes all of them narrow.
    wide_is_narrow: bool,
    /// Every cut, if cuts are to be paired.
    cuts: Option<Cuts>,
    taken: Vec<Run>,
    /// Whether the two edges at hand are so near to upright that courses between them may be alike.
    hardly_leans: bool,
    /// A course of each bond between them.
    known: [Known; 2],
}

/// The units of a course, and of all of its gauge and bond whose tails lie no higher than `up_to_m`.
#[derive(Clone, Copy)]
struct Known {
    units: CourseUnits,
    gauge_m: f64,
    origin: f64,
    up_to_m: f64,
}

impl Known {
    fn nothing() -> Self {
        Self { units: CourseUnits::default(), gauge_m: 0.0, origin: 0.0, up_to_m: f64::NEG_INFINITY }
    }
}

/// By how much the gauges of two courses may differ and be the same: a rounding error.
const GAUGE_TOLERANCE_M: f64 = 1e-9;

/// Along an edge that moves in by more cells than this for each metre, hardly two courses are alike.
const STEEP: f64 = 1.0;

impl<'s> Count<'s> {
    pub(super) fn new(
        sweep: &'s mut Sweep,
        (least_width, has_tile_and_half): (f64, bool),
        cuts: Option<Cuts>,
    ) -> Self {
        let wide_is_narrow = least_width >= 1.0 - 2.0 * WIDTH_TOLERANCE;
        let known = [Known::nothing(); 2];
        let taken = Vec::new();
        Self {
            sweep,
            least_width,
            has_tile_and_half,
            wide_is_narrow,
            cuts,
            taken,
            hardly_leans: false,
            known,
        }
    }

    /// The units of the next course.
    #[inline]
    pub(super) fn next(&mut self, course: &Course) -> CourseUnits {
        // Pairs ask for every cut by itself.
        if self.wide_is_narrow || self.cuts.is_some() {
            return self.by_runs(course);
        }
        let band = course.band;
        if !self.sweep.goes_on_plain(band) {
            self.known = [Known::nothing(); 2];
            self.sweep.advance(band);
            if !self.sweep.goes_on_plain(band) {
                return self.of_any_kind(course);
            }
            self.hardly_leans = self.sweep.leans(band.width).iter().all(|lean| lean.abs() < STEEP);
        }
        if course.kind != CourseKind::Field || course.between.is_some() {
            return self.of_any_kind(course);
        }
        let gauge_m = band.high - band.low;
        let [even, odd] = &self.known;
        let known = if course.number & 1 == 0 { even } else { odd };
        if band.low <= known.up_to_m
            && band.origin.to_bits() == known.origin.to_bits()
            && (gauge_m - known.gauge_m).abs() < GAUGE_TOLERANCE_M
        {
            return known.units;
        }
        let Some(stretch) = self.sweep.plain_stretch(band) else { return self.of_any_kind(course) };
        let mut units = CourseUnits::default();
        units.add_plain(&stretch, self.least_width, self.has_tile_and_half);
        if self.hardly_leans {
            self.look_closely(course, &stretch, units);
        }
        units
    }

    /// The cuts seen so far, if they are kept.
    pub(super) fn into_cuts(self) -> Cuts {
        self.cuts.unwrap_or_default()
    }

    /// How far up the units of a course between two edges that go right through it stay the same.
    #[inline(never)]
    fn look_closely(&mut self, course: &Course, stretch: &PlainStretch, units: CourseUnits) {
        let band = course.band;
        let [left, right] = self.sweep.leans(band.width);
        let left_m = stays_m(&stretch.left, left, self.least_width);
        let right_m = stays_m(&stretch.right, right, self.least_width);
        let [even, odd] = &mut self.known;
        let known = if course.number & 1 == 0 { even } else { odd };
        let up_to_m = band.low + lesser(left_m, right_m);
        *known = Known { units, gauge_m: band.high - band.low, origin: band.origin, up_to_m };
    }

    /// The units of a course of any kind.
    fn of_any_kind(&mut self, course: &Course) -> CourseUnits {
        let (least_width, joins) = (self.least_width, self.joins(course));
        let taken = course.cells_taken().map(|cells| (f64::from(cells.start), f64::from(cells.end)));
        let (mut units, mut is_sound) = (CourseUnits::default(), true);
        let is_plain = self.sweep.plain_course(course.band, |stretch| match taken {
            None => units.add_plain(stretch, least_width, joins),
            Some(taken) => match stretch.within(taken) {
                Some(part) => units.add_plain(&part, least_width, joins),
                None => is_sound = false,
            },
        });
        if is_plain && is_sound { units } else { self.by_runs(course) }
    }

    /// Short units have no fellow of one and a half.
    #[inline]
    fn joins(&self, course: &Course) -> bool {
        self.has_tile_and_half && course.kind == CourseKind::Field
    }

    /// The units of a course from its runs.
    fn by_runs(&mut self, course: &Course) -> CourseUnits {
        let joins = self.joins(course);
        let all = if self.wide_is_narrow {
            self.sweep.course(course.band)
        } else {
            self.sweep.kinds_in_course(course.band)
        };
        let runs = taken_of(all, course, &mut self.taken);
        let Some(cuts) = &mut self.cuts else { return CourseUnits::of(runs, self.least_width, joins) };
        let of_kind = match course.kind {
            CourseKind::Field => &mut cuts.field,
            CourseKind::UnderEaves => &mut cuts.under_eaves,
            CourseKind::Top => &mut cuts.top,
        };
        CourseUnits::with_cuts(runs, self.least_width, joins, |run, cells| {
            of_kind.extend((0..cells).map(|_| CutPiece::of(run)));
        })
    }
}

/// How far up, in metres, the units at an end stay the same, if its edge moves in by `lean` cells a metre.
fn stays_m(end: &PlainEnd, lean: f64, least_width: f64) -> f64 {
    /// What is nearer than this, in cells, counts as reached.
    const NEAR: f64 = 1e-7;
    if lean.abs() < f64::MIN_POSITIVE {
        return f64::INFINITY;
    }
    if end.cells.0 < end.cells.1 {
        return 0.0;
    }
    // As the edge moves in, each of these shrinks by as much; where one of them changes its sign, something is decided
    // otherwise: the outermost cell is laid, is whole, is a half; is narrow; the edge comes to the next joint out or in.
    let over = [
        end.share - LAID_OVER - SHARE_TOLERANCE,
        end.share - WHOLE_FROM,
        end.share - 0.5 - HALF_TOLERANCE,
        end.share - 0.5 + HALF_TOLERANCE,
        end.width - least_width - WIDTH_TOLERANCE,
        end.width - 1.0,
        2.0 * end.share - end.width,
    ];
    let way = if lean < 0.0 { -1.0 } else { 1.0 };
    let nearest = over
        .into_iter()
        .map(|over| over * way)
        .fold(f64::INFINITY, |least, over| if over >= 0.0 && over < least { over } else { least });
    if nearest > NEAR { (nearest - NEAR) / lean.abs() } else { 0.0 }
}
