//! What the program says of a form as it is built, of a solid from elsewhere and of the choices of a plan.

use crate::fact::{AsField, Field};
use crate::facts;
use crate::measure::{Level, Measure, Side};
use crate::mesh::Spread;
use crate::text;
use crate::text::{Part, Text, many, typed};
use crate::units::Unit;

/// A reading that is off as built: what is measured, on which side, and by how much (mm).
pub type Off = ((Measure, Side), f64);
/// Levels in one layer, and the layer, counted from 1.
pub type Shared = (Vec<Level>, usize);

/// What is wrong with edges of a surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// Only one triangle has it.
    Open,
    /// More than two triangles have it.
    Crowded,
    /// Its triangles face opposite ways.
    Turned,
}

impl Edge {
    /// What one does, and several do.
    const fn words(self) -> [&'static str; 2] {
        match self {
            Self::Open => ["borders a hole", "border a hole"],
            Self::Crowded => [
                "has more than two triangles",
                "have more than two triangles",
            ],
            Self::Turned => [
                "joins two triangles, one of them inside out",
                "join two triangles, one of them inside out",
            ],
        }
    }
}

impl AsField for Edge {
    fn field(&self) -> Field {
        let name = match self {
            Self::Open => "open",
            Self::Crowded => "crowded",
            Self::Turned => "turned",
        };
        name.field()
    }
}

impl AsField for Spread {
    fn field(&self) -> Field {
        Field::List(vec![
            self.count.field(),
            self.low.field(),
            self.high.field(),
        ])
    }
}

fn between(spread: &Spread, unit: Unit) -> Text {
    text![
        "between heights ",
        Part::Length(spread.low, unit),
        " and ",
        Part::Length(spread.high, unit)
    ]
}

fn not_closed(edges: &[(Edge, Spread)], unit: Unit) -> Text {
    let said = edges.iter().map(|(edge, spread)| {
        let [one, several] = edge.words();
        let does = if spread.count == 1 { one } else { several };
        text![
            many(spread.count, "edge"),
            " ",
            does,
            ", ",
            between(spread, unit)
        ]
    });
    Text::joined(said, "; ")
}

fn off_as_built(girths: &[Off], together: &[Shared], unit: Unit) -> Text {
    let girths = girths.iter().map(|((measure, side), off)| {
        text![
            Part::Title(*measure, *side),
            " ",
            Part::Difference(*off, unit)
        ]
    });
    let mut said = text![
        "as built, these girths differ from the solid's: ",
        Text::joined(girths, ", ")
    ];
    if !together.is_empty() {
        let shared = together.iter().map(|(levels, layer)| {
            let names = levels.iter().map(|l| Part::Level(*l).into());
            text![Text::joined(names, " and "), " share layer ", *layer]
        });
        said.push(text![
            " (",
            Text::joined(shared, "; "),
            ", which has one girth)"
        ]);
    }
    said
}

facts! {
    /// What the program says of a form as it is built, and why its numbers cannot be written.
    pub enum FormFact {
        /// Readings of which not all can be met.
        NotAllMet {
            /// What is missed, each once.
            measures: Vec<Measure>,
        } => text![
            "these cannot all be met: ",
            Text::joined(measures.iter().map(|m| Text::from(*m)), ", ")
        ],
             text![
            "below, each MISSED says what it pulls against: measure these again at one level, or say how \
             sure each is with ",
            typed("within")
        ];

        /// Neither the material nor the padding holds a pin.
        HoldsNoPin {
            /// What the material is called.
            material: String,
            /// Thickness of the batting (mm).
            batting: f64,
            /// The least that holds one (mm).
            least: f64,
            /// The reader's unit.
            unit: Unit,
        } => text![material, " holds no pin, and ", unit.bench(*batting, 1),
                   " of batting is too thin to hold one"],
             text!["if you pin into the form, write ", typed("batting"), " of ", unit.rule(*least, 0),
                   " or more under ", typed("[padding]")];
        /// Letters that the pages do not have.
        NoSuchLetters {
            /// Them.
            letters: String,
        } => text!["the templates cannot print ", typed(letters.clone()), " of the name and show ", typed("?"),
                   " instead"],
             text!["write ", typed("name"),
                   " in Latin, Greek or Cyrillic letters if the pages must carry it"];
        /// Girths of the stack differ from the solid's.
        OffAsBuilt {
            /// Which, and by how much.
            girths: Vec<Off>,
            /// Levels that share a layer.
            together: Vec<Shared>,
            /// The unit to show them in.
            unit: Unit,
        } => off_as_built(girths, together, *unit),
             text!["thinner layers follow the body better (", typed("layfigure plan"),
                   " shows how much); or mend them with padding, as the guide says level by level"];
        /// The same of the neck base.
        NeckBaseOff {
            /// By how much (mm).
            off: f64,
            /// The unit to show it in.
            unit: Unit,
        } => text!["as built, the neck base is ", Part::Difference(*off, *unit),
                   " off the solid: the tape runs over steps that are too high for outlines to make up for"],
             text!["feather the steps at neck and shoulders with scraps until the tape reads right, or add a thin ",
                   typed("[[layer]]"), " and ", typed("form.step"), ", which puts thin layers there"];
        /// Pieces that no stock takes whole.
        CutInParts {
            /// How many.
            pieces: usize,
            /// Of how many parts they are.
            parts: usize,
        } => text![many(*pieces, "piece"), if *pieces == 1 { " is" } else { " are" },
                   " larger than the stock: cut in ", *parts,
                   " parts that hook into one another, the seam on the other side of the middle in every other \
                    layer"],
             "join the parts flat, glue them to the layers above and below, and let them dry under weights; \
              larger stock needs no seam";
        /// Numbers that JSON does not take.
        NoNumbers {
            /// What its writer said.
            said: String,
        } => text!["numbers cannot be written as JSON: ", said], "";
    }
}

