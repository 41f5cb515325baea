//! Which size of a system is nearest at each level, and which for a top and for a skirt.

use crate::compare::Body;
use crate::measure::{Figure, Kind, Measure};
use crate::profile::{Profile, Size};
use crate::sheet::Origin;

/// A bust this much larger than the upper chest asks for a top by the upper chest: 2 inches, 5 cm
/// (state extension leaflets on altering patterns).
const FULL_BUST_MM: f64 = 50.0;

/// What a size is chosen for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// Something for the upper body.
    Top,
    /// A skirt or trousers.
    Skirt,
}

impl Use {
    /// In a word.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Top => "top",
            Self::Skirt => "skirt",
        }
    }
}

/// The nearest size by one measurement.
#[derive(Clone, Debug, PartialEq)]
pub struct AtLevel {
    /// What is measured.
    pub measure: Measure,
    /// The body's, mm.
    pub value: f64,
    /// Whether the body's is a reading.
    pub origin: Origin,
    /// Name of the nearest size.
    pub size: String,
    /// The body's less the size's, mm.
    pub apart: f64,
    /// The main measurement of the size between the tabulated ones that measures exactly so, mm;
    /// nothing beyond the first and the last.
    pub between: Option<f64>,
}

/// The single size for a use.
#[derive(Clone, Debug, PartialEq)]
pub struct Pick {
    /// For what.
    pub for_a: Use,
    /// By which measurement it was chosen.
    pub by: Measure,
    /// Name of the size.
    pub size: String,
    /// The body's less the size's, mm, of each telling measurement.
    pub apart: Vec<(Measure, f64)>,
}

/// A body beside one system.
#[derive(Clone, Debug, PartialEq)]
pub struct Nearest {
    /// The system.
    pub system: String,
    /// Whose figures body and sizes are.
    pub figure: Figure,
    /// What its sizes follow.
    pub main: Measure,
    /// The column that was looked along (`tall`), and the body's less the column's value, mm, of
    /// what runs across the columns.
    pub column: Option<(String, Option<f64>)>,
    /// Whether the system means another waist than the body's sheet, so that waists are left out.
    pub other_waist: bool,
    /// By each girth (and by stature where the sizes follow it).
    pub levels: Vec<AtLevel>,
    /// For a top and for a skirt, where the system has what they are chosen by.
    pub picks: Vec<Pick>,
}

/// Another system that has nearer sizes than the one that was looked through.
#[derive(Clone, Debug, PartialEq)]
pub struct Nearer {
    /// The other system.
    pub system: String,
    /// By which readings, with the size that is nearest there; the body's less the size's, mm, in the other and in the
    /// one that was looked through.
    pub levels: Vec<(Measure, String, [f64; 2])>,
}

/// Another system is named where its nearest size is nearer by this, mm. Our choice: half of what sizes of one system
/// stand apart at most, so that nobody inside a table is sent to another.
const NEARER_MM: f64 = 20.0;

/// The systems of which a form can be made that have sizes nearer to a reading of `body` than any of `chosen`, which
/// was looked through: the body has outgrown that, or is too small for it.
#[must_use]
pub fn nearer(body: &Body, chosen: &Profile, all: &[Profile]) -> Vec<Nearer> {
    let there = nearest(body, chosen).levels;
    all.iter()
        .filter(|p| p.system != chosen.system && p.figure == chosen.figure && p.makes_forms())
        .filter_map(|p| {
            let levels: Vec<_> = nearest(body, p)
                .levels
                .into_iter()
                .filter(|l| TELLING.contains(&l.measure) && l.origin == Origin::Given)
                .filter_map(|l| {
                    let than = there.iter().find(|t| t.measure == l.measure)?.apart;
                    let is = l.apart.abs() + NEARER_MM < than.abs();
                    is.then_some((l.measure, l.size, [l.apart, than]))
                })
                .collect();
            let system = p.system.clone();
            (!levels.is_empty()).then_some(Nearer { system, levels })
        })
        .collect()
}

/// Levels that tell how far a size is.
const TELLING: [Measure; 6] = [
    Measure::GirthUpperChest,
    Measure::GirthBust,
    Measure::GirthWaist,
    Measure::GirthHip,
    Measure::LengthBackWaist,
    Measure::HeightStature,
];

