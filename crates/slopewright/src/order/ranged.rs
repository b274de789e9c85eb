//! What is wanted as a range: the low, the likely and the high count of each item.

use super::{Wanted, materials};
use crate::takeoff::{Part, TapeRange};

/// Three lists of what is wanted put together, item by item: taped short, as taped, taped long. The counts are those of
/// the three roofs and need not rise: a course more may mean fewer cut units, a longer slope other lengths of batten.
#[must_use]
pub fn ranged(counts: [Vec<Wanted>; 3]) -> Vec<Wanted> {
    let mut all: Vec<Wanted> = Vec::new();
    let mut found: Vec<[u64; 3]> = Vec::new();
    for (basis, wanted) in counts.into_iter().enumerate() {
        for want in wanted {
            let at = all.iter().position(|of| of.item == want.item).unwrap_or_else(|| {
                all.push(Wanted { low: 0, likely: 0, high: 0, ..want.clone() });
                found.push([0; 3]);
                all.len() - 1
            });
            if let Some(slot) = found.get_mut(at).and_then(|counts| counts.get_mut(basis)) {
                *slot = slot.saturating_add(want.likely);
            }
        }
    }
    for (want, [low, likely, high]) in all.iter_mut().zip(found) {
        want.low = low;
        want.likely = likely;
        want.high = high;
    }
    all
}

/// Everything that a roof takes, units of covering and other materials, with what the tape's tolerance is worth.
#[must_use]
pub fn wanted_range(range: &TapeRange) -> Vec<Wanted> {
    ranged(range.all().map(|take_off| {
        let units = take_off.needs().into_iter().map(|need| {
            Wanted::exactly(need.unit.bought_as().to_string(), need.count).of_part(Part::Covering)
        });
        units.chain(materials(take_off)).collect()
    }))
}
