//! The old covering off against the new covering on.

use rust_decimal::Decimal;
use serde::Serialize;

use crate::quantity::{Area, AreaIn as _, CoverMass, CoverMassIn as _, figure};
use crate::reason::Working;
use crate::rules::Rules;
use crate::salvage::Portion;

/// By how much a covering may become heavier or lighter before somebody must look at the structure, and who says so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangeThreshold {
    /// The part of the old mass: `15 %`.
    pub part: Portion,
    /// Where the figure comes from.
    pub source: String,
    /// Who must check.
    pub checked_by: String,
}

impl ChangeThreshold {
    /// The limit that the rules state, if they do.
    #[must_use]
    pub fn of(rules: &Rules) -> Option<Self> {
        let limit = rules.weight_change_limit()?;
        let percent = Decimal::from_f64_retain(limit.value * 100.0)?.round_dp(PERCENT_DECIMALS);
        Some(Self {
            part: Portion::percent(percent)?,
            source: limit.citation().into(),
            checked_by: "a competent person".to_owned(),
        })
    }
}

/// A limit is stated in percent with no more decimals than this.
const PERCENT_DECIMALS: u32 = 4;

/// The change of a covering's mass. What each covering weighs is for the caller to say: with battens, and with the old
/// one as it lies, since old tiles hold water.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct CoverChange {
    /// The old covering.
    pub old_kg_per_m2: f64,
    /// The new covering.
    pub new_kg_per_m2: f64,
    /// The area.
    pub area_m2: f64,
    /// New less old.
    pub change_kg_per_m2: f64,
    /// New less old, over the whole area.
    pub change_kg: f64,
    /// New less old, over old; `None` if nothing lay there.
    pub change_share: Option<f64>,
    /// Whether that is over the threshold, either way.
    pub over_threshold: bool,
    /// Where the threshold comes from.
    pub source: String,
    /// What to tell the user, if it is: what, the threshold and its source, and who must check.
    pub message: Option<String>,
    /// How it was reached.
    pub working: Working,
}

/// Below this a share is the threshold itself, whatever the last bit of a division says.
const SAME_SHARE: f64 = 1e-9;

/// Sets the new covering against the old one.
///
/// ```
/// use slopewright::order::{ChangeThreshold, cover_change};
/// use slopewright::quantity::{kg_per_m2, m2};
/// let threshold = ChangeThreshold {
///     part: "15 %".parse()?,
///     source: "local guidance".into(),
///     checked_by: "a competent person".into(),
/// };
/// let change = cover_change(kg_per_m2(76.6), kg_per_m2(41.0), m2(120.0), &threshold);
/// assert!(change.over_threshold && change.change_kg < 0.0);
/// # Ok::<(), slopewright::Error>(())
/// ```
#[must_use]
pub fn cover_change(old: CoverMass, new: CoverMass, area: Area, threshold: &ChangeThreshold) -> CoverChange {
    let (old, new, area) = (old.kg_per_m2(), new.kg_per_m2(), area.m2());
    let change = new - old;
    let share = (old > 0.0).then(|| change / old);
    let over = match share {
        Some(share) => share.is_nan() || share.abs() > threshold.part.chance() + SAME_SHARE,
        None => change != 0.0,
    };
    let way = if change < 0.0 { "lighter" } else { "heavier" };
    let by = share.map_or_else(
        || format!("{} kg/m2", figure(change.abs(), 1)),
        |share| format!("{} %", figure(share.abs() * 100.0, 1)),
    );
    let message = over.then(|| {
        format!(
            "the new covering is {by} {way} than the old one ({} against {} kg/m2), over {} ({}): the structure must be \
             checked by {}",
            figure(new, 1),
            figure(old, 1),
            threshold.part,
            threshold.source,
            threshold.checked_by
        )
    });
    CoverChange {
        old_kg_per_m2: old,
        new_kg_per_m2: new,
        area_m2: area,
        change_kg_per_m2: change,
        change_kg: change * area,
        change_share: share,
        over_threshold: over,
        source: threshold.source.clone(),
        message,
        working: Working::new(
            "change of the covering's mass",
            "(new - old) / old; (new - old) x area",
            format!(
                "old {} kg/m2, new {} kg/m2, area {} m2",
                figure(old, 2),
                figure(new, 2),
                figure(area, 2)
            ),
            format!("{by} {way}, {} kg in all", figure(change * area, 0)),
        ),
    }
}
