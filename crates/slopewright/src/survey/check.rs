//! From the document to a checked roof: every fault at once, each with its place.

use std::collections::BTreeSet;

use super::check_edges::EdgeTable;
use super::document::{
    CoveringDocument, DOCUMENT_VERSION, FormDocument, OpeningDocument, SlopeDetailDocument, SlopeDocument,
    SurveyDocument,
};
use super::entry::Entry;
use super::form::{FormSlopes, SharedEdge};
use super::joint::{EdgeRef, Joint, is_shared};
use super::reading::Reading;
use super::roof::{Laying, Roof, Slope};
use super::shape::{NamedOutline, SHAPES, Shape};
use crate::catalogue::Catalogue;
use crate::error::{Fault, FaultKind, Result};
use crate::quantity::{Pitch, limit};
use crate::rules::Exposure;

const EXPOSURES: &[(&str, Exposure)] =
    &[("sheltered", Exposure::Sheltered), ("moderate", Exposure::Moderate), ("severe", Exposure::Severe)];

/// What the survey says of the edges, openings and covering of a slope.
type Details<'a> =
    (&'a Entry<EdgeTable>, &'a Entry<Vec<Entry<OpeningDocument>>>, &'a Entry<CoveringDocument>);

impl SurveyDocument {
    /// Checks the survey against the built-in catalogue.
    ///
    /// # Errors
    /// With every fault of the document, each with its place.
    pub fn check(&self) -> Result<Roof> {
        self.check_with(Catalogue::standard())
    }

    /// Checks the survey against a catalogue.
    ///
    /// # Errors
    /// With every fault of the document, each with its place.
    pub fn check_with(&self, catalogue: &Catalogue) -> Result<Roof> {
        let mut reading = Reading::default();
        let roof = reading.survey(self, catalogue);
        reading.finish()?;
        Ok(Roof { survey_sha256: self.sha256(), ..roof })
    }
}

impl Reading {
    fn survey(&mut self, survey: &SurveyDocument, catalogue: &Catalogue) -> Roof {
        let own = self.head(survey, catalogue);
        let catalogue = own.as_ref().unwrap_or(catalogue);
        let (roof, laying) = self.terms(survey, catalogue, |reading| {
            let covering = reading.entry("covering", &survey.covering, "a table");
            covering.map(|covering| reading.within("covering", |reading| reading.laying(covering, catalogue)))
        });
        let (slopes, mut joints) = self.slopes(survey, laying.as_ref(), catalogue);
        self.tell_uncovered();
        if let (None, Some(faulty)) = (&own, survey.catalogue.given()) {
            self.forget_keys_of(&faulty.to_string());
        }
        let mut taken: BTreeSet<EdgeRef> = joints.iter().flat_map(|joint| joint.sides).collect();
        joints.extend(self.joints(&survey.joint, &slopes, &mut taken));
        Roof { slopes, joints, ..roof }
    }

    /// The version, strange fields, and the survey's own catalogue.
    pub(super) fn head(&mut self, survey: &SurveyDocument, catalogue: &Catalogue) -> Option<Catalogue> {
        self.version(&survey.slopewright);
        self.unknown(SurveyDocument::FIELDS, &survey.unknown);
        self.own_catalogue(survey, catalogue)
    }

    /// What a survey says of all its slopes: a roof without any. `covering` reads the covering in its turn.
    pub(super) fn terms<L>(
        &mut self,
        survey: &SurveyDocument,
        catalogue: &Catalogue,
        covering: impl FnOnce(&mut Self) -> L,
    ) -> (Roof, L) {
        let name = self.name("name", &survey.name);
        let exposure = self.choice("exposure", &survey.exposure, EXPOSURES, FaultKind::ExposureUnknown);
        let laying = covering(self);
        let battens = self.entry("battens", &survey.battens, "a table");
        let battens = self.within("battens", |reading| reading.battens(battens, catalogue));
        let underlay = self
            .entry("underlay", &survey.underlay, "a table")
            .and_then(|underlay| self.within("underlay", |reading| reading.underlay(underlay, catalogue)));
        let fixings = self.entry("fixings", &survey.fixings, "a table");
        let fixings = self.within("fixings", |reading| reading.fixings(fixings, catalogue));
        let edgework = self.entry("edgework", &survey.edgework, "a table");
        let edgework = self.within("edgework", |reading| reading.edgework(edgework, catalogue));
        let measuring = self.measuring(&survey.measuring);
        let timbers = self.entry("timbers", &survey.timbers, "a table");
        let timbers = self.within("timbers", |reading| reading.timbers(timbers, catalogue));
        let old_covering = self.entry("old_covering", &survey.old_covering, "a table");
        let old_covering =
            self.within("old_covering", |reading| reading.old_covering(old_covering, catalogue));
        let roof = Roof {
            name: name.unwrap_or_else(|| "roof".to_owned()),
            survey_sha256: String::new(),
            exposure: exposure.unwrap_or(Exposure::Moderate),
            slopes: Vec::new(),
            joints: Vec::new(),
            battens,
            underlay,
            fixings,
            edgework,
            measuring,
            timbers,
            old_covering,
        };
        (roof, laying)
    }

    fn version(&mut self, version: &Entry<u32>) {
        let wanted = format!("slopewright = {DOCUMENT_VERSION}");
        match version {
            Entry::Given(version) if *version == DOCUMENT_VERSION => {}
            Entry::Absent => {
                self.fault(Fault::new(FaultKind::VersionMissing, "has no version").allowed(wanted));
            }
            Entry::Given(version) => {
                self.fault(
                    Fault::new(FaultKind::VersionUnknown, "is of a version that is not known here")
                        .given(version)
                        .allowed(wanted),
                );
            }
            Entry::Unreadable(value) => {
                self.fault(
                    Fault::new(FaultKind::VersionUnknown, "is of a version that is not known here")
                        .given(value)
                        .allowed(wanted),
                );
            }
        }
    }

    fn own_catalogue(&mut self, survey: &SurveyDocument, catalogue: &Catalogue) -> Option<Catalogue> {
        let own = self.entry("catalogue", &survey.catalogue, "a table")?;
        self.within("catalogue", |reading| match toml::to_string(own) {
            Ok(text) => reading.taken(catalogue.with_toml(&text)),
            Err(error) => {
                reading.fault(
                    Fault::new(FaultKind::FieldWrongType, format!("is not a catalogue: {error}"))
                        .allowed("a table"),
                );
                None
            }
        })
    }

    /// All slopes, those of forms first, with one name each.
    fn slopes(
        &mut self,
        survey: &SurveyDocument,
        laying: Option<&Option<Laying>>,
        catalogue: &Catalogue,
    ) -> (Vec<Slope>, Vec<Joint>) {
        let many = Some((&limit::slopes, FaultKind::TooManySlopes));
        let mut slopes = Vec::new();
        let mut joints = Vec::new();
        let mut names = BTreeSet::new();
        let mut places = BTreeSet::new();
        let forms = self.list("form", &survey.form, many);
        let is_only_form = forms.len() == 1;
        for (number, form) in forms {
            let place = named_apart("form", number, &form.name, &mut places);
            self.within(place, |reading| {
                let name = reading.unique_name(&form.name, &mut names);
                let name = name.or_else(|| (!is_only_form).then(|| format!("form {number}")));
                let first = slopes.len();
                let (made, shared) = reading.form_slopes(form, laying, catalogue);
                let mut sides = Vec::with_capacity(made.len());
                for (side, slope) in made {
                    let name = name.as_ref().map_or_else(|| side.clone(), |name| format!("{name} {side}"));
                    sides.push(side);
                    slopes.push(Slope { name, ..slope });
                }
                joints.extend(form_joints(&slopes, first, &sides, &shared));
            });
        }
        for (number, slope) in self.list("slope", &survey.slope, many) {
            let place = named_apart("slope", number, &slope.name, &mut places);
            self.within(place, |reading| {
                let name = reading.unique_name(&slope.name, &mut names);
                if let Some(read) = reading.slope(slope, laying, catalogue) {
                    slopes.push(Slope { name: name.unwrap_or_else(|| number.to_string()), ..read });
                }
            });
        }
        let has_no_form = survey.form.is_absent() || survey.form.given().is_some_and(Vec::is_empty);
        let has_no_slope = survey.slope.is_absent() || survey.slope.given().is_some_and(Vec::is_empty);
        if has_no_form && has_no_slope {
            self.fault(
                Fault::new(FaultKind::NoSlopes, "has no slope and no form").allowed(limit::slopes.range()),
            );
        }
        self.slopes_are_few_and_told_apart(&slopes);
        (slopes, joints)
    }

    /// A form makes slopes of its own: their number and names are known only here.
    fn slopes_are_few_and_told_apart(&mut self, slopes: &[Slope]) {
        if u32::try_from(slopes.len()).map_or(true, |count| f64::from(count) > limit::slopes.most) {
            self.fault(
                Fault::new(FaultKind::TooManySlopes, "has too many slopes, those of its forms included")
                    .given(slopes.len())
                    .allowed(limit::slopes.range()),
            );
        }
        let mut names = BTreeSet::new();
        for slope in slopes.iter().filter(|slope| !names.insert(&slope.name)) {
            self.within(format!("slope '{}'", slope.name), |reading| {
                reading.fault(
                    Fault::new(FaultKind::NameRepeated, "has the name of another, or of a slope of a form")
                        .given(format!("\"{}\"", slope.name)),
                );
            });
        }
    }

    fn unique_name(&mut self, entry: &Entry<String>, names: &mut BTreeSet<String>) -> Option<String> {
        let name = self.name("name", entry)?;
        if names.insert(name.clone()) {
            return Some(name);
        }
        self.fault(
            Fault::new(FaultKind::NameRepeated, "has the name of another").given(format!("\"{name}\"")),
        );
        None
    }

    /// The slopes of a form by their side, and the edges that two of them share.
    fn form_slopes(
        &mut self,
        form: &FormDocument,
        laying: Option<&Option<Laying>>,
        catalogue: &Catalogue,
    ) -> (Vec<(String, Slope)>, Vec<SharedEdge>) {
        let mut slopes = Vec::new();
        let FormSlopes { slopes: sides, shared, without_face } = self.form(form);
        for (side, detail) in without_face {
            self.within(side, |reading| {
                reading.unknown(SlopeDetailDocument::FIELDS, &detail.unknown);
                reading.edges_alone(&detail.edges);
                reading.openings(None, &[], &detail.opening);
                if !detail.covering.is_absent() {
                    reading.laying_of(&detail.covering, laying, catalogue);
                }
            });
        }
        if sides.is_empty() && laying.is_none() {
            self.has_no_covering();
        }
        for slope in sides {
            let nothing = SlopeDetailDocument::default();
            let detail = slope.detail.unwrap_or(&nothing);
            let made = self.within(slope.side.clone(), |reading| {
                reading.unknown(SlopeDetailDocument::FIELDS, &detail.unknown);
                let details = (&detail.edges, &detail.opening, &detail.covering);
                reading.made(slope.pitch, &slope.outline, details, laying, catalogue)
            });
            slopes.extend(made.map(|made| (slope.side, made)));
        }
        (slopes, shared)
    }

    fn slope(
        &mut self,
        slope: &SlopeDocument,
        laying: Option<&Option<Laying>>,
        catalogue: &Catalogue,
    ) -> Option<Slope> {
        self.unknown(SlopeDocument::FIELDS, &slope.unknown);
        let words: Vec<&str> = SHAPES.iter().map(|(word, _)| *word).collect();
        self.must_be_there("shape", &slope.shape, &words.join(", "));
        let shape = self.choice("shape", &slope.shape, SHAPES, FaultKind::ShapeUnknown);
        let pitch = self.needed_pitch("pitch", &slope.pitch);
        if shape.is_none() {
            self.measures_alone(slope);
        }
        let outline = shape.and_then(|shape: Shape| self.outline(slope, shape, pitch));
        let (Some(pitch), Some(outline)) = (pitch, outline) else {
            // The rest can be read all the same, so that its faults are reported too.
            self.edges_alone(&slope.edges);
            self.openings(None, &[], &slope.opening);
            self.laying_of(&slope.covering, laying, catalogue);
            return None;
        };
        self.made(pitch, &outline, (&slope.edges, &slope.opening, &slope.covering), laying, catalogue)
    }

    /// A slope from its outline and what the survey says of its edges, openings and covering.
    fn made(
        &mut self,
        pitch: Pitch,
        outline: &NamedOutline,
        (edge_entries, opening_entries, covering): Details<'_>,
        laying: Option<&Option<Laying>>,
        catalogue: &Catalogue,
    ) -> Option<Slope> {
        let before = self.count();
        let made_edges = self.edges(outline, edge_entries);
        let openings = self.openings(Some(outline), &made_edges, opening_entries);
        let laying = self.laying_of(covering, laying, catalogue);
        let laying = laying?;
        (self.count() == before).then_some(Slope {
            name: String::new(),
            pitch,
            edges: made_edges,
            openings,
            laying,
            tape: outline.tape.clone(),
        })
    }
}

/// The joints among the slopes of one form, which begin at `first`. Where the survey gives the two edges different
/// roles they are no joint.
fn form_joints(slopes: &[Slope], first: usize, sides: &[String], shared: &[SharedEdge]) -> Vec<Joint> {
    let find = |(side, name): &(String, String)| {
        let slope = first + sides.iter().position(|other| other == side)?;
        let edge = slopes.get(slope)?.edges.iter().position(|edge| edge.name == *name)?;
        Some(EdgeRef { slope, edge })
    };
    let role = |side: EdgeRef| slopes.get(side.slope)?.edges.get(side.edge).map(|edge| edge.role);
    shared
        .iter()
        .filter_map(|[one, other]| Some([find(one)?, find(other)?]))
        .filter(|[one, other]| role(*one) == role(*other) && role(*one).is_some_and(is_shared))
        .filter_map(|sides| Joint::between(slopes, sides))
        .collect()
}

/// As [`named`], and `slope 2` too where an earlier one has the name: a place is of one thing.
pub(super) fn named_apart(
    noun: &str,
    number: usize,
    name: &Entry<String>,
    earlier: &mut BTreeSet<String>,
) -> String {
    let place = named(noun, number, name);
    if earlier.insert(place.clone()) { place } else { format!("{noun} {number}") }
}

/// `slope 'north'` where it has a name, else `slope 2`.
pub(super) fn named(noun: &str, number: usize, name: &Entry<String>) -> String {
    match name.given() {
        Some(name)
            if !name.is_empty() && name.chars().count() <= 60 && !name.chars().any(char::is_control) =>
        {
            format!("{noun} '{name}'")
        }
        _ => format!("{noun} {number}"),
    }
}
