//! Dimensions as the trade draws them: a line beside what is measured, a slanting tick at each end, the figure in
//! millimetres over it.

use super::sheet::{DIMENSION_INK, Frame, SMALL, Sheet, mm_text};
use super::words::width_of;
use crate::survey::outline::Point;

/// How far the dimension of an edge stands off it.
pub(super) const OFF_EDGE: f64 = 12.0;

/// A dimension between two places of a sheet, moved to the right of the way from one to the other. The text is left out
/// if there is no room for it; returns whether it was written.
pub(super) fn dimension(
    sheet: &mut Sheet,
    from: (f64, f64),
    to: (f64, f64),
    off: f64,
    text: &[&str],
) -> bool {
    let (along_x, along_y) = (to.0 - from.0, to.1 - from.1);
    let length = along_x.hypot(along_y);
    if length < 1e-6 {
        return false;
    }
    let way = (along_x / length, along_y / length);
    // On a sheet y runs down, so the right of the way (x, y) lies at (-y, x).
    let at = |along: f64, right: f64| {
        (
            (-way.1).mul_add(right, way.0.mul_add(along, from.0)),
            way.0.mul_add(right, way.1.mul_add(along, from.1)),
        )
    };
    let mut path = String::new();
    let mut line = |a: (f64, f64), b: (f64, f64)| {
        use core::fmt::Write as _;
        let [x, y, to_x, to_y] = [a.0, a.1, b.0, b.1].map(super::markup::number);
        let _ = write!(path, "M{x} {y}L{to_x} {to_y}");
    };
    line(at(0.0, off), at(length, off));
    for end in [0.0, length] {
        line(at(end, off.signum() * 2.5), at(end, off + off.signum() * 2.5));
        line(at(end - 2.2, off - 2.2), at(end + 2.2, off + 2.2));
    }
    let m = sheet.markup.open("path").set("d", &path).set("fill", "none");
    m.set("stroke", DIMENSION_INK).set("stroke-width", "0.7").close();

    figure_along(sheet, from, to, off, text)
}

/// The figure of a dimension whose line stands off the way from one place to another by so much; the first text for
/// which there is room. Returns whether there was.
pub(super) fn figure_along(
    sheet: &mut Sheet,
    from: (f64, f64),
    to: (f64, f64),
    off: f64,
    text: &[&str],
) -> bool {
    let (along_x, along_y) = (to.0 - from.0, to.1 - from.1);
    let length = along_x.hypot(along_y);
    let room = length - 2.0;
    let Some(words) = text.iter().find(|words| width_of(words) * SMALL <= room) else { return false };
    let along = (along_x / length, along_y / length);
    let outward = if off < 0.0 { -1.0 } else { 1.0 };
    let right = off + outward * 3.0;
    let mut x = (-along.1).mul_add(right, f64::midpoint(from.0, to.0));
    let mut y = along.0.mul_add(right, f64::midpoint(from.1, to.1));
    let mut angle = along.1.atan2(along.0).to_degrees();
    let mut is_over = off < 0.0;
    // Upright figures read from the right, as drawings are turned.
    if !(-90.5..=89.5).contains(&angle) {
        angle -= angle.signum() * 180.0;
        is_over = !is_over;
    }
    // The text stands on the far side of the line, whichever way up that is.
    let drop = if is_over { 0.0 } else { SMALL * 0.72 };
    let (sine, cosine) = angle.to_radians().sin_cos();
    x -= sine * drop;
    y += cosine * drop;
    let m = sheet.markup.open("text").num("x", x).num("y", y).set("text-anchor", "middle");
    m.set("fill", DIMENSION_INK);
    // On a pale ground of its own where something is drawn under it.
    m.set("stroke", "#fff")
        .set("stroke-width", "2")
        .set("stroke-opacity", "0.8")
        .set("paint-order", "stroke");
    if angle.abs() > 0.01 {
        let [angle, x, y] = [angle, x, y].map(super::markup::number);
        m.set("transform", &format!("rotate({angle} {x} {y})"));
    }
    m.text(words).close();
    true
}

/// A row of dimensions one after the other: the places in metres along one axis of the frame, in order.
pub(super) fn chain(sheet: &mut Sheet, frame: Frame, places: &[f64], at: ChainAt) {
    for (from, to) in places.iter().zip(places.iter().skip(1)) {
        let text = mm_text(to - from);
        match at {
            ChainAt::Below(y) => {
                dimension(
                    sheet,
                    (frame.x(*from), y - OFF_EDGE),
                    (frame.x(*to), y - OFF_EDGE),
                    OFF_EDGE,
                    &[&text],
                );
            }
            ChainAt::Left(x) => {
                let x = x + OFF_EDGE;
                dimension(sheet, (x, frame.y(*from)), (x, frame.y(*to)), -OFF_EDGE, &[&text]);
            }
        }
    }
}

/// Where a chain of dimensions stands.
#[derive(Debug, Clone, Copy)]
pub(super) enum ChainAt {
    /// Level, with its line at this height of the sheet.
    Below(f64),
    /// Upright, with its line at this place of the sheet.
    Left(f64),
}

/// Places in order without those closer than can be drawn apart, the ends kept.
pub(super) fn places_of(places: impl IntoIterator<Item = f64>, from: f64, to: f64) -> Vec<f64> {
    const NEAR_M: f64 = 0.001;
    let mut all: Vec<f64> =
        places.into_iter().filter(|at| *at > from + NEAR_M && *at < to - NEAR_M).collect();
    all.push(from);
    all.push(to);
    all.sort_unstable_by(f64::total_cmp);
    all.dedup_by(|later, earlier| *later - *earlier < NEAR_M);
    all
}

/// A point of the slope on the sheet.
pub(super) fn on_sheet(frame: Frame, p: Point) -> (f64, f64) {
    (frame.x(p.u), frame.y(p.v))
}
