//! The largest inputs that the limits allow, or the most faults that fit into them.

use std::fmt::Write as _;

use slopewright::batch::{Extent, Measures, Room, take_off_row};
use slopewright::city::{CityModel, CityTerms};
use slopewright::drawing::DrawingOptions;
use slopewright::order::PriceList;
use slopewright::output::TakeOffDocument;
use slopewright::quantity::limit;
use slopewright::salvage::{Need, Salvage, Tally};
use slopewright::survey::outline::Point;
use slopewright::{Error, FaultKind, Result, SurveyDocument, TakeOff};

const HEAD: &str = "slopewright = 1\ncovering.format = \"plain-tile-265x165\"\nbattens.rafter_spacing = \"600 mm\"\n\
                    underlay.format = \"membrane-1x50\"\n";

fn survey(text: &str) -> Result<TakeOff> {
    TakeOff::of(&SurveyDocument::from_toml(text)?.check()?)
}

fn faults(outcome: Result<TakeOff>) -> usize {
    outcome.err().map_or(0, |error: Error| error.faults().count())
}

/// As many of a text as fill a document.
fn filled(head: &str, each: impl Fn(usize) -> String) -> String {
    let mut text = head.to_owned();
    for at in 0.. {
        let next = each(at);
        if !limit::document_size.holds_count(text.len() + next.len()) {
            return text;
        }
        text.push_str(&next);
    }
    text
}

#[test]
fn a_document_full_of_unknown_fields() {
    let text = filled("slopewright = 1\n", |at| format!("overhangs{at} = 1\n"));
    assert_eq!(faults(survey(&text)), 1001);
    let own = filled("[[catalogue.nail]]\n", |at| format!("length{at} = 1\n"));
    assert_eq!(faults(survey(&own)), 1001);
    let salvage = filled("slopewright = 1\n", |at| format!("heap{at} = 1\n"));
    assert_eq!(Salvage::from_toml(&salvage).unwrap_err().faults().count(), 1001);
}

#[test]
fn a_document_full_of_scribbles() {
    // Every edge crosses nearly every other.
    let ring: Vec<String> =
        (0..1000).map(|at| format!("[\"{} m\",\"{} m\"]", at * 389 % 400, at * 7 % 11)).collect();
    let slope = format!("[[slope]]\nshape=\"outline\"\npitch=\"40 deg\"\npoints=[{}]\n", ring.join(","));
    assert_eq!(faults(survey(&filled(HEAD, |_| slope.clone()))), 1001);
}

#[test]
fn as_many_slopes_as_are_allowed() {
    let text = filled(HEAD, |at| {
        if at >= 1000 {
            return "#".repeat(4_000_000);
        }
        format!(
            "[[slope]]\nname=\"{at}\"\nshape=\"rectangle\"\npitch=\"40 deg\"\neaves=\"12 m\"\nrafter=\"9.3 m\"\n"
        )
    });
    let take_off = survey(&text).unwrap();
    assert_eq!(take_off.slopes.len(), 1000);
    let text = TakeOffDocument::of(&take_off).to_json().unwrap();
    assert!(text.len() < 60_000_000, "{}", text.len());
}

/// The finest gauge on the longest slopes: as many courses as a roof may have.
#[test]
fn as_many_courses_as_are_allowed() {
    let slopes = |rafter: &str| {
        let slope = format!(
            "[[slope]]\nshape=\"rectangle\"\npitch=\"40 deg\"\neaves=\"500 m\"\nrafter=\"{rafter}\"\n"
        );
        format!("{HEAD}covering.gauge = \"10 mm\"\n{}", slope.repeat(2))
    };
    // 499 m at no more than 10 mm, by hand: 49 900 courses and a few at the eaves and the top.
    let take_off = survey(&slopes("499 m")).unwrap();
    let courses: usize = take_off.slopes.iter().map(|slope| slope.layout.courses.len()).sum();
    assert!(courses > 99_000, "{courses}");
    let drawing =
        take_off.drawing(&take_off.slopes[0].layout.slope, &DrawingOptions::default(), &[]).unwrap();
    assert!(drawing.svg().len() < 40_000_000, "{}", drawing.svg().len());
    assert_eq!(
        survey(&slopes("500 m").replace("10 mm", "9.9 mm")).unwrap_err().kind(),
        FaultKind::LengthOutOfRange
    );
}

