//! Measured work beside the materials: net areas and lengths under a named tradition of measuring.
//!
//! The area of a slope is that of its outline and overhangs; what an opening takes off it, and what edges add to it, is the
//! tradition's. Edges are measured by their true length, each joint once.

use smol_str::SmolStr;

use super::edges::RoofEdges;
use super::lines::{Line, Part};
use super::{SlopeTakeOff, TakeOff};
use crate::quantity::{AreaIn as _, LengthIn as _, figure, m2};
use crate::reason::{Working, joined, said};
use crate::rules::{EavesMeasure, MeasuringRule};
use crate::setout::Region;
use crate::survey::outline::{Point, edges, signed_area};
use crate::survey::{EdgeRole, Opening, Slope};

/// An opening as measured.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredOpening {
    /// What it is called.
    pub name: String,
    /// Its own area, in square metres.
    pub area_m2: f64,
    /// Whether it lies at the boundary of the slope.
    pub at_boundary: bool,
    /// What it takes off the area of the slope.
    pub deducted_m2: f64,
    /// What its edges add.
    pub added_m2: f64,
}

/// A slope as measured.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredSlope {
    /// The slope.
    pub slope: String,
    /// Outline and overhangs, openings left in, in square metres.
    pub gross_m2: f64,
    /// Its openings.
    pub openings: Vec<MeasuredOpening>,
    /// What its eaves add.
    pub added_at_eaves_m2: f64,
}

impl MeasuredSlope {
    fn of(rule: &MeasuringRule, found: &SlopeTakeOff) -> Self {
        let slope = &found.slope;
        let moves: Vec<f64> = found.layout.reaches.iter().map(|reach| reach.reach_m.max(0.0)).collect();
        let eaves_m: f64 = slope
            .edges
            .iter()
            .filter(|edge| edge.role == EdgeRole::Eaves)
            .map(crate::survey::Edge::length_m)
            .sum();
        let covering = found.layout.covering();
        let of_covering = rule.add_at_eaves_of.map(|measure| match measure {
            EavesMeasure::HalfUnit => covering.length.value.m() / 2.0,
            EavesMeasure::Gauge => found.layout.gauge().m(),
        });
        let along_eaves = rule.add_at_eaves.as_ref().map(|width| width.value.m()).or(of_covering);
        Self {
            slope: slope.name.clone(),
            gross_m2: Region::from_moved_edges(&slope.outline(), &moves).area_m2(),
            openings: slope.openings.iter().map(|opening| measured(rule, slope, opening)).collect(),
            added_at_eaves_m2: eaves_m * along_eaves.unwrap_or(0.0),
        }
    }

    /// The area as the tradition has it, in square metres.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        let openings: f64 = self.openings.iter().map(|opening| opening.added_m2 - opening.deducted_m2).sum();
        self.gross_m2 + openings + self.added_at_eaves_m2
    }
}

fn measured(rule: &MeasuringRule, slope: &Slope, opening: &Opening) -> MeasuredOpening {
    let area_m2 = signed_area(&opening.outline).abs();
    let at_boundary = is_at_boundary(slope, opening);
    let deducted_m2 = rule.deduction(m2(area_m2), at_boundary).m2();
    let girth_m: f64 = edges(&opening.outline).map(|(from, to)| to.minus(from).length()).sum();
    let width_m = rule.add_at_openings.as_ref().map_or(0.0, |width| width.value.m());
    let added_m2 = if deducted_m2 > 0.0 { girth_m * width_m } else { 0.0 };
    MeasuredOpening { name: opening.name.clone(), area_m2, at_boundary, deducted_m2, added_m2 }
}

/// Whether a corner of the opening lies on an edge of the slope.
fn is_at_boundary(slope: &Slope, opening: &Opening) -> bool {
    /// Closer than a millimetre is on the edge.
    const ON_EDGE_M: f64 = 1e-3;
    opening
        .outline
        .iter()
        .any(|corner| slope.edges.iter().any(|edge| distance_m(*corner, edge.from, edge.to) < ON_EDGE_M))
}

fn distance_m(point: Point, from: Point, to: Point) -> f64 {
    let along = to.minus(from);
    let square = along.dot(along);
    let share = if square > 0.0 { (point.minus(from).dot(along) / square).clamp(0.0, 1.0) } else { 0.0 };
    point.minus(from.plus(along, share)).length()
}

