//! What else is bought by length: counter-battens, ridge and hip battens, fillets, lead from rolls, undercloak strips.
//!
//! A line says what it is cut into; like is put together over the whole roof and cut by the engine that cuts battens, from
//! the lengths that the survey states. Undercloak comes in strips of one length, so it is always cut that way.

use serde::Serialize;
use smol_str::{SmolStr, ToSmolStr as _};

use super::lines::{Line, Part};
use super::{TakeOff, timber_cutting::saw_list};
use crate::error::{Error, Result};
use crate::quantity::{Length, LengthIn as _, figure, m, mm};
use crate::reason::{Working, said};
use crate::stock::{CuttingJob, CuttingPlan, Piece, StockLength, cut_within};

/// The steps of the search: such lists are short.
const STEPS: u64 = 5_000_000;
/// Ends shorter than this are no pieces.
const LEAST_PIECE_M: f64 = 1e-3;

/// What a line is cut into.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct CutInto {
    /// What it is sold as: `lead code 4, 150 mm wide`. What is sold alike is cut together.
    pub(super) sold_as: SmolStr,
    pub(super) from: Sold,
    /// The lengths of its pieces, in metres.
    pub(super) pieces_m: Vec<f64>,
}

/// Which of the stated lengths it is cut from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sold {
    /// Counter-battens.
    CounterBattens,
    /// Ridge and hip battens, fillets.
    Fillets,
    /// Rolls of lead.
    Lead,
    /// Strips of undercloak.
    Undercloak,
}

/// Something cut from the lengths on sale, for the whole roof.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LengthCutting {
    /// What it is sold as: `tilting fillet`, `lead code 4, 150 mm wide`.
    pub sold_as: SmolStr,
    /// How it is cut. Runs longer than every length on sale are whole lengths of the longest and a rest, butted anywhere.
    pub plan: CuttingPlan,
    #[serde(skip)]
    part: Part,
    #[serde(skip)]
    from: Sold,
    /// The items of the take-off that are cut from it.
    #[serde(skip)]
    items: Vec<SmolStr>,
    /// The mass of a metre, in kilograms, where it is known.
    #[serde(skip)]
    mass_of_metre_kg: Option<f64>,
}

impl LengthCutting {
    fn numbers(&self) -> SmolStr {
        let cuts = self.plan.bars.iter().flat_map(|bar| &bar.cuts);
        let net: f64 = cuts.clone().map(|cut| cut.length.m()).sum();
        said!(
            "{} pieces, {} m; {} {} bought, the least possible {}",
            cuts.count(),
            figure(net, 2),
            self.plan.value.normalize(),
            if self.plan.objective == crate::stock::Objective::Metres { "m" } else { "lengths" },
            self.plan.bound.normalize(),
        )
    }

    /// A line for each length to buy.
    fn lines(&self) -> impl Iterator<Item = Line> + '_ {
        self.plan.purchases.iter().map(|bought| {
            let formula = match self.from {
                Sold::Lead => "pieces with their laps, cut from rolls",
                _ => "runs butted anywhere, cut from the lengths on sale",
            };
            let working = Working::new("lengths", formula, self.numbers(), bought.count.to_smolstr());
            let item = said!("{}, {} m", self.sold_as, figure(bought.length.m(), 3));
            let metres = bought.length.m() * f64::from(u32::try_from(bought.count).unwrap_or(u32::MAX));
            let mut line = Line::new("", self.part, item, "", working);
            line.mass_kg = self.mass_of_metre_kg.map(|mass| mass * metres);
            line.count(bought.count as u64).length(metres)
        })
    }
}

/// Like lines, before they are cut.
struct Group<'a> {
    cut: &'a CutInto,
    lines: Vec<&'a Line>,
}

