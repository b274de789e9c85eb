//! The fullest-valued cut of one bar: a bounded knapsack, solved exactly.
//!
//! Two forms of it. [`Pricer`] works in floats and finds good patterns for the linear programme; a wrong digit there
//! costs a little quality and nothing else. [`best_values`] works in whole numbers and is what a proof rests on.
#![allow(
    clippy::indexing_slicing,
    reason = "tables are indexed by sizes that were checked against their length"
)]

use super::task::{Effort, real};

/// One size that may be cut: its place in the task, its size, the most there may be of it, and its worth.
#[derive(Debug, Clone, Copy)]
pub(super) struct Item {
    pub(super) place: usize,
    pub(super) size: usize,
    pub(super) most: usize,
    pub(super) worth: f64,
}

/// A pattern found by pricing.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) worth: f64,
    pub(super) take: Vec<(usize, usize)>,
}

/// Above this many table entries the dense table is not built (32 MB).
const LARGEST_TABLE: usize = 4_000_000;
/// Up to this many table entries the dense table is built without further thought.
const QUICK_TABLE: usize = 1_500_000;
/// The depth-first search is given up after one node for so many table entries.
const ENTRIES_PER_NODE: usize = 40;
/// The most nodes of the depth-first search where there is no table to turn to.
const MOST_NODES: usize = 400_000;
/// And the most of all such searches of one task.
const ALL_FINE_NODES: usize = 20_000_000;
/// So many steps of the coarse grid make up the longest bar.
const COARSE_GRID: usize = 6_000;

/// Finds worthy patterns; keeps its table between calls.
#[derive(Debug)]
pub(super) struct Pricer {
    table: Vec<f64>,
    /// How many nodes are left for finding what the coarse grid misses.
    fine_nodes: usize,
}

impl Default for Pricer {
    fn default() -> Self {
        Self { table: Vec::new(), fine_nodes: ALL_FINE_NODES }
    }
}

struct Layer {
    item: usize,
    count: usize,
    size: usize,
    worth: f64,
}

impl Pricer {
    /// For each room the best pattern, and with the dense table some other good ones. Where the table would be too
    /// large and the search too long, a good pattern instead of the best.
    pub(super) fn best(
        &mut self,
        items: &[Item],
        rooms: &[usize],
        least: &[f64],
        others: usize,
        effort: &mut Effort,
    ) -> Vec<Vec<Found>> {
        let widest = rooms.iter().copied().max().unwrap_or(0);
        let layers = layers(items, widest);
        let entries = (layers.len() + 1).saturating_mul(widest + 1);
        if entries > LARGEST_TABLE && widest > COARSE_GRID {
            let coarse = self.best_on_a_coarse_grid(items, rooms, least, others, effort);
            let gains =
                coarse.iter().zip(least).any(|(found, least)| found.iter().any(|one| one.worth > *least));
            if gains || self.fine_nodes < MOST_NODES {
                return coarse;
            }
            self.fine_nodes -= MOST_NODES;
            return depth_first(items, rooms, least, MOST_NODES, effort).0;
        }
        if entries > QUICK_TABLE {
            let (found, finished) = depth_first(items, rooms, &[], entries / ENTRIES_PER_NODE, effort);
            if finished || entries > LARGEST_TABLE {
                return found;
            }
        }
        effort.spend(entries / 2 + 100);
        self.fill(&layers, widest);
        rooms.iter().map(|&room| self.read(items, &layers, widest + 1, room, others)).collect()
    }

    /// Sizes rounded up and rooms down to a coarser grid: every pattern found still fits, and what it misses is a few
    /// parts in ten thousand of a bar.
    fn best_on_a_coarse_grid(
        &mut self,
        items: &[Item],
        rooms: &[usize],
        least: &[f64],
        others: usize,
        effort: &mut Effort,
    ) -> Vec<Vec<Found>> {
        let grain = rooms.iter().copied().max().unwrap_or(0).div_ceil(COARSE_GRID).max(1);
        let items: Vec<Item> =
            items.iter().map(|item| Item { size: item.size.div_ceil(grain), ..*item }).collect();
        let rooms: Vec<usize> = rooms.iter().map(|room| room / grain).collect();
        self.best(&items, &rooms, least, others, effort)
    }

    fn fill(&mut self, layers: &[Layer], widest: usize) {
        let width = widest + 1;
        let needed = (layers.len() + 1) * width;
        if self.table.len() < needed {
            self.table.resize(needed, 0.0);
        }
        self.table[..width].fill(0.0);
        for (index, layer) in layers.iter().enumerate() {
            let (before, after) = self.table.split_at_mut((index + 1) * width);
            let old = &before[index * width..];
            let new = &mut after[..width];
            let low = layer.size.min(width);
            new[..low].copy_from_slice(&old[..low]);
            for ((new, stay), shifted) in new[low..].iter_mut().zip(&old[low..]).zip(old) {
                let taken = shifted + layer.worth;
                *new = if taken > *stay { taken } else { *stay };
            }
        }
    }

