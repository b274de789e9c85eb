//! The quick answers: first fit and best fit, longest piece first, into bars of one or several kinds.

use super::task::{Packing, Pattern, Task, gathered};

/// Which of the open bars takes a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Choice {
    /// The first it fits in.
    First,
    /// The one it fills best.
    Best,
}

struct Bar {
    kind: usize,
    free: usize,
    take: Vec<(usize, usize)>,
}

impl Bar {
    fn put(&mut self, place: usize, count: usize, size: usize) {
        self.free -= count * size;
        match self.take.last_mut() {
            Some((last, had)) if *last == place => *had += count,
            _ => self.take.push((place, count)),
        }
    }
}

/// Longest piece first into the bars in hand, then into bars of the preferred kind, then of any kind that fits at the
/// least cost for its room. `None` if the limits do not suffice this way.
pub(super) fn fit(
    task: &Task,
    demand: &[usize],
    limits: &[usize],
    preferred: Option<usize>,
    choice: Choice,
) -> Option<Packing> {
    let mut stock = limits.to_vec();
    let mut bars: Vec<Bar> = Vec::new();
    // Bars with no room for the shortest piece are closed: with thousands of pieces that is most of them.
    let shortest = task.sizes.iter().zip(demand).filter(|(_, due)| **due > 0).map(|(size, _)| *size).min()?;
    let mut closed: Vec<Bar> = Vec::new();
    open_in_hand(task, &mut stock, &mut bars);
    for (place, (&size, &due)) in task.sizes.iter().zip(demand).enumerate() {
        let mut due = due;
        while due > 0 {
            let found = match choice {
                Choice::First => bars.iter_mut().find(|bar| bar.free >= size),
                Choice::Best => bars.iter_mut().filter(|bar| bar.free >= size).min_by_key(|bar| bar.free),
            };
            if let Some(bar) = found {
                let count = match choice {
                    Choice::First => due.min(bar.free / size),
                    Choice::Best => 1,
                };
                bar.put(place, count, size);
                due -= count;
                continue;
            }
            let kind = next_kind(task, &stock, preferred, size)?;
            *stock.get_mut(kind)? -= 1;
            bars.push(Bar { kind, free: task.room(kind), take: Vec::new() });
        }
        let mut index = 0;
        while let Some(bar) = bars.get(index) {
            if bar.free < shortest { closed.push(bars.remove(index)) } else { index += 1 }
        }
    }
    closed.extend(bars);
    closed.retain(|bar| !bar.take.is_empty());
    shrink(task, &mut stock, &mut closed);
    Some(gathered(closed.into_iter().map(|bar| (Pattern { kind: bar.kind, take: bar.take }, 1)).collect()))
}

/// Opens what costs nothing, shortest first, so that it is used before anything is bought.
fn open_in_hand(task: &Task, stock: &mut [usize], bars: &mut Vec<Bar>) {
    let mut free: Vec<usize> =
        task.kinds.iter().enumerate().filter(|(_, kind)| kind.cost == 0).map(|(place, _)| place).collect();
    free.sort_by_key(|&kind| task.room(kind));
    for kind in free {
        let Some(left) = stock.get_mut(kind) else { continue };
        for _ in 0..core::mem::take(left) {
            bars.push(Bar { kind, free: task.room(kind), take: Vec::new() });
        }
    }
}

/// The kind to open next for a piece.
fn next_kind(task: &Task, stock: &[usize], preferred: Option<usize>, size: usize) -> Option<usize> {
    let fits = |&kind: &usize| {
        stock.get(kind).is_some_and(|left| *left > 0) && task.room(kind) >= size && task.cost(kind) > 0
    };
    preferred.filter(fits).or_else(|| {
        (0..task.kinds.len()).filter(fits).min_by(|&a, &b| {
            let dear = |kind: usize, other: usize| u128::from(task.cost(kind)) * task.room(other) as u128;
            dear(a, b).cmp(&dear(b, a))
        })
    })
}

/// Exchanges a bar for a cheaper one that holds what was cut from it.
fn shrink(task: &Task, stock: &mut [usize], bars: &mut [Bar]) {
    for bar in bars {
        let filled = task.room(bar.kind) - bar.free;
        let cheaper = (0..task.kinds.len())
            .filter(|&kind| stock.get(kind).is_some_and(|left| *left > 0))
            .filter(|&kind| task.room(kind) >= filled && task.cost(kind) < task.cost(bar.kind))
            .min_by_key(|&kind| (task.cost(kind), task.room(kind)));
        if let Some(kind) = cheaper
            && let (Some(_), Some(_)) = (stock.get(kind), stock.get(bar.kind))
        {
            if let Some(left) = stock.get_mut(bar.kind) {
                *left += 1;
            }
            if let Some(left) = stock.get_mut(kind) {
                *left -= 1;
            }
            bar.free = task.room(kind) - filled;
            bar.kind = kind;
        }
    }
}
