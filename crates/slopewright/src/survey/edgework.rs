//! How the edges of a roof are made: ridge, hips, valleys, verges, eaves, walls, ventilation.
//!
//! Every field may be left out. What is then taken is named in the working: ridge tiles bedded in mortar, hip tiles one
//! to a course on plain tiles and ridge tiles on others, open lead valleys, verges on an undercloak, a tilting fillet.

use std::sync::Arc;

use super::entry::{Entry, LengthText, document};
use crate::catalogue::EdgeUnit;
use crate::quantity::Length;

document! {
    /// How the edges are made.
    pub struct EdgeworkDocument {
        /// Ridges.
        ridge: RidgeDocument,
        /// Hips.
        hip: HipDocument,
        /// Valleys.
        valley: ValleyDocument,
        /// Verges.
        verge: VergeDocument,
        /// Eaves.
        eaves: EavesDocument,
        /// Edges against walls.
        abutment: AbutmentDocument,
        /// Openings for air.
        ventilation: VentilationDocument,
    }
}

document! {
    /// How ridges are made.
    pub struct RidgeDocument {
        /// The key of the ridge unit in the catalogue; by default `ridge-450`.
        unit: String,
        /// `bedded` in mortar and fixed as well (the default), or `dry`.
        laying: String,
        /// How many fixings each unit takes; by default one at each end, shared with its neighbour.
        fixings_each: u32,
        /// The code of the lead saddles where ridges meet hips or valleys; by default the least of flashings.
        saddle_code: u32,
        /// The length of a saddle, if its lead is to be weighed.
        saddle_length: LengthText,
        /// The width of a saddle.
        saddle_width: LengthText,
    }
}

document! {
    /// How hips are made.
    pub struct HipDocument {
        /// `units` (the default), or `mitred` with soakers.
        make: String,
        /// The key of the hip unit; by default `bonnet-plain-tile` on plain tiles, the ridge unit on others.
        unit: String,
        /// `bedded` (the default) or `dry`.
        laying: String,
        /// How many fixings each unit takes.
        fixings_each: u32,
    }
}

document! {
    /// How valleys are made.
    pub struct ValleyDocument {
        /// `lead` (open, the default), `units` one to a course, or another `sheet`.
        make: String,
        /// The key of the valley unit.
        unit: String,
        /// The code of the lead.
        code: u32,
        /// The width of the lead or sheet.
        width: LengthText,
        /// The lap of one piece over the next, along the valley.
        lap: LengthText,
        /// The longest piece.
        piece: LengthText,
    }
}

document! {
    /// How verges are made.
    pub struct VergeDocument {
        /// `undercloak` (bedded, the default) or `units` one to a course.
        make: String,
        /// The key of the verge unit.
        unit: String,
    }
}

document! {
    /// How eaves are made.
    pub struct EavesDocument {
        /// What lifts the first course and carries the underlay: `fillet` (the default) or `tray`.
        support: String,
        /// Whether a comb closes the hollows under the first course; by default under single-lap tiles.
        comb: bool,
    }
}

document! {
    /// How edges against walls are made.
    pub struct AbutmentDocument {
        /// The code of the flashings.
        flashing_code: u32,
        /// The code of the soakers.
        soaker_code: u32,
        /// The width of the flashing of a side abutment.
        side_width: LengthText,
        /// The width of the flashing of a top abutment.
        top_width: LengthText,
        /// The height of a course of the wall, for the steps.
        wall_course: LengthText,
        /// The lengths of the rolls that lead can be bought in, for flashings, valleys and round openings alike; without them
        /// it goes by piece and mass.
        lead_rolls: Vec<Entry<LengthText>>,
    }
}

document! {
    /// Openings for air at eaves and ridge.
    pub struct VentilationDocument {
        /// `cold`: insulated at the ceiling, with an underlay of high vapour resistance; `warm`: none is counted.
        roof: String,
        /// The span of the roof; by default that of its slopes in plan.
        span: LengthText,
    }
}

/// What holds ridge and hip units down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum UnitLaying {
    /// Mortar, and fixings as well.
    #[default]
    Bedded,
    /// Fixings alone, over a roll or seal.
    Dry,
}

