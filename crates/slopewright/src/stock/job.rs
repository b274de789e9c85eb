//! What is to be cut and from what, and how it is brought to whole numbers.

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::task::{Kind, Packing, Pattern, Task, gathered};
use crate::{
    error::{Error, Fault, FaultKind, Result},
    quantity::{Length, LengthIn as _, Limit, limit, metres, millimetres, mm},
};

/// Some equal pieces that are wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// The length of each.
    pub length: Length,
    /// How many.
    pub count: u32,
    /// What it is for, as it should stand on the cutting list: `row 12`.
    pub label: String,
}

/// A length that can be bought.
#[derive(Debug, Clone, PartialEq)]
pub struct StockLength {
    /// The length.
    pub length: Length,
    /// The price of one, in any currency. Either every length has a price or none has.
    pub price: Option<Decimal>,
    /// The most that can be had. `None`: as many as it takes.
    pub limit: Option<u32>,
}

impl StockLength {
    /// A length without a price and without a limit.
    #[must_use]
    pub const fn of(length: Length) -> Self {
        Self { length, price: None, limit: None }
    }

    /// The same at a price.
    #[must_use]
    pub const fn at(mut self, price: Decimal) -> Self {
        self.price = Some(price);
        self
    }

    /// The same with a limit.
    #[must_use]
    pub const fn up_to(mut self, limit: u32) -> Self {
        self.limit = Some(limit);
        self
    }
}

/// Pieces to cut, what to cut them from, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct CuttingJob {
    /// The pieces wanted.
    pub pieces: Vec<Piece>,
    /// The lengths that can be bought.
    pub stock: Vec<StockLength>,
    /// Offcuts in hand. They cost nothing and are used first.
    pub offcuts: Vec<Length>,
    /// What the saw takes at each cut.
    pub kerf: Length,
    /// The shortest offcut worth keeping.
    pub least_offcut: Length,
}

/// What is made as small as it can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Objective {
    /// The number of bars bought: one length, no price.
    Bars,
    /// The metres bought: several lengths, no prices.
    Metres,
    /// The money paid.
    Price,
}

/// The lengths of one piece and of one bar. Their grid is a tenth of a millimetre.
const PIECE: Limit = limit::piece_length;
const BAR: Limit = limit::bar_length;
/// The most decimals of a price, and the highest price of one bar.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole numbers that are small")]
const PRICE_DECIMALS: u32 = limit::price_decimals.most as u32;
#[expect(clippy::cast_possible_truncation, reason = "a whole number that is small")]
const HIGHEST_PRICE: i64 = limit::bar_price.most as i64;

/// A job in whole numbers, with the way back.
#[derive(Debug)]
pub(super) struct Reading {
    pub(super) task: Task,
    /// For each kind of bar its length in tenths of a millimetre and where it comes from.
    pub(super) bars: Vec<(usize, Origin)>,
    /// For each size its length in tenths of a millimetre.
    pub(super) lengths: Vec<usize>,
    /// For each size the rows of the job that ask for it and how many each asks for.
    pub(super) rows: Vec<Vec<(usize, usize)>>,
    pub(super) kerf: usize,
    pub(super) objective: Objective,
    /// The objective's worth of one unit of the task's cost.
    pub(super) unit: Decimal,
}

/// Where a bar comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Origin {
    /// Row of `CuttingJob::stock`.
    Stock(usize),
    /// In hand.
    InHand,
}

/// A length in tenths of a millimetre.
pub(super) fn tenths(length: Length) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the cast saturates; limits are checked"
    )]
    let whole = (length.mm() * 10.0).round().max(0.0) as usize;
    whole
}

/// The length of so many tenths of a millimetre.
pub(super) fn from_tenths(tenths: usize) -> Length {
    mm(super::task::real(tenths) / 10.0)
}

/// Reports a length outside a limit.
pub(super) fn check_length(
    faults: &mut Vec<Fault>,
    kind: FaultKind,
    limit: Limit,
    length: Length,
    place: impl core::fmt::Display,
) {
    let value = length.m();
    if !value.is_finite() {
        faults.push(
            Fault::new(FaultKind::NotFinite, format!("{} is not a number", limit.label))
                .at(place)
                .given(value),
        );
    } else if !limit.holds(value) {
        faults.push(
            Fault::new(kind, format!("{} is out of range", limit.label))
                .at(place)
                .given(millimetres(length))
                .allowed(limit.range()),
        );
    }
}

