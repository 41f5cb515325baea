//! What is the matter with an answer about a room, beyond what the reading of the file says.

use crate::facts;
use crate::text;
use crate::text::mm;
use crate::text::typed as key;

facts! {
    /// Why an answer about a room is none.
    pub enum RoomFact {
        /// Nothing that is a unit.
        NoUnit {
            /// What was typed.
            typed: String,
        } => text![key(typed.clone()), " is not a unit that this program knows"],
             text!["type ", key("mm"), ", ", key("cm"), " or ", key("in")];
        /// The answers that are kept are in another unit.
        UnitIsKept => "the answers that are kept are in the other unit",
             text!["begin another file, or give single answers their unit: ", key("24 in")];
        /// Ten sheets that pile up to less than five of the thinnest that are sold.
        ThinSheets {
            /// The material.
            material: String,
            /// Of one sheet then, mm.
            thickness: f64,
            /// The thinnest that is sold, mm.
            sold: f64,
        } => text!["sheets of ", material, " would be ", mm(*thickness), " thick, and the thinnest sold are of about ",
                   mm(*sold)],
             text!["for the thickness of one sheet type ", key("one"), " before it"];
        /// Nothing that is the size of a board.
        NoBoard {
            /// What was typed.
            typed: String,
        } => text![key(typed.clone()), " is not the size of a board"],
             text!["type its two sides, ", key("1000 x 600"), " or ", key("48 x 24 in"), ", or the width of a roll, ",
                   key("roll 1500")];
        /// Nothing that cuts.
        NoMachine {
            /// What was typed.
            typed: String,
        } => text![key(typed.clone()), " is not one of the tools"],
             text!["type ", key("hand"), ", ", key("cutter"), ", ", key("laser"), " or ", key("router"),
                   "; the width of its cut may follow, ", key("laser 0.15")];
        /// A router without the width of its bit.
        NoBit => "a router takes away as much as its bit is wide",
             text!["type that too: ", key("router 3"), ", or ", key("router 1/8 in")];
        /// What no laser may cut.
        NoLaser {
            /// The material.
            material: String,
        } => text!["no laser may cut ", material],
             "choose another tool, or go back to the material: burning or hot it gives poisonous gas or flames, or \
              nobody knows what it gives";
        /// A laser was named, and then a material that none may cut.
        LaserTakenBack {
            /// The material.
            material: String,
        } => text!["no laser may cut ", material, ": the laser is taken out again"],
             "name another tool where it is asked for";
        /// More lengths than round a tin, bare and wrapped.
        NoPadding {
            /// What was typed.
            typed: String,
        } => text![key(typed.clone()), " is neither a thickness nor two readings round a tin"],
             text!["type how thick the batting is, ", key("4"), ", or what the tape reads round a tin, bare and wrapped: ",
                   key("300 and 332")];
    }
}
