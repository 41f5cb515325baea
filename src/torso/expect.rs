//! What surveys lead one to expect of measurements that were not taken, given those that were.
//!
//! Each row of `expectations.csv` and `hints.csv` enters the fit as a soft reading.

use std::sync::LazyLock;

use crate::measure::{Kind, Measure};
use crate::sheet::{Averages, Figure, Sheet, WaistKind, led_to};
use crate::survey;
use crate::survey::{Line, On};
use crate::torso::main_measures::Core;

/// Expectations overlap (several tell of the same part of the body), so each is trusted a little less
/// than its own spread says. Calibrated on the people kept out of every regression, so that nine to
/// ten of ten true values lie within the plus-or-minus.
const DOUBLE_COUNT: f64 = 1.25;
/// The same for heights of adults, which stand on one another: three of them tell of one.
const DOUBLE_COUNT_HEIGHT: f64 = 1.6;

/// Breadth and depth at the navel: the surveys of 1988 and 2012 lie up to 14 mm apart there, so that a line
/// through one of them is trusted this much less. Set so that the plus-or-minus covers both.
const TWO_SURVEYS: f64 = 1.6;

/// What little else tells of on men: trusted as its own spread says. Calibrated on four of five men
/// (the one of five is left to judge it).
const ALONE_ON_MEN: [Measure; 4] = [
    Measure::GirthArmscye,
    Measure::LengthSideNeckToBust,
    Measure::LengthScyeDepth,
    Measure::BreadthBust,
];

/// One expectation.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Expected {
    pub(crate) measure: Measure,
    pub(crate) value: f64,
    pub(crate) sd: f64,
}

/// The lines of `expectations.csv`, each with its figure and measure.
static EXPECTATIONS: LazyLock<Vec<(&str, Measure, Line)>> = LazyLock::new(|| {
    let rows = survey::EXPECTATIONS.rows();
    rows.map(|row| {
        let line = Line::of(row, None);
        (row.text("figure"), row.measure("measure"), line)
    })
    .collect()
});

/// A line of `hints.csv`.
struct Hint {
    figure: &'static str,
    measure: Measure,
    from: Measure,
    line: Line,
}

static HINTS: LazyLock<Vec<Hint>> = LazyLock::new(|| {
    let rows = survey::HINTS.rows();
    rows.map(|row| Hint {
        figure: row.text("figure"),
        measure: row.measure("measure"),
        from: row.measure("from"),
        line: Line::of(row, None),
    })
    .collect()
});

/// What a line predicts: what its predictors are unsure of adds to its own spread.
fn predict(core: &Core, figure: Figure, measure: Measure, line: &Line) -> Expected {
    let overlap = if figure == Figure::Man && ALONE_ON_MEN.contains(&measure) {
        1.0
    } else if measure.kind() == Kind::Height && figure != Figure::Child {
        DOUBLE_COUNT_HEIGHT
    } else {
        DOUBLE_COUNT
    };
    Expected {
        measure,
        value: line.value(|on| core.on(on).0),
        sd: line.sd(|on| core.on(on)) * overlap,
    }
}

/// What to expect: what was not read, or what was read as well (to judge it).
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Of {
    Missing,
    Everything,
}

/// Expectations of everything that the sheet does not give, measures of arms, legs and bones
/// included where they tell something about the torso.
pub(crate) fn expectations(sheet: &Sheet, core: &Core, pregnant: bool, of: Of) -> Vec<Expected> {
    let mut all = in_shares(&sheet.averages, &|figure| {
        of_figure(figure, sheet, core, pregnant)
    });
    above_the_seat(&mut all, core);
    if of == Of::Missing {
        all.retain(|e| sheet.value(e.measure).is_none());
    }
    if sheet.value(Measure::SlopeShoulder).is_some() {
        all.retain(|e| e.measure != Measure::ShoulderDrop);
    }
    all
}

/// Heights above the floor as somebody who sits has them above the seat.
fn above_the_seat(all: &mut [Expected], core: &Core) {
    let Some((seat, _)) = core.seat else { return };
    let heights = all.iter_mut().filter(|e| e.measure.kind() == Kind::Height);
    heights.for_each(|e| e.value -= seat);
}