impl CuttingJob {
    /// Checks the job and brings it to whole numbers.
    pub(super) fn read(&self) -> Result<Reading> {
        self.check()?;
        let kerf = tenths(self.kerf);
        let mut wanted: Vec<(usize, usize, usize)> = self
            .pieces
            .iter()
            .enumerate()
            .filter(|(_, piece)| piece.count > 0)
            .map(|(row, piece)| (tenths(piece.length), row, piece.count as usize))
            .collect();
        wanted.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut lengths: Vec<usize> = Vec::new();
        let mut rows: Vec<Vec<(usize, usize)>> = Vec::new();
        for (length, row, count) in wanted {
            if lengths.last() == Some(&length) {
                if let Some(last) = rows.last_mut() {
                    last.push((row, count));
                }
            } else {
                lengths.push(length);
                rows.push(vec![(row, count)]);
            }
        }
        let demand: Vec<usize> = rows.iter().map(|rows| rows.iter().map(|(_, count)| count).sum()).collect();
        let pieces: usize = demand.iter().sum();
        let step = lengths.iter().fold(0, |step, length| gcd(step, length + kerf)).max(1);
        let (objective, costs, unit) = self.costs();
        let mut bars = Vec::new();
        let mut kinds = Vec::new();
        let mut in_hand: Vec<usize> = self.offcuts.iter().map(|length| tenths(*length)).collect();
        in_hand.sort_unstable();
        for length in in_hand {
            match (bars.last(), kinds.last_mut()) {
                (Some((last, _)), Some(Kind { limit, .. })) if *last == length => *limit += 1,
                _ => {
                    bars.push((length, Origin::InHand));
                    kinds.push(Kind { room: (length + kerf) / step, cost: 0, limit: 1 });
                }
            }
        }
        for ((row, stock), cost) in self.stock.iter().enumerate().zip(costs) {
            let length = tenths(stock.length);
            bars.push((length, Origin::Stock(row)));
            let limit = stock.limit.map_or(pieces, |limit| pieces.min(limit as usize));
            kinds.push(Kind { room: (length + kerf) / step, cost, limit });
        }
        let sizes = lengths.iter().map(|length| (length + kerf) / step).collect();
        Ok(Reading { task: Task { sizes, demand, kinds }, bars, lengths, rows, kerf, objective, unit })
    }

    fn check(&self) -> Result<()> {
        let mut faults = Vec::new();
        check_length(&mut faults, FaultKind::KerfOutOfRange, limit::kerf, self.kerf, "kerf");
        if !self.least_offcut.m().is_finite() {
            faults.push(
                Fault::new(FaultKind::NotFinite, "the least useful offcut is not a number")
                    .at("least offcut")
                    .given(self.least_offcut.m()),
            );
        }
        if self.stock.is_empty() {
            faults.push(Fault::new(FaultKind::StockNone, "there is no stock length to cut from").at("stock"));
        }
        for (row, stock) in self.stock.iter().enumerate() {
            let place = format_args!("stock {}", row + 1);
            check_length(&mut faults, FaultKind::StockLengthOutOfRange, BAR, stock.length, place);
            check_price(&mut faults, stock.price, place);
        }
        let priced = self.stock.iter().filter(|stock| stock.price.is_some()).count();
        if priced != 0 && priced != self.stock.len() {
            for (row, _) in self.stock.iter().enumerate().filter(|(_, stock)| stock.price.is_none()) {
                faults.push(
                    Fault::new(FaultKind::StockPriceMissing, "has no price, while others have one")
                        .at(format!("stock {}", row + 1)),
                );
            }
        }
        for (row, offcut) in self.offcuts.iter().enumerate() {
            let place = format_args!("offcut {}", row + 1);
            check_length(&mut faults, FaultKind::StockLengthOutOfRange, BAR, *offcut, place);
        }
        self.check_pieces(&mut faults);
        Error::check(faults)
    }

    fn check_pieces(&self, faults: &mut Vec<Fault>) {
        let longest = self
            .stock
            .iter()
            .map(|stock| stock.length)
            .chain(self.offcuts.iter().copied())
            .map(tenths)
            .max()
            .unwrap_or(0);
        let number: f64 = self.pieces.iter().map(|piece| f64::from(piece.count)).sum();
        if number > limit::pieces.most {
            faults.push(
                Fault::new(FaultKind::PiecesTooMany, "there are too many pieces for one list")
                    .at("pieces")
                    .given(number)
                    .allowed(limit::pieces.range()),
            );
        }
        for (row, piece) in self.pieces.iter().enumerate() {
            let place = Place { number: row + 1, label: &piece.label };
            check_length(faults, FaultKind::PieceLengthOutOfRange, PIECE, piece.length, &place);
            // Without any stock length, that alone is the fault.
            let is_bought = !self.stock.is_empty();
            if is_bought && PIECE.holds(piece.length.m()) && longest > 0 && tenths(piece.length) > longest {
                faults.push(
                    Fault::new(FaultKind::PieceTooLong, "is longer than any stock length")
                        .at(&place)
                        .given(metres(piece.length))
                        .allowed(format!("up to {}", metres(from_tenths(longest)))),
                );
            }
        }
    }

