//! One error type for the whole library.
//!
//! Whatever is wrong with an input is a [`Fault`]: where it is, what is wrong, what was given, what is
//! allowed and what to do about it. An [`Error`] carries every fault that was found, never only the first.
//! [`FaultKind::ALL`] lists every kind there is; a test fails if one of them has no row that provokes it.

use core::fmt;

use serde::Serialize;

/// The part of the library that found a fault. Python raises one exception class for each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Room {
    /// Text that should be a length, an angle, an amount.
    Quantity,
    /// Formats of coverings, battens, underlays and nails.
    Catalogue,
    /// The survey document.
    Survey,
    /// Setting out: gauge, courses, bond.
    SetOut,
    /// Cutting pieces from stock lengths.
    Stock,
    /// Counting and sharing out old units.
    Salvage,
    /// Packs, prices and the order.
    Order,
    /// Writing results.
    Output,
}

macro_rules! fault_kinds {
    ($( $(#[doc = $doc:literal])+ $variant:ident $code:literal $room:ident $advice:literal; )+) => {
        /// What kind of fault it is. The code is stable and may be matched on by programs.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        #[non_exhaustive]
        pub enum FaultKind { $( $(#[doc = $doc])+ $variant, )+ }

        impl FaultKind {
            /// Every kind, in the order of the table.
            pub const ALL: &'static [Self] = &[$( Self::$variant, )+];

            /// The stable code, such as `opening-outside`.
            #[must_use]
            pub const fn code(self) -> &'static str {
                match self { $( Self::$variant => $code, )+ }
            }

            /// The part of the library that reports this kind.
            #[must_use]
            pub const fn room(self) -> Room {
                match self { $( Self::$variant => Room::$room, )+ }
            }

            /// What to do about it, in general; a fault may carry more exact advice of its own.
            #[must_use]
            pub const fn advice(self) -> &'static str {
                match self { $( Self::$variant => $advice, )+ }
            }

            /// One sentence on what the kind means, as in the reference.
            #[must_use]
            pub const fn meaning(self) -> &'static str {
                match self { $( Self::$variant => concat!($($doc),+), )+ }
            }
        }
    };
}

fault_kinds! {
    /// A length, angle or other amount is empty.
    QuantityEmpty "quantity-empty" Quantity "write the figure with its unit, for example \"4150 mm\"";
    /// A text cannot be read as a length.
    LengthUnreadable "length-unreadable" Quantity "write a number and a unit: \"4.15 m\", \"4150 mm\", \"13 ft 7 1/2 in\"";
    /// A number stands without a unit.
    UnitMissing "unit-missing" Quantity "write the unit behind the number, for example \"4150 mm\"";
    /// The unit is not one that this kind of quantity has.
    UnitUnknown "unit-unknown" Quantity "use one of the units listed";
    /// A text cannot be read as a pitch.
    PitchUnreadable "pitch-unreadable" Quantity "write degrees (\"40 deg\") or rise in run (\"9 in 12\")";
    /// A pitch is level, upright or beyond.
    PitchOutOfRange "pitch-out-of-range" Quantity "measure the pitch from level; a wall is not a slope";
    /// A comma may be a decimal sign or a thousands mark.
    CommaAmbiguous "comma-ambiguous" Quantity "write a decimal point, and no mark between thousands: \"4.15 m\" or \"4150 mm\"";
    /// A number is not finite (NaN or infinite).
    NotFinite "not-finite" Quantity "give an ordinary number";
    /// There is no stock length to cut from.
    StockNone "stock-none" Stock "state at least one length that can be bought";
    /// A stock length or an offcut in hand is out of range.
    StockLengthOutOfRange "stock-length-out-of-range" Stock "check the length and its unit";
    /// Some stock lengths have a price and this one has none.
    StockPriceMissing "stock-price-missing" Stock "give every stock length a price, or none";
    /// A price of a stock length is out of range.
    StockPriceOutOfRange "stock-price-out-of-range" Stock "give the price of one bar";
    /// The bars that can be had do not suffice.
    StockTooLittle "stock-too-little" Stock "raise the limits or add another stock length";
    /// A piece has no length, or an absurd one.
    PieceLengthOutOfRange "piece-length-out-of-range" Stock "check the length and its unit";
    /// A piece is longer than any stock length.
    PieceTooLong "piece-too-long" Stock "join the piece from two, or add a longer stock length";
    /// There are too many pieces for one cutting list.
    PiecesTooMany "pieces-too-many" Stock "cut it in several lists";
    /// The saw kerf is out of range.
    KerfOutOfRange "kerf-out-of-range" Stock "measure the width of the saw cut";
    /// There are no rafters to joint battens on.
    RafterNone "rafter-none" Stock "state the rafters' spacing or their centres";
    /// The rafters' spacing or centres are out of range or out of order.
    RafterOutOfRange "rafter-out-of-range" Stock "give the centres from left to right, in the same measure as the rows";
    /// A run of batten ends before it begins, overlaps its neighbour, or is out of range.
    BattenRunBad "batten-run-bad" Stock "give each run as from and to, from left to right, without overlap";
    /// A run of batten is longer than any stock length and there is no rafter to joint it on.
    BattenRunUnlayable "batten-run-unlayable" Stock "add a longer stock length, or a rafter to joint on";
    /// The rule for joints contradicts itself.
    JointRuleBad "joint-rule-bad" Stock "check the rule's numbers";
    /// Batten rows are not in order from the bottom up.
    BattenRowsUnordered "batten-rows-unordered" Stock "give the rows from the bottom to the top";
}

impl fmt::Display for FaultKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl Serialize for FaultKind {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> core::result::Result<S::Ok, S::Error> {
        serializer.serialize_str(self.code())
    }
}

/// One thing that is wrong with an input.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
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
        self.given = shorten(&given.to_string());
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

fn shorten(text: &str) -> String {
    if text.chars().count() <= LONGEST_ECHO {
        return text.to_owned();
    }
    text.chars().take(LONGEST_ECHO).chain("…".chars()).collect()
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.place.is_empty() {
            write!(f, "{}: ", self.place)?;
        }
        f.write_str(&self.problem)?;
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
        let Faults { first, others } = *self.0;
        let others = others.into_iter().map(|fault| fault.at(&place)).collect();
        Self(Box::new(Faults { first: first.at(&place), others }))
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
