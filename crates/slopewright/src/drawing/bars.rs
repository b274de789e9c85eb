//! The cutting list as bars: equal bars once, with how many of them, the pieces in order, and what is left.

use super::Drawing;
use super::layer::DrawingOptions;
use super::sheet::{EDGE, INK, Sheet, WIDE, heading_height};
use super::words::{apart, lines_of, width_of};
use crate::quantity::{LengthIn as _, figure};
use crate::stock::{Bar, BarGroup};
use crate::takeoff::SlopeCutting;

/// How high a row is.
const ROW: f64 = 16.0;
/// Where the bars begin.
const BARS_FROM: f64 = 78.0;
/// How high a line of a slope's name is.
const LINE: f64 = 13.0;
/// What is left free round a slope's bars.
const GAP: f64 = 12.0;
/// The sizes of the letters in and beside a bar: the first that fits.
const LETTERS: [f64; 2] = [9.0, 7.0];
/// What is kept free beside the longest bar, for what is left of it.
const LEFT_OVER: f64 = 52.0;
/// How high a bar is.
const BAR: f64 = 12.0;

/// Bars under a heading.
type Headed = (Vec<String>, Vec<BarGroup>);

/// Draws the cutting list on one sheet.
pub(super) fn draw(roof: &str, cutting: &[SlopeCutting], options: &DrawingOptions) -> Drawing {
    let groups: Vec<Headed> = cutting.iter().map(|of| (heading(of), of.plan.cutting.groups())).collect();
    sheet_of(roof, &groups, options)
}

/// Draws the cutting list of a slope on sheets of no more than so many rows, so that none is cut through on paper.
pub(super) fn sheets(roof: &str, of: &SlopeCutting, options: &DrawingOptions, most: usize) -> Vec<Drawing> {
    let groups = of.plan.cutting.groups();
    let parts = groups.chunks(most.max(1)).enumerate();
    let one = |(at, part): (usize, &[BarGroup])| {
        let head = if at == 0 { heading(of) } else { vec![format!("{}, continued", apart(&of.slope, 40))] };
        let options = options.clone().with_prefix(&format!("{}-{}", options.prefix, at + 1));
        sheet_of(roof, &[(head, part.to_vec())], &options)
    };
    parts.map(one).collect()
}

fn sheet_of(roof: &str, groups: &[Headed], options: &DrawingOptions) -> Drawing {
    let lines: usize = groups.iter().map(|(heading, _)| heading.len()).sum();
    let rows: usize = groups.iter().map(|(_, groups)| groups.len()).sum();
    let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    let under = vec![
        "battens to cut, in m, in the order of sawing; hatched: what is left; *: an offcut in hand"
            .to_owned(),
    ];
    let top = heading_height(&under);
    let height = top + count(groups.len()) * GAP + count(lines) * LINE + count(rows) * ROW + 12.0;
    let bars_of = || groups.iter().flat_map(|(_, groups)| groups);
    let longest = bars_of().map(|group| group.bar.length.m()).fold(0.0_f64, f64::max);
    let per_m = if longest > 0.0 { (WIDE - EDGE - BARS_FROM - LEFT_OVER) / longest } else { 0.0 };
    let bars: usize = bars_of().map(|group| group.count).sum();
    let description = format!("{bars} bars in {rows} ways of cutting, slope by slope.");
    let title = format!("Cutting list of {}", apart(roof, super::sheet::LONGEST_NAME));
    let mut sheet = Sheet::new(&options.prefix, height, &title, &description);
    sheet.heading(roof, &under);
    hatch(&mut sheet);
    let mut y = top;
    for (heading, groups) in groups {
        for line in heading {
            y += LINE;
            let m = sheet.markup.open("text").num("x", EDGE).num("y", y).set("font-weight", "bold");
            m.text(line).close();
        }
        y += GAP / 2.0;
        for group in groups {
            bar(&mut sheet, y, per_m, group);
            y += ROW;
        }
        y += GAP / 2.0;
    }
    sheet.finish("cutting", roof)
}

