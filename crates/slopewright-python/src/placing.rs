//! Better places for openings.

use pyo3::prelude::*;

use crate::reason::{Finding, Working};

/// The best places for the openings of a slope that may be moved.
#[pyclass(frozen, module = "slopewright", get_all)]
#[derive(Debug, Clone)]
pub(crate) struct Placing {
    /// The slope.
    slope: String,
    /// The openings that may be moved, as (name, to the right, up the slope) in millimetres.
    moves_mm: Vec<(String, f64, f64)>,
    /// Units cut as surveyed.
    cut_before: u32,
    /// Units cut in the best places.
    cut_after: u32,
    /// How many places were tried.
    places: u64,
    /// Openings that were not tried, because they touch an edge or another opening already.
    left_out: Vec<String>,
    /// Whether there are more places than are tried; then no opening moves.
    too_many: bool,
    /// How it was found.
    working: Working,
    /// What to tell the reader.
    finding: Finding,
}

#[pymethods]
impl Placing {
    fn __repr__(&self) -> String {
        format!("Placing({:?}, cut_before={}, cut_after={})", self.slope, self.cut_before, self.cut_after)
    }
}

impl From<&slopewright::takeoff::Placing> for Placing {
    fn from(placing: &slopewright::takeoff::Placing) -> Self {
        Self {
            slope: placing.slope.clone(),
            moves_mm: placing
                .moves
                .iter()
                .map(|by| (by.opening.clone(), by.right_m * 1000.0, by.up_m * 1000.0))
                .collect(),
            cut_before: placing.cut_before,
            cut_after: placing.cut_after,
            places: placing.places,
            left_out: placing.left_out.clone(),
            too_many: placing.too_many,
            working: Working::from(&placing.working()),
            finding: Finding::from(&placing.finding()),
        }
    }
}
