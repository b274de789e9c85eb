//! The whole roof's totals: what is taken from the stack, by format and kind.

use smol_str::{SmolStr, ToSmolStr as _};

use super::lines::{Line, Part, nail_mass};
use super::{SlopeTakeOff, TakeOff};
use crate::catalogue::{Companion, Covering};
use crate::quantity::{Mass, Shown, figure};
use crate::reason::{Working, joined, said};

/// The line of all battens in net metres.
pub(crate) const NET_BATTENS: &str = "battens, net";

/// One kind of unit over the whole roof.
struct Kind {
    item: &'static str,
    count: fn(&SlopeTakeOff) -> u32,
    mass: fn(&Covering) -> Option<Mass>,
    formula: &'static str,
}

/// The kinds of units that are taken from the stack. Short units count among the whole ones where they are cut from
/// them.
const KINDS: [Kind; 4] = [
    Kind {
        item: "whole units to take, those to be cut included",
        count: |slope| {
            let units = &slope.units;
            let covering = slope.layout.covering();
            let under_eaves = if covering.eaves_unit.is_none() { units.taken_under_eaves() } else { 0 };
            let top = if covering.top_unit.is_none() { units.taken_at_top() } else { 0 };
            units.whole + units.taken_for_cuts() + under_eaves + top
        },
        mass: |covering| covering.mass.as_ref().map(|mass| mass.value),
        formula: "whole + cut, and short units cut from whole ones",
    },
    Kind {
        item: "tile-and-a-half units to take",
        count: |slope| slope.units.tile_and_half,
        mass: |covering| companion_mass(covering, covering.tile_and_half.as_ref()),
        formula: "sum over the slopes",
    },
    Kind {
        item: "under-eaves units to take",
        count: |slope| {
            if slope.layout.covering().eaves_unit.is_some() { slope.units.taken_under_eaves() } else { 0 }
        },
        mass: |covering| companion_mass(covering, covering.eaves_unit.as_ref()),
        formula: "sum over the slopes",
    },
    Kind {
        item: "top units to take",
        count: |slope| {
            if slope.layout.covering().top_unit.is_some() { slope.units.taken_at_top() } else { 0 }
        },
        mass: |covering| companion_mass(covering, covering.top_unit.as_ref()),
        formula: "sum over the slopes",
    },
];

fn companion_mass(covering: &Covering, unit: Option<&Companion>) -> Option<Mass> {
    unit.and_then(|unit| covering.companion_mass(unit))
}

impl TakeOff {
    /// The totals of the whole roof, one line for each kind and format.
    pub(super) fn total_lines(&self, lines: &mut Vec<Line>) {
        let mut keys: Vec<&str> =
            self.slopes.iter().map(|slope| slope.layout.covering().key.as_str()).collect();
        keys.sort_unstable();
        keys.dedup();
        for key in keys {
            let slopes: Vec<&SlopeTakeOff> =
                self.slopes.iter().filter(|slope| slope.layout.covering().key == key).collect();
            let Some(covering) = slopes.first().map(|slope| slope.layout.covering()) else { continue };
            for kind in &KINDS {
                let counts: Vec<u64> = slopes.iter().map(|slope| u64::from((kind.count)(slope))).collect();
                let total: u64 = counts.iter().sum();
                if total > 0 {
                    let working = Working::new("in all", kind.formula, added(&counts), total.to_smolstr());
                    let line = Line::new("", Part::Covering, kind.item, key, working);
                    lines.push(line.count(total).mass_each((kind.mass)(covering)));
                }
            }
        }
        self.batten_total(lines);
        self.bar_lines(lines);
        self.timber_bar_lines(lines);
        self.nail_totals(lines);
    }

    /// Battens on their lines and at the sills and heads of openings, and counter-battens.
    fn batten_total(&self, lines: &mut Vec<Line>) {
        let lengths: Vec<f64> = self.slopes.iter().map(|slope| slope.battens.length_m).collect();
        let round: f64 = self.slopes.iter().map(|slope| slope.battens.round_openings_m()).sum();
        let total = lengths.iter().sum::<f64>() + round;
        let mut numbers = added_up(&lengths);
        if round > 0.0 {
            numbers = said!("{numbers} + {} at sills and heads of openings", figure(round, 2));
        }
        let working = Working::new("in all", "sum over the slopes", numbers, metres(total))
            .by(self.why_net_metres(), "");
        let format = self.batten.as_ref().map_or("", |batten| batten.key.as_str());
        lines.push(Line::new("", Part::Battens, NET_BATTENS, format, working).length(total));
        let counter: Vec<f64> =
            self.slopes.iter().filter_map(|slope| slope.battens.counter_length_m).collect();
        if !counter.is_empty() {
            let total = counter.iter().sum();
            let working = Working::new("in all", "sum over the slopes", added_up(&counter), metres(total));
            lines.push(Line::new("", Part::Battens, "counter-battens", "", working).length(total));
        }
    }

    fn nail_totals(&self, lines: &mut Vec<Line>) {
        let nails: Vec<u64> = self.slopes.iter().map(|slope| u64::from(slope.fixings.nails)).collect();
        let batten_nails: Vec<u64> =
            self.slopes.iter().filter_map(|slope| slope.battens.crossings).map(u64::from).collect();
        let all: u64 =
            self.slopes.iter().filter_map(|slope| slope.battens.all_crossings()).map(u64::from).sum();
        let round_openings = all - batten_nails.iter().sum::<u64>();
        let clips: Vec<u64> = self.slopes.iter().map(|slope| u64::from(slope.fixings.clips)).collect();
        let counter: Vec<u64> =
            self.slopes.iter().filter_map(|slope| slope.battens.counter_nails).map(u64::from).collect();
        let round_battens =
            [(round_openings, "at sills and heads of openings"), (self.nails_at_joints(), "more at joints")];
        for (item, counts, more, nail) in [
            ("unit nails", nails, &[][..], &self.nail),
            ("clips", clips, &[], &None),
            ("counter-batten nails", counter, &[], &None),
            ("batten nails", batten_nails, &round_battens, &self.batten_nail),
        ] {
            let total = counts.iter().sum::<u64>() + more.iter().map(|(count, _)| count).sum::<u64>();
            if total > 0 {
                let mut numbers = added(&counts);
                for (count, place) in more.iter().filter(|(count, _)| *count > 0) {
                    numbers = said!("{numbers} + {count} {place}");
                }
                let working = Working::new("in all", "sum over the slopes", numbers, total.to_smolstr());
                let format = nail.as_ref().map_or("", |nail| nail.key.as_str());
                let line = Line::new("", Part::Fixings, item, format, working).count(total);
                lines.push(line.mass_each(nail.as_deref().and_then(nail_mass)));
            }
        }
    }
}

fn added(counts: &[u64]) -> SmolStr {
    joined(counts, " + ")
}

fn added_up(lengths_m: &[f64]) -> SmolStr {
    joined(lengths_m.iter().map(|length| figure(*length, 2)), " + ")
}

fn metres(length_m: f64) -> Shown {
    figure(length_m, 2).with("m")
}
