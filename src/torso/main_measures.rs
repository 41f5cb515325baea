//! Stature, the main girths and the back length: given, or filled in from the rest.
//!
//! The logarithms of eight measures are taken as jointly normal, figure by figure; what the sheet
//! gives conditions the rest. The numbers are those of `joint.csv` and `heights.csv`.

use std::borrow::Cow;
use std::sync::LazyLock;

use nalgebra::{DMatrix, DVector, SMatrix, SVector};

use crate::measure::Measure;
use crate::sheet::{Averages, Breasts, Figure, Posture, Sheet, WaistKind};
use crate::survey;
use crate::survey::On;
use crate::torso::heights::{
    Heights, seat_height, stature_from, stature_of_seated, waist_drop, waist_height,
};
use crate::torso::style::Build;

/// How many measures the joint distribution holds.
const SIZE: usize = 8;
/// Their places: stature, bust, natural waist, hip, back waist length, underbust, neck, waist at the navel.
const STATURE: usize = 0;
const BUST: usize = 1;
const WAIST: usize = 2;
const HIP: usize = 3;
const BACK: usize = 4;
const UNDERBUST: usize = 5;
const NECK: usize = 6;
const NAVEL: usize = 7;
/// What `joint.csv` calls them.
const NAMES: [&str; SIZE] = [
    "stature",
    "bust",
    "waist",
    "hip",
    "back",
    "underbust",
    "neck",
    "navel",
];

/// The values that proportions hang on, in mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Core {
    pub(crate) stature: f64,
    pub(crate) bust: f64,
    /// At the natural waist.
    pub(crate) waist: f64,
    pub(crate) hip: f64,
    pub(crate) underbust: f64,
    /// Back waist length, to the natural waist.
    pub(crate) back: f64,
    pub(crate) neck: f64,
    /// How far what was given lies from what goes together in the surveys: squared Mahalanobis
    /// distance, and the number of values behind it.
    pub(crate) surprise: (f64, usize),
    /// Standard deviation of each, in the same order as the fields above.
    pub(crate) sd: [f64; 7],
    /// How far the sheet's waist lies below the natural waist: mean and standard deviation.
    pub(crate) waist_drop: (f64, f64),
    /// Height of the natural waist above what heights are counted from: mean and standard deviation.
    pub(crate) waist_height: (f64, f64),
    /// Height of the seat above the floor, for somebody who sits and whose heights are above it: mean and standard
    /// deviation.
    pub(crate) seat: Option<(f64, f64)>,
}

/// Means of the logarithms, and their covariance times 1e4, row by row.
#[derive(Clone)]
struct Joint {
    mean: [f64; SIZE],
    cov: [[f64; SIZE]; SIZE],
}

impl Joint {
    /// In shares: mean and covariance of a mixture, as in [`Averages::spread`].
    fn of(averages: &Averages) -> Cow<'static, Self> {
        if let Some(figure) = averages.only() {
            return Cow::Borrowed(Self::of_figure(figure));
        }
        let mean: [f64; SIZE] =
            std::array::from_fn(|i| averages.number(|f| Self::of_figure(f).mean[i]));
        let cov = std::array::from_fn(|i| {
            std::array::from_fn(|j| {
                averages.number(|f| {
                    let one = Self::of_figure(f);
                    one.cov[i][j] + 1e4 * (one.mean[i] - mean[i]) * (one.mean[j] - mean[j])
                })
            })
        });
        Cow::Owned(Self { mean, cov })
    }

    fn of_figure(figure: Figure) -> &'static Self {
        static READ: LazyLock<[Joint; 3]> = LazyLock::new(|| {
            [
                Joint::read("woman"),
                Joint::read("man"),
                Joint::of_children(),
            ]
        });
        match figure {
            Figure::Woman => &READ[0],
            Figure::Man => &READ[1],
            Figure::Child => &READ[2],
        }
    }

    /// What `joint.csv` has of a figure; nought where it has nothing.
    fn read(figure: &str) -> Self {
        let mut joint = Self {
            mean: [0.0; SIZE],
            cov: [[0.0; SIZE]; SIZE],
        };
        for row in survey::JOINT.rows() {
            if row.text("figure") != figure {
                continue;
            }
            let Some(i) = NAMES.iter().position(|n| *n == row.text("measure")) else {
                row.wrong("measure", "is no main measure");
            };
            joint.mean[i] = row.number("mean");
            joint.cov[i] = NAMES.map(|name| row.may(name).unwrap_or(0.0));
        }
        joint
    }

    /// The survey of children has neither back length nor underbust: they are taken as 0.235 of stature
    /// and 0.965 of the chest, each with its own spread of 3.5 % and 3 % (from memory).
    fn of_children() -> Self {
        let surveyed = Self::read("child");
        let (mut from, mut own) = ([0, 1, 2, 3, 4, 5, 6, 7], [0.0; SIZE]);
        (from[BACK], own[BACK]) = (STATURE, 0.035);
        (from[UNDERBUST], own[UNDERBUST]) = (BUST, 0.03);
        let mut joint = Self {
            mean: surveyed.mean,
            cov: from.map(|i| from.map(|j| surveyed.cov[i][j])),
        };
        joint.mean[BACK] = surveyed.mean[STATURE] + libm::log(0.235f64);
        joint.mean[UNDERBUST] = surveyed.mean[BUST] + libm::log(0.965f64);
        for (i, own) in own.into_iter().enumerate() {
            joint.cov[i][i] += 1e4 * own * own;
        }
        joint
    }
}

