//! What to buy: packs, spare, prices, masses, the risk of running out, and what the new covering does to the load.
//!
//! An order is made of what is [`Wanted`] (the shortage after salvage, or any other line of a take-off), a [`PriceList`] and
//! [`Terms`]; the last two make up an [`OrderDocument`]. Amounts are decimals and are rounded only where and how the terms say.

mod cover_mass;
mod csv;
mod document;
mod findings;
mod lines;
mod load;
mod materials;
mod prices;
mod ranged;
mod second_delivery;
mod spare;
mod terms;
mod total;

pub use cover_mass::{ChangeThreshold, CoverChange, cover_change};
pub use document::{ItemChoices, OrderDocument};
pub use lines::{Order, OrderLine, order, order_range};
pub use load::{SlopeLoad, loads};
pub use materials::materials;
pub use prices::{PriceList, PriceRow};
pub use ranged::{ranged, wanted_range};
/// The decimal number of prices, amounts and masses.
pub use rust_decimal::Decimal;
pub use second_delivery::{DeliveryChoice, SecondDelivery};
pub use spare::{Spare, chance_short};
pub use terms::{CountOn, ItemSpare, Terms, Wanted};
pub use total::{RoundingPlace, TaxRow, Total};
