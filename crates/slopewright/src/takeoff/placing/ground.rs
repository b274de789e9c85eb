//! What a search for places stands on: the covering without the openings that may move, how far each may move, and
//! which of them must be looked at together.

use crate::setout::region::are_apart;
use crate::setout::{Layout, Region};
use crate::survey::outline::{Ring, bounds};
use crate::survey::{Opening, Slope, rows_of};
use crate::takeoff::SlopeTakeOff;

/// A list of steps: how many downwards or to the left, and how many upwards or to the right.
#[derive(Debug, Clone, Copy)]
pub(super) struct Range {
    pub(super) back: i32,
    pub(super) forth: i32,
    pub(super) step_m: f64,
}

impl Range {
    fn new(back_m: f64, forth_m: f64, step_m: f64) -> Self {
        #[expect(clippy::cast_possible_truncation, reason = "checked ranges have far fewer steps")]
        // A range of 120 mm has twelve steps of 10 mm, whatever the last bit of the division says.
        let steps = |by: f64| (by / step_m + 1e-6).floor().max(0.0) as i32;
        Self { back: steps(back_m), forth: steps(forth_m), step_m }
    }

    pub(super) fn places(&self) -> u64 {
        u64::from(self.back.unsigned_abs()) + u64::from(self.forth.unsigned_abs()) + 1
    }

    pub(super) fn all(&self) -> impl Iterator<Item = i32> + use<> {
        -self.back..=self.forth
    }

    /// A number of steps in metres.
    pub(super) fn by_m(&self, steps: i32) -> f64 {
        f64::from(steps) * self.step_m
    }

    /// The same in tenths of a millimetre, without its sign, so that sums of movements compare exactly.
    pub(super) fn tenths(&self, steps: i32) -> u64 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a step is between a millimetre and a metre"
        )]
        let step = (self.step_m * 1e4).round() as u64;
        step * u64::from(steps.unsigned_abs())
    }
}

/// An opening that may move.
#[derive(Debug)]
pub(super) struct Mover<'a> {
    pub(super) opening: &'a Opening,
    pub(super) across: Range,
    /// The row it belongs to, as a place in [`Ground::rows`].
    pub(super) row: usize,
}

/// Openings that stay level, and how far they may move up and down together.
#[derive(Debug)]
pub(super) struct Row {
    pub(super) up: Range,
    /// The movers of the row.
    pub(super) members: Vec<usize>,
    /// Whether moving it up or down moves fixed points, and with them the courses.
    pub(super) sets_gauge: bool,
}

/// Rows that are looked at together.
#[derive(Debug, Default)]
pub(super) struct Cluster {
    pub(super) rows: Vec<usize>,
    /// Whether two of its openings may come so near that the units between them are shared.
    pub(super) entangled: bool,
}

#[derive(Debug)]
pub(super) struct Ground<'a> {
    pub(super) take_off: &'a SlopeTakeOff,
    pub(super) layout: &'a Layout,
    pub(super) slope: &'a Slope,
    /// The covering with no opening cut out.
    whole: Region,
    /// The slope's outline.
    frame: Region,
    /// The cleared rings of the openings that do not move.
    fast: Vec<Ring>,
    pub(super) movers: Vec<Mover<'a>>,
    pub(super) rows: Vec<Row>,
    pub(super) clusters: Vec<Cluster>,
    pub(super) left_out: Vec<String>,
}

impl<'a> Ground<'a> {
    /// The ground of a slope; `None` if none of its openings may move.
    pub(super) fn of(take_off: &'a SlopeTakeOff) -> Option<Self> {
        let (layout, slope) = (&take_off.layout, &take_off.slope);
        if slope.openings.iter().all(|opening| opening.moves.is_none()) {
            return None;
        }
        let reaches: Vec<f64> = layout.reaches.iter().map(|reach| reach.reach_m).collect();
        let mut ground = Self {
            take_off,
            layout,
            slope,
            whole: Region::from_moved_edges(&slope.outline(), &reaches),
            frame: Region::from_outline(slope.outline()),
            fast: Vec::new(),
            movers: Vec::new(),
            rows: Vec::new(),
            clusters: Vec::new(),
            left_out: Vec::new(),
        };
        ground.sort_openings();
        ground.sort_clusters();
        Some(ground)
    }

