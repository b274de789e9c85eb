//! What is written beside the drawing of a slope.

use super::layer::{DrawingOptions, Layer};
use super::sheet::mm_text;
use super::units::UnitPaths;
use super::words::{apart, shortened};
use crate::quantity::{LengthIn as _, figure};
use crate::takeoff::{SlopeCutting, SlopeTakeOff, TakeOff};

/// A row of the legend.
#[derive(Debug)]
pub(super) struct Swatch {
    /// The layer that it belongs to.
    pub(super) layer: Layer,
    /// The fill of units, for a layer of units.
    pub(super) fill: Option<&'static str>,
    /// What it says.
    pub(super) text: String,
}

/// The lines under the slope's name.
pub(super) fn under_the_name(slope: &SlopeTakeOff) -> Vec<String> {
    let layout = &slope.layout;
    let field = layout.courses.iter().filter(|course| course.number > 0).count();
    let bands = &layout.gauging.bands;
    let gauges: Vec<String> = if bands.len() > 1 {
        bands
            .iter()
            .filter(|band| band.spaces > 0)
            .map(|band| figure(band.gauge_m * 1000.0, 1).to_string())
            .collect()
    } else {
        vec![figure(layout.gauge().mm(), 1).to_string()]
    };
    let shown = if gauges.len() > 6 { "by bands".to_owned() } else { gauges.join(" / ") };
    vec![
        format!("{}, pitch {}°", apart(&layout.covering().name, 60), figure(layout.pitch.degrees(), 1)),
        format!(
            "gauge {shown}, headlap {}, {field} courses; all in mm, on the slope",
            figure(layout.headlap_laid().mm(), 1)
        ),
    ]
}

/// What a reader who cannot see the drawing is told.
pub(super) fn description(slope: &SlopeTakeOff) -> String {
    let (layout, units) = (&slope.layout, &slope.units);
    let edges: Vec<String> = slope
        .slope
        .edges
        .iter()
        .take(12)
        .map(|edge| format!("{} {} mm", edge.role.word(), mm_text(edge.length_m())))
        .collect();
    format!(
        "The slope to scale in its own plane, eaves at the bottom: {}. Laid: {} whole units, {} cut, {} of one and a \
         half, {} under the eaves, {} at the top. {} openings. Gauge {} mm.",
        edges.join(", "),
        units.whole,
        units.cut,
        units.tile_and_half,
        units.under_eaves,
        units.top,
        slope.slope.openings.len(),
        figure(layout.gauge().mm(), 1),
    )
}

/// The legend.
pub(super) fn swatches(
    roof: &TakeOff,
    slope: &SlopeTakeOff,
    cut: Option<&SlopeCutting>,
    options: &DrawingOptions,
    paths: &UnitPaths,
) -> Vec<Swatch> {
    let units = &slope.units;
    let mut all = Vec::new();
    let mut row = |layer: Layer, fill: Option<&'static str>, text: String| {
        if options.has(layer) {
            all.push(Swatch { layer, fill, text });
        }
    };
    let of_half = if units.tile_and_half_cut > 0 {
        format!("{} of one and a half, {} cut", units.tile_and_half, units.tile_and_half_cut)
    } else {
        format!("{} of one and a half", units.tile_and_half)
    };
    for (count, fill, text) in [
        (units.whole, "whole", format!("{} whole units", units.whole)),
        (units.cut, "cut", format!("{} cut units", units.cut)),
        (units.tile_and_half, "tile-and-half", of_half),
        (units.top, "top-unit", format!("{} units of the top course", units.top)),
    ] {
        if count > 0 {
            row(Layer::Units, Some(fill), text);
        }
    }
    if !paths.under_eaves.is_empty() {
        row(
            Layer::UnderEaves,
            Some("under-eaves-unit"),
            format!("{} units under the eaves", units.under_eaves),
        );
    }
    let joints: usize =
        cut.map_or(0, |of| of.plan.rows.iter().flat_map(|row| &row.runs).map(|run| run.joints.len()).sum());
    let lines = slope.layout.batten_lines.len();
    let length = figure(slope.battens.length_m, 1);
    let battens = match cut {
        Some(_) => format!("{lines} battens, {length} m, {joints} joints"),
        None => format!("{lines} battens, {length} m"),
    };
    row(Layer::Battens, None, battens);
    if let (Some(underlay), Some(_)) = (&slope.underlay, &roof.underlay) {
        let lap = mm_text(underlay.laps.horizontal_m);
        row(Layer::Underlay, None, format!("underlay in {} runs, lap {lap}", underlay.levels));
    }
    if let Some(rafters) = slope.battens.rafters {
        row(Layer::Rafters, None, format!("rafters at {}", mm_text(rafters.spacing_m)));
    }
    all
}

/// What is said under the drawing: the battens, the openings, what the drawing leaves out.
pub(super) fn notes(slope: &SlopeTakeOff, paths: &UnitPaths) -> Vec<String> {
    /// So many openings are listed.
    const MOST_OPENINGS: usize = 24;
    let mut notes = Vec::new();
    let lines = &slope.layout.batten_lines;
    if let (Some(first), Some(last)) = (lines.first(), lines.last()) {
        notes.push(format!(
            "Tops of battens, up the slope from the eaves line: first {}, last {}.",
            mm_text(first.at_m),
            mm_text(last.at_m)
        ));
    }
    for (at, opening) in slope.slope.openings.iter().enumerate().take(MOST_OPENINGS) {
        let ((low, _), (width, height)) = (opening.bounds(), opening.size_m());
        let kind = opening.kind.word().replace('-', " ");
        notes.push(format!(
            "{}  {}{}: {} × {}; from the left {}, from the eaves {}",
            letter(at),
            apart(&opening.name, 40),
            // A chimney that is called chimney need not be told twice.
            if opening.name == kind { String::new() } else { format!(", {kind}") },
            mm_text(width),
            mm_text(height),
            mm_text(low.u),
            mm_text(low.v)
        ));
    }
    let more = slope.slope.openings.len().saturating_sub(MOST_OPENINGS);
    if more > 0 {
        notes.push(format!("and {more} more openings"));
    }
    if !paths.has_joints {
        notes.push("So many units: runs of whole ones are drawn, not the joints between them.".to_owned());
    }
    notes
}

/// The letter of an opening: A to Z, then A2.
pub(super) fn letter(at: usize) -> String {
    let sign = u8::try_from(at % 26).map_or('A', |step| char::from(b'A' + step));
    match at / 26 {
        0 => sign.to_string(),
        round => shortened(&format!("{sign}{}", round + 1), 4),
    }
}
