//! How far the flashing of a pipe goes on past it, by pitch.

use super::steps::Steps;
use super::{Rules, table};
use crate::catalogue::Figure;
use crate::error::Fault;
use crate::quantity::{Length, Pitch, limit};

/// The laps of a lead slate, or of another one-piece flashing, past a pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct PipeLaps {
    /// Past the pipe on each side.
    pub side: Figure<Length>,
    /// Past the pipe above and below.
    pub head: Figure<Length>,
    /// Up the pipe.
    pub sleeve: Figure<Length>,
}

#[derive(Debug, Clone)]
pub(super) struct PipeTable {
    laps: Steps<(Figure<Length>, Figure<Length>)>,
    sleeve: Figure<Length>,
}

impl Rules {
    /// The laps of a pipe's flashing at a pitch; `None` below the flattest that is known.
    #[must_use]
    pub fn pipe_laps(&self, pitch: Pitch) -> Option<PipeLaps> {
        let table = self.pipes.as_ref()?;
        let (side, head) = table.laps.at(pitch)?.clone();
        Some(PipeLaps { side, head, sleeve: table.sleeve.clone() })
    }
}

pub(super) fn read(faults: &mut Vec<Fault>) -> Option<PipeTable> {
    let text = include_str!("../../data/rules/pipes.toml");
    let rows = table::read(text, "pipe-slate", &[], faults, |entry| {
        let laps = Steps::read(entry, |step| {
            let side = step.length("side-lap", limit::headlap);
            let head = step.length("head-lap", limit::headlap);
            let side = step.needed("side-lap", side);
            Some((side?, step.needed("head-lap", head)?))
        });
        let sleeve = entry.length("sleeve", limit::headlap);
        Some(PipeTable { laps, sleeve: entry.needed("sleeve", sleeve)? })
    });
    rows.into_iter().next()
}
