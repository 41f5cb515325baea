//! Heights that tell of stature and of where the waist lies: `heights.csv`.

use std::sync::LazyLock;

use crate::measure::Measure;
use crate::sheet::{Averages, Figure, WaistKind};
use crate::survey;
use crate::survey::{Line, On, Row};

/// The lines of `heights.csv` for one figure.
pub(super) struct Heights {
    /// Stature from a height that was given in its place.
    stature: Vec<(Measure, Line)>,
    to_navel: Line,
    to_half_way: Line,
    waist: Line,
    /// Stature from the height of the head above the seat, and the height of the seat.
    stature_of_seated: Line,
    seat: Line,
}

impl Heights {
    pub(super) fn of(figure: Figure) -> &'static Self {
        static READ: LazyLock<[Heights; 3]> =
            LazyLock::new(|| [Figure::Woman, Figure::Man, Figure::Child].map(Heights::read));
        match figure {
            Figure::Woman => &READ[0],
            Figure::Man => &READ[1],
            Figure::Child => &READ[2],
        }
    }

    /// The heights that stature is told from.
    pub(super) fn told_from(&self) -> impl Iterator<Item = Measure> {
        self.stature.iter().map(|(measure, _)| *measure)
    }

    fn read(figure: Figure) -> Self {
        let rows = |what: &'static str| {
            let here = move |row: &Row<'_>| {
                row.text("figure") == figure.name() && row.text("what") == what
            };
            survey::HEIGHTS.rows().filter(here)
        };
        let line = |what| Line::only(rows(what));
        Self {
            stature: rows("stature")
                .map(|row| (row.measure("from"), Line::of(row, None)))
                .collect(),
            to_navel: line("drop to the navel"),
            to_half_way: line("drop to half-way"),
            waist: line("natural waist"),
            stature_of_seated: line("stature of the seated"),
            seat: line("seat"),
        }
    }
}

/// Stature as another height tells it: mean and standard deviation, mm; nothing where a figure with a share has
/// no line for it.
pub(super) fn stature_from(from: Measure, reading: f64, averages: &Averages) -> Option<(f64, f64)> {
    let line = |figure| {
        let lines = &Heights::of(figure).stature;
        lines.iter().find(|(m, _)| *m == from).map(|(_, line)| line)
    };
    let told = averages.parts().all(|(figure, _)| line(figure).is_some());
    told.then(|| {
        averages.spread(|figure| {
            line(figure).map_or((0.0, 0.0), |line| {
                (line.value(|_| reading), line.own_sd(|_| reading))
            })
        })
    })
}

/// Stature of somebody whose head is so high above the seat: mean and standard deviation, mm.
pub(super) fn stature_of_seated(head: f64, averages: &Averages) -> (f64, f64) {
    averages.spread(|figure| {
        let line = &Heights::of(figure).stature_of_seated;
        (line.value(|_| head), line.own_sd(|_| head))
    })
}

/// Height of the seat, which bears the thighs as the seat bones do, above the floor of somebody who stands: mean and
/// standard deviation, mm. `stature` is a value and its standard deviation.
pub(super) fn seat_height(averages: &Averages, stature: (f64, f64)) -> (f64, f64) {
    averages.spread(|figure| {
        let line = &Heights::of(figure).seat;
        (line.value(|_| stature.0), line.sd(|_| stature))
    })
}

/// How far below the natural waist the sheet's waist lies: mean and standard deviation, mm.
pub(super) fn waist_drop(kind: WaistKind, averages: &Averages, tall: f64) -> (f64, f64) {
    averages.spread(|figure| {
        let heights = Heights::of(figure);
        let line = match kind {
            WaistKind::Natural => return (0.0, 0.0),
            WaistKind::Navel => &heights.to_navel,
            WaistKind::Iso => &heights.to_half_way,
        };
        (line.value(|_| tall), line.own_sd(|_| tall))
    })
}

/// Height of the natural waist: mean and standard deviation, mm. `back` and `stature` are each a value and
/// its standard deviation.
pub(super) fn waist_height(
    averages: &Averages,
    stature: (f64, f64),
    back: (f64, f64),
) -> (f64, f64) {
    let of = |on: On| if on == On::Back { back } else { stature };
    averages.spread(|figure| {
        let line = &Heights::of(figure).waist;
        (line.value(|on| of(on).0), line.sd(of))
    })
}
