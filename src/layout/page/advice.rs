//! What the first pages say: of templates of layers, and of the cards of the proof.

use crate::drawing::Pen;
use crate::layout::page::sample::Sample;
use crate::units::Unit;
use crate::workshop::INCH_BAR;

/// What the pages hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Holds {
    /// Templates of layers.
    Layers {
        /// Whether several layers share a template.
        shared: bool,
        /// Whether there are half templates.
        halves: bool,
        /// Diameter of a hole that a dowel goes through, mm.
        hole: Option<f64>,
    },
    /// Cards to hold against the person.
    Cards {
        /// What their heights are counted from.
        heights: HeightsFrom,
    },
}

/// What the advice is about, besides what holds for all pages.
#[derive(Clone, Copy, Debug)]
pub(super) struct About {
    /// Lengths of the bars along the page and across it, mm.
    pub(super) bars: (f64, f64),
    /// What the pages are written in.
    pub(super) unit: Unit,
    /// Whether the pages are made for what the bars measured before.
    pub(super) corrected: bool,
    /// What the bars could measure, as it is typed.
    pub(super) example: &'static str,
    /// What the pages hold.
    pub(super) holds: Holds,
}

/// How pages are joined that hold one thing together.
fn join(thing: &str) -> String {
    format!(
        "A {thing} on several pages: cut one page along its thin join line. Lay it on the join line of the other until the marks of one letter meet (A1 on A1, A2 on A2), and tape it."
    )
}

/// What can hurt (common practice, no source).
const CAUTION: &str = "Cut away from yourself, with a sharp blade, on a board; for hot tools, dust and fumes follow the maker's data sheet and the rules of your workshop, and ask somebody trained.";

impl About {
    /// Whether the lines of the list of pages are long.
    pub(super) const fn has_long_names(&self) -> bool {
        matches!(self.holds, Holds::Cards { .. })
    }

    /// What stands over the list of pages.
    pub(super) const fn list_heading(&self) -> &'static str {
        match self.holds {
            Holds::Layers { .. } => "On which page each layer is:",
            Holds::Cards { .. } => "On which page each card is:",
        }
    }

    /// What to do before cutting, and what can hurt.
    pub(super) fn advice(&self) -> Vec<String> {
        let mut out = self.scale();
        match self.holds {
            Holds::Layers { shared, halves, .. } => {
                let traced = if halves {
                    "trace (a half: trace, turn it over along the centre line, trace again)"
                } else {
                    "trace"
                };
                if shared {
                    out.push(format!("Some templates have several lines, one inside the next: each is another layer, and the list in the middle names them from the outside in. Cut the paper at the outermost line and {traced} round its edge. Prick the holes and write the layer's number on the piece. Only then trim the paper down to the next line and trace again, on other stock. A hole that is called “only” belongs to the layers named with it alone."));
                }
                if halves {
                    out.push("A half template shows the right half. Cut the paper along its centre line. Rule a centre line on the stock, lay the paper's straight edge on it and trace; turn the paper over along that line and trace the left half. Before you do, prick what is called LEFT, and both ends of every T, through the paper and write its name on the back. A hole on the centre line is half on the paper: prick its middle. What is called LEFT, and dashed, belongs to the left half alone, when the paper is turned over; what is called RIGHT belongs to the right half alone. A hole with two letters is for the dowel named RIGHT there, and for the one named LEFT when the paper is turned over.".to_owned());
                }
                out.extend([
                    join("template"),
                    "Cut the openings first, then the outline. Copy the marks onto the piece: they say how the pieces are stacked. Where each piece goes on its sheet is drawn in the folder “boards”; anywhere else is as good where it fits and lies the same way to grain or flutes. To true a stack by eye, lay the piece of the layer above on its dowels and draw round it.".to_owned(),
                ]);
            }
            Holds::Cards { heights } => out.extend(cards(heights, self.unit)),
        }
        out.push(CAUTION.to_owned());
        out
    }

    /// How to print, and how to prove it.
    fn scale(&self) -> Vec<String> {
        let (along, across) = self.bars;
        // A half per cent: a rule reads it, and it is half a layer in the height of a form.
        let band = |bar: f64| match self.unit {
            Unit::Cm | Unit::Mm => self.unit.rule(bar * 0.005, 1),
            Unit::In => format!("{} in", self.unit.drill_bare(bar * INCH_BAR * 0.005)),
        };
        let bar = |bar: f64| match self.unit {
            Unit::Cm | Unit::Mm => self.unit.rule(bar, 0),
            Unit::In => self.unit.rule(bar * INCH_BAR, 0),
        };
        let (within, typed) = match self.unit {
            Unit::Cm | Unit::Mm => ("1 mm", self.example.to_owned()),
            Unit::In => ("1/16 in", format!("\"{}\"", self.example)),
        };
        let remedy = if self.corrected {
            "These pages make up for what the bars measured before; if they are not true now, measure a page printed without it again.".to_owned()
        } else {
            format!(
                "If not, print this page alone, write both bars down and build again with what they measured, for instance --printed {typed} (up the side x along the foot)."
            )
        };
        vec![
            "Print at 100 % (actual size), with no fit to page.".to_owned(),
            format!(
                "Lay a steel rule on the bars of every page: {} up the side must be right within {}, {} along the foot within {}. From corner cross to corner cross it must be what the side says, both ways, within {within}. {remedy}",
                bar(along),
                band(along),
                bar(across),
                band(across)
            ),
        ]
    }

    /// What each line and mark means.
    pub(super) fn samples(&self) -> Vec<Sample> {
        let join = Sample::line(Pen::Fine, "thin and grey: join line of two pages");
        let mark =
            Sample::join_mark("join mark: the same letter and number on the page that is joined");
        let Holds::Layers {
            shared,
            halves,
            hole,
        } = self.holds
        else {
            return vec![
                Sample::line(
                    Pen::Cut,
                    "thick: cut; the hollow or curved side meets the skin",
                ),
                Sample::line(
                    Pen::Mark,
                    "thin: heights and the plumb direction, to be copied onto the card",
                ),
                join,
                mark,
            ];
        };
        let example = hole.map_or_else(String::new, |hole| {
            let bare = self.unit.bench_bare(hole, 1);
            let wide = self.unit.bench(hole, 1);
            format!(
                ". “A dia. {bare}” or “A {bare}”: dowel A goes through, the hole is {wide} wide"
            )
        });
        let mut out = vec![
            Sample::line(
                Pen::Cut,
                if shared {
                    "thick: cut the paper and trace, the outermost line first (and openings)"
                } else {
                    "thick: cut (outline, and openings inside it)"
                },
            ),
            Sample::line(
                Pen::Mark,
                "thin, from the edge inwards: draw on the piece (centre and side lines)",
            ),
            Sample::line(
                Pen::Dashed,
                if halves {
                    "dashed: of the left half alone; on a whole piece the edge of the layer above"
                } else {
                    "dashed: edge of the layer above, to glue it to"
                },
            ),
            Sample::hole(format!(
                "hole, of a dowel or the pole: prick its middle, and bore or cut it as wide as it says{example}"
            )),
            Sample::edge_mark(
                halves,
                if halves {
                    "edge mark with the number of its layer: draw it on the half that it names. Stacked, these marks make one slanting line"
                } else {
                    "edge mark with the number of its layer: draw it on the piece. Stacked, these marks make one slanting line"
                },
            ),
        ];
        if shared {
            out.push(Sample::trimming(
                halves,
                "several lines: trace round the paper's edge, trim it to the next line, trace again. A number with a bar under it stands on the bar: 66 is not 99",
            ));
        }
        out.extend([
            Sample::line(
                Pen::Fine,
                "thin and grey: join line of two pages; a short one leads from words to what they name; copy those outside a line before you cut it",
            ),
            mark,
        ]);
        out
    }
}

