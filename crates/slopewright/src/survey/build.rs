//! Surveys in code: the same document, made by builders that take quantities.

use std::collections::BTreeMap;

use super::document::{
    BattensDocument, CoveringDocument, DOCUMENT_VERSION, EdgeDocument, FormDocument, OpeningDocument,
    SlopeDetailDocument, SlopeDocument, SurveyDocument, UnderlayDocument,
};
use super::edgework::EdgeworkDocument;
use super::entry::{Entry, LengthText};
use super::form::detail_of;
use super::roof::EdgeRole;
use crate::quantity::{Length, LengthIn as _, Pitch};

type Pairs = Vec<Entry<Vec<Entry<LengthText>>>>;

fn pairs(points: &[(Length, Length)]) -> Pairs {
    points.iter().map(|(right, up)| Entry::Given(vec![given(*right), given(*up)])).collect()
}

fn given<T>(value: impl Into<T>) -> Entry<T> {
    Entry::Given(value.into())
}

/// Puts an entry at the end of a list.
fn push<T>(list: &mut Entry<Vec<Entry<T>>>, item: T) {
    list.given_or_new().push(Entry::Given(item));
}

impl SurveyDocument {
    /// An empty survey of the newest version.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self { slopewright: Entry::Given(DOCUMENT_VERSION), name: given(name), ..Self::default() }
    }

    /// With a covering for all slopes that have none of their own.
    #[must_use]
    pub fn with_covering(mut self, covering: CoveringDocument) -> Self {
        self.covering = Entry::Given(covering);
        self
    }

    /// With an exposure: `sheltered`, `moderate` or `severe`.
    #[must_use]
    pub fn with_exposure(mut self, exposure: &str) -> Self {
        self.exposure = given(exposure);
        self
    }

    /// With battens on rafters at this spacing.
    #[must_use]
    pub fn with_rafters(mut self, spacing: Length) -> Self {
        self.battens =
            Entry::Given(BattensDocument { rafter_spacing: given(spacing), ..BattensDocument::default() });
        self
    }

    /// With an underlay of the catalogue.
    #[must_use]
    pub fn with_underlay(mut self, format: &str) -> Self {
        self.underlay =
            Entry::Given(UnderlayDocument { format: given(format), ..UnderlayDocument::default() });
        self
    }

    /// With its edges made as stated.
    #[must_use]
    pub fn with_edgework(mut self, edgework: EdgeworkDocument) -> Self {
        self.edgework = Entry::Given(edgework);
        self
    }

    /// Measured under a tradition, by its key, beside the materials.
    #[must_use]
    pub fn with_measuring(mut self, key: &str) -> Self {
        self.measuring = given(key);
        self
    }

    /// With one more slope.
    #[must_use]
    pub fn with_slope(mut self, slope: SlopeDocument) -> Self {
        push(&mut self.slope, slope);
        self
    }

    /// With one more form.
    #[must_use]
    pub fn with_form(mut self, form: FormDocument) -> Self {
        push(&mut self.form, form);
        self
    }
}

impl CoveringDocument {
    /// A covering of the catalogue, laid as the rules say.
    #[must_use]
    pub fn new(format: &str) -> Self {
        Self { format: given(format), ..Self::default() }
    }

    /// With a least headlap.
    #[must_use]
    pub fn with_headlap(mut self, headlap: Length) -> Self {
        self.headlap = given(headlap);
        self
    }

    /// With a largest gauge.
    #[must_use]
    pub fn with_gauge(mut self, gauge: Length) -> Self {
        self.gauge = given(gauge);
        self
    }

    /// With a bond: `half`, `straight` or a length.
    #[must_use]
    pub fn with_bond(mut self, bond: &str) -> Self {
        self.bond = given(bond);
        self
    }
}

impl SlopeDocument {
    fn shaped(name: &str, shape: &str, pitch: Pitch) -> Self {
        Self { name: given(name), shape: given(shape), pitch: given(pitch), ..Self::default() }
    }

    /// A rectangle from its eaves and rafter length.
    #[must_use]
    pub fn rectangle(name: &str, eaves: Length, rafter: Length, pitch: Pitch) -> Self {
        Self { eaves: given(eaves), rafter: given(rafter), ..Self::shaped(name, "rectangle", pitch) }
    }

    /// A trapezoid with its ridge in the middle; see [`SlopeDocument::with_offset`].
    #[must_use]
    pub fn trapezoid(name: &str, eaves: Length, ridge: Length, rafter: Length, pitch: Pitch) -> Self {
        Self {
            eaves: given(eaves),
            ridge: given(ridge),
            rafter: given(rafter),
            ..Self::shaped(name, "trapezoid", pitch)
        }
    }

