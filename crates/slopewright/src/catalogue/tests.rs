use super::*;
use crate::quantity::{LengthIn as _, inch, mm};

#[test]
fn the_built_in_catalogue_reads_without_a_fault() {
    assert_eq!(Catalogue::read_once().1, vec![]);
    let catalogue = Catalogue::standard();
    assert!(catalogue.coverings().len() >= 40);
    for covering in catalogue.coverings() {
        assert_eq!(covering.check(), Ok(()), "{}", covering.key);
    }
}

/// A bad text and the kinds and places of all its faults.
fn faults(text: &str) -> Vec<(FaultKind, String)> {
    let error = Catalogue::standard().with_toml(text).unwrap_err();
    error.faults().map(|fault| (fault.kind, fault.place.clone())).collect()
}

#[test]
fn all_faults_of_an_entry_come_out_at_once_with_their_places() {
    let text = r#"
        [[covering]]
        key = "x"
        layers = "quadruple"
        length = 265
        widht = "165 mm"
        joint = { is = "5 mm", source = "nowhere" }
        family = "plain-tile"
        gauge-most = "40 m"
        bond = "shift 3"
    "#;
    let at = |field: &str| format!("covering 'x', {field}");
    let mut found = faults(text);
    found.sort_by(|a, b| a.1.cmp(&b.1));
    assert_eq!(
        found,
        [
            (FaultKind::CatalogueFieldUnknown, "covering 'x'".to_owned()),
            (FaultKind::ChoiceUnknown, at("bond")),
            (FaultKind::FigureOutOfRange, at("gauge-most")),
            (FaultKind::SourceUnknown, at("joint")),
            (FaultKind::ChoiceUnknown, at("layers")),
            (FaultKind::UnitMissing, at("length")),
            (FaultKind::CatalogueFieldMissing, at("width")),
        ]
    );
}

#[test]
fn each_kind_of_catalogue_fault_has_a_text_that_provokes_it() {
    let covering = |more: &str| {
        format!(
            "[[covering]]\nkey = \"x\"\nlayers = \"double\"\nlength = \"265 mm\"\nwidth = \"165 mm\"\n\
             family = \"plain-tile\"\n{more}"
        )
    };
    let rows = [
        (FaultKind::CatalogueTooLarge, " ".repeat(4_000_001)),
        (FaultKind::CatalogueUnreadable, "[[covering]".to_owned()),
        (FaultKind::CatalogueFieldMissing, "[[covering]]".to_owned()),
        (FaultKind::CatalogueFieldUnknown, covering("colour = \"red\"")),
        (FaultKind::FieldKindWrong, covering("name = 7")),
        (FaultKind::ChoiceUnknown, covering("hanging = \"glue\"")),
        (FaultKind::KeyUnfit, covering("").replace("\"x\"", "\"X y\"")),
        (FaultKind::KeyTwice, covering("") + &covering("")),
        (FaultKind::SourceUnknown, covering("source = \"nowhere\"")),
        (FaultKind::EntryUnknown, "[[covering]]\nkey = \"x\"\nlike = \"nothing\"".to_owned()),
        (FaultKind::FigureOutOfRange, covering("").replace("165 mm", "165 m")),
        (FaultKind::FiguresDisagree, covering("gauge-least = \"110 mm\"\ngauge-most = \"100 mm\"")),
    ];
    for (kind, text) in &rows {
        assert!(faults(text).iter().any(|(found, _)| found == kind), "{kind}: {:?}", faults(text));
    }
    let of_this_room = FaultKind::ALL.iter().filter(|kind| kind.room() == crate::error::Room::Catalogue);
    for kind in of_this_room {
        assert!(rows.iter().any(|(row, _)| row == kind), "no row provokes {kind}");
    }
}

#[test]
fn a_faulty_text_adds_nothing_and_a_good_one_all() {
    let good = Catalogue::standard()
        .with_toml(
            r#"
            [[source]]
            key = "our-sheet"
            title = "A sheet of our own"
            [[covering]]
            key = "old-slate"
            like = "slate-500x250"
            source = "our-sheet"
            length = "480 mm"
            [[batten]]
            key = "b"
            width = "1 1/2 in"
            depth = "1 in"
            stock-lengths = ["12 ft", "10 ft"]
            [[underlay]]
            key = "u"
            width = "1.5 m"
            length = "50 m"
            [[metal]]
            key = "bronze"
            density = "8800 kg/m3"
            [[nail]]
            key = "n"
            metal = "bronze"
            length = "38 mm"
            shank = "3 mm"
            "#,
        )
        .unwrap();
    let slate = good.covering("old-slate").unwrap();
    assert_eq!(slate.length.source.key, "our-sheet");
    assert_eq!(slate.width.source.key, "bs8000-6");
    assert_eq!(slate.tile_and_half.as_ref().unwrap().width, mm(375.0));
    assert_eq!(slate.tile_and_half.as_ref().unwrap().length, mm(480.0));
    let batten = good.batten("b").unwrap();
    assert!((batten.stock_lengths[0].value.feet() - 10.0).abs() < 1e-12);
    assert!(good.nail("n").unwrap().per_kg().unwrap().value > 400.0);
    assert!(good.underlay("u").is_some());
}

