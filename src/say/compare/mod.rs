//! Two bodies, a body and a system of sizes, a form to be padded, a person over time: for a terminal,
//! in numbers, and as a page with pictures.

mod course;
mod nearest;
mod numbers;
mod pad;
mod pair;
mod pictures;

use crate::compare;
use crate::compare::{Alteration, Body, Difference, Ease, Standing};
use crate::measure::{Figure, Measure, Side};
use crate::say::amount::{Amount, is_angle};
use crate::say::table::Cell;
use crate::sheet::Origin;
use crate::text;
use crate::text::{Part, Reader, Text};
use crate::units::Unit;

pub use course::{course, course_page};
pub use nearest::sizes;
pub use numbers::{bodies_json, course_json, padding_json, sizes_json};
pub use pad::{padding, padding_page};
pub use pair::{bodies, page};

/// Two bodies beside each other.
pub struct Pair {
    /// The first.
    pub a: Body,
    /// The second.
    pub b: Body,
    /// What differs, what matters most first.
    pub differences: Vec<Difference>,
    /// What that means for something cut for A and worn by B.
    pub alterations: Vec<Alteration>,
    /// The ease beyond which something is altered.
    pub ease: Ease,
    /// The unit of what is printed.
    pub unit: Unit,
    /// How the pictures are aligned.
    pub standing: Standing,
}

impl Pair {
    /// Compares `a` and `b`.
    #[must_use]
    pub fn new(a: Body, b: Body, ease: Ease, unit: Unit, standing: Standing) -> Self {
        let differences = compare::differences(&a, &b);
        Self {
            alterations: compare::alterations(&differences, ease, a.figure.with(b.figure)),
            differences,
            a,
            b,
            ease,
            unit,
            standing,
        }
    }

    /// Whose figures they are.
    const fn figure(&self) -> Figure {
        self.a.figure.with(self.b.figure)
    }

    /// Whom it is told.
    fn reader(&self) -> Reader {
        Reader::of(self.unit).about(self.figure())
    }

    /// Whether nothing differs at all.
    #[must_use]
    pub fn is_same(&self) -> bool {
        self.differences.iter().all(|d| d.apart == 0.0)
    }

    /// What to say where the sheets mean two waists; nothing where they mean one.
    fn waists(&self) -> Option<String> {
        (self.a.waist != self.b.waist).then(|| {
            format!(
                "A takes the waist {}, B {}: what hangs on the waist is compared at the natural \
                 waist, read off the solids, and counts as estimated",
                waist_at(self.a.waist),
                waist_at(self.b.waist)
            )
        })
    }
}

const fn waist_at(waist: crate::sheet::WaistKind) -> &'static str {
    match waist {
        crate::sheet::WaistKind::Natural => "where an elastic settles",
        crate::sheet::WaistKind::Iso => "half-way from rib to hip bone",
        crate::sheet::WaistKind::Navel => "at the navel",
    }
}

/// Name of a measurement on this figure, with its side where it is one of a pair.
fn title(measure: Measure, side: Side, figure: Figure) -> String {
    side.named(measure.info().title.of(figure))
}

/// A value, `~` before an estimate.
const fn value(measure: Measure, value: f64, origin: Origin, unit: Unit) -> Amount {
    Amount::of(measure, value, unit).marked(match origin {
        Origin::Estimated => "~",
        Origin::Given => "",
    })
}

/// The units of a difference: for anyone who measures in inches those alone, else centimetres and inches.
const fn apart_in(unit: Unit) -> &'static [Unit] {
    match unit {
        Unit::Cm | Unit::Mm => &[Unit::Cm, Unit::In],
        Unit::In => &[Unit::In],
    }
}

/// Their names: `cm, in`.
fn apart_names(unit: Unit) -> String {
    let names: Vec<&str> = apart_in(unit).iter().map(|unit| unit.name()).collect();
    names.join(", ")
}

/// The unit of noise and ease.
const fn limit_in(unit: Unit) -> Unit {
    apart_in(unit)[0]
}

/// A difference with its sign, in [these units](apart_in), inches to the nearest eighth; angles in degrees.
fn apart_cells(measure: Measure, apart: f64, unit: Unit) -> Vec<Cell> {
    let cell = |unit: &Unit| Amount::signed(measure, apart, *unit).into();
    apart_in(unit).iter().map(cell).collect()
}

/// The same in a sentence: `+5.5 cm (+2 1/8 in)`.
fn apart_words(measure: Measure, apart: f64, unit: Unit) -> Text {
    let shown = |unit: Unit| format!("{} {}", Amount::signed(measure, apart, unit), unit.name());
    match apart_in(unit) {
        _ if is_angle(measure) => text::together(Amount::signed(measure, apart, unit).to_string()),
        [first, second, ..] => text![
            text::together(shown(*first)),
            " ",
            text::together(format!("({})", shown(*second)))
        ],
        _ => text::together(shown(unit)),
    }
}

/// An amount without sign: `5.5 cm (2 1/8 in)`, or in inches alone.
fn amount(measure: Measure, by: f64, unit: Unit) -> Text {
    match apart_in(unit) {
        _ if is_angle(measure) => Part::Angle(by).into(),
        [first, second, ..] => text![
            text::length(by, *first),
            " ",
            text::together(format!("({})", second.show(by)))
        ],
        _ => text::length(by, unit),
    }
}

/// One alteration in a sentence; `what` differs: the bodies, the readings.
fn alteration(a: &Alteration, unit: Unit, what: &'static str) -> Text {
    let side = match a.side {
        Side::Both => "",
        Side::Left => " on the left",
        Side::Right => " on the right",
    };
    let seams = a.seams.map(|s| match (s.enough, s.darts) {
        (true, true) => text![
            ", ",
            text::together(unit.rule(s.each, 0)),
            " at each side seam and waist dart"
        ],
        (true, false) => text![
            ", ",
            text::together(unit.rule(s.each, 0)),
            " at each side seam"
        ],
        (false, _) => text![
            ": cut a new piece, since the seams of a usual block give only about ",
            text::length(s.give(), limit_in(unit))
        ],
    });
    let parts = a.front.map(|front| {
        let part = |mm: f64| text::together(limit_in(unit).show_signed(mm));
        text![
            "; in front ",
            part(front),
            " of it, behind ",
            part(a.by - front)
        ]
    });
    text![
        a.what,
        side,
        " by ",
        amount(a.measure, a.beyond, unit),
        seams,
        "; the ",
        what,
        " differ by ",
        if is_angle(a.measure) {
            Part::Angle(a.by)
        } else {
            Part::Length(a.by, limit_in(unit))
        },
        parts,
        a.is_estimated
            .then_some("; it rests on an estimate: measure first")
    ]
}

/// The ease in words.
fn ease(e: Ease, unit: Unit) -> Text {
    text![
        "ease ",
        text::length(e.girth, limit_in(unit)),
        " on girths, ",
        text::length(e.length, limit_in(unit)),
        " on lengths; an amount is what is beyond it"
    ]
}
