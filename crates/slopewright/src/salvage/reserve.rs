//! Units held back for later repairs.

use serde::{Deserialize, Serialize};

use super::chance::{Counted as _, Poisson, real};
use super::{UnitKey, limits};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::figure;
use crate::reason::Working;

/// Units of one sort to be held back for the later repair of a roof.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reserve {
    /// Which roof they are for.
    pub roof: String,
    /// The unit.
    pub unit: UnitKey,
    /// How many.
    pub hold: Hold,
    /// Whether they are held back before anything is laid, or only from what is left.
    #[serde(default)]
    pub turn: Turn,
}

/// How many to hold back.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "by", deny_unknown_fields)]
pub enum Hold {
    /// A stated number.
    Number {
        /// How many.
        count: u64,
    },
    /// Enough for the breakages of some years, at a stated sureness.
    Breakage {
        /// How many units are laid on that roof.
        laid: u64,
        /// How many of a thousand break in a year.
        per_thousand_a_year: f64,
        /// For how many years.
        years: f64,
        /// The sureness that the reserve lasts: 0.95 is 95 %.
        sureness: f64,
    },
}

/// When a reserve is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Turn {
    /// Before the slopes: what can no longer be bought must not all be laid.
    #[default]
    First,
    /// From what the slopes leave.
    Last,
}

/// The most that a mean number of breakages may be.
const MOST_BREAKAGES: f64 = 1e9;

impl Hold {
    /// How many that is, and why.
    ///
    /// # Errors
    /// If a rate or a number of years is negative or not finite, or the sureness is not one.
    pub fn wanted(&self) -> Result<(u64, Working)> {
        match *self {
            Self::Number { count } => {
                let mut faults = Vec::new();
                limits::count(count, "count", &mut faults);
                Error::check(faults)?;
                Ok((count, Working::new("held back", "as stated", "", count.to_string())))
            }
            Self::Breakage { laid, per_thousand_a_year, years, sureness } => {
                let mean = real(laid) / 1000.0 * per_thousand_a_year * years;
                let mut faults = Vec::new();
                limits::count(laid, "laid", &mut faults);
                for (place, value) in
                    [("breakages per thousand a year", per_thousand_a_year), ("years", years)]
                {
                    if !(value >= 0.0 && value.is_finite()) {
                        faults.push(
                            Fault::new(FaultKind::NotFinite, "is not a rate or a number of years")
                                .at(place)
                                .given(value)
                                .allowed("0 or more"),
                        );
                    }
                }
                faults.extend(limits::sureness(sureness).err().into_iter().flat_map(Error::into_faults));
                if faults.is_empty() && mean > MOST_BREAKAGES {
                    faults.push(
                        Fault::new(FaultKind::CountTooLarge, "gives too many breakages")
                            .given(mean)
                            .allowed(format!("0 to {MOST_BREAKAGES}")),
                    );
                }
                Error::check(faults)?;
                let wanted = Poisson::new(mean).map_or(0, |breakages| breakages.quantile(sureness));
                let working = Working::new(
                    "held back",
                    "the number of breakages not exceeded with the sureness; mean = laid / 1000 x rate x years (Poisson)",
                    format!(
                        "laid {laid}, {per_thousand_a_year} in a thousand a year, {years} years, mean {}, sureness {} %",
                        figure(mean, 2),
                        figure(sureness * 100.0, 3)
                    ),
                    wanted.to_string(),
                );
                Ok((wanted, working))
            }
        }
    }
}
