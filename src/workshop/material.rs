//! Sheet materials by a word of their name: what they weigh, in which thicknesses they are sold,
//! whether they hold a pin, and whether a laser may cut them.
//!
//! Thicknesses and densities are usual values, from memory of the trade, except expanded and
//! extruded polystyrene (ASTM C578 types I and IV: 15 and 25 kg/m³ and more) and the flutes of
//! corrugated board (E about 1.5 mm, B 3, C 4, A 5, double wall 7: from memory of the trade).

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
    /// Word of a material's name, in small letters, by which it is known.
    pub word: &'static str,
    /// kg per cubic metre.
    pub density: f64,
    /// Thicknesses it is sold in, mm.
    pub thicknesses: &'static [f64],
    /// Whether it holds a pin.
    pub pins: Pins,
    /// Whether a laser may cut it.
    pub laser: Laser,
}

const fn material(
    word: &'static str,
    density: f64,
    thicknesses: &'static [f64],
    pins: Pins,
    laser: Laser,
) -> Material {
    Material {
        word,
        density,
        thicknesses,
        pins,
        laser,
    }
}

const XPS: &[f64] = &[20.0, 25.0, 30.0, 40.0, 50.0];
const FLUTES: &[f64] = &[1.5, 3.0, 4.0, 5.0, 7.0];
const SOLID_BOARD: &[f64] = &[1.0, 1.5, 2.0, 3.0];
const FIBRE: &[f64] = &[3.0, 6.0];

/// Every material known; the first whose word is in the name counts.
const KNOWN: [Material; 16] = [
    material(
        "eva",
        110.0,
        &[2.0, 4.0, 6.0, 8.0, 10.0],
        Pins::Hold,
        Laser::Ask,
    ),
    material("xps", 25.0, XPS, Pins::Hold, Laser::Ask),
    material("extruded", 25.0, XPS, Pins::Hold, Laser::Ask),
    material("eps", 15.0, XPS, Pins::Hold, Laser::Ask),
    material(
        "polyethylene",
        30.0,
        &[2.0, 5.0, 10.0, 12.0, 25.0],
        Pins::Hold,
        Laser::Ask,
    ),
    material(
        "foam-core",
        100.0,
        &[3.0, 5.0, 10.0],
        Pins::Hold,
        Laser::Ask,
    ),
    material(
        "foam",
        35.0,
        &[3.0, 5.0, 6.35, 10.0, 20.0],
        Pins::Hold,
        Laser::Ask,
    ),
    material("corrugated", 150.0, FLUTES, Pins::Weakly, Laser::Usual),
    material("cardboard", 150.0, FLUTES, Pins::Weakly, Laser::Usual),
    material("grey board", 650.0, SOLID_BOARD, Pins::No, Laser::Usual),
    material("chip", 650.0, SOLID_BOARD, Pins::No, Laser::Usual),
    material("hardboard", 950.0, FIBRE, Pins::No, Laser::Usual),
    material("mdf", 720.0, &[3.0, 6.0, 9.0], Pins::No, Laser::Usual),
    material(
        "ply",
        620.0,
        &[3.0, 4.0, 6.0, 9.0, 12.0],
        Pins::No,
        Laser::Usual,
    ),
    material("card", 150.0, FLUTES, Pins::Weakly, Laser::Usual),
    material("felt", 250.0, &[2.0, 3.0, 5.0], Pins::Hold, Laser::Ask),
];

/// The material that a name points to; nothing when no word of it is known.
#[must_use]
pub fn named(name: &str) -> Option<&'static Material> {
    let name = name.to_lowercase();
    KNOWN.iter().find(|m| name.contains(m.word))
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
        let word = |name| named(name).map(|m| m.word);
        assert_eq!(word("EVA foam"), Some("eva"));
        assert_eq!(word("foam-core board"), Some("foam-core"));
        assert_eq!(word("corrugated card"), Some("corrugated"));
        assert_eq!(word("birch plywood"), Some("ply"));
        assert_eq!(word("wool"), None);
        for m in KNOWN {
            assert!(m.thicknesses.windows(2).all(|w| w[0] < w[1]), "{}", m.word);
        }
    }
}
