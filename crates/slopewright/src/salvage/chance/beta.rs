//! The beta distribution, and through it the exact range of a proportion.

use super::{real, saddle::ln_binomial};

/// A beta distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beta {
    a: f64,
    b: f64,
}

impl Beta {
    /// The two shapes; `None` unless both are over 0 and at most 10^12.
    #[must_use]
    pub fn new(a: f64, b: f64) -> Option<Self> {
        let fits = |shape: f64| shape > 0.0 && shape <= 1e12;
        (fits(a) && fits(b)).then_some(Self { a, b })
    }

    /// The regularised incomplete beta function: the chance of `x` or less.
    #[must_use]
    pub fn cdf(self, x: f64) -> f64 {
        self.tails(x).0
    }

    /// The chance of more than `x`.
    #[must_use]
    pub fn sf(self, x: f64) -> f64 {
        self.tails(x).1
    }

    /// The value that is not exceeded with a chance of `share`. A share outside 0 to 1 is taken as the nearer.
    #[must_use]
    pub fn quantile(self, share: f64) -> f64 {
        self.split(share, 1.0 - share)
    }

    /// The value that is exceeded with a chance of `share`.
    #[must_use]
    pub fn upper_quantile(self, share: f64) -> f64 {
        self.split(1.0 - share, share)
    }

    /// The value with `lower` below it and `upper` above. Bisection over the doubles themselves: their bits, read
    /// as a whole number, are in order, so 62 steps end at neighbours, however small the value.
    fn split(self, lower: f64, upper: f64) -> f64 {
        if lower.is_nan() || lower <= 0.0 {
            return 0.0;
        }
        if upper <= 0.0 {
            return 1.0;
        }
        let below = |x: f64| {
            let (under, over) = self.tails(x);
            if lower <= upper { under < lower } else { over > upper }
        };
        let (mut low, mut high) = (0.0_f64.to_bits(), 1.0_f64.to_bits());
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if below(f64::from_bits(middle)) {
                low = middle;
            } else {
                high = middle;
            }
        }
        f64::from_bits(high)
    }

    /// Both tails; the smaller has all its digits.
    fn tails(self, x: f64) -> (f64, f64) {
        if x.is_nan() || x <= 0.0 {
            return (0.0, 1.0);
        }
        if x >= 1.0 {
            return (1.0, 0.0);
        }
        let Self { a, b } = self;
        let y = 1.0 - x;
        // x^a y^b / B(a, b)
        let front = ln_binomial(a, a + b, x, y).exp() * a * b / (a + b);
        if x < (a + 1.0) / (a + b + 2.0) {
            let lower = (front * fraction(a, b, x) / a).min(1.0);
            (lower, 1.0 - lower)
        } else {
            let upper = (front * fraction(b, a, y) / b).min(1.0);
            (1.0 - upper, upper)
        }
    }
}

/// Far more steps than the fraction takes for the largest shapes (about the square root of the larger).
const MOST_STEPS: u32 = 10_000_000;

/// The continued fraction of the incomplete beta function (NIST Handbook of Mathematical Functions, 8.17.22), summed
/// from the front by Lentz's method.
#[expect(clippy::many_single_char_names, reason = "the names of the published formula")]
fn fraction(a: f64, b: f64, x: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let away_from_zero = |value: f64| if value.abs() < TINY { TINY } else { value };
    let mut c = 1.0;
    let mut d = 1.0 / away_from_zero(1.0 - (a + b) * x / (a + 1.0));
    let mut value = d;
    let mut m = 0.0;
    for _ in 0..MOST_STEPS {
        m += 1.0;
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / away_from_zero(1.0 + even * d);
        c = away_from_zero(1.0 + even / c);
        value *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / away_from_zero(1.0 + odd * d);
        c = away_from_zero(1.0 + odd / c);
        let change = d * c;
        value *= change;
        if (change - 1.0).abs() < 3e-16 {
            break;
        }
    }
    value
}

/// A proportion with its exact two-sided range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProportionRange {
    /// The lower end.
    pub low: f64,
    /// The share seen.
    pub seen: f64,
    /// The upper end.
    pub high: f64,
}

/// The exact (Clopper-Pearson) two-sided range of a proportion, from `x` seen in `n`. For a sample from a heap that is
/// not small against the sample the finite-lot bound of [`Inspection`](crate::salvage::Inspection) is the sharper one.
/// `None` if nothing was seen, if `x` is over `n`, or if the sureness is not between 0 and 1.
#[must_use]
pub fn proportion_range(x: u64, n: u64, sureness: f64) -> Option<ProportionRange> {
    if n == 0 || x > n || !(sureness > 0.0 && sureness < 1.0) {
        return None;
    }
    let tail = (1.0 - sureness) / 2.0;
    let (seen, missed) = (real(x), real(n - x));
    let low = if x == 0 { 0.0 } else { Beta::new(seen, missed + 1.0)?.quantile(tail) };
    let high = if x == n { 1.0 } else { Beta::new(seen + 1.0, missed)?.upper_quantile(tail) };
    Some(ProportionRange { low, seen: seen / real(n), high })
}
