//! The middle of the weight, the stand that follows from it, and what rings save.

use approx::assert_relative_eq;
use layfigure::form;
use layfigure::form::Form;
use layfigure::form::totals;
use layfigure::say;
use layfigure::stack;
use layfigure::workshop;
use layfigure::workshop::Workshop;

use super::stack::turned;

fn form(text: &str) -> Form {
    let w = workshop::read(text, "room.toml").unwrap();
    let sheet = include_str!("../sheets/contralto.toml");
    let sheet = layfigure::sheet::read(sheet, "sheet.toml").unwrap();
    form::build(form::check(sheet, &w, None).unwrap(), w, 0).unwrap()
}

/// A drum has its weight in the middle; a cone cut into discs where the discs' own moments balance
/// (plane geometry).
#[test]
fn the_middle_of_the_weight() {
    let w = Workshop {
        padding: workshop::Padding {
            batting: 0.0,
            cover: 0.0,
        },
        ..Workshop::default()
    };
    let (drum, _) = stack::build(&turned(0.0, 304.8, 48, |_| 150.0), &w, "drum").unwrap();
    let (plan, height) = drum.centre_of_weight(&w);
    assert_relative_eq!(height, 152.4, epsilon = 0.5);
    assert!(plan.coords.norm() < 3.0, "{plan}");
    let (cone, _) = stack::build(&turned(0.0, 304.8, 48, |z| 200.0 - 0.4 * z), &w, "cone").unwrap();
    let (mut weight, mut moment) = (0.0, 0.0);
    for layer in &cone.layers {
        let r = 200.0 - 0.4 * f64::midpoint(layer.bottom, layer.top);
        weight += r * r;
        moment += r * r * f64::midpoint(layer.bottom, layer.top);
    }
    let (_, height) = cone.centre_of_weight(&w);
    assert_relative_eq!(height, moment / weight, epsilon = 1.5);
}

/// A stand tips when its middle of weight passes the edge: tan(tilt) = distance to the edge over
/// height (statics).
#[test]
fn the_stand_holds_the_tilt_asked() {
    let f = form(
        "[layer]\nmaterial = \"XPS\"\nthickness = 20\n[pole]\ndiameter = 25\n[base]\ntilt = 12\n",
    );
    let t = totals::totals(&f);
    let height = t.stand.unwrap() + t.centre;
    assert_relative_eq!(
        ((t.base_radius - t.off_pole) / height).atan().to_degrees(),
        12.0,
        epsilon = 1e-9
    );
    assert!(t.base_radius_careful > t.base_radius);
    let (plan, _) = f.stack.centre_of_weight(&f.workshop);
    let pole = f.stack.pole.unwrap();
    assert_relative_eq!(t.off_pole, (plan - pole.at).norm(), epsilon = 1e-9);
    let inside = f.stack.layers[pole.last_layer - 1].top - f.stack.bottom();
    assert_relative_eq!(
        t.pole_length.unwrap(),
        t.stand.unwrap() + inside,
        epsilon = 1e-9
    );
    // Hung from its neck a torso leans a little, not like a ladder.
    assert!(t.hang_lean.to_degrees() < 15.0, "{}", t.hang_lean);
    let files = say::folder(&f).unwrap();
    let guide = files.iter().find(|(name, _)| name == "guide.html").unwrap();
    let guide = String::from_utf8(guide.1.clone()).unwrap();
    for words in [
        "On a pole: it is",
        "12 degrees",
        "Play: how far a layer can still turn",
        "--restart-at",
        "Hanging: a screw eye",
        "laser only if its owner",
    ] {
        assert!(guide.contains(words), "{words}");
    }
}

/// Rings weigh what their areas say, full layers what theirs say; small pieces lie in the openings.
#[test]
fn rings_save_weight_and_room() {
    let text = "[layer]\nmaterial = \"XPS\"\nthickness = 10\nhollow = 25\n[paper]\nsize = \"A0\"\n";
    let rings = form(text);
    let t = totals::totals(&rings);
    let full = form(&text.replace("hollow = 25\n", ""));
    let whole = totals::totals(&full);
    assert_relative_eq!(t.solid_weight, whole.layer_weight, max_relative = 1e-3);
    assert_relative_eq!(whole.solid_weight, whole.layer_weight, max_relative = 1e-3);
    assert!(t.layer_weight < 0.8 * t.solid_weight, "{}", t.layer_weight);
    assert!(t.in_openings > 0);
    assert_eq!(whole.in_openings, 0);
    assert!(rings.boards.len() <= full.boards.len());
    let weak = |f: &Form| {
        f.checked
            .findings
            .iter()
            .any(|x| x.message().contains("wall of 25 mm"))
    };
    assert!(weak(&rings) && !weak(&full));
}
