//! Sums that the guide, the numbers and the shopping list share.

use crate::form::Form;
use crate::geom::{Outline, Point2};
use crate::layout::Board;
use crate::stack::{Layer, Piece, PieceId};
use crate::units;

/// How far a stand may be tilted before it falls where children or pets can pull at it (15 degrees: what the same rules ask of lamps
/// that appeal to children, as quoted).
pub const TILT_CAREFUL_DEG: f64 = 15.0;
/// Density of a wooden dowel, kg per cubic metre: beech, from memory.
const DOWEL_DENSITY: f64 = 700.0;
/// Cubic millimetres in a cubic metre.
const MM3_PER_M3: f64 = 1e9;

/// Sums over one form.
#[derive(Clone, Debug, Default)]
pub struct Totals {
    /// Number of layers.
    pub layers: usize,
    /// Number of pieces that are still to be cut, wedges with them.
    pub pieces: usize,
    /// How many of them lie on boards, whole or in parts: all but those of a pile that is there.
    pub laid: usize,
    /// How many cut-outs they make, parts counted one by one.
    pub cut_outs: usize,
    /// Number of boards.
    pub boards: usize,
    /// Area of all boards, mm².
    pub board_area: f64,
    /// Net area of all pieces and wedges that are still to be cut, mm².
    pub used_area: f64,
    /// Length of every cut that is still to be made: outlines and holes, mm.
    pub cut_length: f64,
    /// Weight of the layers, kg.
    pub layer_weight: f64,
    /// Weight of the dowels, kg.
    pub dowel_weight: f64,
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
    /// How far the middle of the weight stands from the pole (without one: from the middle of the
    /// base board), mm.
    pub off_pole: f64,
    /// Length of the pole from the floor (without a known height: from the base board) to the top of
    /// the highest layer it passes, mm.
    pub pole_length: Option<f64>,
    /// How far the form leans when it hangs from the middle of its neck cap, radians.
    pub hang_lean: f64,
    /// What the layers would weigh without lightening openings, kg.
    pub solid_weight: f64,
    /// Pieces that lie in an opening of another piece on their board.
    pub in_openings: usize,
    /// Base radius from the pole that resists the tilt that the workshop asks for, mm.
    pub base_radius: f64,
    /// Base radius that resists a tilt of [`TILT_CAREFUL_DEG`], mm.
    pub base_radius_careful: f64,
    /// How far the base board reaches from the pole where it reaches least, mm.
    pub board_reach: f64,
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
        batting_area: form.padded_area,
        height: stack.top() - zero,
        ..Totals::default()
    };
    let mut laid: Vec<PieceId> = Vec::new();
    for board in &form.boards {
        t.board_area += board.width * board.length;
        t.cut_outs += board.placed.len();
        laid.extend(board.placed.iter().map(|p| p.piece.whole()));
    }
    laid.sort_unstable();
    laid.dedup();
    t.laid = laid.len();
    for dowel in &stack.dowels {
        t.dowel_length += dowel.length;
        let area = std::f64::consts::PI * dowel.diameter * dowel.diameter / 4.0;
        t.dowel_weight += area * dowel.length * DOWEL_DENSITY / MM3_PER_M3;
    }
    let (plan, height) = stack.centre_of_weight(&form.workshop);
    t.centre = height - zero;
    let foot = stack.pole.map_or_else(|| stack.base.centroid(), |p| p.at);
    t.off_pole = (plan - foot).norm();
    t.solid_weight = solid_weight(form);
    t.in_openings = form.boards.iter().map(|b| inside_others(form, b)).sum();
    let hook = (plan - stack.cap.centroid()).norm();
    t.hang_lean = libm::atan2(hook, (stack.top() - height).max(THREAD_MM));
    let life_size = (stack.scale - 1.0).abs() < crate::tolerance::SAME_POINT_EPS_MM;
    t.stand = form
        .checked
        .mesh
        .marks
        .floor
        .filter(|_| life_size)
        .map(|(floor, _)| zero - floor)
        .filter(|h| *h > 0.0);
    t.pole_length = stack.pole.and_then(|pole| {
        let top = stack.layers.get(pole.last_layer.saturating_sub(1))?.top;
        Some(t.stand.unwrap_or(form.workshop.base) + top - zero)
    });
    // The weight of the base itself, which only helps, is left out. What stands off the pole brings
    // the edge nearer on one side.
    let centre = t.stand.unwrap_or(0.0) + t.centre;
    let radius = |degrees: f64| centre * libm::tan(units::radians(degrees)) + t.off_pole;
    t.board_reach = stack.base.distance(foot);
    (t.base_radius, t.base_radius_careful) = (radius(form.workshop.tilt), radius(TILT_CAREFUL_DEG));
    t
}

/// Least height over which a hung form can lean, mm: guards a division.
const THREAD_MM: f64 = 1.0;

/// Weight of the layers as if they had no openings but those of dowels and pole, kg.
fn solid_weight(form: &Form) -> f64 {
    let weight = |layer: &Layer| {
        let opened = |p: &Piece| p.openings().map(Outline::area).sum::<f64>();
        let area: f64 = layer.pieces.iter().map(|p| p.area + opened(p)).sum();
        let material = form.workshop.material(layer.material);
        area * material.thickness * material.density / MM3_PER_M3
    };
    form.stack.layers.iter().map(weight).sum()
}

/// How many pieces of a board lie in an opening of another.
fn inside_others(form: &Form, board: &Board) -> usize {
    let placed: Vec<(Outline, Point2)> = board
        .placed
        .iter()
        .filter_map(|p| {
            let piece = form
                .stack
                .to_cut()
                .map(|(_, q)| q)
                .find(|q| q.id == p.piece)?;
            let pose = p.pose();
            let points = piece.outline.points.iter().map(|q| pose.apply(*q));
            Some((
                Outline::new(points.collect()),
                pose.apply(piece.outline.points[0]),
            ))
        })
        .collect();
    placed
        .iter()
        .enumerate()
        .filter(|(i, (_, p))| {
            let mut others = placed.iter().enumerate().filter(|(k, _)| k != i);
            others.any(|(_, (outline, _))| outline.contains(*p))
        })
        .count()
}
