//! What the material is, as far as its name tells: which glue, which cautions, which tools.

/// A family of sheet material.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stuff {
    /// Expanded or extruded polystyrene: solvents and heat melt it.
    Polystyrene,
    /// EVA foam.
    Eva,
    /// Another or an unnamed foam.
    Foam,
    /// Card, corrugated board, paper.
    Card,
    /// Plywood, hardboard, fibreboard, solid wood.
    Wood,
    /// Nothing we know.
    Unknown,
}

impl Stuff {
    /// The family that a material's name points to.
    pub(crate) fn named(material: &str) -> Self {
        let name = material.to_lowercase();
        let has = |words: &[&str]| {
            name.split(|c: char| !c.is_alphanumeric())
                .any(|w| words.contains(&w))
        };
        if has(&["xps", "eps", "polystyrene", "styrene"]) {
            Self::Polystyrene
        } else if has(&["eva"]) {
            Self::Eva
        } else if has(&["foam", "polyethylene", "pe"]) {
            Self::Foam
        } else if has(&[
            "ply",
            "plywood",
            "hardboard",
            "mdf",
            "fibreboard",
            "wood",
            "birch",
        ]) {
            Self::Wood
        } else if has(&[
            "card",
            "cardboard",
            "corrugated",
            "board",
            "paper",
            "greyboard",
        ]) {
            Self::Card
        } else {
            Self::Unknown
        }
    }

    /// Which glue suits, in one sentence.
    pub(crate) const fn glue(self) -> &'static str {
        match self {
            Self::Polystyrene => {
                "one that says foam-safe on its label (others dissolve polystyrene); \
                 low-temperature hot glue for tacking"
            }
            Self::Eva => "contact cement that suits EVA, or double-sided tape for a trial stack",
            Self::Foam => "one that says foam-safe on its label, tried on an offcut overnight",
            Self::Card => {
                "white (PVA) glue, spread thin: wet board cockles, so keep it under weight until dry"
            }
            Self::Wood => "white (PVA) or wood glue, clamped",
            Self::Unknown => "what the maker of the sheet recommends, tried on an offcut",
        }
    }

    /// What to do with sheets that do not lie flat, in one sentence (common practice, no source).
    pub(crate) const fn flat(self) -> &'static str {
        match self {
            Self::Card => {
                "Keep card dry and flat under boards, and turn warped sheets over half-way."
            }
            Self::Wood => "Leave out sheets that do not lie flat.",
            Self::Polystyrene | Self::Eva | Self::Foam | Self::Unknown => {
                "Flatten rolled foam under boards for a day or two, turned over half-way."
            }
        }
    }

    /// What to mind when it is cut, a sentence each.
    pub(crate) fn cautions(self) -> Vec<&'static str> {
        let mut out = vec![
            "Knife: a sharp blade, a cutting mat, the free hand behind the blade, several light \
             passes; retract it when you put it down, old blades into a sharps box. No blades, heat \
             or glue for children.",
        ];
        match self {
            Self::Polystyrene | Self::Eva | Self::Foam | Self::Unknown => out.push(
                "Laser: foam is not for the laser unless the machine's owner and the foam's data \
                 sheet both say so: some foams burn, some give poisonous gas. Never cut PVC, vinyl \
                 or an unknown plastic, and never leave a running laser.",
            ),
            Self::Card | Self::Wood => out.push(
                "Laser: extraction on, interlocks intact, never left running alone, a fire blanket \
                 or extinguisher at hand. Some workshops ban thick board: ask first.",
            ),
        }
        match self {
            Self::Polystyrene => out.push(
                "Hot wire: fumes of polystyrene irritate eyes and lungs: good ventilation or \
                 extraction, and mind the burn.",
            ),
            Self::Eva => out.push(
                "Heated EVA gives irritant fumes: outdoors or with extraction, people and pets away.",
            ),
            Self::Wood => out.extend([
                "Jigsaw, fretsaw and drill: glasses and ear defenders, the work clamped, a blade or bit \
                 for wood, no loose sleeves or gloves near what turns, hands off until it stands still; \
                 drill into a waste board, the piece held by a clamp. Be shown the machine first.",
                "Dust of wood and fibreboard harms the lungs: extract it, wear a mask that fits, \
                 vacuum, do not sweep.",
            ]),
            _ => {}
        }
        out
    }

    /// Rough speed of a hand tool, metres a minute from slow to fast, and its name; from memory.
    pub(crate) const fn by_hand(self) -> (&'static str, f64, f64) {
        match self {
            Self::Wood => ("jigsaw or fretsaw", 0.3, 0.5),
            _ => ("knife", 0.5, 1.0),
        }
    }
}
