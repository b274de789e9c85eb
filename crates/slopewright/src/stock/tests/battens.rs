//! Rows of battens by hand: what is refused, where joints stand, and what the least is.

use super::super::*;
use crate::error::FaultKind;
use crate::quantity::{Length, LengthIn as _, m, mm};

fn rule() -> JointRule {
    // NHBC Standards 7.2.17: 1.2 m, three rafters, 200 mm, 1 in 4, 3 in 12.
    JointRule {
        least_length: mm(1200.0),
        least_supports: 3,
        close_gauge: mm(200.0),
        close: Stagger { joints: 3, rows: 12 },
        wide: Stagger { joints: 1, rows: 4 },
    }
}

fn row(label: &str, up_mm: f64, runs: &[(f64, f64)]) -> BattenRow {
    BattenRow {
        label: label.to_owned(),
        up: mm(up_mm),
        runs: runs.iter().map(|(from, to)| (mm(*from), mm(*to))).collect(),
    }
}

fn battens(rows: Vec<BattenRow>) -> BattenJob {
    BattenJob {
        rows,
        rafters: Rafters::Spaced { first: mm(0.0), spacing: mm(600.0) },
        gauge: mm(340.0),
        rule: rule(),
        stock: vec![StockLength::of(m(4.8))],
        offcuts: Vec::new(),
        kerf: mm(0.0),
        least_offcut: mm(1200.0),
    }
}

/// Kind and place of every fault; nothing, if the job can be laid.
fn faults(job: &BattenJob) -> Vec<(FaultKind, String)> {
    match lay_battens(job) {
        Ok(_) => Vec::new(),
        Err(error) => error.faults().map(|fault| (fault.kind, fault.place.clone())).collect(),
    }
}

#[test]
fn rows_are_given_from_the_bottom_up_and_may_be_level() {
    let rows = |upper: f64| vec![row("one", 400.0, &[(0.0, 3000.0)]), row("two", upper, &[(3600.0, 6000.0)])];
    assert_eq!(faults(&battens(rows(740.0))), []);
    assert_eq!(faults(&battens(rows(400.0))), []);
    assert_eq!(faults(&battens(rows(399.9))), [(FaultKind::BattenRowsUnordered, "row 'two'".to_owned())]);
}

#[test]
fn a_run_begins_where_the_one_before_ends_or_later() {
    let job = |from: f64, to: f64| battens(vec![row("one", 400.0, &[(0.0, 3000.0), (from, to)])]);
    assert_eq!(faults(&job(3000.0, 6000.0)), []);
    let bad = [(FaultKind::BattenRunBad, "row 'one', run 2".to_owned())];
    assert_eq!(faults(&job(2999.0, 6000.0)), bad);
    assert_eq!(faults(&job(4000.0, 4000.0)), bad);
    assert_eq!(faults(&job(4000.0, 3900.0)), bad);
}

#[test]
fn the_numbers_of_the_joint_rule_are_checked_one_by_one() {
    let sound = battens(vec![row("one", 400.0, &[(0.0, 3000.0)])]);
    let with = |change: fn(&mut BattenJob)| {
        let mut job = sound.clone();
        change(&mut job);
        faults(&job)
    };
    assert_eq!(faults(&sound), []);
    let bad = |place: &str| vec![(FaultKind::JointRuleBad, place.to_owned())];
    assert_eq!(with(|job| job.rule.close.rows = 0), bad("joint rule, close"));
    assert_eq!(with(|job| job.rule.wide.rows = 0), bad("joint rule, wide"));
    assert_eq!(with(|job| job.rule.wide.rows = 1), []);
    // docs/limits.md: from 1 to 1000 rows.
    assert_eq!(with(|job| job.rule.close.rows = 1000), []);
    assert_eq!(with(|job| job.rule.close.rows = 1001), bad("joint rule, close"));
    let not_finite = vec![(FaultKind::NotFinite, "joint rule".to_owned())];
    assert_eq!(with(|job| job.rule.least_length = m(f64::NAN)), not_finite);
    assert_eq!(with(|job| job.rule.close_gauge = m(f64::INFINITY)), not_finite);
    assert_eq!(with(|job| job.gauge = m(0.0)), bad("gauge"));
}