    /// Reads the best pattern for a room, and the best ones whose last layer is another one.
    fn read(&self, items: &[Item], layers: &[Layer], width: usize, room: usize, others: usize) -> Vec<Found> {
        let mut ends: Vec<(f64, usize)> = layers
            .iter()
            .enumerate()
            .filter(|(_, layer)| layer.size <= room)
            .map(|(index, layer)| (layer.worth + self.table[index * width + room - layer.size], index))
            .collect();
        ends.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        ends.truncate(1 + others);
        ends.into_iter()
            .map(|(worth, last)| Found { worth, take: self.trace(items, layers, width, room, last) })
            .collect()
    }

    fn trace(
        &self,
        items: &[Item],
        layers: &[Layer],
        width: usize,
        room: usize,
        last: usize,
    ) -> Vec<(usize, usize)> {
        let mut counts = vec![0_usize; items.len()];
        counts[layers[last].item] += layers[last].count;
        let mut left = room - layers[last].size;
        for index in (0..last).rev() {
            let layer = &layers[index];
            if layer.size <= left && self.table[(index + 1) * width + left] > self.table[index * width + left]
            {
                counts[layer.item] += layer.count;
                left -= layer.size;
            }
        }
        taken(items, &counts)
    }
}

fn taken(items: &[Item], counts: &[usize]) -> Vec<(usize, usize)> {
    let mut take: Vec<_> = items
        .iter()
        .zip(counts)
        .filter(|(_, count)| **count > 0)
        .map(|(item, count)| (item.place, *count))
        .collect();
    take.sort_unstable();
    take
}

/// Splits a bounded number into layers of 1, 2, 4, ... and the rest.
fn layers(items: &[Item], widest: usize) -> Vec<Layer> {
    let mut result = Vec::with_capacity(items.len() * 2);
    for (index, item) in items.iter().enumerate() {
        let mut left = item.most.min(widest / item.size.max(1));
        let mut part = 1;
        while left > 0 {
            let count = part.min(left);
            result.push(Layer {
                item: index,
                count,
                size: count * item.size,
                worth: real(count) * item.worth,
            });
            left -= count;
            part *= 2;
        }
    }
    result
}

/// Depth first with the fractional bound: quick where few pieces go into a bar. Says whether it ended within the limit.
/// Nothing is found that is not worth more than `least`.
fn depth_first(
    items: &[Item],
    rooms: &[usize],
    least: &[f64],
    most: usize,
    effort: &mut Effort,
) -> (Vec<Vec<Found>>, bool) {
    let mut order: Vec<usize> = (0..items.len()).filter(|&index| items[index].worth > 0.0).collect();
    let rate = |index: usize| items[index].worth / real(items[index].size.max(1));
    order.sort_by(|&a, &b| rate(b).total_cmp(&rate(a)).then(a.cmp(&b)));
    let sorted: Vec<Item> = order.iter().map(|&index| items[index]).collect();
    let mut result = Vec::with_capacity(rooms.len());
    let mut nodes = 0;
    let mut finished = true;
    for (index, &room) in rooms.iter().enumerate() {
        let mut search = Search {
            items: &sorted,
            nodes: 0,
            most: (most / rooms.len().max(1)) * (index + 1) - nodes,
            best: least.get(index).copied().unwrap_or(0.0).max(0.0),
            counts: vec![0; sorted.len()],
            kept: vec![],
        };
        finished &= search.go(0, room, 0.0);
        nodes += search.nodes.min(search.most);
        let take = taken(&sorted, &search.kept);
        result.push(if take.is_empty() { Vec::new() } else { vec![Found { worth: search.best, take }] });
    }
    effort.spend(nodes * 5);
    (result, finished)
}

struct Search<'a> {
    items: &'a [Item],
    nodes: usize,
    most: usize,
    best: f64,
    counts: Vec<usize>,
    kept: Vec<usize>,
}

impl Search<'_> {
    fn go(&mut self, from: usize, left: usize, worth: f64) -> bool {
        if worth > self.best + 1e-12 {
            self.best = worth;
            self.kept.clone_from(&self.counts);
        }
        for index in from..self.items.len() {
            self.nodes += 1;
            if self.nodes > self.most {
                return false;
            }
            let item = self.items[index];
            if worth + real(left) * item.worth / real(item.size.max(1)) <= self.best + 1e-12 {
                return true;
            }
            let fits = item.most.min(left / item.size.max(1));
            for count in (1..=fits).rev() {
                self.counts[index] = count;
                if !self.go(index + 1, left - count * item.size, worth + real(count) * item.worth) {
                    return false;
                }
            }
            self.counts[index] = 0;
        }
        true
    }
}

