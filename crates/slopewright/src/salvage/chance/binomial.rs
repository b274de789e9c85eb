//! Independent trials with the same chance.

use super::{Counted, real, saddle::ln_binomial};

/// How many of `trials` come out, each with the same chance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Binomial {
    trials: u64,
    chance: f64,
}

impl Binomial {
    /// A number of trials and the chance of each; `None` if the chance is not between 0 and 1.
    #[must_use]
    pub fn new(trials: u64, chance: f64) -> Option<Self> {
        (0.0..=1.0).contains(&chance).then_some(Self { trials, chance })
    }
}

impl Counted for Binomial {
    fn least(&self) -> u64 {
        if self.chance >= 1.0 { self.trials } else { 0 }
    }

    fn most(&self) -> Option<u64> {
        Some(if self.chance <= 0.0 { 0 } else { self.trials })
    }

    fn peak(&self) -> u64 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "not negative, and clamped to what can happen"
        )]
        let peak = ((real(self.trials) + 1.0) * self.chance) as u64;
        peak.clamp(self.least(), self.most().unwrap_or(self.trials))
    }

    fn mean(&self) -> f64 {
        real(self.trials) * self.chance
    }

    fn pmf(&self, k: u64) -> f64 {
        if k < self.least() || self.most().is_some_and(|most| k > most) {
            return 0.0;
        }
        if self.least() == self.trials || self.most() == Some(0) {
            return 1.0;
        }
        ln_binomial(real(k), real(self.trials), self.chance, 1.0 - self.chance).exp()
    }

    fn ratio_up(&self, k: u64) -> f64 {
        let k = real(k);
        (real(self.trials) - k) / (k + 1.0) * (self.chance / (1.0 - self.chance))
    }
}