/// One thing known about the logarithms: a row of weights, its value, its variance.
struct Evidence {
    weight: [f64; SIZE],
    value: f64,
    variance: f64,
}

/// A reading is never known better than this share: keeps the conditioning sound. Our choice, a
/// tenth of what a tape can tell.
const LEAST_SPREAD: f64 = 1e-4;

impl Core {
    /// Whether it is one of those that everything else is expected from.
    pub(crate) const fn holds(measure: Measure) -> bool {
        matches!(
            measure,
            Measure::HeightStature
                | Measure::GirthBust
                | Measure::GirthWaist
                | Measure::GirthHip
                | Measure::GirthUnderbust
                | Measure::GirthNeck
                | Measure::LengthBackWaist
        )
    }

    /// What to expect of one of those, and its standard deviation; the waist and the back length are
    /// those to the natural waist.
    pub(crate) const fn expected(&self, measure: Measure) -> Option<(f64, f64)> {
        Some(match measure {
            Measure::HeightStature => (self.stature, self.sd[0]),
            Measure::GirthBust => (self.bust, self.sd[1]),
            Measure::GirthWaist => (self.waist, self.sd[2]),
            Measure::GirthHip => (self.hip, self.sd[3]),
            Measure::GirthUnderbust => (self.underbust, self.sd[4]),
            Measure::LengthBackWaist => (self.back, self.sd[5]),
            Measure::GirthNeck => (self.neck, self.sd[6]),
            _ => return None,
        })
    }

    /// The value that a line hangs on, and its standard deviation.
    pub(crate) fn on(&self, what: On) -> (f64, f64) {
        let [tall, bust, waist, hip, underbust, back, neck] = self.sd;
        match what {
            On::Stature => (self.stature, tall),
            On::Bust => (self.bust, bust),
            On::Waist => (self.waist, waist),
            On::Hip => (self.hip, hip),
            On::Underbust => (self.underbust, underbust),
            On::Neck => (self.neck, neck),
            On::Back => (self.back, back),
            On::Reading => unreachable!("a line that hangs on a reading is given that reading"),
        }
    }

    /// Expected top hip girth, half-way down from waist to hip: of the way from the girth of the waist to that
    /// of the hip, what adults have gone in the 1988 US Army survey (NATICK/TR-89/044) whose navel lies
    /// half-way down (medians of those between 0.45 and 0.55: women 0.48; of men none lies so low, their line
    /// through 0.08, 0.10, 0.16 and 0.23 at tenths of the way ends at 0.32); children between them, by eye.
    /// Where the waist comes near the hip or passes it, less of the way is gone (by eye).
    pub(crate) fn top_hip(&self, averages: &Averages, pregnant: bool) -> f64 {
        if pregnant {
            return 0.93 * self.hip;
        }
        let gone = averages.number(|figure| match figure {
            Figure::Woman => 0.48,
            Figure::Man => 0.32,
            Figure::Child => 0.45,
        });
        let over = ((self.waist / self.hip - 0.93) / 0.15).clamp(0.0, 1.0);
        self.waist + gone * (1.0 - 0.5 * over) * (self.hip - self.waist)
    }

