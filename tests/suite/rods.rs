//! Rods of whole figures: the wall round them is kept, or what was done instead is said.

use layfigure::stack;
use layfigure::workshop;

use crate::forms;

/// A slender form at half scale of thin card, with the rods of a full-sized one: 4 mm of wall round
/// every hole (common practice, no source), thinner rods where there is no room, and a word of it.
#[test]
fn a_small_form_keeps_wall_round_its_rods() {
    let text = "[form]\nscale = 0.5\n[layer]\nmaterial = \"card\"\nthickness = 3\n";
    let workshop = workshop::read(text, "half.toml").unwrap();
    let solid = &forms::chorister().mesh;
    let (stack, findings) = stack::build(solid, &workshop, "chorister").unwrap();
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
            "layers {} to {} are narrow: rods ",
            rod.first_layer, rod.last_layer
        );
        let named = |rest: &str| rest.split([',', ' ']).any(|word| word == rod.name);
        let messages = findings
            .iter()
            .filter_map(|f| f.message().strip_prefix(&said).map(str::to_owned));
        assert!(messages.into_iter().any(|rest| named(&rest)), "{said}");
    }
}

/// In thick layers the neck of a slender form shares its lowest layers with the rods of the trunk. These
/// have room beside it, so that the neck's rods are as thick as asked for, with all of their wall (12 mm,
/// common practice, no source), and no two rods break into one another.
#[test]
fn rods_of_a_trunk_leave_room_for_those_of_the_neck() {
    let text = "[layer]\nmaterial = \"polystyrene foam\"\nthickness = 25\ncut = \"middle\"\n";
    let workshop = workshop::read(text, "thick.toml").unwrap();
    let solid = &forms::contralto().mesh;
    let (stack, findings) = stack::build(solid, &workshop, "contralto").unwrap();
    let said: Vec<String> = findings.iter().map(|f| f.message()).collect();
    assert!(
        !said
            .iter()
            .any(|f| f.contains("narrow: rod") || f.contains("too narrow for rod")),
        "{said:?}"
    );
    for (k, rod) in stack.dowels.iter().enumerate() {
        assert!(rod.diameter > 7.9, "{}: {}", rod.name, rod.diameter);
        for layer in &stack.layers[rod.first_layer - 1..rod.last_layer] {
            let wall = layer.pieces[0].outline.distance(rod.at) - rod.hole / 2.0;
            assert!(wall > 11.95, "{}, layer {}: {wall}", rod.name, layer.index);
        }
        for other in &stack.dowels[..k] {
            if other.last_layer >= rod.first_layer && rod.last_layer >= other.first_layer {
                let between = (other.at - rod.at).norm() - (other.hole + rod.hole) / 2.0;
                assert!(between > 11.0, "{} {}: {between}", other.name, rod.name);
            }
        }
    }
    // Every layer is held by three, and each set shares four with the next.
    for layer in &stack.layers {
        let through = |d: &&stack::Dowel| (d.first_layer..=d.last_layer).contains(&layer.index);
        assert!(stack.dowels.iter().filter(through).count() >= 3);
    }
    let mut ends: Vec<(usize, usize)> = stack
        .dowels
        .iter()
        .map(|d| (d.first_layer, d.last_layer))
        .collect();
    ends.sort_unstable();
    ends.dedup();
    assert!(
        ends.windows(2).all(|w| w[1].0 + 4 <= w[0].1 + 1),
        "{ends:?}"
    );
}
