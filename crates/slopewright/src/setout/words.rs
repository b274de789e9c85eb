//! A layout in words: its working, and what a reader must know about it.

use smol_str::SmolStr;

use super::courses::GaugeBand;
use super::layout::{Layout, ReachSource};
use super::short_bands::{band_is_cut, top_is_cut};
use crate::catalogue::{Figure, Hanging, Layers};
use crate::quantity::{Length, LengthIn as _, figure, m, millimetres};
use crate::reason::{Finding, Severity, Working};
use crate::survey::{Slope, Start};

fn mm_text(length_m: f64) -> String {
    millimetres(m(length_m))
}

impl Layout {
    /// The working, in the order of the work.
    #[must_use]
    pub fn working(&self, slope: &Slope) -> Vec<Working> {
        let mut steps = self.reach_steps(slope);
        steps.push(self.headlap_step());
        steps.extend(self.gauge_steps());
        steps.extend(self.across_steps());
        steps
    }

    fn reach_steps(&self, slope: &Slope) -> Vec<Working> {
        slope
            .edges
            .iter()
            .zip(&self.reaches)
            .map(|(edge, reach)| {
                let what = format!("{} edge '{}' ({})", self.slope, edge.name, edge.role.word());
                let (formula, by) = if reach.reach_m < 0.0 {
                    ("the covering stops short of the edge", -reach.reach_m)
                } else {
                    ("the covering reaches past the edge", reach.reach_m)
                };
                let source = match &reach.why {
                    ReachSource::Survey => SmolStr::new_static("stated by the survey"),
                    ReachSource::Rule(figure) => figure.citation(),
                    ReachSource::Outline => SmolStr::new_static("the covering ends on the outline"),
                };
                Working::new(what, formula, "", mm_text(by)).by("reach of the covering by edge", source)
            })
            .collect()
    }

    fn headlap_step(&self) -> Working {
        let need = &self.headlap;
        let mut parts = Vec::new();
        let mut sources = Vec::new();
        if let Some(rule) = &need.by_rule {
            parts.push(format!("rule {}", millimetres(rule.value)));
            sources.push(rule.citation());
        }
        if let Some(format) = &need.by_format {
            parts.push(format!("format {}", millimetres(format.value)));
            sources.push(format.citation());
        }
        if let Some(wanted) = need.by_survey {
            parts.push(format!("survey {}", millimetres(wanted)));
            sources.push(SmolStr::new_static("stated by the survey"));
        }
        let rule = format!("headlap at {} degrees", figure(self.pitch.degrees(), 2));
        Working::new(
            "least headlap",
            "the largest of those asked for",
            parts.join(", "),
            millimetres(need.needed),
        )
        .by(rule, sources.join("; "))
    }

    fn gauge_steps(&self) -> Vec<Working> {
        let covering = self.covering();
        let gauging = &self.gauging;
        let layers = covering.layers.count();
        let length = covering.length.value;
        let allowance = covering.nail_allowance.value;
        let allowed = covering.gauge_for(self.headlap.needed);
        let allowance_text =
            if allowance.m() > 0.0 { format!(" - {}", millimetres(allowance)) } else { String::new() };
        let mut steps = vec![
            Working::new(
                "largest gauge by the headlap",
                if allowance.m() > 0.0 {
                    "(length - nail allowance - headlap) / layers"
                } else {
                    "(length - headlap) / layers"
                },
                format!(
                    "({}{allowance_text} - {}) / {layers}",
                    millimetres(length),
                    millimetres(self.headlap.needed)
                ),
                millimetres(allowed),
            )
            .by("gauge of a lapped covering", covering.length.citation()),
        ];
        let mut limits = vec![format!("by headlap {}", millimetres(allowed))];
        let mut sources = Vec::new();
        if let Some(most) = &covering.gauge_most {
            limits.push(format!("of the format {}", millimetres(most.value)));
            sources.push(most.citation());
        }
        if let Some(wanted) = self.laying.gauge {
            limits.push(format!("of the survey {}", millimetres(wanted)));
        }
        if limits.len() > 1 {
            steps.push(
                Working::new(
                    "largest gauge",
                    "the least of those allowed",
                    limits.join(", "),
                    mm_text(gauging.gauge_most_m),
                )
                .by("", sources.join("; ")),
            );
        }
        let gap_m = self.top_gap.as_ref().map_or(0.0, |gap| gap.value.m());
        let gap_source = self.top_gap.as_ref().map_or_else(SmolStr::default, Figure::citation);
        let (top, low) = (self.covered.bounds().1.v, gauging.first_tail_m);
        let hanging_source = match (&covering.hanging_length, covering.hanging) {
            (Some(stated), _) => stated.citation(),
            (None, Hanging::Nibs) => SmolStr::new_static("taken as the whole length"),
            (None, Hanging::HeadNailed) => covering.nail_allowance.citation(),
            (None, Hanging::CentreNailed) => SmolStr::new_static("to the head, which stays under the top"),
        };
        steps.push(
            Working::new(
                "distance to divide",
                "top of the slope - top gap - hanging length of the last unit - first tail line",
                format!(
                    "{} - {} - {} - ({})",
                    mm_text(top),
                    mm_text(gap_m),
                    mm_text(gauging.top_hanging_m),
                    mm_text(low)
                ),
                mm_text(gauging.distance_m),
            )
            .by(
                "setting out between fixed points",
                format!("{gap_source}; hanging length: {hanging_source}"),
            ),
        );
        if gauging.bands.is_empty() {
            let whole = GaugeBand {
                from_m: gauging.first_tail_m,
                to_m: gauging.first_tail_m + gauging.distance_m,
                spaces: gauging.spaces,
                gauge_m: gauging.gauge_m,
                last_is_cut: gauging.last_is_cut,
            };
            steps.extend(self.division_steps(&whole, ""));
        }
        for (number, band) in (1..).zip(&gauging.bands) {
            let place = format!(" of band {number}, {} to {}", mm_text(band.from_m), mm_text(band.to_m));
            steps.extend(self.division_steps(band, &place));
        }
        steps.push(Working::new(
            "headlap laid",
            if allowance.m() > 0.0 {
                "length - nail allowance - layers x gauge"
            } else {
                "length - layers x gauge"
            },
            format!("{}{allowance_text} - {layers} x {}", millimetres(length), mm_text(gauging.gauge_m)),
            millimetres(self.headlap_laid()),
        ));
        steps
    }

