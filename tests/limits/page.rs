//! `docs/limits.md` is the table of the code. `UPDATE_LIMITS=1 cargo test -p slopewright-workbook --test limits` writes it
//! anew.

use std::fmt::Write as _;
use std::path::Path;

use slopewright::quantity::LIMITS;

const HEAD: &str = "# Limits

Every input has limits, so that a slip or a hostile file is told and does not fill the memory. An error names the limit
that it is about and what was given. A figure outside is never clipped. This page is written from the table in the code
(`slopewright::quantity::LIMITS`) and held to it by a test.

| what | from | to | unit | name |
|---|---:|---:|---|---|
";

const TAIL: &str = "
What has no row here is bounded by one that has: the openings of a roof by its slopes, the cells of a workbook by its
size. JSON and TOML may be nested as deep as their readers go (128 and 80 levels). The search for better places of openings,
the drawing of single units and the cutting of bars work up to a number of steps, and say so where it is not enough.

A batch has no limit of rows, since rows come and go part by part; each is held to the limits above. A row cannot have
more courses than a slope of the greatest length has at the least gauge.
";

fn number(value: f64) -> String {
    let text = value.to_string();
    let (sign, digits) = text.strip_prefix('-').map_or(("", text.as_str()), |rest| ("\u{2212}", rest));
    let (whole, rest) = digits.split_once('.').map_or((digits, String::new()), |(w, r)| (w, format!(".{r}")));
    let mut grouped = String::new();
    for (at, digit) in whole.char_indices() {
        if at > 0 && (whole.len() - at) % 3 == 0 && whole.len() > 4 {
            grouped.push(' ');
        }
        grouped.push(digit);
    }
    format!("{sign}{grouped}{rest}")
}

fn written() -> String {
    let mut text = HEAD.to_owned();
    for limit in LIMITS {
        let unit = if limit.unit == "count" { "" } else { limit.unit };
        let (least, most) = (number(limit.least), number(limit.most));
        writeln!(text, "| {} | {least} | {most} | {unit} | `{}` |", limit.label, limit.name).unwrap();
    }
    text + TAIL
}

#[test]
fn the_page_is_the_table_of_the_code() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/limits.md");
    if std::env::var_os("UPDATE_LIMITS").is_some() {
        std::fs::write(&path, written()).unwrap();
    }
    let page = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(page == written(), "write docs/limits.md anew with UPDATE_LIMITS=1");
}

#[test]
fn every_limit_has_a_name_of_its_own_and_a_range() {
    let mut names: Vec<&str> = LIMITS.iter().map(|limit| limit.name).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), LIMITS.len());
    for limit in LIMITS {
        assert!(limit.least < limit.most && limit.holds(limit.least) && limit.holds(limit.most), "{limit:?}");
        assert!(!limit.holds(limit.most * 1.001) && !limit.holds(f64::NAN), "{limit:?}");
    }
}
