//! The sides of one line by height, for many questions about it.

use super::Outline;
use super::Point2;
use super::outline::nearest_on_segment;
use crate::tolerance::SAME_POINT_EPS_MM;

/// Most bands of height: more would be no faster on the outlines here, of some hundred corners.
const MOST_BANDS: usize = 256;

/// The sides of a line, in bands of height.
#[derive(Clone, Debug, Default)]
pub struct Banded {
    low: f64,
    bands_per_mm: f64,
    /// Where the sides of each band begin; one more than there are bands.
    starts: Vec<usize>,
    /// A side once for every band that it comes into.
    sides: Vec<(Point2, Point2)>,
}

impl Banded {
    /// Of these sides.
    #[must_use]
    pub fn new(sides: &[(Point2, Point2)]) -> Self {
        let low = sides
            .iter()
            .map(|(a, b)| a.y.min(b.y))
            .fold(f64::INFINITY, f64::min);
        let high = sides
            .iter()
            .map(|(a, b)| a.y.max(b.y))
            .fold(f64::NEG_INFINITY, f64::max);
        let bands = sides.len().clamp(1, MOST_BANDS);
        let height = high - low;
        let mut out = Self {
            low,
            bands_per_mm: if height > 0.0 {
                bands as f64 / height
            } else {
                0.0
            },
            starts: vec![0; bands + 1],
            sides: Vec::new(),
        };
        let spans: Vec<(usize, usize)> = sides
            .iter()
            .map(|(a, b)| (out.band(a.y.min(b.y)), out.band(a.y.max(b.y))))
            .collect();
        for &(first, last) in &spans {
            out.starts[first + 1..=last + 1]
                .iter_mut()
                .for_each(|count| *count += 1);
        }
        for band in 0..bands {
            out.starts[band + 1] += out.starts[band];
        }
        let mut next = out.starts.clone();
        out.sides = vec![Default::default(); out.starts[bands]];
        for (side, (first, last)) in sides.iter().zip(spans) {
            for place in &mut next[first..=last] {
                out.sides[*place] = *side;
                *place += 1;
            }
        }
        out
    }

    /// The band of a height; of what lies beyond the line the first or the last.
    fn band(&self, y: f64) -> usize {
        let band = ((y - self.low) * self.bands_per_mm).max(0.0) as usize;
        band.min(self.starts.len().saturating_sub(2))
    }

    /// The sides of the bands between two heights.
    fn between(&self, from: f64, to: f64) -> &[(Point2, Point2)] {
        if self.sides.is_empty() {
            return &[];
        }
        &self.sides[self.starts[self.band(from)]..self.starts[self.band(to) + 1]]
    }

    /// Whether `p` lies inside a closed line, as [`super::Outline::contains`] has it.
    #[must_use]
    pub fn contains(&self, p: Point2) -> bool {
        let mut inside = false;
        for (a, b) in self.between(p.y, p.y) {
            if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
                inside = !inside;
            }
        }
        inside
    }

    /// Distance of `p` from the line, mm, as [`super::Outline::distance`] has it; infinite when there is none.
    #[must_use]
    pub fn distance(&self, p: Point2) -> f64 {
        let bands = self.starts.len().saturating_sub(1);
        let (own, tall) = (self.band(p.y), 1.0 / self.bands_per_mm);
        let mut least = f64::INFINITY;
        // Bands further and further away, as long as they may come nearer.
        for off in 0..bands {
            let beyond = (off as f64 - 1.0) * tall - SAME_POINT_EPS_MM;
            if off > 1 && beyond > 0.0 && beyond * beyond > least {
                break;
            }
            let (under, over) = (own.checked_sub(off), own + off);
            let mut look = |band: usize| {
                for &(a, b) in &self.sides[self.starts[band]..self.starts[band + 1]] {
                    least = least.min((nearest_on_segment(p, a, b) - p).norm_squared());
                }
            };
            under.into_iter().for_each(&mut look);
            if off > 0 && over < bands {
                look(over);
            }
        }
        least.sqrt()
    }

    /// Whether `p` is nearer to the line than `room`.
    #[must_use]
    pub fn is_near(&self, p: Point2, room: f64) -> bool {
        self.between(p.y - room, p.y + room).iter().any(|(a, b)| {
            let beside = p.x < a.x.min(b.x) - room
                || p.x > a.x.max(b.x) + room
                || p.y < a.y.min(b.y) - room
                || p.y > a.y.max(b.y) + room;
            !beside && (nearest_on_segment(p, *a, *b) - p).norm() < room
        })
    }
}

impl Outline {
    /// The sides by height, for many questions.
    #[must_use]
    pub fn banded(&self) -> Banded {
        Banded::new(&self.sides().collect::<Vec<_>>())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;

    /// A star with long and short sides, level and upright ones.
    fn star() -> Outline {
        let corner = |k: i32| {
            let (s, c) = libm::sincos(f64::from(k) * std::f64::consts::TAU / 90.0);
            let r = if k % 7 < 3 { 100.0 } else { 60.0 };
            Point2::new((r * c).round(), (r * s).round())
        };
        Outline::new((0..90).map(corner).collect())
    }

    #[test]
    fn it_answers_as_the_whole_outline_does() {
        let outline = star();
        let banded = Banded::new(&outline.sides().collect::<Vec<_>>());
        for x in -110..110 {
            for y in -110..110 {
                let p = Point2::new(f64::from(x), f64::from(y));
                assert_eq!(banded.contains(p), outline.contains(p), "{p}");
                let apart = (banded.distance(p) - outline.distance(p)).abs();
                assert!(apart <= 0.0, "{p}");
                for room in [0.5, 3.7, 40.0] {
                    assert_eq!(banded.is_near(p, room), outline.distance(p) < room, "{p}");
                }
            }
        }
    }

    #[test]
    fn nothing_lies_in_no_line() {
        let banded = Banded::new(&[]);
        assert!(!banded.contains(Point2::origin()) && !banded.is_near(Point2::origin(), 5.0));
    }
}
