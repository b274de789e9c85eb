//! Battens as they are really laid: every row jointed over rafters, the joints staggered, offcuts carried on.

use rust_decimal::Decimal;
use serde::Serialize;

use super::{
    basket::{Baskets, Cheapest, Cut},
    battens_bound::Joints,
    battens_lay::{Bench, Laid, Run},
    job::{CuttingJob, Piece, Reading, StockLength, check_length, from_tenths, tenths},
    plan::{CuttingPlan, all_in_metres, cut_from, in_metres},
    task::{Effort, Kind, real},
};
use crate::{
    error::{Error, Fault, FaultKind, Result},
    quantity::{Length, LengthIn as _, Limit, limit, metres},
};

/// How many joints may stand on one rafter within so many rows that follow each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Stagger {
    /// The most joints.
    pub joints: usize,
    /// In any so many consecutive rows.
    pub rows: usize,
}

/// The rule for joints in battens. Its numbers come from the rules data.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct JointRule {
    /// The least length of a piece.
    #[serde(rename = "least_length_m", serialize_with = "in_metres")]
    pub least_length: Length,
    /// The least number of rafters a piece lies on.
    pub least_supports: usize,
    /// Up to and including this gauge the rows are close.
    #[serde(rename = "close_gauge_m", serialize_with = "in_metres")]
    pub close_gauge: Length,
    /// The stagger of close rows.
    pub close: Stagger,
    /// The stagger of rows further apart.
    pub wide: Stagger,
}

/// Where the rafters are, measured along the rows.
#[derive(Debug, Clone, PartialEq)]
pub enum Rafters {
    /// Equally spaced.
    Spaced {
        /// The centre of the first.
        first: Length,
        /// From centre to centre.
        spacing: Length,
    },
    /// Each centre, from left to right.
    At(Vec<Length>),
}

/// One row of batten.
#[derive(Debug, Clone, PartialEq)]
pub struct BattenRow {
    /// What it is called on the list: `row 12`.
    pub label: String,
    /// How far up the slope it is.
    pub up: Length,
    /// Where there is batten: from and to along the row, from left to right.
    pub runs: Vec<(Length, Length)>,
}

/// The battens of one slope.
#[derive(Debug, Clone, PartialEq)]
pub struct BattenJob {
    /// The rows, from the bottom up.
    pub rows: Vec<BattenRow>,
    /// The rafters.
    pub rafters: Rafters,
    /// The distance from row to row, which chooses the stagger.
    pub gauge: Length,
    /// The rule for joints.
    pub rule: JointRule,
    /// The lengths that can be bought.
    pub stock: Vec<StockLength>,
    /// Offcuts in hand.
    pub offcuts: Vec<Length>,
    /// What the saw takes at each cut.
    pub kerf: Length,
    /// The shortest offcut worth keeping.
    pub least_offcut: Length,
}

/// Why a piece departs from the rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Exception {
    /// The run itself is shorter than the least length, or lies on too few rafters: it is one piece.
    ShortRun,
    /// The run is longer than any stock length, and no joints leave pieces that are long enough.
    ShortPiece,
    /// Every choice of joints breaks the stagger.
    Stagger,
}

impl Exception {
    /// Why, as it stands behind a row of a cutting list.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::ShortRun => "; the row itself is short",
            Self::ShortPiece => "; a piece is short, no joint avoids it",
            Self::Stagger => "; joints closer than the stagger, no other place for them",
        }
    }
}

/// One piece in its place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BattenPiece {
    /// Where it begins, along the row.
    #[serde(rename = "from_m", serialize_with = "in_metres")]
    pub from: Length,
    /// Where it ends.
    #[serde(rename = "to_m", serialize_with = "in_metres")]
    pub to: Length,
    /// The bar it is cut from: its place in the cutting plan.
    pub bar: usize,
}

/// One run as it is laid.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunPlan {
    /// The pieces, from left to right.
    pub pieces: Vec<BattenPiece>,
    /// Where the joints are, all over rafter centres.
    #[serde(rename = "joints_m", serialize_with = "all_in_metres")]
    pub joints: Vec<Length>,
    /// Why the run departs from the rule, if it does.
    pub exception: Option<Exception>,
}