#[test]
fn in_code_the_same_checks_hold() {
    let tile = Covering::new("t", Layers::Double, mm(265.0), mm(165.0));
    let catalogue = Catalogue::standard().with_covering(tile.clone()).unwrap();
    assert_eq!(catalogue.covering("t"), Some(&tile));
    assert_eq!(catalogue.with_covering(tile.clone()).unwrap_err().kind(), FaultKind::KeyTwice);
    for bad in [
        tile.clone().with_family("thatch"),
        tile.clone().with_joint(mm(f64::NAN)),
        tile.clone().with_bond(Bond::Shift(1.0)),
        tile.clone().with_nails_each(21),
        tile.clone().with_gauge_range(Some(mm(200.0)), None),
        tile.clone().with_tile_and_half(Companion::new(mm(100.0), mm(265.0))),
        Covering::new("t", Layers::Double, mm(f64::INFINITY), mm(-1.0)),
    ] {
        assert!(bad.check().is_err(), "{bad:?}");
    }
}

#[test]
fn hanging_lengths() {
    let catalogue = Catalogue::standard();
    let tile = catalogue.covering("plain-tile-265x165").unwrap();
    // The nibs of the short tile sit as far from its head: 175 - (265 - 240).
    let top = tile.top_unit.as_ref().unwrap();
    assert!((tile.hanging_length_of(top, mm(100.0)).mm() - 150.0).abs() < 1e-9);
    // Holing gauge of a centre-nailed slate: gauge + lap + 10 mm (guides to BS 5534 and BS 8000-6, second-hand).
    let slate = catalogue.covering("slate-500x250").unwrap();
    assert!((slate.hanging_length_at(mm(200.0)).mm() - 310.0).abs() < 1e-9);
    // Head nailed: an inch under the head.
    let slate = catalogue
        .covering("slate-20x10in")
        .unwrap()
        .clone()
        .with_hanging(Hanging::HeadNailed)
        .with_nail_allowance(inch(1.0));
    assert!((slate.hanging_length_at(inch(8.0)).inches() - 19.0).abs() < 1e-9);
}

#[test]
fn a_figure_from_memory_says_so() {
    let tile = Catalogue::standard().covering("interlocking-420x330").unwrap();
    let figure = tile.hanging_length.as_ref().unwrap();
    assert!(figure.is_from_memory());
    assert_eq!(figure.remark(), Some("from memory"));
    assert!(figure.citation().contains("[from memory]"));
    assert_eq!(tile.length.remark(), Some("seen second-hand"));
}

mod no_text_panics {
    use proptest::prelude::*;

    use super::*;

    const FIELDS: &[&str] = &[
        "key",
        "name",
        "like",
        "family",
        "layers",
        "length",
        "width",
        "joint",
        "cover-width",
        "hanging",
        "bond",
        "mass",
        "face-mass",
        "gauge-least",
        "headlap-least",
        "pitch-least",
        "tile-and-half",
        "stock-lengths",
        "depth",
        "density",
        "metal",
        "shank",
        "per-kg",
        "open-most",
        "source",
        "nails-each",
        "colour",
    ];
    const VALUES: &[&str] = &[
        "\"x\"",
        "\"plain-tile\"",
        "\"plain-tile-265x165\"",
        "\"double\"",
        "\"265 mm\"",
        "\"-1 mm\"",
        "\"1e400 m\"",
        "\"nan mm\"",
        "7",
        "-7",
        "1e308",
        "nan",
        "inf",
        "true",
        "[]",
        "[1]",
        "[\"3 m\"]",
        "{}",
        "{ is = 7 }",
        "{ is = \"3 mm\", source = \"rta-tiling\" }",
        "{ width = \"1 m\" }",
        "1979-05-27",
        "\"\"",
        "\"½ in\"",
        "\"shift 0.5\"",
        "\"40 deg\"",
        "\"steel\"",
        "\"7850 kg/m3\"",
    ];

    proptest! {
        #[test]
        fn of_any_signs(text in ".{0,200}") {
            let _ = Catalogue::standard().with_toml(&text);
        }

        #[test]
        fn of_entries_with_any_value_in_any_field(
            word in prop::sample::select(&["covering", "batten", "underlay", "metal", "nail", "source"][..]),
            fields in prop::collection::btree_map(
                prop::sample::select(FIELDS), prop::sample::select(VALUES), 0..12),
        ) {
            let mut text = format!("[[{word}]]\n");
            for (field, value) in fields {
                text = format!("{text}{field} = {value}\n");
            }
            if let Ok(catalogue) = Catalogue::standard().with_toml(&text) {
                for covering in catalogue.coverings() {
                    prop_assert!(covering.check().is_ok());
                    prop_assert!(covering.units_per_m2(mm(100.0)).is_finite());
                }
            }
        }
    }
}
