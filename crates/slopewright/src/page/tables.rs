//! Tables of the page: the order, what came of the old units, the cutting list.

use maud::{Markup, html};

use super::words::{LONG, SENTENCE, named};
use crate::order::Order;
use crate::output::{Table, Values, meaning_of};
use crate::quantity::figure;
use crate::salvage::Salvaged;
use crate::takeoff::Line;

/// Some columns of a table, each headed by its name without the unit's mark.
pub(super) fn plain(table: &Table, columns: &[&str]) -> Markup {
    let shown: Vec<_> =
        columns.iter().filter_map(|name| table.columns.iter().find(|column| column.name == *name)).collect();
    let is_number = |values: &Values| !matches!(values, Values::Text(_));
    let class = if columns.first() == Some(&"item") { "lead" } else { "" };
    html! {
        table class=[Some(class).filter(|class| !class.is_empty())] {
            thead {
                tr {
                    @for column in &shown {
                        th.n[is_number(&column.values)] scope="col" title=(meaning_of(column.name).unwrap_or_default()) {
                            (heading(column.name))
                        }
                    }
                }
            }
            tbody {
                @for row in 0..table.rows() {
                    tr {
                        @for column in &shown {
                            td.n[is_number(&column.values)] { (cell(&column.values, row)) }
                        }
                    }
                }
            }
        }
    }
}

/// `bought_count` as `bought`, `length_m` as `length, m`.
fn heading(name: &str) -> String {
    let units = [
        ("_count", ""),
        ("_mm", ", mm"),
        ("_m2", ", m²"),
        ("_kg", ", kg"),
        ("_percent", ", %"),
        ("_m", ", m"),
    ];
    let (stem, unit) = units
        .iter()
        .find_map(|(end, unit)| name.strip_suffix(end).map(|stem| (stem, *unit)))
        .unwrap_or((name, ""));
    format!("{}{unit}", stem.replace('_', " "))
}

fn cell(values: &Values, row: usize) -> Markup {
    match values {
        Values::Text(values) => named(values.get(row).map_or("", String::as_str), SENTENCE),
        Values::Count(values) => {
            html! { (values.get(row).copied().flatten().map_or_else(String::new, |n| n.to_string())) }
        }
        Values::Figure(values) => {
            html! { (values.get(row).copied().flatten().map_or_else(String::new, |value| figure(value, 3).to_string())) }
        }
        Values::Money(values) => {
            html! { (values.get(row).copied().flatten().map_or_else(String::new, |value| value.to_string())) }
        }
    }
}

pub(super) fn order(made: &Order) -> Markup {
    let total = &made.total;
    html! {
        section #order aria-labelledby="order-title" {
            h2 #order-title { "Order" }
            (plain(&Table::order_lines(made), &["item", "needed_count", "ordered_count", "net"]))
            p {
                "Net " (total.net) ", tax " (total.tax) ", to pay " strong { (total.gross) " " (named(&total.currency, 3)) }
                ". " (made.mass_kg.round_dp(1)) " kg, " (made.pallets) " pallets"
                @if let Some(lifts) = made.lifts { ", " (lifts) " lifts" }
                "."
            }
            @if !made.unpriced.is_empty() {
                p { "Without a price and not ordered: " (named(&made.unpriced.join(", "), SENTENCE)) }
            }
            details.block.working {
                summary { "How each amount was reached" }
                @for line in &made.lines {
                    details.line {
                        summary {
                            span.item { (named(&line.item, LONG)) }
                            span.amount { (line.ordered) " to order" }
                        }
                        div.why {
                            @if !line.description.is_empty() { p { (named(&line.description, LONG)) } }
                            @for step in &line.working { p { (named(&step.to_string(), SENTENCE)) } }
                        }
                    }
                }
            }
        }
    }
}

pub(super) fn salvage(salvaged: &Salvaged) -> Markup {
    let tables = Table::salvage(salvaged);
    let table = |name: &str| tables.iter().find(|table| table.name == name && table.rows() > 0);
    let parts: [(&str, &str, &[&str]); 5] = [
        ("Who gets the old units", "needs", &["slope", "unit", "needed_count", "met_count", "bought_count"]),
        (
            "What came off",
            "supplies",
            &["unit", "came_off_count", "salvaged_count", "used_count", "left_count"],
        ),
        ("Held back", "reserves", &["roof", "unit", "reserve_wanted_count", "reserve_count"]),
        (
            "Counted against what should have come off",
            "checks",
            &["unit", "expected_count", "came_off_count", "difference_percent"],
        ),
        (
            "If it cannot be bought: slopes to cover in something else",
            "alternatives",
            &["other_covering", "gone_count", "freed_units", "bought_count"],
        ),
    ];
    html! {
        section #old-units aria-labelledby="old-units-title" {
            h2 #old-units-title { "Old units" }
            @for (title, name, columns) in parts {
                @if let Some(table) = table(name) { h3 { (title) } (plain(table, columns)) }
            }
            @for of in &salvaged.shared.supplies {
                details.line {
                    summary {
                        span.item { (named(&of.supply.unit.to_string(), LONG)) }
                        span.amount { (of.supply.salvaged) " relied on" }
                    }
                    div.why { @for step in &of.supply.working { p { (named(&step.to_string(), SENTENCE)) } } }
                }
            }
        }
    }
}

/// Lines of what to buy, each with its working folded under it.
pub(super) fn of_lines(lines: &[Line]) -> Markup {
    html! {
        @for line in lines {
            details.line {
                summary {
                    span.item { (named(&line.item, LONG)) " " span.soft { (named(&line.slope, LONG)) } }
                    span.amount { (line.count.unwrap_or(0)) }
                }
                div.why { p { (named(&line.working.sum(), SENTENCE)) } }
            }
        }
    }
}
