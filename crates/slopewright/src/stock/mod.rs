//! Cutting pieces from stock lengths, with proof.

mod basket;
mod completion;
mod dive;
mod engine;
mod first_fit;
mod knapsack;
mod master;
mod relax;
mod task;

/// temporary
#[doc(hidden)]
pub fn raw(capacity: usize, items: &[(usize, usize)], steps: u64) -> Option<(u64, u64)> {
    let task = task::Task {
        sizes: items.iter().map(|i| i.0).collect(),
        demand: items.iter().map(|i| i.1).collect(),
        kinds: vec![task::Kind { room: capacity, cost: 1, limit: items.iter().map(|i| i.1).sum() }],
    };
    let mut effort = task::Effort::of(steps);
    let a = engine::solve(&task, &mut effort)?;
    assert!(task.holds(&a.packing));
    eprint!("left {:>12} ", effort.left());
    Some((a.cost, a.bound))
}
