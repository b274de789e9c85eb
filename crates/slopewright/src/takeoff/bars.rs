//! Battens as they are bought: bars by their length, for the whole roof.
//!
//! A survey that states the rafter spacing and the lengths on sale gets its battens in bars, cut by the joint rule and
//! with what is left of one slope laid on the next. Any other gets net metres, and the line says what is missing.

use std::sync::OnceLock;

use rust_decimal::Decimal;

use super::{Line, Part, TakeOff};
use crate::quantity::{Length, LengthIn as _, figure, m};
use crate::reason::Working;
use crate::stock::{Objective, Purchase, least_for};

/// What the battens of a roof are bought as.
#[derive(Debug, Clone)]
pub(super) struct BattensToBuy {
    /// The bars, or why there are none.
    bars: Result<Bars, String>,
}

#[derive(Debug, Clone)]
struct Bars {
    bought: Vec<Purchase>,
    net: Length,
    /// The least metres that any cutting takes, joints anywhere.
    least_m: Decimal,
    /// Runs that cannot keep the joint rule.
    exceptions: usize,
    /// Joints over rafters.
    joints: usize,
    /// What the bars cost, where prices choose them.
    cost: Option<Decimal>,
}

impl Bars {
    fn metres(&self) -> f64 {
        self.bought
            .iter()
            .map(|of| of.length.m() * f64::from(u32::try_from(of.count).unwrap_or(u32::MAX)))
            .sum()
    }
}

impl TakeOff {
    /// What a bar of batten of a length is called where it is bought: `battens, 4.8 m`, or the key of the batten in place of
    /// the word.
    fn bar_name(&self, length: Length) -> String {
        let batten = self.batten.as_ref().map_or("battens", |batten| batten.key.as_str());
        format!("{batten}, {} m", figure(length.m(), 3))
    }

    /// The same take-off with its bars of batten chosen by their prices, so that they cost least. `price_of` gives the
    /// price of a bar by its name: `battens, 4.8 m`, or `batten-50x25, 4.8 m` where the survey names a batten. Where a
    /// length on sale has no price, or one that is not above nought, bars stay chosen by their metres.
    #[must_use]
    pub fn with_bar_prices(&self, price_of: impl Fn(&str) -> Option<Decimal>) -> Self {
        let prices = self
            .batten_bars
            .lengths
            .iter()
            .map(|length| price_of(&self.bar_name(*length)).filter(|price| *price > Decimal::ZERO));
        let bar_prices = prices.collect::<Option<Vec<_>>>().unwrap_or_default();
        Self { bar_prices, bars: OnceLock::new(), ..self.clone() }
    }

    /// The battens in bars; `None` where the survey does not say what they are cut from.
    fn battens_to_buy(&self) -> Option<&BattensToBuy> {
        self.bars.get_or_init(|| self.cut_into_bars()).as_ref()
    }

    fn cut_into_bars(&self) -> Option<BattensToBuy> {
        let states_rafters = self.slopes.iter().any(|slope| slope.battens.rafters.is_some());
        if !states_rafters || self.batten_bars.lengths.is_empty() {
            return None;
        }
        let bars = self.cut_by_own_rule().map_err(|error| error.to_string()).map(|slopes| {
            let mut bought: Vec<Purchase> = Vec::new();
            for of in slopes.iter().flat_map(|slope| &slope.plan.cutting.purchases) {
                match bought.iter_mut().find(|before| before.length == of.length) {
                    Some(before) => before.count += of.count,
                    None => bought.push(of.clone()),
                }
            }
            bought.sort_by(|a, b| a.length.m().total_cmp(&b.length.m()));
            let net = slopes.iter().fold(m(0.0), |sum, slope| sum + slope.plan.net);
            let runs = slopes.iter().flat_map(|slope| &slope.plan.rows).flat_map(|row| &row.runs);
            let exceptions = runs.clone().filter(|run| run.exception.is_some()).count();
            let joints = runs.map(|run| run.joints.len()).sum();
            let least_m = least_for(&self.batten_bars.lengths, net);
            let cutting = slopes.iter().map(|slope| &slope.plan.cutting);
            let costs =
                cutting.map(|cutting| (cutting.objective == Objective::Price).then_some(cutting.value));
            let cost = costs.sum::<Option<Decimal>>().filter(|_| !self.bar_prices.is_empty());
            Bars { bought, net, least_m, exceptions, joints, cost }
        });
        Some(BattensToBuy { bars })
    }

    /// Why battens stand in net metres, where they do.
    pub(super) fn why_net_metres(&self) -> String {
        match self.battens_to_buy() {
            None => {
                "without saw cuts and waste: bars need the rafter spacing and the lengths on sale".to_owned()
            }
            Some(BattensToBuy { bars: Err(why) }) => format!("without saw cuts and waste: no bars, {why}"),
            Some(BattensToBuy { bars: Ok(_) }) => "as laid; bought by the bar".to_owned(),
        }
    }

    /// The nails that joints take over those of the crossings; none where battens stand in net metres, for the joints are
    /// not known then.
    pub(super) fn nails_at_joints(&self) -> u64 {
        let Some(BattensToBuy { bars: Ok(bars) }) = self.battens_to_buy() else { return 0 };
        bars.joints as u64 * u64::from(self.nails_more_at_joint)
    }

    /// A line for each length of batten to buy.
    pub(super) fn bar_lines(&self, lines: &mut Vec<Line>) {
        let Some(BattensToBuy { bars: Ok(bars) }) = self.battens_to_buy() else { return };
        let format = self.batten.as_ref().map_or("", |batten| batten.key.as_str());
        let metres = bars.metres();
        let numbers = format!(
            "{} m net, {} m bought, the least possible {} m (joints anywhere, no saw cut); {} runs cannot keep the joint rule",
            figure(bars.net.m(), 2),
            figure(metres, 2),
            bars.least_m.normalize(),
            bars.exceptions,
        );
        let numbers = match bars.cost {
            Some(cost) => format!("{numbers}; chosen by price, {} in all", cost.normalize()),
            None => numbers,
        };
        for of in &bars.bought {
            let length = figure(of.length.m(), 3);
            let formula =
                "rows cut from stock, joints over rafter centres, what is left of a slope laid on the next";
            let working = Working::new("bars", formula, numbers.clone(), of.count.to_string());
            let count = of.count as u64;
            let bought_m = of.length.m() * f64::from(u32::try_from(count).unwrap_or(u32::MAX));
            let line = Line::new("", Part::Battens, format!("battens, {length} m"), format, working);
            lines.push(line.count(count).length(bought_m));
        }
    }
}
