//! Two cuts out of one unit: never more units than one for each cut, never fewer than half of them or than their widths
//! fill.

use slopewright::setout::cells::Sweep;
use slopewright::survey::CutPolicy;
use slopewright::survey::Roof;
use slopewright::{SurveyDocument, TakeOff};

use crate::random::Random;

const COVERINGS: [&str; 4] = ["plain-tile-265x165", "interlocking-420x330", "slate-500x250", "slate-400x200"];

fn text(random: &mut Random, covering: &str, cuts: &str) -> String {
    let (width, rafter) = (random.mm(3500, 8000), random.mm(2500, 4500));
    let top = width * (0.2 + 0.8 * f64::from(random.under(100)) / 100.0);
    let offset = (width - top) * f64::from(random.under(100)) / 100.0;
    format!(
        r#"
        slopewright = 1
        covering = {{ format = "{covering}"{cuts} }}
        [[slope]]
        name = "s"
        shape = "trapezoid"
        pitch = "45 deg"
        eaves = "{width} mm"
        ridge = "{top} mm"
        offset = "{offset} mm"
        rafter = "{rafter} mm"
        opening = [{{ name = "o", from_left = "{} mm", from_eaves = "700 mm", width = "500 mm", height = "900 mm" }}]
        "#,
        width * 0.4
    )
}

fn roof(text: &str) -> Option<Roof> {
    let roof = SurveyDocument::from_toml(text).unwrap().check();
    if let Err(error) = &roof {
        eprintln!("{error}");
    }
    roof.ok()
}

#[test]
fn pairs_are_no_more_than_none_and_no_fewer_than_half_or_the_widths() {
    let (mut checked, mut saved) = (0, 0);
    for seed in 0..300 {
        let covering = COVERINGS[seed as usize % COVERINGS.len()];
        let both = |cuts: &str| roof(&text(&mut Random::new(seed), covering, cuts));
        let (Some(none), Some(pairs)) = (both(""), both(", cuts = \"pairs\"")) else { continue };
        let (none, pairs) = (TakeOff::of(&none).unwrap(), TakeOff::of(&pairs).unwrap());
        assert_eq!((none.cuts, pairs.cuts), (CutPolicy::None, CutPolicy::Pairs));
        let (one, two) = (&none.slopes[0], &pairs.slopes[0]);
        // The pieces that are laid are the same; only what they are cut from differs.
        assert_eq!(
            (one.units.whole, one.units.cut, one.units.tile_and_half),
            (two.units.whole, two.units.cut, two.units.tile_and_half)
        );
        assert_eq!(one.units.courses, two.units.courses);
        let (apart, together) = (one.units.taken_for_cuts(), two.units.taken_for_cuts());
        assert_eq!(apart, one.units.cut);
        assert!(together <= apart && together >= apart.div_ceil(2), "{seed}: {together} of {apart}");
        // The area bound: true shares of all cut cells that stay cut, less what tile-and-a-half units take. Only where none is
        // taken are all cut cells single cuts.
        if two.units.tile_and_half == 0 {
            let mut sweep = Sweep::new(&two.layout.covered);
            let mut share = 0.0;
            for course in &two.layout.courses {
                let runs = sweep.course(course.band);
                if course.kind == slopewright::setout::CourseKind::Field {
                    let cut = runs.iter().filter(|run| run.is_laid() && !run.is_whole());
                    share += cut.map(|run| run.share * f64::from(run.cells)).sum::<f64>();
                }
            }
            assert!(
                f64::from(together) >= share - 1e-9,
                "{seed}: {together} units for {share} of their faces"
            );
        }
        // What the order asks for is what is taken.
        let needed = |roof: &TakeOff| -> u64 { roof.needs().iter().map(|need| need.count).sum() };
        let less = two.units.paired.field + two.units.paired.under_eaves + two.units.paired.top;
        assert_eq!(needed(&none) - needed(&pairs), u64::from(less), "{seed}");
        let in_all = |roof: &TakeOff| -> u64 {
            let lines = roof.lines();
            let taken =
                lines.iter().filter(|line| line.slope.is_empty() && line.item.contains("units to take"));
            taken.filter_map(|line| line.count).sum()
        };
        assert_eq!(in_all(&none) - in_all(&pairs), u64::from(less), "{seed}");
        checked += 1;
        saved += u32::from(less > 0);
    }
    assert!(checked > 200 && saved > 100, "{saved} of {checked} save a unit");
}

/// By hand: a rectangle 10.15 units wide in straight bond has a piece of 0.15 of a unit in each course, all of one hand. Of
/// slates any two come out of one; of tiles with a side lap none do.
#[test]
fn hands_matter_where_there_is_a_side_lap() {
    let of = |covering: &str, width: f64, kerf: &str| {
        let text = format!(
            r#"
            slopewright = 1
            covering = {{ format = "{covering}", bond = "straight", cuts = "pairs", least_cut = "30 mm"{kerf} }}
            [[slope]]
            name = "s"
            shape = "rectangle"
            pitch = "45 deg"
            eaves = "{width} mm"
            rafter = "3 m"
            edges = {{ left = {{ role = "verge", overhang = "0 mm" }}, right = {{ role = "verge", overhang = "0 mm" }} }}
            "#
        );
        TakeOff::of(&roof(&text).unwrap()).unwrap().slopes[0].units.clone()
    };
    let slates = of("slate-500x250", 10.15 * 255.0, "");
    assert!(slates.cut > 4);
    assert_eq!(slates.paired.field, slates.cut / 2);
    let tiles = of("interlocking-420x330", 10.15 * 300.0, "");
    assert!(tiles.cut > 4);
    assert_eq!(tiles.paired.field, 0);
    // Halves of a unit leave no room for the saw, unless it takes none: 10.5 units with a joint that is the unit's own.
    let halves = |kerf: &str| of("plain-tile-265x165", 10.5 * 165.0, kerf);
    assert_eq!(halves("").paired.field, 0);
    let broken = halves(", saw_kerf = \"0 mm\"");
    assert_eq!(broken.paired.field, broken.cut / 2);
}
