//! The two pieces of the saddle-point form: the error of Stirling's formula and the deviance. Together they give the
//! logarithm of a binomial or Poisson probability without ever forming a large factorial.

use core::f64::consts::TAU;

/// From here on the series for Stirling's error is exact to the last bit.
const SERIES_FROM: f64 = 15.0;

/// `ln z! - ln(sqrt(tau z) (z/e)^z)`, for z over 0 (whole or not).
pub(super) fn stirling_error(z: f64) -> f64 {
    let mut z = z;
    let mut below = 0.0;
    while z < SERIES_FROM {
        below += (z + 0.5) * (1.0 / z).ln_1p() - 1.0;
        z += 1.0;
    }
    let square = z * z;
    let series = [-691.0 / 360_360.0, 1.0 / 1188.0, -1.0 / 1680.0, 1.0 / 1260.0, -1.0 / 360.0, 1.0 / 12.0];
    below + series.iter().fold(0.0, |sum, term| sum / square + term) / z
}

/// `x ln(x / mean) + mean - x`, without loss where the two are close.
pub(super) fn deviance(x: f64, mean: f64) -> f64 {
    let apart = x - mean;
    if apart.abs() >= 0.1 * (x + mean) {
        return x * (x / mean).ln() - apart;
    }
    let v = apart / (x + mean);
    let mut sum = apart * v;
    let mut term = 2.0 * x * v;
    let mut odd = 1.0;
    loop {
        term *= v * v;
        odd += 2.0;
        let next = sum + term / odd;
        // The terms fall by a hundred each time; NaN ends the loop too.
        if (next - sum).abs() <= f64::EPSILON * 0.1 * sum.abs() || next.is_nan() {
            return next;
        }
        sum = next;
    }
}

/// `ln( n! / (x! (n-x)!) p^x q^(n-x) )`, with `q = 1 - p`; `x` and `n` need not be whole.
pub(super) fn ln_binomial(x: f64, n: f64, p: f64, q: f64) -> f64 {
    let rest = n - x;
    if x <= 0.0 {
        return n * if p < 0.1 { (-p).ln_1p() } else { q.ln() };
    }
    if rest <= 0.0 {
        return n * if q < 0.1 { (-q).ln_1p() } else { p.ln() };
    }
    stirling_error(n) - stirling_error(x) - stirling_error(rest) - deviance(x, n * p) - deviance(rest, n * q)
        + 0.5 * (n / (TAU * x * rest)).ln()
}