/// The sizes of `profile` that are nearest to `body`.
#[must_use]
pub fn nearest(body: &Body, profile: &Profile) -> Nearest {
    let column = column(body, profile);
    let sizes: Vec<Size> = (0..profile.names.len())
        .filter_map(|row| profile.tabulated_size(row, column))
        .collect();
    let other_waist = body.waist != profile.waist;
    let waist = |m: Measure| matches!(m, Measure::GirthWaist | Measure::LengthBackWaist);
    let comparable = |m: Measure| profile.column(m).is_some() && !(other_waist && waist(m));
    let levels = Measure::ALL
        .into_iter()
        .filter(|m| m.kind() == Kind::Girth || *m == profile.main)
        .filter(|m| comparable(*m))
        .filter_map(|m| at_level(body, profile, &sizes, m))
        .collect();
    let pick = |for_a: Use, by: Measure| {
        let value = body.value(by)?;
        let size = by_measure(&sizes, by, value)?;
        Some(Pick {
            for_a,
            by,
            size: size.name.clone(),
            apart: TELLING
                .into_iter()
                .filter(|m| comparable(*m))
                .filter_map(|m| Some((m, body.value(m)? - size.value(m)?)))
                .collect(),
        })
    };
    let bust = body.value(Measure::GirthBust);
    let upper = body.value(Measure::GirthUpperChest);
    let full = matches!((bust, upper), (Some(b), Some(u)) if b - u >= FULL_BUST_MM);
    let top = if full && comparable(Measure::GirthUpperChest) {
        Measure::GirthUpperChest
    } else {
        Measure::GirthBust
    };
    let picks = [(Use::Top, top), (Use::Skirt, Measure::GirthHip)]
        .into_iter()
        .filter(|(_, by)| comparable(*by))
        .filter_map(|(for_a, by)| pick(for_a, by))
        .collect();
    Nearest {
        system: profile.system.clone(),
        figure: body.figure.with(profile.figure),
        main: profile.main,
        column: profile.columns.get(column).map(|name| {
            let apart = profile.across.and_then(|(m, _)| {
                let there = profile
                    .column(m)?
                    .values
                    .get(column)?
                    .iter()
                    .flatten()
                    .next()?;
                Some(body.value(m)? - there)
            });
            (name.clone(), apart)
        }),
        other_waist,
        levels,
        picks,
    }
}

/// The column nearest to the body, or the usual one where columns have no measurement.
fn column(body: &Body, profile: &Profile) -> usize {
    let Some((measure, _)) = profile.across else {
        return profile.usual;
    };
    let (Some(value), Some(across)) = (body.value(measure), profile.column(measure)) else {
        return profile.usual;
    };
    let apart = |list: &[Option<f64>]| {
        list.iter()
            .flatten()
            .next()
            .map_or(f64::INFINITY, |v| (v - value).abs())
    };
    (0..profile.width())
        .min_by(|a, b| apart(&across.values[*a]).total_cmp(&apart(&across.values[*b])))
        .unwrap_or(profile.usual)
}

/// The size with the nearest value; of two that are as near, the smaller.
fn by_measure(sizes: &[Size], measure: Measure, value: f64) -> Option<&Size> {
    sizes
        .iter()
        .filter_map(|s| Some((s, (s.value(measure)? - value).abs())))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(s, _)| s)
}

fn at_level(body: &Body, profile: &Profile, sizes: &[Size], measure: Measure) -> Option<AtLevel> {
    let value = body.value(measure)?;
    let size = by_measure(sizes, measure, value)?;
    // Where the straight line from one size to the next has the value, if it rises there.
    let between = sizes.windows(2).find_map(|w| {
        let (low, high) = (w[0].value(measure)?, w[1].value(measure)?);
        if !(low <= value && value <= high && low < high) {
            return None;
        }
        let part = (value - low) / (high - low);
        let (a, b) = (w[0].value(profile.main)?, w[1].value(profile.main)?);
        Some(a + (b - a) * part)
    });
    Some(AtLevel {
        measure,
        value,
        origin: body.origin(measure)?,
        size: size.name.clone(),
        apart: value - size.value(measure)?,
        between,
    })
}
