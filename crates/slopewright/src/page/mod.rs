//! One page for the scaffold and the desk: a single HTML file that needs no network, with the answer first.
//!
//! The page holds the answer (have we enough, what to buy), the take-off with its working folded under each figure, the
//! drawings with layers to switch, the cutting list, the order, what must be known, and a tally in which old units are
//! counted stack by stack. The counts stay in the browser, and leave as a file that [`Tally`](crate::salvage::Tally)
//! reads.
//!
//! Nothing of the user's can do anything in it: text is escaped by the templates, shortened and kept in its own
//! direction here, and the page's policy allows its own script and nothing else.
//!
//! ```
//! use slopewright::page::Page;
//! use slopewright::{SurveyDocument, TakeOff};
//! let survey = SurveyDocument::from_toml(r#"
//!     slopewright = 1
//!     name = "boat <shed>"
//!     covering.format = "plain-tile-265x165"
//!     [[slope]]
//!     name = "front"
//!     shape = "rectangle"
//!     eaves = "4 m"
//!     rafter = "3 m"
//!     pitch = "40 deg"
//! "#)?;
//! let take_off = TakeOff::of(&survey.check()?)?;
//! let html = Page::of(&[&take_off]).html();
//! assert!(html.starts_with("<!DOCTYPE html>") && html.contains("boat &lt;shed&gt;"));
//! # Ok::<(), slopewright::Error>(())
//! ```

mod answer;
mod drawings;
mod lines;
mod tables;
mod tally;
mod words;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::order::Order;
use crate::rules::Rules;
use crate::salvage::Salvaged;
use crate::takeoff::TakeOff;
use words::{LONG, named};

const STYLE: &str = include_str!("style.css");
const SCRIPT: &str = include_str!("script.js");

/// The SHA-256 of the script in base64, by which the page's policy knows it. `tests/python/test_page.py` reckons it anew.
const SCRIPT_HASH: &str = "VzJWjrAxK1DknO0CxIPzjDbpYiYYiZZi/TZnv1/lHMk=";

/// What a page is made of.
#[derive(Debug, Clone)]
pub struct Page<'a> {
    take_offs: Vec<&'a TakeOff>,
    salvaged: Option<&'a Salvaged>,
    order: Option<&'a Order>,
}

impl<'a> Page<'a> {
    /// A page of the take-offs of one job.
    #[must_use]
    pub fn of(take_offs: &[&'a TakeOff]) -> Self {
        Self { take_offs: take_offs.to_vec(), salvaged: None, order: None }
    }

    /// With what old units cover of it.
    #[must_use]
    pub const fn with_salvage(mut self, salvaged: &'a Salvaged) -> Self {
        self.salvaged = Some(salvaged);
        self
    }

    /// With what is bought.
    #[must_use]
    pub const fn with_order(mut self, order: &'a Order) -> Self {
        self.order = Some(order);
        self
    }

    /// The page as one HTML file.
    #[must_use]
    pub fn html(&self) -> String {
        let title = self.title();
        let policy = format!(
            "default-src 'none'; script-src 'sha256-{SCRIPT_HASH}'; style-src 'unsafe-inline'; img-src data:; \
             base-uri 'none'; form-action 'none'"
        );
        let page = html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta http-equiv="Content-Security-Policy" content=(policy);
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="generator" content={ "slopewright " (crate::VERSION) };
                    meta name="referrer" content="no-referrer";
                    title { (title) }
                    style { (PreEscaped(STYLE)) }
                }
                body {
                    header { h1 { (named(&title, LONG)) } }
                    main {
                        (answer::answer(self))
                        (self.contents())
                        (tally::section(self))
                        @if let Some(order) = self.order { (tables::order(order)) }
                        (lines::section(self))
                        (drawings::section(self, Rules::standard()))
                        @if let Some(salvaged) = self.salvaged { (tables::salvage(salvaged)) }
                        (self.findings())
                    }
                    footer {
                        p.soft {
                            "Made by slopewright " (crate::VERSION) ". It counts: it gives no structural size and no \
                             specification of fixings against the wind. Those are for a competent person and the \
                             local code."
                        }
                    }
                    (tally::data(self))
                    script { (PreEscaped(SCRIPT)) }
                }
            }
        };
        page.into_string()
    }

    /// What the page is called: the roofs' names.
    fn title(&self) -> String {
        let names: Vec<&str> = self.take_offs.iter().map(|of| of.name.as_str()).collect();
        crate::drawing::shortened(&names.join(", "), LONG)
    }

    fn contents(&self) -> Markup {
        html! {
            nav aria-label="Parts of this page" {
                ul {
                    li { a href="#tally" { "Tally" } }
                    @if self.order.is_some() { li { a href="#order" { "Order" } } }
                    li { a href="#take-off" { "Take-off" } }
                    li { a href="#drawings" { "Drawings" } }
                    li { a href="#cutting" { "Cutting list" } }
                    @if self.salvaged.is_some() { li { a href="#old-units" { "Old units" } } }
                    li { a href="#findings" { "What you must know" } }
                }
            }
        }
    }

    fn findings(&self) -> Markup {
        let mut all: Vec<crate::reason::Finding> = Vec::new();
        let found = self.take_offs.iter().flat_map(|take_off| take_off.findings());
        let found = found.chain(self.salvaged.iter().flat_map(|of| of.findings()));
        for finding in found.chain(self.order.iter().flat_map(|made| made.findings())) {
            if !all.contains(&finding) {
                all.push(finding);
            }
        }
        all.sort_by_key(|finding| core::cmp::Reverse(finding.severity));
        html! {
            section #findings aria-labelledby="findings-title" {
                h2 #findings-title { "What you must know" }
                @if all.is_empty() { p { "Nothing was found that departs from a rule." } }
                ol.findings {
                    @for finding in &all {
                        li {
                            span class=(finding.severity.word()) { (finding.severity.word()) } ": "
                            @if !finding.place.is_empty() { (named(&finding.place, LONG)) ": " }
                            (named(&finding.message, words::SENTENCE))
                            @if !finding.source.is_empty() { span.soft { " [" (named(&finding.source, LONG)) "]" } }
                        }
                    }
                }
            }
        }
    }
}
