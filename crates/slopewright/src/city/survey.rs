//! A building as a survey: its slopes by their outlines, with their roles and joints.

use super::read::{CityBuilding, FaceKind};
use crate::quantity::{Length, Pitch, m};
use crate::survey::outline::Point;
use crate::survey::{Entry, JointDocument, OpeningDocument, SlopeDocument, SurveyDocument, is_shared};

impl CityBuilding {
    /// The slopes and joints of the building put into a survey that says how they are covered.
    #[must_use]
    pub fn survey(&self, terms: &SurveyDocument) -> SurveyDocument {
        let mut survey = terms.clone();
        if survey.name.is_absent() {
            survey.name = Entry::Given(self.name.clone());
        }
        let name = |surface: usize| format!("surface {}", surface + 1);
        for (at, surface) in self.surfaces.iter().enumerate() {
            let pitch = Pitch::from_degrees(surface.pitch_deg);
            let (FaceKind::Slope, Some(pitch)) = (surface.face, pitch) else { continue };
            let corners: Vec<(Length, Length)> = surface.corners.iter().map(|p| (m(p.u), m(p.v))).collect();
            let mut slope = SlopeDocument::outline(&name(at), &corners, pitch);
            for (number, edge) in (1..).zip(&surface.edges) {
                slope = slope.with_edge(&u32::to_string(&number), edge.role, None);
            }
            for ring in &surface.openings {
                slope = slope.with_opening(opening(ring));
            }
            survey = survey.with_slope(slope);
        }
        let is_slope = |side: (usize, usize)| {
            self.surfaces.get(side.0).is_some_and(|surface| surface.face == FaceKind::Slope)
        };
        for joint in &self.joints {
            let [one, other] = joint.sides;
            if is_shared(joint.role) && is_slope(one) && is_slope(other) {
                let edge = |side: (usize, usize)| Entry::Given(format!("{}: {}", name(side.0), side.1 + 1));
                let between = Entry::Given(vec![edge(one), edge(other)]);
                let joint = JointDocument { between, ..JointDocument::default() };
                survey.joint.given_or_new().push(Entry::Given(joint));
            }
        }
        survey
    }
}

fn opening(ring: &[Point]) -> OpeningDocument {
    let pair = |p: &Point| Entry::Given(vec![Entry::Given(m(p.u).into()), Entry::Given(m(p.v).into())]);
    OpeningDocument { points: Entry::Given(ring.iter().map(pair).collect()), ..OpeningDocument::default() }
}
