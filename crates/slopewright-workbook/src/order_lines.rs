//! The order as a sheet that reckons: needs, salvage, spare, packs, prices, tax, totals.

use rust_decimal::Decimal;
use rust_xlsxwriter::{Formula, Worksheet};
use slopewright::order::{Order, OrderDocument, OrderLine, PriceRow, RoundingPlace, Spare};
use slopewright::quantity::Currency;
use slopewright::salvage::Salvaged;
use slopewright::{Fault, FaultKind, Result};

use crate::cells::{Formats, decimal, failed, lay_out, number, set_lines, write_number, write_text};
use crate::rounding::rounded;

/// The columns of the order, in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Column {
    Item,
    Description,
    Need,
    Met,
    ToBuy,
    Allowance,
    RiskSpare,
    Wanted,
    Pack,
    PartPacks,
    Least,
    Ordered,
    Packs,
    Loose,
    Surplus,
    Price,
    Per,
    Discount,
    Net,
    TaxRate,
    Tax,
    Gross,
    MassEach,
    Mass,
}

use Column::{
    Allowance, Description, Discount, Gross, Item, Least, Loose, Mass, MassEach, Met, Need, Net, Ordered,
    Pack, Packs, PartPacks, Per, Price, RiskSpare, Surplus, Tax, TaxRate, ToBuy, Wanted,
};

impl Column {
    const ALL: [Self; 24] = [
        Item,
        Description,
        Need,
        Met,
        ToBuy,
        Allowance,
        RiskSpare,
        Wanted,
        Pack,
        PartPacks,
        Least,
        Ordered,
        Packs,
        Loose,
        Surplus,
        Price,
        Per,
        Discount,
        Net,
        TaxRate,
        Tax,
        Gross,
        MassEach,
        Mass,
    ];

    const fn at(self) -> u16 {
        self as u16
    }

    /// A cell of the column in a row that is counted from 0.
    fn cell(self, row: u32) -> String {
        let letter = u8::try_from(self.at()).map_or('?', |at| char::from(b'A' + at));
        format!("{letter}{}", row + 1)
    }

    fn heading(self, currency: &str) -> String {
        match self {
            Item => "item".to_owned(),
            Description => "description".to_owned(),
            Need => "needed (count)".to_owned(),
            Met => "met by old units (count)".to_owned(),
            ToBuy => "to buy (count)".to_owned(),
            Allowance => "allowance (% of what is to buy)".to_owned(),
            RiskSpare => "spare for breakage (count)".to_owned(),
            Wanted => "wanted with spare (count)".to_owned(),
            Pack => "pack (count)".to_owned(),
            PartPacks => "packs are opened".to_owned(),
            Least => "least that is sold (count)".to_owned(),
            Ordered => "ordered (count)".to_owned(),
            Packs => "full packs".to_owned(),
            Loose => "loose (count)".to_owned(),
            Surplus => "beyond the need (count)".to_owned(),
            Price => format!("price ({currency})"),
            Per => "for so many (count)".to_owned(),
            Discount => "discount (%)".to_owned(),
            Net => format!("net ({currency})"),
            TaxRate => "tax rate (%)".to_owned(),
            Tax => format!("tax ({currency})"),
            Gross => format!("with tax ({currency})"),
            MassEach => "mass of one (kg)".to_owned(),
            Mass => "mass (kg)".to_owned(),
        }
    }
}

const HEADING_ROW: u32 = 4;
const DISCOUNT_ROW: u32 = 2;
/// The discount on everything.
const DISCOUNT_ON_ALL: &str = "$C$3";

struct Lines<'a> {
    sheet: &'a mut Worksheet,
    formats: &'a Formats,
    document: &'a OrderDocument,
    decimals: u32,
    per_line: bool,
}

