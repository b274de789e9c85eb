//! The bound that knows the joint rule: what the rule costs whoever plans.
//!
//! The plain bound only asks that the bars hold the net length. But a row of 2.3 m has no lawful joint, and a bar of 3.6 m
//! cannot hold two of it. So pieces are weighed by functions under which several pieces together never weigh more than
//! the bar they are cut from: how often a fixed part goes into a length, the last whole time not counted. Every run is
//! split where it weighs least, joints over rafters and pieces long enough; what all runs weigh, the bars must give. Only
//! the stagger is left out of it.

use super::{basket::Cut, battens_lay::Run, task::Kind};

/// Where a run may be jointed, and into what.
#[derive(Debug, Clone, Copy)]
pub(super) struct Joints<'a> {
    pub(super) rafters: &'a [i64],
    /// The least length of a piece.
    pub(super) least: usize,
    /// The least number of rafters a piece lies on.
    pub(super) supports: usize,
    pub(super) kerf: usize,
}

impl Joints<'_> {
    /// Whether a piece from here to there is long enough and lies on enough rafters, of those from `first` to before
    /// `end`.
    pub(super) fn lawful(&self, from: i64, to: i64, first: usize, end: usize) -> bool {
        usize::try_from(to - from).is_ok_and(|length| length >= self.least) && end - first >= self.supports
    }

    /// Whether the run itself is shorter than a piece may be.
    pub(super) fn is_short(&self, run: &Run) -> bool {
        !self.lawful(run.from, run.to, run.first, run.end)
    }

    /// No piece is shorter than this. Where a run can only be split into pieces that are too short, any length may be.
    pub(super) fn shortest(&self, runs: &[Run], longest: usize) -> usize {
        let of_run = |run: &Run| {
            let whole = usize::try_from(run.to - run.from).unwrap_or(0);
            if self.is_short(run) && whole + self.kerf <= longest {
                return whole;
            }
            self.lightest_split(run, longest, true, |_| 0).map_or(0, |_| self.least)
        };
        let alike = runs.chunk_by(|one, next| (one.from, one.to) == (next.from, next.to));
        alike.filter_map(|alike| alike.first()).map(of_run).min().unwrap_or(0)
    }

    /// The least that a run weighs, however it is split under the first degree of strictness that allows any split.
    pub(super) fn least_weight(
        &self,
        run: &Run,
        longest: usize,
        weigh: impl Fn(usize) -> u64,
    ) -> Option<u64> {
        let whole = usize::try_from(run.to - run.from).ok()? + self.kerf;
        if self.is_short(run) && whole <= longest {
            return Some(weigh(whole));
        }
        self.lightest_split(run, longest, true, &weigh)
            .or_else(|| self.lightest_split(run, longest, false, &weigh))
    }

    fn lightest_split(
        &self,
        run: &Run,
        longest: usize,
        long: bool,
        weigh: impl Fn(usize) -> u64,
    ) -> Option<u64> {
        // Each place with its rafters: those under a piece that begins there start with the first, those under a piece
        // that ends there stop before the second.
        let inner = (run.first..run.end).filter_map(|rafter| {
            let at = *self.rafters.get(rafter)?;
            (at > run.from && at < run.to).then_some((at, rafter, rafter + 1))
        });
        let places: Vec<(i64, usize, usize)> = core::iter::once((run.from, run.first, run.first))
            .chain(inner)
            .chain([(run.to, run.end, run.end)])
            .collect();
        let mut lightest: Vec<Option<u64>> = vec![Some(0)];
        for (index, &(to, _, end)) in places.iter().enumerate().skip(1) {
            let best = places
                .iter()
                .zip(&lightest)
                .take(index)
                .filter_map(|(&(from, first, _), before)| {
                    let length = usize::try_from(to - from).ok()? + self.kerf;
                    let fits = length <= longest && (!long || self.lawful(from, to, first, end));
                    before.filter(|_| fits).map(|before| before + weigh(length))
                })
                .min();
            lightest.push(best);
        }
        lightest.pop().flatten()
    }

    /// What the runs ask of any bars: by length, and by the part that asks for most if it asks for more.
    pub(super) fn cuts(&self, runs: &[Run], kinds: &[Kind]) -> Vec<Cut> {
        let longest = kinds.iter().map(|kind| kind.room).max().unwrap_or(0);
        let cut = |weight: Weight| {
            Cut::by_weight(kinds, |room| weight.of(room), self.weight_of(runs, longest, weight))
        };
        let by_length = cut(Weight::Length);
        let mut most = by_length.least_cost(kinds);
        let mut cuts = vec![by_length];
        for room in kinds.iter().filter(|kind| kind.cost > 0).map(|kind| kind.room) {
            // More parts than there are least pieces in a bar tell nothing that the length does not.
            let parts = (room / self.least.max(1) + 1).min(MOST_PARTS);
            for by_parts in (2..=parts).map(|parts| cut(Weight::Parts { room, parts })) {
                let least = by_parts.least_cost(kinds);
                if least > most {
                    most = least;
                    cuts.truncate(1);
                    cuts.push(by_parts);
                }
            }
        }
        cuts
    }

    fn weight_of(&self, runs: &[Run], longest: usize, weight: Weight) -> u128 {
        // Rows of a straight slope are alike, and are weighed once.
        runs.chunk_by(|one, next| (one.from, one.to) == (next.from, next.to))
            .filter_map(|alike| {
                let each = self.least_weight(alike.first()?, longest, |size| weight.of(size))?;
                Some(u128::from(each) * alike.len() as u128)
            })
            .sum()
    }
}

/// So many parts of a bar are tried at the most.
const MOST_PARTS: usize = 12;

/// How a length is weighed. Two lengths weigh no more than one as long as both together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Weight {
    /// By the length itself.
    Length,
    /// By how many of so many equal parts of a bar it is longer than.
    Parts { room: usize, parts: usize },
}

impl Weight {
    fn of(self, size: usize) -> u64 {
        match self {
            Self::Length => size as u64,
            Self::Parts { room, parts } => ((size * parts).div_ceil(room.max(1)).max(1) - 1) as u64,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #[test]
        fn pieces_never_weigh_more_than_their_bar(
            room in 1_usize..200, parts in 2_usize..12, one in 0_usize..300, other in 0_usize..300,
        ) {
            let weight = Weight::Parts { room, parts };
            proptest::prop_assert!(weight.of(one) + weight.of(other) <= weight.of(one + other));
            proptest::prop_assert!(weight.of(room) < parts as u64);
        }
    }
}
