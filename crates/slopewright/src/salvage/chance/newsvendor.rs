//! How much to stock once, when too little and too much both cost.

use super::Counted;

/// The chance of having enough that is worth paying for: what a missing unit costs over what a missing and a spare unit
/// cost together. `None` if a cost is negative or not finite, or if both are nothing.
#[must_use]
pub fn critical_share(missing: f64, spare: f64) -> Option<f64> {
    let critical = missing / (missing + spare);
    (missing >= 0.0 && spare >= 0.0 && critical.is_finite()).then_some(critical)
}

/// The stock that costs least on average when the demand is uncertain, each missing unit costs `missing` and each
/// spare one `spare`. `None` as in [`critical_share`].
///
/// ```
/// use slopewright::salvage::chance::{Poisson, best_stock};
/// // A missing tile costs nine times a spare one, so the stock is the 90 % quantile of the demand.
/// assert_eq!(best_stock(&Poisson::new(10.0).unwrap(), 9.0, 1.0), Some(14));
/// ```
#[must_use]
pub fn best_stock<D: Counted + ?Sized>(demand: &D, missing: f64, spare: f64) -> Option<u64> {
    critical_share(missing, spare).map(|critical| demand.quantile(critical))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn costs_that_make_no_sense_have_no_share() {
        // 9 / (9 + 1), and the ends.
        assert_eq!(critical_share(9.0, 1.0), Some(0.9));
        assert_eq!((critical_share(1.0, 0.0), critical_share(0.0, 1.0)), (Some(1.0), Some(0.0)));
        for (missing, spare) in
            [(-1.0, 3.0), (3.0, -1.0), (0.0, 0.0), (f64::NAN, 1.0), (1.0, f64::NAN), (f64::INFINITY, 1.0)]
        {
            assert_eq!(critical_share(missing, spare), None, "{missing} {spare}");
        }
    }
}
