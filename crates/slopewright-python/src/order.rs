//! Orders.

use pyo3::prelude::*;
use pyo3::types::PyBytes;
use slopewright::error::Room;
use slopewright::order::Decimal;
use slopewright::order::{self as core, OrderDocument as CoreDocument, Wanted};
use slopewright::output::Table as CoreTable;

use crate::display;
use crate::reason::{Finding, Working};
use crate::salvage::Salvaged;
use crate::table::Table;
use crate::takeoff::TakeOff;
use crate::{run, run_on};

/// Currency, terms and prices, as a document.
#[pyclass(frozen, module = "slopewright", eq)]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct OrderDocument {
    document: CoreDocument,
}

#[pymethods]
impl OrderDocument {
    /// Reads an order document from TOML text. Raises `OrderError` with every part that cannot be read.
    #[staticmethod]
    fn from_toml(py: Python<'_>, text: &str) -> PyResult<Self> {
        run_on(py, Room::Order, || CoreDocument::from_toml(text)).map(|document| Self { document })
    }

    /// Reads an order document from JSON text. Raises `OrderError` with every part that cannot be read.
    #[staticmethod]
    fn from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
        run_on(py, Room::Order, || CoreDocument::from_json(text)).map(|document| Self { document })
    }

    /// The document as TOML text.
    fn to_toml(&self, py: Python<'_>) -> PyResult<String> {
        run(py, || self.document.to_toml())
    }

    /// The document as JSON text.
    fn to_json(&self, py: Python<'_>) -> PyResult<String> {
        run(py, || self.document.to_json())
    }

    /// The JSON schema of the document, as JSON text.
    #[staticmethod]
    fn schema() -> String {
        CoreDocument::schema().to_string()
    }

    /// The name of a price list beside the document, if it names one.
    #[getter]
    fn price_file(&self) -> Option<&str> {
        self.document.price_file.as_deref()
    }

    /// The document with the rows of a price list in comma-separated text. Raises `OrderError` with every cell that
    /// cannot be read.
    fn with_csv(&self, py: Python<'_>, text: &str) -> PyResult<Self> {
        run(py, || self.document.clone().with_csv(text)).map(|document| Self { document })
    }

    /// Orders what is short after salvage, and of the other materials whatever has a price. Raises `OrderError` with
    /// every fault.
    fn order_for(&self, py: Python<'_>, salvaged: &Salvaged) -> PyResult<Order> {
        run(py, || {
            let made = self.document.order_for(salvaged.core(), &salvaged.take_offs())?;
            let json = salvaged.job(Some(&made)).to_json()?;
            Ok(Order { core: made, json })
        })
    }

    /// The take-off with its bars of batten chosen by the prices of this document, if each length on sale has one: its
    /// `cut_battens` is the cutting list that goes with an order. That bars may come in bundles is not looked at.
    fn with_bar_prices(&self, py: Python<'_>, take_off: &TakeOff) -> PyResult<TakeOff> {
        run(py, || Ok(self.document.with_bar_prices(take_off.core()))).map(TakeOff::from)
    }

    /// The order of `order_for` on the low, the likely and the high count of each item, for what the tape's tolerance is
    /// worth: hand in the salvage of each. Raises `OrderError` with every fault.
    fn order_range_for(
        &self,
        py: Python<'_>,
        low: &Salvaged,
        likely: &Salvaged,
        high: &Salvaged,
    ) -> PyResult<(Order, Order, Order)> {
        run(py, || {
            let all = [low, likely, high];
            let take_offs = all.map(Salvaged::take_offs);
            let [a, b, c] = &take_offs;
            let [low, likely, high] = self.document.order_range_for(all.map(Salvaged::core), [a, b, c])?;
            let with_json = |made: core::Order, of: &Salvaged| {
                let json = of.job(Some(&made)).to_json()?;
                Ok::<_, slopewright::Error>(Order { core: made, json })
            };
            let [of_low, of_likely, of_high] = all;
            Ok((with_json(low, of_low)?, with_json(likely, of_likely)?, with_json(high, of_high)?))
        })
    }

    /// For each line of an order whose breakage is stated, as (item, choices): what each number to order costs on
    /// average, if a second delivery costs so much. Raises `OrderError` with every fault.
    fn second_deliveries(
        &self,
        py: Python<'_>,
        made: &Order,
        delivery: Decimal,
    ) -> PyResult<Vec<(String, Vec<DeliveryChoice>)>> {
        let all = run(py, || self.document.second_deliveries(&made.core, delivery))?;
        let choices =
            |of: core::ItemChoices| (of.item, of.choices.into_iter().map(DeliveryChoice::from).collect());
        Ok(all.into_iter().map(choices).collect())
    }

    /// The order as the bytes of an .xlsx workbook, in which the figures follow what is changed. Raises `OrderError` with
    /// every fault.
    fn workbook<'py>(&self, py: Python<'py>, salvaged: &Salvaged) -> PyResult<Bound<'py, PyBytes>> {
        let bytes = run(py, || {
            slopewright_workbook::order_workbook(&self.document, salvaged.core(), &salvaged.take_offs())
        })?;
        Ok(PyBytes::new(py, &bytes))
    }

    /// Orders so many of each item. Raises `OrderError` with every fault.
    fn order(&self, py: Python<'_>, wanted: Vec<(String, u64)>) -> PyResult<Order> {
        run(py, || {
            let wanted: Vec<Wanted> =
                wanted.into_iter().map(|(item, count)| Wanted::exactly(item, count)).collect();
            let made = self.document.order(&wanted)?;
            let json = slopewright::output::to_json(&made)?;
            Ok(Order { core: made, json })
        })
    }

    fn __repr__(&self) -> String {
        format!("OrderDocument({:?}, prices={})", self.document.currency, self.document.prices.len())
    }
}

