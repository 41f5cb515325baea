//! Stature, the main girths and the back length: given, or filled in from the rest.
//!
//! The logarithms of eight measures are taken as jointly normal, figure by figure; what the sheet
//! gives conditions the rest. Means and covariances were computed from the individual records of
//! the 1988 US Army survey (NATICK/TR-89/044; women, men; four records of five) and, for children
//! under 1.70 m, of Snyder et al. 1977 (UM-HSRI-77-17, from 2 to 20 years; four of five). What the
//! children's survey does not hold is marked.

use nalgebra::{DMatrix, DVector, SMatrix, SVector};

use crate::measure::Measure;
use crate::sheet::{Figure, Sheet, WaistKind};
use crate::torso::prior::Build;

/// How many measures the joint distribution holds.
const SIZE: usize = 8;
/// Their places: stature, bust, natural waist, hip, back waist length, underbust, neck, navel waist.
const STATURE: usize = 0;
const BUST: usize = 1;
const WAIST: usize = 2;
const HIP: usize = 3;
const BACK: usize = 4;
const UNDERBUST: usize = 5;
const NECK: usize = 6;
const NAVEL: usize = 7;

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
    /// Height of the natural waist: mean and standard deviation.
    pub(crate) waist_height: (f64, f64),
}

struct Joint {
    mean: [f64; SIZE],
    /// Covariance of the logarithms, times 1e4, row by row.
    cov: [[f64; SIZE]; SIZE],
}

impl Joint {
    fn of(figure: Figure) -> Self {
        match figure {
            Figure::Woman => WOMAN,
            Figure::Man => MAN,
            Figure::Child => child(),
        }
    }
}

/// Women, 1988 survey (1687 records).
const WOMAN: Joint = Joint {
    mean: [
        7.3949, 6.8067, 6.5824, 6.8718, 5.9030, 6.6428, 5.7529, 6.6678,
    ],
    cov: [
        [15.65, 6.95, 7.11, 9.47, 13.04, 7.54, 6.43, 7.43],
        [6.95, 47.86, 50.35, 31.05, 7.15, 38.96, 21.42, 54.42],
        [7.11, 50.35, 71.72, 39.61, 4.17, 47.23, 27.22, 75.55],
        [9.47, 31.05, 39.61, 39.28, 7.64, 27.88, 17.34, 46.83],
        [13.04, 7.15, 4.17, 7.64, 46.25, 8.47, 5.16, 6.92],
        [7.54, 38.96, 47.23, 27.88, 8.47, 42.15, 19.97, 48.72],
        [6.43, 21.42, 27.22, 17.34, 5.16, 19.97, 22.95, 27.39],
        [7.43, 54.42, 75.55, 46.83, 6.92, 48.72, 27.39, 101.61],
    ],
};

/// Men, 1988 survey (1340 records).
const MAN: Joint = Joint {
    mean: [
        7.4711, 6.8980, 6.7311, 6.8904, 6.0208, 6.8299, 5.9376, 6.7564,
    ],
    cov: [
        [14.33, 8.2, 8.91, 9.82, 12.47, 7.83, 6.01, 11.07],
        [8.2, 48.13, 53.27, 35.74, 9.72, 47.05, 24.71, 58.17],
        [8.91, 53.27, 76.35, 46.11, 9.69, 55.58, 30.56, 83.33],
        [9.82, 35.74, 46.11, 39.73, 9.17, 35.79, 21.37, 54.07],
        [12.47, 9.72, 9.69, 9.17, 31.16, 10.72, 6.55, 13.97],
        [7.83, 47.05, 55.58, 35.79, 10.72, 49.32, 24.72, 60.6],
        [6.01, 24.71, 30.56, 21.37, 6.55, 24.72, 26.12, 31.84],
        [11.07, 58.17, 83.33, 54.07, 13.97, 60.6, 31.84, 98.79],
    ],
};

