//! A figure with its source.

use std::sync::Arc;

use smol_str::SmolStr;

use super::source::{Source, Standing, stated_by_the_user};
use crate::reason::said;

/// A value that knows where it comes from. Cloning it is cheap.
///
/// ```
/// use slopewright::catalogue::Figure;
/// use slopewright::quantity::mm;
/// let gauge = Figure::stated(mm(98.0));
/// assert_eq!(gauge.remark(), Some("stated by the user"));
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Figure<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub source: Arc<Source>,
    /// A doubt, limit or misprint that belongs to this figure alone.
    pub note: Option<Arc<str>>,
}

impl<T> Figure<T> {
    /// A figure from a source.
    #[must_use]
    pub const fn new(value: T, source: Arc<Source>) -> Self {
        Self { value, source, note: None }
    }

    /// A figure that the user states.
    #[must_use]
    pub fn stated(value: T) -> Self {
        Self::new(value, stated_by_the_user())
    }

    /// The same source and note for a value worked out from this one.
    #[must_use]
    pub fn map<U>(self, work_out: impl FnOnce(T) -> U) -> Figure<U> {
        Figure { value: work_out(self.value), source: self.source, note: self.note }
    }

    /// The figure with a note.
    #[must_use]
    pub fn noted(mut self, note: impl Into<Arc<str>>) -> Self {
        self.note = Some(note.into());
        self
    }

    /// What the working must say beside the figure: `from memory`, `seen second-hand`, `stated by the user`.
    #[must_use]
    pub fn remark(&self) -> Option<&'static str> {
        self.source.standing.remark()
    }

    /// Whether it is only recalled, and so may never be more than a default.
    #[must_use]
    pub fn is_from_memory(&self) -> bool {
        self.source.standing == Standing::Memory
    }

    /// The source in one line, with its remark and the figure's note.
    #[must_use]
    pub fn citation(&self) -> SmolStr {
        let citation = self.source.citation_with_remark();
        match &self.note {
            Some(note) => said!("{citation}; {note}"),
            None => citation,
        }
    }
}