    /// How the distance between two fixed points is divided.
    fn division_steps(&self, band: &GaugeBand, place: &str) -> [Working; 2] {
        let spaces = Working::new(
            format!("spaces{place}"),
            "distance / largest gauge, rounded up (to 0.1 mm)",
            format!("{} / {}", mm_text(band.distance_m()), mm_text(self.gauging.gauge_most_m)),
            band.spaces.to_string(),
        );
        let gauge = if band.spaces > 0 && !band.last_is_cut {
            Working::new(
                format!("gauge{place}"),
                "distance / spaces",
                format!("{} / {}", mm_text(band.distance_m()), band.spaces),
                mm_text(band.gauge_m),
            )
        } else {
            Working::new(format!("gauge{place}"), "the largest gauge", "", mm_text(band.gauge_m))
        };
        [spaces, gauge]
    }

    fn across_steps(&self) -> Vec<Working> {
        let covering = self.covering();
        let across = &self.across;
        let cover = match &covering.cover_width {
            Some(stated) => {
                Working::new("cover width", "as stated for the format", "", millimetres(stated.value))
                    .by(covering.cover_width_convention(), stated.citation())
            }
            None => Working::new(
                "cover width",
                "width + joint",
                format!("{} + {}", millimetres(covering.width.value), millimetres(covering.joint.value)),
                millimetres(covering.cover_width()),
            )
            .by(covering.cover_width_convention(), covering.width.citation()),
        };
        let mut steps = vec![cover];
        if (across.cover_m - across.format_cover_m).abs() > 1e-9 {
            let play = covering.side_play.as_ref().map_or_else(SmolStr::default, Figure::citation);
            steps.push(
                Working::new(
                    "cover width laid",
                    "the width between the edges / the nearest whole number of units",
                    "",
                    mm_text(across.cover_m),
                )
                .by("whole units within the side play", play),
            );
        }
        let start = match self.laying.start {
            Start::Left => "the left edge",
            Start::Right => "the right edge",
            Start::Centre => "the middle",
        };
        steps.push(Working::new(
            "bond",
            "shift of each second course",
            format!("first unit at {start}"),
            mm_text(across.shift_m),
        ));
        steps
    }

    /// What a reader must know about the setting out.
    #[must_use]
    pub fn findings(&self, slope: &Slope) -> Vec<Finding> {
        let place = format!("slope '{}'", self.slope);
        let mut findings = Vec::new();
        self.pitch_findings(&place, &mut findings);
        self.gauge_findings(&place, &mut findings);
        self.fixed_point_findings(slope, &place, &mut findings);
        let assumed: Vec<String> = slope
            .edges
            .iter()
            .filter(|edge| !edge.role_is_stated && edge.name.chars().all(|c| c.is_ascii_digit()))
            .map(|edge| format!("{} {}", edge.name, edge.role.word()))
            .collect();
        if !assumed.is_empty() {
            findings.push(Finding::new(
                Severity::Caution,
                &place,
                format!(
                    "the roles of these edges are taken from their direction: {}; state them to be sure",
                    assumed.join(", ")
                ),
            ));
        }
        let remembered = self.remembered(slope);
        if !remembered.is_empty() {
            findings.push(Finding::new(
                Severity::Caution,
                &place,
                format!(
                    "these figures are from memory: {}; measure them, or state your own",
                    remembered.join(", ")
                ),
            ));
        }
        findings
    }

