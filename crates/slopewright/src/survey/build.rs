//! Surveys in code: the same document, made by builders that take quantities.

use std::collections::BTreeMap;

use super::document::{
    BattensDocument, CoveringDocument, DOCUMENT_VERSION, EdgeDocument, FormDocument, OpeningDocument,
    SlopeDocument, SurveyDocument, UnderlayDocument,
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

impl OpeningDocument {
    /// Of a kind: `roof-window`, `chimney`, `pipe`, `hatch` or `dormer`.
    #[must_use]
    pub fn with_kind(mut self, kind: &str) -> Self {
        self.kind = given(kind);
        self
    }

    /// With its lower and upper side as fixed points for the gauge.
    #[must_use]
    pub fn with_fixed_points(mut self) -> Self {
        self.fixed_point = Entry::Given(true);
        self
    }

    /// With a range in which it may be moved: up, down, to the left, to the right; and the step.
    #[must_use]
    pub fn with_range(mut self, [up, down, left, right]: [Length; 4], step: Length) -> Self {
        self.may_move_up = given(up);
        self.may_move_down = given(down);
        self.may_move_left = given(left);
        self.may_move_right = given(right);
        self.move_step = given(step);
        self
    }

    /// Level with another opening of the slope, or with all that share this name of a row.
    #[must_use]
    pub fn with_level(mut self, row: &str) -> Self {
        self.level_with = given(row);
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

    /// Two slopes whose ridge ends in a half-hip at each end, by length, span and the half-hip's upright height.
    #[must_use]
    pub fn half_hipped(name: &str, length: Length, span: Length, pitch: Pitch, hip_height: Length) -> Self {
        Self { hip_height: given(hip_height), ..Self::formed(name, "half-hipped", length, span, pitch) }
    }

    /// Two slopes between gables and a cross wing at the front: its span, how far it stands out before the front
    /// eaves, and where it begins from their left end. See [`FormDocument::with_wing_pitch`].
    #[must_use]
    pub fn winged(
        name: &str,
        (length, span): (Length, Length),
        pitch: Pitch,
        (wing_span, wing_length, wing_from_left): (Length, Length, Length),
    ) -> Self {
        Self {
            wing_span: given(wing_span),
            wing_length: given(wing_length),
            wing_from_left: given(wing_from_left),
            ..Self::formed(name, "winged", length, span, pitch)
        }
    }

    /// Lower and upper slopes between gables, by length, span, the two pitches and the height of the change of
    /// pitch above the eaves. With hips, all sides have both pitches.
    #[must_use]
    pub fn mansard(
        name: &str,
        length: Length,
        span: Length,
        (lower, upper): (Pitch, Pitch),
        break_height: Length,
    ) -> Self {
        Self {
            upper_pitch: given(upper),
            break_height: given(break_height),
            ..Self::formed(name, "mansard", length, span, lower)
        }
    }

    /// A roof at one pitch over any straight-sided plan, by its corners in order: to the right and to the rear.
    #[must_use]
    pub fn plan(name: &str, corners: &[(Length, Length)], pitch: Pitch) -> Self {
        Self {
            name: given(name),
            form: given("plan"),
            pitch: given(pitch),
            points: Entry::Given(pairs(corners)),
            ..Self::default()
        }
    }

    /// With gables on some edges of a plan, by number from 1.
    #[must_use]
    pub fn with_gables(mut self, numbers: &[u32]) -> Self {
        self.gables = Entry::Given(numbers.iter().map(|number| Entry::Given(*number)).collect());
        self
    }

    /// With hip ends of another pitch.
    #[must_use]
    pub fn with_hip_pitch(mut self, pitch: Pitch) -> Self {
        self.hip_pitch = given(pitch);
        self
    }

    /// With a wing of another pitch.
    #[must_use]
    pub fn with_wing_pitch(mut self, pitch: Pitch) -> Self {
        self.wing_pitch = given(pitch);
        self
    }

    /// With hips at `left`, `right` or `both` ends, as seen from the front.
    #[must_use]
    pub fn with_hips(mut self, hips: &str) -> Self {
        self.hips = given(hips);
        self
    }

    /// With one more opening in the slope of a side: `front`, `rear`, `left` or `right`, or what the form calls it.
    #[must_use]
    pub fn with_opening(mut self, side: &str, opening: OpeningDocument) -> Self {
        push(&mut detail_of(&mut self, side).opening, opening);
        self
    }
}
