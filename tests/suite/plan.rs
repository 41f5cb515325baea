//! The plan: its numbers are those of a build, its costs can be added by hand.

use approx::assert_relative_eq;
use layfigure::Error;
use layfigure::form;
use layfigure::form::cost;
use layfigure::form::hours;
use layfigure::form::hours::Amounts;
use layfigure::form::plan;
use layfigure::form::trial;
use layfigure::form::trial::Trial;
use layfigure::say;
use layfigure::units::Unit;
use layfigure::workshop;
use layfigure::workshop::Workshop;
use layfigure::workshop::material;

use crate::program::said;

fn room(text: &str) -> Workshop {
    workshop::read(text, "room.toml").unwrap()
}

fn checked(workshop: &Workshop) -> form::Checked {
    let sheet = include_str!("../../examples/chorister.toml");
    let sheet = layfigure::sheet::read(sheet, "sheet.toml").unwrap();
    form::check(sheet, workshop, None).unwrap()
}

fn names(workshop: &Workshop, thicknesses: &[f64], materials: &[&str]) -> Vec<(String, f64)> {
    let materials: Vec<String> = materials.iter().map(|m| (*m).to_owned()).collect();
    plan::choices(workshop, thicknesses, &materials)
        .unwrap()
        .into_iter()
        .map(|c| (say::plan::name(&c), c.workshop.layer.thickness))
        .collect()
}

#[test]
fn what_is_compared() {
    let own = |list: Vec<(String, f64)>| -> Vec<String> {
        list.into_iter().map(|(n, t)| format!("{n} {t}")).collect()
    };
    // One material: that, and the thicknesses it is sold in, none twice.
    assert_eq!(
        own(names(
            &room("[layer]\nmaterial = \"EVA\"\nthickness = 6.2\n"),
            &[],
            &[]
        )),
        ["EVA 6.2", "EVA 2", "EVA 4", "EVA 8", "EVA 10"]
    );
    // Several: those; rings and solid; mixed where the file asks for it.
    let several = room(
        "[[layer]]\nmaterial = \"EVA\"\nthickness = 10\nhollow = 40\n[[layer]]\nmaterial = \"felt\"\nthickness = 3\n[form]\nstep = 6\n",
    );
    assert_eq!(
        own(names(&several, &[], &[])),
        [
            "EVA 10",
            "EVA, rings 10",
            "felt 3",
            "mixed, as `form.step` asks 10"
        ]
    );
    assert_eq!(own(names(&several, &[5.0], &[])), ["EVA 5", "EVA, rings 5"]);
    assert_eq!(
        own(names(
            &Workshop::default(),
            &[4.0],
            &["birch plywood", "MDF"]
        )),
        ["plywood 4", "MDF 4"]
    );
    match plan::choices(&Workshop::default(), &[], &["unobtainium".into()]) {
        Err(Error::Request(m)) => {
            let m = m.message();
            assert!(m.contains("`unobtainium`") && m.contains("plywood"), "{m}");
        }
        other => panic!("{other:?}"),
    }
}

