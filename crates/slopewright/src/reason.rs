//! Why a figure is what it is, and what a reader must know about it.

use serde::Serialize;

/// One step of the working: the formula, the numbers put in, the result, the rule behind it and its source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Working {
    /// What is worked out: `gauge`.
    pub what: String,
    /// The formula in words: `distance / spaces`.
    pub formula: String,
    /// The same with the numbers put in: `4905 mm / 50`.
    pub numbers: String,
    /// The result with its unit: `98.1 mm`.
    pub result: String,
    /// The rule that it follows, if there is one.
    pub rule: String,
    /// Where the rule or the figures come from.
    pub source: String,
}

impl Working {
    /// A step with its formula, numbers and result.
    #[must_use]
    pub fn new(
        what: impl Into<String>,
        formula: impl Into<String>,
        numbers: impl Into<String>,
        result: impl Into<String>,
    ) -> Self {
        Self {
            what: what.into(),
            formula: formula.into(),
            numbers: numbers.into(),
            result: result.into(),
            rule: String::new(),
            source: String::new(),
        }
    }

    /// With the rule that it follows and its source.
    #[must_use]
    pub fn by(mut self, rule: impl Into<String>, source: impl Into<String>) -> Self {
        self.rule = rule.into();
        self.source = source.into();
        self
    }

    /// Formula, numbers and result in one line, without rule and source.
    #[must_use]
    pub fn sum(&self) -> String {
        let parts = [&self.what, &self.formula, &self.numbers, &self.result];
        parts.into_iter().filter(|part| !part.is_empty()).cloned().collect::<Vec<_>>().join(" = ")
    }
}

impl core::fmt::Display for Working {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(&self.sum())?;
        match (self.rule.is_empty(), self.source.is_empty()) {
            (true, true) => Ok(()),
            (false, true) => write!(f, " ({})", self.rule),
            (true, false) => write!(f, " [{}]", self.source),
            (false, false) => write!(f, " ({}) [{}]", self.rule, self.source),
        }
    }
}

/// How much a finding weighs. A fault is an error and stops; these two travel with the result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// Something to know or to have checked.
    Caution,
    /// Something that departs from a rule.
    Departure,
}

impl Severity {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Caution => "caution",
            Self::Departure => "departure",
        }
    }
}

/// Something that the reader of a result must know.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Finding {
    /// How much it weighs.
    pub severity: Severity,
    /// Where: `slope 'north'`.
    pub place: String,
    /// What.
    pub message: String,
    /// The rule behind it, if there is one.
    pub rule: String,
    /// Where the rule comes from.
    pub source: String,
}

impl Finding {
    /// A finding at a place.
    #[must_use]
    pub fn new(severity: Severity, place: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            severity,
            place: place.into(),
            message: message.into(),
            rule: String::new(),
            source: String::new(),
        }
    }

    /// With the rule behind it and its source.
    #[must_use]
    pub fn by(mut self, rule: impl Into<String>, source: impl Into<String>) -> Self {
        self.rule = rule.into();
        self.source = source.into();
        self
    }
}

impl core::fmt::Display for Finding {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}: ", self.severity.word())?;
        if !self.place.is_empty() {
            write!(f, "{}: ", self.place)?;
        }
        f.write_str(&self.message)?;
        if !self.source.is_empty() {
            write!(f, " [{}]", self.source)?;
        }
        Ok(())
    }
}
