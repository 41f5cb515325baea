//! Small pictures of the hand work: a template that is trimmed, a dowel in a layer, a run that is joined, the stand.

use svg::node::element::SVG;
use svg::node::element::{Group, Path};

use crate::say::page::{Beside, Block};
use crate::say::picture;
use crate::say::picture::At;
use crate::text::Text;

/// Breadth and height of a picture, height of its letters, width of thick and thin lines, px: letters are as large
/// as those of the page on a telephone.
const WIDE: f64 = 320.0;
const HIGH: f64 = 190.0;
const LETTERS: f64 = 14.0;
const THICK: f64 = 2.2;
const THIN: f64 = 1.0;
/// Corners of a round line.
const CORNERS: u32 = 40;

/// A picture with its words under it.
type Scene = (Text, SVG);

/// Pictures side by side.
fn beside(all: impl IntoIterator<Item = Scene>) -> Block {
    Block::Pictures(Beside::Scenes, all.into_iter().collect())
}

/// How a run is stacked on its dowels and joined to the one below.
pub(super) fn run() -> Block {
    beside([dowel(), joint()])
}

/// An oval, or with `half` its right half.
fn oval((x, y): At, (across, through): At, half: bool) -> Path {
    let (from, turn) = if half { (-0.25, 0.5) } else { (0.0, 1.0) };
    let points = (0..=CORNERS).map(|k| {
        let share = from + turn * f64::from(k) / f64::from(CORNERS);
        let (sin, cos) = libm::sincos(share * std::f64::consts::TAU);
        (x + across * cos, y + through * sin)
    });
    picture::path(points, true)
}

fn rectangle((x, y): At, (w, h): At) -> Path {
    picture::path([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], true)
}

/// A line with a point at its end.
fn arrow(on: Group, from: At, to: At) -> Group {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let long = libm::hypot(dx, dy).max(1.0);
    let (dx, dy) = (dx / long * 7.0, dy / long * 7.0);
    let barb = |side: f64| (to.0 - dx - side * dy * 0.6, to.1 - dy + side * dx * 0.6);
    on.add(picture::path([from, to], false))
        .add(picture::path([barb(1.0), to, barb(-1.0)], false))
}

/// A template of two lines: traced, trimmed, traced again.
pub(super) fn trimming(half: bool) -> Block {
    let mut thick = picture::strokes("#000", THICK);
    let mut thin = picture::strokes("#000", THIN);
    let mut words = picture::lettering(LETTERS);
    let steps = ["trace", "trim", "trace again"];
    for (k, called) in steps.into_iter().enumerate() {
        let x = 8.0 + 106.0 * k as f64;
        let middle = (x + 46.0, 70.0);
        let paper = if k == 0 { (38.0, 52.0) } else { (30.0, 44.0) };
        if k == 1 {
            // What is cut off hangs beside it.
            thin = thin.add(oval(middle, (38.0, 52.0), half));
        } else {
            thin = thin.add(rectangle((x, 6.0), (92.0, 128.0)));
        }
        thick = thick.add(oval(middle, paper, half));
        if half && k != 1 {
            let left = oval((0.0, 0.0), paper, true).set(
                "transform",
                format!(
                    "translate({} {}) scale(-1 1)",
                    picture::px(middle.0),
                    middle.1
                ),
            );
            thin = thin.add(left.set("stroke-dasharray", "5 3"));
        }
        if k == 0 {
            thin = thin.add(oval(middle, (30.0, 44.0), half));
        }
        words = words.add(picture::words((x + 46.0, 156.0), "middle", called));
        if k < 2 {
            thin = arrow(thin, (x + 93.0, 152.0), (x + 105.0, 152.0));
        }
    }
    let drawn = picture::empty(
        WIDE,
        166.0,
        "a template is traced, trimmed to its next line and traced again",
    )
    .add(thin)
    .add(thick)
    .add(words);
    let said = if half {
        "Thick: the paper. Dashed: turned over along the centre line. Each line is another layer, on other stock."
    } else {
        "Thick: the paper. Each line is another layer, on other stock."
    };
    beside([(said.into(), drawn)])
}

/// Layers in section, from the lowest, each so far to the right.
fn layers(on: Group, from: At, count: usize, offset: impl Fn(usize) -> f64) -> Group {
    (0..count).fold(on, |on, k| {
        let y = from.1 - 14.0 * (k as f64 + 1.0);
        let in_by = offset(k);
        on.add(rectangle((from.0 + in_by, y), (150.0 - 2.0 * in_by, 14.0)))
    })
}

