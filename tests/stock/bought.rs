//! What a take-off buys by the bar: battens of the whole roof, timbers round openings.

use slopewright::order::{PriceList, materials};
use slopewright::quantity::LengthIn as _;
use slopewright::rules::Rules;
use slopewright::survey::SurveyDocument;
use slopewright::takeoff::{Line, Part, TakeOff};

const HOUSE: &str = r#"
    slopewright = 1
    name = "house"
    covering.format = "plain-tile-265x165"
    [battens]
    rafter_spacing = "400 mm"
    stock = ["3.6 m", "4.8 m"]
    [timbers]
    rafter_width = "50 mm"
    rafter_depth = "100 mm"
    stock = ["3.6 m", "5.4 m"]
    [[slope]]
    name = "front"
    shape = "rectangle"
    eaves = "9 m"
    rafter = "5 m"
    pitch = "42 deg"
    [[slope.opening]]
    name = "window"
    kind = "roof-window"
    from_left = "3 m"
    from_eaves = "1.5 m"
    width = "1140 mm"
    height = "1180 mm"
    [[slope]]
    name = "rear"
    shape = "rectangle"
    eaves = "9 m"
    rafter = "5 m"
    pitch = "42 deg"
"#;

fn take_off(text: &str) -> TakeOff {
    TakeOff::of(&SurveyDocument::from_toml(text).unwrap().check().unwrap()).unwrap()
}

fn whole_roof(take_off: &TakeOff, part: Part) -> Vec<Line> {
    let lines = take_off.lines().into_iter();
    lines.filter(|line| line.slope.is_empty() && line.part == part).collect()
}

fn batten_nails(take_off: &TakeOff) -> u64 {
    let lines = whole_roof(take_off, Part::Fixings);
    lines.iter().find(|line| line.item == "batten nails").and_then(|line| line.count).unwrap()
}

#[test]
fn battens_are_bought_by_the_bar_and_the_bars_are_those_of_the_cutting_list() {
    let house = take_off(HOUSE);
    let cut = house.cut_battens(Rules::standard()).unwrap();
    for length in [3.6, 4.8] {
        let listed: usize = cut
            .iter()
            .flat_map(|slope| &slope.plan.cutting.purchases)
            .filter(|bought| (bought.length.m() - length).abs() < 1e-9)
            .map(|bought| bought.count)
            .sum();
        let wanted = materials(&house);
        let found = wanted.iter().find(|of| of.item == format!("battens, {length} m"));
        assert_eq!(found.map_or(0, |of| of.likely), listed as u64);
    }
    assert!(!materials(&house).iter().any(|of| of.item.starts_with("battens, net")));
    let lines = whole_roof(&house, Part::Battens);
    let metres: f64 = lines.iter().filter(|line| line.count.is_some()).filter_map(|line| line.length_m).sum();
    let net = lines.iter().find(|line| line.count.is_none()).and_then(|line| line.length_m).unwrap();
    assert!(net <= metres && metres < 1.05 * net, "{metres} m bought for {net} m");
    // NHBC Standards 7.2.17: a skew nail on each side of a joint, so one more than where a batten runs through (DIN 4070).
    // A row of so many pieces has one joint fewer.
    let runs = cut.iter().flat_map(|slope| &slope.plan.rows).flat_map(|row| &row.runs);
    let joints: usize = runs.map(|run| run.pieces.len() - 1).sum();
    let crossings: u32 = house.slopes.iter().filter_map(|slope| slope.battens.all_crossings()).sum();
    assert!(joints > 0);
    assert_eq!(batten_nails(&house), u64::from(crossings) + joints as u64);
    // An end that is shorter than every piece of the roof is not kept.
    let offcuts = || cut.iter().flat_map(|slope| &slope.plan.cutting.offcuts);
    assert!(offcuts().all(|left| left.m() >= 1.2), "{:?}", offcuts().collect::<Vec<_>>());
}

