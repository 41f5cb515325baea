//! What is said, written as HTML.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::say::page::{Beside, Block, Page, PageMark, Values};
use crate::say::table::{Cell, Setting, Table, Weight};
use crate::text;
use crate::text::{Look, PagePart, Part, Reader, Run, Text};

/// The look of all pages, for screen, phone and paper.
const STYLE: &str = include_str!("style.css");

/// A page that needs nothing else. Where others lead to its parts, what stands above them opens the page, with
/// the list of them.
pub(super) fn document(title: &str, page: &Page, reader: Reader) -> String {
    let blocks: Vec<&Block> = page.iter().flatten().collect();
    let places: Vec<PagePart> = blocks.iter().filter_map(|b| place(b)).collect();
    let opening = blocks.iter().position(|b| place(b).is_some()).unwrap_or(0);
    let (opening, parts) = blocks.split_at(opening);
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                header {
                    h1 { (title) }
                    @for one in opening { (block(one, reader)) }
                    @if !places.is_empty() { nav aria-label="Contents" { ol {
                        @for of in &places { li { a href={ "#" (of.anchor) } { (of.name) } } }
                    } } }
                }
                main class=[places.is_empty().then_some("brief")] { (said(parts, reader)) }
            }
        }
    }
    .into_string()
}

/// The part of the page that begins with this block, where others lead to it.
const fn place(block: &Block) -> Option<PagePart> {
    match block {
        Block::Place(place) => Some(*place),
        _ => None,
    }
}

/// The blocks in HTML, with a section for each heading.
fn said(blocks: &[&Block], reader: Reader) -> Markup {
    let begins = |block: &Block| matches!(block, Block::Heading(_) | Block::Place(_));
    html! {
        @for part in blocks.chunk_by(|_, next| !begins(next)) {
            @let inside = html! { @for one in part { (block(one, reader)) } };
            @let first = part.first().filter(|first| begins(first));
            @match first.map(|first| place(first)) {
                Some(of) => section id=[of.map(|of| of.anchor)] { (inside) },
                None => (inside),
            }
        }
    }
}

/// Words as they stand in a line.
fn set(words: &Text, reader: Reader) -> Markup {
    html! { @for run in words.runs(reader) { (one(&run)) } }
}

fn one(run: &Run) -> Markup {
    let together = |words: &str| html! { span class="option" { (words) } };
    match run.look {
        Look::Strong => html! { strong { (run.words) } },
        Look::Place(anchor) => html! { a href={ "#" (anchor) } { (run.words) } },
        Look::NextLine => html! { br; },
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

fn block(block: &Block, reader: Reader) -> Markup {
    let set = |words: &Text| set(words, reader);
    match block {
        Block::Heading(words) => html! { h2 { (set(&text![Part::Begin, words.clone()])) } },
        Block::Place(place) => html! { h2 { (place.name) } },
        Block::Step(words) => html! { h3 { (set(words)) } },
        Block::Paragraph(words) => html! { p { (set(words)) } },
        Block::Note(words) => html! { p { (set(&text::sentence(words.clone()))) } },
        Block::Under(words) => html! { p class="small" { (set(words)) } },
        Block::Caution(all) => html! {
            div class="caution" role="note" { @for words in all { p { (set(words)) } } }
        },
        Block::List(mark, all) => {
            let items =
                |class: Option<&str>| html! { @for one in all { li class=[class] { (set(one)) } } };
            match mark {
                PageMark::Nothing | PageMark::SetIn => {
                    html! { ul class="unmarked" { (items(None)) } }
                }
                PageMark::Dash => html! { ul { (items(None)) } },
                PageMark::Number => html! { ol { (items(None)) } },
                PageMark::Box => html! { ul class="ticks" { (items(Some("tick"))) } },
            }
        }
        Block::Table(of) => match of.setting {
            Setting::Pushed => html! { div class="wide" { (table(of, None, reader)) } },
            Setting::Whole => html! { div class="wide whole" { (table(of, None, reader)) } },
            Setting::Narrow => table(of, None, reader),
            Setting::Card => table(of, Some("stack"), reader),
            Setting::Checks => table(of, Some("stack checks"), reader),
        },
        Block::Close(of) => html! { div class="wide" { (table(of, None, reader)) } },
        Block::Values(groups) => html! { @for group in groups { (values(group, reader)) } },
        Block::Verdict(words) => html! { p class="verdict" { (set(words)) } },
        Block::Lines(lines) => html! { pre { (lines.join("\n")) } },
        Block::Pictures(beside, all) => html! {
            div class=(stood(*beside)) style=[scaled(*beside)] {
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

/// How the style sheet calls pictures that stand like this.
const fn stood(beside: Beside) -> &'static str {
    match beside {
        Beside::Alone => "plain",
        Beside::AtOneScale => "cells",
        Beside::AtOneHeight => "cells side",
        Beside::Small => "cells strip",
        Beside::OnePixel { .. } => "pictures",
        Beside::Grid => "sections",
        Beside::Scenes => "scenes",
        Beside::Drawing => "cover",
    }
}

/// What the style sheet must know to give their pixels one size.
fn scaled(beside: Beside) -> Option<String> {
    match beside {
        Beside::OnePixel { all, most } => Some(format!("--all: {all}; --most: {most}")),
        _ => None,
    }
}

/// A table; `class` is how the style sheet lays it out, nothing for plain.
fn table(table: &Table, class: Option<&str>, reader: Reader) -> Markup {
    let numbers = table.numbers();
    let number = |i: usize| numbers[i].then_some("n");
    html! {
        table class=[class] {
            @if !table.caption.is_empty() { caption { (set(&table.caption, reader)) } }
            thead { tr {
                @for (i, head) in table.heads.iter().enumerate() {
                    th scope="col" class=[number(i)] { (head) }
                }
            } }
            tbody { @for row in &table.rows {
                tr class=[marked(row.weight)] {
                    @for (i, cell) in row.cells.iter().enumerate() {
                        @if i == 0 {
                            th scope="row" class=[number(i)] { (set(&cell.words(), reader)) }
                        } @else {
                            td class=[class_of(cell).or(number(i))] { (inside(cell, reader)) }
                        }
                    }
                }
            } }
        }
    }
}

/// What a cell is to be written in.
const fn class_of(cell: &Cell) -> Option<&'static str> {
    match cell {
        Cell::Blank => Some("blank"),
        Cell::Hint(_) => Some("blank hint"),
        _ => None,
    }
}

fn inside(cell: &Cell, reader: Reader) -> Markup {
    match cell {
        Cell::Boxes(all) => html! { @for one in all { span class="box" { (one) } " " } },
        _ => set(&cell.words(), reader),
    }
}

const fn marked(weight: Weight) -> Option<&'static str> {
    match weight {
        Weight::Plain => None,
        Weight::Missed => Some("missed"),
        Weight::Noise => Some("noise"),
    }
}
