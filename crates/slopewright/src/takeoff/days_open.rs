//! How long the underlay may lie open to the weather, against how long it is to.

use smol_str::SmolStr;

use super::TakeOff;
use crate::quantity::figure;
use crate::reason::{Finding, Severity};

impl TakeOff {
    /// The days open against the maker's limit, or the catalogue's where the survey gives none.
    pub(super) fn days_open_finding(&self, findings: &mut Vec<Finding>) {
        let Some(choice) = &self.underlay else { return };
        let by_catalogue = choice.underlay.days_open_most.as_ref();
        let (limit, source) = match (choice.days_open_most, by_catalogue) {
            (Some(stated), _) => (Some(f64::from(stated)), "stated by the survey".into()),
            (None, Some(figure)) => (Some(figure.value), figure.citation()),
            (None, None) => (None, SmolStr::default()),
        };
        let (severity, message) = match (choice.days_open.map(f64::from), limit) {
            (Some(days), Some(limit)) if days > limit => (
                Severity::Departure,
                format!(
                    "the underlay is to lie open for {} days and may for {}: cover it sooner, slope by slope, or sheet it over",
                    figure(days, 0),
                    figure(limit, 0)
                ),
            ),
            (Some(days), None) => (
                Severity::Caution,
                format!(
                    "the underlay is to lie open for {} days; how long it may is not known here: ask its maker",
                    figure(days, 0)
                ),
            ),
            (None, Some(limit)) => (
                Severity::Caution,
                format!(
                    "the underlay may lie open for {} days; how long it is to is not stated",
                    figure(limit, 0)
                ),
            ),
            (Some(_), Some(_)) | (None, None) => return,
        };
        findings.push(Finding::new(severity, "underlay", message).by("days open to the weather", source));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::SurveyDocument;

    fn severity(underlay: &str) -> Option<Severity> {
        let text = format!(
            "slopewright = 1\ncovering.format = \"plain-tile-265x165\"\nunderlay = {{ {underlay} }}\n[[form]]\nform = \
             \"gable\"\nlength = \"8 m\"\nspan = \"6 m\"\npitch = \"45 deg\""
        );
        let roof = TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap();
        let findings = roof.findings();
        findings.iter().find(|finding| finding.place == "underlay").map(|finding| finding.severity)
    }

    #[test]
    fn both_sides_of_the_limit() {
        // Limits of makers run from two weeks to four months (from memory); the catalogue has the shortest.
        let membrane = |more: &str| severity(&format!("format = \"membrane-1x50\"{more}"));
        assert_eq!(membrane(", days_open = 14"), None);
        assert_eq!(membrane(", days_open = 15"), Some(Severity::Departure));
        assert_eq!(membrane(", days_open = 15, days_open_most = 15"), None);
        assert_eq!(membrane(", days_open = 16, days_open_most = 15"), Some(Severity::Departure));
        assert_eq!(membrane(""), Some(Severity::Caution));
        // A felt of which no limit is known.
        assert_eq!(severity("format = \"felt-no15\", days_open = 3"), Some(Severity::Caution));
        assert_eq!(severity("format = \"felt-no15\""), None);
    }
}
