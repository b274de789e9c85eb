//! The old covering off against the new covering on, slope by slope.

use serde::Serialize;

use super::{ChangeThreshold, CoverChange, cover_change};
use crate::quantity::m2;
use crate::rules::Rules;
use crate::takeoff::TakeOff;

/// The change of load on one slope.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct SlopeLoad {
    /// The roof.
    pub roof: String,
    /// The slope.
    pub slope: String,
    /// The change.
    pub change: CoverChange,
}

/// The change of load on every slope of which both coverings' masses are known: units only, dry, over the covered area.
/// Empty if the rules state no limit.
#[must_use]
pub fn loads(take_off: &TakeOff, rules: &Rules) -> Vec<SlopeLoad> {
    let Some(threshold) = ChangeThreshold::of(rules) else { return Vec::new() };
    let Some((old, _)) = &take_off.old_covering.mass else { return Vec::new() };
    let slopes = take_off.slopes.iter().filter_map(|slope| {
        let new = slope.layout.covering().mass_per_m2(slope.layout.gauge())?;
        let change = cover_change(*old, new, m2(slope.layout.covered.area_m2()), &threshold);
        Some(SlopeLoad { roof: take_off.name.clone(), slope: slope.layout.slope.clone(), change })
    });
    slopes.collect()
}
