//! The order: what is needed, with spare, in packs, priced, weighed and lifted.

use std::collections::BTreeMap;

use rust_decimal::{Decimal, RoundingStrategy, prelude::ToPrimitive as _};
use serde::Serialize;

use super::prices::check_mass;
use super::spare::chance_short;
use super::total::{Amounts, Rounded, Total};
use super::{CountOn, PriceList, PriceRow, Terms, Wanted};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::packs_for;
use crate::reason::Working;
use crate::salvage::{Portion, check_count, check_rows};
use crate::takeoff::Part;

/// One line of an order.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct OrderLine {
    /// What it is.
    pub item: String,
    /// The part of the roof that it is for, where a take-off says so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<Part>,
    /// In words.
    pub description: String,
    /// How many are needed.
    pub needed: u64,
    /// How many are wanted with spare.
    pub wanted: u64,
    /// How many are ordered: whole packs or the least that is sold.
    pub ordered: u64,
    /// Full packs in that.
    pub packs: u64,
    /// Single units beside them.
    pub loose: u64,
    /// How many are ordered beyond the need.
    pub surplus: u64,
    /// The chance that breakages use up more than the surplus, where a breakage is stated.
    pub chance_short: Option<f64>,
    /// The price before discounts.
    #[schemars(with = "String")]
    pub price: Decimal,
    /// For how many that is.
    pub per: u64,
    /// After discounts, before tax; rounded if lines are.
    #[schemars(with = "String")]
    pub net: Decimal,
    /// The rate of tax.
    pub tax_rate: Portion,
    /// The tax; rounded if lines are.
    #[schemars(with = "String")]
    pub tax: Decimal,
    /// The mass, in kilograms, where that of one is known.
    #[schemars(with = "Option<String>")]
    pub mass_kg: Option<Decimal>,
    /// How many pallets, the last one perhaps not full; 0 if it does not come on pallets.
    pub pallets: u64,
    /// How many lifts, packs kept whole where one can be lifted whole.
    pub lifts: Option<u64>,
    /// How it was reached.
    pub working: Vec<Working>,
}

/// An order.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Order {
    /// The lines, in the order of what was wanted; nothing wanted, no line.
    pub lines: Vec<OrderLine>,
    /// What is to be paid.
    pub total: Total,
    /// The mass of all lines whose mass is known, in kilograms.
    #[schemars(with = "String")]
    pub mass_kg: Decimal,
    /// The items whose mass is not known.
    pub mass_unknown: Vec<String>,
    /// Materials of the take-off that the price list does not have, and that are therefore not ordered.
    pub unpriced: Vec<String>,
    /// For those of which the price list has other sizes: what they are called there, the nearest first.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub other_sizes: BTreeMap<String, Vec<String>>,
    /// Pallets in all.
    pub pallets: u64,
    /// Lifts in all, line by line.
    pub lifts: Option<u64>,
    /// By how much the net value is under the least that is delivered.
    #[schemars(with = "Option<String>")]
    pub under_least_value: Option<Decimal>,
}

