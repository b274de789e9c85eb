//! The roof in plan.

use super::Drawing;
use super::dimension::dimension;
use super::layer::{DrawingOptions, Layer};
use super::markup::number;
use super::plan_places::{PlanSlope, plan_places};
use super::sheet::{EDGE, Frame, INK, Sheet, WIDE, heading_height, height_of, mm_text};
use super::words::apart;
use crate::quantity::{AreaIn as _, figure};
use crate::survey::outline::{Point, Ring, bounds, contains, edges};
use crate::survey::{EdgeRef, EdgeRole};
use crate::takeoff::TakeOff;

/// Room round the plan for its dimensions.
const ROUND: f64 = 40.0;
/// The most height that the plan takes.
const HIGHEST: f64 = 420.0;
/// So many slopes are listed under the plan.
const MOST_LISTED: usize = 60;

/// How each kind of edge is drawn: the role, ink, width, dashes.
const LINES: [(EdgeRole, &str, &str, &str); 8] = [
    (EdgeRole::Eaves, "#26211c", "1.2", ""),
    (EdgeRole::Verge, "#26211c", "1.2", "7 2.5"),
    (EdgeRole::Ridge, "#8a1c1c", "3", ""),
    (EdgeRole::Hip, "#8a1c1c", "2.2", "9 2.5"),
    (EdgeRole::Valley, "#1f4e79", "2.6", "2.5 2"),
    (EdgeRole::ChangeOfPitch, "#26211c", "1.8", "7 2 1.5 2"),
    (EdgeRole::SideAbutment, "#4a4a4a", "4", "1.2 1.6"),
    (EdgeRole::TopAbutment, "#4a4a4a", "4", "1.2 1.6"),
];

/// The grounds of slopes, one after the other.
const GROUNDS: [&str; 4] = ["#f4ece2", "#e9efe4", "#e5ebf3", "#f3e8ea"];

/// Draws the plan.
pub(super) fn draw(roof: &TakeOff, options: &DrawingOptions) -> Drawing {
    let placed = plan_places(roof);
    let (low, high) = bounds(placed.iter().flat_map(|of| &of.outline));
    let (low, high) = if low.is_finite() && high.is_finite() {
        (low, high)
    } else {
        (Point::new(0.0, 0.0), Point::new(1.0, 1.0))
    };
    let (width, depth) = ((high.u - low.u).max(1e-3), (high.v - low.v).max(1e-3));
    let scale = ((WIDE - 2.0 * ROUND) / width).min(HIGHEST / depth);
    let parts = placed.iter().map(|of| of.part).max().map_or(0, |last| last + 1);
    let under = vec!["roof in plan; level lengths in mm; arrows point down the slope".to_owned()];
    let top = heading_height(&under) + 10.0;
    let spare = (WIDE - 2.0 * ROUND - width * scale) / 2.0;
    let frame = Frame { scale, x: ROUND + spare - low.u * scale, y: top + depth * scale + low.v * scale };
    let roles: Vec<_> = LINES.iter().filter(|(role, ..)| roof.edges.length_m(*role) > 0.0).collect();
    let notes = notes(roof, parts);
    let legend_top = top + depth * scale + ROUND;
    let rows = f64::from(u32::try_from(roles.len().div_ceil(2)).unwrap_or(u32::MAX));
    let height = legend_top + rows * 15.0 + height_of(&notes) + 14.0;

    let title = format!("Plan of {}", apart(&roof.name, super::sheet::LONGEST_NAME));
    let lengths: Vec<String> = roles
        .iter()
        .map(|(role, ..)| format!("{} {} m", role.word(), figure(roof.edges.length_m(*role), 2)))
        .collect();
    let description = format!(
        "The roof seen from above: {} slopes; true lengths, each joint once: {}.",
        placed.len(),
        lengths.join(", ")
    );
    let mut sheet = Sheet::new(&options.prefix, height, &title, &description);
    sheet.heading(&roof.name, &under);
    group(&mut sheet, "slopes");
    for of in &placed {
        let ground = GROUNDS.get(of.slope % GROUNDS.len()).copied().unwrap_or("#fff");
        polygon(&mut sheet, frame, &of.outline, ground, "none", "0");
    }
    sheet.markup.close();
    if options.has(Layer::Openings) {
        group(&mut sheet, "openings");
        for ring in placed.iter().flat_map(|of| &of.openings) {
            polygon(&mut sheet, frame, ring, "#fff", INK, "0.8");
        }
        sheet.markup.close();
    }
    group(&mut sheet, "edges");
    // Joints last, so that no plain edge lies over them.
    for (role, ink, wide, dashes) in LINES {
        for (of, slope) in placed.iter().filter_map(|of| Some((of, roof.slopes.get(of.slope)?))) {
            for (at, ((from, to), edge)) in edges(&of.outline).zip(&slope.slope.edges).enumerate() {
                let here = EdgeRef { slope: of.slope, edge: at };
                // A joint once, or its dashes would fill each other's gaps.
                let is_drawn = roof.joints.iter().any(|joint| joint.sides[1] == here);
                if edge.role == role && !is_drawn {
                    let ends = [(frame.x(from.u), frame.y(from.v)), (frame.x(to.u), frame.y(to.v))];
                    line(&mut sheet, ends, ink, wide, dashes);
                }
            }
        }
    }
    sheet.markup.close();
    group(&mut sheet, "slope-numbers");
    for of in &placed {
        tag(&mut sheet, frame, of);
    }
    sheet.markup.close();
    if options.has(Layer::Dimensions) {
        group(&mut sheet, "dimensions");
        let (left, right) = (frame.x(low.u), frame.x(high.u));
        let (bottom, over) = (frame.y(low.v), frame.y(high.v));
        if parts == 1 {
            dimension(&mut sheet, (left, bottom), (right, bottom), 16.0, &[&mm_text(width)]);
            dimension(&mut sheet, (left, bottom), (left, over), -16.0, &[&mm_text(depth)]);
        }
        sheet.markup.close();
    }
    for (at, (role, ink, wide, dashes)) in roles.iter().enumerate() {
        let column = (WIDE - 2.0 * EDGE) / 2.0;
        let x = if at % 2 == 0 { EDGE } else { EDGE + column };
        let y = f64::from(u32::try_from(at / 2).unwrap_or(u32::MAX)).mul_add(15.0, legend_top + 10.0);
        line(&mut sheet, [(x, y - 3.5), (x + 26.0, y - 3.5)], ink, wide, dashes);
        let length = figure(roof.edges.length_m(*role), 2);
        sheet.text(x + 32.0, y, &format!("{} {length} m", role.word().replace('-', " ")));
    }
    sheet.lines(legend_top + rows * 15.0, &notes);
    sheet.finish("plan", &roof.name)
}

