//! The answer: have we enough, and what is to be bought, by unit.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::Page;
use super::words::{LONG, named};

/// What one unit needs, has and lacks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Short {
    pub(super) unit: String,
    pub(super) needed: u64,
    pub(super) met: u64,
    pub(super) to_buy: u64,
}

/// The needs of the job by unit, in the order in which they come.
pub(super) fn shortages(page: &Page<'_>) -> Vec<Short> {
    if let Some(salvaged) = page.salvaged {
        let row = |of: &crate::salvage::Shortage| Short {
            unit: of.unit.to_string(),
            needed: of.needed,
            met: of.met,
            to_buy: of.to_buy,
        };
        return salvaged.shortages.iter().map(row).collect();
    }
    let mut order: Vec<String> = Vec::new();
    let mut sums: BTreeMap<String, u64> = BTreeMap::new();
    for need in page.take_offs.iter().flat_map(|take_off| take_off.needs()) {
        let unit = need.unit.to_string();
        if !order.contains(&unit) {
            order.push(unit.clone());
        }
        *sums.entry(unit).or_default() += need.count;
    }
    let short = |unit: String| {
        let needed = sums.get(&unit).copied().unwrap_or(0);
        Short { unit, needed, met: 0, to_buy: needed }
    };
    order.into_iter().map(short).collect()
}

pub(super) fn answer(page: &Page<'_>) -> Markup {
    let rows = shortages(page);
    let short: u64 = rows.iter().map(|row| row.to_buy).sum();
    let (class, says) = match page.salvaged {
        Some(salvaged) => {
            let says = salvaged.answer.first().cloned().unwrap_or_default();
            (if short == 0 { "answer enough" } else { "answer short" }, says)
        }
        None => ("answer", format!("{short} units of covering are needed; no old ones are counted yet.")),
    };
    html! {
        section aria-label="The answer" {
            div class=(class) { p { (named(&says, LONG * 2)) } }
            table.lead {
                thead {
                    tr {
                        th scope="col" { "Unit" }
                        th.n scope="col" { "Needed" }
                        th.n scope="col" { "Met" }
                        th.n scope="col" { "To buy" }
                    }
                }
                tbody {
                    @for row in rows.iter().filter(|row| row.needed > 0) {
                        tr {
                            th scope="row" { (named(&row.unit, LONG)) }
                            td.n { (row.needed) }
                            td.n { (row.met) }
                            td.n { strong { (row.to_buy) } }
                        }
                    }
                }
            }
            @if let Some(order) = page.order {
                @let total = &order.total;
                p {
                    "The order: " strong { (total.gross) " " (named(&total.currency, 3)) } " to pay ("
                    (total.net) " net), " (order.mass_kg.round_dp(0)) " kg, " (order.pallets) " pallets. "
                    a href="#order" { "What to buy" }
                }
            }
        }
    }
}
