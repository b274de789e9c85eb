//! The tables of the order room: the lines, what is to be paid, and the change of load.

use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use super::columns::{count, figure, text};
use super::{Column, Table, Values};
use crate::order::{Order, SlopeLoad, Wanted};
use crate::reason::Working;

fn money(name: &'static str, values: impl Iterator<Item = Option<Decimal>>) -> Column {
    Column { name, values: Values::Money(values.collect()) }
}

impl Table {
    /// Every table of an order: order, totals.
    #[must_use]
    pub fn order(made: &Order) -> Vec<Self> {
        vec![Self::order_lines(made), Self::totals(made)]
    }

    /// The lines of an order.
    #[must_use]
    pub fn order_lines(made: &Order) -> Self {
        let all = || made.lines.iter();
        let currency = &made.total.currency;
        Self {
            name: "order",
            columns: vec![
                text("item", all().map(|line| line.item.clone())),
                text("description", all().map(|line| line.description.clone())),
                count("needed_count", all().map(|line| Some(line.needed))),
                count("wanted_count", all().map(|line| Some(line.wanted))),
                count("ordered_count", all().map(|line| Some(line.ordered))),
                count("pack_count", all().map(|line| Some(line.packs))),
                count("loose_count", all().map(|line| Some(line.loose))),
                count("surplus_count", all().map(|line| Some(line.surplus))),
                figure("short_percent", all().map(|line| line.chance_short.map(|chance| chance * 100.0))),
                money("price", all().map(|line| Some(line.price))),
                count("per_count", all().map(|line| Some(line.per))),
                money("net", all().map(|line| Some(line.net))),
                figure("tax_percent", all().map(|line| Some(line.tax_rate.chance() * 100.0))),
                money("tax", all().map(|line| Some(line.tax))),
                text("currency", all().map(|_| currency.clone())),
                figure("mass_kg", all().map(|line| line.mass_kg.and_then(|mass| mass.to_f64()))),
                count("pallet_count", all().map(|line| Some(line.pallets))),
                count("lift_count", all().map(|line| line.lifts)),
                text(
                    "working",
                    all().map(|line| line.working.iter().map(Working::sum).collect::<Vec<_>>().join("; ")),
                ),
            ],
        }
    }

    /// What is to be paid: a row for each rate of tax, and one, without a rate, for all of it.
    #[must_use]
    pub fn totals(made: &Order) -> Self {
        let total = &made.total;
        let rates = total
            .taxes
            .iter()
            .map(|row| (Some(row.rate.chance() * 100.0), row.net, row.tax, row.net.checked_add(row.tax)));
        let rows: Vec<_> = rates.chain([(None, total.net, total.tax, Some(total.gross))]).collect();
        let all = || rows.iter();
        Self {
            name: "totals",
            columns: vec![
                figure("tax_percent", all().map(|(rate, ..)| *rate)),
                money("net", all().map(|(_, net, ..)| Some(*net))),
                money("tax", all().map(|(_, _, tax, _)| Some(*tax))),
                money("gross", all().map(|(.., gross)| *gross)),
                text("currency", all().map(|_| total.currency.clone())),
            ],
        }
    }

    /// What is wanted as a range.
    #[must_use]
    pub fn range(wanted: &[Wanted]) -> Self {
        let all = || wanted.iter();
        Self {
            name: "range",
            columns: vec![
                text("item", all().map(|of| of.item.clone())),
                count("low_count", all().map(|of| Some(of.low))),
                count("likely_count", all().map(|of| Some(of.likely))),
                count("high_count", all().map(|of| Some(of.high))),
            ],
        }
    }

    /// The old covering off against the new covering on.
    #[must_use]
    pub fn load(loads: &[SlopeLoad]) -> Self {
        let all = || loads.iter();
        Self {
            name: "load",
            columns: vec![
                text("roof", all().map(|of| of.roof.clone())),
                text("slope", all().map(|of| of.slope.clone())),
                figure("area_m2", all().map(|of| Some(of.change.area_m2))),
                figure("old_kg_per_m2", all().map(|of| Some(of.change.old_kg_per_m2))),
                figure("new_kg_per_m2", all().map(|of| Some(of.change.new_kg_per_m2))),
                figure("change_kg", all().map(|of| Some(of.change.change_kg))),
                figure("change_percent", all().map(|of| of.change.change_share.map(|share| share * 100.0))),
                text("message", all().map(|of| of.change.message.clone().unwrap_or_default())),
                text("working", all().map(|of| of.change.working.sum())),
            ],
        }
    }
}
