//! A unit of covering by its format and kind, and a need of it. This is where the rooms meet: the take-off says what a
//! roof needs as a list of [`Need`], and nothing here knows how it was counted.

use core::fmt;
use core::str::FromStr;

use serde::{Deserialize, Serialize};

use super::limits;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{Mass, MassIn, kg};

/// What a unit of covering is, apart from its format.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum UnitKind {
    /// A whole unit, laid as it is.
    Whole,
    /// A unit that is cut to fit; it takes a whole one.
    Cut,
    /// A half unit.
    Half,
    /// A tile-and-a-half (or slate-and-a-half).
    TileAndAHalf,
    /// A short unit under the first course.
    Eaves,
    /// A short unit under the ridge.
    Top,
    /// A ridge unit.
    Ridge,
    /// A hip unit.
    Hip,
    /// A valley unit.
    Valley,
    /// A verge unit.
    Verge,
    /// Any other special unit.
    Special,
}

impl UnitKind {
    /// Every kind.
    pub const ALL: [Self; 11] = [
        Self::Whole,
        Self::Cut,
        Self::Half,
        Self::TileAndAHalf,
        Self::Eaves,
        Self::Top,
        Self::Ridge,
        Self::Hip,
        Self::Valley,
        Self::Verge,
        Self::Special,
    ];

    /// The name, as in documents.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Whole => "whole",
            Self::Cut => "cut",
            Self::Half => "half",
            Self::TileAndAHalf => "tile-and-a-half",
            Self::Eaves => "eaves",
            Self::Top => "top",
            Self::Ridge => "ridge",
            Self::Hip => "hip",
            Self::Valley => "valley",
            Self::Verge => "verge",
            Self::Special => "special",
        }
    }
}

impl fmt::Display for UnitKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A unit by its format and kind, written `plain-265x165 whole`: in documents, price lists and tallies alike.
///
/// ```
/// use slopewright::salvage::{UnitKey, UnitKind};
/// let ridge: UnitKey = "plain-265x165 ridge".parse()?;
/// assert_eq!(ridge, UnitKey::new("plain-265x165", UnitKind::Ridge));
/// # Ok::<(), slopewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct UnitKey {
    /// The key of the format in the catalogue, or the user's own.
    pub format: String,
    /// What it is.
    pub kind: UnitKind,
}

impl UnitKey {
    /// A unit by its format and kind.
    #[must_use]
    pub fn new(format: impl Into<String>, kind: UnitKind) -> Self {
        Self { format: format.into(), kind }
    }

    /// The unit as it is bought: a cut unit is bought whole.
    #[must_use]
    pub fn bought_as(&self) -> Self {
        let kind = if self.kind == UnitKind::Cut { UnitKind::Whole } else { self.kind };
        Self { format: self.format.clone(), kind }
    }
}

impl fmt::Display for UnitKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.format, self.kind)
    }
}

impl FromStr for UnitKey {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let (format, kind) = text.trim().rsplit_once(char::is_whitespace).unwrap_or_default();
        let kind = UnitKind::ALL.into_iter().find(|known| known.name() == kind);
        match kind {
            Some(kind) if !format.trim().is_empty() => Ok(Self::new(format.trim(), kind)),
            _ => Err(Fault::new(FaultKind::UnitUnreadable, "is not a format and a kind of unit")
                .given(format!("\"{text}\""))
                .allowed(UnitKind::ALL.map(UnitKind::name).join(", "))
                .into()),
        }
    }
}

impl TryFrom<String> for UnitKey {
    type Error = Error;

    fn try_from(text: String) -> Result<Self> {
        text.parse()
    }
}

impl From<UnitKey> for String {
    fn from(unit: UnitKey) -> Self {
        unit.to_string()
    }
}

impl schemars::JsonSchema for UnitKey {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "UnitKey".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        let kinds = UnitKind::ALL.map(UnitKind::name).join("|");
        schemars::json_schema!({
            "type": "string",
            "description": "a unit by its format and kind, such as \"plain-265x165 whole\"",
            "pattern": format!(r"^.*\S\s+({kinds})\s*$")
        })
    }
}

/// So many units of one sort for one slope.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Need {
    /// The roof, where one job has several; may be empty.
    #[serde(default)]
    pub roof: String,
    /// The slope, or the joint (ridge, hip, valley) that the units are for.
    pub slope: String,
    /// The unit.
    pub unit: UnitKey,
    /// How many.
    pub count: u64,
    /// The mass of one, in kilograms, where it is known.
    #[serde(
        default,
        rename = "mass_each_kg",
        serialize_with = "write_kg",
        deserialize_with = "read_kg",
        skip_serializing_if = "Option::is_none"
    )]
    #[schemars(with = "Option<f64>")]
    pub mass_each: Option<Mass>,
}

impl Need {
    /// A need on a job with one roof, the mass not known.
    #[must_use]
    pub fn new(slope: impl Into<String>, unit: UnitKey, count: u64) -> Self {
        Self { roof: String::new(), slope: slope.into(), unit, count, mass_each: None }
    }

    /// Where it is: `roof 'barn', slope 'north'`.
    #[must_use]
    pub fn place(&self) -> String {
        place(&self.roof, &self.slope)
    }
}

/// `roof 'barn', slope 'north'`, without the roof if it has no name.
pub(super) fn place(roof: &str, slope: &str) -> String {
    if roof.is_empty() { format!("slope '{slope}'") } else { format!("roof '{roof}', slope '{slope}'") }
}

/// Refuses needs whose counts are too large, or whose mass is not a mass.
pub(super) fn check(needs: &[Need]) -> Result<()> {
    let mut faults = Vec::new();
    limits::rows(needs.len(), "needs", &mut faults);
    for need in needs {
        let place = format!("{}, {}", need.place(), need.unit);
        limits::count(need.count, &place, &mut faults);
        if let Some(mass) = need.mass_each.filter(|mass| !(mass.kg() >= 0.0 && mass.kg().is_finite())) {
            faults.push(
                Fault::new(FaultKind::NotFinite, "is not a mass")
                    .at(place)
                    .given(mass.kg())
                    .allowed("0 kg or more"),
            );
        }
    }
    Error::check(faults)
}

#[expect(clippy::ref_option, reason = "serde hands the field over by reference")]
fn write_kg<S: serde::Serializer>(mass: &Option<Mass>, to: S) -> core::result::Result<S::Ok, S::Error> {
    mass.map(MassIn::kg).serialize(to)
}

fn read_kg<'de, D: serde::Deserializer<'de>>(from: D) -> core::result::Result<Option<Mass>, D::Error> {
    Ok(Option::<f64>::deserialize(from)?.map(kg))
}
