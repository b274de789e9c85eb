//! What each fuzz target does with some bytes. It may not panic, hang or fill the memory.

use std::io::{Cursor, Write as _};
use std::sync::LazyLock;

use slopewright::batch::{Extent, Measures, Room, Terms, read_polygon, take_off_row};
use slopewright::catalogue::Catalogue;
use slopewright::city::{CityModel, CityTerms};
use slopewright::order::OrderDocument;
use slopewright::quantity::{Pitch, m, read_area, read_cover_mass, read_length, read_mass, read_pitch};
use slopewright::salvage::{Need, Salvage, Tally, append_line};
use slopewright::stock::{CuttingJob, Piece, StockLength, cut_within};
use slopewright::survey::outline::Point;
use slopewright::survey::tables::{Cell, Sheet, read_tables, template};
use slopewright::survey::{CoveringDocument, SurveyDocument};
use slopewright_workbook::{read_survey, survey_workbook};

use super::bytes::Bytes;
use super::roofs::{ends_well, through};

type Target = fn(&[u8]) -> bool;

/// Every target by its name. It says whether the bytes gave a result.
pub(crate) const TARGETS: &[(&str, Target)] = &[
    ("amounts", amounts),
    ("survey", survey),
    ("catalogue", catalogue),
    ("tables", tables),
    ("workbook", workbook),
    ("sheet", sheet),
    ("row", row),
    ("wkb", wkb),
    ("city", city),
    ("tally", tally),
    ("salvage", salvage),
    ("order", order),
    ("cutting", cutting),
];

/// Runs the target of this name.
pub(crate) fn run(name: &str, bytes: &[u8]) -> bool {
    let (_, target) = TARGETS.iter().find(|(other, _)| *other == name).unwrap();
    target(bytes)
}

/// A text of a tape sheet, read as every kind of amount.
fn amounts(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let finite = [
        read_length(&text).map(|length| length.value),
        read_area(&text).map(|area| area.value),
        read_mass(&text).map(|mass| mass.value),
        read_cover_mass(&text).map(|mass| mass.value),
        read_pitch(&text).map(Pitch::degrees),
    ];
    finite.into_iter().fold(false, |any, read| {
        ends_well(read.inspect(|value| assert!(value.is_finite(), "{text:?} is {value}"))) || any
    })
}

/// A survey in TOML, or in JSON where it begins with a brace.
fn survey(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let is_json = text.trim_start().starts_with('{');
    let read = if is_json { SurveyDocument::from_json(&text) } else { SurveyDocument::from_toml(&text) };
    ends_well(read.and_then(|survey| through(&survey)))
}

fn catalogue(bytes: &[u8]) -> bool {
    ends_well(Catalogue::standard().with_toml(&String::from_utf8_lossy(bytes)))
}

/// Tables as text: `== Name` begins one; cells stand apart by `|`.
fn tables(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let mut sheets: Vec<Sheet> = Vec::new();
    for line in text.lines() {
        if let Some(name) = line.strip_prefix("== ") {
            sheets.push(Sheet { name: name.to_owned(), rows: Vec::new() });
        } else if let Some(sheet) = sheets.last_mut() {
            let cell = |text: &str| match text.trim() {
                "yes" => Cell::Truth(true),
                "no" => Cell::Truth(false),
                text => text.parse().map_or_else(|_| Cell::Text(text.to_owned()), Cell::Number),
            };
            sheet.rows.push(line.split('|').map(cell).collect());
        }
    }
    ends_well(read_tables(&sheets).and_then(|survey| through(&survey)))
}

fn workbook(bytes: &[u8]) -> bool {
    ends_well(read_survey(bytes).and_then(|survey| through(&survey)))
}

/// The markup of one sheet inside a sound workbook: the checksums of an archive would keep a fuzzer out of it. The first
/// byte says which part of the archive is exchanged.
fn sheet(bytes: &[u8]) -> bool {
    static PARTS: LazyLock<Vec<(String, Vec<u8>)>> = LazyLock::new(sound_parts);
    let Some((&which, markup)) = bytes.split_first() else { return false };
    let exchanged = usize::from(which) % PARTS.len();
    let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let stored = zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for (at, (name, sound)) in PARTS.iter().enumerate() {
        archive.start_file(name, stored).unwrap();
        archive.write_all(if at == exchanged { markup } else { sound }).unwrap();
    }
    workbook(archive.finish().unwrap().get_ref())
}

