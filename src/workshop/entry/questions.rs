//! The questions about a room, in the order in which they are asked.

use crate::units::Unit;
use crate::workshop::Workshop;
use crate::workshop::keys;
use crate::workshop::keys::{layer, padding, paper, stock};

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// The unit of its lengths.
    Unit,
    /// What the layers are cut from.
    Material,
    /// How thick a sheet is.
    Thickness,
    /// How large a board is, or the bed of the machine.
    Board,
    /// What cuts it.
    Machine,
    /// The paper of the templates.
    Paper,
    /// How thick the padding is.
    Padding,
    /// The pole of the stand.
    Pole,
}

/// One question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Question {
    /// What it is about.
    pub asked: Asked,
    /// What it is called in a list.
    pub title: &'static str,
    /// What is asked.
    pub tell: &'static str,
    /// What helps to answer it.
    pub help: &'static str,
    /// Words that answer it or begin an answer, where there are only these.
    pub choice: &'static [&'static str],
    /// What to type, in front of the unit where it is a length.
    form: &'static str,
    /// Whether it is a length.
    length: bool,
}

/// All of them.
#[must_use]
pub const fn questions() -> &'static [Question] {
    &QUESTIONS
}

impl Question {
    /// What to type: `height of ten, mm`.
    #[must_use]
    pub fn prompt(&self, unit: Unit) -> String {
        if self.length {
            format!("{}, {}", self.form, unit.name())
        } else {
            self.form.to_owned()
        }
    }

    /// What is taken where it is left out.
    #[must_use]
    pub fn without(&self, unit: Unit) -> String {
        let length = |mm: f64| keys::written(mm, unit);
        match self.asked {
            Asked::Unit => Unit::Mm.name().to_owned(),
            Asked::Material => layer::MATERIAL.shown(unit).to_owned(),
            Asked::Thickness => length(10.0 * Workshop::usual(unit).layer.thickness),
            Asked::Board => {
                let sides = [stock::WIDTH, stock::LENGTH].map(|side| length(side.shown(unit)));
                sides.join(" x ")
            }
            Asked::Machine => format!(
                "a cut {} {} wide",
                length(stock::KERF.shown(unit)),
                unit.name()
            ),
            Asked::Paper => paper::SIZE.shown(unit).to_owned(),
            Asked::Padding => length(padding::BATTING.shown(unit)),
            Asked::Pole => "no pole".to_owned(),
        }
    }
}

const QUESTIONS: [Question; 8] = [
    Question {
        asked: Asked::Unit,
        title: "unit",
        tell: "In which unit do you measure boards and sheets? A single answer may carry another one: `24 in`.",
        help: "A bare number is read in this unit. With in, what you leave out is what is sold by the inch: Letter \
               paper, boards of 24 x 48 in, dowels of 3/8 in.",
        choice: &["mm", "cm", "in"],
        form: "mm, cm or in",
        length: false,
    },
    Question {
        asked: Asked::Material,
        title: "material",
        tell: "What are the layers cut from? Weight, tools, glue and cautions follow from its name.",
        help: "Type its name as it is sold: `EVA foam`, `birch plywood`. `layfigure plan --materials` lists the names \
               that the program knows, with sizes and weights. An unknown one is treated with every caution.",
        choice: &[],
        form: "material",
        length: false,
    },
    Question {
        asked: Asked::Thickness,
        title: "ten sheets",
        tell: "What do ten sheets pile up to? Sheets are seldom as thick as they are sold, and over a hundred layers \
               that adds up to centimetres.",
        help: "Pile ten sheets, lay a board on top and measure up to it. Where you have one sheet alone, or want to try \
               a size that is sold, type `one` and its thickness: `one 5`.",
        choice: &[],
        form: "height of ten, or `one` and a thickness",
        length: true,
    },
    Question {
        asked: Asked::Board,
        title: "board",
        tell: "How large is a board? Where the bed of your machine is smaller, type the bed: what is larger is then cut \
               in parts that hook into one another.",
        help: "Two sides, in either order: `1000 x 600`. What comes off a roll: `roll` and its width. Edge, gap, grain \
               and off-cuts have keys of their own in the blank file.",
        choice: &[],
        form: "two sides, or `roll` and its width",
        length: true,
    },
    Question {
        asked: Asked::Machine,
        title: "machine",
        tell: "What cuts it? hand: a knife, or a saw for wood; cutter: a machine that draws a knife; laser; router: with \
               the width of its bit, `router 3`.",
        help: "The cutting files give back the width of the cut, so that pieces come out true: 0 for a knife. For a \
               laser try it on a scrap and type it: `laser 0.15`. Never cut PVC, vinyl or an unknown plastic with a \
               laser. Be shown a machine first; its owner and the maker's data sheet say what may lie on it.",
        choice: &["hand", "cutter", "laser", "router"],
        form: "hand, cutter, laser or router",
        length: false,
    },
    Question {
        asked: Asked::Paper,
        title: "paper",
        tell: "Which paper does your printer take? Larger paper has fewer pages to join.",
        help: "A name (`A3`, `Letter`, `11x17`), two sides (`300 x 420 mm`) or a roll (`roll 610 mm`). A machine that \
               cuts needs no paper templates: leave it out.",
        choice: &[],
        form: "paper, as A4 or Letter",
        length: false,
    },
    Question {
        asked: Asked::Padding,
        title: "padding",
        tell: "How thick is the batting under a stretched cover? Layers are drawn smaller by it, cover and all. Surer \
               than a thickness is what the tape reads round a tin, bare and then wrapped: `300 and 332`.",
        help: "Wrap a tin or a pipe with batting and cover as tight as on the form; the program works the thickness \
               out. Without padding type 0.",
        choice: &[],
        form: "thickness, or two readings",
        length: true,
    },
    Question {
        asked: Asked::Pole,
        title: "pole",
        tell: "How thick is the pole that the form stands on, measured outside? Leave it out for a form without one, \
               which stands on its base board.",
        help: "A pipe, tube or round pole; it goes up through the layers. The guide says how wide the foot has to be so \
               that the form does not tip.",
        choice: &[],
        form: "diameter",
        length: true,
    },
];
