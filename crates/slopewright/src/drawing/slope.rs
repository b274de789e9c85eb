//! One slope to scale in its own plane, the eaves at the bottom.

use super::dimension::{ChainAt, OFF_EDGE, chain, dimension, figure_along, on_sheet, places_of};
use super::layer::{DrawingOptions, Layer};
use super::markup::{PathData, tenths};
use super::sheet::{DIMENSION_INK, EDGE, Frame, INK, SMALL, Sheet, WIDE, heading_height, height_of, mm_text};
use super::slope_words::{self, Swatch, letter};
use super::units::UnitPaths;
use super::{Drawing, work};
use crate::survey::outline::{Point, Ring, bounds};
use crate::survey::{Edge, OpeningKind};
use crate::takeoff::{SlopeCutting, SlopeTakeOff, TakeOff};

/// Room beside the slope for its dimensions.
const LEFT: f64 = 54.0;
const RIGHT: f64 = 50.0;
const ABOVE: f64 = 32.0;
const BELOW: f64 = 34.0;
/// More room below, for the row of openings.
const BELOW_OPENINGS: f64 = 24.0;
/// The most height that a slope takes.
const HIGHEST: f64 = 440.0;

/// How one way of laying is drawn: the pattern's id, its ground, its strokes in a square of six, and their ink.
const FILLS: [(&str, &str, &str, &str); 5] = [
    ("whole", "#f1e6da", "", "#7d6350"),
    ("cut", "#ffc27d", "M-1 1L1 -1M0 6L6 0M5 7L7 5", "#8a3d00"),
    ("tile-and-half", "#b7dcc4", "M-1 1L1 -1M0 6L6 0M5 7L7 5M-1 5L1 7M0 0L6 6M5 -1L7 1", "#14572d"),
    ("top-unit", "#cfdcf2", "M0 3H6", "#27447a"),
    ("under-eaves-unit", "#ffffff", "", "#27447a"),
];

/// Draws a slope.
pub(super) fn draw(
    roof: &TakeOff,
    slope: &SlopeTakeOff,
    cut: Option<&SlopeCutting>,
    options: &DrawingOptions,
) -> Drawing {
    let outline = slope.slope.outline();
    let (low, high) = whole_bounds(slope, &outline);
    let (width, rise) = ((high.u - low.u).max(1e-3), (high.v - low.v).max(1e-3));
    let scale = ((WIDE - LEFT - RIGHT) / width).min(HIGHEST / rise);
    let paths = UnitPaths::of(slope);
    let under = slope_words::under_the_name(slope);
    let swatches = slope_words::swatches(roof, slope, cut, options, &paths);
    let notes = slope_words::notes(slope, &paths);
    let top = heading_height(&under) + ABOVE;
    let spare = (WIDE - LEFT - RIGHT - width * scale) / 2.0;
    let frame = Frame { scale, x: LEFT + spare - low.u * scale, y: top + rise * scale + low.v * scale };
    let below = if slope.slope.openings.is_empty() { BELOW } else { BELOW + BELOW_OPENINGS };
    let legend_top = top + rise * scale + below;
    let rows = f64::from(u32::try_from(swatches.len().div_ceil(2)).unwrap_or(u32::MAX));
    let height = legend_top + rows * LEGEND_ROW + height_of(&notes) + 14.0;

    let title = format!("Slope {}, set out", super::apart(&slope.layout.slope, super::sheet::LONGEST_NAME));
    let description = slope_words::description(slope);
    let mut sheet = Sheet::new(&options.prefix, height, &title, &description);
    sheet.heading(&slope.layout.slope, &under);
    patterns(&mut sheet, frame);
    for layer in Layer::ALL.into_iter().filter(|layer| options.has(*layer)) {
        begin(&mut sheet, layer, options);
        match layer {
            Layer::Units => units(&mut sheet, frame, &paths, slope),
            Layer::UnderEaves => under_eaves(&mut sheet, frame, &paths),
            Layer::Battens => work::battens(&mut sheet, frame, roof, slope, cut),
            Layer::Underlay => work::underlay(&mut sheet, frame, roof, slope),
            Layer::Rafters => work::rafters(&mut sheet, frame, roof, slope),
            Layer::Openings => openings(&mut sheet, frame, slope),
            Layer::Dimensions => dimensions(&mut sheet, frame, slope, &outline),
        }
        sheet.markup.close();
    }
    legend(&mut sheet, frame, &swatches, legend_top, options);
    sheet.lines(legend_top + rows * LEGEND_ROW, &notes);
    sheet.finish("slope", &slope.layout.slope)
}

