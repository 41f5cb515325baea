//! `[[shape.amend]]`: a swelling or dent that a fitter adds by hand.

use toml::de::DeTable;

use crate::error::{Finding, Place, Severity};
use crate::measure::Level;
use crate::source;
use crate::source::{Source, Value};
use crate::tolerance::{AMEND_MOST_MM, AMEND_REACH_MM};
use crate::units;
use crate::units::Unit;

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

/// Levels at which the trunk may be amended.
const LEVELS: [Level; 8] = [
    Level::Hip,
    Level::TopHip,
    Level::Abdomen,
    Level::Waist,
    Level::Underbust,
    Level::Bust,
    Level::Armpit,
    Level::MidArmscye,
];

/// Reads the list of tables `shape.amend`.
pub(super) fn read<'a>(source: &mut Source<'a>, value: &Value<'a>, unit: Unit) -> Vec<Amend> {
    let Some(list) = value.get_ref().as_array() else {
        source.refuse(
            value.span(),
            format!(
                "`shape.amend` is {}, not a list of tables",
                source::type_words(value.get_ref())
            ),
            "write `[[shape.amend]]` on a line of its own and `level`, `towards`, `by` below",
        );
        return Vec::new();
    };
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
                let names = LEVELS.map(|l| (l.name(), l));
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
                format!("`shape.amend.{}` is not a key", units::clip(other)),
                source::did_you_mean(other, &KNOWN, '`'),
            ),
        }
    }
    for (name, _) in KNOWN.iter().zip(seen).filter(|(_, seen)| !seen) {
        source.refuse(
            item.span(),
            format!("`shape.amend` has no `{name}`"),
            "write `level = \"hip\"`, `towards = \"left\"` and `by = 1.0` (out) or `-1.0` (in)",
        );
    }
    let amend = Amend {
        level: level?,
        towards: towards?,
        by: by?,
        reach: reach?,
        place: source.place(&item.span()),
    };
    // A form changed by hand says so.
    let mut note = Finding::new(
        Severity::Note,
        format!(
            "amended by hand: {} {} at the {}, {}; what the sheet gives is kept",
            unit.show(amend.by.abs()),
            if amend.by < 0.0 { "in" } else { "out" },
            amend.level.name(),
            amend.towards.name()
        ),
        "to take it back, delete its table",
    );
    note.place = Some(amend.place.clone());
    source.push(note);
    Some(amend)
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
    source.refuse(
        value.span(),
        format!("`{key}` ({}) is out of range", unit.show(mm)),
        format!(
            "{} to {} is possible; a larger change is a matter of measurements",
            unit.show(low),
            unit.show(high)
        ),
    );
    None
}
