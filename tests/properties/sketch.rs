//! Random slopes: outlines in whole millimetres with edges and openings, and the survey that states one.

use core::f64::consts::TAU;
use core::fmt::Write as _;

use proptest::prelude::*;
use slopewright::setout::Layout;
use slopewright::setout::cells::{LAID_OVER, Run, Sweep, WHOLE_FROM};
use slopewright::{SurveyDocument, TakeOff};

/// A place on the slope in millimetres: to the right, and up.
pub(crate) type Place = (i64, i64);

/// A hole in the covering.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Hole {
    pub(crate) corners: Vec<Place>,
    pub(crate) clearance: i64,
}

/// A slope on paper.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sketch {
    /// Anticlockwise.
    pub(crate) corners: Vec<Place>,
    /// How far the covering reaches past each edge (short of it, where negative), if the survey says so.
    pub(crate) reaches: Vec<Option<i64>>,
    pub(crate) holes: Vec<Hole>,
    pub(crate) covering: &'static str,
    pub(crate) bond: &'static str,
    pub(crate) start: &'static str,
    /// The largest gauge wanted.
    pub(crate) gauge: Option<i64>,
    pub(crate) pitch_degrees: u32,
}

/// Double and triple laps and single laps, hung by nibs and nailed, with and without a tile-and-a-half.
pub(crate) const COVERINGS: [&str; 7] = [
    "plain-tile-265x165",
    "slate-500x250",
    "slate-20x10in",
    "fibre-cement-slate-600x300",
    "interlocking-420x330",
    "pantile-13.5x9.5in",
    "shingle-18x6in",
];

/// A length as the survey writes it.
pub(crate) fn in_mm(length: i64) -> String {
    format!("{length} mm")
}

impl Sketch {
    /// The survey, with lengths written by `write`.
    pub(crate) fn toml(&self, write: impl Fn(i64) -> String) -> String {
        let pairs = |corners: &[Place]| {
            let pairs: Vec<String> = corners
                .iter()
                .map(|(right, up)| format!("[\"{}\", \"{}\"]", write(*right), write(*up)))
                .collect();
            format!("[{}]", pairs.join(", "))
        };
        let gauge = self.gauge.map_or_else(String::new, |gauge| format!("gauge = \"{}\"\n", write(gauge)));
        let mut text = format!(
            "slopewright = 1\n[covering]\nformat = \"{}\"\nbond = \"{}\"\nstart = \"{}\"\n{gauge}\
             [battens]\nrafter_spacing = \"450 mm\"\n[underlay]\nformat = \"membrane-1x50\"\n\
             [[slope]]\nname = \"s\"\nshape = \"outline\"\npitch = \"{} deg\"\npoints = {}\n[slope.edges]\n",
            self.covering,
            self.bond,
            self.start,
            self.pitch_degrees,
            pairs(&self.corners)
        );
        for (at, reach) in self.reaches.iter().enumerate() {
            if let Some(reach) = reach {
                let field = if *reach < 0 { "clearance" } else { "overhang" };
                writeln!(text, "{} = {{ {field} = \"{}\" }}", at + 1, write(reach.abs())).unwrap();
            }
        }
        for hole in &self.holes {
            writeln!(
                text,
                "[[slope.opening]]\npoints = {}\nclearance = \"{}\"",
                pairs(&hole.corners),
                write(hole.clearance)
            )
            .unwrap();
        }
        text
    }

    /// The survey as a document.
    pub(crate) fn document(&self) -> SurveyDocument {
        SurveyDocument::from_toml(&self.toml(in_mm)).unwrap()
    }

    /// The take-off, if the survey is sound and something is left to cover.
    pub(crate) fn take_off(&self) -> Option<TakeOff> {
        TakeOff::of(&self.document().check().ok()?).ok()
    }

    /// The same seen in a mirror.
    pub(crate) fn mirrored(&self) -> Self {
        let mirror = |corners: &[Place]| corners.iter().rev().map(|(right, up)| (-right, *up)).collect();
        let count = self.reaches.len();
        Self {
            corners: mirror(&self.corners),
            // Backwards, edge `j` is the old edge `count - 2 - j`, and the closing edge stays the last.
            reaches: (0..count).map(|at| self.reaches[(2 * count - 2 - at) % count]).collect(),
            holes: self
                .holes
                .iter()
                .map(|hole| Hole { corners: mirror(&hole.corners), ..hole.clone() })
                .collect(),
            start: match self.start {
                "left" => "right",
                "right" => "left",
                other => other,
            },
            ..self.clone()
        }
    }

    /// The same so far to the right.
    pub(crate) fn shifted(&self, by: i64) -> Self {
        let shift = |corners: &[Place]| corners.iter().map(|(right, up)| (right + by, *up)).collect();
        Self {
            corners: shift(&self.corners),
            holes: self
                .holes
                .iter()
                .map(|hole| Hole { corners: shift(&hole.corners), ..hole.clone() })
                .collect(),
            ..self.clone()
        }
    }

    /// Only those holes that the survey's check lets stand.
    fn with_sound_holes(mut self) -> Self {
        for hole in std::mem::take(&mut self.holes) {
            self.holes.push(hole);
            if self.document().check().is_err() {
                self.holes.pop();
            }
        }
        self
    }
}

