//! A batch gives, row by row, what the take-off of each slope alone gives.

use slopewright::batch::{Extent, Measures, Rows, Study, Totals, on_threads, read_polygon, take_off};
use slopewright::quantity::{LengthIn as _, Pitch, m, mm};
use slopewright::survey::outline::Point;
use slopewright::survey::{CoveringDocument, EdgeRole, SlopeDocument, SurveyDocument, Terms};
use slopewright::takeoff::SlopeTakeOff;
use slopewright::{FaultKind, TakeOff};

use super::models::models;

fn survey(key: &str) -> SurveyDocument {
    SurveyDocument::new("estate")
        .with_covering(CoveringDocument::new(key))
        .with_rafters(mm(400.0))
        .with_underlay("membrane-1x50")
}

fn terms(key: &str) -> Terms {
    survey(key).check_terms().unwrap()
}

/// The same numbers, to the last bit, out of the full take-off of the slope as a survey of its own.
fn assert_same(totals: &Totals, document: &SlopeDocument, key: &str, place: &str) {
    let survey = survey(key).with_slope(document.clone());
    let take_off = TakeOff::of(&survey.check().unwrap_or_else(|error| panic!("{place}: {error}"))).unwrap();
    let [full] = take_off.slopes.as_slice() else { panic!("{place}: one slope") };
    let SlopeTakeOff { layout, units, battens, underlay, fixings, .. } = full;
    let positions = || units.courses.iter().map(|course| course.positions);
    let counts = [
        totals.courses,
        totals.whole,
        totals.cut,
        totals.tile_and_half,
        totals.under_eaves,
        totals.top,
        totals.narrow,
        totals.positions_whole,
        totals.positions_cut,
        totals.batten_crossings.unwrap_or(0),
        totals.unit_nails,
        totals.clips,
        totals.rolls.unwrap(),
    ];
    let expected = [
        u32::try_from(layout.courses.len()).unwrap(),
        units.whole,
        units.cut,
        units.tile_and_half,
        units.under_eaves,
        units.top,
        units.narrow,
        positions().map(|positions| positions.whole).sum(),
        positions().map(|positions| positions.cut).sum(),
        battens.crossings.unwrap_or(0),
        fixings.nails,
        fixings.clips,
        underlay.as_ref().unwrap().rolls,
    ];
    assert_eq!(counts, expected, "{place}");
    let figures = [
        totals.gauge_m,
        totals.headlap_m,
        totals.covered_area_m2,
        totals.batten_m,
        totals.underlay_area_m2.unwrap(),
        totals.underlay_m.unwrap(),
    ];
    let expected = [
        layout.gauge().m(),
        layout.headlap_laid().m(),
        layout.covered.area_m2(),
        battens.length_m,
        underlay.as_ref().unwrap().net_area_m2,
        underlay.as_ref().unwrap().length_m,
    ];
    // To the last bit: the two ways do the same.
    assert_eq!(figures.map(f64::to_bits), expected.map(f64::to_bits), "{place}");
    for role in EdgeRole::ALL {
        let length: f64 = full
            .slope
            .edges
            .iter()
            .filter(|edge| edge.role == role)
            .map(slopewright::survey::Edge::length_m)
            .sum();
        assert!((totals.edge_m(role) - length).abs() < 1e-9, "{place}: {role:?}");
    }
    // The lists for salvage add up the same masses another way.
    let masses = take_off.needs().into_iter().map(|need| {
        let count = f64::from(u32::try_from(need.count).unwrap());
        need.mass_each.map(|each| each.value * count)
    });
    match (totals.unit_mass_kg, masses.sum::<Option<f64>>()) {
        (Some(mass), Some(needs)) => {
            assert!((mass - needs).abs() < 1e-6 * needs.max(1.0), "{place}: {mass}, {needs}");
        }
        (None, None) => {}
        other => panic!("{place}: {other:?}"),
    }
}

/// Real slopes, each in three coverings.
#[test]
fn a_batch_of_real_slopes_is_the_take_off_of_each() {
    let mut seen = 0;
    for model in models() {
        for building in &model.buildings {
            for key in ["plain-tile-265x165", "interlocking-420x330", "slate-500x250"] {
                let alone = building.survey(&survey(key));
                let rows: Vec<Measures> = (building.surfaces.iter())
                    .filter(|surface| surface.face == slopewright::city::FaceKind::Slope)
                    .map(|surface| Measures {
                        corners: surface.corners.clone(),
                        openings: surface.openings.clone(),
                        pitch_deg: Some(surface.pitch_deg),
                        roles: surface.edges.iter().map(|edge| Some(edge.role)).collect(),
                        ..Measures::default()
                    })
                    .collect();
                let outcomes = take_off(&rows, &terms(key), Extent::Whole);
                let documents = alone.slope.given().into_iter().flatten();
                for (at, (outcome, document)) in outcomes.iter().zip(documents).enumerate() {
                    let place = format!("{} {at} {key}", building.name);
                    let totals = outcome.as_ref().unwrap_or_else(|error| panic!("{place}: {error}"));
                    assert_same(totals, document.given().unwrap(), key, &place);
                    seen += 1;
                }
            }
        }
    }
    assert!(models().is_empty() || seen == 3 * 190, "{seen}");
}

