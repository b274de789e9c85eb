//! The speed of batches on real slopes, printed as slopes for each second.
//!
//! `cargo bench -p slopewright --bench estates`, with `SLOPEWRIGHT_SHARED_DATA` naming the folder of the shared city
//! models; without them it makes do with slopes of its own. Read the ratios, not the times: the machine drifts.
//!
//! `-- --rounds 20 interlocking Units` takes the slopes off so many times and prints nothing: instructions can be counted.
#![expect(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a bench prints, and has nothing to measure without input"
)]

use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use slopewright::SurveyDocument;
use slopewright::batch::{Extent, Measures, Room, Terms, on_threads, take_off, take_off_row};
use slopewright::city::{CityModel, CityTerms, FaceKind};
use slopewright::rules::Rules;
use slopewright::setout::cells::Sweep;
use slopewright::setout::{Layout, Region};
use slopewright::survey::CoveringDocument;
use slopewright::survey::outline::Point;
use slopewright::takeoff::SlopeUnits;

fn main() {
    // `cargo bench -- --test` only asks whether it runs.
    let is_test = std::env::args().any(|argument| argument == "--test");
    let time = if is_test { Duration::from_millis(1) } else { Duration::from_secs(2) };
    let (slopes, whence) = slopes();
    if let Some((rounds, key, extent)) = counted_work() {
        let (terms, mut room) = (terms(key), Room::default());
        for slope in slopes.iter().cycle().take(rounds * slopes.len()) {
            black_box(take_off_row(black_box(slope), &terms, extent, &mut room).is_ok());
        }
        return;
    }
    println!("{} slopes {whence}", slopes.len());
    for key in COVERINGS {
        let terms = terms(key);
        let told = |what: &str, (rate, courses): (f64, f64)| {
            let ns = 1e9 / (rate * courses);
            println!("{key:22} {what:9} {rate:>10.0} slopes/s on one core, {ns:.1} ns a course");
        };
        told("counting", counting_alone(&slopes, &terms, time));
        for extent in [Extent::Units, Extent::Whole] {
            told(&format!("{extent:?}"), one_core(&slopes, &terms, extent, time));
        }
    }
    let terms = terms("plain-tile-265x165");
    let many: Vec<Measures> =
        slopes.iter().cycle().take(slopes.len() * if is_test { 1 } else { 600 }).cloned().collect();
    let [one, two] = [1, 2].map(|threads| {
        let rate = || {
            let start = Instant::now();
            let outcomes = on_threads(Some(threads), || take_off(&many, &terms, Extent::Whole));
            let count = outcomes.expect("threads can be started").len();
            count_of(count) / start.elapsed().as_secs_f64()
        };
        (0..3).map(|_| rate()).fold(0.0, f64::max)
    });
    println!("two cores are {:.2} times one ({two:.0} and {one:.0} slopes/s)", two / one);
    for (edges, lean) in [("upright", 0.0), ("leaning", HIP)] {
        for courses in [10_u32, 100, 1000, 10_000] {
            let (ns, twice) =
                (per_slope(courses, courses, lean, time), per_slope(2 * courses, courses, lean, time));
            let [all, further] = [ns, twice - ns].map(|ns| ns / f64::from(courses));
            println!(
                "{courses:>6} courses between {edges} edges: {all:.1} ns a course, {further:.1} ns each for as many more"
            );
        }
    }
}

const COVERINGS: [&str; 2] = ["plain-tile-265x165", "interlocking-420x330"];

/// What `--rounds` asks for: how often, the covering by a part of its key, and how much of the take-off.
fn counted_work() -> Option<(usize, &'static str, Extent)> {
    let mut arguments = std::env::args().skip_while(|argument| argument != "--rounds").skip(1);
    let rounds = arguments.next()?.parse().expect("--rounds is followed by a number");
    let words: Vec<String> = arguments.collect();
    let key = COVERINGS.into_iter().find(|key| words.iter().any(|word| key.contains(word.as_str())));
    let extent = if words.iter().any(|word| word == "Units") { Extent::Units } else { Extent::Whole };
    Some((rounds, key.unwrap_or(COVERINGS[0]), extent))
}

fn terms(key: &str) -> Terms {
    SurveyDocument::new("bench")
        .with_covering(CoveringDocument::new(key))
        .with_rafters(slopewright::quantity::mm(400.0))
        .with_underlay("membrane-1x50")
        .check_terms()
        .expect("the terms of the bench are sound")
}

/// Slopes each second, and the courses of the mean slope.
fn one_core(slopes: &[Measures], terms: &Terms, extent: Extent, time: Duration) -> (f64, f64) {
    let mut room = Room::default();
    let mut courses = 0_u64;
    for slope in slopes {
        let totals =
            take_off_row(slope, terms, extent, &mut room).expect("the slopes of the bench are sound");
        courses += u64::from(totals.courses);
    }
    let seconds = best_of(time, courses, || {
        for slope in slopes {
            black_box(take_off_row(black_box(slope), terms, extent, &mut room).is_ok());
        }
    });
    (count_of(slopes.len()) / seconds, mean(courses, slopes.len()))
}

