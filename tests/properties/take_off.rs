//! The take-off adds up: units, battens, underlay and rolls, and its tables and lines say the same.

use proptest::prelude::*;
use slopewright::TakeOff;
use slopewright::output::{Table, Values};
use slopewright::setout::CourseKind;
use slopewright::survey::Slope;
use slopewright::survey::outline::{Point, Ring};

use crate::cases;
use crate::sketch::{layout, sketch};

/// A roof of two to four slopes.
fn roof() -> impl Strategy<Value = Option<TakeOff>> {
    prop::collection::vec(sketch(), 1..4).prop_map(|sketches| {
        let mut text = sketches[0].toml(crate::sketch::in_mm);
        for (at, sketch) in sketches.iter().enumerate().skip(1) {
            let other = sketch.toml(crate::sketch::in_mm);
            let slope = &other[other.find("[[slope]]")?..];
            text.push_str(&slope.replacen("name = \"s\"", &format!("name = \"s{at}\""), 1));
        }
        let survey = slopewright::SurveyDocument::from_toml(&text).unwrap();
        survey.check().and_then(|roof| TakeOff::of(&roof)).ok()
    })
}

fn sum_of(table: &Table, name: &str, row_is_wanted: impl Fn(usize) -> bool) -> u64 {
    let column = table.columns.iter().find(|column| column.name == name).expect("the column is there");
    let Values::Count(values) = &column.values else { panic!("{name} does not count") };
    values.iter().enumerate().filter(|(row, _)| row_is_wanted(*row)).filter_map(|(_, value)| *value).sum()
}

fn texts<'a>(table: &'a Table, name: &str) -> &'a [String] {
    let column = table.columns.iter().find(|column| column.name == name).expect("the column is there");
    let Values::Text(values) = &column.values else { panic!("{name} is no text") };
    values
}

/// How far a point lies outside the slope or inside one of its openings; 0 on the deck. By the winding number, which
/// the library does not use.
fn off_the_deck(slope: &Slope, p: Point) -> f64 {
    let outline = slope.outline();
    let holes = slope.openings.iter().map(|opening| &opening.outline);
    let outside = if winds(&outline, p) == 0 { distance(&outline, p) } else { 0.0 };
    holes.filter(|hole| winds(hole, p) != 0).map(|hole| distance(hole, p)).fold(outside, f64::max)
}

fn sides(ring: &Ring) -> impl Iterator<Item = (Point, Point)> + '_ {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

fn winds(ring: &Ring, p: Point) -> i32 {
    let turned: f64 = sides(ring)
        .map(|(a, b)| {
            let (a, b) = (a.minus(p), b.minus(p));
            a.cross(b).atan2(a.dot(b))
        })
        .sum();
    (turned / core::f64::consts::TAU).round() as i32
}

fn distance(ring: &Ring, p: Point) -> f64 {
    sides(ring)
        .map(|(a, b)| {
            let along = b.minus(a);
            let share = (p.minus(a).dot(along) / along.dot(along)).clamp(0.0, 1.0);
            p.minus(a.plus(along, share)).length()
        })
        .fold(f64::INFINITY, f64::min)
}

