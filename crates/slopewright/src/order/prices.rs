//! A price list as a table.

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::csv;
use super::terms::Amount;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{Currency, limit};
use crate::salvage::{Fields, MOST_UNITS, Portion, check_count, check_rows};

/// What is sold, in what packs, for what price.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PriceList {
    /// The currency by its three capital letters.
    pub currency: String,
    /// The rows.
    pub rows: Vec<PriceRow>,
}

/// One thing that is sold. Prices and masses are written as text, so that they stay exact: `"12.50"`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PriceRow {
    /// What it is called in the order: `plain-265x165 whole`.
    pub item: String,
    /// In words.
    #[serde(default)]
    pub description: String,
    /// How many are in a pack.
    #[serde(default = "one")]
    pub pack: u64,
    /// Whether packs are opened, so that any number can be had.
    #[serde(default)]
    pub part_packs: bool,
    /// The least number that is sold.
    #[serde(default)]
    pub least: u64,
    /// The price, before discount and tax.
    #[serde(with = "rust_decimal::serde::str")]
    #[schemars(with = "String")]
    pub price: Decimal,
    /// For how many that price is: 1, 100, 1000.
    #[serde(default = "one")]
    pub per: u64,
    /// The discount on this row.
    #[serde(default)]
    pub discount: Portion,
    /// The tax on this row.
    #[serde(default)]
    pub tax: Portion,
    /// The mass of one, in kilograms.
    #[serde(default, with = "rust_decimal::serde::str_option", skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub mass_each_kg: Option<Decimal>,
    /// How many are on a pallet; 0 if it does not come on one.
    #[serde(default)]
    pub pallet: u64,
}

const fn one() -> u64 {
    1
}

/// The most that a price may be, and its most decimals: beyond it a sum might no longer be exact.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a whole number that a u64 holds"
)]
const MOST_PRICE: u64 = limit::item_price.most as u64;
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a whole number that is small")]
const MOST_DECIMALS: u32 = limit::price_decimals.most as u32;
/// The most that one unit may weigh, in kilograms.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a whole number that is small")]
const MOST_MASS_KG: u64 = limit::item_mass.most as u64;

/// The columns of a price list, and whether a list must have them.
const COLUMNS: &[(&str, bool)] = &[
    ("item", true),
    ("description", false),
    ("pack", false),
    ("part_packs", false),
    ("least", false),
    ("price", true),
    ("per", false),
    ("discount", false),
    ("tax", false),
    ("mass_each_kg", false),
    ("pallet", false),
];

impl PriceRow {
    /// A row with a price for each, sold singly.
    #[must_use]
    pub fn new(item: impl Into<String>, price: Decimal) -> Self {
        Self {
            item: item.into(),
            description: String::new(),
            pack: 1,
            part_packs: false,
            least: 0,
            price,
            per: 1,
            discount: Portion::NONE,
            tax: Portion::NONE,
            mass_each_kg: None,
            pallet: 0,
        }
    }

    /// Reads a row of a document field by field, so that all faults are told.
    pub(super) fn read(fields: &mut Fields) -> Option<Self> {
        let item: Option<String> = fields.needed("item");
        let price: Option<Amount> = fields.needed("price");
        let mut row = Self::new("", Decimal::ZERO);
        row.description = fields.one("description").unwrap_or_default();
        row.pack = fields.one("pack").unwrap_or(row.pack);
        row.part_packs = fields.one("part_packs").unwrap_or(row.part_packs);
        row.least = fields.one("least").unwrap_or(row.least);
        row.per = fields.one("per").unwrap_or(row.per);
        row.discount = fields.one("discount").unwrap_or_default();
        row.tax = fields.one("tax").unwrap_or_default();
        row.mass_each_kg = fields.one("mass_each_kg").map(|mass: Amount| mass.0);
        row.pallet = fields.one("pallet").unwrap_or(row.pallet);
        Some(Self { item: item?, price: price?.0, ..row })
    }

    fn check(&self, faults: &mut Vec<Fault>) {
        let place = format!("price of '{}'", self.item);
        let mut out_of_range = |what: &str, given: String, allowed: String| {
            faults.push(
                Fault::new(FaultKind::PriceOutOfRange, "is out of range")
                    .at(what)
                    .at(&place)
                    .given(given)
                    .allowed(allowed),
            );
        };
        if self.price < Decimal::ZERO
            || self.price > Decimal::from(MOST_PRICE)
            || self.price.normalize().scale() > MOST_DECIMALS
        {
            let allowed = format!("0 to {MOST_PRICE}, with {MOST_DECIMALS} decimals at most");
            out_of_range("price", self.price.to_string(), allowed);
        }
        for (what, count) in [("pack", self.pack), ("per", self.per)] {
            if count == 0 || count > MOST_UNITS {
                out_of_range(what, count.to_string(), format!("1 to {MOST_UNITS}"));
            }
        }
        check_mass(self.mass_each_kg, &place, faults);
        check_count(self.least, &format!("{place}, least"), faults);
        check_count(self.pallet, &format!("{place}, pallet"), faults);
    }
}

