//! A gabled roof with a cross wing: two valleys, and the main slope cut out between them.

use super::super::document::FormDocument;
use super::super::reading::Reading;
use super::super::roof::EdgeRole::{self, Eaves, Ridge, Valley, Verge};
use super::Body;
use super::faces::{Faces, ONE_CORNER_M};
use super::gabled::{FRONT, LEFT, REAR, RIGHT};
use crate::quantity::{LengthIn as _, Pitch, figure, limit};

/// The wing, in plan: its left and right eaves, how far it stands out before the front eaves, and how far its
/// ridge runs into the main roof.
#[derive(Debug, Clone, Copy)]
struct Wing {
    left_m: f64,
    right_m: f64,
    out_m: f64,
    in_m: f64,
    pitch: Pitch,
}

impl Reading {
    pub(super) fn winged(&mut self, form: &FormDocument) -> Option<Faces> {
        let body = self.body(form);
        let span = self.needed_length("wing_span", &form.wing_span, &limit::slope_length);
        let length = self.needed_length("wing_length", &form.wing_length, &limit::slope_length);
        let from_left = self.needed_length("wing_from_left", &form.wing_from_left, &limit::slope_offset);
        let pitch = self.pitch("wing_pitch", &form.wing_pitch);
        let (body, span, out_m, left_m) = (body?, span?.m(), length?.m(), from_left?.m());
        let pitch = pitch.unwrap_or(body.pitch);
        if left_m + span > body.length_m + ONE_CORNER_M {
            self.does_not_close(
                "has a wing that reaches past the end of the main roof",
                format!("{} m from the left and {} m wide", figure(left_m, 3), figure(span, 3)),
                format!("up to {} m, the length of the main roof", figure(body.length_m, 3)),
            );
            return None;
        }
        let run = body.span_m / 2.0;
        let (rise, main_rise) = (span / 2.0 * pitch.rise_per_run(), run * body.pitch.rise_per_run());
        if rise > main_rise + ONE_CORNER_M {
            self.does_not_close(
                "has a wing with a ridge above the main ridge",
                format!("wing ridge {} m above the eaves", figure(rise, 3)),
                format!("up to {} m, the height of the main ridge", figure(main_rise, 3)),
            );
            return None;
        }
        let in_m = rise / body.pitch.rise_per_run();
        let in_m = if in_m > run - ONE_CORNER_M { run } else { in_m };
        Some(with_wing(body, Wing { left_m, right_m: left_m + span, out_m, in_m, pitch }))
    }
}

fn with_wing(body: Body, wing: Wing) -> Faces {
    let Body { length_m: length, span_m: span, pitch } = body;
    let mut faces = Faces::default();
    let run = span / 2.0;
    let middle = f64::midpoint(wing.left_m, wing.right_m);
    let [front_left, front_right, rear_right, rear_left] =
        [(0.0, 0.0), (length, 0.0), (length, span), (0.0, span)].map(|(u, v)| faces.corner(u, v));
    let [ridge_left, ridge_right] = [0.0, length].map(|u| faces.corner(u, run));
    let [foot_left, foot_right] = [wing.left_m, wing.right_m].map(|u| faces.corner(u, 0.0));
    let [out_left, out_middle, out_right] =
        [wing.left_m, middle, wing.right_m].map(|u| faces.corner(u, -wing.out_m));
    let head = faces.corner(middle, wing.in_m);
    let reaches_ridge = wing.in_m >= run;
    let mut rear: Vec<(usize, &str, EdgeRole)> =
        vec![(rear_right, "eaves", Eaves), (rear_left, "right", Verge)];
    if reaches_ridge {
        // The wing parts the front slope in two, and the main ridge with it.
        let left = vec![
            (front_left, "eaves", Eaves),
            (foot_left, "right", Valley),
            (head, "top", Ridge),
            (ridge_left, "left", Verge),
        ];
        let right = vec![
            (foot_right, "eaves", Eaves),
            (front_right, "right", Verge),
            (ridge_right, "top", Ridge),
            (head, "left", Valley),
        ];
        faces.add("front left", pitch, FRONT, left);
        faces.add("front right", pitch, FRONT, right);
        rear.extend([(ridge_left, "top-right", Ridge), (head, "top-left", Ridge)]);
    } else {
        let front = vec![
            (front_left, "left-eaves", Eaves),
            (foot_left, "left-valley", Valley),
            (head, "right-valley", Valley),
            (foot_right, "right-eaves", Eaves),
            (front_right, "right", Verge),
            (ridge_right, "top", Ridge),
            (ridge_left, "left", Verge),
        ];
        faces.add("front", pitch, FRONT, front);
        rear.push((ridge_left, "top", Ridge));
    }
    rear.push((ridge_right, "left", Verge));
    faces.add("rear", pitch, REAR, rear);
    let left = vec![
        (foot_left, "eaves", Eaves),
        (out_left, "right", Verge),
        (out_middle, "top", Ridge),
        (head, "left", Valley),
    ];
    faces.add("wing left", wing.pitch, LEFT, left);
    let right = vec![
        (out_right, "eaves", Eaves),
        (foot_right, "right", Valley),
        (head, "top", Ridge),
        (out_middle, "left", Verge),
    ];
    faces.add("wing right", wing.pitch, RIGHT, right);
    faces
}