/// A dowel with its cork in a pile, and the marks on the edge.
fn dowel() -> Scene {
    let lines = layers(picture::strokes("#000", THIN), (20.0, 180.0), 7, |k| {
        k as f64
    });
    let mut thick = picture::strokes("#000", THICK);
    for x in [60.0, 122.0] {
        thick = thick
            .add(rectangle((x, 30.0), (8.0, 150.0)))
            .add(rectangle((x - 4.0, 18.0), (16.0, 12.0)));
    }
    // The small Ts make one slanting line.
    let slant: Vec<At> = (0..7)
        .map(|k| (88.0 + 3.0 * f64::from(k), 173.0 - 14.0 * f64::from(k)))
        .collect();
    for (x, y) in &slant {
        thick = thick.add(picture::path([(*x, y - 4.0), (*x, y + 4.0)], false));
    }
    let mut leads = picture::strokes("#000", THIN);
    let mut words = picture::lettering(LETTERS);
    for (to, at, said) in [
        ((136.0, 24.0), (186.0, 24.0), "cork"),
        ((130.0, 56.0), (186.0, 56.0), "dowel"),
        ((106.0, 89.0), (186.0, 89.0), "marks in one"),
        ((166.0, 140.0), (186.0, 140.0), "layer, FRONT up"),
    ] {
        leads = leads.add(picture::path([to, (at.0 - 4.0, at.1)], false));
        words = words.add(picture::words((at.0, at.1 + 5.0), "start", said));
    }
    words = words.add(picture::words((186.0, 106.0), "start", "slanting line"));
    let shows =
        "a pile of layers on two dowels with corks, the marks on its edge in one slanting line";
    let drawn = picture::empty(WIDE, HIGH, shows)
        .add(lines)
        .add(thick)
        .add(leads)
        .add(words);
    ("A run on its dowels, from the front.".into(), drawn)
}

/// A run that is lifted off the one below to be glued to it.
fn joint() -> Scene {
    let lines = layers(picture::strokes("#000", THIN), (20.0, 186.0), 4, |_| 0.0);
    let lines = layers(lines, (20.0, 100.0), 4, |k| 2.0 * k as f64);
    let mut thick = picture::strokes("#000", THICK);
    for x in [60.0, 122.0] {
        thick = thick.add(rectangle((x, 20.0), (8.0, 166.0)));
    }
    thick = thick.add(picture::path([(20.0, 128.0), (170.0, 128.0)], false));
    let mut leads = arrow(picture::strokes("#000", THIN), (40.0, 103.0), (40.0, 125.0));
    leads = arrow(leads, (150.0, 103.0), (150.0, 125.0));
    let mut words = picture::lettering(LETTERS);
    for (at, said) in [
        ((186.0, 72.0), "next run, dry"),
        ((186.0, 118.0), "a finger's breadth"),
        ((186.0, 136.0), "glue here"),
        ((186.0, 166.0), "run below"),
    ] {
        words = words.add(picture::words(at, "start", said));
    }
    let shows = "a run of layers lifted on its dowels above the glued face of the run below";
    let drawn = picture::empty(WIDE, 194.0, shows)
        .add(lines)
        .add(thick)
        .add(leads)
        .add(words);
    ("Joining a run: lift, glue, push home.".into(), drawn)
}

/// The form on its pole, or on a foot where it has none.
pub(super) fn stand(pole: bool) -> Block {
    let form = [
        (62.0, 84.0),
        (54.0, 60.0),
        (66.0, 44.0),
        (52.0, 22.0),
        (70.0, 16.0),
        (74.0, 6.0),
        (94.0, 6.0),
        (98.0, 16.0),
        (116.0, 22.0),
        (102.0, 44.0),
        (114.0, 60.0),
        (106.0, 84.0),
    ];
    let thin = picture::strokes("#000", THIN).add(picture::path(form, true));
    let mut thick = picture::strokes("#000", THICK)
        .add(rectangle((60.0, 84.0), (48.0, 5.0)))
        .add(rectangle((74.0, 90.0), (20.0, 7.0)))
        .add(rectangle((24.0, 176.0), (120.0, 8.0)))
        .add(rectangle((81.0, 97.0), (6.0, 79.0)));
    if pole {
        thick = thick.add(
            picture::path(
                [(81.0, 84.0), (81.0, 40.0), (87.0, 40.0), (87.0, 84.0)],
                false,
            )
            .set("stroke-dasharray", "4 3"),
        );
    }
    let mut leads = picture::strokes("#000", THIN);
    let mut words = picture::lettering(LETTERS);
    let collar = if pole {
        "collar and pin"
    } else {
        "flange, bolted"
    };
    for (to, at, said) in [
        ((108.0, 86.0), (166.0, 72.0), "base board"),
        ((94.0, 94.0), (166.0, 96.0), collar),
        (
            (87.0, 130.0),
            (166.0, 130.0),
            if pole { "pole" } else { "tube" },
        ),
        ((144.0, 180.0), (166.0, 176.0), "foot"),
    ] {
        leads = leads.add(picture::path([to, (at.0 - 4.0, at.1)], false));
        words = words.add(picture::words((at.0, at.1 + 5.0), "start", said));
    }
    let shows = "the form on its base board, held by a collar on the pole, on a wide foot";
    let drawn = picture::empty(WIDE, HIGH, shows)
        .add(thin)
        .add(thick)
        .add(leads)
        .add(words);
    beside([("The stand.".into(), drawn)])
}
