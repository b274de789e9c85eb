//! Counting what came off: by grade, by stacks, or by a sample; and what of it can be relied on.

use serde::{Deserialize, Serialize};

use super::chance::{Binomial, Counted as _};
use super::{Inspection, Portion, UnitKey, limits};
use crate::error::{Error, Fault, Result};
use crate::reason::{IntoText as _, Working};

/// How good an old unit is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Grade {
    /// Fit to be laid again.
    Sound,
    /// To be looked at again: lamination, a worn nib, a dull ring.
    Doubtful,
    /// Not fit.
    Broken,
}

/// Some old units of one sort, and how they were counted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Heap {
    /// What it is called on the site.
    #[serde(default)]
    pub label: String,
    /// The unit.
    pub unit: UnitKey,
    /// How it was counted.
    pub counted: Counting,
}

/// How a heap was counted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "by")]
#[non_exhaustive]
#[serde(deny_unknown_fields)]
pub enum Counting {
    /// Every unit, by grade.
    Grades {
        /// Fit to be laid again.
        sound: u64,
        /// To be looked at again.
        #[serde(default)]
        doubtful: u64,
        /// Not fit.
        #[serde(default)]
        broken: u64,
    },
    /// Sorted stacks of one grade.
    Stacks {
        /// How many full stacks.
        stacks: u64,
        /// How many in each.
        per_stack: u64,
        /// How many beside them.
        #[serde(default)]
        loose: u64,
        /// Their grade.
        grade: Grade,
    },
    /// A heap, of which a sample was inspected.
    Sample {
        /// How many in all.
        lot: u64,
        /// How many of them were inspected.
        inspected: u64,
        /// How many of those were sound.
        sound: u64,
    },
    /// Unsorted stacks, of which a sample was inspected.
    SampledStacks {
        /// How many full stacks.
        stacks: u64,
        /// How many in each.
        per_stack: u64,
        /// How many beside them.
        #[serde(default)]
        loose: u64,
        /// How many were inspected, from all stacks.
        inspected: u64,
        /// How many of those were sound.
        sound: u64,
    },
}

/// What to count on where not everything is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "on", deny_unknown_fields)]
pub enum Basis {
    /// What is likely: the share seen.
    Likely,
    /// What holds with a stated sureness.
    Sure {
        /// Over 0 and under 1: 0.95 is 95 %.
        sureness: f64,
    },
}

/// How to reckon with what was counted.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reckoning {
    /// What to count on.
    pub basis: Basis,
    /// Whether doubtful units are laid again. If not, they are set aside.
    #[serde(default)]
    pub lay_doubtful: bool,
    /// The part of the sound units that breaks in carrying, stacking and sorting.
    #[serde(default)]
    pub handling_loss: Portion,
    /// The part of the rest that breaks while it is fixed again.
    #[serde(default)]
    pub refixing_loss: Portion,
}

impl Reckoning {
    /// What is likely, nothing doubtful, nothing lost.
    pub const LIKELY: Self = Self {
        basis: Basis::Likely,
        lay_doubtful: false,
        handling_loss: Portion::NONE,
        refixing_loss: Portion::NONE,
    };

    /// Both losses, one after the other.
    fn loss(&self) -> Portion {
        self.handling_loss.then(self.refixing_loss)
    }

    /// The sureness for each of so many sampled heaps, and for the losses if there are any, that makes the stated one
    /// for all of them together.
    pub(super) fn sureness_of_each(&self, sampled: usize) -> Option<f64> {
        let uncertain = sampled + usize::from(self.loss() > Portion::NONE);
        match self.basis {
            Basis::Likely => None,
            Basis::Sure { sureness } => {
                let parts = u32::try_from(uncertain.max(1)).unwrap_or(u32::MAX);
                Some(1.0 - (1.0 - sureness) / f64::from(parts))
            }
        }
    }
}

impl Heap {
    /// The sample, if it was counted by one.
    ///
    /// # Errors
    /// If its counts do not fit one another or are too large.
    pub fn inspection(&self) -> Result<Option<Inspection>> {
        match Seen::read(self)? {
            Seen::Sampled { inspection, .. } => Ok(Some(inspection)),
            Seen::Known { .. } => Ok(None),
        }
    }
}

/// What there is of one unit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Supply {
    /// The unit.
    pub unit: UnitKey,
    /// How many came off: broken, set aside and salvaged.
    pub came_off: u64,
    /// How many are not fit.
    pub broken: u64,
    /// How many are doubtful, or in a heap that was only sampled and not to be relied on.
    pub set_aside: u64,
    /// How many are counted on as sound, before losses.
    pub salvaged: u64,
    /// How many of those are lost in handling and fixing.
    pub lost: u64,
    /// How it was reached.
    pub working: Vec<Working>,
}

impl Supply {
    /// How many can be laid or kept.
    #[must_use]
    pub const fn usable(&self) -> u64 {
        self.salvaged.saturating_sub(self.lost)
    }
}

/// Adds heaps up by unit, in the order in which the units first appear.
///
/// With a stated sureness the risk is shared out equally over everything of that unit which is uncertain (each
/// sampled heap, and the losses), so that the number left to lay holds with that sureness as a whole.
///
/// # Errors
/// If counts do not fit one another or are too large, or the sureness is not one. All faults at once.
pub fn count(heaps: &[Heap], reckoning: Reckoning) -> Result<Vec<Supply>> {
    let mut faults = Vec::new();
    limits::rows(heaps.len(), "heaps", &mut faults);
    if let Basis::Sure { sureness } = reckoning.basis {
        faults.extend(
            limits::sureness(sureness).err().into_iter().flat_map(|e| e.at("reckoning").into_faults()),
        );
    }
    let mut read: Vec<(&UnitKey, Vec<Seen>)> = Vec::new();
    for (number, heap) in heaps.iter().enumerate() {
        match Seen::read(heap) {
            Ok(seen) => match read.iter_mut().find(|(unit, _)| **unit == heap.unit) {
                Some((_, all)) => all.push(seen),
                None => read.push((&heap.unit, vec![seen])),
            },
            Err(error) => {
                let place = if heap.label.is_empty() {
                    format!("heap {}", number + 1)
                } else {
                    format!("heap {} '{}'", number + 1, heap.label)
                };
                faults.extend(error.at(place).into_faults());
            }
        }
    }
    Error::check(faults)?;
    read.into_iter().map(|(unit, seen)| supply(unit, &seen, reckoning)).collect()
}

