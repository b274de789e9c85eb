//! What was wrong once, each kept as a test.

use slopewright::takeoff::TakeOff;
use slopewright::{FaultKind, SurveyDocument};

fn shed(more: &str) -> String {
    format!(
        "slopewright = 1\ncovering.format = \"plain-tile-265x165\"\n{more}\n[[slope]]\nshape = \"rectangle\"\n\
         pitch = \"40 deg\"\neaves = \"8 m\"\nrafter = \"5 m\"\n"
    )
}

fn kinds(text: &str) -> Vec<FaultKind> {
    let survey = SurveyDocument::from_toml(text).unwrap();
    match survey.check().and_then(|roof| TakeOff::of(&roof)) {
        Ok(_) => Vec::new(),
        Err(error) => error.faults().map(|fault| fault.kind).collect(),
    }
}

/// It made as many runs as fit into the rest of a roll's width: thousands of millions.
#[test]
fn a_lap_nearly_as_wide_as_the_roll() {
    let text = shed("underlay = { format = \"membrane-1x50\", horizontal_lap = \"999.999999 mm\" }");
    assert_eq!(kinds(&text), [FaultKind::LapTooLarge]);
}

/// No piece of such a roll was long enough to be laid, so rolls were opened for ever.
#[test]
fn a_roll_shorter_than_two_end_laps() {
    let roll = |length: &str, lap: &str| {
        shed(&format!(
            "underlay = {{ format = \"scrap\", end_lap = \"{lap}\" }}\n[[catalogue.underlay]]\nkey = \"scrap\"\n\
             width = \"1 m\"\nlength = \"{length}\""
        ))
    };
    assert_eq!(kinds(&roll("1.2 m", "0.8 m")), [FaultKind::LapTooLarge]);
    assert_eq!(kinds(&roll("1.2 m", "0.6 m")), []);
    assert_eq!(kinds(&roll("1 m", "0.1 m")), []);
}

/// The courses came out at thousandths of a millimetre, and their list filled the memory.
#[test]
fn a_headlap_nearly_as_long_as_the_unit() {
    let text = shed("covering.headlap = \"264.999 mm\"");
    assert_eq!(kinds(&text), [FaultKind::HeadlapTooLarge]);
}

/// The rule's headlap is more than the unit has, the gauge came out negative and one course covered the slope.
#[test]
fn a_unit_shorter_than_the_headlap_of_the_rule() {
    let stub = "[[catalogue.covering]]\nkey = \"stub\"\nlayers = \"double\"\nlength = \"60 mm\"\nwidth = \"165 mm\"\n\
                family = \"plain-tile\"";
    let text = shed(stub).replace("plain-tile-265x165", "stub");
    assert_eq!(kinds(&text), [FaultKind::HeadlapTooLarge]);
}

/// Two forms without a name made two slopes called "front".
#[test]
fn forms_without_names() {
    let form = "[[form]]\nform = \"gable\"\nlength = \"8 m\"\nspan = \"5 m\"\npitch = \"40 deg\"\n";
    let text = format!("slopewright = 1\ncovering.format = \"plain-tile-265x165\"\n{form}{form}");
    let take_off = TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap();
    let mut names: Vec<_> = take_off.slopes.iter().map(|slope| slope.layout.slope.clone()).collect();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), 4, "{names:?}");
}

/// A field of the wrong kind was reported twice where it was both needed and read.
#[test]
fn a_shape_that_is_no_word() {
    assert_eq!(kinds(&shed("").replace("\"rectangle\"", "5")), [FaultKind::FieldWrongType]);
}

/// Two empty lists were taken for a roof without slopes.
#[test]
fn empty_lists_of_slopes_and_forms() {
    assert_eq!(kinds("slopewright = 1\nslope = []\nform = []"), [FaultKind::NoSlopes]);
}

/// "-1 ft 2 in" was read as 10 inches below, not 14.
#[test]
fn a_negative_length_in_feet_and_inches() {
    use slopewright::quantity::{inch, read_length};
    assert!((read_length("-1 ft 2 in").unwrap() - inch(-14.0)).value.abs() < 1e-12);
}

/// A sliver of a slope, cleared from one side by more than its height, was turned inside out: its area was negative.
#[test]
fn a_sliver_turned_inside_out_by_its_clearance() {
    let text = "slopewright = 1\ncovering.format = \"plain-tile-265x165\"\n[[slope]]\nshape = \"outline\"\n\
                pitch = \"20 deg\"\npoints = [[\"0 m\", \"0 m\"], [\"0.4 m\", \"0 m\"], [\"7.386 m\", \"0.402 m\"]]\n\
                edges.3.clearance = \"72 mm\"";
    assert_eq!(kinds(text), [FaultKind::NothingToCover]);
}

