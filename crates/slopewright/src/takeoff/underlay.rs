//! Underlay as runs across the slope, with their laps, from rolls with the offcuts carried on.

use serde::Serialize;

use super::UnderlayStrips;
use crate::quantity::{LengthIn as _, whole_up};
use crate::setout::{Layout, Region, ShadowRoom};
use crate::survey::outline::Point;
use crate::survey::{EdgeRole, Slope, UnderlayChoice};

/// One piece of a run across the slope, without end laps.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct UnderlayRun {
    /// Which run it belongs to, from 1 at the eaves.
    pub run: u32,
    /// The lower edge, in metres up the slope.
    pub low_m: f64,
    /// The left end, in metres from the left end of the eaves.
    pub from_m: f64,
    /// The right end.
    pub to_m: f64,
}

impl UnderlayRun {
    /// Its length in metres.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.to_m - self.from_m
    }
}

/// The laps that a slope's underlay is laid with, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Laps {
    /// One run over the one below.
    pub horizontal_m: f64,
    /// One piece over the next in a run.
    pub end_m: f64,
    /// Over a ridge.
    pub over_ridge_m: f64,
    /// Over a hip.
    pub over_hip_m: f64,
    /// Up a wall.
    pub up_wall_m: f64,
    /// The shortest end of a roll that is still laid.
    pub least_piece_m: f64,
}

impl Laps {
    /// How far the underlay reaches past an edge.
    #[must_use]
    pub const fn past(&self, role: EdgeRole) -> f64 {
        match role {
            EdgeRole::Ridge => self.over_ridge_m,
            EdgeRole::Hip => self.over_hip_m,
            // One lap between the two slopes, half of it counted on each.
            EdgeRole::ChangeOfPitch => self.horizontal_m / 2.0,
            EdgeRole::SideAbutment | EdgeRole::TopAbutment => self.up_wall_m,
            EdgeRole::Eaves | EdgeRole::Verge | EdgeRole::Valley => 0.0,
        }
    }
}

/// The underlay of a slope.
#[derive(Debug, Clone, PartialEq)]
pub struct SlopeUnderlay {
    /// The laps.
    pub laps: Laps,
    /// The runs from the eaves up.
    pub runs: Vec<UnderlayRun>,
    /// The number of levels at which runs lie.
    pub levels: u32,
    /// The area that is underlaid, laps not counted twice, in square metres.
    pub net_area_m2: f64,
    /// Length to be cut from rolls with end laps, in metres.
    pub length_m: f64,
    /// Joints within runs.
    pub end_laps: u32,
    /// Full rolls opened.
    pub rolls: u32,
    /// What is left of the last roll, in metres.
    pub left_over_m: f64,
    /// Ends of rolls too short to lay, those opened for strips included, in metres.
    pub waste_m: f64,
    /// Strips turned up and laid round openings, cut after the runs of every slope.
    pub round_openings: Vec<UnderlayStrips>,
    /// Joints within those strips.
    pub strip_laps: u32,
}

impl SlopeUnderlay {
    /// Lays the underlay of a slope from a supply of rolls.
    #[must_use]
    pub fn lay(
        slope: &Slope,
        layout: &Layout,
        choice: &UnderlayChoice,
        laps: Laps,
        supply: &mut Rolls,
    ) -> Self {
        let reaches: Vec<f64> = layout.reaches.iter().map(|reach| reach.reach_m).collect();
        Self::lay_to(slope, &slope.outline(), &reaches, choice, laps, supply, &mut ShadowRoom::default())
    }

    /// The same where the covering reaches so far past the edges, in metres. `room` is memory to work in.
    pub(crate) fn lay_to(
        slope: &Slope,
        outline: &[Point],
        reaches_m: &[f64],
        choice: &UnderlayChoice,
        laps: Laps,
        supply: &mut Rolls,
        room: &mut ShadowRoom,
    ) -> Self {
        let moves: Vec<f64> = slope
            .edges
            .iter()
            .zip(reaches_m)
            // At the eaves and verges it goes as far as the covering does.
            .map(|(edge, reach_m)| match edge.role {
                EdgeRole::Eaves | EdgeRole::Verge => reach_m.max(0.0),
                role => laps.past(role),
            })
            .collect();
        let mut area = Region::from_moved_edges(outline, &moves);
        if !slope.openings.is_empty() {
            let frames: Vec<_> = slope.openings.iter().map(|opening| opening.outline.clone()).collect();
            area = area.without(&frames);
        }
        let width = choice.underlay.width.value.m();
        let step = width - laps.horizontal_m;
        let (low, high) = area.bounds();
        let rise = high.v - low.v;
        // The first run is as wide as the roll; each further one adds its width less the lap.
        let levels =
            if area.is_empty() { 0 } else { whole_up((rise - laps.horizontal_m - 1e-4) / step).max(1) };
        let mut underlay = Self {
            laps,
            runs: Vec::with_capacity(levels as usize),
            levels,
            net_area_m2: area.area_m2(),
            length_m: 0.0,
            end_laps: 0,
            rolls: 0,
            left_over_m: 0.0,
            waste_m: 0.0,
            round_openings: Vec::new(),
            strip_laps: 0,
        };
        let opened = supply.opened;
        for level in 0..levels {
            let run_low = f64::from(level).mul_add(step, low.v);
            for &(from_m, to_m) in area.shadow_in(run_low, run_low + width, room) {
                let run = UnderlayRun { run: level + 1, low_m: run_low, from_m, to_m };
                let joints = supply.cut(run.length_m(), laps, &mut underlay.waste_m);
                underlay.end_laps += joints;
                underlay.length_m += f64::from(joints).mul_add(laps.end_m, run.length_m());
                underlay.runs.push(run);
            }
        }
        underlay.rolls = supply.opened - opened;
        underlay.left_over_m = supply.in_hand_m;
        underlay
    }

