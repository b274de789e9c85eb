//! Timbers round openings as lines.

use smol_str::{SmolStr, ToSmolStr as _};

use super::{OpeningLines, OpeningTakeOff};
use crate::quantity::{LengthIn as _, figure};
use crate::reason::{Working, said};
use crate::takeoff::lines::nail_mass;
use crate::takeoff::{Line, OpeningTimbers, Part, SlopeTakeOff, TakeOff};

impl TakeOff {
    /// The section of the timbers, as far as it is stated.
    pub(in crate::takeoff) fn timber_section(&self) -> SmolStr {
        match (self.timbers.rafter_width, self.timbers.rafter_depth) {
            (Some(width), Some(depth)) => {
                said!(" {} x {} mm", figure(width.mm(), 0), figure(depth.mm(), 0))
            }
            _ => SmolStr::new_static(", section not stated"),
        }
    }
}

impl SlopeTakeOff {
    pub(super) fn timber_lines(&self, found: &OpeningTakeOff<'_>, roof: &TakeOff, lines: &mut OpeningLines) {
        let Some(timbers) = &found.timbers else { return };
        let line = |item: SmolStr, working: Working, count: u32| {
            Line::new(self.name(), Part::Timbers, item, "", working).count(count.into())
        };
        let trimming = roof.opening_rules.as_deref().and_then(|rules| rules.trimming.as_ref());
        let rule = trimming.map_or_else(SmolStr::default, |rule| SmolStr::from(&rule.name));
        let source = trimming.map_or_else(SmolStr::default, crate::rules::Trimming::citation);
        lines.tell(found, line(SmolStr::new_static("rafters cut"), self.cut_working(timbers), timbers.cut));
        if timbers.cut == 0 {
            return;
        }
        let section = roof.timber_section();
        if let Some(added) = timbers.added {
            let working = Working::new(
                "rafters added",
                "by the number cut, half of them on each side, as long as the rafter there",
                said!("{} cut", timbers.cut),
                said!("{added}, {} m", figure(timbers.added_length_m, 2)),
            )
            .by(&rule, &source);
            let item = said!("rafters added beside openings{section}");
            if added > 0 {
                lines.buy(found, line(item, working, added).length(timbers.added_length_m));
            }
        }
        let headers = f64::from(timbers.headers) * timbers.header_m;
        let working = Working::new(
            "headers",
            "one at the sill, one at the head, doubled where the rule says so, between the faces of the trimming rafters as they stand",
            said!("{} x {} m", timbers.headers, figure(timbers.header_m, 3)),
            figure(headers, 2).with("m"),
        )
        .by(&rule, &source);
        lines.buy(found, line(said!("headers{section}"), working, timbers.headers).length(headers));
        if timbers.trimmers > 0 {
            let length = f64::from(timbers.trimmers) * timbers.trimmer_m;
            let working = Working::new(
                "trimmers",
                "one at each side where no rafter stands, from header to header",
                said!("{} x {} m", timbers.trimmers, figure(timbers.trimmer_m, 3)),
                figure(length, 2).with("m"),
            );
            lines.buy(found, line(said!("trimmers{section}"), working, timbers.trimmers).length(length));
        }
        if timbers.hangers > 0 {
            let by_limits = trimming.is_some_and(|rule| rule.headers.is_some());
            let (formula, by) = if by_limits {
                ("ends of headers and of cut rafters over their limits", source)
            } else {
                (
                    "4 header ends + 2 ends of each cut rafter",
                    SmolStr::new_static("common practice, no source"),
                )
            };
            let numbers = if by_limits { SmolStr::default() } else { said!("4 + 2 x {}", timbers.cut) };
            let working = Working::new("hangers", formula, numbers, timbers.hangers.to_smolstr()).by("", by);
            lines.buy(found, line(SmolStr::new_static("hangers"), working, timbers.hangers));
            self.hanger_nail_line(found, timbers, roof, lines);
        }
    }

    fn cut_working(&self, timbers: &OpeningTimbers) -> Working {
        let [left, right, ..] = timbers.clear_m;
        let spacing = self.battens.rafters.map_or(0.0, |rafters| rafters.spacing_m);
        let width = if timbers.rafter_width_m > 0.0 {
            said!("rafters {} mm wide", figure(timbers.rafter_width_m * 1000.0, 0))
        } else {
            SmolStr::new_static("rafters by their centres, their width is not stated")
        };
        Working::new(
            "rafters cut",
            "rafters that stand in the clear hole",
            said!(
                "{} to {} m, centres at {} mm, {width}",
                figure(left, 3),
                figure(right, 3),
                figure(spacing * 1000.0, 0)
            ),
            timbers.cut.to_smolstr(),
        )
    }

    fn hanger_nail_line(
        &self,
        found: &OpeningTakeOff<'_>,
        timbers: &OpeningTimbers,
        roof: &TakeOff,
        lines: &mut OpeningLines,
    ) {
        let Some((nails, holes)) = timbers.hanger_nails.zip(roof.timbers.hanger_nails) else { return };
        let work = roof.opening_rules.as_deref().and_then(|rules| rules.work.as_ref());
        let source = work.map_or_else(SmolStr::default, |work| work.nails_per_hole.citation());
        let working = Working::new(
            "hanger nails",
            "hangers x holes of one",
            said!("{} x {holes}", timbers.hangers),
            nails.to_smolstr(),
        )
        .by("every hole is nailed", source);
        let nail = roof.timbers.hanger_nail.as_deref();
        let key = nail.map_or("", |nail| nail.key.as_str());
        let line = Line::new(self.name(), Part::Timbers, "hanger nails", key, working).count(nails.into());
        lines.buy(found, line.mass_each(nail.and_then(nail_mass)));
    }
}
