//! An independent check of a batten plan, written from the text of the rule and not from the code that plans.
//!
//! The rule (NHBC Standards 7.2.17): battens are not less than 1.2 m long and span not less than three rafters; joints
//! are square cut and butted over a rafter; where the spacing is over 200 mm there is not more than one joint in any
//! four consecutive battens on one rafter, and at 200 mm or less not more than three in any twelve.
//! Everything is compared in millimetres with a tolerance of 0.11 mm, the grid of the plan and a rounding.

use std::collections::HashMap;

use slopewright::quantity::LengthIn as _;
use slopewright::stock::{BattenJob, BattenPlan, Exception, Rafters};

const CLOSE: f64 = 0.11;

/// Least length (mm), least rafters, and the stagger for wide and close rows: the figures of NHBC 7.2.17.
pub(crate) const LEAST_MM: f64 = 1200.0;
const RAFTERS: usize = 3;
const WIDE: (usize, usize) = (1, 4);
const NEAR: (usize, usize) = (3, 12);

/// All that is wrong with a plan. Empty if it holds.
pub(crate) fn faults(job: &BattenJob, plan: &BattenPlan) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut say = |text: String| wrong.push(text);
    let rafters: Vec<f64> = match &job.rafters {
        Rafters::At(all) => all.iter().map(|at| at.mm()).collect(),
        Rafters::Spaced { first, spacing } => {
            (0..400).map(|k| first.mm() + f64::from(k) * spacing.mm()).collect()
        }
    };
    let lies_on =
        |from: f64, to: f64| rafters.iter().filter(|r| **r >= from - CLOSE && **r <= to + CLOSE).count();
    let longest = job.stock.iter().map(|s| s.length.mm()).fold(0.0, f64::max);
    let mut on_rafter: HashMap<(usize, usize), usize> = HashMap::new();
    let mut from_bar: HashMap<usize, Vec<f64>> = HashMap::new();
    let mut broken_rows: Vec<usize> = Vec::new();
    if plan.rows.len() != job.rows.len() {
        say(format!("{} rows planned of {}", plan.rows.len(), job.rows.len()));
    }
    for (number, (row, planned)) in job.rows.iter().zip(&plan.rows).enumerate() {
        if planned.runs.len() != row.runs.len() {
            say(format!("row {number}: runs missing"));
        }
        for (&(from, to), run) in row.runs.iter().zip(&planned.runs) {
            let (from, to) = (from.mm(), to.mm());
            // The pieces cover the run without gap or overlap.
            let mut at = from;
            for piece in &run.pieces {
                if (piece.from.mm() - at).abs() > CLOSE {
                    say(format!("row {number}: gap or overlap at {at}"));
                }
                at = piece.to.mm();
                from_bar.entry(piece.bar).or_default().push(piece.to.mm() - piece.from.mm());
            }
            if (at - to).abs() > CLOSE {
                say(format!("row {number}: ends at {at}, not {to}"));
            }
            for pair in run.pieces.windows(2) {
                let joint = pair[1].from.mm();
                match rafters.iter().position(|r| (r - joint).abs() <= CLOSE) {
                    Some(rafter) => *on_rafter.entry((rafter, number)).or_default() += 1,
                    None => say(format!("row {number}: joint at {joint} is not over a rafter")),
                }
            }
            let run_allows = to - from >= LEAST_MM - CLOSE && lies_on(from, to) >= RAFTERS;
            let short = run.pieces.iter().any(|p| {
                let (a, b) = (p.from.mm(), p.to.mm());
                b - a < LEAST_MM - CLOSE || lies_on(a, b) < RAFTERS
            });
            match run.exception {
                None if short => say(format!("row {number}: a piece is too short and no reason is given")),
                Some(Exception::ShortRun) if run_allows => {
                    say(format!("row {number}: called short and is not"));
                }
                Some(Exception::ShortRun) if run.pieces.len() > 1 && to - from <= longest => {
                    say(format!("row {number}: a short run is more than one piece"));
                }
                Some(Exception::ShortPiece) if to - from <= longest + CLOSE => {
                    say(format!("row {number}: could have been one piece"));
                }
                Some(Exception::Stagger | Exception::ShortPiece) => broken_rows.push(number),
                _ => {}
            }
        }
    }
    let (most, group) = if job.gauge.mm() > 200.0 { WIDE } else { NEAR };
    for start in 0..job.rows.len() {
        let rows = start..(start + group).min(job.rows.len());
        for rafter in 0..rafters.len() {
            let joints: usize =
                rows.clone().map(|row| on_rafter.get(&(rafter, row)).copied().unwrap_or(0)).sum();
            if joints > most && !rows.clone().any(|row| broken_rows.contains(&row)) {
                say(format!("rafter {rafter}: {joints} joints in rows {rows:?}"));
            }
        }
    }
    bars(job, plan, &from_bar, &mut wrong);
    wrong
}

/// The cutting list holds just the pieces of the rows, each once, and no bar holds more than its length.
fn bars(job: &BattenJob, plan: &BattenPlan, from_bar: &HashMap<usize, Vec<f64>>, wrong: &mut Vec<String>) {
    for (number, bar) in plan.cutting.bars.iter().enumerate() {
        let mut listed: Vec<f64> = bar.cuts.iter().map(|cut| cut.length.mm()).collect();
        let mut laid = from_bar.get(&number).cloned().unwrap_or_default();
        listed.sort_by(f64::total_cmp);
        laid.sort_by(f64::total_cmp);
        if listed.len() != laid.len() || listed.iter().zip(&laid).any(|(a, b)| (a - b).abs() > 2.0 * CLOSE) {
            wrong.push(format!("bar {number}: cut {listed:?}, laid {laid:?}"));
        }
        let cuts = f64::from(u32::try_from(listed.len()).unwrap().saturating_sub(1)) * job.kerf.mm();
        if listed.iter().sum::<f64>() + cuts > bar.length.mm() + CLOSE {
            wrong.push(format!("bar {number}: more is cut from it than it holds"));
        }
        let known = if bar.in_hand {
            job.offcuts.iter().any(|o| (o.mm() - bar.length.mm()).abs() < CLOSE)
        } else {
            job.stock.iter().any(|s| (s.length.mm() - bar.length.mm()).abs() < CLOSE)
        };
        if !known {
            wrong.push(format!("bar {number}: nobody sells {} mm", bar.length.mm()));
        }
    }
    if let Some(beyond) = from_bar.keys().find(|bar| **bar >= plan.cutting.bars.len()) {
        wrong.push(format!("a piece is cut from bar {beyond}, which is not on the list"));
    }
    for purchase in &plan.cutting.purchases {
        let cut = plan
            .cutting
            .bars
            .iter()
            .filter(|bar| !bar.in_hand && (bar.length.mm() - purchase.length.mm()).abs() < CLOSE)
            .count();
        if cut != purchase.count {
            wrong.push(format!("{} of {} mm bought, {cut} cut", purchase.count, purchase.length.mm()));
        }
    }
}