    fn sort_openings(&mut self) {
        let openings = &self.slope.openings;
        for row in rows_of(openings) {
            let all = || row.iter().filter_map(|at| openings.get(*at));
            let least = |by: fn(&Opening) -> f64| all().map(by).fold(f64::INFINITY, f64::min);
            let step_m = all().map(|opening| opening.moves.step_m).fold(0.0, f64::max);
            let up = Range::new(least(|o| o.moves.down_m), least(|o| o.moves.up_m), step_m);
            let may_rise = up.places() > 1;
            let number = self.rows.len();
            let mut members = Vec::new();
            let mut all_stand_free = true;
            for at in &row {
                let Some(opening) = openings.get(*at) else { continue };
                let others: Vec<&Ring> = openings
                    .iter()
                    .enumerate()
                    .filter(|(other, _)| other != at)
                    .map(|(_, other)| &other.cleared)
                    .collect();
                let stands_free = self.has_room(opening, &others);
                all_stand_free &= stands_free;
                let moves = &opening.moves;
                let across = Range::new(moves.left_m, moves.right_m, moves.step_m);
                if !moves.is_none() && !stands_free {
                    self.left_out.push(opening.name.clone());
                }
                if stands_free && (may_rise || across.places() > 1) {
                    members.push(self.movers.len());
                    self.movers.push(Mover { opening, across, row: number });
                } else {
                    self.fast.push(opening.cleared.clone());
                }
            }
            // One of a row that cannot be tried elsewhere keeps the others on its level.
            let up = if all_stand_free { up } else { Range { back: 0, forth: 0, step_m } };
            let sets_gauge = up.places() > 1 && all().any(|opening| opening.fixed_point);
            self.rows.push(Row { up, members, sets_gauge });
        }
        self.rows.retain(|row| !row.members.is_empty());
        for (number, row) in self.rows.iter().enumerate() {
            for member in &row.members {
                if let Some(mover) = self.movers.get_mut(*member) {
                    mover.row = number;
                }
            }
        }
    }

    /// Whether an opening lies inside the slope, and with its clearance inside the covering and apart from others.
    pub(super) fn has_room(&self, opening: &Opening, others: &[&Ring]) -> bool {
        self.frame.holds_apart(&opening.outline)
            && self.whole.holds_apart(&opening.cleared)
            && others.iter().all(|other| are_apart(&opening.cleared, other))
    }

    /// The same beside the openings that do not move.
    pub(super) fn has_room_beside_the_fast(&self, opening: &Opening) -> bool {
        self.has_room(opening, &self.fast.iter().collect::<Vec<_>>())
    }

    /// The covering with the openings that do not move and these holes cut out.
    pub(super) fn covered(&self, holes: &[Ring]) -> Region {
        let mut all = self.fast.clone();
        all.extend_from_slice(holes);
        self.whole.clone().without(&all)
    }

    /// How many corners the covering has before the openings that move are cut out.
    pub(super) fn corners(&self) -> usize {
        self.whole.rings().iter().chain(&self.fast).map(Vec::len).sum()
    }

    fn sort_clusters(&mut self) {
        let mut cluster_of: Vec<usize> = (0..self.rows.len()).collect();
        let mut entangled = vec![false; self.rows.len()];
        for (i, one) in self.movers.iter().enumerate() {
            for other in self.movers.iter().skip(i + 1).filter(|other| self.come_near(one, other)) {
                let (Some(&from), Some(&to)) = (cluster_of.get(other.row), cluster_of.get(one.row)) else {
                    continue;
                };
                for cluster in cluster_of.iter_mut().filter(|cluster| **cluster == from) {
                    *cluster = to;
                }
                for row in [one.row, other.row] {
                    if let Some(flag) = entangled.get_mut(row) {
                        *flag = true;
                    }
                }
            }
        }
        for number in 0..self.rows.len() {
            let rows: Vec<usize> =
                (0..self.rows.len()).filter(|row| cluster_of.get(*row) == Some(&number)).collect();
            if !rows.is_empty() {
                let entangled = rows.iter().any(|row| entangled.get(*row) == Some(&true));
                self.clusters.push(Cluster { rows, entangled });
            }
        }
    }

    /// Whether two openings may come so near each other that the same units stand between them.
    fn come_near(&self, one: &Mover<'_>, other: &Mover<'_>) -> bool {
        /// A narrow cut and the unit that it joins reach over two cells from each side.
        const CELLS: f64 = 4.0;
        /// Two holes share no course if they are this many of the largest gauge apart.
        const COURSES: f64 = 2.0;
        let swept = |mover: &Mover<'_>| {
            let (low, high) = bounds(&mover.opening.cleared);
            let (back, forth) = (mover.across.by_m(mover.across.back), mover.across.by_m(mover.across.forth));
            let up = self
                .rows
                .get(mover.row)
                .map_or((0.0, 0.0), |row| (row.up.by_m(row.up.back), row.up.by_m(row.up.forth)));
            ([low.u - back, high.u + forth], [low.v - up.0, high.v + up.1])
        };
        let gap = |one: [f64; 2], other: [f64; 2]| (other[0] - one[1]).max(one[0] - other[1]);
        let ((across, up), (other_across, other_up)) = (swept(one), swept(other));
        gap(across, other_across) < CELLS * self.layout.across.cover_m
            && gap(up, other_up) < COURSES * self.layout.gauging.gauge_most_m
    }
}
