//! Rods of whole figures: the wall round them is kept, or what was done instead is said.

use layfigure::mesh;
use layfigure::sheet;
use layfigure::stack;
use layfigure::torso;
use layfigure::workshop;

const CHORISTER: &str = include_str!("../../examples/chorister.toml");

/// A slender form at half scale of thin card, with the rods of a full-sized one: 4 mm of wall round
/// every hole (common practice, no source), thinner rods where there is no room, and a word of it.
#[test]
fn a_small_form_keeps_wall_round_its_rods() {
    let text = "[form]\nscale = 0.5\n[layer]\nmaterial = \"card\"\nthickness = 3\n";
    let workshop = workshop::read(text, "half.toml").unwrap();
    let sheet = sheet::read(CHORISTER, "chorister.toml").unwrap();
    let solid = mesh::build(&torso::fit(&sheet).unwrap().torso);
    let (stack, findings) = stack::build(&solid, &workshop, "chorister").unwrap();
    let mut holes = 0;
    for rod in &stack.dowels {
        for layer in &stack.layers[rod.first_layer - 1..rod.last_layer] {
            let wall = layer.pieces[0].outline.distance(rod.at) - rod.hole / 2.0;
            assert!(
                wall > 3.95,
                "rod {}, layer {}: {wall}",
                rod.name,
                layer.index
            );
            holes += 1;
        }
    }
    assert!(holes > 3 * stack.layers.len(), "{holes}");
    for rod in stack.dowels.iter().filter(|d| d.diameter < 8.0) {
        let said = format!(
            "layers {} to {} are too narrow",
            rod.first_layer, rod.last_layer
        );
        assert!(
            findings.iter().any(|f| f.message.starts_with(&said)),
            "{said}"
        );
    }
}
