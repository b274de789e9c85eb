//! From the document to a checked roof: every fault at once, each with its place.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::document::{
    BattensDocument, CoveringDocument, DOCUMENT_VERSION, EdgeDocument, FixingsDocument, FormDocument,
    OldCoveringDocument, OpeningDocument, SlopeDetailDocument, SlopeDocument, SurveyDocument,
    UnderlayDocument,
};
use super::entry::Entry;
use super::outline::{GRID_M, Point, Ring, contains, edges, meeting, run_anticlockwise};
use super::reading::Reading;
use super::roof::{
    BattenChoice, Edge, EdgeRole, FixingChoice, Laying, OldCovering, Opening, Roof, Slope, Start,
    UnderlayChoice,
};
use super::shape::{NamedOutline, SHAPES, Shape, role_by_direction};
use crate::catalogue::Catalogue;
use crate::error::{Fault, FaultKind, Result};
use crate::quantity::{Length, LengthIn as _, Pitch, figure, limit, m, metres, read_length};
use crate::rules::Exposure;

const EXPOSURES: &[(&str, Exposure)] =
    &[("sheltered", Exposure::Sheltered), ("moderate", Exposure::Moderate), ("severe", Exposure::Severe)];
const STARTS: &[(&str, Start)] = &[("left", Start::Left), ("right", Start::Right), ("centre", Start::Centre)];

impl SurveyDocument {
    /// Checks the survey against the built-in catalogue.
    ///
    /// # Errors
    /// With every fault of the document, each with its place.
    pub fn check(&self) -> Result<Roof> {
        self.check_with(Catalogue::standard())
    }

    /// Checks the survey against a catalogue.
    ///
    /// # Errors
    /// With every fault of the document, each with its place.
    pub fn check_with(&self, catalogue: &Catalogue) -> Result<Roof> {
        let mut reading = Reading::default();
        let roof = reading.survey(self, catalogue);
        reading.finish(roof)
    }
}

impl Reading {
    fn survey(&mut self, survey: &SurveyDocument, catalogue: &Catalogue) -> Option<Roof> {
        self.version(&survey.slopewright);
        self.unknown(SurveyDocument::FIELDS, &survey.unknown);
        let own = self.own_catalogue(survey, catalogue);
        let catalogue = own.as_ref().unwrap_or(catalogue);
        let name = self.name("name", &survey.name);
        let exposure = self.choice("exposure", &survey.exposure, EXPOSURES, FaultKind::ExposureUnknown);
        let laying = match self.entry("covering", &survey.covering, "a table") {
            Some(covering) => Some(self.within("covering", |reading| reading.laying(covering, catalogue))),
            None => None,
        };
        let battens = self.entry("battens", &survey.battens, "a table");
        let battens = self.within("battens", |reading| reading.battens(battens, catalogue));
        let underlay = self
            .entry("underlay", &survey.underlay, "a table")
            .and_then(|underlay| self.within("underlay", |reading| reading.underlay(underlay, catalogue)));
        let fixings = self.entry("fixings", &survey.fixings, "a table");
        let fixings = self.within("fixings", |reading| reading.fixings(fixings, catalogue));
        let old_covering = self.entry("old_covering", &survey.old_covering, "a table");
        let old_covering =
            self.within("old_covering", |reading| reading.old_covering(old_covering, catalogue));
        let slopes = self.slopes(survey, laying.as_ref(), catalogue);
        if let (None, Some(faulty)) = (&own, survey.catalogue.given()) {
            self.forget_keys_of(&faulty.to_string());
        }
        Some(Roof {
            name: name.unwrap_or_else(|| "roof".to_owned()),
            exposure: exposure.unwrap_or(Exposure::Moderate),
            slopes,
            battens,
            underlay,
            fixings,
            old_covering,
        })
    }

