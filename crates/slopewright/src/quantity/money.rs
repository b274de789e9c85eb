//! Money on decimals: an amount in a currency, rounded only where the mode is named.

use core::fmt;

use rust_decimal::{Decimal, RoundingStrategy};
use serde::{Deserialize, Serialize};

/// A currency by its three-letter code, with the number of decimals of its smallest coin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Currency {
    code: [u8; 3],
    decimals: u8,
}

/// Currencies whose smallest coin is not a hundredth (ISO 4217, from memory; a user may state the decimals instead).
const OTHER_DECIMALS: &[(&str, u8)] = &[
    ("BHD", 3),
    ("CLP", 0),
    ("ISK", 0),
    ("JOD", 3),
    ("JPY", 0),
    ("KRW", 0),
    ("KWD", 3),
    ("OMR", 3),
    ("PYG", 0),
    ("TND", 3),
    ("UGX", 0),
    ("VND", 0),
];

impl Currency {
    /// A currency from its code of three capital letters, or `None` if it is not that.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        let bytes: [u8; 3] = code.as_bytes().try_into().ok()?;
        if !bytes.iter().all(u8::is_ascii_uppercase) {
            return None;
        }
        let decimals =
            OTHER_DECIMALS.iter().find(|(other, _)| *other == code).map_or(2, |(_, decimals)| *decimals);
        Some(Self { code: bytes, decimals })
    }

    /// The code, such as `EUR`.
    #[must_use]
    pub fn code(&self) -> &str {
        core::str::from_utf8(&self.code).unwrap_or_default()
    }

    /// How many decimals an amount in this currency has when it is paid.
    #[must_use]
    pub const fn decimals(self) -> u32 {
        self.decimals as u32
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

/// How an amount is brought to the currency's decimals. There is no default: whoever rounds says how.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum MoneyRounding {
    /// A half goes away from zero: 2.345 is 2.35.
    HalfUp,
    /// A half goes to the even neighbour: 2.345 is 2.34.
    HalfEven,
    /// A half goes towards zero: 2.345 is 2.34.
    HalfDown,
    /// Anything over goes away from zero: 2.341 is 2.35.
    Up,
    /// Anything over is dropped: 2.349 is 2.34.
    Down,
}

impl MoneyRounding {
    /// Every mode.
    pub const ALL: [Self; 5] = [Self::HalfUp, Self::HalfEven, Self::HalfDown, Self::Up, Self::Down];

    /// The words for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::HalfUp => "half up",
            Self::HalfEven => "half to even",
            Self::HalfDown => "half down",
            Self::Up => "up",
            Self::Down => "down",
        }
    }

    const fn strategy(self) -> RoundingStrategy {
        match self {
            Self::HalfUp => RoundingStrategy::MidpointAwayFromZero,
            Self::HalfEven => RoundingStrategy::MidpointNearestEven,
            Self::HalfDown => RoundingStrategy::MidpointTowardZero,
            Self::Up => RoundingStrategy::AwayFromZero,
            Self::Down => RoundingStrategy::ToZero,
        }
    }
}

/// An amount of money in a currency, exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Money {
    /// The amount, in whole units of the currency.
    pub amount: Decimal,
    /// The currency.
    pub currency: Currency,
}

impl Money {
    /// An amount in a currency.
    #[must_use]
    pub const fn new(amount: Decimal, currency: Currency) -> Self {
        Self { amount, currency }
    }

    /// The amount brought to the currency's decimals in a stated way.
    #[must_use]
    pub fn rounded(self, mode: MoneyRounding) -> Self {
        let mut amount = self.amount.round_dp_with_strategy(self.currency.decimals(), mode.strategy());
        amount.rescale(self.currency.decimals());
        Self { amount, ..self }
    }

    /// The sum, or `None` if the currencies differ or the sum is too large.
    #[must_use]
    pub fn plus(self, other: Self) -> Option<Self> {
        (self.currency == other.currency)
            .then(|| self.amount.checked_add(other.amount))
            .flatten()
            .map(|amount| Self { amount, ..self })
    }

    /// The amount times a factor, or `None` if the product is too large.
    #[must_use]
    pub fn times(self, factor: Decimal) -> Option<Self> {
        self.amount.checked_mul(factor).map(|amount| Self { amount, ..self })
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.amount, self.currency)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn euro(text: &str) -> Money {
        Money::new(text.parse().unwrap(), Currency::from_code("EUR").unwrap())
    }

    #[test]
    fn each_mode_does_what_its_name_says() {
        let shown = |text: &str| MoneyRounding::ALL.map(|mode| euro(text).rounded(mode).amount.to_string());
        assert_eq!(shown("2.345"), ["2.35", "2.34", "2.34", "2.35", "2.34"]);
        assert_eq!(shown("2.355"), ["2.36", "2.36", "2.35", "2.36", "2.35"]);
        assert_eq!(shown("2.341"), ["2.34", "2.34", "2.34", "2.35", "2.34"]);
        assert_eq!(shown("-2.345"), ["-2.35", "-2.34", "-2.34", "-2.35", "-2.34"]);
        assert_eq!(shown("7"), ["7.00"; 5]);
    }

    #[test]
    fn currencies_do_not_mix_and_have_their_own_decimals() {
        let yen = Money::new("10.5".parse().unwrap(), Currency::from_code("JPY").unwrap());
        assert_eq!(yen.rounded(MoneyRounding::HalfUp).to_string(), "11 JPY");
        assert_eq!(yen.plus(euro("1")), None);
        assert_eq!(euro("1.10").plus(euro("2.20")), Some(euro("3.30")));
        assert_eq!(Currency::from_code("euro"), None);
        assert_eq!(Currency::from_code("eur"), None);
    }
}
