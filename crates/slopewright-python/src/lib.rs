//! The private native module of the Python package. It converts, calls one function of the core, and converts back;
//! it knows nothing of roofs.

mod arrow;
mod batch;
mod catalogue;
mod city;
mod display;
mod drawing;
mod error;
mod order;
mod placing;
mod reason;
mod rows;
mod salvage;
mod survey;
mod table;
mod takeoff;

use pyo3::prelude::*;
use slopewright::error::Room;

/// The native part of slopewright. Use it through the package.
#[pymodule(gil_used = false)]
mod _native {
    use pyo3::prelude::*;

    #[pymodule_export]
    use super::arrow::ArrowTable;
    #[pymodule_export]
    use super::batch::{Batch, Batches, batch_of, batches_of, study_of};
    #[pymodule_export]
    use super::catalogue::covering_keys;
    #[pymodule_export]
    use super::city::CityModel;
    #[pymodule_export]
    use super::drawing::{Drawing, drawing_layers, page};
    #[pymodule_export]
    use super::error::{
        CatalogueError, Fault, OrderError, OutputError, QuantityError, SalvageError, SetOutError,
        SlopewrightError, StockError, SurveyError, fault_kinds,
    };
    #[pymodule_export]
    use super::order::{DeliveryChoice, Order, OrderDocument, OrderLine, second_delivery};
    #[pymodule_export]
    use super::placing::Placing;
    #[pymodule_export]
    use super::reason::{Finding, Line, Working};
    #[pymodule_export]
    use super::salvage::{HeapInspection, Need, SalvageDocument, Salvaged, Tally, TallyEntry, inspect_heap};
    #[pymodule_export]
    use super::survey::{Survey, length_mm, pitch_deg};
    #[pymodule_export]
    use super::table::Table;
    #[pymodule_export]
    use super::takeoff::{Cutting, Joint, SlopeLayout, TakeOff, TapeRange};

    #[pymodule_init]
    fn init(module: &Bound<'_, PyModule>) -> PyResult<()> {
        super::error::add_faults(module.py())?;
        module.add("__version__", slopewright::VERSION)
    }
}

/// Runs a piece of the core without the interpreter's lock and turns its error into an exception. A panic, which no
/// input should cause, becomes an exception too.
fn run<T: Send>(py: Python<'_>, work: impl FnOnce() -> slopewright::Result<T> + Send) -> PyResult<T> {
    run_as(py, None, work)
}

/// As `run`, on a document of a room: its amounts and formats are part of it, so their faults raise its exception.
fn run_on<T: Send>(
    py: Python<'_>,
    document: Room,
    work: impl FnOnce() -> slopewright::Result<T> + Send,
) -> PyResult<T> {
    run_as(py, Some(document), work)
}

fn run_as<T: Send>(
    py: Python<'_>,
    document: Option<Room>,
    work: impl FnOnce() -> slopewright::Result<T> + Send,
) -> PyResult<T> {
    let outcome = py.detach(|| std::panic::catch_unwind(std::panic::AssertUnwindSafe(work)));
    match outcome {
        Ok(result) => result.map_err(|error| error::raise(py, error, document)),
        Err(_) => Err(pyo3::exceptions::PyRuntimeError::new_err(
            "slopewright failed inside; this is a fault of the library: please report it with the input",
        )),
    }
}
