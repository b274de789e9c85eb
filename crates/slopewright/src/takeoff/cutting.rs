//! Battens cut from stock: which bars to buy, how to cut them, and where the joints fall.
//!
//! A plan takes some milliseconds, so it is made when somebody asks and not with every take-off.

use serde::Serialize;

use super::{Line, Part, SlopeTakeOff, TakeOff};
use crate::catalogue::Catalogue;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{Length, LengthIn as _, figure, m};
use crate::reason::Working;
use crate::rules::{BattenJoints, Rules};
use crate::stock::{
    BattenJob, BattenPlan, BattenRow, Exception, JointRule, Objective, Rafters, Stagger, StockLength,
    lay_battens,
};

/// The battens of one slope, cut.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SlopeCutting {
    /// The slope.
    pub slope: String,
    /// Its rows, their pieces and joints, and the bars they are cut from.
    pub plan: BattenPlan,
}

impl SlopeCutting {
    /// What it comes to in one sentence: net, bought, how far from the least possible, and what departs from the rule.
    #[must_use]
    pub fn summary(&self) -> String {
        let cutting = &self.plan.cutting;
        let unit = match cutting.objective {
            Objective::Bars => "bars",
            Objective::Metres => "m",
            Objective::Price => "in money, for the bars",
        };
        let proof = if cutting.value == self.plan.bound {
            "which is the least possible".to_owned()
        } else {
            format!(
                "the least possible is no less than {} (joints anywhere, no saw cut), or {} with joints over rafters",
                self.plan.bound.normalize(),
                self.plan.jointed_bound.normalize()
            )
        };
        let exceptions =
            self.plan.rows.iter().flat_map(|row| &row.runs).filter(|run| run.exception.is_some()).count();
        format!(
            "{} m net in {} rows; {} {unit} bought, {proof}; {exceptions} runs cannot keep the joint rule",
            figure(self.plan.net.m(), 2),
            self.plan.rows.len(),
            cutting.value.normalize(),
        )
    }

    /// What to buy for the slope: a line for each stock length, with how far the whole is from the least possible.
    #[must_use]
    pub fn lines(&self) -> Vec<Line> {
        let cutting = &self.plan.cutting;
        let numbers = self.summary();
        let formula = "rows cut from stock, joints over rafter centres, what is left carried on";
        cutting
            .purchases
            .iter()
            .map(|bought| {
                let length = figure(bought.length.m(), 3);
                let working = Working::new("bars", formula, numbers.clone(), bought.count.to_string());
                Line::new(&self.slope, Part::Battens, format!("battens to buy, {length} m"), "", working)
                    .count(bought.count as u64)
                    .length(bought.length.m() * f64::from(u32::try_from(bought.count).unwrap_or(u32::MAX)))
            })
            .collect()
    }
}

impl SlopeCutting {
    /// The cutting list as the person at the saw reads it: what to bring, each bar with its cuts and the rows they are
    /// for, what to keep, and the rows with their joints. Bars are numbered as in the rows.
    #[must_use]
    pub fn list(&self) -> Vec<String> {
        let cutting = &self.plan.cutting;
        let mut list = vec![format!("{}: battens", self.slope), format!("  {}", self.summary())];
        for bought in &cutting.purchases {
            list.push(format!("  bring {} x {} m", bought.count, figure(bought.length.m(), 3)));
        }
        let in_hand = cutting.bars.iter().filter(|bar| bar.in_hand).count();
        if in_hand > 0 {
            list.push(format!("  and {in_hand} kept from the slopes before"));
        }
        list.push("  cut:".to_owned());
        for group in cutting.groups() {
            let numbers = ranges(group.places.iter().map(|place| place + 1));
            let hand = if group.bar.in_hand { " (kept)" } else { "" };
            list.push(format!("    bar {numbers}: {group}{hand}"));
        }
        let kept: Vec<String> = carried(&self.plan).map(metres_cut).collect();
        if !kept.is_empty() {
            list.push(format!("  keep for the next slope: {}", kept.join(", ")));
        }
        list.push("  lay:".to_owned());
        for row in &self.plan.rows {
            for run in &row.runs {
                let pieces: Vec<String> = run
                    .pieces
                    .iter()
                    .map(|piece| format!("{} (bar {})", metres_cut(piece.to - piece.from), piece.bar + 1))
                    .collect();
                let joints: Vec<String> = run.joints.iter().map(|at| metres_cut(*at)).collect();
                let joints = match joints.len() {
                    0 => String::new(),
                    1 => format!("; joint at {}", joints.join(", ")),
                    _ => format!("; joints at {}", joints.join(", ")),
                };
                let why = run.exception.map_or("", Exception::words);
                list.push(format!("    {}: {}{joints}{why}", row.label, pieces.join(" + ")));
            }
        }
        list
    }
}

