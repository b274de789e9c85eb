//! Writing SVG: elements, attributes and text, every one of them escaped, numbers with at most two decimals.
//!
//! A crate for it was tried: it lets control characters through, writes doubles with all their digits and sets text in
//! lines of its own, which shifts it. What is needed is this much.

use core::fmt::Write as _;

use super::words::clean_between_marks;
use crate::quantity::figure;

/// A document as it is written.
#[derive(Debug, Default)]
pub(super) struct Markup {
    text: String,
    open: Vec<&'static str>,
    is_in_tag: bool,
}

impl Markup {
    /// Begins an element; attributes follow, and then what is in it.
    pub(super) fn open(&mut self, name: &'static str) -> &mut Self {
        self.end_tag();
        self.text.push('<');
        self.text.push_str(name);
        self.open.push(name);
        self.is_in_tag = true;
        self
    }

    /// An attribute of the element just begun.
    pub(super) fn set(&mut self, name: &str, value: &str) -> &mut Self {
        if self.is_in_tag {
            let _ = write!(self.text, " {name}=\"");
            escape(&mut self.text, value);
            self.text.push('"');
        }
        self
    }

    /// An attribute that is a number.
    pub(super) fn num(&mut self, name: &str, value: f64) -> &mut Self {
        self.set(name, &number(value))
    }

    /// Text in the element.
    pub(super) fn text(&mut self, text: &str) -> &mut Self {
        self.end_tag();
        escape(&mut self.text, &clean_between_marks(text));
        self
    }

    /// Ends the innermost element.
    pub(super) fn close(&mut self) -> &mut Self {
        let Some(name) = self.open.pop() else { return self };
        if self.is_in_tag {
            self.text.push_str("/>");
            self.is_in_tag = false;
        } else {
            let _ = write!(self.text, "</{name}>");
        }
        if matches!(name, "g" | "path" | "text" | "pattern" | "defs" | "title" | "desc") {
            self.text.push('\n');
        }
        self
    }

    /// The text, every element ended.
    pub(super) fn finish(mut self) -> String {
        while !self.open.is_empty() {
            self.close();
        }
        self.text
    }

    fn end_tag(&mut self) {
        if self.is_in_tag {
            self.text.push('>');
            self.is_in_tag = false;
        }
    }
}

/// A number as attributes have it; 0 for one that is not finite.
pub(super) fn number(value: f64) -> String {
    if value.is_finite() { figure(value, 2).to_string() } else { "0".to_owned() }
}

fn escape(out: &mut String, text: &str) {
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            other => out.push(other),
        }
    }
}

/// The data of a path in tenths of a millimetre, kept short: relative steps that never drift, since they are
/// differences of whole numbers.
#[derive(Debug, Default)]
pub(super) struct PathData {
    text: String,
    at: (i64, i64),
}

impl PathData {
    /// The first point of a new part.
    pub(super) fn move_to(&mut self, to: (i64, i64)) {
        if self.text.is_empty() {
            self.text.push('M');
            self.point(to.0, to.1);
        } else {
            self.text.push('m');
            self.point(to.0 - self.at.0, to.1 - self.at.1);
        }
        self.at = to;
    }

    /// A line to a point.
    pub(super) fn line_to(&mut self, to: (i64, i64)) {
        let (across, up) = (to.0 - self.at.0, to.1 - self.at.1);
        if up == 0 {
            self.text.push('h');
            tenth(&mut self.text, across);
        } else if across == 0 {
            self.text.push('v');
            tenth(&mut self.text, up);
        } else {
            self.text.push('l');
            self.point(across, up);
        }
        self.at = to;
    }

    /// A closed part.
    pub(super) fn ring(&mut self, corners: impl IntoIterator<Item = (i64, i64)>) {
        let mut corners = corners.into_iter();
        let Some(first) = corners.next() else { return };
        self.move_to(first);
        for corner in corners {
            self.line_to(corner);
        }
        self.text.push('z');
        self.at = first;
    }

    /// The data.
    pub(super) fn as_str(&self) -> &str {
        &self.text
    }

    /// Whether there is none.
    pub(super) fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    fn point(&mut self, across: i64, up: i64) {
        tenth(&mut self.text, across);
        if up >= 0 {
            self.text.push(' ');
        }
        tenth(&mut self.text, up);
    }
}

/// Tenths of a millimetre as millimetres.
fn tenth(text: &mut String, value: i64) {
    let sign = if value < 0 { "-" } else { "" };
    let value = value.unsigned_abs();
    let _ = match value % 10 {
        0 => write!(text, "{sign}{}", value / 10),
        part => write!(text, "{sign}{}.{part}", value / 10),
    };
}

/// Metres as tenths of a millimetre.
pub(super) fn tenths(metres: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "a float cast saturates; slopes are under 1 km")]
    {
        (metres * 10_000.0).round() as i64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elements_and_what_is_in_them() {
        let mut markup = Markup::default();
        markup.open("svg").set("a", "\"<&>").open("text").num("x", 1.2345).text("a < b\u{0}").close();
        markup.open("path").num("y", f64::NAN).close();
        assert_eq!(
            markup.finish(),
            "<svg a=\"&quot;&lt;&amp;&gt;\"><text x=\"1.23\">a &lt; b</text>\n<path y=\"0\"/>\n</svg>"
        );
    }

    #[test]
    fn paths_do_not_drift() {
        let mut path = PathData::default();
        path.ring([(0, 0), (1683, 0), (1683, 981), (0, 981)]);
        path.ring([(1683, 5), (2000, 0), (1700, -20)]);
        assert_eq!(path.as_str(), "M0 0h168.3v98.1h-168.3zm168.3 0.5l31.7-0.5l-30-2z");
    }
}
