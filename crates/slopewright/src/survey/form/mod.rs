//! Whole roofs by their form: from measures in plan to slopes in their own planes, and the joints between them.

mod faces;
mod gabled;
mod mansard;
mod plan;
mod skeleton;
mod winged;

use std::collections::BTreeMap;

pub(super) use self::faces::SharedEdge;
use super::document::{FormDocument, SlopeDetailDocument};
use super::entry::{Entry, LengthText};
use super::reading::Reading;
use super::shape::NamedOutline;
use crate::error::{Fault, FaultKind};
use crate::quantity::{LengthIn as _, Limit, Pitch, limit};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Gable,
    Hipped,
    HalfHipped,
    LeanTo,
    Winged,
    Mansard,
    Plan,
}

const FORMS: &[(&str, Form)] = &[
    ("gable", Form::Gable),
    ("hipped", Form::Hipped),
    ("half-hipped", Form::HalfHipped),
    ("lean-to", Form::LeanTo),
    ("winged", Form::Winged),
    ("mansard", Form::Mansard),
    ("plan", Form::Plan),
];

impl Form {
    /// The measures it takes, beside name, form and the details of its slopes.
    const fn fields(self) -> &'static [&'static str] {
        match self {
            Self::Gable | Self::LeanTo => &["length", "span", "pitch"],
            Self::Hipped => &["length", "span", "pitch", "hip_pitch", "hips"],
            Self::HalfHipped => {
                &["length", "span", "pitch", "hip_pitch", "hips", "hip_height", "half_hip_eaves"]
            }
            Self::Winged => {
                &["length", "span", "pitch", "wing_span", "wing_length", "wing_from_left", "wing_pitch"]
            }
            Self::Mansard => {
                &["length", "span", "pitch", "upper_pitch", "break_height", "lower_rafter", "hips"]
            }
            Self::Plan => &["points", "pitch", "gables"],
        }
    }
}

/// Which ends are hipped, as `(left, right)` seen from the front.
const HIPS: &[(&str, (bool, bool))] =
    &[("both", (true, true)), ("left", (true, false)), ("right", (false, true))];

/// A slope of a form: its part of the name, pitch and outline, and what the survey says of it.
pub(super) struct FormSlope<'a> {
    pub(super) side: String,
    pub(super) pitch: Pitch,
    pub(super) outline: NamedOutline,
    pub(super) detail: Option<&'a SlopeDetailDocument>,
}

/// What a form comes to.
#[derive(Default)]
pub(super) struct FormSlopes<'a> {
    pub(super) slopes: Vec<FormSlope<'a>>,
    /// The edges that two of them share.
    pub(super) shared: Vec<SharedEdge>,
    /// What the survey says of slopes that are not made, since the form has a fault or no such slope.
    pub(super) without_face: Vec<(&'a str, &'a SlopeDetailDocument)>,
}

/// The measures that most forms share, in plan at the eaves.
#[derive(Debug, Clone, Copy)]
struct Body {
    length_m: f64,
    span_m: f64,
    pitch: Pitch,
}

