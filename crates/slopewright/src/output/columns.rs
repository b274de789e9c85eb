//! Tables: which columns there are, what they mean, and how a take-off fills them.

use crate::quantity::LengthIn as _;
use crate::reason::Finding;
use crate::takeoff::{Line, TakeOff};

/// The values of a column.
#[derive(Debug, Clone, PartialEq)]
pub enum Values {
    /// Texts.
    Text(Vec<String>),
    /// Whole numbers, some absent.
    Count(Vec<Option<u64>>),
    /// Figures in the unit that the column's name ends with, some absent.
    Figure(Vec<Option<f64>>),
}

impl Values {
    /// How many there are.
    #[must_use]
    pub const fn len(&self) -> usize {
        match self {
            Self::Text(values) => values.len(),
            Self::Count(values) => values.len(),
            Self::Figure(values) => values.len(),
        }
    }

    /// Whether there are none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// A column: a name of the list [`COLUMNS`], and values.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// The name, with the unit at its end.
    pub name: &'static str,
    /// The values, one for each row.
    pub values: Values,
}

/// A table of columns of one length.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// What the table holds.
    pub name: &'static str,
    /// The columns.
    pub columns: Vec<Column>,
}

/// Every column that a table may have, and what it means.
pub const COLUMNS: &[(&str, &str)] = &[
    ("slope", "name of the slope; empty for the whole roof"),
    ("part", "part of the roof: covering, battens, underlay, fixings, openings, timbers"),
    ("item", "what it is, in the trade's words"),
    ("format", "key of the format in the catalogue"),
    ("count", "how many"),
    ("length_m", "how long"),
    ("area_m2", "how large"),
    ("mass_kg", "how heavy"),
    ("working", "the formula, the numbers put in, and the result"),
    ("rule", "the rule that the working follows"),
    ("source", "where the rule or the figures come from"),
    ("course", "number of the course, from 1 at the eaves; 0 for a course under the first"),
    ("kind", "what the course is: under-eaves, field, top"),
    ("tail_mm", "level of the tails above the eaves, up the slope"),
    ("gauge_mm", "height of the course"),
    ("positions_whole_count", "positions that take a whole unit"),
    ("positions_cut_count", "positions that take a cut unit"),
    ("whole_count", "whole units laid"),
    ("cut_count", "cut units laid"),
    ("tile_and_half_count", "units of one and a half laid, each for a narrow cut and its neighbour"),
    ("edge_count", "units at the ends of the course, at openings and along raking edges"),
    ("row", "number of the batten line, from 1 at the eaves; of the run of underlay"),
    (
        "at_mm",
        "level of the top of the batten, or of the lower edge of the run, above the eaves, up the slope",
    ),
    ("from_mm", "left end, from the left end of the eaves"),
    ("to_mm", "right end, from the left end of the eaves"),
    ("crossing_count", "rafters crossed"),
    ("severity", "how much a finding weighs: caution, departure"),
    ("place", "where: a slope, an edge, an opening"),
    ("message", "what the reader must know"),
];

/// What a column means; `None` for a name that no table has.
#[must_use]
pub fn meaning_of(name: &str) -> Option<&'static str> {
    COLUMNS.iter().find(|(column, _)| *column == name).map(|(_, meaning)| *meaning)
}

fn text(name: &'static str, values: impl Iterator<Item = String>) -> Column {
    Column { name, values: Values::Text(values.collect()) }
}

fn count(name: &'static str, values: impl Iterator<Item = Option<u64>>) -> Column {
    Column { name, values: Values::Count(values.collect()) }
}

fn number(name: &'static str, values: impl Iterator<Item = u32>) -> Column {
    count(name, values.map(|value| Some(u64::from(value))))
}

fn figure(name: &'static str, values: impl Iterator<Item = Option<f64>>) -> Column {
    Column { name, values: Values::Figure(values.collect()) }
}

fn millimetres(name: &'static str, metres: impl Iterator<Item = f64>) -> Column {
    figure(name, metres.map(|value| Some(value * 1000.0)))
}

