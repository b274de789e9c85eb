//! Where units lie against how many there are, and timbers round openings by hand.

use super::*;

/// The units of a course, whole ones side by side taken together.
fn laid_in(slope: &SlopeTakeOff, course: usize) -> Vec<(Laid, i32, u32)> {
    let mut found: Vec<(Laid, i32, u32)> = Vec::new();
    for place in slope.unit_places().into_iter().filter(|place| place.course == course) {
        match found.last_mut() {
            Some((Laid::Whole, _, cells)) if place.laid == Laid::Whole => *cells += place.cells,
            _ => found.push((place.laid, place.first, place.cells)),
        }
    }
    found
}

#[test]
fn units_lie_where_a_roofer_lays_them() {
    // Ten units of 300 mm and a half: ten whole ones and a cut one in every course.
    let slope = bare(SINGLE, "40 deg", 3150.0, 1020.0 + 410.0, "").slopes.swap_remove(0);
    for course in 0..4 {
        assert_eq!(laid_in(&slope, course), [(Laid::Whole, 0, 10), (Laid::Cut, 10, 1)]);
    }
    // Ten tiles of 165 mm in half bond: after the short ones under the eaves a course of ten, then one that begins with a
    // half. The half and its neighbour are one tile and a half at either end, with seven whole ones between.
    let slope = bare(PLAIN, "40 deg", 1650.0, 2000.0, "").slopes.swap_remove(0);
    let of_number = |number: u32| {
        let courses = &slope.layout.courses;
        let place = courses.iter().position(|course| course.number == number && number > 0).unwrap();
        laid_in(&slope, place)
    };
    assert_eq!(of_number(1), [(Laid::Whole, 0, 10)]);
    assert_eq!(of_number(2), [(Laid::TileAndHalf, 0, 2), (Laid::Whole, 2, 7), (Laid::TileAndHalf, 9, 2)]);
    assert_eq!(of_number(3), [(Laid::Whole, 0, 10)]);
}

#[test]
fn the_places_are_as_many_as_the_units() {
    let hatch = |from_left: f64| {
        format!(
            "[[slope.opening]]\nname = \"hatch\"\nfrom_left = \"{from_left} mm\"\nfrom_eaves = \"730 mm\"\nwidth = \"610 mm\"\n\
             height = \"870 mm\"\nclearance = \"13 mm\""
        )
    };
    let gable = "[[form]]\nform = \"hipped\"\nlength = \"7.3 m\"\nspan = \"5.1 m\"\npitch = \"45 deg\"";
    let mut roofs = vec![take_off(&format!("{PLAIN}\n{gable}")), take_off(&format!("{SINGLE}\n{gable}"))];
    for from_left in [400.0, 1234.0, 2222.0] {
        roofs.push(bare(PLAIN, "40 deg", 4015.0, 2600.0, &hatch(from_left)));
        roofs.push(bare(SINGLE, "40 deg", 4015.0, 2600.0, &hatch(from_left)));
    }
    for slope in roofs.iter().flat_map(|roof| &roof.slopes) {
        let places = slope.unit_places();
        assert!(places.is_sorted_by_key(|place| (place.course, place.first)));
        for (number, units) in slope.units.courses.iter().enumerate() {
            let here: Vec<&UnitPlace> = places.iter().filter(|place| place.course == number).collect();
            let of = |laid: Laid| here.iter().filter(|p| p.laid == laid).map(|p| p.units()).sum::<u32>();
            let tile_and_half = of(Laid::TileAndHalf) + of(Laid::TileAndHalfCut);
            assert_eq!(
                (of(Laid::Whole), of(Laid::Cut), tile_and_half, of(Laid::TileAndHalfCut)),
                (units.whole, units.cut, units.tile_and_half, units.tile_and_half_cut)
            );
            // No cell has two units.
            let ends = here.iter().map(|place| place.first + i32::try_from(place.cells).unwrap());
            assert!(here.iter().skip(1).zip(ends).all(|(next, end)| end <= next.first), "{here:?}");
        }
    }
}

/// The timbers round the only opening.
fn timbers(rafters: &str, wide_mm: f64, opening: &str) -> OpeningTimbers {
    let before = format!(
        "{SINGLE}\nbattens = {{ {rafters} }}\ntimbers = {{ rafter_width = \"50 mm\", hanger_nails = 8 }}"
    );
    let roof = bare(&before, "40 deg", wide_mm, 4000.0, opening);
    let slope = &roof.slopes[0];
    slope.openings(&roof).swap_remove(0).timbers.unwrap()
}

fn window(from_left: f64, width: f64) -> String {
    format!(
        "[[slope.opening]]\nname = \"w\"\nkind = \"roof-window\"\nfrom_left = \"{from_left} mm\"\nfrom_eaves = \"1 m\"\n\
         width = \"{width} mm\"\nheight = \"1.2 m\"\nclearance = \"0 mm\""
    )
}

const AT_600: &str = "rafter_spacing = \"600 mm\", first_rafter = \"300 mm\"";

