//! Where openings would better stand: the places within their stated range at which the fewest units are cut.
//!
//! The objective is stated: the fewest cut units of the slope, and among those the least movement, summed over the
//! openings, up the slope and sideways. Every place at the stated step is tried, so nothing within the range at that
//! step is better. Openings of a row move up and down together. An opening stays inside the outline of the slope, and
//! with its clearance inside the covering and apart from the other openings.

mod ground;
mod search;

use serde::Serialize;

use crate::quantity::figure;
use crate::reason::{Finding, Severity, Working};
use crate::takeoff::{SlopeTakeOff, TakeOff};
use ground::Ground;

/// How far one opening would move.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OpeningMove {
    /// The opening.
    pub opening: String,
    /// To the right (to the left, if negative), in metres.
    pub right_m: f64,
    /// Up the slope (down, if negative), in metres.
    pub up_m: f64,
}

impl OpeningMove {
    /// Whether it stays where it is.
    #[must_use]
    pub fn stays(&self) -> bool {
        self.right_m == 0.0 && self.up_m == 0.0
    }
}

/// The best places for the openings of a slope that may be moved.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Placing {
    /// The slope.
    pub slope: String,
    /// The openings that may be moved, and how far each of them would.
    pub moves: Vec<OpeningMove>,
    /// Units cut as surveyed.
    pub cut_before: u32,
    /// Units cut in the best places.
    pub cut_after: u32,
    /// How many places were tried.
    pub places: u64,
    /// Openings that may be moved and were not tried, because they touch an edge or another opening already.
    pub left_out: Vec<String>,
    /// Whether there are more places than are tried; then no opening moves.
    pub too_many: bool,
}

impl TakeOff {
    /// The best places for the openings of each slope that has some that may be moved. The work for the whole roof is
    /// bounded: slopes for which none of it is left say that there are too many places.
    #[must_use]
    pub fn placing(&self) -> Vec<Placing> {
        let mut allowance = search::MOST_WORK;
        let grounds = self.slopes.iter().filter_map(Ground::of);
        grounds.map(|ground| ground.search(&mut allowance)).collect()
    }
}

impl SlopeTakeOff {
    /// The best places for the openings that may be moved; `None` if there are none.
    #[must_use]
    pub fn placing(&self) -> Option<Placing> {
        Ground::of(self).map(|ground| ground.search(&mut { search::MOST_WORK }))
    }
}

impl Placing {
    /// Whether anything would be gained.
    #[must_use]
    pub fn is_better(&self) -> bool {
        self.cut_after < self.cut_before
    }

    /// The places in words: `'west window' 20 mm up, 30 mm to the left`.
    #[must_use]
    pub fn places_text(&self) -> String {
        let parts: Vec<String> = self
            .moves
            .iter()
            .filter(|by| !by.stays())
            .map(|by| {
                let mm = |by_m: f64| figure(by_m.abs() * 1000.0, 1);
                let mut ways = Vec::new();
                if by.up_m != 0.0 {
                    ways.push(format!("{} mm {}", mm(by.up_m), if by.up_m > 0.0 { "up" } else { "down" }));
                }
                if by.right_m != 0.0 {
                    let way = if by.right_m > 0.0 { "right" } else { "left" };
                    ways.push(format!("{} mm to the {way}", mm(by.right_m)));
                }
                format!("'{}' {}", by.opening, ways.join(", "))
            })
            .collect();
        if parts.is_empty() { "none moves".to_owned() } else { parts.join("; ") }
    }

    /// How it was found.
    #[must_use]
    pub fn working(&self) -> Working {
        Working::new(
            "placing of openings",
            "fewest units cut on the slope, then least movement; every place at the stated step",
            format!("{} places; as surveyed {} cut", self.places, self.cut_before),
            format!("{} cut: {}", self.cut_after, self.places_text()),
        )
        .by("openings of a row stay level; each stays inside the slope and clear of the others", "")
    }

    /// What to tell the reader.
    #[must_use]
    pub fn finding(&self) -> Finding {
        let mut message = if self.too_many {
            format!(
                "the openings have {} places at the stated step, more than are tried: state a larger step or a shorter range",
                self.places
            )
        } else if self.is_better() {
            format!(
                "{} units fewer are cut ({} instead of {}) if these openings stand elsewhere: {}; check that the rafters and the room below \
                 allow it",
                self.cut_before - self.cut_after,
                self.cut_after,
                self.cut_before,
                self.places_text()
            )
        } else {
            format!(
                "no place within the stated range cuts fewer units than the {} as surveyed",
                self.cut_before
            )
        };
        if !self.left_out.is_empty() {
            message = format!(
                "{message}; not tried, because they touch an edge or another opening: {}",
                self.left_out.join(", ")
            );
        }
        Finding::new(Severity::Caution, format!("slope '{}'", self.slope), message)
            .by("placing of openings", "")
    }
}
