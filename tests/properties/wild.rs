//! Documents that nobody would write: the words of a survey with any values under them, and the demo survey with
//! parts changed, lost and doubled.

use proptest::prelude::*;
use serde_json::{Map, Value, json};
use slopewright::survey::{
    BattensDocument, CoveringDocument, EdgeDocument, FixingsDocument, FormDocument, OldCoveringDocument,
    OpeningDocument, SlopeDetailDocument, SlopeDocument, SurveyDocument, UnderlayDocument,
};

/// The demo survey.
pub(crate) const DEMO: &str = include_str!("../../docs/examples/reading-room.toml");

fn words() -> Vec<&'static str> {
    let mut words: Vec<&str> = [
        SurveyDocument::FIELDS,
        CoveringDocument::FIELDS,
        BattensDocument::FIELDS,
        UnderlayDocument::FIELDS,
        FixingsDocument::FIELDS,
        OldCoveringDocument::FIELDS,
        FormDocument::FIELDS,
        SlopeDetailDocument::FIELDS,
        SlopeDocument::FIELDS,
        EdgeDocument::FIELDS,
        OpeningDocument::FIELDS,
        &["top", "1", "2", "batten", "nail", "key", "like", "layers", "cover-width", "source", "metal", ""],
    ]
    .concat();
    words.sort_unstable();
    words.dedup();
    words
}

const TEXTS: &[&str] = &[
    "",
    " ",
    "4.15 m",
    "0 m",
    "-1 m",
    "1e300 m",
    "500 m",
    "0.1 m",
    "13 ft 7 1/2 in",
    "80 mm",
    "9,000 m",
    "45 deg",
    "89 deg",
    "1 deg",
    "9 in 12",
    "90 deg",
    "plain-tile-265x165",
    "interlocking-420x330",
    "shingle-18x6in",
    "membrane-1x50",
    "batten-50x25",
    "copper-nail-38x3.35",
    "half",
    "straight",
    "30 mm",
    "left",
    "right",
    "centre",
    "both",
    "gable",
    "hipped",
    "lean-to",
    "rectangle",
    "trapezoid",
    "triangle",
    "hip-end",
    "parallelogram",
    "outline",
    "plan",
    "eaves",
    "ridge",
    "verge",
    "hip",
    "valley",
    "top-abutment",
    "severe",
    "76 kg/m2",
    "north",
    "\u{0}",
    "\u{202e}",
    "☂",
    "NaN m",
    "inf m",
    "1/0 m",
    "999999999999999999999 mm",
];

fn leaf() -> impl Strategy<Value = Value> {
    prop_oneof![
        8 => prop::sample::select(TEXTS).prop_map(Value::from),
        2 => any::<i64>().prop_map(Value::from),
        1 => any::<u64>().prop_map(Value::from),
        2 => (-20..20i64).prop_map(Value::from),
        1 => any::<f64>().prop_map(Value::from),
        1 => any::<bool>().prop_map(Value::from),
        1 => Just(Value::Null),
        1 => ".{0,20}".prop_map(Value::from),
    ]
}

/// Any value, with the words of surveys as its keys.
pub(crate) fn any_value() -> impl Strategy<Value = Value> {
    leaf().prop_recursive(5, 60, 8, |inner| {
        prop_oneof![
            2 => prop::collection::vec(inner.clone(), 0..5).prop_map(Value::Array),
            3 => prop::collection::vec((prop::sample::select(words()), inner), 0..9).prop_map(|pairs| {
                Value::Object(pairs.into_iter().map(|(word, value)| (word.to_owned(), value)).collect())
            }),
        ]
    })
}

