//! Reading a covering from its entry, and the checks that hold for every covering however it was stated.

use std::sync::Arc;

use super::covering::{Bond, Companion, Covering, Hanging, Layers};
use super::entry::{Entry, unknown_word};
use super::family::families;
use super::figure::Figure;
use super::source::Source;
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{Length, LengthIn as _, Limit, kg, limit, millimetres, mm};

/// More nails in one unit than this are a slip of the pen.
const MOST_NAILS: u32 = 20;

/// Reads one `[[covering]]`; what it does not state it takes from `base`.
pub(super) fn read(
    table: &toml::Table,
    sources: &[Arc<Source>],
    find: impl Fn(&str) -> Option<Covering>,
    faults: &mut Vec<Fault>,
) -> Option<Covering> {
    let mut entry = Entry::new("covering", table, sources);
    let key = entry.key();
    let base = entry.text("like").and_then(|like| {
        let found = find(&like);
        if found.is_none() {
            let fault =
                Fault::new(FaultKind::EntryUnknown, "is not a covering of the catalogue").given(&like);
            entry.fault("like", fault);
        }
        found
    });
    let covering = fields(&mut entry, key, base);
    entry.finish(faults)?;
    match covering.check() {
        Ok(()) => Some(covering),
        Err(error) => {
            faults.extend(error.into_faults());
            None
        }
    }
}

/// Every field is asked for before any is missed, so that all faults of an entry come out together.
fn fields(entry: &mut Entry<'_>, key: Option<String>, base: Option<Covering>) -> Covering {
    let with_base = base.is_some();
    let layers = entry.choice("layers", Layers::ALL);
    let length = entry.length("length", limit::unit_length);
    let width = entry.length("width", limit::unit_width);
    let family = entry.text("family");
    if !with_base {
        entry.needed("layers", layers);
        entry.needed("length", length.as_ref());
        entry.needed("width", width.as_ref());
        entry.needed("family", family.as_ref());
    }
    let hanging = entry.choice("hanging", Hanging::ALL);
    let bond = bond(entry);
    let name = entry.text("name");
    let resized = length.is_some() || width.is_some();
    let size = |figure: &Option<Figure<Length>>| figure.as_ref().map_or(mm(0.0), |figure| figure.value);
    let mut made = base
        .unwrap_or_else(|| Covering::new("", layers.unwrap_or(Layers::Single), size(&length), size(&width)));
    let key = key.unwrap_or_default();
    made.name = name.unwrap_or_else(|| key.clone());
    made.key = key;
    set(&mut made.layers, layers);
    set(&mut made.length, length);
    set(&mut made.width, width);
    set(&mut made.family, family);
    set(&mut made.material, entry.text("material"));
    set(&mut made.bond, bond);
    if let Some(hanging) = hanging {
        made = made.with_hanging(hanging);
    }
    set(&mut made.nail_allowance, entry.length("nail-allowance", limit::side_play));
    set(&mut made.joint, entry.length("joint", limit::side_play));
    set_some(&mut made.cover_width, entry.length("cover-width", limit::unit_width));
    set_some(&mut made.side_play, entry.length("side-play", limit::side_play));
    set_some(&mut made.hanging_length, entry.length("hanging-length", limit::unit_length));
    set_some(&mut made.gauge_least, entry.length("gauge-least", limit::gauge));
    set_some(&mut made.gauge_most, entry.length("gauge-most", limit::gauge));
    set_some(&mut made.headlap_least, entry.length("headlap-least", limit::headlap));
    set_some(&mut made.pitch_least, entry.pitch("pitch-least"));
    set_some(&mut made.nails_each, entry.count("nails-each"));
    set_some(&mut made.face_mass, entry.cover_mass("face-mass"));
    if let Some(mass) = entry.mass("mass") {
        made.mass = Some(mass);
    } else if resized || made.mass.is_none() {
        let face = (made.length.value * made.width.value).value;
        made.mass = made.face_mass.clone().map(|figure| figure.map(|mass| kg(mass.value * face)));
    }
    // A companion of another size than the base's unit is not a companion of this one.
    if resized && with_base {
        made.eaves_unit = None;
        made.top_unit = None;
    }
    let half = companion(entry, "tile-and-half", &made);
    made.tile_and_half = half.or_else(|| made.tile_and_half.take().map(|unit| resize(unit, &made)));
    let eaves = companion(entry, "eaves-unit", &made);
    set_some(&mut made.eaves_unit, eaves);
    let top = companion(entry, "top-unit", &made);
    set_some(&mut made.top_unit, top);
    made
}

fn set<T>(place: &mut T, value: Option<T>) {
    if let Some(value) = value {
        *place = value;
    }
}

fn set_some<T>(place: &mut Option<T>, value: Option<T>) {
    if value.is_some() {
        *place = value;
    }
}

/// A tile-and-a-half taken over from another size keeps its meaning: half as wide again, and as long.
fn resize(unit: Companion, of: &Covering) -> Companion {
    Companion { width: of.width.value * 1.5, length: of.length.value, mass: None, ..unit }
}

fn bond(entry: &mut Entry<'_>) -> Option<Bond> {
    let word = entry.text("bond")?;
    match word.as_str() {
        "half" => return Some(Bond::Half),
        "straight" => return Some(Bond::Straight),
        _ => {}
    }
    let share = word.strip_prefix("shift ").and_then(|share| share.trim().parse::<f64>().ok());
    match share {
        Some(share) if (0.0..1.0).contains(&share) => Some(Bond::Shift(share)),
        _ => {
            let fault = unknown_word(&word, ["half", "straight", "shift 0.33"].into_iter());
            entry.fault("bond", fault);
            None
        }
    }
}

