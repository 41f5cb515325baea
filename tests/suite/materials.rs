//! What the program says of a material by its name: no plastic on a laser, no fact in two lists.

use std::collections::BTreeSet;

use layfigure::form::{self, plan};
use layfigure::say::{self, guide};
use layfigure::sheet;
use layfigure::workshop;
use layfigure::workshop::family::Laser;
use layfigure::workshop::material;

/// Names as people write them, and what a laser may do. That PVC, vinyl and unknown plastics never go on one, that
/// polyurethane, polypropylene and ABS are listed beside them, and that foams burn: rules of university workshops
/// (University of Texas at Austin, Kansas State University, Auburn University; from memory of their pages).
const NAMES: [(&str, Laser); 49] = [
    ("PVC board", Laser::Never),
    ("pvc foam board", Laser::Never),
    ("uPVC sheet", Laser::Never),
    ("expanded PVC", Laser::Never),
    ("vinyl", Laser::Never),
    ("vinyl-faced plywood", Laser::Never),
    ("faux leather", Laser::Never),
    ("insulation board", Laser::Never),
    ("wall insulation", Laser::Never),
    ("polyurethane board", Laser::Never),
    ("PU foam", Laser::Never),
    ("PIR board", Laser::Never),
    ("rigid polyurethane foam", Laser::Never),
    ("corrugated plastic", Laser::Never),
    ("Corrugated plastic board 5 mm", Laser::Never),
    ("fluted polypropylene", Laser::Never),
    ("plastic card", Laser::Never),
    ("plastic-coated card", Laser::Never),
    ("ABS sheet", Laser::Never),
    ("acrylic", Laser::Never),
    ("board", Laser::Never),
    ("leather board", Laser::Never),
    ("bitumen board", Laser::Never),
    ("carbon fibre plate", Laser::Never),
    ("mystery card", Laser::Never),
    ("whatever was in the store", Laser::Never),
    ("foamcore board", Laser::Ask),
    ("foam-core", Laser::Ask),
    ("foam board", Laser::Ask),
    ("Foam Core, white", Laser::Ask),
    ("EVA foam", Laser::Ask),
    ("XPS foam", Laser::Ask),
    ("extruded foam", Laser::Ask),
    ("EPS board", Laser::Ask),
    ("XPS insulation board", Laser::Ask),
    ("PE foam", Laser::Ask),
    ("foam sheet", Laser::Ask),
    ("felt", Laser::Ask),
    ("chipboard", Laser::Ask),
    ("laminated plywood", Laser::Ask),
    ("painted MDF", Laser::Ask),
    ("white faced plywood", Laser::Ask),
    ("faced MDF", Laser::Ask),
    ("card", Laser::Usual),
    ("white card", Laser::Usual),
    ("card board", Laser::Usual),
    ("double wall corrugated card", Laser::Usual),
    ("grey board 2 mm", Laser::Usual),
    ("birch plywood", Laser::Usual),
];

#[test]
fn forty_names_of_materials_are_understood() {
    let mut seen = [0; 3];
    for (name, laser) in NAMES {
        assert_eq!(material::laser(name), laser, "{name}");
        seen[laser as usize] += 1;
    }
    assert!(seen.iter().all(|n| *n > 5), "{seen:?}");
}

