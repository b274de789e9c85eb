//! Drawings: each slope to scale in its own plane, the roof in plan, and the cutting list as bars, as SVG.
//!
//! A [`Drawing`] is text. Its groups are layers with ids, its geometry stands in millimetres on the slope in groups of
//! their own, and text of the user's is escaped, cut to what can be shown, and kept apart from what stands beside it.
//!
//! ```
//! use slopewright::drawing::{DrawingOptions, Layer};
//! use slopewright::{SurveyDocument, TakeOff};
//! let survey = SurveyDocument::from_toml(r#"
//!     slopewright = 1
//!     name = "boat shed"
//!     covering.format = "plain-tile-265x165"
//!     battens.rafter_spacing = "400 mm"
//!     [[slope]]
//!     name = "front"
//!     shape = "rectangle"
//!     eaves = "4 m"
//!     rafter = "3 m"
//!     pitch = "40 deg"
//! "#)?;
//! let take_off = TakeOff::of(&survey.check()?)?;
//! let drawing = take_off.drawing("front", &DrawingOptions::of([Layer::Battens, Layer::Dimensions]), &[])?;
//! assert!(drawing.svg().starts_with("<svg") && drawing.svg().contains("id=\"battens\""));
//! # Ok::<(), slopewright::Error>(())
//! ```

mod bars;
mod dimension;
mod layer;
mod markup;
mod plan;
mod plan_places;
mod sheet;
mod slope;
mod slope_words;
mod units;
mod words;
mod work;

pub use layer::{DrawingOptions, Layer};
pub use plan_places::{PlanSlope, plan_places};
pub(crate) use words::apart;
pub use words::{clean, shortened};

use crate::error::{Fault, FaultKind, Result};
use crate::takeoff::{SlopeCutting, TakeOff};

/// A drawing as SVG text.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    kind: &'static str,
    name: String,
    width: f64,
    height: f64,
    svg: String,
}

impl Drawing {
    /// What it shows: slope, plan or cutting.
    #[must_use]
    pub const fn kind(&self) -> &'static str {
        self.kind
    }

    /// What of: the slope's or the roof's name, as far as it is shown.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The drawing as an SVG document.
    #[must_use]
    pub fn svg(&self) -> &str {
        &self.svg
    }

    /// Its width and height in units of its own.
    #[must_use]
    pub const fn size(&self) -> (f64, f64) {
        (self.width, self.height)
    }
}

/// The cutting list of battens as bars, equal bars together: of one slope, or of all.
///
/// # Errors
/// If nothing was cut for a slope of this name.
pub fn cutting_drawing(
    roof: &str,
    cutting: &[SlopeCutting],
    slope: Option<&str>,
    options: &DrawingOptions,
) -> Result<Drawing> {
    let Some(name) = slope else { return Ok(bars::draw(roof, cutting, options)) };
    let found = cutting.iter().find(|of| of.slope == name);
    let found = found.ok_or_else(|| unknown(name, cutting.iter().map(|of| of.slope.as_str())))?;
    Ok(bars::draw(roof, core::slice::from_ref(found), options))
}

/// The cutting list of one slope on several sheets of no more than so many rows of bars, for paper.
#[must_use]
pub fn cutting_sheets(
    roof: &str,
    cutting: &SlopeCutting,
    options: &DrawingOptions,
    most_rows: usize,
) -> Vec<Drawing> {
    bars::sheets(roof, cutting, options, most_rows)
}

/// The fault of a slope that is not there.
fn unknown<'a>(given: &str, names: impl Iterator<Item = &'a str>) -> Fault {
    let names: Vec<String> = names.map(|name| shortened(name, 40)).collect();
    Fault::new(FaultKind::DrawingSlopeUnknown, "is no slope of this roof")
        .given(format!("\"{given}\""))
        .allowed(names.join(", "))
}

impl TakeOff {
    /// A slope to scale in its own plane. `cutting` is [`TakeOff::cut_battens`]: with it the joints of the battens are
    /// drawn, without it the rows alone.
    ///
    /// # Errors
    /// If there is no slope of this name.
    pub fn drawing(
        &self,
        slope: &str,
        options: &DrawingOptions,
        cutting: &[SlopeCutting],
    ) -> Result<Drawing> {
        let found = self.slopes.iter().find(|other| other.layout.slope == slope);
        let found =
            found.ok_or_else(|| unknown(slope, self.slopes.iter().map(|of| of.layout.slope.as_str())))?;
        let cut = cutting.iter().find(|of| of.slope == slope);
        Ok(slope::draw(self, found, cut, options))
    }

    /// The roof in plan: slopes, ridges, hips, valleys, openings. Slopes that no joint holds together stand side by
    /// side, since nobody knows where they lie.
    #[must_use]
    pub fn plan_drawing(&self, options: &DrawingOptions) -> Drawing {
        plan::draw(self, options)
    }
}