#[test]
fn shapes_are_the_shapes_of_the_document() {
    let pitch = Pitch::from_degrees(42.0).unwrap();
    let base = || Measures {
        eaves_m: Some(7.3),
        rafter_m: Some(4.45),
        pitch_deg: Some(42.0),
        ..Measures::default()
    };
    let shaped = |shape: &str, ridge_m: Option<f64>, offset_m: Option<f64>| Measures {
        shape: shape.to_owned(),
        ridge_m,
        offset_m,
        ..base()
    };
    let rows = vec![
        shaped("rectangle", None, None),
        shaped("trapezoid", Some(3.1), None),
        shaped("trapezoid", Some(3.1), Some(0.7)),
        shaped("hip-end", None, None),
    ];
    let documents = [
        SlopeDocument::rectangle("a", m(7.3), m(4.45), pitch),
        SlopeDocument::trapezoid("a", m(7.3), m(3.1), m(4.45), pitch),
        SlopeDocument::trapezoid("a", m(7.3), m(3.1), m(4.45), pitch).with_offset(m(0.7)),
        SlopeDocument::hip_end("a", m(7.3), m(4.45), pitch),
    ];
    let key = "plain-tile-265x165";
    for (at, (outcome, document)) in
        take_off(&rows, &terms(key), Extent::Whole).iter().zip(&documents).enumerate()
    {
        assert_same(outcome.as_ref().unwrap(), document, key, &format!("shape {at}"));
    }
}

/// A row with faults has them all, under the kinds that the document's check has, and stops no other.
#[test]
fn bad_rows_are_told_apart() {
    let good = Measures {
        shape: "rectangle".to_owned(),
        eaves_m: Some(6.0),
        rafter_m: Some(4.0),
        pitch_deg: Some(40.0),
        ..Measures::default()
    };
    let corners = |points: &[(f64, f64)]| points.iter().map(|(u, v)| Point::new(*u, *v)).collect::<Vec<_>>();
    let outline = |points: &[(f64, f64)]| Measures {
        corners: corners(points),
        pitch_deg: Some(40.0),
        ..Measures::default()
    };
    let bad = [
        (Measures { pitch_deg: None, ..good.clone() }, vec![FaultKind::FieldMissing]),
        (Measures { pitch_deg: Some(f64::NAN), ..good.clone() }, vec![FaultKind::NotFinite]),
        (
            Measures { pitch_deg: Some(90.0), eaves_m: Some(-1.0), ..good.clone() },
            vec![FaultKind::PitchOutOfRange, FaultKind::LengthNegative],
        ),
        (Measures { shape: "round".to_owned(), ..good.clone() }, vec![FaultKind::ShapeUnknown]),
        (Measures { covering: "gold".to_owned(), ..good.clone() }, vec![FaultKind::CoveringUnknown]),
        (Measures { gauge_m: Some(2.0), ..good.clone() }, vec![FaultKind::GaugeTooLarge]),
        (outline(&[(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)]), vec![FaultKind::OutlineCrossesItself]),
        (outline(&[(0.0, 0.0), (4.0, 0.0)]), vec![FaultKind::TooFewCorners]),
        (outline(&[]), vec![FaultKind::FieldMissing]),
        (outline(&[(0.0, 0.0), (f64::INFINITY, 0.0), (1.0, 1.0)]), vec![FaultKind::NotFinite]),
        (outline(&[(0.0, 0.0), (900.0, 0.0), (1.0, 1.0)]), vec![FaultKind::LengthOutOfRange]),
    ];
    let mut rows = Vec::new();
    for (row, _) in &bad {
        rows.extend([good.clone(), row.clone()]);
    }
    let mut strange = good.clone();
    strange.push_role("gutter");
    rows.push(strange);
    let outcomes = take_off(&rows, &terms("plain-tile-265x165"), Extent::Whole);
    for (at, (_, kinds)) in bad.iter().enumerate() {
        assert_eq!(outcomes[2 * at], outcomes[0], "row {}", 2 * at);
        let found: Vec<FaultKind> =
            outcomes[2 * at + 1].as_ref().unwrap_err().faults().map(|fault| fault.kind).collect();
        assert_eq!(&found, kinds, "row {}", 2 * at + 1);
    }
    assert_eq!(outcomes.last().unwrap().as_ref().unwrap_err().kind(), FaultKind::RoleUnknown);
}

