//! What a row's text is given to.

use serde::Deserialize;
use slopewright::catalogue::Catalogue;
use slopewright::drawing::{DrawingOptions, Layer};
use slopewright::order::{OrderDocument, PriceList, Terms, Wanted, order};
use slopewright::output::Table;
use slopewright::quantity::{Length, read_area, read_cover_mass, read_length, read_mass, read_pitch};
use slopewright::salvage::{Need, Portion, Salvage, Tally, UnitKey};
use slopewright::stock::{
    BattenJob, BattenRow, CuttingJob, JointRule, Piece, Rafters, Stagger, StockLength, cut, lay_battens,
};
use slopewright::survey::tables::{Cell, Sheet, read_tables};
use slopewright::{Error, Fault, Result, SurveyDocument, TakeOff};

/// An order as one text, for these rows only.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OrderText {
    wanted: Vec<Wanted>,
    prices: PriceList,
    terms: Terms,
}

/// What came off and what is needed as one text, for these rows only.
#[derive(Deserialize)]
struct SalvageText {
    #[serde(flatten)]
    salvage: Salvage,
    #[serde(default)]
    needs: Vec<Need>,
}

/// A cutting list as one text, for these rows only.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CuttingText {
    pieces: Vec<PieceText>,
    stock: Vec<StockText>,
    offcuts: Vec<String>,
    kerf: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PieceText {
    length: String,
    count: u32,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StockText {
    length: String,
    price: Option<String>,
    limit: Option<u32>,
}

/// Rows of battens as one text, for these rows only.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BattensText {
    /// The level of each row, and its runs.
    rows: Vec<(String, Vec<(String, String)>)>,
    rafters: Vec<String>,
    stock: String,
    gauge: String,
    joints_in_rows: (usize, usize),
}

fn long(text: &str) -> Length {
    read_length(text).unwrap_or_else(|error| panic!("{error}"))
}

impl CuttingText {
    fn job(self) -> CuttingJob {
        let stock = |row: StockText| StockLength {
            length: long(&row.length),
            price: row.price.map(|price| price.parse().expect("a price is a decimal")),
            limit: row.limit,
        };
        let piece =
            |row: PieceText| Piece { length: long(&row.length), count: row.count, label: String::new() };
        CuttingJob {
            pieces: self.pieces.into_iter().map(piece).collect(),
            stock: self.stock.into_iter().map(stock).collect(),
            offcuts: self.offcuts.iter().map(|offcut| long(offcut)).collect(),
            kerf: long(&self.kerf),
            least_offcut: long("300 mm"),
        }
    }
}

impl BattensText {
    fn job(self) -> BattenJob {
        let run = |(from, to): &(String, String)| (long(from), long(to));
        let (joints, rows) = self.joints_in_rows;
        let row = |(up, runs): &(String, Vec<(String, String)>)| BattenRow {
            label: up.clone(),
            up: long(up),
            runs: runs.iter().map(run).collect(),
        };
        BattenJob {
            rows: self.rows.iter().map(row).collect(),
            rafters: Rafters::At(self.rafters.iter().map(|centre| long(centre)).collect()),
            gauge: long(&self.gauge),
            rule: JointRule {
                least_length: long("1.2 m"),
                least_supports: 3,
                close_gauge: long("200 mm"),
                close: Stagger { joints: 3, rows: 12 },
                wide: Stagger { joints, rows },
            },
            stock: vec![StockLength::of(long(&self.stock))],
            offcuts: Vec::new(),
            kerf: long("3 mm"),
            least_offcut: long("300 mm"),
        }
    }
}

