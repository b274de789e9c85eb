//! Forms with one ridge or none: gable, lean-to, hipped and half-hipped.

use super::super::document::FormDocument;
use super::super::reading::Reading;
use super::super::roof::EdgeRole::{self, Eaves, Hip, Ridge, TopAbutment, Verge};
use super::faces::{Faces, ONE_CORNER_M};
use super::{Body, Form, HIPS};
use crate::error::FaultKind;
use crate::quantity::{Pitch, figure, limit};

/// The directions of the eaves in plan, left to right as seen from outside.
pub(super) const FRONT: (f64, f64) = (1.0, 0.0);
pub(super) const REAR: (f64, f64) = (-1.0, 0.0);
pub(super) const LEFT: (f64, f64) = (0.0, -1.0);
pub(super) const RIGHT: (f64, f64) = (0.0, 1.0);

/// An end of a roof: how far the hip runs in along the ridge, and how far up the main slopes' plan it begins.
/// A gable has no run; a whole hip begins at the eaves.
#[derive(Debug, Clone, Copy)]
struct End {
    hip_run_m: f64,
    begins_m: f64,
}

impl Reading {
    pub(super) fn gabled(&mut self, form: &FormDocument, which: Form) -> Option<Faces> {
        let body = self.body(form);
        let hip_pitch = self.pitch("hip_pitch", &form.hip_pitch);
        let hips = self.choice("hips", &form.hips, HIPS, FaultKind::HipsUnknown).unwrap_or((true, true));
        match which {
            Form::LeanTo => Some(lean_to(body?)),
            Form::Hipped => {
                let body = body?;
                self.hipped(body, hip_pitch.unwrap_or(body.pitch), hips, 0.0)
            }
            Form::HalfHipped => {
                let measure = self.either_length(
                    ("hip_height", &form.hip_height),
                    ("half_hip_eaves", &form.half_hip_eaves),
                    &limit::slope_length,
                );
                let (body, measure) = (body?, measure?);
                // Half the eaves of the half-hip, which is also how far up the main slopes' plan they end.
                let half = match measure {
                    Ok(height) => height / body.pitch.rise_per_run(),
                    Err(eaves) => eaves / 2.0,
                };
                let run = body.span_m / 2.0;
                if half > run - ONE_CORNER_M {
                    self.does_not_close(
                        "has a half-hip as wide as the gable",
                        format!(
                            "half-hip eaves of {} m, span {} m",
                            figure(half * 2.0, 3),
                            figure(body.span_m, 3)
                        ),
                        format!(
                            "a hip height under {} m; a hip down to the eaves is the form hipped",
                            figure(run * body.pitch.rise_per_run(), 3)
                        ),
                    );
                    return None;
                }
                self.hipped(body, hip_pitch.unwrap_or(body.pitch), hips, run - half)
            }
            _ => self.hipped(body?, body?.pitch, (false, false), 0.0),
        }
    }

    /// Two main slopes; at each end a gable, a hip, or a half-hip that begins some way up the plan.
    fn hipped(
        &mut self,
        body: Body,
        hip_pitch: Pitch,
        (left, right): (bool, bool),
        begins_m: f64,
    ) -> Option<Faces> {
        let run = body.span_m / 2.0;
        let rise = (run - begins_m) * body.pitch.rise_per_run();
        let hip_run = rise / hip_pitch.rise_per_run();
        let ends = f64::from(u8::from(left) + u8::from(right));
        if body.length_m - ends * hip_run < -ONE_CORNER_M {
            self.does_not_close(
                "has hip ends that run past each other",
                format!(
                    "length {} m, each hip end takes {} m of it",
                    figure(body.length_m, 3),
                    figure(hip_run, 3)
                ),
                format!("a length of at least {} m", figure(ends * hip_run, 3)),
            );
            return None;
        }
        let end = |is_hipped: bool| is_hipped.then_some(End { hip_run_m: hip_run, begins_m });
        Some(two_slopes(body, hip_pitch, end(left), end(right)))
    }
}

fn lean_to(body: Body) -> Faces {
    let Body { length_m: length, span_m: span, pitch } = body;
    let mut faces = Faces::default();
    let [a, b, c, d] =
        [(0.0, 0.0), (length, 0.0), (length, span), (0.0, span)].map(|(u, v)| faces.corner(u, v));
    let round = vec![(a, "eaves", Eaves), (b, "right", Verge), (c, "top", TopAbutment), (d, "left", Verge)];
    faces.add("front", pitch, FRONT, round);
    faces
}

/// Front, rear, and the ends that are hipped.
fn two_slopes(body: Body, hip_pitch: Pitch, left: Option<End>, right: Option<End>) -> Faces {
    let Body { length_m: length, span_m: span, pitch } = body;
    let mut faces = Faces::default();
    let run = span / 2.0;
    let inset = |end: Option<End>| end.map_or(0.0, |end| end.hip_run_m);
    let ridge_left = faces.corner(inset(left), run);
    let ridge_right = faces.corner(length - inset(right), run);
    let [front_left, front_right, rear_right, rear_left] =
        [(0.0, 0.0), (length, 0.0), (length, span), (0.0, span)].map(|(u, v)| faces.corner(u, v));
    // The feet of the hips; of a gable they are not used.
    let foot = |faces: &mut Faces, end: Option<End>, at: f64| {
        let begins = end.map_or(0.0, |end| end.begins_m);
        (faces.corner(at, begins), faces.corner(at, span - begins))
    };
    let (left_front, left_rear) = foot(&mut faces, left, 0.0);
    let (right_front, right_rear) = foot(&mut faces, right, length);
    // Going round, a side is the verge up to the foot of the hip, then the hip; either may be missing.
    let rising = |end: Option<End>, foot: usize, base: usize, names: (&'static str, &'static str)| match end {
        None => vec![(base, names.0, Verge)],
        Some(end) if end.begins_m < ONE_CORNER_M => vec![(base, names.0, Hip)],
        Some(_) => vec![(base, names.0, Verge), (foot, names.1, Hip)],
    };
    let falling = |end: Option<End>, top: usize, foot: usize, names: (&'static str, &'static str)| match end {
        None => vec![(top, names.0, Verge)],
        Some(end) if end.begins_m < ONE_CORNER_M => vec![(top, names.0, Hip)],
        Some(_) => vec![(top, names.1, Hip), (foot, names.0, Verge)],
    };
    let right_side = ("right", "right-hip");
    let left_side = ("left", "left-hip");
    let mut front: Vec<(usize, &str, EdgeRole)> = vec![(front_left, "eaves", Eaves)];
    front.extend(rising(right, right_front, front_right, right_side));
    front.push((ridge_right, "top", Ridge));
    front.extend(falling(left, ridge_left, left_front, left_side));
    faces.add("front", pitch, FRONT, front);
    let mut rear: Vec<(usize, &str, EdgeRole)> = vec![(rear_right, "eaves", Eaves)];
    rear.extend(rising(left, left_rear, rear_left, right_side));
    rear.push((ridge_left, "top", Ridge));
    rear.extend(falling(right, ridge_right, right_rear, left_side));
    faces.add("rear", pitch, REAR, rear);
    if left.is_some() {
        let round = vec![(left_rear, "eaves", Eaves), (left_front, "right", Hip), (ridge_left, "left", Hip)];
        faces.add("left", hip_pitch, LEFT, round);
    }
    if right.is_some() {
        let round =
            vec![(right_front, "eaves", Eaves), (right_rear, "right", Hip), (ridge_right, "left", Hip)];
        faces.add("right", hip_pitch, RIGHT, round);
    }
    faces
}