/// A cut of exactly one hundredth of a unit was laid or not by where the slope lay: 3 mm of 300 mm.
#[test]
fn a_cut_of_one_hundredth() {
    let counts = |left: i64| {
        let [right, opening] = [left + 7150, left + 1503];
        let text = format!(
            "slopewright = 1\ncovering = {{ format = \"interlocking-420x330\", bond = \"straight\" }}\n[[slope]]\n\
             shape = \"outline\"\npitch = \"30 deg\"\nedges = {{ 2.clearance = \"0 mm\", 4.clearance = \"0 mm\" }}\n\
             points = [[\"{left} mm\", \"0 m\"], [\"{right} mm\", \"0 m\"], [\"{right} mm\", \"4 m\"], \
             [\"{left} mm\", \"4 m\"]]\n\
             opening = [{{ from_left = \"{opening} mm\", from_eaves = \"1 m\", width = \"1197 mm\", height = \"1 m\" }}]",
        );
        let take_off = TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap();
        (take_off.slopes[0].units.whole, take_off.slopes[0].units.cut)
    };
    let here = counts(0);
    for left in [-7000, 1, 35_608, 123_457, 400_001] {
        assert_eq!(counts(left), here, "{left}");
    }
}

/// Where an opening's left side stood on a joint, its rounding error was taken for covering, and the narrow cut to its
/// right for a wide one that joins its neighbour across the opening.
#[test]
fn an_opening_that_starts_on_a_joint() {
    use crate::sketch::{Hole, Sketch};
    let sketch = Sketch {
        corners: vec![(0, 0), (2900, 0), (2900, 2308), (0, 2308)],
        reaches: vec![None, Some(0), None, Some(0)],
        // From a joint, 2900 - 9 x 300 mm, to 130 mm short of the next.
        holes: vec![Hole { corners: vec![(200, 500), (370, 500), (370, 1500), (200, 1500)], clearance: 0 }],
        covering: "interlocking-420x330",
        bond: "straight",
        start: "right",
        gauge: None,
        pitch_degrees: 30,
    };
    for by in [0, -216_710, 1, 7, 300, 12_345, 123_457] {
        let take_off = sketch.shifted(by).take_off().unwrap();
        let slope = &take_off.slopes[0];
        let beside = slope.layout.courses.iter().zip(&slope.units.courses);
        // By hand, in the courses wholly beside the opening: 200 mm of a tile to its left, 130 mm to its right, 8 whole.
        let beside: Vec<_> =
            beside.filter(|(course, _)| course.band.low > 0.5 && course.band.high < 1.5).collect();
        assert!(!beside.is_empty());
        for (_, units) in beside {
            assert_eq!((units.whole, units.cut, units.narrow), (8, 2, 1), "{by}");
        }
    }
}

/// An opening that reached over a notch of the outline, from corner to corner, crossed no edge and was taken.
#[test]
fn an_opening_over_a_notch() {
    let text = shed("").replace(
        "shape = \"rectangle\"\npitch = \"40 deg\"\neaves = \"8 m\"\nrafter = \"5 m\"",
        "shape = \"outline\"\npitch = \"40 deg\"\n\
         points = [[\"0 m\", \"0 m\"], [\"8 m\", \"0 m\"], [\"8 m\", \"6 m\"], [\"4 m\", \"3 m\"], [\"0 m\", \"6 m\"]]\n\
         opening = [{ points = [[\"0 m\", \"6 m\"], [\"4 m\", \"1 m\"], [\"8 m\", \"6 m\"]] }]",
    );
    assert_eq!(kinds(&text), [FaultKind::OpeningOutside]);
}

/// The steepness of an edge that rose by less than a double can tell was no number, and a course had cells without end.
#[test]
fn a_corner_all_but_level_with_the_eaves() {
    let text = shed("").replace(
        "shape = \"rectangle\"\npitch = \"40 deg\"\neaves = \"8 m\"\nrafter = \"5 m\"",
        "shape = \"outline\"\npitch = \"40 deg\"\npoints = [[\"0 m\", \"0 m\"], [\"6 m\", \"2e-311 m\"], [\"6 m\", \"4 m\"], \
         [\"3e-310 m\", \"4 m\"]]",
    );
    assert_eq!(kinds(&text), []);
}
