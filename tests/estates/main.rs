//! Estates: batches held to the take-off of single roofs, and real buildings out of open city models.

#[cfg(test)]
mod batches;
#[cfg(test)]
mod models;