/// As many openings as a slope may have, each with as many corners as all of them may have.
fn pierced(corners_each: usize, more: &str) -> String {
    let mut text =
        format!("{HEAD}[[slope]]\nshape=\"rectangle\"\npitch=\"40 deg\"\neaves=\"450 m\"\nrafter=\"30 m\"\n");
    for at in 0..200 {
        let corner = |number: usize| {
            let turn = std::f64::consts::TAU * number as f64 / corners_each as f64;
            let [u, v] =
                [3.0 + f64::from(at % 100) * 4.4 + turn.cos(), 5.0 + f64::from(at / 100) * 12.0 + turn.sin()];
            format!("[\"{u:.4} m\",\"{v:.4} m\"]")
        };
        let ring: Vec<String> = (0..corners_each).map(corner).collect();
        writeln!(text, "[[slope.opening]]\npoints=[{}]\n{more}", ring.join(",")).unwrap();
    }
    text
}

#[test]
fn as_many_openings_and_corners_as_are_allowed() {
    let take_off = survey(&pierced(20, "")).unwrap();
    assert_eq!(take_off.slopes[0].slope.openings.len(), 200);
    let error = survey(&pierced(21, "")).unwrap_err();
    assert_eq!(error.kind(), FaultKind::TooManyCorners);
    assert!(error.to_string().contains("0 to 4000"), "{error}");
}

#[test]
fn openings_that_may_be_moved_to_very_many_places() {
    let moves = "fixed_point=true\nmay_move_up=\"1 m\"\nmay_move_left=\"1 m\"\nmove_step=\"1 mm\"\n";
    let take_off = survey(&pierced(4, moves)).unwrap();
    assert!(take_off.placing().iter().all(|placing| placing.too_many));
    // And as many as are tried just about, on one slope.
    let window = "[[slope.opening]]\nfrom_left=\"3 m\"\nfrom_eaves=\"2 m\"\nwidth=\"1 m\"\nheight=\"1 m\"\nmay_move_left=\"2 m\"\n\
                  may_move_up=\"1 m\"\nmove_step=\"10 mm\"\n";
    let text = format!(
        "{HEAD}[[slope]]\nshape=\"rectangle\"\npitch=\"40 deg\"\neaves=\"9 m\"\nrafter=\"6 m\"\n{window}"
    );
    let placing = survey(&text).unwrap().placing();
    // By hand: 201 places across, 101 up.
    assert!(!placing[0].too_many && placing[0].places == 201 * 101, "{placing:?}");
}

#[test]
fn a_row_with_everything_as_large_as_it_may_be() {
    let terms = SurveyDocument::from_toml(HEAD).unwrap().check_terms().unwrap();
    let teeth = (0..500).flat_map(|at| {
        let left = f64::from(at) * 0.99 - 249.0;
        [Point::new(left, if at == 0 { -250.0 } else { 200.0 }), Point::new(left + 0.5, 249.0)]
    });
    let mut corners: Vec<Point> = teeth.collect();
    corners.truncate(999);
    corners.push(Point::new(250.0, -250.0));
    let row = Measures { pitch_deg: Some(40.0), gauge_m: Some(0.01), corners, ..Measures::default() };
    let totals = take_off_row(&row, &terms, Extent::Whole, &mut Room::default()).unwrap();
    assert!(
        f64::from(totals.courses) <= limit::slope_length.most / limit::gauge.least + 3.0,
        "{}",
        totals.courses
    );
}

