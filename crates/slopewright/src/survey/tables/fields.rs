//! The columns, out of the schema of the survey document.

use serde_json::Value;

use super::{PLAIN_NUMBERS, name};
use crate::survey::SurveyDocument;

/// What the cells of a column hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// Text.
    Text,
    /// A length with its unit.
    Length,
    /// A pitch.
    Pitch,
    /// A mass per area with its unit.
    CoverMass,
    /// A whole number.
    Count,
    /// Yes or no.
    Truth,
    /// Several texts with semicolons between.
    Texts,
    /// Several lengths with semicolons between.
    Lengths,
    /// Several whole numbers with semicolons between.
    Counts,
}

/// One column, or one row of the table `Roof`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// Its name: the field of the document, with dots where it lies deeper: `covering.gauge`.
    pub name: String,
    /// What it means.
    pub meaning: String,
    /// What its cells hold.
    pub holds: Holds,
    /// The words that may stand in it, where there are only a few.
    pub choices: &'static [&'static str],
}

impl Field {
    pub(super) fn new(name: &str, meaning: &str, holds: Holds) -> Self {
        Self { name: name.to_owned(), meaning: meaning.to_owned(), holds, choices: choices(name, meaning) }
    }
}

/// The few words of a field. The meaning tells two fields of one name apart.
fn choices(name: &str, meaning: &str) -> &'static [&'static str] {
    let last = name.rsplit('.').next().unwrap_or(name);
    match last {
        "exposure" => &["sheltered", "moderate", "severe"],
        "start" => &["left", "right", "centre"],
        "form" if meaning.starts_with("The form:") => {
            &["gable", "hipped", "half-hipped", "lean-to", "winged", "mansard", "plan"]
        }
        "hips" => &["both", "left", "right"],
        "shape" => {
            &["rectangle", "trapezoid", "hip-end", "triangle", "parallelogram", "outline", "plan", "tape"]
        }
        "role" => {
            &["eaves", "ridge", "verge", "hip", "valley", "change-of-pitch", "side-abutment", "top-abutment"]
        }
        "kind" => &["opening", "roof-window", "chimney", "pipe", "hatch", "dormer"],
        "flue" => &["brick", "other", "none"],
        "laying" => &["bedded", "dry"],
        "make" if name.contains("hip") => &["units", "mitred"],
        "make" if name.contains("valley") => &["lead", "units", "sheet"],
        "make" if name.contains("verge") => &["undercloak", "units"],
        "support" => &["fillet", "tray"],
        "roof" => &["cold", "warm"],
        _ if last == PLAIN_NUMBERS => &["m", "mm", "ft", "in"],
        _ => &[],
    }
}

/// The fields of every table.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fields {
    pub(super) roof: Vec<Field>,
    pub(super) forms: Vec<Field>,
    pub(super) slopes: Vec<Field>,
    pub(super) parts: Vec<Field>,
    pub(super) edges: Vec<Field>,
    pub(super) openings: Vec<Field>,
    pub(super) corners: Vec<Field>,
    pub(super) joints: Vec<Field>,
    pub(super) catalogue: Vec<Field>,
}

impl Fields {
    /// The fields that the schema of the document gives.
    pub(super) fn of_document() -> Self {
        let schema = SurveyDocument::schema();
        let flat = |definition: &str| {
            let mut fields = Vec::new();
            if let Some(of) = schema.get("$defs").and_then(|of| of.get(definition)) {
                flatten(&schema, of, "", &mut fields);
            }
            fields
        };
        let mut roof = Vec::new();
        flatten(&schema, &schema, "", &mut roof);
        let plain = "What numbers without a unit are, where a length is wanted: m, mm, ft or in. If it is empty, every length has \
                     its unit with it.";
        roof.insert(roof.len().min(1), Field::new(PLAIN_NUMBERS, plain, Holds::Text));
        let text = |name: &str, meaning: &str| Field::new(name, meaning, Holds::Text);
        let form_column = text(
            "form",
            "The form it belongs to: its name, or # and its number. Empty for a slope of its own.",
        );
        let slope_column = text(
            "slope",
            "The slope: its name, or # and its number; of a form: front, rear, left, right, or as the form calls it.",
        );
        let with_owner =
            |first: &[Field], fields: Vec<Field>| first.iter().cloned().chain(fields).collect::<Vec<_>>();
        let owner = [form_column.clone(), slope_column.clone()];
        Self {
            roof,
            forms: flat("FormDocument"),
            slopes: flat("SlopeDocument"),
            parts: with_owner(&owner, flat("SlopeDetailDocument")),
            edges: with_owner(
                &[
                    form_column.clone(),
                    slope_column.clone(),
                    text("edge", "The edge by its name: eaves, right, top, left; or its number."),
                ],
                flat("EdgeDocument"),
            ),
            openings: with_owner(&owner, flat("OpeningDocument")),
            corners: with_owner(
                &[
                    form_column,
                    slope_column,
                    text("opening", "The opening it is a corner of: its name, or # and its number."),
                ],
                vec![
                    Field::new("right", "How far to the right of the left end of the eaves.", Holds::Length),
                    Field::new(
                        "up",
                        "How far up the slope from the eaves; of a plan, to the rear.",
                        Holds::Length,
                    ),
                ],
            ),
            joints: flat("JointDocument"),
            catalogue: vec![text("text", "A line of a catalogue of your own, as in a catalogue file.")],
        }
    }

