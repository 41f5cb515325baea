//! What a stack has to say, and why it cannot be made.

use super::dowel_size::label;
use crate::facts;
use crate::text;
use crate::text::{Part, Text, mm, mm0, mm1, typed};
use crate::units::fixed;

facts! {
    /// What a stack has to say, and why it cannot be made.
    pub enum StackFact {
        /// A loop of a section is too small to be cut.
        LoopLeftOut {
            /// The layer, counted from 1.
            layer: usize,
            /// mm².
            area: f64,
        } => text!["a loop of ", fixed(*area, 0), " mm² in layer ", *layer,
                   " is too small to cut and was left out"],
             "let the padding fill it";
        /// The topmost layer is too small to be cut.
        TopMerged {
            /// mm².
            area: f64,
        } => text!["the top layer would be only ", fixed(*area, 0), " mm² and was merged into the one below"],
             "fill its height with padding under the neck cap";
        /// A layer is not in one piece.
        LayerInPieces {
            /// The layer, counted from 1.
            layer: usize,
            /// How many they are.
            pieces: usize,
        } => text!["layer ", *layer, " falls into ", *pieces,
                   " separate pieces; dowels hold only the largest"],
             "glue the smaller ones to the layers above and below by their dashed outlines";
        /// Layers cannot be cut again from there.
        NoSuchRestart {
            /// The lowest to be cut again, counted from 1.
            layer: usize,
            /// How many layers the form has.
            layers: usize,
            /// The highest from which it can be.
            last: usize,
        } => text!["you cannot cut layers again from number ", *layer, ": the form has ", *layers, " layers; give 2 to ",
                   *last],
             "";
        /// A pile is too low or too high for the layers it is said to be of.
        NotThisPile {
            /// How many layers it has.
            layers: usize,
            /// How high it is said to be (mm).
            height: f64,
            /// How high it is meant to be (mm).
            meant: f64,
        } => text!["a pile of layers 1 to ", *layers, " cannot be ", mm1(*height),
                   " high: it is meant to be ", mm1(*meant),
                   "; count the layers and measure again, or write the thickness you find into ",
                   typed("layer.ten_stacked"), " and begin again"],
             "";
        /// Layers are cut again above a pile.
        CutAnew {
            /// How many layers the pile has.
            piled: usize,
            /// How many there are in all.
            layers: usize,
            /// How high the pile is (mm).
            height: f64,
            /// How high it was meant to be (mm).
            meant: f64,
            /// How much higher than the body's neck the form's ends (mm).
            higher: f64,
        } => text!["layers 1 to ", *piled, " are ", mm1(*height), " high instead of ", mm1(*meant),
                   ": layers ", *piled + 1, " to ", *layers,
                   " are cut again above them, and the neck ends ", mm1(higher.abs()), " ",
                   if *higher < 0.0 { "lower" } else { "higher" }, " than the body's"],
             "throw away the pieces that were cut for these layers before; the dowels keep their places";
        /// Rings are too narrow to be leant on.
        WeakWall {
            /// The material, as the workshop calls it.
            material: String,
            /// Width of the wall (mm).
            wall: f64,
            /// The least that holds (mm).
            least: f64,
        } => text!["rings of ", material, " with a wall of ", mm0(*wall),
                   " fold where the form is leant on or laced"],
             text!["make ", typed("layer.hollow"), " ", mm0(*least), " or more (common practice, no source)"];
        /// Layers cut again are too narrow for dowels that stand.
        RodsEndEarly {
            /// Which dowel, nothing being the pole, and the layer that it ends in, counted from 1.
            rods: Vec<(Option<String>, usize)>,
        } => text!["the layers cut again are too narrow for the dowels as they stand: ",
                   Text::joined(rods.iter().map(|(dowel, layer)| text![
                       dowel.as_ref().map_or_else(|| "the pole".into(), |name| text!["dowel ", name]),
                       " ends in layer ", *layer
                   ]), ", ")],
             "cut these dowels off there, and glue the layers above by their dashed outlines";
        /// Layers so thick that too few make the form.
        TooFewLayers {
            /// Height of the form (mm).
            height: f64,
            /// Height of a layer with its glue line (mm).
            pitch: f64,
            /// How many there would be.
            layers: usize,
        } => text!["a form ", mm0(*height), " high in layers of ", Part::Size(*pitch, 2), " has only ", *layers,
                   " layers; use thinner stock in ", typed("layer.thickness")],
             "";
        /// The same, of several materials.
        TooFewMixedLayers {
            /// Height of the form (mm).
            height: f64,
            /// How many there would be.
            layers: usize,
        } => text!["a form ", mm0(*height), " high has only ", *layers,
                   " layers of these materials; use thinner stock in ", typed("layer.thickness")],
             "";
        /// Layers so thin that too many make the form.
        TooManyLayers {
            /// Height of a layer with its glue line (mm).
            pitch: f64,
            /// How many there would be.
            layers: f64,
            /// The most that are made.
            most: usize,
        } => text!["layers of ", Part::Size(*pitch, 3), " would make ", format!("{layers:.0}"),
                   " of them, and the most is ", *most, "; check ", typed("layer.thickness"),
                   ", or glue several sheets together first and enter the thickness of the pack"],
             "";
        /// The same, of several materials.
        TooManyMixedLayers {
            /// The most that are made.
            most: usize,
        } => text!["more than ", *most, " layers would be needed; check the thicknesses of ", typed("[[layer]]")],
             "";
        /// A solid is flat.
        NoHeight => "the solid has no height", "";
        /// A triangle names a corner that is not there, or one twice.
        BrokenTriangle {
            /// Its number, counted from 1.
            triangle: usize,
        } => text!["triangle ", *triangle, " of the solid is broken"], "";
        /// A solid has holes.
        NotClosed => "the solid is not closed: two triangles must meet at every side", "";
        /// The padding takes all of the body at some height.
        NothingLeft {
            /// Height above the waist (mm).
            height: f64,
            /// Thickness of padding and cover (mm).
            thickness: f64,
        } => text!["nothing is left of the body at ", mm0(*height), " from the waist once ", mm1(*thickness),
                   " of padding and cover is taken off; use thinner ", typed("padding")],
             "";
        /// A pole does not go up as far as was wished.
        PoleEndsEarly {
            /// Its diameter (mm).
            diameter: f64,
            /// The layer it ends in, counted from 1.
            layer: usize,
            /// The layer it was wished to end in.
            wanted: usize,
        } => text!["a pole of ", mm(*diameter), " cannot pass straight up further than layer ",
                   *layer, " of the ", *wanted, " wanted"],
             text!["use a thinner ", typed("pole.diameter"), ", or let it end there"];
        /// Holes of dowels that do not tell a turned piece.
        HolesAlike {
            /// The lowest layer, counted from 1.
            first: usize,
            /// The highest.
            last: usize,
        } => text!["layers ", *first, " to ", *last,
                   " are too narrow for dowel holes that show a turned or flipped piece"],
             "watch the FRONT arrows and THIS SIDE UP there";
        /// Dowels are thinner, or nearer to the edge, than was wished.
        SlightRods {
            /// The lowest layer, counted from 1.
            first: usize,
            /// The highest.
            last: usize,
            /// Their names.
            rods: Vec<String>,
            /// Their diameter and the one wished (mm), where they differ.
            diameter: Option<(f64, f64)>,
            /// The wall round them and the one wished (mm), where it is less.
            wall: Option<(f64, f64)>,
        } => slight(*first, *last, rods, *diameter, *wall),
             "drill them with care and glue these layers well, or use thinner dowels throughout";
        /// A layer has no room for any dowel.
        NoRoomForRods {
            /// The layer, counted from 1.
            layer: usize,
            /// The least wall (mm).
            wall: f64,
        } => text!["no dowel fits through layer ", *layer, ": it is too small once ", mm1(*wall),
                   " of wall is kept; use thinner ", typed("padding"), " or a smaller ", typed("dowel.edge")],
             "";
    }
}

fn slight(
    first: usize,
    last: usize,
    dowels: &[String],
    diameter: Option<(f64, f64)>,
    wall: Option<(f64, f64)>,
) -> Text {
    let (noun, are, have) = if dowels.len() == 1 {
        ("dowel", "is", "has")
    } else {
        ("dowels", "are", "have")
    };
    let thinner =
        diameter.map(|(got, wished)| text![are, " ", label(got), " instead of ", label(wished)]);
    let nearer =
        wall.map(|(got, wished)| text![have, " ", mm1(got), " of wall instead of ", mm0(wished)]);
    text![
        "layers ",
        first,
        " to ",
        last,
        " are narrow: ",
        noun,
        " ",
        dowels.join(", "),
        " there ",
        Text::joined(thinner.into_iter().chain(nearer), " and ")
    ]
}
