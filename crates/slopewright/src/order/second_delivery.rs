//! A second delivery against a surplus: what each choice costs on average.

use rust_decimal::{Decimal, prelude::ToPrimitive as _};
use serde::{Deserialize, Serialize};

use super::spare::chance_short;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::salvage::chance::{Binomial, Counted as _, real};
use crate::salvage::{Portion, check_count};

/// What is weighed: each unit too many costs what it does not bring back, and running out costs a delivery.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SecondDelivery {
    /// How many are needed.
    pub need: u64,
    /// The part that breaks on the way and on the site.
    pub breakage: Portion,
    /// How many are in a pack; orders are whole packs.
    pub pack: u64,
    /// What one costs.
    #[serde(with = "rust_decimal::serde::str")]
    #[schemars(with = "String")]
    pub price_each: Decimal,
    /// The part of that price which one left over is still worth (taken back, kept for repairs).
    #[serde(default)]
    pub worth_left_over: Portion,
    /// What a second delivery costs, with the time the work stands still.
    #[serde(with = "rust_decimal::serde::str")]
    #[schemars(with = "String")]
    pub delivery: Decimal,
}

/// One number to order and what it costs on average beyond the units that are needed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DeliveryChoice {
    /// How many are ordered.
    pub ordered: u64,
    /// The chance that they are too few.
    pub chance_short: f64,
    /// How many are left over on average.
    pub left_over: f64,
    /// How many are missing on average.
    pub missing: f64,
    /// The cost of what is ordered beyond the need, less what the left-over ones are worth, on average.
    pub surplus_cost: f64,
    /// The cost of the second delivery and of what it brings, on average.
    pub delivery_cost: f64,
    /// Both together.
    pub cost: f64,
    /// Whether no other choice costs less.
    pub cheapest: bool,
}

/// The most choices that are shown.
const MOST_CHOICES: u64 = 200;
/// Running out with less than this chance, no further pack is worth a row.
const SAFE: f64 = 1e-6;

impl SecondDelivery {
    /// The choices, from the least order that could be enough upwards, a pack at a time.
    ///
    /// # Errors
    /// If a price is negative or far too large, a pack is empty, or a count too large.
    pub fn choices(&self) -> Result<Vec<DeliveryChoice>> {
        let mut faults = Vec::new();
        check_count(self.need, "need", &mut faults);
        check_count(self.pack, "pack", &mut faults);
        let mut price = |what: &str, value: Decimal| {
            let value = value.to_f64().unwrap_or(f64::NAN);
            if !(0.0..=1e12).contains(&value) {
                faults.push(
                    Fault::new(FaultKind::PriceOutOfRange, "is out of range")
                        .at(what)
                        .given(value)
                        .allowed("0 to 10^12"),
                );
            }
            value
        };
        let each = price("price of one", self.price_each);
        let delivery = price("second delivery", self.delivery);
        if self.pack == 0 {
            faults.push(
                Fault::new(FaultKind::PriceOutOfRange, "is empty").at("pack").given(0).allowed("1 or more"),
            );
        }
        Error::check(faults)?;
        let worth = each * self.worth_left_over.chance();
        let first = self.need.div_ceil(self.pack).saturating_mul(self.pack);
        let mut all = Vec::new();
        for step in 0..MOST_CHOICES {
            let ordered = first.saturating_add(step.saturating_mul(self.pack));
            let (left_over, missing) = self.expected(ordered);
            let chance_short = chance_short(self.need, ordered, self.breakage);
            let surplus_cost = real(ordered.saturating_sub(self.need)) * each - left_over * worth;
            let delivery_cost = chance_short * delivery + missing * each;
            let cost = surplus_cost + delivery_cost;
            all.push(DeliveryChoice {
                ordered,
                chance_short,
                left_over,
                missing,
                surplus_cost,
                delivery_cost,
                cost,
                cheapest: false,
            });
            if chance_short < SAFE {
                break;
            }
        }
        if let Some(best) = all.iter_mut().min_by(|a, b| a.cost.total_cmp(&b.cost)) {
            best.cheapest = true;
        }
        Ok(all)
    }

    /// How many are left over and how many missing, on average. The mean of a binomial below a point is again a binomial
    /// sum, of one trial fewer; and left over less missing is the mean of what is sound less the need.
    fn expected(&self, ordered: u64) -> (f64, f64) {
        let whole = 1.0 - self.breakage.chance();
        let below = |trials: u64, point: Option<u64>| {
            point.and_then(|point| Some(Binomial::new(trials, whole)?.cdf(point))).unwrap_or(0.0)
        };
        let mean = real(ordered) * whole;
        let need = real(self.need);
        let missing = need * below(ordered, self.need.checked_sub(1))
            - mean * below(ordered.saturating_sub(1), self.need.checked_sub(2));
        let missing = missing.max(0.0);
        ((mean - need + missing).max(0.0), missing)
    }
}
