//! What must hold for every cutting list, whatever is cut.

use proptest::prelude::*;
use slopewright::FaultKind;
use slopewright::quantity::{LengthIn as _, m, mm};
use slopewright::stock::{CuttingJob, CuttingPlan, Piece, StockLength, cut, cut_within};

use crate::Dice;

fn job(pieces: &[(u32, u32)], stock: &[u32], offcuts: &[u32], kerf: u32) -> CuttingJob {
    CuttingJob {
        pieces: pieces
            .iter()
            .enumerate()
            .map(|(row, &(length, count))| Piece {
                length: mm(length.into()),
                count,
                label: format!("row {row}"),
            })
            .collect(),
        stock: stock.iter().map(|&length| StockLength::of(mm(length.into()))).collect(),
        offcuts: offcuts.iter().map(|&length| mm(length.into())).collect(),
        kerf: mm(kerf.into()),
        least_offcut: mm(300.0),
    }
}

/// Every row gets as many pieces of its length as it asked for, and no bar gives more than it has.
fn check(job: &CuttingJob, plan: &CuttingPlan) {
    let mut got = vec![0; job.pieces.len()];
    for bar in &plan.bars {
        let mut used = 0.0;
        for cut in &bar.cuts {
            got[cut.row] += 1;
            assert!((cut.length.mm() - job.pieces[cut.row].length.mm()).abs() < 0.06);
            used += cut.length.mm() + job.kerf.mm();
        }
        assert!(used <= bar.length.mm() + job.kerf.mm() + 0.06, "{bar}");
        assert!(!bar.cuts.is_empty());
    }
    for (piece, got) in job.pieces.iter().zip(got) {
        assert_eq!(piece.count, got);
    }
    assert!(plan.bound <= plan.value);
    let in_hand = plan.bars.iter().filter(|bar| bar.in_hand).count();
    assert!(in_hand <= job.offcuts.len());
    let bars: f64 = plan.bars.iter().map(|bar| bar.length.m()).sum();
    let pieces: f64 = plan.bars.iter().flat_map(|bar| &bar.cuts).map(|cut| cut.length.m()).sum();
    let kept: f64 = plan.offcuts.iter().map(|offcut| offcut.m()).sum();
    assert!((bars - pieces - kept - plan.waste.m()).abs() < 1e-6, "bars = pieces + offcuts + waste");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn every_list_holds(
        pieces in prop::collection::vec((100_u32..4000, 1_u32..6), 1..14),
        stock in prop::collection::vec(4000_u32..6000, 1..4),
        offcuts in prop::collection::vec(300_u32..3000, 0..5),
        kerf in 0_u32..5,
    ) {
        let job = job(&pieces, &stock, &offcuts, kerf);
        let plan = cut_within(&job, 30_000_000).unwrap();
        check(&job, &plan);
        prop_assert_eq!(&cut_within(&job, 30_000_000).unwrap(), &plan, "the same job gives the same list");
        // More in hand never costs more than the proved bound allows; nothing costs less than the bound without it.
        let without = cut_within(&CuttingJob { offcuts: vec![], ..job.clone() }, 30_000_000).unwrap();
        prop_assert!(plan.bound <= without.value);
    }
}

#[test]
fn lists_of_battens_are_proved() {
    let mut dice = Dice(3);
    let mut proved = 0;
    let mut times = Vec::new();
    for _ in 0..200 {
        let number = dice.range(3, 40);
        let pieces: Vec<(u32, u32)> = (0..number)
            .map(|_| {
                (u32::try_from(dice.range(600, 4700)).unwrap(), u32::try_from(dice.range(1, 3)).unwrap())
            })
            .collect();
        let job = job(&pieces, &[4800], &[], 3);
        let begun = std::time::Instant::now();
        let plan = cut(&job).unwrap();
        times.push(begun.elapsed().as_secs_f64() * 1000.0);
        check(&job, &plan);
        proved += usize::from(plan.proved);
    }
    times.sort_by(f64::total_cmp);
    eprintln!("200 lists: {proved} proved, median {:.2} ms, slowest {:.0} ms", times[100], times[199]);
    assert!(proved >= 190);
}

#[test]
fn large_and_odd_lists_end() {
    let mut dice = Dice(9);
    let pieces: Vec<(u32, u32)> =
        (0..10_000).map(|_| (u32::try_from(dice.range(300, 5900)).unwrap(), 1)).collect();
    let job = job(&pieces, &[6000, 4800], &[], 4);
    let begun = std::time::Instant::now();
    let plan = cut(&job).unwrap();
    check(&job, &plan);
    eprintln!("10,000 pieces in {:.1} s, gap {}", begun.elapsed().as_secs_f64(), plan.gap().round_dp(4));
}

#[test]
fn faults_name_the_row() {
    let kinds = |job: &CuttingJob| -> Vec<(FaultKind, String)> {
        cut(job).unwrap_err().faults().map(|fault| (fault.kind, fault.place.clone())).collect()
    };
    let mut wrong = job(&[(2400, 1), (0, 2), (7000, 1)], &[4800], &[], 0);
    assert_eq!(
        kinds(&wrong),
        [
            (FaultKind::PieceLengthOutOfRange, "piece 2 'row 1'".to_owned()),
            (FaultKind::PieceTooLong, "piece 3 'row 2'".to_owned())
        ]
    );
    wrong.kerf = m(3.0);
    assert_eq!(kinds(&wrong)[0].0, FaultKind::KerfOutOfRange);
    wrong.kerf = m(f64::NAN);
    assert_eq!(kinds(&wrong)[0].0, FaultKind::NotFinite);
    let mut short = job(&[(2400, 5)], &[4800], &[], 0);
    short.stock[0].limit = Some(2);
    assert_eq!(kinds(&short)[0].0, FaultKind::StockTooLittle);
    short.stock[0].limit = Some(3);
    assert!(cut(&short).unwrap().proved);
    short.stock.push(StockLength::of(m(6.0)).at("9.5".parse().unwrap()));
    assert_eq!(kinds(&short)[0].0, FaultKind::StockPriceMissing);
    assert_eq!(kinds(&CuttingJob { stock: vec![], ..short })[0].0, FaultKind::StockNone);
}

#[test]
fn kerf_counts_between_pieces_and_not_behind_the_last() {
    // Two halves of a 4.8 m bar fit with no kerf; with 3 mm they fit only if they are 1.5 mm shorter each.
    let bars = |length: f64, kerf: u32| {
        let mut job = job(&[(1, 2)], &[4800], &[], kerf);
        job.pieces[0].length = mm(length);
        cut(&job).unwrap().bars.len()
    };
    assert_eq!((bars(2400.0, 0), bars(2400.0, 3), bars(2398.5, 3), bars(2398.6, 3)), (1, 2, 1, 2));
}