proptest! {
    #![proptest_config(cases(100))]

    #[test]
    fn no_unit_is_made_or_lost(take_off in roof()) {
        let Some(take_off) = take_off else { return Err(TestCaseError::reject("nothing to lay")) };
        for slope in &take_off.slopes {
            for (course, units) in slope.layout.courses.iter().zip(&slope.units.courses) {
                // A tile-and-a-half stands in the place of two.
                let places = units.whole + units.cut + 2 * units.tile_and_half;
                prop_assert_eq!(places, units.positions.laid(), "course {}", course.number);
                prop_assert!(units.whole <= units.positions.whole && units.cut <= units.positions.cut);
                prop_assert!(units.tile_and_half_cut <= units.tile_and_half && units.at_edges <= units.positions.laid());
                prop_assert!(units.narrow <= units.cut);
                if course.kind != CourseKind::Field {
                    prop_assert_eq!(units.tile_and_half, 0);
                }
            }
        }
    }

    #[test]
    fn lines_tables_and_slopes_say_the_same(take_off in roof()) {
        let Some(take_off) = take_off else { return Err(TestCaseError::reject("nothing to lay")) };
        let lines = take_off.lines();
        let courses = Table::courses(&take_off);
        for slope in &take_off.slopes {
            let name = slope.layout.slope.as_str();
            let line = |item: &str| {
                lines.iter().find(|line| line.slope == name && line.item.starts_with(item))
            };
            let of = |kind: CourseKind| {
                let (slopes, kinds) = (texts(&courses, "slope"), texts(&courses, "kind"));
                move |row: usize| slopes[row] == name && kinds[row] == kind.word()
            };
            let sum = |column: &str, kind| sum_of(&courses, column, of(kind));
            let count = |item: &str| line(item).and_then(|line| line.count).unwrap_or(0);
            prop_assert_eq!(count("whole units"), sum("whole_count", CourseKind::Field));
            prop_assert_eq!(count("units to be cut"), sum("cut_count", CourseKind::Field));
            prop_assert_eq!(count("tile-and-a-half units"), sum("tile_and_half_count", CourseKind::Field));
            let short = |kind| sum("whole_count", kind) + sum("cut_count", kind);
            prop_assert_eq!(count("under-eaves units"), short(CourseKind::UnderEaves));
            prop_assert_eq!(count("top units"), short(CourseKind::Top));
            let laid = u64::from(slope.units.laid());
            let all: u64 = [
                "whole units", "units to be cut", "tile-and-a-half units", "under-eaves units", "top units",
            ].into_iter().map(count).sum();
            prop_assert_eq!(laid, all);

            let rows = &slope.battens.rows;
            let length: f64 = rows.iter().map(slopewright::takeoff::BattenRow::length_m).sum();
            let battens = line("battens").expect("a line of battens");
            prop_assert!((battens.length_m.unwrap() - length).abs() < 1e-9);
            let says_rows = battens.working.numbers.starts_with(&format!("{} rows", rows.len()));
            prop_assert!(says_rows, "{}", battens.working.numbers);
            let crossings: u64 = rows.iter().filter_map(|row| row.crossings).map(u64::from).sum();
            prop_assert_eq!(count("batten nails"), crossings);

            let fixings = slope.fixings;
            prop_assert!(u64::from(fixings.in_full_courses + fixings.at_edges) <= laid);
        }
        // Each line's own working ends in its own figure.
        for line in &lines {
            if let Some(count) = line.count
                && line.length_m.is_none()
            {
                prop_assert_eq!(&line.working.result, &count.to_string(), "{}", line.item);
            }
        }
    }

    #[test]
    fn battens_lie_on_the_deck(take_off in roof()) {
        let Some(take_off) = take_off else { return Err(TestCaseError::reject("nothing to lay")) };
        for slope in &take_off.slopes {
            for row in &slope.battens.rows {
                prop_assert!(row.to_m > row.from_m);
                for share in [0.0_f64, 0.1, 0.37, 0.5, 0.73, 1.0] {
                    let p = Point::new(share.mul_add(row.to_m - row.from_m, row.from_m), row.at_m);
                    let off = off_the_deck(&slope.slope, p);
                    prop_assert!(off < 2e-4, "{row:?} lies {off} m off the deck at {p:?}");
                }
            }
        }
    }

    #[test]
    fn underlay_covers_the_deck_and_comes_off_the_rolls(take_off in roof()) {
        let Some(take_off) = take_off else { return Err(TestCaseError::reject("nothing to lay")) };
        let choice = take_off.underlay.as_ref().expect("the sketch asks for it");
        let (width, roll) = (choice.underlay.width.value.value, choice.underlay.length.value.value);
        let (mut used, mut rolls) = (0.0, 0);
        for slope in &take_off.slopes {
            let underlay = slope.underlay.as_ref().expect("the sketch asks for it");
            let laid: f64 = underlay.runs.iter().map(|run| run.length_m() * width).sum();
            prop_assert!(underlay.net_area_m2 <= laid + 1e-6);
            let lengths: f64 = underlay.runs.iter().map(slopewright::takeoff::UnderlayRun::length_m).sum();
            let laps = f64::from(underlay.end_laps) * underlay.laps.end_m;
            prop_assert!((underlay.length_m - lengths - laps).abs() < 1e-6);
            used += underlay.length_m + underlay.waste_m;
            // What is turned up and laid round openings comes off the same rolls.
            used += underlay.round_openings_m() + f64::from(underlay.strip_laps) * underlay.laps.end_m;
            rolls += underlay.rolls;
            // Every place of the deck lies under some run.
            let deck = &layout(&take_off).deck;
            prop_assert!(!deck.is_empty());
            let (low, high) = slope.layout.deck.bounds();
            for (across, up) in (0..12).flat_map(|across| (0..12).map(move |up| (across, up))) {
                let at = |step: i32, from: f64, to: f64| (f64::from(step) + 0.5).mul_add((to - from) / 12.0, from);
                let p = Point::new(at(across, low.u, high.u), at(up, low.v, high.v));
                if winds(&slope.slope.outline(), p) == 0 || off_the_deck(&slope.slope, p) > 0.0 {
                    continue;
                }
                let under = underlay.runs.iter().any(|run| {
                    (run.low_m - 1e-3..=run.low_m + width + 1e-3).contains(&p.v)
                        && (run.from_m - 1e-3..=run.to_m + 1e-3).contains(&p.u)
                });
                prop_assert!(under, "{p:?} of {} has no underlay", slope.layout.slope);
            }
        }
        prop_assert!(rolls <= take_off.rolls);
        let left = take_off.roll_left_m;
        prop_assert!(
            (f64::from(take_off.rolls) * roll - used - left).abs() < 1e-3,
            "{} rolls, {used} m used, {left} m left", take_off.rolls
        );
    }
}
