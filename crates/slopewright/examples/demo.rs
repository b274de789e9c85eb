//! The main job on the demo roof: `cargo demo`. Its first lines say whether the old tiles are enough; then come what the
//! roof needs, who gets the old tiles, and the order. The files, a page and
//! drawings among them, go to `target/demo`.

#![allow(clippy::print_stdout, reason = "a demo prints")]

use std::error::Error;
use std::fs;
use std::path::Path;

use slopewright::drawing::{DrawingOptions, Layer, cutting_drawing};
use slopewright::order::{Order, OrderDocument};
use slopewright::output::{JobDocument, Table, TakeOffDocument};
use slopewright::page::Page;
use slopewright::quantity::figure;
use slopewright::rules::Rules;
use slopewright::salvage::{Salvage, Salvaged};
use slopewright::takeoff::{Line, SlopeCutting};
use slopewright::{SurveyDocument, TakeOff};

fn main() -> Result<(), Box<dyn Error>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize()?;
    let examples = root.join("docs/examples");
    let text = |name: &str| fs::read_to_string(examples.join(name));

    let take_off = TakeOff::of(&SurveyDocument::from_toml(&text("reading-room.toml")?)?.check()?)?;
    let salvaged = Salvage::from_toml(&text("reading-room-salvage.toml")?)?.reckon(&take_off.needs())?;
    let order = OrderDocument::from_toml(&text("reading-room-order.toml")?)?
        .with_csv(&text("reading-room-prices.csv")?)?
        .order_for(&salvaged, &[&take_off])?;
    let job = JobDocument::of(&[&take_off], &salvaged, Some(&order));

    println!("{}\n", salvaged.answer.join("\n"));
    print_take_off(&take_off);
    print_salvage(&salvaged);
    print_order(&order);
    println!("\nWhere the openings would better stand");
    for placing in take_off.placing() {
        println!("  {}", placing.finding());
    }
    println!("\nWhat you must know");
    for finding in &job.findings {
        println!("  {finding}");
    }

    let folder = root.join("target/demo");
    fs::create_dir_all(&folder)?;
    fs::write(folder.join("take-off.json"), TakeOffDocument::of(&take_off).to_json()?)?;
    fs::write(folder.join("job.json"), job.to_json()?)?;
    let mut tables = Table::all(&take_off);
    tables.extend(Table::salvage(&salvaged));
    tables.extend(Table::order(&order));
    tables.push(Table::load(&job.load));
    // The job's findings hold those of the take-off.
    tables.push(Table::findings(&job.findings));
    for table in tables {
        fs::write(folder.join(table.name).with_extension("csv"), table.to_csv())?;
    }
    let looked_at = write_drawings(&take_off, &folder)?;
    let page = Page::of(&[&take_off]).with_salvage(&salvaged).with_order(&order).html();
    fs::write(folder.join("page.html"), page)?;
    // The README shows this one; the file in the repository is written anew by the same command when asked for.
    if std::env::args().any(|word| word == "--readme-picture") {
        let front = take_off.drawing("main roof front", &DrawingOptions::default(), &[])?;
        fs::create_dir_all(root.join("docs/images"))?;
        fs::write(root.join("docs/images/reading-room-front.svg"), front.svg())?;
    }
    println!("\nThe survey, what came off, and the prices: {}/reading-room*", examples.display());
    println!("The result: {} (take-off.json, job.json, and a CSV file for each table)", folder.display());
    println!("The page, for a browser or a phone: {}", folder.join("page.html").display());
    println!("The drawings: {} ({})", folder.display(), looked_at.join(", "));
    Ok(())
}

