//! What to expect of the shape before a single section is looked at: mean and spread of every
//! parameter, from stature and the main girths.

use std::sync::LazyLock;

use nalgebra::DMatrix;

use crate::sheet::{Averages, Breasts, Figure};
use crate::survey;
use crate::survey::{Line, On, Row};
use crate::torso::main_measures::Core;
use crate::torso::param::{COUNT, Param, Values, bounds};
use crate::torso::posture::whitening;
use crate::torso::profile::smax;
use crate::torso::style::{Build, Proportions, Sided, Style};

/// Mean, spread and bounds of the parameters.
#[derive(Clone, Debug)]
pub(crate) struct Prior {
    pub(crate) mean: Values,
    pub(crate) sd: Values,
    pub(crate) low: Values,
    pub(crate) high: Values,
    /// Whitening: parameters are `mean + spread * u` with `u` standard normal.
    pub(crate) spread: DMatrix<f64>,
    pub(crate) style: Style,
}

/// The tables of one figure, read once.
struct Tables {
    levels: Vec<(Param, Line)>,
    shape: Vec<Share>,
    widening: Vec<(Param, f64)>,
    /// What differs from side to side, whether the readings tell of it, and the spread of the half-difference at
    /// scale 1.
    sides: Vec<(Param, Told, f64)>,
}

/// A row of `shape.csv` for one figure: where a parameter lies as a share of something, and how far off it
/// may be.
struct Share {
    param: Param,
    share: f64,
    per_waist_over: f64,
    of: Size,
    sd: f64,
    sd_of: Size,
}

/// Whether the readings tell of a difference of the sides.
type Told = fn(Sided) -> bool;

/// What a parameter is a share of.
type Size = fn(&Sizes<'_>) -> f64;

impl Tables {
    fn of(figure: Figure) -> &'static Self {
        static READ: LazyLock<[Tables; 3]> =
            LazyLock::new(|| [Figure::Woman, Figure::Man, Figure::Child].map(Tables::read));
        match figure {
            Figure::Woman => &READ[0],
            Figure::Man => &READ[1],
            Figure::Child => &READ[2],
        }
    }

    fn read(figure: Figure) -> Self {
        let number = |row: Row<'_>| row.number(figure.several());
        let levels = survey::LEVELS.rows();
        let shape = survey::SHAPE.rows().map(|row| Share {
            param: param(row),
            share: number(row),
            per_waist_over: row.may("per_waist_over").unwrap_or(0.0),
            of: size(row, "of"),
            sd: row.number("sd"),
            sd_of: size(row, "sd_of"),
        });
        let widening = survey::WIDENING.rows();
        let sides = survey::SIDES.rows();
        Self {
            levels: levels
                .filter(|row| row.text("figure") == figure.name())
                .map(|row| (param(row), Line::of(row, Some("unsure"))))
                .collect(),
            shape: shape.collect(),
            widening: widening.map(|row| (param(row), number(row))).collect(),
            sides: sides
                .map(|row| (param(row), told(row), row.number("sd")))
                .collect(),
        }
    }
}

fn param(row: Row<'_>) -> Param {
    match Param::from_name(row.text("parameter")) {
        Some(param) => param,
        None => row.wrong("parameter", "is no parameter"),
    }
}

/// Which readings tell of a row of `sides.csv`.
fn told(row: Row<'_>) -> Told {
    match row.text("told_by") {
        "shoulders" => |sided| sided.shoulders,
        "bust" => |sided| sided.bust,
        "hips" => |sided| sided.hips,
        "middle" => |sided| sided.middle,
        _ => row.wrong("told_by", "is no place"),
    }
}

/// What `shape.csv` has shares of; it says what each is.
fn size(row: Row<'_>, column: &str) -> Size {
    match row.text(column) {
        "one" => |_| 1.0,
        "scale" => |s| s.scale,
        "stature" => |s| s.tall,
        "bust" => |s| s.core.bust,
        "waist" => |s| s.trunk_waist,
        "hip" => |s| s.core.hip,
        "underbust" => |s| s.core.underbust,
        "neck" => |s| s.core.neck,
        "neck radius" => |s| s.core.neck / std::f64::consts::TAU,
        "top hip" => |s| s.core.top_hip(&s.figure.into(), s.build.pregnant),
        "trunk at the bust" => |s| s.trunk_at_bust(),
        "usual chest" => |s| s.usual_chest(),
        "hip beyond waist" => |s| s.core.hip - s.trunk_waist,
        _ => row.wrong(column, "is no size"),
    }
}

/// Mean and spread of one figure while they are put together, and what its style hangs on.
struct Draft {
    mean: Values,
    sd: Values,
    look: Proportions,
}

