//! What the catalogue has.

use pyo3::prelude::*;
use slopewright::catalogue::Catalogue;

/// The keys of the coverings of the built-in catalogue, with their names.
#[pyfunction]
pub(crate) fn covering_keys() -> Vec<(String, String)> {
    Catalogue::standard()
        .coverings()
        .iter()
        .map(|covering| (covering.key.clone(), covering.name.clone()))
        .collect()
}
