//! How parameters move together: those of the side view, and the two breadths of the neck.
//!
//! # Why is the neck a column?
//! The neck base is longer than the neck girth by what surveys say because it lies aslant and on
//! the fillet to the shoulder, not because the neck is narrower or wider there. So the breadth at
//! the base follows the breadth above it (`posture.rs`), and both lines lean alike (16 degrees, by
//! eye on rendered figures). With both breadths free, the tape of the neck base made a funnel of it
//! that widened upwards, right in every number and wrong to look at.

use nalgebra::DMatrix;

use crate::torso::param::{Param, Values};

/// The parameters whose offsets move together as posture, from the lowest up.
const POSTURE: [Param; 6] = [
    Param::BackHip,
    Param::BackTopHip,
    Param::BackUnderbust,
    Param::BackBust,
    Param::BackChest,
    Param::BackNape,
];

/// The whitening matrix: independent parameters, but for the neck and for the six offsets of the back
/// line. A neck is a column: where it is broader above, so it is at its base, and `sd` there is what
/// the base has to itself; with both free a neck becomes a funnel. The offsets
/// follow a Gaussian process over height, pinned at the waist, with 4 mm (at scale 1) of free play,
/// so that posture changes as a smooth bend; independent offsets give accordion-shaped figures.
pub(super) fn whitening(mean: &Values, sd: &Values, tall: f64, sc: f64) -> DMatrix<f64> {
    let m = |q: Param| mean[q as usize];
    let bust = m(Param::Nape) - m(Param::BustDrop);
    let z = [
        m(Param::HipLevel),
        0.5 * m(Param::HipLevel),
        bust - m(Param::UnderbustDrop),
        bust,
        m(Param::Nape) - 0.5 * (m(Param::ArmpitDrop) + 0.03 * tall),
        m(Param::Nape),
    ];
    let reach = 0.12 * tall;
    let size = 0.012 * tall;
    let kernel = |d: f64| size * size * libm::exp(-0.5 * d * d / (reach * reach));
    let k = DMatrix::from_fn(6, 6, |i, j| {
        let free = if i == j { 16.0 * sc * sc } else { 0.0 };
        kernel(z[i] - z[j]) - kernel(z[i]) * kernel(z[j]) / kernel(0.0) + free
    });
    let mut spread = DMatrix::from_diagonal(&nalgebra::DVector::from_row_slice(sd));
    let column = m(Param::NeckBaseHalf) / m(Param::NeckHalf);
    spread[(Param::NeckBaseHalf as usize, Param::NeckHalf as usize)] =
        column * sd[Param::NeckHalf as usize];
    // The kernel with free play is positive definite by construction.
    if let Some(root) = k.cholesky() {
        let l = root.l();
        for (i, p) in POSTURE.iter().enumerate() {
            for (j, q) in POSTURE.iter().enumerate() {
                spread[(*p as usize, *q as usize)] = l[(i, j)];
            }
        }
    }
    spread
}