    fn version(&mut self, version: &Entry<u32>) {
        let wanted = format!("slopewright = {DOCUMENT_VERSION}");
        match version {
            Entry::Given(version) if *version == DOCUMENT_VERSION => {}
            Entry::Absent => {
                self.fault(Fault::new(FaultKind::VersionMissing, "has no version").allowed(wanted));
            }
            Entry::Given(version) => {
                self.fault(
                    Fault::new(FaultKind::VersionUnknown, "is of a version that is not known here")
                        .given(version)
                        .allowed(wanted),
                );
            }
            Entry::Unreadable(value) => {
                self.fault(
                    Fault::new(FaultKind::VersionUnknown, "is of a version that is not known here")
                        .given(value)
                        .allowed(wanted),
                );
            }
        }
    }

    fn own_catalogue(&mut self, survey: &SurveyDocument, catalogue: &Catalogue) -> Option<Catalogue> {
        let own = self.entry("catalogue", &survey.catalogue, "a table")?;
        self.within("catalogue", |reading| match toml::to_string(own) {
            Ok(text) => reading.taken(catalogue.with_toml(&text)),
            Err(error) => {
                reading.fault(
                    Fault::new(FaultKind::FieldWrongType, format!("is not a catalogue: {error}"))
                        .allowed("a table"),
                );
                None
            }
        })
    }

    /// All slopes, those of forms first, with one name each.
    fn slopes(
        &mut self,
        survey: &SurveyDocument,
        laying: Option<&Option<Laying>>,
        catalogue: &Catalogue,
    ) -> Vec<Slope> {
        let many = Some((&limit::slopes, FaultKind::TooManySlopes));
        let mut slopes = Vec::new();
        let mut names = BTreeSet::new();
        let forms = self.list("form", &survey.form, many);
        let is_only_form = forms.len() == 1;
        for (number, form) in forms {
            let place = named("form", number, &form.name);
            self.within(place, |reading| {
                let name = reading.unique_name(&form.name, &mut names);
                let name = name.or_else(|| (!is_only_form).then(|| format!("form {number}")));
                for (side, slope) in reading.form_slopes(form, laying, catalogue) {
                    let name = name.as_ref().map_or_else(|| side.to_owned(), |name| format!("{name} {side}"));
                    slopes.push(Slope { name, ..slope });
                }
            });
        }
        for (number, slope) in self.list("slope", &survey.slope, many) {
            let place = named("slope", number, &slope.name);
            self.within(place, |reading| {
                let name = reading.unique_name(&slope.name, &mut names);
                if let Some(read) = reading.slope(slope, laying, catalogue) {
                    slopes.push(Slope { name: name.unwrap_or_else(|| number.to_string()), ..read });
                }
            });
        }
        let has_no_form = survey.form.is_absent() || survey.form.given().is_some_and(Vec::is_empty);
        let has_no_slope = survey.slope.is_absent() || survey.slope.given().is_some_and(Vec::is_empty);
        if has_no_form && has_no_slope {
            self.fault(
                Fault::new(FaultKind::NoSlopes, "has no slope and no form").allowed(limit::slopes.range()),
            );
        }
        self.slopes_are_few_and_told_apart(&slopes);
        slopes
    }

    /// A form makes slopes of its own: their number and names are known only here.
    fn slopes_are_few_and_told_apart(&mut self, slopes: &[Slope]) {
        if u32::try_from(slopes.len()).map_or(true, |count| f64::from(count) > limit::slopes.most) {
            self.fault(
                Fault::new(FaultKind::TooManySlopes, "has too many slopes, those of its forms included")
                    .given(slopes.len())
                    .allowed(limit::slopes.range()),
            );
        }
        let mut names = BTreeSet::new();
        for slope in slopes.iter().filter(|slope| !names.insert(&slope.name)) {
            self.within(format!("slope '{}'", slope.name), |reading| {
                reading.fault(
                    Fault::new(FaultKind::NameRepeated, "has the name of another, or of a slope of a form")
                        .given(format!("\"{}\"", slope.name)),
                );
            });
        }
    }

    fn unique_name(&mut self, entry: &Entry<String>, names: &mut BTreeSet<String>) -> Option<String> {
        let name = self.name("name", entry)?;
        if names.insert(name.clone()) {
            return Some(name);
        }
        self.fault(
            Fault::new(FaultKind::NameRepeated, "has the name of another").given(format!("\"{name}\"")),
        );
        None
    }