impl Draft {
    /// What is expected of a figure with these main measures.
    fn new(core: &Core, build: Build, figure: Figure) -> Self {
        let tables = Tables::of(figure);
        let sizes = Sizes::new(core, build, figure);
        let scale = sizes.scale;
        let mut draft = Self {
            mean: [0.0; COUNT],
            sd: [0.0; COUNT],
            look: Proportions {
                stature: sizes.tall,
                scale,
                waist_over: sizes.waist_over,
                full_bust: sizes.full_bust(),
                over_ribs: ((core.waist - sizes.trunk_waist) / (0.04 * core.waist)).clamp(0.0, 1.0),
            },
        };
        for (q, line) in &tables.levels {
            sizes.put_level(&mut draft, *q, line);
        }
        for row in &tables.shape {
            let share = row.share + row.per_waist_over * sizes.waist_over;
            let mean = share * (row.of)(&sizes);
            draft.put(row.param, mean, row.sd * (row.sd_of)(&sizes));
        }
        sizes.finish_levels(&mut draft);
        sizes.finish_trunk(&mut draft);
        sizes.put_back_line(&mut draft);
        sizes.put_breast_and_abdomen(&mut draft);
        sizes.fill_front(&mut draft);
        let (drop, height) = (core.waist_drop, core.waist_height);
        draft.put(Param::WaistTapeDrop, drop.0, drop.1);
        draft.put(Param::WaistHeight, height.0, height.1);
        if build.pregnant {
            // What the tape finds at the waist is the abdomen, not the trunk behind it.
            for q in [Param::WaistHalf, Param::WaistDepth] {
                draft.sd[q as usize] *= 0.4;
            }
        }
        for (q, told, spread) in &tables.sides {
            if told(build.sided) {
                draft.sd[*q as usize] = spread * scale;
            }
        }
        for (q, wider) in &tables.widening {
            draft.sd[*q as usize] *= wider;
        }
        draft
    }

    fn put(&mut self, q: Param, mean: f64, sd: f64) {
        self.mean[q as usize] = mean;
        self.sd[q as usize] = sd;
    }

    fn add(&mut self, q: Param, more: f64) {
        self.mean[q as usize] += more;
    }

    fn mean(&self, q: Param) -> f64 {
        self.mean[q as usize]
    }
}

impl Prior {
    /// Starts from `levels.csv` and `shape.csv` and adds what is no plain share of one measure. A number
    /// here was set by eye on rendered figures and corrected towards the means of the 1988 and 2012 US Army
    /// surveys, unless something else is said beside it.
    pub(crate) fn new(core: &Core, build: Build) -> Self {
        let averages = build.averages;
        let of = |figure| Draft::new(core, build, figure);
        let (mean, sd, look) = match averages.only() {
            Some(figure) => {
                let Draft { mean, sd, look } = of(figure);
                (mean, sd, look)
            }
            None => in_shares(&averages, &of),
        };
        let spread = whitening(&mean, &sd, look.stature, look.scale);
        let (low, high) = bounds();
        Self {
            mean,
            sd,
            low,
            high,
            spread,
            style: Style::new(build, look),
        }
    }
}

/// The drafts of several figures in shares.
fn in_shares(averages: &Averages, of: &dyn Fn(Figure) -> Draft) -> (Values, Values, Proportions) {
    let drafts: Vec<(Figure, Draft)> = averages.parts().map(|(f, _)| (f, of(f))).collect();
    // Only figures with a share are asked for.
    let of = |figure| {
        let here = |(f, _): &&(Figure, Draft)| *f == figure;
        drafts.iter().find(here).map_or(&drafts[0].1, |(_, d)| d)
    };
    let (mut mean, mut sd) = ([0.0; COUNT], [0.0; COUNT]);
    for q in 0..COUNT {
        (mean[q], sd[q]) = averages.spread(|figure| (of(figure).mean[q], of(figure).sd[q]));
    }
    let number =
        |of_look: fn(&Proportions) -> f64| averages.number(|figure| of_look(&of(figure).look));
    let look = Proportions {
        stature: number(|l| l.stature),
        scale: number(|l| l.scale),
        waist_over: number(|l| l.waist_over),
        full_bust: number(|l| l.full_bust),
        over_ribs: number(|l| l.over_ribs),
    };
    (mean, sd, look)
}

/// What a usual bust girth is more than the underbust, mm at scale 1.
const USUAL_CUP: f64 = 130.0;

/// What shapes are shares of, for one body, in mm.
struct Sizes<'a> {
    core: &'a Core,
    build: Build,
    figure: Figure,
    tall: f64,
    /// 1 for an average adult.
    scale: f64,
    /// Waist girth without a pregnant abdomen, which is carried by its own prominence.
    trunk_waist: f64,
    /// Bust girth less underbust girth.
    cup: f64,
    /// 0 where the waist girth is 0.42 of stature, 1 where it is 0.67.
    waist_over: f64,
}

