//! The survey document: what a roof is, as measured, in TOML or JSON.

use std::collections::BTreeMap;

use serde_json::Value;

use super::edgework::EdgeworkDocument;
use super::entry::{CoverMassText, Entry, LengthText, PitchText, document};
use super::upgrade;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::limit;
use crate::reader_words::not_json;

/// The version of the document that this library writes and reads.
pub const DOCUMENT_VERSION: u32 = 1;

document! {
    /// A survey: the covering that is wanted, and the slopes as measured.
    pub struct SurveyDocument {
        /// The version of this document: 1.
        slopewright: u32,
        /// What the job is called.
        name: String,
        /// How exposed the site is to driving rain: `sheltered`, `moderate` (the default) or `severe`.
        exposure: String,
        /// The new covering.
        covering: CoveringDocument,
        /// The battens and what they are nailed to.
        battens: BattensDocument,
        /// The underlay.
        underlay: UnderlayDocument,
        /// How the units are fixed.
        fixings: FixingsDocument,
        /// How the edges are made.
        edgework: EdgeworkDocument,
        /// The timbers round openings.
        timbers: TimbersDocument,
        /// The covering that comes off.
        old_covering: OldCoveringDocument,
        /// The rule that areas and lengths are measured by, beside the materials; none by default.
        measuring: String,
        /// Whole roofs by their form.
        form: Vec<Entry<FormDocument>>,
        /// Slopes one by one.
        slope: Vec<Entry<SlopeDocument>>,
        /// Edges that two stated slopes share. The slopes of a form share theirs by themselves.
        joint: Vec<Entry<JointDocument>>,
        /// Coverings, battens, underlays and nails of your own, as in a catalogue file.
        catalogue: Value,
    }
}

document! {
    /// A covering, and how it is to be laid.
    pub struct CoveringDocument {
        /// The key of the format in the catalogue, such as `plain-tile-265x165`.
        format: String,
        /// The least headlap wanted; it counts where it is stricter than the rule.
        headlap: LengthText,
        /// The largest gauge wanted; it counts where it is stricter than the rule.
        gauge: LengthText,
        /// The open joint between neighbours, if not the format's own.
        joint: LengthText,
        /// The shift of alternate courses: `half`, `straight`, or a length.
        bond: String,
        /// Where the first whole unit of the first course stands: `left` (the default), `right` or `centre`.
        start: String,
        /// The least width of a cut unit; narrower ones join their neighbour. The default is half a unit.
        least_cut: LengthText,
        /// How cut pieces are made: `none` (each takes a unit of its own, the default) or `pairs` (two come out of one
        /// unit where their widths allow it).
        cuts: String,
        /// What the saw takes between two pieces of one unit; by default 3 mm.
        saw_kerf: LengthText,
    }
}

document! {
    /// The battens and the rafters under them.
    pub struct BattensDocument {
        /// The key of the batten in the catalogue; by default the least size that the rules allow.
        format: String,
        /// The distance between rafter centres.
        rafter_spacing: LengthText,
        /// The distance of the first rafter's centre from the left end of the eaves; by default half a spacing.
        first_rafter: LengthText,
        /// Whether counter-battens lie on the rafters.
        counter_battens: bool,
        /// The lengths that battens can be bought in; by default the catalogue's.
        stock: Vec<Entry<LengthText>>,
        /// The lengths that counter-battens can be bought in; without them they are counted in metres.
        counter_stock: Vec<Entry<LengthText>>,
        /// The lengths that ridge and hip battens, tilting and valley fillets can be bought in; without them they are
        /// counted in metres.
        fillet_stock: Vec<Entry<LengthText>>,
        /// The width of a saw cut; by default 3 mm.
        kerf: LengthText,
        /// The shortest offcut that is kept.
        least_offcut: LengthText,
    }
}

document! {
    /// The underlay.
    pub struct UnderlayDocument {
        /// The key of the underlay in the catalogue.
        format: String,
        /// Whether it lies on boards (`true`) or hangs from rafter to rafter (`false`, the default).
        supported: bool,
        /// The least horizontal lap wanted; it counts where it is stricter than the rule.
        horizontal_lap: LengthText,
        /// The least end lap wanted; it counts where it is stricter than the rule.
        end_lap: LengthText,
        /// How many days it is to lie open to the weather.
        days_open: u32,
        /// How many days it may lie open by its maker, if that differs from the catalogue.
        days_open_most: u32,
    }
}