/// One row as it is laid.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RowPlan {
    /// The row's name.
    pub label: String,
    /// How far up the slope it is.
    #[serde(rename = "up_m", serialize_with = "in_metres")]
    pub up: Length,
    /// Its runs, from left to right.
    pub runs: Vec<RunPlan>,
}

/// The batten plan of a slope.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BattenPlan {
    /// The rows, from the bottom up.
    pub rows: Vec<RowPlan>,
    /// What to buy and how to cut it. Its own bound holds for the pieces as they are jointed here.
    pub cutting: CuttingPlan,
    /// No plan can take less than this, in the cutting plan's objective, wherever the joints were allowed to be.
    pub bound: Decimal,
    /// No plan that joints over rafters and keeps to the least pieces can take less than this; the stagger may make it
    /// take more.
    pub jointed_bound: Decimal,
    /// The net length of batten.
    #[serde(rename = "net_m", serialize_with = "in_metres")]
    pub net: Length,
}

/// The steps of the last search, over the pieces as jointed.
const CUTTING_STEPS: u64 = 200_000;
/// The steps of looking for the cheapest bars that a bound allows.
const BOUND_STEPS: u64 = 1_000_000;
/// The steps of laying runs again, and with one length on sale, where more is to be gained by it.
const MENDING_STEPS: usize = 40_000;
const MENDING_STEPS_OF_ONE_LENGTH: usize = 400_000;
/// Over the bound by one part in so many, runs need not be laid again.
const HARDLY_OVER: usize = 100;
/// By one part in so many, no search for more is worth its time.
const NEAR_ENOUGH: usize = 50;
/// Where along a row anything may be.
const ALONG: Limit = limit::along_row;
/// The most rafters.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a whole number that is small")]
const MOST_RAFTERS: usize = limit::rafters.most as usize;

/// Plans the battens of a slope: where each row is jointed and which bar each piece comes from.
///
/// Joints stand over rafter centres only; pieces keep to the least length and the least number of supports wherever the
/// run allows it; joints are staggered by the rule. Whatever cannot keep the rule carries its [`Exception`].
///
/// # Errors
/// If a length is out of range, runs overlap, rows are out of order, the rule contradicts itself, or a run is too long
/// for the stock and has no rafter to be jointed on.
pub fn lay_battens(job: &BattenJob) -> Result<BattenPlan> {
    let rafters = job.check()?;
    let runs = job.runs(&rafters);
    let stagger =
        if tenths(job.gauge) > tenths(job.rule.close_gauge) { job.rule.wide } else { job.rule.close };
    let joints = Joints {
        rafters: &rafters,
        least: tenths(job.rule.least_length),
        supports: job.rule.least_supports,
        kerf: tenths(job.kerf),
    };
    let net = runs.iter().map(|run| span(run.from, run.to)).sum();
    let of_use = &job.with_offcuts_of_use(&joints, &runs);
    let mut bench = Bench::new(of_use, joints, stagger, &runs);
    let mut laid = bench.lay(&runs);
    job.check_laid(&runs, &laid)?;
    let mut cutting = of_use.cut(&bench, &runs, &laid, 0)?;
    let bound = job.bound(net, &cutting);
    let jointed_bound = of_use.jointed_bound(&runs, &joints, &cutting).max(bound);
    if !is_near(&cutting, jointed_bound, HARDLY_OVER) {
        let share: f64 = (jointed_bound / cutting.value).try_into().unwrap_or(0.0);
        let least = share * bench.worth().0;
        let steps = if job.stock.len() > 1 { MENDING_STEPS } else { MENDING_STEPS_OF_ONE_LENGTH };
        let mut again = laid.clone();
        bench.lay_again(&runs, &mut again, least * (1.0 + 1.0 / real(HARDLY_OVER)));
        bench.mend(&runs, &mut again, least, least * (1.0 + 1.0 / real(NEAR_ENOUGH)), steps);
        let cut_again = of_use.cut(&bench, &runs, &again, 0)?;
        if cut_again.value <= cutting.value {
            (laid, cutting) = (again, cut_again);
        }
    }
    // A search over the pieces as they are now jointed may still save a bar.
    if !is_near(&cutting, jointed_bound, NEAR_ENOUGH) {
        cutting = of_use.cut(&bench, &runs, &laid, CUTTING_STEPS)?;
    }
    let rows = job.rows_of(&runs, &laid, &cutting);
    Ok(BattenPlan { rows, cutting, bound, jointed_bound, net: from_tenths(net) })
}