/// A heap as read: either known by grade, or sampled.
enum Seen {
    Known { label: String, sound: u64, doubtful: u64, broken: u64 },
    Sampled { label: String, inspection: Inspection },
}

impl Seen {
    fn read(heap: &Heap) -> Result<Self> {
        let mut faults = Vec::new();
        let label = heap.label.clone();
        let stacked = |stacks: u64, per_stack: u64, loose: u64, faults: &mut Vec<Fault>| {
            let total = stacks.saturating_mul(per_stack).saturating_add(loose);
            limits::count(total, "stacks x per stack + loose", faults);
            total
        };
        match heap.counted {
            Counting::Grades { sound, doubtful, broken } => {
                limits::count(sound, "sound", &mut faults);
                limits::count(doubtful, "doubtful", &mut faults);
                limits::count(broken, "broken", &mut faults);
                Error::check(faults)?;
                Ok(Self::Known { label, sound, doubtful, broken })
            }
            Counting::Stacks { stacks, per_stack, loose, grade } => {
                let total = stacked(stacks, per_stack, loose, &mut faults);
                Error::check(faults)?;
                let of = |wanted: Grade| if grade == wanted { total } else { 0 };
                let (sound, doubtful, broken) = (of(Grade::Sound), of(Grade::Doubtful), of(Grade::Broken));
                Ok(Self::Known { label, sound, doubtful, broken })
            }
            Counting::Sample { lot, inspected, sound } => {
                Ok(Self::Sampled { label, inspection: Inspection::new(lot, inspected, sound)? })
            }
            Counting::SampledStacks { stacks, per_stack, loose, inspected, sound } => {
                let lot = stacked(stacks, per_stack, loose, &mut faults);
                Error::check(faults)?;
                Ok(Self::Sampled { label, inspection: Inspection::new(lot, inspected, sound)? })
            }
        }
    }
}

fn supply(unit: &UnitKey, heaps: &[Seen], reckoning: Reckoning) -> Result<Supply> {
    let mut of = Supply {
        unit: unit.clone(),
        came_off: 0,
        broken: 0,
        set_aside: 0,
        salvaged: 0,
        lost: 0,
        working: Vec::new(),
    };
    let loss = reckoning.loss();
    let sampled = heaps.iter().filter(|heap| matches!(heap, Seen::Sampled { .. })).count();
    let each = reckoning.sureness_of_each(sampled);
    for heap in heaps {
        match heap {
            Seen::Known { label, sound, doubtful, broken } => {
                let laid = if reckoning.lay_doubtful { sound + doubtful } else { *sound };
                of.broken += broken;
                of.salvaged += laid;
                of.set_aside += sound + doubtful - laid;
                of.working.push(Working::new(
                    named(label, "counted"),
                    if reckoning.lay_doubtful { "sound + doubtful" } else { "sound" },
                    format!("sound {sound}, doubtful {doubtful}, broken {broken}"),
                    laid.to_string(),
                ));
            }
            Seen::Sampled { label, inspection } => {
                let relied_on = match each {
                    None => inspection.likely(),
                    Some(sureness) => inspection.at_least(sureness)?,
                };
                let unsound = inspection.inspected() - inspection.sound();
                of.broken += unsound;
                of.salvaged += relied_on;
                of.set_aside += inspection.lot() - unsound - relied_on;
                let mut working = inspection.working(each.unwrap_or(0.5))?;
                if each.is_none() {
                    working.formula = "lot x sound / inspected, rounded down".into_text();
                    working.result = relied_on.to_string().into();
                }
                working.what = named(label, &working.what).into();
                of.working.push(working);
            }
        }
    }
    of.came_off = of.broken + of.set_aside + of.salvaged;
    let mut faults = Vec::new();
    limits::count(of.came_off, "the sum of its heaps", &mut faults);
    Error::check(faults).map_err(|error| error.at(unit))?;
    of.lost = lost(of.salvaged, loss, each);
    if loss > Portion::NONE {
        of.working.push(Working::new(
            "lost in handling and fixing",
            match each {
                None => "salvaged x (1 - (1 - handling)(1 - fixing)), rounded up",
                Some(_) => "the number of breakages not exceeded with the sureness (binomial)",
            },
            format!(
                "salvaged {}, handling {}, fixing {}{}",
                of.salvaged,
                reckoning.handling_loss,
                reckoning.refixing_loss,
                each.map(|sureness| format!(", sureness {} %", crate::quantity::figure(sureness * 100.0, 3)))
                    .unwrap_or_default()
            ),
            of.lost.to_string(),
        ));
    }
    Ok(of)
}

/// How many of `count` are lost, likely or with a sureness.
fn lost(count: u64, loss: Portion, sureness: Option<f64>) -> u64 {
    match sureness {
        None => loss.of(count),
        Some(sureness) => {
            Binomial::new(count, loss.chance()).map_or(count, |breakages| breakages.quantile(sureness))
        }
    }
}

fn named(label: &str, what: &str) -> String {
    if label.is_empty() { what.to_owned() } else { format!("'{label}': {what}") }
}