/// Makes up an order.
///
/// # Errors
/// If an item has no price, a count is too large, a range is the wrong way round, a unit is too heavy to lift, or the
/// price list is at fault. All faults at once.
///
/// ```
/// use slopewright::order::{PriceList, RoundingPlace, Terms, Wanted, order};
/// use slopewright::quantity::MoneyRounding;
/// let prices = PriceList::read_csv("EUR", "item,price,per,pack,tax\ntile,612.50,1000,6,20 %\n")?;
/// let terms = Terms::new(MoneyRounding::HalfUp, RoundingPlace::PerLine);
/// let made = order(&[Wanted::exactly("tile", 1000)], &prices, &terms)?;
/// assert_eq!(made.lines[0].ordered, 1002);
/// assert_eq!(made.total.gross.to_string(), "736.48");
/// # Ok::<(), slopewright::Error>(())
/// ```
pub fn order(wanted: &[Wanted], prices: &PriceList, terms: &Terms) -> Result<Order> {
    let mut faults = Vec::new();
    check(wanted, terms, &mut faults);
    terms.check_spares(&mut faults);
    let reckonable = faults.is_empty();
    let currency = prices.check().map_err(|error| faults.extend(error.into_faults())).ok();
    let rounded =
        currency.map(|currency| Rounded { currency, mode: terms.rounding, place: terms.rounding_place });
    let mut lines = Vec::new();
    let mut amounts = Vec::new();
    for want in merged(wanted).iter().filter(|want| want.on(terms.count_on) > 0) {
        let Some(row) = prices.row(&want.item) else {
            faults.push(Fault::new(FaultKind::PriceMissing, "has no price").at(format!("'{}'", want.item)));
            continue;
        };
        let Some(rounded) = rounded.filter(|_| reckonable) else { continue };
        match line(want, row, terms, rounded) {
            Ok((line, amount)) => {
                lines.push(line);
                amounts.push(amount);
            }
            Err(error) => faults.extend(error.at(format!("'{}'", want.item)).into_faults()),
        }
    }
    Error::check(faults)?;
    let Some(rounded) = rounded else {
        return Err(Fault::new(FaultKind::CurrencyUnknown, "is not the code of a currency").into());
    };
    let total = rounded.total(&amounts)?;
    let under_least_value =
        terms.least_value.map(|least| least - total.net).filter(|under| *under > Decimal::ZERO);
    Ok(Order {
        total,
        mass_kg: lines.iter().filter_map(|line| line.mass_kg).sum(),
        mass_unknown: lines
            .iter()
            .filter(|line| line.mass_kg.is_none())
            .map(|line| line.item.clone())
            .collect(),
        unpriced: Vec::new(),
        other_sizes: BTreeMap::new(),
        pallets: lines.iter().map(|line| line.pallets).sum(),
        lifts: terms.lift_kg.map(|_| lines.iter().filter_map(|line| line.lifts).sum()),
        under_least_value,
        lines,
    })
}

/// What is wanted, each item once, so that packs are rounded up once.
fn merged(wanted: &[Wanted]) -> Vec<Wanted> {
    let mut all: Vec<Wanted> = Vec::new();
    let mut places = BTreeMap::new();
    for want in wanted {
        let at = *places.entry(&want.item).or_insert(all.len());
        match all.get_mut(at) {
            Some(before) => {
                before.low = before.low.saturating_add(want.low);
                before.likely = before.likely.saturating_add(want.likely);
                before.high = before.high.saturating_add(want.high);
                before.mass_each_kg = before.mass_each_kg.or(want.mass_each_kg);
                before.part = before.part.or(want.part);
            }
            None => all.push(want.clone()),
        }
    }
    all
}

/// The same order on the low, the likely and the high count, to show what the tape's tolerance is worth.
///
/// # Errors
/// As [`order`].
pub fn order_range(wanted: &[Wanted], prices: &PriceList, terms: &Terms) -> Result<[Order; 3]> {
    let on = |count_on| order(wanted, prices, &Terms { count_on, ..terms.clone() });
    Ok([on(CountOn::Low)?, on(CountOn::Likely)?, on(CountOn::High)?])
}

/// A money or mass term beyond this is a slip.
const MOST_TERM: u64 = 1_000_000_000_000;

fn check(wanted: &[Wanted], terms: &Terms, faults: &mut Vec<Fault>) {
    check_rows(wanted.len(), "wanted", faults);
    for want in &merged(wanted) {
        let place = format!("'{}'", want.item);
        check_count(want.low.max(want.likely).max(want.high), &place, faults);
        check_mass(want.mass_each_kg, &place, faults);
        if !(want.low <= want.likely && want.likely <= want.high) {
            faults.push(
                Fault::new(FaultKind::CountUneven, "the low, likely and high counts are not in order")
                    .at(place)
                    .given(format!("{}, {}, {}", want.low, want.likely, want.high))
                    .allowed("low, then likely, then high"),
            );
        }
    }
    let positive = |value: Decimal| value > Decimal::ZERO && value <= Decimal::from(MOST_TERM);
    for (what, value) in [("lift", terms.lift_kg), ("least value", terms.least_value)] {
        if let Some(value) = value.filter(|value| !positive(*value)) {
            faults.push(
                Fault::new(FaultKind::PriceOutOfRange, "is out of range")
                    .at(what)
                    .given(value)
                    .allowed(format!("over 0, to {MOST_TERM}")),
            );
        }
    }
}

