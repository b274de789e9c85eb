//! Why a figure is what it is, and what a reader must know about it.

use core::fmt::{self, Write as _};

use arrayvec::ArrayString;
use serde::Serialize;
pub use smol_str::SmolStr;

use crate::quantity::Shown;

/// What the texts of a working are made from. Those that stand in the code are not copied, and short ones take no memory
/// of their own: a take-off has hundreds of them.
pub trait IntoText {
    /// The text.
    fn into_text(self) -> SmolStr;
}

impl IntoText for &'static str {
    fn into_text(self) -> SmolStr {
        SmolStr::new_static(self)
    }
}

impl IntoText for String {
    fn into_text(self) -> SmolStr {
        self.into()
    }
}

impl IntoText for &String {
    fn into_text(self) -> SmolStr {
        self.into()
    }
}

impl IntoText for &SmolStr {
    fn into_text(self) -> SmolStr {
        self.clone()
    }
}

impl IntoText for SmolStr {
    fn into_text(self) -> SmolStr {
        self
    }
}

impl IntoText for Shown {
    fn into_text(self) -> SmolStr {
        said!("{self}")
    }
}

/// A text being written. Nearly all of them fit where no memory has to be asked for until their length is known.
#[derive(Debug, Default)]
struct Draft {
    short: ArrayString<256>,
    /// All of it, once it is longer than that.
    long: String,
}

impl fmt::Write for Draft {
    fn write_str(&mut self, part: &str) -> fmt::Result {
        if self.long.is_empty() && self.short.try_push_str(part).is_ok() {
            return Ok(());
        }
        if self.long.is_empty() {
            self.long.push_str(&self.short);
        }
        self.long.push_str(part);
        Ok(())
    }
}

impl Draft {
    fn done(&self) -> SmolStr {
        SmolStr::new(if self.long.is_empty() { self.short.as_str() } else { &self.long })
    }
}

/// Writes a text as `format!` writes a `String`.
macro_rules! said {
    ($($said:tt)*) => {
        $crate::reason::written(format_args!($($said)*))
    };
}
pub(crate) use said;

/// What [`said`] writes.
pub(crate) fn written(said: fmt::Arguments<'_>) -> SmolStr {
    let mut draft = Draft::default();
    // A draft takes whatever is written in it.
    let _ = draft.write_fmt(said);
    draft.done()
}

/// Several things with something between them: `3 + 4 + 5`.
pub(crate) fn joined<T: fmt::Display>(things: impl IntoIterator<Item = T>, between: &str) -> SmolStr {
    let mut draft = Draft::default();
    for (at, thing) in things.into_iter().enumerate() {
        if at > 0 {
            let _ = draft.write_str(between);
        }
        let _ = write!(draft, "{thing}");
    }
    draft.done()
}

/// One step of the working: the formula, the numbers put in, the result, the rule behind it and its source.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, schemars::JsonSchema)]
pub struct Working {
    /// What is worked out: `gauge`.
    pub what: SmolStr,
    /// The formula in words: `distance / spaces`.
    pub formula: SmolStr,
    /// The same with the numbers put in: `4905 mm / 50`.
    pub numbers: SmolStr,
    /// The result with its unit: `98.1 mm`.
    pub result: SmolStr,
    /// The rule that it follows, if there is one.
    pub rule: SmolStr,
    /// Where the rule or the figures come from.
    pub source: SmolStr,
}

impl Working {
    /// A step with its formula, numbers and result.
    #[must_use]
    pub fn new(
        what: impl IntoText,
        formula: impl IntoText,
        numbers: impl IntoText,
        result: impl IntoText,
    ) -> Self {
        Self {
            what: what.into_text(),
            formula: formula.into_text(),
            numbers: numbers.into_text(),
            result: result.into_text(),
            rule: SmolStr::default(),
            source: SmolStr::default(),
        }
    }

    /// With the rule that it follows and its source.
    #[must_use]
    pub fn by(mut self, rule: impl IntoText, source: impl IntoText) -> Self {
        self.rule = rule.into_text();
        self.source = source.into_text();
        self
    }

    /// Formula, numbers and result in one line, without rule and source.
    #[must_use]
    pub fn sum(&self) -> String {
        let parts = [&self.what, &self.formula, &self.numbers, &self.result];
        let said = parts.into_iter().filter(|part| !part.is_empty());
        said.map(SmolStr::as_str).collect::<Vec<_>>().join(" = ")
    }
}

impl fmt::Display for Working {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
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

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
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