/// Puts together what is sold alike.
fn groups<'a>(lines: impl Iterator<Item = &'a Line>) -> Vec<Group<'a>> {
    let mut groups: Vec<Group<'a>> = Vec::new();
    for line in lines {
        let Some(cut) = &line.cut_into else { continue };
        match groups.iter_mut().find(|group| group.cut.sold_as == cut.sold_as) {
            Some(group) => group.lines.push(line),
            None => groups.push(Group { cut, lines: vec![line] }),
        }
    }
    groups
}

impl TakeOff {
    /// Counter-battens, ridge and hip battens, fillets and lead cut from the lengths that the survey states, and the
    /// strips of undercloak: each of them for the whole roof.
    ///
    /// # Errors
    /// If a piece of lead is longer than every roll on sale.
    pub fn cut_lengths(&self) -> Result<Vec<LengthCutting>> {
        let lines = self.lines_to_cut();
        let (cut, faults): (Vec<_>, Vec<_>) =
            groups(lines.iter()).iter().filter_map(|group| self.cut_group(group)).partition(Result::is_ok);
        Error::check(faults.into_iter().filter_map(Result::err).flat_map(Error::into_faults).collect())?;
        Ok(cut.into_iter().filter_map(Result::ok).collect())
    }

    /// The cutting lists of [`TakeOff::cut_lengths`] as the person at the bench reads them.
    ///
    /// # Errors
    /// As [`TakeOff::cut_lengths`].
    pub fn length_list(&self) -> Result<Vec<String>> {
        Ok(self.cut_lengths()?.iter().flat_map(|of| saw_list(&of.sold_as, &of.plan)).collect())
    }

    /// Puts what is bought by length in the place of what it is cut into, among all lines of the take-off.
    pub(super) fn buy_lengths(&self, lines: &mut Vec<Line>, of_openings: &[Line]) {
        let groups = groups(lines.iter().chain(of_openings));
        let (strips, others): (Vec<_>, Vec<_>) =
            groups.iter().partition(|group| group.cut.from == Sold::Undercloak);
        // Undercloak is sold as what it is laid as, so its line of the whole roof stays.
        let strips: Vec<(SmolStr, u64)> = strips
            .into_iter()
            .filter_map(|group| Some((group.cut.sold_as.clone(), self.strips_together(group)?)))
            .collect();
        let cut: Vec<LengthCutting> =
            others.into_iter().filter_map(|group| self.cut_group(group)?.ok()).collect();
        for line in lines.iter_mut().filter(|line| line.slope.is_empty()) {
            let together = strips.iter().find(|(item, _)| *item == line.item).map(|(_, strips)| *strips);
            if let Some(strips) = together.filter(|strips| line.count > Some(*strips)) {
                line.to_buy = Some(strips);
                line.working.result =
                    said!("{}; cut together {strips} are enough to buy", line.working.result);
            }
            line.is_cut_from_stock |= cut.iter().any(|list| list.items.contains(&line.item));
        }
        lines.extend(cut.iter().flat_map(LengthCutting::lines));
    }

    /// The strips of undercloak that the runs of a group take if they are cut together. `None` where that is not known.
    fn strips_together(&self, group: &Group<'_>) -> Option<u64> {
        let strip_m = self.longest_on_sale_m(Sold::Undercloak);
        let runs = group.lines.iter().filter_map(|line| line.cut_into.as_ref()).flat_map(|cut| &cut.pieces_m);
        // Whole strips are strips; what is left of the runs is cut.
        let mut whole = 0;
        let mut pieces = Vec::new();
        for [(_, count), (rest_m, _)] in runs.map(|run_m| whole_lengths_and_a_rest(*run_m, strip_m)) {
            whole += u64::from(count);
            if rest_m >= LEAST_PIECE_M {
                pieces.push(Piece { length: m(rest_m), count: 1, label: String::new() });
            }
        }
        let kerf = self.saw_kerf();
        let rests_m: f64 = pieces.iter().map(|piece| (piece.length + kerf).m()).sum();
        if rests_m <= strip_m {
            // No list is needed to cut them from one.
            let strips = whole + u64::from(!pieces.is_empty());
            return (strips > 0).then_some(strips);
        }
        let stock = vec![StockLength::of(m(strip_m))];
        let job = CuttingJob { pieces, stock, offcuts: Vec::new(), kerf, least_offcut: m(0.0) };
        cut_within(&job, STEPS).ok().map(|plan| whole + plan.bars.len() as u64)
    }

