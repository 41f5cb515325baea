//! Everything that is read of one body, on two threads.

use crate::measure::{Measure, Side};
use crate::torso::body::Halves;

use super::{Hints, SurfaceReader};

type What = (Measure, Side);

/// Whether a measurement begins or ends at the neck base line, which takes longest to find. What does
/// is read by one thread, so that the line is found once, and the rest by the other.
fn hangs_on_neck_base(measure: Measure) -> bool {
    use Measure as M;
    matches!(
        measure,
        M::GirthNeckBase
            | M::LengthShoulder
            | M::SlopeShoulder
            | M::ShoulderDrop
            | M::LengthSideNeckToBust
            | M::LengthSideNeckToWaist
            | M::LengthBackWaist
            | M::LengthFrontWaist
            | M::LengthScyeDepth
            | M::HeightSideNeck
            | M::HeightNape
            | M::WallNape
    )
}

/// The readings of one thread, by their places in `measures`, and their reader.
fn part<'a>(
    body: &'a Halves,
    measures: &[What],
    neck: bool,
) -> (Vec<(usize, f64)>, SurfaceReader<'a>) {
    let mut reader = SurfaceReader::new(body);
    let mine = measures.iter().enumerate();
    let mine = mine.filter(|(_, what)| hangs_on_neck_base(what.0) == neck);
    let read = mine
        .map(|(i, what)| (i, reader.read(what.0, what.1).unwrap_or(f64::NAN)))
        .collect();
    (read, reader)
}

fn both<'a>(body: &'a Halves, measures: &[What]) -> (Vec<f64>, [SurfaceReader<'a>; 2]) {
    let ((above, one), (below, two)) = rayon::join(
        || part(body, measures, true),
        || part(body, measures, false),
    );
    let mut all = vec![f64::NAN; measures.len()];
    for (i, read) in above.into_iter().chain(below) {
        all[i] = read;
    }
    (all, [one, two])
}

/// Readings of `measures`; one that the form lacks is not a number.
pub(crate) fn read_all(body: &Halves, measures: &[What]) -> Vec<f64> {
    both(body, measures).0
}

/// The same, and where the curves were found, for readers of bodies that differ a little.
pub(crate) fn read_all_and_hints(body: &Halves, measures: &[What]) -> (Vec<f64>, Vec<Hints>) {
    let (all, [one, two]) = both(body, measures);
    let hints = one.hints().into_iter().zip(two.hints());
    (all, hints.map(|(a, b)| a.and(b)).collect())
}
