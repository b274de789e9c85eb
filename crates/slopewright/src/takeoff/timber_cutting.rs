//! Timbers round openings cut from stock: headers, trimmers and added rafters out of the lengths that the survey states.

use super::{Line, Part, TakeOff};
use crate::error::Result;
use crate::quantity::{LengthIn as _, figure, m};
use crate::reason::Working;
use crate::stock::{CuttingJob, CuttingPlan, Piece, Purchase, StockLength, cut_within};

/// The steps of the search: a roof has few timbers.
const STEPS: u64 = 30_000_000;
/// What a line of timber to buy begins with.
pub(crate) const TIMBER_TO_BUY: &str = "timber to buy";

/// A cutting list as it is read at the saw: what to bring, and each bar with its cuts and what they are for.
pub(super) fn saw_list(title: &str, plan: &CuttingPlan) -> Vec<String> {
    let bring = |bought: &Purchase| format!("  bring {} x {} m", bought.count, figure(bought.length.m(), 3));
    let bars = plan.bars.iter().zip(1..).map(|(bar, number)| {
        let uses: Vec<&str> = bar.cuts.iter().map(|cut| cut.label.as_str()).collect();
        format!("    bar {number}: {bar} ({})", uses.join("; "))
    });
    core::iter::once(title.to_owned())
        .chain(plan.purchases.iter().map(bring))
        .chain(["  cut:".to_owned()])
        .chain(bars)
        .collect()
}

impl TakeOff {
    /// Cuts the timbers round all openings from the lengths that the survey states. `None` where it states none, or
    /// nothing is to be cut. The section is the survey's; whether a timber of it will do is for a structural engineer or
    /// the local code.
    ///
    /// # Errors
    /// If a timber is longer than every length on sale.
    pub fn cut_timbers(&self) -> Result<Option<CuttingPlan>> {
        let pieces = self.timber_pieces();
        if pieces.is_empty() || self.timbers.stock.is_empty() {
            return Ok(None);
        }
        let job = CuttingJob {
            pieces,
            stock: self.timbers.stock.iter().map(|length| StockLength::of(*length)).collect(),
            offcuts: Vec::new(),
            kerf: self.saw_kerf(),
            least_offcut: m(0.0),
        };
        cut_within(&job, STEPS).map(Some)
    }

    /// The cutting list of the timbers as the person at the saw reads it; empty where there is none.
    ///
    /// # Errors
    /// As [`TakeOff::cut_timbers`].
    pub fn timber_list(&self) -> Result<Vec<String>> {
        let Some(plan) = self.cut_timbers()? else { return Ok(Vec::new()) };
        Ok(saw_list(&format!("timbers round openings{}", self.timber_section()), &plan))
    }

    fn timber_pieces(&self) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for slope in &self.slopes {
            for (opening, found) in slope.slope.openings.iter().zip(slope.openings(self)) {
                let Some(timbers) = found.timbers else { continue };
                let mut push = |what: &str, length_m: f64, count: u32| {
                    if count > 0 && length_m > 0.0 {
                        let label = format!("{what}, {}, {}", slope.name(), opening.name);
                        pieces.push(Piece { length: m(length_m), count, label });
                    }
                };
                push("header", timbers.header_m, timbers.headers);
                push("trimmer", timbers.trimmer_m, timbers.trimmers);
                for length_m in timbers.added_lengths_m {
                    push("added rafter", length_m, 1);
                }
            }
        }
        pieces
    }

    /// A line for each length of timber to buy.
    pub(super) fn timber_bar_lines(&self, lines: &mut Vec<Line>) {
        let Ok(Some(plan)) = self.cut_timbers() else { return };
        let pieces: usize = plan.bars.iter().map(|bar| bar.cuts.len()).sum();
        let numbers = format!(
            "{pieces} timbers; {} {} bought, the least possible {}",
            plan.value.normalize(),
            if plan.purchases.len() > 1 || self.timbers.stock.len() > 1 { "m" } else { "bars" },
            plan.bound.normalize(),
        );
        for bought in &plan.purchases {
            let formula = "headers, trimmers and added rafters cut from stock";
            let working = Working::new("bars", formula, numbers.clone(), bought.count.to_string());
            let item =
                format!("{TIMBER_TO_BUY}{}, {} m", self.timber_section(), figure(bought.length.m(), 3));
            let metres = bought.length.m() * f64::from(u32::try_from(bought.count).unwrap_or(u32::MAX));
            let line = Line::new("", Part::Timbers, item, "", working);
            lines.push(line.count(bought.count as u64).length(metres));
        }
    }
}