/// What the heights on the cards of the proof are counted from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeightsFrom {
    /// The floor that the person stands on.
    Floor,
    /// The seat that the person sits on.
    Seat,
    /// The natural waist, where no height is known.
    Waist,
}

/// What the cards of the proof are for and how they are held (common practice, no source).
fn cards(heights: HeightsFrom, unit: Unit) -> Vec<String> {
    let heights = match heights {
        HeightsFrom::Floor => {
            "Every band says how high above the floor it belongs. Before you hold up any card, measure these heights from the floor beside the person, who stands without shoes. Mark them at the centre front, the centre back and both sides with tape or a soft pencil."
        }
        HeightsFrom::Seat => {
            "Every band says how high above the seat it belongs. Before you hold up any card, measure these heights from the seat beside the person, who sits upright as when measured. Mark them at the centre front, the centre back and both sides with tape or a soft pencil."
        }
        HeightsFrom::Waist => {
            "Every band says how far above or below the waist it belongs. Tie an elastic round the waist. Before you hold up any card, measure from it along a plumb line and mark the heights on the person at the centre front, the centre back and both sides with tape or a soft pencil."
        }
    };
    let mut out = vec![
        "These cards are the outside of the finished form, always life size. They show whether the form will be the person before a single layer is cut. Paste the pages on stiff card and cut the cards out.".to_owned(),
        format!("{heights} Heights are in {}.", unit.bench_plural()),
        "The hollow side of a band meets the skin, over the underwear that the form is to wear, its words upwards; a band for both sides is turned over for the left. Hold it level at the marks, its straight ends on the centre lines and the side lines. A card that says “turned over left” serves both sides.".to_owned(),
        "The curved side of a profile meets the skin, at the centre back, the centre front and the side, its ticks, which say the same heights, at the marks; its straight side hangs plumb (hold a thread with a weight beside it). The shoulder line lies with the edge below its words on the shoulder, NECK at the neck; its words are read from behind the person.".to_owned(),
        "The person stands as always and breathes out gently. Light under an edge says that the body is smaller there than the form would be. If a card cannot come near, the body is larger there. Measure that place again, correct the sheet and build again. A gap that a breath or a finger closes does not matter.".to_owned(),
    ];
    out.push(join("card"));
    out
}
