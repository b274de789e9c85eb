//! The tally: counting old units stack by stack in the browser.

use maud::{Markup, PreEscaped, html};
use serde::Serialize;

use super::Page;
use super::answer::{Short, shortages};
use super::words::{LONG, named};
use crate::drawing::shortened;
use crate::salvage::{UnitKey, UnitKind};

/// A unit that can be counted in stacks, and what is short of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct Counted {
    /// The unit, exactly as a tally has it.
    unit: String,
    /// The same as the page shows it.
    name: String,
    needed: u64,
    met: u64,
    short: u64,
    /// Of so many salvaged so many are lost in handling: the rate for what is counted from now on.
    lost: u64,
    salvaged: u64,
}

/// What the script is told.
#[derive(Debug, Serialize)]
struct Job {
    /// Under which name the browser keeps the counts.
    key: String,
    /// What the file is called.
    file: String,
    units: Vec<Counted>,
}

/// The units of the job: cut ones are counted as the whole ones that they are cut from.
fn counted(page: &Page<'_>) -> Vec<Counted> {
    let mut all: Vec<Counted> = Vec::new();
    for Short { unit, needed, met, to_buy } in shortages(page) {
        let Ok(key) = unit.parse::<UnitKey>() else { continue };
        let key = if key.kind == UnitKind::Cut { UnitKey::new(&key.format, UnitKind::Whole) } else { key };
        let unit = key.to_string();
        if let Some(known) = all.iter_mut().find(|known| known.unit == unit) {
            known.needed += needed;
            known.met += met;
            known.short += to_buy;
            continue;
        }
        let supply = page
            .salvaged
            .and_then(|salvaged| salvaged.shared.supplies.iter().find(|of| of.supply.unit == key));
        let (lost, salvaged) = supply.map_or((0, 0), |of| (of.supply.lost, of.supply.salvaged));
        let name = shortened(&unit, LONG);
        all.push(Counted { unit, name, needed, met, short: to_buy, lost, salvaged });
    }
    all
}

pub(super) fn section(page: &Page<'_>) -> Markup {
    let units = counted(page);
    html! {
        section #tally.screen aria-labelledby="tally-title" {
            h2 #tally-title { "Tally of old units" }
            p {
                "Count stack by stack. The counts stay on this device when the page is closed; save them as a file to \
                 send them on."
            }
            noscript { p.warn { "This browser runs no scripts: the tally needs them. Everything else is here." } }
            p #tally-warning.warn role="alert" hidden {
                "This browser does not keep the counts. Save them as a file before you close the page."
            }
            table.lead {
                caption { "Met from what was counted before; sound ones counted here; still short" }
                thead {
                    tr {
                        th scope="col" { "Unit" }
                        th.n scope="col" { "Needed" }
                        th.n scope="col" { "Met" }
                        th.n scope="col" { "Here" }
                        th.n scope="col" { "Short" }
                    }
                }
                tbody {
                    @for (place, unit) in units.iter().enumerate() {
                        tr {
                            th scope="row" { (named(&unit.unit, LONG)) }
                            td.n { (unit.needed) }
                            td.n { (unit.met) }
                            td.n #{ "sound-" (place) } { "0" }
                            td.n { strong #{ "still-" (place) } { (unit.short) } }
                        }
                    }
                }
            }
            p.soft {
                "Doubtful ones are not relied on, and losses come off at the rate of the count before. Cut units are \
                 cut from whole ones. Who gets them is reckoned when the file is read back: "
                code { "slopewright order … --tally FILE" }
            }
            form #tally-form novalidate autocomplete="off" {
                div.entry {
                    label.wide for="tally-who" { "Stack" input #tally-who type="text" maxlength="80" placeholder="north, stack 3"; }
                    label.wide for="tally-unit" {
                        "Unit"
                        select #tally-unit {
                            @for unit in &units { option value=(unit.unit) { (unit.name) } }
                        }
                    }
                    @for (grade, word) in [("sound", "Sound"), ("doubtful", "Doubtful"), ("broken", "Broken")] {
                        label for={ "tally-" (grade) } {
                            (word)
                            input #{ "tally-" (grade) } type="text" inputmode="numeric" pattern="[0-9]*" maxlength="7";
                        }
                    }
                    div.wide.end { button #tally-add type="submit" { "Add the count" } }
                }
            }
            p #tally-said.said role="status" {}
            div #tally-counted hidden {
                table.counts {
                    caption { "Counted here" }
                    thead {
                        tr {
                            th scope="col" { "Stack" }
                            th.n scope="col" { "Sound" }
                            th.n scope="col" { "Doubtful" }
                            th.n scope="col" { "Broken" }
                            td {}
                        }
                    }
                    tbody #tally-list {}
                }
            }
            div.buttons {
                button #tally-save type="button" disabled { "Save the counts as a file" }
                label.file { "Read a file of counts" input #tally-open type="file"; }
            }
            details.screen {
                summary { "The counts as text, to copy" }
                textarea #tally-text rows="6" readonly aria-label="The counts as text" {}
            }
        }
    }
}

/// What the script is told, as data that no browser runs.
pub(super) fn data(page: &Page<'_>) -> Markup {
    let names: Vec<&str> = page.take_offs.iter().map(|of| of.name.as_str()).collect();
    let job = Job { key: key_of(&names), file: file_of(&names), units: counted(page) };
    let text = serde_json::to_string(&job).unwrap_or_else(|_| "{}".to_owned());
    html! { script #job type="application/json" { (PreEscaped(harmless(&text))) } }
}

/// JSON that cannot end its element or its line: `<`, `>`, `&` and the two line breaks of Unicode stand as escapes.
fn harmless(json: &str) -> String {
    let mut text = String::with_capacity(json.len());
    for character in json.chars() {
        match character {
            '<' => text.push_str("\\u003c"),
            '>' => text.push_str("\\u003e"),
            '&' => text.push_str("\\u0026"),
            '\u{2028}' => text.push_str("\\u2028"),
            '\u{2029}' => text.push_str("\\u2029"),
            other => text.push(other),
        }
    }
    text
}

/// The same job keeps its counts, however often its page is made: the key is a fingerprint of the roofs' names (FNV-1a).
fn key_of(names: &[&str]) -> String {
    let bytes = names.iter().flat_map(|name| name.bytes().chain([0]));
    let print = bytes.fold(0xcbf2_9ce4_8422_2325_u64, |print, byte| {
        (print ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    format!("slopewright-tally-{print:016x}")
}

/// A name for the file that every system takes.
fn file_of(names: &[&str]) -> String {
    let mut stem = String::new();
    for character in names.join("-").chars().flat_map(char::to_lowercase) {
        if character.is_ascii_alphanumeric() {
            stem.push(character);
        } else if !stem.is_empty() && !stem.ends_with('-') {
            stem.push('-');
        }
        if stem.len() >= 40 {
            break;
        }
    }
    let stem = stem.trim_matches('-');
    format!("{}.tally", if stem.is_empty() { "counts" } else { stem })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn data_cannot_end_its_element() {
        let text = harmless(r#"{"a":"</script><!-- & ]]>"}"#) + &harmless("\u{2028}");
        assert!(!text.contains(['<', '>', '&', '\u{2028}']), "{text}");
    }

    #[test]
    fn files_have_plain_names() {
        assert_eq!(file_of(&["Reading room", "Annex"]), "reading-room-annex.tally");
        assert_eq!(file_of(&["../../etc/passwd"]), "etc-passwd.tally");
        assert_eq!(file_of(&["קריאה"]), "counts.tally");
        assert_ne!(key_of(&["a", "b"]), key_of(&["ab"]));
    }
}