/// The plan promises what the build then gives.
#[test]
fn its_numbers_are_those_of_a_build() {
    let w = room(
        "currency = \"EUR\"\n[layer]\nmaterial = \"EVA\"\nthickness = 12\n[stock]\nwidth = 1000\nlength = 600\nprice = 10\n\
         [dowel]\ndiameter = 6\nprice = 2\n[padding]\nprice = 5\n",
    );
    let choices = plan::choices(&w, &[], &[]).unwrap();
    let checked = checked(&w);
    let made = plan::plan(&checked, &choices[..1], 0, &|| {});
    let made = made[0].as_ref().unwrap();
    let form = form::build(checked.clone(), w.clone(), 0).unwrap();
    assert_eq!(made.layers, form.stack.layers.len());
    assert_eq!(made.boards, form.boards.len());
    assert_eq!(made.pages, form.pages.len());
    assert_eq!(made.proof, form.proof.len());
    assert_relative_eq!(
        made.cut_length,
        form.stack.cut_length(),
        max_relative = 1e-12
    );
    assert_relative_eq!(made.weight, form.stack.weight(&w), max_relative = 1e-12);
    assert!(
        made.girth.0 > made.girth.1 && made.girth.1 <= 1.0,
        "{:?}",
        made.girth
    );
    assert!(made.trunk_step <= made.step);
    // 15 % spare on boards and dowels, 30 % on batting (common practice), dowels by the metre.
    let dowels: f64 = form.stack.dowels.iter().map(|d| d.length).sum();
    let boards = (form.boards.len() as f64 * 1.15).ceil();
    let sum =
        10.0 * boards + 2.0 * 1.15 * dowels / 1e3 + 5.0 * 1.3 * form.stack.padded_area() / 1e6;
    assert_relative_eq!(made.cost.unwrap(), sum, max_relative = 1e-9);
    // Another thickness has no price that anybody named.
    assert_eq!(choices[1].workshop.stock[0].price, None);
    assert_eq!(cost::bought(20), 23);
    let text = say::plan::text(
        &checked,
        &choices[..1],
        &plan::plan(&checked, &choices[..1], 0, &|| {}),
    );
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    assert!(
        text.contains("cost, EUR") && text.contains("holds pins") && text.contains("pole, stand"),
        "{text}"
    );
}

/// The plan names a choice that cannot be built and builds the others all the same, rings beside full layers.
#[test]
fn one_that_cannot_be_built_is_said() {
    let w = room("[layer]\nmaterial = \"XPS board\"\nhollow = 40\n");
    let choices = plan::choices(&w, &[95.0, 25.0], &[]).unwrap();
    let thick = workshop::LayerStock {
        thickness: 300.0,
        ..w.layer.clone()
    };
    let mut choices = choices;
    choices[0].workshop.layer = thick;
    let checked = checked(&w);
    let made = plan::plan(&checked, &choices, 0, &|| {});
    assert!(made[0].is_err() && made[2].is_ok() && made[3].is_ok());
    let text = say::plan::text(&checked, &choices, &made);
    assert!(text.contains("300 mm: cannot be built"), "{text}");
    let heads = text.lines().find(|l| l.contains("rings"));
    let heads: Vec<&str> = heads.unwrap().split_whitespace().collect();
    assert!(heads.ends_with(&["full", "rings"]), "{text}");
    assert_eq!(text.matches("widest step").count(), 1, "{text}");
}

/// Hours by hand arithmetic: 60 m at 0.5 to 1 m a minute, 100 pieces traced in 2 to 4 minutes and marked in 2 to 3,
/// 300 holes at half a minute to one, 8 dowels at 5 to 10, 50 pages at 1 to 2, 20 of the proof at 3 to 5, 100 layers at
/// 1 to 3; 1 to 4 hours for the stand, 1 to 3 for padding, 4 to 8 for the cover (speeds: common practice, no source).
#[test]
fn hours_add_up() {
    let amounts = Amounts {
        cut_length: 60_000.0,
        pieces: 100,
        holes: 300,
        dowels: 8,
        pages: 50,
        proof: 20,
        layers: 100,
        stands: 1,
    };
    let h = hours::hours(&["EVA foam"], amounts);
    let least = [
        60.0, 60.0, 200.0, 200.0, 150.0, 40.0, 50.0, 100.0, 60.0, 60.0, 240.0,
    ];
    let most = [
        100.0, 120.0, 400.0, 300.0, 300.0, 80.0, 100.0, 300.0, 240.0, 180.0, 480.0,
    ];
    assert_relative_eq!(h.by_hand().0, least.iter().sum::<f64>());
    assert_relative_eq!(h.by_hand().1, most.iter().sum::<f64>());
    let machine = 60.0 + 50.0 + 40.0 + 100.0 + 60.0 + 60.0 + 240.0;
    assert_relative_eq!(h.by_machine().unwrap().0, machine);
    // A saw is slower than a knife.
    assert!(hours::hours(&["plywood"], amounts).by_hand().0 > h.by_hand().0);
}

