//! The speed of a take-off, beside a plain way to the same counts in the same run: clipping tile by tile.
//!
//! `cargo bench -p slopewright`. Read the ratios, not the times: the machine drifts.
#![expect(clippy::expect_used, reason = "a bench whose input is not sound has nothing to measure")]

use std::sync::OnceLock;

use slopewright::quantity::{Pitch, m, mm};
use slopewright::rules::Rules;
use slopewright::setout::Layout;
use slopewright::setout::cells::{LAID_OVER, Positions, Sweep, WHOLE_FROM};
use slopewright::survey::outline::{Point, Ring, signed_area};
use slopewright::survey::{CoveringDocument, Roof, SlopeDocument};
use slopewright::{SurveyDocument, TakeOff};

fn main() {
    // The catalogue and the rules are read once in a program's life.
    demo_roof();
    divan::main();
}

fn demo_roof() -> &'static Roof {
    static ROOF: OnceLock<Roof> = OnceLock::new();
    ROOF.get_or_init(|| {
        let text = include_str!("../docs/examples/reading-room.toml");
        SurveyDocument::from_toml(text).and_then(|survey| survey.check()).expect("the demo survey is sound")
    })
}

fn demo_layouts() -> Vec<Layout> {
    TakeOff::of(demo_roof())
        .expect("the demo roof can be set out")
        .slopes
        .into_iter()
        .map(|s| s.layout)
        .collect()
}

/// From the text of the survey to the numbers.
#[divan::bench]
fn demo_from_text() -> TakeOff {
    let text = divan::black_box(include_str!("../docs/examples/reading-room.toml"));
    let roof =
        SurveyDocument::from_toml(text).and_then(|survey| survey.check()).expect("the demo survey is sound");
    TakeOff::of(&roof).expect("the demo roof can be taken off")
}

/// From the checked roof to the numbers.
#[divan::bench]
fn demo_take_off() -> TakeOff {
    TakeOff::of(divan::black_box(demo_roof())).expect("the demo roof can be taken off")
}

/// The same with lines, working and findings in words.
#[divan::bench]
fn demo_take_off_in_words() -> usize {
    let take_off = demo_take_off();
    take_off.lines().len() + take_off.findings().len()
}

/// A roof of two slopes whose battens are not cut from stock, so that its words are nothing but words.
fn plain_roof() -> &'static Roof {
    static ROOF: OnceLock<Roof> = OnceLock::new();
    ROOF.get_or_init(|| {
        let slope = |name| {
            SlopeDocument::rectangle(name, m(9.2), m(5.1), Pitch::from_degrees(40.0).expect("a pitch"))
        };
        SurveyDocument::new("bench")
            .with_covering(CoveringDocument::new("plain-tile-265x165"))
            .with_rafters(mm(400.0))
            .with_underlay("membrane-1x50")
            .with_slope(slope("front"))
            .with_slope(slope("rear"))
            .check()
            .expect("the roof is sound")
    })
}

/// The numbers of that roof. What is taken off is given back within the time, here and below.
#[divan::bench]
fn plain_take_off() -> usize {
    taken_off().slopes.len()
}

/// The same with lines and their working.
#[divan::bench]
fn plain_take_off_in_words() -> usize {
    taken_off().lines().len()
}

fn taken_off() -> TakeOff {
    divan::black_box(TakeOff::of(divan::black_box(plain_roof())).expect("the roof can be taken off"))
}

/// The battens of the demo roof cut from stock, with joints over rafters and the bound.
#[divan::bench]
fn demo_battens(bencher: divan::Bencher<'_, '_>) {
    let take_off = demo_take_off();
    bencher.bench(|| take_off.cut_battens(Rules::standard()).expect("the demo roof has rafters"));
}

/// Whole and cut positions of the demo roof by the sweep.
#[divan::bench]
fn count_by_sweep(bencher: divan::Bencher<'_, '_>) {
    let layouts = demo_layouts();
    bencher.bench(|| layouts.iter().map(by_sweep).fold((0, 0), added));
}

/// The same by clipping the region to each cell.
#[divan::bench]
fn count_tile_by_tile(bencher: divan::Bencher<'_, '_>) {
    let layouts = demo_layouts();
    let sweep = layouts.iter().map(by_sweep).fold((0, 0), added);
    assert_eq!(layouts.iter().map(tile_by_tile).fold((0, 0), added), sweep, "the two ways disagree");
    bencher.bench(|| layouts.iter().map(tile_by_tile).fold((0, 0), added));
}

fn added(one: (u32, u32), other: (u32, u32)) -> (u32, u32) {
    (one.0 + other.0, one.1 + other.1)
}

fn by_sweep(layout: &Layout) -> (u32, u32) {
    let mut sweep = Sweep::new(&layout.covered);
    layout
        .courses
        .iter()
        .map(|course| Positions::of(sweep.course(course.band)))
        .fold((0, 0), |sum, positions| added(sum, (positions.whole, positions.cut)))
}

fn tile_by_tile(layout: &Layout) -> (u32, u32) {
    let (low, high) = layout.covered.bounds();
    let mut count = (0, 0);
    for course in &layout.courses {
        let band = course.band;
        let mut left = band.origin + ((low.u - band.origin) / band.width).floor() * band.width;
        while left < high.u {
            let share = layout.covered.rings().iter().map(|ring| clipped_area(ring, left, band)).sum::<f64>()
                / (band.width * (band.high - band.low));
            if share >= WHOLE_FROM {
                count.0 += 1;
            } else if share > LAID_OVER {
                count.1 += 1;
            }
            left += band.width;
        }
    }
    count
}

/// The area of a ring inside one cell: clipped by the cell's four sides, one after the other.
fn clipped_area(ring: &Ring, left: f64, band: slopewright::setout::cells::Band) -> f64 {
    let sides: [fn(Point) -> f64; 4] = [|p| p.u, |p| -p.u, |p| p.v, |p| -p.v];
    let limits = [left, -(left + band.width), band.low, -band.high];
    let mut corners = ring.clone();
    for (height, limit) in sides.iter().zip(limits) {
        let mut kept = Ring::with_capacity(corners.len() + 2);
        for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            let (above_a, above_b) = (height(*a) - limit, height(*b) - limit);
            if above_a >= 0.0 {
                kept.push(*a);
            }
            if (above_a >= 0.0) != (above_b >= 0.0) {
                kept.push(a.plus(b.minus(*a), above_a / (above_a - above_b)));
            }
        }
        corners = kept;
    }
    signed_area(&corners)
}