/// A survey's skeleton with any values in its fields: far more often read to its end than any value is.
pub(crate) fn any_survey() -> impl Strategy<Value = Value> {
    // Most tables are left alone, so that some surveys are sound and all of their faults are not of one table.
    let table = |fields: &'static [&'static str]| {
        prop::option::weighted(0.15, (prop::sample::select(fields), any_value())).prop_map(|pair| {
            pair.into_iter().map(|(word, value)| (word.to_owned(), value)).collect::<Map<_, _>>()
        })
    };
    let length =
        || prop::sample::select(&["8 m", "120 m", "0.1 m", "3.3333 m", "13 ft 7 1/2 in", "500 m"][..]);
    let slope = (table(SlopeDocument::FIELDS), table(OpeningDocument::FIELDS), length(), length()).prop_map(
        |(fields, opening, eaves, rafter)| {
            let mut slope =
                json!({ "shape": "rectangle", "pitch": "40 deg", "eaves": eaves, "rafter": rafter });
            if eaves == "8 m" && rafter == "8 m" {
                let window =
                    json!({ "from_left": "2 m", "from_eaves": "1 m", "width": "1 m", "height": "1 m" });
                slope["opening"] = json!([window]);
                slope["opening"][0].as_object_mut().unwrap().extend(opening);
            }
            slope.as_object_mut().unwrap().extend(fields);
            slope
        },
    );
    let form = table(FormDocument::FIELDS).prop_map(|fields| {
        let mut form = json!({ "form": "hipped", "length": "9 m", "span": "5 m", "pitch": "40 deg" });
        form.as_object_mut().unwrap().extend(fields);
        form
    });
    (
        prop::collection::vec(slope, 0..3),
        prop::collection::vec(form, 0..2),
        table(CoveringDocument::FIELDS),
        table(UnderlayDocument::FIELDS),
        table(BattensDocument::FIELDS),
        table(SurveyDocument::FIELDS),
    )
        .prop_map(|(slopes, forms, covering, underlay, battens, fields)| {
            let mut survey = json!({
                "slopewright": 1,
                "covering": { "format": "plain-tile-265x165" },
                "underlay": { "format": "membrane-1x50" },
                "battens": { "rafter_spacing": "450 mm" },
            });
            for (name, more) in [("covering", covering), ("underlay", underlay), ("battens", battens)] {
                survey[name].as_object_mut().unwrap().extend(more);
            }
            survey["slope"] = slopes.into();
            survey["form"] = forms.into();
            survey.as_object_mut().unwrap().extend(fields);
            survey
        })
}

/// One change of a document.
#[derive(Debug, Clone)]
pub(crate) enum Change {
    /// Puts a value in the place of another.
    Put(usize, Value),
    /// Takes a value out.
    Take(usize),
    /// Puts a copy of one value in the place of another.
    Copy(usize, usize),
    /// Doubles an entry of a list.
    Double(usize),
}

pub(crate) fn changes() -> impl Strategy<Value = Vec<Change>> {
    let at = || 0..200usize;
    let value = prop_oneof![3 => leaf(), 1 => any_value()];
    prop::collection::vec(
        prop_oneof![
            4 => (at(), value).prop_map(|(at, value)| Change::Put(at, value)),
            2 => at().prop_map(Change::Take),
            1 => (at(), at()).prop_map(|(from, to)| Change::Copy(from, to)),
            1 => at().prop_map(Change::Double),
        ],
        1..5,
    )
}

/// The JSON pointers of every value of a document.
fn places(value: &Value, here: &str, all: &mut Vec<String>) {
    let mut go = |name: &str, inner: &Value| {
        let place = format!("{here}/{}", name.replace('~', "~0").replace('/', "~1"));
        all.push(place.clone());
        places(inner, &place, all);
    };
    match value {
        Value::Array(items) => items.iter().enumerate().for_each(|(at, item)| go(&at.to_string(), item)),
        Value::Object(fields) => fields.iter().for_each(|(name, field)| go(name, field)),
        _ => {}
    }
}

/// The demo survey, changed.
pub(crate) fn changed(changes: &[Change]) -> Value {
    let mut document: Value = toml::from_str(DEMO).unwrap();
    for change in changes {
        let mut all = Vec::new();
        places(&document, "", &mut all);
        let Some(last) = all.len().checked_sub(1) else { break };
        let place = |at: usize| all[at % (last + 1)].clone();
        match change {
            Change::Put(at, value) => *document.pointer_mut(&place(*at)).unwrap() = value.clone(),
            Change::Copy(from, to) => {
                let copy = document.pointer(&place(*from)).unwrap().clone();
                *document.pointer_mut(&place(*to)).unwrap() = copy;
            }
            Change::Take(at) | Change::Double(at) => {
                let place = place(*at);
                let (outer, name) = place.rsplit_once('/').unwrap();
                match document.pointer_mut(outer).unwrap() {
                    Value::Object(fields) => {
                        fields.shift_remove(name);
                    }
                    Value::Array(items) => {
                        let at: usize = name.parse().unwrap();
                        if matches!(change, Change::Double(_)) {
                            items.push(items[at].clone());
                        } else {
                            items.remove(at);
                        }
                    }
                    _ => {}
                }
            }
        }
    }
    document
}