/// What must fit on the sheet: the slope as surveyed and what the covering covers.
fn whole_bounds(slope: &SlopeTakeOff, outline: &Ring) -> (Point, Point) {
    let (low, high) = bounds(outline);
    let (first, last) = slope.layout.covered.bounds();
    if !first.is_finite() || !last.is_finite() {
        return (low, high);
    }
    (Point::new(low.u.min(first.u), low.v.min(first.v)), Point::new(high.u.max(last.u), high.v.max(last.v)))
}

/// Begins the group of a layer.
fn begin(sheet: &mut Sheet, layer: Layer, options: &DrawingOptions) {
    let id = sheet.id(layer.word());
    let m = sheet.markup.open("g").set("id", &id).set("data-layer", layer.word());
    if options.is_hidden(layer) {
        m.set("display", "none");
    }
}

fn patterns(sheet: &mut Sheet, frame: Frame) {
    sheet.markup.open("defs");
    for (word, ground, strokes, ink) in FILLS {
        if strokes.is_empty() {
            continue;
        }
        let id = sheet.id(&format!("hatch-{word}"));
        let size = crate::quantity::figure(frame.mm_of(0.8), 4);
        let m = sheet.markup.open("pattern").set("id", &id).set("patternUnits", "userSpaceOnUse");
        m.set("width", "6").set("height", "6").set("patternTransform", &format!("scale({size})"));
        m.open("rect").set("width", "6").set("height", "6").set("fill", ground).close();
        m.open("path").set("d", strokes).set("stroke", ink).set("stroke-width", "0.9").set("fill", "none");
        m.close().close();
    }
    sheet.markup.close();
}

/// A path in millimetres on the slope, filled as one way of laying is.
fn filled(sheet: &mut Sheet, frame: Frame, word: &str, path: &PathData) {
    let Some((_, ground, strokes, ink)) = FILLS.into_iter().find(|(known, ..)| *known == word) else {
        return;
    };
    if path.is_empty() {
        return;
    }
    let fill = if strokes.is_empty() { ground.to_owned() } else { sheet.fill(&format!("hatch-{word}")) };
    let id = sheet.id(&format!("units-{word}"));
    let m = sheet.markup.open("path").set("id", &id).set("d", path.as_str()).set("fill", &fill);
    m.set("fill-rule", "evenodd").set("stroke", ink).num("stroke-width", frame.mm_of(0.35)).close();
}

fn units(sheet: &mut Sheet, frame: Frame, paths: &UnitPaths, slope: &SlopeTakeOff) {
    sheet.markup.open("g").set("transform", &frame.in_mm());
    if !paths.heads.is_empty() {
        let id = sheet.id("heads");
        let m = sheet.markup.open("path").set("id", &id).set("d", paths.heads.as_str());
        m.set("fill", "#e2d3c3").set("fill-rule", "evenodd").close();
    }
    filled(sheet, frame, "whole", &paths.whole);
    filled(sheet, frame, "top-unit", &paths.top);
    filled(sheet, frame, "cut", &paths.cut);
    filled(sheet, frame, "tile-and-half", &paths.tile_and_half);
    // What is covered, as one line round all of it.
    let mut edge = PathData::default();
    for ring in slope.layout.covered.rings() {
        edge.ring(ring.iter().map(|p| (tenths(p.u), tenths(p.v))));
    }
    let id = sheet.id("covered");
    let m = sheet.markup.open("path").set("id", &id).set("d", edge.as_str()).set("fill", "none");
    m.set("stroke", INK).num("stroke-width", frame.mm_of(0.9)).close();
    sheet.markup.close();
}

