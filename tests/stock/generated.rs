//! Bin packing instances made by the published rules for hard ones: never more than one bar over the proved bound, and
//! most of them proved.
//!
//! The rules (from memory; the classes are those of the literature, the instances our own): A. Scholl, R. Klein and
//! C. Jürgens, "BISON: a fast hybrid procedure for exactly solving the one-dimensional bin packing problem", Computers
//! & Operations Research 24 (1997), data sets 1 to 3; P. Schwerin and G. Wäscher, "The bin-packing problem: a problem
//! generator and some numerical experiments with FFD packing and MTP", International Transactions in Operational
//! Research 4 (1997). The last class spreads sizes from a fifth to four fifths of the bar.

use slopewright::quantity::mm;
use slopewright::stock::{CuttingJob, Piece, StockLength, cut};

use crate::Dice;

/// The capacity and the sizes of one instance of a class.
fn instance(class: usize, dice: &mut Dice) -> (u64, Vec<u64>) {
    let mut pick = |from: &[u64]| {
        let last = u64::try_from(from.len() - 1).unwrap();
        from[usize::try_from(dice.range(0, last)).unwrap()]
    };
    let (capacity, number, low, high) = match class {
        0 => (pick(&[100, 120, 150]), pick(&[100, 200]), pick(&[20, 30]), 100),
        1 => {
            let (mean, spread) = (1000 / pick(&[3, 5, 7, 9]), pick(&[20, 50, 90]));
            (1000, pick(&[100, 200]), mean * (100 - spread) / 100, mean * (100 + spread) / 100)
        }
        2 => (100_000, 200, 20_000, 35_000),
        3 => (1000, pick(&[100, 120]), 150, 200),
        _ => {
            let capacity = pick(&[100, 250, 500, 1000, 100_000]);
            (capacity, pick(&[100, 150, 200]), capacity / 5, capacity * 4 / 5)
        }
    };
    (capacity, (0..number).map(|_| dice.range(low, high)).collect())
}

#[test]
fn hard_instances_are_never_more_than_one_bar_over() {
    let full = std::env::var_os("SLOPEWRIGHT_FULL").is_some();
    let number = if full { 200 } else { 30 };
    let mut dice = Dice(77);
    let (mut proved, mut times) = (0, Vec::new());
    for index in 0..number {
        let (capacity, mut sizes) = instance(index % 5, &mut dice);
        sizes.sort_unstable();
        // The instances know no unit; as bars they have to be of lengths that the library takes.
        let tenths = 100_000 / capacity;
        let length = |size: u64| mm((size * tenths) as f64 / 10.0);
        let pieces = sizes
            .chunk_by(|a, b| a == b)
            .map(|equal| Piece {
                length: length(equal[0]),
                count: u32::try_from(equal.len()).unwrap(),
                label: String::new(),
            })
            .collect();
        let job = CuttingJob {
            pieces,
            stock: vec![StockLength::of(length(capacity))],
            offcuts: Vec::new(),
            kerf: mm(0.0),
            least_offcut: mm(0.0),
        };
        let begun = std::time::Instant::now();
        let plan = cut(&job).unwrap();
        times.push(begun.elapsed().as_secs_f64());
        let bars = plan.bars.len() as u64;
        let bound: u64 = plan.bound.try_into().unwrap();
        // The bound by sheer length holds whatever the search says.
        assert!(bars >= sizes.iter().sum::<u64>().div_ceil(capacity), "instance {index}");
        assert!(bound <= bars && bars <= bound + 1, "instance {index}: {bars} bars, bound {bound}");
        proved += usize::from(plan.proved);
    }
    times.sort_by(f64::total_cmp);
    let (median, slowest) = (times[times.len() / 2], times[times.len() - 1]);
    eprintln!("{number} hard instances: {proved} proved; median {median:.3} s, slowest {slowest:.2} s");
    assert!(proved * 10 >= number * 9, "{proved} of {number}");
}
