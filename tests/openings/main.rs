//! Openings: units lost and cut by hand and against whole take-offs, bands of gauge, timbers, and the search for better
//! places against trying every place; what is carried into the whole roof; cuts in pairs; a roof worked by hand.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "the numbers of these roofs are small"
)]

#[cfg(test)]
mod bands;
#[cfg(test)]
mod carried;
#[cfg(test)]
mod documents;
#[cfg(test)]
mod once;
#[cfg(test)]
mod pairs;
#[cfg(test)]
mod places;
#[cfg(test)]
mod random;
#[cfg(test)]
mod timbers;
#[cfg(test)]
mod units;
#[cfg(test)]
mod worked;
