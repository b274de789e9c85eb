//! Published one-dimensional cutting instances with proven optimum (Falkenauer 1996 U and T, Hard28, Waescher and Gau
//! 1996), from the shared data: never better than the optimum, never a bound above it, and most of them solved.

use std::{env, fs, path::PathBuf};

use serde_json::Value;
use slopewright::quantity::{Length, mm};
use slopewright::stock::{CuttingJob, Piece, StockLength, cut};

fn instances() -> Option<String> {
    let folder = env::var_os("SLOPEWRIGHT_SHARED_DATA").map_or_else(
        || PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../../shared/data"),
        PathBuf::from,
    );
    let file = folder.join("cutting-stock/instances.jsonl");
    let text = fs::read_to_string(&file).ok();
    if text.is_none() {
        eprintln!("skipped: {} is not there; set SLOPEWRIGHT_SHARED_DATA to the shared data", file.display());
    }
    text
}

/// Whole units of an instance become tenths of a millimetre, the grid of the library.
fn tenth(value: &Value) -> Length {
    mm(value.as_f64().unwrap() / 10.0)
}

#[test]
fn published_instances_reach_their_optimum() {
    let Some(text) = instances() else { return };
    let (mut reached, mut proved, mut number, mut slowest) = (0, 0, 0, 0.0_f64);
    for line in text.lines() {
        let instance: Value = serde_json::from_str(line).unwrap();
        let pieces = instance["items"]
            .as_array()
            .unwrap()
            .iter()
            .map(|item| Piece {
                length: tenth(&item[0]),
                count: u32::try_from(item[1].as_u64().unwrap()).unwrap(),
                label: String::new(),
            })
            .collect();
        let length = tenth(&instance["capacity"]);
        let (length, pieces) = longer(length, pieces);
        let job = CuttingJob {
            pieces,
            stock: vec![StockLength::of(length)],
            offcuts: Vec::new(),
            kerf: mm(0.0),
            least_offcut: mm(0.0),
        };
        let begun = std::time::Instant::now();
        let plan = cut(&job).unwrap();
        slowest = slowest.max(begun.elapsed().as_secs_f64());
        let optimum = instance["ub"].as_u64().unwrap();
        let bars = plan.bars.len() as u64;
        let bound: u64 = plan.bound.try_into().unwrap();
        let name = &instance["name"];
        assert!(bars >= optimum, "{name}: {bars} bars, fewer than the optimum {optimum}");
        assert!(bound <= optimum, "{name}: bound {bound} above the optimum {optimum}");
        assert!(bars <= optimum + 1, "{name}: {bars} bars, optimum {optimum}");
        number += 1;
        reached += usize::from(bars == optimum);
        proved += usize::from(plan.proved);
    }
    eprintln!("{number} instances: optimum reached on {reached}, proved on {proved}; slowest {slowest:.2} s");
    assert!(number == 40 && reached >= 32 && proved >= 30);
}

/// The instances know no unit. A hundred times as long they stay within the lengths that the library takes.
fn longer(length: Length, pieces: Vec<Piece>) -> (Length, Vec<Piece>) {
    let factor = if length > mm(100.0) { 10.0 } else { 100.0 };
    (
        length * factor,
        pieces.into_iter().map(|piece| Piece { length: piece.length * factor, ..piece }).collect(),
    )
}