/// Writes the plan, each slope and the cutting list as SVG, and says what they are called.
fn write_drawings(take_off: &TakeOff, folder: &Path) -> Result<Vec<String>, Box<dyn Error>> {
    let cut = take_off.cut_battens(Rules::standard())?;
    let usual = DrawingOptions::default();
    let mut drawings = vec![
        ("plan.svg".to_owned(), take_off.plan_drawing(&usual)),
        ("cutting.svg".to_owned(), cutting_drawing(&take_off.name, &cut, None, &usual)?),
    ];
    let work = DrawingOptions::of([Layer::Rafters, Layer::Battens, Layer::Openings, Layer::Dimensions]);
    for (at, slope) in (1..).zip(&take_off.slopes) {
        let name = &slope.layout.slope;
        drawings.push((format!("slope-{at}.svg"), take_off.drawing(name, &usual, &cut)?));
        drawings.push((format!("slope-{at}-battens.svg"), take_off.drawing(name, &work, &cut)?));
    }
    for (name, drawing) in &drawings {
        fs::write(folder.join(name), drawing.svg())?;
    }
    Ok(drawings.into_iter().map(|(name, _)| name).collect())
}

fn print_take_off(take_off: &TakeOff) {
    println!("{}\n", take_off.name);
    let lines = take_off.lines();
    print_block("The whole roof", lines.iter().filter(|line| line.slope.is_empty()));
    for slope in &take_off.slopes {
        let name = &slope.layout.slope;
        print_block(name, lines.iter().filter(|line| line.slope == *name && line.edge.is_empty()));
    }
    if let Ok(cut) = take_off.cut_battens(Rules::standard()) {
        let bars: Vec<Line> = cut.iter().flat_map(SlopeCutting::lines).collect();
        for slope in &cut {
            print_block(
                &format!("Battens from stock, {}", slope.slope),
                bars.iter().filter(|line| line.slope == slope.slope),
            );
        }
    }
    println!("Edge by edge, each joint once\n-----------------------------");
    for line in lines.iter().filter(|line| !line.edge.is_empty()) {
        println!("  {} ({}): {}: {}", line.slope, line.edge, line.item, line.working);
    }
    println!();
    println!("How the first slope is set out");
    if let Some(slope) = take_off.slopes.first() {
        for step in slope.layout.working(&slope.slope) {
            println!("  {step}");
        }
    }
}

fn print_block<'a>(title: &str, lines: impl Iterator<Item = &'a Line>) {
    println!("{title}\n{}", "-".repeat(title.len()));
    let lines: Vec<&Line> = lines.collect();
    let width = lines.iter().map(|line| line.item.len()).max().unwrap_or(0);
    for line in lines {
        let amounts = [
            line.count.map(|count| count.to_string()),
            line.length_m.map(|length| format!("{} m", figure(length, 2))),
            line.area_m2.map(|area| format!("{} m2", figure(area, 2))),
            line.mass_kg.map(|mass| format!("{} kg", figure(mass, 1))),
        ];
        let amounts: Vec<String> = amounts.into_iter().flatten().collect();
        println!("  {:width$} {}", line.item, amounts.join(", "));
    }
    println!();
}

fn print_salvage(salvaged: &Salvaged) {
    println!("\nWhat came off\n-------------");
    for of in &salvaged.shared.supplies {
        println!(
            "  {:40} {} came off, {} relied on, {} lost, {} laid, {} held back, {} left",
            of.supply.unit.to_string(),
            of.supply.came_off,
            of.supply.salvaged,
            of.supply.lost,
            of.used,
            of.reserve,
            of.left
        );
        for step in &of.supply.working {
            println!("    {step}");
        }
    }
    println!("\nWho gets it\n-----------");
    for row in &salvaged.shared.needs {
        println!(
            "  {:16} {:40} {} needed, {} met, {} to buy",
            row.need.slope,
            row.need.unit.to_string(),
            row.need.count,
            row.met,
            row.bought
        );
    }
    for held in &salvaged.shared.reserves {
        println!("  held back for roof '{}': {} of {} ({})", held.roof, held.held, held.wanted, held.working);
    }
}

fn print_order(order: &Order) {
    println!("\nThe order\n---------");
    for line in &order.lines {
        println!(
            "  {:40} {} needed, {} ordered in {} packs and {} loose, net {} {}",
            line.item, line.needed, line.ordered, line.packs, line.loose, line.net, order.total.currency
        );
    }
    let total = &order.total;
    println!("  net {}, tax {}, to pay {} {}", total.net, total.tax, total.gross, total.currency);
    println!("  {} kg, {} pallets", order.mass_kg.round_dp(1), order.pallets);
}