/// What hips are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum HipMake {
    /// Units.
    #[default]
    Units,
    /// The covering cut to the line, soakers under it.
    Mitred,
}

/// What valleys are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ValleyMake {
    /// Open lead.
    #[default]
    Lead,
    /// Valley units.
    Units,
    /// Another sheet.
    Sheet,
}

/// What verges are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum VergeMake {
    /// Units bedded on an undercloak.
    #[default]
    Undercloak,
    /// Verge units.
    Units,
}

/// What lifts the first course.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum EavesSupport {
    /// A tilting fillet.
    #[default]
    Fillet,
    /// Support trays.
    Tray,
}

/// The ridge as chosen.
#[derive(Debug, Clone, Default)]
pub struct RidgeChoice {
    /// The unit; the default where the survey names none.
    pub unit: Option<Arc<EdgeUnit>>,
    /// Whether the survey names it.
    pub is_stated: bool,
    /// What holds it.
    pub laying: UnitLaying,
    /// Fixings of each unit, if stated.
    pub fixings_each: Option<u32>,
    /// The code of lead saddles, if stated.
    pub saddle_code: Option<u32>,
    /// Length and width of a lead saddle, if both are stated.
    pub saddle_size: Option<(Length, Length)>,
}

/// The hips as chosen.
#[derive(Debug, Clone, Default)]
pub struct HipChoice {
    /// What they are made of.
    pub make: HipMake,
    /// The unit, if stated.
    pub unit: Option<Arc<EdgeUnit>>,
    /// The hip unit of coverings that have one, by default.
    pub default_unit: Option<Arc<EdgeUnit>>,
    /// What holds it.
    pub laying: UnitLaying,
    /// Fixings of each unit, if stated.
    pub fixings_each: Option<u32>,
}

/// The valleys as chosen.
#[derive(Debug, Clone, Default)]
pub struct ValleyChoice {
    /// What they are made of.
    pub make: ValleyMake,
    /// The unit; the default where the survey names none.
    pub unit: Option<Arc<EdgeUnit>>,
    /// The code of the lead, if stated.
    pub code: Option<u32>,
    /// The width of the sheet, if stated.
    pub width: Option<Length>,
    /// The lap, if stated.
    pub lap: Option<Length>,
    /// The longest piece, if stated.
    pub piece: Option<Length>,
}

/// The verges as chosen.
#[derive(Debug, Clone, Default)]
pub struct VergeChoice {
    /// What they are made of.
    pub make: VergeMake,
    /// The unit; the default where the survey names none.
    pub unit: Option<Arc<EdgeUnit>>,
}

/// The eaves as chosen.
#[derive(Debug, Clone, Default)]
pub struct EavesChoice {
    /// What lifts the first course.
    pub support: EavesSupport,
    /// Whether a comb is wanted, if stated.
    pub comb: Option<bool>,
}

/// The edges against walls as chosen.
#[derive(Debug, Clone, Default)]
pub struct AbutmentChoice {
    /// The code of the flashings, if stated.
    pub flashing_code: Option<u32>,
    /// The code of the soakers, if stated.
    pub soaker_code: Option<u32>,
    /// The width of side flashings, if stated.
    pub side_width: Option<Length>,
    /// The width of top flashings, if stated.
    pub top_width: Option<Length>,
    /// The height of a course of the wall, if stated.
    pub wall_course: Option<Length>,
    /// The lengths of rolls of lead, if stated.
    pub lead_rolls: Vec<Length>,
}

/// The ventilation as chosen.
#[derive(Debug, Clone, Copy, Default)]
pub struct VentilationChoice {
    /// Whether the roof is cold, if stated.
    pub is_cold: Option<bool>,
    /// The span, if stated.
    pub span: Option<Length>,
}

/// How the edges of a roof are made.
#[derive(Debug, Clone, Default)]
pub struct EdgeworkChoice {
    /// Ridges.
    pub ridge: RidgeChoice,
    /// Hips.
    pub hip: HipChoice,
    /// Valleys.
    pub valley: ValleyChoice,
    /// Verges.
    pub verge: VergeChoice,
    /// Eaves.
    pub eaves: EavesChoice,
    /// Edges against walls.
    pub abutment: AbutmentChoice,
    /// Openings for air.
    pub ventilation: VentilationChoice,
}
