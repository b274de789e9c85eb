//! Lines, working and findings.

use pyo3::prelude::*;

/// One step of the working: the formula, the numbers put in, the result, the rule and its source.
#[pyclass(frozen, module = "slopewright", eq, hash, get_all)]
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct Working {
    /// What is worked out.
    what: String,
    /// The formula in words.
    formula: String,
    /// The same with the numbers put in.
    numbers: String,
    /// The result with its unit.
    result: String,
    /// The rule that it follows.
    rule: String,
    /// Where the rule or the figures come from.
    source: String,
    /// All of it in a sentence, as `str` gives it.
    text: String,
}

#[pymethods]
impl Working {
    fn __str__(&self) -> &str {
        &self.text
    }

    fn __repr__(&self) -> String {
        format!("Working({:?}, result={:?})", self.what, self.result)
    }
}

impl From<&slopewright::reason::Working> for Working {
    fn from(working: &slopewright::reason::Working) -> Self {
        Self {
            what: working.what.clone(),
            formula: working.formula.clone(),
            numbers: working.numbers.clone(),
            result: working.result.clone(),
            rule: working.rule.clone(),
            source: working.source.clone(),
            text: working.to_string(),
        }
    }
}

/// One line of a take-off.
#[pyclass(frozen, module = "slopewright", get_all)]
#[derive(Debug, Clone)]
pub(crate) struct Line {
    /// The slope; empty for the whole roof.
    slope: String,
    /// The part of the roof: covering, battens, underlay, fixings.
    part: String,
    /// What it is.
    item: String,
    /// The key of its format in the catalogue.
    format: String,
    /// How many.
    count: Option<u64>,
    /// How long, in metres.
    length_m: Option<f64>,
    /// How large, in square metres.
    area_m2: Option<f64>,
    /// How heavy, in kilograms.
    mass_kg: Option<f64>,
    /// Why.
    working: Working,
}

#[pymethods]
impl Line {
    fn __repr__(&self) -> String {
        let amounts = [
            self.count.map(|value| format!("count={value}")),
            self.length_m.map(|value| format!("length_m={value:.3}")),
            self.area_m2.map(|value| format!("area_m2={value:.3}")),
            self.mass_kg.map(|value| format!("mass_kg={value:.1}")),
        ];
        let amounts: Vec<String> = amounts.into_iter().flatten().collect();
        format!("Line({:?}, {:?}, {})", self.slope, self.item, amounts.join(", "))
    }
}

impl From<&slopewright::takeoff::Line> for Line {
    fn from(line: &slopewright::takeoff::Line) -> Self {
        Self {
            slope: line.slope.clone(),
            part: line.part.word().to_owned(),
            item: line.item.clone(),
            format: line.format.clone(),
            count: line.count,
            length_m: line.length_m,
            area_m2: line.area_m2,
            mass_kg: line.mass_kg,
            working: Working::from(&line.working),
        }
    }
}

/// Something that the reader of a result must know.
#[pyclass(frozen, module = "slopewright", eq, hash, get_all)]
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct Finding {
    /// How much it weighs: caution or departure.
    severity: String,
    /// Where.
    place: String,
    /// What.
    message: String,
    /// The rule behind it.
    rule: String,
    /// Where the rule comes from.
    source: String,
    /// All of it in a sentence, as `str` gives it.
    text: String,
}

#[pymethods]
impl Finding {
    fn __str__(&self) -> &str {
        &self.text
    }

    fn __repr__(&self) -> String {
        format!("Finding({:?}, {:?}, {:?})", self.severity, self.place, self.message)
    }
}

impl From<&slopewright::reason::Finding> for Finding {
    fn from(finding: &slopewright::reason::Finding) -> Self {
        Self {
            severity: finding.severity.word().to_owned(),
            place: finding.place.clone(),
            message: finding.message.clone(),
            rule: finding.rule.clone(),
            source: finding.source.clone(),
            text: finding.to_string(),
        }
    }
}
