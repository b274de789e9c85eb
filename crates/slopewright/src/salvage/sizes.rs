//! Whether an old unit may be laid for a need of another format: by its own dimensions, and only where the user
//! has stated by how much the two may differ.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{Length, LengthIn as _, figure, millimetres, mm, read_length};

/// The dimensions of a format.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FormatSize {
    /// The key of the format.
    pub format: String,
    /// Its length: `"10 1/2 in"`.
    pub length: String,
    /// Its width: `"6 1/2 in"`.
    pub width: String,
}

/// Leave to lay an old format for a need of another, if they differ by no more than this.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Substitute {
    /// The format that came off.
    pub old: String,
    /// The format that is needed.
    pub new: String,
    /// By how much the lengths may differ: `"2 mm"`.
    pub length_within: String,
    /// By how much the widths may differ: `"0.5 mm"`.
    pub width_within: String,
}

/// Whether one format serves for another, with the reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Fit {
    /// The format that came off.
    pub old: String,
    /// The format that is needed.
    pub new: String,
    /// Whether it may be laid.
    pub allowed: bool,
    /// Why, or why not, and what it changes.
    pub reason: String,
}

/// Two lengths nearer than this are the same: far below a tile's own tolerance, far above a double's.
const SAME_MM: f64 = 1e-6;

/// The formats and the leaves, read and checked.
#[derive(Debug, Clone, Default)]
pub(super) struct Sizes {
    sizes: Vec<(String, Length, Length)>,
    leaves: Vec<(String, String, Length, Length)>,
}

impl Sizes {
    /// Reads the texts; all faults at once.
    pub(super) fn read(formats: &[FormatSize], substitutes: &[Substitute]) -> Result<Self> {
        let mut faults = Vec::new();
        let mut length = |text: &str, place: String, least: f64| match read_length(text) {
            Ok(value) if value.m() >= least => value,
            Ok(_) => {
                let allowed = format!("{} or more", millimetres(mm(least * 1000.0)));
                faults.push(
                    Fault::new(FaultKind::SizeOutOfRange, "is too small")
                        .at(place)
                        .given(text)
                        .allowed(allowed),
                );
                mm(0.0)
            }
            Err(error) => {
                faults.extend(error.at(place).into_faults());
                mm(0.0)
            }
        };
        let sizes = formats
            .iter()
            .map(|of| {
                let long = length(&of.length, format!("format '{}', length", of.format), 0.001);
                let wide = length(&of.width, format!("format '{}', width", of.format), 0.001);
                (of.format.clone(), long, wide)
            })
            .collect();
        let leaves = substitutes
            .iter()
            .map(|of| {
                let place = format!("'{}' for '{}'", of.old, of.new);
                let long = length(&of.length_within, format!("{place}, length within"), 0.0);
                let wide = length(&of.width_within, format!("{place}, width within"), 0.0);
                (of.old.clone(), of.new.clone(), long, wide)
            })
            .collect();
        Error::check(faults)?;
        Ok(Self { sizes, leaves })
    }

    /// Whether the old format may be laid where the new one is needed.
    pub(super) fn fit(&self, old: &str, new: &str) -> Fit {
        let (allowed, reason) = self.decide(old, new);
        Fit { old: old.to_owned(), new: new.to_owned(), allowed, reason }
    }

    fn decide(&self, old: &str, new: &str) -> (bool, String) {
        if old == new {
            return (true, "the same format".to_owned());
        }
        let size = |format: &str| self.sizes.iter().find(|(name, _, _)| name == format);
        let leave = self.leaves.iter().find(|(from, to, _, _)| from == old && to == new);
        let (Some((_, old_long, old_wide)), Some((_, new_long, new_wide))) = (size(old), size(new)) else {
            return (false, "another format, and the dimensions of one or both are not stated".to_owned());
        };
        let longer = (*old_long - *new_long).mm();
        let wider = (*old_wide - *new_wide).mm();
        let sizes = format!(
            "{} x {} mm against {} x {} mm",
            figure(old_long.mm(), 1),
            figure(old_wide.mm(), 1),
            figure(new_long.mm(), 1),
            figure(new_wide.mm(), 1)
        );
        let effect = format!(
            "at the new gauge the headlap changes by {} mm, and ten units side by side run {} mm {}",
            figure(longer, 1),
            figure((10.0 * wider).abs(), 1),
            if wider < 0.0 { "short" } else { "over" }
        );
        let Some((_, _, length_within, width_within)) = leave else {
            return (
                false,
                format!(
                    "{sizes}: another size, and no tolerance is stated for laying the two together; {effect}"
                ),
            );
        };
        let fits = longer.abs() <= length_within.mm() + SAME_MM && wider.abs() <= width_within.mm() + SAME_MM;
        let tolerance =
            format!("{} in length and {} in width", millimetres(*length_within), millimetres(*width_within));
        if fits {
            (true, format!("{sizes}: within the stated {tolerance}; {effect}"))
        } else {
            (false, format!("{sizes}: more than the stated {tolerance}; {effect}"))
        }
    }
}
