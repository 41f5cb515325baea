//! Dowels of whole figures: the wall round them is kept, or a finding says what was done instead.

use layfigure::error::Finding;
use layfigure::stack::{self, StackFact};
use layfigure::workshop;

use crate::forms;

/// A form at half scale of thin card, with the dowels of a full-sized one: 4 mm of wall round
/// every hole (common practice, no source), thinner dowels where there is no room, and a word of it.
#[test]
fn a_small_form_keeps_wall_round_its_dowels() {
    let text = "[form]\nscale = 0.5\n[layer]\nmaterial = \"card\"\nthickness = 3\n";
    let workshop = workshop::read(text, "half.toml").unwrap();
    let solid = &forms::chorister().mesh;
    let (stack, findings) = stack::build(solid, &workshop, "chorister").unwrap();
    let mut holes = 0;
    for dowel in &stack.dowels {
        for layer in &stack.layers[dowel.first_layer - 1..dowel.last_layer] {
            let wall = layer.pieces[0].outline.distance(dowel.at) - dowel.hole / 2.0;
            assert!(
                wall > 3.95,
                "dowel {}, layer {}: {wall}",
                dowel.name,
                layer.index
            );
            holes += 1;
        }
    }
    assert!(holes > 3 * stack.layers.len(), "{holes}");
    for dowel in stack.dowels.iter().filter(|d| d.diameter < 8.0) {
        let told = findings.iter().any(|f| match f.as_fact() {
            Some(StackFact::SlightRods {
                first, last, rods, ..
            }) => {
                (*first, *last) == (dowel.first_layer, dowel.last_layer)
                    && rods.contains(&dowel.name)
            }
            _ => false,
        });
        assert!(told, "nothing is said of dowel {}", dowel.name);
    }
}

/// In thick layers the neck of a form shares its lowest layers with the dowels of the trunk. These
/// have room beside it, so that the neck's dowels are as thick as asked for, with all of their wall (12 mm,
/// common practice, no source), and no two dowels break into one another.
#[test]
fn dowels_of_a_trunk_leave_room_for_those_of_the_neck() {
    let text = "[layer]\nmaterial = \"polystyrene foam\"\nthickness = 25\ncut = \"middle\"\n";
    let workshop = workshop::read(text, "thick.toml").unwrap();
    let solid = &forms::contralto().mesh;
    let (stack, findings) = stack::build(solid, &workshop, "contralto").unwrap();
    let slight = |f: &&Finding| {
        matches!(
            f.as_fact(),
            Some(StackFact::SlightRods { .. } | StackFact::HolesAlike { .. })
        )
    };
    assert!(findings.iter().find(slight).is_none(), "{findings:?}");
    for (k, dowel) in stack.dowels.iter().enumerate() {
        assert!(dowel.diameter > 7.9, "{}: {}", dowel.name, dowel.diameter);
        for layer in &stack.layers[dowel.first_layer - 1..dowel.last_layer] {
            let wall = layer.pieces[0].outline.distance(dowel.at) - dowel.hole / 2.0;
            assert!(
                wall > 11.95,
                "{}, layer {}: {wall}",
                dowel.name,
                layer.index
            );
        }
        for other in &stack.dowels[..k] {
            if other.last_layer >= dowel.first_layer && dowel.last_layer >= other.first_layer {
                let between = (other.at - dowel.at).norm() - (other.hole + dowel.hole) / 2.0;
                assert!(between > 11.0, "{} {}: {between}", other.name, dowel.name);
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
