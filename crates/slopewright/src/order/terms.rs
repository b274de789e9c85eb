//! What is wanted, and on what terms it is ordered.

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::prices::without_size;
use super::{RoundingPlace, Spare};
use crate::error::{Fault, FaultKind};
use crate::quantity::MoneyRounding;
use crate::salvage::{Fields, Portion, Shortage};
use crate::takeoff::Part;

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
    /// The part of the roof that it is for, where a take-off says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<Part>,
}

impl Wanted {
    /// A count without a range.
    #[must_use]
    pub fn exactly(item: impl Into<String>, count: u64) -> Self {
        Self { item: item.into(), low: count, likely: count, high: count, mass_each_kg: None, part: None }
    }

    /// For a part of the roof.
    #[must_use]
    pub fn of_part(self, part: Part) -> Self {
        Self { part: Some(part), ..self }
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
            ..Self::exactly(short.unit.to_string(), short.to_buy).of_part(Part::Covering)
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

/// The spare of one item, or of all items for a part of the roof, where it is not the same as for the rest. That of an
/// item goes before that of its part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ItemSpare {
    /// Which item ...
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// ... or which part: the units of covering, say, that a breakage is known of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<Part>,
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

impl ItemSpare {
    /// The spare of one item.
    #[must_use]
    pub fn of_item(item: impl Into<String>, spare: Spare) -> Self {
        Self { item: Some(item.into()), part: None, spare }
    }

    /// The spare of all items for a part of the roof.
    #[must_use]
    pub const fn of_part(part: Part, spare: Spare) -> Self {
        Self { item: None, part: Some(part), spare }
    }

    fn is_of_item(&self, name: &str) -> bool {
        self.item.as_deref() == Some(name)
    }
}

/// An amount or a mass, written as a text so that it stays exact.
#[derive(Deserialize)]
pub(super) struct Amount(#[serde(with = "rust_decimal::serde::str")] pub(super) Decimal);

impl Terms {
    /// Reads terms field by field, so that all faults are told.
    pub(super) fn read(fields: &mut Fields) -> Option<Self> {
        let rounding = fields.needed("rounding");
        let rounding_place = fields.needed("rounding_place");
        let amount = |amount: Amount| amount.0;
        // What cannot be read is a fault, whatever stands in its place here.
        let rest = Self {
            discount: fields.one("discount").unwrap_or_default(),
            count_on: fields.one("count_on").unwrap_or_default(),
            spare: fields.one("spare").unwrap_or_default(),
            spares: fields.list("spares"),
            lift_kg: fields.one("lift_kg").map(amount),
            least_value: fields.one("least_value").map(amount),
            ..Self::new(MoneyRounding::HalfUp, RoundingPlace::PerLine)
        };
        Some(Self { rounding: rounding?, rounding_place: rounding_place?, ..rest })
    }

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

    /// The spare of an item: its own, that of its name without the size, that of the part it is for, that of all.
    #[must_use]
    pub fn spare_for(&self, item: &str, part: Option<Part>) -> Spare {
        let own = |name: &str| self.spares.iter().find(|of| of.is_of_item(name));
        let of_its_part =
            || self.spares.iter().find(|of| of.item.is_none() && of.part.is_some() && of.part == part);
        let found = own(item).or_else(|| own(without_size(item)?)).or_else(of_its_part);
        found.map_or(self.spare, |of| of.spare)
    }

    /// A fault for each spare that does not say what it is of.
    pub(super) fn check_spares(&self, faults: &mut Vec<Fault>) {
        for (number, of) in (1..).zip(&self.spares) {
            let problem = match (&of.item, of.part) {
                (Some(_), Some(_)) => "names both an item and a part",
                (None, None) => "names neither an item nor a part",
                _ => continue,
            };
            let fault =
                Fault::new(FaultKind::OrderUnreadable, problem).allowed("an item, or a part of the roof");
            faults.push(fault.at(format!("terms, spares {number}")).advice("name one of the two"));
        }
    }
}
