//! A part of a whole, written `5 %`.

use core::fmt;
use core::str::FromStr;

use rust_decimal::{Decimal, RoundingStrategy, prelude::ToPrimitive as _};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Fault, FaultKind};

/// A part of a whole, from 0 to 100 %, exact. Written and read as `5 %`; a bare number is refused, since `0.5` may
/// mean a half or half a percent.
///
/// ```
/// use slopewright::salvage::Portion;
/// let five: Portion = "5 %".parse()?;
/// assert_eq!(five.of(120), 6);
/// assert_eq!(five.of(121), 7);
/// assert!("0.05".parse::<Portion>().is_err());
/// # Ok::<(), slopewright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Portion(Decimal);

impl Portion {
    /// Nothing.
    pub const NONE: Self = Self(Decimal::ZERO);

    /// A portion from percent; `None` if it is not between 0 and 100, or has more than six decimals.
    #[must_use]
    pub fn percent(percent: Decimal) -> Option<Self> {
        let percent = percent.normalize();
        let inside = percent >= Decimal::ZERO && percent <= Decimal::ONE_HUNDRED && percent.scale() <= 6;
        inside
            .then(|| percent.checked_div(Decimal::ONE_HUNDRED))
            .flatten()
            .map(|share| Self(share.normalize()))
    }

    /// As a number from 0 to 1.
    #[must_use]
    pub const fn share(self) -> Decimal {
        self.0
    }

    /// What is left of the whole, from 0 to 1.
    #[must_use]
    pub fn rest(self) -> Decimal {
        Decimal::ONE - self.0
    }

    /// As a double from 0 to 1.
    #[must_use]
    pub fn chance(self) -> f64 {
        self.0.to_f64().unwrap_or(0.0).clamp(0.0, 1.0)
    }

    /// This portion of a count, rounded up to a whole unit.
    #[must_use]
    pub fn of(self, count: u64) -> u64 {
        Decimal::from(count)
            .checked_mul(self.0)
            .map(|part| part.round_dp_with_strategy(0, RoundingStrategy::ToPositiveInfinity))
            .and_then(|part| part.to_u64())
            .map_or(count, |part| part.min(count))
    }

    /// The loss of one portion after another: 1 - (1 - a)(1 - b).
    #[must_use]
    pub fn then(self, next: Self) -> Self {
        Self((Decimal::ONE - self.rest() * next.rest()).normalize())
    }
}

impl FromStr for Portion {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let fault = |problem: &str| {
            Error::from(
                Fault::new(FaultKind::PortionUnreadable, problem)
                    .given(format!("\"{text}\""))
                    .allowed("0 % to 100 %, with six decimals at most"),
            )
        };
        let number = text.trim().strip_suffix('%').ok_or_else(|| fault("has no percent sign"))?;
        let percent: Decimal = number.trim().parse().map_err(|_| fault("cannot be read as a percentage"))?;
        Self::percent(percent).ok_or_else(|| fault("is not between nothing and the whole, or too fine"))
    }
}

impl TryFrom<String> for Portion {
    type Error = Error;

    fn try_from(text: String) -> Result<Self, Error> {
        text.parse()
    }
}

impl From<Portion> for String {
    fn from(portion: Portion) -> Self {
        portion.to_string()
    }
}

impl fmt::Display for Portion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} %", (self.0 * Decimal::ONE_HUNDRED).normalize())
    }
}

impl schemars::JsonSchema for Portion {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Portion".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "description": "a part of a whole in percent, such as \"5 %\"",
            "pattern": r"^\s*[0-9]+(\.[0-9]+)?\s*%\s*$"
        })
    }
}
