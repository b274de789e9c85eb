//! Lines, working and findings.

use pyo3::prelude::*;

/// One step of the working: the formula, the numbers put in, the result, the rule and its source.
#[pyclass(frozen, module = "slopewright", eq, hash)]
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct Working {
    core: slopewright::reason::Working,
}

#[pymethods]
impl Working {
    /// What is worked out.
    #[getter]
    fn what(&self) -> &str {
        &self.core.what
    }

    /// The formula in words.
    #[getter]
    fn formula(&self) -> &str {
        &self.core.formula
    }

    /// The same with the numbers put in.
    #[getter]
    fn numbers(&self) -> &str {
        &self.core.numbers
    }

    /// The result with its unit.
    #[getter]
    fn result(&self) -> &str {
        &self.core.result
    }

    /// The rule that it follows.
    #[getter]
    fn rule(&self) -> &str {
        &self.core.rule
    }

    /// Where the rule or the figures come from.
    #[getter]
    fn source(&self) -> &str {
        &self.core.source
    }

    /// All of it in a sentence, as `str` gives it.
    #[getter]
    fn text(&self) -> String {
        self.core.to_string()
    }

    fn __str__(&self) -> String {
        self.text()
    }

    fn __repr__(&self) -> String {
        format!("Working({:?}, result={:?})", self.core.what, self.core.result)
    }
}

impl From<&slopewright::reason::Working> for Working {
    fn from(working: &slopewright::reason::Working) -> Self {
        Self { core: working.clone() }
    }
}

/// One line of a take-off.
#[pyclass(frozen, module = "slopewright")]
#[derive(Debug, Clone)]
pub(crate) struct Line {
    core: slopewright::takeoff::Line,
}

#[pymethods]
impl Line {
    /// The slope; empty for the whole roof.
    #[getter]
    fn slope(&self) -> &str {
        &self.core.slope
    }

    /// The part of the roof: covering, battens, underlay, fixings.
    #[getter]
    fn part(&self) -> &'static str {
        self.core.part.word()
    }

    /// What it is.
    #[getter]
    fn item(&self) -> &str {
        &self.core.item
    }

    /// The key of its format in the catalogue.
    #[getter]
    fn format(&self) -> &str {
        &self.core.format
    }

    /// How many.
    #[getter]
    fn count(&self) -> Option<u64> {
        self.core.count
    }

    /// How long, in metres.
    #[getter]
    fn length_m(&self) -> Option<f64> {
        self.core.length_m
    }

    /// How large, in square metres.
    #[getter]
    fn area_m2(&self) -> Option<f64> {
        self.core.area_m2
    }

    /// How heavy, in kilograms.
    #[getter]
    fn mass_kg(&self) -> Option<f64> {
        self.core.mass_kg
    }

    /// Why.
    #[getter]
    fn working(&self) -> Working {
        Working::from(&self.core.working)
    }

    fn __repr__(&self) -> String {
        let amounts = [
            self.core.count.map(|value| format!("count={value}")),
            self.core.length_m.map(|value| format!("length_m={value:.3}")),
            self.core.area_m2.map(|value| format!("area_m2={value:.3}")),
            self.core.mass_kg.map(|value| format!("mass_kg={value:.1}")),
        ];
        let amounts: Vec<String> = amounts.into_iter().flatten().collect();
        format!("Line({:?}, {:?}, {})", self.core.slope, self.core.item, amounts.join(", "))
    }
}

impl From<slopewright::takeoff::Line> for Line {
    fn from(core: slopewright::takeoff::Line) -> Self {
        Self { core }
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