facts! {
    /// What the program says of a solid from elsewhere, and why it cannot be read.
    pub enum SolidFact {
        /// Nothing is in it.
        Empty => "the solid is empty: no triangle of it has an area", "";
        /// It has holes, or parts that do not fit together.
        NotClosed {
            /// What is wrong, of how many edges and where.
            edges: Vec<(Edge, Spread)>,
            /// The unit of heights.
            unit: Unit,
        } => text!["the solid is not closed: ", not_closed(edges, *unit),
                   "; close it in the program that made it (often called ", typed("make solid"), " or ",
                   typed("fill holes"), ") and write it again"],
             "";
        /// Its triangles face inwards.
        InsideOut => "the solid is inside out: it was read from the other side", "";
        /// It is less tall, or taller, than anybody.
        NoBodysHeight {
            /// How tall (mm).
            height: f64,
            /// The unit of heights.
            unit: Unit,
        } => text!["the solid is ", Part::Length(*height, *unit), " high, which no body is"],
             text!["say which unit its numbers are in with ", typed("--solid-unit"),
                   " and which axis points up with ", typed("--up")];
        /// It passes through itself.
        Crosses {
            /// How many pairs of triangles do, and where.
            pairs: Spread,
            /// The unit of heights.
            unit: Unit,
        } => text!["the solid passes through itself: ", many(pairs.count, "pair"), " of triangles cross, ",
                   between(pairs, *unit)],
             "nothing is read where a cut meets a crossing; join the bodies into one in the program that made \
              them";
        /// Looking for all crossings would take too long.
        Tangled {
            /// How many triangles were not looked at, and where.
            unsearched: Spread,
            /// The unit of heights.
            unit: Unit,
        } => text!["the solid is so tangled that not all of it was searched for crossings: ",
                   many(unsearched.count, "triangle"), " are left, ", between(unsearched, *unit)],
             "join the bodies into one in the program that made them, and thin the mesh out";
        /// A step that gives more heights than are read.
        StepTooSmall {
            /// The most heights.
            most: usize,
        } => text!["more than ", *most, " heights would be read: choose a larger step"], "";
        /// More heights than are read.
        TooManyHeights {
            /// How many.
            heights: usize,
            /// The most.
            most: usize,
        } => text![*heights, " heights are more than the ", *most, " that are read at once: name fewer"], "";
        /// More triangles would be cut than there is time for.
        TooMuchToCut {
            /// At how many heights.
            heights: usize,
            /// How many triangles, counted again at every height.
            triangles: usize,
        } => text!["reading ", many(*heights, "height"), " of this solid would cut ", *triangles,
                   " triangles, which takes too long: read fewer heights at a time, or thin the mesh out"],
             "";
        /// How high the levels of a sheet lie is not known.
        NoFloor => "how high the levels lie above the floor is not known: give a height in the sheet", "";
        /// Most girths differ from the sheet's.
        OfSomebodyElse {
            /// How many are not.
            off: usize,
            /// How many were read.
            girths: usize,
        } => text![*off, " of ", *girths, " girths differ from the sheet's: the solid may be \
             another body or another size, or stand otherwise"],
             text!["look whether sheet and solid belong together; a half-scale form needs its ",
                   typed("--workshop"), ", a scan that stands on the floor ", typed("--lowest floor")];
    }
}

facts! {
    /// Why choices cannot be put side by side.
    pub enum PlanFact {
        /// A material of no known name.
        NoSuchMaterial {
            /// What was typed.
            name: String,
            /// The names that are known.
            known: Vec<&'static str>,
        } => text!["no material is known by the name ", typed(name.clone()), ": ", known.join(", "),
                   " are; or name it in a workshop file, with its ", typed("density")],
             "";
        /// More than are put side by side.
        TooManyChoices {
            /// How many.
            choices: usize,
            /// The most.
            most: usize,
        } => text![*choices, " choices are more than the ", *most,
                   " that can be compared at once: name fewer thicknesses or materials"],
             "";
    }
}

impl FormFact {
    /// Numbers that JSON does not take.
    pub(crate) fn no_numbers(said: &impl ToString) -> crate::error::Error {
        let said = said.to_string();
        crate::error::Error::format(Self::NoNumbers { said })
    }
}
