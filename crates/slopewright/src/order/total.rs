//! Discount, tax and rounding: from the lines to what is to be paid.

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::PriceRow;
use crate::error::{Fault, FaultKind, Result};
use crate::quantity::{Currency, Money, MoneyRounding};
use crate::salvage::Portion;

/// Where amounts are rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RoundingPlace {
    /// Each line's net and each line's tax are rounded; the totals are the sums of the rounded lines.
    PerLine,
    /// The lines stay exact; the net total and the tax at each rate are rounded.
    PerTotal,
}

impl RoundingPlace {
    /// Both places.
    pub const ALL: [Self; 2] = [Self::PerLine, Self::PerTotal];
}

/// The tax at one rate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct TaxRow {
    /// The rate.
    pub rate: Portion,
    /// The net amount that bears it.
    #[schemars(with = "String")]
    pub net: Decimal,
    /// The tax.
    #[schemars(with = "String")]
    pub tax: Decimal,
}

/// What is to be paid.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Total {
    /// The currency.
    pub currency: String,
    /// Before tax.
    #[schemars(with = "String")]
    pub net: Decimal,
    /// The tax by rate, in the order of the rates.
    pub taxes: Vec<TaxRow>,
    /// All tax.
    #[schemars(with = "String")]
    pub tax: Decimal,
    /// What is to be paid.
    #[schemars(with = "String")]
    pub gross: Decimal,
}

/// One line's amounts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Amounts {
    /// After both discounts.
    pub net: Decimal,
    /// The rate.
    pub rate: Portion,
    /// The tax on it.
    pub tax: Decimal,
    /// Whether the net has no end as a decimal (a price for three), so that its last digits are not exact.
    pub endless: bool,
}

/// The way of rounding.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rounded {
    pub currency: Currency,
    pub mode: MoneyRounding,
    pub place: RoundingPlace,
}

/// The largest amount of a line: below it a decimal still has a dozen digits behind the point.
const MOST_AMOUNT: u64 = 1_000_000_000_000_000;

/// Of the 28 digits of a decimal, those that are right after an endless division and the sums that follow it.
const SAFE_DIGITS: u32 = 24;

impl Rounded {
    fn round(self, amount: Decimal) -> Decimal {
        Money::new(amount, self.currency).rounded(self.mode).amount
    }

    /// Rounds an amount whose last digits may be the trace of an endless decimal: 0.4999... is the half that it stands for.
    fn round_endless(self, amount: Decimal, endless: bool) -> Decimal {
        self.round(if endless { amount.round_sf(SAFE_DIGITS).unwrap_or(amount) } else { amount })
    }

    /// The amounts of one line.
    pub(super) fn line(self, row: &PriceRow, units: u64, discount: Portion) -> Result<Amounts> {
        // Divided last, so that nothing is rounded before it must be.
        let net = Decimal::from(units)
            .checked_mul(row.price)
            .and_then(|amount| amount.checked_mul(row.discount.rest()))
            .and_then(|amount| amount.checked_mul(discount.rest()))
            .and_then(|amount| amount.checked_div(Decimal::from(row.per)))
            .filter(|amount| *amount <= Decimal::from(MOST_AMOUNT))
            .ok_or_else(too_large)?;
        let per_line = self.place == RoundingPlace::PerLine;
        let endless = has_no_end(units, row.per);
        let net = if per_line { self.round_endless(net, endless) } else { net };
        let tax = net.checked_mul(row.tax.share()).ok_or_else(too_large)?;
        let tax = if per_line { self.round(tax) } else { tax };
        Ok(Amounts { net, rate: row.tax, tax, endless: endless && !per_line })
    }

    /// The totals of lines.
    pub(super) fn total(self, lines: &[Amounts]) -> Result<Total> {
        let mut net = Decimal::ZERO;
        let mut taxes: Vec<TaxRow> = Vec::new();
        for line in lines {
            net = net.checked_add(line.net).ok_or_else(too_large)?;
            match taxes.iter_mut().find(|row| row.rate == line.rate) {
                Some(row) => {
                    row.net = row.net.checked_add(line.net).ok_or_else(too_large)?;
                    row.tax = row.tax.checked_add(line.tax).ok_or_else(too_large)?;
                }
                None => taxes.push(TaxRow { rate: line.rate, net: line.net, tax: line.tax }),
            }
        }
        let endless = lines.iter().any(|line| line.endless);
        taxes.sort_by_key(|row| row.rate);
        for row in &mut taxes {
            // Rounding what is rounded changes nothing, so this serves both places.
            row.net = self.round_endless(row.net, endless);
            row.tax = self.round_endless(row.tax, endless);
        }
        let net = self.round_endless(net, endless);
        let tax = taxes
            .iter()
            .try_fold(Decimal::ZERO, |sum, row| sum.checked_add(row.tax))
            .ok_or_else(too_large)?;
        let gross = net.checked_add(tax).ok_or_else(too_large)?;
        Ok(Total {
            currency: self.currency.code().to_owned(),
            net,
            taxes,
            tax: self.round(tax),
            gross: self.round(gross),
        })
    }
}

/// Whether units / per may have no end as a decimal: some prime other than 2 and 5 is left under the line.
fn has_no_end(units: u64, per: u64) -> bool {
    let (mut a, mut b) = (units, per);
    while b > 0 {
        (a, b) = (b, a.checked_rem(b).unwrap_or(0));
    }
    let mut under = per.checked_div(a).unwrap_or(1).max(1);
    for prime in [2, 5] {
        while under.is_multiple_of(prime) {
            under /= prime;
        }
    }
    under > 1
}

fn too_large() -> Fault {
    Fault::new(FaultKind::MoneyTooLarge, "comes to more than can be reckoned exactly")
        .allowed(format!("0 to {MOST_AMOUNT} a line"))
}