    fn form_slopes(
        &mut self,
        form: &FormDocument,
        laying: Option<&Option<Laying>>,
        catalogue: &Catalogue,
    ) -> Vec<(&'static str, Slope)> {
        let mut slopes = Vec::new();
        for slope in self.form(form) {
            let nothing = SlopeDetailDocument::default();
            let detail = slope.detail.unwrap_or(&nothing);
            self.within(slope.side, |reading| {
                reading.unknown(SlopeDetailDocument::FIELDS, &detail.unknown);
                let mut made = reading.made(
                    slope.pitch,
                    slope.outline,
                    (&detail.edges, &detail.opening, &detail.covering),
                    laying,
                    catalogue,
                );
                if slope.top_is_wall
                    && let Some(made) = made.as_mut()
                {
                    for edge in
                        made.edges.iter_mut().filter(|edge| edge.name == "top" && !edge.role_is_stated)
                    {
                        edge.role = EdgeRole::TopAbutment;
                    }
                }
                if let Some(made) = made {
                    slopes.push((slope.side, made));
                }
            });
        }
        slopes
    }

    fn slope(
        &mut self,
        slope: &SlopeDocument,
        laying: Option<&Option<Laying>>,
        catalogue: &Catalogue,
    ) -> Option<Slope> {
        self.unknown(SlopeDocument::FIELDS, &slope.unknown);
        let words: Vec<&str> = SHAPES.iter().map(|(word, _)| *word).collect();
        self.must_be_there("shape", &slope.shape, &words.join(", "));
        let shape = self.choice("shape", &slope.shape, SHAPES, FaultKind::ShapeUnknown);
        let pitch = self.needed_pitch("pitch", &slope.pitch);
        let outline = shape.and_then(|shape: Shape| self.outline(slope, shape, pitch));
        let (Some(pitch), Some(outline)) = (pitch, outline) else {
            // The rest can be read all the same, so that its faults are reported too.
            self.openings(None, &[], &slope.opening);
            self.laying_of(&slope.covering, laying, catalogue);
            return None;
        };
        self.made(pitch, outline, (&slope.edges, &slope.opening, &slope.covering), laying, catalogue)
    }

    /// A slope from its outline and what the survey says of its edges, openings and covering.
    fn made(
        &mut self,
        pitch: Pitch,
        outline: NamedOutline,
        (edge_entries, opening_entries, covering): (
            &Entry<BTreeMap<String, Entry<EdgeDocument>>>,
            &Entry<Vec<Entry<OpeningDocument>>>,
            &Entry<CoveringDocument>,
        ),
        laying: Option<&Option<Laying>>,
        catalogue: &Catalogue,
    ) -> Option<Slope> {
        let before = self.count();
        let made_edges = self.edges(&outline, edge_entries);
        let openings = self.openings(Some(&outline), &made_edges, opening_entries);
        let laying = self.laying_of(covering, laying, catalogue);
        let laying = laying?;
        (self.count() == before).then_some(Slope {
            name: String::new(),
            pitch,
            edges: made_edges,
            openings,
            laying,
        })
    }

