//! Why pieces cannot be laid on stock or paper.

use crate::facts;
use crate::text;
use crate::text::{Part, Text, mm, typed};

/// Breadth and height, mm.
fn sides(size: [f64; 2]) -> Part {
    Part::Sizes(size, 0, "x")
}

facts! {
    /// Why pieces cannot be laid on stock or paper.
    pub enum LayoutFact {
        /// An opening is narrower than the cut.
        NarrowOpening {
            /// The piece.
            piece: String,
            /// Diameter, where it is round (mm).
            diameter: Option<f64>,
            /// Width of the cut (mm).
            kerf: f64,
        } => text!["piece ", typed(piece.clone()), " has ",
                   diameter.map_or_else(|| "an opening".into(), |d| text!["a hole of ", Part::Size(d, 2)]),
                   ", narrower than the kerf of ", mm(*kerf),
                   "; enter the kerf as measured, or use thicker dowels"],
             "";
        /// A workshop without stock.
        NoStock => text!["the workshop has no stock: give its width and length under ", typed("[[stock]]")], "";
        /// No stock is of this material.
        NoStockOf {
            /// What it is called.
            material: String,
            /// Its number, counted from 1.
            number: usize,
        } => text!["no ", typed("[[stock]]"), " is of ", typed(material.clone()), ", material number ", *number,
                   ": add one with ", typed(format!("layer = {number}")), ", or leave ", typed("layer"),
                   " out of a stock that comes in all of them"],
             "";
        /// The stock that is there is used up.
        StockRunsOut {
            /// How many pieces are left.
            left: usize,
            /// How many there are in all.
            pieces: usize,
            /// One that is left.
            piece: String,
        } => text!["the stock runs out: ", *left, " of ", *pieces, " pieces, ", typed(piece.clone()),
                   " among them, find no room on as many boards as ", typed("stock.count"),
                   " allows; add another ", typed("[[stock]]"), " without ", typed("count"), " below the last"],
             "";
        /// A piece is larger than every stock.
        FitsNoStock {
            /// The piece.
            piece: String,
            /// Its breadth and height (mm).
            size: [f64; 2],
            /// What is free on each stock inside the margins (mm).
            free: Vec<[f64; 2]>,
        } => text!["piece ", typed(piece.clone()), " is ", sides(*size),
                   " and fits on no stock (free inside the margins: ",
                   Text::joined(free.iter().map(|f| sides(*f).into()), ", "),
                   "); use larger stock, allow more ", typed("turns"), ", or scale the form"],
             "";
        /// A piece is larger than every stock and cannot be cut in parts that fit.
        NoSeam {
            /// The piece.
            piece: String,
            /// Its breadth and height (mm).
            size: [f64; 2],
            /// The least stock that would do (mm).
            would_do: Option<[f64; 2]>,
        } => text!["piece ", typed(piece.clone()), " is ", sides(*size),
                   ", larger than every stock, and no seam off its holes leaves parts that fit; ",
                   would_do.map_or_else(
                       || text!["use larger stock, allow more ", typed("turn"), ", or scale the form"],
                       |would| text!["stock of ", sides(would), " would do, or a smaller form"],
                   )],
             "";
        /// A piece that goes on a stock was not laid.
        NotLaid => "a piece that fits on the stock alone was not laid on it", "";
        /// A piece was laid that is none of those to lay.
        NeverAsked {
            /// The piece.
            piece: String,
        } => text!["piece ", typed(piece.clone()), " was laid but never asked for"], "";
        /// A piece was laid into the margin.
        InMargin {
            /// The piece.
            piece: String,
            /// Its distance from the edge (mm).
            apart: f64,
            /// The margin (mm).
            margin: f64,
        } => text!["piece ", typed(piece.clone()), " was laid ", Part::Size(*apart, 3),
                   " from the edge of the stock, less than the margin of ", mm(*margin)],
             "";
        /// Two pieces were laid too near to each other.
        TooNear {
            /// The two.
            pieces: [String; 2],
            /// Their distance (mm).
            apart: f64,
            /// The least that is kept (mm).
            keep: f64,
        } => text!["pieces ", typed(pieces[0].clone()), " and ", typed(pieces[1].clone()), " were laid ",
                   Part::Size(*apart, 3), " apart, less than gap and kerf of ", mm(*keep)],
             "";
        /// A board is of a stock that is not there.
        NoSuchStock {
            /// Its number, counted from 1.
            number: usize,
        } => text!["a board was laid on stock number ", *number, ", which the workshop does not have"], "";
        /// A board has a piece that is not there.
        NotInStack {
            /// The piece.
            piece: String,
        } => text!["piece ", typed(piece.clone()), " lies on a board but is not in the stack"], "";
        /// A piece cannot be spread over pages.
        JoinThroughHole {
            /// What the piece is.
            what: String,
            /// What the paper is called.
            paper: String,
        } => text![what, " cannot be spread over pages of ", paper,
                   " without a join through a hole; use larger paper, or a smaller ", typed("paper.overlap")],
             "";
        /// Paper has no room for its check bars.
        PaperTooSmall {
            /// What it is called.
            paper: String,
            /// Its width and height (mm).
            size: [f64; 2],
            /// Its margin (mm).
            margin: f64,
            /// The bars along and across (mm).
            bars: [f64; 2],
        } => text!["paper ", typed(paper.clone()), " of ", Part::TrimmedSizes(*size, "x"), " with margins of ", mm(*margin),
                   " is too small for the check bars of ", Part::Sizes(*bars, 0, "and"),
                   " that prove its scale; use A5 or larger, or smaller margins"],
             "";
    }
}
