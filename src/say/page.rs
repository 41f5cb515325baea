//! A page as a value: sections of blocks (headings, paragraphs, lists, tables, pictures). Two writers set it.
//! [`terminal`](super::terminal) sets it in 80 columns, [`html`](super::html) as a page for a browser or
//! a printer; the value knows neither.

use svg::node::element::SVG;

use crate::say::table::{Cell, Table};
use crate::text::{PagePart, Text};

/// The sections of a page, from the top down.
pub(super) type Page = Vec<Vec<Block>>;

/// What stands in a part.
#[derive(Clone, Debug)]
pub(super) enum Block {
    /// What the blocks up to the next heading are about; without a mark at its end.
    Heading(Text),
    /// The same for a part that others lead to: the page lists these at its beginning.
    Place(PagePart),
    /// What the blocks up to the next one are about, below a heading.
    Step(Text),
    /// Whole sentences with their marks.
    Paragraph(Text),
    /// A remark: it begins with a small letter and ends without a mark, unless its writer is one of whole
    /// sentences.
    Note(Text),
    /// A remark to what stands above it, set in and said as it stands.
    Under(Text),
    /// What can hurt somebody, in whole sentences, each thing by itself.
    Caution(Vec<Text>),
    /// One thing after the other, each beginning on a line of its own.
    List(PageMark, Vec<Text>),
    /// A table.
    Table(Table),
    /// Names and their numbers, on as few lines as they take.
    Values(Vec<Values>),
    /// A table that takes as little room as its numbers do.
    Close(Table),
    /// What it all comes to, in one line.
    Verdict(Text),
    /// Lines that stay as they are, their letters all equally wide.
    Lines(Vec<String>),
    /// Pictures with their names, which may be empty where a picture stands alone. Where none can be
    /// shown their names stand for them.
    Pictures(Beside, Vec<(Text, SVG)>),
}

/// Some names and their numbers.
#[derive(Clone, Debug)]
pub(super) struct Values {
    /// What they are of; nothing where that is said above.
    pub(super) of: &'static str,
    /// A name, its number, how far that is off or may be.
    pub(super) rows: Vec<Vec<Cell>>,
}

/// What stands before a thing in a list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PageMark {
    /// Nothing.
    Nothing,
    /// Nothing, but it is set in: the list hangs on what stands above it.
    SetIn,
    /// A dash.
    Dash,
    /// Its number, because their order matters.
    Number,
    /// A box to tick off.
    Box,
}

