//! Every numeric threshold of the crate, in three families.
//!
//! * `_EPS_MM`: guards against the last digits of `f64`; never shown to anybody.
//! * `_ACCURACY_MM`: how closely we compute or flatten a shape.
//! * `_TOLERANCE_MM`: what a maker accepts; shown in reports.
//!
//! Each constant says what is compared, why this size, and what goes wrong if it changes.

/// Two coordinates nearer than this are the same point. Our choice: far below any accuracy used
/// here, far above the rounding of `f64` at a metre (1e-13). Larger would weld real detail.
pub const SAME_POINT_EPS_MM: f64 = 1e-9;

/// Largest distance between the triangulated solid and the surface it stands for. Our choice: a
/// tenth of the printed accuracy of a tape; larger shows as facets, smaller costs triangles.
pub const MESH_ACCURACY_MM: f64 = 0.3;

/// Largest distance by which an outline may be simplified before it is drawn or cut. Our choice: a
/// fifth of a fine laser kerf (0.1 mm); larger shows on a knife cutter, smaller bloats the files.
pub const OUTLINE_ACCURACY_MM: f64 = 0.02;

/// How far the arcs written to cutting files may lie from the polygon that an outline is. Our choice,
/// as [`OUTLINE_ACCURACY_MM`]: a fifth of a fine laser kerf; larger shows on a knife cutter, smaller
/// takes many more arcs.
pub const CURVE_ACCURACY_MM: f64 = 0.02;

/// Outlines whose sides are this nearly the same are drawn by half, on the fold, and dowels this nearly
/// opposite are pricked through together. Our choice: half of a pencil line; larger would let a
/// lopsided body be folded, smaller would waste paper on what nobody can cut.
pub const FOLD_TOLERANCE_MM: f64 = 0.3;

/// Two lines on one template are this far from one another all round. Our choice: a strip that scissors take
/// off whole; larger takes more pages (65 instead of 61 for a contralto with 3 mm), smaller tears.
pub const TRIM_TOLERANCE_MM: f64 = 2.0;

/// A hole on a template is this far from every line of it. Our choice: a punch or an awl needs paper round it,
/// and a circle that touches a line is traced with it; larger takes more pages.
pub const PUNCH_TOLERANCE_MM: f64 = 1.5;

/// Girths, breadths, depths and lengths of a self-consistent sheet must be met this closely on the
/// solid. Our choice: half of the finest mark of a tape (1 mm).
pub const TAPE_TOLERANCE_MM: f64 = 0.5;

/// Neck base and armscye follow creases that no tape finds twice: their tolerance. Our choice.
pub const CREASE_TOLERANCE_MM: f64 = 1.0;

/// Wall gaps are read to about 5 mm (common practice, no source).
pub const WALL_TOLERANCE_MM: f64 = 5.0;

/// Shoulder slope, as an angle: half a degree, in radians.
pub const SLOPE_TOLERANCE_RAD: f64 = 0.5 * std::f64::consts::PI / 180.0;

/// Where a fit must hold the levels of a body in their order, it holds them so far apart: two that nearly
/// meet are a ledge, round which a tape loses its way. Of the men of the 1988 US Army survey, whose bust
/// points lie nearest to the armpit, 99 in 100 have them 12 mm apart or more.
pub const LEVELS_APART_MM: f64 = 10.0;

/// Where readings lead to a body whose levels are out of their order, the body that is kept in it may miss
/// one of them by this much; else the sheet is refused. Our choice: full sheets of real people lead there
/// rarely, and such a body then misses up to 2 cm, each reading named.
pub const KEPT_TOLERANCE_MM: f64 = 25.0;

/// A form that misses a tape reading or a height by more than this share of it, and by more than
/// [`NO_BODY_TOLERANCE_MM`], is nobody's and is refused. Our choice, well past what real bodies need: of
/// the people of the 1988 US Army survey who were kept out of every calibration, each fitted with all 27
/// readings at once, none is missed by 3 cm.
pub const NO_BODY_TOLERANCE: f64 = 0.1;
/// See [`NO_BODY_TOLERANCE`].
pub const NO_BODY_TOLERANCE_MM: f64 = 50.0;

/// Most that the shape may be amended by hand, mm either way. Our choice: about a fingerbreadth and a
/// half; more is a body that other measurements should describe, and dents would cut the outline.
pub const AMEND_MOST_MM: f64 = 30.0;

/// How far an amendment reaches, mm: from a palm to two hands. Our choice: steeper ones leave ridges
/// that no cloth lies on, wider ones are a matter of depth and breadth.
pub const AMEND_REACH_MM: [f64; 2] = [40.0, 200.0];

/// Levels nearer than this share one line and one name in drawings. Our choice: the width of a
/// pencil line; larger would hide levels that a tape tells apart.
pub const LEVEL_ACCURACY_MM: f64 = 0.5;

