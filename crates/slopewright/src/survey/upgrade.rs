//! Documents of older versions, brought up to the version of this library step by step.
//!
//! When the document changes so that an old one would be read wrongly or not at all, its version goes up by one and a step
//! is added that makes the new document of the old. Steps are never changed and never left out, so a document of any
//! age can be read. Version 1 is the first: there is no step as yet. The steps of surveys stand here; those of salvage and
//! order documents, which have a version of their own, beside the documents.

use serde_json::{Map, Value};

use super::document::DOCUMENT_VERSION;

/// Makes the next version of a document.
pub(crate) type Step = fn(&mut Map<String, Value>);

/// The steps of surveys; that from version 1 to 2 comes first.
pub(super) const STEPS: &[Step] = &[];

/// Whether a document of this version can be brought up to this library's.
pub(super) fn is_older(version: u32) -> bool {
    (1..DOCUMENT_VERSION).contains(&version)
}

/// The document after all steps from its own version on.
pub(crate) fn upgraded(mut document: Map<String, Value>, version: u32, steps: &[Step]) -> Map<String, Value> {
    let done = usize::try_from(version).unwrap_or(usize::MAX).saturating_sub(1);
    for (step, next) in steps.iter().zip(2_u32..).skip(done) {
        step(&mut document);
        document.insert("slopewright".to_owned(), next.into());
    }
    document
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn there_is_a_step_for_every_version_but_the_first() {
        assert_eq!(STEPS.len() + 1, usize::try_from(DOCUMENT_VERSION).unwrap());
        assert!(!is_older(0) && !is_older(DOCUMENT_VERSION));
    }

    /// Two made-up steps: a field is renamed, then becomes a list.
    #[test]
    fn an_old_document_takes_every_step_from_its_own_version() {
        let steps: &[Step] = &[
            |document| {
                if let Some(old) = document.remove("tiles") {
                    document.insert("covering".to_owned(), old);
                }
            },
            |document| {
                if let Some(one) = document.get_mut("covering") {
                    *one = json!([one.take()]);
                }
            },
        ];
        let taken = |document: Value, version| {
            Value::Object(upgraded(document.as_object().unwrap().clone(), version, steps))
        };
        let newest = json!({ "slopewright": 3, "covering": ["plain"] });
        assert_eq!(taken(json!({ "slopewright": 1, "tiles": "plain" }), 1), newest);
        assert_eq!(taken(json!({ "slopewright": 2, "covering": "plain" }), 2), newest);
        assert_eq!(taken(newest.clone(), 3), newest);
    }
}