impl<'a> Sizes<'a> {
    fn new(core: &'a Core, build: Build, figure: Figure) -> Self {
        let tall = core.stature;
        let (trunk_waist, waist_over) = if build.pregnant {
            (core.waist.min(0.86 * core.bust), 0.0)
        } else {
            let waist_over = (core.waist / tall - 0.42) / 0.25;
            let most = if figure == Figure::Woman {
                1.04 * core.underbust
            } else {
                f64::INFINITY
            };
            (core.waist.min(most), waist_over.clamp(-0.3, 1.2))
        };
        // The statures at which the shapes were drawn.
        let drawn = if figure == Figure::Man {
            1755.0
        } else {
            1649.0
        };
        Self {
            core,
            build,
            figure,
            tall,
            scale: tall / drawn,
            trunk_waist,
            cup: (core.bust - core.underbust).max(0.0),
            waist_over,
        }
    }

    fn pick(&self, woman: f64, man: f64, child: f64) -> f64 {
        match self.figure {
            Figure::Woman => woman,
            Figure::Man => man,
            Figure::Child => child,
        }
    }

    /// Whether there are breasts in front of the trunk.
    fn breasted(&self) -> bool {
        self.build.breasts(self.figure) != Breasts::Flat
    }

    /// How full a bust is: 0 for a usual one, 1 where it is 300 mm more than the underbust (at scale 1).
    fn full_bust(&self) -> f64 {
        ((self.cup / self.scale - USUAL_CUP) / 170.0).clamp(0.0, 1.3)
    }

    /// Girth of the trunk at the bust without the breasts.
    fn trunk_at_bust(&self) -> f64 {
        if self.breasted() {
            self.core.underbust
        } else {
            self.core.bust
        }
    }

    /// What that usually is for this stature.
    fn usual_chest(&self) -> f64 {
        self.pick(0.48, 0.57, 0.515) * self.tall
    }

    /// Puts a level, or a point of the neck, where `levels.csv` has it.
    fn put_level(&self, draft: &mut Draft, q: Param, line: &Line) {
        let (core, tall) = (self.core, self.tall);
        let child = self.figure == Figure::Child;
        let value = line.value(|on| {
            // The armpit of a child hangs on its chest only as far as that is usual.
            if child && on == On::Bust {
                core.bust.min(0.66 * tall)
            } else {
                core.on(on).0
            }
        });
        let mean = match q {
            // The fullest girth of the seat lies a little below its greatest prominence, which the survey
            // has: 10 mm in adults, set by eye on rendered figures; the table has what it is in children.
            Param::HipLevel => -(self.pick(10.0, 10.0, 0.0) + value),
            Param::SideNeckRise => -value,
            // The survey has no bust beyond 1200 mm: past the range it knows, a bust held by a bra sinks
            // less and less.
            Param::BustDrop if self.breasted() => {
                let usual = 0.143 * tall;
                usual + soft_limit(value - usual, 0.022 * tall)
            }
            _ => value,
        };
        draft.put(q, mean, line.sd(|on| core.on(on)));
    }

    /// What a level has to do with other levels.
    fn finish_levels(&self, draft: &mut Draft) {
        let tall = self.tall;
        if self.breasted() {
            // And never to the waist.
            let lowest = draft.mean(Param::Nape) - 0.068 * tall;
            let drop = draft.mean(Param::BustDrop).min(lowest);
            draft.mean[Param::BustDrop as usize] = drop;
        }
        let fold = if self.breasted() {
            // What hangs lower than usual reaches lower than usual.
            0.042 * tall + 0.12 * (self.cup - USUAL_CUP) + 26.0 * self.scale * self.full_bust()
        } else {
            0.036 * tall
        };
        // The fold lies between bust and waist, however short the distance.
        let above = draft.mean(Param::Nape) - draft.mean(Param::BustDrop);
        let most = (0.56 + 0.14 * self.full_bust()) * above;
        let fold = fold.max(0.026 * tall).min(most);
        draft.put(Param::UnderbustDrop, fold, 0.006 * tall);
    }