    /// The fields of a table.
    pub(super) fn of(&self, table: &str) -> &[Field] {
        match table {
            name::ROOF => &self.roof,
            name::FORMS => &self.forms,
            name::SLOPES => &self.slopes,
            name::PARTS => &self.parts,
            name::EDGES => &self.edges,
            name::OPENINGS => &self.openings,
            name::CORNERS => &self.corners,
            name::JOINTS => &self.joints,
            name::CATALOGUE => &self.catalogue,
            _ => &[],
        }
    }
}

/// The fields of the table `Roof`, each of which has a row of its own.
#[must_use]
pub fn roof_fields() -> Vec<Field> {
    Fields::of_document().roof
}

/// The definition that a node refers to, or the node itself.
fn resolved<'a>(schema: &'a Value, node: &'a Value) -> (String, &'a Value) {
    let reference = node.get("$ref").and_then(Value::as_str).and_then(|path| path.strip_prefix("#/$defs/"));
    // A reference is a URI, in which a blank is written so.
    let name = reference.unwrap_or_default().replace("%20", " ");
    let of = schema.get("$defs").and_then(|of| of.get(&name)).unwrap_or(node);
    (name, of)
}

/// What a node holds, if a cell can hold it.
fn holds(schema: &Value, node: &Value) -> Option<Holds> {
    let (name, of) = resolved(schema, node);
    match (name.as_str(), of.get("type").and_then(Value::as_str)?) {
        ("length", _) => Some(Holds::Length),
        ("pitch", _) => Some(Holds::Pitch),
        ("mass per area", _) => Some(Holds::CoverMass),
        (_, "string") => Some(Holds::Text),
        (_, "integer") => Some(Holds::Count),
        (_, "boolean") => Some(Holds::Truth),
        (_, "array") => match holds(schema, of.get("items")?)? {
            Holds::Text => Some(Holds::Texts),
            Holds::Length => Some(Holds::Lengths),
            Holds::Count => Some(Holds::Counts),
            _ => None,
        },
        _ => None,
    }
}

/// The fields of a structure that cells can hold, those of the structures in it included; what comes several times has
/// a table of its own, and so have the slopes of a form.
fn flatten(schema: &Value, of: &Value, prefix: &str, fields: &mut Vec<Field>) {
    for (key, node) in of.get("properties").and_then(Value::as_object).into_iter().flatten() {
        let name = format!("{prefix}{key}");
        let meaning = node.get("description").and_then(Value::as_str).unwrap_or_default().replace('\n', " ");
        if let Some(holds) = holds(schema, node) {
            fields.push(Field::new(&name, &meaning, holds));
            continue;
        }
        let (definition, inner) = resolved(schema, node);
        if inner.get("properties").is_some() && definition != "SlopeDetailDocument" {
            flatten(schema, inner, &format!("{name}."), fields);
        }
    }
}

/// A field of a JSON value by its name with dots.
pub(super) fn get<'a>(value: &'a Value, name: &str) -> Option<&'a Value> {
    name.split('.').try_fold(value, |at, key| at.get(key))
}

/// Puts a field into a JSON value by its name with dots.
pub(super) fn put(value: &mut Value, name: &str, given: Value) {
    let mut at = value;
    for key in name.split('.') {
        if !at.is_object() {
            *at = Value::Object(serde_json::Map::new());
        }
        let Value::Object(map) = at else { return };
        at = map.entry(key).or_insert(Value::Null);
    }
    *at = given;
}