    fn edges(
        &mut self,
        outline: &NamedOutline,
        entries: &Entry<BTreeMap<String, Entry<EdgeDocument>>>,
    ) -> Vec<Edge> {
        let nothing = BTreeMap::new();
        let stated = self.entry("edges", entries, "a table of edges").unwrap_or(&nothing);
        for (name, edge) in stated {
            if !outline.names.contains(name) {
                self.fault(
                    Fault::new(FaultKind::EdgeUnknown, format!("has no edge '{name}'"))
                        .allowed(outline.names.join(", ")),
                );
            }
            self.entry(&format!("edge '{name}'"), edge, "a table");
        }
        let roles: Vec<(&str, EdgeRole)> =
            EdgeRole::ALL.into_iter().map(|role| (role.word(), role)).collect();
        edges(&outline.corners)
            .zip(&outline.names)
            .map(|((from, to), name)| {
                let Some(edge) = stated.get(name).and_then(Entry::given) else {
                    let role = role_by_direction(from, to);
                    return Edge {
                        name: name.clone(),
                        from,
                        to,
                        role,
                        role_is_stated: false,
                        stated_reach: None,
                    };
                };
                self.within(format!("edge '{name}'"), |reading| {
                    reading.unknown(EdgeDocument::FIELDS, &edge.unknown);
                    let role = reading.choice("role", &edge.role, &roles, FaultKind::RoleUnknown);
                    let overhang = reading.length("overhang", &edge.overhang, &limit::overhang);
                    let clearance = reading.length("clearance", &edge.clearance, &limit::overhang);
                    if overhang.is_some() && clearance.is_some() {
                        let shown = |by: Option<Length>| by.map_or_else(String::new, metres);
                        reading.fault(
                            Fault::new(FaultKind::EdgeReachTwice, "has both an overhang and a clearance")
                                .given(format!(
                                    "overhang {}, clearance {}",
                                    shown(overhang),
                                    shown(clearance)
                                ))
                                .allowed("one of the two"),
                        );
                    }
                    Edge {
                        name: name.clone(),
                        from,
                        to,
                        role: role.unwrap_or_else(|| role_by_direction(from, to)),
                        role_is_stated: role.is_some(),
                        stated_reach: overhang.map(|by| by.m()).or_else(|| clearance.map(|by| -by.m())),
                    }
                })
            })
            .collect()
    }

    fn openings(
        &mut self,
        // Absent if the outline itself has faults: the openings are read all the same.
        outline: Option<&NamedOutline>,
        sides: &[Edge],
        entries: &Entry<Vec<Entry<OpeningDocument>>>,
    ) -> Vec<Opening> {
        let mut openings: Vec<Opening> = Vec::new();
        let many = Some((&limit::openings, FaultKind::TooManyOpenings));
        for (number, opening) in self.list("opening", entries, many) {
            let place = named("opening", number, &opening.name);
            self.within(place, |reading| {
                let name = reading.name("name", &opening.name).unwrap_or_else(|| number.to_string());
                let Some((ring, cleared)) = reading.opening(opening) else { return };
                if outline.is_some_and(|outline| !reading.opening_is_inside(&ring, outline, sides)) {
                    return;
                }
                if let Some(other) = openings.iter().find(|other| overlap(&other.outline, &ring)) {
                    reading.fault(
                        Fault::new(FaultKind::OpeningsOverlap, format!("overlaps opening '{}'", other.name))
                            .given(place_of(&ring))
                            .allowed(format!("clear of {}", place_of(&other.outline))),
                    );
                }
                openings.push(Opening { name, outline: ring, cleared });
            });
        }
        openings
    }

    /// The outline of an opening, and the same with its clearances.
    fn opening(&mut self, opening: &OpeningDocument) -> Option<(Ring, Ring)> {
        self.unknown(OpeningDocument::FIELDS, &opening.unknown);
        let all_round = self.length("clearance", &opening.clearance, &limit::overhang);
        let mut side =
            |field, entry| self.length(field, entry, &limit::overhang).or(all_round).map_or(0.0, |by| by.m());
        let below = side("clearance_below", &opening.clearance_below);
        let above = side("clearance_above", &opening.clearance_above);
        let beside = side("clearance_beside", &opening.clearance_beside);
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
            let mut ring = self.corners("points", &opening.points)?;
            if !self.sound(&ring) {
                return None;
            }
            run_anticlockwise(&mut ring);
            let moves = vec![all_round.map_or(0.0, |by| by.m()); ring.len()];
            let cleared = crate::setout::Region::from_moved_edges(&ring, &moves);
            // Moved out, an outline stays one piece; only where it runs into itself does it leave holes, which fill up.
            let cleared = cleared.rings().first().cloned().unwrap_or_else(|| ring.clone());
            return Some((ring, cleared));
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
        Some((
            rectangle(left, up, right, high),
            rectangle(left - beside, up - below, right + beside, high + above),
        ))
    }