/// A companion states its own width, or `widths = "1.5"` for so many widths of the unit; a length that is left out
/// is the unit's own.
fn companion(outer: &mut Entry<'_>, field: &'static str, of: &Covering) -> Option<Companion> {
    let table = outer.table(field)?;
    let mut entry = Entry::part(field, table, outer.sources(), outer.own_source());
    let source = entry.own_source();
    let widths = entry.number("widths", "");
    let width = entry.length("width", limit::unit_width);
    let length = entry.length("length", limit::unit_length);
    let mass = entry.mass("mass");
    let note = entry.text("note");
    let mut faults = Vec::new();
    let clean = entry.finish(&mut faults);
    for fault in faults {
        outer.fault("", fault);
    }
    clean?;
    let width = match (width, widths) {
        (Some(width), _) => width.value,
        (None, Some(widths)) => of.width.value * widths.value,
        (None, None) => of.width.value,
    };
    Some(Companion {
        width,
        length: length.map_or(of.length.value, |figure| figure.value),
        mass: mass.map(|figure| figure.value),
        source,
        note: note.map(Arc::from),
    })
}

impl Covering {
    /// Checks that the figures are in range and agree with each other.
    ///
    /// # Errors
    /// With every figure that is out of range, every pair that cannot both be right, and a family that no rule knows.
    pub fn check(&self) -> Result<()> {
        let mut faults = Vec::new();
        let mut note = |field: &str, fault: Fault| {
            faults.push(fault.at(field).at(format!("covering '{}'", self.key)));
        };
        let mut range = |field: &str, value: Option<Length>, limit: Limit| {
            if let Some(value) = value
                && !limit.holds(value.m())
            {
                note(
                    field,
                    Fault::new(FaultKind::FigureOutOfRange, format!("{} is out of range", limit.label))
                        .given(millimetres(value))
                        .allowed(limit.range()),
                );
            }
        };
        let value = |figure: &Option<Figure<Length>>| figure.as_ref().map(|figure| figure.value);
        range("length", Some(self.length.value), limit::unit_length);
        range("width", Some(self.width.value), limit::unit_width);
        range("joint", Some(self.joint.value), limit::side_play);
        range("nail-allowance", Some(self.nail_allowance.value), limit::side_play);
        range("cover-width", value(&self.cover_width), limit::unit_width);
        range("side-play", value(&self.side_play), limit::side_play);
        range("hanging-length", value(&self.hanging_length), limit::unit_length);
        range("gauge-least", value(&self.gauge_least), limit::gauge);
        range("gauge-most", value(&self.gauge_most), limit::gauge);
        range("headlap-least", value(&self.headlap_least), limit::headlap);
        for (field, unit) in [
            ("tile-and-half", &self.tile_and_half),
            ("eaves-unit", &self.eaves_unit),
            ("top-unit", &self.top_unit),
        ] {
            range(field, unit.as_ref().map(|unit| unit.length), limit::unit_length);
            range(field, unit.as_ref().map(|unit| unit.width), limit::unit_width);
        }
        if let Some(mass) = &self.mass
            && !limit::unit_mass.holds(mass.value.value)
        {
            let fault = Fault::new(FaultKind::FigureOutOfRange, "the mass of a unit is out of range")
                .given(format!("{} kg", mass.value.value))
                .allowed(limit::unit_mass.range());
            note("mass", fault);
        }
        if let Some(nails) = self.nails_each.as_ref().filter(|nails| nails.value > MOST_NAILS) {
            let fault =
                Fault::new(FaultKind::FigureOutOfRange, "the number of nails in a unit is out of range")
                    .given(nails.value)
                    .allowed(format!("0 to {MOST_NAILS}"));
            note("nails-each", fault);
        }
        if let Bond::Shift(share) = self.bond
            && !(0.0..1.0).contains(&share)
        {
            let fault = Fault::new(FaultKind::FigureOutOfRange, "is not a share of a cover width")
                .given(share)
                .allowed("0 to under 1");
            note("bond", fault);
        }
        if !families().iter().any(|family| family.key == self.family) {
            note("family", unknown_word(&self.family, families().iter().map(|family| family.key.as_str())));
        }
        // Both in the order in which the first must not be larger than the second.
        let pairs = [
            ("gauge-least", value(&self.gauge_least), "gauge-most", value(&self.gauge_most)),
            ("gauge-most", value(&self.gauge_most), "length", Some(self.length.value)),
            ("hanging-length", value(&self.hanging_length), "length", Some(self.length.value)),
            ("headlap-least", value(&self.headlap_least), "length", Some(self.length.value)),
            ("side-play", value(&self.side_play), "width", Some(self.width.value)),
            (
                "eaves-unit",
                self.eaves_unit.as_ref().map(|unit| unit.length),
                "length",
                Some(self.length.value),
            ),
            ("top-unit", self.top_unit.as_ref().map(|unit| unit.length), "length", Some(self.length.value)),
            ("gauge-least", value(&self.gauge_least), "length over layers", Some(self.gauge_for(mm(0.0)))),
            (
                "width",
                Some(self.width.value),
                "tile-and-half",
                self.tile_and_half.as_ref().map(|unit| unit.width),
            ),
        ];
        for (small_field, small, large_field, large) in pairs {
            if let (Some(small), Some(large)) = (small, large)
                && small > large
            {
                note(
                    small_field,
                    Fault::new(
                        FaultKind::FiguresDisagree,
                        format!("is larger than {large_field} ({})", millimetres(large)),
                    )
                    .given(millimetres(small)),
                );
            }
        }
        Error::check(faults)
    }
}