/// An order: lines with packs, spare, prices and masses, and what is to be paid.
#[pyclass(frozen, module = "slopewright")]
#[derive(Debug)]
pub(crate) struct Order {
    core: core::Order,
    json: String,
}

impl Order {
    pub(crate) const fn core(&self) -> &core::Order {
        &self.core
    }
}

#[pymethods]
impl Order {
    /// The lines.
    #[getter]
    fn lines(&self) -> Vec<OrderLine> {
        self.core.lines.iter().map(OrderLine::from).collect()
    }

    /// The currency by its three letters.
    #[getter]
    fn currency(&self) -> &str {
        &self.core.total.currency
    }

    /// Before tax, as a `decimal.Decimal`.
    #[getter]
    fn net(&self) -> Decimal {
        self.core.total.net
    }

    /// All tax, as a `decimal.Decimal`.
    #[getter]
    fn tax(&self) -> Decimal {
        self.core.total.tax
    }

    /// What is to be paid, as a `decimal.Decimal`.
    #[getter]
    fn gross(&self) -> Decimal {
        self.core.total.gross
    }

    /// The mass of everything whose mass is known, in kilograms, as a `decimal.Decimal`.
    #[getter]
    fn mass_kg(&self) -> Decimal {
        self.core.mass_kg
    }

    /// Pallets in all.
    #[getter]
    const fn pallet_count(&self) -> u64 {
        self.core.pallets
    }

    /// Lifts in all, if the load of one is stated.
    #[getter]
    const fn lift_count(&self) -> Option<u64> {
        self.core.lifts
    }

    /// Materials that have no price and are not ordered.
    #[getter]
    fn unpriced(&self) -> Vec<String> {
        self.core.unpriced.clone()
    }

    /// What the reader must know.
    #[getter]
    fn findings(&self) -> Vec<Finding> {
        self.core.findings().iter().map(Finding::from).collect()
    }

    /// A table: order, totals or findings. Raises `OutputError` for another name.
    #[pyo3(signature = (name = "order"))]
    fn table(&self, py: Python<'_>, name: &str) -> PyResult<Table> {
        let mut tables = CoreTable::order(&self.core);
        tables.push(CoreTable::findings(&self.core.findings()));
        run(py, || CoreTable::named(tables, name)).map(Table::from)
    }

    /// The whole result, with the salvage that it follows from, as JSON text.
    fn to_json(&self) -> &str {
        &self.json
    }

    fn __repr__(&self) -> String {
        format!(
            "Order(lines={}, gross={} {})",
            self.core.lines.len(),
            self.core.total.gross,
            self.core.total.currency
        )
    }

    fn _repr_html_(&self) -> String {
        let total = &self.core.total;
        let sums = format!(
            "To pay {} {}: net {}, tax {}. {} kg, {} pallets.",
            total.gross,
            total.currency,
            total.net,
            total.tax,
            self.core.mass_kg.round_dp(1),
            self.core.pallets
        );
        let mut html = display::heading(&sums);
        html += &display::main_columns(
            &CoreTable::order_lines(&self.core),
            &[
                "item",
                "description",
                "needed_count",
                "ordered_count",
                "pack_count",
                "loose_count",
                "net",
                "currency",
                "mass_kg",
                "working",
            ],
        );
        if !self.core.unpriced.is_empty() {
            html += &display::paragraph(&format!("Without a price: {}.", self.core.unpriced.join("; ")));
        }
        html
    }

