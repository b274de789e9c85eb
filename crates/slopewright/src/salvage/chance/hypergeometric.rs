//! Drawing from a lot without putting back.

use super::{Counted, real, saddle::ln_binomial};

/// How many sound units turn up among `drawn` out of a lot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hypergeometric {
    lot: u64,
    sound: u64,
    drawn: u64,
}

impl Hypergeometric {
    /// A lot, how many of it are sound, and how many are drawn; `None` if more are sound or drawn than there are.
    #[must_use]
    pub const fn new(lot: u64, sound: u64, drawn: u64) -> Option<Self> {
        if sound > lot || drawn > lot { None } else { Some(Self { lot, sound, drawn }) }
    }
}

impl Counted for Hypergeometric {
    fn least(&self) -> u64 {
        self.drawn.saturating_sub(self.lot - self.sound)
    }

    fn most(&self) -> Option<u64> {
        Some(self.drawn.min(self.sound))
    }

    fn peak(&self) -> u64 {
        let over = (u128::from(self.drawn) + 1) * (u128::from(self.sound) + 1);
        u64::try_from(over / (u128::from(self.lot) + 2))
            .unwrap_or(u64::MAX)
            .clamp(self.least(), self.drawn.min(self.sound))
    }

    fn mean(&self) -> f64 {
        if self.lot == 0 { 0.0 } else { real(self.drawn) * (real(self.sound) / real(self.lot)) }
    }

    fn pmf(&self, k: u64) -> f64 {
        let (least, most) = (self.least(), self.drawn.min(self.sound));
        if k < least || k > most {
            return 0.0;
        }
        if least == most {
            return 1.0;
        }
        let lot = real(self.lot);
        let (p, q) = (real(self.drawn) / lot, real(self.lot - self.drawn) / lot);
        let (x, sound, drawn) = (real(k), real(self.sound), real(self.drawn));
        (ln_binomial(x, sound, p, q) + ln_binomial(drawn - x, lot - sound, p, q)
            - ln_binomial(drawn, lot, p, q))
        .exp()
    }

    fn ratio_up(&self, k: u64) -> f64 {
        let k = real(k);
        let unsound_not_drawn = real(self.lot) - real(self.sound) - real(self.drawn) + k + 1.0;
        (real(self.sound) - k) * (real(self.drawn) - k) / ((k + 1.0) * unsound_not_drawn)
    }
}
