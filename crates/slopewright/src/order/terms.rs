//! What is wanted, and on what terms it is ordered.

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::{RoundingPlace, Spare};
use crate::quantity::MoneyRounding;
use crate::salvage::{Portion, Shortage};

/// Something to order: the likely count, and what it comes to if every length is a little less or more than taped.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wanted {
    /// What it is, as in the price list.
    pub item: String,
    /// The count if every length is shorter by the tape's tolerance.
    pub low: u64,
    /// The count as taped.
    pub likely: u64,
    /// The count if every length is longer.
    pub high: u64,
    /// The mass of one, in kilograms; the price list's own figure goes before it.
    #[serde(default, with = "rust_decimal::serde::str_option", skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub mass_each_kg: Option<Decimal>,
}

impl Wanted {
    /// A count without a range.
    #[must_use]
    pub fn exactly(item: impl Into<String>, count: u64) -> Self {
        Self { item: item.into(), low: count, likely: count, high: count, mass_each_kg: None }
    }

    pub(super) const fn on(&self, basis: CountOn) -> u64 {
        match basis {
            CountOn::Low => self.low,
            CountOn::Likely => self.likely,
            CountOn::High => self.high,
        }
    }
}

impl From<&Shortage> for Wanted {
    fn from(short: &Shortage) -> Self {
        /// Milligrams are finer than any balance on a site.
        const MASS_DECIMALS: u32 = 6;
        let mass = short.mass_each_kg.and_then(Decimal::from_f64_retain);
        Self {
            mass_each_kg: mass.map(|mass| mass.round_dp(MASS_DECIMALS).normalize()),
            ..Self::exactly(short.unit.to_string(), short.to_buy)
        }
    }
}

/// Which end of the range is ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CountOn {
    /// The low end.
    Low,
    /// The count as taped.
    #[default]
    Likely,
    /// The high end.
    High,
}

/// The spare of one item, where it is not the same as for the rest.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ItemSpare {
    /// Which item.
    pub item: String,
    /// How much more.
    pub spare: Spare,
}

/// How the order is made up. Rounding has no default: whoever orders says how.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Terms {
    /// How amounts are rounded.
    pub rounding: MoneyRounding,
    /// Where.
    pub rounding_place: RoundingPlace,
    /// A discount on everything, after that of each row.
    #[serde(default)]
    pub discount: Portion,
    /// Which end of the range is ordered.
    #[serde(default)]
    pub count_on: CountOn,
    /// How much more is ordered than is needed.
    #[serde(default)]
    pub spare: Spare,
    /// Other spares for single items.
    #[serde(default)]
    pub spares: Vec<ItemSpare>,
    /// What one lift (hoist, crane, telehandler) may carry, in kilograms. The figure is the machine's own for the
    /// reach it works at; whoever runs it answers for it.
    #[serde(default, with = "rust_decimal::serde::str_option", skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub lift_kg: Option<Decimal>,
    /// The least net value that is delivered.
    #[serde(default, with = "rust_decimal::serde::str_option", skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub least_value: Option<Decimal>,
}

impl Terms {
    /// Terms with nothing but a way of rounding.
    #[must_use]
    pub const fn new(rounding: MoneyRounding, rounding_place: RoundingPlace) -> Self {
        Self {
            rounding,
            rounding_place,
            discount: Portion::NONE,
            count_on: CountOn::Likely,
            spare: Spare::None,
            spares: Vec::new(),
            lift_kg: None,
            least_value: None,
        }
    }

    /// The spare of an item.
    #[must_use]
    pub fn spare_for(&self, item: &str) -> Spare {
        self.spares.iter().find(|of| of.item == item).map_or(self.spare, |of| of.spare)
    }
}
