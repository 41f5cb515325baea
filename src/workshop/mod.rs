//! The workshop: a room, its materials and its machines. Every value has a default.

use crate::error::Finding;

mod blank;
pub mod family;
mod keys;
pub mod material;
mod pages;
mod paper;
mod part;
mod read;

pub use blank::blank;
pub use paper::size as paper_size;
pub use part::RANGES;
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

impl LayerStock {
    /// Height of one layer with its glue line, mm.
    #[must_use]
    pub fn pitch(&self) -> f64 {
        self.thickness + self.glue_line
    }
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
    /// Whether grain or flutes cross in every other layer, as plies do: odd layers lie as they stand
    /// or turned by half, even ones turned by a quarter.
    pub crossed: bool,
    /// How many there are of it, off-cuts for instance; as many as are needed when absent.
    pub count: Option<usize>,
    /// Whether neighbouring layers lie on one board, in order, even if that takes more boards.
    pub in_order: bool,
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
    /// Whether rods are sold in inch sizes here: which thinner ones a narrow neck may fall back on.
    pub inch: bool,
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
    /// Most layers drawn over one another on one template, 1 to [`Paper::MOST_OUTLINES`].
    pub outlines: usize,
    /// Whether layers that are the same on both sides are drawn by half, on the fold.
    pub fold: bool,
    /// What the two check bars ([`Paper::bars`]) measured on this printer, mm: the one along the
    /// page, the one across it.
    pub printed: Option<(f64, f64)>,
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
    /// Other materials that the file names: compared before cutting, and, those that are thinner
    /// than the first, built with where [`Workshop::step`] asks for it.
    pub other_layers: Vec<LayerStock>,
    /// Widest ledge from one layer to the next before a thinner material is taken, mm; absent: all
    /// layers are of the first material.
    pub step: Option<f64>,
    /// Ledges wider than this are filled with wedges, mm; absent: none are.
    pub wedges: Option<f64>,
    /// What the pieces are cut from, first choice first.
    pub stock: Vec<Stock>,
    /// For each stock in [`Workshop::stock`], which material it is of, counted from 0 as in
    /// [`Workshop::material`]; absent: it comes in all of them.
    pub stock_of: Vec<Option<usize>>,
    /// The rods.
    pub dowel: Dowelling,
    /// Diameter of the stand pole, mm; absent when there is none.
    pub pole: Option<f64>,
    /// Thickness of the base board, mm.
    pub base: f64,
    /// How far the form on its stand may be tilted before it falls, degrees.
    pub tilt: f64,
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

/// How far the form on its stand may be tilted before it falls when nobody says, degrees: above the
/// 6 to 8 degrees asked of standing lamps (IEC 60598-2-4, UL 153, as quoted). Where children or pets
/// can pull at it 15 are usual.
pub const USUAL_TILT_DEG: f64 = 10.0;

impl Workshop {
    /// Material number `i`: 0 is [`Workshop::layer`], the others follow as the file names them.
    #[must_use]
    pub fn material(&self, i: usize) -> &LayerStock {
        i.checked_sub(1)
            .and_then(|i| self.other_layers.get(i))
            .unwrap_or(&self.layer)
    }

    /// Numbers of the materials that layers are cut from: the first, and, where a widest step is
    /// asked for, every thinner one, the thickest first.
    #[must_use]
    pub fn materials_used(&self) -> Vec<usize> {
        let mut used = vec![0];
        if self.step.is_some() {
            let thinner = |i: &usize| self.material(*i).pitch() < self.layer.pitch();
            used.extend((1..=self.other_layers.len()).filter(thinner));
        }
        used.sort_by(|a, b| {
            let pitch = |i: &usize| self.material(*i).pitch();
            pitch(b).total_cmp(&pitch(a)).then(a.cmp(b))
        });
        used
    }

    /// Numbers of the stocks that pieces of material `i` may be cut from.
    #[must_use]
    pub fn stock_for(&self, i: usize) -> Vec<usize> {
        (0..self.stock.len())
            .filter(|k| {
                self.stock_of
                    .get(*k)
                    .copied()
                    .flatten()
                    .is_none_or(|of| of == i)
            })
            .collect()
    }
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
            step: None,
            wedges: None,
            stock: vec![Stock {
                width: 1000.0,
                length: 600.0,
                roll: false,
                margin: 5.0,
                gap: 4.0,
                kerf: 0.2,
                turns: vec![0.0, 90.0, 180.0, 270.0],
                crossed: false,
                count: None,
                in_order: false,
            }],
            stock_of: vec![None],
            dowel: Dowelling {
                diameter: 8.0,
                clearance: 0.3,
                count: 2,
                edge: 12.0,
                inch: false,
            },
            pole: Some(25.0),
            base: 12.0,
            tilt: USUAL_TILT_DEG,
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
                outlines: Paper::MOST_OUTLINES,
                fold: true,
                printed: None,
            },
            scale: 1.0,
            hem_below_hip: None,
            neck_above_girth: 10.0,
            prices: Prices::default(),
            findings: Vec::new(),
        }
    }
}
