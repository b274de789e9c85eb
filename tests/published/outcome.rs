//! What came of each printed figure.

use core::fmt::Write as _;

use toml::Value;

use crate::files::{Check, File, Rounding, Standing, number};

/// One printed figure beside the library's.
#[derive(Debug)]
pub(crate) struct Outcome {
    pub(crate) standing: Standing,
    pub(crate) misprint: bool,
    source: String,
    title: String,
    inputs: String,
    note: String,
    /// `None` where the source gives no figure.
    printed: Option<f64>,
    /// By the file's author, for a misprint.
    right: Option<f64>,
    ours: Option<f64>,
    /// Ours with the source's way of rounding.
    rounded: Option<f64>,
    tolerance: f64,
}

/// How closely the library must meet a right value, as a share of it: its author wrote at least three places.
const RIGHT_WITHIN: f64 = 0.001;
/// So far a double may lie from a decimal that it stands for.
const LAST_BIT: f64 = 1e-9;

pub(crate) fn outcomes(file: &File) -> Vec<Outcome> {
    let mut found = Vec::new();
    for check in &file.check {
        assert!(!check.rows.is_empty() || !check.misprints.is_empty(), "{}: no rows", check.title);
        let rows = check.rows.iter().map(|row| (row, false));
        for (row, misprint) in rows.chain(check.misprints.iter().map(|row| (row, true))) {
            found.push(outcome(file, check, row, misprint));
        }
    }
    found
}

fn outcome(file: &File, check: &Check, row: &[Value], misprint: bool) -> Outcome {
    let values = check.columns.len() + if misprint { 2 } else { 1 };
    assert_eq!(row.len(), values, "{}: a row has not the values its columns ask for: {row:?}", check.title);
    let printed = row.get(check.columns.len()).and_then(printed);
    let right = misprint.then(|| row.last().and_then(number)).flatten();
    let inputs = check.inputs(row);
    let ours = check.of.answer(&inputs);
    Outcome {
        standing: file.standing,
        misprint,
        source: file.source.clone(),
        title: check.title.clone(),
        inputs: inputs.line(),
        note: [file.note.as_str(), check.note.as_str()].join("; ").trim_matches([';', ' ']).to_owned(),
        printed,
        right,
        ours,
        rounded: ours.map(|value| round(value, check.rounding, check.decimals)),
        tolerance: check.tolerance.max(check.tolerance_percent / 100.0 * printed.unwrap_or_default())
            + LAST_BIT,
    }
}

/// `"none"` stands for a case in which the source gives no figure.
fn printed(value: &Value) -> Option<f64> {
    match value.as_str() {
        Some("none") => None,
        Some(other) => panic!("{other} is not a printed value"),
        None => Some(number(value).unwrap_or_else(|| panic!("{value} is not a printed value"))),
    }
}

fn round(value: f64, way: Rounding, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    match way {
        Rounding::Nearest => value,
        Rounding::Truncated => (value * scale + LAST_BIT).floor() / scale,
        Rounding::Up => (value * scale - LAST_BIT).ceil() / scale,
    }
}

impl Outcome {
    /// Whether it is a figure that the source prints, and prints rightly.
    pub(crate) fn is_good_print(&self) -> bool {
        !self.misprint && self.printed.is_some()
    }

    /// What is wrong, if anything is.
    pub(crate) fn failure(&self) -> Option<String> {
        if self.standing == Standing::Memory {
            return None;
        }
        let agrees = match (self.printed, self.rounded) {
            (Some(printed), Some(ours)) => (ours - printed).abs() <= self.tolerance,
            (None, None) => true,
            _ => false,
        };
        let is_right = match (self.misprint, self.right, self.ours) {
            (false, ..) => true,
            (true, Some(right), Some(ours)) => (ours - right).abs() <= RIGHT_WITHIN * right,
            (true, ..) => false,
        };
        (agrees == self.misprint || !is_right).then(|| format!("{self:?}"))
    }
}

/// Every figure as a line of tab-separated values.
pub(crate) fn validation_table(outcomes: &[Outcome]) -> String {
    let mut table =
        String::from("source\tstanding\tcheck\tinputs\tprinted\tours\tdifference\tmisprint\tnote\n");
    for outcome in outcomes {
        let show =
            |value: Option<f64>| value.map_or_else(|| "none".to_owned(), |value| format!("{value:.4}"));
        let difference = outcome.ours.zip(outcome.printed).map(|(ours, printed)| ours - printed);
        writeln!(
            table,
            "{}\t{:?}\t{}\t{}\t{}\t{}\t{}\t{}\t{}",
            outcome.source,
            outcome.standing,
            outcome.title,
            outcome.inputs,
            show(outcome.printed),
            show(outcome.ours),
            difference.map_or_else(String::new, |value| format!("{value:.4}")),
            if outcome.misprint { "yes" } else { "" },
            outcome.note,
        )
        .expect("a string takes every line");
    }
    table
}
