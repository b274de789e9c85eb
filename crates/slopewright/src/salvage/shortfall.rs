//! What must be bought; and, where it cannot be, which slopes could be covered whole in something else, so that
//! their old units are free for the rest.

use core::fmt;
use std::collections::BTreeMap;

use serde::Serialize;

use super::{Need, Shared, Sharing, Supply, UnitKey, share};
use crate::error::Result;
use crate::quantity::MassIn;

/// So many units of one sort to buy.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Shortage {
    /// The unit as it is bought (a cut unit is bought whole).
    pub unit: UnitKey,
    /// How many are needed.
    pub needed: u64,
    /// How many of those old units meet.
    pub met: u64,
    /// How many must be bought.
    pub to_buy: u64,
    /// The mass of one, in kilograms, where a need of it says so. A cut unit's mass is not that of the whole one.
    pub mass_each_kg: Option<f64>,
}

/// Some slopes covered whole in something else, and what that does for the rest.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Alternative {
    /// The slopes that get another covering.
    pub other_covering: Vec<String>,
    /// How many units are needed no more, since the other covering takes their place.
    pub needs_gone: u64,
    /// The old units that become free for the rest, by unit.
    pub freed: Vec<UnitCount>,
    /// What must still be bought for the rest, in all.
    pub still_to_buy: u64,
    /// The same by unit.
    pub shortages: Vec<Shortage>,
    /// The old units that are left over then, by unit.
    pub left: Vec<UnitCount>,
}

/// So many old units of one sort.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct UnitCount {
    /// The unit.
    pub unit: UnitKey,
    /// How many; over nought.
    pub count: u64,
}

impl UnitCount {
    /// Counts added up unit by unit, in the order of the units; nought is left out.
    fn sums<'a>(counts: impl Iterator<Item = (&'a UnitKey, u64)>) -> Vec<Self> {
        let mut sums: BTreeMap<&UnitKey, u64> = BTreeMap::new();
        for (unit, count) in counts.filter(|(_, count)| *count > 0) {
            *sums.entry(unit).or_default() += count;
        }
        sums.into_iter().map(|(unit, count)| Self { unit: unit.clone(), count }).collect()
    }
}

impl fmt::Display for UnitCount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.count, self.unit)
    }
}

/// How large the sets are that are tried, by the number of slopes, so that an answer takes no time to notice.
const fn largest_set(slopes: usize) -> usize {
    match slopes {
        0..=10 => slopes,
        11..=30 => 3,
        31..=100 => 2,
        _ => 1,
    }
}

impl Shared {
    /// What must be bought, by unit, in the order of the needs.
    #[must_use]
    pub fn shortages(&self) -> Vec<Shortage> {
        let mut all: Vec<Shortage> = Vec::new();
        for row in &self.needs {
            let unit = row.need.unit.bought_as();
            let mass_each_kg = row.need.mass_each.filter(|_| unit == row.need.unit).map(MassIn::kg);
            match all.iter_mut().find(|short| short.unit == unit) {
                Some(short) => {
                    short.needed += row.need.count;
                    short.met += row.met;
                    short.to_buy += row.bought;
                    short.mass_each_kg = short.mass_each_kg.or(mass_each_kg);
                }
                None => {
                    all.push(Shortage {
                        unit,
                        needed: row.need.count,
                        met: row.met,
                        to_buy: row.bought,
                        mass_each_kg,
                    });
                }
            }
        }
        all
    }

    /// Whether the old units are enough, in a few lines: one for all, then one for each unit.
    #[must_use]
    pub fn answer(&self) -> Vec<String> {
        let shortages = self.shortages();
        let short: u64 = shortages.iter().map(|of| of.to_buy).sum();
        let needed: u64 = shortages.iter().map(|of| of.needed).sum();
        let held: u64 = self.supplies.iter().map(|of| of.reserve).sum();
        let mut lines = vec![if short == 0 {
            format!("Have we enough? Yes: {needed} needed, all met from old units, {held} held back.")
        } else {
            format!("Have we enough? No: {short} of {needed} must be bought, {held} held back.")
        }];
        for of in shortages.iter().filter(|of| of.needed > 0) {
            lines.push(format!("{}: {} needed, {} met, {} to buy", of.unit, of.needed, of.met, of.to_buy));
        }
        lines
    }
}

/// The ways out if nothing can be bought: sets of slopes to cover whole in something else. Every single slope is shown,
/// and beyond that each set after which nothing is short and from which no slope can be taken away. Those that
/// end the shortage come first, the ones with the fewest units in another covering before the others. Up to ten slopes
/// every set is tried, up to thirty those of three at most, up to a hundred pairs.
///
/// # Errors
/// As [`share`].
pub fn alternatives(supplies: &[Supply], needs: &[Need], how: &Sharing) -> Result<Vec<Alternative>> {
    let before = share(supplies, needs, how)?;
    if before.needs.iter().all(|row| row.bought == 0) {
        return Ok(Vec::new());
    }
    let mut places: Vec<String> = Vec::new();
    for need in needs.iter().filter(|need| need.count > 0) {
        if !places.contains(&need.place()) {
            places.push(need.place());
        }
    }
    let mut ended: Vec<Vec<usize>> = Vec::new();
    let mut all = Vec::new();
    for set in sets(places.len()) {
        if ended.iter().any(|smaller| smaller.iter().all(|at| set.contains(at))) {
            continue;
        }
        let names: Vec<String> = set.iter().filter_map(|at| places.get(*at).cloned()).collect();
        let (gone, rest): (Vec<Need>, Vec<Need>) =
            needs.iter().cloned().partition(|need| names.contains(&need.place()));
        let after = share(supplies, &rest, how)?;
        let shortages: Vec<Shortage> = after.shortages().into_iter().filter(|of| of.to_buy > 0).collect();
        let still_to_buy = shortages.iter().map(|of| of.to_buy).sum();
        if still_to_buy == 0 {
            ended.push(set.clone());
        } else if set.len() > 1 {
            continue;
        }
        let given_up = before.needs.iter().filter(|row| names.contains(&row.need.place()));
        let freed =
            UnitCount::sums(given_up.flat_map(|row| &row.taken).map(|taken| (&taken.unit, taken.used)));
        let left = UnitCount::sums(after.supplies.iter().map(|of| (&of.supply.unit, of.left)));
        all.push(Alternative {
            other_covering: names,
            needs_gone: gone.iter().map(|need| need.count).sum(),
            freed,
            still_to_buy,
            shortages,
            left,
        });
    }
    all.sort_by_key(|of| (of.still_to_buy > 0, of.needs_gone, of.still_to_buy));
    Ok(all)
}

/// Sets of slopes, small ones first.
fn sets(count: usize) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = Vec::new();
    let mut last: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..largest_set(count) {
        last = last
            .iter()
            .flat_map(|set| {
                let from = set.last().map_or(0, |at| at + 1);
                (from..count).map(|at| set.iter().copied().chain([at]).collect())
            })
            .collect();
        all.extend(last.iter().cloned());
    }
    all
}
