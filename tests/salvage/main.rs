//! Checks of the salvage room from outside it.

mod chances;
