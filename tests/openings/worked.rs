//! The roof that is worked by hand in the docs: the page's survey, and every row of its tables, against a take-off.
//!
//! The figures on the page were worked out on paper, apart from this library.

use slopewright::{SurveyDocument, TakeOff};

const PAGE: &str = include_str!("../../docs/worked-roof.md");

/// The page gives lengths and areas to four decimals at the most, and rounds what it adds.
const WITHIN: f64 = 6e-4;

fn cells(row: &str) -> Vec<&str> {
    row.trim().trim_matches('|').split('|').map(str::trim).collect()
}

#[test]
fn the_page_says_what_the_library_counts() {
    let survey = PAGE.split("```toml").nth(1).unwrap().split("```").next().unwrap();
    let take_off = TakeOff::of(&SurveyDocument::from_toml(survey).unwrap().check().unwrap()).unwrap();
    let lines = take_off.lines();
    let mut checked = 0;
    let mut is_result = false;
    for row in PAGE.lines() {
        if !row.starts_with('|') {
            is_result = false;
            continue;
        }
        let row = cells(row);
        if row[0] == "where" {
            assert_eq!(row, ["where", "item", "count", "m", "m2"]);
            is_result = true;
            continue;
        }
        if !is_result || row[0].starts_with("---") {
            continue;
        }
        let [place, item, count, length, area] = row[..] else { panic!("{row:?}") };
        let slope = if place == "all" { "" } else { place };
        let found = lines.iter().find(|line| line.slope == slope && line.item == item);
        let names =
            || lines.iter().filter(|line| line.slope == slope).map(|line| &line.item).collect::<Vec<_>>();
        let found = found.unwrap_or_else(|| panic!("no {item:?} in {place}: {:?}", names()));
        if !count.is_empty() {
            assert_eq!(found.count, Some(count.parse().unwrap()), "{place}: {item}");
        }
        for (text, ours) in [(length, found.length_m), (area, found.area_m2)] {
            if !text.is_empty() {
                let by_hand: f64 = text.parse().unwrap();
                assert!(
                    (ours.unwrap() - by_hand).abs() < WITHIN,
                    "{place}: {item}: {ours:?} is not {by_hand}"
                );
            }
        }
        assert!(!(count.is_empty() && length.is_empty() && area.is_empty()), "{item} says nothing");
        checked += 1;
    }
    assert!(checked >= 40, "only {checked} rows were checked");
}

/// The tables of courses on the page against the take-off's: whole and cut, course by course.
#[test]
fn the_page_counts_the_courses_as_the_library_does() {
    let survey = PAGE.split("```toml").nth(1).unwrap().split("```").next().unwrap();
    let take_off = TakeOff::of(&SurveyDocument::from_toml(survey).unwrap().check().unwrap()).unwrap();
    let tables: Vec<&str> = PAGE.split("| course | left hip").skip(1).collect();
    assert_eq!(tables.len(), 2);
    for (table, slope) in tables.into_iter().zip(["hall rear", "hall left"]) {
        let of = take_off.slopes.iter().find(|of| of.layout.slope == slope).unwrap();
        let rows: Vec<Vec<&str>> =
            table.lines().skip(2).take_while(|row| row.starts_with('|')).map(cells).collect();
        assert_eq!(rows.len(), of.units.courses.len());
        for (row, course) in rows.iter().zip(&of.units.courses) {
            let whole = row[3].rsplit(' ').next().unwrap().parse().unwrap_or(0);
            let (laid, cut): (u32, u32) = (row[4].parse().unwrap(), row[5].parse().unwrap());
            assert_eq!((course.whole, course.laid(), course.cut), (whole, laid, cut), "{slope}: {row:?}");
        }
    }
}
