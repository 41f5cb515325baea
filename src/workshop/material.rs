//! Sheet materials by a word of their name: what they weigh, in which thicknesses and boards they
//! are sold, whether they hold a pin, and whether a laser may cut them.
//!
//! Each row names its source. "From memory" means common knowledge of the trade that no published
//! table was opened for; what is bought may differ, so a workshop file can say its own `density`.

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

/// Whether a laser may cut it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Laser {
    /// Usual, with the usual care.
    Usual,
    /// Only if the machine's owner and the material's data sheet both say so.
    Ask,
}

/// One sheet material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// What it is called.
    pub name: &'static str,
    /// Words of a material's name, in small letters, by which it is known.
    pub words: &'static [&'static str],
    /// kg per cubic metre.
    pub density: f64,
    /// Thicknesses it is sold in, mm.
    pub thicknesses: &'static [f64],
    /// Boards it is sold in, width and length in mm.
    pub boards: &'static [(f64, f64)],
    /// Whether it holds a pin.
    pub pins: Pins,
    /// Whether a laser may cut it.
    pub laser: Laser,
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
pub const KNOWN: [Material; 13] = [
    Material {
        name: "EVA foam",
        words: &["eva"],
        density: 110.0,
        thicknesses: &[2.0, 4.0, 6.0, 8.0, 10.0],
        boards: &[(500.0, 1000.0), (1000.0, 2000.0)],
        pins: Pins::Hold,
        laser: Laser::Ask,
        least_wall: 30.0,
        source: MEMORY,
    },
    Material {
        name: "XPS board",
        words: &["xps", "extruded"],
        density: 25.0,
        thicknesses: XPS,
        boards: XPS_BOARDS,
        pins: Pins::Hold,
        laser: Laser::Ask,
        least_wall: 30.0,
        source: "ASTM C578 type IV, least",
    },
    Material {
        name: "EPS board",
        words: &["eps", "polystyrene"],
        density: 15.0,
        thicknesses: XPS,
        boards: XPS_BOARDS,
        pins: Pins::Hold,
        laser: Laser::Ask,
        least_wall: 40.0,
        source: "ASTM C578 type I, least",
    },
    Material {
        name: "PE foam",
        words: &["polyethylene", "pe foam"],
        density: 30.0,
        thicknesses: &[2.0, 5.0, 10.0, 12.0, 25.0],
        boards: &[(1000.0, 2000.0)],
        pins: Pins::Hold,
        laser: Laser::Ask,
        least_wall: 40.0,
        source: MEMORY,
    },
    Material {
        name: "foam-core board",
        words: &["foam-core", "foamcore"],
        density: 100.0,
        thicknesses: &[3.0, 5.0, 10.0],
        boards: ART_BOARDS,
        pins: Pins::Hold,
        laser: Laser::Ask,
        least_wall: 30.0,
        source: MEMORY,
    },
    Material {
        name: "foam sheet",
        words: &["foam"],
        density: 35.0,
        thicknesses: &[3.0, 5.0, 6.35, 10.0, 20.0],
        boards: &[(1000.0, 600.0), (1000.0, 2000.0)],
        pins: Pins::Hold,
        laser: Laser::Ask,
        least_wall: 40.0,
        source: MEMORY,
    },
    Material {
        name: "corrugated card",
        words: &["corrugated", "cardboard"],
        density: 150.0,
        thicknesses: FLUTES,
        boards: &[(1200.0, 2400.0)],
        pins: Pins::Weakly,
        laser: Laser::Usual,
        least_wall: 30.0,
        source: MEMORY,
    },
    Material {
        name: "grey board",
        words: &["grey board", "greyboard", "chip"],
        density: 650.0,
        thicknesses: &[1.0, 1.5, 2.0, 3.0],
        boards: ART_BOARDS,
        pins: Pins::No,
        laser: Laser::Usual,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "hardboard",
        words: &["hardboard"],
        density: 950.0,
        thicknesses: &[3.0, 6.0],
        boards: PANELS,
        pins: Pins::No,
        laser: Laser::Usual,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "MDF",
        words: &["mdf", "fibreboard"],
        density: 720.0,
        thicknesses: &[3.0, 6.0, 9.0],
        boards: PANELS,
        pins: Pins::No,
        laser: Laser::Usual,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "plywood",
        words: &["ply"],
        density: 620.0,
        thicknesses: &[3.0, 4.0, 6.0, 9.0, 12.0],
        boards: &[(1220.0, 2440.0), (1525.0, 1525.0)],
        pins: Pins::No,
        laser: Laser::Usual,
        least_wall: 20.0,
        source: MEMORY,
    },
    Material {
        name: "card",
        words: &["card"],
        density: 150.0,
        thicknesses: FLUTES,
        boards: &[(1200.0, 2400.0)],
        pins: Pins::Weakly,
        laser: Laser::Usual,
        least_wall: 30.0,
        source: MEMORY,
    },
    Material {
        name: "felt",
        words: &["felt"],
        density: 250.0,
        thicknesses: &[2.0, 3.0, 5.0],
        boards: &[(1000.0, 1000.0)],
        pins: Pins::Hold,
        laser: Laser::Ask,
        least_wall: 40.0,
        source: MEMORY,
    },
];

/// The material that a name points to; nothing when no word of it is known.
#[must_use]
pub fn named(name: &str) -> Option<&'static Material> {
    let name = name.to_lowercase();
    KNOWN
        .iter()
        .find(|m| m.words.iter().any(|w| name.contains(w)))
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
            assert_eq!(known.laser, Laser::Ask);
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
