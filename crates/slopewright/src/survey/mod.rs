//! The survey: what the roof is, as measured.
//!
//! A [`SurveyDocument`] is read from TOML or JSON, or made in code. Its check gives a [`Roof`], or every fault at
//! once, each with its place:
//!
//! ```
//! use slopewright::survey::SurveyDocument;
//! let survey = SurveyDocument::from_toml(r#"
//!     slopewright = 1
//!     covering.format = "plain-tile-265x165"
//!     [[slope]]
//!     name = "north"
//!     shape = "rectangle"
//!     pitch = "45 deg"
//!     eaves = "8 m"
//!     rafter = "5 m"
//!     opening = [{ from_left = "7.2 m", from_eaves = "1 m", width = "1.1 m", height = "1.4 m" }]
//! "#)?;
//! let error = survey.check().unwrap_err();
//! assert!(error.to_string().starts_with("slope 'north', opening 1: lies 0.30 m outside the right verge"));
//! # Ok::<(), slopewright::Error>(())
//! ```

mod build;
mod check;
mod check_choices;
mod check_edges;
mod check_edgework;
mod check_opening_terms;
mod check_openings;
mod document;
mod edgework;
mod entry;
mod form;
mod joint;
mod measures;
mod opening;
pub mod outline;
mod reading;
mod roof;
mod shape;
pub mod tables;
mod tape;
mod terms;
mod tolerance;
pub(crate) mod upgrade;

pub use document::{
    BattensDocument, CoveringDocument, DOCUMENT_VERSION, EdgeDocument, FixingsDocument, FlashingDocument,
    FormDocument, JointDocument, OldCoveringDocument, OpeningDocument, SlopeDetailDocument, SlopeDocument,
    SurveyDocument, TimbersDocument, UnderlayDocument,
};
pub use edgework::{
    AbutmentChoice, AbutmentDocument, EavesChoice, EavesDocument, EavesSupport, EdgeworkChoice,
    EdgeworkDocument, HipChoice, HipDocument, HipMake, RidgeChoice, RidgeDocument, UnitLaying, ValleyChoice,
    ValleyDocument, ValleyMake, VentilationChoice, VentilationDocument, VergeChoice, VergeDocument,
    VergeMake,
};
pub use entry::{CoverMassText, Entry, LengthText, MassText, PitchText};
pub(crate) use joint::is_shared;
pub use joint::{EdgeRef, Joint};
pub use measures::Measures;
pub use opening::{Clearance, Clearances, Flashing, Flue, Moves, Opening, OpeningKind, rows_of};
pub(crate) use reading::shown;
pub use roof::{
    BattenBars, BattenChoice, CutPolicy, Edge, EdgeRole, FixingChoice, Laying, OldCovering, Roof, Slope,
    Start, TimberChoice, UnderlayChoice,
};
pub use tape::{Tape, TapeMeasure};
pub use terms::Terms;