#[test]
fn too_many_choices_are_refused() {
    let many: Vec<f64> = (0..201).map(|i| 2.0 + f64::from(i) / 10.0).collect();
    let e = plan::choices(&Workshop::default(), &many, &[]).unwrap_err();
    assert_eq!(
        e.to_string(),
        "201 choices are more than the 200 that can be compared at once: name fewer thicknesses or materials"
    );
    assert!(plan::choices(&Workshop::default(), &many[1..], &[]).is_ok());
}

/// Rings and full layers of all thicknesses stand side by side, a pair never parted, in as few tables as
/// 80 columns allow; several materials too, each named over its columns.
#[test]
fn choices_stand_side_by_side() {
    let made = |k: usize| plan::Estimate {
        layers: 100 + k,
        step: 12.0,
        trunk_step: 5.0,
        girth: (12.5, 0.3),
        boards: 12,
        roll: 0.0,
        pages: 120,
        proof: 15,
        cut_length: 123_000.0,
        weight: 11.5,
        hours: hours::hours(
            &["plywood"],
            Amounts {
                cut_length: 123_000.0,
                pieces: 100,
                holes: 300,
                dowels: 8,
                pages: 120,
                proof: 15,
                layers: 100,
                stands: 1,
            },
        ),
        cost: Some(1234.0),
    };
    let w = room("[layer]\nmaterial = \"plywood\"\nthickness = 4\nhollow = 40\n");
    let checked = checked(&w);
    let text = |choices: &[plan::Choice]| {
        let all: Vec<Result<plan::Estimate, Error>> =
            (0..choices.len()).map(|k| Ok(made(k))).collect();
        say::plan::text(&checked, choices, &all)
    };
    let rings = plan::choices(&w, &[], &[]).unwrap();
    assert!(rings.len() >= 8, "{}", rings.len());
    let said = text(&rings);
    let tables: Vec<&str> = said.lines().filter(|l| l.contains("full")).collect();
    assert!(tables.len() <= 2, "{said}");
    let mut columns = 0;
    for heads in tables {
        let heads: Vec<&str> = heads.split_whitespace().collect();
        assert!(
            heads.chunks(2).all(|pair| pair == ["full", "rings"]),
            "{said}"
        );
        columns += heads.len();
    }
    assert_eq!(columns, rings.len());
    for k in 0..rings.len() {
        assert!(
            said.contains(&format!(" {} ", 100 + k)) || said.contains(&format!(" {}\n", 100 + k))
        );
    }
    let several = ["plywood".to_owned(), "corrugated card".to_owned()];
    let two = text(&plan::choices(&Workshop::default(), &[3.0, 6.0], &several).unwrap());
    assert_eq!(
        two.lines().filter(|l| l.starts_with("-----")).count(),
        1,
        "{two}"
    );
    assert_eq!(two.matches("corrugated").count(), 3, "{two}");
    for line in said.lines().chain(two.lines()) {
        assert!(
            line.chars().count() <= 80 && !line.trim_end().ends_with("mm off,"),
            "{line}"
        );
    }
}

/// Without a sheet the materials are listed, in both units; none that gives off chlorine goes near a laser.
#[test]
fn materials_are_listed_in_either_unit() {
    let folder = std::path::Path::new(".");
    let (metric, _) = said(folder, &["plan", "--materials"], 0);
    let (inches, _) = said(folder, &["plan", "--materials", "--unit", "in"], 0);
    for m in material::KNOWN {
        for text in [&metric, &inches] {
            // The head of its row, not parted.
            let row = text.lines().filter_map(|l| l.strip_prefix("  "));
            let mut heads = row.filter_map(|l| l.split("  ").next());
            let word = m.name.split(' ').next().unwrap();
            assert!(heads.any(|h| h.split(' ').next() == Some(word)), "{text}");
        }
    }
    assert!(metric.contains("kg/m") && inches.contains("lb"), "{inches}");
    for text in [&metric, &inches] {
        assert!(text.contains("never PVC"), "{text}");
    }
}

