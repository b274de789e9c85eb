//! The whole room in one call: what came off and how to share it in, who gets what out.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::{
    Alternative, CountCheck, DOCUMENT_VERSION, Fields, FormatSize, Heap, LookAgain, Need, OldCovering, Rank,
    Reckoning, Shared, Sharing, Shortage, Tally, alternatives, count, each_roof_once, look_again::look_again,
    share, versioned, write_json, write_toml,
};
use crate::catalogue::{Catalogue, Covering};
use crate::error::{Error, FaultKind, Result};
use crate::quantity::LengthIn as _;
use crate::survey::upgrade::Step;
use crate::takeoff::TakeOff;

/// The steps that make the next version of salvage documents of an older one; that from version 1 to 2 comes first.
const STEPS: &[Step] = &[];
const _: () = assert!(STEPS.len() as u64 + 1 == DOCUMENT_VERSION, "a step for every version but the first");

/// What came off, how to reckon with it and how to share it out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Salvage {
    /// The old units as they were counted.
    #[serde(default)]
    pub heaps: Vec<Heap>,
    /// What of them to rely on.
    pub reckoning: Reckoning,
    /// The old coverings as measured before they came off, to check the count.
    #[serde(default)]
    pub old_coverings: Vec<OldCovering>,
    /// Who gets the old units, and what is held back.
    #[serde(default)]
    pub sharing: Sharing,
}

/// Who gets what, what is short, and the ways out.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Salvaged {
    /// Whether the old units are enough, in a few lines.
    pub answer: Vec<String>,
    /// What must be bought, by unit.
    pub shortages: Vec<Shortage>,
    /// Who gets what.
    pub shared: Shared,
    /// The counts beside the numbers that should have come off.
    pub checks: Vec<CountCheck>,
    /// The sampled heaps of what is short, and how many more of each to inspect.
    pub look_again: Vec<LookAgain>,
    /// Which slopes could be covered whole in something else, if what is short cannot be bought.
    pub alternatives: Vec<Alternative>,
    /// Formats that were counted and that nothing else knows: no need, no size, no substitute, no reserve. Most likely a
    /// slip of the pen.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub unknown_formats: Vec<String>,
}

impl Salvage {
    /// Reads a salvage document from TOML.
    ///
    /// # Errors
    /// With a fault for each part that cannot be read.
    pub fn from_toml(text: &str) -> Result<Self> {
        Self::read(Fields::read(text, false, FaultKind::SalvageUnreadable, STEPS)?)
    }

    /// Reads a salvage document from JSON.
    ///
    /// # Errors
    /// As [`Salvage::from_toml`].
    pub fn from_json(text: &str) -> Result<Self> {
        Self::read(Fields::read(text, true, FaultKind::SalvageUnreadable, STEPS)?)
    }

    fn read(mut document: Fields) -> Result<Self> {
        let heaps = document.tables("heaps", |heap| {
            let label = heap.one("label").unwrap_or_default();
            let (unit, counted) = (heap.needed("unit"), heap.needed("counted"));
            Some(Heap { label, unit: unit?, counted: counted? })
        });
        let reckoning = document.needed_within("reckoning", |reckoning| {
            let basis = reckoning.needed("basis");
            let rest = Reckoning {
                lay_doubtful: reckoning.one("lay_doubtful").unwrap_or_default(),
                handling_loss: reckoning.one("handling_loss").unwrap_or_default(),
                refixing_loss: reckoning.one("refixing_loss").unwrap_or_default(),
                ..Reckoning::LIKELY
            };
            Some(Reckoning { basis: basis?, ..rest })
        });
        let old_coverings = document.list("old_coverings");
        let sharing = document.within("sharing", |sharing| {
            let usual = Sharing::default();
            Sharing {
                manner: sharing.one("manner").unwrap_or_default(),
                ranks: sharing.list("ranks"),
                cut_down: if sharing.has("cut_down") { sharing.list("cut_down") } else { usual.cut_down },
                formats: sharing.list("formats"),
                substitutes: sharing.list("substitutes"),
                reserves: sharing.list("reserves"),
            }
        });
        document.finish()?;
        // Without a fault the reckoning was there.
        let reckoning = reckoning.unwrap_or(Reckoning::LIKELY);
        Ok(Self { heaps, reckoning, old_coverings, sharing })
    }

    /// Writes the document as TOML.
    ///
    /// # Errors
    /// If it holds what TOML cannot say; nothing is known that does.
    pub fn to_toml(&self) -> Result<String> {
        write_toml(self)
    }

    /// Writes the document as JSON.
    ///
    /// # Errors
    /// If it cannot be written; nothing is known that cannot.
    pub fn to_json(&self) -> Result<String> {
        write_json(self)
    }

