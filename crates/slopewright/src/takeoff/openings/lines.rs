//! Openings as lines, each with its working.

use super::{LeadPieces, OpeningTakeOff, perimeter_m};
use crate::catalogue::{Figure, Layers};
use crate::quantity::{AreaIn as _, CoverMassIn as _, LengthIn, figure, kg, m2};
use crate::reason::Working;
use crate::rules::LeadCode;
use crate::setout::Course;
use crate::survey::outline::signed_area;
use crate::survey::{Opening, OpeningKind};
use crate::takeoff::{Line, Part, SlopeTakeOff, TakeOff};

/// What no text is named for.
const PRACTICE: &str = "common practice, no source";

impl SlopeTakeOff {
    pub(in crate::takeoff) fn opening_lines(&self, roof: &TakeOff, lines: &mut Vec<Line>) {
        for found in self.openings(roof) {
            self.unit_lines(&found, lines);
            self.extra_batten_line(&found, lines);
            self.sheet_lines(&found, roof, lines);
            self.flashing_lines(&found, roof, lines);
            self.timber_lines(&found, roof, lines);
        }
    }

    pub(super) fn opening_line(&self, opening: &Opening, item: &str, working: Working) -> Line {
        Line::new(self.name(), Part::Openings, format!("{}: {item}", opening.name), "", working)
    }

    fn unit_lines(&self, found: &OpeningTakeOff<'_>, lines: &mut Vec<Line>) {
        let units = &found.units;
        let opening = found.opening;
        let touched = units.courses.iter().filter_map(|loss| {
            let course = self.layout.courses.get(loss.course)?;
            Some((course, loss))
        });
        let rows: Vec<(&Course, _)> = touched.collect();
        let by_course = |count: fn(&super::CourseLoss) -> u32| {
            let parts: Vec<String> = rows.iter().map(|(_, loss)| count(loss).to_string()).collect();
            match (rows.first(), rows.last()) {
                (Some((first, _)), Some((last, _))) => {
                    format!("courses {} to {}: {}", first.number, last.number, parts.join(" + "))
                }
                _ => "it touches no course".to_owned(),
            }
        };
        let lost = Working::new(
            "positions lost",
            "laid without the opening, not laid with it, course by course",
            by_course(|loss| loss.lost),
            units.lost.to_string(),
        )
        .by("left out of the units of the slope already", "");
        lines.push(self.opening_line(opening, "units lost to it", lost).count(units.lost.into()));
        let mut rule = "among the cut units of the slope already".to_owned();
        if units.cut_again > 0 {
            rule = format!("{rule}; {} more were cut before and are cut once more", units.cut_again);
        }
        let cut = Working::new(
            "positions cut",
            "whole without the opening, cut with it, course by course",
            by_course(|loss| loss.cut),
            units.cut.to_string(),
        )
        .by(rule, "");
        lines.push(self.opening_line(opening, "units cut round it", cut).count(units.cut.into()));
        if let Ok(more) = u64::try_from(units.tile_and_half)
            && more > 0
        {
            let working = Working::new(
                "units of one and a half",
                "with the opening less without it: narrow cuts beside it joined to their neighbours",
                "",
                more.to_string(),
            )
            .by("among those of the slope already", "");
            lines.push(self.opening_line(opening, "tile-and-a-half units beside it", working).count(more));
        }
    }

    fn extra_batten_line(&self, found: &OpeningTakeOff<'_>, lines: &mut Vec<Line>) {
        let lengths = found.extra_battens.map(|(_, from, to)| to - from);
        let total: f64 = lengths.iter().sum();
        let numbers: Vec<String> = lengths.iter().map(|length| format!("{} m", figure(*length, 3))).collect();
        let formula = if self.battens.rafters.is_some() {
            "a row at the sill and one at the head, from the last rafter before it to the first one after it"
        } else {
            "a row at the sill and one at the head, as wide as the opening"
        };
        let working =
            Working::new("extra battens", formula, numbers.join(" + "), format!("{} m", figure(total, 2)))
                .by("not among the battens of the slope", PRACTICE);
        lines.push(self.opening_line(found.opening, "extra battens at sill and head", working).length(total));
    }