/// Whether a plan is within one part in so many of a bound.
fn is_near(cutting: &CuttingPlan, bound: Decimal, parts: usize) -> bool {
    (cutting.value - bound) * Decimal::from(parts) <= cutting.value
}

impl BattenJob {
    fn check(&self) -> Result<Vec<i64>> {
        let mut faults = Vec::new();
        let mut rafters: Vec<i64> = Vec::new();
        let ends = self.rows.iter().flat_map(|row| &row.runs).flat_map(|run| [run.0, run.1]);
        for row in &self.rows {
            check_row(&mut faults, row);
        }
        for (below, above) in self.rows.iter().zip(self.rows.iter().skip(1)) {
            if above.up < below.up {
                faults.push(
                    Fault::new(FaultKind::BattenRowsUnordered, format!("lies below '{}'", below.label))
                        .at(format!("row '{}'", above.label))
                        .given(metres(above.up)),
                );
            }
        }
        check_length(&mut faults, FaultKind::JointRuleBad, limit::gauge, self.gauge, "gauge");
        for (stagger, name) in [(self.rule.close, "close"), (self.rule.wide, "wide")] {
            if !limit::stagger_rows.holds_count(stagger.rows) {
                faults.push(
                    Fault::new(FaultKind::JointRuleBad, "the stagger counts over no rows, or over too many")
                        .at(format!("joint rule, {name}"))
                        .given(stagger.rows)
                        .allowed(format!("{} to {}", limit::stagger_rows.least, limit::stagger_rows.most)),
                );
            }
        }
        if !self.rule.least_length.m().is_finite() || !self.rule.close_gauge.m().is_finite() {
            faults.push(
                Fault::new(FaultKind::NotFinite, "a length of the rule is not a number").at("joint rule"),
            );
        }
        match &self.rafters {
            Rafters::At(centres) => {
                rafters = centres.iter().map(|centre| along(*centre)).collect();
                let ordered = rafters.iter().zip(rafters.iter().skip(1)).all(|(left, right)| left < right);
                if !ordered
                    || rafters.len() > MOST_RAFTERS
                    || !centres.iter().all(|centre| ALONG.holds(centre.m()))
                {
                    faults.push(
                        Fault::new(FaultKind::RafterOutOfRange, "centres are out of order or out of range")
                            .at("rafters"),
                    );
                }
            }
            Rafters::Spaced { first, spacing } => {
                check_length(
                    &mut faults,
                    FaultKind::RafterOutOfRange,
                    limit::rafter_spacing,
                    *spacing,
                    "rafters, spacing",
                );
                check_length(&mut faults, FaultKind::RafterOutOfRange, ALONG, *first, "rafters, first");
                let far = ends.clone().map(along).max().unwrap_or(0);
                if faults.is_empty() {
                    let step = *spacing;
                    rafters = (0..MOST_RAFTERS)
                        .map(|index| along(*first + real(index) * step))
                        .take_while(|centre| *centre <= far)
                        .collect();
                }
            }
        }
        if rafters.is_empty() && faults.is_empty() && !self.rows.is_empty() {
            faults.push(Fault::new(FaultKind::RafterNone, "no rafter lies under the rows").at("rafters"));
        }
        Error::check(faults)?;
        Ok(rafters)
    }

    fn runs(&self, rafters: &[i64]) -> Vec<Run> {
        let mut runs = Vec::new();
        for (row, batten) in self.rows.iter().enumerate() {
            for &(from, to) in &batten.runs {
                let (from, to) = (along(from), along(to));
                let first = rafters.partition_point(|centre| *centre < from);
                let end = rafters.partition_point(|centre| *centre <= to);
                runs.push(Run { row, from, to, first, end });
            }
        }
        runs
    }

