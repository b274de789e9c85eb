//! Text of the user's on its way to a picture or a page: without control characters, and no longer than is shown.
//!
//! Escaping is the business of whoever writes the markup; this is about what may be in the text at all.

/// A text without what no page or picture should hold: control characters, marks that turn the direction of what
/// follows, and code points that are no characters. Breaks and tabs become spaces.
#[must_use]
pub fn clean(text: &str) -> String {
    text.chars().filter_map(allowed).collect()
}

/// A text as [`clean`] leaves it, cut to so many characters with `…` for what is cut off.
///
/// ```
/// use slopewright::drawing::shortened;
/// assert_eq!(shortened("north slope\u{0}", 80), "north slope");
/// assert_eq!(shortened("a very long name", 7), "a very…");
/// ```
#[must_use]
pub fn shortened(text: &str, most: usize) -> String {
    let mut kept: String = text.chars().filter_map(allowed).take(most.saturating_add(1)).collect();
    if kept.chars().count() <= most {
        return kept;
    }
    let cut = kept.char_indices().nth(most.saturating_sub(1)).map_or(0, |(at, _)| at);
    kept.truncate(cut);
    let mut kept = kept.trim_end().to_owned();
    kept.push('…');
    kept
}

/// First strong isolate, pop directional isolate.
const MARKS: (char, char) = ('\u{2068}', '\u{2069}');

/// The same between marks that keep its direction to itself, for text that stands in one line with others.
#[must_use]
pub(crate) fn apart(text: &str, most: usize) -> String {
    format!("{}{}{}", MARKS.0, shortened(text, most), MARKS.1)
}

/// A text that was put together from texts like these: the marks of [`apart`] stay, all else is cleaned once more.
pub(crate) fn clean_between_marks(text: &str) -> String {
    let is_mark = |character| character == MARKS.0 || character == MARKS.1;
    text.chars().filter_map(|one| if is_mark(one) { Some(one) } else { allowed(one) }).collect()
}

fn allowed(character: char) -> Option<char> {
    match character {
        '\t' | '\n' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => Some(' '),
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}' => None,
        control if control.is_control() => None,
        // U+FFFE, U+FFFF and their like on the other planes, and the block U+FDD0: XML forbids some, nobody needs any.
        none if (none as u32 & 0xfffe) == 0xfffe || ('\u{fdd0}'..='\u{fdef}').contains(&none) => None,
        other => Some(other),
    }
}

/// About how wide a text is, in parts of its size. Fonts differ; this errs on the wide side for sans-serif ones.
pub(crate) fn width_of(text: &str) -> f64 {
    text.chars()
        .map(|character| match character {
            '\u{2066}'..='\u{2069}' => 0.0,
            'i' | 'j' | 'l' | 't' | 'f' | 'r' | 'I' | ' ' | '.' | ',' | ':' | ';' | '\'' | '|' | '('
            | ')' => 0.36,
            'm' | 'w' | 'M' | 'W' | '@' | '%' => 0.9,
            'A'..='Z' | '×' | '²' => 0.72,
            wide if (wide as u32) >= 0x1100 => 1.0,
            _ => 0.58,
        })
        .sum()
}

/// Breaks a text into lines no wider than `most`, in parts of its size: at spaces where there are any.
pub(crate) fn lines_of(text: &str, most: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split(' ') {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width_of(&longer) <= most || line.is_empty() {
            line = longer;
        } else {
            lines.push(core::mem::replace(&mut line, word.to_owned()));
        }
        while width_of(&line) > most {
            let mut width = 0.0;
            let is_over = |(at, character): &(usize, char)| {
                width += width_of(character.encode_utf8(&mut [0; 4]));
                *at > 0 && width > most
            };
            let Some((cut, _)) = line.char_indices().find(is_over) else { break };
            let rest = line.split_off(cut);
            lines.push(core::mem::replace(&mut line, rest));
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_page_should_hold_is_gone() {
        assert_eq!(clean("a\u{0}b\u{1b}[31mc\u{202e}d\u{2069}e\u{fffe}f\u{fdd0}g"), "ab[31mcdefg");
        assert_eq!(clean("two\nlines\tand\u{2028}more"), "two lines and more");
        // Marks of Arabic and Hebrew that change nothing after them stay.
        assert_eq!(clean("\u{200f}שלום"), "\u{200f}שלום");
    }

    #[test]
    fn long_names_are_cut_where_it_is_seen() {
        let name = "x".repeat(10_000);
        let short = shortened(&name, 60);
        assert_eq!(short.chars().count(), 60);
        assert!(short.ends_with('…'));
        assert_eq!(shortened("exactly ten", 11), "exactly ten");
        assert_eq!(shortened("", 5), "");
        assert_eq!(shortened("abc", 0), "…");
    }

    #[test]
    fn lines_break_at_spaces_and_in_long_words() {
        let text = format!("one two three {}", "y".repeat(50));
        let lines = lines_of(&text, 10.0);
        assert!(lines.iter().all(|line| width_of(line) <= 10.0), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
    }
}