#[test]
fn rafters_are_in_order_and_under_the_rows() {
    let with = |rafters: Rafters| {
        let mut job = battens(vec![row("one", 400.0, &[(0.0, 3000.0)])]);
        job.rafters = rafters;
        faults(&job)
    };
    let at = |centres: &[f64]| Rafters::At(centres.iter().map(|centre| mm(*centre)).collect());
    let bad = [(FaultKind::RafterOutOfRange, "rafters".to_owned())];
    assert_eq!(with(at(&[0.0, 600.0, 1200.0])), []);
    assert_eq!(with(at(&[0.0, 600.0, 600.0])), bad);
    assert_eq!(with(at(&[600.0, 0.0])), bad);
    assert_eq!(with(at(&[0.0, f64::NAN])), bad);
    assert_eq!(with(at(&[])), [(FaultKind::RafterNone, "rafters".to_owned())]);
    // The first centre lies past the end of every row.
    let spaced = |first: f64| Rafters::Spaced { first: mm(first), spacing: mm(600.0) };
    assert_eq!(with(spaced(3000.0)), []);
    assert_eq!(with(spaced(3000.1)), [(FaultKind::RafterNone, "rafters".to_owned())]);
}

#[test]
fn joints_stand_over_rafters_and_a_row_that_fits_a_bar_has_none() {
    let joints = |to: f64| {
        let plan = lay_battens(&battens(vec![row("one", 400.0, &[(0.0, to)])])).unwrap();
        let joints = plan.rows[0].runs[0].joints.iter().map(|at| at.mm().round()).collect::<Vec<_>>();
        (joints, plan.cutting.bars.len(), plan.rows[0].runs[0].exception)
    };
    assert_eq!(joints(4800.0), (vec![], 1, None));
    // A tenth of a millimetre over the bar: a joint, over a rafter, with 1.2 m at least on either side of it.
    let (found, bars, exception) = joints(4800.1);
    assert_eq!((found.len(), bars, exception), (1, 2, None));
    assert!(found.iter().all(|at| at % 600.0 == 0.0 && (1200.0..=3600.0).contains(at)), "{found:?}");
    // 600 mm lie on two rafters only.
    assert_eq!(joints(600.0), (vec![], 1, Some(Exception::ShortRun)));
    // A run of 1.2 m over three rafters keeps the rule; one of 1.1 m does not.
    assert_eq!(joints(1200.0).2, None);
    assert_eq!(joints(1100.0).2, Some(Exception::ShortRun));
}

#[test]
fn the_gauge_chooses_the_stagger() {
    // Rows of 9.6 m in bars of 4.8 m have to be jointed at 4.8 m to take two bars each. Rows wide apart may have one joint
    // on a rafter in any four rows, close ones three in any twelve.
    let on_one_rafter = |gauge: f64| {
        let rows = (0..4).map(|n| row(&format!("{n}"), f64::from(n) * gauge, &[(0.0, 9600.0)])).collect();
        let mut job = battens(rows);
        job.gauge = mm(gauge);
        let plan = lay_battens(&job).unwrap();
        let runs = plan.rows.iter().map(|row| &row.runs[0]);
        assert!(runs.clone().all(|run| run.exception.is_none()));
        let mut most = 0;
        for centre in (0..=16).map(|n| f64::from(n) * 600.0) {
            let here = runs.clone().filter(|run| run.joints.iter().any(|at| (at.mm() - centre).abs() < 0.1));
            most = most.max(here.count());
        }
        (most, plan.cutting.bars.len())
    };
    // The break is 200 mm itself: close. Three rows of two whole bars, and one whose joints stand elsewhere: three bars, or
    // two and an end that another can use.
    let (most, _) = on_one_rafter(200.0);
    assert!((2..=3).contains(&most), "{most}");
    let (most, _) = on_one_rafter(200.1);
    assert_eq!(most, 1);
}