/// What the figures with a share lead one to expect, in shares. What only some of them tell of is theirs.
fn in_shares(averages: &Averages, of: &dyn Fn(Figure) -> Vec<Expected>) -> Vec<Expected> {
    let each: Vec<(Figure, f64, Vec<Expected>)> = averages
        .parts()
        .map(|(figure, share)| (figure, share, of(figure)))
        .collect();
    let mut all: Vec<Expected> = Vec::new();
    for one in each.iter().flat_map(|(.., told)| told) {
        if all.iter().any(|e| e.measure == one.measure) {
            continue;
        }
        let of_figure = |figure: Figure| {
            let (_, share, told) = each.iter().find(|(f, ..)| *f == figure)?;
            let told = told.iter().find(|e| e.measure == one.measure)?;
            Some((*share, (told.value, told.sd)))
        };
        let among = Averages::new(|f| of_figure(f).map_or(0.0, |(share, _)| share));
        let (value, sd) =
            among.spread(|f| of_figure(f).map_or((one.value, one.sd), |(_, told)| told));
        all.push(Expected {
            measure: one.measure,
            value,
            sd,
        });
    }
    all
}

/// What the surveys of one figure lead one to expect.
fn of_figure(figure: Figure, sheet: &Sheet, core: &Core, pregnant: bool) -> Vec<Expected> {
    let mut all: Vec<Expected> = EXPECTATIONS
        .iter()
        .filter(|(name, ..)| *name == figure.name())
        .map(|(_, measure, line)| predict(core, figure, *measure, line))
        .collect();
    // The lines are of lengths to the natural waist: a waist taken lower makes them longer by as much.
    for e in &mut all {
        if e.measure == Measure::LengthFrontWaist {
            e.value += core.waist_drop.0;
            e.sd = libm::hypot(e.sd, core.waist_drop.1);
        }
    }
    let [_, bust, _, hip, underbust, back, neck] = core.sd;
    // The tape round the top hip takes a pregnant abdomen along (from memory).
    let (top_hip, top_hip_sd) = if pregnant {
        (
            core.top_hip(&figure.into(), true).max(0.99 * core.waist),
            0.06,
        )
    } else {
        (core.top_hip(&figure.into(), false), 0.035)
    };
    // Under the chest of a man or a child nobody measured: what is expected there must not pull an edge in.
    let unsure = |measure| match measure {
        Measure::GirthUnderbust if figure != Figure::Woman => 0.02,
        _ => 0.0,
    };
    for (measure, value, sd) in [
        (Measure::GirthBust, core.bust, bust),
        (Measure::GirthHip, core.hip, hip),
        (Measure::GirthUnderbust, core.underbust, underbust),
        (Measure::GirthNeck, core.neck, neck),
        (Measure::GirthTopHip, top_hip, top_hip_sd * top_hip),
    ] {
        all.push(Expected {
            measure,
            value,
            sd: sd.max(0.01 * value).max(unsure(measure) * value),
        });
    }
    // Nape and waist are each expected from other things: how far apart they are is known better.
    let (drop, drop_sd) = core.waist_drop;
    all.push(Expected {
        measure: Measure::LengthBackWaist,
        value: core.back + drop,
        sd: libm::hypot(back, drop_sd),
    });
    if sheet.waist == WaistKind::Navel
        && !pregnant
        && let Some(girth) = sheet.value(Measure::GirthWaist)
    {
        let there = led_to(figure, Measure::GirthWaist, girth);
        all.extend(there.map(|(measure, value, sd)| Expected {
            measure,
            value,
            sd: sd * TWO_SURVEYS,
        }));
    }
    // Of two hints at one measure the first that was taken is heard.
    let mut hinted: Vec<Measure> = Vec::new();
    let here = |hint: &&Hint| hint.figure == figure.name();
    for hint in HINTS.iter().filter(here) {
        let Some(reading) = sheet.value(hint.from) else {
            continue;
        };
        if hinted.contains(&hint.measure) {
            continue;
        }
        hinted.push(hint.measure);
        let above_floor = match core.seat {
            Some((seat, _)) if hint.from.kind() == Kind::Height => reading + seat,
            _ => reading,
        };
        let on = |on: On| match on {
            On::Reading => above_floor,
            main => core.on(main).0,
        };
        // Of the hip the readings that an armpit came from tell as well.
        let overlap = match hint.measure {
            Measure::HeightHip => DOUBLE_COUNT_HEIGHT,
            _ => 1.0,
        };
        all.retain(|e| e.measure != hint.measure);
        all.push(Expected {
            measure: hint.measure,
            value: hint.line.value(on),
            sd: hint.line.own_sd(on) * overlap,
        });
    }
    all
}
