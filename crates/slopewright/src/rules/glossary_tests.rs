//! Holds the data files to the glossary.

use toml::Value;

const GLOSSARY: &str = include_str!("../../../../docs/glossary.md");
const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/data");

fn fields(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Table(table) => {
            for (field, value) in table {
                found.push(field.clone());
                fields(value, found);
            }
        }
        Value::Array(list) => list.iter().for_each(|item| fields(item, found)),
        _ => {}
    }
}

#[test]
fn every_field_of_the_data_files_is_in_the_glossary() {
    let mut checked = 0;
    for folder in ["", "catalogue", "rules"] {
        for entry in std::fs::read_dir(format!("{DATA}/{folder}")).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|ending| ending != "toml") {
                continue;
            }
            let document: toml::Table = std::fs::read_to_string(&path).unwrap().parse().unwrap();
            // The words that head entries are nouns of the upper tables; their fields are what is checked.
            let mut found = Vec::new();
            document.values().for_each(|entries| fields(entries, &mut found));
            for field in found {
                assert!(GLOSSARY.contains(&format!("`{field}`")), "{}: {field}", path.display());
            }
            checked += 1;
        }
    }
    assert!(checked > 15, "only {checked} files were found");
}
