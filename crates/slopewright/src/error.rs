//! One error type for the whole library.
//!
//! Whatever is wrong with an input is a [`Fault`]: where it is, what is wrong, what was given, what is
//! allowed and what to do about it. An [`Error`] carries every fault that was found, never only the first.
//! [`FaultKind::ALL`] lists every kind there is; a test fails if one of them has no row that provokes it.

mod kinds;

use core::fmt;

use serde::Serialize;

pub use kinds::{FaultKind, Room};
/// One thing that is wrong with an input.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize)]
pub struct Fault {
    /// Which kind of fault.
    pub kind: FaultKind,
    /// Where: `slope 'north', opening 2`. Empty for a call with a single argument.
    pub place: String,
    /// What is wrong, as a clause: `lies 0.30 m outside the right verge`.
    pub problem: String,
    /// What was given, as the user wrote it.
    pub given: String,
    /// What is allowed. Empty where the problem says it all.
    pub allowed: String,
    /// What to do.
    pub advice: String,
}

impl Fault {
    /// A fault of this kind, with the kind's own advice.
    #[must_use]
    pub fn new(kind: FaultKind, problem: impl Into<String>) -> Self {
        Self {
            kind,
            place: String::new(),
            problem: problem.into(),
            given: String::new(),
            allowed: String::new(),
            advice: kind.advice().to_owned(),
        }
    }

    /// Says where it is. Called again from further out, it puts the outer place in front.
    #[must_use]
    pub fn at(mut self, place: impl fmt::Display) -> Self {
        let outer = place.to_string();
        self.place = match (outer.is_empty(), self.place.is_empty()) {
            (true, _) => self.place,
            (false, true) => outer,
            (false, false) => format!("{outer}, {}", self.place),
        };
        self
    }

    /// Says what was given. Long texts are shortened.
    #[must_use]
    pub fn given(mut self, given: impl fmt::Display) -> Self {
        self.given = shorten(&given.to_string(), LONGEST_ECHO);
        self
    }

    /// Says what is allowed.
    #[must_use]
    pub fn allowed(mut self, allowed: impl fmt::Display) -> Self {
        self.allowed = allowed.to_string();
        self
    }

    /// Says what to do, where the case is more exact than the kind.
    #[must_use]
    pub fn advice(mut self, advice: impl Into<String>) -> Self {
        self.advice = advice.into();
        self
    }
}

/// The most characters of the user's own text that a message repeats.
const LONGEST_ECHO: usize = 80;
/// The most characters of a place or a problem that a message shows: both may hold names.
const LONGEST_SHOWN: usize = 600;

fn shorten(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most).chain("…".chars()).collect()
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.place.is_empty() {
            write!(f, "{}: ", shorten(&self.place, LONGEST_SHOWN))?;
        }
        f.write_str(&shorten(&self.problem, LONGEST_SHOWN))?;
        if !self.given.is_empty() {
            write!(f, "; given: {}", self.given)?;
        }
        if !self.allowed.is_empty() {
            write!(f, "; allowed: {}", self.allowed)?;
        }
        write!(f, "; what to do: {}", self.advice)
    }
}

/// One or more faults in an input. It always holds at least one.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", sentence(.0))]
pub struct Error(Box<Faults>);

#[derive(Debug, Clone, PartialEq, Eq)]
struct Faults {
    first: Fault,
    others: Vec<Fault>,
}

/// A result with the library's [`Error`].
pub type Result<T> = core::result::Result<T, Error>;

impl Error {
    /// Every fault, in the order in which they were found.
    pub fn faults(&self) -> impl Iterator<Item = &Fault> {
        core::iter::once(&self.0.first).chain(&self.0.others)
    }

    /// The kind of the first fault.
    #[must_use]
    pub const fn kind(&self) -> FaultKind {
        self.0.first.kind
    }

    /// The same error seen from further out: `place` is put in front of every fault's place.
    #[must_use]
    pub fn at(self, place: impl fmt::Display) -> Self {
        self.each(|fault| fault.at(&place))
    }

    /// The same error with the places of its faults as `renamed` makes them of what they are: a caller who calls the
    /// parts of an input by names of its own says those.
    #[must_use]
    pub fn map_places(self, renamed: impl Fn(String) -> String) -> Self {
        self.each(|mut fault| {
            fault.place = renamed(fault.place);
            fault
        })
    }

    fn each(self, change: impl Fn(Fault) -> Fault) -> Self {
        let Faults { first, others } = *self.0;
        let others = others.into_iter().map(&change).collect();
        Self(Box::new(Faults { first: change(first), others }))
    }

    /// `Ok(())` if there are no faults, else all of them as one error.
    ///
    /// # Errors
    /// If `faults` is not empty.
    pub fn check(faults: Vec<Fault>) -> Result<()> {
        let mut all = faults.into_iter();
        match all.next() {
            None => Ok(()),
            Some(first) => Err(Self(Box::new(Faults { first, others: all.collect() }))),
        }
    }

    /// Takes the faults out.
    #[must_use]
    pub fn into_faults(self) -> Vec<Fault> {
        let mut all = vec![self.0.first];
        all.extend(self.0.others);
        all
    }
}

impl From<Fault> for Error {
    fn from(first: Fault) -> Self {
        Self(Box::new(Faults { first, others: Vec::new() }))
    }
}

fn sentence(faults: &Faults) -> String {
    if faults.others.is_empty() {
        return faults.first.to_string();
    }
    let mut text = format!("{} faults:", faults.others.len() + 1);
    for fault in core::iter::once(&faults.first).chain(&faults.others) {
        text.push_str("\n- ");
        text.push_str(&fault.to_string());
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_reads_as_one_sentence_with_its_place() {
        let fault = Fault::new(FaultKind::UnitMissing, "has no unit")
            .at("width")
            .at("slope 'north', opening 2")
            .given("4150")
            .allowed("m, cm, mm, ft, in");
        assert_eq!(
            fault.to_string(),
            "slope 'north', opening 2, width: has no unit; given: 4150; allowed: m, cm, mm, ft, in; what to do: \
             write the unit behind the number, for example \"4150 mm\""
        );
    }

    #[test]
    fn codes_are_unique() {
        let mut codes: Vec<_> = FaultKind::ALL.iter().map(|kind| kind.code()).collect();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), FaultKind::ALL.len());
    }
}
