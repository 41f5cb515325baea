//! `[[shape.amend]]`: a swelling or dent that a fitter adds by hand.

use toml::de::DeTable;

use crate::error::{Finding, Place, Severity};
use crate::measure::Level;
use crate::sheet::facts::SheetFact;
use crate::source::{Guess, Quoting, Sort, Source, Value};
use crate::tolerance::{AMEND_MOST_MM, AMEND_REACH_MM};
use crate::units;
use crate::units::Unit;

/// More amendments than this were not typed by a fitter. Our choice: every level of the trunk in eight
/// directions is 64.
const MOST_AMENDS: usize = 100;
/// A mean body's distance from its middle, mm at scale 1: turns reach along the skin into an angle. Our
/// choice.
const USUAL_RADIUS_MM: f64 = 150.0;
/// Half widths that keep the outline simple, degrees. Our choice.
const HALF_WIDTHS: [f64; 2] = [14.0, 75.0];
/// Mean stature of the women of the 1988 US Army survey, mm: a body of scale 1.
const USUAL_STATURE_MM: f64 = 1629.4;
/// Amendments are added up every so many degrees, and so many times from one level to the next. Our
/// choice: directions that a sheet names are nine steps apart.
const STEP_DEGREES: u32 = 5;
const STEPS_BETWEEN: u32 = 4;
/// What rounding may add to such a sum, mm.
const SUM_EPS_MM: f64 = 1e-6;
/// Reach where the sheet names none, mm. Our choice: a hand's breadth.
const USUAL_REACH_MM: f64 = 80.0;

/// A local correction of the shape that leaves every reading as it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Amend {
    /// At which level.
    pub level: Level,
    /// In which direction.
    pub towards: Towards,
    /// How far out, mm; less than nothing is a dent.
    pub by: f64,
    /// How far it reaches up, down and to the sides, mm.
    pub reach: f64,
    /// Where it stands in the sheet.
    pub place: Place,
}

impl Amend {
    /// Half its width, degrees, on a body of this scale (1 for an average adult).
    pub(crate) fn half_width(&self, scale: f64) -> f64 {
        let [narrowest, widest] = HALF_WIDTHS;
        (self.reach / (USUAL_RADIUS_MM * scale))
            .to_degrees()
            .clamp(narrowest, widest)
    }
}

/// What is left of an amendment of 1 beside its middle: `rho2` is the square of the distance as a part
/// of how far it reaches. Twice smooth at its edge.
pub(crate) fn left_beside(rho2: f64) -> f64 {
    if rho2 >= 1.0 {
        return 0.0;
    }
    (1.0 - rho2) * (1.0 - rho2) * (1.0 - rho2).sqrt()
}

/// By how many degrees two directions differ, less than half a turn either way.
pub(crate) fn degrees_apart(a: f64, b: f64) -> f64 {
    (a - b + 180.0).rem_euclid(360.0) - 180.0
}

/// A direction from the middle of the body, left and right being the wearer's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Towards {
    /// Straight front.
    Front,
    /// Between front and right.
    FrontRight,
    /// Straight right.
    Right,
    /// Between back and right.
    BackRight,
    /// Straight back.
    Back,
    /// Between back and left.
    BackLeft,
    /// Straight left.
    Left,
    /// Between front and left.
    FrontLeft,
    /// Left and right alike.
    Sides,
    /// Front left and front right alike.
    FrontSides,
    /// Back left and back right alike.
    BackSides,
}

impl Towards {
    const ALL: [(&'static str, Self); 11] = [
        ("front", Self::Front),
        ("front right", Self::FrontRight),
        ("right", Self::Right),
        ("back right", Self::BackRight),
        ("back", Self::Back),
        ("back left", Self::BackLeft),
        ("left", Self::Left),
        ("front left", Self::FrontLeft),
        ("sides", Self::Sides),
        ("front sides", Self::FrontSides),
        ("back sides", Self::BackSides),
    ];

    /// Degrees from straight front to the wearer's right; two where both sides are meant.
    #[must_use]
    pub const fn degrees(self) -> &'static [f64] {
        match self {
            Self::Front => &[0.0],
            Self::FrontRight => &[45.0],
            Self::Right => &[90.0],
            Self::BackRight => &[135.0],
            Self::Back => &[180.0],
            Self::BackLeft => &[-135.0],
            Self::Left => &[-90.0],
            Self::FrontLeft => &[-45.0],
            Self::Sides => &[-90.0, 90.0],
            Self::FrontSides => &[-45.0, 45.0],
            Self::BackSides => &[-135.0, 135.0],
        }
    }

