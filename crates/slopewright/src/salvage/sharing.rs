//! Sharing old units out: who gets them, what is held back, what is left, and what must be bought.

use serde::{Deserialize, Serialize};

use super::portioning::{Claim, serve};
use super::sizes::{Fit, FormatSize, Sizes, Substitute};
use super::unit::{self, Need, UnitKey, UnitKind};
use super::{Reserve, Supply, Turn, limits};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::reason::Working;

/// How old units are shared out among slopes of the same rank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Manner {
    /// Slopes that can be served whole come first, in the order of the needs; what is left goes to the others.
    #[default]
    WholeSlopes,
    /// Every slope gets the same part of what it needs, to be mixed evenly with new units.
    Evenly,
}

/// The rank of a roof or of one slope: lower ranks are served first, and what has no rank comes last.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rank {
    /// The roof; empty for any.
    #[serde(default)]
    pub roof: String,
    /// The slope; empty for all of the roof.
    #[serde(default)]
    pub slope: String,
    /// The rank.
    pub rank: u32,
}

/// Leave to cut old units down for another need.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CutDown {
    /// What is cut.
    pub from: UnitKind,
    /// What it is cut to.
    pub to: UnitKind,
    /// How many come out of one.
    pub pieces: u64,
}

impl Rank {
    /// Whether it is of a slope.
    fn fits(&self, need: &Need) -> bool {
        (self.roof.is_empty() || self.roof == need.roof)
            && (self.slope.is_empty() || self.slope == need.slope)
    }

    /// A fault for each rank that is of none of the slopes of a job. A job without slopes has nobody to serve, and no fault.
    pub(super) fn check_all(ranks: &[Self], needs: &[Need], faults: &mut Vec<Fault>) {
        let mut places: Vec<String> = Vec::new();
        for need in needs {
            if !places.contains(&need.place()) {
                places.push(need.place());
            }
        }
        let astray = |rank: &&Self| !needs.iter().any(|need| rank.fits(need));
        for rank in ranks.iter().filter(astray).filter(|_| !needs.is_empty()) {
            let which = match (rank.roof.as_str(), rank.slope.as_str()) {
                (roof, "") => format!("roof '{roof}'"),
                (roof, slope) => unit::place(roof, slope),
            };
            let fault = Fault::new(FaultKind::RankUnknown, "has a rank, and is not on this job")
                .given(format!("rank {}", rank.rank))
                .allowed(places.join("; "));
            faults.push(fault.at(which).at("sharing, ranks"));
        }
    }
}

/// How to share.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Sharing {
    /// Whole slopes first, or evenly.
    pub manner: Manner,
    /// Who comes first.
    pub ranks: Vec<Rank>,
    /// What may be cut from what. As it stands: a cut unit from a whole one, which is what a cut unit is.
    pub cut_down: Vec<CutDown>,
    /// The dimensions of the formats.
    pub formats: Vec<FormatSize>,
    /// Which old formats may be laid for which new ones.
    pub substitutes: Vec<Substitute>,
    /// What is held back.
    pub reserves: Vec<Reserve>,
}

impl Default for Sharing {
    fn default() -> Self {
        Self {
            manner: Manner::default(),
            ranks: Vec::new(),
            cut_down: vec![CutDown { from: UnitKind::Whole, to: UnitKind::Cut, pieces: 1 }],
            formats: Vec::new(),
            substitutes: Vec::new(),
            reserves: Vec::new(),
        }
    }
}

/// Old units that serve a need.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Taken {
    /// The old unit.
    pub unit: UnitKey,
    /// How many of them are used.
    pub used: u64,
    /// How many of the need they meet.
    pub meets: u64,
    /// Why they may be laid there.
    pub reason: String,
}

/// One need and how it is met: `need = met + bought`.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct MetNeed {
    /// The need.
    pub need: Need,
    /// How many of it old units meet.
    pub met: u64,
    /// How many must be bought.
    pub bought: u64,
    /// The old units that go there.
    pub taken: Vec<Taken>,
}

/// One unit and where it goes: `salvaged = used + reserve + left + lost`.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct SharedSupply {
    /// What there is.
    pub supply: Supply,
    /// How many are laid.
    pub used: u64,
    /// How many are held back.
    pub reserve: u64,
    /// How many are left over.
    pub left: u64,
}