/// Acceptance of the finished, padded and covered form where the body is broad: bust, hip and top
/// hip girths (common practice, no source; a repeated girth itself differs by about as much).
pub const FINISHED_BROAD_TOLERANCE_MM: f64 = 10.0;

/// The same for waist, underbust, neck and every length along the body (common practice, no
/// source).
pub const FINISHED_NARROW_TOLERANCE_MM: f64 = 5.0;

/// The same for the shoulder length (common practice, no source).
pub const FINISHED_SHOULDER_TOLERANCE_MM: f64 = 3.0;

/// Height of the dry stack after 200 mm of layers (common practice, no source).
pub const STACK_HEIGHT_TOLERANCE_MM: f64 = 2.0;

/// Two levels nearer than this share one row of triangles. Our choice: ten times the rounding of the
/// single-precision coordinates in a solid file (6e-5 mm at 600 mm); smaller could write triangles
/// without area.
pub const ROW_SAME_EPS_MM: f64 = 1e-3;

/// Rows of triangles are not set closer than this, however sharply the surface bends. Our choice: a
/// third of [`MESH_ACCURACY_MM`]; a true crease would otherwise be halved for ever.
pub const ROW_GAP_ACCURACY_MM: f64 = 0.1;

/// The shoulder blades are looked for from this much below the bust level up, for the wall gap. Our
/// choice: blades of a stooping back reach a little below the bust; further down the back recedes.
pub const BLADES_BELOW_BUST_MM: f64 = 20.0;

/// How far the shapes that stand in for a piece while boards are searched may reach over its
/// dents. Our choice: a quarter of the usual gap between pieces (4 mm); larger wastes stock, smaller
/// makes the search slower. What is found is checked on the exact outlines.
pub const NEST_DENT_ACCURACY_MM: f64 = 1.0;

/// How far the shapes that stand in for a piece while boards are searched may reach over its
/// outline to have fewer corners. Our choice: a tenth of the grid; larger wastes stock, smaller
/// makes the search slower.
pub const NEST_OUTLINE_ACCURACY_MM: f64 = 0.2;

/// Grid on which pieces are moved while boards are searched. Our choice: half of the usual gap
/// between pieces; coarser wastes stock, finer makes the search slower. It touches no outline.
pub const NEST_GRID_ACCURACY_MM: f64 = 2.0;

/// Added to the distance to keep where overlaps are measured in single precision. Our choice: more
/// than single precision loses on pieces of a few metres (0.0005 mm), far less than the gap; smaller
/// could let a layout through that is then refused, larger wastes stock.
pub const NEST_DEPTH_EPS_MM: f64 = 0.002;

/// By how much the exact distance of two nested pieces may fall short of what was asked before a
/// layout is refused. Our choice: a thousandth of the step written to the files (0.001 mm).
pub const NEST_GAP_EPS_MM: f64 = 1e-6;

/// Two levels that lie close together (armpit and bust, hip and crotch) may be read in the wrong
/// order by this much: seen in the 1988 and 2012 US Army surveys. Larger lets swapped heights pass,
/// smaller refuses real people.
pub const LEVEL_OVERLAP_TOLERANCE_MM: f64 = 30.0;

/// A length along the body may read this much shorter than the difference of the heights of its
/// ends before somebody is asked: the repeat errors of two heights and a length (common practice,
/// no source). Larger lets slips pass, smaller asks about honest readings.
pub const LENGTH_READING_TOLERANCE_MM: f64 = 20.0;

/// The same, before the sheet is refused: the worst of 10 050 people in the 1988 and 2012 US Army
/// surveys read 50 mm too short. Larger lets impossible bodies pass, smaller refuses real sheets.
pub const LENGTH_REFUSED_TOLERANCE_MM: f64 = 60.0;

/// Left and right of one body that differ by more than this are asked about (common practice, no
/// source). Larger lets slips pass, smaller asks most people.
pub const SIDES_DIFFER_TOLERANCE_MM: f64 = 20.0;

/// The two halves of an arc may differ by this share of their mean before they are asked about. Our choice: a
/// breast of one side alone is a sixth to a fifth of it. Larger lets slips pass, smaller asks whoever has one.
pub const HALVES_DIFFER_TOLERANCE: f64 = 0.25;

/// The same for the slope of the shoulders: 8 degrees, in radians. Of 88 in 100 students the two
/// slopes were within 5 degrees (from memory).
pub const SIDES_DIFFER_TOLERANCE_RAD: f64 = 8.0 * std::f64::consts::PI / 180.0;

/// Two tries of one measurement that differ by less than twice this are called the same reading:
/// no `within` is written for them. Our choice: half a division of a centimetre tape, and what the
/// girth check holds. Smaller writes half-widths that nobody can read, larger hides real doubt.
pub const READINGS_AGREE_TOLERANCE_MM: f64 = 0.5;