    /// How much more a reading of the waist is at the navel than at the natural waist: mean and standard
    /// deviation, mm; `None` for what is not read at the waist. A height is less.
    pub(crate) fn more_at_navel(
        &self,
        measure: Measure,
        averages: &Averages,
    ) -> Option<(f64, f64)> {
        let (drop, sd) = waist_drop(WaistKind::Navel, averages, self.stature);
        match measure {
            Measure::LengthBackWaist
            | Measure::LengthFrontWaist
            | Measure::LengthSideNeckToWaist => Some((drop, sd)),
            Measure::HeightWaist => Some((-drop, sd)),
            Measure::GirthWaist => {
                let joint = Joint::of(averages);
                let Joint { mean, cov } = joint.as_ref();
                let more = libm::exp(mean[NAVEL] - mean[WAIST]) - 1.0;
                let variance = cov[NAVEL][NAVEL] + cov[WAIST][WAIST] - 2.0 * cov[NAVEL][WAIST];
                Some((more * self.waist, (1e-4 * variance).sqrt() * self.waist))
            }
            _ => None,
        }
    }

    /// Fills in what the sheet does not give.
    pub(crate) fn from_sheet(sheet: &Sheet, build: Build) -> Self {
        let joint = Joint::of(&sheet.averages);
        let mut known: Vec<Evidence> = Vec::new();
        let mut see = |weights: &[(usize, f64)], mm: f64, sd_share: f64| {
            let mut weight = [0.0; SIZE];
            for (i, w) in weights {
                weight[*i] = *w;
            }
            let sd = sd_share.max(LEAST_SPREAD);
            known.push(Evidence {
                weight,
                value: libm::log(mm),
                variance: sd * sd,
            });
        };
        let read = |m: Measure| {
            let value = sheet.value(m)?;
            let within = sheet
                .given
                .iter()
                .find(|g| g.measure == m)
                .and_then(|g| g.within);
            Some((value, within.unwrap_or(0.0) / 1.96 / value))
        };
        let own_bust = sheet.own_bust();
        let seated = sheet.posture == Posture::Seated;
        for (m, i) in [
            (Measure::HeightStature, STATURE),
            (Measure::GirthBust, BUST),
            (Measure::GirthHip, HIP),
            (Measure::GirthUnderbust, UNDERBUST),
            (Measure::GirthNeck, NECK),
        ] {
            let Some((v, s)) = read(m).filter(|_| i != BUST || !own_bust) else {
                continue;
            };
            if seated && i == STATURE {
                let (tall, sd) = stature_of_seated(v, &sheet.averages);
                see(&[(i, 1.0)], tall, libm::hypot(sd / tall, s));
            } else {
                see(&[(i, 1.0)], v, s);
            }
        }
        // A chest without breasts tells of the trunk below it what one of a man does, a breast form nothing.
        if own_bust
            && !build
                .averages
                .parts()
                .any(|(f, _)| build.breasts(f) != Breasts::Flat)
            && read(Measure::GirthUnderbust).is_none()
            && let Some((v, s)) = read(Measure::GirthBust)
        {
            let Joint { mean, cov } = Joint::of_figure(Figure::Man);
            let less = libm::exp(mean[UNDERBUST] - mean[BUST]);
            let variance = cov[UNDERBUST][UNDERBUST] + cov[BUST][BUST] - 2.0 * cov[UNDERBUST][BUST];
            let sd = (1e-4 * variance).sqrt();
            see(&[(UNDERBUST, 1.0)], less * v, libm::hypot(s, sd));
        }
        if let Some((v, s)) = read(Measure::GirthWaist)
            && !build.pregnant
        {
            match sheet.waist {
                WaistKind::Natural => see(&[(WAIST, 1.0)], v, s),
                WaistKind::Navel => see(&[(NAVEL, 1.0)], v, s),
                WaistKind::Iso => see(&[(WAIST, 0.5), (NAVEL, 0.5)], v, s),
            }
        }
        let drop = waist_drop(sheet.waist, &sheet.averages, libm::exp(joint.mean[STATURE]));
        if let Some((v, s)) = read(Measure::LengthBackWaist) {
            // A waist taken lower makes the back longer by about as much.
            see(&[(BACK, 1.0)], v - drop.0, libm::hypot(s, drop.1 / v));
        }
        if read(Measure::HeightStature).is_none() && !seated {
            for m in Heights::of(sheet.averages.first()).told_from() {
                if let Some((v, s)) = read(m)
                    && let Some((tall, sd)) = stature_from(m, v, &sheet.averages)
                {
                    see(&[(STATURE, 1.0)], tall, libm::hypot(sd / tall, s));
                }
            }
        }
        let (mean, cov, surprise) = condition(&joint, &known);
        let value = |i: usize| libm::exp(mean[i]);
        let sd = |i: usize| libm::exp(mean[i]) * cov[(i, i)].max(0.0).sqrt();
        let tall = value(STATURE);
        let back = value(BACK);
        let waist_drop = waist_drop(sheet.waist, &sheet.averages, tall);
        let underbust = if build.pregnant || read(Measure::GirthUnderbust).is_some() {
            value(UNDERBUST)
        } else {
            carried_down(value(UNDERBUST), value(WAIST), tall)
        };
        let standing = waist_height(&sheet.averages, (tall, sd(STATURE)), (back, sd(BACK)));
        let seat = seated.then(|| seat_height(&sheet.averages, (tall, sd(STATURE))));
        // The bust of somebody that no survey had in mind is what was read of it.
        let mut sds = [STATURE, BUST, WAIST, HIP, UNDERBUST, BACK, NECK].map(sd);
        let mut bust = value(BUST);
        if let Some((v, s)) = read(Measure::GirthBust).filter(|_| own_bust) {
            (bust, sds[1]) = (v, (s.max(LEAST_SPREAD)) * v);
        }
        Self {
            stature: tall,
            bust,
            waist: if build.pregnant {
                read(Measure::GirthWaist).map_or(value(WAIST), |w| w.0)
            } else {
                value(WAIST)
            },
            hip: value(HIP),
            underbust,
            back,
            neck: value(NECK),
            surprise: (surprise, known.len()),
            sd: sds,
            waist_drop,
            waist_height: match seat {
                Some(seat) => (standing.0 - seat.0, libm::hypot(standing.1, seat.1)),
                None => standing,
            },
            seat,
        }
    }
}