/// Children, Snyder et al. 1977 (844 records with all of stature, chest, both waists, hip, neck).
/// Back length is taken as 0.235 of stature and underbust as 0.965 of the chest, each with its own
/// spread of 3.5 % and 3 % (from memory: the survey has neither).
fn child() -> Joint {
    let mean = [7.1862, 6.4907, 6.3598, 6.5341, 0.0, 0.0, 5.6231, 6.3847];
    let six = [
        [305.58, 274.27, 209.7, 311.89, 156.7, 232.29],
        [274.27, 284.75, 223.62, 314.11, 161.06, 247.72],
        [209.7, 223.62, 207.17, 250.19, 131.62, 217.33],
        [311.89, 314.11, 250.19, 371.98, 178.24, 286.05],
        [156.7, 161.06, 131.62, 178.24, 106.6, 142.07],
        [232.29, 247.72, 217.33, 286.05, 142.07, 246.28],
    ];
    // Where each of the eight comes from among the six, and what it adds of its own.
    let from = [0, 1, 2, 3, 0, 1, 4, 5];
    let own = [0.0, 0.0, 0.0, 0.0, 0.035, 0.03, 0.0, 0.0];
    let mut joint = Joint {
        mean,
        cov: [[0.0; SIZE]; SIZE],
    };
    joint.mean[BACK] = mean[STATURE] + libm::log(0.235f64);
    joint.mean[UNDERBUST] = mean[BUST] + libm::log(0.965f64);
    for i in 0..SIZE {
        for j in 0..SIZE {
            joint.cov[i][j] = six[from[i]][from[j]];
        }
        joint.cov[i][i] += 1e4 * own[i] * own[i];
    }
    joint
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

    /// Expected top hip girth: 0.62 of the way from waist to hip; where the waist comes near the
    /// hip or passes it, the fullness hangs below it and less of the way is gone (set by eye on
    /// rendered figures).
    pub(crate) fn top_hip(&self, pregnant: bool) -> f64 {
        if pregnant {
            0.93 * self.hip
        } else {
            let over = ((self.waist / self.hip - 0.93) / 0.15).clamp(0.0, 1.0);
            self.waist + (0.62 - 0.3 * over) * (self.hip - self.waist)
        }
    }

    /// How much more a reading of the waist is at the navel than at the natural waist: mean and standard
    /// deviation, mm; `None` for what is not read at the waist. A height is less.
    pub(crate) fn more_at_navel(&self, measure: Measure, figure: Figure) -> Option<(f64, f64)> {
        let (drop, sd) = waist_drop(WaistKind::Navel, figure, self.stature);
        match measure {
            Measure::LengthBackWaist
            | Measure::LengthFrontWaist
            | Measure::LengthSideNeckToWaist => Some((drop, sd)),
            Measure::HeightWaist => Some((-drop, sd)),
            Measure::GirthWaist => {
                let Joint { mean, cov } = Joint::of(figure);
                let more = libm::exp(mean[NAVEL] - mean[WAIST]) - 1.0;
                let variance = cov[NAVEL][NAVEL] + cov[WAIST][WAIST] - 2.0 * cov[NAVEL][WAIST];
                Some((more * self.waist, (1e-4 * variance).sqrt() * self.waist))
            }
            _ => None,
        }
    }

    /// Fills in what the sheet does not give.
    pub(crate) fn from_sheet(sheet: &Sheet, build: Build) -> Self {
        let joint = Joint::of(sheet.figure);
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
        for (m, i) in [
            (Measure::HeightStature, STATURE),
            (Measure::GirthBust, BUST),
            (Measure::GirthHip, HIP),
            (Measure::GirthUnderbust, UNDERBUST),
            (Measure::GirthNeck, NECK),
        ] {
            if let Some((v, s)) = read(m) {
                see(&[(i, 1.0)], v, s);
            }
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
        let drop = waist_drop(sheet.waist, sheet.figure, libm::exp(joint.mean[STATURE]));
        if let Some((v, s)) = read(Measure::LengthBackWaist) {
            // A waist taken lower makes the back longer by about as much.
            see(&[(BACK, 1.0)], v - drop.0, libm::hypot(s, drop.1 / v));
        }
        if read(Measure::HeightStature).is_none() {
            for (m, intercept, slope, sd) in stature_from(sheet.figure) {
                if let Some((v, s)) = read(m) {
                    let tall = intercept + slope * v;
                    see(&[(STATURE, 1.0)], tall, libm::hypot(sd / tall, s));
                }
            }
        }
        let (mean, cov, surprise) = condition(&joint, &known);
        let value = |i: usize| libm::exp(mean[i]);
        let sd = |i: usize| libm::exp(mean[i]) * cov[(i, i)].max(0.0).sqrt();
        let tall = value(STATURE);
        let back = value(BACK);
        let waist_drop = waist_drop(sheet.waist, sheet.figure, tall);
        let underbust = if build.pregnant || read(Measure::GirthUnderbust).is_some() {
            value(UNDERBUST)
        } else {
            carried_down(value(UNDERBUST), value(WAIST), tall)
        };
        Self {
            stature: tall,
            bust: value(BUST),
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
            sd: [STATURE, BUST, WAIST, HIP, UNDERBUST, BACK, NECK].map(sd),
            waist_drop,
            waist_height: waist_height(sheet.figure, tall, (back, sd(BACK)), sd(STATURE)),
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

/// How far below the natural waist the sheet's waist lies: mean and standard deviation, mm. Navel:
/// 1988 US Army survey (natural less navel waist height, on stature); ISO level and children from
/// memory.
fn waist_drop(kind: WaistKind, figure: Figure, tall: f64) -> (f64, f64) {
    match (kind, figure) {
        (WaistKind::Natural, _) => (0.0, 0.0),
        (WaistKind::Navel, Figure::Woman) => (34.0 + 0.02471 * tall, 20.3),
        (WaistKind::Navel, Figure::Man) => (22.7 + 0.02566 * tall, 17.6),
        (WaistKind::Navel, Figure::Child) => (0.04 * tall, 0.012 * tall),
        (WaistKind::Iso, _) => (0.0212 * tall, 0.007 * tall),
    }
}

/// Height of the natural waist: mean and standard deviation, mm. Adults: 1988 US Army survey,
/// waist height (natural) on stature and back waist length; children: Snyder et al. 1977, waist
/// height on stature, raised by the navel's distance (from memory).
fn waist_height(figure: Figure, tall: f64, back: (f64, f64), tall_sd: f64) -> (f64, f64) {
    let (back, back_sd) = back;
    let (mean, sd, slope, on_back) = match figure {
        Figure::Woman => (
            -85.5 + 0.87344 * tall - 0.76569 * back,
            14.25,
            0.87344,
            0.76569,
        ),
        Figure::Man => (
            -103.3 + 0.87485 * tall - 0.74163 * back,
            14.61,
            0.87485,
            0.74163,
        ),
        Figure::Child => (-152.7 + 0.74276 * tall, 20.0, 0.74276, 0.0),
    };
    (
        mean,
        libm::hypot(libm::hypot(sd, slope * tall_sd), on_back * back_sd),
    )
}

/// Stature from a height that was given instead: measure, intercept, slope, residual standard
/// deviation, mm. 1988 US Army survey; children: Snyder et al. 1977 (inverse of height on stature).
fn stature_from(figure: Figure) -> [(Measure, f64, f64, f64); 3] {
    match figure {
        Figure::Woman => [
            (Measure::HeightNape, 137.8, 1.05944, 11.0),
            (Measure::HeightWaist, 412.0, 1.152, 32.0),
            (Measure::HeightCrotch, 679.2, 1.23118, 34.4),
        ],
        Figure::Man => [
            (Measure::HeightNape, 166.9, 1.04569, 11.5),
            (Measure::HeightWaist, 430.0, 1.178, 26.0),
            (Measure::HeightCrotch, 739.4, 1.21477, 35.2),
        ],
        Figure::Child => [
            (Measure::HeightNape, 96.0, 1.087, 13.0),
            (Measure::HeightWaist, 206.0, 1.346, 27.0),
            (Measure::HeightCrotch, 280.0, 1.58, 45.0),
        ],
    }
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
    let Some(solver) = seen.cholesky() else {
        return (mean, cov, 0.0);
    };
    let surprise = miss.dot(&solver.solve(&miss));
    let shift = &cross * solver.solve(&miss);
    let less = &cross * solver.solve(&cross.transpose());
    (
        SVector::from_fn(|i, _| mean[i] + shift[i]),
        SMatrix::from_fn(|i, j| cov[(i, j)] - less[(i, j)]),
        surprise,
    )
}