#[test]
fn without_lengths_on_sale_net_metres_are_bought_and_say_why() {
    let house = take_off(&HOUSE.replace("stock = [\"3.6 m\", \"4.8 m\"]", ""));
    let lines = whole_roof(&house, Part::Battens);
    let net = lines.iter().find(|line| line.item == "battens, net").unwrap();
    assert!(net.working.rule.contains("lengths on sale"), "{}", net.working.rule);
    assert!(materials(&house).iter().any(|of| of.item == "battens, net (m)"));
    // Where they will be jointed is not known.
    let crossings: u32 = house.slopes.iter().filter_map(|slope| slope.battens.all_crossings()).sum();
    assert_eq!(batten_nails(&house), u64::from(crossings));
    // Bars too short for a row whose rafters stand further apart than they are long: the metres say so too.
    let apart = HOUSE.replace("400 mm", "2.9 m").replace("[\"3.6 m\", \"4.8 m\"]", "[\"2.4 m\"]");
    let apart = take_off(&apart);
    let lines = whole_roof(&apart, Part::Battens);
    let net = lines.iter().find(|line| line.item == "battens, net").unwrap();
    assert!(net.working.rule.contains("no bars"), "{}", net.working.rule);
    assert!(materials(&apart).iter().any(|of| of.item == "battens, net (m)"));
}

#[test]
fn timbers_round_openings_are_cut_from_what_is_sold() {
    let house = take_off(HOUSE);
    let plan = house.cut_timbers().unwrap().unwrap();
    // By hand: rafters at 0.2 m and every 0.4 m. The window from 3.00 to 4.14 m meets those at 3.0, 3.4 and 3.8 m (each
    // 50 mm wide), three in all, so four are added, two each side, over the whole rafter of 5 m; the headers go from the
    // face of the rafter at 2.6 m to that at 4.2 m: 1.6 - 0.05 = 1.55 m; a trimmer of 1.18 m stands at the left, where a
    // gap of 0.375 m is left, and none at the right, where 35 mm are.
    let cuts = || plan.bars.iter().flat_map(|bar| &bar.cuts);
    let of = |what: &str| -> Vec<f64> {
        cuts().filter(|cut| cut.label.starts_with(what)).map(|cut| cut.length.m()).collect()
    };
    let near = |lengths: Vec<f64>, length: f64| lengths.iter().all(|found| (found - length).abs() < 1e-3);
    assert_eq!((of("header").len(), of("added rafter").len()), (2, 4));
    assert!(near(of("header"), 1.55) && near(of("added rafter"), 5.0));
    // Four rafters of 5 m take a bar of 5.4 m each. The headers and the trimmer, 4.28 m and two saw cuts, fit into one more,
    // which is less than two of 3.6 m.
    assert_eq!(plan.purchases.iter().map(|bought| bought.count).sum::<usize>(), plan.bars.len());
    assert!(plan.proved);
    let wanted = materials(&house);
    assert!(wanted.iter().any(|of| of.item == "timber to buy 50 x 100 mm, 5.4 m" && of.likely == 5));
    assert!(!wanted.iter().any(|of| of.item.starts_with("headers")));
    assert!(house.timber_list().unwrap().iter().any(|line| line.contains("header, front, window")));
    // A rafter longer than anything on sale is a fault of the list, and the order has metres.
    let short = take_off(&HOUSE.replace("[\"3.6 m\", \"5.4 m\"]", "[\"3.6 m\"]"));
    assert_eq!(short.cut_timbers().unwrap_err().faults().next().unwrap().kind.code(), "piece-too-long");
    assert!(materials(&short).iter().any(|of| of.item.starts_with("headers")));
    // Nothing stated, nothing cut.
    let bare = take_off(&HOUSE.replace("stock = [\"3.6 m\", \"5.4 m\"]", ""));
    assert!(bare.cut_timbers().unwrap().is_none() && bare.timber_list().unwrap().is_empty());
}

