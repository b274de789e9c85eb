//! Lengths and pitches: whatever is shown reads back, and no text makes a reader panic.

use proptest::prelude::*;
use slopewright::quantity::{
    LengthIn as _, feet_inches, inch, metres, millimetres, mm, read_area, read_cover_mass, read_length,
    read_mass, read_pitch, spaces,
};

use crate::cases;

/// Signs that tape sheets are made of, in any order.
const TAPE_SIGNS: &str = "[0-9 .,/'\"½¼⅛°:%+\\-mfticnydkgs2²]{0,24}";

proptest! {
    #![proptest_config(cases(2000))]

    #[test]
    fn no_text_makes_a_reader_panic(text in ".{0,40}", tape in TAPE_SIGNS) {
        for text in [&text, &tape] {
            let outcomes = [
                read_length(text).err(),
                read_pitch(text).err(),
                read_area(text).err(),
                read_mass(text).err(),
                read_cover_mass(text).err(),
            ];
            for error in outcomes.into_iter().flatten() {
                for fault in error.faults() {
                    prop_assert!(!fault.advice.is_empty() && !fault.given.is_empty() && !fault.allowed.is_empty(), "{}", fault);
                }
            }
        }
    }

    #[test]
    fn what_is_shown_reads_back(sixteenths in -2_000_000..2_000_000i64, tenths in -5_000_000..5_000_000i64) {
        let length = inch(sixteenths as f64 / 16.0);
        prop_assert!((read_length(&feet_inches(length)).unwrap() - length).mm().abs() < 1e-6, "{}", feet_inches(length));
        let length = mm(tenths as f64 / 10.0);
        prop_assert!((read_length(&millimetres(length)).unwrap() - length).mm().abs() < 1e-6);
        prop_assert!((read_length(&metres(length)).unwrap() - length).mm().abs() < 0.5 + 1e-6);
    }

    #[test]
    fn a_read_length_is_the_sum_of_its_parts(feet in 0..500u32, inches in 0..12u32, over in 0..16u32) {
        let text = format!("{feet} ft {inches} {over}/16 in");
        let wanted = f64::from(feet) * 304.8 + (f64::from(inches) + f64::from(over) / 16.0) * 25.4;
        prop_assert!((read_length(&text).unwrap().mm() - wanted).abs() < 1e-6, "{}", text);
    }

    #[test]
    fn a_pitch_reads_the_same_in_degrees_rise_and_percent(rise in 1..400u32) {
        let degrees = (f64::from(rise) / 100.0).atan().to_degrees();
        for text in [format!("{degrees} deg"), format!("{rise} in 100"), format!("{rise}:100"), format!("{rise} %")] {
            prop_assert!((read_pitch(&text).unwrap().degrees() - degrees).abs() < 1e-9, "{}", text);
        }
    }

    #[test]
    fn spaces_are_the_fewest_that_none_is_too_large(distance in 1..20_000u32, largest in 20..800u32) {
        let count = spaces(mm(f64::from(distance)), mm(f64::from(largest)));
        // In whole millimetres the answer is a whole-number division.
        prop_assert_eq!(count, distance.div_ceil(largest));
    }
}