fn under_eaves(sheet: &mut Sheet, frame: Frame, paths: &UnitPaths) {
    if paths.under_eaves.is_empty() {
        return;
    }
    let id = sheet.id("units-under-eaves-unit");
    let dashes = format!("{0} {0}", super::markup::number(frame.mm_of(1.6)));
    let m = sheet.markup.open("g").set("transform", &frame.in_mm());
    m.open("path").set("id", &id).set("d", paths.under_eaves.as_str()).set("fill", "#27447a");
    m.set("fill-opacity", "0.12").set("stroke", "#27447a").num("stroke-width", frame.mm_of(0.8));
    m.set("stroke-dasharray", &dashes).close().close();
}

/// Each opening: what the covering leaves free, its frame, and its letter.
fn openings(sheet: &mut Sheet, frame: Frame, slope: &SlopeTakeOff) {
    for (at, opening) in slope.slope.openings.iter().enumerate() {
        let points = |ring: &Ring| {
            let place = |p: &Point| {
                format!("{},{}", super::markup::number(frame.x(p.u)), super::markup::number(frame.y(p.v)))
            };
            ring.iter().map(place).collect::<Vec<_>>().join(" ")
        };
        let m = sheet.markup.open("polygon").set("points", &points(&opening.cleared)).set("fill", "none");
        m.set("stroke", INK).set("stroke-width", "0.6").set("stroke-dasharray", "2 1.5").close();
        let fill = match opening.kind {
            OpeningKind::RoofWindow => "#dbeefa",
            OpeningKind::Chimney => "#d8cfc6",
            _ => "#f2f2f2",
        };
        let m = sheet.markup.open("polygon").set("points", &points(&opening.outline)).set("fill", fill);
        m.set("stroke", INK).set("stroke-width", "1").close();
        let (low, high) = opening.bounds();
        let (left, right) = (frame.x(low.u), frame.x(high.u));
        let (bottom, top) = (frame.y(low.v), frame.y(high.v));
        // Crossed corners, as a void is drawn.
        let [left_text, right_text, bottom_text, top_text] =
            [left, right, bottom, top].map(super::markup::number);
        let cross = format!(
            "M{left_text} {bottom_text}L{right_text} {top_text}M{left_text} {top_text}L{right_text} {bottom_text}"
        );
        let m = sheet.markup.open("path").set("d", &cross).set("stroke", INK);
        m.set("stroke-width", "0.4").set("fill", "none").close();
        sheet.tag(f64::midpoint(left, right), f64::midpoint(bottom, top), &letter(at));
    }
}

fn dimensions(sheet: &mut Sheet, frame: Frame, slope: &SlopeTakeOff, outline: &Ring) {
    let edges = &slope.slope.edges;
    let turns_in =
        |before: &Edge, after: &Edge| before.to.minus(before.from).cross(after.to.minus(after.from)) < 0.0;
    for (at, edge) in edges.iter().enumerate() {
        let figure = mm_text(edge.length_m());
        let with_role = format!("{} {figure}", edge.role.word().replace('-', " "));
        let (from, to) = (on_sheet(frame, edge.from), on_sheet(frame, edge.to));
        let before = at.checked_sub(1).map_or(edges.last(), |at| edges.get(at));
        let after = edges.get(at + 1).or(edges.first());
        // In a corner that turns in, the lines of two edges would cross: there the figures alone stand by the edges.
        let is_in_corner = before.is_some_and(|before| turns_in(before, edge))
            || after.is_some_and(|after| turns_in(edge, after));
        let words = [with_role.as_str(), figure.as_str()];
        if is_in_corner {
            figure_along(sheet, from, to, 0.0, &words);
        } else {
            dimension(sheet, from, to, OFF_EDGE, &words);
        }
    }
    let (low, high) = bounds(outline);
    let sides = || slope.slope.openings.iter().map(crate::survey::Opening::bounds);
    let has_openings = !slope.slope.openings.is_empty();
    let across = places_of(sides().flat_map(|(a, b)| [a.u, b.u]), low.u, high.u);
    let up = places_of(sides().flat_map(|(a, b)| [a.v, b.v]), low.v, high.v);
    if has_openings {
        chain(sheet, frame, &across, ChainAt::Below(frame.y(low.v) + 3.0 * OFF_EDGE));
    }
    let has_its_height = slope.slope.edges.iter().any(|edge| {
        (edge.from.u - edge.to.u).abs() < 1e-6
            && (edge.from.u - low.u).abs() < 1e-6
            && (edge.length_m() - (high.v - low.v)).abs() < 1e-6
    });
    if has_openings || !has_its_height {
        chain(sheet, frame, &up, ChainAt::Left(frame.x(low.u) - 3.0 * OFF_EDGE));
    }
    gauge(sheet, frame, slope, high.u);
}