/// The same for angles: a quarter of a degree, in radians, finer than any gauge for shoulders.
pub const READINGS_AGREE_TOLERANCE_RAD: f64 = 0.25 * std::f64::consts::PI / 180.0;

/// Two readings that differ by more than this many times what two tries of practised hands differ by
/// are not called two tries: one of them is a slip, or another measurement. Our choice: 5 cm on a bust,
/// 2.5 cm on a neck. Smaller scolds beginners, larger lets the mean of two things stand for one.
pub const READINGS_SLIP: f64 = 5.0;

/// Batting over a material that holds no pin holds one itself from this thickness on, mm. Our choice,
/// because a dressmaker's pin of 30 mm, put in slantwise, then lies in it with most of its length.
pub const PINNED_MM: f64 = 10.0;

/// A reading or half-width below this is none, mm (of angles, degrees). Our choice: a hundredth of the
/// finest mark of a tape; what is typed smaller is a slip, and would weigh in the fit like a proof.
pub const LEAST_READING_MM: f64 = 0.01;

/// A length of a file from this on is a slip of the pen, mm. Our choice: a hundred kilometres, far past
/// every range. What is longer counts as so long, since not all millimetres of it may be a number.
pub const BEYOND_MM: f64 = 1e8;

/// Paper whose sides are this near to those of a named size is called by its name. Our choice:
/// inch sizes are often rounded to whole millimetres; larger would confuse sizes.
pub const PAPER_SAME_TOLERANCE_MM: f64 = 0.6;

/// How closely a self-consistent sheet must be met, by what is measured: mm, or radians.
#[must_use]
pub fn for_measure(measure: crate::measure::Measure) -> f64 {
    use crate::measure::{Kind, Measure};
    match measure.kind() {
        Kind::Wall | Kind::Plumb => WALL_TOLERANCE_MM,
        Kind::Slope => SLOPE_TOLERANCE_RAD,
        _ if matches!(measure, Measure::GirthNeckBase | Measure::GirthArmscye) => {
            CREASE_TOLERANCE_MM
        }
        _ => TAPE_TOLERANCE_MM,
    }
}

/// Within what a finished form is called right, mm: `None` for what nobody checks on it.
#[must_use]
pub const fn finished(measure: crate::measure::Measure) -> Option<f64> {
    use crate::measure::Measure as M;
    match measure {
        M::GirthUpperChest | M::GirthBust | M::GirthAbdomen | M::GirthTopHip | M::GirthHip => {
            Some(FINISHED_BROAD_TOLERANCE_MM)
        }
        M::GirthNeck
        | M::GirthNeckBase
        | M::GirthUnderbust
        | M::GirthWaist
        | M::LengthBackWaist
        | M::LengthFrontWaist
        | M::LengthAcrossBack
        | M::LengthBustPointWidth => Some(FINISHED_NARROW_TOLERANCE_MM),
        M::LengthShoulder => Some(FINISHED_SHOULDER_TOLERANCE_MM),
        _ => None,
    }
}

/// Sections are simplified this closely before padding is taken off. Our choice: half of
/// [`OUTLINE_ACCURACY_MM`]; larger adds up with it, smaller makes the erosion slow.
pub const SECTION_ACCURACY_MM: f64 = 0.01;

/// Largest chord error of a round join, of a drilled hole drawn as a polygon, and of the balls that
/// take padding off and put it back. Our choice: a tenth of the play of a dowel; larger makes
/// corners of offset outlines flat.
pub const ARC_ACCURACY_MM: f64 = 0.01;

/// How closely padding is taken off along the normal; the core is never smaller than it should be,
/// and larger by at most this. Our choice: a twentieth of [`TAPE_TOLERANCE_MM`]; larger shows in
/// girths (times 2 pi at worst), smaller makes slicing slow.
pub const EROSION_ACCURACY_MM: f64 = 0.025;

/// How far inside the hem the lowest section is cut, so that a plane never lies in the flat end.
/// Our choice: far above the rounding of `f64`, far below any accuracy used here.
pub const END_SECTION_EPS_MM: f64 = 1e-6;

/// Largest spacing of the rings of the as-built solid over height. Our choice: rings lie on every
/// face, so crests are exact, and between them a ball of 5 mm bends by 0.1 mm over 2 mm; larger
/// blunts the hollows between layers, smaller costs triangles.
pub const BUILT_RING_ACCURACY_MM: f64 = 2.0;

/// Spacing of the rings of the core solid over height. Our choice, as [`BUILT_RING_ACCURACY_MM`];
/// the core is smooth, so it may be coarser.
pub const CORE_RING_ACCURACY_MM: f64 = 4.0;