    /// Underlay turned up and laid round it, and boards cut out.
    fn sheet_lines(&self, found: &OpeningTakeOff<'_>, roof: &TakeOff, lines: &mut Vec<Line>) {
        let Some(choice) = &roof.underlay else { return };
        let opening = found.opening;
        let round = perimeter_m(opening);
        let rule = self.underlay_rule.as_ref().map(|rule| &rule.abutment_upturn);
        let upstand = opening.underlay_upstand.or(rule.map(|rule| rule.value));
        if let Some(upstand) = upstand {
            let source = match opening.underlay_upstand {
                Some(_) => "stated by the survey".to_owned(),
                None => rule.map_or_else(String::new, Figure::citation),
            };
            let area = round * upstand.m();
            let working = Working::new(
                "underlay turned up",
                "perimeter x upturn",
                format!("{} m x {} mm", figure(round, 3), figure(upstand.mm(), 0)),
                format!("{} m2", figure(area, 3)),
            )
            .by("upturn at the side of an opening; not among the rolls", source);
            lines.push(self.opening_line(opening, "underlay upstand", working).length(round).area(area));
        }
        if let Some(collar) = opening.underlay_collar {
            // At each corner a strip laid flat goes on by its own width.
            let length = 8.0_f64.mul_add(collar.m(), round);
            let area = length * collar.m();
            let working = Working::new(
                "underlay collar",
                "(perimeter + 8 x width, two for each corner) x width",
                format!(
                    "({} m + 8 x {} mm) x {} mm",
                    figure(round, 3),
                    figure(collar.mm(), 0),
                    figure(collar.mm(), 0)
                ),
                format!("{} m2", figure(area, 3)),
            )
            .by("not among the rolls", "stated by the survey");
            lines.push(self.opening_line(opening, "underlay collar", working).length(length).area(area));
        }
        if choice.supported {
            let area = m2(signed_area(&opening.outline).abs()).m2();
            let working = Working::new(
                "boards cut out",
                "the area of the opening on the slope",
                "",
                format!("{} m2", figure(area, 3)),
            );
            lines.push(self.opening_line(opening, "sarking cut out", working).area(area));
        }
    }

    fn flashing_lines(&self, found: &OpeningTakeOff<'_>, roof: &TakeOff, lines: &mut Vec<Line>) {
        let opening = found.opening;
        let sides = found.sides;
        if opening.kind == OpeningKind::Pipe {
            let working = Working::new("flashing of a pipe", "one piece with its sleeve", "", "1")
                .by("its size is by the pitch and the pipe", PRACTICE);
            lines.push(self.opening_line(opening, "pipe flashing, one piece", working).count(1));
            return;
        }
        let (sill, head) = match opening.kind {
            OpeningKind::Chimney => ("front apron", "back gutter"),
            _ => ("flashing along the sill", "flashing along the head"),
        };
        let rules = roof.opening_rules.as_deref();
        let code = opening.flashing.lead_code;
        let lead = rules.zip(code).and_then(|(rules, code)| rules.lead.iter().find(|lead| lead.code == code));
        let work = rules.and_then(|rules| rules.lead_work.as_ref());
        let past = if sides.past_corner_m > 0.0 {
            format!("side + 2 x {} mm past the corners", figure(sides.past_corner_m * 1000.0, 0))
        } else {
            "side of the opening".to_owned()
        };
        let width = opening.flashing.width.map(LengthIn::m);
        let head_width = opening.flashing.head_width.map(LengthIn::m).or(width);
        for (item, length, times, width, formula) in [
            (sill, sides.sill_m, 1_u32, width, past.as_str()),
            ("flashing up the jambs", sides.jamb_m, 2, width, "side of the opening, twice"),
            (head, sides.head_m, 1, head_width, past.as_str()),
        ] {
            let net = length * f64::from(times);
            let Some((lead, work)) = lead.zip(work) else {
                let working = Working::new(item, formula, "", format!("{} m", figure(net, 3)))
                    .by("lengths along the opening; the flashing itself is not stated", "");
                lines.push(self.opening_line(opening, item, working).length(net));
                continue;
            };
            let one = LeadPieces::of_code(length, lead, work);
            let pieces = one.pieces * times;
            let cut = one.length_m * f64::from(times);
            let mut working = Working::new(
                item,
                format!(
                    "{formula}; pieces up to {} m with laps",
                    figure(work.flashing_piece_most.value.m(), 2)
                ),
                format!(
                    "{} m in {pieces} with laps of {} mm",
                    figure(net, 3),
                    figure(work.flashing_lap.value.mm(), 0)
                ),
                format!("{} m", figure(cut, 3)),
            )
            .by(format!("lead code {}", lead.code), work.flashing_piece_most.citation());
            let mass = width.map(|width| sheet_mass(lead, cut * width));
            if let Some(width) = width {
                working.numbers = format!("{}, {} mm wide", working.numbers, figure(width * 1000.0, 0));
            }
            let mut line = self.opening_line(opening, item, working).count(pieces.into()).length(cut);
            line.mass_kg = mass;
            lines.push(line);
        }
        if opening.kind == OpeningKind::Chimney {
            self.soaker_line(found, lines);
        }
    }

    /// In double lap a soaker lies under each unit beside a chimney, on both sides.
    fn soaker_line(&self, found: &OpeningTakeOff<'_>, lines: &mut Vec<Line>) {
        if self.layout.covering().layers != Layers::Double {
            return;
        }
        let (low, high) = found.opening.bounds();
        let beside = self
            .layout
            .courses
            .iter()
            .filter(|course| course.between.is_none())
            .filter(|course| course.band.low < high.v && course.band.high > low.v)
            .count();
        let count = 2 * beside as u64;
        let working = Working::new(
            "soakers",
            "courses beside the chimney x 2 sides",
            format!("{beside} x 2"),
            count.to_string(),
        )
        .by("one for each course in double lap", PRACTICE);
        lines.push(self.opening_line(found.opening, "soakers at the jambs", working).count(count));
    }
}

/// The mass of a sheet of lead.
fn sheet_mass(lead: &LeadCode, area_m2: f64) -> f64 {
    use crate::quantity::MassIn as _;
    kg(lead.mass_per_m2().kg_per_m2() * area_m2).kg()
}
