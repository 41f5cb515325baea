//! Units a person types and reads; no other file converts.

/// Millimetres in an inch: exact by definition (international inch of 1959).
pub const MM_PER_INCH: f64 = 25.4;
/// Millimetres in a centimetre.
pub const MM_PER_CM: f64 = 10.0;

/// A unit of length that a sheet may be written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Centimetre.
    Cm,
    /// Millimetre.
    Mm,
    /// Inch.
    In,
}
