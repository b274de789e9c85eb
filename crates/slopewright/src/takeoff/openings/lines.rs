//! Openings as lines, each with its working.

use smol_str::{SmolStr, ToSmolStr as _};

use super::{OpeningTakeOff, StripUse};
use crate::catalogue::Figure;
use crate::quantity::{AreaIn as _, figure, m2};
use crate::reason::{IntoText, Working, joined, said};
use crate::setout::Course;
use crate::survey::UnderlayChoice;
use crate::survey::outline::signed_area;
use crate::takeoff::{Line, Part, SlopeTakeOff, TakeOff};

/// What no text is named for.
pub(super) const PRACTICE: &str = "common practice, no source";

/// The lines of openings as they are made: each of them for its opening, and what is bought once more for the whole roof.
#[derive(Debug, Default)]
pub(in crate::takeoff) struct OpeningLines {
    /// The lines of the openings.
    pub(in crate::takeoff) lines: Vec<Line>,
    /// Those of what is bought, without the name of the opening.
    pub(in crate::takeoff) bought: Vec<Line>,
}

impl OpeningLines {
    /// A line that says something of an opening.
    pub(super) fn tell(&mut self, found: &OpeningTakeOff<'_>, mut line: Line) {
        line.item = said!("{}: {}", found.opening.name, line.item);
        // What is cut is cut once, as what is bought.
        line.cut_into = None;
        self.lines.push(line);
    }

    /// A line of something that is bought for an opening, and is added up with its like.
    pub(super) fn buy(&mut self, found: &OpeningTakeOff<'_>, line: Line) {
        self.bought.push(line.clone());
        self.tell(found, line);
    }
}

impl SlopeTakeOff {
    pub(in crate::takeoff) fn opening_lines(&self, roof: &TakeOff, lines: &mut OpeningLines) {
        for found in self.openings(roof) {
            self.unit_lines(&found, lines);
            self.extra_batten_line(&found, lines);
            if let Some(choice) = &roof.underlay {
                self.strip_lines(&found, choice, lines);
                self.sarking_line(&found, choice, lines);
            }
            self.flashing_lines(&found, roof, lines);
            self.timber_lines(&found, roof, lines);
        }
    }

    /// A line of an opening, still without its name.
    pub(super) fn opening_line(&self, item: impl IntoText, working: Working) -> Line {
        Line::new(self.name(), Part::Openings, item, "", working)
    }

    fn unit_lines(&self, found: &OpeningTakeOff<'_>, lines: &mut OpeningLines) {
        let units = &found.units;
        let touched = units.courses.iter().filter_map(|loss| {
            let course = self.layout.courses.get(loss.course)?;
            Some((course, loss))
        });
        let rows: Vec<(&Course, _)> = touched.collect();
        let by_course = |count: fn(&super::CourseLoss) -> u32| {
            let parts: Vec<SmolStr> = rows.iter().map(|(_, loss)| count(loss).to_smolstr()).collect();
            match (rows.first(), rows.last()) {
                (Some((first, _)), Some((last, _))) => {
                    said!("courses {} to {}: {}", first.number, last.number, parts.join(" + "))
                }
                _ => SmolStr::new_static("it touches no course"),
            }
        };
        let lost = Working::new(
            "positions lost",
            "laid without the opening, not laid with it, course by course",
            by_course(|loss| loss.lost),
            units.lost.to_smolstr(),
        )
        .by("left out of the units of the slope already", "");
        lines.tell(found, self.opening_line("units lost to it", lost).count(units.lost.into()));
        let mut rule = SmolStr::new_static("among the cut units of the slope already");
        if units.cut_again > 0 {
            rule = said!("{rule}; {} more were cut before and are cut once more", units.cut_again);
        }
        let cut = Working::new(
            "positions cut",
            "whole without the opening, cut with it, course by course",
            by_course(|loss| loss.cut),
            units.cut.to_smolstr(),
        )
        .by(rule, "");
        lines.tell(found, self.opening_line("units cut round it", cut).count(units.cut.into()));
        if let Ok(more) = u64::try_from(units.tile_and_half)
            && more > 0
        {
            let working = Working::new(
                "units of one and a half",
                "with the opening less without it: narrow cuts beside it joined to their neighbours",
                "",
                more.to_smolstr(),
            )
            .by("among those of the slope already", "");
            lines.tell(found, self.opening_line("tile-and-a-half units beside it", working).count(more));
        }
    }

    fn extra_batten_line(&self, found: &OpeningTakeOff<'_>, lines: &mut OpeningLines) {
        let lengths: Vec<f64> = found.battens.iter().map(|row| row.length_m()).collect();
        let total = lengths.iter().sum::<f64>() + 0.0;
        let numbers = joined(lengths.iter().map(|length| figure(*length, 3).with("m")), " + ");
        let nails: u32 = found.battens.iter().filter_map(|row| row.crossings).sum();
        let formula = if self.battens.rafters.is_some() {
            "a row at the sill and one at the head, from the last rafter before it to the first one after it, less what lies there already"
        } else {
            "a row at the sill and one at the head, as wide as the opening, less what lies there already"
        };
        let working = Working::new("extra battens", formula, numbers, figure(total, 2).with("m")).by(
            said!(
                "not among the battens of the slope, but among those of the whole roof, with {nails} nails"
            ),
            PRACTICE,
        );
        lines.tell(found, self.opening_line("extra battens at sill and head", working).length(total));
    }

    /// Underlay turned up its sides and laid round it.
    fn strip_lines(&self, found: &OpeningTakeOff<'_>, choice: &UnderlayChoice, lines: &mut OpeningLines) {
        for strips in &found.underlay {
            let (item, formula, is_stated) = match strips.use_for {
                StripUse::Upstand => {
                    ("underlay upstand", "a strip up each side", found.opening.underlay_upstand.is_some())
                }
                StripUse::Collar => (
                    "underlay collar",
                    "a strip along each side, longer by its width at both ends for the corners",
                    true,
                ),
            };
            let rule = self.underlay_rule.as_ref().map(|rule| &rule.abutment_upturn);
            let source = if is_stated {
                SmolStr::new_static("stated by the survey")
            } else {
                rule.map_or_else(SmolStr::default, Figure::citation)
            };
            let working = Working::new(
                item,
                said!("{formula}; {} side by side from the roll", strips.abreast),
                said!(
                    "{} m x {} mm; from the roll of {} m {} m",
                    figure(strips.length_m, 3),
                    figure(strips.width_m * 1000.0, 0),
                    figure(choice.underlay.width.value.value, 2),
                    figure(strips.roll_m, 3)
                ),
                figure(strips.area_m2(), 3).with("m2"),
            )
            .by("not in the runs of the slope, but among the rolls of the whole roof", source);
            let line = self.opening_line(item, working).length(strips.length_m).area(strips.area_m2());
            lines.tell(found, line);
        }
    }

    /// Boards cut out.
    fn sarking_line(&self, found: &OpeningTakeOff<'_>, choice: &UnderlayChoice, lines: &mut OpeningLines) {
        if !choice.supported {
            return;
        }
        let area = m2(signed_area(&found.opening.outline).abs()).m2();
        let working = Working::new(
            "boards cut out",
            "the area of the opening on the slope",
            "",
            figure(area, 3).with("m2"),
        );
        lines.tell(found, self.opening_line("sarking cut out", working).area(area));
    }
}