    /// Whether it changes one half of the body only.
    #[must_use]
    pub const fn is_one_sided(self) -> bool {
        matches!(
            self,
            Self::FrontRight
                | Self::Right
                | Self::BackRight
                | Self::BackLeft
                | Self::Left
                | Self::FrontLeft
        )
    }

    /// Its name in the sheet.
    #[must_use]
    pub fn name(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(_, t)| *t == self)
            .map_or("", |(name, _)| name)
    }
}

/// Levels at which the trunk may be amended, and how far above the natural waist they lie on a body of
/// scale 1, mm: means of the women of the 1988 US Army survey; top hip and mid armscye half-way; abdomen
/// and underbust, which it has not, by our choice.
const LEVELS: [(Level, f64); 8] = [
    (Level::Hip, -218.0),
    (Level::TopHip, -109.0),
    (Level::Abdomen, -95.0),
    (Level::Waist, 0.0),
    (Level::Underbust, 65.0),
    (Level::Bust, 118.0),
    (Level::Armpit, 177.0),
    (Level::MidArmscye, 227.0),
];

/// Reads the list of tables `shape.amend`.
pub(super) fn read<'a>(source: &mut Source<'a>, value: &Value<'a>, unit: Unit) -> Vec<Amend> {
    let Some(list) = value.get_ref().as_array() else {
        let is = Sort::of(value.get_ref());
        source.refuse(value.span(), SheetFact::NoAmends { is });
        return Vec::new();
    };
    if list.len() > MOST_AMENDS {
        let (count, most) = (list.len(), MOST_AMENDS);
        source.refuse(value.span(), SheetFact::ManyAmends { count, most });
        return Vec::new();
    }
    let mut all = Vec::new();
    for item in list.iter() {
        if let Some(table) = item.get_ref().as_table() {
            all.extend(one(source, item, table, unit));
        } else {
            source.wrong_type("shape.amend", item, "a table");
        }
    }
    all
}

fn one<'a>(
    source: &mut Source<'a>,
    item: &Value<'a>,
    table: &DeTable<'a>,
    unit: Unit,
) -> Option<Amend> {
    const KNOWN: [&str; 4] = ["level", "towards", "by", "reach"];
    let (mut level, mut towards, mut by, mut reach) = (None, None, None, Some(USUAL_REACH_MM));
    let mut seen = [false; 3];
    for (key, value) in table {
        match key.get_ref().as_ref() {
            "level" => {
                seen[0] = true;
                let names = LEVELS.map(|(l, _)| (l.name(), l));
                level = source.choice("shape.amend.level", value, &names);
            }
            "towards" => {
                seen[1] = true;
                towards = source.choice("shape.amend.towards", value, &Towards::ALL);
            }
            "by" => {
                seen[2] = true;
                let most = AMEND_MOST_MM;
                by = within(source, "shape.amend.by", value, unit, [-most, most]);
            }
            "reach" => {
                reach = within(source, "shape.amend.reach", value, unit, AMEND_REACH_MM);
            }
            other => source.refuse(
                key.span(),
                SheetFact::UnknownOfAmend {
                    key: units::clip(other),
                    guess: Guess::of(other, &KNOWN, Quoting::Keys),
                },
            ),
        }
    }
    for (name, _) in KNOWN.iter().zip(seen).filter(|(_, seen)| !seen) {
        let key = (*name).to_owned();
        source.refuse(item.span(), SheetFact::AmendLacks { key });
    }
    let amend = Amend {
        level: level?,
        towards: towards?,
        by: by?,
        reach: reach?,
        place: source.place(&item.span()),
    };
    // A form changed by hand says so.
    let fact = SheetFact::Amended {
        level: amend.level,
        towards: amend.towards.name(),
        by: (amend.by, unit),
    };
    source.push(Finding::of(Severity::Note, fact).at(amend.place.clone()));
    Some(amend)
}

