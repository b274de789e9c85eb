use super::*;
use crate::catalogue::{Catalogue, Covering, Layers, sources};
use crate::quantity::{AreaIn as _, LengthIn as _, Pitch, ft, m, m2, mm};

fn pitch(degrees: f64) -> Pitch {
    Pitch::from_degrees(degrees).unwrap()
}

#[test]
fn the_built_in_rules_read_without_a_fault_and_none_is_missing() {
    assert_eq!(Rules::read_once().1, vec![]);
    let rules = Rules::standard();
    assert!(rules.underlays.is_some() && rules.joints.is_some() && rules.lead_work.is_some());
    assert!(rules.ventilation.is_some() && rules.edges.is_some() && rules.weight_change.is_some());
    assert!(rules.edgework.is_some());
}

/// Every figure of the catalogue and the rules names a source of the list, and every source is named by one.
#[test]
fn every_figure_has_a_source_and_every_source_is_used() {
    let catalogue = Catalogue::standard();
    let all = format!(
        "{:?}{:?}{:?}{:?}{:?}{:?}{:?}",
        catalogue.coverings(),
        catalogue.battens(),
        catalogue.underlays(),
        catalogue.nails(),
        catalogue.edge_units(),
        Rules::standard(),
        crate::catalogue::conventions_in_full(),
    );
    assert!(!all.contains("standing: User"), "a built-in figure has no source");
    let quoted = |key: &str| all.contains(&format!("Source {{ key: {key:?}"));
    let idle: Vec<_> = sources().iter().map(|source| &source.key).filter(|key| !quoted(key)).collect();
    assert!(idle.is_empty(), "nothing quotes {idle:?}");
}

#[test]
fn every_family_has_the_rules_that_setting_out_asks_for() {
    let rules = Rules::standard();
    for covering in Catalogue::standard().coverings() {
        let key = &covering.key;
        assert!(rules.pitch_least(covering, Exposure::Moderate).is_some(), "{key}");
        assert!(rules.fixing_pattern(covering, pitch(40.0)).is_some(), "{key}");
        for exposure in Exposure::ALL.iter().map(|(_, exposure)| *exposure) {
            assert!(rules.headlap(covering, pitch(45.0), exposure).is_some(), "{key}");
        }
    }
}

/// The rule where it must hold for every covering: a steeper roof never needs more lap, and severe exposure never less.
#[test]
fn headlaps_never_grow_with_the_pitch_nor_shrink_with_the_exposure() {
    let rules = Rules::standard();
    for covering in Catalogue::standard().coverings() {
        for (_, exposure) in Exposure::ALL {
            let mut before = f64::INFINITY;
            for tenth in 10..750 {
                let at = pitch(f64::from(tenth) / 10.0);
                let Some(headlap) = rules.headlap(covering, at, *exposure) else { continue };
                let headlap = headlap.value.mm();
                assert!(headlap <= before, "{} at {}", covering.key, at.degrees());
                before = headlap;
                let severe = rules.headlap(covering, at, Exposure::Severe).map_or(headlap, |h| h.value.mm());
                assert!(severe >= headlap, "{} at {}", covering.key, at.degrees());
            }
        }
    }
}

#[test]
fn a_covering_may_be_stricter_than_the_rule_but_not_laxer() {
    let rules = Rules::standard();
    let tile = Covering::new("t", Layers::Double, mm(265.0), mm(165.0));
    let at = |tile: &Covering| rules.headlap(tile, pitch(40.0), Exposure::Moderate).unwrap().value.mm();
    assert!((at(&tile.clone().with_headlap_least(mm(70.0))) - 70.0).abs() < 1e-9);
    assert!((at(&tile.clone().with_headlap_least(mm(50.0))) - 65.0).abs() < 1e-9);
    let steep = tile.clone().with_pitch_least(pitch(42.0));
    assert!((rules.pitch_least(&steep, Exposure::Moderate).unwrap().value.degrees() - 42.0).abs() < 1e-9);
    let flat = tile.with_pitch_least(pitch(20.0));
    assert!((rules.pitch_least(&flat, Exposure::Moderate).unwrap().value.degrees() - 35.0).abs() < 1e-9);
}

/// Fixing, BS 5534:2014 as relayed: both sides of 60 degrees for nibbed tiles, of 55 for single-lap tiles.
#[test]
fn fixing_patterns() {
    let rules = Rules::standard();
    let catalogue = Catalogue::standard();
    let tile = catalogue.covering("plain-tile-265x165").unwrap();
    let at = |covering, degrees| rules.fixing_pattern(covering, pitch(degrees)).unwrap();
    assert_eq!(at(tile, 59.9).every_nth_course, 5);
    assert_eq!(at(tile, 60.0).every_nth_course, 1);
    assert!(at(tile, 40.0).perimeter);
    assert_eq!(at(tile, 40.0).perimeter_fixings, 2);
    assert!((at(tile, 40.0).all_above_pitch.unwrap().degrees() - 60.0).abs() < 1e-9);
    let single = catalogue.covering("interlocking-420x330").unwrap();
    assert_eq!(at(single, 54.9).clips_per_unit, 0);
    assert_eq!(at(single, 55.0).clips_per_unit, 1);
    let slate = catalogue.covering("slate-500x250").unwrap();
    assert_eq!((at(slate, 30.0).every_nth_course, at(slate, 30.0).nails_per_unit), (1, 2));
    assert!(rules.fixing_pattern_called("slates", pitch(30.0)).is_some());
    assert!(rules.fixing_pattern_called("glue", pitch(30.0)).is_none());
    assert!(rules.fixing_patterns().count() >= 5);
}