/// The gauge at the right: each band between two tail lines, and how it is divided.
fn gauge(sheet: &mut Sheet, frame: Frame, slope: &SlopeTakeOff, right: f64) {
    let gauging = &slope.layout.gauging;
    let x = frame.x(right) + OFF_EDGE;
    let mut band = |from: f64, to: f64, spaces: u32, gauge_m: f64, is_cut: bool| {
        let gauge = crate::quantity::figure(gauge_m * 1000.0, 1);
        let text = if is_cut {
            format!("{} at {gauge} + 1 cut", spaces.saturating_sub(1))
        } else {
            format!("{spaces} at {gauge}")
        };
        // From the top down, so that the line stands to the right and reads from below.
        let (top, bottom) = ((x, frame.y(to)), (x, frame.y(from)));
        dimension(sheet, top, bottom, -(2.0 * OFF_EDGE - 2.0), &[&text, &gauge.to_string()]);
    };
    if gauging.bands.is_empty() {
        let to = gauging.first_tail_m + gauging.distance_m;
        band(gauging.first_tail_m, to, gauging.spaces, gauging.gauge_m, gauging.last_is_cut);
    }
    for of in gauging.bands.iter().filter(|of| of.spaces > 0) {
        band(of.from_m, of.to_m, of.spaces, of.gauge_m, of.last_is_cut);
    }
}

/// How high a row of the legend is.
const LEGEND_ROW: f64 = 15.0;

/// The legend in two columns; a row that belongs to a layer is switched with it.
fn legend(sheet: &mut Sheet, frame: Frame, swatches: &[Swatch], top: f64, options: &DrawingOptions) {
    let column = (WIDE - 2.0 * EDGE) / 2.0;
    for (at, swatch) in swatches.iter().enumerate() {
        let x = if at % 2 == 0 { EDGE } else { EDGE + column };
        let row = f64::from(u32::try_from(at / 2).unwrap_or(u32::MAX));
        let y = row.mul_add(LEGEND_ROW, top + 10.0);
        let m = sheet.markup.open("g").set("data-layer", swatch.layer.word());
        if options.is_hidden(swatch.layer) {
            m.set("display", "none");
        }
        let place = Frame { x, y, ..frame };
        let (wide, high) = (frame.mm_of(18.0), frame.mm_of(9.0));
        m.open("g").set("transform", &place.in_mm());
        if let Some((word, ground, strokes, ink)) =
            FILLS.into_iter().find(|(word, ..)| Some(*word) == swatch.fill)
        {
            let fill =
                if strokes.is_empty() { ground.to_owned() } else { sheet.fill(&format!("hatch-{word}")) };
            let m = sheet.markup.open("rect").num("width", wide).num("height", high).set("fill", &fill);
            m.set("stroke", ink).num("stroke-width", frame.mm_of(0.6));
            if word == "under-eaves-unit" {
                m.set("stroke-dasharray", &format!("{0} {0}", super::markup::number(frame.mm_of(1.6))));
            }
            m.close();
        } else {
            work::sample(sheet, frame, swatch.layer, (wide, high));
        }
        sheet.markup.close();
        let m = sheet.markup.open("text").num("x", x + 23.0).num("y", y - 1.0).num("font-size", SMALL);
        if swatch.layer == Layer::Dimensions {
            m.set("fill", DIMENSION_INK);
        }
        m.text(&swatch.text).close();
        sheet.markup.close();
    }
}
