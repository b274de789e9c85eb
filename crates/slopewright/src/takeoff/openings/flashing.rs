//! What is laid along the sides of an opening, by its kind: lead in pieces where a code is stated, a made flashing for a
//! window or hatch, the sheets of a chimney or dormer, the slate of a pipe.

use smol_str::SmolStr;

use super::{LeadPieces, OpeningLines, OpeningTakeOff};
use crate::catalogue::Figure;
use crate::quantity::{CoverMassIn as _, Length, LengthIn as _, figure};
use crate::reason::{Working, said};
use crate::rules::{LeadCode, LeadWork};
use crate::survey::OpeningKind;
use crate::takeoff::lengths::Sold;
use crate::takeoff::{SlopeTakeOff, TakeOff};

/// A strip of lead along one side of an opening, or along several of one length.
pub(super) struct Strip<'a> {
    pub(super) item: &'static str,
    pub(super) length_m: f64,
    /// How many sides take one.
    pub(super) times: u32,
    pub(super) width: Option<Length>,
    /// The default that the width is, where the survey states none.
    pub(super) by_default: Option<&'a Figure<Length>>,
    pub(super) formula: SmolStr,
}

impl SlopeTakeOff {
    pub(super) fn flashing_lines(
        &self,
        found: &OpeningTakeOff<'_>,
        roof: &TakeOff,
        lines: &mut OpeningLines,
    ) {
        let opening = found.opening;
        let rules = roof.opening_rules.as_deref();
        let code = opening.flashing.lead_code;
        let lead = rules.zip(code).and_then(|(rules, code)| rules.lead.iter().find(|lead| lead.code == code));
        match opening.kind {
            OpeningKind::Pipe => self.pipe_lines(found, roof, lead, lines),
            OpeningKind::Chimney | OpeningKind::Dormer => self.wall_lines(found, roof, lead, lines),
            OpeningKind::Opening | OpeningKind::RoofWindow | OpeningKind::Hatch => {
                let work = rules.and_then(|rules| rules.lead_work.as_ref());
                self.side_lines(found, lead.zip(work), lines);
            }
        }
    }

    /// Sill, jambs and head: of lead where it is stated, else their lengths, and for a window or hatch the made flashing
    /// that goes with it.
    fn side_lines(
        &self,
        found: &OpeningTakeOff<'_>,
        lead: Option<(&LeadCode, &LeadWork)>,
        lines: &mut OpeningLines,
    ) {
        let (opening, sides) = (found.opening, found.sides);
        let past = past_words(sides.past_corner_m);
        let width = opening.flashing.width;
        let strips = [
            ("flashing along the sill", sides.sill_m, 1, width, past.clone()),
            (
                "flashing up the jambs",
                sides.jamb_m,
                2,
                width,
                SmolStr::new_static("side of the opening, twice"),
            ),
            ("flashing along the head", sides.head_m, 1, opening.flashing.head_width.or(width), past.clone()),
        ];
        let is_made = matches!(opening.kind, OpeningKind::RoofWindow | OpeningKind::Hatch);
        for (item, length_m, times, width, formula) in strips {
            if let Some((lead, work)) = lead {
                let strip = Strip { item, length_m, times, width, by_default: None, formula };
                self.strip_line(found, &strip, (lead, work), lines);
                continue;
            }
            let net = length_m * f64::from(times);
            let rule = if is_made {
                "within the made flashing that goes with it"
            } else {
                "lengths along the opening; the flashing itself is not stated"
            };
            let working = Working::new(item, formula, "", figure(net, 3).with("m")).by(rule, "");
            let line = self.opening_line(item, working).length(net);
            if is_made { lines.tell(found, line) } else { lines.buy(found, line) }
        }
        if lead.is_none() && is_made {
            let (width_m, height_m) = opening.size_m();
            let item = said!(
                "made flashing of a {}, {} x {} mm",
                opening.kind.word(),
                figure(width_m * 1000.0, 0),
                figure(height_m * 1000.0, 0)
            );
            let working = Working::new("made flashing", "one set, sill, jambs and head", "", "1").by(
                "for this covering, as the maker of the frame says; state a lead code for one of lead",
                "",
            );
            lines.buy(found, self.opening_line(item, working).count(1));
        }
    }

    /// A strip of lead in pieces that lap, with its mass where its width is known.
    pub(super) fn strip_line(
        &self,
        found: &OpeningTakeOff<'_>,
        strip: &Strip<'_>,
        (lead, work): (&LeadCode, &LeadWork),
        lines: &mut OpeningLines,
    ) {
        let net = strip.length_m * f64::from(strip.times);
        let one = LeadPieces::of_code(strip.length_m, lead, work);
        let pieces = one.pieces * strip.times;
        let cut_m = one.length_m * f64::from(strip.times);
        let mut item = said!("{}, lead code {}", strip.item, lead.code);
        let mut numbers = said!(
            "{} m in {pieces} with laps of {} mm",
            figure(net, 3),
            figure(work.flashing_lap.value.mm(), 0)
        );
        let mut source = work.flashing_piece_most.citation();
        let width = strip.width.or_else(|| strip.by_default.map(|figure| figure.value));
        if let Some(width) = width {
            let wide = said!("{} mm wide", figure(width.mm(), 0));
            item = said!("{item}, {wide}");
            numbers = said!("{numbers}, {wide}, {} kg/m2", figure(lead.mass_per_m2().kg_per_m2(), 2));
        }
        if strip.width.is_none()
            && let Some(by_default) = strip.by_default
        {
            source = said!("{source}; width: {}", by_default.citation());
        }
        let working = Working::new(
            strip.item,
            said!(
                "{}; pieces up to {} m with laps",
                strip.formula,
                figure(work.flashing_piece_most.value.m(), 2)
            ),
            numbers,
            figure(cut_m, 3).with("m"),
        )
        .by(said!("lead code {}", lead.code), source);
        let mut line = self.opening_line(item, working).count(pieces.into()).length(cut_m);
        line.mass_kg = width.map(|width| lead.mass_per_m2().kg_per_m2() * cut_m * width.m());
        if let Some(width) = width {
            let sold_as = said!("lead code {}, {} mm wide", lead.code, figure(width.mm(), 1));
            let pieces_m = one.lengths_m().repeat(strip.times as usize);
            line = line.cut_into(sold_as, Sold::Lead, pieces_m);
        }
        lines.buy(found, line);
    }
}

/// `side + 2 x 150 mm past the corners`.
pub(super) fn past_words(past_corner_m: f64) -> SmolStr {
    if past_corner_m > 0.0 {
        said!("side + 2 x {} mm past the corners", figure(past_corner_m * 1000.0, 0))
    } else {
        SmolStr::new_static("side of the opening")
    }
}
