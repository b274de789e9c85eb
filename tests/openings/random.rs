//! Random slopes with openings, the same in every run.

use slopewright::quantity::{Pitch, m, mm};
use slopewright::survey::{CoveringDocument, OpeningDocument, SlopeDocument, SurveyDocument};

/// A plain linear congruential generator (the multiplier and increment of Knuth's MMIX).
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(2).wrapping_add(1))
    }

    /// A whole number under `most`.
    pub(crate) fn under(&mut self, most: u32) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        u32::try_from(self.0 >> 33).unwrap_or(0) % most
    }

    /// A whole number of millimetres in a range.
    pub(crate) fn mm(&mut self, least: u32, most: u32) -> f64 {
        f64::from(least + self.under(most - least + 1))
    }
}

/// A rectangular hole: from the left, from the eaves, width, height, clearance, all in millimetres.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Hole {
    pub(crate) left: f64,
    pub(crate) low: f64,
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) clearance: f64,
}

impl Hole {
    pub(crate) fn document(&self, name: &str) -> OpeningDocument {
        OpeningDocument::rectangle(name, mm(self.left), mm(self.low), mm(self.width), mm(self.height))
            .with_clearance(mm(self.clearance))
    }

    pub(crate) fn moved(&self, right: f64, up: f64) -> Self {
        Self { left: self.left + right, low: self.low + up, ..*self }
    }

    /// Its corners in metres, widened.
    pub(crate) fn corners_m(&self, by: f64) -> [(f64, f64); 4] {
        let (left, right) = ((self.left - by) / 1000.0, (self.left + self.width + by) / 1000.0);
        let (low, high) = ((self.low - by) / 1000.0, (self.low + self.height + by) / 1000.0);
        [(left, low), (right, low), (right, high), (left, high)]
    }
}

/// A slope of random shape and covering; its width and rafter length in millimetres come with it.
pub(crate) fn slope(random: &mut Random) -> (SlopeDocument, f64, f64) {
    let (width, rafter) = (random.mm(3500, 6000), random.mm(2500, 4000));
    let pitch = Pitch::from_degrees(45.0).expect("45 degrees is a pitch");
    let slope = match random.under(3) {
        0 => SlopeDocument::rectangle("slope", mm(width), mm(rafter), pitch),
        1 => SlopeDocument::trapezoid("slope", mm(width), mm(width * 0.6), mm(rafter), pitch),
        _ => SlopeDocument::outline(
            "slope",
            &[
                (m(0.0), m(0.0)),
                (mm(width), m(0.0)),
                (mm(width * 0.9), mm(rafter)),
                (mm(width * 0.25), mm(rafter * 0.9)),
            ],
            pitch,
        ),
    };
    (slope, width, rafter)
}

pub(crate) fn covering(random: &mut Random) -> &'static str {
    ["plain-tile-265x165", "interlocking-420x330"][random.under(2) as usize]
}

pub(crate) fn survey(covering: &str, slope: SlopeDocument) -> SurveyDocument {
    SurveyDocument::new("random").with_covering(CoveringDocument::new(covering)).with_slope(slope)
}
