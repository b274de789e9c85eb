//! What a take-off asks of the stack: so many units of one sort for each slope.

use super::{Need, UnitKey, UnitKind};
use crate::catalogue::{Companion, Covering};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::{Mass, MassIn as _};
use crate::setout::CourseKind;
use crate::takeoff::{SlopeTakeOff, SlopeUnits, TakeOff};

impl TakeOff {
    /// The needs of the roof, slope by slope: whole units, units that are cut from whole ones (short ones included,
    /// where the format has none of its own), tile-and-a-half, under-eaves and top units. The mass is that of the unit
    /// as it is taken from the stack.
    ///
    /// ```
    /// use slopewright::{SurveyDocument, TakeOff};
    /// let survey = SurveyDocument::from_toml(r#"
    ///     slopewright = 1
    ///     name = "boat shed"
    ///     covering.format = "plain-tile-265x165"
    ///     [[slope]]
    ///     name = "front"
    ///     shape = "rectangle"
    ///     eaves = "4 m"
    ///     rafter = "3 m"
    ///     pitch = "40 deg"
    /// "#)?;
    /// let needs = TakeOff::of(&survey.check()?)?.needs();
    /// let units: Vec<String> = needs.iter().map(|need| need.unit.to_string()).collect();
    /// assert!(units.contains(&"plain-tile-265x165 tile-and-a-half".to_owned()));
    /// assert!(needs.iter().all(|need| need.roof == "boat shed" && need.slope == "front"));
    /// # Ok::<(), slopewright::Error>(())
    /// ```
    #[must_use]
    pub fn needs(&self) -> Vec<Need> {
        self.slopes.iter().flat_map(|slope| slope.needs(&self.name)).collect()
    }
}

/// A fault for each roof of a job that is handed in more than once: its slopes would be counted as often.
pub(crate) fn each_roof_once(take_offs: &[&TakeOff]) -> Result<()> {
    let slopes = |of: &TakeOff| of.slopes.iter().map(|slope| slope.layout.slope.clone()).collect::<Vec<_>>();
    let mut faults = Vec::new();
    for (number, roof) in take_offs.iter().enumerate() {
        let own = slopes(roof);
        let before = take_offs.iter().take(number).filter(|other| other.name == roof.name);
        let again: Vec<String> =
            before.flat_map(|other| slopes(other)).filter(|slope| own.contains(slope)).collect();
        if again.is_empty() {
            continue;
        }
        let place = if roof.name.is_empty() {
            "roof without a name".to_owned()
        } else {
            format!("roof '{}'", roof.name)
        };
        let fault = Fault::new(FaultKind::RoofRepeated, "is handed in before, and would count twice")
            .given(format!("survey {} of {}, slopes: {}", number + 1, take_offs.len(), again.join(", ")))
            .allowed("each slope of a roof once");
        faults.push(fault.at(place));
    }
    Error::check(faults)
}

impl SlopeTakeOff {
    fn needs(&self, roof: &str) -> Vec<Need> {
        let covering = self.layout.covering();
        let whole = covering.mass.as_ref().map(|mass| mass.value);
        let mut counts = Counts::default();
        for (course, units) in self.layout.courses.iter().zip(&self.units.courses) {
            let own = match course.kind {
                CourseKind::Field => None,
                CourseKind::UnderEaves => covering.eaves_unit.as_ref().map(|_| UnitKind::Eaves),
                CourseKind::Top => covering.top_unit.as_ref().map(|_| UnitKind::Top),
            };
            // A first course laid double is of whole units; a short course without units of its own is cut from them.
            let is_short = course.unit_length_m < covering.length.value.value - SAME_LENGTH_M;
            let whole_stays = course.kind == CourseKind::Field || !is_short;
            counts.add(UnitKind::TileAndAHalf, units.tile_and_half);
            if let Some(own) = own {
                counts.add(own, units.whole + units.cut);
            } else {
                counts.add(if whole_stays { UnitKind::Whole } else { UnitKind::Cut }, units.whole);
                counts.add(UnitKind::Cut, units.cut);
            }
        }
        let paired = &self.units.paired;
        counts.take(UnitKind::Cut, paired.field);
        let kind_of = |own: Option<&Companion>, kind| if own.is_some() { kind } else { UnitKind::Cut };
        counts.take(kind_of(covering.eaves_unit.as_ref(), UnitKind::Eaves), paired.under_eaves);
        counts.take(kind_of(covering.top_unit.as_ref(), UnitKind::Top), paired.top);
        let need = |kind: UnitKind, count: u64| {
            let mass_each = match kind {
                UnitKind::TileAndAHalf => companion_mass(covering, covering.tile_and_half.as_ref()),
                UnitKind::Eaves => companion_mass(covering, covering.eaves_unit.as_ref()),
                UnitKind::Top => companion_mass(covering, covering.top_unit.as_ref()),
                _ => whole,
            };
            Need {
                roof: roof.to_owned(),
                slope: self.layout.slope.clone(),
                unit: UnitKey::new(&covering.key, kind),
                count,
                mass_each,
            }
        };
        counts.0.into_iter().filter(|(_, count)| *count > 0).map(|(kind, count)| need(kind, count)).collect()
    }
}

/// A unit is short if it is shorter than the whole one by more than this, a micrometre.
const SAME_LENGTH_M: f64 = 1e-6;

/// Counts by kind, in the order in which the trade names them.
struct Counts([(UnitKind, u64); 5]);

impl Default for Counts {
    fn default() -> Self {
        use UnitKind::{Cut, Eaves, TileAndAHalf, Top, Whole};
        Self([Whole, Cut, TileAndAHalf, Eaves, Top].map(|kind| (kind, 0)))
    }
}

impl Counts {
    fn add(&mut self, kind: UnitKind, more: u32) {
        if let Some((_, count)) = self.0.iter_mut().find(|(known, _)| *known == kind) {
            *count += u64::from(more);
        }
    }

    /// Takes away what two cuts out of one unit save.
    fn take(&mut self, kind: UnitKind, less: u32) {
        if let Some((_, count)) = self.0.iter_mut().find(|(known, _)| *known == kind) {
            *count = count.saturating_sub(u64::from(less));
        }
    }
}

/// The mass of all units of a slope as they are taken from the stack, in kilograms; `None` if that of one kind is not known.
pub(crate) fn unit_mass_kg(covering: &Covering, units: &SlopeUnits) -> Option<f64> {
    let whole = covering.mass.as_ref().map(|mass| mass.value);
    let own = |unit: Option<&Companion>| match unit {
        Some(unit) => companion_mass(covering, Some(unit)),
        None => whole,
    };
    let kinds = [
        (units.whole + units.cut, whole),
        (units.tile_and_half, companion_mass(covering, covering.tile_and_half.as_ref())),
        (units.under_eaves, own(covering.eaves_unit.as_ref())),
        (units.top, own(covering.top_unit.as_ref())),
    ];
    let masses = kinds.into_iter().filter(|(count, _)| *count > 0);
    // A sum of nothing would be minus nought.
    masses
        .map(|(count, each)| each.map(|each| f64::from(count) * each.kg()))
        .try_fold(0.0, |sum, mass| Some(sum + mass?))
}

fn companion_mass(covering: &Covering, unit: Option<&Companion>) -> Option<Mass> {
    unit.and_then(|unit| covering.companion_mass(unit))
}
