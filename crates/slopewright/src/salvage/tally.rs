//! A running tally: one line for each count, only ever added to, so that nothing counted is lost and the lists of
//! two people can be put together.
//!
//! Each line is a JSON object:
//!
//! ```text
//! {"id":"k-014","who":"north, stack 3","unit":"plain-265x165 whole","grade":"sound","count":120,"time":"2024-05-02T10:15"}
//! {"id":"k-015","who":"north, stack 3","unit":"plain-265x165 whole","grade":"sound","count":118,"time":"2024-05-02T10:20","corrects":"k-014"}
//! ```
//!
//! A line that corrects another stands in its place; to withdraw a count, correct it to 0. If two people correct the same
//! line, the later correction holds (times are compared as text, so write them alike, year first; at the same
//! time, the one with the greater id).

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::{Counting, Grade, Heap, UnitKey, limits};
use crate::error::{Error, Fault, FaultKind, Result};
use crate::quantity::limit;
use crate::reader_words::{fault_of, not_json};

/// One line of a tally.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Its own name, never used again: a person's mark and a number will do.
    pub id: String,
    /// Who counted, or which stack.
    #[serde(default)]
    pub who: String,
    /// The unit.
    pub unit: UnitKey,
    /// The grade.
    pub grade: Grade,
    /// How many.
    pub count: u64,
    /// When, year first: `2024-05-02T10:15`.
    #[serde(default)]
    pub time: String,
    /// The id of the line in whose place this one stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<String>,
}

/// What was counted of one unit on one day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DayCount {
    /// The day, as the lines have it; empty if they have no time.
    pub day: String,
    /// The unit.
    pub unit: UnitKey,
    /// Fit to be laid again.
    pub sound: u64,
    /// To be looked at again.
    pub doubtful: u64,
    /// Not fit.
    pub broken: u64,
}

/// The lines of a tally, as a set: the order in which they were written does not matter, and a line that is there twice
/// counts once.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Tally {
    lines: BTreeMap<String, BTreeSet<Entry>>,
}

/// What could be read of a tally that may be damaged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recovered {
    /// The lines that could be read.
    pub tally: Tally,
    /// What is wrong with the others, each with its line number.
    pub faults: Vec<Fault>,
}

impl Tally {
    /// Reads a tally.
    ///
    /// # Errors
    /// With one fault for each line that cannot be read.
    pub fn read(text: &str) -> Result<Self> {
        let Recovered { tally, faults } = Self::recover(text);
        Error::check(faults)?;
        Ok(tally)
    }

    /// Reads what can be read. A last line without its end is kept if it is whole, and is a
    /// [`TallyTorn`](FaultKind::TallyTorn) fault if it is not. Of a tally that is too large nothing is read.
    #[must_use]
    pub fn recover(text: &str) -> Recovered {
        let mut tally = Self::default();
        if let Err(error) = limit::tally_size.check_size(text.len(), FaultKind::TallyUnreadable, "a tally") {
            return Recovered { tally, faults: error.into_faults() };
        }
        let mut faults = Vec::new();
        let ended = text.ends_with('\n');
        let lines: Vec<&str> = text.lines().collect();
        for (number, line) in lines.iter().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
            let torn = !ended && number + 1 == lines.len();
            match Entry::read(line, torn) {
                Ok(entry) => tally.add(entry),
                Err(error) => {
                    faults.extend(error.at(format!("line {}", number + 1)).into_faults());
                }
            }
        }
        Recovered { tally, faults }
    }

    /// Adds a line; one that is there already changes nothing.
    pub fn add(&mut self, entry: Entry) {
        self.lines.entry(entry.id.clone()).or_default().insert(entry);
    }

    /// Puts two tallies together. It does not matter which is which, nor how often it is done.
    #[must_use]
    pub fn merge(mut self, other: Self) -> Self {
        for (id, entries) in other.lines {
            self.lines.entry(id).or_default().extend(entries);
        }
        self
    }

    /// Every line, in the order of the ids.
    pub fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.lines.values().flatten()
    }

    /// The tally as text, in the order of the ids.
    #[must_use]
    pub fn write(&self) -> String {
        self.entries().map(Entry::line).collect()
    }

    /// The lines that hold. A line and all that correct it, each other or it, count once: by the line that none corrects,
    /// and if there are several of those by the latest.
    ///
    /// # Errors
    /// If one id stands for different counts, or corrections go round in a circle. Neither is settled by guessing,
    /// since a guess could lose a count.
    pub fn standing(&self) -> Result<Vec<&Entry>> {
        let mut faults = Vec::new();
        let mut by_id: BTreeMap<&str, &Entry> = BTreeMap::new();
        for (id, entries) in &self.lines {
            if entries.len() > 1 {
                let lines: Vec<String> =
                    entries.iter().map(|entry| entry.line().trim_end().to_owned()).collect();
                faults.push(
                    Fault::new(FaultKind::TallyConflict, "stands for different counts")
                        .at(format!("id '{id}'"))
                        .given(lines.join(" and ")),
                );
            }
            by_id.extend(entries.first().map(|entry| (id.as_str(), entry)));
        }
        let corrected: BTreeSet<&str> =
            by_id.values().filter_map(|entry| entry.corrects.as_deref()).collect();
        let mut latest: BTreeMap<&str, &Entry> = BTreeMap::new();
        let mut roots = Roots::default();
        for (id, entry) in &by_id {
            match roots.find(id, &by_id) {
                None => faults.push(
                    Fault::new(FaultKind::TallyConflict, "is corrected by a line that it corrects itself")
                        .at(format!("id '{id}'"))
                        .advice("give the line that was meant as the correction another id"),
                ),
                Some(_) if corrected.contains(id) => {}
                Some(root) => {
                    let holds = latest.entry(root).or_insert(entry);
                    if (&entry.time, &entry.id) > (&holds.time, &holds.id) {
                        *holds = entry;
                    }
                }
            }
        }
        Error::check(faults)?;
        Ok(latest.into_values().collect())
    }

    /// The count through the days: for each day (the first ten signs of the time) and unit what was counted on it, in the
    /// order of the days. A corrected count belongs to the day of its correction.
    ///
    /// # Errors
    /// As [`Self::standing`].
    pub fn by_day(&self) -> Result<Vec<DayCount>> {
        let mut days: BTreeMap<(String, &UnitKey), [u64; 3]> = BTreeMap::new();
        for entry in self.standing()? {
            let day: String = entry.time.chars().take(10).collect();
            entry.add_to(days.entry((day, &entry.unit)).or_default());
        }
        Ok(days
            .into_iter()
            .map(|((day, unit), [sound, doubtful, broken])| DayCount {
                day,
                unit: unit.clone(),
                sound,
                doubtful,
                broken,
            })
            .collect())
    }

    /// The count by unit, as heaps for [`count`](super::count()).
    ///
    /// # Errors
    /// As [`Self::standing`], or if a sum is too large.
    pub fn heaps(&self) -> Result<Vec<Heap>> {
        let mut sums: BTreeMap<&UnitKey, [u64; 3]> = BTreeMap::new();
        for entry in self.standing()? {
            entry.add_to(sums.entry(&entry.unit).or_default());
        }
        let mut faults = Vec::new();
        for (unit, sums) in &sums {
            for sum in sums {
                limits::count(*sum, &unit.to_string(), &mut faults);
            }
        }
        Error::check(faults)?;
        Ok(sums
            .into_iter()
            .map(|(unit, [sound, doubtful, broken])| Heap {
                label: "tally".to_owned(),
                unit: unit.clone(),
                counted: Counting::Grades { sound, doubtful, broken },
            })
            .collect())
    }
}