/// A slope's name and what is bought for it.
fn heading(of: &SlopeCutting) -> Vec<String> {
    let bought: Vec<String> = of
        .plan
        .cutting
        .purchases
        .iter()
        .filter(|bought| bought.count > 0)
        .map(|bought| format!("{} of {} m", bought.count, figure(bought.length.m(), 3)))
        .collect();
    let shown =
        if bought.is_empty() { "nothing to buy".to_owned() } else { format!("buy {}", bought.join(", ")) };
    // Bold letters are wider.
    lines_of(&format!("{}: {shown}", apart(&of.slope, 40)), (WIDE - 2.0 * EDGE) / 11.0)
}

fn hatch(sheet: &mut Sheet) {
    let id = sheet.id("left-over");
    let m = sheet.markup.open("defs").open("pattern").set("id", &id).set("patternUnits", "userSpaceOnUse");
    m.set("width", "5").set("height", "5");
    m.open("rect").set("width", "5").set("height", "5").set("fill", "#fff").close();
    m.open("path").set("d", "M-1 1L1 -1M0 5L5 0M4 6L6 4").set("stroke", "#6b6b6b").set("stroke-width", "0.7");
    m.close().close().close();
}

/// One row: how many and which, the pieces in order, and what is left.
fn bar(sheet: &mut Sheet, y: f64, per_m: f64, group: &BarGroup) {
    let Bar { length, in_hand, cuts, offcut, keep } = &group.bar;
    let from = if *in_hand { "*" } else { "" };
    sheet.text(EDGE, y + BAR - 2.5, &format!("{} × {}{from}", group.count, figure(length.m(), 3)));
    let fill = sheet.fill("left-over");
    let m = sheet.markup.open("rect").num("x", BARS_FROM).num("y", y).num("width", length.m() * per_m);
    m.num("height", BAR).set("fill", &fill).set("stroke", INK).set("stroke-width", "0.6").close();
    let mut at = BARS_FROM;
    for (number, cut) in cuts.iter().enumerate() {
        let wide = cut.length.m() * per_m;
        let ground = if number % 2 == 0 { "#e8d5bd" } else { "#d9bf9f" };
        let m = sheet.markup.open("rect").set("class", "piece").num("x", at).num("y", y).num("width", wide);
        m.num("height", BAR).set("fill", ground).set("stroke", INK).set("stroke-width", "0.6").close();
        let exact = figure(cut.length.m(), 3).to_string();
        let words = [format!("{exact}, {}", apart(&cut.label, 20)), exact];
        written(sheet, (at, wide), y, &words);
        at += wide;
    }
    // Less than half a millimetre is nothing that anybody sees.
    if offcut.m() >= 0.0005 {
        let left = figure(offcut.m(), 3).to_string();
        let words = if *keep { format!("{left} kept") } else { left };
        let end = BARS_FROM + length.m() * per_m;
        // Beside the bar where the hatched part is too short for it, so that no line runs through the figure.
        let place =
            if fits(&words, LETTERS[0], end - at) { (at, end - at) } else { (end, WIDE - EDGE - end) };
        written(sheet, place, y, &[words]);
    }
}

fn fits(words: &str, size: f64, wide: f64) -> bool {
    width_of(words) * size + 2.0 <= wide
}

/// The first of some texts that fits into a stretch of a bar.
fn written(sheet: &mut Sheet, (from, wide): (f64, f64), y: f64, words: &[String]) {
    let found =
        LETTERS.iter().find_map(|size| Some((words.iter().find(|words| fits(words, *size, wide))?, *size)));
    let Some((words, size)) = found else { return };
    let m = sheet.markup.open("text").num("x", from + 2.0).num("y", y + BAR - 3.0).num("font-size", size);
    m.set("stroke", "#fff").set("stroke-width", "1.5").set("stroke-opacity", "0.7");
    m.set("paint-order", "stroke").text(words).close();
}
