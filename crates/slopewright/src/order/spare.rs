//! How many more to order than are needed: a stated allowance, or enough for the breakages at a stated sureness.

use serde::{Deserialize, Serialize};

use crate::error::{Fault, FaultKind, Result};
use crate::quantity::figure;
use crate::reason::Working;
use crate::salvage::chance::{Binomial, Counted as _};
use crate::salvage::{MOST_UNITS, Portion, check_sureness};

/// How much more to order than is needed.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "by", deny_unknown_fields)]
pub enum Spare {
    /// Nothing more.
    #[default]
    None,
    /// A stated part of what is needed, rounded up.
    Allowance {
        /// Which part.
        part: Portion,
    },
    /// As many as keep the risk of running out low. Each unit is taken to break on its own; a pallet that is
    /// dropped is another matter, and no sureness covers it.
    Risk {
        /// The part that breaks in delivery and handling, each unit for itself.
        breakage: Portion,
        /// The sureness of having enough: 0.95 is 95 %.
        sureness: f64,
    },
}

impl Spare {
    /// How many to order for a need, and why.
    ///
    /// # Errors
    /// If the sureness is not one, or so much breaks that no sensible number is enough.
    pub fn order_for(self, need: u64) -> Result<(u64, Working)> {
        match self {
            Self::None => Ok((need, Working::new("to order", "need", need.to_string(), need.to_string()))),
            Self::Allowance { part } => {
                let ordered = need.saturating_add(part.of(need));
                let numbers = format!("need {need}, allowance {part}");
                Ok((
                    ordered,
                    Working::new("to order", "need + allowance, rounded up", numbers, ordered.to_string()),
                ))
            }
            Self::Risk { breakage, sureness } => {
                check_sureness(sureness)?;
                let ordered = least_order(need, breakage, sureness).ok_or_else(|| {
                    Fault::new(FaultKind::SpareImpossible, "so much breaks that no order is enough")
                        .given(format!("need {need}, breakage {breakage}, sureness {sureness}"))
                        .allowed(format!("orders up to {MOST_UNITS}"))
                })?;
                let numbers = format!(
                    "need {need}, breakage {breakage}, sureness {} %; chance of running out {} %",
                    figure(sureness * 100.0, 3),
                    figure(chance_short(need, ordered, breakage) * 100.0, 2)
                );
                Ok((
                    ordered,
                    Working::new(
                        "to order",
                        "the least number of which enough arrive sound with the sureness (binomial)",
                        numbers,
                        ordered.to_string(),
                    ),
                ))
            }
        }
    }

    /// The breakage it reckons with, if it does.
    #[must_use]
    pub const fn breakage(self) -> Option<Portion> {
        match self {
            Self::Risk { breakage, .. } => Some(breakage),
            Self::None | Self::Allowance { .. } => None,
        }
    }
}

/// The chance that fewer than `need` of `ordered` arrive sound, if each breaks with the same chance on its own.
///
/// ```
/// use slopewright::order::chance_short;
/// // One breakage in ten uses up the only spare one: 1 - 0.9^2 - 2 x 0.1 x 0.9.
/// assert!((chance_short(1, 2, "10 %".parse()?) - 0.01).abs() < 1e-12);
/// # Ok::<(), slopewright::Error>(())
/// ```
#[must_use]
pub fn chance_short(need: u64, ordered: u64, breakage: Portion) -> f64 {
    match ordered.checked_sub(need) {
        None => 1.0,
        Some(spare) => Binomial::new(ordered, breakage.chance()).map_or(1.0, |broken| broken.sf(spare)),
    }
}

/// The least order of which `need` arrive sound with the sureness; `None` if it is beyond all measure.
fn least_order(need: u64, breakage: Portion, sureness: f64) -> Option<u64> {
    let enough = |ordered: u64| chance_short(need, ordered, breakage) <= 1.0 - sureness;
    if enough(need) {
        return Some(need);
    }
    let mut low = need;
    let mut high = need.saturating_add(1);
    let mut step = 1_u64;
    while !enough(high) {
        if high >= MOST_UNITS {
            return None;
        }
        low = high;
        step = step.saturating_mul(2);
        high = high.saturating_add(step).min(MOST_UNITS);
    }
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if enough(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}