/// What is held back for one roof.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Held {
    /// The roof.
    pub roof: String,
    /// The unit.
    pub unit: UnitKey,
    /// How many were wanted.
    pub wanted: u64,
    /// How many are held back.
    pub held: u64,
    /// How the wanted number was reached.
    pub working: Working,
}

/// Who gets what.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Shared {
    /// Every need, in the order given.
    pub needs: Vec<MetNeed>,
    /// Every old unit, in the order given.
    pub supplies: Vec<SharedSupply>,
    /// What is held back.
    pub reserves: Vec<Held>,
    /// Every pair of formats of which one was needed and the other was at hand: allowed or refused, and why.
    pub fits: Vec<Fit>,
}

/// Shares old units out.
///
/// Own formats come before substitutes, and a need of the unit's own kind before one that it must be cut down
/// for; within that the ranks decide, and within a rank the manner. A rank of a slope that is not among the needs changes
/// nothing here; [`Salvage::reckon`](super::Salvage::reckon) refuses it.
///
/// # Errors
/// If counts are too large, a size cannot be read, a reserve is not one, or a cut is asked for that cannot be made. All
/// faults at once.
pub fn share(supplies: &[Supply], needs: &[Need], how: &Sharing) -> Result<Shared> {
    let (sizes, wanted) = check(supplies, needs, how)?;
    let mut stock: Vec<SharedSupply> = supplies
        .iter()
        .map(|supply| SharedSupply { supply: supply.clone(), used: 0, reserve: 0, left: supply.usable() })
        .collect();
    let mut met: Vec<MetNeed> = needs
        .iter()
        .map(|need| MetNeed { need: need.clone(), met: 0, bought: need.count, taken: Vec::new() })
        .collect();
    let mut reserves: Vec<Held> = how
        .reserves
        .iter()
        .zip(wanted)
        .map(|(of, (wanted, working))| Held {
            roof: of.roof.clone(),
            unit: of.unit.clone(),
            wanted,
            held: 0,
            working,
        })
        .collect();
    hold(how, Turn::First, &mut reserves, &mut stock);
    let mut fits = Vec::new();
    for old in &stock {
        for need in needs {
            let (from, to) = (&old.supply.unit.format, &need.unit.format);
            let serves = pieces(old.supply.unit.kind, need.unit.kind, &how.cut_down).is_some();
            if serves && from != to && !fits.iter().any(|fit: &Fit| fit.old == *from && fit.new == *to) {
                fits.push(sizes.fit(from, to));
            }
        }
    }
    for rank in ranks(needs, how) {
        for own_format in [true, false] {
            for own_kind in [true, false] {
                for old in &mut stock {
                    let claims = claims(&met, old, how, &sizes, rank, own_format, own_kind);
                    for (claim, used) in claims.iter().zip(serve(&claims, old.left, how.manner)) {
                        if let Some(row) = met.get_mut(claim.need).filter(|_| used > 0) {
                            let meets = used.saturating_mul(claim.pieces).min(row.bought);
                            row.met += meets;
                            row.bought -= meets;
                            old.used += used;
                            old.left -= used;
                            let reason = reason(&sizes, &old.supply.unit, &row.need.unit);
                            row.taken.push(Taken { unit: old.supply.unit.clone(), used, meets, reason });
                        }
                    }
                }
            }
        }
    }
    hold(how, Turn::Last, &mut reserves, &mut stock);
    Ok(Shared { needs: met, supplies: stock, reserves, fits })
}

type Checked = (Sizes, Vec<(u64, Working)>);

