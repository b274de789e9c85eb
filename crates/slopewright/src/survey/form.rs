//! Whole roofs by their form: from length, span and pitch in plan to slopes in their own planes.

use super::document::{FormDocument, SlopeDetailDocument};
use super::entry::Entry;
use super::reading::Reading;
use super::shape::NamedOutline;
use crate::error::{Fault, FaultKind};
use crate::quantity::{LengthIn as _, Pitch, figure, limit};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Gable,
    Hipped,
    LeanTo,
}

const FORMS: &[(&str, Form)] = &[("gable", Form::Gable), ("hipped", Form::Hipped), ("lean-to", Form::LeanTo)];

/// Which ends are hipped, as `(left, right)` seen from the front.
const HIPS: &[(&str, (bool, bool))] =
    &[("both", (true, true)), ("left", (true, false)), ("right", (false, true))];

/// A slope of a form: its part of the name, pitch and outline, and what the survey says of it.
pub(super) struct FormSlope<'a> {
    pub(super) side: &'static str,
    pub(super) pitch: Pitch,
    pub(super) outline: NamedOutline,
    pub(super) top_is_wall: bool,
    pub(super) detail: Option<&'a SlopeDetailDocument>,
}

/// Which edges of a form's slopes are one: by side and edge name. Pairs that a form does not have are passed over.
pub(super) const FORM_JOINTS: &[[(&str, &str); 2]] = &[
    [("front", "top"), ("rear", "top")],
    [("front", "right"), ("right", "left")],
    [("front", "left"), ("left", "right")],
    [("rear", "left"), ("right", "right")],
    [("rear", "right"), ("left", "left")],
];

impl Reading {
    /// The slopes of a form.
    pub(super) fn form<'a>(&mut self, form: &'a FormDocument) -> Vec<FormSlope<'a>> {
        self.unknown(FormDocument::FIELDS, &form.unknown);
        self.must_be_there("form", &form.form, "gable, hipped or lean-to");
        let which = self.choice("form", &form.form, FORMS, FaultKind::FormUnknown);
        let length = self.needed_length("length", &form.length, &limit::slope_length);
        let span = self.needed_length("span", &form.span, &limit::slope_length);
        let pitch = self.needed_pitch("pitch", &form.pitch);
        let hip_pitch = self.pitch("hip_pitch", &form.hip_pitch);
        let hips = self.choice("hips", &form.hips, HIPS, FaultKind::HipsUnknown);
        let details = [
            ("front", self.entry("front", &form.front, "a table")),
            ("rear", self.entry("rear", &form.rear, "a table")),
            ("left", self.entry("left", &form.left, "a table")),
            ("right", self.entry("right", &form.right, "a table")),
        ];
        let (Some(which), Some(length), Some(span), Some(pitch)) = (which, length, span, pitch) else {
            return Vec::new();
        };
        if which != Form::Hipped {
            for (field, is_absent) in
                [("hips", form.hips.is_absent()), ("hip_pitch", form.hip_pitch.is_absent())]
            {
                if !is_absent {
                    self.fault(
                        Fault::new(
                            FaultKind::FieldNotForShape,
                            format!("has '{field}', which only a hipped form takes"),
                        )
                        .allowed("length, span, pitch")
                        .advice("take the field out, or make the form \"hipped\""),
                    );
                }
            }
        }
        let (length, span) = (length.m(), span.m());
        let slopes = match which {
            Form::LeanTo => vec![(
                "front",
                pitch,
                NamedOutline::trapezoid(length, length, span * pitch.slope_factor(), 0.0),
            )],
            Form::Gable => {
                let rafter = span / 2.0 * pitch.slope_factor();
                let outline = NamedOutline::trapezoid(length, length, rafter, 0.0);
                vec![("front", pitch, outline.clone()), ("rear", pitch, outline)]
            }
            Form::Hipped => {
                self.hipped(length, span, pitch, hip_pitch.unwrap_or(pitch), hips.unwrap_or((true, true)))
            }
        };
        for (side, detail) in &details {
            if detail.is_some() && !slopes.is_empty() && !slopes.iter().any(|(name, ..)| name == side) {
                let sides: Vec<&str> = slopes.iter().map(|(name, ..)| *name).collect();
                self.fault(
                    Fault::new(FaultKind::FormHasNoSuchSlope, format!("has no slope '{side}'"))
                        .allowed(sides.join(", ")),
                );
            }
        }
        let detail_of =
            |side: &str| details.iter().find(|(name, _)| *name == side).and_then(|(_, detail)| *detail);
        slopes
            .into_iter()
            .map(|(side, pitch, outline)| FormSlope {
                side,
                pitch,
                outline,
                top_is_wall: which == Form::LeanTo,
                detail: detail_of(side),
            })
            .collect()
    }

    /// Two main slopes and one or two hip ends.
    fn hipped(
        &mut self,
        length: f64,
        span: f64,
        pitch: Pitch,
        hip_pitch: Pitch,
        (left, right): (bool, bool),
    ) -> Vec<(&'static str, Pitch, NamedOutline)> {
        let run = span / 2.0;
        let rise = run * pitch.rise_per_run();
        let hip_run = rise / hip_pitch.rise_per_run();
        let ends = f64::from(u8::from(left) + u8::from(right));
        let ridge = length - ends * hip_run;
        if ridge < -1e-6 {
            self.fault(
                Fault::new(FaultKind::FormDoesNotClose, "has hip ends that run past each other")
                    .given(format!(
                        "length {} m, each hip end takes {} m of it",
                        figure(length, 3),
                        figure(hip_run, 3)
                    ))
                    .allowed(format!("a length of at least {} m", figure(ends * hip_run, 3))),
            );
            return Vec::new();
        }
        let rafter = run * pitch.slope_factor();
        let main = |left_is_hipped: bool| {
            let offset = if left_is_hipped { hip_run } else { 0.0 };
            if ridge < 1e-6 {
                NamedOutline::triangle(length, rafter, offset)
            } else {
                NamedOutline::trapezoid(length, ridge, rafter, offset)
            }
        };
        // Seen from its own eaves, the rear slope has the building's right end on its left.
        let mut slopes = vec![("front", pitch, main(left)), ("rear", pitch, main(right))];
        let end = NamedOutline::triangle(span, hip_run * hip_pitch.slope_factor(), run);
        if left {
            slopes.push(("left", hip_pitch, end.clone()));
        }
        if right {
            slopes.push(("right", hip_pitch, end));
        }
        slopes
    }
}

/// The details of a form's slope, made where they are absent, for builders.
pub(super) fn detail_of<'a>(form: &'a mut FormDocument, side: &str) -> Option<&'a mut SlopeDetailDocument> {
    let entry: &mut Entry<SlopeDetailDocument> = match side {
        "front" => &mut form.front,
        "rear" => &mut form.rear,
        "left" => &mut form.left,
        "right" => &mut form.right,
        _ => return None,
    };
    Some(entry.given_or_new())
}
