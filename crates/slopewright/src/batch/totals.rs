//! What one slope of a batch comes to.

use crate::survey::EdgeRole;

/// The totals of one slope, in numbers alone. Lengths are in metres, areas in square metres, angles in degrees.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Totals {
    /// The pitch.
    pub pitch_deg: f64,
    /// The area of the outline on the slope, openings not deducted.
    pub gross_area_m2: f64,
    /// The same in plan.
    pub plan_area_m2: f64,
    /// The area that is covered.
    pub covered_area_m2: f64,
    /// The gauge.
    pub gauge_m: f64,
    /// The headlap that it leaves.
    pub headlap_m: f64,
    /// The least pitch for the covering, if a rule or the format gives one.
    pub pitch_least_deg: Option<f64>,
    /// Courses, those of short units included.
    pub courses: u32,
    /// Positions that take a whole unit.
    pub positions_whole: u32,
    /// Positions that take a cut unit.
    pub positions_cut: u32,
    /// Whole units of full length.
    pub whole: u32,
    /// Cut units of full length.
    pub cut: u32,
    /// Units of one and a half.
    pub tile_and_half: u32,
    /// Units under the eaves course.
    pub under_eaves: u32,
    /// Units of the top course.
    pub top: u32,
    /// Cuts narrower than the least width that are laid all the same.
    pub narrow: u32,
    /// The mass of all units as they are taken from the stack, in kilograms, if it is known.
    pub unit_mass_kg: Option<f64>,
    /// Net length of the battens.
    pub batten_m: f64,
    /// Crossings of rafters, if their spacing is stated.
    pub batten_crossings: Option<u32>,
    /// Net length of the counter-battens, if they are wanted.
    pub counter_batten_m: Option<f64>,
    /// The area underlaid, laps not counted twice, if an underlay is stated.
    pub underlay_area_m2: Option<f64>,
    /// The length of underlay to be cut from rolls.
    pub underlay_m: Option<f64>,
    /// Rolls of underlay, if the slope stood alone.
    pub rolls: Option<u32>,
    /// Nails in the units.
    pub unit_nails: u32,
    /// Clips on the units.
    pub clips: u32,
    /// The true length of the slope's own edges by role, in the order of [`EdgeRole::ALL`]. A joint stands in the rows of
    /// both its slopes.
    pub edges_m: [f64; EdgeRole::ALL.len()],
}

impl Totals {
    /// The length of the edges of one role.
    #[must_use]
    pub fn edge_m(&self, role: EdgeRole) -> f64 {
        let at = EdgeRole::ALL.iter().position(|other| *other == role);
        at.and_then(|at| self.edges_m.get(at)).copied().unwrap_or(0.0)
    }
}