#[test]
fn a_tally_as_large_as_is_allowed() {
    let line = |at: usize| {
        let corrects = if at == 0 { String::new() } else { format!(",\"corrects\":\"k{}\"", at - 1) };
        format!("{{\"id\":\"k{at}\",\"unit\":\"plain whole\",\"grade\":\"sound\",\"count\":1{corrects}}}\n")
    };
    let mut text = String::new();
    // One chain of corrections: each line stands in the place of the one before.
    let mut lines = 0;
    while limit::tally_size.holds_count(text.len() + 100) {
        text.push_str(&line(lines));
        lines += 1;
    }
    let tally = Tally::read(&text).unwrap();
    assert_eq!(tally.entries().count(), lines);
    assert_eq!(tally.standing().unwrap().len(), 1);
    text.push_str(&" ".repeat(200));
    assert_eq!(Tally::recover(&text).faults[0].kind, FaultKind::TallyUnreadable);
}

#[test]
fn a_salvage_document_with_as_many_rows_as_are_allowed() {
    let text = |rows: usize| {
        let heap = "[[heaps]]\nunit = \"plain whole\"\ncounted = { by = \"sampled-stacks\", stacks = 29, per_stack = 40, loose = 40, \
                    inspected = 80, sound = 70 }\n";
        format!(
            "slopewright = 1\n[reckoning]\nbasis = {{ on = \"sure\", sureness = 0.95 }}\nhandling_loss = \"2 %\"\n{}",
            heap.repeat(rows)
        )
    };
    let salvage = Salvage::from_toml(&text(10_000)).unwrap();
    let needs: Vec<Need> =
        (0..10_000).map(|at| Need::new(format!("slope {at}"), "plain whole".parse().unwrap(), 700)).collect();
    let salvaged = salvage.reckon(&needs).unwrap();
    assert!(salvaged.shortages.len() <= 1);
    let error = Salvage::from_toml(&text(10_001)).unwrap_err();
    assert_eq!(error.kind(), FaultKind::SalvageUnreadable);
    assert!(error.to_string().contains("0 to 10000"), "{error}");
}

#[test]
fn a_price_list_as_large_as_is_allowed() {
    let mut text = "item,price\n".to_owned();
    (0..10_000).for_each(|at| writeln!(text, "item {at},1.25").unwrap());
    assert_eq!(PriceList::read_csv("EUR", &text).unwrap().rows.len(), 10_000);
    text.push_str("one more,1\n");
    assert_eq!(PriceList::read_csv("EUR", &text).unwrap_err().kind(), FaultKind::CountTooLarge);
    let wide: String = (0..400_000).map(|at| format!("c{at},")).collect();
    let error = PriceList::read_csv("EUR", &wide).unwrap_err();
    assert!(error.to_string().contains("0 to 256"), "{error}");
    let large = " ".repeat(4_000_001);
    assert_eq!(PriceList::read_csv("EUR", &large).unwrap_err().kind(), FaultKind::PriceUnreadable);
}

/// A fifth of what is allowed: the memory that is needed is about 25 times the text, and grows with it.
#[test]
fn a_large_city_model() {
    let vertices: Vec<String> =
        (0..700_000).map(|at| format!("[{},{},{}]", at % 1000 * 1000, at, at % 7)).collect();
    let faces: Vec<String> =
        (0..699_000).step_by(3).map(|at| format!("[[{at},{},{}]]", at + 1, at + 2)).collect();
    let text = format!(
        "{{\"type\":\"CityJSON\",\"transform\":{{\"scale\":[0.001,0.001,0.001],\"translate\":[0,0,0]}},\"vertices\":[{}],\
         \"CityObjects\":{{\"a\":{{\"type\":\"Building\",\"geometry\":[{{\"type\":\"MultiSurface\",\"lod\":2,\"boundaries\":[{}],\
         \"semantics\":{{\"surfaces\":[{{\"type\":\"RoofSurface\"}}],\"values\":[{}]}}}}]}}}}}}",
        vertices.join(","),
        faces.join(","),
        vec!["0"; faces.len()].join(",")
    );
    assert!(text.len() > 18_000_000, "{}", text.len());
    let model = CityModel::read(&text, &CityTerms::default()).unwrap();
    assert_eq!(
        model.buildings.iter().map(|building| building.surfaces.len()).sum::<usize>() + model.faults.len(),
        faces.len()
    );
}
