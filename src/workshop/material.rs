//! Sheet materials by the words of their names: of which family they are, what they weigh, in which thicknesses
//! and boards they are sold, and whether they hold a pin.
//!
//! A name is read for what could hurt first: a word of a plastic counts before any other, and "board" alone
//! decides nothing. What no row knows is [`UNKNOWN`].
//!
//! Each row names its source. "From memory" means common knowledge of the trade that no published
//! table was opened for; what is bought may differ, so a workshop file can say its own `density`.

use crate::workshop::family::{
    CARD, CHIPBOARD, EVA, FELT, FOAM, FOAM_CORE, Family, Laser, PLASTIC, POLYSTYRENE, POLYURETHANE,
    UNKNOWN, VINYL, WOOD,
};

/// Whether a pin pushed into the bare material stays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pins {
    /// It stays.
    Hold,
    /// It stays where it meets a wall of a flute, and wears the edge.
    Weakly,
    /// It does not go in: the padding must hold it.
    No,
}

/// One sheet material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// What it is called.
    pub name: &'static str,
    /// Of what kind it is.
    pub family: Family,
    /// Words of a material's name, in small letters, by which it is known; two that stand side by side are
    /// also read as one.
    pub words: &'static [&'static str],
    /// kg per cubic metre.
    pub density: f64,
    /// Thicknesses it is sold in, mm.
    pub thicknesses: &'static [f64],
    /// Boards it is sold in, width and length in mm.
    pub boards: &'static [(f64, f64)],
    /// Whether it holds a pin.
    pub pins: Pins,
    /// Least wall of a ring that is stacked and pinned, mm: our choice, wide enough to glue on and
    /// not to fold where it is leant on.
    pub least_wall: f64,
    /// Where the density is from.
    pub source: &'static str,
}

const MEMORY: &str = "from memory";

const XPS: &[f64] = &[20.0, 25.0, 30.0, 40.0, 50.0];
const XPS_BOARDS: &[(f64, f64)] = &[(600.0, 1250.0), (1220.0, 2440.0)];
const FLUTES: &[f64] = &[1.5, 3.0, 4.0, 5.0, 7.0];
const PANELS: &[(f64, f64)] = &[(1220.0, 2440.0)];
const ART_BOARDS: &[(f64, f64)] = &[(500.0, 700.0), (700.0, 1000.0)];

