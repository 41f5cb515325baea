//! Sums that the guide, the numbers and the shopping list share.

use crate::report::Form;
use crate::units;

/// How far a loaded stand may be tilted before it falls, degrees: our aim for an ordinary room,
/// above the 6 to 8 degrees asked of standing lamps (IEC 60598-2-4, UL 153, as quoted).
pub const TILT_DEG: f64 = 10.0;
/// The same where children or pets can pull at it (15 degrees: what the same rules ask of lamps
/// that appeal to children, as quoted).
pub const TILT_CAREFUL_DEG: f64 = 15.0;
/// Density of a wooden rod, kg per cubic metre: beech, from memory.
const ROD_DENSITY: f64 = 700.0;
/// Cubic millimetres in a cubic metre.
const MM3_PER_M3: f64 = 1e9;

/// Sums over one form.
#[derive(Clone, Debug, Default)]
pub struct Totals {
    /// Number of layers.
    pub layers: usize,
    /// Number of pieces.
    pub pieces: usize,
    /// Number of boards.
    pub boards: usize,
    /// Area of all boards, mm².
    pub board_area: f64,
    /// Net area of all pieces, mm².
    pub used_area: f64,
    /// Length of every cut: outlines and holes, mm.
    pub cut_length: f64,
    /// Weight of the layers, kg.
    pub layer_weight: f64,
    /// Weight of the rods, kg.
    pub rod_weight: f64,
    /// Surface that batting covers, without the flat ends, mm².
    pub batting_area: f64,
    /// Length of all dowels, mm.
    pub dowel_length: f64,
    /// Height of the stack, mm.
    pub height: f64,
    /// Height of the middle of the layers' weight above the underside of layer 1, mm.
    pub centre: f64,
    /// From the floor to the underside of layer 1 so that the form's waist stands as high as the
    /// person's, mm; nothing when the floor is not known or the form is not life size.
    pub stand: Option<f64>,
    /// Base radius that resists a tilt of [`TILT_DEG`], mm.
    pub base_radius: f64,
    /// Base radius that resists a tilt of [`TILT_CAREFUL_DEG`], mm.
    pub base_radius_careful: f64,
}

/// The height, in the program's axes, of the underside of layer 1: where `form.json` puts 0.
#[must_use]
pub fn underside(form: &Form) -> f64 {
    form.stack.bottom()
}

/// All sums of `form`.
#[must_use]
pub fn totals(form: &Form) -> Totals {
    let stack = &form.stack;
    let zero = underside(form);
    let mut t = Totals {
        layers: stack.layers.len(),
        pieces: stack.piece_count(),
        boards: form.boards.len(),
        used_area: stack.area(),
        cut_length: stack.cut_length(),
        layer_weight: stack.weight(&form.workshop),
        batting_area: stack.padded_area(),
        height: stack.top() - zero,
        ..Totals::default()
    };
    let mut moment = 0.0;
    for layer in &stack.layers {
        for piece in &layer.pieces {
            moment += piece.area * (f64::midpoint(layer.bottom, layer.top) - zero);
        }
    }
    for board in &form.boards {
        t.board_area += board.width * board.length;
    }
    for dowel in &stack.dowels {
        t.dowel_length += dowel.length;
        let area = std::f64::consts::PI * dowel.diameter * dowel.diameter / 4.0;
        t.rod_weight += area * dowel.length * ROD_DENSITY / MM3_PER_M3;
    }
    if t.used_area > 0.0 {
        t.centre = moment / t.used_area;
    }
    let life_size = (stack.scale - 1.0).abs() < crate::tolerance::SAME_POINT_EPS_MM;
    t.stand = form
        .checked
        .mesh
        .marks
        .floor
        .filter(|_| life_size)
        .map(|(floor, _)| zero - floor)
        .filter(|h| *h > 0.0);
    // The weight of the base itself, which only helps, is left out.
    let centre = t.stand.unwrap_or(0.0) + t.centre;
    t.base_radius = centre * libm::tan(units::radians(TILT_DEG));
    t.base_radius_careful = centre * libm::tan(units::radians(TILT_CAREFUL_DEG));
    t
}
