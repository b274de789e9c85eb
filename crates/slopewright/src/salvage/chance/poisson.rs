//! Rare events at a steady rate.

use core::f64::consts::TAU;

use super::{
    Counted, real,
    saddle::{deviance, stirling_error},
};

/// How many events happen, given how many are expected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Poisson {
    mean: f64,
}

/// Beyond this a count of events has no exact whole number in a double.
const LARGEST_MEAN: f64 = 1e12;

impl Poisson {
    /// The number expected; `None` if it is negative, not finite or over 10^12.
    #[must_use]
    pub fn new(mean: f64) -> Option<Self> {
        (0.0..=LARGEST_MEAN).contains(&mean).then_some(Self { mean })
    }
}

impl Counted for Poisson {
    fn least(&self) -> u64 {
        0
    }

    fn most(&self) -> Option<u64> {
        (self.mean <= 0.0).then_some(0)
    }

    fn peak(&self) -> u64 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 0 and the largest mean"
        )]
        {
            self.mean as u64
        }
    }

    fn mean(&self) -> f64 {
        self.mean
    }

    fn pmf(&self, k: u64) -> f64 {
        if k == 0 {
            return (-self.mean).exp();
        }
        if self.mean <= 0.0 {
            return 0.0;
        }
        let x = real(k);
        (-stirling_error(x) - deviance(x, self.mean)).exp() / (TAU * x).sqrt()
    }

    fn ratio_up(&self, k: u64) -> f64 {
        self.mean / (real(k) + 1.0)
    }
}