#[test]
fn prices_choose_among_the_lengths_of_bars() {
    let house = take_off(HOUSE);
    let bars = |take_off: &TakeOff, length: &str| {
        let name = format!("battens, {length}");
        materials(take_off).iter().find(|of| of.item == name).map_or(0, |of| of.likely)
    };
    let at = |short: &str, long: &str| {
        let prices = format!("item,price\n\"battens, 3.6 m\",{short}\n\"battens, 4.8 m\",{long}\n");
        let list = PriceList::read_csv("EUR", &prices).unwrap();
        house.with_bar_prices(|item| list.row(item).map(|row| row.price))
    };
    // By hand: a bar of 4.8 m holds a third more, so at twice the price it is hardly ever worth it, nor one of 3.6 m at the
    // price of the long one.
    let (short, long) = (at("1.00", "2.00"), at("2.00", "2.00"));
    assert!(bars(&short, "3.6 m") > 10 * bars(&short, "4.8 m"), "{}", bars(&short, "4.8 m"));
    assert_eq!(bars(&long, "3.6 m"), 0);
    // Never dearer than the bars chosen by their metres, at the same prices.
    let cost = |take_off: &TakeOff| bars(take_off, "3.6 m") + 2 * bars(take_off, "4.8 m");
    assert!(cost(&short) <= cost(&house));
    let line = |take_off: &TakeOff| {
        let lines = whole_roof(take_off, Part::Battens);
        lines.into_iter().find(|line| line.count.is_some()).unwrap().working.numbers
    };
    assert!(line(&short).contains("chosen by price"), "{}", line(&short));
    // A length without a price: they stay as they were.
    let some = house.with_bar_prices(|item| (item == "battens, 3.6 m").then_some(1.into()));
    assert_eq!(line(&some), line(&house));
}

const WALLED: &str = r#"
    slopewright = 1
    name = "annex"
    covering.format = "plain-tile-265x165"
    edgework.abutment.lead_rolls = ["3 m", "6 m"]
    [battens]
    rafter_spacing = "600 mm"
    counter_battens = true
    counter_stock = ["4.8 m"]
    fillet_stock = ["3 m", "4.2 m"]
    kerf = "0 mm"
    [[slope]]
    name = "front"
    shape = "rectangle"
    eaves = "6 m"
    rafter = "4 m"
    pitch = "40 deg"
    edges.left.role = "side-abutment"
    edges.top.role = "top-abutment"
    edges.right.role = "verge"
"#;

#[test]
fn strips_of_undercloak_of_two_verges_are_cut_together() {
    let annex =
        take_off(&WALLED.replace("edges.left.role = \"side-abutment\"", "edges.left.role = \"verge\""));
    let lines = whole_roof(&annex, Part::Verges);
    let line = lines.iter().find(|line| line.item.starts_with("undercloak")).unwrap();
    // By hand: 4 m and a little of overhang at each verge, each by itself four strips of 1.2 m (from memory); three whole
    // ones for each, and the two rests out of one.
    assert_eq!(line.count, Some(8));
    assert!(line.working.result.contains("7 are enough"), "{}", line.working.result);
    let wanted = materials(&annex);
    assert_eq!(wanted.iter().find(|of| of.item == "undercloak, 150 mm wide").unwrap().likely, 7);
}