/// The same for the counting of units alone, with the slopes checked and set out before.
fn counting_alone(slopes: &[Measures], terms: &Terms, time: Duration) -> (f64, f64) {
    let laying = terms.laying("").expect("the terms of the bench have a covering");
    let layouts: Vec<Layout> = slopes
        .iter()
        .map(|slope| {
            let slope = slope.slope(laying).expect("the slopes of the bench are sound");
            Layout::new(&slope, terms.roof.exposure, Rules::standard()).expect("they can be set out")
        })
        .collect();
    let courses = layouts.iter().map(|layout| layout.courses.len() as u64).sum();
    let mut sweep = Sweep::new(&Region::default());
    let mut room = Vec::new();
    let seconds = best_of(time, courses, || {
        for layout in &layouts {
            let units = SlopeUnits::count_in(black_box(layout), &mut sweep, core::mem::take(&mut room));
            room = black_box(units).courses;
        }
    });
    (count_of(layouts.len()) / seconds, mean(courses, layouts.len()))
}

/// The seconds that work takes once: the best of many stretches of some milliseconds each, since others share the machine.
fn best_of(time: Duration, courses: u64, mut work: impl FnMut()) -> f64 {
    let rounds = u32::try_from(50_000 / courses.max(1)).unwrap_or(1).max(1);
    let end = Instant::now() + time;
    let mut best = f64::INFINITY;
    while best.is_infinite() || Instant::now() < end {
        let start = Instant::now();
        (0..rounds).for_each(|_| work());
        best = best.min(start.elapsed().as_secs_f64() / f64::from(rounds));
    }
    best
}

#[expect(clippy::cast_precision_loss, reason = "counts of a bench are far below 2^53")]
const fn count_of(items: usize) -> f64 {
    items as f64
}

#[expect(clippy::cast_precision_loss, reason = "counts of a bench are far below 2^53")]
fn mean(sum: u64, items: usize) -> f64 {
    sum as f64 / count_of(items)
}

/// How far a hip leans in for each metre up a slope of 45 degrees, where the other one has the same pitch.
const HIP: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// Nanoseconds for a slope with so many courses between two edges that lean in so far for each metre up. The gauge is that
/// of a slope with `like` courses.
fn per_slope(courses: u32, like: u32, lean: f64, time: Duration) -> f64 {
    // No slope is longer than some hundred metres; a finer gauge gives it the courses.
    let gauge = if like > 1000 { 0.01 } else { 0.1 };
    let rafter = gauge * f64::from(courses);
    let (narrow, out) = (4.0, lean * rafter);
    let corners = [(0.0, 0.0), (narrow + 2.0 * out, 0.0), (narrow + out, rafter), (out, rafter)];
    let corners = corners.iter().map(|(u, v)| Point::new(*u, *v)).collect();
    let slope = Measures { corners, pitch_deg: Some(45.0), gauge_m: Some(gauge), ..Measures::default() };
    let (rate, _) = one_core(&[slope], &terms("plain-tile-265x165"), Extent::Units, time / 8);
    1e9 / rate
}

fn slopes() -> (Vec<Measures>, &'static str) {
    let stated = std::env::var_os("SLOPEWRIGHT_SHARED_DATA").map(PathBuf::from);
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let beside = here.ancestors().map(|above| above.join("shared/data"));
    let folder =
        stated.into_iter().chain(beside).map(|place| place.join("cityjson")).find(|place| place.is_dir());
    let Some(folder) = folder else { return (made_up(), "of the bench's own") };
    let mut slopes = Vec::new();
    for entry in folder.read_dir().expect("the folder can be read") {
        let path = entry.expect("the folder can be read").path();
        let text = std::fs::read_to_string(path).expect("the model can be read");
        let model = CityModel::read(&text, &CityTerms::default()).expect("the model is sound");
        for (_, surface) in model.surfaces().filter(|(_, surface)| surface.face == FaceKind::Slope) {
            if !(20.0..=70.0).contains(&surface.pitch_deg) {
                continue;
            }
            let mut slope = Measures { pitch_deg: Some(surface.pitch_deg), ..Measures::default() };
            slope.corners.clone_from(&surface.corners);
            slope.openings.clone_from(&surface.openings);
            surface.edges.iter().for_each(|edge| slope.push_role(edge.role.word()));
            slopes.push(slope);
        }
    }
    (slopes, "of the shared city models")
}

fn made_up() -> Vec<Measures> {
    (0..100)
        .map(|number| {
            let wide = 4.0 + 0.1 * f64::from(number);
            let rafter = 3.0 + 0.05 * f64::from(number);
            let corners = [(0.0, 0.0), (wide, 0.0), (wide - 1.0, rafter), (1.5, rafter)];
            let corners = corners.iter().map(|(u, v)| Point::new(*u, *v)).collect();
            Measures { corners, pitch_deg: Some(30.0 + 0.2 * f64::from(number)), ..Measures::default() }
        })
        .collect()
}
