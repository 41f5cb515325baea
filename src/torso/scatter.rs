//! What a prediction is unsure of beside the shape of the body.
//!
//! Two people whom a form cannot tell apart still differ in what the tape reads: hands differ, and a
//! form has no muscle that tightens, no bone that is felt for. That scatter (the model discrepancy of
//! Kennedy and O'Hagan 2001, J. R. Stat. Soc. B 63, 425-464; from memory) is added to what the fit
//! itself is unsure of. The numbers are those of `scatter.csv`; the people are the first 400 women and men of
//! the 1988 US Army survey (NATICK/TR-89/044) and the children of Snyder et al. 1977 (UM-HSRI-77-17), each
//! predicted from the fewest readings. How differently two honest surveys take a reading (`manner.csv`) is
//! part of it: whoever measures may do it either way.

use std::sync::LazyLock;

use crate::measure::{Kind, Measure};
use crate::sheet::{Averages, Figure};
use crate::survey;

/// What no survey has: where a side line is drawn, by eye, on each side (two of 7 mm), and how a gap to
/// the wall comes out of hair, clothes and standing again. Our choice; without it the form, whose side
/// line is where it is by construction, would claim to know both to the millimetre.
const SIDE_LINE: f64 = 10.0;
const WALL_GAP: f64 = 4.0;

/// Standard deviation that a prediction of `measure` has beside the fit's own, mm; 0 where the fit's
/// own was found to be enough, or no survey tells.
pub(super) fn scatter(averages: &Averages, measure: Measure) -> f64 {
    match measure.kind() {
        Kind::Arc => return SIDE_LINE,
        Kind::Wall => return WALL_GAP,
        _ => {}
    }
    libm::hypot(of(&SCATTER, averages, measure), manner(averages, measure))
}

/// What two careful hands differ in when they take `measure`, as a standard deviation, mm; 0 where no two
/// surveys tell.
pub(super) fn manner(averages: &Averages, measure: Measure) -> f64 {
    of(&MANNER, averages, measure)
}

/// A measure, and a standard deviation for women, men and children.
type Spreads = Vec<(Measure, [f64; 3])>;

fn of(all: &Spreads, averages: &Averages, measure: Measure) -> f64 {
    let row = all.iter().find(|row| row.0 == measure);
    row.map_or(0.0, |(_, [women, men, children])| {
        averages.number(|figure| match figure {
            Figure::Woman => *women,
            Figure::Man => *men,
            Figure::Child => *children,
        })
    })
}

/// The rows of `scatter.csv`.
static SCATTER: LazyLock<Spreads> = LazyLock::new(|| {
    let all = Figure::NAMED.map(|(_, figure)| figure.several());
    survey::SCATTER
        .rows()
        .map(|row| (row.measure("measure"), all.map(|figure| row.number(figure))))
        .collect()
});

/// The rows of `manner.csv`; children were surveyed once.
static MANNER: LazyLock<Spreads> = LazyLock::new(|| {
    survey::MANNER
        .rows()
        .map(|row| {
            let spreads = [row.number("women"), row.number("men"), 0.0];
            (row.measure("measure"), spreads)
        })
        .collect()
});
