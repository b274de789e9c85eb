//! The work under the covering: battens with their joints, underlay with its laps, rafters with the timbers round
//! openings. All of it is drawn in lines that let the layers below be seen.

use super::layer::Layer;
use super::markup::{PathData, tenths};
use super::sheet::{Frame, Sheet};
use crate::quantity::LengthIn;
use crate::survey::outline::bounds;
use crate::takeoff::{SlopeCutting, SlopeTakeOff, TakeOff};

const BATTEN_INK: &str = "#6b3e12";
const JOINT_INK: &str = "#b00020";
const UNDERLAY_INK: &str = "#0b6b4f";
const RAFTER_INK: &str = "#4a4a4a";

/// The battens as lines of their own width, and a mark at each joint.
pub(super) fn battens(
    sheet: &mut Sheet,
    frame: Frame,
    roof: &TakeOff,
    slope: &SlopeTakeOff,
    cut: Option<&SlopeCutting>,
) {
    let stated = roof.batten.as_ref().map(|batten| batten.width.value);
    let width = stated.or_else(|| slope.batten_rule.as_ref().map(|rule| rule.value.0));
    let width_m = width.map_or(0.0, LengthIn::m);
    // Never so thin that it cannot be seen.
    let drawn_m = width_m.max(frame.mm_of(0.7) / 1000.0);
    let mut rows = PathData::default();
    for row in &slope.battens.rows {
        let at = tenths(row.at_m - drawn_m / 2.0);
        rows.move_to((tenths(row.from_m), at));
        rows.line_to((tenths(row.to_m), at));
    }
    let mut joints = PathData::default();
    for row in cut.into_iter().flat_map(|of| &of.plan.rows) {
        let up = row.up.m();
        let reach = frame.mm_of(1.6) / 1000.0;
        for joint in row.runs.iter().flat_map(|run| &run.joints) {
            joints.move_to((tenths(joint.m()), tenths(up - drawn_m - reach)));
            joints.line_to((tenths(joint.m()), tenths(up + reach)));
        }
    }
    sheet.markup.open("g").set("transform", &frame.in_mm());
    stroked(sheet, "batten-rows", &rows, BATTEN_INK, drawn_m * 1000.0, Some("0.75"));
    stroked(sheet, "batten-joints", &joints, JOINT_INK, frame.mm_of(1.1), None);
    sheet.markup.close();
}

fn stroked(sheet: &mut Sheet, word: &str, path: &PathData, ink: &str, width_mm: f64, opacity: Option<&str>) {
    if path.is_empty() {
        return;
    }
    let id = sheet.id(word);
    let m = sheet.markup.open("path").set("id", &id).set("d", path.as_str()).set("fill", "none");
    m.set("stroke", ink).num("stroke-width", width_mm);
    if let Some(opacity) = opacity {
        m.set("stroke-opacity", opacity);
    }
    m.close();
}

/// Each run of underlay as wide as its roll; where two lie over each other the tone is deeper.
pub(super) fn underlay(sheet: &mut Sheet, frame: Frame, roof: &TakeOff, slope: &SlopeTakeOff) {
    let (Some(underlay), Some(choice)) = (&slope.underlay, &roof.underlay) else { return };
    let roll_m = choice.underlay.width.value.m();
    let (_, high) = slope.slope.levels_m();
    let past = underlay.laps.over_ridge_m.max(underlay.laps.up_wall_m).max(underlay.laps.over_hip_m);
    sheet.markup.open("g").set("transform", &frame.in_mm()).set("fill", UNDERLAY_INK);
    sheet.markup.set("fill-opacity", "0.16").set("stroke", UNDERLAY_INK);
    sheet.markup.num("stroke-width", frame.mm_of(0.7));
    let dashes =
        format!("{} {}", super::markup::number(frame.mm_of(5.0)), super::markup::number(frame.mm_of(2.0)));
    sheet.markup.set("stroke-dasharray", &dashes);
    for run in &underlay.runs {
        let top = (run.low_m + roll_m).min(high + past);
        let mut path = PathData::default();
        let [left, right, low, top] = [run.from_m, run.to_m, run.low_m, top].map(tenths);
        path.ring([(left, low), (right, low), (right, top), (left, top)]);
        sheet.markup.open("path").set("data-run", &run.run.to_string()).set("d", path.as_str()).close();
    }
    sheet.markup.close();
    for run in &underlay.runs {
        let (x, y) = (frame.x(run.from_m) + 3.0, frame.y(run.low_m) - 3.0);
        let m = sheet.markup.open("text").num("x", x).num("y", y).set("fill", UNDERLAY_INK);
        // A pale rim keeps it readable over the battens.
        m.set("stroke", "#fff").set("stroke-width", "2.5").set("paint-order", "stroke");
        m.set("font-size", "8").set("font-weight", "bold").text(&format!("run {}", run.run)).close();
    }
}

