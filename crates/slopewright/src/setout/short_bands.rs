//! What to say of a band whose equal spaces would be under the least gauge: what is laid, and the other choices.

use super::courses::{GaugeBand, Gauging};
use crate::catalogue::Figure;
use crate::quantity::{Length, LengthIn as _, m, millimetres};

fn millimetres_of(length_m: f64) -> String {
    millimetres(m(length_m))
}

/// What to say where the last course of a slope is cut because equal spaces would be under the least gauge.
pub(super) fn top_is_cut(gauging: &Gauging, band: &GaugeBand, least: &Figure<Length>) -> String {
    let fewer = band.spaces.saturating_sub(1);
    let missing = band.distance_m() - f64::from(fewer) * gauging.gauge_most_m;
    let more = f64::from(band.spaces) * least.value.m() - band.distance_m();
    format!(
        "equal spaces would be under the least gauge of {}; the largest gauge is kept and the last course is cut. The other \
         choices: {} less to divide (a smaller eaves overhang) makes {fewer} spaces, {} more (a larger one) makes {}; or a smaller headlap \
         where the rule allows it",
        millimetres(least.value),
        millimetres_of(missing),
        millimetres_of(more),
        band.spaces
    )
}

/// The same for a band between two fixed points.
pub(super) fn band_is_cut(band: &GaugeBand, least: &Figure<Length>) -> String {
    let fewer = band.spaces.saturating_sub(1);
    let missing = band.distance_m() - f64::from(fewer) * band.gauge_m;
    let more = f64::from(band.spaces) * least.value.m() - band.distance_m();
    let less = if fewer == 0 {
        "leave one of them out as a fixed point".to_owned()
    } else {
        format!(
            "move one of them so that there is {} less to divide, for {fewer} spaces",
            millimetres_of(missing)
        )
    };
    format!(
        "between the fixed points at {} and {} equal spaces would be under the least gauge of {}; the largest gauge is kept and the last \
         space is {}. The other choices: {less}; or {} more, for {} spaces",
        millimetres_of(band.from_m),
        millimetres_of(band.to_m),
        millimetres(least.value),
        millimetres_of(band.last_space_m()),
        millimetres_of(more),
        band.spaces
    )
}
