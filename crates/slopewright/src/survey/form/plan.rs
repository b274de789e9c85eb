//! A roof over any straight-sided plan at one pitch, with gables on stated edges.

use super::super::document::FormDocument;
use super::super::outline::{Point, edges, signed_area};
use super::super::reading::Reading;
use super::super::roof::EdgeRole::{self, Eaves, Hip, Ridge, Valley, Verge};
use super::faces::Faces;
use super::skeleton::{FaceSide, Skeleton};
use crate::error::{Fault, FaultKind};
use crate::quantity::{Pitch, limit};

/// A joint of two faces that rises by less than this on its length is a ridge, though it may not be quite level:
/// the sine of five degrees, as for the edges of stated slopes.
const LEVEL: f64 = 0.087;

impl Reading {
    pub(super) fn over_plan(&mut self, form: &FormDocument) -> Option<Faces> {
        let pitch = self.needed_pitch("pitch", &form.pitch);
        self.must_be_there("points", &form.points, "a list of pairs of lengths");
        let corners = self.corners("points", &form.points);
        let count = corners.as_ref().map_or(0, Vec::len);
        let stated = self.gables(form, count);
        let mut corners = corners?;
        if !limit::plan_corners.holds_count(count) {
            self.fault(
                Fault::new(FaultKind::TooManyCorners, "has a plan that cannot be roofed at once")
                    .given(format!("{count} corners"))
                    .allowed(limit::plan_corners.range()),
            );
            return None;
        }
        if !self.sound(&corners) {
            return None;
        }
        // Edge `i` keeps its number, whichever way round the corners are given.
        let mut numbers: Vec<usize> = (1..=count).collect();
        if signed_area(&corners) < 0.0 {
            corners.reverse();
            let closing = numbers.pop()?;
            numbers.reverse();
            numbers.push(closing);
        }
        let gables: Vec<bool> = numbers.iter().map(|number| stated.contains(number)).collect();
        if !self.gables_fit(&corners, &gables, &numbers) {
            return None;
        }
        let faces = faces_over(&corners, &gables, &numbers, pitch?);
        if faces.is_none() {
            self.fault(
                Fault::new(FaultKind::FormDoesNotClose, "has a plan over which the slopes do not close")
                    .given(format!("{count} corners"))
                    .advice("leave out corners that lie within a millimetre of others, or state the roof slope by slope"),
            );
        }
        faces
    }

    /// The numbers of the edges that are gables.
    fn gables(&mut self, form: &FormDocument, count: usize) -> Vec<usize> {
        let mut gables = Vec::new();
        for (_, number) in self.list("gables", &form.gables, None) {
            match usize::try_from(*number) {
                Ok(at) if at >= 1 && (at <= count || count == 0) => gables.push(at),
                _ => self.fault(
                    Fault::new(FaultKind::GableUnfit, "has a gable on an edge that the plan does not have")
                        .given(number)
                        .allowed(format!("1 to {count}; edge 1 runs from the first corner to the second")),
                ),
            }
        }
        gables
    }

    /// Whether every gable stands between two outer corners and two eaves.
    fn gables_fit(&mut self, corners: &[Point], gables: &[bool], numbers: &[usize]) -> bool {
        let before = self.count();
        let lines: Vec<Point> = edges(corners).map(|(from, to)| to.minus(from)).collect();
        let count = lines.len();
        for (at, number) in numbers.iter().enumerate() {
            let around = [(at + count - 1) % count, at, (at + 1) % count];
            let [Some(last), Some(line), Some(next)] = around.map(|at| lines.get(at)) else { continue };
            let is_gable = |at: usize| gables.get(at).copied().unwrap_or(false);
            let turns = |one: &Point, other: &Point| one.cross(*other) > 1e-9 * one.length() * other.length();
            let [one, _, other] = around;
            let can_stand = turns(last, line) && turns(line, next) && !is_gable(one) && !is_gable(other);
            if is_gable(at) && !can_stand {
                self.fault(
                    Fault::new(
                        FaultKind::GableUnfit,
                        format!("has a gable on edge {number} that cannot stand there"),
                    )
                    .given(number)
                    .allowed("an edge between two outer corners, with eaves on both sides"),
                );
            }
        }
        self.count() == before
    }
}

/// The faces over a plan, one for each edge that is eaves; `None` if they do not tile the plan.
fn faces_over(plan: &[Point], gables: &[bool], numbers: &[usize], pitch: Pitch) -> Option<Faces> {
    let skeleton = Skeleton::of(plan, gables)?;
    let mut faces = Faces::default();
    let mut area = 0.0;
    for side in 0..plan.len() {
        if skeleton.face_of(side) != side || skeleton.is_gable(side) {
            continue;
        }
        let along = skeleton.along(side)?;
        for ring in skeleton.rings(side)? {
            let covered = skeleton.area(&ring);
            if covered <= 0.0 {
                return None;
            }
            area += covered;
            add_face(&mut faces, &skeleton, &ring, along, numbers, pitch)?;
        }
    }
    let wanted = signed_area(plan);
    ((area - wanted).abs() <= 1e-9 * wanted).then_some(faces)
}

/// Adds the face inside a ring, from the left end of its eaves.
fn add_face(
    faces: &mut Faces,
    skeleton: &Skeleton,
    ring: &[FaceSide],
    along: Point,
    numbers: &[usize],
    pitch: Pitch,
) -> Option<()> {
    let from_left = |side: &FaceSide| skeleton.nodes.get(side.from).map_or(f64::INFINITY, |p| p.dot(along));
    let (start, eaves) =
        ring.iter().enumerate().filter_map(|(at, side)| side.eaves.map(|eaves| (at, eaves))).min_by(
            |(one, _), (other, _)| {
                let left = |at: usize| ring.get(at).map_or(f64::INFINITY, from_left);
                left(*one).total_cmp(&left(*other))
            },
        )?;
    let round: Option<Vec<(usize, String, EdgeRole)>> = ring
        .iter()
        .cycle()
        .skip(start)
        .take(ring.len())
        .enumerate()
        .map(|(at, side)| {
            let place = skeleton.nodes.get(side.from)?;
            let name = if at == 0 { "eaves".to_owned() } else { (at + 1).to_string() };
            Some((faces.corner(place.u, place.v), name, role(skeleton, side, pitch)?))
        })
        .collect();
    let number = numbers.get(eaves)?;
    faces.add(&number.to_string(), pitch, (along.u, along.v), round?);
    Some(())
}

/// What a side of a face is.
fn role(skeleton: &Skeleton, side: &FaceSide, pitch: Pitch) -> Option<EdgeRole> {
    let Some(at) = side.crease else { return Some(Eaves) };
    let crease = skeleton.creases.get(at)?;
    let length = skeleton.nodes.get(side.to)?.minus(*skeleton.nodes.get(side.from)?).length();
    let rise = (skeleton.runs.get(side.to)? - skeleton.runs.get(side.from)?).abs() * pitch.rise_per_run();
    let is_level = rise < LEVEL * length.hypot(rise);
    Some(if skeleton.is_gable(crease.left) || skeleton.is_gable(crease.right) {
        if is_level { Ridge } else { Verge }
    } else if crease.is_inner {
        Valley
    } else if is_level {
        Ridge
    } else {
        Hip
    })
}
