//! Roofing materials take-off: what a roof needs, course by course, what the old units already cover, what to buy,
//! and why.
//!
//! The library is a row of rooms, each with one thing in and one thing out:
//!
//! | room | in | out |
//! |---|---|---|
//! | [`survey`] | a document, or builders in code | a checked [`survey::Roof`], or every fault at once |
//! | [`setout`] | a slope and the rules | a [`setout::Layout`]: gauge, courses, bond, batten lines |
//! | [`takeoff`] | a roof | a [`takeoff::TakeOff`]: units, battens, underlay, fixings, with working and findings |
//! | [`salvage`] | the needs of take-offs and what came off | who gets the old units, what is short, what is held back |
//! | [`order`] | what is short, and prices | an [`order::Order`]: packs, spare, money, masses |
//! | [`output`] | any of these | tables, CSV, Markdown, JSON |
//! | [`drawing`], [`page`] | any of these | SVG to scale, in layers; the job as one HTML file |
//!
//! Under them lie [`quantity`] (unit-safe lengths, areas, masses, money; all rounding), [`catalogue`] (formats) and
//! [`rules`] (published limits), and beside them [`reason`] (working and findings) and [`error`].
//!
//! ```
//! use slopewright::{SurveyDocument, TakeOff};
//! let survey = SurveyDocument::from_toml(r#"
//!     slopewright = 1
//!     name = "boat shed"
//!     covering.format = "interlocking-420x330"
//!     battens.rafter_spacing = "600 mm"
//!     underlay.format = "membrane-1x50"
//!     [[form]]
//!     name = "shed"
//!     form = "gable"
//!     length = "9 m"
//!     span = "5.4 m"
//!     pitch = "35 deg"
//! "#)?;
//! let take_off = TakeOff::of(&survey.check()?)?;
//! assert_eq!(take_off.slopes.len(), 2);
//! // Eaves to ridge 3.296 m, 2.936 m to divide at no more than 345 mm: nine spaces, ten courses.
//! assert_eq!(take_off.slopes[0].layout.courses.len(), 10);
//! for line in take_off.lines() {
//!     println!("{} {}: {}", line.slope, line.item, line.working);
//! }
//! # Ok::<(), slopewright::Error>(())
//! ```

pub mod batch;
pub mod catalogue;
pub mod city;
pub mod drawing;
pub mod error;
mod fault_list;
pub mod order;
pub mod origin;
pub mod output;
pub mod page;
pub mod quantity;
mod reader_words;
pub mod reason;
pub mod rules;
pub mod salvage;
pub mod setout;
pub mod stock;
pub mod survey;
pub mod takeoff;

pub use error::{Error, Fault, FaultKind, Result};
pub use survey::SurveyDocument;
pub use takeoff::TakeOff;

/// The version of this library.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// The examples of the README, run as tests.
#[cfg(doctest)]
#[doc = include_str!("../../../README.md")]
struct Readme;

/// The examples of the chapter on embedding, run as tests.
#[cfg(doctest)]
#[doc = include_str!("../../../docs/in-rust.md")]
struct InRust;
