//! The running tally: lines, corrections, merging, damage.

use proptest::prelude::*;
use slopewright::FaultKind;
use slopewright::salvage::{Counting, Entry, Grade, Tally, UnitKey, UnitKind, append_line};

fn entry(id: &str, count: u64, time: &str, corrects: Option<&str>) -> Entry {
    Entry {
        id: id.to_owned(),
        who: "north".to_owned(),
        unit: UnitKey::new("plain", UnitKind::Whole),
        grade: Grade::Sound,
        count,
        time: time.to_owned(),
        corrects: corrects.map(str::to_owned),
    }
}

fn tally(entries: &[Entry]) -> Tally {
    let mut tally = Tally::default();
    entries.iter().cloned().for_each(|entry| tally.add(entry));
    tally
}

fn sound(tally: &Tally) -> u64 {
    tally
        .heaps()
        .unwrap()
        .iter()
        .map(|heap| match heap.counted {
            Counting::Grades { sound, .. } => sound,
            _ => 0,
        })
        .sum()
}

#[test]
fn corrections_stand_in_the_place_of_what_they_correct() {
    let first = entry("a1", 120, "10:00", None);
    let other = entry("a2", 40, "10:05", None);
    assert_eq!(sound(&tally(&[first.clone(), other.clone()])), 160);
    let mended = entry("a3", 118, "10:10", Some("a1"));
    assert_eq!(sound(&tally(&[first.clone(), other.clone(), mended.clone()])), 158);
    // A correction of the correction; and a withdrawal.
    let again = entry("a4", 117, "10:12", Some("a3"));
    let gone = entry("a5", 0, "10:13", Some("a2"));
    assert_eq!(sound(&tally(&[first.clone(), other.clone(), mended.clone(), again.clone(), gone])), 117);
    // Two people correct the same line: the later holds, and counts once.
    let theirs = entry("b1", 119, "10:20", Some("a1"));
    assert_eq!(sound(&tally(&[first.clone(), mended.clone(), again, theirs])), 119);
    // A correction holds whatever its time and its id say: clocks are wrong, and not every line has a time.
    let early = entry("a0", 116, "09:00", Some("a1"));
    assert_eq!(sound(&tally(&[first.clone(), other.clone(), early])), 156);
    let untimed = entry("0", 115, "", Some("a1"));
    assert_eq!(sound(&tally(&[first, other, untimed])), 155);
    // The corrected line has not arrived yet: the correction counts alone.
    assert_eq!(sound(&tally(&[mended])), 118);
}

#[test]
fn the_count_through_the_days() {
    let lines = [
        entry("a1", 120, "2024-05-02T10:00", None),
        entry("a2", 40, "2024-05-02T16:30", None),
        Entry { grade: Grade::Broken, ..entry("a3", 7, "2024-05-02T16:31", None) },
        entry("a4", 90, "2024-05-03T09:00", None),
        entry("a5", 80, "2024-05-03T09:10", Some("a4")),
    ];
    let days: Vec<_> =
        tally(&lines).by_day().unwrap().into_iter().map(|day| (day.day, day.sound, day.broken)).collect();
    assert_eq!(days, [("2024-05-02".to_owned(), 160, 7), ("2024-05-03".to_owned(), 80, 0)]);
}

#[test]
fn contradictions_are_not_settled_by_guessing() {
    let twice = tally(&[entry("a1", 120, "10:00", None), entry("a1", 121, "10:00", None)]);
    assert_eq!(twice.heaps().unwrap_err().kind(), FaultKind::TallyConflict);
    let round = tally(&[entry("a1", 1, "", Some("a2")), entry("a2", 2, "", Some("a1"))]);
    assert_eq!(round.heaps().unwrap_err().kind(), FaultKind::TallyConflict);
}

#[test]
fn every_fault_is_reported_with_its_line_and_the_rest_is_kept() {
    let text = format!(
        "{}not a line\n\n{}{}{{\"id\":\"a9\",\"cou",
        entry("a1", 5, "", None).line(),
        entry("", 5, "", None).line(),
        entry("a2", 7, "", Some("a2")).line()
    );
    let read = Tally::recover(&text);
    assert_eq!(sound(&read.tally), 5);
    let seen: Vec<_> = read.faults.iter().map(|fault| (fault.place.as_str(), fault.kind)).collect();
    assert_eq!(
        seen,
        [
            ("line 2", FaultKind::TallyUnreadable),
            ("line 4", FaultKind::TallyUnreadable),
            ("line 5", FaultKind::TallyUnreadable),
            ("line 6", FaultKind::TallyTorn),
        ]
    );
    assert_eq!(Tally::read(&text).unwrap_err().faults().count(), 4);
}

#[test]
fn a_text_cut_off_anywhere_loses_no_line_before_the_cut() {
    let lines: Vec<String> =
        (1..=4_u64).map(|n| entry(&format!("ä{n}"), 10 * n, "10:00", None).line()).collect();
    let text = lines.concat();
    for cut in (0..=text.len()).filter(|cut| text.is_char_boundary(*cut)) {
        let kept = &text[..cut];
        let whole = kept.matches('\n').count() + usize::from(kept.ends_with('}'));
        let read = Tally::recover(kept);
        assert_eq!(read.tally.entries().count(), whole, "cut at {cut}");
        assert_eq!(
            read.faults.len(),
            usize::from(!kept.is_empty() && !kept.ends_with(['\n', '}'])),
            "cut at {cut}"
        );
        // What is added after the damage stands alone.
        let added = Tally::recover(&append_line(kept, &entry("z", 1, "", None)));
        assert_eq!(added.tally.entries().count(), whole + 1, "cut at {cut}");
    }
}

fn entries() -> impl Strategy<Value = Vec<Entry>> {
    let one = (0..12_u8, 0..500_u64, 0..4_u8, prop::option::of(0..12_u8)).prop_map(
        |(id, count, time, corrects)| {
            let corrects = corrects.filter(|target| target < &id).map(|target| format!("k{target}"));
            entry(&format!("k{id}"), count, &format!("10:0{time}"), corrects.as_deref())
        },
    );
    prop::collection::vec(one, 0..20)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_000))]

    #[test]
    fn merging_is_commutative_associative_and_idempotent(a in entries(), b in entries(), c in entries()) {
        let (a, b, c) = (tally(&a), tally(&b), tally(&c));
        let merged = a.clone().merge(b.clone());
        prop_assert_eq!(&merged, &b.clone().merge(a.clone()));
        prop_assert_eq!(merged.clone().merge(c.clone()), a.clone().merge(b.clone().merge(c.clone())));
        prop_assert_eq!(&merged.clone().merge(b), &merged);
        prop_assert_eq!(&a.clone().merge(a.clone()), &a);
        // No line is lost, and what is written reads back the same.
        prop_assert!(a.entries().all(|entry| merged.entries().any(|other| other == entry)));
        prop_assert_eq!(Tally::read(&merged.write()).unwrap(), merged);
    }

    #[test]
    fn the_order_of_the_lines_does_not_matter(mut lines in entries()) {
        let forward = tally(&lines).heaps();
        lines.reverse();
        prop_assert_eq!(tally(&lines).heaps(), forward);
    }

    #[test]
    fn no_text_panics(text in "\\PC{0,200}") {
        let _ = Tally::recover(&text).tally.heaps();
    }
}
