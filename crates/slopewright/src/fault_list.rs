//! The faults found in one document, up to a limit: a document that is wrong all over must not fill the memory.

use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::limit;

/// Faults in the order in which they were found. Beyond the limit they are counted and not kept.
#[derive(Debug, Default)]
pub(crate) struct FaultList {
    kept: Vec<Fault>,
    further: usize,
}

impl FaultList {
    /// Some faults that are there already.
    pub(crate) fn of(faults: Vec<Fault>) -> Self {
        let mut list = Self::default();
        for fault in faults {
            list.push(|| fault);
        }
        list
    }

    /// Keeps a fault, which is only made if there is room for it.
    pub(crate) fn push(&mut self, fault: impl FnOnce() -> Fault) {
        if self.is_full() {
            self.further += 1;
        } else {
            self.kept.push(fault());
        }
    }

    /// Adds the faults of a part.
    pub(crate) fn append(&mut self, other: Self) {
        self.further += other.further;
        for fault in other.kept {
            self.push(|| fault);
        }
    }

    /// Whether further faults are only counted.
    pub(crate) fn is_full(&self) -> bool {
        limit::faults.is_exceeded_by(self.kept.len() + 1)
    }

    /// How many were found so far.
    pub(crate) const fn count(&self) -> usize {
        self.kept.len() + self.further
    }

    /// Forgets the kept faults that are not wanted.
    pub(crate) fn retain(&mut self, wanted: impl FnMut(&Fault) -> bool) {
        self.kept.retain(wanted);
    }

    /// `Ok(())` if none was found, else all that were kept and the number of the others.
    ///
    /// # Errors
    /// If a fault was found.
    pub(crate) fn check(mut self) -> Result<()> {
        if self.further > 0 {
            let fault = Fault::new(FaultKind::TooManyFaults, "has more faults than are listed");
            self.kept.push(fault.given(format!("{} more", self.further)).allowed(limit::faults.range()));
        }
        Error::check(self.kept)
    }
}