    /// What a bar of each stock length costs in whole numbers, and what one of these is worth.
    fn costs(&self) -> (Objective, Vec<u64>, Decimal) {
        if self.stock.iter().any(|stock| stock.price.is_some()) {
            let raw: Vec<u64> = self
                .stock
                .iter()
                .map(|stock| {
                    let mut price = stock.price.unwrap_or_default();
                    price.rescale(PRICE_DECIMALS);
                    u64::try_from(price.mantissa()).unwrap_or(0)
                })
                .collect();
            let step = raw.iter().fold(0, |step, price| gcd64(step, *price)).max(1);
            let unit = Decimal::from_i128_with_scale(i128::from(step), PRICE_DECIMALS).normalize();
            return (Objective::Price, raw.iter().map(|price| price / step).collect(), unit);
        }
        if self.stock.len() == 1 {
            return (Objective::Bars, vec![1], Decimal::ONE);
        }
        let raw: Vec<u64> = self.stock.iter().map(|stock| tenths(stock.length) as u64).collect();
        let step = raw.iter().fold(0, |step, length| gcd64(step, *length)).max(1);
        let unit = Decimal::from_i128_with_scale(i128::from(step), 4).normalize();
        (Objective::Metres, raw.iter().map(|length| length / step).collect(), unit)
    }
}

/// A piece as faults name it.
struct Place<'a> {
    number: usize,
    label: &'a str,
}

impl core::fmt::Display for Place<'_> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self.label {
            "" => write!(f, "piece {}", self.number),
            label => write!(f, "piece {} '{label}'", self.number),
        }
    }
}

impl Reading {
    /// Bars as somebody has cut them, each from the cheapest length that holds it. `None` if one fits nowhere.
    pub(super) fn packing(&self, known: &[Vec<usize>]) -> Option<Packing> {
        let mut left: Vec<usize> = self.task.kinds.iter().map(|kind| kind.limit).collect();
        let mut packing = Vec::new();
        let mut bars: Vec<Vec<(usize, usize)>> = Vec::new();
        for pieces in known {
            let mut take: Vec<(usize, usize)> = Vec::new();
            let mut places: Vec<usize> = pieces
                .iter()
                .map(|piece| self.lengths.iter().position(|length| length == piece))
                .collect::<Option<_>>()?;
            places.sort_unstable();
            for place in places {
                match take.last_mut() {
                    Some((last, count)) if *last == place => *count += 1,
                    _ => take.push((place, 1)),
                }
            }
            bars.push(take);
        }
        // The fullest first, so that what is in hand goes where it saves most.
        let filled = |take: &[(usize, usize)]| -> usize {
            take.iter().map(|&(place, count)| self.task.size(place) * count).sum()
        };
        bars.sort_by_key(|take| core::cmp::Reverse(filled(take)));
        for take in bars {
            let filled = filled(&take);
            let kind = (0..self.task.kinds.len())
                .filter(|&kind| {
                    self.task.room(kind) >= filled && left.get(kind).is_some_and(|left| *left > 0)
                })
                .min_by_key(|&kind| {
                    // Of what is in hand the shortest; of what is bought at one price the longest.
                    let (cost, room) = (self.task.cost(kind), self.task.room(kind));
                    (cost, if cost == 0 { room } else { usize::MAX - room })
                })?;
            *left.get_mut(kind)? -= 1;
            packing.push((Pattern { kind, take }, 1));
        }
        Some(gathered(packing))
    }
}

fn check_price(faults: &mut Vec<Fault>, price: Option<Decimal>, place: impl core::fmt::Display) {
    let Some(price) = price else { return };
    if price <= Decimal::ZERO
        || price > Decimal::from(HIGHEST_PRICE)
        || price.normalize().scale() > PRICE_DECIMALS
    {
        faults.push(
            Fault::new(FaultKind::StockPriceOutOfRange, "the price is out of range")
                .at(place)
                .given(price)
                .allowed(format!(
                    "above 0 and up to {HIGHEST_PRICE}, with at most {PRICE_DECIMALS} decimals"
                )),
        );
    }
}

fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}

fn gcd64(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd64(b, a % b) }
}