#[test]
fn rafters_cut_and_added_round_a_window() {
    // Rafters at 0.3 m and every 0.6 m, 50 mm wide: the window from 2.0 to 2.8 m meets that at 2.1 and that at 2.7 m. Beside it
    // stand those at 1.5 and 3.3 m: the headers go from 1.525 to 3.275 m, and there is room for a trimmer on both sides.
    let found = timbers(AT_600, 6000.0, &window(2000.0, 800.0));
    assert_eq!((found.cut, found.headers, found.trimmers, found.at_the_end), (2, 2, 2, false));
    assert!((found.header_m - 1.75).abs() < 1e-9 && (found.trimmer_m - 1.2).abs() < 1e-9);
    // Mindham, figure 3.18b (the rule's source): two cut, two added, one beside each of 4 m.
    assert_eq!((found.added, found.added_lengths_m.len()), (Some(2), 2));
    assert!((found.added_length_m - 8.0).abs() < 1e-9, "{}", found.added_length_m);
    // Two ends of two headers and of two cut rafters, above and below: eight hangers.
    assert_eq!(found.hangers, 8);
    assert_eq!(found.clear_m.map(|at| (at * 1000.0).round()).to_vec(), [2000.0, 2800.0, 1000.0, 2200.0]);
    // 800 mm go into no bay of 550 mm.
    assert_eq!(found.fits_if_moved_m, None);
}

#[test]
fn a_window_that_fits_a_bay_is_said_to() {
    // The bay from 1.525 to 2.075 m is 550 mm clear.
    let found = timbers(AT_600, 6000.0, &window(1525.0, 550.0));
    assert_eq!((found.cut, found.headers, found.hangers, found.fits_if_moved_m), (0, 0, 0, None));
    for (from_left, by_mm) in [(1545.0, -20.0), (1500.0, 25.0), (1800.0, -275.0), (1840.0, 285.0)] {
        let found = timbers(AT_600, 6000.0, &window(from_left, 550.0));
        assert!((found.fits_if_moved_m.unwrap() * 1000.0 - by_mm).abs() < 1e-6, "{from_left}: {found:?}");
        assert_eq!(found.cut, 1);
    }
    // 500 mm have 50 mm of play there: it moves no further than it must.
    for (from_left, by_mm) in [(1600.0, -25.0), (1500.0, 25.0)] {
        let found = timbers(AT_600, 6000.0, &window(from_left, 500.0));
        assert!((found.fits_if_moved_m.unwrap() * 1000.0 - by_mm).abs() < 1e-6, "{from_left}: {found:?}");
    }
    assert!(timbers(AT_600, 6000.0, &window(1500.0, 551.0)).fits_if_moved_m.is_none());
}

#[test]
fn at_the_end_of_a_slope_a_rafter_may_be_wanting() {
    // From 0.1 to 0.9 m: rafters at 0.3 and 0.9 m are cut, none stands to the left, and at the right that at 1.5 m.
    let found = timbers(AT_600, 6000.0, &window(100.0, 800.0));
    assert!(found.at_the_end && found.cut == 2);
    // From the edge of the window to 1.475 m.
    assert!((found.header_m - 1.375).abs() < 1e-9, "{}", found.header_m);
    assert_eq!(found.trimmers, 1);
    // One added rafter only: there is one to double.
    assert_eq!(found.added_lengths_m.len(), 1);
    assert!((found.added_length_m - 4.0).abs() < 1e-9);
    // From 5.1 to 5.9 m of 6 m: those at 5.1 and 5.7 m are cut, at the left stands that at 4.5 m.
    let found = timbers(AT_600, 6000.0, &window(5100.0, 800.0));
    assert!(found.at_the_end && (found.header_m - (5.9 - 4.525)).abs() < 1e-9, "{}", found.header_m);
}

#[test]
fn a_trimmer_stands_where_there_is_room_for_one() {
    // Rafters at 1.5 m (face at 1.525) and 2.7 m (face at 2.675): a rafter at 2.1 m is cut. 50 mm of room are enough.
    for (from_left, width, trimmers) in
        [(1575.0, 1050.0, 2), (1574.0, 1051.0, 1), (1574.0, 1052.0, 0), (1525.0, 1150.0, 0)]
    {
        let found = timbers(AT_600, 6000.0, &window(from_left, width));
        assert_eq!((found.cut, found.trimmers), (1, trimmers), "{from_left} {width}");
        assert!((found.header_m - 1.15).abs() < 1e-9);
    }
}

#[test]
fn timber_stays_away_from_a_brick_flue() {
    // 40 mm (the rule's source, trimmed openings).
    let stack = |flue: &str| {
        format!(
            "[[slope.opening]]\nname = \"stack\"\nkind = \"chimney\"\nflue = \"{flue}\"\nfrom_left = \"2000 mm\"\n\
             from_eaves = \"1 m\"\nwidth = \"500 mm\"\nheight = \"500 mm\"\nclearance = \"0 mm\""
        )
    };
    let clear =
        |flue: &str| timbers(AT_600, 6000.0, &stack(flue)).clear_m.map(|at| (at * 1000.0).round()).to_vec();
    assert_eq!(clear("brick"), [1960.0, 2540.0, 960.0, 1540.0]);
    assert_eq!(clear("other"), [2000.0, 2500.0, 1000.0, 1500.0]);
}

