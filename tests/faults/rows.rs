//! The form of a file of rows.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Deserialize;

/// A mistake and the fault that must come of it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Row {
    /// The code of the kind.
    pub(crate) kind: String,
    /// What the text is given to; a base has one of its own.
    #[serde(default)]
    pub(crate) entry: String,
    /// The whole text ...
    text: Option<String>,
    /// ... or the sound document that it is made from, by changing one thing in it,
    base: Option<String>,
    /// this, which must be there once (at the end of the document, if it is left out),
    replace: Option<String>,
    /// into this.
    with: Option<String>,
    /// And behind the text, or the change, this so many times.
    repeat: Option<String>,
    #[serde(default)]
    times: usize,
    /// How many faults come, if it is not one alone: the row is about the last of them.
    #[serde(default = "one")]
    pub(crate) of: usize,
    /// The fault's place, whole.
    #[serde(default)]
    pub(crate) place: String,
    /// A part of what the fault says is wrong.
    pub(crate) says: String,
    /// What the fault says was given, whole.
    #[serde(default)]
    pub(crate) given: String,
    /// A part of what the fault says is allowed; nothing if it says nothing.
    #[serde(default)]
    pub(crate) allowed: String,
    /// A part of the advice.
    pub(crate) advice: String,
}

const fn one() -> usize {
    1
}

/// A sound document.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Base {
    entry: String,
    text: String,
}

/// A document with many faults.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Many {
    pub(crate) entry: String,
    pub(crate) text: String,
    /// All of them, in order.
    pub(crate) faults: Vec<KindAndPlace>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct KindAndPlace {
    pub(crate) kind: String,
    #[serde(default)]
    pub(crate) place: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct File {
    #[serde(skip)]
    pub(crate) name: String,
    #[serde(default)]
    base: BTreeMap<String, Base>,
    #[serde(default)]
    fault: Vec<Row>,
    #[serde(default)]
    many: Vec<Many>,
}

impl File {
    pub(crate) fn rows(&self) -> impl Iterator<Item = &Row> {
        self.fault.iter()
    }

    pub(crate) fn many(&self) -> impl Iterator<Item = &Many> {
        self.many.iter()
    }

    pub(crate) fn bases(&self) -> impl Iterator<Item = (&str, (&str, &str))> {
        self.base.iter().map(|(name, base)| (name.as_str(), (base.entry.as_str(), base.text.as_str())))
    }

    /// The text of a row.
    pub(crate) fn text_of(&self, row: &Row) -> String {
        let tail = row.repeat.as_deref().unwrap_or_default().repeat(row.times);
        let Some(base) = &row.base else {
            return row.text.clone().expect("a row has a text or a base") + &tail;
        };
        let sound = &self.base.get(base).unwrap_or_else(|| panic!("no base '{base}'")).text;
        let change = row.with.clone().unwrap_or_default() + &tail;
        let Some(old) = &row.replace else { return format!("{sound}{change}\n") };
        assert_eq!(sound.matches(old.as_str()).count(), 1, "'{old}' in base '{base}'");
        sound.replacen(old, &change, 1)
    }
}

/// Every file of the folder.
pub(crate) fn read_all() -> Vec<File> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/faults");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .collect();
    paths.sort();
    assert!(!paths.is_empty(), "no file of rows");
    paths
        .iter()
        .map(|path| {
            let text = std::fs::read_to_string(path).expect("it can be read");
            let mut file: File =
                toml::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
            file.name = path.file_stem().expect("it has a name").to_string_lossy().into_owned();
            for row in &mut file.fault {
                if let Some(base) = row.base.as_ref().and_then(|base| file.base.get(base))
                    && row.entry.is_empty()
                {
                    row.entry.clone_from(&base.entry);
                }
            }
            file
        })
        .collect()
}