    /// The JSON schema of the document.
    #[must_use]
    pub fn schema() -> serde_json::Value {
        versioned(schemars::schema_for!(Self))
    }

    /// Takes the dimensions of formats that the document does not state from coverings of a catalogue.
    #[must_use]
    pub fn with_sizes_of<'a>(mut self, coverings: impl IntoIterator<Item = &'a Covering>) -> Self {
        for covering in coverings {
            if !self.sharing.formats.iter().any(|of| of.format == covering.key) {
                self.sharing.formats.push(FormatSize {
                    format: covering.key.clone(),
                    length: format!("{} mm", covering.length.value.mm()),
                    width: format!("{} mm", covering.width.value.mm()),
                });
            }
        }
        self
    }

    /// Adds what a tally has counted.
    ///
    /// # Errors
    /// If the tally contradicts itself.
    pub fn add_tally(&mut self, tally: &Tally) -> Result<()> {
        self.heaps.extend(tally.heaps()?);
        Ok(())
    }

    /// Counts, checks and shares out.
    ///
    /// # Errors
    /// As [`count`], [`OldCovering::check`] and [`share`], or if a rank is of a slope that has no need.
    ///
    /// ```
    /// use slopewright::salvage::{Need, Salvage};
    /// let salvage: Salvage = toml::from_str(
    ///     r#"
    ///     [[heaps]]
    ///     unit = "plain-265x165 whole"
    ///     counted = { by = "stacks", stacks = 12, per_stack = 40, loose = 15, grade = "sound" }
    ///
    ///     [reckoning]
    ///     basis = { on = "likely" }
    ///     handling_loss = "2 %"
    ///     "#,
    /// )?;
    /// let result = salvage.reckon(&[Need::new("north", "plain-265x165 whole".parse()?, 600)])?;
    /// assert_eq!(result.answer[0], "Have we enough? No: 115 of 600 must be bought, 0 held back.");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn reckon(&self, needs: &[Need]) -> Result<Salvaged> {
        // Each step goes on after a fault in the one before, so that all faults are found.
        let mut faults = Vec::new();
        let supplies = count(&self.heaps, self.reckoning).unwrap_or_else(|error| {
            faults.extend(error.into_faults());
            Vec::new()
        });
        let mut checks = Vec::new();
        for old in &self.old_coverings {
            let came_off = supplies.iter().filter(|of| of.unit == old.unit).map(|of| of.came_off).sum();
            match old.check(came_off) {
                Ok(check) => checks.push(check),
                Err(error) => faults.extend(error.at(format!("old covering, {}", old.unit)).into_faults()),
            }
        }
        Rank::check_all(&self.sharing.ranks, needs, &mut faults);
        let shared = share(&supplies, needs, &self.sharing);
        faults.extend(shared.as_ref().err().into_iter().flat_map(Error::faults).cloned());
        Error::check(faults)?;
        let shared = shared?;
        Ok(Salvaged {
            answer: shared.answer(),
            shortages: shared.shortages(),
            alternatives: alternatives(&supplies, needs, &self.sharing)?,
            look_again: look_again(&self.heaps, self.reckoning, &shared)?,
            unknown_formats: self.unknown_formats(needs),
            shared,
            checks,
        })
    }

    /// The same for the roofs of one job: their needs, and the sizes of the built-in catalogue for formats of which the
    /// document states none.
    ///
    /// # Errors
    /// As [`Salvage::reckon`], and if a roof is handed in twice.
    pub fn reckon_for(&self, take_offs: &[&TakeOff]) -> Result<Salvaged> {
        each_roof_once(take_offs)?;
        let needs: Vec<Need> = take_offs.iter().flat_map(|of| of.needs()).collect();
        self.clone().with_sizes_of(Catalogue::standard().coverings()).reckon(&needs)
    }

    /// The formats of heaps that nothing else knows of.
    fn unknown_formats(&self, needs: &[Need]) -> Vec<String> {
        let sharing = &self.sharing;
        let known = |format: &str| {
            needs.iter().any(|need| need.unit.format == format)
                || sharing.formats.iter().any(|of| of.format == format)
                || sharing.substitutes.iter().any(|of| of.old == format || of.new == format)
                || sharing.reserves.iter().any(|of| of.unit.format == format)
                || self.old_coverings.iter().any(|of| of.unit.format == format)
        };
        let counted: BTreeSet<&str> = self.heaps.iter().map(|heap| heap.unit.format.as_str()).collect();
        counted.into_iter().filter(|format| !known(format)).map(str::to_owned).collect()
    }
}
