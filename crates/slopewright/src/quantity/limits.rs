//! The limits of every input, as one table. Errors and documentation quote it.

use crate::error::{Fault, FaultKind, Result};

/// The range of one kind of input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// The name in this table.
    pub name: &'static str,
    /// What it is, for people.
    pub label: &'static str,
    /// The unit of the two bounds.
    pub unit: &'static str,
    /// The least value allowed.
    pub least: f64,
    /// The greatest value allowed.
    pub most: f64,
}

macro_rules! limits {
    ($($name:ident: $label:literal, $unit:literal, $least:literal to $most:literal;)+) => {
        /// Every limit there is.
        pub const LIMITS: &[Limit] = &[$(Limit {
            name: stringify!($name), label: $label, unit: $unit, least: $least, most: $most,
        },)+];

        /// One constant for each row of the table.
        pub mod limit {
            use super::Limit;
            $(
                #[doc = concat!($label, ", in ", $unit, ".")]
                #[allow(non_upper_case_globals, reason = "the constants carry the names of the table's rows")]
                pub const $name: Limit = Limit {
                    name: stringify!($name), label: $label, unit: $unit, least: $least, most: $most,
                };
            )+
        }
    };
}

limits! {
    slope_length: "a length of a slope", "m", 0.1 to 500.0;
    pitch: "the pitch", "degrees", 1.0 to 89.0;
    opening_size: "a side of an opening", "m", 0.02 to 50.0;
    overhang: "an overhang or a clearance", "m", 0.0 to 2.0;
    unit_length: "the length of a unit", "m", 0.05 to 3.0;
    unit_width: "the width of a unit", "m", 0.03 to 3.0;
    coordinate: "a place on the slope", "m", -500.0 to 500.0;
    joint: "the joint between units", "m", 0.0 to 0.05;
    slope_offset: "a distance along the eaves", "m", 0.0 to 500.0;
    tape_tolerance: "the tolerance of the tape", "m", 0.0 to 0.2;
    first_rafter: "the place of the first rafter", "m", 0.0 to 3.0;
    stock_length: "a length that can be bought", "m", 0.3 to 20.0;
    stock_lengths: "the number of lengths that can be bought", "count", 0.0 to 20.0;
    kerf: "the saw kerf", "m", 0.0 to 0.02;
    underlay_lap: "a lap of the underlay", "m", 0.0 to 2.0;
    cover_mass: "the mass of a covering", "kg/m2", 0.1 to 1000.0;
    nails_each: "the nails in a unit", "count", 0.0 to 10.0;
    every_course: "the courses from one fixed course to the next", "count", 1.0 to 100.0;
    fixings_each: "the fixings of a ridge or hip unit", "count", 0.0 to 10.0;
    sheet_width: "the width of a sheet", "m", 0.05 to 3.0;
    wall_course: "a course of a wall", "m", 0.03 to 1.0;
    days_open: "the days that an underlay lies open", "count", 0.0 to 3650.0;
    headlap: "the headlap", "m", 0.0 to 1.0;
    gauge: "the gauge", "m", 0.01 to 3.0;
    rafter_spacing: "the spacing of the rafters", "m", 0.1 to 3.0;
    unit_mass: "the mass of a unit", "kg", 0.001 to 200.0;
    roll_length: "the length of a roll", "m", 1.0 to 500.0;
    roll_width: "the width of a roll", "m", 0.2 to 10.0;
    slopes: "the number of slopes", "count", 1.0 to 1000.0;
    courses: "the number of courses of a roof", "count", 0.0 to 100_000.0;
    openings: "the number of openings in a slope", "count", 0.0 to 200.0;
    joints: "the number of joints", "count", 0.0 to 5000.0;
    may_move: "how far an opening may be moved", "m", 0.0 to 20.0;
    move_step: "the step by which an opening is moved", "m", 0.001 to 1.0;
    flashing_width: "the width of a flashing", "m", 0.05 to 3.0;
    timber_side: "a side of a timber's section", "m", 0.01 to 1.0;
    hanger_nails: "the nails in a hanger", "count", 1.0 to 200.0;
    corners: "the number of corners of an outline", "count", 3.0 to 1000.0;
    plan_corners: "the number of corners of a plan that is roofed", "count", 3.0 to 100.0;
    table_rows: "the number of rows of a table", "count", 0.0 to 20_000.0;
    opening_corners: "the number of corners of all openings of a slope", "count", 0.0 to 4000.0;
    list_rows: "the number of rows of a list of counts, needs or prices", "count", 0.0 to 10_000.0;
    units_counted: "a count of units", "count", 0.0 to 1_000_000_000.0;
    sheet_columns: "the number of columns of a sheet", "count", 0.0 to 256.0;
    document_size: "the size of a document", "bytes", 0.0 to 4_000_000.0;
    workbook_unpacked: "the size of a workbook once unpacked", "bytes", 0.0 to 64_000_000.0;
    tally_size: "the size of a tally", "bytes", 0.0 to 20_000_000.0;
    city_model_size: "the size of a city model", "bytes", 0.0 to 100_000_000.0;
    piece_length: "the length of a piece", "m", 0.001 to 50.0;
    pieces: "the number of pieces", "pieces", 1.0 to 20_000.0;
    bar_length: "a stock length", "m", 0.01 to 50.0;
    bar_price: "the price of a bar", "of any currency", 0.0 to 1_000_000.0;
    item_price: "the price of an item", "of any currency", 0.0 to 1_000_000_000.0;
    price_decimals: "the decimals of a price", "count", 0.0 to 6.0;
    item_mass: "the mass of an item in a price list", "kg", 0.0 to 100_000.0;
    along_row: "a place along a row", "m", -500.0 to 500.0;
    rafters: "the number of rafters under the rows", "count", 1.0 to 2000.0;
    stagger_rows: "the rows that a stagger counts over", "count", 1.0 to 1000.0;
    batten_side: "a side of a batten", "m", 0.005 to 0.3;
    batten_stock: "a stock length", "m", 0.3 to 20.0;
    nail_length: "the length of a nail", "m", 0.005 to 0.5;
    nail_shank: "the shank of a nail", "m", 0.0005 to 0.02;
    side_play: "a joint or a side play", "m", 0.0 to 0.1;
    small_length: "a small length", "m", 0.0 to 0.1;
    mass_per_area: "the mass per area", "kg/m2", 0.01 to 1000.0;
    threads: "the number of threads", "count", 1.0 to 1024.0;
    faults: "the number of faults that are listed", "count", 0.0 to 1000.0;
    name_length: "the length of a name", "characters", 1.0 to 200.0;
}

