//! Tables: which columns each has, and how a take-off fills them.

use rust_decimal::Decimal;

use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::LengthIn as _;
use crate::reason::Finding;
use crate::stock::BarGroup;
use crate::takeoff::{Line, SlopeCutting, TakeOff};

/// The values of a column.
#[derive(Debug, Clone, PartialEq)]
pub enum Values {
    /// Texts.
    Text(Vec<String>),
    /// Whole numbers, some absent.
    Count(Vec<Option<u64>>),
    /// Figures in the unit that the column's name ends with, some absent.
    Figure(Vec<Option<f64>>),
    /// Exact amounts of money in the currency that the row or the table names, some absent.
    Money(Vec<Option<Decimal>>),
}

impl Values {
    /// How many there are.
    #[must_use]
    pub const fn len(&self) -> usize {
        match self {
            Self::Text(values) => values.len(),
            Self::Count(values) => values.len(),
            Self::Figure(values) => values.len(),
            Self::Money(values) => values.len(),
        }
    }

    /// Whether there are none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// A column: a name of the list [`COLUMNS`](super::COLUMNS), and values.
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

impl Table {
    /// The table of that name among those that a result has.
    ///
    /// # Errors
    /// If there is none of that name, with the names that there are.
    pub fn named(tables: Vec<Self>, name: &str) -> Result<Self> {
        let names: Vec<&'static str> = tables.iter().map(|table| table.name).collect();
        let found = tables.into_iter().find(|table| table.name == name);
        found.ok_or_else(|| Self::unknown(name, &names))
    }

