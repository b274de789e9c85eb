//! Battens of real slopes (3D BAG by tudelft3d and 3DGI, CC BY 4.0, in the shared data): every plan looked over by the
//! independent checker, its distance from both bounds, and what an exact search finds over first fit on the same lists.
//!
//! `SLOPEWRIGHT_FULL=1 cargo test --release -p slopewright --test stock real_slopes -- --nocapture` prints the figures that
//! `docs/cutting.md` gives, over every slope; without the variable every seventh is looked at.

use std::path::PathBuf;

use rust_decimal::Decimal;
use slopewright::TakeOff;
use slopewright::city::{CityModel, CityTerms, FaceKind};
use slopewright::quantity::{LengthIn as _, m, mm};
use slopewright::rules::Rules;
use slopewright::stock::{BattenJob, CuttingJob, Piece, StockLength, cut, lay_battens};
use slopewright::survey::{CoveringDocument, SurveyDocument};

use crate::battens::Gaps;
use crate::checker;

/// The battens of every slope of every building; none where the shared data is not there.
fn jobs(covering: &str) -> Vec<BattenJob> {
    let folder = std::env::var_os("SLOPEWRIGHT_SHARED_DATA").map_or_else(
        || PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../../shared/data"),
        PathBuf::from,
    );
    let Ok(entries) = folder.join("cityjson").read_dir() else {
        eprintln!("skipped: the shared data is not here; SLOPEWRIGHT_SHARED_DATA names its folder");
        return Vec::new();
    };
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let terms =
        SurveyDocument::new("real").with_covering(CoveringDocument::new(covering)).with_rafters(mm(400.0));
    let mut jobs = Vec::new();
    for path in paths {
        let model = CityModel::read(&std::fs::read_to_string(path).unwrap(), &CityTerms::default()).unwrap();
        for building in model.buildings {
            if !building.surfaces.iter().any(|surface| surface.face == FaceKind::Slope) {
                continue;
            }
            // A surface too small or too steep for the covering is a fault of the building, and told as one.
            let taken = building.survey(&terms).check().and_then(|roof| TakeOff::of(&roof));
            let Ok(take_off) = taken else { continue };
            let of_slope = |slope: &slopewright::takeoff::SlopeTakeOff| {
                take_off.batten_job_of(&slope.layout.slope, Rules::standard())
            };
            jobs.extend(take_off.slopes.iter().filter_map(of_slope).filter(|job| !job.rows.is_empty()));
        }
    }
    jobs
}

/// The rows as a list without the joint rule: rows longer than every bar are whole bars and a rest.
fn list_of(job: &BattenJob) -> CuttingJob {
    let longest = job.stock.iter().map(|stock| stock.length.m()).fold(0.0, f64::max);
    let mut pieces = Vec::new();
    for (from, to) in job.rows.iter().flat_map(|row| &row.runs) {
        let mut rest = to.m() - from.m();
        while rest > longest {
            pieces.push(longest);
            rest -= longest;
        }
        pieces.push(rest);
    }
    CuttingJob {
        pieces: pieces
            .into_iter()
            .filter(|length| *length > 0.001)
            .map(|length| Piece { length: m(length), count: 1, label: String::new() })
            .collect(),
        stock: job.stock.clone(),
        offcuts: Vec::new(),
        kerf: job.kerf,
        least_offcut: mm(0.0),
    }
}

/// First fit, longest piece first, by hand: how many bars it opens.
fn first_fit(list: &CuttingJob) -> usize {
    let room = list.stock[0].length.mm() + list.kerf.mm() + 1e-6;
    let mut pieces: Vec<f64> = list.pieces.iter().map(|piece| piece.length.mm() + list.kerf.mm()).collect();
    pieces.sort_by(|a, b| b.total_cmp(a));
    let mut free: Vec<f64> = Vec::new();
    for piece in pieces {
        match free.iter_mut().find(|free| **free >= piece) {
            Some(free) => *free -= piece,
            None => free.push(room - piece),
        }
    }
    free.len()
}

#[test]
fn real_slopes_keep_the_rule_and_their_lists_are_proved() {
    let every = if std::env::var_os("SLOPEWRIGHT_FULL").is_some() { 1 } else { 7 };
    for covering in ["plain-tile-265x165", "interlocking-420x330"] {
        let usual: Vec<BattenJob> = jobs(covering).into_iter().step_by(every).collect();
        if usual.is_empty() {
            return;
        }
        let one = |job: &BattenJob| BattenJob { stock: vec![StockLength::of(m(4.8))], ..job.clone() };
        let single: Vec<BattenJob> = usual.iter().map(one).collect();
        for (stock, jobs) in [("the usual lengths", &usual), ("4.8 m alone", &single)] {
            plans(covering, stock, jobs);
        }
        lists(covering, &single);
    }
}

fn plans(covering: &str, stock: &str, jobs: &[BattenJob]) {
    let (mut unjointed, mut jointed, mut exceptions, mut runs) = (Gaps::default(), Gaps::default(), 0, 0);
    for job in jobs {
        let plan = lay_battens(job).unwrap();
        let wrong = checker::faults(job, &plan);
        assert!(wrong.is_empty(), "{wrong:?}");
        unjointed.add(plan.cutting.value, plan.bound);
        jointed.add(plan.cutting.value, plan.jointed_bound);
        let all = plan.rows.iter().flat_map(|row| &row.runs);
        runs += all.clone().count();
        exceptions += all.filter(|run| run.exception.is_some()).count();
    }
    eprintln!(
        "{covering}, {} real slopes, {stock}: over the bound {}; over the bound with joints {}; {exceptions} of {runs} \
         runs cannot keep the rule",
        jobs.len(),
        unjointed.words(),
        jointed.words()
    );
    if stock != "4.8 m alone" {
        assert!(unjointed.at(50) <= 0.03, "{}", unjointed.words());
    }
}

fn lists(covering: &str, jobs: &[BattenJob]) {
    let (mut proved, mut first_fit_best, mut saved, mut bought) = (0, 0, 0, 0);
    let mut times = Vec::new();
    for job in jobs {
        let list = list_of(job);
        let begun = std::time::Instant::now();
        let plan = cut(&list).unwrap();
        times.push(begun.elapsed().as_secs_f64() * 1000.0);
        let by_hand = first_fit(&list);
        assert!(plan.bars.len() <= by_hand, "{} bars, first fit {by_hand}", plan.bars.len());
        proved += usize::from(plan.proved);
        // Where first fit meets the proved bound, nothing is better.
        first_fit_best += usize::from(plan.bound == Decimal::from(by_hand as u64));
        saved += by_hand - plan.bars.len();
        bought += plan.bars.len();
    }
    times.sort_by(f64::total_cmp);
    let number = jobs.len();
    eprintln!(
        "{covering}, {number} real lists without the joint rule, 4.8 m alone: {proved} proved, median {:.2} ms; first fit \
         the least possible on {first_fit_best}; exact cutting saves {saved} of {} bars",
        times[number / 2],
        bought + saved
    );
    assert!(proved * 100 >= number * 95, "{proved} of {number}");
}