/// Adds a fault if the mass of one unit is no mass.
pub(super) fn check_mass(mass: Option<Decimal>, place: &str, faults: &mut Vec<Fault>) {
    if let Some(mass) = mass.filter(|mass| *mass < Decimal::ZERO || *mass > Decimal::from(MOST_MASS_KG)) {
        faults.push(
            Fault::new(FaultKind::PriceOutOfRange, "is out of range")
                .at("mass of one")
                .at(place)
                .given(mass)
                .allowed(format!("0 to {MOST_MASS_KG} kg")),
        );
    }
}

/// The row of an item, as [`PriceList::row`] finds it.
pub(super) fn row_of<'a>(rows: &'a [PriceRow], item: &str) -> Option<&'a PriceRow> {
    let named = |name: &str| rows.iter().find(|row| row.item == name);
    named(item).or_else(|| named(without_size(item)?))
}

/// The name of something that is cut from a sheet, without the size that it ends in; `None` where it ends in none.
pub(super) fn without_size(item: &str) -> Option<&str> {
    let (name, size) = item.rsplit_once(", ")?;
    let (length, width) = size.split_once(" x ")?;
    let is_length = |text: &str| text.strip_suffix(" mm").is_some_and(|figure| figure.parse::<f64>().is_ok());
    (is_length(length) && is_length(width)).then_some(name)
}

/// The items of a price list that are the same as one without a price, but for their size: the nearest sizes first.
pub(super) fn other_sizes(rows: &[PriceRow], item: &str) -> Vec<String> {
    let sized = |item: &str| {
        let (name, size) = item.rsplit_once(", ")?;
        let figures: Vec<f64> = size.split(' ').filter_map(|word| word.parse().ok()).collect();
        (!figures.is_empty()).then(|| (name.to_owned(), figures))
    };
    let Some((name, wanted)) = sized(item) else { return Vec::new() };
    let off =
        |figures: &[f64]| figures.iter().zip(&wanted).map(|(one, other)| (one - other).abs()).sum::<f64>();
    let mut others: Vec<(f64, &str)> = rows
        .iter()
        .filter_map(|row| Some((sized(&row.item)?, row.item.as_str())))
        .filter(|((known, figures), _)| *known == name && figures.len() == wanted.len())
        .map(|((_, figures), item)| (off(&figures), item))
        .collect();
    others.sort_by(|one, other| one.0.total_cmp(&other.0));
    others.into_iter().take(SIZES_SHOWN).map(|(_, item)| item.to_owned()).collect()
}

/// How many other sizes of something without a price are named.
const SIZES_SHOWN: usize = 3;

impl PriceList {
    /// The currency, once everything in the list has been found in order.
    ///
    /// # Errors
    /// If the currency is not one, a figure is out of range, or an item is there twice. All faults at once.
    pub fn check(&self) -> Result<Currency> {
        let mut faults = Vec::new();
        check_rows(self.rows.len(), "price list", &mut faults);
        let currency = Currency::from_code(&self.currency);
        if currency.is_none() {
            faults.push(
                Fault::new(FaultKind::CurrencyUnknown, "is not the code of a currency")
                    .at("price list, currency")
                    .given(&self.currency)
                    .allowed("three capital letters"),
            );
        }
        let mut seen = std::collections::BTreeSet::new();
        for row in &self.rows {
            row.check(&mut faults);
            if !seen.insert(&row.item) {
                faults.push(
                    Fault::new(FaultKind::PriceTwice, "has more than one price")
                        .at(format!("price of '{}'", row.item)),
                );
            }
        }
        Error::check(faults)?;
        currency.ok_or_else(|| Fault::new(FaultKind::CurrencyUnknown, "is not the code of a currency").into())
    }

    /// The row of an item. One that is cut to a size (`soakers, lead code 3, 192 mm x 175 mm`) may be priced under its
    /// name without the size, whatever the size; a row for that very size goes before it.
    #[must_use]
    pub fn row(&self, item: &str) -> Option<&PriceRow> {
        row_of(&self.rows, item)
    }

