//! The main job on the demo roof: `cargo demo`. It prints what the roof needs and writes the files to `target/demo`.

use std::error::Error;
use std::fs;
use std::path::Path;

use slopewright::output::{Table, TakeOffDocument};
use slopewright::quantity::figure;
use slopewright::takeoff::Line;
use slopewright::{SurveyDocument, TakeOff};

fn main() -> Result<(), Box<dyn Error>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize()?;
    let survey = root.join("docs/examples/reading-room.toml");
    let take_off = TakeOff::of(&SurveyDocument::from_toml(&fs::read_to_string(&survey)?)?.check()?)?;

    println!("{}\n", take_off.name);
    let lines = take_off.lines();
    print_block("The whole roof", lines.iter().filter(|line| line.slope.is_empty()));
    for slope in &take_off.slopes {
        let name = &slope.layout.slope;
        print_block(name, lines.iter().filter(|line| line.slope == *name));
    }
    println!("How the first slope is set out");
    if let Some(slope) = take_off.slopes.first() {
        for step in slope.layout.working(&slope.slope) {
            println!("  {step}");
        }
    }
    println!("\nWhere the openings would better stand");
    for placing in take_off.placing() {
        println!("  {}", placing.finding());
    }
    println!("\nWhat you must know");
    for finding in take_off.findings() {
        println!("  {finding}");
    }

    let folder = root.join("target/demo");
    fs::create_dir_all(&folder)?;
    fs::write(folder.join("take-off.json"), TakeOffDocument::of(&take_off).to_json()?)?;
    for table in Table::all(&take_off) {
        fs::write(folder.join(table.name).with_extension("csv"), table.to_csv())?;
    }
    println!("\nThe survey: {}", survey.display());
    println!("The result: {} (take-off.json, and a CSV file for each table)", folder.display());
    Ok(())
}

fn print_block<'a>(title: &str, lines: impl Iterator<Item = &'a Line>) {
    println!("{title}\n{}", "-".repeat(title.len()));
    for line in lines {
        let amounts = [
            line.count.map(|count| count.to_string()),
            line.length_m.map(|length| format!("{} m", figure(length, 2))),
            line.area_m2.map(|area| format!("{} m2", figure(area, 2))),
            line.mass_kg.map(|mass| format!("{} kg", figure(mass, 1))),
        ];
        let amounts: Vec<String> = amounts.into_iter().flatten().collect();
        println!("  {:46} {}", line.item, amounts.join(", "));
    }
    println!();
}
