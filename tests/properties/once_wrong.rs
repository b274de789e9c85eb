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
