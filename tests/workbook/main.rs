//! Surveys go into a workbook and come back as they were, and text never becomes a formula.

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use calamine::{Reader as _, Xlsx};
    use proptest::prelude::*;
    use slopewright::order::OrderDocument;
    use slopewright::quantity::{Pitch, m};
    use slopewright::salvage::Salvage;
    use slopewright::survey::{
        CoveringDocument, EdgeDocument, Entry, FormDocument, OpeningDocument, SlopeDetailDocument,
        SlopeDocument, SurveyDocument, UnderlayDocument,
    };
    use slopewright::{FaultKind, TakeOff};
    use slopewright_workbook::{order_workbook, read_survey, survey_template, survey_workbook};

    const ROOM: &str = include_str!("../../docs/examples/reading-room.toml");
    const SALVAGE: &str = include_str!("../../docs/examples/reading-room-salvage.toml");
    const ORDER: &str = include_str!("../../docs/examples/reading-room-order.toml");
    const PRICES: &str = include_str!("../../docs/examples/reading-room-prices.csv");

    fn given<T>(value: T) -> Entry<T> {
        Entry::Given(value)
    }

    fn opening(name: String, at: f64) -> OpeningDocument {
        OpeningDocument {
            name: given(name),
            from_left: given(m(1.0 + at).into()),
            from_eaves: given(m(0.8).into()),
            width: given(m(0.6).into()),
            height: given(m(0.7).into()),
            existing: given(at > 0.5),
            ..OpeningDocument::default()
        }
    }

    /// Any name that a survey takes, formulas, tags and letters of other scripts among them.
    fn name() -> impl Strategy<Value = String> {
        prop_oneof![
            "[a-z]{1,9}( [a-z]{1,9})?",
            "[=+@-][A-Z]{1,4}\\([a-z0-9:]{1,9}\\)",
            Just("<script>alert(1)</script>".to_owned()),
            Just("]]>&amp;".to_owned()),
            "#[0-9]{1,2}",
            "[א-ת]{1,9}",
            "[^\\p{C}\\s]{1,40}",
        ]
    }

    prop_compose! {
        fn slope(number: usize)(
            name in name(), eaves in 3.0..12.0_f64, rafter in 2.5..6.0_f64, pitch in 41.0..55.0_f64, openings in 0..2_usize,
            overhang in 0.02..0.06_f64, at in 0.0..1.0_f64, opening_name in name(), has_edge: bool,
        ) -> SlopeDocument {
            let pitch = Pitch::from_degrees(pitch).unwrap();
            let mut slope = SlopeDocument::rectangle(&format!("{name}{number}"), m(eaves), m(rafter), pitch);
            if openings > 0 {
                slope.opening = given(vec![given(opening(opening_name, at))]);
            }
            if has_edge {
                let edge = EdgeDocument { overhang: given(m(overhang).into()), ..EdgeDocument::default() };
                slope.edges = given([("left".to_owned(), given(edge))].into());
            }
            slope
        }
    }

    prop_compose! {
        fn form()(
            name in name(), length in 8.0..14.0_f64, span in 5.0..7.5_f64, pitch in 41.0..55.0_f64, hipped: bool,
            opening_name in name(), at in 0.0..1.0_f64, has_opening: bool,
        ) -> FormDocument {
            let mut form = FormDocument {
                name: given(format!("{name} form")),
                form: given(if hipped { "hipped" } else { "gable" }.to_owned()),
                length: given(m(length).into()),
                span: given(m(span).into()),
                pitch: given(Pitch::from_degrees(pitch).unwrap().into()),
                ..FormDocument::default()
            };
            if has_opening {
                form.rear = given(SlopeDetailDocument {
                    opening: given(vec![given(opening(opening_name, 2.0 + at))]),
                    ..SlopeDetailDocument::default()
                });
            }
            form
        }
    }

    prop_compose! {
        fn survey()(
            name in name(), slopes in (1..4_usize).prop_flat_map(|count| (0..count).map(slope).collect::<Vec<_>>()),
            forms in proptest::collection::vec(form(), 0..2), days in 0..30_u32, spacing in 0.3..0.6_f64, supported: bool,
        ) -> SurveyDocument {
            let mut survey = SurveyDocument::new(&name)
                .with_covering(CoveringDocument::new("plain-tile-265x165"))
                .with_rafters(m(spacing));
            survey.underlay = given(UnderlayDocument {
                format: given("membrane-1x50".to_owned()),
                supported: given(supported),
                days_open: given(days),
                ..UnderlayDocument::default()
            });
            for slope in slopes {
                survey = survey.with_slope(slope);
            }
            if !forms.is_empty() {
                survey.form = given(forms.into_iter().map(given).collect());
            }
            survey
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        #[test]
        fn a_survey_comes_back_as_it_was(survey in survey()) {
            prop_assume!(survey.check().is_ok());
            let bytes = survey_workbook(&survey).unwrap();
            prop_assert_eq!(read_survey(&bytes).unwrap(), survey);
        }

        #[test]
        fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
            let _ = read_survey(&bytes);
        }

        #[test]
        fn a_damaged_workbook_is_read_or_refused(at in 0..6000_usize, byte: u8) {
            let mut bytes = survey_workbook(&SurveyDocument::from_toml(ROOM).unwrap()).unwrap();
            let at = at % bytes.len();
            bytes[at] = byte;
            let _ = read_survey(&bytes);
        }
    }

    fn order_bytes() -> Vec<u8> {
        let take_off = TakeOff::of(&SurveyDocument::from_toml(ROOM).unwrap().check().unwrap()).unwrap();
        let salvaged = Salvage::from_toml(SALVAGE).unwrap().reckon(&take_off.needs()).unwrap();
        let document = OrderDocument::from_toml(ORDER).unwrap().with_csv(PRICES).unwrap();
        order_workbook(&document, &salvaged, &[&take_off]).unwrap()
    }

    #[test]
    fn equal_input_gives_equal_bytes() {
        assert_eq!(order_bytes(), order_bytes());
        assert_eq!(survey_template().unwrap(), survey_template().unwrap());
    }

    #[test]
    fn an_empty_template_says_what_it_lacks() {
        let error = read_survey(&survey_template().unwrap()).unwrap_err();
        let kinds: Vec<_> = error.faults().map(|fault| fault.kind).collect();
        assert!(kinds.contains(&FaultKind::NoSlopes), "{error}");
    }

    #[test]
    fn only_figures_are_formulas() {
        let mut book = Xlsx::new(Cursor::new(order_bytes())).unwrap();
        let names = book.sheet_names();
        for name in ["Answer", "Order", "Take-off", "Findings", "Working"] {
            assert!(names.iter().any(|of| of == name), "{name} of {names:?}");
        }
        let mut formulas = 0;
        for name in &names {
            for (_, _, formula) in book.worksheet_formula(name).unwrap().used_cells() {
                if !formula.is_empty() {
                    assert_eq!(name, "Order");
                    formulas += 1;
                }
            }
        }
        assert!(formulas > 200, "{formulas}");
    }
}
