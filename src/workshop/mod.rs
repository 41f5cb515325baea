//! The workshop: a room, its materials and its machines. Every value has a default.

use crate::error::Finding;

mod keys;
mod paper;
mod part;
mod read;

pub use paper::size as paper_size;
pub use read::read;

/// Which of the sections inside one layer's thickness is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cut {
    /// The section at half thickness, drawn in a little on leaning walls under padding, which rides
    /// on the outer corners of the steps: the padded girths come out right on average. On wide
    /// ledges, where the surface recedes by more than about one and a half layer heights from one
    /// layer to the next (shoulders), it goes over to the smaller face, so that padding fills the
    /// steps there too and nothing need be carved away.
    Middle,
    /// The smaller of the faces everywhere: padding fills the steps.
    Inside,
    /// The larger of the faces everywhere: sand the steps off.
    Outside,
}

/// The material of the layers.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerStock {
    /// What it is called.
    pub material: String,
    /// Measured thickness of one sheet, mm, the glue line not included.
    pub thickness: f64,
    /// kg per cubic metre.
    pub density: f64,
    /// Which section is cut.
    pub cut: Cut,
    /// Width of the wall when the layers are rings, mm; solid when absent.
    pub hollow: Option<f64>,
    /// Thickness of the glue between two layers, mm.
    pub glue_line: f64,
}

/// What the pieces are cut from.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// mm, along x of the board.
    pub width: f64,
    /// mm, along y of the board; for a roll the longest length cut at once.
    pub length: f64,
    /// Whether it comes off a roll.
    pub roll: bool,
    /// Clear edge all round, mm.
    pub margin: f64,
    /// Least distance between two finished pieces, mm, the kerf not included.
    pub gap: f64,
    /// Width of the cut, mm.
    pub kerf: f64,
    /// Turns allowed, degrees counter-clockwise.
    pub turns: Vec<f64>,
}

/// The rods that hold the layers.
#[derive(Clone, Debug, PartialEq)]
pub struct Dowelling {
    /// Measured diameter, mm.
    pub diameter: f64,
    /// Hole diameter less rod diameter, mm.
    pub clearance: f64,
    /// How many run through the trunk.
    pub count: usize,
    /// Least wall between a hole and the edge of a layer, mm.
    pub edge: f64,
}

/// What goes on the outside of the stack.
#[derive(Clone, Debug, PartialEq)]
pub struct Padding {
    /// Batting as compressed under the cover, mm.
    pub batting: f64,
    /// Cover cloth, mm.
    pub cover: f64,
}

/// The printer's paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Paper {
    /// Name: `A4`, `Letter`, `11x17`, `roll 610`.
    pub name: String,
    /// mm, the shorter side (a roll: its width).
    pub width: f64,
    /// mm, the longer side (a roll: the longest page).
    pub height: f64,
    /// Whether it comes off a roll.
    pub roll: bool,
    /// Edge that the printer leaves blank, mm.
    pub margin: f64,
    /// How far two pages of one piece overlap, mm.
    pub overlap: f64,
}

/// What things cost, where the file says so.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prices {
    /// What prices are counted in, as written: `EUR`, `pounds`; empty when not said.
    pub currency: String,
    /// One board, or one metre off a roll, in the order of [`Workshop::stock`].
    pub stock: Vec<Option<f64>>,
    /// One metre of dowel.
    pub dowel: Option<f64>,
    /// One square metre of batting.
    pub batting: Option<f64>,
}

/// Everything about the room.
#[derive(Clone, Debug, PartialEq)]
pub struct Workshop {
    /// The material of the layers.
    pub layer: LayerStock,
    /// Other materials that the file names: looked at before cutting, never built with.
    pub other_layers: Vec<LayerStock>,
    /// What the pieces are cut from, first choice first.
    pub stock: Vec<Stock>,
    /// The rods.
    pub dowel: Dowelling,
    /// Diameter of the stand pole, mm; absent when there is none.
    pub pole: Option<f64>,
    /// Thickness of the base board, mm.
    pub base: f64,
    /// Batting and cover.
    pub padding: Padding,
    /// The printer's paper.
    pub paper: Paper,
    /// Scale of the form: 1 or 0.5.
    pub scale: f64,
    /// Hem below the hip level, mm; absent: 0.055 of stature.
    pub hem_below_hip: Option<f64>,
    /// Neck top above the neck girth level, mm.
    pub neck_above_girth: f64,
    /// What things cost.
    pub prices: Prices,
    /// Warnings and notes of the reading; never a refusal.
    pub findings: Vec<Finding>,
}

impl Default for Workshop {
    /// The room when nothing is said: foam sheet of 6.35 mm (a quarter inch) on 1000 x 600 mm
    /// stock, cut inside with a 0.2 mm kerf; two 8 mm dowels and a 25 mm pole; 12 mm base board;
    /// 4 mm of compressed batting under a 1 mm cover; A4 paper. Common practice, no source.
    fn default() -> Self {
        Self {
            layer: LayerStock {
                material: "foam sheet".into(),
                thickness: 6.35,
                density: 35.0,
                cut: Cut::Middle,
                hollow: None,
                glue_line: 0.0,
            },
            other_layers: Vec::new(),
            stock: vec![Stock {
                width: 1000.0,
                length: 600.0,
                roll: false,
                margin: 5.0,
                gap: 4.0,
                kerf: 0.2,
                turns: vec![0.0, 90.0, 180.0, 270.0],
            }],
            dowel: Dowelling {
                diameter: 8.0,
                clearance: 0.3,
                count: 2,
                edge: 12.0,
            },
            pole: Some(25.0),
            base: 12.0,
            padding: Padding {
                batting: 4.0,
                cover: 1.0,
            },
            paper: Paper {
                name: "A4".into(),
                width: 210.0,
                height: 297.0,
                roll: false,
                margin: 10.0,
                overlap: 15.0,
            },
            scale: 1.0,
            hem_below_hip: None,
            neck_above_girth: 10.0,
            prices: Prices::default(),
            findings: Vec::new(),
        }
    }
}
