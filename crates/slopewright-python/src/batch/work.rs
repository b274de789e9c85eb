//! What the rows of a batch share.

use std::sync::Arc;

use slopewright::batch::{Extent, TOTALS, Terms, TotalColumn};

use crate::survey::Survey;

/// How the rows of a call are worked.
#[derive(Clone)]
pub(super) struct Work {
    pub(super) terms: Arc<Terms>,
    pub(super) default_covering: Arc<str>,
    pub(super) extent: Extent,
    pub(super) wants_lines: bool,
    pub(super) threads: Option<usize>,
}

impl Work {
    pub(super) fn new(
        survey: &Survey,
        extent: Extent,
        wants_lines: bool,
        threads: Option<usize>,
    ) -> slopewright::Result<Self> {
        let document = survey.document();
        let covering = document.covering.given().and_then(|covering| covering.format.given());
        Ok(Self {
            terms: Arc::new(document.check_terms()?),
            default_covering: Arc::from(covering.map_or("", String::as_str)),
            extent,
            wants_lines,
            threads,
        })
    }

    pub(super) fn column_list(&self) -> impl Iterator<Item = &'static TotalColumn> + use<> {
        let extent = self.extent;
        TOTALS.iter().filter(move |column| extent == Extent::Whole || !column.needs_whole)
    }
}