document! {
    /// How the units are fixed. The specification is for a competent person under the local code.
    pub struct FixingsDocument {
        /// The key of the nail for the units.
        nail: String,
        /// How many nails a fixed unit takes.
        nails_each: u32,
        /// Every how many courses all units are fixed: 1 is every course.
        every_course: u32,
        /// Whether the units at the edges are all fixed.
        edges: bool,
        /// The pitch from which every unit is fixed.
        all_from_pitch: PitchText,
        /// The key of the nail for the battens.
        batten_nail: String,
    }
}

document! {
    /// The timbers round openings, counted for a section that the survey states. Sizes are for a structural engineer
    /// or the local code.
    pub struct TimbersDocument {
        /// The width of a rafter: its side along the eaves.
        rafter_width: LengthText,
        /// The depth of a rafter.
        rafter_depth: LengthText,
        /// The key of the rule by which timbers are counted: `trussed-or-cut` (the default) or `irc-r802-9`.
        rule: String,
        /// How many holes a hanger has: every one of them is nailed.
        hanger_nails: u32,
        /// The key of the nail for the hangers.
        hanger_nail: String,
        /// The lengths that the timber can be bought in; without them it is counted in metres.
        stock: Vec<Entry<LengthText>>,
    }
}

document! {
    /// The covering that comes off, for the change of weight.
    pub struct OldCoveringDocument {
        /// Its mass for each square metre of slope, units only.
        mass: CoverMassText,
        /// Its format in the catalogue, if that is known instead.
        format: String,
        /// Its gauge, with the format.
        gauge: LengthText,
        /// Whether it may hold asbestos: old fibre-cement of unknown age does.
        may_hold_asbestos: bool,
    }
}

document! {
    /// A whole roof by its form, measured in plan at the eaves.
    pub struct FormDocument {
        /// What it is called; its slopes are named after it.
        name: String,
        /// The form: `gable`, `hipped`, `half-hipped`, `lean-to`, `winged`, `mansard` or `plan`.
        form: String,
        /// The length along the front eaves.
        length: LengthText,
        /// The distance from the front eaves to the rear eaves; for a lean-to, to the wall.
        span: LengthText,
        /// The pitch of the front and rear slopes; of a mansard, of the lower ones; of a plan, of all.
        pitch: PitchText,
        /// The pitch of the hip ends, if it differs.
        hip_pitch: PitchText,
        /// Which ends are hipped, as seen from the front: `both` (the default), `left` or `right`. A mansard has
        /// gables unless this is given.
        hips: String,
        /// How far a half-hip reaches down from the ridge, upright.
        hip_height: LengthText,
        /// The length of the eaves of a half-hip, if that is measured instead.
        half_hip_eaves: LengthText,
        /// The span of a cross wing at the front.
        wing_span: LengthText,
        /// How far the wing stands out before the front eaves.
        wing_length: LengthText,
        /// From the left end of the front eaves to the wing.
        wing_from_left: LengthText,
        /// The pitch of the wing, if it differs. Its eaves are level with the main eaves.
        wing_pitch: PitchText,
        /// The pitch of the upper slopes of a mansard.
        upper_pitch: PitchText,
        /// How high the change of pitch of a mansard lies above the eaves, upright.
        break_height: LengthText,
        /// The length of a mansard's lower rafters on the slope, if that is measured instead.
        lower_rafter: LengthText,
        /// The corners of a plan at the eaves: pairs of distances to the right and to the rear.
        points: Vec<Entry<Vec<Entry<LengthText>>>>,
        /// The edges of a plan that are gables, by number from 1: edge 1 runs from the first corner to the second.
        gables: Vec<Entry<u32>>,
        /// More about other slopes, by what the form calls them: `wing left`, `front upper`, or the number of the eaves
        /// of a plan.
        slopes: BTreeMap<String, Entry<SlopeDetailDocument>>,
        /// More about the front slope.
        front: SlopeDetailDocument,
        /// More about the rear slope.
        rear: SlopeDetailDocument,
        /// More about the hip end on the left, as seen from the front.
        left: SlopeDetailDocument,
        /// More about the hip end on the right, as seen from the front.
        right: SlopeDetailDocument,
    }
}

document! {
    /// What a slope of a form has of its own.
    pub struct SlopeDetailDocument {
        /// A covering of its own.
        covering: CoveringDocument,
        /// Its edges by name, where they differ from what the form says.
        edges: BTreeMap<String, Entry<EdgeDocument>>,
        /// Its openings.
        opening: Vec<Entry<OpeningDocument>>,
    }
}

