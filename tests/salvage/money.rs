//! Orders against Python's decimal: 200 random orders, five rounding modes, two places, equal to the smallest coin.
//!
//! The table is made by `tests/oracle/order_money.py`.

use rust_decimal::Decimal;
use serde::Deserialize;
use slopewright::order::{PriceList, PriceRow, RoundingPlace, Terms, Wanted, order};
use slopewright::quantity::MoneyRounding;
use slopewright::salvage::Portion;

#[derive(Deserialize)]
struct Case {
    currency: String,
    discount: String,
    lines: Vec<Line>,
    results: Vec<Paid>,
}

#[derive(Deserialize)]
struct Line {
    item: String,
    need: u64,
    pack: u64,
    part_packs: bool,
    least: u64,
    price: String,
    per: u64,
    discount: String,
    tax: String,
    ordered: u64,
}

#[derive(Deserialize)]
struct Paid {
    mode: MoneyRounding,
    place: RoundingPlace,
    net: String,
    tax: String,
    gross: String,
    lines: Vec<String>,
}

fn percent(text: &str) -> Portion {
    format!("{text} %").parse().unwrap()
}

#[test]
fn two_hundred_orders_to_the_cent() {
    let cases: Vec<Case> = serde_json::from_str(include_str!("../oracle/order_money.json")).unwrap();
    assert_eq!(cases.len(), 200);
    let mut compared = 0;
    for (number, case) in cases.iter().enumerate() {
        let wanted: Vec<Wanted> =
            case.lines.iter().map(|line| Wanted::exactly(&line.item, line.need)).collect();
        let rows = case
            .lines
            .iter()
            .map(|line| PriceRow {
                pack: line.pack,
                part_packs: line.part_packs,
                least: line.least,
                per: line.per,
                discount: percent(&line.discount),
                tax: percent(&line.tax),
                ..PriceRow::new(&line.item, line.price.parse().unwrap())
            })
            .collect();
        let prices = PriceList { currency: case.currency.clone(), rows };
        for paid in &case.results {
            let terms = Terms { discount: percent(&case.discount), ..Terms::new(paid.mode, paid.place) };
            let made = order(&wanted, &prices, &terms).unwrap();
            let place = format!("order {number}, {:?}, {:?}", paid.mode, paid.place);
            let ordered: Vec<u64> = made.lines.iter().map(|line| line.ordered).collect();
            assert_eq!(ordered, case.lines.iter().map(|line| line.ordered).collect::<Vec<_>>(), "{place}");
            // As text, so that the number of decimals is the currency's too.
            assert_eq!(made.total.net.to_string(), paid.net, "{place}, net");
            assert_eq!(made.total.tax.to_string(), paid.tax, "{place}, tax");
            assert_eq!(made.total.gross.to_string(), paid.gross, "{place}, gross");
            for (line, expected) in made.lines.iter().zip(&paid.lines) {
                assert_eq!(&line.net.to_string(), expected, "{place}, {}", line.item);
            }
            // The totals are the sums that the place promises.
            let taxes: Decimal = made.total.taxes.iter().map(|row| row.tax).sum();
            assert_eq!(made.total.tax, taxes, "{place}");
            assert_eq!(made.total.gross, made.total.net + made.total.tax, "{place}");
            if paid.place == RoundingPlace::PerLine {
                let nets: Decimal = made.lines.iter().map(|line| line.net).sum();
                assert_eq!(made.total.net, nets, "{place}");
                assert_eq!(made.total.tax, made.lines.iter().map(|line| line.tax).sum(), "{place}");
                assert_eq!(paid.lines.len(), made.lines.len(), "{place}");
            }
            compared += 1;
        }
    }
    assert_eq!(compared, 200 * MoneyRounding::ALL.len() * RoundingPlace::ALL.len());
}