/// What is carried over to other sheets without building is near to what a build of them takes: layers within
/// one, cuts within a twentieth, hours within a tenth.
#[test]
fn what_is_carried_over_is_near_to_a_build() {
    let w = room(
        "[layer]\nmaterial = \"foam sheet\"\nthickness = 6.35\n[stock]\nwidth = 2000\nlength = 1000\n",
    );
    let checked = checked(&w);
    let trial = Trial::new(checked.clone(), &w).unwrap();
    let carried = trial.thicknesses(trial.usual_pages(), Unit::Cm);
    let sizes: Vec<f64> = carried.iter().map(|c| c.thickness).collect();
    assert_eq!(sizes, [3.0, 5.0, 6.35, 10.0, 20.0]);
    let choices = plan::choices(&w, &[5.0, 6.35, 10.0], &[]).unwrap();
    let made = plan::plan(&checked, &choices, 0, &|| {});
    for (then, made) in carried[1..4].iter().zip(made) {
        let made = made.unwrap();
        assert!(then.layers.abs_diff(made.layers) <= 1, "{then:?} {made:?}");
        assert_relative_eq!(then.cut_length, made.cut_length, max_relative = 0.05);
        for (a, b) in [
            (then.hours.by_hand(), made.hours.by_hand()),
            (
                then.hours.by_machine().unwrap(),
                made.hours.by_machine().unwrap(),
            ),
        ] {
            assert_relative_eq!(a.0, b.0, max_relative = 0.1);
            assert_relative_eq!(a.1, b.1, max_relative = 0.1);
        }
    }
    // Its own sheets take all of the hours, thicker ones less.
    assert_relative_eq!(carried[2].share, 1.0, max_relative = 1e-12);
    assert!(carried.windows(2).all(|w| w[0].share > w[1].share));
    let [boards] = trial.boards(&[(2000.0, 1000.0)])[..] else {
        panic!()
    };
    let form = form::build(checked, w, 0).unwrap();
    assert_eq!(boards, Some((form.boards.len(), 0)));
    // Its outlines are not settled: a line may stand on another page.
    assert!(trial.usual_pages().abs_diff(form.pages.len()) <= 2);
}

/// A build says what thicker sheets would save, unless they would leave girths that miss, or save little.
#[test]
fn a_build_says_what_thicker_sheets_would_save() {
    let thicker = |text: &str| {
        let w = room(text);
        let form = form::build(checked(&w), w, 0).unwrap();
        let said = say::built::text(&form);
        let then = trial::thicker(&form);
        assert_eq!(then.is_some(), said.contains("instead of"), "{said}");
        then.map(|t| t.thickness)
    };
    let of = |material: &str, thickness: f64, form: &str| {
        format!(
            "[layer]\nmaterial = \"{material}\"\nthickness = {thickness}\n[stock]\nwidth = 2000\nlength = 1000\n{form}"
        )
    };
    assert_eq!(thicker(&of("foam sheet", 6.2, "")), Some(10.0));
    assert_eq!(thicker(&of("foam sheet", 10.0, "")), None);
    assert_eq!(thicker(&of("XPS board", 20.0, "")), None);
    // In half size as thick a sheet leaves steps that are twice as wide.
    assert_eq!(
        thicker(&of("foam sheet", 6.2, "[form]\nscale = 0.5\n")),
        None
    );
    assert_eq!(thicker(&of("wool", 6.0, "")), None);
}
