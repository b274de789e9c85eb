//! A roof taken off three times: as measured, and with the tape short and long by its tolerance.

use super::TakeOff;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{Length, LengthIn as _, limit, millimetres};
use crate::survey::SurveyDocument;

/// The take-off of a survey as measured, and of the least and the most that the tape's tolerance allows.
#[derive(Debug, Clone)]
pub struct TapeRange {
    /// By how much each length may be off.
    pub tolerance: Length,
    /// Every measured length shorter.
    pub low: TakeOff,
    /// As measured.
    pub likely: TakeOff,
    /// Every measured length longer.
    pub high: TakeOff,
}

impl TapeRange {
    /// Takes a survey off three times. The lengths of the slopes and forms change together, so that this is the
    /// widest range and not the likeliest one: a tape that misses now long, now short, stays well within it.
    ///
    /// # Errors
    /// If the tolerance is no sensible one, the survey has faults, or it has some with its lengths changed.
    ///
    /// ```
    /// use slopewright::{SurveyDocument, takeoff::TapeRange, quantity::mm};
    /// let survey = SurveyDocument::from_toml(r#"
    ///     slopewright = 1
    ///     covering.format = "plain-tile-265x165"
    ///     [[slope]]
    ///     name = "front"
    ///     shape = "rectangle"
    ///     eaves = "4 m"
    ///     rafter = "3 m"
    ///     pitch = "40 deg"
    /// "#)?;
    /// let range = TapeRange::of(&survey, mm(10.0))?;
    /// let count = |of: &slopewright::TakeOff| of.needs().iter().map(|need| need.count).sum::<u64>();
    /// assert!(count(&range.low) <= count(&range.likely) && count(&range.likely) <= count(&range.high));
    /// # Ok::<(), slopewright::Error>(())
    /// ```
    pub fn of(survey: &SurveyDocument, tolerance: Length) -> Result<Self> {
        if !limit::tape_tolerance.holds(tolerance.m()) {
            return Err(Fault::new(FaultKind::LengthOutOfRange, "the tape's tolerance is out of range")
                .at("tolerance")
                .given(millimetres(tolerance))
                .allowed(limit::tape_tolerance.range())
                .into());
        }
        let of = |by: Length, place: &str| {
            let survey = if by == Length::default() { survey.clone() } else { survey.measured_longer(by) };
            let made = survey.check().and_then(|roof| TakeOff::of(&roof));
            made.map_err(|error| if place.is_empty() { error } else { error.at(place) })
        };
        // The survey's own faults first, and alone.
        let likely = of(Length::default(), "")?;
        let low = of(-tolerance, "every length shorter");
        let high = of(tolerance, "every length longer");
        match (low, high) {
            (Ok(low), Ok(high)) => Ok(Self { tolerance, low, likely, high }),
            (low, high) => {
                let faults = [low.err(), high.err()].into_iter().flatten().flat_map(Error::into_faults);
                Error::check(faults.collect())?;
                Err(Fault::new(FaultKind::LengthOutOfRange, "the range cannot be taken off").into())
            }
        }
    }

    /// The three: low, likely, high.
    #[must_use]
    pub const fn all(&self) -> [&TakeOff; 3] {
        [&self.low, &self.likely, &self.high]
    }
}
