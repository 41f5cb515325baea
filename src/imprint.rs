//! Who made a file, of what body: the program with its version, and a short fingerprint of the shape.
//! Two files of one imprint go together.

use crate::geom::Point3;

/// The program and its version, as files name it.
pub const PROGRAM: &str = concat!("layfigure ", env!("CARGO_PKG_VERSION"));

/// Shapes are told apart to this part of a millimetre: what is less is not cut by anybody.
const PARTS_OF_MM: f64 = 1000.0;
/// Bits of a fingerprint that are shown for a body: six letters, read aloud without a slip. One pair
/// of bodies in sixteen million looks the same.
const SHOWN_BITS: u32 = 24;

/// 64-bit FNV-1a (published by Fowler, Noll and Vo; offset and prime from memory): it tells a changed
/// file from an unchanged one, and guards against nobody.
#[must_use]
pub fn fingerprint(bytes: impl IntoIterator<Item = u8>) -> u64 {
    bytes.into_iter().fold(0xcbf2_9ce4_8422_2325, |hash, b| {
        (hash ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

/// What a body is called by its shape: six letters of `0` to `9` and `a` to `f`.
#[must_use]
pub fn of_shape<'a>(points: impl IntoIterator<Item = &'a Point3>) -> String {
    let bytes = points.into_iter().flat_map(|p| {
        let parts = [p.x, p.y, p.z].map(|v| ((v * PARTS_OF_MM).round() as i64).to_le_bytes());
        parts.into_iter().flatten()
    });
    format!("{:06x}", fingerprint(bytes) >> (u64::BITS - SHOWN_BITS))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fingerprints_are_those_that_were_published() {
        // Test vectors of the draft on FNV (draft-eastlake-fnv, appendix C, from memory).
        assert_eq!(fingerprint([]), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fingerprint(*b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fingerprint(*b"foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn a_shape_is_known_by_a_hundredth_of_a_millimetre() {
        let shape = [Point3::new(1.0, 2.0, 3.0), Point3::new(4.0, 5.0, 6.0)];
        let mut other = shape;
        assert_eq!(of_shape(&shape), of_shape(&other));
        assert_eq!(of_shape(&shape).len(), 6);
        other[1].z += 0.01;
        assert_ne!(of_shape(&shape), of_shape(&other));
    }
}