    /// `None` where the survey states no lengths.
    fn cut_group(&self, group: &Group<'_>) -> Option<Result<LengthCutting>> {
        let from = group.cut.from;
        let stock = self.lengths_on_sale(from);
        let longest_m = self.longest_on_sale_m(from);
        let part = group.lines.first()?.part;
        let mut pieces = Vec::new();
        let mut items: Vec<SmolStr> = Vec::new();
        for line in &group.lines {
            if !items.contains(&line.item) {
                items.push(line.item.clone());
            }
            let place = if line.edge.is_empty() { SmolStr::default() } else { said!(", {}", line.edge) };
            let runs = line.cut_into.iter().flat_map(|cut| &cut.pieces_m);
            let split = runs.flat_map(|run| match from {
                Sold::Lead => [(longest_m, 0), (*run, 1)],
                _ => whole_lengths_and_a_rest(*run, longest_m),
            });
            pieces.extend(split.filter(|(length_m, count)| *count > 0 && *length_m >= LEAST_PIECE_M).map(
                |(length_m, count)| Piece {
                    length: m(length_m),
                    count,
                    label: format!("{}{place}", line.slope),
                },
            ));
        }
        if stock.is_empty() || pieces.is_empty() {
            return None;
        }
        let length_m: f64 = group.lines.iter().filter_map(|line| line.length_m).sum();
        let mass_kg: Option<f64> = group.lines.iter().map(|line| line.mass_kg).sum();
        let job = CuttingJob {
            pieces,
            stock: stock.into_iter().map(StockLength::of).collect(),
            offcuts: Vec::new(),
            // Lead is cut with shears, and loses nothing.
            kerf: if from == Sold::Lead { m(0.0) } else { self.saw_kerf() },
            least_offcut: m(0.0),
        };
        Some(cut_within(&job, STEPS).map_err(|error| error.at(&group.cut.sold_as)).map(|plan| {
            LengthCutting {
                sold_as: group.cut.sold_as.clone(),
                plan,
                part,
                from,
                items,
                mass_of_metre_kg: mass_kg.filter(|_| length_m > 0.0).map(|mass| mass / length_m),
            }
        }))
    }

    fn lengths_on_sale(&self, from: Sold) -> Vec<Length> {
        match from {
            Sold::CounterBattens => self.batten_bars.counter_lengths.clone(),
            Sold::Fillets => self.batten_bars.fillet_lengths.clone(),
            Sold::Lead => self.edges.choice.abutment.lead_rolls.clone(),
            Sold::Undercloak => {
                self.edges.by_default.iter().map(|rule| rule.undercloak_strip.value).collect()
            }
        }
    }

    fn longest_on_sale_m(&self, from: Sold) -> f64 {
        self.lengths_on_sale(from).iter().map(|length| length.m()).fold(0.0, f64::max)
    }

    /// What the saw takes at each cut.
    pub(super) fn saw_kerf(&self) -> Length {
        self.batten_bars.kerf.unwrap_or_else(|| mm(super::USUAL_KERF_MM))
    }
}

/// A run as whole lengths of the longest on sale and what is left, butted: each length and how many.
fn whole_lengths_and_a_rest(run_m: f64, longest_m: f64) -> [(f64, u32); 2] {
    let mut whole = 0;
    let mut rest = run_m;
    while longest_m > 0.0 && rest > longest_m && whole < u32::MAX {
        whole += 1;
        rest -= longest_m;
    }
    [(longest_m, whole), (rest, 1)]
}
