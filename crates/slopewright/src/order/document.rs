//! The order document: currency, terms and prices; and the order that follows from it.

use serde::{Deserialize, Serialize};

use super::prices::{other_sizes, row_of};
use super::{
    Decimal, DeliveryChoice, Order, PriceList, PriceRow, SecondDelivery, Terms, Wanted, materials, order,
};
use crate::error::{FaultKind, Result};
use crate::salvage::{
    DOCUMENT_VERSION, Fields, Portion, Salvaged, Shortage, each_roof_once, versioned, write_json, write_toml,
};
use crate::survey::upgrade::Step;
use crate::takeoff::TakeOff;

/// The steps that make the next version of order documents of an older one; that from version 1 to 2 comes first.
const STEPS: &[Step] = &[];
const _: () = assert!(STEPS.len() as u64 + 1 == DOCUMENT_VERSION, "a step for every version but the first");

/// How to order, and what things cost. The prices stand in the document, in a file of comma-separated text beside
/// it, or in both.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OrderDocument {
    /// The currency by its three capital letters.
    pub currency: String,
    /// The name of a price list in comma-separated text, beside this document. Whoever reads the document hands its
    /// text to [`OrderDocument::with_csv`]; nothing is read here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price_file: Option<String>,
    /// How the order is made up.
    pub terms: Terms,
    /// The prices.
    #[serde(default)]
    pub prices: Vec<PriceRow>,
}

/// The decimals to which a bar's price chooses among lengths.
const BAR_PRICE_DECIMALS: u32 = 6;

impl OrderDocument {
    /// A document without prices as yet.
    #[must_use]
    pub fn new(currency: impl Into<String>, terms: Terms) -> Self {
        Self { currency: currency.into(), price_file: None, terms, prices: Vec::new() }
    }

    /// Reads an order document from TOML.
    ///
    /// # Errors
    /// With a fault for each part that cannot be read.
    ///
    /// ```
    /// use slopewright::order::OrderDocument;
    /// let document = OrderDocument::from_toml(r#"
    ///     slopewright = 1
    ///     currency = "EUR"
    ///     [terms]
    ///     rounding = "half-up"
    ///     rounding_place = "per-line"
    ///     spare = { by = "risk", breakage = "1.5 %", sureness = 0.95 }
    ///     [[prices]]
    ///     item = "plain-tile-265x165 whole"
    ///     price = "612.50"
    ///     per = 1000
    ///     pack = 6
    ///     tax = "20 %"
    /// "#)?;
    /// assert_eq!(document.prices[0].pack, 6);
    /// # Ok::<(), slopewright::Error>(())
    /// ```
    pub fn from_toml(text: &str) -> Result<Self> {
        Self::read(Fields::read(text, false, FaultKind::OrderUnreadable, STEPS)?)
    }

    /// Reads an order document from JSON.
    ///
    /// # Errors
    /// As [`OrderDocument::from_toml`].
    pub fn from_json(text: &str) -> Result<Self> {
        Self::read(Fields::read(text, true, FaultKind::OrderUnreadable, STEPS)?)
    }

    fn read(mut document: Fields) -> Result<Self> {
        let currency = document.needed("currency");
        let price_file = document.one("price_file");
        let terms = document.needed_within("terms", Terms::read);
        let prices = document.tables("prices", PriceRow::read);
        document.finish()?;
        // Without a fault both were there.
        let terms = terms
            .unwrap_or(Terms::new(crate::quantity::MoneyRounding::HalfUp, super::RoundingPlace::PerLine));
        Ok(Self { currency: currency.unwrap_or_default(), price_file, terms, prices })
    }

    /// Writes the document as TOML.
    ///
    /// # Errors
    /// If it holds what TOML cannot say; nothing is known that does.
    pub fn to_toml(&self) -> Result<String> {
        write_toml(self)
    }

    /// Writes the document as JSON.
    ///
    /// # Errors
    /// If it cannot be written; nothing is known that cannot.
    pub fn to_json(&self) -> Result<String> {
        write_json(self)
    }

    /// The JSON schema of the document.
    #[must_use]
    pub fn schema() -> serde_json::Value {
        versioned(schemars::schema_for!(Self))
    }

    /// The document with the rows of a price list in comma-separated text, as [`PriceList::read_csv`] reads it.
    ///
    /// # Errors
    /// As [`PriceList::read_csv`]; their places begin with the name of the price list, if the document names one.
    pub fn with_csv(mut self, text: &str) -> Result<Self> {
        let list = PriceList::read_csv(&self.currency, text).map_err(|error| match &self.price_file {
            Some(name) => error.at(format!("price file '{name}'")),
            None => error,
        })?;
        self.prices.extend(list.rows);
        Ok(self)
    }

    /// The price list.
    #[must_use]
    pub fn price_list(&self) -> PriceList {
        PriceList { currency: self.currency.clone(), rows: self.prices.clone() }
    }