/// The layout of the one slope.
pub(crate) fn layout(take_off: &TakeOff) -> &Layout {
    &take_off.slopes[0].layout
}

/// Whether no cell lies so near a limit that a move of its boundary by the grid's 0.1 mm takes it over. Where openings
/// meet one another or the outline the region lies on the grid, which a mirror or another opening may round otherwise.
pub(crate) fn is_clear_cut(take_off: &TakeOff) -> bool {
    let slope = &take_off.slopes[0];
    let is_on_grid = slope.layout.covered.rings().len() != 1 + slope.slope.openings.len();
    let mut sweep = Sweep::new(&slope.layout.covered);
    let is_doubtful = |run: &Run| {
        let share = run.share;
        (share - LAID_OVER).abs() < 3e-3 || (1.0 - 3e-3..WHOLE_FROM).contains(&share)
    };
    !is_on_grid
        || !slope.layout.courses.iter().any(|course| sweep.course(course.band).iter().any(is_doubtful))
}

fn four_sided(eaves: i64, top: i64, rafter: i64, offset: i64) -> Vec<Place> {
    vec![(0, 0), (eaves, 0), (offset + top, rafter), (offset, rafter)]
}

/// An outline whose corners are seen from its middle in order: convex or not, never crossing itself.
fn star(spokes: &[(f64, f64)]) -> Vec<Place> {
    let count = spokes.len() as f64;
    spokes
        .iter()
        .enumerate()
        .map(|(at, (turn, length))| {
            let angle = (at as f64 + turn) / count * TAU;
            ((length * angle.cos()).round() as i64 + 4000, (length * angle.sin()).round() as i64 + 4000)
        })
        .collect()
}

prop_compose! {
    /// A notch out of the eaves, a dormer's shape out of the top, or a step: what real slopes have.
    fn notched()(
        width in 3000..9000i64, height in 2000..6000i64,
        left in 500..1500i64, across in 300..1400i64, deep in 300..1800i64, which in 0..3,
    ) -> Vec<Place> {
        match which {
            0 => vec![
                (0, 0), (left, 0), (left, deep), (left + across, deep), (left + across, 0), (width, 0),
                (width, height), (0, height),
            ],
            1 => vec![
                (0, 0), (width, 0), (width, height), (left + across, height), (left + across / 2, height - deep),
                (left, height), (0, height),
            ],
            _ => vec![(0, 0), (width, 0), (width, height - deep), (left + across, height - deep),
                (left + across, height), (0, height)],
        }
    }
}

fn outline() -> impl Strategy<Value = Vec<Place>> {
    let length = || 400..9000i64;
    prop_oneof![
        (length(), length()).prop_map(|(eaves, rafter)| four_sided(eaves, eaves, rafter, 0)),
        (length(), length(), length(), -3000..3000i64)
            .prop_map(|(eaves, top, rafter, offset)| four_sided(eaves, top, rafter, offset)),
        (length(), length(), -3000..9000i64).prop_map(|(eaves, rafter, apex)| vec![
            (0, 0),
            (eaves, 0),
            (apex, rafter)
        ]),
        prop::collection::vec((0.0..0.8f64, 700.0..4000.0f64), 4..10).prop_map(|spokes| star(&spokes)),
        notched(),
    ]
}

fn hole(corners: &[Place]) -> impl Strategy<Value = Hole> + use<> {
    let range = |of: fn(&Place) -> i64| {
        let least = corners.iter().map(of).min().unwrap();
        let most = corners.iter().map(of).max().unwrap();
        least..most.max(least + 1)
    };
    let (rights, ups) = (range(|p| p.0), range(|p| p.1));
    (rights, ups, 100..1500i64, 100..1500i64, 0..200i64, 0..3).prop_map(
        |(right, up, width, height, clearance, kind)| {
            let corners = match kind {
                0 => vec![(right, up), (right + width, up), (right + width / 2, up + height)],
                1 => vec![
                    (right, up),
                    (right + width, up + height / 3),
                    (right + width, up + height),
                    (right + width / 4, up + height),
                ],
                _ => {
                    vec![(right, up), (right + width, up), (right + width, up + height), (right, up + height)]
                }
            };
            Hole { corners, clearance }
        },
    )
}

prop_compose! {
    /// Any slope that the survey's check lets stand, with up to four holes.
    pub(crate) fn sketch()(corners in outline())(
        reaches in prop::collection::vec(prop::option::of(-120..120i64), corners.len()),
        holes in prop::collection::vec(hole(&corners), 0..=4),
        corners in Just(corners),
        covering in prop::sample::select(&COVERINGS[..]),
        bond in prop::sample::select(&["half", "straight"][..]),
        start in prop::sample::select(&["left", "right", "centre"][..]),
        gauge in prop::option::weighted(0.2, 60..340i64),
        pitch_degrees in 20..70u32,
    ) -> Sketch {
        let most = if covering.starts_with("interlocking") { 340 } else { 110 };
        let gauge = gauge.map(|gauge| gauge.min(most));
        Sketch { corners, reaches, holes, covering, bond, start, gauge, pitch_degrees }.with_sound_holes()
    }
}
