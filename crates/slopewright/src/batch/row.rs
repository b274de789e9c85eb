//! One row: from measures to totals.

use super::totals::Totals;
use crate::error::Result;
use crate::quantity::{AreaIn as _, LengthIn as _};
use crate::rules::Rules;
use crate::setout::Layout;
use crate::survey::{EdgeRole, Measures, Slope, Terms};
use crate::takeoff::{SlopeTakeOff, slope_take_off_alone};

/// How much of a take-off is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash)]
pub enum Extent {
    /// The units alone.
    Units,
    /// Units, battens, underlay, fixings and edges.
    #[default]
    Whole,
}

/// Memory that rows are worked in, one after the other.
#[derive(Debug, Default)]
pub struct Room {}

/// Takes off one slope.
///
/// # Errors
/// With every fault of its measures, or if it cannot be set out.
pub fn take_off_row(measures: &Measures, terms: &Terms, extent: Extent, _room: &mut Room) -> Result<Totals> {
    let laying = terms.laying(&measures.covering)?;
    let slope = measures.slope(laying)?;
    let rules = Rules::standard();
    let layout = Layout::new(&slope, terms.roof.exposure, rules)?;
    let taken = slope_take_off_alone(&terms.roof, &slope, layout, rules);
    let _ = extent;
    Ok(totals(&slope, &taken))
}

fn totals(slope: &Slope, taken: &SlopeTakeOff) -> Totals {
    let (layout, units) = (&taken.layout, &taken.units);
    let gross = slope.gross_area().m2();
    let mut edges_m = [0.0; EdgeRole::ALL.len()];
    for edge in &slope.edges {
        let at = EdgeRole::ALL.iter().position(|role| *role == edge.role);
        if let Some(length) = at.and_then(|at| edges_m.get_mut(at)) {
            *length += edge.length_m();
        }
    }
    let positions = || units.courses.iter().map(|course| course.positions);
    Totals {
        pitch_deg: slope.pitch.degrees(),
        gross_area_m2: gross,
        plan_area_m2: gross * slope.pitch.radians().cos(),
        covered_area_m2: layout.covered.area_m2(),
        gauge_m: layout.gauge().m(),
        headlap_m: layout.headlap_laid().m(),
        pitch_least_deg: layout.pitch_least.as_ref().map(|figure| figure.value.degrees()),
        courses: u32::try_from(layout.courses.len()).unwrap_or(u32::MAX),
        positions_whole: positions().map(|positions| positions.whole).sum(),
        positions_cut: positions().map(|positions| positions.cut).sum(),
        whole: units.whole,
        cut: units.cut,
        tile_and_half: units.tile_and_half,
        under_eaves: units.under_eaves,
        top: units.top,
        narrow: units.narrow,
        unit_mass_kg: taken.unit_mass_kg(),
        batten_m: taken.battens.length_m,
        batten_crossings: taken.battens.crossings,
        counter_batten_m: taken.battens.counter_length_m,
        underlay_area_m2: taken.underlay.as_ref().map(|underlay| underlay.net_area_m2),
        underlay_m: taken.underlay.as_ref().map(|underlay| underlay.length_m),
        rolls: taken.underlay.as_ref().map(|underlay| underlay.rolls),
        unit_nails: taken.fixings.nails,
        clips: taken.fixings.clips,
        edges_m,
    }
}
