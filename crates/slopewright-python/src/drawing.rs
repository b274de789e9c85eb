//! Drawings and the page.

use pyo3::exceptions::PyImportError;
use pyo3::prelude::*;
use slopewright::drawing::{self as core, DrawingOptions, Layer};
use slopewright::page::Page;

use crate::order::Order;
use crate::run;
use crate::salvage::Salvaged;
use crate::takeoff::TakeOff;

/// A drawing as SVG. Notebooks show it.
#[pyclass(frozen, module = "slopewright", eq)]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drawing {
    core: core::Drawing,
}

impl From<core::Drawing> for Drawing {
    fn from(core: core::Drawing) -> Self {
        Self { core }
    }
}

impl Drawing {
    pub(crate) fn text(&self) -> &str {
        self.core.svg()
    }
}

#[pymethods]
impl Drawing {
    /// What it shows: slope, plan or cutting.
    #[getter]
    fn kind(&self) -> &'static str {
        self.core.kind()
    }

    /// Of what: the name of the slope or the roof, as far as it is shown.
    #[getter]
    fn name(&self) -> &str {
        self.core.name()
    }

    /// The drawing as an SVG document.
    #[getter]
    fn svg(&self) -> &str {
        self.core.svg()
    }

    /// The drawing as a PNG picture, by default in its own size. Raises `ImportError` where the extra `png` is not
    /// installed.
    #[pyo3(signature = (*, width_px = None))]
    fn to_png<'py>(
        &self,
        py: Python<'py>,
        width_px: Option<u32>,
    ) -> PyResult<Bound<'py, pyo3::types::PyBytes>> {
        let png = py.import("slopewright.picture")?.getattr("png_of")?.call1((self.core.svg(), width_px))?;
        Ok(png.cast_into::<pyo3::types::PyBytes>()?)
    }

    fn _repr_svg_(&self) -> &str {
        self.core.svg()
    }

    fn _repr_png_<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, pyo3::types::PyBytes>>> {
        match self.to_png(py, None) {
            Ok(png) => Ok(Some(png)),
            Err(error) if error.is_instance_of::<PyImportError>(py) => Ok(None),
            Err(error) => Err(error),
        }
    }

    fn __repr__(&self) -> String {
        format!("Drawing({:?}, {:?}, bytes={})", self.core.kind(), self.core.name(), self.core.svg().len())
    }
}

/// Several words, or one alone.
#[derive(FromPyObject)]
pub(crate) enum Words {
    /// One alone.
    One(String),
    /// Several.
    Several(Vec<String>),
}

impl Words {
    /// One alone is a list of one.
    pub(crate) fn list(self) -> Vec<String> {
        match self {
            Self::One(word) => vec![word],
            Self::Several(words) => words,
        }
    }
}

/// The options of a drawing from words.
pub(crate) fn options(layers: Option<Vec<String>>, prefix: &str) -> slopewright::Result<DrawingOptions> {
    let Some(layers) = layers else { return Ok(DrawingOptions::default().with_prefix(prefix)) };
    let mut faults = Vec::new();
    let mut shown = Vec::new();
    for word in layers {
        match Layer::from_word(&word) {
            Ok(layer) => shown.push(layer),
            Err(error) => faults.extend(error.into_faults()),
        }
    }
    slopewright::Error::check(faults)?;
    Ok(DrawingOptions::of(shown).with_prefix(prefix))
}

/// The job as one HTML file that needs no network: the answer first, the take-off with its working, the drawings, the
/// cutting list, the order, and a tally that stays in the browser.
#[pyfunction]
#[pyo3(signature = (*take_offs: "TakeOff", salvaged = None, order = None))]
#[expect(clippy::needless_pass_by_value, reason = "what comes from Python comes as a value")]
pub(crate) fn page(
    py: Python<'_>,
    take_offs: Vec<PyRef<'_, TakeOff>>,
    salvaged: Option<PyRef<'_, Salvaged>>,
    order: Option<PyRef<'_, Order>>,
) -> PyResult<String> {
    let take_offs: Vec<slopewright::TakeOff> = take_offs.iter().map(|of| of.core().clone()).collect();
    let salvaged = salvaged.map(|of| of.core().clone());
    let order = order.map(|of| of.core().clone());
    run(py, || {
        let all: Vec<&slopewright::TakeOff> = take_offs.iter().collect();
        let mut page = Page::of(&all);
        if let Some(salvaged) = &salvaged {
            page = page.with_salvage(salvaged);
        }
        if let Some(order) = &order {
            page = page.with_order(order);
        }
        Ok(page.html())
    })
}

/// The words of the layers that a drawing of a slope may have, from the lowest.
#[pyfunction]
pub(crate) fn drawing_layers() -> Vec<&'static str> {
    Layer::ALL.iter().map(|layer| layer.word()).collect()
}
