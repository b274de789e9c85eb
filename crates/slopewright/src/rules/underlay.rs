//! Laps of underlay by pitch and support, and what it is carried over or turned up.

use super::steps::Steps;
use super::{Rules, table};
use crate::catalogue::Figure;
use crate::error::Fault;
use crate::quantity::{Length, Pitch, limit};

/// How far runs of underlay lap and reach.
#[derive(Debug, Clone, PartialEq)]
pub struct UnderlayLaps {
    /// Each run over the one below it.
    pub horizontal: Figure<Length>,
    /// One end over the next, counted to the far edge of the rafter.
    pub end: Figure<Length>,
    /// Over the line of a hip, square to it.
    pub hip_carry_over: Figure<Length>,
    /// Over the ridge.
    pub ridge_carry_over: Figure<Length>,
    /// Up a wall or the side of an opening.
    pub abutment_upturn: Figure<Length>,
}

#[derive(Debug, Clone)]
pub(super) struct UnderlayTable {
    /// Horizontal laps: hanging free between the rafters, and on boards.
    steps: Steps<(Figure<Length>, Figure<Length>)>,
    end: Figure<Length>,
    hip_carry_over: Figure<Length>,
    ridge_carry_over: Figure<Length>,
    abutment_upturn: Figure<Length>,
}

impl Rules {
    /// The laps at a pitch; `supported` if the underlay lies on boards or the like. `None` under the flattest pitch
    /// of the table.
    #[must_use]
    pub fn underlay_laps(&self, pitch: Pitch, supported: bool) -> Option<UnderlayLaps> {
        let table = self.underlays.as_ref()?;
        let (free, on_boards) = table.steps.at(pitch)?;
        Some(UnderlayLaps {
            horizontal: if supported { on_boards.clone() } else { free.clone() },
            end: table.end.clone(),
            hip_carry_over: table.hip_carry_over.clone(),
            ridge_carry_over: table.ridge_carry_over.clone(),
            abutment_upturn: table.abutment_upturn.clone(),
        })
    }
}

pub(super) fn read(faults: &mut Vec<Fault>) -> Option<UnderlayTable> {
    let rows =
        table::read(include_str!("../../data/rules/underlays.toml"), "underlay", &[], faults, |entry| {
            let steps = Steps::read(entry, |step| {
                let free = step.length("free", limit::headlap);
                let on_boards = step.length("on-boards", limit::headlap);
                step.needed("free", free).zip(step.needed("on-boards", on_boards))
            });
            let mut length = |field| {
                let found = entry.length(field, limit::headlap);
                entry.needed(field, found)
            };
            let (end, hip, ridge, upturn) = (
                length("end-lap"),
                length("hip-carry-over"),
                length("ridge-carry-over"),
                length("abutment-upturn"),
            );
            Some(UnderlayTable {
                steps,
                end: end?,
                hip_carry_over: hip?,
                ridge_carry_over: ridge?,
                abutment_upturn: upturn?,
            })
        });
    rows.into_iter().next()
}