fn check(supplies: &[Supply], needs: &[Need], how: &Sharing) -> Result<Checked> {
    let mut faults = Vec::new();
    let mut keep = |error: Error| faults.extend(error.into_faults());
    if let Err(error) = unit::check(needs) {
        keep(error);
    }
    let sizes = Sizes::read(&how.formats, &how.substitutes).map_err(&mut keep).unwrap_or_default();
    let wanted = how
        .reserves
        .iter()
        .filter_map(|of| {
            let place = format!("reserve for roof '{}', {}", of.roof, of.unit);
            of.hold.wanted().map_err(|error| keep(error.at(place))).ok()
        })
        .collect();
    limits::rows(supplies.len(), "supplies", &mut faults);
    for supply in supplies {
        limits::count(supply.salvaged, &supply.unit.to_string(), &mut faults);
        if supply.lost > supply.salvaged {
            faults.push(
                Fault::new(FaultKind::CountUneven, "more are lost than were salvaged")
                    .at(&supply.unit)
                    .given(supply.lost)
                    .allowed(format!("0 to {}", supply.salvaged)),
            );
        }
    }
    for cut in &how.cut_down {
        if !can_be_cut(*cut) {
            faults.push(
                Fault::new(FaultKind::CutDownImpossible, "cannot be cut so")
                    .at("cut down")
                    .given(format!("{} to {} {}", cut.from, cut.pieces, cut.to))
                    .allowed("whole or tile-and-a-half to cut, half, eaves or top (tile-and-a-half to whole too), 1 to 10 from each"),
            );
        }
    }
    Error::check(faults)?;
    Ok((sizes, wanted))
}

/// What the trade cuts: short and narrow units from whole ones (common practice, no source).
fn can_be_cut(cut: CutDown) -> bool {
    use UnitKind::{Cut, Eaves, Half, TileAndAHalf, Top, Whole};
    let kinds = matches!(
        (cut.from, cut.to),
        (Whole | TileAndAHalf, Cut | Half | Eaves | Top) | (TileAndAHalf, Whole)
    );
    kinds && (1..=10).contains(&cut.pieces)
}

/// How many of a kind come out of one old unit: 1 if it is that kind, else what the leave says.
fn pieces(from: UnitKind, to: UnitKind, leave: &[CutDown]) -> Option<u64> {
    if from == to {
        return Some(1);
    }
    leave.iter().find(|cut| cut.from == from && cut.to == to).map(|cut| cut.pieces)
}

/// The ranks that occur, lowest first; `None` (no rank) last.
fn ranks(needs: &[Need], how: &Sharing) -> Vec<Option<u32>> {
    let mut all: Vec<Option<u32>> = needs.iter().map(|need| rank_of(need, &how.ranks)).collect();
    all.sort_unstable_by_key(|rank| (rank.is_none(), *rank));
    all.dedup();
    all
}

/// The rank of a need; a rank that names the slope comes before one that names the roof alone.
fn rank_of(need: &Need, ranks: &[Rank]) -> Option<u32> {
    let fitting = || ranks.iter().filter(|rank| rank.fits(need));
    let named = fitting().find(|rank| !rank.slope.is_empty());
    named.or_else(|| fitting().next()).map(|rank| rank.rank)
}

fn claims(
    met: &[MetNeed],
    old: &SharedSupply,
    how: &Sharing,
    sizes: &Sizes,
    rank: Option<u32>,
    own_format: bool,
    own_kind: bool,
) -> Vec<Claim> {
    let from = &old.supply.unit;
    met.iter()
        .enumerate()
        .filter(|(_, row)| row.bought > 0 && rank_of(&row.need, &how.ranks) == rank)
        .filter(|(_, row)| (row.need.unit.format == from.format) == own_format)
        .filter(|(_, row)| (row.need.unit.kind == from.kind) == own_kind)
        .filter(|(_, row)| own_format || sizes.fit(&from.format, &row.need.unit.format).allowed)
        .filter_map(|(need, row)| {
            let pieces = pieces(from.kind, row.need.unit.kind, &how.cut_down)?;
            Some(Claim { need, pieces, units: row.bought.div_ceil(pieces) })
        })
        .collect()
}

fn reason(sizes: &Sizes, from: &UnitKey, to: &UnitKey) -> String {
    let reason = sizes.fit(&from.format, &to.format).reason;
    if from.kind == to.kind {
        reason
    } else {
        format!("{reason}; cut down from {} to {}", from.kind, to.kind)
    }
}

fn hold(how: &Sharing, turn: Turn, reserves: &mut [Held], stock: &mut [SharedSupply]) {
    for (of, held) in how.reserves.iter().zip(reserves).filter(|(of, _)| of.turn == turn) {
        for old in stock.iter_mut().filter(|old| old.supply.unit == of.unit) {
            let kept = (held.wanted - held.held).min(old.left);
            old.left -= kept;
            old.reserve += kept;
            held.held += kept;
        }
    }
}
