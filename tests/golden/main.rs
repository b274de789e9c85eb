//! A guard against changes that nobody meant: whole results of six roofs, compared text by text.
//!
//! This is regression only. The figures in `results` are what the library once gave; that they are right is for the
//! published figures and the independent calculations beside this folder to say. A change of them is a change that
//! users see: read every line of the difference before accepting it, and say so in the changelog.
//!
//! `UPDATE_GOLDEN=1 cargo test --test golden` writes the results anew.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a check may stop at the first surprise, and says what it saw"
)]

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::{Path, PathBuf};

    use serde_json::Value;
    use slopewright::output::{Table, TakeOffDocument};
    use slopewright::{SurveyDocument, TakeOff};

    const ROOFS: [&str; 5] = [
        "lean-to-slates",
        "interlocking-gable",
        "hipped-imperial-tiles",
        "outline-with-polygon-opening",
        "american-shingles",
    ];

    fn folder() -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/golden")
    }

    /// The result of a survey as one JSON text: the document, and the table of courses, which the document leaves out.
    fn result_of(survey: &str) -> String {
        let roof = SurveyDocument::from_toml(survey).unwrap().check().unwrap();
        let take_off = TakeOff::of(&roof).unwrap();
        let mut document: Value =
            serde_json::from_str(&TakeOffDocument::of(&take_off).to_json().unwrap()).unwrap();
        // A new version of the library is no change of a result.
        document["library"] = "any".into();
        document["data_sha256"] = "any".into();
        let courses = Table::courses(&take_off).to_csv();
        document["courses"] = courses.lines().map(Value::from).collect();
        rounded(&mut document);
        serde_json::to_string_pretty(&document).unwrap() + "\n"
    }

    /// Rounds every figure to the millionth: the last bits of a sine are not the same on every machine.
    fn rounded(value: &mut Value) {
        match value {
            Value::Number(number) if number.is_f64() => {
                let figure = (number.as_f64().unwrap() * 1e6).round() / 1e6;
                *value = figure.into();
            }
            Value::Array(items) => items.iter_mut().for_each(rounded),
            Value::Object(fields) => fields.values_mut().for_each(rounded),
            _ => {}
        }
    }

    fn guard(name: &str, survey: &Path) {
        let came = result_of(&fs::read_to_string(survey).unwrap());
        let kept = folder().join(format!("results/{name}.json"));
        if std::env::var_os("UPDATE_GOLDEN").is_some() {
            fs::write(&kept, &came).unwrap();
        }
        let wanted = fs::read_to_string(&kept).unwrap_or_default().replace("\r\n", "\n");
        let difference: Vec<String> = came
            .lines()
            .zip(wanted.lines())
            .enumerate()
            .filter(|(_, (came, wanted))| came != wanted)
            .map(|(at, (came, wanted))| format!("line {}: {came}\n  was: {wanted}", at + 1))
            .take(20)
            .collect();
        assert!(came == wanted, "{name} has changed:\n{}", difference.join("\n"));
    }

    #[test]
    fn the_reading_room() {
        guard("reading-room", &folder().join("../../docs/examples/reading-room.toml"));
    }

    #[test]
    fn the_other_roofs() {
        for name in ROOFS {
            guard(name, &folder().join(format!("roofs/{name}.toml")));
        }
    }

    #[test]
    fn every_kept_result_has_its_roof() {
        let mut kept: Vec<String> = fs::read_dir(folder().join("results"))
            .unwrap()
            .map(|entry| entry.unwrap().path().file_stem().unwrap().to_string_lossy().into_owned())
            .collect();
        kept.sort();
        let mut wanted: Vec<&str> = ROOFS.into_iter().chain(["reading-room"]).collect();
        wanted.sort_unstable();
        assert_eq!(kept, wanted);
    }
}
