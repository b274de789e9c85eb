//! Old units that are kept because they are sound: counting them, and sharing them out.
//!
//! [`Salvage`] is the room's document and [`Salvaged`] its result. Step by step: [`count()`] turns heaps into what can be relied on of each unit, [`share()`] sets that against the [`Need`]s of the roof,
//! and [`alternatives`] shows the ways out if what is short cannot be bought. A [`Tally`] keeps the count through the
//! days of stripping.
//!
//! ```
//! use slopewright::salvage::{
//!     Basis, Counting, Heap, Need, Portion, Reckoning, Sharing, UnitKey, UnitKind, count, share,
//! };
//! let tile = UnitKey::new("plain-265x165", UnitKind::Whole);
//! let heap = Heap {
//!     label: "behind the barn".into(),
//!     unit: tile.clone(),
//!     counted: Counting::Sample { lot: 1200, inspected: 80, sound: 70 },
//! };
//! let reckoning = Reckoning {
//!     basis: Basis::Sure { sureness: 0.95 },
//!     lay_doubtful: false,
//!     handling_loss: Portion::NONE,
//!     refixing_loss: Portion::NONE,
//! };
//! let supplies = count(&[heap], reckoning)?;
//! let needs = [Need::new("north", tile.clone(), 700), Need::new("south", tile, 500)];
//! let shared = share(&supplies, &needs, &Sharing::default())?;
//! assert_eq!(shared.needs[0].met, 700);
//! assert_eq!(shared.needs[1].bought, 500 - 260);
//! # Ok::<(), slopewright::Error>(())
//! ```

pub mod chance;
mod count;
mod document;
mod findings;
mod limits;
mod look_again;
mod lot;
mod needs;
mod portion;
mod portioning;
mod reading;
mod reserve;
mod sharing;
mod shortfall;
mod should_come_off;
mod sizes;
mod tally;
mod unit;

pub use count::{Basis, Counting, Grade, Heap, Reckoning, Supply, count};
pub use document::{Salvage, Salvaged};
pub use limits::{MOST_ROWS, MOST_UNITS};
pub(crate) use limits::{count as check_count, rows as check_rows, sureness as check_sureness};
pub use look_again::LookAgain;
pub use lot::Inspection;
pub(crate) use needs::{each_roof_once, unit_mass_kg};
pub use portion::Portion;
pub use reading::DOCUMENT_VERSION;
pub(crate) use reading::{Fields, versioned, write_json, write_toml};
pub use reserve::{Hold, Reserve, Turn};
pub use sharing::{CutDown, Held, Manner, MetNeed, Rank, Shared, SharedSupply, Sharing, Taken, share};
pub use shortfall::{Alternative, Shortage, UnitCount, alternatives};
pub use should_come_off::{CountCheck, OldCovering};
pub use sizes::{Fit, FormatSize, Substitute};
pub use tally::{DayCount, Entry, Recovered, Tally, append_line};
pub use unit::{Need, UnitKey, UnitKind};
