//! Whose averages fill what was not measured.

use crate::measure::Figure;

/// Shares of women, men and children, together 1: a body between two surveys is expected between them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Averages {
    /// In the order of [`Figure::NAMED`].
    shares: [f64; Figure::NAMED.len()],
}

impl From<Figure> for Averages {
    fn from(figure: Figure) -> Self {
        Self::new(|other| f64::from(u8::from(other == figure)))
    }
}

impl Averages {
    /// Shares in these proportions, which are not all 0 and none of which is less.
    pub fn new(share: impl Fn(Figure) -> f64) -> Self {
        let shares = Figure::NAMED.map(|(_, figure)| share(figure));
        let sum: f64 = shares.iter().sum();
        Self {
            shares: shares.map(|share| share / sum),
        }
    }

    /// The figures that have a share, each with it.
    pub fn parts(&self) -> impl Iterator<Item = (Figure, f64)> {
        let all = Figure::NAMED.into_iter().zip(self.shares);
        all.map(|((_, figure), share)| (figure, share))
            .filter(|(_, share)| *share > 0.0)
    }

    /// The figure with the largest share, of equal ones the first: for what cannot be shared, as words.
    #[must_use]
    pub fn first(&self) -> Figure {
        let largest = self.parts().map(|(_, share)| share).fold(0.0, f64::max);
        let mut parts = self.parts();
        parts
            .find(|(_, share)| *share >= largest)
            .map_or(Figure::default(), |(figure, _)| figure)
    }

    /// The one figure that has all of it.
    #[must_use]
    pub fn only(&self) -> Option<Figure> {
        let mut parts = self.parts();
        match (parts.next(), parts.next()) {
            (Some((figure, _)), None) => Some(figure),
            _ => None,
        }
    }

    /// A number that each figure has, in shares.
    pub fn number(&self, of: impl Fn(Figure) -> f64) -> f64 {
        match self.only() {
            Some(figure) => of(figure),
            None => self.parts().map(|(figure, share)| share * of(figure)).sum(),
        }
    }

    /// A mean and its standard deviation of each figure, in shares: the mean lies between theirs, and what they
    /// differ in is not known of the body (mean and variance of a mixture; McLachlan and Peel, Finite Mixture
    /// Models, 2000, section 1.3, from memory).
    pub fn spread(&self, of: impl Fn(Figure) -> (f64, f64)) -> (f64, f64) {
        if let Some(figure) = self.only() {
            return of(figure);
        }
        let mean = self.number(|figure| of(figure).0);
        let variance = self.number(|figure| {
            let (value, sd) = of(figure);
            sd * sd + (value - mean) * (value - mean)
        });
        (mean, variance.sqrt())
    }

    /// The smallest range that holds those of all figures with a share.
    pub fn range(&self, of: impl Fn(Figure) -> [f64; 2]) -> [f64; 2] {
        let whole = [f64::INFINITY, f64::NEG_INFINITY];
        self.parts().fold(whole, |[low, high], (figure, _)| {
            let [least, most] = of(figure);
            [low.min(least), high.max(most)]
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_lie_between_and_one_figure_is_itself() {
        let mean = |f: Figure| match f {
            Figure::Woman => (100.0, 3.0),
            Figure::Man => (110.0, 4.0),
            Figure::Child => (50.0, 1.0),
        };
        let woman = Averages::from(Figure::Woman);
        assert_eq!(woman.only(), Some(Figure::Woman));
        assert_eq!(woman.spread(mean).0.to_bits(), 100.0_f64.to_bits());
        let half = Averages::new(|f| if f == Figure::Child { 0.0 } else { 2.0 });
        assert_eq!((half.only(), half.first()), (None, Figure::Woman));
        let (value, sd) = half.spread(mean);
        approx::assert_relative_eq!(value, 105.0);
        // Variances 9 and 16, and 5 on either side of the mean.
        approx::assert_relative_eq!(sd, 37.5_f64.sqrt());
        let [low, high] = half.range(|f| [mean(f).0, mean(f).0 + 1.0]);
        approx::assert_relative_eq!(low, 100.0);
        approx::assert_relative_eq!(high, 111.0);
        let more_man = Averages::new(|f| if f == Figure::Man { 0.7 } else { 0.15 });
        assert_eq!(more_man.first(), Figure::Man);
    }
}