    /// The error of a table that a result does not have, with the names of those that it has.
    #[must_use]
    pub fn unknown(name: &str, known: &[&str]) -> Error {
        let fault = Fault::new(FaultKind::TableUnknown, "is no table of this result");
        fault.given(format!("\"{name}\"")).allowed(known.join(", ")).into()
    }
}

pub(crate) fn text(name: &'static str, values: impl Iterator<Item = impl Into<String>>) -> Column {
    Column { name, values: Values::Text(values.map(Into::into).collect()) }
}

pub(crate) fn count(name: &'static str, values: impl Iterator<Item = Option<u64>>) -> Column {
    Column { name, values: Values::Count(values.collect()) }
}

fn number(name: &'static str, values: impl Iterator<Item = u32>) -> Column {
    count(name, values.map(|value| Some(u64::from(value))))
}

pub(crate) fn figure(name: &'static str, values: impl Iterator<Item = Option<f64>>) -> Column {
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
                text("edge", all().map(|line| line.edge.clone())),
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

    /// The edges of a take-off, each with the edge of another slope that it shares a joint with.
    #[must_use]
    pub fn edges(take_off: &TakeOff) -> Self {
        let all = || take_off.edges();
        Self {
            name: "edges",
            columns: vec![
                text("slope", all().map(|(_, of, ..)| of.slope.name.clone())),
                text("edge", all().map(|(_, _, edge, _)| edge.name.clone())),
                text("role", all().map(|(_, _, edge, _)| edge.role.word().to_owned())),
                figure("length_m", all().map(|(_, _, edge, _)| Some(edge.length_m()))),
                text(
                    "shared_with",
                    all().map(|(here, .., joint)| {
                        joint
                            .and_then(|joint| joint.other_side(here))
                            .map_or_else(String::new, |other| take_off.edge_name(other))
                    }),
                ),
                figure("joint_length_m", all().map(|(.., joint)| joint.map(|joint| joint.length_m))),
                figure(
                    "counted_length_m",
                    all().map(|(here, _, edge, joint)| match joint {
                        None => Some(edge.length_m()),
                        Some(joint) => (joint.sides.first() == Some(&here)).then_some(joint.length_m),
                    }),
                ),
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

    /// The cutting list of battens: equal bars together.
    #[must_use]
    pub fn cutting(cut: &[SlopeCutting]) -> Self {
        let groups: Vec<(&str, BarGroup)> = cut
            .iter()
            .flat_map(|slope| {
                slope.plan.cutting.groups().into_iter().map(|group| (slope.slope.as_str(), group))
            })
            .collect();
        let all = || groups.iter();
        Self {
            name: "cutting",
            columns: vec![
                text("slope", all().map(|(slope, _)| (*slope).to_owned())),
                count("count", all().map(|(_, group)| Some(group.count as u64))),
                figure("stock_m", all().map(|(_, group)| Some(group.bar.length.m()))),
                text("cuts", all().map(|(_, group)| group.bar.to_string())),
            ],
        }
    }

    /// The pieces of battens where they lie: each row's pieces from left to right, with the bar they come from.
    #[must_use]
    pub fn pieces(cut: &[SlopeCutting]) -> Self {
        let mut rows = Vec::new();
        for slope in cut {
            for row in &slope.plan.rows {
                let pieces = row.runs.iter().flat_map(|run| &run.pieces);
                rows.extend(
                    pieces.zip(1_u64..).map(|(piece, number)| (slope.slope.clone(), row, piece, number)),
                );
            }
        }
        let all = || rows.iter();
        Self {
            name: "pieces",
            columns: vec![
                text("slope", all().map(|(slope, ..)| slope.clone())),
                millimetres("at_mm", all().map(|(_, row, ..)| row.up.m())),
                count("piece", all().map(|(.., number)| Some(*number))),
                millimetres("from_mm", all().map(|(_, _, piece, _)| piece.from.m())),
                millimetres("to_mm", all().map(|(_, _, piece, _)| piece.to.m())),
                count("bar", all().map(|(_, _, piece, _)| Some(piece.bar as u64 + 1))),
            ],
        }
    }

    /// The work as measured under the rule that the survey names; without rows where it names none.
    #[must_use]
    pub fn measured(take_off: &TakeOff) -> Self {
        Self { name: "measured", ..Self::lines(&take_off.measured_lines()) }
    }

    /// Every table of a take-off: lines, courses, battens, underlay, edges, findings; measured, where a rule is named.
    #[must_use]
    pub fn all(take_off: &TakeOff) -> Vec<Self> {
        let mut tables = vec![
            Self::lines(&take_off.lines()),
            Self::courses(take_off),
            Self::battens(take_off),
            Self::underlay(take_off),
            Self::edges(take_off),
            Self::findings(&take_off.findings()),
        ];
        if take_off.measured.is_some() {
            tables.push(Self::measured(take_off));
        }
        tables
    }
}

/// The gauge of a slope in millimetres, for the result document.
pub(super) fn gauge_mm(take_off: &crate::takeoff::SlopeTakeOff) -> f64 {
    take_off.layout.gauge().mm()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::meanings::{COLUMNS, meaning_of};
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
        let mut tables = Table::all(&take_off);
        tables.extend(job_tables(&take_off));
        let cut = take_off.cut_battens(crate::rules::Rules::standard()).unwrap();
        tables.extend([Table::cutting(&cut), Table::pieces(&cut)]);
        let range = crate::takeoff::TapeRange::of(&survey, mm(10.0)).unwrap();
        tables.push(Table::range(&crate::order::wanted_range(&range)));
        // A lean-to of 4 m by 3 m that rises by 3 m.
        let model = r#"{"type": "CityJSON", "version": "2.0", "transform": {"scale": [1, 1, 1], "translate": [0, 0, 0]},
            "vertices": [[0, 0, 2], [4, 0, 2], [4, 3, 5], [0, 3, 5]],
            "CityObjects": {"shed": {"type": "Building", "geometry": [{"type": "MultiSurface", "lod": "2",
            "boundaries": [[[0, 1, 2, 3]]], "semantics": {"surfaces": [{"type": "RoofSurface"}], "values": [0]}}]}}}"#;
        let model = crate::city::CityModel::read(model, &crate::city::CityTerms::default()).unwrap();
        tables.extend([model.surfaces_table(), model.edges_table()]);
        for table in tables {
            assert!(table.rows() > 0, "{}", table.name);
            for column in &table.columns {
                assert_eq!(column.values.len(), table.rows(), "{} {}", table.name, column.name);
                assert!(meaning_of(column.name).is_some(), "{}", column.name);
                used.insert(column.name);
            }
        }
        assert_eq!(used.len(), COLUMNS.len(), "a column in the list that no table has");
    }

    /// A job on which every table of salvage and order has a row.
    fn job_tables(take_off: &TakeOff) -> Vec<Table> {
        let salvage = crate::salvage::Salvage::from_toml(
            r#"
            slopewright = 1
            reckoning = { basis = { on = "likely" } }
            [[heaps]]
            unit = "old whole"
            counted = { by = "grades", sound = 100 }
            [[old_coverings]]
            unit = "old whole"
            area = "2 m2"
            gauge = "100 mm"
            cover_width = "165 mm"
            allowed = "5 %"
            [[sharing.reserves]]
            roof = "barn"
            unit = "old whole"
            hold = { by = "number", count = 5 }
            "#,
        );
        let salvaged = salvage.unwrap().reckon(&take_off.needs()).unwrap();
        let terms = crate::order::Terms::new(
            crate::quantity::MoneyRounding::HalfUp,
            crate::order::RoundingPlace::PerLine,
        );
        let mut document = crate::order::OrderDocument::new("EUR", terms);
        let row = |item: String| crate::order::PriceRow::new(item, Decimal::ONE);
        document.prices = salvaged.shortages.iter().map(|of| row(of.unit.to_string())).collect();
        let made = document.order_for(&salvaged, &[take_off]).unwrap();
        let mass = Some((crate::quantity::kg_per_m2(60.0), "as stated".to_owned()));
        let heavy = crate::survey::OldCovering { mass, ..take_off.old_covering.clone() };
        let mut heavier = take_off.clone();
        heavier.old_covering = heavy;
        let heavy = heavier;
        let line = r#"{"id":"a","unit":"old whole","grade":"sound","count":40,"time":"2024-05-02"}"#;
        let days = crate::salvage::Tally::read(line).unwrap().by_day().unwrap();
        let mut tables = Table::salvage(&salvaged);
        tables.push(Table::tally(&days));
        tables.extend(Table::order(&made));
        tables.push(Table::load(&crate::order::loads(&heavy, crate::rules::Rules::standard())));
        tables
    }
}
