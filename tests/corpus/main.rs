//! Replays the corpus of the fuzzers on any compiler: every file of `tests/corpus/<target>` goes through its target.
//!
//! A file whose name begins with `once-` is named after a fault that a fuzzer found; the others are the seeds that the
//! fuzzers start from. How to fuzz is in `crates/fuzz/Cargo.toml`.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    clippy::unnecessary_fold,
    reason = "a check may stop at the first surprise"
)]

mod bytes;
mod roofs;
mod targets;

#[cfg(test)]
mod tests {
    use std::path::{Path, PathBuf};

    use super::targets::{TARGETS, run};

    fn files(folder: &Path) -> Vec<PathBuf> {
        let listed =
            std::fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
        let mut files: Vec<_> = listed.map(|entry| entry.unwrap().path()).collect();
        files.sort();
        files
    }

    fn folder() -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/corpus")
    }

    #[test]
    fn every_file_of_the_corpus_ends_well() {
        for (name, _) in TARGETS {
            let files = files(&folder().join(name));
            assert!(!files.is_empty(), "{name} has no seed");
            for file in files {
                println!("{}", file.display());
                run(name, &std::fs::read(&file).unwrap());
            }
        }
    }

    #[test]
    fn the_fuzz_crate_has_every_target() {
        let manifest = folder().join("../../crates/fuzz/Cargo.toml");
        let manifest: toml::Table = std::fs::read_to_string(manifest).unwrap().parse().unwrap();
        let bins = manifest["bin"].as_array().unwrap().iter();
        let bins: Vec<&str> = bins.map(|bin| bin["name"].as_str().unwrap()).collect();
        let targets: Vec<&str> = TARGETS.iter().map(|(name, _)| *name).collect();
        assert_eq!(bins, targets);
    }

    /// Without this a target that returns at once would pass all the same.
    #[test]
    fn the_seeds_reach_the_end() {
        for name in ["survey", "row", "city", "tables", "salvage", "order", "workbook"] {
            let reached =
                files(&folder().join(name)).iter().any(|file| run(name, &std::fs::read(file).unwrap()));
            assert!(reached, "no seed of {name} gives a result");
        }
    }
}