    /// Whether an opening lies inside the outline; a fault that says how far it does not, and past which edge.
    fn opening_is_inside(&mut self, ring: &[Point], outline: &NamedOutline, sides: &[Edge]) -> bool {
        let worst = ring
            .iter()
            .filter(|p| !contains(&outline.corners, **p))
            .filter_map(|p| nearest_edge(*p, sides))
            .filter(|(distance, _)| *distance > OUTSIDE_M)
            .max_by(|one, other| one.0.total_cmp(&other.0));
        let problem = if let Some((distance, edge)) = worst {
            let side = match edge.name.as_str() {
                name @ ("left" | "right") => format!("{name} {}", edge.role.word()),
                name if name.chars().all(|c| c.is_ascii_digit()) => {
                    format!("{} (edge {name})", edge.role.word())
                }
                _ => edge.role.word().to_owned(),
            };
            format!("lies {distance:.2} m outside the {side}")
        } else if edges(ring).any(|side| edges(&outline.corners).any(|other| crosses(side, other))) {
            "runs across the outline of the slope".to_owned()
        } else {
            return true;
        };
        self.fault(
            Fault::new(FaultKind::OpeningOutside, problem)
                .given(place_of(ring))
                .allowed("inside the outline of the slope"),
        );
        false
    }

    /// The covering of a slope: its own, or the survey's.
    fn laying_of(
        &mut self,
        own: &Entry<CoveringDocument>,
        survey: Option<&Option<Laying>>,
        catalogue: &Catalogue,
    ) -> Option<Laying> {
        if let Some(covering) = self.entry("covering", own, "a table") {
            return self.within("covering", |reading| reading.laying(covering, catalogue));
        }
        match survey {
            Some(laying) => laying.clone(),
            None => {
                self.fault(
                    Fault::new(
                        FaultKind::CoveringMissing,
                        "has no covering, and the survey has none for all",
                    )
                    .allowed("a table with a format: covering.format = \"plain-tile-265x165\""),
                );
                None
            }
        }
    }

    fn laying(&mut self, document: &CoveringDocument, catalogue: &Catalogue) -> Option<Laying> {
        self.unknown(CoveringDocument::FIELDS, &document.unknown);
        let key = self.needed("format", &document.format, "a key of the catalogue");
        let headlap = self.length("headlap", &document.headlap, &limit::headlap);
        let gauge = self.length("gauge", &document.gauge, &limit::gauge);
        let joint = self.length("joint", &document.joint, &limit::joint);
        let start = self.choice("start", &document.start, STARTS, FaultKind::StartUnknown);
        let least_cut = self.length("least_cut", &document.least_cut, &limit::unit_width);
        let key = key?;
        let found = catalogue.covering(key);
        if found.is_none() {
            self.fault(
                Fault::new(
                    FaultKind::CoveringUnknown,
                    format!("has the format '{key}', which the catalogue does not have"),
                )
                .given(format!("\"{key}\""))
                .allowed(keys(catalogue.coverings().iter().map(|covering| covering.key.as_str()))),
            );
        }
        let mut covering = found?.clone();
        if let Some(joint) = joint {
            covering = covering.with_joint(joint);
        }
        let longest_lap = covering.headlap_for(m(limit::gauge.least));
        if let Some(headlap) = headlap.filter(|headlap| *headlap > longest_lap) {
            self.fault(
                Fault::new(FaultKind::HeadlapTooLarge, "has a headlap that leaves no gauge")
                    .given(format!("{} mm", figure(headlap.mm(), 1)))
                    .allowed(format!("up to {} mm, for this unit", figure(longest_lap.mm(), 1))),
            );
        }
        let largest = covering.gauge_for(crate::quantity::mm(0.0));
        if let Some(gauge) = gauge.filter(|gauge| *gauge > largest) {
            self.fault(
                Fault::new(FaultKind::GaugeTooLarge, "has a gauge at which the units do not lap")
                    .given(format!("{} mm", figure(gauge.mm(), 1)))
                    .allowed(format!("up to {} mm", figure(largest.mm(), 1))),
            );
        }
        let cover_width = covering.cover_width().m();
        let bond_shift = self.bond(&document.bond, covering.bond.shift(), cover_width);
        if let Some(width) = least_cut.filter(|width| width.m() > cover_width) {
            self.fault(
                Fault::new(FaultKind::LeastCutTooLarge, "has a least cut wider than a unit")
                    .given(format!("{} mm", figure(width.mm(), 1)))
                    .allowed(format!("up to {} mm", figure(cover_width * 1000.0, 1))),
            );
        }
        Some(Laying {
            covering: Arc::new(covering),
            headlap,
            gauge,
            bond_shift,
            start: start.unwrap_or_default(),
            least_cut,
        })
    }

