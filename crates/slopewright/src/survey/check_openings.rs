//! The openings of a slope, and whether they lie where they can.

use std::collections::BTreeSet;

use super::check::named_apart;
use super::document::OpeningDocument;
use super::entry::Entry;
use super::opening::{Clearances, Flashing, Opening};
use super::outline::{
    GRID_M, Point, Ring, bounds, contains, edges, flaws, meeting, run_anticlockwise, settled,
};
use super::reading::Reading;
use super::roof::Edge;
use super::shape::NamedOutline;
use crate::error::{Fault, FaultKind};
use crate::quantity::{LengthIn, figure, limit};

/// Where an opening lies.
fn place_of(ring: &[Point]) -> String {
    let (low, high) = bounds(ring);
    format!(
        "{} to {} m from the left, {} to {} m from the eaves",
        figure(low.u, 3),
        figure(high.u, 3),
        figure(low.v, 3),
        figure(high.v, 3)
    )
}

/// How far an opening may stand over the outline: a tape reads to the millimetre.
const OUTSIDE_M: f64 = 0.001;

impl Reading {
    /// An opening of which nothing is stated, with no outline yet.
    fn plain_opening(&mut self) -> Opening {
        let document = OpeningDocument::default();
        let kind = self.opening_kind(&document);
        Opening {
            name: String::new(),
            kind,
            outline: Ring::new(),
            cleared: Ring::new(),
            clearances: self.opening_clearances(&document, kind),
            flue: self.opening_flue(&document, kind),
            existing: false,
            fixed_point: false,
            moves: self.opening_moves(&document, false),
            level_with: None,
            flashing: Flashing::default(),
            underlay_upstand: None,
            underlay_collar: None,
        }
    }

    pub(super) fn openings(
        &mut self,
        // Absent if the outline itself has faults: the openings are read all the same.
        outline: Option<&NamedOutline>,
        sides: &[Edge],
        entries: &Entry<Vec<Entry<OpeningDocument>>>,
    ) -> Vec<Opening> {
        let mut openings: Vec<Opening> = Vec::new();
        let mut corners = 0_u32;
        let mut places = BTreeSet::new();
        let many = Some((&limit::openings, FaultKind::TooManyOpenings));
        for (number, opening) in self.list("opening", entries, many) {
            let place = named_apart("opening", number, &opening.name, &mut places);
            self.within(place, |reading| {
                let name = reading.name("name", &opening.name).unwrap_or_else(|| number.to_string());
                reading.unknown(OpeningDocument::FIELDS, &opening.unknown);
                let kind = reading.opening_kind(opening);
                let clearances = reading.opening_clearances(opening, kind);
                let rings = reading.opening(opening, &clearances);
                let flue = reading.opening_flue(opening, kind);
                let existing =
                    reading.entry("existing", &opening.existing, "true or false").copied().unwrap_or(false);
                let fixed_point = reading
                    .entry("fixed_point", &opening.fixed_point, "true or false")
                    .copied()
                    .unwrap_or(false);
                let moves = reading.opening_moves(opening, existing);
                let level_with = reading.name("level_with", &opening.level_with);
                let flashing = reading.opening_flashing(opening);
                let underlay_upstand =
                    reading.length("underlay_upstand", &opening.underlay_upstand, &limit::underlay_lap);
                let underlay_collar =
                    reading.length("underlay_collar", &opening.underlay_collar, &limit::underlay_lap);
                let Some((ring, cleared)) = rings else { return };
                corners = corners.saturating_add(u32::try_from(ring.len()).unwrap_or(u32::MAX));
                if f64::from(corners) > limit::opening_corners.most {
                    reading.fault(
                        Fault::new(
                            FaultKind::TooManyCorners,
                            "has too many corners, with the openings before it",
                        )
                        .given(corners)
                        .allowed(limit::opening_corners.range()),
                    );
                    return;
                }
                if outline.is_some_and(|outline| !reading.opening_is_inside(&ring, &outline.corners, sides)) {
                    return;
                }
                if let Some(other) = openings.iter().find(|other| overlap(&other.outline, &ring)) {
                    reading.fault(
                        Fault::new(FaultKind::OpeningsOverlap, format!("overlaps opening '{}'", other.name))
                            .given(place_of(&ring))
                            .allowed(format!("clear of {}", place_of(&other.outline))),
                    );
                }
                openings.push(Opening {
                    name,
                    kind,
                    outline: ring,
                    cleared,
                    clearances,
                    flue,
                    existing,
                    fixed_point,
                    moves,
                    level_with,
                    flashing,
                    underlay_upstand,
                    underlay_collar,
                });
            });
        }
        self.rows_are_sound(&openings);
        openings
    }