/// When a piece is turned or flipped, some dowel must miss its hole by this much (root mean square
/// over the holes, play not counted). Our choice: ten times the usual play, plain to the eye;
/// smaller lets a forced piece thread, larger leaves no room in a neck.
pub const UNLIKE_TOLERANCE_MM: f64 = 3.0;

/// Outlines are simplified this closely to look for room for dowels, and the dowels kept as much further
/// in. Our choice: a wall a fifth of a millimetre thicker costs nothing, and few corners save time.
pub const ROOM_ACCURACY_MM: f64 = 0.2;

/// The wall round a dowel hole is not made thinner than this, but in the last resort. Our choice, for
/// foam and card (common practice, no source): less tears out when the dowel is pushed through.
pub const LEAST_WALL_TOLERANCE_MM: f64 = 4.0;

/// The wall in the last resort, where no dowel at all fits with [`LEAST_WALL_TOLERANCE_MM`] (the neck
/// of a small form). Our choice: a thin dowel still goes through by hand; with less it breaks out.
pub const LAST_WALL_TOLERANCE_MM: f64 = 3.0;

/// Girths of the triangulated solid at the named levels may be this much shorter than the surface's
/// own: chords are shorter than arcs. Our choice: a tenth of [`TAPE_TOLERANCE_MM`]; larger eats into
/// what the fit may miss, smaller costs triangles.
pub const GIRTH_ACCURACY_MM: f64 = 0.05;

/// Two triangles of one solid cross when an edge of one reaches this far through the other. Our
/// choice: above the rounding of the single-precision coordinates in a solid file (6e-5 mm at
/// 600 mm); smaller would call faces that touch a crossing.
pub const CROSSING_EPS_MM: f64 = 1e-3;

/// Layers whose heights differ by less than this are meant to be of one height. Our choice: `form.json` has
/// three decimals; larger would take a pile of a hundred layers for one that is half a millimetre higher.
pub const SAME_LAYER_ACCURACY_MM: f64 = 0.005;

/// Two dowels whose diameters differ by less than this are of one size. Our choice: dowels are seldom
/// nearer to the size they are sold as; larger would confuse 8 mm and 5/16 in (7.94 mm).
pub const SAME_DOWEL_TOLERANCE_MM: f64 = 0.05;

/// A dowel that was cut before may stand out of its topmost layer by this much. Our choice: what a
/// saw misses and foam gives way to; more keeps the layer above from lying down.
pub const DOWEL_LENGTH_TOLERANCE_MM: f64 = 1.0;

/// Girths as built are brought this near to those of the solid by moving outlines. Our choice: a
/// fifth of what is promised (1 mm); smaller asks for more rounds than it is worth.
pub const SETTLED_ACCURACY_MM: f64 = 0.2;

/// For the sake of one girth an outline is moved by no more than this. Our choice: less than the
/// padding that lies on it, and enough for layers of 10 mm. In steps of 25 mm and more a tape round the
/// neck base runs over corners that are feathered anyhow; to meet it, larger moves would draw neck and
/// shoulders in by a finger's breadth.
pub const MOST_MOVED_TOLERANCE_MM: f64 = 4.0;

/// Layers of a life-size form up to this thick come out with true girths when their outlines are moved
/// ([`MOST_MOVED_TOLERANCE_MM`]); thicker ones are not proposed to anyone for the hours that they would save.
pub const SETTLED_LAYER_MM: f64 = 10.0;

/// Share of the hours of a form that thicker sheets may take at most, before anybody is told of them. Our choice:
/// a sixth less is more than the hours of one person differ from another's guess.
pub const WORTH_SAVING: f64 = 0.85;

/// Waists that were taken at another level and are read at the natural one off the solid: 95 %
/// half-width. Women of the 1988 US Army survey: a spread of 63 mm of the natural girth and a
/// correlation of 0.88 with that at the navel leave 29 mm unexplained, doubled (derived). Smaller
/// would call a difference of definitions one of bodies.
pub const WAIST_MOVED_TOLERANCE_MM: f64 = 58.0;

/// How far a girth of the stack as built, padding and cover on, may be from that of the solid before
/// it is said. Our choice: a tenth of what a finished form may miss, and as fine as a hand tape
/// shows; larger would hide steps that read, smaller would warn of what nobody can measure.
pub const BUILT_TOLERANCE_MM: f64 = 1.0;

/// Heights at which the padding between a form and a body is read. Our choice: edges of batting are
/// feathered over three times as much; larger steps over a waist, smaller takes time.
pub const PAD_STEP_ACCURACY_MM: f64 = 10.0;

/// A corner of a face lies on the line between two others when they turn by less than this share of the
/// square of the face's extent. Our choice: far above the rounding of `f64` in turned coordinates, a
/// hundredth of a micron on a side as long as a body is wide; larger would call shallow dents straight.
pub const IN_LINE_EPS: f64 = 1e-10;