    /// The shift of alternate courses: a word or a length.
    fn bond(&mut self, entry: &Entry<String>, own: f64, cover_width: f64) -> f64 {
        let Some(text) = self.entry("bond", entry, "half, straight, or a length") else { return own };
        match text.as_str() {
            "half" => 0.5,
            "straight" => 0.0,
            other => match read_length(other) {
                Ok(shift) if shift.m() >= 0.0 && shift.m() < cover_width => shift.m() / cover_width,
                _ => {
                    self.fault(
                        Fault::new(FaultKind::BondUnknown, "has a bond that is no shift of a course")
                            .given(format!("\"{other}\""))
                            .allowed("half, straight, or a length under the cover width"),
                    );
                    own
                }
            },
        }
    }

    fn battens(&mut self, document: Option<&BattensDocument>, catalogue: &Catalogue) -> BattenChoice {
        let nothing = BattensDocument::default();
        let document = document.unwrap_or(&nothing);
        self.unknown(BattensDocument::FIELDS, &document.unknown);
        let key = self.entry("format", &document.format, "a key of the catalogue");
        let batten = key.and_then(|key| {
            let found = catalogue.batten(key);
            if found.is_none() {
                self.fault(
                    Fault::new(
                        FaultKind::BattenUnknown,
                        format!("has the format '{key}', which the catalogue does not have"),
                    )
                    .given(format!("\"{key}\""))
                    .allowed(keys(catalogue.battens().iter().map(|batten| batten.key.as_str()))),
                );
            }
            found.map(|batten| Arc::new(batten.clone()))
        });
        BattenChoice {
            batten,
            rafter_spacing: self.length("rafter_spacing", &document.rafter_spacing, &limit::rafter_spacing),
            first_rafter: self.length("first_rafter", &document.first_rafter, &limit::first_rafter),
            counter_battens: self
                .entry("counter_battens", &document.counter_battens, "true or false")
                .copied()
                .unwrap_or(false),
        }
    }

    fn underlay(&mut self, document: &UnderlayDocument, catalogue: &Catalogue) -> Option<UnderlayChoice> {
        self.unknown(UnderlayDocument::FIELDS, &document.unknown);
        let key = self.needed("format", &document.format, "a key of the catalogue");
        let supported =
            self.entry("supported", &document.supported, "true or false").copied().unwrap_or(false);
        let horizontal_lap = self.length("horizontal_lap", &document.horizontal_lap, &limit::underlay_lap);
        let end_lap = self.length("end_lap", &document.end_lap, &limit::underlay_lap);
        let key = key?;
        let Some(underlay) = catalogue.underlay(key) else {
            self.fault(
                Fault::new(
                    FaultKind::UnderlayUnknown,
                    format!("has the format '{key}', which the catalogue does not have"),
                )
                .given(format!("\"{key}\""))
                .allowed(keys(catalogue.underlays().iter().map(|underlay| underlay.key.as_str()))),
            );
            return None;
        };
        for (problem, lap, roll, most) in [
            // A roll that shows less than a tenth of its width covers next to nothing.
            ("has a horizontal lap that leaves too little of the roll", horizontal_lap, &underlay.width, 0.9),
            // A piece under two laps long would be nothing but laps.
            ("has an end lap over half the length of the roll", end_lap, &underlay.length, 0.5),
        ] {
            let most = roll.value * most;
            if let Some(lap) = lap.filter(|lap| *lap > most) {
                self.fault(
                    Fault::new(FaultKind::LapTooLarge, problem)
                        .given(format!("{} mm", figure(lap.mm(), 1)))
                        .allowed(format!("up to {} mm", figure(most.mm(), 1))),
                );
            }
        }
        Some(UnderlayChoice { underlay: Arc::new(underlay.clone()), supported, horizontal_lap, end_lap })
    }