    /// The job without the offcuts that are shorter than every piece there may be: they only make the search longer.
    fn with_offcuts_of_use(&self, joints: &Joints<'_>, runs: &[Run]) -> Self {
        let bars = self.stock.iter().map(|stock| stock.length).chain(self.offcuts.iter().copied());
        let longest = bars.map(tenths).max().unwrap_or(0) + joints.kerf;
        let shortest = joints.shortest(runs, longest);
        let offcuts = self.offcuts.iter().copied().filter(|offcut| tenths(*offcut) >= shortest).collect();
        Self { offcuts, ..self.clone() }
    }

    /// A fault for every run that nothing was found for.
    fn check_laid(&self, runs: &[Run], laid: &[Option<Laid>]) -> Result<()> {
        let missing = runs.iter().zip(laid).filter(|(_, laid)| laid.is_none());
        let faults = missing.map(|(run, _)| {
            Fault::new(FaultKind::BattenRunUnlayable, "is longer than any stock length and cannot be jointed")
                .at(format!("row '{}'", self.label(run)))
                .given(metres(from_tenths(span(run.from, run.to))))
        });
        Error::check(faults.collect())
    }

    fn label(&self, run: &Run) -> String {
        self.rows.get(run.row).map(|row| row.label.clone()).unwrap_or_default()
    }

    /// The pieces of all runs as jointed, one by one.
    fn list(&self, runs: &[Run], laid: &[Option<Laid>]) -> CuttingJob {
        let spans = runs.iter().zip(laid).flat_map(|(run, laid)| {
            let spans = laid.iter().flat_map(|laid| laid.spans(run));
            spans.map(|(from, to)| (span(from, to), self.label(run)))
        });
        CuttingJob {
            pieces: spans
                .map(|(length, label)| Piece { length: from_tenths(length), count: 1, label })
                .collect(),
            stock: self.stock.clone(),
            offcuts: self.offcuts.clone(),
            kerf: self.kerf,
            least_offcut: self.least_offcut,
        }
    }

    /// Cuts the pieces of all runs, beginning from the bars on the bench.
    fn cut(&self, bench: &Bench<'_>, runs: &[Run], laid: &[Option<Laid>], steps: u64) -> Result<CuttingPlan> {
        cut_from(&self.list(runs, laid), &bench.bars_of(laid), steps)
    }

    /// The rows as laid, each piece with the bar it is cut from.
    fn rows_of(&self, runs: &[Run], laid: &[Option<Laid>], cutting: &CuttingPlan) -> Vec<RowPlan> {
        // The pieces went into the cutting job one by one, so the row of a cut is the number of the piece.
        let mut bar_of = vec![0; cutting.bars.iter().map(|bar| bar.cuts.len()).sum()];
        for (number, bar) in cutting.bars.iter().enumerate() {
            for cut in &bar.cuts {
                if let Some(slot) = bar_of.get_mut(cut.row) {
                    *slot = number;
                }
            }
        }
        let mut bars = bar_of.into_iter();
        let mut rows: Vec<RowPlan> = self
            .rows
            .iter()
            .map(|row| RowPlan { label: row.label.clone(), up: row.up, runs: Vec::new() })
            .collect();
        for (run, laid) in runs.iter().zip(laid) {
            let Some(laid) = laid else { continue };
            let pieces: Vec<BattenPiece> = laid
                .spans(run)
                .into_iter()
                .map(|(from, to)| BattenPiece {
                    from: place(from),
                    to: place(to),
                    bar: bars.next().unwrap_or(0),
                })
                .collect();
            let joints = pieces.iter().skip(1).map(|piece| piece.from).collect();
            if let Some(row) = rows.get_mut(run.row) {
                row.runs.push(RunPlan { pieces, joints, exception: laid.exception });
            }
        }
        rows
    }

    /// The least that any plan takes: the cheapest bars that have the net length in them.
    fn bound(&self, net: usize, cutting: &CuttingPlan) -> Decimal {
        least_of(&self.stock, &self.offcuts, net, cutting.value)
    }

