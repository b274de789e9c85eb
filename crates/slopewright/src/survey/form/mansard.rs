//! A mansard: on every side a lower slope and an upper one of another pitch.

use super::super::document::FormDocument;
use super::super::reading::Reading;
use super::super::roof::EdgeRole::{self, ChangeOfPitch, Eaves, Hip, Ridge, Verge};
use super::faces::{Faces, ONE_CORNER_M};
use super::gabled::{FRONT, LEFT, REAR, RIGHT};
use super::{Body, HIPS};
use crate::error::FaultKind;
use crate::quantity::{Pitch, figure, limit};

impl Reading {
    pub(super) fn mansard(&mut self, form: &FormDocument) -> Option<Faces> {
        let body = self.body(form);
        let upper = self.needed_pitch("upper_pitch", &form.upper_pitch);
        let measure = self.either_length(
            ("break_height", &form.break_height),
            ("lower_rafter", &form.lower_rafter),
            &limit::slope_length,
        );
        let hips = self.choice("hips", &form.hips, HIPS, FaultKind::HipsUnknown).unwrap_or_default();
        let (body, upper, measure) = (body?, upper?, measure?);
        let lower_run = match measure {
            Ok(height) => height / body.pitch.rise_per_run(),
            Err(rafter) => rafter / body.pitch.slope_factor(),
        };
        let run = body.span_m / 2.0;
        if lower_run > run - ONE_CORNER_M {
            self.does_not_close(
                "has lower slopes that meet below the change of pitch",
                format!("each lower slope takes {} m of the span", figure(lower_run, 3)),
                format!("less than {} m, half the span", figure(run, 3)),
            );
            return None;
        }
        let ends = f64::from(u8::from(hips.0) + u8::from(hips.1));
        if body.length_m - ends * run < -ONE_CORNER_M {
            self.does_not_close(
                "has hip ends that run past each other",
                format!(
                    "length {} m, each hip end takes {} m of it",
                    figure(body.length_m, 3),
                    figure(run, 3)
                ),
                format!("a length of at least {} m", figure(ends * run, 3)),
            );
            return None;
        }
        Some(two_pitches(body, upper, lower_run, hips))
    }
}

/// Four corners at one level: front left, front right, rear right, rear left.
fn level(faces: &mut Faces, body: Body, in_m: f64, (left, right): (bool, bool)) -> [usize; 4] {
    let from = if left { in_m } else { 0.0 };
    let to = body.length_m - if right { in_m } else { 0.0 };
    [(from, in_m), (to, in_m), (to, body.span_m - in_m), (from, body.span_m - in_m)]
        .map(|(u, v)| faces.corner(u, v))
}

fn two_pitches(body: Body, upper: Pitch, lower_run: f64, hips: (bool, bool)) -> Faces {
    let mut faces = Faces::default();
    let ridge = level(&mut faces, body, body.span_m / 2.0, hips);
    let eaves = level(&mut faces, body, 0.0, hips);
    let middle = level(&mut faces, body, lower_run, hips);
    for (part, pitch, low, high, foot, top) in [
        ("lower", body.pitch, eaves, middle, Eaves, ChangeOfPitch),
        ("upper", upper, middle, ridge, ChangeOfPitch, Ridge),
    ] {
        let raking = |is_hipped: bool| if is_hipped { Hip } else { Verge };
        let (at_left, at_right) = (raking(hips.0), raking(hips.1));
        // A side stands on the corner it begins from and the next, low and high.
        let mut add = |side: &str, along, from: usize, right: EdgeRole, left: EdgeRole| {
            let at =
                |level: [usize; 4], corner: usize| level.into_iter().cycle().nth(corner).unwrap_or_default();
            let (one, two) = (at(low, from), at(low, from + 1));
            let (three, four) = (at(high, from + 1), at(high, from));
            let round =
                vec![(one, "eaves", foot), (two, "right", right), (three, "top", top), (four, "left", left)];
            faces.add(&format!("{side} {part}"), pitch, along, round);
        };
        add("front", FRONT, 0, at_right, at_left);
        add("rear", REAR, 2, at_left, at_right);
        if hips.0 {
            add("left", LEFT, 3, Hip, Hip);
        }
        if hips.1 {
            add("right", RIGHT, 1, Hip, Hip);
        }
    }
    faces
}
