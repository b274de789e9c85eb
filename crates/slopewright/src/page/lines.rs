//! The take-off: each figure with its working folded under it.

use maud::{Markup, html};

use super::Page;
use super::words::{LONG, SENTENCE, named};
use crate::quantity::figure;
use crate::takeoff::{Line, TakeOff};

pub(super) fn section(page: &Page<'_>) -> Markup {
    html! {
        section #take-off aria-labelledby="take-off-title" {
            h2 #take-off-title { "Take-off" }
            p.soft.screen { "Every figure unfolds to its working." }
            @for take_off in &page.take_offs { (one(take_off, page.take_offs.len() > 1)) }
        }
    }
}

fn one(take_off: &TakeOff, has_others: bool) -> Markup {
    let lines = take_off.lines();
    let of_slope = |name: &str| -> Vec<&Line> {
        lines.iter().filter(|line| line.slope == name && line.edge.is_empty()).collect()
    };
    let edges: Vec<&Line> = lines.iter().filter(|line| !line.edge.is_empty()).collect();
    html! {
        h3 {
            "The whole roof"
            @if has_others { ": " (named(&take_off.name, LONG)) }
        }
        (each(&of_slope("")))
        @for slope in &take_off.slopes {
            details.block {
                summary { (named(&slope.layout.slope, LONG)) }
                (each(&of_slope(&slope.layout.slope)))
                details.line.steps {
                    summary { span.item { "how it is set out" } }
                    div.why {
                        @for step in slope.layout.working(&slope.slope) {
                            p { (named(&step.to_string(), SENTENCE)) }
                        }
                    }
                }
            }
        }
        @if !edges.is_empty() {
            details.block {
                summary { "Edge by edge, each joint once" }
                (each(&edges))
            }
        }
    }
}

fn each(lines: &[&Line]) -> Markup {
    html! {
        @for line in lines {
            details.line {
                summary {
                    span.item {
                        (named(&line.item, LONG))
                        @if !line.edge.is_empty() {
                            " " span.soft { (named(&format!("{} ({})", line.slope, line.edge), LONG)) }
                        }
                    }
                    span.amount { (amounts(line)) }
                }
                div.why {
                    p { (named(&line.working.sum(), SENTENCE)) }
                    @if !line.working.rule.is_empty() { p { "Rule: " (named(&line.working.rule, SENTENCE)) } }
                    @if !line.working.source.is_empty() {
                        p.soft { "Source: " (named(&line.working.source, SENTENCE)) }
                    }
                }
            }
        }
    }
}

fn amounts(line: &Line) -> String {
    let all = [
        line.count.map(|count| count.to_string()),
        line.length_m.map(|length| format!("{} m", figure(length, 2))),
        line.area_m2.map(|area| format!("{} m²", figure(area, 2))),
        line.mass_kg.map(|mass| format!("{} kg", figure(mass, 1))),
    ];
    all.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
