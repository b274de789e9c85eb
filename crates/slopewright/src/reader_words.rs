//! What a reader of data has to say against a part of a document, in the words of this library: which field, what was
//! given, what is allowed. The reader knows the types of the code and not the place of the field; the place is found again
//! by what was given.

use serde_json::Value;

use crate::error::{Fault, FaultKind};
use crate::survey::shown;

/// The fault of a part of a document that a reader refuses with a message.
pub(crate) fn fault_of(kind: FaultKind, message: &str, part: &Value) -> Fault {
    // The reader of JSON puts the line behind, which is a place and known here.
    let message = message.rsplit_once(" at line ").map_or(message, |(message, _)| message);
    let own = || own_fault(kind, message, part);
    own()
        .or_else(|| not_of_type(kind, message, part))
        .or_else(|| not_a_word(kind, message, part))
        .or_else(|| wrong_field(kind, message))
        .unwrap_or_else(|| Fault::new(kind, format!("cannot be read ({message})")).given(shown(part)))
}

/// What is wrong with a text that is not JSON: what the reader wanted, and in which column of its line.
pub(crate) fn not_json(error: &serde_json::Error) -> String {
    let message = error.to_string();
    let wanted = message.rsplit_once(" at line ").map_or(message.as_str(), |(wanted, _)| wanted);
    format!("is not JSON: {} in column {}", wanted.replace('`', "'"), error.column())
}

/// A fault of this library that came through the reader as a sentence.
fn own_fault(kind: FaultKind, message: &str, part: &Value) -> Option<Fault> {
    let (rest, advice) = message.split_once("; what to do: ")?;
    let (rest, allowed) = rest.split_once("; allowed: ").unwrap_or((rest, ""));
    let (problem, given) = rest.split_once("; given: ").unwrap_or((rest, ""));
    let fault = Fault::new(kind, problem).given(given).allowed(allowed).advice(advice);
    Some(match place_of(part, |leaf| shown(leaf) == given) {
        Some((place, _)) => fault.at(place),
        None => fault,
    })
}

/// `invalid type: string "three", expected u64`.
fn not_of_type(kind: FaultKind, message: &str, part: &Value) -> Option<Fault> {
    let rest = ["invalid type: ", "invalid value: ", "invalid length "]
        .iter()
        .find_map(|start| message.strip_prefix(start))?;
    let (given, wanted) = rest.rsplit_once(", expected ")?;
    let wanted = wanted_words(wanted);
    let fault = Fault::new(kind, format!("is not {wanted}")).allowed(wanted);
    Some(match place_of(part, |leaf| is_called(leaf, given)) {
        Some((place, leaf)) => fault.given(shown(leaf)).at(place),
        None => fault.given(shown(part)),
    })
}

/// ``unknown variant `wole`, expected one of `whole`, `cut` ``.
fn not_a_word(kind: FaultKind, message: &str, part: &Value) -> Option<Fault> {
    let (word, known) = message.strip_prefix("unknown variant `")?.split_once("`, ")?;
    let fault = Fault::new(kind, format!("'{word}' is not one of the words for it"))
        .given(format!("\"{word}\""))
        .allowed(listed(known))
        .advice("use one of the words listed");
    Some(match place_of(part, |leaf| leaf.as_str() == Some(word)) {
        Some((place, _)) => fault.at(place),
        None => fault,
    })
}

/// A field that is missing, unknown or there twice.
fn wrong_field(kind: FaultKind, message: &str) -> Option<Fault> {
    let (start, rest) = message.split_once('`')?;
    let (field, known) = rest.split_once('`')?;
    Some(match start {
        "missing field " => lacks(kind, field),
        "unknown field " => unknown(kind, field, &listed(known)),
        "duplicate field " => {
            Fault::new(kind, format!("has the field '{field}' twice")).advice("keep one of the two")
        }
        _ => return None,
    })
}

/// A field that has to be there and is not.
pub(crate) fn lacks(kind: FaultKind, field: &str) -> Fault {
    Fault::new(kind, format!("lacks the field '{field}'")).advice("put the field in")
}

/// A field that is there and not known.
pub(crate) fn unknown(kind: FaultKind, field: &str, known: &str) -> Fault {
    let fault = Fault::new(kind, format!("has an unknown field '{field}'"));
    fault.allowed(known).advice("take the field out, or use one of those listed")
}

/// The words between backquotes.
fn listed(words: &str) -> String {
    words.split('`').skip(1).step_by(2).collect::<Vec<_>>().join(", ")
}

