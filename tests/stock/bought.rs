//! What a take-off buys by the bar: battens of the whole roof, timbers round openings.

use slopewright::order::materials;
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
}

#[test]
fn without_lengths_on_sale_net_metres_are_bought_and_say_why() {
    let house = take_off(&HOUSE.replace("stock = [\"3.6 m\", \"4.8 m\"]", ""));
    let lines = whole_roof(&house, Part::Battens);
    let net = lines.iter().find(|line| line.item == "battens, net").unwrap();
    assert!(net.working.rule.contains("lengths on sale"), "{}", net.working.rule);
    assert!(materials(&house).iter().any(|of| of.item == "battens, net (m)"));
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
