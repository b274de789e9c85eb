//! Documents: whatever is in one, it gives a take-off or faults that say where, and it reads back as it was written.

use proptest::prelude::*;
use slopewright::output::{Table, TakeOffDocument};
use slopewright::{Error, SurveyDocument, TakeOff};

use crate::cases;
use crate::sketch::sketch;
use crate::wild::{DEMO, any_survey, any_value, changed, changes};

/// Takes a document all the way to its results.
fn through(document: &SurveyDocument) -> Result<TakeOff, Error> {
    let take_off = TakeOff::of(&document.check()?)?;
    for table in Table::all(&take_off) {
        assert!(!table.to_csv().contains("NaN"), "{}", table.name);
    }
    let text = TakeOffDocument::of(&take_off).to_json()?;
    // A figure that is no number is written as null.
    assert!(!text.contains(": null"), "{text}");
    Ok(take_off)
}

/// Faults say enough to act on, and no more than fits a page.
fn speaks(error: &Error) {
    for fault in error.faults() {
        assert!(!fault.problem.is_empty() && !fault.advice.is_empty(), "{fault:?}");
        assert!(fault.given.chars().count() <= 81, "{fault:?}");
    }
    assert!(error.to_string().contains("what to do"));
}

fn end_well(outcome: Result<TakeOff, Error>) -> bool {
    match outcome {
        Ok(take_off) => {
            assert!(!take_off.slopes.is_empty());
            true
        }
        Err(error) => {
            speaks(&error);
            false
        }
    }
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn no_value_makes_the_library_panic(value in any_value()) {
        end_well(SurveyDocument::from_json(&value.to_string()).and_then(|document| through(&document)));
    }

    #[test]
    fn no_survey_makes_the_library_panic(value in any_survey()) {
        let text = value.to_string();
        let document = SurveyDocument::from_json(&text);
        if let Ok(document) = &document {
            // As JSON it reads back as it was; as TOML too, where TOML can say it.
            prop_assert_eq!(&SurveyDocument::from_json(&document.to_json().unwrap()).unwrap(), document);
            match document.to_toml() {
                Ok(text) => {
                    let read = SurveyDocument::from_toml(&text).unwrap();
                    prop_assert_eq!(&SurveyDocument::from_toml(&read.to_toml().unwrap()).unwrap(), &read);
                }
                Err(error) => speaks(&error),
            }
        }
        end_well(document.and_then(|document| through(&document)));
    }

    #[test]
    fn no_change_of_the_demo_makes_the_library_panic(changes in changes()) {
        let document = changed(&changes);
        let from_json = SurveyDocument::from_json(&document.to_string()).and_then(|document| through(&document));
        if let Ok(text) = toml::to_string(&document) {
            let from_toml = SurveyDocument::from_toml(&text).and_then(|document| through(&document));
            prop_assert_eq!(from_toml.is_ok(), from_json.is_ok());
        }
        end_well(from_json);
    }

    #[test]
    fn no_slip_of_the_keys_makes_the_library_panic(
        slips in prop::collection::vec((0..4000usize, 0..4u8, any::<char>()), 1..6),
    ) {
        let mut text: Vec<char> = DEMO.chars().collect();
        for (at, kind, sign) in slips {
            let at = at % text.len().max(1);
            match kind {
                _ if text.is_empty() => text.push(sign),
                0 => { text.remove(at); }
                1 => text.insert(at, sign),
                2 => text[at] = sign,
                _ => text.truncate(at.max(1)),
            }
        }
        let text: String = text.into_iter().collect();
        end_well(SurveyDocument::from_toml(&text).and_then(|document| through(&document)));
        let json: String = serde_json::to_string(&SurveyDocument::from_toml(DEMO).unwrap()).unwrap();
        end_well(SurveyDocument::from_json(&json[..text.len() % json.len()]).and_then(|document| through(&document)));
    }

    #[test]
    fn no_text_makes_the_library_panic(text in ".{0,200}") {
        end_well(SurveyDocument::from_toml(&text).and_then(|document| through(&document)));
        end_well(SurveyDocument::from_json(&text).and_then(|document| through(&document)));
    }

    #[test]
    fn a_survey_reads_back_as_it_was_written(sketch in sketch()) {
        let document = sketch.document();
        prop_assert_eq!(&SurveyDocument::from_toml(&document.to_toml().unwrap()).unwrap(), &document);
        prop_assert_eq!(&SurveyDocument::from_json(&document.to_json().unwrap()).unwrap(), &document);
        let turned = SurveyDocument::from_json(&document.to_json().unwrap()).unwrap().to_toml().unwrap();
        prop_assert_eq!(&SurveyDocument::from_toml(&turned).unwrap(), &document);
        if document.check().is_ok() {
            let _ = through(&document).map_err(|error| speaks(&error));
        }
    }
}

#[test]
fn the_demo_goes_all_the_way() {
    assert!(end_well(SurveyDocument::from_toml(DEMO).and_then(|document| through(&document))));
    assert!(changed(&[]) == toml::from_str::<serde_json::Value>(DEMO).unwrap());
}