#[test]
fn what_goes_by_length_is_cut_from_what_is_on_sale() {
    // Rafters at 0.3, 0.9 ... 2.7 m: five counter-battens of 1.43 m, the whole slope. Three of them and two cuts of 3 mm are
    // 4.296 m: two bars of 4.8 m. The fillet along the eaves and the batten along the ridge are 3 m each.
    let battens = "battens = { rafter_spacing = \"600 mm\", first_rafter = \"300 mm\", counter_battens = true, \
                   counter_stock = [\"4.8 m\"], fillet_stock = [\"3.6 m\"], kerf = \"3 mm\" }";
    let roof = bare(&format!("{SINGLE}\n{battens}"), "40 deg", 3000.0, 1430.0, "");
    let cut = roof.cut_lengths().unwrap();
    let bars = |stock_m: f64| -> usize {
        let bought = cut.iter().flat_map(|of| &of.plan.purchases);
        bought.filter(|bought| (bought.length.m() - stock_m).abs() < 1e-9).map(|bought| bought.count).sum()
    };
    assert_eq!((bars(4.8), bars(3.6)), (2, 2), "{cut:?}");
    let pieces = |stock_m: f64| -> Vec<f64> {
        let bars = cut.iter().flat_map(|of| &of.plan.bars);
        let bars = bars.filter(|bar| (bar.length.m() - stock_m).abs() < 1e-9);
        bars.flat_map(|bar| &bar.cuts).map(|cut| cut.length.mm().round()).collect()
    };
    assert_eq!(pieces(4.8), [1430.0; 5]);
    assert_eq!(pieces(3.6), [3000.0; 2]);
    // Without lengths on sale there is nothing to cut.
    let none = bare(
        &format!("{SINGLE}\nbattens = {{ rafter_spacing = \"600 mm\", counter_battens = true }}"),
        "40 deg",
        3000.0,
        1430.0,
        "",
    );
    let cut = none.cut_lengths().unwrap();
    assert!(cut.iter().all(|of| !of.sold_as.starts_with("counter")), "{cut:?}");
}

#[test]
fn an_opening_over_a_cut_unit_cuts_it_again() {
    // 3.15 m are ten units and a half one. The hatch from 2.90 to 3.10 m, within the second course (340 to 680 mm), takes a part of
    // the tenth, which was whole, and of the half one beside it. From 2.75 to 2.95 m it lies in the tenth alone, and from
    // 2.39 to 2.99 m it takes the ninth (2.4 to 2.7 m) and cuts those beside it.
    let units = |from_left: f64, width: f64| {
        let hatch = format!(
            "[[slope.opening]]\nname = \"hatch\"\nfrom_left = \"{from_left} mm\"\nfrom_eaves = \"340.5 mm\"\nwidth = \"{width} mm\"\n\
             height = \"339 mm\"\nclearance = \"0 mm\""
        );
        let roof = bare(SINGLE, "40 deg", 3150.0, 1020.0 + 410.0, &hatch);
        let units = roof.slopes[0].openings(&roof).swap_remove(0).units;
        (units.lost, units.cut, units.cut_again, units.courses.len())
    };
    assert_eq!(units(2900.0, 200.0), (0, 1, 1, 1));
    assert_eq!(units(2750.0, 200.0), (0, 1, 0, 1));
    assert_eq!(units(2390.0, 600.0), (1, 2, 0, 1));
}

#[test]
fn a_row_beside_a_sill_or_a_head_does_its_service() {
    // Rows at 395, 735, 1075 and 1415 mm; battens on rafters at 600 mm are 50 mm wide (BS 5534, the rule's source). A sill at
    // 740 mm has the row at 735 mm, a head at 1340 mm, whose batten would lie to 1390 mm, that at 1415 mm. A head at 1240 mm
    // has none near, and a sill at 800 mm neither.
    let battens = "battens = { rafter_spacing = \"600 mm\", first_rafter = \"0 mm\" }";
    let laid = |sill: f64, head: f64| -> Vec<f64> {
        let hatch = format!(
            "[[slope.opening]]\nname = \"hatch\"\nfrom_left = \"1200 mm\"\nfrom_eaves = \"{sill} mm\"\nwidth = \"600 mm\"\n\
             height = \"{} mm\"\nclearance = \"0 mm\"",
            head - sill
        );
        let roof = bare(&format!("{SINGLE}\n{battens}"), "40 deg", 3000.0, 1020.0 + 410.0, &hatch);
        roof.slopes[0].battens.round_openings.iter().map(|row| (row.at_m * 1000.0).round()).collect()
    };
    assert_eq!(laid(740.0, 1340.0), Vec::<f64>::new());
    assert_eq!(laid(740.0, 1240.0), [1290.0]);
    assert_eq!(laid(800.0, 1340.0), [800.0]);
    assert_eq!(laid(800.0, 1240.0), [800.0, 1290.0]);
}