#[test]
fn what_else_goes_by_length_is_cut_from_what_is_sold() {
    let annex = take_off(WALLED);
    let cut = annex.cut_lengths().unwrap();
    let of = |name: &str| cut.iter().find(|of| of.sold_as.starts_with(name)).unwrap();
    for of in &cut {
        assert!(of.plan.proved, "{}", of.sold_as);
    }
    // Every piece is cut once: the metres of the pieces are those of the lines.
    let lines = annex.lines();
    let of_slopes = |item: &str| -> f64 {
        lines
            .iter()
            .filter(|line| !line.slope.is_empty() && line.item.contains(item))
            .filter_map(|line| line.length_m)
            .sum()
    };
    for (name, item) in [
        ("counter-battens", "counter-battens"),
        ("tilting fillet", "tilting fillet"),
        ("undercloak", "undercloak"),
        ("lead code 4, 150 mm", "step flashing"),
        ("lead code 4, 250 mm", "cover flashing"),
    ] {
        let pieces = of(name).plan.bars.iter().flat_map(|bar| &bar.cuts);
        let metres: f64 = pieces.map(|cut| cut.length.m()).sum();
        assert!((metres - of_slopes(item)).abs() < 2e-3, "{name}: {metres} m, {} m", of_slopes(item));
        assert!(metres > 1.0, "{name}");
    }
    // By hand: the eaves of 6 m and what goes past the verge come out of two lengths of 3 m and a little more, or of one of
    // 4.2 m and one of 3 m, which is less than two of 4.2 m.
    let fillets: Vec<(f64, usize)> =
        of("tilting").plan.purchases.iter().map(|bought| (bought.length.m(), bought.count)).collect();
    assert_eq!(fillets, [(3.0, 1), (4.2, 1)]);
    // No piece of lead is longer than the rule allows (NHBC Standards 7.2.20: 1.5 m).
    let lead = cut.iter().filter(|of| of.sold_as.starts_with("lead"));
    assert!(lead.flat_map(|of| &of.plan.bars).flat_map(|bar| &bar.cuts).all(|cut| cut.length.m() < 1.5001));
    // The order has the lengths, and not what is cut from them.
    let wanted = materials(&annex);
    let has = |item: &str| wanted.iter().any(|of| of.item == item);
    assert!(has("tilting fillet, 4.2 m") && !has("tilting fillet (m)"));
    assert!(has("counter-battens, 4.8 m") && !has("counter-battens (m)"));
    assert!(wanted.iter().any(|of| of.item.starts_with("lead code 4, 150 mm wide, ")));
    assert!(!wanted.iter().any(|of| of.item.starts_with("step flashing")));
    let rolls = wanted.iter().filter(|of| of.item.starts_with("lead code 4, 150 mm wide, "));
    // BS EN 12588: code 4 is 1.80 mm at 11.34 t/m3, 20.4 kg/m2; by hand 0.15 x 20.41 = 3.06 kg for each metre of roll.
    for of in rolls {
        let metres = if of.item.ends_with(" 6 m") { 6.0 } else { 3.0 };
        let each: f64 = of.mass_each_kg.unwrap().try_into().unwrap();
        assert!((each - 3.062 * metres).abs() < 0.02, "{} {each}", of.item);
    }
    assert!(annex.length_list().unwrap().iter().any(|line| line.starts_with("lead code 4")));
    // Nothing stated: metres and masses, as before; undercloak still in strips of 1.2 m.
    let bare = take_off(
        &WALLED
            .replace("edgework.abutment.lead_rolls = [\"3 m\", \"6 m\"]", "")
            .replace("counter_stock = [\"4.8 m\"]", "")
            .replace("fillet_stock = [\"3 m\", \"4.2 m\"]", ""),
    );
    let wanted = materials(&bare);
    assert!(wanted.iter().any(|of| of.item == "tilting fillet (m)"));
    assert!(wanted.iter().any(|of| of.item == "counter-battens (m)"));
    let strips = wanted.iter().find(|of| of.item == "undercloak, 150 mm wide").unwrap();
    // By hand: 4 m of verge and its overhangs, under 4.8 m, are four strips.
    assert_eq!(strips.likely, 4);
    // A roll shorter than a piece is a fault of the list, and lead stays by piece.
    let short = take_off(&WALLED.replace("[\"3 m\", \"6 m\"]", "[\"1 m\"]"));
    assert_eq!(short.cut_lengths().unwrap_err().faults().next().unwrap().kind.code(), "piece-too-long");
    assert!(materials(&short).iter().any(|of| of.item.starts_with("step flashing")));
}
