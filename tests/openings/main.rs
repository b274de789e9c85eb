//! Openings: units lost and cut by hand and against whole take-offs, bands of gauge, timbers, and the search for better
//! places against trying every place.

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