    /// What breadths and depths are beyond a share of one girth.
    ///
    /// What the neck base is longer than the neck girth (`expectations.csv`) is its slope and the fillet to
    /// the shoulder: the column itself goes straight down into the shoulders, leaning forward, and does not
    /// widen upwards. So both half breadths of the neck are the same share in `shape.csv`.
    fn finish_trunk(&self, draft: &mut Draft) {
        let (waist_over, bust) = (self.waist_over, self.core.bust);
        if self.breasted() {
            // The ribs of a full bust are broader than those of another of the same underbust girth, and no
            // narrower than below.
            let broader =
                draft.mean(Param::BustHalf) + 0.062 * self.cup - 0.006 * waist_over * bust;
            let below = draft.mean(Param::UnderbustHalf);
            draft.mean[Param::BustHalf as usize] =
                smax(broader, below, 0.008 * self.core.underbust);
            let full = (self.cup / (150.0 * self.scale)).min(1.3);
            draft.add(Param::BustSquare, 0.3 * (full - 1.0));
        } else {
            draft.add(Param::BustHalf, -(0.004 * waist_over * bust));
        }
        // Where the waist nears the underbust girth the side runs straight from the ribs to it: what the underbust girth lacks,
        // it lacks in front.
        let below = draft.mean(Param::UnderbustHalf);
        let straight = 0.5 * (draft.mean(Param::BustHalf) + draft.mean(Param::WaistHalf));
        let wider = smax(below, straight - 5.0 * self.scale, 8.0 * self.scale) - below;
        draft.add(Param::UnderbustHalf, wider);
        draft.add(Param::UnderbustDepth, -1.8 * wider);
        draft.add(Param::BustDepth, 0.012 * waist_over * bust);
        let beyond_usual = self.trunk_at_bust() - self.usual_chest();
        draft.add(Param::ChestDepth, 0.13 * beyond_usual);
        // A seat stands out with the hip girth; 0.58 of stature is a usual one.
        let seat = draft.mean(Param::Buttock) * self.core.hip / (0.58 * self.tall);
        draft.mean[Param::Buttock as usize] = seat;
        draft.add(Param::HipDepth, -(0.4 * seat));
    }

    /// The line of the back: above the waist a bow that the levels sit on, so that a short distance from
    /// waist to bust does not make a step.
    fn put_back_line(&self, draft: &mut Draft) {
        let scale = self.scale;
        draft.add(Param::BackHip, -(self.pick(0.0, 4.0, 2.0) * scale));
        let broader = self.core.underbust - 0.485 * self.tall;
        draft.add(Param::BackNape, -(0.03 * broader));
        let bow = |z: f64| {
            let x = z / scale;
            -self.pick(1.0, 0.92, 0.66) * scale * (0.1935 * x - 0.0003 * x * x)
        };
        let nape = draft.mean(Param::Nape);
        let bust = nape - draft.mean(Param::BustDrop);
        let underbust = bust - draft.mean(Param::UnderbustDrop);
        let chest = nape - 0.5 * (draft.mean(Param::ArmpitDrop) + 0.035 * self.tall);
        draft.put(Param::BackUnderbust, bow(underbust), 8.0 * scale);
        draft.put(Param::BackBust, bow(bust), 9.0 * scale);
        draft.put(Param::BackChest, bow(chest), 10.0 * scale);
    }

    /// No edge runs under the chest of a man or a child: the front line at the underbust lies little further back
    /// than a straight one from chest to abdomen, a third of the way down.
    fn fill_front(&self, draft: &mut Draft) {
        if self.breasted() {
            return;
        }
        let m = |q: Param| draft.mean(q);
        let chest = m(Param::BackBust) + m(Param::BustDepth);
        let abdomen = m(Param::WaistDepth) + 0.6 * m(Param::Abdomen);
        let here = m(Param::BackUnderbust) + m(Param::UnderbustDepth);
        let straight = chest + 0.4 * (abdomen - chest) + 3.0 * self.scale;
        let further = smax(here, straight, 6.0 * self.scale) - here;
        draft.add(Param::UnderbustDepth, further);
    }

    fn put_breast_and_abdomen(&self, draft: &mut Draft) {
        let scale = self.scale;
        let (breast, unsure) = if self.breasted() {
            ((0.42 * self.cup).max(6.0), 10.0 * scale + 0.05 * self.cup)
        } else {
            let adult = (6.0 * scale, 3.0 * scale);
            (
                self.pick(adult.0, adult.0, 1.0),
                self.pick(adult.1, adult.1, 1.5),
            )
        };
        draft.put(Param::Breast, breast, unsure);
        let beyond = (self.core.waist - self.trunk_waist).max(0.0);
        let (abdomen, sd) = if self.build.pregnant {
            (0.75 * beyond, 40.0 * scale)
        } else {
            let waist_over = self.waist_over.max(0.0);
            let usual = self.pick(5.0, 6.0, 7.0) * scale * (1.0 + 5.0 * waist_over);
            (
                usual + 0.3 * beyond,
                (5.0 + 5.0 * waist_over) * scale + 0.3 * beyond,
            )
        };
        draft.put(Param::Abdomen, abdomen, sd);
    }
}

/// A shift that runs straight near zero and levels off at `most` either way.
fn soft_limit(shift: f64, most: f64) -> f64 {
    most * libm::tanh(shift / most)
}
