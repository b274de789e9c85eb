//! Where every unit of a slope lies: the cells of each course, runs of whole units together.

use super::SlopeTakeOff;
use super::units::{CourseUnits, runs_of, unit_rule};
use crate::setout::CourseKind;
use crate::setout::cells::{Run, Sweep};

/// How a unit is laid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Laid {
    /// Whole.
    Whole,
    /// Cut.
    Cut,
    /// As a unit of one and a half over two cells.
    TileAndHalf,
    /// As a cut unit of one and a half over two cells.
    TileAndHalfCut,
}

/// A unit in its place, or a run of whole units side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UnitPlace {
    /// The course, as its place in [`Layout::courses`](crate::setout::Layout::courses).
    pub course: usize,
    /// How it is laid.
    pub laid: Laid,
    /// The first cell.
    pub first: i32,
    /// How many cells: as many as there are units, and two for one unit of one and a half.
    pub cells: u32,
}

impl UnitPlace {
    /// How many units these are.
    #[must_use]
    pub const fn units(&self) -> u32 {
        match self.laid {
            Laid::Whole | Laid::Cut => self.cells,
            Laid::TileAndHalf | Laid::TileAndHalfCut => 1,
        }
    }
}

impl SlopeTakeOff {
    /// Where every unit lies, course by course from the eaves up and from left to right within each.
    ///
    /// The counts of [`SlopeTakeOff::units`] are the counts of these places.
    #[must_use]
    pub fn unit_places(&self) -> Vec<UnitPlace> {
        let layout = &self.layout;
        let mut sweep = Sweep::new(&layout.covered);
        let (least_width, has_tile_and_half) = unit_rule(&layout.laying, &layout.across);
        let mut taken: Vec<Run> = Vec::new();
        let mut places = Vec::new();
        let mut joined: Vec<(i32, bool)> = Vec::new();
        for (course, of) in layout.courses.iter().enumerate() {
            let runs = runs_of(&mut sweep, of, &mut taken);
            let joins = has_tile_and_half && of.kind == CourseKind::Field;
            joined.clear();
            CourseUnits::of_each(runs, least_width, joins, |narrow, neighbour, is_cut| {
                joined.push((narrow.min(neighbour), is_cut));
            });
            joined.sort_unstable();
            for (first, is_cut) in &joined {
                let laid = if *is_cut { Laid::TileAndHalfCut } else { Laid::TileAndHalf };
                places.push(UnitPlace { course, laid, first: *first, cells: 2 });
            }
            let is_joined = |cell: i32| joined.iter().any(|(first, _)| cell == *first || cell == first + 1);
            for run in runs.iter().filter(|run| run.is_laid()) {
                let laid = if run.is_whole() { Laid::Whole } else { Laid::Cut };
                let (mut first, mut end) = (run.first, run.end());
                // Only the cells at the ends of a run can have gone to a neighbour.
                while first < end && is_joined(first) {
                    first += 1;
                }
                while first < end && is_joined(end - 1) {
                    end -= 1;
                }
                if first < end {
                    places.push(UnitPlace { course, laid, first, cells: end.abs_diff(first) });
                }
            }
        }
        places.sort_by_key(|place| (place.course, place.first));
        places
    }
}
