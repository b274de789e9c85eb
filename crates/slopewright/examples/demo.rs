//! The main job on the demo roof: `cargo demo`.
use slopewright::survey::SurveyDocument;
use slopewright::takeoff::TakeOff;
fn main() {
    let text = std::fs::read_to_string("docs/examples/reading-room.toml").unwrap();
    let roof = SurveyDocument::from_toml(&text).unwrap().check().unwrap_or_else(|e| panic!("{e}"));
    let t = TakeOff::of(&roof).unwrap();
    for l in t.lines() {
        println!(
            "{:18} {:9} {:34} {:28} {:?} {:?} {:?} {:?}\n      {}",
            l.slope,
            l.part.word(),
            l.item,
            l.format,
            l.count,
            l.length_m,
            l.area_m2,
            l.mass_kg,
            l.working
        );
    }
    for s in &t.slopes {
        for w in s.layout.working(&s.slope) {
            println!("  {w}");
        }
    }
    for f in t.findings() {
        println!("{f}");
    }
}