/// A roof as measured.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredWork {
    /// The tradition.
    pub rule: MeasuringRule,
    /// Slope by slope.
    pub slopes: Vec<MeasuredSlope>,
    /// What hips and valleys add, in square metres.
    pub added_at_hips_and_valleys_m2: f64,
    /// The length of each kind of edge that the roof has, in metres.
    pub lengths: Vec<(EdgeRole, f64)>,
}

impl MeasuredWork {
    pub(super) fn of(rule: &MeasuringRule, slopes: &[SlopeTakeOff], edges: &RoofEdges) -> Self {
        let raking_m = edges.length_m(EdgeRole::Hip) + edges.length_m(EdgeRole::Valley);
        let sides = if rule.each_side { 2.0 } else { 1.0 };
        let width_m = rule.add_at_hips_and_valleys.as_ref().map_or(0.0, |width| width.value.m());
        Self {
            slopes: slopes.iter().map(|slope| MeasuredSlope::of(rule, slope)).collect(),
            added_at_hips_and_valleys_m2: raking_m * width_m * sides,
            lengths: EdgeRole::ALL
                .into_iter()
                .map(|role| (role, edges.length_m(role)))
                .filter(|(_, length)| *length > 0.0)
                .collect(),
            rule: rule.clone(),
        }
    }

    /// The area of the roof as the tradition has it, in square metres.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        self.slopes.iter().map(MeasuredSlope::area_m2).sum::<f64>() + self.added_at_hips_and_valleys_m2
    }

    /// The lines: areas slope by slope and in all, then lengths.
    #[must_use]
    pub fn lines(&self) -> Vec<Line> {
        let square_metres = |area: f64| figure(area, 2).with("m2");
        let source = self.source();
        let mut lines = Vec::new();
        for slope in &self.slopes {
            let sum = |part: fn(&MeasuredOpening) -> f64| slope.openings.iter().map(part).sum::<f64>();
            let working = Working::new(
                "area measured",
                "outline and overhangs - openings deducted + edges of openings + eaves",
                said!(
                    "{} - {} + {} + {}; {} of {} openings left in",
                    figure(slope.gross_m2, 3),
                    figure(sum(|opening| opening.deducted_m2), 3),
                    figure(sum(|opening| opening.added_m2), 3),
                    figure(slope.added_at_eaves_m2, 3),
                    slope.openings.iter().filter(|opening| opening.deducted_m2 <= 0.0).count(),
                    slope.openings.len()
                ),
                square_metres(slope.area_m2()),
            )
            .by(&self.rule.name, &source);
            lines.push(
                Line::new(&slope.slope, Part::Measured, "area measured", "", working).area(slope.area_m2()),
            );
        }
        let areas = joined(self.slopes.iter().map(|slope| figure(slope.area_m2(), 3)), " + ");
        let working = Working::new(
            "area measured",
            "sum over the slopes + hips and valleys",
            said!("{} + {}", areas, figure(self.added_at_hips_and_valleys_m2, 3)),
            square_metres(self.area_m2()),
        )
        .by(&self.rule.name, &source);
        lines.push(Line::new("", Part::Measured, "area measured", "", working).area(self.area_m2()));
        for (role, length_m) in &self.lengths {
            let item = said!("{} measured", role.word());
            let working = Working::new(
                item.clone(),
                "true length, each joint once",
                "",
                figure(*length_m, 2).with("m"),
            )
            .by(&self.rule.name, &source);
            lines.push(Line::new("", Part::Measured, item, "", working).length(*length_m));
        }
        lines
    }

    /// The tradition's source, its remark and its note.
    fn source(&self) -> SmolStr {
        let mut source = self.rule.source.citation();
        if let Some(remark) = self.rule.source.standing.remark() {
            source = said!("{source} [{remark}]");
        }
        match &self.rule.note {
            Some(note) => said!("{source}; {note}"),
            None => source,
        }
    }
}