fn notes(roof: &TakeOff, parts: usize) -> Vec<String> {
    let mut notes: Vec<String> = roof
        .slopes
        .iter()
        .enumerate()
        .take(MOST_LISTED)
        .map(|(at, of)| {
            format!(
                "{}  {}: {}°, {} m² on the slope",
                at + 1,
                apart(&of.slope.name, 48),
                figure(of.slope.pitch.degrees(), 1),
                figure(of.slope.gross_area().m2(), 2)
            )
        })
        .collect();
    if roof.slopes.len() > MOST_LISTED {
        notes.push(format!("and {} more slopes", roof.slopes.len() - MOST_LISTED));
    }
    if parts > 1 {
        notes.push(
            "Slopes that no joint holds together stand side by side: the survey does not say where they lie."
                .to_owned(),
        );
    }
    notes
}

fn group(sheet: &mut Sheet, word: &str) {
    let id = sheet.id(word);
    sheet.markup.open("g").set("id", &id);
}

fn polygon(sheet: &mut Sheet, frame: Frame, ring: &Ring, fill: &str, ink: &str, wide: &str) {
    let points: Vec<String> =
        ring.iter().map(|p| format!("{},{}", number(frame.x(p.u)), number(frame.y(p.v)))).collect();
    let m = sheet.markup.open("polygon").set("points", &points.join(" ")).set("fill", fill);
    m.set("stroke", ink).set("stroke-width", wide).close();
}

fn line(sheet: &mut Sheet, [from, to]: [(f64, f64); 2], ink: &str, wide: &str, dashes: &str) {
    let m = sheet.markup.open("line").num("x1", from.0).num("y1", from.1).num("x2", to.0).num("y2", to.1);
    m.set("stroke", ink).set("stroke-width", wide);
    if !dashes.is_empty() {
        m.set("stroke-dasharray", dashes);
    }
    m.close();
}

/// The number of a slope, and an arrow down it.
fn tag(sheet: &mut Sheet, frame: Frame, of: &PlanSlope) {
    let (at, room) = widest_place(of);
    let (x, y) = (frame.x(at.u), frame.y(at.v));
    let (dx, dy) = (of.down.u, -of.down.v);
    let reach = (room * frame.scale).clamp(14.0, 34.0);
    let tip = (dx.mul_add(reach, x), dy.mul_add(reach, y));
    let barb = |side: f64| {
        let (bx, by) = (dx.mul_add(-6.0, tip.0), dy.mul_add(-6.0, tip.1));
        format!("{} {}", number((-dy).mul_add(side, bx)), number(dx.mul_add(side, by)))
    };
    let path = format!(
        "M{} {}L{} {}M{}L{} {}L{}",
        number(x),
        number(y),
        number(tip.0),
        number(tip.1),
        barb(3.0),
        number(tip.0),
        number(tip.1),
        barb(-3.0)
    );
    let m = sheet.markup.open("path").set("d", &path).set("fill", "none").set("stroke", INK);
    m.set("stroke-width", "1").close();
    sheet.tag(x, y, &(of.slope + 1).to_string());
}

/// The place within a slope that is furthest from its edges and openings, of a raster of places, and how far it is.
fn widest_place(of: &PlanSlope) -> (Point, f64) {
    const STEPS: u32 = 16;
    let (low, high) = bounds(&of.outline);
    let mut best = (Point::new(f64::midpoint(low.u, high.u), f64::midpoint(low.v, high.v)), 0.0);
    for row in 1..STEPS {
        for column in 1..STEPS {
            let share =
                |step: u32, from: f64, to: f64| f64::from(step) / f64::from(STEPS) * (to - from) + from;
            let p = Point::new(share(column, low.u, high.u), share(row, low.v, high.v));
            if !contains(&of.outline, p) || of.openings.iter().any(|hole| contains(hole, p)) {
                continue;
            }
            let sides = edges(&of.outline).chain(of.openings.iter().flat_map(|hole| edges(hole)));
            let near = sides.map(|side| distance(p, side)).fold(f64::INFINITY, f64::min);
            // Of places about as far, the one nearer the middle.
            if near > best.1 * 1.02 {
                best = (p, near);
            }
        }
    }
    best
}

fn distance(p: Point, (a, b): (Point, Point)) -> f64 {
    let along = b.minus(a);
    let share = (p.minus(a).dot(along) / along.dot(along)).clamp(0.0, 1.0);
    p.minus(a.plus(along, share)).length()
}