/// The parts of a workbook that a reader opens, the sheets first.
fn sound_parts() -> Vec<(String, Vec<u8>)> {
    let survey = SurveyDocument::new("shed").with_covering(CoveringDocument::new("plain-tile-265x165"));
    let book = survey_workbook(&survey).unwrap();
    let mut archive = zip::ZipArchive::new(Cursor::new(book)).unwrap();
    let mut parts: Vec<(String, Vec<u8>)> = (0..archive.len())
        .map(|at| {
            let mut part = archive.by_index(at).unwrap();
            let mut content = Vec::new();
            std::io::copy(&mut part, &mut content).unwrap();
            (part.name().unwrap().into_owned(), content)
        })
        .collect();
    parts.sort_by_key(|(name, _)| (!name.contains("worksheets/sheet"), name.clone()));
    assert!(parts.len() > template().len());
    parts
}

fn terms() -> &'static Terms {
    static TERMS: LazyLock<Terms> = LazyLock::new(|| {
        let survey = "slopewright = 1\ncovering.format = \"plain-tile-265x165\"\n\
                      underlay.format = \"membrane-1x50\"\nbattens.rafter_spacing = \"600 mm\"";
        SurveyDocument::from_toml(survey).unwrap().check_terms().unwrap()
    });
    &TERMS
}

/// A row of a batch, by its measures.
fn row(bytes: &[u8]) -> bool {
    let mut bytes = Bytes(bytes);
    let shapes =
        ["rectangle", "trapezoid", "hip-end", "triangle", "parallelogram", "outline", "plan", "", "tape"];
    let coverings = ["", "interlocking-420x330", "shingle-18x6in", "plain-tile-265x165", "none"];
    let mut measures = Measures {
        shape: bytes.choice(&shapes).to_owned(),
        covering: bytes.choice(&coverings).to_owned(),
        pitch_deg: Some(bytes.number()),
        eaves_m: bytes.perhaps(),
        ridge_m: bytes.perhaps(),
        rafter_m: bytes.perhaps(),
        offset_m: bytes.perhaps(),
        headlap_m: bytes.perhaps(),
        gauge_m: bytes.perhaps(),
        eaves_overhang_m: bytes.perhaps(),
        verge_overhang_m: bytes.perhaps(),
        ..Measures::default()
    };
    for _ in 0..bytes.byte() % 8 {
        measures.push_role(bytes.choice(&["eaves", "hip", "verge", "", "valley", "side-abutment", "no"]));
    }
    let mut into_opening = false;
    while !bytes.is_empty() && measures.corners.len() < 200 {
        if bytes.byte() == 255 {
            measures.openings.push(Vec::new());
            into_opening = true;
        } else {
            let corner = Point::new(bytes.number(), bytes.number());
            match measures.openings.last_mut().filter(|_| into_opening) {
                Some(opening) => opening.push(corner),
                None => measures.corners.push(corner),
            }
        }
    }
    let is_full =
        [measures.headlap_m, measures.gauge_m, measures.eaves_overhang_m, measures.verge_overhang_m]
            .iter()
            .all(Option::is_some);
    if !is_full {
        keep_what_the_shape_takes(&mut measures);
    }
    counted(&measures)
}

/// Takes away what would be a fault of almost every row of bytes, so that rows get further than that.
fn keep_what_the_shape_takes(measures: &mut Measures) {
    if matches!(measures.shape.as_str(), "outline" | "plan" | "") {
        for figure in
            [&mut measures.eaves_m, &mut measures.ridge_m, &mut measures.rafter_m, &mut measures.offset_m]
        {
            *figure = None;
        }
        return;
    }
    measures.corners.clear();
    if measures.shape != "trapezoid" {
        measures.ridge_m = None;
    }
    if measures.shape == "rectangle" {
        measures.offset_m = None;
    }
}

fn counted(measures: &Measures) -> bool {
    let outcome = take_off_row(measures, terms(), Extent::Whole, &mut Room::default());
    ends_well(outcome.inspect(|totals| {
        let figures = [totals.gross_area_m2, totals.covered_area_m2, totals.unit_mass_kg.unwrap_or_default()];
        assert!(
            figures.iter().all(|figure| figure.is_finite() && *figure >= 0.0),
            "{measures:?}: {totals:?}"
        );
        // A narrow cut and its neighbour may be a tile-and-a-half.
        let units = totals.whole + totals.cut + totals.tile_and_half;
        assert!(
            units > 0 || totals.covered_area_m2 < left_bare_m2(measures, totals.gauge_m),
            "{measures:?}: {totals:?}"
        );
    }))
}