    fn fixings(&mut self, document: Option<&FixingsDocument>, catalogue: &Catalogue) -> FixingChoice {
        let Some(document) = document else { return FixingChoice::default() };
        self.unknown(FixingsDocument::FIELDS, &document.unknown);
        let mut nail = |field: &str, entry: &Entry<String>| {
            let key = self.entry(field, entry, "a key of the catalogue")?;
            let found = catalogue.nail(key);
            if found.is_none() {
                self.fault(
                    Fault::new(
                        FaultKind::NailUnknown,
                        format!("has the {field} '{key}', which the catalogue does not have"),
                    )
                    .given(format!("\"{key}\""))
                    .allowed(keys(catalogue.nails().iter().map(|nail| nail.key.as_str()))),
                );
            }
            found.map(|nail| Arc::new(nail.clone()))
        };
        let unit_nail = nail("nail", &document.nail);
        let batten_nail = nail("batten_nail", &document.batten_nail);
        FixingChoice {
            nail: unit_nail,
            batten_nail,
            nails_each: self.whole_number("nails_each", &document.nails_each, &limit::nails_each),
            every_course: self.whole_number("every_course", &document.every_course, &limit::every_course),
            edges: self.entry("edges", &document.edges, "true or false").copied(),
            all_from_pitch: self.pitch("all_from_pitch", &document.all_from_pitch),
        }
    }

    fn whole_number(
        &mut self,
        field: &str,
        entry: &Entry<u32>,
        limit: &crate::quantity::Limit,
    ) -> Option<u32> {
        let number = *self.entry(field, entry, "a whole number")?;
        if limit.holds(f64::from(number)) {
            return Some(number);
        }
        self.fault(
            Fault::new(FaultKind::CountOutOfRange, format!("has a '{field}' out of range"))
                .given(number)
                .allowed(limit.range()),
        );
        None
    }

    fn old_covering(&mut self, document: Option<&OldCoveringDocument>, catalogue: &Catalogue) -> OldCovering {
        let Some(document) = document else { return OldCovering::default() };
        self.unknown(OldCoveringDocument::FIELDS, &document.unknown);
        let may_hold_asbestos = self
            .entry("may_hold_asbestos", &document.may_hold_asbestos, "true or false")
            .copied()
            .unwrap_or(false);
        let stated = self.cover_mass("mass", &document.mass);
        let gauge = self.length("gauge", &document.gauge, &limit::gauge);
        let mut mass = stated.map(|mass| (mass, "stated by the survey".to_owned()));
        if let Some(key) = self.entry("format", &document.format, "a key of the catalogue") {
            match (catalogue.covering(key), gauge) {
                (None, _) => self.fault(
                    Fault::new(
                        FaultKind::CoveringUnknown,
                        format!("has the format '{key}', which the catalogue does not have"),
                    )
                    .given(format!("\"{key}\""))
                    .allowed(keys(catalogue.coverings().iter().map(|covering| covering.key.as_str()))),
                ),
                (Some(_), None) => {
                    self.fault(
                        Fault::new(FaultKind::FieldMissing, "has a format but no 'gauge'")
                            .allowed("the gauge it was laid to"),
                    );
                }
                (Some(covering), Some(gauge)) if mass.is_none() => {
                    mass = covering.mass_per_m2(gauge).map(|mass| {
                        (mass, format!("{} at a gauge of {} mm", covering.name, figure(gauge.mm(), 1)))
                    });
                }
                _ => {}
            }
        }
        OldCovering { mass, may_hold_asbestos }
    }
}

/// Where an opening lies.
fn place_of(ring: &[Point]) -> String {
    let (low, high) = super::outline::bounds(ring);
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

/// `slope 'north'` where it has a name, else `slope 2`.
fn named(noun: &str, number: usize, name: &Entry<String>) -> String {
    match name.given() {
        Some(name)
            if !name.is_empty() && name.chars().count() <= 60 && !name.chars().any(char::is_control) =>
        {
            format!("{noun} '{name}'")
        }
        _ => format!("{noun} {number}"),
    }
}

/// A list of keys that fits on a few lines.
fn keys<'a>(all: impl Iterator<Item = &'a str>) -> String {
    all.collect::<Vec<_>>().join(", ")
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