    fn pitch_findings(&self, place: &str, findings: &mut Vec<Finding>) {
        if let Some(least) =
            self.pitch_least.as_ref().filter(|least| self.pitch.degrees() < least.value.degrees() - 1e-9)
        {
            let message = format!(
                "the pitch of {} degrees is under the least for {}, {} degrees",
                figure(self.pitch.degrees(), 2),
                self.covering().name,
                figure(least.value.degrees(), 2)
            );
            findings.push(
                Finding::new(Severity::Departure, place, message)
                    .by("least pitch of the covering", least.citation()),
            );
        }
        if self.headlap.by_rule.is_none() {
            let message = format!(
                "no published headlap is known here for {} at {} degrees; {} is taken",
                self.covering().name,
                figure(self.pitch.degrees(), 2),
                millimetres(self.headlap.needed)
            );
            findings.push(Finding::new(Severity::Departure, place, message).by("headlap", ""));
        }
        if let (Some(rule), Some(wanted)) = (&self.headlap.by_rule, self.headlap.by_survey)
            && wanted < rule.value
        {
            let message = format!(
                "the headlap of {} wanted is under the rule; {} is laid for",
                millimetres(wanted),
                millimetres(self.headlap.needed)
            );
            findings.push(Finding::new(Severity::Caution, place, message).by("headlap", rule.citation()));
        }
    }

    fn gauge_findings(&self, place: &str, findings: &mut Vec<Finding>) {
        let gauging = &self.gauging;
        let Some(least) = &self.covering().gauge_least else { return };
        if gauging.gauge_most_m < least.value.m() - 1e-4 {
            let message = format!(
                "the gauge that the headlap leaves, {}, is under the least of the format, {}: choose a longer unit or a steeper covering",
                mm_text(gauging.gauge_most_m),
                millimetres(least.value)
            );
            findings.push(
                Finding::new(Severity::Departure, place, message)
                    .by("gauge range of the format", least.citation()),
            );
        } else {
            let topmost = gauging.bands.len().saturating_sub(1);
            for (at, band) in gauging.bands.iter().enumerate().filter(|(_, band)| band.last_is_cut) {
                let message =
                    if at == topmost { top_is_cut(gauging, band, least) } else { band_is_cut(band, least) };
                findings.push(
                    Finding::new(Severity::Departure, place, message)
                        .by("gauge range of the format", least.citation()),
                );
            }
            if gauging.bands.is_empty() && gauging.last_is_cut {
                let whole = GaugeBand {
                    from_m: gauging.first_tail_m,
                    to_m: gauging.first_tail_m + gauging.distance_m,
                    spaces: gauging.spaces,
                    gauge_m: gauging.gauge_m,
                    last_is_cut: true,
                };
                findings.push(
                    Finding::new(Severity::Departure, place, top_is_cut(gauging, &whole, least))
                        .by("gauge range of the format", least.citation()),
                );
            }
        }
    }

    /// Openings that were to be fixed points and are not, because no tail line can lie there.
    fn fixed_point_findings(&self, slope: &Slope, place: &str, findings: &mut Vec<Finding>) {
        for opening in slope.openings.iter().filter(|opening| opening.fixed_point) {
            let (low, high) = opening.cleared_bounds();
            for (side, level) in [("lower", low.v), ("upper", high.v)] {
                if !self.gauging.keeps(level) {
                    let message = format!(
                        "the {side} side of opening '{}' at {} is no fixed point: it does not lie between the first and the last tail line",
                        opening.name,
                        mm_text(level)
                    );
                    findings.push(Finding::new(Severity::Caution, place, message));
                }
            }
        }
    }

    /// The figures behind this layout that are only recalled.
    fn remembered(&self, slope: &Slope) -> Vec<String> {
        let covering = self.covering();
        let mut names = Vec::new();
        let mut note = |name: &str, figure: Option<&Figure<Length>>| {
            if let Some(figure) = figure.filter(|figure| figure.is_from_memory()) {
                names.push(format!("{name} {}", millimetres(figure.value)));
            }
        };
        note("length", Some(&covering.length));
        note("width", Some(&covering.width));
        note("joint", Some(&covering.joint));
        note("cover width", covering.cover_width.as_ref());
        note("hanging length", covering.hanging_length.as_ref());
        note("least gauge", covering.gauge_least.as_ref());
        note("largest gauge", covering.gauge_most.as_ref());
        note("headlap of the format", covering.headlap_least.as_ref());
        note("headlap of the rule", self.headlap.by_rule.as_ref());
        note("top gap", self.top_gap.as_ref());
        for (edge, reach) in slope.edges.iter().zip(&self.reaches) {
            if let ReachSource::Rule(rule) = &reach.why {
                note(&format!("reach at the {}", edge.role.word()), Some(rule));
            }
        }
        names.sort();
        names.dedup();
        names
    }

    /// How many units lie over each other, in a word.
    #[must_use]
    pub fn lap_word(&self) -> &'static str {
        match self.covering().layers {
            Layers::Single => "single lap",
            Layers::Double => "double lap",
            Layers::Triple => "triple lap",
        }
    }
}
