//! Cutting pieces from stock lengths, with proof.
//!
//! Battens, counter-battens, ridge, lead and timbers come from bars of fixed lengths. [`cut`] says how many bars to buy
//! and how to cut each, and proves how far that is from the least possible. [`lay_battens`] does the same for rows of
//! battens as they are really laid, with their joints over rafters.
//!
//! The way there: lengths become whole numbers on a grid of a tenth of a millimetre, with the kerf inside them. First
//! fit gives a quick answer. A linear programme over all cutting patterns, built up pattern by pattern, gives prices
//! for the lengths; brought to whole numbers, they make a bound that is proved by exact sums. Diving through the same
//! programme finds better answers until one meets the bound or the allowance of steps is used up.
//!
//! First fit alone is nearly always optimal on real batten lists (`docs/cutting.md`), so exact cutting seldom saves a bar there.
//! It is for long lists of few large pieces, for several lengths with prices, and for knowing when to stop looking.

mod basket;
mod battens;
mod battens_bound;
mod battens_lay;
mod battens_mend;
mod completion;
mod dive;
mod engine;
mod first_fit;
mod job;
mod knapsack;
mod master;
mod plan;
mod relax;
mod task;

#[cfg(test)]
mod tests;

pub(crate) use battens::least_for;
pub use battens::{
    BattenJob, BattenPiece, BattenPlan, BattenRow, Exception, JointRule, Rafters, RowPlan, RunPlan, Stagger,
    lay_battens,
};
pub use job::{CuttingJob, Objective, Piece, StockLength};
pub use plan::{Bar, BarGroup, Cut, CuttingPlan, Purchase, USUAL_STEPS, cut, cut_within};
