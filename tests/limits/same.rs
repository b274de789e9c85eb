//! The same input gives the same bytes: again, in another process, and on another number of threads.

use std::process::Command;

use slopewright::batch::{self, Extent, Measures};
use slopewright::origin::data_sha256;
use slopewright::output::{JobDocument, TakeOffDocument};
use slopewright::rules::Rules;
use slopewright::salvage::Salvage;
use slopewright::{SurveyDocument, TakeOff};

const ROOM: &str = include_str!("../../docs/examples/reading-room.toml");
const SALVAGE: &str = include_str!("../../docs/examples/reading-room-salvage.toml");
/// Set in the processes that this one starts.
const CHILD: &str = "SLOPEWRIGHT_WRITES_RESULTS";

/// Everything that a job and a batch come to, as text.
fn results() -> String {
    let survey = SurveyDocument::from_toml(ROOM).unwrap();
    let take_off = TakeOff::of(&survey.check().unwrap()).unwrap();
    let salvaged = Salvage::from_toml(SALVAGE).unwrap().reckon(&take_off.needs()).unwrap();
    let cut = take_off.cut_battens(Rules::standard()).unwrap();
    let rows: Vec<Measures> = (0..5000)
        .map(|at| Measures {
            shape: "trapezoid".to_owned(),
            eaves_m: Some(5.0 + f64::from(at % 97) / 13.0),
            ridge_m: Some(3.0 + f64::from(at % 31) / 17.0),
            rafter_m: Some(2.0 + f64::from(at % 53) / 11.0),
            pitch_deg: Some(35.0 + f64::from(at % 41) / 3.0),
            ..Measures::default()
        })
        .collect();
    let batch = batch::take_off(&rows, &survey.check_terms().unwrap(), Extent::Whole);
    [
        TakeOffDocument::of(&take_off).with_cutting(cut).to_json().unwrap(),
        JobDocument::of(&[&take_off], &salvaged, None).to_json().unwrap(),
        format!("{batch:?}"),
    ]
    .join("\n")
}

/// Not a check by itself: what the other processes run.
#[test]
fn written_by_another_process() {
    if let Some(path) = std::env::var_os(CHILD) {
        std::fs::write(path, results()).unwrap();
    }
}

#[test]
fn every_process_and_number_of_threads_gives_the_same_bytes() {
    let here = results();
    assert!(here.len() > 100_000);
    assert_eq!(results(), here);
    for threads in ["1", "4"] {
        let path = std::env::temp_dir().join(format!("slopewright-{}-{threads}", std::process::id()));
        let status = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "same::written_by_another_process"])
            .env("RAYON_NUM_THREADS", threads)
            .env(CHILD, &path)
            .status()
            .unwrap();
        assert!(status.success());
        let there = std::fs::read_to_string(&path).unwrap();
        std::fs::remove_file(&path).unwrap();
        assert!(there == here, "{threads} threads");
    }
}

#[test]
fn a_result_says_what_it_was_made_from() {
    let survey = SurveyDocument::from_toml(ROOM).unwrap();
    let hash = |survey: &SurveyDocument| {
        let document = TakeOffDocument::of(&TakeOff::of(&survey.check().unwrap()).unwrap());
        assert_eq!(document.data_sha256, data_sha256());
        document.survey_sha256
    };
    let first = hash(&survey);
    assert_eq!(first.len(), 64);
    // As JSON it is the same survey; with one word changed it is another.
    assert_eq!(hash(&SurveyDocument::from_json(&survey.to_json().unwrap()).unwrap()), first);
    assert_ne!(
        hash(&SurveyDocument::from_toml(&ROOM.replacen("Reading room", "Reading hall", 1)).unwrap()),
        first
    );
}

/// A later version is not read as if it were this one.
#[test]
fn a_survey_of_a_later_version_is_refused_with_what_to_do() {
    let later = ROOM.replacen("slopewright = 1", "slopewright = 2", 1);
    let error = SurveyDocument::from_toml(&later).unwrap().check().unwrap_err().to_string();
    assert!(error.contains("allowed: slopewright = 1") && error.contains("use a newer library"), "{error}");
}
