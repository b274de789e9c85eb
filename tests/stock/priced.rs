//! Several priced lengths against a mixed-integer solver of another kind: `tests/oracle/priced_cutting.py` made the
//! problems and solved them over all cutting patterns.

use rust_decimal::Decimal;
use serde_json::Value;
use slopewright::quantity::{LengthIn as _, mm};
use slopewright::stock::{CuttingJob, Piece, StockLength, cut};

const SOLVED: &str = include_str!("../oracle/priced_cutting.json");

#[test]
fn priced_lengths_agree_with_a_solver_of_another_kind() {
    let problems: Vec<Value> = serde_json::from_str(SOLVED).unwrap();
    let numbers = |value: &Value| -> Vec<u32> {
        value.as_array().unwrap().iter().map(|n| u32::try_from(n.as_u64().unwrap()).unwrap()).collect()
    };
    let (mut proved, mut both, mut gaps, mut times) = (0, 0, Vec::new(), Vec::new());
    for (index, problem) in problems.iter().enumerate() {
        let (bars, prices) = (numbers(&problem["bars_mm"]), numbers(&problem["prices_pence"]));
        let job = CuttingJob {
            pieces: numbers(&problem["lengths_mm"])
                .into_iter()
                .zip(numbers(&problem["counts"]))
                .map(|(length, count)| Piece { length: mm(length.into()), count, label: String::new() })
                .collect(),
            stock: bars
                .iter()
                .zip(&prices)
                .map(|(&bar, &price)| StockLength::of(mm(bar.into())).at(Decimal::new(price.into(), 2)))
                .collect(),
            offcuts: Vec::new(),
            kerf: mm(0.0),
            least_offcut: mm(0.0),
        };
        let begun = std::time::Instant::now();
        let plan = cut(&job).unwrap();
        times.push(begun.elapsed().as_secs_f64());
        // Recounted from the bars themselves.
        let cost: u64 = plan
            .bars
            .iter()
            .map(|bar| {
                let place = bars.iter().position(|b| (f64::from(*b) - bar.length.mm()).abs() < 0.01).unwrap();
                u64::from(prices[place])
            })
            .sum();
        assert_eq!(Decimal::new(i64::try_from(cost).unwrap(), 2), plan.value.round_dp(2), "problem {index}");
        let bound: u64 = (plan.bound * Decimal::from(100)).try_into().unwrap();
        let solver = problem["cost_pence"].as_u64().unwrap();
        let least = problem["bound_pence"].as_u64().unwrap();
        assert!(cost >= least, "problem {index}: {cost} is below the solver's bound {least}");
        assert!(bound <= solver, "problem {index}: bound {bound} above the solver's cost {solver}");
        if plan.proved {
            proved += 1;
            if problem["proved"].as_bool().unwrap() {
                both += 1;
                assert_eq!(cost, solver, "problem {index}");
            }
        } else {
            gaps.push((cost - bound) as f64 / bound as f64);
        }
    }
    gaps.sort_by(f64::total_cmp);
    times.sort_by(f64::total_cmp);
    eprintln!(
        "{} problems: {proved} proved, {both} by both; gaps of the others {gaps:.4?}; median {:.1} ms, slowest {:.2} s",
        problems.len(),
        times[times.len() / 2] * 1000.0,
        times[times.len() - 1]
    );
    assert!(proved * 10 >= problems.len() * 9);
    assert!(gaps.get(gaps.len() / 2).is_none_or(|gap| *gap <= 0.005));
    assert!(gaps.last().is_none_or(|gap| *gap <= 0.02));
}