impl TakeOff {
    /// The lines of the measured work; none where the survey names no tradition.
    #[must_use]
    pub fn measured_lines(&self) -> Vec<Line> {
        self.measured.as_ref().map(MeasuredWork::lines).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::SurveyDocument;

    /// 8 x 5 m, with an opening of 0.8 x 0.6 m in the field (0.48 m2) and one of 1 x 0.45 m (0.45 m2) at the eaves.
    fn measured_by(rule: &str) -> TakeOff {
        let text = format!(
            r#"
            slopewright = 1
            measuring = "{rule}"
            covering.format = "slate-20x10in"
            [[slope]]
            name = "a"
            shape = "rectangle"
            pitch = "45 deg"
            eaves = "8 m"
            rafter = "5 m"
            edges = {{ eaves.overhang = "0 mm", left = {{ role = "hip" }}, right.overhang = "0 mm" }}
            opening = [
                {{ name = "hatch", from_left = "2 m", from_eaves = "2 m", width = "0.8 m", height = "0.6 m" }},
                {{ name = "foot", from_left = "5 m", from_eaves = "0 m", width = "1 m", height = "0.45 m" }},
            ]
            "#
        );
        TakeOff::of(&SurveyDocument::from_toml(&text).unwrap().check().unwrap()).unwrap()
    }

    #[test]
    fn one_slope_under_each_tradition() {
        // All by hand from the traditions' words: 40 m2 gross; a hip of 5 m and eaves of 8 m.
        let foot = 0.3048;
        for (rule, expected) in [
            ("net", 40.0 - 0.48 - 0.45),
            // From memory: voids to 0.50 m2, to 1.00 m2 and to 0.4 m2 stay in.
            ("uk-smm7", 40.0),
            ("uk-nrm2", 40.0),
            ("india-is1200", 40.0 - 0.48 - 0.45),
            // Seen: an opening at the boundary is deducted whatever its size.
            ("malaysia-smm", 40.0 - 0.45),
            // Seen: all deducted, 6 in round each opening (2.8 and 2.9 m), 6 in on both sides of the hip, eaves by half
            // the length of the slate, 10 in.
            ("uk-1905", 40.0 - 0.93 + (2.8 + 2.9 + 5.0 * 2.0) * foot / 2.0 + 8.0 * 0.254),
            // Seen: under 3 ft2 (0.279 m2) stays in; a foot along the hip and the eaves.
            ("us-slating-1900", 40.0 - 0.93 + (5.0 + 8.0) * foot),
        ] {
            let roof = measured_by(rule);
            let found = roof.measured.as_ref().unwrap().area_m2();
            assert!((found - expected).abs() < 1e-9, "{rule}: {found} for {expected}");
            let lines = roof.measured_lines();
            let hip = lines.iter().find(|line| line.item == "hip measured").unwrap();
            assert!((hip.length_m.unwrap() - 5.0).abs() < 1e-9);
            assert!(lines.iter().all(|line| line.part == Part::Measured && !line.working.source.is_empty()));
        }
        // Seen: eaves add one exposure, the gauge as laid; both openings are under four feet square.
        let roof = measured_by("us-slating-1869");
        let gauge = roof.slopes.first().unwrap().layout.gauging.gauge_m;
        let found = roof.measured.as_ref().unwrap().area_m2();
        assert!((found - (40.0 + 5.0 * foot + 8.0 * gauge)).abs() < 1e-9, "{found}");
    }

    #[test]
    fn how_far_a_corner_is_from_an_edge() {
        // By Pythagoras, 3-4-5: beside the edge, past either end of it, on an edge of 2 m, askew, and where it has no length.
        let at = Point::new;
        for (point, from, to, expected) in [
            (at(3.0, 4.0), at(0.0, 0.0), at(10.0, 0.0), 4.0),
            (at(13.0, 4.0), at(0.0, 0.0), at(10.0, 0.0), 5.0),
            (at(-3.0, 4.0), at(0.0, 0.0), at(10.0, 0.0), 5.0),
            (at(1.5, 2.0), at(0.0, 0.0), at(2.0, 0.0), 2.0),
            (at(-4.0, 3.0), at(0.0, 0.0), at(3.0, 4.0), 5.0),
            (at(3.0, 4.0), at(0.0, 0.0), at(0.0, 0.0), 5.0),
        ] {
            let found = distance_m(point, from, to);
            assert!((found - expected).abs() < 1e-12, "{point:?}: {found} for {expected}");
        }
    }

    #[test]
    fn nothing_is_measured_unless_asked_for() {
        let text = "slopewright = 1\ncovering.format = \"slate-20x10in\"\n[[form]]\nform = \"gable\"\nlength = \"8 m\"\n\
                    span = \"6 m\"\npitch = \"45 deg\"";
        let roof = TakeOff::of(&SurveyDocument::from_toml(text).unwrap().check().unwrap()).unwrap();
        assert!(roof.measured.is_none() && roof.measured_lines().is_empty());
    }
}
