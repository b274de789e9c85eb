//! Timbers round openings as lines.

use super::{OpeningLines, OpeningTakeOff};
use crate::quantity::{LengthIn as _, figure};
use crate::reason::Working;
use crate::takeoff::lines::nail_mass;
use crate::takeoff::{Line, OpeningTimbers, Part, SlopeTakeOff, TakeOff};

impl TakeOff {
    /// The section of the timbers, as far as it is stated.
    fn timber_section(&self) -> String {
        match (self.timbers.rafter_width, self.timbers.rafter_depth) {
            (Some(width), Some(depth)) => {
                format!(" {} x {} mm", figure(width.mm(), 0), figure(depth.mm(), 0))
            }
            _ => ", section not stated".to_owned(),
        }
    }
}

impl SlopeTakeOff {
    pub(super) fn timber_lines(&self, found: &OpeningTakeOff<'_>, roof: &TakeOff, lines: &mut OpeningLines) {
        let Some(timbers) = &found.timbers else { return };
        let line = |item: String, working: Working, count: u32| {
            Line::new(self.name(), Part::Timbers, item, "", working).count(count.into())
        };
        let trimming = roof.opening_rules.as_deref().and_then(|rules| rules.trimming.as_ref());
        let rule = trimming.map_or("", |rule| rule.name.as_str());
        let source = trimming.map_or_else(String::new, crate::rules::Trimming::citation);
        lines.tell(found, line("rafters cut".to_owned(), self.cut_working(timbers), timbers.cut));
        if timbers.cut == 0 {
            return;
        }
        let section = roof.timber_section();
        if let Some(added) = timbers.added {
            let working = Working::new(
                "rafters added",
                "by the number cut, half of them on each side, as long as the rafter there",
                format!("{} cut", timbers.cut),
                format!("{added}, {} m", figure(timbers.added_length_m, 2)),
            )
            .by(rule, &source);
            let item = format!("rafters added beside openings{section}");
            if added > 0 {
                lines.buy(found, line(item, working, added).length(timbers.added_length_m));
            }
        }
        let headers = f64::from(timbers.headers) * timbers.header_m;
        let working = Working::new(
            "headers",
            "one at the sill, one at the head, doubled where the rule says so, between the faces of the trimming rafters as they stand",
            format!("{} x {} m", timbers.headers, figure(timbers.header_m, 3)),
            format!("{} m", figure(headers, 2)),
        )
        .by(rule, &source);
        lines.buy(found, line(format!("headers{section}"), working, timbers.headers).length(headers));
        if timbers.trimmers > 0 {
            let length = f64::from(timbers.trimmers) * timbers.trimmer_m;
            let working = Working::new(
                "trimmers",
                "one at each side where no rafter stands, from header to header",
                format!("{} x {} m", timbers.trimmers, figure(timbers.trimmer_m, 3)),
                format!("{} m", figure(length, 2)),
            );
            lines.buy(found, line(format!("trimmers{section}"), working, timbers.trimmers).length(length));
        }
        if timbers.hangers > 0 {
            let by_limits = trimming.is_some_and(|rule| rule.headers.is_some());
            let (formula, by) = if by_limits {
                ("ends of headers and of cut rafters over their limits", source)
            } else {
                ("4 header ends + 2 ends of each cut rafter", "common practice, no source".to_owned())
            };
            let numbers = if by_limits { String::new() } else { format!("4 + 2 x {}", timbers.cut) };
            let working = Working::new("hangers", formula, numbers, timbers.hangers.to_string()).by("", by);
            lines.buy(found, line("hangers".to_owned(), working, timbers.hangers));
            self.hanger_nail_line(found, timbers, roof, lines);
        }
    }

    fn cut_working(&self, timbers: &OpeningTimbers) -> Working {
        let [left, right, ..] = timbers.clear_m;
        let spacing = self.battens.rafters.map_or(0.0, |rafters| rafters.spacing_m);
        let width = if timbers.rafter_width_m > 0.0 {
            format!("rafters {} mm wide", figure(timbers.rafter_width_m * 1000.0, 0))
        } else {
            "rafters by their centres, their width is not stated".to_owned()
        };
        Working::new(
            "rafters cut",
            "rafters that stand in the clear hole",
            format!(
                "{} to {} m, centres at {} mm, {width}",
                figure(left, 3),
                figure(right, 3),
                figure(spacing * 1000.0, 0)
            ),
            timbers.cut.to_string(),
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
        let source = work.map_or_else(String::new, |work| work.nails_per_hole.citation());
        let working = Working::new(
            "hanger nails",
            "hangers x holes of one",
            format!("{} x {holes}", timbers.hangers),
            nails.to_string(),
        )
        .by("every hole is nailed", source);
        let nail = roof.timbers.hanger_nail.as_deref();
        let key = nail.map_or("", |nail| nail.key.as_str());
        let line = Line::new(self.name(), Part::Timbers, "hanger nails", key, working).count(nails.into());
        lines.buy(found, line.mass_each(nail.and_then(nail_mass)));
    }
}