/// Writes the sheet of an order.
pub(crate) fn write_order(
    sheet: &mut Worksheet,
    document: &OrderDocument,
    salvaged: &Salvaged,
    order: &Order,
    formats: &Formats,
) -> Result<()> {
    let currency = &order.total.currency;
    let decimals = Currency::from_code(currency).map_or(2, Currency::decimals);
    let per_line = document.terms.rounding_place == RoundingPlace::PerLine;
    let rows_before = HEADING_ROW + 1;
    write_text(sheet, 0, 0, "Order", &formats.title)?;
    let legend = "What stands on a coloured ground may be changed; everything else follows from it.";
    write_text(sheet, 1, 0, legend, &formats.line)?;
    write_text(sheet, DISCOUNT_ROW, 0, "discount on everything (%)", &formats.line)?;
    set_lines(sheet, HEADING_ROW, 4.0)?;
    let on_all = decimal(document.terms.discount.share());
    write_number(sheet, DISCOUNT_ROW, 2, on_all, &formats.input_percent)?;
    for column in Column::ALL {
        write_text(sheet, HEADING_ROW, column.at(), &column.heading(currency), &formats.heading)?;
        let width = match column {
            Item => 50.0,
            Description => 36.0,
            _ => 11.0,
        };
        sheet.set_column_width(column.at(), width).map_err(failed)?;
    }
    let mut lines = Lines { sheet, formats, document, decimals, per_line };
    let mut row = rows_before;
    for line in &order.lines {
        let met = salvaged.shortages.iter().find(|short| short.unit.to_string() == line.item);
        let (need, met) = met.map_or((line.needed, 0), |short| (short.needed, short.met));
        let Some(price) = document.price_row(&line.item) else {
            return Err(Fault::new(FaultKind::PriceMissing, "has no price").at(&line.item).into());
        };
        lines.line(row, line, price, need, met)?;
        row += 1;
    }
    let last = row;
    let end = lines.totals(rows_before, last, order)?;
    lay_out(lines.sheet, HEADING_ROW, end, Mass.at() + 1)
}