/// What a shape does not take is a fault of the row, as it is one of a slope in a document; every fault's place begins with
/// the field that it is of.
#[test]
fn figures_that_a_shape_does_not_take_are_faults() {
    let sized = |shape: &str| Measures {
        shape: shape.to_owned(),
        eaves_m: Some(6.0),
        ridge_m: Some(3.0),
        rafter_m: Some(4.0),
        offset_m: Some(1.0),
        corners: [(0.0, 0.0), (6.0, 0.0), (3.0, 4.0)].map(|(u, v)| Point::new(u, v)).to_vec(),
        pitch_deg: Some(40.0),
        ..Measures::default()
    };
    let expected: [(&str, &[&str]); 7] = [
        ("rectangle", &["ridge_m", "offset_m", "corners"]),
        ("trapezoid", &["corners"]),
        ("hip-end", &["ridge_m", "corners"]),
        ("parallelogram", &["ridge_m", "corners"]),
        ("outline", &["eaves_m", "ridge_m", "rafter_m", "offset_m"]),
        ("plan", &["eaves_m", "ridge_m", "rafter_m", "offset_m"]),
        ("", &["eaves_m", "ridge_m", "rafter_m", "offset_m"]),
    ];
    let rows: Vec<_> = expected.iter().map(|(shape, _)| sized(shape)).collect();
    let outcomes = take_off(&rows, &terms("plain-tile-265x165"), Extent::Units);
    for ((shape, fields), outcome) in expected.iter().zip(outcomes) {
        let faults = outcome.unwrap_err().into_faults();
        let places: Vec<&str> = faults.iter().map(|fault| fault.place.as_str()).collect();
        assert_eq!(&places, fields, "{shape}");
        assert!(faults.iter().all(|fault| fault.kind == FaultKind::FieldNotForShape), "{shape}");
    }
}

#[test]
fn roles_follow_a_clockwise_outline() {
    // The same slope both ways round: a valley up its right side.
    let key = "plain-tile-265x165";
    let mut there = Measures { pitch_deg: Some(40.0), ..Measures::default() };
    there.corners = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)].map(|(u, v)| Point::new(u, v)).to_vec();
    let mut back = there.clone();
    back.corners = [(0.0, 0.0), (0.0, 4.0), (6.0, 4.0), (6.0, 0.0)].map(|(u, v)| Point::new(u, v)).to_vec();
    for word in ["eaves", "valley", "ridge", "verge"] {
        there.push_role(word);
    }
    for word in ["verge", "ridge", "valley", "eaves"] {
        back.push_role(word);
    }
    let outcomes = take_off(&vec![there, back], &terms(key), Extent::Whole);
    let [one, other] = outcomes.as_slice() else { panic!("two rows") };
    let one = one.as_ref().unwrap();
    assert_eq!(Ok(one), other.as_ref());
    for role in [EdgeRole::Valley, EdgeRole::Verge] {
        assert!((one.edge_m(role) - 4.0).abs() < 1e-12);
    }
}

#[test]
fn units_alone_are_the_units_of_the_whole() {
    let rows = vec![Measures {
        shape: "hip-end".to_owned(),
        eaves_m: Some(8.0),
        rafter_m: Some(5.0),
        pitch_deg: Some(45.0),
        ..Measures::default()
    }];
    let terms = terms("plain-tile-265x165");
    let whole = take_off(&rows, &terms, Extent::Whole).remove(0).unwrap();
    let units = take_off(&rows, &terms, Extent::Units).remove(0).unwrap();
    assert_eq!((units.whole, units.cut, units.unit_mass_kg), (whole.whole, whole.cut, whole.unit_mass_kg));
    assert_eq!((units.batten_m, units.underlay_m, units.edge_m(EdgeRole::Eaves)), (0.0, None, 0.0));
}

#[test]
fn the_order_of_the_rows_is_kept_on_any_number_of_threads() {
    let rows: Vec<Measures> = (0..5000)
        .map(|number| Measures {
            shape: "rectangle".to_owned(),
            eaves_m: Some(2.0 + f64::from(number) * 0.001),
            rafter_m: Some(1.5),
            pitch_deg: Some(if number % 7 == 3 { -1.0 } else { 40.0 }),
            ..Measures::default()
        })
        .collect();
    let terms = terms("interlocking-420x330");
    let run = |threads| on_threads(threads, || take_off(&rows, &terms, Extent::Units)).unwrap();
    let one = run(Some(1));
    assert_eq!(one, run(Some(3)));
    assert_eq!(one, run(None));
    assert!((0..5000).all(|at| one[at].is_err() == (at % 7 == 3)));
    assert_eq!(on_threads(Some(0), || ()).unwrap_err().kind(), FaultKind::CountOutOfRange);
}