/// The first line of each chain of corrections, remembered so that long chains are walked once.
#[derive(Default)]
struct Roots<'a>(BTreeMap<&'a str, Option<&'a str>>);

impl<'a> Roots<'a> {
    /// The id at which following the corrections ends; `None` if it never does.
    fn find(&mut self, id: &'a str, by_id: &BTreeMap<&'a str, &'a Entry>) -> Option<&'a str> {
        let mut walked = BTreeSet::new();
        let mut at = id;
        let root = loop {
            if let Some(known) = self.0.get(at) {
                break *known;
            }
            if !walked.insert(at) {
                break None;
            }
            match by_id.get(at).and_then(|entry| entry.corrects.as_deref()) {
                Some(target) => at = target,
                None => break Some(at),
            }
        };
        self.0.extend(walked.into_iter().map(|id| (id, root)));
        root
    }
}

/// The fault of a line that was written to its end: which of its fields cannot be read, or that it is no line of a tally.
fn unreadable(line: &str, error: &serde_json::Error) -> Fault {
    let kind = FaultKind::TallyUnreadable;
    match serde_json::from_str::<serde_json::Value>(line) {
        Ok(fields) => fault_of(kind, &error.to_string(), &fields),
        Err(error) => Fault::new(kind, not_json(&error)).given(line).allowed("one object on a line"),
    }
}

impl Entry {
    fn read(line: &str, torn: bool) -> Result<Self> {
        let entry: Self = serde_json::from_str(line).map_err(|error| {
            if torn {
                Fault::new(FaultKind::TallyTorn, "was not written to its end").given(line)
            } else {
                unreadable(line, &error)
            }
        })?;
        let mut faults = Vec::new();
        if entry.id.trim().is_empty() {
            faults.push(Fault::new(FaultKind::TallyUnreadable, "has no id").given(line));
        }
        if entry.corrects.as_ref() == Some(&entry.id) {
            faults.push(Fault::new(FaultKind::TallyUnreadable, "corrects itself").given(line));
        }
        limits::count(entry.count, "count", &mut faults);
        Error::check(faults)?;
        Ok(entry)
    }

    /// Adds its count to the sum of its grade: sound, doubtful, broken.
    fn add_to(&self, [sound, doubtful, broken]: &mut [u64; 3]) {
        let sum = match self.grade {
            Grade::Sound => sound,
            Grade::Doubtful => doubtful,
            Grade::Broken => broken,
        };
        *sum = sum.saturating_add(self.count);
    }

    /// The entry as a line of a tally, with its line end.
    #[must_use]
    pub fn line(&self) -> String {
        let mut line = serde_json::to_string(self).unwrap_or_default();
        line.push('\n');
        line
    }
}

/// A tally's text with one more line. If the last line was not ended, it is ended first, so that the new one stands
/// alone; what was there before is never changed.
///
/// ```
/// use slopewright::salvage::{Tally, append_line};
/// let first = r#"{"id":"a1","unit":"pantile whole","grade":"sound","count":40}"#;
/// let entry = Tally::read(first)?.entries().next().cloned().unwrap();
/// let text = append_line("{\"id\":\"a0\",\"cou", &entry);
/// assert_eq!(Tally::recover(&text).tally.entries().count(), 1);
/// # Ok::<(), slopewright::Error>(())
/// ```
#[must_use]
pub fn append_line(text: &str, entry: &Entry) -> String {
    let end = if text.is_empty() || text.ends_with('\n') { "" } else { "\n" };
    format!("{text}{end}{}", entry.line())
}