/// Every material known; the first of which a word is in the name counts.
pub const KNOWN: [Material; 20] = [
    Material {
        name: "PVC board",
        family: VINYL,
        words: &[
            "pvc",
            "upvc",
            "vinyl",
            "vinyls",
            "polyvinyl",
            "chloride",
            "leatherette",
            "leathercloth",
            "artificialleather",
            "fauxleather",
            "imitationleather",
        ],
        density: 600.0,
        thicknesses: &[3.0, 5.0, 10.0],
        boards: PANELS,
        pins: Pins::No,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "corrugated plastic",
        family: PLASTIC,
        words: &[
            "corrugatedplastic",
            "plasticcorrugated",
            "flutedplastic",
            "twinwall",
            "polypropylene",
            "pp",
        ],
        density: 180.0,
        thicknesses: &[3.0, 4.0, 5.0, 10.0],
        boards: PANELS,
        pins: Pins::Weakly,
        least_wall: 30.0,
        source: MEMORY,
    },
    Material {
        name: "PU board",
        family: POLYURETHANE,
        words: &[
            "polyurethane",
            "urethane",
            "pu",
            "pur",
            "pir",
            "polyiso",
            "polyisocyanurate",
            "phenolic",
        ],
        density: 32.0,
        thicknesses: &[20.0, 25.0, 30.0, 40.0, 50.0],
        boards: XPS_BOARDS,
        pins: Pins::Hold,
        least_wall: 40.0,
        source: MEMORY,
    },
    Material {
        name: "plastic sheet",
        family: PLASTIC,
        words: &[
            "plastic",
            "plastics",
            "acrylic",
            "polycarbonate",
            "abs",
            "hdpe",
            "ldpe",
            "pet",
            "petg",
            "nylon",
            "polyester",
            "acetate",
            "ptfe",
            "resin",
            "epoxy",
            "fibreglass",
            "fiberglass",
            "melamine",
            "rubber",
            "neoprene",
            "latex",
            "silicone",
            "composite",
        ],
        density: 1100.0,
        thicknesses: &[1.0, 2.0, 3.0, 5.0],
        boards: PANELS,
        pins: Pins::No,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "EVA foam",
        family: EVA,
        words: &["eva"],
        density: 110.0,
        thicknesses: &[2.0, 4.0, 6.0, 8.0, 10.0],
        boards: &[(500.0, 1000.0), (1000.0, 2000.0)],
        pins: Pins::Hold,
        least_wall: 30.0,
        source: MEMORY,
    },
    Material {
        name: "XPS board",
        family: POLYSTYRENE,
        words: &["xps", "extruded"],
        density: 25.0,
        thicknesses: XPS,
        boards: XPS_BOARDS,
        pins: Pins::Hold,
        least_wall: 30.0,
        source: "ASTM C578 type IV, least",
    },
    Material {
        name: "EPS board",
        family: POLYSTYRENE,
        words: &["eps", "polystyrene", "styrene"],
        density: 15.0,
        thicknesses: XPS,
        boards: XPS_BOARDS,
        pins: Pins::Hold,
        least_wall: 40.0,
        source: "ASTM C578 type I, least",
    },
    Material {
        name: "PE foam",
        family: FOAM,
        words: &["polyethylene", "pe", "pefoam"],
        density: 30.0,
        thicknesses: &[2.0, 5.0, 10.0, 12.0, 25.0],
        boards: &[(1000.0, 2000.0)],
        pins: Pins::Hold,
        least_wall: 40.0,
        source: MEMORY,
    },
    Material {
        name: "insulation board",
        family: POLYURETHANE,
        words: &["insulation", "insulating"],
        density: 30.0,
        thicknesses: &[20.0, 25.0, 30.0, 40.0, 50.0],
        boards: XPS_BOARDS,
        pins: Pins::Hold,
        least_wall: 40.0,
        source: MEMORY,
    },
    Material {
        name: "foam-core board",
        family: FOAM_CORE,
        words: &["foamcore", "foamboard", "foamcoreboard", "foamcored"],
        density: 100.0,
        thicknesses: &[3.0, 5.0, 10.0],
        boards: ART_BOARDS,
        pins: Pins::Hold,
        least_wall: 30.0,
        source: MEMORY,
    },
    Material {
        name: "foam sheet",
        family: FOAM,
        words: &["foam", "foams"],
        density: 35.0,
        thicknesses: &[3.0, 5.0, 6.35, 10.0, 20.0],
        boards: &[(1000.0, 600.0), (1000.0, 2000.0)],
        pins: Pins::Hold,
        least_wall: 40.0,
        source: MEMORY,
    },
    Material {
        name: "corrugated card",
        family: CARD,
        words: &["corrugated", "cardboard"],
        density: 150.0,
        thicknesses: FLUTES,
        boards: &[(1200.0, 2400.0)],
        pins: Pins::Weakly,
        least_wall: 30.0,
        source: MEMORY,
    },
    Material {
        name: "grey board",
        family: CARD,
        words: &[
            "greyboard",
            "grayboard",
            "pasteboard",
            "millboard",
            "mountboard",
            "matboard",
            "strawboard",
            "bookboard",
        ],
        density: 650.0,
        thicknesses: &[1.0, 1.5, 2.0, 3.0],
        boards: ART_BOARDS,
        pins: Pins::No,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "hardboard",
        family: WOOD,
        words: &["hardboard"],
        density: 950.0,
        thicknesses: &[3.0, 6.0],
        boards: PANELS,
        pins: Pins::No,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "MDF",
        family: WOOD,
        words: &["mdf", "hdf", "fibreboard", "fiberboard"],
        density: 720.0,
        thicknesses: &[3.0, 6.0, 9.0],
        boards: PANELS,
        pins: Pins::No,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "plywood",
        family: WOOD,
        words: &["ply", "plywood"],
        density: 620.0,
        thicknesses: &[3.0, 4.0, 6.0, 9.0, 12.0],
        boards: &[(1220.0, 2440.0), (1525.0, 1525.0)],
        pins: Pins::No,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "chipboard",
        family: CHIPBOARD,
        words: &["chipboard", "particleboard", "particle", "osb", "chip"],
        density: 650.0,
        thicknesses: &[2.0, 3.0, 8.0, 12.0],
        boards: PANELS,
        pins: Pins::No,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "solid wood",
        family: WOOD,
        words: &[
            "wood", "timber", "balsa", "pine", "birch", "poplar", "basswood", "lime", "beech",
            "oak", "spruce",
        ],
        density: 500.0,
        thicknesses: &[3.0, 4.0, 6.0, 9.0, 12.0],
        boards: &[(100.0, 1000.0), (200.0, 2000.0)],
        pins: Pins::No,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "card",
        family: CARD,
        words: &["card"],
        density: 150.0,
        thicknesses: FLUTES,
        boards: &[(1200.0, 2400.0)],
        pins: Pins::Weakly,
        least_wall: 30.0,
        source: MEMORY,
    },
    Material {
        name: "felt",
        family: FELT,
        words: &["felt"],
        density: 250.0,
        thicknesses: &[2.0, 3.0, 5.0],
        boards: &[(1000.0, 1000.0)],
        pins: Pins::Hold,
        least_wall: 40.0,
        source: MEMORY,
    },
];