document! {
    /// One slope, measured in its own plane unless the shape says `plan`.
    pub struct SlopeDocument {
        /// What it is called.
        name: String,
        /// The shape: `rectangle`, `trapezoid`, `hip-end`, `triangle`, `parallelogram`, `outline`, `plan` or `tape`.
        shape: String,
        /// Its pitch.
        pitch: PitchText,
        /// The length of the eaves.
        eaves: LengthText,
        /// The length of the ridge or top edge of a trapezoid.
        ridge: LengthText,
        /// The distance from eaves to ridge, square to the eaves, on the slope.
        rafter: LengthText,
        /// By tape: from the left end of the eaves to the left end of the ridge.
        left_rafter: LengthText,
        /// By tape: from the right end of the eaves to the right end of the ridge.
        right_rafter: LengthText,
        /// By tape: from the left end of the eaves to the right end of the ridge.
        left_diagonal: LengthText,
        /// By tape: from the right end of the eaves to the left end of the ridge.
        right_diagonal: LengthText,
        /// By tape: by how much a measure may miss before it is reported; by default 20 mm.
        tolerance: LengthText,
        /// How far the left end of the top lies to the right of the left end of the eaves.
        offset: LengthText,
        /// The corners of an outline, or of a plan: pairs of distances to the right and up the slope.
        points: Vec<Entry<Vec<Entry<LengthText>>>>,
        /// A covering of its own.
        covering: CoveringDocument,
        /// Its edges by name (`eaves`, `right`, `top`, `left`), or of an outline by number from 1.
        edges: BTreeMap<String, Entry<EdgeDocument>>,
        /// Its openings.
        opening: Vec<Entry<OpeningDocument>>,
    }
}

document! {
    /// One edge of a slope.
    pub struct EdgeDocument {
        /// What it is: `eaves`, `ridge`, `verge`, `hip`, `valley`, `change-of-pitch`, `side-abutment` or
        /// `top-abutment`.
        role: String,
        /// How far the covering reaches past it.
        overhang: LengthText,
        /// How far the covering stops short of it.
        clearance: LengthText,
    }
}

document! {
    /// An edge that two slopes share.
    pub struct JointDocument {
        /// The two edges, each as `slope: edge`, such as `front: right`.
        between: Vec<Entry<String>>,
        /// How far their two measured lengths may differ.
        tolerance: LengthText,
    }
}

document! {
    /// A hole in the covering.
    pub struct OpeningDocument {
        /// What it is called.
        name: String,
        /// From the left end of the eaves to its left side.
        from_left: LengthText,
        /// From the eaves to its lower side, up the slope.
        from_eaves: LengthText,
        /// Its width.
        width: LengthText,
        /// Its height, up the slope.
        height: LengthText,
        /// Its corners, if it is not a rectangle: pairs of distances to the right and up the slope.
        points: Vec<Entry<Vec<Entry<LengthText>>>>,
        /// How far the covering stays away from it on every side.
        clearance: LengthText,
        /// The same below it, where it differs.
        clearance_below: LengthText,
        /// The same above it, where it differs.
        clearance_above: LengthText,
        /// The same to its left and right, where it differs.
        clearance_beside: LengthText,
        /// What it is: `opening` (the default), `roof-window`, `chimney`, `pipe`, `hatch` or `dormer`.
        kind: String,
        /// The flue of a chimney or pipe: `brick` (the default of a chimney), `other` or `none`.
        flue: String,
        /// Whether it is there already with its timbers, so that none are cut or added.
        existing: bool,
        /// Whether its lower and upper side are fixed points between which the gauge is divided anew.
        fixed_point: bool,
        /// How far it may be moved up the slope.
        may_move_up: LengthText,
        /// How far it may be moved down the slope.
        may_move_down: LengthText,
        /// How far it may be moved to the left.
        may_move_left: LengthText,
        /// How far it may be moved to the right.
        may_move_right: LengthText,
        /// The step by which it is moved; the default is 10 mm.
        move_step: LengthText,
        /// The name of another opening of the slope that it stays level with, or a name that a row of them shares.
        level_with: String,
        /// The lead round it.
        flashing: FlashingDocument,
        /// How high the underlay is turned up its sides; the default is the rule's upturn at an abutment.
        underlay_upstand: LengthText,
        /// How wide a collar of underlay lies on the slope round it, if one is laid.
        underlay_collar: LengthText,
    }
}

document! {
    /// The lead round an opening.
    pub struct FlashingDocument {
        /// The code of the lead.
        lead_code: u32,
        /// The width of the pieces at sill and sides, upstand and lap on the covering together.
        width: LengthText,
        /// The width of the piece at the head: of the back gutter, for a chimney.
        head_width: LengthText,
        /// How far the pieces at sill and head go on past each corner.
        past_corner: LengthText,
    }
}

