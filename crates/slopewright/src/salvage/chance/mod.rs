//! The chances behind a count: how many are sound in a lot that was only sampled, how many break on the way,
//! how many will be wanted for repairs.
//!
//! Written here rather than taken from a library, because lots of up to a million must not give NaN and an order must
//! not turn on the ninth digit. The probabilities are made by saddle-point expansion (Loader 2000, "Fast and
//! accurate computation of binomial probabilities"), the tails by summing away from the peak, where the terms only
//! shrink, and the quantiles by bisection, so that each is the exact whole number.

mod beta;
mod binomial;
mod hypergeometric;
mod newsvendor;
mod poisson;
mod saddle;

pub use beta::{Beta, ProportionRange, proportion_range};
pub use binomial::Binomial;
pub use hypergeometric::Hypergeometric;
pub use newsvendor::{best_stock, critical_share};
pub use poisson::Poisson;

/// A whole number as a real one. Counts of units are far below 2^53, where this is exact.
pub(crate) const fn real(count: u64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "counts are limited far below 2^53")]
    {
        count as f64
    }
}

/// A distribution over whole numbers with a single peak.
pub trait Counted {
    /// The least number that can happen.
    fn least(&self) -> u64;
    /// The greatest number that can happen; `None` if there is none.
    fn most(&self) -> Option<u64>;
    /// The number that happens most often.
    fn peak(&self) -> u64;
    /// The mean.
    fn mean(&self) -> f64;
    /// The chance of exactly `k`.
    fn pmf(&self, k: u64) -> f64;
    /// The chance of `k + 1` over that of `k`, for a `k` that can happen.
    fn ratio_up(&self, k: u64) -> f64;

    /// The chance of `k` or fewer.
    fn cdf(&self, k: u64) -> f64 {
        if k < self.least() {
            0.0
        } else if self.most().is_some_and(|most| k >= most) {
            1.0
        } else if k < self.peak() {
            sum_down(self, k)
        } else {
            (1.0 - sum_up(self, k + 1)).max(0.0)
        }
    }

    /// The chance of more than `k`.
    fn sf(&self, k: u64) -> f64 {
        if k < self.least() {
            1.0
        } else if self.most().is_some_and(|most| k >= most) {
            0.0
        } else if k < self.peak() {
            (1.0 - sum_down(self, k)).max(0.0)
        } else {
            sum_up(self, k + 1)
        }
    }

    /// The least number that is not exceeded with a chance of `share` or more. A share outside 0 to 1 is taken
    /// as the nearer of the two; NaN as 0. A share of 1 without a greatest number gives `u64::MAX`.
    fn quantile(&self, share: f64) -> u64 {
        if !matches!(share.partial_cmp(&0.0), Some(core::cmp::Ordering::Greater)) {
            return self.least();
        }
        if share >= 1.0 {
            return self.most().unwrap_or(u64::MAX);
        }
        // Near 1 the upper tail is the one that still has its digits.
        let reached = |k: u64| if share > 0.5 { self.sf(k) <= 1.0 - share } else { self.cdf(k) >= share };
        let mut low = self.least();
        if reached(low) {
            return low;
        }
        let mut high = self.peak().max(low + 1);
        let mut step = 1_u64;
        while !reached(high) {
            low = high;
            step = step.saturating_mul(2);
            high = high.saturating_add(step);
            if let Some(most) = self.most().filter(|most| high >= *most) {
                high = most;
                break;
            }
        }
        // `low` is not enough, `high` is.
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if reached(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        high
    }
}

/// How small a term may be against the sum before the rest no longer matters.
const NEGLIGIBLE: f64 = 1e-18;

/// The chance of `k` or fewer, for a `k` below the peak: the terms shrink on the way down.
fn sum_down<D: Counted + ?Sized>(of: &D, k: u64) -> f64 {
    let mut term = of.pmf(k);
    let mut sum = term;
    let mut at = k;
    while at > of.least() && term > sum * NEGLIGIBLE {
        at -= 1;
        term /= of.ratio_up(at);
        sum += term;
    }
    sum.min(1.0)
}

/// The chance of `k` or more, for a `k` above the peak: the terms shrink on the way up.
fn sum_up<D: Counted + ?Sized>(of: &D, k: u64) -> f64 {
    let mut term = of.pmf(k);
    let mut sum = term;
    let mut at = k;
    while of.most().is_none_or(|most| at < most) && term > sum * NEGLIGIBLE {
        term *= of.ratio_up(at);
        sum += term;
        at += 1;
    }
    sum.min(1.0)
}
