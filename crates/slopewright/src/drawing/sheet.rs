//! The sheet that a drawing stands on: its width, its scale, what it is titled, and the small shapes they all share.
//!
//! The unit of a sheet is about a point on a phone: a sheet as wide as the screen keeps its smallest text readable, and
//! on A4 the same sheet is half as large again.

use super::Drawing;
use super::markup::{Markup, number};
use super::words::{apart, lines_of, shortened};
use crate::quantity::figure;

/// The width of every sheet.
pub(super) const WIDE: f64 = 440.0;
/// The margin left and right of titles and legends.
pub(super) const EDGE: f64 = 12.0;
/// Small text.
pub(super) const SMALL: f64 = 10.0;
/// The most characters of a name in a title.
pub(super) const LONGEST_NAME: usize = 48;

/// The ink of lines and text.
pub(super) const INK: &str = "#26211c";
/// The ink of dimensions.
pub(super) const DIMENSION_INK: &str = "#1f4e79";

/// A sheet as it is drawn.
#[derive(Debug)]
pub(super) struct Sheet {
    pub(super) markup: Markup,
    prefix: String,
    height: f64,
}

impl Sheet {
    /// A sheet of this height with its title and what a reader who cannot see it is told.
    pub(super) fn new(prefix: &str, height: f64, title: &str, description: &str) -> Self {
        /// How many pixels a unit has where nobody says how large the drawing is to be.
        const PIXELS: f64 = 1.6;
        let mut sheet = Self { markup: Markup::default(), prefix: prefix.to_owned(), height };
        let (title_id, description_id) = (sheet.id("title"), sheet.id("description"));
        let m = &mut sheet.markup;
        m.open("svg")
            .set("xmlns", "http://www.w3.org/2000/svg")
            .set("viewBox", &format!("0 0 {} {}", number(WIDE), number(height)))
            .num("width", WIDE * PIXELS)
            .num("height", height * PIXELS)
            .set("role", "img")
            .set("aria-labelledby", &format!("{title_id} {description_id}"))
            .set("font-family", "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif")
            .num("font-size", SMALL)
            .set("fill", INK);
        m.open("title").set("id", &title_id).text(title).close();
        m.open("desc").set("id", &description_id).text(description).close();
        m.open("rect").num("width", WIDE).num("height", height).set("fill", "#fff").close();
        sheet
    }

    /// An id of this drawing.
    pub(super) fn id(&self, word: &str) -> String {
        if self.prefix.is_empty() { word.to_owned() } else { format!("{}-{word}", self.prefix) }
    }

    /// What fills a shape with a pattern of this drawing.
    pub(super) fn fill(&self, word: &str) -> String {
        format!("url(#{})", self.id(word))
    }

    /// A line of text.
    pub(super) fn text(&mut self, x: f64, y: f64, text: &str) -> &mut Markup {
        self.markup.open("text").num("x", x).num("y", y).text(text).close()
    }

    /// The heading: a name in bold and lines under it. Returns where the drawing may begin.
    pub(super) fn heading(&mut self, name: &str, under: &[String]) -> f64 {
        let size = 14.0;
        let mut y = 20.0;
        let name = apart(name, LONGEST_NAME);
        let m = self.markup.open("text").num("x", EDGE).num("y", y).num("font-size", size);
        m.set("font-weight", "bold").text(&name).close();
        for line in wrapped(under) {
            y += SMALL * 1.35;
            self.text(EDGE, y, &line);
        }
        y + 8.0
    }

    /// Lines of text from here down. Returns where the next may stand.
    pub(super) fn lines(&mut self, mut y: f64, lines: &[String]) -> f64 {
        for line in wrapped(lines) {
            y += SMALL * 1.35;
            self.text(EDGE, y, &line);
        }
        y
    }

    /// A letter or number in a ring.
    pub(super) fn tag(&mut self, x: f64, y: f64, word: &str) {
        let radius =
            4.0 + 3.4 * f64::from(u32::try_from(word.chars().count()).unwrap_or(u32::MAX).clamp(1, 4));
        let m = &mut self.markup;
        m.open("circle").num("cx", x).num("cy", y).num("r", radius).set("fill", "#fff");
        m.set("stroke", INK).set("stroke-width", "0.8").close();
        m.open("text").num("x", x).num("y", y + 3.5).set("text-anchor", "middle");
        m.set("font-weight", "bold").text(word).close();
    }

    /// The finished drawing.
    pub(super) fn finish(self, kind: &'static str, name: &str) -> Drawing {
        Drawing {
            kind,
            name: shortened(name, LONGEST_NAME),
            width: WIDE,
            height: self.height,
            svg: self.markup.finish(),
        }
    }
}

/// Lines broken to the width of a sheet.
fn wrapped(lines: &[String]) -> Vec<String> {
    lines.iter().flat_map(|line| lines_of(line, (WIDE - 2.0 * EDGE) / SMALL)).collect()
}

/// How high so many lines are on a sheet.
pub(super) fn height_of(lines: &[String]) -> f64 {
    SMALL * 1.35 * f64::from(u32::try_from(wrapped(lines).len()).unwrap_or(u32::MAX))
}

/// How high a heading with these lines under it is: what [`Sheet::heading`] returns.
pub(super) fn heading_height(under: &[String]) -> f64 {
    28.0 + height_of(under)
}

/// Where points of a plane in metres, upwards, lie on a sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    /// Units of the sheet for a metre.
    pub(super) scale: f64,
    /// Where the origin lies.
    pub(super) x: f64,
    /// Where the origin lies.
    pub(super) y: f64,
}

impl Frame {
    /// A place across.
    pub(super) fn x(&self, u: f64) -> f64 {
        u.mul_add(self.scale, self.x)
    }

    /// A place up.
    pub(super) fn y(&self, v: f64) -> f64 {
        (-v).mul_add(self.scale, self.y)
    }

    /// Units of the sheet for a millimetre.
    pub(super) fn per_mm(&self) -> f64 {
        self.scale / 1000.0
    }

    /// The transform of a group whose coordinates are millimetres on the slope, upwards.
    pub(super) fn in_mm(&self) -> String {
        let k = figure(self.per_mm(), 8);
        format!("matrix({k} 0 0 -{k} {} {})", figure(self.x, 4), figure(self.y, 4))
    }

    /// So many units of the sheet, in millimetres on the slope.
    pub(super) fn mm_of(&self, units: f64) -> f64 {
        units / self.per_mm()
    }
}

/// Millimetres as dimensions have them.
pub(super) fn mm_text(metres: f64) -> String {
    figure(metres * 1000.0, 0).to_string()
}