/// Joints, NHBC 7.2.17: over 200 mm 1 in any 4 rows, up to 200 mm 3 in any 12.
#[test]
fn batten_joints() {
    let rule = Rules::standard().batten_joint_rule().unwrap();
    assert_eq!(rule.stagger(mm(200.0)), (3, 12));
    assert_eq!(rule.stagger(mm(201.0)), (1, 4));
    assert!((rule.piece_least.value.m() - 1.2).abs() < 1e-12);
    assert_eq!(rule.supports_least.value, 3);
}

/// Both sides of every threshold of the measuring rules, in the units of their texts.
#[test]
fn deductions() {
    let rules = Rules::standard();
    let square_feet = |area: f64| ft(1.0) * ft(area);
    let deducted = |key: &str, area, at_boundary| {
        let rule = rules.measuring_rule(key).unwrap();
        rule.deduction(area, at_boundary).m2()
    };
    let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
    assert!(near(deducted("net", m2(0.01), false), 0.01));
    assert!(near(deducted("uk-smm7", m2(0.50), false), 0.0));
    assert!(near(deducted("uk-smm7", m2(0.51), false), 0.51));
    assert!(near(deducted("uk-nrm2", m2(1.0), false), 0.0));
    assert!(near(deducted("uk-nrm2", m2(1.01), false), 1.01));
    assert!(near(deducted("india-is1200", m2(0.4), false), 0.0));
    assert!(near(deducted("india-is1200", m2(0.41), false), 0.41));
    assert!(near(deducted("malaysia-smm", m2(0.2), true), 0.2));
    assert!(near(deducted("malaysia-smm", m2(0.2), false), 0.0));
    let feet = |key: &str, area: f64| deducted(key, square_feet(area), false) / square_feet(1.0).m2();
    assert!(near(feet("us-slating-1900", 2.9), 0.0));
    assert!(near(feet("us-slating-1900", 3.0), 3.0));
    assert!(near(feet("us-tin-1900", 49.9), 0.0));
    assert!(near(feet("us-tin-1900", 50.0), 25.0));
    assert!(near(feet("us-tin-1900", 100.0), 50.0));
    assert!(near(feet("us-tin-1900", 100.1), 100.1));
    assert!(near(feet("us-slating-1869", 16.0), 0.0));
    assert!(near(feet("us-slating-1869", 16.1), 16.1));
    assert!(near(feet("uk-1905", 1.0), 1.0));
}

/// BS 5250 as relayed: 10 mm over 15 degrees, 25 mm up to it; 5 mm at the ridge over 35 degrees, over 10 m, or lean-to.
#[test]
fn ventilation_on_both_sides_of_each_break() {
    let at =
        |degrees, span, lean_to| Rules::standard().ventilation(pitch(degrees), m(span), lean_to).unwrap();
    assert!((at(15.0, 8.0, false).eaves.value.mm() - 25.0).abs() < 1e-9);
    assert!((at(15.1, 8.0, false).eaves.value.mm() - 10.0).abs() < 1e-9);
    assert!(at(35.0, 10.0, false).ridge.is_none());
    assert!(at(35.1, 10.0, false).ridge.is_some());
    assert!(at(20.0, 10.1, false).ridge.is_some());
    assert!(at(20.0, 8.0, true).ridge.is_some());
}

/// Overhang at eaves (Roof Tiling and Slating, chapter 7): 50 mm or half the gutter, whichever is less.
/// Valleys as relayed: 100 mm open, 125 mm below 30 degrees.
#[test]
fn edges() {
    let edges = Rules::standard().edges().unwrap();
    assert!((edges.eaves_overhang_over(mm(112.0)).value.mm() - 50.0).abs() < 1e-9);
    assert!((edges.eaves_overhang_over(mm(76.0)).value.mm() - 38.0).abs() < 1e-9);
    assert!((edges.valley_channel(pitch(29.9)).unwrap().value.mm() - 125.0).abs() < 1e-9);
    assert!((edges.valley_channel(pitch(30.0)).unwrap().value.mm() - 100.0).abs() < 1e-9);
    assert!((edges.valley_half_channel(pitch(30.0)).unwrap().value.mm() - 50.0).abs() < 1e-9);
}

#[test]
fn the_weight_limit_is_a_share() {
    let limit = Rules::standard().weight_change_limit().unwrap();
    assert!((limit.value - 0.15).abs() < 1e-12);
    assert_eq!(limit.remark(), None);
}