/// The greatest total worth that fits into each of the rooms, in whole numbers: the list of all sums that no other sum
/// beats with less room, grown size by size. `None` if the list would take more steps than the effort allows.
pub(super) fn best_values(
    sizes: &[usize],
    most: &[usize],
    worth: &[u64],
    rooms: &[usize],
    effort: &mut Effort,
) -> Option<Vec<u64>> {
    let widest = rooms.iter().copied().max().unwrap_or(0);
    let mut list: Vec<(usize, u64)> = vec![(0, 0)];
    let mut merged: Vec<(usize, u64)> = Vec::new();
    for ((&size, &most), &worth) in sizes.iter().zip(most).zip(worth) {
        if worth == 0 || size == 0 {
            continue;
        }
        let mut left = most.min(widest / size);
        let mut part = 1;
        while left > 0 {
            let count = part.min(left);
            left -= count;
            part *= 2;
            effort.spend(list.len() * 3);
            if effort.spent() {
                return None;
            }
            merge(&list, count * size, count as u64 * worth, widest, &mut merged);
            core::mem::swap(&mut list, &mut merged);
        }
    }
    Some(
        rooms
            .iter()
            .map(|&room| {
                let end = list.partition_point(|&(size, _)| size <= room);
                end.checked_sub(1).map_or(0, |last| list[last].1)
            })
            .collect(),
    )
}

/// Merges a list of rising sizes and rising worth with itself shifted by one more item.
fn merge(list: &[(usize, u64)], size: usize, worth: u64, widest: usize, merged: &mut Vec<(usize, u64)>) {
    merged.clear();
    let mut stay = list.iter().copied().peekable();
    let mut take =
        list.iter().map(|&(s, w)| (s + size, w + worth)).take_while(|&(s, _)| s <= widest).peekable();
    loop {
        let next = match (stay.peek(), take.peek()) {
            (None, None) => break,
            (Some(_), None) => stay.next(),
            (None, Some(_)) => take.next(),
            (Some(a), Some(b)) => {
                if a.0 < b.0 || (a.0 == b.0 && a.1 >= b.1) {
                    stay.next()
                } else {
                    take.next()
                }
            }
        };
        if let Some(next) = next
            && merged.last().is_none_or(|last| next.1 > last.1)
        {
            merged.push(next);
        }
    }
}

#[cfg(test)]
#[allow(clippy::cast_precision_loss, clippy::float_cmp, reason = "small whole numbers, exact as floats")]
mod tests {
    use super::*;

    /// Every count of every item tried, one after the other.
    fn by_hand(items: &[(usize, usize, u64)], room: usize) -> u64 {
        let Some((&(size, most, worth), rest)) = items.split_first() else { return 0 };
        (0..=most)
            .filter(|count| count * size <= room)
            .map(|count| count as u64 * worth + by_hand(rest, room - count * size))
            .max()
            .unwrap_or(0)
    }

    proptest::proptest! {
        #[test]
        fn both_forms_agree_with_trying_everything(
            items in proptest::collection::vec((1_usize..40, 1_usize..4, 0_u64..60), 1..6),
            room in 1_usize..100,
        ) {
            let sizes: Vec<_> = items.iter().map(|item| item.0).collect();
            let most: Vec<_> = items.iter().map(|item| item.1).collect();
            let worth: Vec<_> = items.iter().map(|item| item.2).collect();
            let expected = by_hand(&items, room);
            let exact = best_values(&sizes, &most, &worth, &[room], &mut Effort::of(1_000_000)).unwrap();
            proptest::prop_assert_eq!(&exact, &vec![expected]);
            let priced: Vec<_> = items.iter().enumerate().map(|(place, item)| Item {
                place, size: item.0, most: item.1, worth: item.2 as f64,
            }).collect();
            let worth_of = |found: &Vec<Found>| found.first().map_or(0.0, |found| found.worth);
            let table = Pricer::default().best(&priced, &[room], &[0.0], 2, &mut Effort::of(1_000_000));
            proptest::prop_assert_eq!(worth_of(&table[0]), expected as f64);
            let (search, finished) = depth_first(&priced, &[room], &[], 1_000_000, &mut Effort::of(1_000_000));
            proptest::prop_assert!(finished);
            proptest::prop_assert_eq!(worth_of(&search[0]), expected as f64);
            for found in table[0].iter().chain(&search[0]) {
                let filled: usize = found.take.iter().map(|&(place, count)| sizes[place] * count).sum();
                proptest::prop_assert!(filled <= room);
                let sum: u64 = found.take.iter().map(|&(place, count)| worth[place] * count as u64).sum();
                proptest::prop_assert_eq!(sum as f64, found.worth);
            }
        }
    }
}
