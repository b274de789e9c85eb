//! The answer: which bars to buy, how to cut each, what is left, and how good that is.

use core::fmt;

use rust_decimal::Decimal;
use serde::{Serialize, Serializer};

use super::{
    engine::{Answer, solve},
    job::{CuttingJob, Objective, Origin, Reading, from_tenths, tenths},
    task::Effort,
};
use crate::{
    error::{Fault, FaultKind, Result},
    quantity::{Length, LengthIn as _, figure},
};

/// One piece as it is cut from a bar.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cut {
    /// Its length.
    #[serde(rename = "length_m", serialize_with = "in_metres")]
    pub length: Length,
    /// What it is for, from the job.
    pub label: String,
    /// The row of the job that asked for it, counted from 0.
    pub row: usize,
}

/// One bar and how it is cut.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bar {
    /// The length of the bar.
    #[serde(rename = "length_m", serialize_with = "in_metres")]
    pub length: Length,
    /// Whether it is an offcut that was in hand.
    pub in_hand: bool,
    /// The pieces, longest first.
    pub cuts: Vec<Cut>,
    /// What is left at the end.
    #[serde(rename = "offcut_m", serialize_with = "in_metres")]
    pub offcut: Length,
    /// Whether what is left is worth keeping.
    pub keep: bool,
}

/// Equal bars, all cut alike.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BarGroup {
    /// How many bars.
    pub count: usize,
    /// The first of them; the labels of the others differ at most.
    pub bar: Bar,
    /// Their places in `CuttingPlan::bars`.
    pub places: Vec<usize>,
}

/// How many of one stock length to buy.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Purchase {
    /// The stock length.
    #[serde(rename = "length_m", serialize_with = "in_metres")]
    pub length: Length,
    /// How many.
    pub count: usize,
    /// The price of one.
    pub price: Option<Decimal>,
}

/// A cutting list with its proof.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CuttingPlan {
    /// Every bar that is cut.
    pub bars: Vec<Bar>,
    /// What to buy.
    pub purchases: Vec<Purchase>,
    /// Offcuts worth keeping, longest first.
    #[serde(rename = "offcuts_m", serialize_with = "all_in_metres")]
    pub offcuts: Vec<Length>,
    /// What is thrown away: the saw's dust and the offcuts too short to keep.
    #[serde(rename = "waste_m", serialize_with = "in_metres")]
    pub waste: Length,
    /// What was made as small as possible.
    pub objective: Objective,
    /// How much of it this plan takes: bars, metres or money.
    pub value: Decimal,
    /// No plan can take less than this. It is proved in whole numbers.
    pub bound: Decimal,
    /// Whether the plan meets the bound, so that no plan is better.
    pub proved: bool,
}

/// How many elementary steps a search may take where nothing else is said: a second or so.
pub const USUAL_STEPS: u64 = 1_500_000_000;

/// Finds the cutting list that buys least.
///
/// The search is limited by steps, not by time, so the same job always gives the same list. The bound is proved in any
/// case; [`CuttingPlan::proved`] says whether the list meets it.
///
/// # Errors
/// If a length, the kerf or a price is out of range, a piece is longer than any bar, or the bars that can be had do
/// not suffice.
///
/// # Example
/// ```
/// use slopewright::{quantity::{m, mm}, stock::{CuttingJob, Piece, StockLength, cut}};
/// let job = CuttingJob {
///     pieces: vec![
///         Piece { length: m(2.4), count: 3, label: "row 1".into() },
///         Piece { length: m(1.2), count: 2, label: "row 2".into() },
///     ],
///     stock: vec![StockLength::of(m(4.8))],
///     offcuts: vec![],
///     kerf: mm(0.0),
///     least_offcut: m(0.6),
/// };
/// let plan = cut(&job)?;
/// assert_eq!(plan.bars.len(), 2);
/// assert!(plan.proved);
/// assert_eq!(plan.groups()[0].bar.to_string(), "4.8 m: 2.40 + 1.20 + 1.20, no offcut");
/// # Ok::<(), slopewright::Error>(())
/// ```
pub fn cut(job: &CuttingJob) -> Result<CuttingPlan> {
    cut_within(job, USUAL_STEPS)
}

/// [`cut`] with a stated number of steps: fewer for a quicker answer with perhaps a wider gap, more for the reverse.
///
/// # Errors
/// As [`cut`].
pub fn cut_within(job: &CuttingJob, steps: u64) -> Result<CuttingPlan> {
    cut_from(job, &[], steps)
}

/// [`cut_within`], beginning from bars as somebody has cut them already: for each bar its pieces, in tenths of a
/// millimetre.
pub(super) fn cut_from(job: &CuttingJob, known: &[Vec<usize>], steps: u64) -> Result<CuttingPlan> {
    let reading = job.read()?;
    if reading.task.sizes.is_empty() {
        return Ok(write(job, &reading, &Answer { packing: Vec::new(), cost: 0, bound: 0 }));
    }
    let mut effort = Effort::of(steps);
    match solve(&reading.task, reading.packing(known), &mut effort) {
        Some(answer) => Ok(write(job, &reading, &answer)),
        None => Err(Fault::new(
            FaultKind::StockTooLittle,
            "no way was found to cut all pieces from the bars there are",
        )
        .at("stock")
        .into()),
    }
}