/// A study is the same as its cases one by one.
#[test]
fn a_study_has_every_case_once() {
    let slope = Measures {
        shape: "rectangle".to_owned(),
        eaves_m: Some(6.0),
        rafter_m: Some(4.0),
        pitch_deg: Some(40.0),
        ..Measures::default()
    };
    let study = Study {
        slopes: vec![slope.clone(), Measures { eaves_m: Some(9.0), ..slope }],
        keeps_plan: true,
        pitches_deg: vec![35.0, 40.0, 50.0],
        coverings: vec!["plain-tile-265x165".to_owned(), "interlocking-420x330".to_owned()],
        gauges_m: vec![0.09, 0.1],
        eaves_overhangs_m: vec![0.03, 0.05, 0.07],
    };
    assert_eq!(study.count(), 2 * 3 * 2 * 2 * 3);
    let outcomes = take_off(&study, &terms("plain-tile-265x165"), Extent::Whole);
    let mut cases = std::collections::BTreeSet::new();
    for (number, outcome) in outcomes.iter().enumerate() {
        let case = study.case(number).unwrap();
        cases.insert(format!("{case:?}"));
        let totals = outcome.as_ref().unwrap();
        assert!((totals.pitch_deg - case.pitch_deg.unwrap()).abs() < 1e-9);
        // The plan stays: 4 m on the slope at 40 degrees is 3.0642 m level (4 cos 40).
        let wide = if case.slope == 0 { 6.0 } else { 9.0 };
        assert!((totals.plan_area_m2 - wide * 3.064_177_772).abs() < 1e-6, "{}", totals.plan_area_m2);
        assert!(totals.gauge_m <= case.gauge_m.unwrap() + 1e-9);
    }
    assert_eq!(cases.len(), study.count());
    assert!(study.case(study.count()).is_none());
}

/// Well-known binary as the standard lays it out (OGC 06-103r4, 8.2.9): byte order, type, rings, points.
#[test]
fn polygons_in_either_byte_order() {
    fn polygon(little: bool, kind: u32, rings: &[&[&[f64]]]) -> Vec<u8> {
        let number = |value: u32| if little { value.to_le_bytes() } else { value.to_be_bytes() };
        let figure = |value: &f64| if little { value.to_le_bytes() } else { value.to_be_bytes() };
        let mut bytes = vec![u8::from(little)];
        bytes.extend(number(kind));
        bytes.extend(number(u32::try_from(rings.len()).unwrap()));
        for ring in rings {
            bytes.extend(number(u32::try_from(ring.len()).unwrap()));
            ring.iter().flat_map(|point| point.iter()).for_each(|value| bytes.extend(figure(value)));
        }
        bytes
    }
    let flat: &[&[f64]] = &[&[0.0, 0.0], &[4.0, 0.0], &[4.0, 3.0], &[0.0, 0.0]];
    let high: &[&[f64]] = &[&[0.0, 0.0, 7.0], &[4.0, 0.0, 7.0], &[4.0, 3.0, 7.0], &[0.0, 0.0, 7.0]];
    let expected = [Point::new(0.0, 0.0), Point::new(4.0, 0.0), Point::new(4.0, 3.0)];
    for bytes in [
        polygon(true, 3, &[flat]),
        polygon(false, 3, &[flat]),
        polygon(true, 1003, &[high]),
        polygon(true, 0x8000_0003, &[high]),
    ] {
        let (mut corners, mut openings) = (Vec::new(), Vec::new());
        read_polygon(&bytes, &mut corners, &mut openings).unwrap();
        assert_eq!(corners, expected);
        assert!(openings.is_empty());
        // Cut off anywhere, it is a fault and no panic.
        for end in 0..bytes.len() {
            let error = read_polygon(&bytes[..end], &mut corners, &mut openings).unwrap_err();
            assert_eq!(error.kind(), FaultKind::WkbUnreadable);
        }
    }
    let (mut corners, mut openings) = (Vec::new(), Vec::new());
    read_polygon(&polygon(true, 3, &[flat, flat]), &mut corners, &mut openings).unwrap();
    assert_eq!(openings, [expected.to_vec()]);
    assert!(read_polygon(&polygon(true, 1, &[]), &mut corners, &mut openings).is_err());
}
