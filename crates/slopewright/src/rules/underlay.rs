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

/// The laps of one step of the table.
#[derive(Debug, Clone)]
pub(super) struct UnderlayStep {
    /// Of underlay that hangs free between the rafters.
    free: UnderlayLaps,
    on_boards: UnderlayLaps,
}

impl Rules {
    /// The laps at a pitch; `supported` if the underlay lies on boards or the like. `None` under the flattest pitch
    /// of the table.
    #[must_use]
    pub fn underlay_laps(&self, pitch: Pitch, supported: bool) -> Option<&UnderlayLaps> {
        let step = self.underlays.as_ref()?.at(pitch)?;
        Some(if supported { &step.on_boards } else { &step.free })
    }
}

pub(super) fn read(faults: &mut Vec<Fault>) -> Option<Steps<UnderlayStep>> {
    let rows =
        table::read(include_str!("../../data/rules/underlays.toml"), "underlay", &[], faults, |entry| {
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
            let steps = Steps::read(entry, |step| {
                let free = step.length("free", limit::headlap);
                let on_boards = step.length("on-boards", limit::headlap);
                let (free, on_boards) = step.needed("free", free).zip(step.needed("on-boards", on_boards))?;
                let laps = |horizontal| {
                    Some(UnderlayLaps {
                        horizontal,
                        end: end.clone()?,
                        hip_carry_over: hip.clone()?,
                        ridge_carry_over: ridge.clone()?,
                        abutment_upturn: upturn.clone()?,
                    })
                };
                Some(UnderlayStep { free: laps(free)?, on_boards: laps(on_boards)? })
            });
            Some(steps)
        });
    rows.into_iter().next()
}