/// Gives the text to what the row names, and returns the faults that come of it.
pub(crate) fn give(entry: &str, text: &str) -> Vec<Fault> {
    let result = match entry {
        "length" => read_length(text).map(drop),
        "pitch" => read_pitch(text).map(drop),
        "area" => read_area(text).map(drop),
        "mass" => read_mass(text).map(drop),
        "cover-mass" => read_cover_mass(text).map(drop),
        "survey" => SurveyDocument::from_toml(text).and_then(|survey| taken_off(&survey)),
        "survey-json" => SurveyDocument::from_json(text).and_then(|survey| taken_off(&survey)),
        "json-to-toml" => SurveyDocument::from_json(text).and_then(|survey| survey.to_toml()).map(drop),
        "wkb" => {
            let digits: Vec<u32> = text.chars().filter_map(|sign| sign.to_digit(16)).collect();
            let byte =
                |pair: &[u32]| u8::try_from(pair.iter().fold(0, |byte, digit| byte * 16 + digit)).unwrap();
            let bytes: Vec<u8> = digits.chunks(2).map(byte).collect();
            slopewright::batch::read_polygon(&bytes, &mut Vec::new(), &mut Vec::new())
        }
        "city-model" => {
            slopewright::city::CityModel::read(text, &slopewright::city::CityTerms::default()).map(drop)
        }
        "survey-tables" => read_tables(&sheets(text)).and_then(|survey| taken_off(&survey)),
        "survey-workbook" => {
            slopewright_workbook::read_survey(text.as_bytes()).and_then(|survey| taken_off(&survey))
        }
        "catalogue" => Catalogue::standard().with_toml(text).map(drop),
        "portion" => text.parse::<Portion>().map(drop),
        "unit" => text.parse::<UnitKey>().map(drop),
        "tally" => Tally::read(text).and_then(|tally| tally.heaps()).map(drop),
        "salvage" => {
            let text: SalvageText = toml::from_str(text).unwrap_or_else(|error| panic!("{error}\n{text}"));
            text.salvage.reckon(&text.needs).map(drop)
        }
        "same-roof-twice" => SurveyDocument::from_toml(text).and_then(|survey| {
            let roof = TakeOff::of(&survey.check()?)?;
            let salvage = Salvage::from_toml("slopewright = 1\n[reckoning]\nbasis = { on = \"likely\" }")?;
            salvage.reckon_for(&[&roof, &roof]).map(drop)
        }),
        "salvage-document" => Salvage::from_toml(text).map(drop),
        "order-document" => OrderDocument::from_toml(text).map(drop),
        "prices" => PriceList::read_csv("EUR", text).and_then(|prices| prices.check()).map(drop),
        "currency" => PriceList { currency: text.to_owned(), rows: Vec::new() }.check().map(drop),
        "order" => {
            let text: OrderText = toml::from_str(text).unwrap_or_else(|error| panic!("{error}\n{text}"));
            order(&text.wanted, &text.prices, &text.terms).map(drop)
        }
        "cutting" => {
            let text: CuttingText = toml::from_str(text).unwrap_or_else(|error| panic!("{error}\n{text}"));
            cut(&text.job()).map(drop)
        }
        "battens" => {
            let text: BattensText = toml::from_str(text).unwrap_or_else(|error| panic!("{error}\n{text}"));
            lay_battens(&text.job()).map(drop)
        }
        "table" => Table::named(vec![Table::lines(&[]), Table::findings(&[])], text).map(drop),
        "layer" => Layer::from_word(text).map(drop),
        "slope-drawing" => drawn(text),
        other => panic!("no entry is called '{other}'"),
    };
    result.err().map(Error::into_faults).unwrap_or_default()
}

/// Sheets as one text, for these rows only: `== Name`, then rows of cells with `|` between; `!` is before what is neither
/// text nor a number.
fn sheets(text: &str) -> Vec<Sheet> {
    let mut sheets: Vec<Sheet> = Vec::new();
    for line in text.lines().filter(|line| !line.trim().is_empty()) {
        if let Some(name) = line.strip_prefix("== ") {
            sheets.push(Sheet { name: name.to_owned(), rows: Vec::new() });
            continue;
        }
        let cell = |text: &str| match (text.trim().strip_prefix('!'), text.trim().parse()) {
            (Some(other), _) => Cell::Other(other.to_owned()),
            (None, Ok(number)) => Cell::Number(number),
            (None, Err(_)) => Cell::Text(text.trim().to_owned()),
        };
        let sheet = sheets.last_mut().expect("the first line names a sheet");
        sheet.rows.push(line.split('|').map(cell).collect());
    }
    sheets
}

fn taken_off(survey: &SurveyDocument) -> Result<()> {
    TakeOff::of(&survey.check()?).map(drop)
}

/// Asks for the drawing of a slope of a roof that has one slope, `front`.
fn drawn(slope: &str) -> Result<()> {
    let survey = "slopewright = 1\ncovering.format = \"plain-tile-265x165\"\n[[slope]]\nname = \"front\"\n\
                  shape = \"rectangle\"\neaves = \"4 m\"\nrafter = \"3 m\"\npitch = \"40 deg\"";
    let take_off = TakeOff::of(&SurveyDocument::from_toml(survey)?.check()?)?;
    take_off.drawing(slope, &DrawingOptions::default(), &[]).map(drop)
}
