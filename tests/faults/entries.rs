//! What a row's text is given to.

use serde::Deserialize;
use slopewright::catalogue::Catalogue;
use slopewright::order::{PriceList, Terms, Wanted, order};
use slopewright::quantity::{read_area, read_cover_mass, read_length, read_mass, read_pitch};
use slopewright::salvage::{Need, Portion, Salvage, Tally, UnitKey};
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
        "catalogue" => Catalogue::standard().with_toml(text).map(drop),
        "portion" => text.parse::<Portion>().map(drop),
        "unit" => text.parse::<UnitKey>().map(drop),
        "tally" => Tally::read(text).and_then(|tally| tally.heaps()).map(drop),
        "salvage" => {
            let text: SalvageText = toml::from_str(text).unwrap_or_else(|error| panic!("{error}\n{text}"));
            text.salvage.reckon(&text.needs).map(drop)
        }
        "prices" => PriceList::read_csv("EUR", text).and_then(|prices| prices.check()).map(drop),
        "currency" => PriceList { currency: text.to_owned(), rows: Vec::new() }.check().map(drop),
        "order" => {
            let text: OrderText = toml::from_str(text).unwrap_or_else(|error| panic!("{error}\n{text}"));
            order(&text.wanted, &text.prices, &text.terms).map(drop)
        }
        other => panic!("no entry is called '{other}'"),
    };
    result.err().map(Error::into_faults).unwrap_or_default()
}

fn taken_off(survey: &SurveyDocument) -> Result<()> {
    TakeOff::of(&survey.check()?).map(drop)
}
