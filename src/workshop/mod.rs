//! The workshop: a room, its materials and its machines. Every value has a default.

use crate::error::Finding;
use crate::units::Unit;

mod blank;
pub mod entry;
mod facts;
pub mod family;
mod keys;
pub mod material;
mod pages;
mod paper;
mod part;
mod read;
pub mod sold;
mod tables;

pub use blank::blank;
pub use facts::{Belongs, Misprint, WorkshopFact};
pub use keys::ranges;
pub use pages::PaperSize;
pub use paper::INCH_BAR;
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
    /// Which material it is of, counted from 0 as in [`Workshop::material`]; absent: it comes in all
    /// of them.
    pub of: Option<usize>,
    /// What one board costs, or one metre off a roll.
    pub price: Option<f64>,
}

/// The dowels that hold the layers.
#[derive(Clone, Debug, PartialEq)]
pub struct Dowelling {
    /// Measured diameter, mm.
    pub diameter: f64,
    /// Hole diameter less dowel diameter, mm.
    pub clearance: f64,
    /// How many run through the trunk.
    pub count: usize,
    /// Least wall between a hole and the edge of a layer, mm.
    pub edge: f64,
    /// Whether dowels are sold in inch sizes here: which thinner ones a narrow neck may fall back on.
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

impl Padding {
    /// Both, mm.
    #[must_use]
    pub fn thickness(&self) -> f64 {
        self.batting + self.cover
    }
}

/// The printer's paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Paper {
    /// What pages, cards and marks on pieces are written in: inches for anyone who reads those, else
    /// millimetres. The unit of its file, until a body is built that is read in another.
    pub unit: Unit,
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
    /// Most layers on one template, each line inside the one before, 1 to [`Paper::MOST_OUTLINES`].
    pub outlines: usize,
    /// Whether layers that are the same on both sides are drawn by half, on the fold.
    pub fold: bool,
    /// What the two check bars ([`Paper::bars`]) measured on this printer, mm: the one along the
    /// page, the one across it.
    pub printed: Option<(f64, f64)>,
}

/// What things cost beside the stock, where the file says so.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prices {
    /// What prices are counted in, as written: `EUR`, `pounds`; empty when not said.
    pub currency: String,
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
    /// The dowels.
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
pub const USUAL_TILT_DEG: f64 = keys::base::TILT.shown();

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
            .filter(|k| self.stock[*k].of.is_none_or(|of| of == i))
            .collect()
    }
}

impl Workshop {
    /// The room of somebody who measures in this unit when nothing is said: what the table of keys has for
    /// each, and the pole that its blank shows. In inches it has the paper, boards and dowels that are sold
    /// where inches are used.
    #[must_use]
    pub fn usual(unit: Unit) -> Self {
        use keys::{base, dowel, form, layer, padding, paper, pole, stock};
        let page = paper_size(paper::SIZE.shown(unit));
        let (name, width, height) = page.unwrap_or_default();
        Self {
            layer: LayerStock {
                material: layer::MATERIAL.shown(unit).into(),
                thickness: layer::THICKNESS.shown(unit),
                density: layer::DENSITY.shown(),
                cut: Cut::Middle,
                hollow: None,
                glue_line: layer::GLUE_LINE.shown(unit),
            },
            other_layers: Vec::new(),
            step: None,
            wedges: None,
            stock: vec![Stock {
                width: stock::WIDTH.shown(unit),
                length: stock::LENGTH.shown(unit),
                roll: stock::ROLL.shown(),
                margin: stock::MARGIN.shown(unit),
                gap: stock::GAP.shown(unit),
                kerf: stock::KERF.shown(unit),
                turns: stock::TURN.shown().to_vec(),
                crossed: false,
                count: None,
                in_order: false,
                of: None,
                price: None,
            }],
            dowel: Dowelling {
                diameter: dowel::DIAMETER.shown(unit),
                clearance: dowel::CLEARANCE.shown(unit),
                count: dowel::COUNT.shown(),
                edge: dowel::EDGE.shown(unit),
                inch: unit == Unit::In,
            },
            pole: Some(pole::DIAMETER.shown(unit)),
            base: base::THICKNESS.shown(unit),
            tilt: base::TILT.shown(),
            padding: Padding {
                batting: padding::BATTING.shown(unit),
                cover: padding::COVER.shown(unit),
            },
            paper: Paper {
                unit,
                name,
                width,
                height,
                roll: false,
                margin: paper::MARGIN.shown(unit),
                overlap: paper::OVERLAP.shown(unit),
                outlines: paper::OUTLINES.shown(),
                fold: paper::FOLD.shown(),
                printed: None,
            },
            scale: form::SCALE.kind.0[0],
            hem_below_hip: None,
            neck_above_girth: form::TO.shown(unit),
            prices: Prices::default(),
            findings: Vec::new(),
        }
    }
}

impl Default for Workshop {
    /// The usual room in millimetres.
    fn default() -> Self {
        Self::usual(Unit::Mm)
    }
}