/// Refuses amendments that are more than one may be where they lie over one another. `stature` is that of
/// the sheet, mm.
pub(super) fn together(source: &mut Source<'_>, all: &[Amend], stature: Option<f64>, unit: Unit) {
    let scale = stature.unwrap_or(USUAL_STATURE_MM) / USUAL_STATURE_MM;
    let height = |level: Level| {
        let found = LEVELS.iter().find(|(l, _)| *l == level);
        found.map_or(0.0, |(_, z)| scale * z)
    };
    // What each adds at a spot.
    let at = |amend: &Amend, z: f64, beta: f64| -> f64 {
        let up = (z - height(amend.level)) / amend.reach;
        let width = amend.half_width(scale);
        let turned = amend.towards.degrees().iter().map(|centre| {
            let aside = degrees_apart(beta, *centre) / width;
            left_beside(up * up + aside * aside)
        });
        amend.by * turned.sum::<f64>()
    };
    let mut worst: Option<Spot> = None;
    for (i, (level, z)) in LEVELS.iter().enumerate() {
        let above = LEVELS.get(i + 1).map_or(*z, |(_, z)| *z);
        for step in 0..STEPS_BETWEEN {
            let z = scale * (z + (above - z) * f64::from(step) / f64::from(STEPS_BETWEEN));
            for beta in (0..360 / STEP_DEGREES).map(|k| f64::from(k * STEP_DEGREES)) {
                let sum: f64 = all.iter().map(|a| at(a, z, beta)).sum();
                if sum.abs()
                    > worst
                        .as_ref()
                        .map_or(AMEND_MOST_MM + SUM_EPS_MM, |w| w.sum.abs() + SUM_EPS_MM)
                {
                    worst = Some(Spot {
                        level: *level,
                        on_level: step == 0,
                        z,
                        beta,
                        sum,
                    });
                }
            }
        }
    }
    let Some(spot) = worst else { return };
    let adding: Vec<&Amend> = all
        .iter()
        .filter(|a| at(a, spot.z, spot.beta) * spot.sum.signum() > SUM_EPS_MM)
        .collect();
    let Some(latest) = adding.last() else { return };
    let fact = SheetFact::AmendsAddUp {
        lines: adding.iter().map(|a| a.place.line).collect(),
        sum: (spot.sum, unit),
        above: !spot.on_level,
        level: spot.level,
        towards: spot.direction().name(),
        most: AMEND_MOST_MM,
    };
    source.push(Finding::of(Severity::Refusal, fact).at(latest.place.clone()));
}

/// Where amendments add up to most.
struct Spot {
    level: Level,
    /// At the level itself, not above it.
    on_level: bool,
    z: f64,
    beta: f64,
    sum: f64,
}

impl Spot {
    /// The direction of a sheet that is nearest.
    fn direction(&self) -> Towards {
        let apart = |t: &Towards| degrees_apart(self.beta, t.degrees()[0]).abs();
        Towards::ALL
            .into_iter()
            .filter(|(_, t)| t.degrees().len() == 1)
            .min_by(|(_, a), (_, b)| apart(a).total_cmp(&apart(b)))
            .map_or(Towards::Front, |(_, towards)| towards)
    }
}

/// A length between two bounds (mm), or a refusal that names them.
fn within(
    source: &mut Source<'_>,
    key: &str,
    value: &Value<'_>,
    unit: Unit,
    [low, high]: [f64; 2],
) -> Option<f64> {
    let mm = source.length(key, value, unit)?;
    if (low..=high).contains(&mm) {
        return Some(mm);
    }
    let fact = SheetFact::AmendOutOfRange {
        key: key.to_owned(),
        is: (mm, unit),
        low,
        high,
    };
    source.refuse(value.span(), fact);
    None
}