    /// A hip end: a triangle with its apex over the middle of the eaves.
    #[must_use]
    pub fn hip_end(name: &str, eaves: Length, rafter: Length, pitch: Pitch) -> Self {
        Self { eaves: given(eaves), rafter: given(rafter), ..Self::shaped(name, "hip-end", pitch) }
    }

    /// A free outline by its corners on the slope: to the right and up the slope.
    #[must_use]
    pub fn outline(name: &str, corners: &[(Length, Length)], pitch: Pitch) -> Self {
        Self { points: Entry::Given(pairs(corners)), ..Self::shaped(name, "outline", pitch) }
    }

    /// A free outline by its corners in plan: along the eaves and level into the roof.
    #[must_use]
    pub fn plan(name: &str, corners: &[(Length, Length)], pitch: Pitch) -> Self {
        Self { points: Entry::Given(pairs(corners)), ..Self::shaped(name, "plan", pitch) }
    }

    /// With the left end of its top this far to the right of the left end of the eaves.
    #[must_use]
    pub fn with_offset(mut self, offset: Length) -> Self {
        self.offset = given(offset);
        self
    }

    /// With a covering of its own.
    #[must_use]
    pub fn with_covering(mut self, covering: CoveringDocument) -> Self {
        self.covering = Entry::Given(covering);
        self
    }

    /// With one more opening.
    #[must_use]
    pub fn with_opening(mut self, opening: OpeningDocument) -> Self {
        push(&mut self.opening, opening);
        self
    }

    /// With an edge that has this role, and reaches past the outline (positive) or stops short of it (negative).
    #[must_use]
    pub fn with_edge(mut self, name: &str, role: EdgeRole, reach: Option<Length>) -> Self {
        let edges: &mut BTreeMap<_, _> = self.edges.given_or_new();
        let mut edge = EdgeDocument { role: given(role.word()), ..EdgeDocument::default() };
        match reach {
            Some(by) if by.m() < 0.0 => edge.clearance = given(-by),
            Some(by) => edge.overhang = given(by),
            None => {}
        }
        edges.insert(name.to_owned(), Entry::Given(edge));
        self
    }
}

impl OpeningDocument {
    /// A rectangle: its left side from the left end of the eaves, its lower side from the eaves, width and height.
    #[must_use]
    pub fn rectangle(
        name: &str,
        from_left: Length,
        from_eaves: Length,
        width: Length,
        height: Length,
    ) -> Self {
        Self {
            name: given(name),
            from_left: given(from_left),
            from_eaves: given(from_eaves),
            width: given(width),
            height: given(height),
            ..Self::default()
        }
    }

    /// With the covering kept away from it on every side.
    #[must_use]
    pub fn with_clearance(mut self, clearance: Length) -> Self {
        self.clearance = given(clearance);
        self
    }
}

impl FormDocument {
    fn formed(name: &str, form: &str, length: Length, span: Length, pitch: Pitch) -> Self {
        Self {
            name: given(name),
            form: given(form),
            length: given(length),
            span: given(span),
            pitch: given(pitch),
            ..Self::default()
        }
    }

    /// Two slopes between gables, by length and span in plan.
    #[must_use]
    pub fn gable(name: &str, length: Length, span: Length, pitch: Pitch) -> Self {
        Self::formed(name, "gable", length, span, pitch)
    }

    /// Two slopes and a hip at each end, by length and span in plan.
    #[must_use]
    pub fn hipped(name: &str, length: Length, span: Length, pitch: Pitch) -> Self {
        Self::formed(name, "hipped", length, span, pitch)
    }

    /// One slope against a wall, by length and span in plan.
    #[must_use]
    pub fn lean_to(name: &str, length: Length, span: Length, pitch: Pitch) -> Self {
        Self::formed(name, "lean-to", length, span, pitch)
    }

    /// With hips at `left`, `right` or `both` ends, as seen from the front.
    #[must_use]
    pub fn with_hips(mut self, hips: &str) -> Self {
        self.hips = given(hips);
        self
    }

    /// With one more opening in the slope of a side: `front`, `rear`, `left` or `right`. Another side is ignored.
    #[must_use]
    pub fn with_opening(mut self, side: &str, opening: OpeningDocument) -> Self {
        if let Some(detail) = detail_of(&mut self, side) {
            let detail: &mut SlopeDetailDocument = detail;
            push(&mut detail.opening, opening);
        }
        self
    }
}
