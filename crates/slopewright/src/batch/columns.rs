//! The columns of totals: what a wide table has, and what a long one has line by line.

use super::totals::Totals;
use crate::survey::EdgeRole;
use crate::takeoff::Part;

/// A value of a column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// A whole number.
    Count(Option<u32>),
    /// A figure in the unit that the column's name ends with.
    Figure(Option<f64>),
}

/// One column of totals.
#[derive(Debug, Clone, Copy)]
pub struct TotalColumn {
    /// The name, with the unit at its end.
    pub name: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// In a long table: the part of the roof and the item; `None` where it is no line.
    pub line: Option<(Part, &'static str)>,
    /// Whether only a whole take-off has it.
    pub needs_whole: bool,
    /// Its value.
    pub value: fn(&Totals) -> Value,
}

impl TotalColumn {
    /// Whether its values are whole numbers.
    #[must_use]
    pub fn is_count(&self) -> bool {
        matches!((self.value)(&Totals::default()), Value::Count(_))
    }

    const fn new(name: &'static str, meaning: &'static str, value: fn(&Totals) -> Value) -> Self {
        Self { name, meaning, line: None, needs_whole: false, value }
    }

    const fn line(mut self, part: Part, item: &'static str) -> Self {
        self.line = Some((part, item));
        self
    }

    const fn of_whole(mut self) -> Self {
        self.needs_whole = true;
        self
    }
}

macro_rules! figure {
    ($name:literal, $meaning:literal, $value:expr) => {
        TotalColumn::new($name, $meaning, |totals| {
            let value: fn(&Totals) -> Option<f64> = $value;
            Value::Figure(value(totals))
        })
    };
}

macro_rules! count {
    ($name:literal, $meaning:literal, $value:expr) => {
        TotalColumn::new($name, $meaning, |totals| {
            let value: fn(&Totals) -> Option<u32> = $value;
            Value::Count(value(totals))
        })
    };
}

/// Every column of totals, in order.
pub const TOTALS: &[TotalColumn] = &[
    figure!("pitch_deg", "pitch", |t| Some(t.pitch_deg)),
    figure!("gross_area_m2", "area of the outline on the slope, openings not deducted", |t| {
        Some(t.gross_area_m2)
    }),
    figure!("plan_area_m2", "the same in plan", |t| Some(t.plan_area_m2)),
    figure!("covered_area_m2", "area covered: with overhangs and clearances, less openings", |t| {
        Some(t.covered_area_m2)
    })
    .line(Part::Covering, "area covered"),
    figure!("gauge_mm", "gauge", |t| Some(t.gauge_m * 1000.0)),
    figure!("headlap_mm", "headlap that the gauge leaves", |t| Some(t.headlap_m * 1000.0)),
    figure!("pitch_least_deg", "least pitch for the covering", |t| t.pitch_least_deg),
    count!("course_count", "courses, those of short units included", |t| Some(t.courses)),
    count!("positions_whole_count", "positions that take a whole unit", |t| Some(t.positions_whole)),
    count!("positions_cut_count", "positions that take a cut unit", |t| Some(t.positions_cut)),
    count!("whole_count", "whole units laid", |t| Some(t.whole)).line(Part::Covering, "whole units"),
    count!("cut_count", "cut units laid", |t| Some(t.cut)).line(Part::Covering, "units to be cut"),
    count!("tile_and_half_count", "units of one and a half laid", |t| Some(t.tile_and_half))
        .line(Part::Covering, "tile-and-a-half units"),
    count!("under_eaves_count", "units under the eaves course", |t| Some(t.under_eaves))
        .line(Part::Covering, "under-eaves units"),
    count!("top_count", "units of the top course", |t| Some(t.top)).line(Part::Covering, "top units"),
    count!("narrow_count", "cuts under the least width, laid all the same", |t| Some(t.narrow)),
    figure!("unit_mass_kg", "mass of all units as taken from the stack", |t| t.unit_mass_kg),
    figure!("batten_m", "net length of the battens", |t| Some(t.batten_m))
        .line(Part::Battens, "battens, net")
        .of_whole(),
    count!("batten_nail_count", "crossings of battens and rafters, one nail each", |t| t.batten_crossings)
        .line(Part::Fixings, "batten nails")
        .of_whole(),
    figure!("counter_batten_m", "net length of the counter-battens", |t| t.counter_batten_m)
        .line(Part::Battens, "counter-battens")
        .of_whole(),
    figure!("underlay_area_m2", "area underlaid, laps not counted twice", |t| t.underlay_area_m2)
        .line(Part::Underlay, "area underlaid")
        .of_whole(),
    figure!("underlay_m", "length of underlay cut from rolls, end laps included", |t| t.underlay_m)
        .line(Part::Underlay, "underlay")
        .of_whole(),
    count!("roll_count", "rolls of underlay, if the slope stood alone", |t| t.rolls)
        .line(Part::Underlay, "rolls of underlay")
        .of_whole(),
    count!("unit_nail_count", "nails in the units", |t| Some(t.unit_nails))
        .line(Part::Fixings, "unit nails")
        .of_whole(),
    count!("clip_count", "clips on the units", |t| Some(t.clips)).line(Part::Fixings, "clips").of_whole(),
    figure!("eaves_m", "true length of eaves", |t| Some(t.edge_m(EdgeRole::Eaves)))
        .line(Part::Eaves, "eaves")
        .of_whole(),
    figure!("ridge_m", "true length of ridges", |t| Some(t.edge_m(EdgeRole::Ridge)))
        .line(Part::Ridge, "ridge")
        .of_whole(),
    figure!("verge_m", "true length of verges", |t| Some(t.edge_m(EdgeRole::Verge)))
        .line(Part::Verges, "verges")
        .of_whole(),
    figure!("hip_m", "true length of hips", |t| Some(t.edge_m(EdgeRole::Hip)))
        .line(Part::Hips, "hips")
        .of_whole(),
    figure!("valley_m", "true length of valleys", |t| Some(t.edge_m(EdgeRole::Valley)))
        .line(Part::Valleys, "valleys")
        .of_whole(),
    figure!("change_of_pitch_m", "true length of changes of pitch", |t| {
        Some(t.edge_m(EdgeRole::ChangeOfPitch))
    })
    .line(Part::Abutments, "changes of pitch")
    .of_whole(),
    figure!("side_abutment_m", "true length of side abutments", |t| Some(t.edge_m(EdgeRole::SideAbutment)))
        .line(Part::Abutments, "side abutments")
        .of_whole(),
    figure!("top_abutment_m", "true length of top abutments", |t| Some(t.edge_m(EdgeRole::TopAbutment)))
        .line(Part::Abutments, "top abutments")
        .of_whole(),
];