/// The centre lines of the rafters, broken at openings, and round each new opening the clear hole between headers.
pub(super) fn rafters(sheet: &mut Sheet, frame: Frame, roof: &TakeOff, slope: &SlopeTakeOff) {
    let Some(rafters) = slope.battens.rafters else { return };
    let turned = slope.layout.deck.turned();
    let (low, high) = bounds(&slope.slope.outline());
    let mut lines = PathData::default();
    for at in rafters.centres(low.u, high.u) {
        for (from, to) in turned.stretches_at(at) {
            lines.move_to((tenths(at), tenths(from)));
            lines.line_to((tenths(at), tenths(to)));
        }
    }
    let mut headers = PathData::default();
    for opening in slope.openings(roof) {
        let Some(timbers) = opening.timbers.filter(|timbers| timbers.cut > 0) else { continue };
        let [left, right, lower, upper] = timbers.clear_m;
        let before = rafters.centres(low.u, left).last().unwrap_or(left);
        let after = rafters.centres(right, high.u).next().unwrap_or(right);
        let half = timbers.rafter_width_m / 2.0;
        for level in [lower - half, upper + half] {
            headers.move_to((tenths(before), tenths(level)));
            headers.line_to((tenths(after), tenths(level)));
        }
        for (side, timber) in [(left, before), (right, after)] {
            // A trimmer where no rafter stands at the side of the hole.
            if timbers.trimmers > 0 && (side - timber).abs() > timbers.rafter_width_m.max(0.001) {
                headers.move_to((tenths(side), tenths(lower)));
                headers.line_to((tenths(side), tenths(upper)));
            }
        }
    }
    sheet.markup.open("g").set("transform", &frame.in_mm());
    let dashes: Vec<String> =
        [8.0, 2.0, 1.5, 2.0].iter().map(|units| super::markup::number(frame.mm_of(*units))).collect();
    if !lines.is_empty() {
        let id = sheet.id("rafter-lines");
        let m = sheet.markup.open("path").set("id", &id).set("d", lines.as_str()).set("fill", "none");
        m.set("stroke", RAFTER_INK).num("stroke-width", frame.mm_of(0.9));
        m.set("stroke-dasharray", &dashes.join(" ")).close();
    }
    let width_mm = roof.timbers.rafter_width.map_or(0.0, LengthIn::mm).max(frame.mm_of(2.0));
    stroked(sheet, "trimming", &headers, RAFTER_INK, width_mm, None);
    sheet.markup.close();
}

/// How a layer's lines look, in a box of millimetres on the slope.
pub(super) fn sample(sheet: &mut Sheet, frame: Frame, layer: Layer, (wide, high): (f64, f64)) {
    let (ink, width) = match layer {
        Layer::Battens => (BATTEN_INK, 2.4),
        Layer::Underlay => (UNDERLAY_INK, 0.8),
        Layer::Rafters => (RAFTER_INK, 0.9),
        _ => return,
    };
    let m = sheet.markup.open("path");
    let [wide_text, middle] = [wide, high / 2.0].map(super::markup::number);
    if layer == Layer::Underlay {
        m.set("d", &format!("M0 0H{wide_text}V{}H0Z", super::markup::number(high)));
        m.set("fill", ink).set("fill-opacity", "0.16");
    } else {
        m.set("d", &format!("M0 {middle}H{wide_text}")).set("fill", "none");
    }
    m.set("stroke", ink).num("stroke-width", frame.mm_of(width));
    if layer != Layer::Battens {
        m.set(
            "stroke-dasharray",
            &format!(
                "{} {}",
                super::markup::number(frame.mm_of(4.0)),
                super::markup::number(frame.mm_of(1.6))
            ),
        );
    }
    m.close();
    if layer == Layer::Battens {
        let (x, reach) = (wide * 0.6, frame.mm_of(3.0));
        let [x, low, top] = [x, high / 2.0 - reach, high / 2.0 + reach].map(super::markup::number);
        let m = sheet.markup.open("path").set("d", &format!("M{x} {low}V{top}")).set("stroke", JOINT_INK);
        m.num("stroke-width", frame.mm_of(1.1)).close();
    }
}