/// What is wanted, by what the reader calls it.
fn wanted_words(wanted: &str) -> &str {
    match wanted {
        "u8" | "u16" | "u32" | "u64" | "usize" => "a whole number, 0 or more",
        "i8" | "i16" | "i32" | "i64" => "a whole number",
        "f32" | "f64" => "a number",
        "a string" | "string" => "a text",
        "a boolean" => "true or false",
        "a sequence" => "a list",
        "a Decimal type representing a fixed-point number" => "an amount as a text, such as \"12.50\"",
        table if table.starts_with("struct ") || table.contains("tagged enum") || table == "a map" => {
            "a table"
        }
        other => other,
    }
}

/// Whether a value is what the reader calls so: ``integer `5` ``, `string "5"`, `sequence`.
fn is_called(value: &Value, given: &str) -> bool {
    let quoted = given.split_once('`').map(|(_, rest)| rest.trim_end_matches('`'));
    match value {
        Value::String(text) => given == format!("string {text:?}"),
        Value::Number(number) => quoted.is_some_and(|figure| {
            let same = figure
                .parse::<f64>()
                .ok()
                .zip(number.as_f64())
                .is_some_and(|(one, other)| one.to_bits() == other.to_bits());
            same && (given.starts_with("integer") || given.starts_with("floating point"))
        }),
        Value::Bool(truth) => quoted == Some(if *truth { "true" } else { "false" }),
        Value::Array(_) => given == "sequence",
        Value::Object(_) => given == "map",
        Value::Null => matches!(given, "null" | "unit value"),
    }
}

/// The one part of a value that fits, with the fields that lead to it; `None` if there is none, if there are several, or if
/// it is the value itself.
fn place_of(value: &Value, fits: impl Fn(&Value) -> bool) -> Option<(String, &Value)> {
    let mut found = Vec::new();
    let mut open: Vec<(String, &Value)> = vec![(String::new(), value)];
    while let Some((place, value)) = open.pop() {
        if !place.is_empty() && fits(value) {
            found.push((place.clone(), value));
        }
        let inside = |name: &str| if place.is_empty() { name.to_owned() } else { format!("{place}, {name}") };
        match value {
            Value::Object(fields) => open.extend(fields.iter().map(|(name, value)| (inside(name), value))),
            Value::Array(items) => {
                open.extend(
                    (1..).zip(items).map(|(number, item)| (inside(&format!("entry {number}")), item)),
                );
            }
            _ => {}
        }
    }
    match found.len() {
        1 => found.pop(),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;
    use crate::salvage::{CutDown, Heap, Need};

    fn said<T: serde::de::DeserializeOwned>(part: &Value) -> String {
        let message = T::deserialize(part).err().expect("it cannot be read").to_string();
        fault_of(FaultKind::SalvageUnreadable, &message, part).to_string()
    }

    #[test]
    fn the_field_is_named_and_the_types_of_the_code_are_not() {
        let grades =
            |sound: Value| json!({"unit": "plain whole", "counted": {"by": "grades", "sound": sound}});
        for (sentence, begins) in [
            (
                said::<Heap>(&grades(json!("three"))),
                "counted, sound: is not a whole number, 0 or more; given: \"three\"; allowed: a whole number, 0 or more",
            ),
            (said::<Heap>(&grades(json!(-3))), "counted, sound: is not a whole number, 0 or more; given: -3"),
            (
                said::<Heap>(&grades(json!(2.5))),
                "counted, sound: is not a whole number, 0 or more; given: 2.5",
            ),
            (
                said::<Heap>(&grades(json!([3]))),
                "counted, sound: is not a whole number, 0 or more; given: [3]",
            ),
            (
                said::<Heap>(&json!({"unit": "plain wole", "counted": {"by": "grades", "sound": 3}})),
                "unit: is not a format and a kind of unit; given: \"plain wole\"; allowed: whole, cut",
            ),
            (
                said::<Heap>(&json!({"unit": "plain whole", "counted": {"by": "guess"}})),
                "counted, by: 'guess' is not one of the words for it; given: \"guess\"; allowed: grades, stacks",
            ),
            (said::<CutDown>(&json!({"from": "whole", "to": "half"})), "lacks the field 'pieces'"),
            (
                said::<Need>(&json!({"slope": "north", "untis": 3})),
                "has an unknown field 'untis'; allowed: roof, slope, unit, count, mass_each_kg",
            ),
            (said::<Need>(&json!("north")), "is not a table; given: \"north\"; allowed: a table"),
        ] {
            assert!(sentence.starts_with(begins), "{sentence}");
        }
    }
}
