//! The form of a file of published figures.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Deserialize;
use slopewright::quantity::{Length, Pitch, read_length, read_pitch};
use toml::Value;

use crate::calculations::Calculation;

/// How the figures of a file are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Standing {
    /// Read in the text named.
    Seen,
    /// Relayed by somebody else.
    SecondHand,
    /// Worked out independently of this library, not printed anywhere.
    Calculated,
    /// Recalled: shown in the table, but neither asserted nor counted.
    Memory,
}

impl Standing {
    pub(crate) const fn is_published(self) -> bool {
        matches!(self, Self::Seen | Self::SecondHand)
    }
}

/// What the source did with the digits it does not print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Rounding {
    /// Nothing that matters within the tolerance, or sometimes one and sometimes the other.
    Nearest,
    /// Dropped.
    Truncated,
    /// Taken up to the next.
    Up,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct File {
    pub(crate) source: String,
    pub(crate) standing: Standing,
    /// Doubts about the text.
    #[serde(default)]
    pub(crate) note: String,
    pub(crate) check: Vec<Check>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Check {
    /// What is checked, for people.
    pub(crate) title: String,
    /// The one call of the library that answers it.
    pub(crate) of: Calculation,
    /// How far the library may lie from print, in the unit printed ...
    #[serde(default)]
    pub(crate) tolerance: f64,
    /// ... or as a share of it, in percent.
    #[serde(default)]
    pub(crate) tolerance_percent: f64,
    pub(crate) rounding: Rounding,
    /// Decimals printed, where the source drops or takes up.
    #[serde(default)]
    pub(crate) decimals: i32,
    #[serde(default)]
    pub(crate) note: String,
    /// Inputs that all rows share.
    #[serde(default)]
    pub(crate) given: BTreeMap<String, Value>,
    /// The names of the inputs; the printed value stands last in each row.
    pub(crate) columns: Vec<String>,
    #[serde(default)]
    pub(crate) rows: Vec<Vec<Value>>,
    /// Rows that are misprinted, with the right value behind the printed one.
    #[serde(default)]
    pub(crate) misprints: Vec<Vec<Value>>,
}

/// The inputs of one row by name.
#[derive(Debug, Clone)]
pub(crate) struct Inputs(BTreeMap<String, Value>);

impl Check {
    pub(crate) fn inputs(&self, row: &[Value]) -> Inputs {
        let mut inputs = self.given.clone();
        inputs.extend(self.columns.iter().cloned().zip(row.iter().cloned()));
        Inputs(inputs)
    }
}

impl Inputs {
    pub(crate) fn text(&self, name: &str) -> Option<&str> {
        self.0.get(name).map(|value| value.as_str().unwrap_or_else(|| panic!("{name} is not a text")))
    }

    pub(crate) fn needed(&self, name: &str) -> &str {
        self.text(name).unwrap_or_else(|| panic!("the input {name} is missing in {self:?}"))
    }

    pub(crate) fn maybe_length(&self, name: &str) -> Option<Length> {
        self.text(name).map(|text| read_length(text).unwrap_or_else(|error| panic!("{name}: {error}")))
    }

    pub(crate) fn length(&self, name: &str) -> Length {
        read_length(self.needed(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    pub(crate) fn pitch(&self, name: &str) -> Pitch {
        read_pitch(self.needed(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    pub(crate) fn number(&self, name: &str) -> f64 {
        self.0.get(name).and_then(number).unwrap_or_else(|| panic!("{name} is not a number in {self:?}"))
    }

    pub(crate) fn has(&self, name: &str) -> bool {
        self.0.contains_key(name)
    }

    pub(crate) fn flag(&self, name: &str) -> bool {
        self.0.get(name).and_then(Value::as_bool).unwrap_or(false)
    }

    /// The inputs in one line, for the table.
    pub(crate) fn line(&self) -> String {
        let parts = self.0.iter().map(|(name, value)| {
            let value = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
            format!("{name} {value}")
        });
        parts.collect::<Vec<_>>().join(", ")
    }
}

/// A number written with or without a decimal point.
pub(crate) fn number(value: &Value) -> Option<f64> {
    #[expect(clippy::cast_precision_loss, reason = "printed counts are small")]
    value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64))
}

/// Every file of the folder, by name.
pub(crate) fn read_all() -> Vec<File> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/published");
    let entries = std::fs::read_dir(&folder).expect("the folder of published figures is there");
    let mut paths: Vec<_> = entries.map(|entry| entry.expect("the folder can be read").path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    paths.sort();
    paths
        .iter()
        .map(|path| {
            let text = std::fs::read_to_string(path).expect("the file can be read");
            toml::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
        })
        .collect()
}
