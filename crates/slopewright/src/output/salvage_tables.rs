//! The tables of the salvage room: what there is, who gets it, what is short, what is held back, and the ways out.

use super::Table;
use super::columns::{count, figure, text};
use crate::quantity::MassIn;
use crate::reason::Working;
use crate::salvage::{DayCount, MetNeed, Salvaged, UnitCount, UnitKey};

fn added(working: &[Working]) -> String {
    working.iter().map(Working::sum).collect::<Vec<_>>().join("; ")
}

fn unit(unit: &UnitKey) -> String {
    unit.to_string()
}

/// Which old units go there: `412 plain whole (the same format)`.
fn taken(row: &MetNeed) -> String {
    let parts = row.taken.iter().map(|of| format!("{} {} ({})", of.used, of.unit, of.reason));
    parts.collect::<Vec<_>>().join("; ")
}

impl Table {
    /// Every table of a salvage result: shortages, supplies, needs, reserves, checks, fits, alternatives.
    #[must_use]
    pub fn salvage(result: &Salvaged) -> Vec<Self> {
        vec![
            Self::shortages(result),
            Self::supplies(result),
            Self::needs(result),
            Self::reserves(result),
            Self::checks(result),
            Self::fits(result),
            Self::alternatives(result),
        ]
    }

    /// What must be bought, by unit.
    #[must_use]
    pub fn shortages(result: &Salvaged) -> Self {
        let all = || result.shortages.iter();
        Self {
            name: "shortages",
            columns: vec![
                text("unit", all().map(|of| unit(&of.unit))),
                count("needed_count", all().map(|of| Some(of.needed))),
                count("met_count", all().map(|of| Some(of.met))),
                count("bought_count", all().map(|of| Some(of.to_buy))),
                figure("mass_each_kg", all().map(|of| of.mass_each_kg)),
            ],
        }
    }

    /// The old units and where they go: salvaged = used + reserve + left + lost.
    #[must_use]
    pub fn supplies(result: &Salvaged) -> Self {
        let all = || result.shared.supplies.iter();
        Self {
            name: "supplies",
            columns: vec![
                text("unit", all().map(|of| unit(&of.supply.unit))),
                count("came_off_count", all().map(|of| Some(of.supply.came_off))),
                count("broken_count", all().map(|of| Some(of.supply.broken))),
                count("set_aside_count", all().map(|of| Some(of.supply.set_aside))),
                count("salvaged_count", all().map(|of| Some(of.supply.salvaged))),
                count("lost_count", all().map(|of| Some(of.supply.lost))),
                count("used_count", all().map(|of| Some(of.used))),
                count("reserve_count", all().map(|of| Some(of.reserve))),
                count("left_count", all().map(|of| Some(of.left))),
                text("working", all().map(|of| added(&of.supply.working))),
            ],
        }
    }

    /// The needs and how they are met: needed = met + bought.
    #[must_use]
    pub fn needs(result: &Salvaged) -> Self {
        let all = || result.shared.needs.iter();
        Self {
            name: "needs",
            columns: vec![
                text("roof", all().map(|row| row.need.roof.clone())),
                text("slope", all().map(|row| row.need.slope.clone())),
                text("unit", all().map(|row| unit(&row.need.unit))),
                count("needed_count", all().map(|row| Some(row.need.count))),
                count("met_count", all().map(|row| Some(row.met))),
                count("bought_count", all().map(|row| Some(row.bought))),
                figure("mass_each_kg", all().map(|row| row.need.mass_each.map(MassIn::kg))),
                text("taken", all().map(taken)),
            ],
        }
    }

    /// What is held back for later repairs.
    #[must_use]
    pub fn reserves(result: &Salvaged) -> Self {
        let all = || result.shared.reserves.iter();
        Self {
            name: "reserves",
            columns: vec![
                text("roof", all().map(|of| of.roof.clone())),
                text("unit", all().map(|of| unit(&of.unit))),
                count("reserve_wanted_count", all().map(|of| Some(of.wanted))),
                count("reserve_count", all().map(|of| Some(of.held))),
                text("working", all().map(|of| of.working.sum())),
            ],
        }
    }

    /// The counts beside the numbers that should have come off.
    #[must_use]
    pub fn checks(result: &Salvaged) -> Self {
        let all = || result.checks.iter();
        Self {
            name: "checks",
            columns: vec![
                text("unit", all().map(|of| unit(&of.unit))),
                count("expected_count", all().map(|of| Some(of.expected))),
                count("came_off_count", all().map(|of| Some(of.counted))),
                figure("difference_percent", all().map(|of| Some(of.difference_share * 100.0))),
                text("differs", all().map(|of| yes_or_no(of.differs))),
                text("working", all().map(|of| of.working.sum())),
            ],
        }
    }

    /// Which old formats may be laid for which new ones.
    #[must_use]
    pub fn fits(result: &Salvaged) -> Self {
        let all = || result.shared.fits.iter();
        Self {
            name: "fits",
            columns: vec![
                text("old_format", all().map(|of| of.old.clone())),
                text("format", all().map(|of| of.new.clone())),
                text("allowed", all().map(|of| yes_or_no(of.allowed))),
                text("message", all().map(|of| of.reason.clone())),
            ],
        }
    }

    /// The ways out if what is short cannot be bought.
    #[must_use]
    pub fn alternatives(result: &Salvaged) -> Self {
        let all = || result.alternatives.iter();
        Self {
            name: "alternatives",
            columns: vec![
                text("other_covering", all().map(|of| of.other_covering.join("; "))),
                count("gone_count", all().map(|of| Some(of.needs_gone))),
                text("freed_units", all().map(|of| counts(&of.freed))),
                count("bought_count", all().map(|of| Some(of.still_to_buy))),
                text("left_units", all().map(|of| counts(&of.left))),
            ],
        }
    }

    /// What a tally has counted, by day and unit.
    #[must_use]
    pub fn tally(days: &[DayCount]) -> Self {
        let all = || days.iter();
        Self {
            name: "tally",
            columns: vec![
                text("day", all().map(|of| of.day.clone())),
                text("unit", all().map(|of| unit(&of.unit))),
                count("sound_count", all().map(|of| Some(of.sound))),
                count("doubtful_count", all().map(|of| Some(of.doubtful))),
                count("broken_count", all().map(|of| Some(of.broken))),
            ],
        }
    }
}

/// `24 plain-265x165 whole; 3 plain-265x165 eaves`: units of different sorts are never added up.
fn counts(all: &[UnitCount]) -> String {
    let each: Vec<String> = all.iter().map(UnitCount::to_string).collect();
    each.join("; ")
}

fn yes_or_no(is_so: bool) -> String {
    if is_so { "yes" } else { "no" }.to_owned()
}