fn write(job: &CuttingJob, reading: &Reading, answer: &Answer) -> CuttingPlan {
    // Pieces of one length are handed out to the rows in the order of the job.
    let mut rows: Vec<Vec<(usize, usize)>> =
        reading.rows.iter().map(|rows| rows.iter().rev().copied().collect()).collect();
    let keep_from = tenths(job.least_offcut).max(1);
    let mut bars = Vec::with_capacity(answer.packing.iter().map(|(_, times)| times).sum());
    let mut offcuts = Vec::new();
    let mut waste = 0;
    let mut bought = vec![0_usize; job.stock.len()];
    for (pattern, times) in &answer.packing {
        let Some(&(length, origin)) = reading.bars.get(pattern.kind) else { continue };
        for _ in 0..*times {
            let mut cuts = Vec::with_capacity(pattern.take.iter().map(|(_, count)| count).sum());
            let mut used = 0;
            for &(place, count) in &pattern.take {
                let piece = reading.lengths.get(place).copied().unwrap_or(0);
                for _ in 0..count {
                    let row = rows.get_mut(place).and_then(next_row).unwrap_or(0);
                    let label = job.pieces.get(row).map(|piece| piece.label.clone()).unwrap_or_default();
                    cuts.push(Cut { length: from_tenths(piece), label, row });
                    used += piece + reading.kerf;
                }
            }
            let left = length.saturating_sub(used);
            let keep = left >= keep_from;
            waste += length - left - cuts.iter().map(|cut| tenths(cut.length)).sum::<usize>();
            if keep {
                offcuts.push(left);
            } else {
                waste += left;
            }
            if let Origin::Stock(row) = origin
                && let Some(count) = bought.get_mut(row)
            {
                *count += 1;
            }
            bars.push(Bar {
                length: from_tenths(length),
                in_hand: origin == Origin::InHand,
                cuts,
                offcut: from_tenths(left),
                keep,
            });
        }
    }
    offcuts.sort_unstable_by(|a, b| b.cmp(a));
    let purchases = job
        .stock
        .iter()
        .zip(bought)
        .filter(|(_, count)| *count > 0)
        .map(|(stock, count)| Purchase { length: stock.length, count, price: stock.price })
        .collect();
    let money = |cost: u64| (Decimal::from(cost) * reading.unit).normalize();
    CuttingPlan {
        bars,
        purchases,
        offcuts: offcuts.into_iter().map(from_tenths).collect(),
        waste: from_tenths(waste),
        objective: reading.objective,
        value: money(answer.cost),
        bound: money(answer.bound),
        proved: answer.bound >= answer.cost,
    }
}

/// Takes one piece off the first row that still wants one.
fn next_row(rows: &mut Vec<(usize, usize)>) -> Option<usize> {
    let (row, left) = rows.last_mut()?;
    let row = *row;
    *left -= 1;
    if *left == 0 {
        rows.pop();
    }
    Some(row)
}

impl CuttingPlan {
    /// The bars in groups that are cut alike, in the order of the list.
    #[must_use]
    pub fn groups(&self) -> Vec<BarGroup> {
        let alike = |a: &Bar, b: &Bar| {
            tenths(a.length) == tenths(b.length)
                && a.in_hand == b.in_hand
                && a.cuts.iter().map(|cut| tenths(cut.length)).eq(b.cuts.iter().map(|cut| tenths(cut.length)))
        };
        let mut groups: Vec<BarGroup> = Vec::new();
        for (place, bar) in self.bars.iter().enumerate() {
            // Equal bars stand next to each other.
            match groups.last_mut() {
                Some(group) if alike(&group.bar, bar) => {
                    group.count += 1;
                    group.places.push(place);
                }
                _ => groups.push(BarGroup { count: 1, bar: bar.clone(), places: vec![place] }),
            }
        }
        groups
    }

    /// How far the plan may be from the least possible, as a share of the bound: 0.02 for two in a hundred.
    #[must_use]
    pub fn gap(&self) -> Decimal {
        if self.bound.is_zero() {
            return if self.proved { Decimal::ZERO } else { Decimal::ONE };
        }
        (self.value - self.bound) / self.bound
    }
}

/// `4.8 m: 2.40 + 2.35, offcut 0.05`. Lengths are in metres, to the millimetre where they need it.
impl fmt::Display for Bar {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} m: ", figure(self.length.m(), 4))?;
        for (index, cut) in self.cuts.iter().enumerate() {
            if index > 0 {
                f.write_str(" + ")?;
            }
            f.write_str(&saw(cut.length))?;
        }
        if tenths(self.offcut) == 0 {
            f.write_str(", no offcut")
        } else {
            write!(f, ", offcut {}", saw(self.offcut))
        }
    }
}

impl fmt::Display for BarGroup {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} x {}", self.count, self.bar)
    }
}

/// Metres with two decimals at least and no more than are needed.
fn saw(length: Length) -> String {
    let tenths = tenths(length);
    let decimals = if tenths.is_multiple_of(100) {
        2
    } else if tenths.is_multiple_of(10) {
        3
    } else {
        4
    };
    format!("{:.decimals$}", length.m())
}

/// Writes a length as a number of metres.
pub(super) fn in_metres<S: Serializer>(
    length: &Length,
    serializer: S,
) -> core::result::Result<S::Ok, S::Error> {
    serializer.serialize_f64(length.m())
}

/// Writes lengths as numbers of metres.
pub(super) fn all_in_metres<S: Serializer>(
    lengths: &[Length],
    serializer: S,
) -> core::result::Result<S::Ok, S::Error> {
    serializer.collect_seq(lengths.iter().map(|length| length.m()))
}
