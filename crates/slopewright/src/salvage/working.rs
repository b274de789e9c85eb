//! A figure with the way it was reached.

use serde::Serialize;

/// How a figure came about, in words: what it is, the formula, the numbers put in, the result.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Working {
    /// What the figure is.
    pub what: String,
    /// The formula.
    pub formula: String,
    /// The numbers put in.
    pub numbers: String,
    /// The result.
    pub result: String,
}

impl Working {
    /// The four parts.
    #[must_use]
    pub fn new(
        what: impl Into<String>,
        formula: impl Into<String>,
        numbers: impl Into<String>,
        result: impl Into<String>,
    ) -> Self {
        Self { what: what.into(), formula: formula.into(), numbers: numbers.into(), result: result.into() }
    }
}

impl core::fmt::Display for Working {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}: {} = {} [{}]", self.what, self.result, self.formula, self.numbers)
    }
}