impl Reading {
    /// The slopes of a form, and the edges that two of them share.
    pub(super) fn form<'a>(&mut self, form: &'a FormDocument) -> FormSlopes<'a> {
        self.unknown(FormDocument::FIELDS, &form.unknown);
        let words: Vec<&str> = FORMS.iter().map(|(word, _)| *word).collect();
        self.must_be_there("form", &form.form, &words.join(", "));
        let which = self.choice("form", &form.form, FORMS, FaultKind::FormUnknown);
        let details = self.details(form);
        let Some(which) = which else {
            // The measures can be read all the same, so that their faults are reported too.
            self.form_measures_alone(form);
            return FormSlopes { without_face: details.into_iter().collect(), ..FormSlopes::default() };
        };
        self.measures_fit(form, which);
        let faces = match which {
            Form::Gable | Form::LeanTo | Form::Hipped | Form::HalfHipped => self.gabled(form, which),
            Form::Winged => self.winged(form),
            Form::Mansard => self.mansard(form),
            Form::Plan => self.over_plan(form),
        };
        let Some(faces) = faces else {
            return FormSlopes { without_face: details.into_iter().collect(), ..FormSlopes::default() };
        };
        let is_face = |side: &str| faces.faces().iter().any(|face| face.side == side);
        for side in details.keys() {
            if !is_face(side) {
                let sides: Vec<&str> = faces.faces().iter().map(|face| face.side.as_str()).collect();
                self.fault(
                    Fault::new(FaultKind::FormHasNoSuchSlope, format!("has no slope '{side}'"))
                        .allowed(sides.join(", ")),
                );
            }
        }
        let slopes = faces
            .faces()
            .iter()
            .map(|face| FormSlope {
                side: face.side.clone(),
                pitch: face.pitch,
                outline: faces.outline(face),
                detail: details.get(face.side.as_str()).copied(),
            })
            .collect();
        let without_face = details.into_iter().filter(|(side, _)| !is_face(side)).collect();
        FormSlopes { slopes, shared: faces.shared(), without_face }
    }

    /// What the survey says of single slopes, by their side.
    fn details<'a>(&mut self, form: &'a FormDocument) -> BTreeMap<&'a str, &'a SlopeDetailDocument> {
        let mut details = BTreeMap::new();
        for (side, entry) in
            [("front", &form.front), ("rear", &form.rear), ("left", &form.left), ("right", &form.right)]
        {
            if let Some(detail) = self.entry(side, entry, "a table") {
                details.insert(side, detail);
            }
        }
        if let Some(slopes) = self.entry("slopes", &form.slopes, "a table of slopes") {
            for (side, entry) in slopes {
                let Some(detail) = self.entry(&format!("slope '{side}'"), entry, "a table") else { continue };
                if details.insert(side, detail).is_some() {
                    self.fault(
                        Fault::new(FaultKind::FormStatedTwice, format!("has the slope '{side}' twice"))
                            .allowed("the slope in 'slopes', or in the field of its own"),
                    );
                }
            }
        }
        details
    }

    /// A fault for each measure that the form does not take.
    fn measures_fit(&mut self, form: &FormDocument, which: Form) {
        let given = [
            ("length", form.length.is_absent()),
            ("span", form.span.is_absent()),
            ("hip_pitch", form.hip_pitch.is_absent()),
            ("hips", form.hips.is_absent()),
            ("hip_height", form.hip_height.is_absent()),
            ("half_hip_eaves", form.half_hip_eaves.is_absent()),
            ("wing_span", form.wing_span.is_absent()),
            ("wing_length", form.wing_length.is_absent()),
            ("wing_from_left", form.wing_from_left.is_absent()),
            ("wing_pitch", form.wing_pitch.is_absent()),
            ("upper_pitch", form.upper_pitch.is_absent()),
            ("break_height", form.break_height.is_absent()),
            ("lower_rafter", form.lower_rafter.is_absent()),
            ("points", form.points.is_absent()),
            ("gables", form.gables.is_absent()),
        ];
        for (field, is_absent) in given {
            if !is_absent && !which.fields().contains(&field) {
                self.fault(
                    Fault::new(
                        FaultKind::FieldNotForShape,
                        format!("has '{field}', which its form does not take"),
                    )
                    .allowed(which.fields().join(", "))
                    .advice("take the field out, or state the form that has it"),
                );
            }
        }
    }

    /// Reads the measures of a form that is not known, so that their faults are reported too.
    fn form_measures_alone(&mut self, form: &FormDocument) {
        if form.points.is_absent() {
            self.body(form);
        } else if let Some(corners) = self.corners("points", &form.points) {
            self.sound(&corners);
        }
        let size = &limit::slope_length;
        for (field, entry, limit) in [
            ("hip_height", &form.hip_height, size),
            ("half_hip_eaves", &form.half_hip_eaves, size),
            ("wing_span", &form.wing_span, size),
            ("wing_length", &form.wing_length, size),
            ("wing_from_left", &form.wing_from_left, &limit::slope_offset),
            ("break_height", &form.break_height, size),
            ("lower_rafter", &form.lower_rafter, size),
        ] {
            self.length(field, entry, limit);
        }
        for (field, entry) in [
            ("hip_pitch", &form.hip_pitch),
            ("wing_pitch", &form.wing_pitch),
            ("upper_pitch", &form.upper_pitch),
        ] {
            self.pitch(field, entry);
        }
        self.choice("hips", &form.hips, HIPS, FaultKind::HipsUnknown);
    }

    /// Length, span and pitch.
    fn body(&mut self, form: &FormDocument) -> Option<Body> {
        let length = self.needed_length("length", &form.length, &limit::slope_length);
        let span = self.needed_length("span", &form.span, &limit::slope_length);
        let pitch = self.needed_pitch("pitch", &form.pitch);
        Some(Body { length_m: length?.m(), span_m: span?.m(), pitch: pitch? })
    }

    /// One of two lengths that say the same thing: `Ok` the first, `Err` the second. A fault if both or none are
    /// given.
    fn either_length(
        &mut self,
        (one_field, one): (&str, &Entry<LengthText>),
        (other_field, other): (&str, &Entry<LengthText>),
        limit: &Limit,
    ) -> Option<Result<f64, f64>> {
        let first = self.length(one_field, one, limit);
        let second = self.length(other_field, other, limit);
        match (one.is_absent(), other.is_absent()) {
            (true, true) => {
                let wanted = format!("has neither '{one_field}' nor '{other_field}'");
                self.fault(Fault::new(FaultKind::FieldMissing, wanted).allowed("one of the two"));
                None
            }
            (false, false) => {
                let both = format!("has both '{one_field}' and '{other_field}'");
                self.fault(Fault::new(FaultKind::FormStatedTwice, both).allowed("one of the two"));
                None
            }
            _ => first.map(|one| Ok(one.m())).or_else(|| second.map(|other| Err(other.m()))),
        }
    }

    /// A fault of a form whose measures do not go together.
    fn does_not_close(&mut self, message: &str, given: String, allowed: String) {
        self.fault(Fault::new(FaultKind::FormDoesNotClose, message).given(given).allowed(allowed));
    }
}

/// The details of a form's slope, made where they are absent, for builders.
pub(super) fn detail_of<'a>(form: &'a mut FormDocument, side: &str) -> &'a mut SlopeDetailDocument {
    let entry: &mut Entry<SlopeDetailDocument> = match side {
        "front" => &mut form.front,
        "rear" => &mut form.rear,
        "left" => &mut form.left,
        "right" => &mut form.right,
        other => form.slopes.given_or_new().entry(other.to_owned()).or_default(),
    };
    entry.given_or_new()
}