#[test]
fn the_least_metres_of_bars_for_a_net_length() {
    // 10 m from bars of 4.8 m: three, 14.4 m; from 3.6 and 4.8 m: three of 3.6 m, 10.8 m. Nothing takes nothing.
    let of = |lengths: &[f64], net: f64| {
        let lengths: Vec<Length> = lengths.iter().map(|length| m(*length)).collect();
        least_for(&lengths, m(net)).normalize().to_string()
    };
    assert_eq!(of(&[4.8], 10.0), "14.4");
    assert_eq!(of(&[3.6, 4.8], 10.0), "10.8");
    assert_eq!(of(&[4.8], 9.6), "9.6");
    assert_eq!(of(&[4.8], 9.6001), "14.4");
    // 2 x 3.6 + 4.8 is 12.0 m, and the next that can be bought is 3.6 + 2 x 4.8, 13.2 m.
    assert_eq!(of(&[3.6, 4.8], 12.1), "13.2");
}

#[test]
fn rows_left_of_the_corner_keep_their_places() {
    // The slope leans to the left: its row begins 1.5 m to the left of the corner.
    let mut job = battens(vec![row("one", 400.0, &[(-1500.0, 1500.0)])]);
    job.rafters = Rafters::At([-1200.0, -600.0, 0.0, 600.0, 1200.0].map(mm).to_vec());
    let plan = lay_battens(&job).unwrap();
    let piece = &plan.rows[0].runs[0].pieces[0];
    assert_eq!((piece.from.mm().round(), piece.to.mm().round()), (-1500.0, 1500.0));
    assert!((plan.net.mm() - 3000.0).abs() < 1e-6);
    // Stock of 2.4 m: a joint over the rafter at -0.6, 0 or 0.6 m... each piece over three rafters, that is at 0 m only.
    job.stock = vec![StockLength::of(m(2.4))];
    job.rule.least_supports = 3;
    let joints: Vec<f64> =
        lay_battens(&job).unwrap().rows[0].runs[0].joints.iter().map(|at| at.mm().round()).collect();
    assert_eq!(joints, [0.0]);
}

#[test]
fn an_offcut_is_of_use_from_the_shortest_piece_on() {
    // The shortest piece of a row of 3 m is 1.2 m: an end of 1.2 m saves a bar of 1.8 m, one of 1.1 m is left where it is.
    let value = |offcut: f64| {
        let mut job = battens(vec![row("one", 400.0, &[(0.0, 3000.0)])]);
        job.stock = vec![StockLength::of(m(1.8))];
        job.offcuts = vec![mm(offcut)];
        lay_battens(&job).unwrap().cutting.value.to_string()
    };
    assert_eq!((value(1200.0).as_str(), value(1100.0).as_str()), ("1", "2"));
}

#[test]
fn a_row_is_not_jointed_for_the_saw_s_sake() {
    // A row of 3 m takes a bar of 3.6 m, whole or in two pieces. An end of 0.6 m is shorter than any piece, so nothing is gained
    // by a joint: it would only cost a cut of 3 mm and a nail.
    for kerf in [0.0, 3.0, 6.0] {
        let rows = (0..6).map(|n| row(&format!("{n}"), f64::from(n) * 340.0, &[(0.0, 3000.0)])).collect();
        let mut job = battens(rows);
        job.stock = vec![StockLength::of(m(3.6))];
        job.kerf = mm(kerf);
        job.rule.least_length = mm(1500.0);
        let plan = lay_battens(&job).unwrap();
        assert_eq!(plan.cutting.bars.len(), 6);
        assert!(plan.rows.iter().all(|row| row.runs[0].joints.is_empty()), "{kerf}: {plan:?}");
    }
}