    /// The lines as an Arrow stream in a capsule, for whatever reads those.
    #[pyo3(signature = (requested_schema: "object | None" = None) -> "object")]
    fn __arrow_c_stream__<'py>(
        &self,
        py: Python<'py>,
        requested_schema: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        Table::from(CoreTable::order_lines(&self.core)).stream(py, requested_schema)
    }
}

/// How many to order where running out means a second delivery: each choice with its average cost, from the least that
/// could be enough upwards, a pack at a time. Raises `OrderError` with every fault.
#[pyfunction]
#[pyo3(signature = (*, need, breakage_percent, price_each, delivery, pack = 1, worth_left_over_percent = Decimal::ZERO))]
pub(crate) fn second_delivery(
    py: Python<'_>,
    need: u64,
    breakage_percent: Decimal,
    price_each: Decimal,
    delivery: Decimal,
    pack: u64,
    worth_left_over_percent: Decimal,
) -> PyResult<Vec<DeliveryChoice>> {
    run(py, || {
        let weighed = core::SecondDelivery {
            need,
            breakage: format!("{breakage_percent} %").parse()?,
            pack,
            price_each,
            worth_left_over: format!("{worth_left_over_percent} %").parse()?,
            delivery,
        };
        weighed.choices()
    })
    .map(|choices| choices.into_iter().map(DeliveryChoice::from).collect())
}

/// One number to order, and what it costs on average beyond the units that are needed.
#[pyclass(frozen, module = "slopewright", get_all)]
#[derive(Debug)]
pub(crate) struct DeliveryChoice {
    /// How many are ordered.
    ordered: u64,
    /// The chance that they are too few.
    chance_short: f64,
    /// How many are left over on average.
    left_over: f64,
    /// How many are missing on average.
    missing: f64,
    /// What is ordered beyond the need, less what is still worth something, on average, in the currency of the price.
    surplus_cost: f64,
    /// The second delivery and what it brings, on average, in the currency of the price.
    delivery_cost: f64,
    /// Both together, in the currency of the price.
    cost: f64,
    /// Whether no other choice costs less.
    cheapest: bool,
}

impl From<core::DeliveryChoice> for DeliveryChoice {
    fn from(choice: core::DeliveryChoice) -> Self {
        Self {
            ordered: choice.ordered,
            chance_short: choice.chance_short,
            left_over: choice.left_over,
            missing: choice.missing,
            surplus_cost: choice.surplus_cost,
            delivery_cost: choice.delivery_cost,
            cost: choice.cost,
            cheapest: choice.cheapest,
        }
    }
}

#[pymethods]
impl DeliveryChoice {
    fn __repr__(&self) -> String {
        format!("DeliveryChoice({}, cost={:.2})", self.ordered, self.cost)
    }
}

/// One line of an order.
#[pyclass(frozen, module = "slopewright", get_all)]
#[derive(Debug)]
pub(crate) struct OrderLine {
    /// What it is.
    item: String,
    /// In words.
    description: String,
    /// How many are needed.
    needed: u64,
    /// How many are wanted with spare.
    wanted: u64,
    /// How many are ordered.
    ordered: u64,
    /// Full packs in that.
    packs: u64,
    /// Single ones beside them.
    loose: u64,
    /// How many are ordered beyond the need.
    surplus: u64,
    /// The chance that breakages use up more than the surplus, where a breakage is stated.
    chance_short: Option<f64>,
    /// After discounts, before tax, as a `decimal.Decimal`.
    net: Decimal,
    /// The tax, as a `decimal.Decimal`.
    tax: Decimal,
    /// The mass in kilograms, where that of one is known, as a `decimal.Decimal`.
    mass_kg: Option<Decimal>,
    /// How it was reached.
    working: Vec<Working>,
}

impl From<&core::OrderLine> for OrderLine {
    fn from(line: &core::OrderLine) -> Self {
        Self {
            item: line.item.clone(),
            description: line.description.clone(),
            needed: line.needed,
            wanted: line.wanted,
            ordered: line.ordered,
            packs: line.packs,
            loose: line.loose,
            surplus: line.surplus,
            chance_short: line.chance_short,
            net: line.net,
            tax: line.tax,
            mass_kg: line.mass_kg,
            working: line.working.iter().map(Working::from).collect(),
        }
    }
}

#[pymethods]
impl OrderLine {
    fn __repr__(&self) -> String {
        format!("OrderLine({:?}, needed={}, ordered={})", self.item, self.needed, self.ordered)
    }
}
