//! What all slopes of a batch share: a survey without slopes, and every covering of the catalogue laid as it says.

use std::collections::BTreeMap;

use super::document::{CoveringDocument, SurveyDocument};
use super::entry::Entry;
use super::reading::Reading;
use super::roof::{Laying, Roof};
use crate::catalogue::Catalogue;
use crate::error::{Error, Fault, FaultKind, Result};

/// A checked survey without slopes: the terms under which the slopes of a batch are taken off.
#[derive(Debug, Clone)]
pub struct Terms {
    /// Exposure, battens, underlay, fixings; it has no slopes.
    pub roof: Roof,
    default_key: Option<String>,
    layings: BTreeMap<String, Result<Laying>>,
}

impl SurveyDocument {
    /// Checks the survey as the terms of a batch against the built-in catalogue. Its slopes, forms and joints are not
    /// looked at; its covering may leave the format to each slope.
    ///
    /// # Errors
    /// With every fault of the document, each with its place.
    pub fn check_terms(&self) -> Result<Terms> {
        self.check_terms_with(Catalogue::standard())
    }

    /// The same against a catalogue.
    ///
    /// # Errors
    /// As [`SurveyDocument::check_terms`].
    pub fn check_terms_with(&self, catalogue: &Catalogue) -> Result<Terms> {
        let mut reading = Reading::default();
        let own = reading.head(self, catalogue);
        let catalogue = own.as_ref().unwrap_or(catalogue);
        let covering = reading.entry("covering", &self.covering, "a table").cloned().unwrap_or_default();
        let default_key = covering.format.given().cloned();
        let (roof, ()) = reading.terms(self, catalogue, |reading| {
            if !covering.format.is_absent() {
                reading.within("covering", |reading| reading.laying(&covering, catalogue));
            }
        });
        reading.finish()?;
        let layings = catalogue.coverings().iter().map(|format| {
            let covering = CoveringDocument { format: Entry::Given(format.key.clone()), ..covering.clone() };
            let mut reading = Reading::default();
            let laying = reading.within("covering", |reading| reading.laying(&covering, catalogue));
            let laying = match (reading.finish(), laying) {
                (Err(error), _) => Err(error),
                (Ok(()), Some(laying)) => Ok(laying),
                (Ok(()), None) => {
                    Err(Fault::new(FaultKind::CoveringMissing, "cannot be laid").at("covering").into())
                }
            };
            (format.key.clone(), laying)
        });
        Ok(Terms { roof, default_key, layings: layings.collect() })
    }
}

impl Terms {
    /// How the covering with this key is laid; with an empty key, the one that the survey names.
    ///
    /// # Errors
    /// If there is no such covering, or if it cannot be laid as the survey says.
    pub fn laying(&self, key: &str) -> Result<&Laying> {
        let key = match (key, &self.default_key) {
            ("", Some(key)) => key.as_str(),
            ("", None) => {
                let fault = Fault::new(FaultKind::CoveringMissing, "is missing, and there is none for all")
                    .allowed("the key of a format in the catalogue");
                return Err(fault.at("covering").into());
            }
            (key, _) => key,
        };
        match self.layings.get(key) {
            Some(Ok(laying)) => Ok(laying),
            Some(Err(error)) => Err(error.clone()),
            None => Err(unknown(key, self.layings.keys())),
        }
    }
}

fn unknown<'a>(key: &str, known: impl Iterator<Item = &'a String>) -> Error {
    let known: Vec<&str> = known.map(String::as_str).collect();
    Fault::new(
        FaultKind::CoveringUnknown,
        format!("has the format '{key}', which the catalogue does not have"),
    )
    .given(format!("\"{key}\""))
    .allowed(known.join(", "))
    .at("covering")
    .into()
}
