//! Families of sheet material: which glue, which tools, and what can hurt.
//!
//! Glues, speeds and cautions are common practice (no source) and from memory of the trade; what a laser may
//! and may not cut is what published rules of university and school workshops agree on. The maker's data
//! sheet, local rules and people trained on the machine come first.

/// Whether a laser may cut it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Laser {
    /// Usual, with the usual care.
    Usual,
    /// Only if the machine's owner and the material's data sheet both say so.
    Ask,
    /// Never: it burns, or gives poisonous gas, or nobody knows what it is.
    Never,
}

/// A hand tool and how fast a practised hand cuts with it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tool {
    /// What it is called.
    pub name: &'static str,
    /// Slowest and fastest, metres a minute.
    pub speed: (f64, f64),
}

/// What materials of one kind have in common.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Family {
    /// What it is called in a sentence.
    pub name: &'static str,
    /// Which glue suits, in one sentence.
    pub glue: &'static str,
    /// What to do with sheets that do not lie flat, in one sentence.
    pub flat: &'static str,
    /// Whether a laser may cut it.
    pub laser: Laser,
    /// Whether a hot wire may cut it: polystyrene alone.
    pub hot_wire: bool,
    /// The hand tool.
    pub by_hand: Tool,
    /// What to mind that belongs to this kind alone, a sentence each.
    pub cautions: &'static [&'static str],
}

/// What holds for every laser, whatever lies on it.
pub const NEVER_ON_A_LASER: &str = "Never cut PVC, vinyl or an unknown plastic";

const KNIFE: Tool = Tool {
    name: "knife",
    speed: (0.5, 1.0),
};
const SAW: Tool = Tool {
    name: "jigsaw or fretsaw",
    speed: (0.3, 0.5),
};

const FLATTEN_FOAM: &str =
    "Flatten rolled foam under boards for a day or two, turned over half-way.";
const FLAT_OR_OUT: &str = "Leave out sheets that do not lie flat.";
const NO_HOT_WIRE: &str = "Hot wire: not on this. It is for polystyrene alone; other foams and plastics give poisonous gas.";
const FOAM_DUST: &str = "Sanding or sawing foam: outdoors or with extraction, a dust mask that fits, glasses, no flame or spark near; \
     vacuum, do not sweep.";
const WOOD_TOOLS: &str = "Jigsaw, fretsaw and drill: glasses and ear defenders, the work clamped, a blade or bit \
     for wood, no loose sleeves or gloves near what turns, hands off until it stands still; \
     drill into a waste board, the piece held by a clamp. Be shown the machine first.";
const ROUTER: &str = "Router: glasses, ear defenders and extraction; the sheet held down all over, nothing loose \
     on it, hands off until the tool stands still. Only somebody trained on the machine runs it.";
const WOOD_DUST: &str = "Dust of wood and fibreboard harms the lungs: extract it, wear a mask that fits, \
     vacuum, do not sweep.";

/// Expanded and extruded polystyrene: solvents and heat melt it.
pub const POLYSTYRENE: Family = Family {
    name: "polystyrene",
    glue: "one that says foam-safe on its label (others dissolve polystyrene); \
           low-temperature hot glue for tacking",
    flat: FLATTEN_FOAM,
    laser: Laser::Ask,
    hot_wire: true,
    by_hand: KNIFE,
    cautions: &[
        "Hot wire: fumes of polystyrene irritate eyes and lungs: good ventilation or \
         extraction, and mind the burn. On polystyrene only, never on another foam.",
        FOAM_DUST,
    ],
};

/// EVA foam.
pub const EVA: Family = Family {
    name: "EVA foam",
    glue: "contact cement that suits EVA, or double-sided tape for a trial stack",
    flat: FLATTEN_FOAM,
    laser: Laser::Ask,
    hot_wire: false,
    by_hand: KNIFE,
    cautions: &[
        "Heated EVA gives irritant fumes: outdoors or with extraction, people and pets away.",
        NO_HOT_WIRE,
        FOAM_DUST,
    ],
};

/// Another or an unnamed foam.
pub const FOAM: Family = Family {
    name: "foam",
    glue: "one that says foam-safe on its label, tried on an offcut overnight",
    flat: FLATTEN_FOAM,
    laser: Laser::Ask,
    hot_wire: false,
    by_hand: KNIFE,
    cautions: &[NO_HOT_WIRE, FOAM_DUST],
};

