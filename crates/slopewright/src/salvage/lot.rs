//! A heap of which only a sample was turned over: how many are sound, at the least and most likely, and how many more
//! to look at.

use serde::Serialize;

use super::chance::{Counted as _, Hypergeometric, real};
use super::limits;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::reason::Working;

/// A lot, how many of it were inspected, and how many of those were sound. The sample is meant to be drawn without
/// choosing: from all over the heap, not from the top of the best stack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Inspection {
    lot: u64,
    inspected: u64,
    sound: u64,
}

impl Inspection {
    /// A lot, how many were inspected, how many of those were sound.
    ///
    /// # Errors
    /// If more were inspected than there are, or more were sound than inspected, or nothing was inspected.
    pub fn new(lot: u64, inspected: u64, sound: u64) -> Result<Self> {
        let mut faults = Vec::new();
        limits::count(lot, "lot", &mut faults);
        let mut uneven = |problem: &str, given: u64, allowed: String| {
            faults.push(Fault::new(FaultKind::CountUneven, problem).given(given).allowed(allowed));
        };
        if inspected == 0 {
            uneven("nothing was inspected", inspected, "1 or more".to_owned());
        }
        if inspected > lot {
            uneven("more were inspected than the lot holds", inspected, format!("0 to {lot}"));
        }
        if sound > inspected {
            uneven("more were sound than were inspected", sound, format!("0 to {inspected}"));
        }
        Error::check(faults)?;
        Ok(Self { lot, inspected, sound })
    }

    /// How many there are in all.
    #[must_use]
    pub const fn lot(self) -> u64 {
        self.lot
    }

    /// How many were inspected.
    #[must_use]
    pub const fn inspected(self) -> u64 {
        self.inspected
    }

    /// How many of those were sound.
    #[must_use]
    pub const fn sound(self) -> u64 {
        self.sound
    }

    /// The number sound to be expected: the share seen, over the whole lot, rounded down. (The share seen is the
    /// unbiased estimate whatever the lot.)
    #[must_use]
    pub fn likely(self) -> u64 {
        scaled(self.lot, self.sound, self.inspected)
    }

    /// The one-sided bound: with this sureness at least so many are sound. It is the least number for which a
    /// sample as good as this one is not too rare, counted exactly for a finite lot (hypergeometric), so that
    /// inspecting the whole lot gives the number itself.
    ///
    /// # Errors
    /// If the sureness is not over 0 and under 1.
    ///
    /// ```
    /// use slopewright::salvage::Inspection;
    /// let heap = Inspection::new(1200, 80, 70)?;
    /// assert_eq!(heap.likely(), 1050);
    /// assert_eq!(heap.at_least(0.95)?, 960);
    /// # Ok::<(), slopewright::Error>(())
    /// ```
    pub fn at_least(self, sureness: f64) -> Result<u64> {
        limits::sureness(sureness)?;
        Ok(self.bound(sureness))
    }

    /// The one-sided bound from above: with this sureness at most so many are sound.
    ///
    /// # Errors
    /// As [`Self::at_least`].
    pub fn at_most(self, sureness: f64) -> Result<u64> {
        limits::sureness(sureness)?;
        let unsound = Self { sound: self.inspected - self.sound, ..self };
        Ok(self.lot - unsound.bound(sureness))
    }

    fn bound(self, sureness: f64) -> u64 {
        let Self { lot, inspected, sound } = self;
        let risk = 1.0 - sureness;
        // The chance of `sound` or more in the sample, if the lot held `in_lot` sound ones, grows with `in_lot`.
        let possible = |in_lot: u64| {
            sound == 0
                || Hypergeometric::new(lot, in_lot, inspected).is_some_and(|seen| seen.sf(sound - 1) > risk)
        };
        let (mut low, mut high) = (sound, lot - (inspected - sound));
        while low < high {
            let middle = low + (high - low) / 2;
            if possible(middle) {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        low
    }

    /// How many more to inspect until the bound at this sureness reaches `need`, if the rest of the heap is like the
    /// sample; `None` if the heap as a whole is not likely to hold that many. 0 if the bound is there already.
    ///
    /// # Errors
    /// As [`Self::at_least`].
    pub fn more_for_need(self, sureness: f64, need: u64) -> Result<Option<u64>> {
        limits::sureness(sureness)?;
        Ok(self.more_until(|seen| seen.bound(sureness) >= need))
    }

    /// How many more to inspect until the bound at this sureness is within `gap` units of the likely number, if the
    /// rest of the heap is like the sample.
    ///
    /// # Errors
    /// As [`Self::at_least`].
    pub fn more_for_gap(self, sureness: f64, gap: u64) -> Result<u64> {
        limits::sureness(sureness)?;
        let left = self.lot - self.inspected;
        Ok(self.more_until(|seen| self.likely().saturating_sub(seen.bound(sureness)) <= gap).unwrap_or(left))
    }

    /// The sample as it would be with `more` inspected and the same share sound, rounded down.
    fn grown(self, more: u64) -> Self {
        let inspected = self.inspected + more;
        Self { inspected, sound: scaled(inspected, self.sound, self.inspected), ..self }
    }

    /// A number of further inspections for which `enough` holds. The bound rises as more is inspected but dips where
    /// the share brings one more unsound unit, so this is a number that does, within a few of the least that does.
    fn more_until(self, enough: impl Fn(Self) -> bool) -> Option<u64> {
        if enough(self) {
            return Some(0);
        }
        let (mut low, mut high) = (0, self.lot - self.inspected);
        if !enough(self.grown(high)) {
            return None;
        }
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if enough(self.grown(middle)) {
                high = middle;
            } else {
                low = middle;
            }
        }
        Some(high)
    }

    /// The bound with its working.
    ///
    /// # Errors
    /// As [`Self::at_least`].
    pub fn working(self, sureness: f64) -> Result<Working> {
        let bound = self.at_least(sureness)?;
        Ok(Working::new(
            "sound in the heap, at the least",
            "the least number sound for which a sample this good has a chance over 1 - sureness (hypergeometric)",
            format!(
                "lot {}, inspected {}, sound {} ({:.1} %), sureness {} %",
                self.lot,
                self.inspected,
                self.sound,
                100.0 * real(self.sound) / real(self.inspected),
                crate::quantity::figure(sureness * 100.0, 3)
            ),
            format!("{bound} at the least, {} likely", self.likely()),
        ))
    }
}

/// `count` times `part` over `whole`, rounded down; 0 if `whole` is 0.
pub(super) fn scaled(count: u64, part: u64, whole: u64) -> u64 {
    let product = u128::from(count) * u128::from(part);
    product.checked_div(u128::from(whole)).and_then(|share| u64::try_from(share).ok()).unwrap_or(0)
}
