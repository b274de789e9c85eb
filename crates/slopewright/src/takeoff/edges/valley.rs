//! Valleys: open lead or another sheet in pieces, or valley units one to a course.

use smol_str::{SmolStr, ToSmolStr as _};

use super::super::lengths::Sold;
use super::super::lines::{Line, Part};
use super::{EdgeRun, LeadStrip, Pieces, RoofEdges, citations, laid, line, metres, millimetres};
use crate::catalogue::Figure;
use crate::quantity::LengthIn;
use crate::reason::{Working, said};
use crate::survey::ValleyMake;

/// Valley units, one to a course.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ValleyUnits {
    /// Units: the courses of the side that has more.
    pub units: u32,
}

impl ValleyUnits {
    /// The valley units of a run.
    #[must_use]
    pub fn of(run: &EdgeRun) -> Self {
        Self { units: run.courses() }
    }
}

/// The sheet of an open valley.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ValleySheet {
    /// Its pieces.
    pub pieces: Pieces,
    /// Its width, in metres.
    pub width_m: f64,
    /// Tilting fillets along both sides, in metres.
    pub fillet_m: f64,
}

impl ValleySheet {
    /// The sheet of a run: the survey's figures, or the defaults. `None` if no width or piece is known.
    #[must_use]
    pub fn of(edges: &RoofEdges, run: &EdgeRun) -> Option<Self> {
        let choice = &edges.choice.valley;
        let rule = edges.by_default.as_ref()?;
        let work = edges.lead_work.as_ref()?;
        let width_m = choice.width.map_or(rule.valley_width.value.m(), LengthIn::m);
        let lap_m = choice.lap.map_or_else(|| lap_by_rise_m(edges, run), |lap| Some(lap.m()))?;
        let by_code = match choice.make {
            ValleyMake::Lead => edges.valley_lead.as_ref().and_then(|lead| lead.piece_most.as_ref()),
            ValleyMake::Units | ValleyMake::Sheet => None,
        };
        let by_rule = by_code.map_or(work.flashing_piece_most.value, |piece| piece.value);
        let most_m = choice.piece.unwrap_or(by_rule).m();
        let pieces = Pieces::of(run.laid_m, most_m, lap_m)?;
        Some(Self { pieces, width_m, fillet_m: 2.0 * run.laid_m })
    }
}

/// The lap at which the end of one piece lies high enough over that of the next, and no less than that of flashings.
fn lap_by_rise_m(edges: &RoofEdges, run: &EdgeRun) -> Option<f64> {
    let rise = edges.by_default.as_ref()?.valley_lap_rise.value.m();
    let least = edges.lead_work.as_ref()?.flashing_lap.value.m();
    let sine = run.rise_m / run.length_m;
    (sine > 0.0).then(|| (rise / sine).max(least))
}

pub(super) fn lines(edges: &RoofEdges, run: &EdgeRun, lines: &mut Vec<Line>) {
    let choice = &edges.choice.valley;
    if choice.make == ValleyMake::Units {
        if let Some(unit) = &choice.unit {
            let found = ValleyUnits::of(run);
            let courses: Vec<SmolStr> = run.sides.iter().map(|side| side.courses.to_smolstr()).collect();
            let working = Working::new(
                "valley units",
                "one to a course, of the side that has more",
                said!("courses {}", courses.join(" and ")),
                found.units.to_smolstr(),
            )
            .by("made for the pitch", unit.source.citation());
            lines.push(
                line(run, Part::Valleys, said!("valley units, {}", unit.name), &unit.key, working)
                    .count(found.units.into())
                    .mass_each(unit.mass.as_ref().map(|mass| mass.value)),
            );
        }
        return;
    }
    let Some(sheet) = ValleySheet::of(edges, run) else { return };
    sheet_line(edges, run, sheet, lines);
    let working = Working::new("tilting fillets", "one along each side", laid(run), metres(sheet.fillet_m))
        .by("under the edges of the sheet", "common practice, no source");
    let fillets = line(run, Part::Valleys, "valley fillets", "", working).length(sheet.fillet_m);
    lines.push(fillets.cut_into("valley fillets", Sold::Fillets, vec![run.laid_m; 2]));
    let board_m2 = run.laid_m * sheet.width_m;
    let working = Working::new(
        "valley boards",
        "length x width of the sheet",
        said!("{} x {}", laid(run), metres(sheet.width_m)),
        said!("{} m2", crate::quantity::figure(board_m2, 2)),
    )
    .by("the sheet lies on boards", "common practice, no source");
    lines.push(line(run, Part::Valleys, "valley boards", "", working).length(run.laid_m).area(board_m2));
}

fn sheet_line(edges: &RoofEdges, run: &EdgeRun, sheet: ValleySheet, lines: &mut Vec<Line>) {
    let choice = &edges.choice.valley;
    let Some(rule) = &edges.by_default else { return };
    let channel = run
        .sides
        .iter()
        .map(|side| side.pitch)
        .min_by(|one, other| one.degrees().total_cmp(&other.degrees()))
        .and_then(|pitch| edges.along.as_ref()?.valley_channel(pitch));
    let open = channel.as_ref().map_or_else(SmolStr::default, |channel| {
        said!("open at least {} between the units", millimetres(channel.value.m()))
    });
    let source = citations([
        choice.width.is_none().then(|| rule.valley_width.citation()),
        choice.lap.is_none().then(|| rule.valley_lap_rise.citation()),
        channel.map(Figure::citation),
    ]);
    if choice.make == ValleyMake::Lead {
        let Some(lead) = &edges.valley_lead else { return };
        let strip = LeadStrip::of(lead, sheet.width_m, sheet.pieces);
        lines.push(strip.line(run, Part::Valleys, "valley lining", lead, &open, source));
        return;
    }
    let pieces = sheet.pieces;
    let working = Working::new(
        "valley lining",
        "length + a lap for each piece after the first",
        said!("{} in {} pieces, laps of {}", laid(run), pieces.count, millimetres(pieces.lap_m)),
        metres(pieces.sheet_m),
    )
    .by(open, source);
    lines.push(
        line(run, Part::Valleys, said!("valley sheet, {} wide", millimetres(sheet.width_m)), "", working)
            .count(pieces.count.into())
            .length(pieces.sheet_m)
            .area(pieces.area_m2(sheet.width_m)),
    );
}
