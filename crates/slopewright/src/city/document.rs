//! The parts of a `CityJSON` document that are read. Everything else in it is passed over.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::Value;

/// A document of either kind: a whole model, the head of a sequence, or one feature of it.
#[derive(Debug, Deserialize)]
pub(super) struct Document {
    #[serde(rename = "type", default)]
    pub(super) kind: String,
    #[serde(default)]
    pub(super) transform: Option<Transform>,
    #[serde(default)]
    pub(super) metadata: Option<Metadata>,
    #[serde(rename = "CityObjects", default)]
    pub(super) objects: BTreeMap<String, Object>,
    #[serde(default)]
    pub(super) vertices: Vec<[f64; 3]>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
pub(super) struct Transform {
    pub(super) scale: [f64; 3],
    pub(super) translate: [f64; 3],
}

#[derive(Debug, Deserialize)]
pub(super) struct Metadata {
    #[serde(rename = "referenceSystem", default)]
    pub(super) reference_system: Option<String>,
}

#[derive(Debug, Deserialize)]
pub(super) struct Object {
    #[serde(default)]
    pub(super) geometry: Vec<Geometry>,
    #[serde(default)]
    pub(super) parents: Vec<String>,
}

#[derive(Debug, Deserialize)]
pub(super) struct Geometry {
    #[serde(rename = "type", default)]
    pub(super) kind: String,
    /// A text in the newer versions, a number in the first.
    #[serde(default)]
    pub(super) lod: Value,
    #[serde(default)]
    pub(super) boundaries: Value,
    #[serde(default)]
    pub(super) semantics: Option<Semantics>,
}

#[derive(Debug, Deserialize)]
pub(super) struct Semantics {
    #[serde(default)]
    pub(super) surfaces: Vec<Semantic>,
    #[serde(default)]
    pub(super) values: Value,
}

#[derive(Debug, Deserialize)]
pub(super) struct Semantic {
    #[serde(rename = "type", default)]
    pub(super) kind: String,
}

impl Geometry {
    /// The level of detail as it is written.
    pub(super) fn lod(&self) -> String {
        match &self.lod {
            Value::String(text) => text.clone(),
            Value::Number(number) => number.to_string(),
            _ => String::new(),
        }
    }

    /// How deep the faces lie in the boundaries: 0 for surfaces, 1 for a solid's shells, 2 for several solids.
    fn depth(&self) -> Option<usize> {
        match self.kind.as_str() {
            "MultiSurface" | "CompositeSurface" => Some(0),
            "Solid" => Some(1),
            "MultiSolid" | "CompositeSolid" => Some(2),
            _ => None,
        }
    }

    /// Every face with the kind of surface that it is (empty where nothing says so): its rings, each a list of vertices.
    pub(super) fn faces(&self) -> Vec<(&str, &Value)> {
        let mut found = Vec::new();
        let Some(depth) = self.depth() else { return found };
        let values = self.semantics.as_ref().map(|semantics| &semantics.values);
        self.gather(&self.boundaries, values, depth, &mut found);
        found
    }

    fn gather<'a>(
        &'a self,
        boundaries: &'a Value,
        values: Option<&Value>,
        depth: usize,
        found: &mut Vec<(&'a str, &'a Value)>,
    ) {
        for (at, part) in boundaries.as_array().into_iter().flatten().enumerate() {
            // Nothing in the place of a list of kinds stands for a list of nothings.
            let value = values.and_then(|values| values.get(at));
            if depth > 0 {
                self.gather(part, value, depth - 1, found);
                continue;
            }
            let semantic = value
                .and_then(Value::as_u64)
                .and_then(|number| usize::try_from(number).ok())
                .and_then(|number| self.semantics.as_ref()?.surfaces.get(number));
            found.push((semantic.map_or("", |semantic| semantic.kind.as_str()), part));
        }
    }
}