fn line(want: &Wanted, row: &PriceRow, terms: &Terms, rounded: Rounded) -> Result<(OrderLine, Amounts)> {
    let needed = want.on(terms.count_on);
    let spare = terms.spare_for(&want.item, want.part);
    let (wanted, spare_working) = spare.order_for(needed)?;
    let at_least = wanted.max(row.least);
    let ordered = if row.part_packs {
        at_least
    } else {
        packs_for(at_least, row.pack).unwrap_or(at_least).saturating_mul(row.pack)
    };
    let packs = ordered.checked_div(row.pack).unwrap_or(0);
    let loose = ordered.checked_rem(row.pack).unwrap_or(0);
    let amounts = rounded.line(row, ordered, terms.discount)?;
    let mass_each = row.mass_each_kg.or(want.mass_each_kg);
    let mass_kg = mass_each.map(|each| (each * Decimal::from(ordered)).normalize());
    let mut working = vec![spare_working];
    working.push(Working::new(
        "packs",
        if row.part_packs { "to order, or the least that is sold" } else { "to order / pack, rounded up" },
        format!("to order {wanted}, pack {}, least {}", row.pack, row.least),
        format!("{ordered} in {packs} packs and {loose} loose"),
    ));
    working.push(Working::new(
        "net",
        "ordered x price x (1 - discount) x (1 - discount on all) / per",
        format!(
            "{ordered} x {} x (1 - {}) x (1 - {}) / {}",
            row.price, row.discount, terms.discount, row.per
        ),
        format!("{} {}", amounts.net, rounded.currency),
    ));
    let lifts = match (terms.lift_kg, mass_each) {
        (Some(lift), Some(each)) if each > Decimal::ZERO => Some(lifts(ordered, row.pack, each, lift)?),
        _ => None,
    };
    if let (Some(lifts), Some(lift)) = (lifts, terms.lift_kg) {
        working.push(Working::new(
            "lifts",
            "packs / packs in a lift, rounded up (single units if no whole pack can be lifted)",
            format!("{packs} packs of {} and {loose} loose, lift {lift} kg", row.pack),
            lifts.to_string(),
        ));
    }
    let line = OrderLine {
        item: want.item.clone(),
        part: want.part,
        description: row.description.clone(),
        needed,
        wanted,
        ordered,
        packs,
        loose,
        surplus: ordered.saturating_sub(needed),
        chance_short: spare.breakage().map(|breakage| chance_short(needed, ordered, breakage)),
        price: row.price,
        per: row.per,
        net: amounts.net,
        tax_rate: amounts.rate,
        tax: amounts.tax,
        mass_kg,
        pallets: packs_for(ordered, row.pallet).unwrap_or(0),
        lifts,
        working,
    };
    Ok((line, amounts))
}

/// How many lifts bring so many up, packs kept whole where one can be lifted whole.
fn lifts(ordered: u64, pack: u64, mass_each: Decimal, lift: Decimal) -> Result<u64> {
    let fit = |mass: Decimal| {
        lift.checked_div(mass)
            .map(|fit| fit.round_dp_with_strategy(0, RoundingStrategy::ToZero))
            .and_then(|fit| fit.to_u64())
            .unwrap_or(u64::MAX)
    };
    let in_packs = fit(mass_each * Decimal::from(pack)).saturating_mul(pack);
    let units = if in_packs > 0 { in_packs } else { fit(mass_each) };
    packs_for(ordered, units).ok_or_else(|| {
        Fault::new(FaultKind::LiftTooSmall, "one alone is heavier than a lift may carry")
            .given(format!("{mass_each} kg, lift {lift} kg"))
            .into()
    })
}
