//! Lengths, areas, angles, masses, counts and money, and the one home of rounding.
//!
//! Quantities are [`uom`] types, so that adding a length to an area does not compile. Nobody has to know `uom`
//! to use them: [`mm`], [`m`], [`inch`], [`ft`], [`m2`], [`kg`] make them, and the getters of [`LengthIn`],
//! [`AreaIn`], [`MassIn`] and [`CoverMassIn`] read them back in a named unit.
//!
//! ```
//! use slopewright::quantity::{AreaIn, m, metres, mm};
//! let rafter = m(5.05);
//! let gauge = mm(100.0);
//! assert_eq!(metres(rafter + gauge), "5.15 m");
//! assert!(((rafter * m(2.0)).m2() - 10.1).abs() < 1e-12);
//! ```

mod limits;
mod money;
mod pitch;
mod read;
mod rounding;
mod show;
mod units;

pub use limits::{LIMITS, Limit, limit};
pub use money::{Currency, Money, MoneyRounding};
pub use pitch::Pitch;
pub use read::{read_area, read_cover_mass, read_length, read_mass, read_pitch};
pub use rounding::{SPACE_TOLERANCE_M, packs_for, spaces, whole_down, whole_up};
pub(crate) use rounding::{nearest_whole, whole_below};
pub use show::{Shown, feet_inches, figure, metres, millimetres};
pub use units::{
    Area, AreaIn, CoverMass, CoverMassIn, Length, LengthIn, Mass, MassIn, ft, inch, kg, kg_per_m2, lb, m, m2,
    mm,
};
/// The units library behind the quantities; its version is part of this library's interface.
pub use uom;
