//! Why the file of a solid cannot be read.

use crate::facts;
use crate::text;
use crate::text::{Text, typed};

/// What a file is read as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SolidFormat {
    /// Triangles, as numbers or as text.
    Stl,
    /// Corners and faces, as text.
    Obj,
}

impl crate::fact::AsField for SolidFormat {
    fn field(&self) -> crate::fact::Field {
        crate::fact::Field::Word(self.name().to_owned())
    }
}

impl SolidFormat {
    const fn name(self) -> &'static str {
        match self {
            Self::Stl => "STL",
            Self::Obj => "OBJ",
        }
    }

    /// The beginning of every sentence about such a file.
    fn unread(self) -> Text {
        text!["the solid cannot be read as ", self.name(), ": "]
    }
}

facts! {
    /// Why the file of a solid cannot be read.
    pub enum MeshFact {
        /// The system did not give the bytes.
        Unreadable {
            /// What it is read as.
            kind: SolidFormat,
            /// What the system said.
            said: String,
        } => text![kind.unread(), said], "";
        /// A line is too long for text.
        LongLine {
            /// What the file is read as.
            kind: SolidFormat,
            /// Its number, counted from 1.
            line: usize,
            /// The longest that is read (MiB).
            mebibytes: usize,
        } => text![kind.unread(), "line ", *line, " is longer than the ", *mebibytes, " MiB that are read"], "";
        /// A binary file is not as long as it says.
        CutShort {
            /// How many triangles its header promises.
            triangles: usize,
            /// How many bytes those take.
            needed: usize,
            /// How many it has.
            length: usize,
        } => text![SolidFormat::Stl.unread(), "its header promises ", *triangles, " triangles, which takes ", *needed,
                   " bytes, but the file has ", *length, ": it is cut short, or not an STL file"],
             "";
        /// Neither of the two kinds of STL.
        NoStl => text![SolidFormat::Stl.unread(), "it is neither binary nor text STL"], "";
        /// A file without a triangle.
        NoTriangles => text![SolidFormat::Stl.unread(), "it holds no triangles"], "";
        /// More triangles than are read.
        TooManyTriangles {
            /// How many they are.
            triangles: usize,
            /// The most that are read.
            most: usize,
        } => text![SolidFormat::Stl.unread(), *triangles, " triangles are more than the ", *most,
                   " that are read; thin the mesh out"],
             "";
        /// A corner that is not a number.
        NotFinite {
            /// The triangle, counted from 1.
            triangle: usize,
        } => text![SolidFormat::Stl.unread(), "triangle ", *triangle, " has a corner that is not a finite number"], "";
        /// A corner without its three numbers.
        NotThreeNumbers {
            /// What the file is read as.
            kind: SolidFormat,
            /// The line, counted from 1.
            line: usize,
        } => text![kind.unread(), "line ", *line, ": ",
                   typed(match kind { SolidFormat::Stl => "vertex", SolidFormat::Obj => "v" }), " needs three numbers"],
             "";
        /// A loop with more or fewer corners than three.
        NotThreeCorners {
            /// The line, counted from 1.
            line: usize,
        } => text![SolidFormat::Stl.unread(), "line ", *line, ": a loop that does not have three corners"], "";
        /// A text without its end.
        NoEnd => text![SolidFormat::Stl.unread(), "the text stops before ", typed("endsolid"),
                       ": the file is cut short"],
                 "";
        /// More corners than are read.
        TooManyCorners {
            /// The line, counted from 1.
            line: usize,
        } => text![SolidFormat::Obj.unread(), "line ", *line, ": more corners than are read; thin the mesh out"], "";
        /// A face with too few corners, or with one that is not there.
        NoFace {
            /// The line, counted from 1.
            line: usize,
        } => text![SolidFormat::Obj.unread(), "line ", *line, ": ", typed("f"),
                   " needs three or more corners that stand above it"],
             "";
        /// More faces than are read.
        TooManyFaces {
            /// The line, counted from 1.
            line: usize,
            /// The most triangles that are read.
            most: usize,
        } => text![SolidFormat::Obj.unread(), "line ", *line, ": more than the ", *most,
                   " triangles that are read; thin the mesh out"],
             "";
        /// A file without a face.
        NoFaces => text![SolidFormat::Obj.unread(), "it holds no faces"], "";
    }
}