/// What is known of a material reaches hours, plan and guide: one name of each family and each answer
/// about lasers. Its name changes no layer, so one form serves all.
#[test]
fn every_family_keeps_its_warnings() {
    let body = sheet::read(include_str!("../sheets/chorister.toml"), "body.toml").unwrap();
    let room = |name: &str| {
        let text = format!("layer.material = \"{name}\"\nlayer.thickness = 30\nform.scale = 0.5\n");
        workshop::read(&text, "room.toml").unwrap()
    };
    let first = room(NAMES[0].0);
    let checked = form::check(body, &first, None).unwrap();
    let mut form = form::build(checked.clone(), first, 1).unwrap();
    let mut seen = BTreeSet::new();
    for (name, laser) in NAMES {
        let family = material::family(name);
        let room = room(name);
        form.workshop = room.clone();
        let guide = guide::page(&form, &[], &[]);
        let has = |words: &str| guide.contains(words);
        assert!(has("Never cut PVC, vinyl or an unknown plastic"), "{name}");
        let by_laser = has("or by laser") || has("with a laser that cuts");
        assert_eq!(by_laser, laser != Laser::Never, "{name}");
        assert_eq!(has("laser usual"), laser == Laser::Usual, "{name}");
        if !seen.insert((family.name, laser as usize)) {
            continue;
        }
        let choices = plan::choices(&room, &[30.0], &[]).unwrap();
        let made = plan::plan(&checked, &choices, 1, &|| ());
        let json = say::plan::json(&checked, &choices, &made).unwrap();
        let minutes = &json["choices"][0]["minutes_by_machine"];
        assert_eq!(
            minutes.is_null(),
            laser == Laser::Never,
            "{name}: {minutes}"
        );
        let screen = say::plan::text(&checked, &choices, &made);
        let says = screen.contains("no laser");
        assert_eq!(says, laser == Laser::Never, "{name}: {screen}");

        assert_eq!(
            has("Hot wire: fumes of polystyrene"),
            family.hot_wire,
            "{name}"
        );
        let holds = ["card", "foam-core board", "wood", "chipboard"];
        assert_eq!(has("white (PVA)"), holds.contains(&family.name), "{name}");
        for step in [
            "Knife: a sharp blade",
            "glasses on",
            "height of eyes",
            "ladder",
        ] {
            assert!(has(step), "{name}: {step}");
        }
    }
    assert!(seen.len() > 12, "{seen:?}");
}

/// A form of two materials keeps the warnings of both, and no laser where one of them bears none.
#[test]
fn the_second_material_of_a_form_counts_too() {
    let body = sheet::read(include_str!("../sheets/chorister.toml"), "body.toml").unwrap();
    let room = "form.scale = 0.5\nform.step = 2\n[[layer]]\nmaterial = \"plywood\"\nthickness = 20\n\
                [[layer]]\nmaterial = \"PVC board\"\nthickness = 5\n";
    let room = workshop::read(room, "room.toml").unwrap();
    let checked = form::check(body, &room, None).unwrap();
    let form = form::build(checked, room, 1).unwrap();
    assert_eq!(form.stack.materials(), [0, 1]);
    let files = say::folder(&form).unwrap();
    let guide = files.iter().find(|(file, _)| file == "guide.html").unwrap();
    let guide = String::from_utf8(guide.1.clone()).unwrap();
    assert!(guide.contains("PVC and vinyl give chlorine"));
    assert!(guide.contains("Dust of wood"));
    assert!(!guide.contains("or by laser"));
}

/// Each material of a form gets its own glue, is laid flat as its kind asks, and the slowest tool counts,
/// whichever is named first: contact cement eats polystyrene.
#[test]
fn every_material_of_a_form_gets_its_glue() {
    let body = sheet::read(include_str!("../sheets/chorister.toml"), "body.toml").unwrap();
    let guide = |first: &str, second: &str| {
        let room = format!(
            "form.scale = 0.5\nform.step = 2\n[[layer]]\nmaterial = \"{first}\"\nthickness = 20\n\
             [[layer]]\nmaterial = \"{second}\"\nthickness = 5\n"
        );
        let room = workshop::read(&room, "room.toml").unwrap();
        let checked = form::check(body.clone(), &room, None).unwrap();
        let form = form::build(checked, room, 1).unwrap();
        assert_eq!(form.stack.materials(), [0, 1]);
        guide::page(&form, &[], &[])
    };
    for (first, second) in [("EVA foam", "XPS foam"), ("XPS foam", "EVA foam")] {
        let guide = guide(first, second);
        assert!(guide.contains("for EVA foam: contact cement"), "{first}");
        assert!(guide.contains("for XPS foam: one that says foam-safe"));
        assert!(guide.contains("safe for both"));
    }
    let guide = guide("card", "plywood");
    assert!(guide.contains("Keep card dry and flat") && guide.contains("Leave out sheets"));
    assert!(
        guide.contains("jigsaw or fretsaw"),
        "the slower tool of the two"
    );
}
