//! What is said of a material by its name: no plastic on a laser, no fact in two lists.

use layfigure::form;
use layfigure::form::plan;
use layfigure::say;
use layfigure::sheet;
use layfigure::workshop;
use layfigure::workshop::family::Laser;
use layfigure::workshop::material;

/// Names as people write them, and what a laser may do. That PVC, vinyl and unknown plastics never go on one, that
/// polyurethane, polypropylene and ABS are listed beside them, and that foams burn: rules of university workshops
/// (University of Texas at Austin, Kansas State University, Auburn University; from memory of their pages).
const NAMES: [(&str, Laser); 47] = [
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
    ("card", Laser::Usual),
    ("white card", Laser::Usual),
    ("card board", Laser::Usual),
    ("double wall corrugated card", Laser::Usual),
    ("grey board 2 mm", Laser::Usual),
    ("birch plywood", Laser::Usual),
];

#[test]
fn forty_names_of_materials_keep_their_warnings() {
    let body = sheet::read(include_str!("../../examples/chorister.toml"), "body.toml").unwrap();
    let mut seen = [0; 3];
    for (name, laser) in NAMES {
        assert_eq!(material::laser(name), laser, "{name}");
        seen[laser as usize] += 1;
        let room = format!("layer.material = \"{name}\"\nlayer.thickness = 30\nform.scale = 0.5\n");
        let room = workshop::read(&room, "room.toml").unwrap();
        let choices = plan::choices(&room, &[30.0], &[]).unwrap();
        let checked = form::check(body.clone(), &room, None).unwrap();
        let made = plan::plan(&checked, &choices, 1, &|| ());
        let hours =
            say::plan::json(&checked, &choices, &made)["choices"][0]["minutes_by_machine"].clone();
        assert_eq!(hours.is_null(), laser == Laser::Never, "{name}: {hours}");
        let screen = say::plan::text(&checked, &choices, &made);
        assert_eq!(
            screen.contains("no laser"),
            laser == Laser::Never,
            "{name}: {screen}"
        );

        let form = form::build(checked, room, 1).unwrap();
        let files = say::folder(&form).unwrap();
        let guide = files.iter().find(|(file, _)| file == "guide.html");
        let guide = String::from_utf8(guide.unwrap().1.clone()).unwrap();
        assert!(
            guide.contains("Never cut PVC, vinyl or an unknown plastic"),
            "{name}"
        );
        let by_laser = guide.contains("or by laser") || guide.contains("with a laser that cuts");
        assert_eq!(by_laser, laser != Laser::Never, "{name}");
        assert_eq!(
            guide.contains("laser usual"),
            laser == Laser::Usual,
            "{name}"
        );
        let wire = guide.contains("Hot wire: fumes of polystyrene");
        assert_eq!(wire, material::family(name).hot_wire, "{name}");
        let white = guide.contains("white (PVA)");
        let holds = ["card", "foam-core board", "wood", "chipboard"];
        assert_eq!(
            white,
            holds.contains(&material::family(name).name),
            "{name}"
        );
        for step in [
            "Knife: a sharp blade",
            "glasses on",
            "height of eyes",
            "ladder",
        ] {
            assert!(guide.contains(step), "{name}: {step}");
        }
    }
    assert!(seen.iter().all(|n| *n > 5), "{seen:?}");
}

/// A form of two materials keeps the warnings of both, and no laser where one of them bears none.
#[test]
fn the_second_material_of_a_form_counts_too() {
    let body = sheet::read(include_str!("../../examples/chorister.toml"), "body.toml").unwrap();
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