impl Lines<'_> {
    fn formula(
        &mut self,
        row: u32,
        column: Column,
        formula: &str,
        result: f64,
        format: &rust_xlsxwriter::Format,
    ) -> Result<()> {
        let formula = Formula::new(format!("={formula}")).set_result(result.to_string());
        self.sheet.write_formula_with_format(row, column.at(), formula, format).map_err(failed)?;
        Ok(())
    }

    fn rounded(&self, amount: &str) -> String {
        rounded(amount, self.decimals, self.document.terms.rounding)
    }

    fn line(&mut self, row: u32, line: &OrderLine, price: &PriceRow, need: u64, met: u64) -> Result<()> {
        let formats = self.formats.clone();
        let at = |column: Column| column.cell(row);
        let spare = self.document.terms.spare_for(&line.item, line.part);
        let allowance = match spare {
            Spare::Allowance { part } => part.share(),
            Spare::None | Spare::Risk { .. } => Decimal::ZERO,
        };
        let risk_spare = match spare {
            Spare::Risk { .. } => line.wanted.saturating_sub(line.needed),
            Spare::None | Spare::Allowance { .. } => 0,
        };
        write_text(self.sheet, row, Item.at(), &line.item, &formats.line)?;
        write_text(self.sheet, row, Description.at(), &line.description, &formats.line)?;
        write_number(self.sheet, row, Need.at(), number(need), &formats.input_count)?;
        write_number(self.sheet, row, Met.at(), number(met), &formats.input_count)?;
        let to_buy = format!("MAX(0,{}-{})", at(Need), at(Met));
        self.formula(row, ToBuy, &to_buy, number(line.needed), &formats.count)?;
        write_number(self.sheet, row, Allowance.at(), decimal(allowance), &formats.input_percent)?;
        write_number(self.sheet, row, RiskSpare.at(), number(risk_spare), &formats.input_count)?;
        let wanted = format!("{0}+ROUNDUP(ROUND({0}*{1},8),0)+{2}", at(ToBuy), at(Allowance), at(RiskSpare));
        self.formula(row, Wanted, &wanted, number(line.wanted), &formats.count)?;
        write_number(self.sheet, row, Pack.at(), number(price.pack), &formats.input_count)?;
        let opened = if price.part_packs { "yes" } else { "no" };
        write_text(self.sheet, row, PartPacks.at(), opened, &formats.input_text)?;
        write_number(self.sheet, row, Least.at(), number(price.least), &formats.input_count)?;
        let at_least = format!("MAX({},{})", at(Wanted), at(Least));
        let ordered =
            format!("IF({}=\"yes\",{at_least},ROUNDUP({at_least}/{1},0)*{1})", at(PartPacks), at(Pack));
        self.formula(row, Ordered, &ordered, number(line.ordered), &formats.count)?;
        let packs = format!("ROUNDDOWN({}/{},0)", at(Ordered), at(Pack));
        self.formula(row, Packs, &packs, number(line.packs), &formats.count)?;
        let loose = format!("{}-{}*{}", at(Ordered), at(Packs), at(Pack));
        self.formula(row, Loose, &loose, number(line.loose), &formats.count)?;
        let surplus = format!("{}-{}", at(Ordered), at(ToBuy));
        self.formula(row, Surplus, &surplus, number(line.surplus), &formats.count)?;
        write_number(self.sheet, row, Price.at(), decimal(price.price), &formats.input_price)?;
        write_number(self.sheet, row, Per.at(), number(price.per), &formats.input_count)?;
        write_number(
            self.sheet,
            row,
            Discount.at(),
            decimal(price.discount.share()),
            &formats.input_percent,
        )?;
        let exact =
            format!("{}*{}*(1-{})*(1-{DISCOUNT_ON_ALL})/{}", at(Ordered), at(Price), at(Discount), at(Per));
        let net = if self.per_line { self.rounded(&exact) } else { exact };
        self.formula(row, Net, &net, decimal(line.net), &formats.money)?;
        write_number(self.sheet, row, TaxRate.at(), decimal(line.tax_rate.share()), &formats.input_percent)?;
        let exact = format!("{}*{}", at(Net), at(TaxRate));
        let tax = if self.per_line { self.rounded(&exact) } else { exact };
        self.formula(row, Tax, &tax, decimal(line.tax), &formats.money)?;
        let gross = format!("{}+{}", at(Net), at(Tax));
        self.formula(row, Gross, &gross, decimal(line.net + line.tax), &formats.money)?;
        if let Some(mass) = line.mass_kg {
            let each = mass.checked_div(Decimal::from(line.ordered)).unwrap_or_default();
            write_number(self.sheet, row, MassEach.at(), decimal(each.round_dp(9)), &formats.input_mass)?;
            let formula = format!("{}*{}", at(Ordered), at(MassEach));
            self.formula(row, Mass, &formula, decimal(mass), &formats.figure)?;
        }
        Ok(())
    }

    /// A row for each rate of tax, and one for everything; returns the last row.
    fn totals(&mut self, first: u32, after: u32, order: &Order) -> Result<u32> {
        let formats = self.formats.clone();
        if after == first {
            return Ok(after);
        }
        let range = |column: Column| format!("{}:{}", column.cell(first), column.cell(after - 1));
        let start = after + 1;
        let mut row = start;
        for tax in &order.total.taxes {
            write_text(self.sheet, row, Item.at(), "at this rate of tax", &formats.text)?;
            write_number(self.sheet, row, TaxRate.at(), decimal(tax.rate.share()), &formats.percent)?;
            let rate = TaxRate.cell(row);
            let sum = |column: Column| format!("SUMIF({},{rate},{})", range(TaxRate), range(column));
            let net = self.rounded(&sum(Net));
            self.formula(row, Net, &net, decimal(tax.net), &formats.money)?;
            let on_rate = self.rounded(&sum(Tax));
            self.formula(row, Tax, &on_rate, decimal(tax.tax), &formats.money)?;
            let gross = format!("{}+{}", Net.cell(row), Tax.cell(row));
            self.formula(row, Gross, &gross, decimal(tax.net + tax.tax), &formats.money)?;
            row += 1;
        }
        write_text(self.sheet, row, Item.at(), "everything", &formats.total_text)?;
        let net = self.rounded(&format!("SUM({})", range(Net)));
        self.formula(row, Net, &net, decimal(order.total.net), &formats.total_money)?;
        let taxes = format!("SUM({}:{})", Tax.cell(start), Tax.cell(row - 1));
        self.formula(row, Tax, &taxes, decimal(order.total.tax), &formats.total_money)?;
        let gross = format!("{}+{}", Net.cell(row), Tax.cell(row));
        self.formula(row, Gross, &gross, decimal(order.total.gross), &formats.total_money)?;
        let mass = format!("SUM({})", range(Mass));
        self.formula(row, Mass, &mass, decimal(order.mass_kg), &formats.figure)?;
        let how = format!(
            "Rounded {} {}. A spare for breakage is reckoned from the risk that the order states and does not follow a changed need.",
            self.document.terms.rounding.word(),
            if self.per_line { "on each line" } else { "on the totals" }
        );
        write_text(self.sheet, row + 2, Item.at(), &how, &formats.line)?;
        Ok(row + 2)
    }
}
