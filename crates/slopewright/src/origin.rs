//! What a result was made from: the data that the library was built with, and the survey. With the version of the library
//! they say whether two results can be compared, and what must be at hand to make one again.

use std::sync::LazyLock;

use sha2::{Digest as _, Sha256};

/// The data files that the library was built with, each with its text. A test holds the list to the folder.
macro_rules! files {
    ($($name:literal)+) => { &[$(($name, include_str!(concat!("../data/", $name)))),+] };
}

const FILES: &[(&str, &str)] = files!(
    "catalogue/battens.toml"
    "catalogue/conventions.toml"
    "catalogue/edge-units.toml"
    "catalogue/families.toml"
    "catalogue/nails.toml"
    "catalogue/plain-tiles.toml"
    "catalogue/shingles.toml"
    "catalogue/single-lap.toml"
    "catalogue/slates-imperial.toml"
    "catalogue/slates-metric.toml"
    "catalogue/underlays.toml"
    "reference-systems.toml"
    "rules/battens.toml"
    "rules/edges.toml"
    "rules/edgework.toml"
    "rules/fixings.toml"
    "rules/headlaps.toml"
    "rules/lead.toml"
    "rules/measuring.toml"
    "rules/openings.toml"
    "rules/pipes.toml"
    "rules/pitches.toml"
    "rules/trimming.toml"
    "rules/underlays.toml"
    "rules/ventilation.toml"
    "rules/weight.toml"
    "sources.toml"
);

/// The SHA-256 of the catalogue, rules and sources that the library was built with, in 64 hexadecimal digits: their
/// version. It changes with every figure and every note.
#[must_use]
pub fn data_sha256() -> &'static str {
    static HASH: LazyLock<String> = LazyLock::new(|| {
        let mut hash = Sha256::new();
        for (name, text) in FILES {
            // The length keeps the end of one file and the start of the next apart.
            hash.update(name.as_bytes());
            hash.update((text.len() as u64).to_le_bytes());
            hash.update(text.as_bytes());
        }
        in_digits(hash)
    });
    &HASH
}

/// The SHA-256 of a text, in hexadecimal digits.
pub(crate) fn sha256(text: &str) -> String {
    in_digits(Sha256::new_with_prefix(text))
}

fn in_digits(hash: Sha256) -> String {
    use core::fmt::Write as _;
    hash.finalize().iter().fold(String::with_capacity(64), |mut digits, byte| {
        // Writing into a text does not fail.
        let _ = write!(digits, "{byte:02x}");
        digits
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_data_file_counts() {
        fn gather(folder: &std::path::Path, found: &mut Vec<String>, root: &std::path::Path) {
            for entry in std::fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    gather(&path, found, root);
                } else {
                    found.push(path.strip_prefix(root).unwrap().to_string_lossy().replace('\\', "/"));
                }
            }
        }
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("data");
        let mut found = Vec::new();
        gather(&root, &mut found, &root);
        found.sort();
        let listed: Vec<&str> = FILES.iter().map(|(name, _)| *name).collect();
        assert_eq!(found, listed);
    }

    /// Published: FIPS 180-4 and its examples, the one-block message "abc".
    #[test]
    fn the_hash_is_sha_256() {
        assert_eq!(sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(data_sha256().len(), 64);
    }
}
