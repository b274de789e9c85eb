//! What edges are made with where the survey does not say: widths, laps, spacings, strips.

use super::{Rules, table};
use crate::catalogue::Figure;
use crate::error::Fault;
use crate::quantity::{Length, Limit, Pitch};

const ALONG_EDGES: Limit =
    Limit { name: "edgework", label: "a length at an edge", unit: "m", least: 0.005, most: 6.0 };

macro_rules! edgework_figures {
    ($($(#[doc = $doc:literal])+ $field:ident $key:literal;)+) => {
        /// What edges are made with by default. Each is replaced by the user's own figure.
        #[derive(Debug, Clone, PartialEq)]
        pub struct EdgeworkRule {
            /// The ridge unit, by its key; hips take it too where they take no hip unit of their own.
            pub ridge_unit: String,
            /// The hip unit of the families below, by its key.
            pub hip_unit: String,
            /// The families whose hips take it.
            pub hip_unit_families: Vec<String>,
            /// The valley unit, by its key.
            pub valley_unit: String,
            /// The verge unit, by its key.
            pub verge_unit: String,
            /// Parts of sand to one of cement in bedding mortar.
            pub mortar_sand_parts: Figure<u32>,
            /// The largest difference of the two pitches at a hip of bonnet or arris tiles.
            pub hip_pitch_difference_most: Figure<Pitch>,
            /// The code of lead in open valleys.
            pub valley_code: Figure<u32>,
            $($(#[doc = $doc])+ pub $field: Figure<Length>,)+
        }

        pub(super) fn read(faults: &mut Vec<Fault>) -> Option<EdgeworkRule> {
            let text = include_str!("../../data/rules/edgework.toml");
            let rows = table::read(text, "edgework", &[], faults, |entry| {
                let mut key = |field| {
                    let found = entry.text(field);
                    entry.needed(field, found)
                };
                let (ridge_unit, hip_unit) = (key("ridge-unit"), key("hip-unit"));
                let (valley_unit, verge_unit) = (key("valley-unit"), key("verge-unit"));
                let hip_unit_families = table::families_of(entry);
                let parts = entry.count("mortar-sand-parts");
                let mortar_sand_parts = entry.needed("mortar-sand-parts", parts);
                let difference = entry.pitch("hip-pitch-difference-most");
                let hip_pitch_difference_most = entry.needed("hip-pitch-difference-most", difference);
                let code = entry.count("valley-code");
                let valley_code = entry.needed("valley-code", code);
                $(
                    let found = entry.length($key, ALONG_EDGES);
                    let $field = entry.needed($key, found);
                )+
                Some(EdgeworkRule {
                    ridge_unit: ridge_unit?,
                    hip_unit: hip_unit?,
                    hip_unit_families,
                    valley_unit: valley_unit?,
                    verge_unit: verge_unit?,
                    mortar_sand_parts: mortar_sand_parts?,
                    hip_pitch_difference_most: hip_pitch_difference_most?,
                    valley_code: valley_code?,
                    $($field: $field?,)+
                })
            });
            rows.into_iter().next()
        }
    };
}

edgework_figures! {
    /// Width of the lead in an open valley.
    valley_width "valley-width";
    /// Height from the end of one piece of valley lead to that of the next over it.
    valley_lap_rise "valley-lap-rise";
    /// How far a flashing stands up a wall.
    flashing_upstand "flashing-upstand";
    /// Width of a step flashing over soakers.
    step_flashing_width "step-flashing-width";
    /// Width of a step and cover flashing in one piece.
    cover_flashing_width "cover-flashing-width";
    /// How far the flashing of a top abutment reaches down over the units.
    top_flashing_cover "top-flashing-cover";
    /// Height of a course of the wall, for the steps of a flashing.
    wall_course "wall-course";
    /// The widest spacing of the clips at the free edge of a flashing.
    clip_spacing_most "clip-spacing-most";
    /// Length of a strip of undercloak.
    undercloak_strip "undercloak-strip";
    /// Length of a support tray at the eaves.
    tray_length "tray-length";
    /// Lap of one tray over the next.
    tray_lap "tray-lap";
}

impl Rules {
    /// What edges are made with by default.
    #[must_use]
    pub const fn edgework(&self) -> Option<&EdgeworkRule> {
        self.edgework.as_ref()
    }
}
