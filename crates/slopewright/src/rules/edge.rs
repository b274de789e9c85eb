//! Defaults along the edges of a slope: overhangs, gaps, covers and channels.

use super::steps::Steps;
use super::{Rules, table};
use crate::catalogue::Figure;
use crate::error::Fault;
use crate::quantity::{Length, LengthIn as _, Limit, Pitch};

const ALONG_EDGES: Limit =
    Limit { name: "edge", label: "a length at an edge", unit: "m", least: 0.0, most: 2.0 };

macro_rules! edge_figures {
    ($($(#[doc = $doc:literal])+ $field:ident $key:literal;)+) => {
        /// Lengths along the edges of a slope. Each is a default that the user's own figure replaces.
        #[derive(Debug, Clone)]
        pub struct Edges {
            $($(#[doc = $doc])+ pub $field: Figure<Length>,)+
            valley_channel: Steps<Figure<Length>>,
        }

        pub(super) fn read(faults: &mut Vec<Fault>) -> Option<Edges> {
            let rows = table::read(include_str!("../../data/rules/edges.toml"), "edges", &[], faults, |entry| {
                let valley_channel = Steps::read(entry, |step| {
                    let channel = step.length("valley-channel", ALONG_EDGES);
                    step.needed("valley-channel", channel)
                });
                $(
                    let found = entry.length($key, ALONG_EDGES);
                    let $field = entry.needed($key, found);
                )+
                Some(Edges { valley_channel, $($field: $field?,)+ })
            });
            rows.into_iter().next()
        }
    };
}

edge_figures! {
    /// How far the first course reaches beyond the fascia, if half the gutter is not less.
    eaves_overhang "eaves-overhang";
    /// The least overhang at a verge.
    verge_overhang_least "verge-overhang-least";
    /// The largest overhang at a verge.
    verge_overhang_most "verge-overhang-most";
    /// Width of the undercloak.
    undercloak_width "undercloak-width";
    /// The top of the top batten below the ridge line, nib left out: the least.
    ridge_gap_least "ridge-gap-least";
    /// The same: the largest.
    ridge_gap_most "ridge-gap-most";
    /// How far the ridge units cover the top course.
    ridge_cover "ridge-cover";
    /// Length of a ridge unit.
    ridge_unit_length "ridge-unit-length";
    /// Soakers on each side of a mitred hip.
    hip_soaker "hip-soaker";
    /// Side lap of hip tiles.
    hip_side_lap "hip-side-lap";
    /// The least that battens stop short of the wall at a secret gutter.
    secret_gutter_least "secret-gutter-least";
    /// The largest.
    secret_gutter_most "secret-gutter-most";
    /// The least overhang over a gutter.
    gutter_overhang_least "gutter-overhang-least";
    /// Gap between the covering and a wall.
    abutment_clearance "abutment-clearance";
    /// Gap between the covering and the frame of an opening.
    opening_clearance "opening-clearance";
}

impl Edges {
    /// The overhang at the eaves: the default, or half the gutter if that is less.
    #[must_use]
    pub fn eaves_overhang_over(&self, gutter_width: Length) -> Figure<Length> {
        let half = gutter_width / 2.0;
        if half.m() < self.eaves_overhang.value.m() {
            self.eaves_overhang.clone().map(|_| half)
        } else {
            self.eaves_overhang.clone()
        }
    }

    /// The open width of a valley, both sides together, by the flatter pitch.
    #[must_use]
    pub fn valley_channel(&self, pitch: Pitch) -> Option<&Figure<Length>> {
        self.valley_channel.at(pitch)
    }

    /// What each side of a valley gives to the open width.
    #[must_use]
    pub fn valley_half_channel(&self, pitch: Pitch) -> Option<Figure<Length>> {
        self.valley_channel(pitch).map(|figure| figure.clone().map(|width| width / 2.0))
    }
}

impl Rules {
    /// Defaults along the edges.
    #[must_use]
    pub const fn edges(&self) -> Option<&Edges> {
        self.edges.as_ref()
    }
}