    /// The same for runs that are jointed over rafters into pieces that are long enough.
    fn jointed_bound(&self, runs: &[Run], joints: &Joints<'_>, cutting: &CuttingPlan) -> Decimal {
        least_under(&self.stock, &self.offcuts, self.kerf, cutting.value, |kinds| joints.cuts(runs, kinds))
    }
}

/// The least metres of bars of these lengths that have a net length in them.
pub(crate) fn least_for(lengths: &[Length], net: Length) -> Decimal {
    let stock: Vec<StockLength> = lengths.iter().map(|length| StockLength::of(*length)).collect();
    let longest = lengths.iter().copied().map(tenths).max().unwrap_or(0).max(1);
    let net = tenths(net);
    // As many of the longest as it takes are always enough.
    let enough = Decimal::from(net.div_ceil(longest).max(1) * longest) / Decimal::from(10_000);
    let metres = if lengths.len() > 1 { enough } else { Decimal::from(net.div_ceil(longest)) };
    let least = least_of(&stock, &[], net, metres);
    if lengths.len() > 1 { least } else { least * Decimal::from(longest) / Decimal::from(10_000) }
}

/// The cheapest bars that have a net length in them, where `enough` is known to do.
fn least_of(stock: &[StockLength], offcuts: &[Length], net: usize, enough: Decimal) -> Decimal {
    least_under(stock, offcuts, Length::default(), enough, |kinds| vec![Cut::by_length(kinds, net)])
}

/// The cheapest bars that some cuts allow, where `enough` is known to do.
fn least_under(
    stock: &[StockLength],
    offcuts: &[Length],
    kerf: Length,
    enough: Decimal,
    cuts: impl Fn(&[Kind]) -> Vec<Cut>,
) -> Decimal {
    let job = CuttingJob {
        pieces: Vec::new(),
        stock: stock.to_vec(),
        offcuts: offcuts.to_vec(),
        kerf,
        least_offcut: Length::default(),
    };
    let Ok(Reading { mut task, unit, .. }) = job.read() else { return Decimal::ZERO };
    let ceiling = (enough / unit).round().try_into().unwrap_or(u64::MAX);
    for (kind, stock) in task.kinds.iter_mut().filter(|kind| kind.cost > 0).zip(stock) {
        kind.limit = stock.limit.map_or(usize::MAX, |limit| limit as usize);
    }
    let mut baskets = Baskets::default();
    for cut in cuts(&task.kinds) {
        baskets.learn(cut);
    }
    match baskets.cheapest(&task, ceiling, &mut Effort::of(BOUND_STEPS)) {
        Cheapest::Basket(cost, _) | Cheapest::AtLeast(cost) => (Decimal::from(cost) * unit).normalize(),
        Cheapest::NoneBelow => enough.normalize(),
    }
}

fn check_row(faults: &mut Vec<Fault>, row: &BattenRow) {
    let place = format!("row '{}'", row.label);
    let mut last: Option<Length> = None;
    for (index, &(from, to)) in row.runs.iter().enumerate() {
        let place = format!("{place}, run {}", index + 1);
        check_length(faults, FaultKind::BattenRunBad, ALONG, from, &place);
        check_length(faults, FaultKind::BattenRunBad, ALONG, to, &place);
        if along(to) <= along(from) || last.is_some_and(|last| from < last) {
            faults.push(
                Fault::new(FaultKind::BattenRunBad, "ends before it begins, or overlaps the run before it")
                    .at(&place)
                    .given(format!("{} to {}", metres(from), metres(to))),
            );
        }
        last = Some(to);
    }
    if !row.up.m().is_finite() {
        faults.push(Fault::new(FaultKind::NotFinite, "its place up the slope is not a number").at(&place));
    }
}

/// From one place to another further right.
fn span(from: i64, to: i64) -> usize {
    usize::try_from(to - from).unwrap_or(0)
}

/// A place along the row in tenths of a millimetre; it may be negative.
fn along(place: Length) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "the cast saturates; limits are checked")]
    let whole = (place.mm() * 10.0).round() as i64;
    whole
}

fn place(tenths: i64) -> Length {
    let size = from_tenths(usize::try_from(tenths.unsigned_abs()).unwrap_or(usize::MAX));
    if tenths < 0 { -size } else { size }
}