    /// Reads a price list from comma-separated text with a heading line. The columns `item` and `price` must be
    /// there; `description`, `pack`, `part_packs` (yes or no), `least`, `per`, `discount`, `tax` (`20 %`),
    /// `mass_each_kg` and `pallet` may be, in any order. An empty cell is as if the column were not there.
    ///
    /// # Errors
    /// If a column is missing or unknown, or a cell cannot be read; all faults at once, with their lines.
    ///
    /// ```
    /// use slopewright::order::PriceList;
    /// let list = PriceList::read_csv("EUR", "item,price,per,pack\nplain-265x165 whole,612.50,1000,6\n")?;
    /// assert_eq!(list.rows[0].per, 1000);
    /// # Ok::<(), slopewright::Error>(())
    /// ```
    pub fn read_csv(currency: &str, text: &str) -> Result<Self> {
        limit::document_size.check_size(text.len(), FaultKind::PriceUnreadable, "a price list")?;
        let mut faults = Vec::new();
        let unreadable = |problem: String| Fault::new(FaultKind::PriceUnreadable, problem);
        let mut records = csv::records(text).into_iter();
        let (_, heading) = records.next().unwrap_or_default();
        let heading: Vec<String> = heading.iter().map(|name| name.trim().to_lowercase()).collect();
        if !limit::sheet_columns.holds_count(heading.len()) {
            let fault = unreadable("has too many columns".to_owned()).at("heading").given(heading.len());
            return Err(fault.allowed(limit::sheet_columns.range()).into());
        }
        for (number, name) in heading.iter().enumerate() {
            let twice = heading.iter().take(number).any(|before| before == name);
            if twice || !COLUMNS.iter().any(|(known, _)| known == name) {
                let known: Vec<&str> = COLUMNS.iter().map(|(known, _)| *known).collect();
                let problem = if twice { "is there twice" } else { "is not a column of a price list" };
                faults
                    .push(unreadable(problem.to_owned()).at("heading").given(name).allowed(known.join(", ")));
            }
        }
        for (name, _) in COLUMNS.iter().filter(|(name, must)| *must && !heading.iter().any(|has| has == name))
        {
            faults.push(unreadable(format!("lacks the column '{name}'")).at("heading"));
        }
        Error::check(core::mem::take(&mut faults))?;
        let mut rows = Vec::new();
        for (line, record) in records {
            if record.len() != heading.len() {
                faults.push(
                    unreadable("has another number of cells than the heading".to_owned())
                        .at(format!("line {line}"))
                        .given(record.len())
                        .allowed(heading.len()),
                );
                continue;
            }
            let cells = Cells { heading: &heading, record: &record };
            match cells.row() {
                Ok(row) => rows.push(row),
                Err(error) => faults.extend(error.at(format!("line {line}")).into_faults()),
            }
        }
        Error::check(faults)?;
        let list = Self { currency: currency.to_owned(), rows };
        list.check()?;
        Ok(list)
    }
}

/// One record under its heading.
struct Cells<'a> {
    heading: &'a [String],
    record: &'a [String],
}

impl Cells<'_> {
    fn text(&self, name: &str) -> Option<&str> {
        let at = self.heading.iter().position(|has| has == name)?;
        self.record.get(at).map(|cell| cell.trim()).filter(|cell| !cell.is_empty())
    }

    fn read<T: core::str::FromStr>(&self, name: &str, faults: &mut Vec<Fault>) -> Option<T> {
        let text = self.text(name)?;
        let read = text.parse().ok();
        if read.is_none() {
            faults.push(Fault::new(FaultKind::PriceUnreadable, "cannot be read").at(name).given(text));
        }
        read
    }

    fn row(&self) -> Result<PriceRow> {
        let mut faults = Vec::new();
        let item = self.text("item").map(str::to_owned);
        let price: Option<Decimal> = self.read("price", &mut faults);
        for (name, is_there) in [("item", item.is_some()), ("price", self.text("price").is_some())] {
            if !is_there {
                faults.push(Fault::new(FaultKind::PriceUnreadable, "is empty").at(name));
            }
        }
        let part_packs = match self.text("part_packs").map(str::to_lowercase).as_deref() {
            None | Some("no" | "false") => false,
            Some("yes" | "true") => true,
            Some(other) => {
                faults.push(
                    Fault::new(FaultKind::PriceUnreadable, "cannot be read")
                        .at("part_packs")
                        .given(other)
                        .allowed("yes or no"),
                );
                false
            }
        };
        let row = PriceRow {
            item: item.unwrap_or_default(),
            description: self.text("description").unwrap_or_default().to_owned(),
            pack: self.read("pack", &mut faults).unwrap_or(1),
            part_packs,
            least: self.read("least", &mut faults).unwrap_or(0),
            price: price.unwrap_or_default(),
            per: self.read("per", &mut faults).unwrap_or(1),
            discount: self.read("discount", &mut faults).unwrap_or_default(),
            tax: self.read("tax", &mut faults).unwrap_or_default(),
            mass_each_kg: self.read("mass_each_kg", &mut faults),
            pallet: self.read("pallet", &mut faults).unwrap_or(0),
        };
        Error::check(faults)?;
        Ok(row)
    }
}
