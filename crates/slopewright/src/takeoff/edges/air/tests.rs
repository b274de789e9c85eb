//! Which span counts, and which edges have a gap. BS 5250 as relayed: a gap at the ridge over 35 degrees, over a span of 10 m,
//! and always under the top of a lean-to.

use super::*;
use crate::SurveyDocument;
use crate::takeoff::TakeOff;

fn cold(text: &str) -> Vec<Line> {
    let text = format!(
        "slopewright = 1\ncovering.format = \"interlocking-420x330\"\nedgework.ventilation = {{ roof = \"cold\" }}\n{text}"
    );
    let roof = TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap();
    roof.lines().into_iter().filter(|line| line.part == Part::Ventilation).collect()
}

fn lone(name: &str, rafter_m: f64, top: &str) -> String {
    format!(
        "[[slope]]\nname = \"{name}\"\nshape = \"rectangle\"\npitch = \"30 deg\"\neaves = \"8 m\"\nrafter = \"{rafter_m} m\"\n\
         [slope.edges]\ntop.role = \"{top}\"\n"
    )
}

/// The metres of gap at edges of a kind, over the whole roof.
fn gap_m(lines: &[Line], at: &str) -> Option<f64> {
    let item = format!("air openings at {at}, ");
    lines
        .iter()
        .find(|line| line.slope.is_empty() && line.item.starts_with(&item))
        .and_then(|line| line.length_m)
}

fn span_said(lines: &[Line]) -> String {
    let eaves = lines.iter().find(|line| line.item.starts_with("air openings at eaves")).unwrap();
    let (_, after) = eaves.working.source.split_once("span ").unwrap();
    after.chars().take_while(|at| at.is_ascii_digit() || *at == '.').collect()
}

#[test]
fn a_slope_without_its_other_half_has_twice_its_depth_for_a_span() {
    // 6 m of rafter at 30 degrees is 5.196 m deep, twice that 10.392 m: over ten. 5.7 m is 9.873 m wide.
    let wide = cold(&lone("a", 6.0, "ridge"));
    assert_eq!(gap_m(&wide, "ridge"), Some(8.0));
    assert_eq!(span_said(&wide), "10.392");
    let narrow = cold(&lone("a", 5.7, "ridge"));
    assert_eq!(gap_m(&narrow, "ridge"), None);
    assert_eq!(span_said(&narrow), "9.873");
    // The deepest counts, whichever comes first.
    for order in [[6.0, 5.7], [5.7, 6.0]] {
        let both = cold(&format!("{}{}", lone("a", order[0], "ridge"), lone("b", order[1], "ridge")));
        assert_eq!(span_said(&both), "10.392");
    }
}

#[test]
fn slopes_that_meet_have_the_span_between_their_eaves() {
    // A front of 6 m and a rear of 5.7 m at 30 degrees: 5.196 + 4.936 = 10.133 m.
    let joint = "[[joint]]\nbetween = [\"a: top\", \"b: top\"]\n";
    let both = cold(&format!("{}{}{joint}", lone("a", 6.0, "ridge"), lone("b", 5.7, "ridge")));
    assert_eq!(span_said(&both), "10.132");
    // Counted once, along the joint.
    assert_eq!(gap_m(&both, "ridge"), Some(8.0));
    assert_eq!(gap_m(&both, "eaves"), Some(16.0));
    // A slope beside them that meets none does not change the span, and is no lean-to beside a roof whose slopes meet.
    let shed = lone("shed", 9.0, "top-abutment");
    let with_shed = cold(&format!("{}{}{shed}{joint}", lone("a", 5.0, "ridge"), lone("b", 5.0, "ridge")));
    // 2 x 5 x cos 30 = 8.660 m.
    assert_eq!(span_said(&with_shed), "8.66");
    assert_eq!(gap_m(&with_shed, "top abutment"), None);
    assert_eq!(gap_m(&with_shed, "ridge"), None);
}

#[test]
fn a_lean_to_has_its_own_depth_for_a_span_and_a_gap_at_its_top() {
    // 3 m at 30 degrees is 2.598 m deep.
    let lines = cold(&lone("a", 3.0, "top-abutment"));
    assert_eq!(span_said(&lines), "2.598");
    assert_eq!(gap_m(&lines, "top abutment"), Some(8.0));
    assert_eq!(gap_m(&lines, "eaves"), Some(8.0));
    let top = lines.iter().find(|line| line.slope.is_empty() && line.item.contains("top abutment")).unwrap();
    // 8 m of 5 mm.
    assert!((top.area_m2.unwrap() - 0.04).abs() < 1e-9);
    assert!(top.item.ends_with("5000 mm2 a metre"), "{}", top.item);
    // A slope with nothing at its top is no lean-to: its span is twice its depth, as if its fellow were missing.
    let verge = cold(&lone("a", 3.0, "verge"));
    assert_eq!(span_said(&verge), "5.196");
}