    /// The outline of an opening, and the same with its clearances.
    fn opening(&mut self, opening: &OpeningDocument, clearances: &Clearances) -> Option<(Ring, Ring)> {
        if !opening.points.is_absent() {
            let rectangle = [&opening.from_left, &opening.from_eaves, &opening.width, &opening.height];
            let one_sided = [&opening.clearance_below, &opening.clearance_above, &opening.clearance_beside];
            if rectangle.into_iter().chain(one_sided).any(|entry| !entry.is_absent()) {
                self.fault(
                    Fault::new(
                        FaultKind::OpeningStatedTwice,
                        "has corners as well as the measures of a rectangle",
                    )
                    .allowed(
                        "points and clearance; or from_left, from_eaves, width, height and the clearances",
                    ),
                );
                return None;
            }
            let ring = self.corners("points", &opening.points)?;
            if !self.sound(&ring) {
                return None;
            }
            return Some(cleared_all_round(ring, clearances));
        }
        let left = self.needed_length("from_left", &opening.from_left, &limit::coordinate);
        let up = self.needed_length("from_eaves", &opening.from_eaves, &limit::coordinate);
        let width = self.needed_length("width", &opening.width, &limit::opening_size);
        let height = self.needed_length("height", &opening.height, &limit::opening_size);
        let (left, up, width, height) = (left?.m(), up?.m(), width?.m(), height?.m());
        let rectangle = |left: f64, low: f64, right: f64, high: f64| {
            vec![
                Point::new(left, low),
                Point::new(right, low),
                Point::new(right, high),
                Point::new(left, high),
            ]
        };
        let (right, high) = (left + width, up + height);
        let (below, above, beside) = (clearances.below.by_m, clearances.above.by_m, clearances.beside.by_m);
        Some((
            rectangle(left, up, right, high),
            rectangle(left - beside, up - below, right + beside, high + above),
        ))
    }

    /// Whether an opening lies inside the outline; a fault that says how far it does not, and past which edge.
    fn opening_is_inside(&mut self, ring: &[Point], outline: &[Point], sides: &[Edge]) -> bool {
        let problem = match place_in(ring, outline, sides) {
            PlaceInOutline::Inside => return true,
            PlaceInOutline::Across => "runs across the outline of the slope".to_owned(),
            PlaceInOutline::Outside { by_m, edge } => {
                let side = match edge.name.as_str() {
                    name @ ("left" | "right") => format!("{name} {}", edge.role.word()),
                    name if name.chars().all(|c| c.is_ascii_digit()) => {
                        format!("{} (edge {name})", edge.role.word())
                    }
                    _ => edge.role.word().to_owned(),
                };
                format!("lies {by_m:.2} m outside the {side}")
            }
        };
        self.fault(
            Fault::new(FaultKind::OpeningOutside, problem)
                .given(place_of(ring))
                .allowed("inside the outline of the slope"),
        );
        false
    }
}

/// The openings of a row of numbers, plain holes with the clearances of the rule, if nothing is wrong with any of them.
/// What is wrong is for the reading of a document to say.
pub(super) fn sound_openings(rings: &[Ring], outline: &[Point], sides: &[Edge]) -> Option<Vec<Opening>> {
    let corners: usize = rings.iter().map(Vec::len).sum();
    if limit::openings.is_exceeded_by(rings.len()) || limit::opening_corners.is_exceeded_by(corners) {
        return None;
    }
    let plain = Reading::default().plain_opening();
    let mut openings: Vec<Opening> = Vec::with_capacity(rings.len());
    for (number, ring) in (1..).zip(rings) {
        let holds = |p: &Point| limit::coordinate.holds(p.u) && limit::coordinate.holds(p.v);
        if limit::corners.is_exceeded_by(ring.len()) || !ring.iter().all(holds) {
            return None;
        }
        let ring: Ring = ring.iter().map(|p| Point::new(settled(p.u), settled(p.v))).collect();
        if !flaws(&ring).is_empty() {
            return None;
        }
        let (ring, cleared) = cleared_all_round(ring, &plain.clearances);
        let is_inside = matches!(place_in(&ring, outline, sides), PlaceInOutline::Inside);
        if !is_inside || openings.iter().any(|other| overlap(&other.outline, &ring)) {
            return None;
        }
        openings.push(Opening { name: number.to_string(), outline: ring, cleared, ..plain.clone() });
    }
    Some(openings)
}