/// A length on a cutting list: metres to the millimetre.
fn metres_cut(length: Length) -> String {
    format!("{:.3}", length.m())
}

/// `1-4, 7` for 1, 2, 3, 4, 7.
fn ranges(numbers: impl Iterator<Item = usize>) -> String {
    let mut parts: Vec<(usize, usize)> = Vec::new();
    for number in numbers {
        match parts.last_mut() {
            Some((_, last)) if *last + 1 == number => *last = number,
            _ => parts.push((number, number)),
        }
    }
    let words =
        parts.iter().map(|(from, to)| if from == to { from.to_string() } else { format!("{from}-{to}") });
    words.collect::<Vec<_>>().join(", ")
}

/// Shorter ends are not carried to the next slope: no bar of a cutting list is shorter.
const LEAST_CARRIED_MM: f64 = 10.0;

/// What is left of a slope for the next.
fn carried(plan: &BattenPlan) -> impl Iterator<Item = Length> {
    plan.cutting.offcuts.iter().copied().filter(|length| length.mm() >= LEAST_CARRIED_MM)
}

impl TakeOff {
    /// Cuts the battens of every slope from stock, what is left of one slope carried on to the next.
    ///
    /// The bars are the survey's, or else the stock lengths of the batten in the catalogue.
    ///
    /// # Errors
    /// If the rafter spacing is not stated, no stock length is known, or a row cannot be laid from the bars there are;
    /// with every slope that has a fault.
    pub fn cut_battens(&self, rules: &Rules) -> Result<Vec<SlopeCutting>> {
        self.cut_by(rules.batten_joint_rule().map(joint_rule))
    }

    /// The same by the joint rule that the take-off was made under.
    pub(super) fn cut_by_own_rule(&self) -> Result<Vec<SlopeCutting>> {
        self.cut_by(self.joint_rule)
    }

    fn cut_by(&self, rule: Option<JointRule>) -> Result<Vec<SlopeCutting>> {
        let rule = rule.ok_or_else(|| {
            Fault::new(FaultKind::JointRuleBad, "there is no rule for the joints of battens")
        })?;
        let mut faults = Vec::new();
        let mut in_hand: Vec<Length> = Vec::new();
        let mut cut = Vec::with_capacity(self.slopes.len());
        for slope in &self.slopes {
            let place = format!("slope '{}'", slope.layout.slope);
            match self.batten_job(slope, rule, &in_hand).and_then(|job| lay_battens(&job)) {
                Ok(plan) => {
                    in_hand = carried(&plan).collect();
                    cut.push(SlopeCutting { slope: slope.layout.slope.clone(), plan });
                }
                Err(error) => faults.extend(error.at(place).into_faults()),
            }
        }
        Error::check(faults)?;
        Ok(cut)
    }

    /// What is asked of the cutting of one slope's battens, with nothing in hand; `None` if there is no such slope, or
    /// if it cannot be asked.
    #[must_use]
    pub fn batten_job_of(&self, slope: &str, rules: &Rules) -> Option<BattenJob> {
        let found = self.slopes.iter().find(|other| other.layout.slope == slope)?;
        let rule = rules.batten_joint_rule().map(joint_rule)?;
        self.batten_job(found, rule, &[]).ok()
    }

