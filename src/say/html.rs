//! What is said, written as HTML.

use std::borrow::Cow;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::say::page::{Beside, Block, Page, PageMark, Values};
use crate::say::table::{Table, Weight};
use crate::text;
use crate::text::{Look, Part, Reader, Run, Text};

/// The look that the guide has.
const STYLE: &str = include_str!("guide/style.css");
/// What only other pages need.
const MORE: &str = ".unmarked { list-style: none; padding-left: 0; }
.unmarked li { padding-left: 1.2em; text-indent: -1.2em; }
.cells { display: flex; flex-wrap: wrap; gap: .6rem 1rem; }
.cells figure { margin: 0; }
.cells svg { display: block; max-width: 100%; height: auto; }
.strip figure { width: 220px; }
.plain svg { display: block; width: 100%; height: auto; }
.side svg { display: block; height: 20rem; width: auto; max-width: 100%; }
tr.noise th, tr.noise td { font-style: italic; }
@media print { .side svg { height: 70mm; } .plain svg { width: auto; max-height: 170mm; margin: 0 auto; }
  section > p { break-after: avoid; } .plain, table { break-inside: avoid; } .wide table { break-inside: auto; } }";

/// A page that needs nothing else.
pub(super) fn document(title: &str, page: &Page, reader: Reader) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(STYLE)) (PreEscaped(MORE)) }
            }
            body {
                header { h1 { (title) } }
                main { (said(page, reader)) }
            }
        }
    }
    .into_string()
}

/// The page in HTML, with a section for each heading.
fn said(page: &Page, reader: Reader) -> Markup {
    let blocks: Vec<&Block> = page.iter().flatten().collect();
    html! {
        @for part in blocks.chunk_by(|_, next| !matches!(next, Block::Heading(_))) {
            @let inside = html! { @for one in part { (block(one, reader)) } };
            @if let Some(Block::Heading(_)) = part.first() { section { (inside) } } @else { (inside) }
        }
    }
}

/// Words as they stand in a line.
pub(super) fn set(words: &Text, reader: Reader) -> Markup {
    html! { @for run in words.runs(reader) { (one(&run)) } }
}

fn one(run: &Run) -> Markup {
    let together = |words: &str| html! { span class="option" { (words) } };
    match run.look {
        Look::Strong => html! { strong { (run.words) } },
        // Browsers break after a hyphen, and what is retyped from there is wrong.
        Look::Typed => html! { code {
            @for (i, word) in run.words.split(' ').enumerate() {
                @if i > 0 { " " }
                @if word.contains('-') { (together(word)) } @else { (word) }
            }
        } },
        Look::Plain if run.unbroken => together(&run.words),
        Look::Plain => html! { (run.words) },
    }
}

/// What is typed as it stands.
pub(super) fn typed(words: impl Into<Cow<'static, str>>) -> Markup {
    set(&text::typed(words), Reader::default())
}

fn block(block: &Block, reader: Reader) -> Markup {
    let set = |words: &Text| set(words, reader);
    match block {
        Block::Heading(words) => html! { h2 { (set(&text![Part::Begin, words.clone()])) } },
        Block::Paragraph(words) => html! { p { (set(words)) } },
        Block::Note(words) => html! { p { (set(&text::sentence(words.clone()))) } },
        Block::Under(words) => html! { p class="small" { (set(words)) } },
        Block::Caution(words) => html! { div class="caution" { p { (set(words)) } } },
        Block::List(mark, all) => {
            let items = html! { @for one in all { li { (set(one)) } } };
            match mark {
                PageMark::Nothing | PageMark::SetIn => html! { ul class="unmarked" { (items) } },
                PageMark::Dash => html! { ul { (items) } },
                PageMark::Number => html! { ol { (items) } },
            }
        }
        Block::Table(table) | Block::Close(table) => wide(table, reader),
        Block::Values(groups) => html! { @for group in groups { (values(group, reader)) } },
        Block::Verdict(words) => html! { p { strong { (set(words)) } } },
        Block::Lines(lines) => html! { pre { (lines.join("\n")) } },
        Block::Pictures(beside, all) => html! {
            div class=(stood(*beside)) {
                @for (name, picture) in all { figure {
                    (PreEscaped(picture.to_string()))
                    @if !name.is_empty() { figcaption { (set(name)) } }
                } }
            }
        },
    }
}

/// Names and their numbers, a row each.
fn values(group: &Values, reader: Reader) -> Markup {
    html! {
        table {
            @if !group.of.is_empty() { caption { (group.of) } }
            tbody { @for row in &group.rows { tr {
                @for (i, cell) in row.iter().enumerate() {
                    @let words = set(&cell.words(), reader);
                    @if i == 0 { th scope="row" { (words) } } @else { td class="n" { (words) } }
                }
            } } }
        }
    }
}

const fn stood(beside: Beside) -> &'static str {
    match beside {
        Beside::Alone => "plain",
        Beside::AtOneScale => "cells",
        Beside::AtOneHeight => "cells side",
        Beside::Small => "cells strip",
    }
}

/// A table; `class` is how the style sheet lays it out, nothing for plain.
pub(super) fn table(table: &Table, class: Option<&str>, reader: Reader) -> Markup {
    let numbers = table.numbers();
    let number = |i: usize| numbers[i].then_some("n");
    html! {
        table class=[class] {
            @if !table.caption.is_empty() { caption { (table.caption) } }
            thead { tr {
                @for (i, head) in table.heads.iter().enumerate() {
                    th scope="col" class=[number(i)] { (head) }
                }
            } }
            tbody { @for row in &table.rows {
                tr class=[marked(row.weight)] {
                    @for (i, cell) in row.cells.iter().enumerate() {
                        @let words = set(&cell.words(), reader);
                        @if i == 0 {
                            th scope="row" { (words) }
                        } @else {
                            td class=[number(i)] { (words) }
                        }
                    }
                }
            } }
        }
    }
}

const fn marked(weight: Weight) -> Option<&'static str> {
    match weight {
        Weight::Plain => None,
        Weight::Missed => Some("missed"),
        Weight::Noise => Some("noise"),
    }
}

/// A table that scrolls sideways where a screen is too narrow for it.
pub(super) fn wide(of: &Table, reader: Reader) -> Markup {
    html! { div class="wide" { (table(of, None, reader)) } }
}
