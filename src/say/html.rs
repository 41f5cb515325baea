//! What is said, written as HTML.

use maud::{Markup, html};

use crate::say::table::{Column, Table, Weight};

/// A table; `class` is how the style sheet lays it out, nothing for plain.
pub(super) fn table(table: &Table, class: Option<&str>) -> Markup {
    let number = |column: &Column| column.is_number.then_some("n");
    html! {
        table class=[class] {
            @if !table.caption.is_empty() { caption { (table.caption) } }
            thead { tr {
                @for column in &table.columns {
                    th scope="col" class=[number(column)] { (column.head) }
                }
            } }
            tbody { @for row in &table.rows {
                tr class=[marked(row.weight)] {
                    @for (i, (column, cell)) in table.columns.iter().zip(&row.cells).enumerate() {
                        @if i == 0 {
                            th scope="row" { (cell) }
                        } @else {
                            td class=[number(column)] { (cell) }
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
pub(super) fn wide(of: &Table) -> Markup {
    html! { div class="wide" { (table(of, None)) } }
}

/// What is typed, its options (`--height`) each kept on one line: browsers break after a hyphen, and
/// what is retyped from there is wrong.
pub(super) fn typed(words: &str) -> Markup {
    html! {
        @for (i, word) in words.split(' ').enumerate() {
            @if i > 0 { " " }
            @let (option, rest) = word.split_at(option_of(word));
            @if option.is_empty() { (rest) } @else { span class="option" { (option) } (rest) }
        }
    }
}

/// Where the option ends that a word begins with.
fn option_of(word: &str) -> usize {
    let is_of = |c: char| c.is_ascii_alphanumeric() || c == '-';
    match word.strip_prefix("--") {
        Some(name) if name.starts_with(is_of) => word.find(|c| !is_of(c)).unwrap_or(word.len()),
        _ => 0,
    }
}