    fn batten_job(&self, slope: &SlopeTakeOff, rule: JointRule, in_hand: &[Length]) -> Result<BattenJob> {
        let Some(rafters) = slope.battens.rafters else {
            return Err(Fault::new(FaultKind::RafterNone, "has no rafter spacing to joint battens on").into());
        };
        let battens = &slope.battens;
        let rows =
            battens.rows.iter().map(|row| (row.at_m, row.from_m, row.to_m, format!("row {}", row.line)));
        // What lies at sills and heads of openings stands among the rows by its height.
        let round_openings = battens.round_openings.iter().map(|row| {
            let name = slope.slope.openings.get(row.opening).map_or("", |opening| opening.name.as_str());
            (row.at_m, row.from_m, row.to_m, format!("at '{name}'"))
        });
        let mut all: Vec<(f64, f64, f64, String)> = rows.chain(round_openings).collect();
        all.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.total_cmp(&other.1)));
        // The first rafter at or to the right of the leftmost end; a slope lower than its lowest batten has no row.
        let left = all.iter().map(|(_, from, ..)| *from).reduce(f64::min);
        let first = left.and_then(|left| rafters.centres(left, left + rafters.spacing_m).next());
        let first = first.unwrap_or(rafters.first_m);
        let mut batten_rows: Vec<BattenRow> = Vec::new();
        for (at_m, from_m, to_m, label) in all {
            let run = (m(from_m), m(to_m));
            match batten_rows.last_mut() {
                Some(last) if (last.up.m() - at_m).abs() < 1e-9 => last.runs.push(run),
                _ => batten_rows.push(BattenRow { label, up: m(at_m), runs: vec![run] }),
            }
        }
        Ok(BattenJob {
            rows: batten_rows,
            rafters: Rafters::Spaced { first: m(first), spacing: m(rafters.spacing_m) },
            gauge: slope.layout.gauge(),
            rule,
            stock: self.batten_stock(slope),
            offcuts: in_hand.to_vec(),
            kerf: self.saw_kerf(),
            least_offcut: self.batten_bars.least_offcut.unwrap_or_else(|| self.least_of_use(rule)),
        })
    }

    /// No piece of this roof is shorter: the least that the rule allows, or the shortest row, which is one piece.
    fn least_of_use(&self, rule: JointRule) -> Length {
        let battens = || self.slopes.iter().map(|slope| &slope.battens);
        let rows = battens().flat_map(|battens| &battens.rows).map(|row| row.to_m - row.from_m);
        let round_openings =
            battens().flat_map(|battens| &battens.round_openings).map(|row| row.to_m - row.from_m);
        m(rows.chain(round_openings).fold(rule.least_length.m(), f64::min))
    }

    /// The survey's bars, or the stock lengths of the batten stated, or of the one that the rule's section names.
    fn batten_stock(&self, slope: &SlopeTakeOff) -> Vec<StockLength> {
        if !self.batten_bars.lengths.is_empty() {
            let prices = self.bar_prices.iter().copied().map(Some).chain(core::iter::repeat(None));
            let lengths = self.batten_bars.lengths.iter().zip(prices);
            return lengths.map(|(&length, price)| StockLength { length, price, limit: None }).collect();
        }
        let of_section = || {
            let (width, depth) = slope.batten_rule.as_ref()?.value;
            Catalogue::standard().battens().iter().find(|b| b.width.value == width && b.depth.value == depth)
        };
        let batten = self.batten.as_deref().or_else(of_section);
        let lengths = batten.map_or(&[][..], |batten| &batten.stock_lengths);
        lengths.iter().map(|length| StockLength::of(length.value)).collect()
    }
}

pub(super) fn joint_rule(rule: &BattenJoints) -> JointRule {
    let stagger = |joints: u32, rows: u32| Stagger { joints: joints as usize, rows: rows as usize };
    JointRule {
        least_length: rule.piece_least.value,
        least_supports: rule.supports_least.value as usize,
        close_gauge: rule.gauge_break.value,
        close: stagger(rule.close_joints.value, rule.close_rows.value),
        wide: stagger(rule.wide_joints.value, rule.wide_rows.value),
    }
}
