//! A survey taken through every room, with checks that hold for each.

use slopewright::drawing::{DrawingOptions, cutting_drawing};
use slopewright::order::{OrderDocument, PriceRow};
use slopewright::output::{JobDocument, Table, TakeOffDocument};
use slopewright::page::Page;
use slopewright::rules::Rules;
use slopewright::salvage::Salvage;
use slopewright::survey::Roof;
use slopewright::survey::outline::bounds;
use slopewright::{Error, Result, SurveyDocument, TakeOff};

/// Roofs beyond this are sound but slow to draw; the worst that the limits allow has a test of its own.
const MOST_SLOPES: usize = 12;
const MOST_SIDE_M: f64 = 40.0;

/// Whether there was a result; a fault must say enough to act on.
pub(crate) fn ends_well<T>(outcome: Result<T>) -> bool {
    outcome.map_err(|error| speaks(&error)).is_ok()
}

fn speaks(error: &Error) {
    for fault in error.faults() {
        // Shown where a seed that should reach a result does not.
        println!("{fault}");
        assert!(!fault.problem.is_empty() && !fault.advice.is_empty(), "{fault:?}");
        assert!(fault.given.chars().count() <= 81, "{fault:?}");
        assert!(fault.to_string().chars().count() < 4000, "{fault:?}");
    }
}

/// Takes a survey to its drawings, its order and its page.
pub(crate) fn through(survey: &SurveyDocument) -> Result<()> {
    reads_back(survey);
    let roof = survey.check()?;
    if is_small(&roof) { all_rooms(&TakeOff::of(&roof)?) } else { Ok(()) }
}

fn reads_back(survey: &SurveyDocument) {
    let json = survey.to_json().unwrap();
    assert_eq!(&SurveyDocument::from_json(&json).unwrap(), survey);
    if let Ok(text) = survey.to_toml() {
        let read = SurveyDocument::from_toml(&text).unwrap();
        assert_eq!(SurveyDocument::from_toml(&read.to_toml().unwrap()).unwrap(), read);
    }
}

fn is_small(roof: &Roof) -> bool {
    roof.slopes.len() <= MOST_SLOPES
        && roof.slopes.iter().all(|slope| {
            let (low, high) = bounds(slope.edges.iter().map(|edge| &edge.from));
            high.minus(low).length() <= MOST_SIDE_M
        })
}

fn all_rooms(take_off: &TakeOff) -> Result<()> {
    let sound = |tables: Vec<Table>| {
        for table in tables {
            let text = table.to_csv();
            assert!(!text.contains("NaN") && !text.contains("inf,"), "{}", table.name);
        }
    };
    sound(Table::all(take_off));
    // Without rafters there is no cutting list; all else there is.
    let cut = take_off.cut_battens(Rules::standard()).inspect_err(speaks).unwrap_or_default();
    let usual = DrawingOptions::default();
    for slope in &take_off.slopes {
        take_off.drawing(&slope.layout.slope, &usual, &cut)?;
    }
    assert!(take_off.plan_drawing(&usual).svg().trim_end().ends_with("</svg>"));
    if !cut.is_empty() {
        cutting_drawing(&take_off.name, &cut, None, &usual)?;
    }
    TakeOffDocument::of(take_off).with_cutting(cut).to_json()?;
    if let Err(error) = take_off.timber_list() {
        speaks(&error);
    }

    let salvaged = Salvage::from_toml(
        "slopewright = 1\n[reckoning]\nbasis = { on = \"likely\" }\nhandling_loss = \"2 %\"",
    )?
    .reckon(&take_off.needs())?;
    sound(Table::salvage(&salvaged));
    let mut order = OrderDocument::from_toml(
        "slopewright = 1\ncurrency = \"EUR\"\n[terms]\nrounding = \"half-up\"\nrounding_place = \"per-line\"",
    )?;
    let short = salvaged.shortages.iter().map(|short| short.unit.to_string());
    order.prices = short.map(|item| PriceRow::new(item, 2.into())).collect();
    let order = order.order_for(&salvaged, &[take_off])?;
    sound(Table::order(&order));
    JobDocument::of(&[take_off], &salvaged, Some(&order)).to_json()?;
    let page = Page::of(&[take_off]).with_salvage(&salvaged).with_order(&order).html();
    assert!(page.trim_end().ends_with("</html>"));
    Ok(())
}