    /// The price of an item, as [`PriceList::row`] finds it.
    #[must_use]
    pub fn price_row(&self, item: &str) -> Option<&PriceRow> {
        row_of(&self.prices, item)
    }

    /// Orders what is wanted.
    ///
    /// # Errors
    /// As [`order()`].
    pub fn order(&self, wanted: &[Wanted]) -> Result<Order> {
        order(wanted, &self.price_list(), &self.terms)
    }

    /// The take-off with its bars of batten chosen by the prices of this document, if each length on sale has one: the
    /// bars that an order buys, and the cutting list that goes with them. Prices are those of one bar, less the discount
    /// on its row; that bars may come in bundles is not looked at.
    #[must_use]
    pub fn with_bar_prices(&self, take_off: &TakeOff) -> TakeOff {
        take_off.with_bar_prices(|item| {
            let row = self.price_row(item)?;
            let price = row.price.checked_mul(row.discount.rest())?.checked_div(Decimal::from(row.per))?;
            Some(price.round_dp(BAR_PRICE_DECIMALS))
        })
    }

    /// What is short after salvage, then the other materials of the take-offs.
    fn all_wanted(&self, salvaged: &Salvaged, take_offs: &[&TakeOff]) -> Vec<Wanted> {
        let short = salvaged.shortages.iter().map(Wanted::from);
        let others = take_offs.iter().flat_map(|take_off| materials(&self.with_bar_prices(take_off)));
        short.chain(others).collect()
    }

    /// Orders what is short after salvage, and of the other materials of the take-offs whatever the list has a price
    /// for; the rest is named in [`Order::unpriced`]. A unit of covering that is short must have a price.
    ///
    /// # Errors
    /// As [`order()`].
    pub fn order_for(&self, salvaged: &Salvaged, take_offs: &[&TakeOff]) -> Result<Order> {
        each_roof_once(take_offs)?;
        let (wanted, unpriced) = self.priced(self.all_wanted(salvaged, take_offs), &salvaged.shortages);
        let sizes = unpriced.iter().map(|item| (item.clone(), other_sizes(&self.prices, item)));
        let other_sizes = sizes.filter(|(_, others)| !others.is_empty()).collect();
        Ok(Order { unpriced, other_sizes, ..self.order(&wanted)? })
    }

    /// The order of [`OrderDocument::order_for`] three times, for what the tape's tolerance is worth: the roof taped short,
    /// as taped, and taped long. Hand in the salvage and the take-offs of each in that order, as
    /// [`TapeRange`](crate::takeoff::TapeRange) takes them off. Each is an order of its own, so that bars of several
    /// lengths stay one cutting list; [`order_range`](super::order_range) is for counts whose range is known.
    ///
    /// # Errors
    /// As [`order()`].
    pub fn order_range_for(
        &self,
        salvaged: [&Salvaged; 3],
        take_offs: [&[&TakeOff]; 3],
    ) -> Result<[Order; 3]> {
        let [low, likely, high] = salvaged;
        let [of_low, of_likely, of_high] = take_offs;
        Ok([self.order_for(low, of_low)?, self.order_for(likely, of_likely)?, self.order_for(high, of_high)?])
    }

    /// For each line of an order whose breakage is stated: how many to order, if a second delivery costs so much.
    ///
    /// # Errors
    /// If a figure is out of range.
    pub fn second_deliveries(&self, made: &Order, delivery: Decimal) -> Result<Vec<ItemChoices>> {
        let mut all = Vec::new();
        for line in &made.lines {
            let Some(breakage) = self.terms.spare_for(&line.item, line.part).breakage() else { continue };
            let Some(row) = self.price_row(&line.item) else { continue };
            let pack = if row.part_packs { 1 } else { row.pack };
            let each = line.net.checked_div(Decimal::from(line.ordered)).unwrap_or_default();
            let weighed = SecondDelivery {
                need: line.needed,
                breakage,
                pack,
                price_each: each,
                worth_left_over: Portion::NONE,
                delivery,
            };
            let choices = weighed.choices().map_err(|error| error.at(format!("'{}'", line.item)))?;
            all.push(ItemChoices { item: line.item.clone(), ordered: line.ordered, choices });
        }
        Ok(all)
    }

    /// What has a price, or must have one because it is a unit that is short; and the names of the rest.
    fn priced(&self, wanted: Vec<Wanted>, shortages: &[Shortage]) -> (Vec<Wanted>, Vec<String>) {
        let mut priced = Vec::new();
        let mut unpriced = Vec::new();
        for want in wanted {
            let has_price = self.price_row(&want.item).is_some();
            if has_price || shortages.iter().any(|short| short.unit.to_string() == want.item) {
                priced.push(want);
            } else if want.high > 0 && !unpriced.contains(&want.item) {
                unpriced.push(want.item);
            }
        }
        (priced, unpriced)
    }
}

/// How many of one item to order, choice by choice.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ItemChoices {
    /// The item.
    pub item: String,
    /// How many the order has.
    pub ordered: u64,
    /// The choices, a pack at a time.
    pub choices: Vec<DeliveryChoice>,
}
