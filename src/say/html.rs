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