/// Foam between two faces of card.
pub const FOAM_CORE: Family = Family {
    name: "foam-core board",
    glue: "white (PVA) glue on its card faces, spread thin, under weight until dry; no solvent, which eats \
           the foam inside",
    flat: "Keep it dry and flat under boards, and leave out sheets that are bent.",
    laser: Laser::Ask,
    hot_wire: false,
    by_hand: KNIFE,
    cautions: &[NO_HOT_WIRE],
};

/// Polyurethane and insulation boards of which nobody knows whether they are.
pub const POLYURETHANE: Family = Family {
    name: "polyurethane or insulation foam",
    glue: "one that its label says is safe for this foam, tried on an offcut overnight",
    flat: FLAT_OR_OUT,
    laser: Laser::Never,
    hot_wire: false,
    by_hand: KNIFE,
    cautions: &[
        "Burning or hot, this foam can give hydrogen cyanide and other poisonous gas: no laser, no hot wire, no flame.",
        "Its dust irritates skin, eyes and lungs: cut it with a knife, and where you must saw or sand, outdoors \
         or with extraction, with a dust mask that fits, glasses, gloves and sleeves.",
    ],
};

/// Card: corrugated, solid and grey board.
pub const CARD: Family = Family {
    name: "card",
    glue: "white (PVA) glue, spread thin: wet board cockles, so keep it under weight until dry",
    flat: "Keep card dry and flat under boards, and turn warped sheets over half-way.",
    laser: Laser::Usual,
    hot_wire: false,
    by_hand: KNIFE,
    cautions: &[],
};

/// Plywood, hardboard, fibreboard, solid wood.
pub const WOOD: Family = Family {
    name: "wood",
    glue: "white (PVA) or wood glue, clamped",
    flat: FLAT_OR_OUT,
    laser: Laser::Usual,
    hot_wire: false,
    by_hand: SAW,
    cautions: &[WOOD_TOOLS, ROUTER, WOOD_DUST],
};

/// Chips of wood in resin, or, elsewhere, grey card: the name tells nobody which.
pub const CHIPBOARD: Family = Family {
    name: "chipboard",
    laser: Laser::Ask,
    ..WOOD
};

/// Felt.
pub const FELT: Family = Family {
    name: "felt",
    glue: "fabric glue or spray adhesive that suits felt, tried on an offcut",
    flat: "Lay it flat and let it rest; press it if its label allows.",
    laser: Laser::Ask,
    hot_wire: false,
    by_hand: KNIFE,
    cautions: &[],
};

/// PVC, vinyl, artificial leather.
pub const VINYL: Family = Family {
    name: "PVC or vinyl",
    glue: "what the maker of the sheet recommends: most that hold PVC are solvents, with vapour that harms \
           and burns",
    flat: FLAT_OR_OUT,
    laser: Laser::Never,
    hot_wire: false,
    by_hand: SAW,
    cautions: &[
        "PVC and vinyl give chlorine and acid when they are heated: no laser, no hot wire, no hot knife, no \
         flame. They harm anyone who breathes them and eat the machine.",
        "Sawing or routing it: slowly, so that it does not get hot, with glasses, a dust mask that fits and \
         extraction.",
    ],
};

/// Every other plastic.
pub const PLASTIC: Family = Family {
    name: "plastic",
    glue: "what the maker of the sheet recommends, tried on an offcut: many plastics take no glue at all",
    flat: FLAT_OR_OUT,
    laser: Laser::Never,
    hot_wire: false,
    by_hand: KNIFE,
    cautions: &[
        NO_HOT_WIRE,
        "Sawing or routing it: slowly, so that it does not get hot, with glasses, a dust mask that fits and \
         extraction.",
    ],
};

/// Nothing we know: treated as the most dangerous thing that it could be.
pub const UNKNOWN: Family = Family {
    name: "a material that this program does not know",
    glue: "what the maker of the sheet recommends, tried on an offcut",
    flat: FLATTEN_FOAM,
    laser: Laser::Never,
    hot_wire: false,
    by_hand: KNIFE,
    cautions: &[
        NO_HOT_WIRE,
        "Its dust and fumes are unknown too: glasses, a dust mask that fits, windows open; find its data sheet \
         before you saw, sand, heat or glue it.",
    ],
};
