//! Text and figures as the page shows them.

use maud::{Markup, html};

use crate::drawing::shortened;

/// The most characters of a name in a heading or cell.
pub(super) const LONG: usize = 120;
/// The most characters of a sentence that may repeat names.
pub(super) const SENTENCE: usize = 2_000;

/// A text that may hold the user's words: cleaned, shortened, and in an element that keeps its direction to itself.
pub(super) fn named(text: &str, most: usize) -> Markup {
    html! { bdi { (shortened(text, most)) } }
}