/// Words that a name may have beside the one that tells what it is, without being another thing for it: sizes,
/// colours, how many walls or plies. Any other word may mean a coat or a treatment.
const PLAIN: &[&str] = &[
    "a",
    "and",
    "art",
    "artist",
    "b",
    "baltic",
    "bc",
    "beech",
    "birch",
    "black",
    "blue",
    "board",
    "boards",
    "box",
    "brown",
    "c",
    "cards",
    "cartridge",
    "cm",
    "core",
    "craft",
    "double",
    "e",
    "flute",
    "flutes",
    "from",
    "grade",
    "gray",
    "grey",
    "half",
    "heavy",
    "in",
    "inch",
    "kraft",
    "laser",
    "layer",
    "light",
    "medium",
    "mm",
    "model",
    "modelling",
    "natural",
    "of",
    "off",
    "old",
    "our",
    "packing",
    "panel",
    "paper",
    "ply",
    "poplar",
    "quality",
    "quarter",
    "raw",
    "recycled",
    "scrap",
    "sheet",
    "sheets",
    "single",
    "soft",
    "solid",
    "spruce",
    "stiff",
    "strong",
    "the",
    "thick",
    "thin",
    "three",
    "triple",
    "two",
    "unbleached",
    "used",
    "wall",
    "walled",
    "white",
    "wood",
];

/// The words of a name in small letters, each also joined with the next: `card board` is also `cardboard`.
fn words_of(name: &str) -> (Vec<String>, Vec<String>) {
    let name = name.to_lowercase();
    let single: Vec<String> = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(str::to_owned)
        .collect();
    let joined = single.windows(2).map(|w| w.concat()).collect();
    (single, joined)
}

/// The material that a name points to; nothing when no word of it is known. The first row counts, so that
/// what could hurt goes before everything else.
#[must_use]
pub fn named(name: &str) -> Option<&'static Material> {
    let (single, joined) = words_of(name);
    KNOWN.iter().find(|m| {
        let has = |w: &&str| single.iter().chain(&joined).any(|typed| typed == w);
        // "Card" alone tells nothing of what it is made of: a strange word beside it may.
        m.words.iter().any(has) && (m.words != ["card"] || is_plain(m, &single))
    })
}

/// Whether every word of a name is one of the material's own or says nothing of what it is made of.
fn is_plain(material: &Material, single: &[String]) -> bool {
    let name = material.name.to_lowercase();
    let own: Vec<&str> = name.split(|c: char| !c.is_alphanumeric()).collect();
    single.iter().all(|w| {
        let of_row = |known: &&str| *known == w.as_str();
        PLAIN.contains(&w.as_str())
            || own.contains(&w.as_str())
            || material.words.iter().any(of_row)
            || w.starts_with(|c: char| c.is_ascii_digit())
    })
}

/// Of what kind a material is, by its name.
#[must_use]
pub fn family(name: &str) -> Family {
    named(name).map_or(UNKNOWN, |m| m.family)
}

/// Whether a laser may cut the material of this name. Where it usually may, a word that is strange to this
/// program makes it a question: plywood may be faced with vinyl, and card be coated.
#[must_use]
pub fn laser(name: &str) -> Laser {
    let usual = family(name).laser;
    let strange = named(name).is_some_and(|m| !is_plain(m, &words_of(name).0));
    if usual == Laser::Usual && strange {
        Laser::Ask
    } else {
        usual
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ASTM C578: the least density of type I expanded polystyrene is 15 kg/m³, of type IV extruded
    /// polystyrene 25 kg/m³.
    #[test]
    fn polystyrene_has_its_standard_density() {
        for (name, density) in [("EPS board", 15.0), ("blue XPS", 25.0)] {
            let known = named(name).unwrap();
            assert!((known.density - density).abs() < 1e-9, "{name}");
            assert_eq!(known.family, POLYSTYRENE);
            assert_eq!(laser(name), Laser::Ask);
        }
    }

    #[test]
    fn the_nearest_word_counts() {
        let word = |name| named(name).map(|m| m.name);
        assert_eq!(word("EVA foam"), Some("EVA foam"));
        assert_eq!(word("foam-core board"), Some("foam-core board"));
        assert_eq!(word("corrugated card"), Some("corrugated card"));
        assert_eq!(word("birch plywood"), Some("plywood"));
        assert_eq!(word("wool"), None);
        for m in KNOWN {
            assert!(m.thicknesses.windows(2).all(|w| w[0] < w[1]), "{}", m.name);
            assert_eq!(named(m.name).map(|k| k.name), Some(m.name));
            assert!(!m.boards.is_empty() && m.least_wall > 0.0);
        }
    }
}
