//! Every kind of fault that the library reports, provoked by data.
//!
//! Each file of this folder holds rows: a text with a mistake in it, what the text is given to, and the fault that
//! must come of it, word by word. A row either states its whole text or changes a sound document of its file in one
//! place; the sound documents must pass. A kind of fault without a row fails the run.

#[cfg(test)]
mod entries;
#[cfg(test)]
mod rows;

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use slopewright::error::Room;
    use slopewright::{Fault, FaultKind};

    use super::entries::give;
    use super::rows::{Row, read_all};

    /// What differs between the fault that came and the one that was expected.
    fn differences(row: &Row, fault: &Fault) -> Vec<String> {
        let mut found = Vec::new();
        let mut exact = |what: &str, wanted: &str, came: &str| {
            if wanted != came {
                found.push(format!("{what} is {came:?}, not {wanted:?}"));
            }
        };
        exact("kind", &row.kind, fault.kind.code());
        exact("place", &row.place, &fault.place);
        exact("given", &row.given, &fault.given);
        let mut part = |what: &str, wanted: &str, came: &str| {
            if !came.contains(wanted) || wanted.is_empty() != came.is_empty() {
                found.push(format!("{what} is {came:?}, without {wanted:?}"));
            }
        };
        part("problem", &row.says, &fault.problem);
        part("allowed", &row.allowed, &fault.allowed);
        part("advice", &row.advice, &fault.advice);
        found
    }

    #[test]
    fn every_row_gives_its_fault_and_no_other() {
        let mut failures = Vec::new();
        for (file, row) in read_all().iter().flat_map(|file| file.rows().map(move |row| (file, row))) {
            let text = file.text_of(row);
            let faults = give(&row.entry, &text);
            let found = match faults.as_slice() {
                [.., fault] if faults.len() == row.of => differences(row, fault),
                [] => vec!["no fault came".to_owned()],
                many => vec![format!("{} faults came: {:#?}", many.len(), many.last())],
            };
            if !found.is_empty() {
                failures.push(format!("{}, {} ({}): {}", file.name, row.kind, row.entry, found.join("; ")));
            }
        }
        assert!(failures.is_empty(), "{} rows fail:\n{}", failures.len(), failures.join("\n"));
    }

    #[test]
    fn every_kind_has_a_row_and_every_row_a_kind() {
        let files = read_all();
        let used: BTreeSet<&str> =
            files.iter().flat_map(super::rows::File::rows).map(|row| row.kind.as_str()).collect();
        let known: BTreeSet<&str> = FaultKind::ALL.iter().map(|kind| kind.code()).collect();
        let without_row: Vec<_> = known.difference(&used).collect();
        let without_kind: Vec<_> = used.difference(&known).collect();
        assert!(without_row.is_empty(), "no row provokes: {without_row:?}");
        assert!(without_kind.is_empty(), "there is no such kind: {without_kind:?}");
        assert!(known.len() >= 60, "only {} kinds", known.len());
    }

    #[test]
    fn a_row_stands_in_the_file_of_its_room() {
        for file in read_all() {
            for row in file.rows() {
                let kind = FaultKind::ALL.iter().find(|kind| kind.code() == row.kind);
                let room = match kind.expect("checked by another test").room() {
                    Room::Quantity => "quantity",
                    Room::Catalogue => "catalogue",
                    Room::Survey | Room::SetOut => "survey",
                    Room::Stock => "stock",
                    Room::Salvage => "salvage",
                    Room::Order => "order",
                    Room::Output => "output",
                    other => panic!("no file for {other:?}"),
                };
                // Every room reads quantities; a survey has a catalogue of its own; an order counts as the salvage does.
                let reads_too = match file.name.as_str() {
                    "survey" => ["quantity", "catalogue"],
                    "order" => ["quantity", "salvage"],
                    _ => ["quantity", "quantity"],
                };
                assert!(file.name == room || reads_too.contains(&room), "{}: {}", file.name, row.kind);
            }
        }
    }

    #[test]
    fn the_sound_documents_are_sound() {
        for file in read_all() {
            for (name, (entry, text)) in file.bases() {
                let faults = give(entry, text);
                assert!(faults.is_empty(), "{}, base '{name}': {faults:#?}", file.name);
            }
        }
    }

    #[test]
    fn a_document_with_many_faults_gives_them_all() {
        let mut most = 0;
        for file in read_all() {
            for many in file.many() {
                let faults = give(&many.entry, &many.text);
                let came: Vec<_> =
                    faults.iter().map(|fault| [fault.kind.code(), fault.place.as_str()]).collect();
                let wanted: Vec<_> =
                    many.faults.iter().map(|fault| [fault.kind.as_str(), fault.place.as_str()]).collect();
                assert_eq!(came, wanted, "{}", file.name);
                let kinds: BTreeSet<_> = wanted.iter().map(|[kind, _]| kind).collect();
                most = most.max(kinds.len());
            }
        }
        assert!(most >= 12, "no document has twelve kinds of fault, only {most}");
    }

    #[test]
    fn every_message_is_one_that_a_person_can_act_on() {
        for file in read_all() {
            for row in file.rows() {
                for fault in give(&row.entry, &file.text_of(row)) {
                    let text = fault.to_string();
                    assert!(!fault.advice.is_empty() && !fault.problem.is_empty(), "{text}");
                    // What was given is either repeated or named by the problem's own words.
                    let says_what = !fault.given.is_empty() || !fault.place.is_empty();
                    assert!(says_what || fault.problem.contains("no "), "{text}");
                    assert!(text.chars().count() < 4_000 && !fault.given.contains('\n'), "{text}");
                    for word in ["panic", "unwrap", "Some(", "None", "expected struct", "$__"] {
                        assert!(!text.contains(word), "{word} in: {text}");
                    }
                }
            }
        }
    }
}