/// Underbust girth below which a large waist does not let the trunk fall in: the survey has hardly
/// anybody whose waist passes the underbust by more than 2 % of stature, so what lies beyond that
/// is shared out along the trunk (share and softness set by eye on rendered figures).
fn carried_down(underbust: f64, waist: f64, tall: f64) -> f64 {
    const SHARE: f64 = 0.45;
    let soft = 0.01 * tall;
    let over = (waist - underbust - 0.02 * tall) / soft;
    underbust + SHARE * soft * over.max(0.0) + SHARE * soft * libm::log1p(libm::exp(-over.abs()))
}

/// Mean and covariance of the logarithms, given the evidence (conditional normal distribution).
fn condition(
    joint: &Joint,
    known: &[Evidence],
) -> (SVector<f64, SIZE>, SMatrix<f64, SIZE, SIZE>, f64) {
    let mean = SVector::<f64, SIZE>::from_row_slice(&joint.mean);
    let cov = SMatrix::<f64, SIZE, SIZE>::from_fn(|i, j| 1e-4 * joint.cov[i][j]);
    if known.is_empty() {
        return (mean, cov, 0.0);
    }
    let n = known.len();
    let h = DMatrix::from_fn(n, SIZE, |i, j| known[i].weight[j]);
    let full = DMatrix::from_fn(SIZE, SIZE, |i, j| cov[(i, j)]);
    let mut seen = &h * &full * h.transpose();
    for i in 0..n {
        seen[(i, i)] += known[i].variance;
    }
    let m = DVector::from_fn(SIZE, |i, _| mean[i]);
    let miss = DVector::from_fn(n, |i, _| known[i].value) - &h * &m;
    let cross = &full * h.transpose();
    // Covariance plus positive variances: always invertible.
    let Some(solver) = seen.clone().cholesky() else {
        return (mean, cov, 0.0);
    };
    let shift = &cross * solver.solve(&miss);
    let less = &cross * solver.solve(&cross.transpose());
    (
        SVector::from_fn(|i, _| mean[i] + shift[i]),
        SMatrix::from_fn(|i, j| cov[(i, j)] - less[(i, j)]),
        surprise(known, &seen, &miss),
    )
}

/// How far the evidence lies from what goes together: lengths are judged by lengths, girths by girths. How
/// girths and stature go together depends on whom a survey let in (an army screens weight by height), so no girth
/// accuses a stature.
fn surprise(known: &[Evidence], seen: &DMatrix<f64>, miss: &DVector<f64>) -> f64 {
    let long = |e: &Evidence| e.weight[STATURE] != 0.0 || e.weight[BACK] != 0.0;
    let apart = DMatrix::from_fn(known.len(), known.len(), |i, j| {
        if long(&known[i]) == long(&known[j]) {
            seen[(i, j)]
        } else {
            0.0
        }
    });
    // The diagonal blocks of a positive definite matrix are positive definite.
    apart
        .cholesky()
        .map_or(0.0, |solver| miss.dot(&solver.solve(miss)))
}