    /// Cuts the strips round the openings of the slope, from what the runs have left.
    pub(super) fn cut_round_openings(&mut self, slope: &Slope, choice: &UnderlayChoice, supply: &mut Rolls) {
        self.round_openings = UnderlayStrips::of_slope(slope, self, choice);
        for strips in &self.round_openings {
            self.strip_laps += supply.cut(strips.roll_m, self.laps, &mut self.waste_m);
        }
    }

    /// What the strips round openings take off the rolls, in metres.
    #[must_use]
    pub fn round_openings_m(&self) -> f64 {
        self.round_openings.iter().map(|strips| strips.roll_m).sum::<f64>() + 0.0
    }
}

/// Rolls of one underlay, opened as they are needed; what is left of one is laid before the next is opened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rolls {
    roll_m: f64,
    in_hand_m: f64,
    opened: u32,
}

impl Rolls {
    /// A supply of rolls of this length, none opened yet.
    #[must_use]
    pub const fn new(roll_m: f64) -> Self {
        Self { roll_m, in_hand_m: 0.0, opened: 0 }
    }

    /// How many have been opened.
    #[must_use]
    pub const fn opened(&self) -> u32 {
        self.opened
    }

    /// What is left of the last roll, in metres.
    #[must_use]
    pub const fn left_over_m(&self) -> f64 {
        self.in_hand_m
    }

    /// Cuts one run; returns its joints. An end of a roll shorter than the least piece goes to `waste`.
    fn cut(&mut self, length: f64, laps: Laps, waste: &mut f64) -> u32 {
        /// A roll does for a run that is longer by less than this.
        const TOLERANCE: f64 = 1e-6;
        let mut joints = 0;
        let mut rest = length;
        // Of a roll this short every piece would be too short, and the run would never end.
        let least_piece = laps.least_piece_m.max(2.0 * laps.end_m).min(self.roll_m);
        while rest > TOLERANCE {
            if self.in_hand_m + TOLERANCE >= rest {
                self.in_hand_m = (self.in_hand_m - rest).max(0.0);
                break;
            }
            // Too short a piece, or one that its lap would eat: it is not laid.
            if self.in_hand_m < least_piece {
                *waste += self.in_hand_m;
            } else {
                rest = rest - self.in_hand_m + laps.end_m;
                joints += 1;
            }
            self.in_hand_m = self.roll_m;
            self.opened += 1;
            // No checked survey has such a lap; whoever lays one in code gets a number, not an endless run.
            if self.roll_m < 2.0 * laps.end_m {
                break;
            }
        }
        joints
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LAPS: Laps = Laps {
        horizontal_m: 0.1,
        end_m: 0.1,
        over_ridge_m: 0.15,
        over_hip_m: 0.15,
        up_wall_m: 0.1,
        least_piece_m: 1.0,
    };

    #[test]
    fn rolls_by_hand() {
        // Rolls of 10 m for runs of 8 m: the first leaves 2 m; the second run takes them, 0.1 m of lap and 6.1 m of a new
        // roll, which leaves 3.9 m.
        let mut rolls = Rolls::new(10.0);
        let mut waste = 0.0;
        assert_eq!(rolls.cut(8.0, LAPS, &mut waste), 0);
        assert_eq!(rolls.cut(8.0, LAPS, &mut waste), 1);
        assert_eq!(rolls.opened(), 2);
        assert!((rolls.left_over_m() - 3.9).abs() < 1e-9);
        // A run longer than two rolls.
        assert_eq!(rolls.cut(25.0, LAPS, &mut waste), 3);
        assert_eq!(rolls.opened(), 5);
        // 0.5 m is too short to lay.
        let mut rolls = Rolls::new(10.0);
        rolls.cut(9.5, LAPS, &mut waste);
        assert_eq!(rolls.cut(4.0, LAPS, &mut waste), 0);
        assert!((waste - 0.5).abs() < 1e-9);
    }

    #[test]
    fn a_roll_does_for_what_is_longer_by_less_than_a_micrometre() {
        // Of a roll of 10 m 4 m are left: they do for a run that is half a micrometre longer, which is the dust of sums of
        // floats, and not for one that is two micrometres longer.
        let after_six = |run_m: f64| {
            let mut rolls = Rolls::new(10.0);
            rolls.cut(6.0, LAPS, &mut 0.0);
            (rolls.cut(run_m, LAPS, &mut 0.0), rolls.opened(), rolls.left_over_m())
        };
        assert_eq!(after_six(4.0), (0, 1, 0.0));
        assert_eq!(after_six(4.000_000_5), (0, 1, 0.0));
        let (joints, opened, left_m) = after_six(4.000_002);
        assert_eq!((joints, opened), (1, 2));
        // The lap of 0.1 m and the two micrometres come off the new roll.
        assert!((left_m - 9.899_998).abs() < 1e-9);
    }
}