impl Limit {
    /// Whether the value, in the table's unit, lies inside the limits. NaN never does.
    #[must_use]
    pub const fn holds(&self, value: f64) -> bool {
        value >= self.least && value <= self.most
    }

    /// Whether a count or a size in bytes lies inside the limits.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "far above every limit the last digits of a count do not matter"
    )]
    pub const fn holds_count(&self, count: usize) -> bool {
        self.holds(count as f64)
    }

    /// Whether a count is over the upper limit.
    #[must_use]
    pub const fn is_exceeded_by(&self, count: usize) -> bool {
        !Self { least: 0.0, ..*self }.holds_count(count)
    }

    /// `Ok(())` if a text or file of so many bytes may be read.
    ///
    /// # Errors
    /// If it is too large; what it is called comes after "is too large".
    pub fn check_size(&self, bytes: usize, kind: FaultKind, called: &str) -> Result<()> {
        if self.holds_count(bytes) {
            return Ok(());
        }
        let fault = Fault::new(kind, format!("is too large {called}"));
        Err(fault.given(format!("{bytes} bytes")).allowed(self.range()).into())
    }

    /// `0.1 to 500 m`.
    #[must_use]
    pub fn range(&self) -> String {
        format!("{} to {} {}", self.least, self.most, self.unit)
    }
}