impl SurveyDocument {
    /// Reads a survey from TOML. Only broken TOML is an error here; what the document says is checked by
    /// [`SurveyDocument::check`].
    ///
    /// # Errors
    /// If the text is too large or not TOML.
    pub fn from_toml(text: &str) -> Result<Self> {
        size_is_allowed(text)?;
        let survey = toml::from_str(text).map_err(|error| {
            let line =
                error.span().map(|span| 1 + text.get(..span.start).unwrap_or_default().matches('\n').count());
            let message = error.message().trim().replace('\n', ", ");
            unreadable(format!("is not TOML: {message}"), line, text)
        })?;
        Ok(up_to_date(survey))
    }

    /// Reads a survey from JSON. Only broken JSON is an error here.
    ///
    /// # Errors
    /// If the text is too large or not JSON.
    pub fn from_json(text: &str) -> Result<Self> {
        size_is_allowed(text)?;
        let survey = serde_json::from_str(text)
            .map_err(|error| unreadable(not_json(&error), Some(error.line()), text))?;
        Ok(up_to_date(survey))
    }

    /// The SHA-256 of the survey as one line of JSON, its fields in the order of the alphabet, in hexadecimal digits. The
    /// same survey read from TOML, JSON or a workbook has the same, wherever it is reckoned.
    #[must_use]
    pub fn sha256(&self) -> String {
        let mut fields = serde_json::to_value(self).unwrap_or_default();
        fields.sort_all_objects();
        crate::origin::sha256(&fields.to_string())
    }

    /// Writes the survey as TOML.
    ///
    /// # Errors
    /// If a field holds something that TOML cannot say.
    pub fn to_toml(&self) -> Result<String> {
        toml::to_string(self).map_err(|error| {
            let fault = Fault::new(FaultKind::DocumentNotWritable, format!("cannot be written: {error}"));
            match serde_json::to_value(self).ok().as_ref().and_then(unwritable) {
                Some((place, value)) => Fault { problem: "holds what TOML cannot say".to_owned(), ..fault }
                    .given(value)
                    .at(place)
                    .into(),
                None => fault.into(),
            }
        })
    }

    /// Writes the survey as JSON.
    ///
    /// # Errors
    /// If a field holds something that JSON cannot say.
    pub fn to_json(&self) -> Result<String> {
        serde_json::to_string_pretty(self).map_err(|error| {
            Fault::new(FaultKind::DocumentNotWritable, format!("cannot be written: {error}")).into()
        })
    }

    /// The JSON schema of the document.
    #[must_use]
    pub fn schema() -> Value {
        schemars::schema_for!(Self).to_value()
    }
}

/// The first value of a document that TOML does not have, and its place.
fn unwritable(value: &Value) -> Option<(String, String)> {
    let mut inside: Box<dyn Iterator<Item = (String, &Value)> + '_> = match value {
        Value::Null => return Some((String::new(), "null".to_owned())),
        Value::Number(number) if number.is_u64() && number.as_i64().is_none() => {
            return Some((String::new(), number.to_string()));
        }
        Value::Array(items) => {
            Box::new(items.iter().enumerate().map(|(at, item)| ((at + 1).to_string(), item)))
        }
        Value::Object(fields) => Box::new(fields.iter().map(|(name, field)| (name.clone(), field))),
        _ => return None,
    };
    inside.find_map(|(name, item)| {
        let (place, value) = unwritable(item)?;
        Some((if place.is_empty() { name } else { format!("{name}, {place}") }, value))
    })
}

/// The survey itself, or what the steps of [`upgrade`] make of one of an older version.
fn up_to_date(survey: SurveyDocument) -> SurveyDocument {
    let Some(version) = survey.slopewright.given().copied().filter(|version| upgrade::is_older(*version))
    else {
        return survey;
    };
    match serde_json::to_value(&survey) {
        Ok(Value::Object(fields)) => {
            serde_json::from_value(Value::Object(upgrade::upgraded(fields, version, upgrade::STEPS)))
                .unwrap_or(survey)
        }
        _ => survey,
    }
}

fn size_is_allowed(text: &str) -> Result<()> {
    limit::document_size.check_size(text.len(), FaultKind::DocumentTooLarge, "a document")
}

/// The fault names the line and repeats it, as an editor shows it.
fn unreadable(problem: String, line: Option<usize>, text: &str) -> Error {
    let place = line.map_or_else(String::new, |line| format!("line {line}"));
    let given = line.and_then(|line| text.lines().nth(line.saturating_sub(1))).unwrap_or_default();
    Fault::new(FaultKind::DocumentUnreadable, problem).given(given.trim()).at(place).into()
}