/// Nothing is covered by nothing: what is left bare where no unit is laid lies in cells of which no more than a hundredth
/// is covered. A line crosses no more cells than it has courses and units from end to end, and one more of each.
fn left_bare_m2(measures: &Measures, gauge_m: f64) -> f64 {
    /// The narrowest unit of the formats above, as laid.
    const NARROWEST_M: f64 = 0.15;
    /// The cover width of the widest.
    const WIDEST_M: f64 = 0.5;
    let reach = |part: fn(&Point) -> f64| {
        let places = measures.corners.iter().map(part);
        places.clone().fold(0.0, f64::max) - places.fold(0.0, f64::min)
    };
    let taped = [measures.eaves_m, measures.ridge_m, measures.offset_m].into_iter().flatten();
    let across = reach(|p| p.u) + taped.map(f64::abs).sum::<f64>();
    let up = reach(|p| p.v) + measures.rafter_m.unwrap_or_default();
    // A plan is longer on the slope.
    let is_plan = measures.shape == "plan";
    let steep = if is_plan { measures.pitch_deg.unwrap_or_default().to_radians().cos() } else { 1.0 };
    let crossed = across / NARROWEST_M + up / steep / gauge_m + 2.0;
    // A needle of an outline may lie on both sides of a joint all the way.
    0.01 * gauge_m * WIDEST_M * 2.0 * crossed
}

/// An outline as well-known binary.
fn wkb(bytes: &[u8]) -> bool {
    let mut measures = Measures { pitch_deg: Some(45.0), ..Measures::default() };
    let read = read_polygon(bytes, &mut measures.corners, &mut measures.openings);
    ends_well(read) && counted(&measures)
}

fn city(bytes: &[u8]) -> bool {
    let read = CityModel::read(&String::from_utf8_lossy(bytes), &CityTerms::default());
    let model = match read {
        Ok(model) => model,
        Err(error) => return ends_well::<()>(Err(error)),
    };
    let terms =
        SurveyDocument::from_toml("slopewright = 1\ncovering.format = \"plain-tile-265x165\"").unwrap();
    let surveys = model.buildings.iter().take(4).map(|building| building.survey(&terms));
    surveys.fold(false, |any, survey| ends_well(through(&survey)) || any)
}

/// A tally, torn or whole: what can be recovered of it is never lost again.
fn tally(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let kept = Tally::recover(&text).tally;
    assert_eq!(Tally::read(&kept.write()).unwrap(), kept);
    assert_eq!(kept.clone().merge(kept.clone()), kept);
    let Some(entry) = kept.entries().next() else { return false };
    assert_eq!(Tally::recover(&append_line(&text, entry)).tally, kept);
    ends_well(kept.by_day());
    ends_well(kept.heaps()) && ends_well(Tally::read(&text))
}

/// A salvage document, reckoned against needs of its own units.
fn salvage(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let is_json = text.trim_start().starts_with('{');
    let read = if is_json { Salvage::from_json(&text) } else { Salvage::from_toml(&text) };
    ends_well(read.and_then(|salvage| {
        if let Ok(written) = salvage.to_toml() {
            assert_eq!(Salvage::from_toml(&written).unwrap(), salvage);
        }
        let needs: Vec<Need> = (1..)
            .zip(&salvage.heaps)
            .map(|(number, heap)| Need::new(format!("slope {}", number % 3), heap.unit.clone(), 100 * number))
            .collect();
        salvage.reckon(&needs)
    }))
}

/// An order document; behind a line `---` a price list in comma-separated text.
fn order(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let (document, prices) = text.split_once("\n---\n").unwrap_or((&text, "item,price\n"));
    ends_well(OrderDocument::from_toml(document).and_then(|document| document.with_csv(prices)).and_then(
        |document| {
            let wanted: Vec<_> = (0..)
                .zip(document.prices.iter().take(50))
                .map(|(number, row)| slopewright::order::Wanted::exactly(row.item.clone(), 7 * number))
                .collect();
            let order = document.order(&wanted)?;
            document.second_deliveries(&order, 90.into()).map(drop)
        },
    ))
}

fn cutting(bytes: &[u8]) -> bool {
    let mut bytes = Bytes(bytes);
    let mut job = CuttingJob {
        pieces: Vec::new(),
        stock: Vec::new(),
        offcuts: Vec::new(),
        kerf: m(f64::from(bytes.byte()) / 10_000.0),
        least_offcut: m(0.3),
    };
    while !bytes.is_empty() && job.pieces.len() < 60 {
        match bytes.byte() % 8 {
            0 => {
                let limit = bytes.perhaps().map(|_| u32::from(bytes.byte()));
                let price = bytes.perhaps().map(|_| bytes.byte().into());
                job.stock.push(StockLength { length: m(bytes.number().abs()), price, limit });
            }
            1 => job.offcuts.push(m(bytes.number().abs())),
            _ => {
                let count = u32::from(bytes.byte());
                job.pieces.push(Piece { length: m(bytes.number()), count, label: String::new() });
            }
        }
    }
    ends_well(cut_within(&job, 200_000).inspect(|plan| {
        let wanted: u64 = job.pieces.iter().map(|piece| u64::from(piece.count)).sum();
        let made: usize = plan.bars.iter().map(|bar| bar.cuts.len()).sum();
        assert_eq!(made as u64, wanted, "{job:?}");
    }))
}