/// A free outline turned anticlockwise, and the same with its clearance. Its lowest and highest sides are not known: the
/// widest clearance goes all round.
fn cleared_all_round(mut ring: Ring, clearances: &Clearances) -> (Ring, Ring) {
    run_anticlockwise(&mut ring);
    let widest = clearances.below.by_m.max(clearances.above.by_m).max(clearances.beside.by_m);
    let cleared = crate::setout::Region::from_moved_edges(&ring, &vec![widest; ring.len()]);
    // Moved out, an outline stays one piece; only where it runs into itself does it leave holes, which fill up.
    let cleared = cleared.rings().first().cloned().unwrap_or_else(|| ring.clone());
    (ring, cleared)
}

/// How an opening lies to the outline of its slope.
enum PlaceInOutline<'a> {
    Inside,
    Across,
    Outside { by_m: f64, edge: &'a Edge },
}

fn place_in<'a>(ring: &[Point], outline: &[Point], sides: &'a [Edge]) -> PlaceInOutline<'a> {
    let worst = ring
        .iter()
        .filter(|p| !contains(outline, **p))
        .filter_map(|p| nearest_edge(*p, sides))
        .filter(|(distance, _)| *distance > OUTSIDE_M)
        .max_by(|one, other| one.0.total_cmp(&other.0));
    if let Some((by_m, edge)) = worst {
        return PlaceInOutline::Outside { by_m, edge };
    }
    let crosses_it = edges(ring).any(|side| edges(outline).any(|other| crosses(side, other)));
    // Over a notch, an opening may reach from corner to corner and cross no edge.
    if crosses_it || outline.iter().any(|p| contains(ring, *p) && is_clear_of(ring, *p)) {
        return PlaceInOutline::Across;
    }
    PlaceInOutline::Inside
}

/// Whether two openings share more than a boundary.
fn overlap(one: &[Point], other: &[Point]) -> bool {
    let crossing = edges(one).any(|side| edges(other).any(|opposite| crosses(side, opposite)));
    let inside = |outer: &[Point], inner: &[Point]| {
        let middle = edges(inner).map(|(a, b)| a.plus(b.minus(a), 0.5)).chain(inner.iter().copied());
        middle.filter(|p| is_clear_of(outer, *p)).any(|p| contains(outer, p))
    };
    crossing || inside(one, other) || inside(other, one) || same_ring(one, other)
}

fn same_ring(one: &[Point], other: &[Point]) -> bool {
    one.len() == other.len() && one.iter().all(|p| other.iter().any(|q| q.minus(*p).length() < GRID_M))
}

/// Whether a point is further than the grid from every side of a ring.
fn is_clear_of(ring: &[Point], p: Point) -> bool {
    edges(ring).all(|(a, b)| distance_to(p, a, b) > GRID_M)
}

/// Whether two segments cross with their insides, not merely touch.
fn crosses((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
    let Some(at) = meeting((a, b), (c, d)) else { return false };
    [a, b, c, d].iter().all(|end| end.minus(at).length() > GRID_M)
        && b.minus(a).cross(d.minus(c)).abs() > 1e-12
}

/// The nearest edge to a point and its distance.
fn nearest_edge(p: Point, sides: &[Edge]) -> Option<(f64, &Edge)> {
    sides
        .iter()
        .map(|edge| (distance_to(p, edge.from, edge.to), edge))
        .min_by(|one, other| one.0.total_cmp(&other.0))
}

fn distance_to(p: Point, a: Point, b: Point) -> f64 {
    let along = b.minus(a);
    let share = (p.minus(a).dot(along) / along.dot(along)).clamp(0.0, 1.0);
    p.minus(a.plus(along, share)).length()
}