impl Table {
    /// How many rows it has.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.columns.first().map_or(0, |column| column.values.len())
    }

    /// The lines of a take-off.
    #[must_use]
    pub fn lines(lines: &[Line]) -> Self {
        let all = || lines.iter();
        Self {
            name: "lines",
            columns: vec![
                text("slope", all().map(|line| line.slope.clone())),
                text("part", all().map(|line| line.part.word().to_owned())),
                text("item", all().map(|line| line.item.clone())),
                text("format", all().map(|line| line.format.clone())),
                count("count", all().map(|line| line.count)),
                figure("length_m", all().map(|line| line.length_m)),
                figure("area_m2", all().map(|line| line.area_m2)),
                figure("mass_kg", all().map(|line| line.mass_kg)),
                text("working", all().map(|line| line.working.sum())),
                text("rule", all().map(|line| line.working.rule.clone())),
                text("source", all().map(|line| line.working.source.clone())),
            ],
        }
    }

    /// The courses of a take-off.
    #[must_use]
    pub fn courses(take_off: &TakeOff) -> Self {
        let all = || {
            take_off.slopes.iter().flat_map(|slope| {
                slope
                    .layout
                    .courses
                    .iter()
                    .zip(&slope.units.courses)
                    .map(move |(course, units)| (slope, course, units))
            })
        };
        Self {
            name: "courses",
            columns: vec![
                text("slope", all().map(|(slope, ..)| slope.layout.slope.clone())),
                number("course", all().map(|(_, course, _)| course.number)),
                text("kind", all().map(|(_, course, _)| course.kind.word().to_owned())),
                millimetres("tail_mm", all().map(|(_, course, _)| course.band.low)),
                millimetres("gauge_mm", all().map(|(_, course, _)| course.band.high - course.band.low)),
                number("positions_whole_count", all().map(|(.., units)| units.positions.whole)),
                number("positions_cut_count", all().map(|(.., units)| units.positions.cut)),
                number("whole_count", all().map(|(.., units)| units.whole)),
                number("cut_count", all().map(|(.., units)| units.cut)),
                number("tile_and_half_count", all().map(|(.., units)| units.tile_and_half)),
                number("edge_count", all().map(|(.., units)| units.at_edges)),
            ],
        }
    }

    /// The rows of battens of a take-off.
    #[must_use]
    pub fn battens(take_off: &TakeOff) -> Self {
        let all = || {
            take_off
                .slopes
                .iter()
                .flat_map(|slope| slope.battens.rows.iter().map(move |row| (&slope.layout.slope, row)))
        };
        Self {
            name: "battens",
            columns: vec![
                text("slope", all().map(|(slope, _)| slope.clone())),
                number("row", all().map(|(_, row)| row.line)),
                millimetres("at_mm", all().map(|(_, row)| row.at_m)),
                millimetres("from_mm", all().map(|(_, row)| row.from_m)),
                millimetres("to_mm", all().map(|(_, row)| row.to_m)),
                figure("length_m", all().map(|(_, row)| Some(row.length_m()))),
                count("crossing_count", all().map(|(_, row)| row.crossings.map(u64::from))),
            ],
        }
    }

    /// The runs of underlay of a take-off.
    #[must_use]
    pub fn underlay(take_off: &TakeOff) -> Self {
        let all = || {
            take_off.slopes.iter().flat_map(|slope| {
                slope
                    .underlay
                    .iter()
                    .flat_map(|underlay| &underlay.runs)
                    .map(move |run| (&slope.layout.slope, run))
            })
        };
        Self {
            name: "underlay",
            columns: vec![
                text("slope", all().map(|(slope, _)| slope.clone())),
                number("row", all().map(|(_, run)| run.run)),
                millimetres("at_mm", all().map(|(_, run)| run.low_m)),
                millimetres("from_mm", all().map(|(_, run)| run.from_m)),
                millimetres("to_mm", all().map(|(_, run)| run.to_m)),
                figure("length_m", all().map(|(_, run)| Some(run.length_m()))),
            ],
        }
    }

    /// Findings.
    #[must_use]
    pub fn findings(findings: &[Finding]) -> Self {
        let all = || findings.iter();
        Self {
            name: "findings",
            columns: vec![
                text("severity", all().map(|finding| finding.severity.word().to_owned())),
                text("place", all().map(|finding| finding.place.clone())),
                text("message", all().map(|finding| finding.message.clone())),
                text("rule", all().map(|finding| finding.rule.clone())),
                text("source", all().map(|finding| finding.source.clone())),
            ],
        }
    }

    /// Every table of a take-off: lines, courses, battens, underlay, findings.
    #[must_use]
    pub fn all(take_off: &TakeOff) -> Vec<Self> {
        vec![
            Self::lines(&take_off.lines()),
            Self::courses(take_off),
            Self::battens(take_off),
            Self::underlay(take_off),
            Self::findings(&take_off.findings()),
        ]
    }
}

/// The gauge of a slope in millimetres, for the result document.
pub(super) fn gauge_mm(take_off: &crate::takeoff::SlopeTakeOff) -> f64 {
    take_off.layout.gauge().mm()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Pitch, m, mm};
    use crate::survey::{CoveringDocument, SlopeDocument, SurveyDocument};

    #[test]
    fn every_column_has_a_meaning_and_one_length() {
        let survey = SurveyDocument::new("shed")
            .with_covering(CoveringDocument::new("plain-tile-265x165"))
            .with_rafters(mm(450.0))
            .with_underlay("membrane-1x50")
            .with_slope(SlopeDocument::rectangle(
                "front",
                m(4.0),
                m(3.0),
                Pitch::from_degrees(40.0).unwrap(),
            ));
        let take_off = TakeOff::of(&survey.check().unwrap()).unwrap();
        let mut used = std::collections::BTreeSet::new();
        for table in Table::all(&take_off) {
            assert!(table.rows() > 0, "{}", table.name);
            for column in &table.columns {
                assert_eq!(column.values.len(), table.rows(), "{} {}", table.name, column.name);
                assert!(meaning_of(column.name).is_some(), "{}", column.name);
                used.insert(column.name);
            }
        }
        assert_eq!(used.len(), COLUMNS.len(), "a column in the list that no table has");
    }
}
