//! Published figures against the library.
//!
//! Every file of this folder names a source and holds figures as it prints them; each figure is checked against one
//! call of the library. A misprint stays in its table, marked: then the library must differ from print by more than
//! the tolerance, and agree with the right value, which the file's author worked out by hand.
//!
//! The run prints what it counted, and leaves a table of every figure in `validation.tsv` of the target directory.

#[cfg(test)]
mod calculations;
#[cfg(test)]
mod files;
#[cfg(test)]
mod outcome;

#[cfg(test)]
mod tests {
    use super::files::{Standing, read_all};
    use super::outcome::{Outcome, outcomes, validation_table};

    /// The least number of values that a reader may rely on having been checked.
    const LEAST_VALUES: usize = 250;

    #[test]
    #[expect(clippy::print_stdout, reason = "a run that shows what it counted is what a reader wants to see")]
    fn published_figures_agree() {
        let files = read_all();
        let outcomes: Vec<Outcome> = files.iter().flat_map(outcomes).collect();
        let table = validation_table(&outcomes);
        let target = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("../validation.tsv");
        std::fs::write(&target, table).expect("the target directory takes a file");

        let held = |outcome: &&Outcome| outcome.standing.is_published();
        // A case in which the source has no figure is held too, but it is no published value.
        let values = outcomes.iter().filter(held).filter(|outcome| outcome.is_good_print()).count();
        let misprints = outcomes.iter().filter(held).filter(|outcome| outcome.misprint).count();
        let calculated = outcomes.iter().filter(|outcome| outcome.standing == Standing::Calculated).count();
        let recalled = outcomes.iter().filter(|outcome| outcome.standing == Standing::Memory).count();
        let mut sources: Vec<_> = files.iter().map(|file| &file.source).collect();
        sources.sort();
        sources.dedup();
        println!(
            "{values} published values, {misprints} misprints, {} sources; besides {calculated} values of an \
             independent calculation and {recalled} recalled ones that are only shown",
            sources.len()
        );

        let failures: Vec<String> = outcomes.iter().filter_map(Outcome::failure).collect();
        assert!(failures.is_empty(), "{} figures disagree:\n{}", failures.len(), failures.join("\n"));
        assert!(values >= LEAST_VALUES, "only {values} published values were checked");
        assert!(misprints > 0, "no misprint was checked");
    }
}