/// How pictures stand beside each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Beside {
    /// Each has the whole width.
    Alone,
    /// At one scale, as many in a row as there is room for.
    AtOneScale,
    /// At one height.
    AtOneHeight,
    /// Small, with more words than picture.
    Small,
    /// Side by side where there is room, their pixels of one size: how wide they are in all and the widest, px.
    /// Each says in its style how wide it is.
    OnePixel {
        /// All of them together.
        all: usize,
        /// The widest.
        most: usize,
    },
    /// Small and many, their names below them in the middle.
    Grid,
    /// Small pictures of how a thing is done.
    Scenes,
    /// One drawing that is measured by eye.
    Drawing,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Level;
    use crate::say::amount::{Amount, AmountScale};
    use crate::say::html;
    use crate::say::picture;
    use crate::say::table::{Cell, cells};
    use crate::say::terminal;
    use crate::text;
    use crate::text::{Part, Reader};
    use crate::units::Unit;

    fn page() -> Page {
        let girth = Amount::new(768.35, AmountScale::Tape(Unit::In));
        let rows = [cells![Part::Level(Level::Waist), girth]];
        let table = Table::new(&["level", "girth"], rows).under("of the contralto");
        let outline = picture::empty(20.0, 10.0, "low & high");
        vec![
            vec![Block::Heading("the form".into()), Block::Table(table)],
            Vec::new(),
            vec![
                Block::Note(text!["padded by ", text::mm0(8.0), "; `--all` says more"]),
                Block::List(PageMark::Number, vec!["Cut < 5.".into(), "Stack.".into()]),
                Block::List(PageMark::Dash, vec!["glue".into()]),
                Block::Under("Which one?".into()),
                Block::List(PageMark::SetIn, vec!["hide glue".into()]),
                Block::Caution(vec!["Foam burns fast.".into()]),
                Block::Lines(vec!["a  b".into()]),
                Block::Pictures(Beside::Alone, vec![("outline".into(), outline)]),
            ],
        ]
    }

    #[test]
    fn one_value_is_set_for_a_terminal() {
        let said = terminal::page(&page(), Reader::of(Unit::In), false);
        let (table, rest) = said.split_once("\n\npadded").unwrap();
        assert!(
            table.starts_with("the form\nof the contralto\n\n"),
            "{table}"
        );
        assert!(
            table.contains("level") && table.ends_with("30 1/4"),
            "{table}"
        );
        assert_eq!(
            rest,
            " by 5/16 in (8 mm); `--all` says more\n1. Cut < 5.\n2. Stack.\n- glue\n  Which one?\n  hide glue\n\
             caution: Foam burns fast.\na  b\noutline\n"
        );
        let bold = terminal::page(&page(), Reader::of(Unit::In), true);
        assert!(bold.starts_with("\u{1b}[1mthe form\u{1b}[0m\n"), "{bold}");
    }

    #[test]
    fn the_same_value_is_set_as_a_page() {
        let said = html::document("A & B", &page(), Reader::of(Unit::Cm));
        let (_, said) = said.split_once("</header><main class=\"brief\">").unwrap();
        assert!(said.starts_with("<section><h2>The form</h2>"), "{said}");
        for part in [
            "<caption>of the contralto</caption>",
            "<p>Padded by <span class=\"option\">8 mm</span>; <code><span class=\"option\">--all</span></code> says more.</p>",
            "<ol><li>Cut &lt; 5.</li><li>Stack.</li></ol>",
            "<ul><li>glue</li></ul><p class=\"small\">Which one?</p>",
            "<ul class=\"unmarked\"><li>hide glue</li></ul>",
            "<div class=\"caution\" role=\"note\"><p>Foam burns fast.</p></div>",
            "<pre>a  b</pre>",
            "aria-label=\"low &amp; high\"",
            "<figcaption>outline</figcaption>",
        ] {
            assert!(said.contains(part), "{part} in {said}");
        }
    }

    #[test]
    fn no_line_breaks_within_what_belongs_together() {
        let parts = ["40 3/4 in", "`layfigure new`", "± 1 3/8 in", "300 x 200 mm"];
        for filled in 50..80 {
            let before = "x".repeat(filled);
            let said = text![
                before,
                " ",
                text::length(1035.0, Unit::In),
                " and `layfigure new` ",
                text::together("± 1 3/8 in"),
                " of (",
                text::together("300 x 200 mm"),
                ")."
            ];
            let set = terminal::wrapped(&said, Reader::default(), 0, 2);
            assert!(set.lines().all(|l| l.chars().count() <= 80), "{set}");
            assert!(set.is_ascii() || set.replace('±', "").is_ascii(), "{set}");
            for part in parts {
                assert!(set.lines().any(|l| l.contains(part)), "{part} in {set}");
            }
        }
        // What is longer than a line can spare is broken all the same.
        let long = text::typed("word ".repeat(30));
        let set = terminal::wrapped(&long, Reader::default(), 0, 0);
        assert!(set.lines().all(|l| l.chars().count() <= 80), "{set}");
    }

    #[test]
    fn what_deserves_the_eye_takes_no_room() {
        let style = anstyle::Style::new().bold();
        for filled in 60..80 {
            let said = text![
                Part::Strong("measure next".into()),
                ": ",
                "x".repeat(filled),
                " ",
                Part::Strong("y z".into())
            ];
            let plain = terminal::wrapped(&said, Reader::default(), 0, 2);
            let marked = terminal::marked(&said, Reader::default(), 0, 2, Some(style));
            assert!(
                marked.starts_with("\u{1b}[1mmeasure next\u{1b}[0m:"),
                "{marked}"
            );
            assert!(marked.ends_with("\u{1b}[1my z\u{1b}[0m\n"), "{marked}");
            let bare = marked.replace("\u{1b}[1m", "").replace("\u{1b}[0m", "");
            assert_eq!(bare, plain);
        }
    }

    #[test]
    fn a_wide_table_is_parted_where_its_columns_may_be() {
        let heads: Vec<String> = (0..9).map(|i| format!("thick\n{i} mm of card")).collect();
        let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
        let cells = |_| vec![Cell::from(Amount::count(12)); heads.len()];
        let table = Table {
            together: Some(2),
            ..Table::new(&heads, (0..2).map(cells))
        };
        let said = terminal::page(&vec![vec![Block::Table(table)]], Reader::default(), false);
        assert!(said.lines().all(|l| l.chars().count() <= 80), "{said}");
        let tables: Vec<&str> = said.split("\n\n").collect();
        assert!(tables.iter().all(|t| t.contains("0 mm of card")), "{said}");
        let columns = tables.iter().map(|t| t.matches("of card").count() - 1);
        let columns: Vec<usize> = columns.collect();
        assert_eq!(columns.iter().sum::<usize>(), 8, "{said}");
        assert!(
            columns.iter().all(|n| n % 2 == 0) && columns.len() > 1,
            "{said}"
        );
    }

    #[test]
    fn numbers_are_set_closely() {
        let cm = |mm| Amount::new(mm, AmountScale::Tape(Unit::Cm));
        let spread = |mm| Amount::new(mm, AmountScale::HalfWidth(Unit::Cm)).marked("±");
        let values = Values {
            of: "girth",
            rows: vec![
                cells!["waist", cm(768.0), spread(9.0)],
                cells!["hip", cm(1014.0), spread(14.0)],
                cells!["neck", cm(352.0), spread(3.0)],
            ],
        };
        let rows = [
            cells!["bust", Cell::Within(cm(982.0), spread(21.0))],
            cells!["top hip", Cell::Within(cm(99.0), spread(131.0))],
            cells!["neck", ""],
        ];
        let page: Page = vec![vec![
            Block::Values(vec![values]),
            Block::Close(Table::new(&["", "breadth"], rows)),
            Block::Verdict("all met".into()),
        ]];
        let said = terminal::page(&page, Reader::default(), true);
        let lines: Vec<&str> = said.lines().collect();
        assert_eq!(
            lines,
            [
                "  girth  waist   76.8  ±0.9    neck  35.2  ±0.3",
                "         hip    101.4  ±1.4",
                "           breadth",
                "  bust     98.2 ±2.1",
                "  top hip   9.9 ±13.1",
                "  neck",
                "\u{1b}[1mall met\u{1b}[0m",
            ]
        );
        let said = html::document("A", &page, Reader::of(Unit::Cm));
        for part in [
            "<caption>girth</caption>",
            "<th scope=\"row\">hip</th><td class=\"n\">101.4</td><td class=\"n\">±1.4</td>",
            "<td class=\"n\">98.2 ±2.1</td>",
            "<p class=\"verdict\">all met</p>",
        ] {
            assert!(said.contains(part), "{part} in {said}");
        }
    }
}
