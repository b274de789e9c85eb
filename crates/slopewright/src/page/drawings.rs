//! The drawings, with boxes that switch their layers, and the cutting list.

use maud::{Markup, PreEscaped, html};

use super::Page;
use super::words::{LONG, named};
use crate::drawing::{DrawingOptions, Layer, cutting_sheets};
use crate::output::Table;
use crate::rules::Rules;
use crate::takeoff::{SlopeCutting, TakeOff};

/// So many slopes of a job are drawn; a page with more would be slow to open on a phone.
const MOST_DRAWN: usize = 40;
/// So many rows of bars fit on a sheet of A4.
const ROWS_ON_PAPER: usize = 36;

pub(super) fn section(page: &Page<'_>, rules: &Rules) -> Markup {
    let cut: Vec<Result<Vec<SlopeCutting>, crate::Error>> =
        page.take_offs.iter().map(|take_off| take_off.cut_battens(rules)).collect();
    let slopes: usize = page.take_offs.iter().map(|of| of.slopes.len()).sum();
    // How many slopes stand before those of each take-off.
    let before = |at: usize| page.take_offs.iter().take(at).map(|of| of.slopes.len()).sum::<usize>();
    html! {
        section #drawings aria-labelledby="drawings-title" {
            h2 #drawings-title { "Drawings" }
            @for (at, (take_off, cut)) in page.take_offs.iter().zip(&cut).enumerate() {
                figure.plan {
                    @let options = DrawingOptions::default().with_prefix(&format!("plan{}", at + 1));
                    (PreEscaped(take_off.plan_drawing(&options).svg()))
                }
                @let cutting = cut.as_deref().unwrap_or_default();
                @for (place, slope) in take_off.slopes.iter().enumerate() {
                    @let number = before(at) + place + 1;
                    @if number <= MOST_DRAWN { (slope_figure(take_off, &slope.layout.slope, cutting, number)) }
                }
            }
            @if slopes > MOST_DRAWN {
                p { "The first " (MOST_DRAWN) " of " (slopes) " slopes are drawn here." }
            }
        }
        section #cutting aria-labelledby="cutting-title" {
            h2 #cutting-title { "Cutting list of battens" }
            @for (at, (take_off, cut)) in page.take_offs.iter().zip(&cut).enumerate() {
                @match cut {
                    Ok(cutting) => (cutting_list(take_off, cutting, at)),
                    Err(error) => p { "There is none: " (named(&error.to_string(), super::words::SENTENCE)) },
                }
            }
        }
    }
}

fn slope_figure(take_off: &TakeOff, slope: &str, cutting: &[SlopeCutting], number: usize) -> Markup {
    let prefix = format!("d{number}");
    let options = DrawingOptions::default().with_prefix(&prefix).with_all_others_hidden();
    let Ok(drawing) = take_off.drawing(slope, &options, cutting) else { return html! {} };
    let svg = drawing.svg();
    // Only layers that have something in them get a box.
    let layers = Layer::ALL.into_iter().filter(|layer| {
        !svg.contains(&format!("<g id=\"{prefix}-{0}\" data-layer=\"{0}\"/>", layer.word()))
            && !svg.contains(&format!(
                "<g id=\"{prefix}-{0}\" data-layer=\"{0}\" display=\"none\"/>",
                layer.word()
            ))
    });
    html! {
        figure.slope #{ "figure-" (prefix) } {
            fieldset.screen {
                legend { "Layers of " (named(slope, LONG)) }
                div.layers {
                    @for layer in layers {
                        label {
                            input type="checkbox" data-drawing={ "figure-" (prefix) } data-layer=(layer.word())
                                checked[Layer::USUAL.contains(&layer)];
                            (layer.word().replace('-', " "))
                        }
                    }
                }
            }
            (PreEscaped(svg))
        }
    }
}

fn cutting_list(take_off: &TakeOff, cutting: &[SlopeCutting], at: usize) -> Markup {
    html! {
        @for of in cutting { (super::tables::of_lines(&of.lines())) }
        @for (slope, of) in cutting.iter().enumerate() {
            details.block {
                summary { "Bars of " (named(&of.slope, LONG)) }
                @let options = DrawingOptions::default().with_prefix(&format!("bars{}-{}", at + 1, slope + 1));
                @for sheet in cutting_sheets(&take_off.name, of, &options, ROWS_ON_PAPER) {
                    figure.cutting { (PreEscaped(sheet.svg())) }
                }
                div.screen { (super::tables::plain(&Table::cutting(core::slice::from_ref(of)), &["count", "stock_m", "cuts"])) }
            }
        }
    }
}
