use approx::assert_relative_eq;
use layfigure::error::Error;
use layfigure::error::Finding;
use layfigure::error::Severity;
use layfigure::measure::Kind;
use layfigure::measure::Measure;
use layfigure::measure::Side;
use layfigure::mesh;
use layfigure::sheet;
use layfigure::sheet::Figure;
use layfigure::sheet::Sheet;
use layfigure::tape;
use layfigure::torso;
use layfigure::units;
use layfigure::units::Unit;
use layfigure::workshop;
use layfigure::workshop::Workshop;
use proptest::prelude::*;

fn example(name: &str) -> String {
    read_from("tests/sheets", name)
}

/// A sheet of a folder of the project.
fn read_from(folder: &str, name: &str) -> String {
    let path = format!("{}/{folder}/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}

/// The persons of the company, and the averages that figures of the tests hold for.
fn companies() -> impl Iterator<Item = (&'static str, &'static str, String)> {
    ["examples", "tests/sheets"].into_iter().flat_map(|folder| {
        ["contralto", "baritone", "chorister"]
            .map(|name| (folder, name, read_from(folder, &format!("{name}.toml"))))
    })
}

fn value(sheet: &Sheet, measure: Measure) -> f64 {
    sheet.value(measure).unwrap()
}

#[test]
fn the_examples_are_read_without_a_word() {
    for (folder, name, text) in companies() {
        let file = format!("{folder}/{name}.toml");
        let sheet = sheet::read(&text, &file).unwrap();
        assert_eq!(sheet.findings, [], "{file}");
        assert_eq!(sheet.name, name);
        assert!(sheet.given.is_sorted_by_key(|g| g.measure), "{file}");
    }
}

/// The figures of the examples agree with each other: a body can have them all at once.
#[test]
fn the_examples_make_bodies_that_measure_what_they_say() {
    for (_, name, text) in companies() {
        let sheet = sheet::read(&text, name).unwrap();
        let fit = torso::fit(&sheet).unwrap();
        let solid = mesh::build(&fit.torso);
        for reading in tape::check(&solid, &fit.targets) {
            assert_ne!(
                reading.verdict,
                tape::Verdict::Missed,
                "{name}: {} asked {} found {:?}",
                reading.target.measure,
                reading.target.value,
                reading.solid
            );
        }
        let warned = fit.findings.iter().find(|f| f.severity != Severity::Note);
        assert_eq!(warned, None, "{name}");
    }
}

#[test]
fn an_inch_sheet_with_fractions_is_read_in_mm() {
    let sheet = sheet::read(&example("baritone.toml"), "baritone.toml").unwrap();
    assert_eq!(sheet.unit, Unit::In);
    assert_eq!(sheet.figure, Figure::Man);
    // Handbook: 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
    assert_relative_eq!(
        value(&sheet, Measure::GirthNeck),
        15.375 * 25.4,
        epsilon = 1e-9
    );
    assert_relative_eq!(
        value(&sheet, Measure::GirthBust),
        41.0 * 25.4,
        epsilon = 1e-9
    );
    assert_relative_eq!(value(&sheet, Measure::HeightHip), 931.0, epsilon = 1e-9);
    // A slope with a unit of length is a drop.
    assert_relative_eq!(
        value(&sheet, Measure::ShoulderDrop),
        2.625 * 25.4,
        epsilon = 1e-9
    );
    assert_eq!(sheet.value(Measure::SlopeShoulder), None);
}

#[test]
fn left_and_right_are_kept_apart() {
    let text = crate::forms::CONTRALTO.replace(
        "shoulder          = 14.9",
        "shoulder = { left = 14.5, right = { value = \"15.3 cm\", within = 0.4 }, within = 0.2 }",
    );
    let sheet = sheet::read(&text, "a.toml").unwrap();
    let of = |side| {
        sheet
            .given
            .iter()
            .find(|g| g.measure == Measure::LengthShoulder && g.side == side)
            .unwrap()
    };
    assert_relative_eq!(of(Side::Left).value, 145.0, epsilon = 1e-9);
    assert_relative_eq!(of(Side::Left).within.unwrap(), 2.0, epsilon = 1e-9);
    assert_relative_eq!(of(Side::Right).value, 153.0, epsilon = 1e-9);
    assert_relative_eq!(of(Side::Right).within.unwrap(), 4.0, epsilon = 1e-9);
    assert_relative_eq!(
        value(&sheet, Measure::LengthShoulder),
        149.0,
        epsilon = 1e-9
    );
}

#[test]
fn slopes_are_radians_inside() {
    for words in ["24", "24.0", "\"24 deg\"", "\"24°\"", "\"24\""] {
        let text =
            crate::forms::CONTRALTO.replace("shoulder = 24.0 ", &format!("shoulder = {words} "));
        let sheet = sheet::read(&text, "a.toml").unwrap();
        let slope = value(&sheet, Measure::SlopeShoulder);
        assert_relative_eq!(slope, 24.0_f64.to_radians(), epsilon = 1e-12);
    }
}

/// `chest` is `bust`, everywhere, and changes nothing else.
#[test]
fn chest_is_the_same_key_as_bust() {
    let text = |word: &str| {
        format!(
            "unit = \"mm\"\nfigure = \"man\"\n[girth]\n{word} = 991\nwaist = 840\nhip = 984\n\
             [breadth]\n{word} = 322\n[depth]\n{word} = 243\n[height]\n{word} = 1276\nstature = 1756\n"
        )
    };
    let values = |text: &str| -> Vec<_> {
        let sheet = sheet::read(text, "a.toml").unwrap();
        assert_eq!(sheet.findings, []);
        sheet
            .given
            .into_iter()
            .map(|g| (g.measure, g.value))
            .collect()
    };
    assert_eq!(values(&text("chest")), values(&text("bust")));
    assert_eq!(values(&text("bust")).len(), 7);
}

/// Average people are not called unusual: means of the 1988 US Army survey (full sample: 2208
/// women, 1774 men; US Government work, public domain), in every unit and by every key it took.
#[test]
fn survey_means_are_read_without_a_word() {
    let women = "[girth]\nneck = 315.7\nneck_base = 346.2\nbust = 907.1\nunderbust = 769.7\n\
        waist = 725.5\nhip = 966.9\nthigh = 580.3\narmscye = 371.3\n[length]\nshoulder = 144.7\n\
        back_waist = 367.3\nfront_waist = 311.7\nside_neck_to_bust = 268\nbust_point_width = 184.8\n\
        scye_depth = 185.7\n[breadth]\nbiacromial = 362.6\nbust = 279.6\nhip = 342.7\n[depth]\n\
        bust = 239.4\nhip = 227.1\n[height]\nstature = 1629.4\nnape = 1408\nside_neck = 1396.5\n\
        shoulder = 1333.6\narmpit = 1233.6\nbust = 1174.4\nwaist = 1056.5\nhip = 838.3\n\
        crotch = 771.4\n";
    let men = "[girth]\nneck = 379.6\nneck_base = 408.4\nbust = 991.4\nunderbust = 926.1\n\
        waist = 839.9\nhip = 983.7\nthigh = 596.5\narmscye = 445.5\n[length]\nshoulder = 150.5\n\
        back_waist = 412\nfront_waist = 345.7\nside_neck_to_bust = 272.4\nbust_point_width = 215.9\n\
        scye_depth = 212.7\n[breadth]\nbiacromial = 397\nbust = 321.5\nhip = 341.8\n[depth]\n\
        bust = 243.2\nhip = 248.6\n[height]\nstature = 1755.8\nnape = 1519.4\nside_neck = 1509.5\n\
        shoulder = 1442.5\narmpit = 1320.9\nbust = 1275.9\nwaist = 1127.1\nhip = 887.4\n\
        crotch = 837.2\n";
    for (figure, body) in [("woman", women), ("man", men)] {
        let text = format!("unit = \"mm\"\nfigure = \"{figure}\"\n{body}");
        let sheet = sheet::read(&text, "mean.toml").unwrap();
        assert_eq!(sheet.findings, [], "{figure}");
    }
}

#[test]
fn the_blank_sheet_has_every_key_and_how_to_take_it() {
    // Words as they stand in the file, whatever the line breaks.
    let words = |text: &str| -> String {
        text.lines()
            .flat_map(|l| l.trim_start_matches('#').split_whitespace())
            .collect::<Vec<_>>()
            .join(" ")
    };
    let all = words(sheet::TEMPLATE);
    let mut table = "";
    let mut keys = Vec::new();
    for line in sheet::TEMPLATE.lines() {
        if let Some(name) = line.strip_prefix('[') {
            table = name.split(']').next().unwrap();
        } else if let Some((key, _)) = line.trim_start_matches('#').split_once(" =")
            && !key.starts_with(' ')
        {
            keys.push(format!("{table}.{}", key.trim()));
        }
    }
    for measure in Measure::ALL.into_iter().filter(|m| m.is_sheet_key()) {
        let info = measure.info();
        assert!(keys.contains(&measure.key().to_owned()), "{measure}");
        // One blank for everybody: it has the words of some figure.
        let figures = [Figure::Woman, Figure::Man, Figure::Child];
        for words in [info.definition, info.how, info.mistake] {
            let there = figures.iter().any(|f| all.contains(words.of(*f)));
            assert!(there, "{measure}: {words:?}");
        }
        assert!(all.contains(info.who.words()), "{measure}");
    }
    // Left and right stand where they are read, and nowhere else.
    let mut table = "";
    for line in sheet::TEMPLATE.lines() {
        if let Some(name) = line.strip_prefix('[') {
            table = name.split(']').next().unwrap();
        } else if let Some((key, rest)) = line.trim_start_matches('#').split_once(" =")
            && let Some(measure) = Measure::from_key(&format!("{table}.{}", key.trim()))
        {
            let said = rest.contains("left and right");
            assert_eq!(said, measure.info().paired, "{measure}");
            let lopsided = format!(
                "unit = \"mm\"\nfigure = \"woman\"\n[{table}]\n{key} = {{ left = 100, right = 101 }}\n"
            );
            let Err(Error::Sheet(findings)) = sheet::read(&lopsided, "a.toml") else {
                panic!("{measure}: a sheet without girths is read")
            };
            let refused = findings
                .iter()
                .any(|f| f.message().contains("has no left and right"));
            assert_eq!(refused, !measure.info().paired, "{measure}");
        }
    }
    // Filled in with the example's obligatory values it is a sheet.
    let filled = sheet::TEMPLATE
        .replace("#bust =   # OBL", "bust = 96 # OBL")
        .replace("#waist =   # OBL", "waist = 76.8 # OBL")
        .replace("#hip =   # OBL", "hip = 101.9 # OBL")
        .replace("#stature =   #", "stature = 170 #");
    let sheet = sheet::read(&filled, "blank.toml").unwrap();
    assert_eq!(sheet.given.len(), 4);
    assert_eq!(sheet.findings, []);
    // As it is, it is refused for what is missing and for nothing else.
    match sheet::read(sheet::TEMPLATE, "blank.toml") {
        Err(Error::Sheet(findings)) => {
            assert_eq!(findings.len(), 4);
            assert!(findings.iter().all(|f| f.place.is_none()));
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn everything_wrong_is_said_at_once_in_the_order_of_the_lines() {
    let text = "unit = \"cm\"\nfigure = \"woman\"\n[girth]\nbust = -1\nwaist = nan\nhpi = 100\n\
                [height]\nstature = \"ten\"\nnape = 9999\n";
    let Err(Error::Sheet(findings)) = sheet::read(text, "a.toml") else {
        panic!("read")
    };
    let lines: Vec<_> = findings
        .iter()
        .map(|f| f.place.as_ref().unwrap().line)
        .collect();
    assert_eq!(lines, [4, 5, 6, 8, 9]);
    assert!(findings.iter().all(|f| f.severity == Severity::Refusal));
}

#[test]
fn the_name_is_the_files_where_none_is_written() {
    let text = crate::forms::CONTRALTO.replace("name   =", "#");
    for (file, name) in [
        ("out/sheets/viola.toml", "viola"),
        ("viola", "viola"),
        ("C:\\sheets\\alt.o.toml", "alt.o"),
        ("\u{7}\u{202e}.toml", "sheet"),
        ("", "sheet"),
    ] {
        assert_eq!(sheet::read(&text, file).unwrap().name, name);
    }
}

#[test]
fn the_waist_may_be_called_by_another_level() {
    // Means of the 1988 US Army survey at the navel are usual there, and not at the natural waist.
    let text = |waist: &str| {
        format!(
            "unit = \"mm\"\nfigure = \"woman\"\nwaist = \"{waist}\"\n[girth]\nbust = 907.1\n\
             waist = 860\nhip = 966.9\n[height]\nstature = 1629.4\nwaist = 982.1\n"
        )
    };
    let findings = |waist: &str| sheet::read(&text(waist), "a.toml").unwrap().findings;
    assert_eq!(findings("navel"), []);
    assert_eq!(findings("iso"), []);
    assert!(!findings("natural").is_empty());
}

// ---------------------------------------------------------------------------------------------
// The workshop.

#[test]
fn the_example_workshops_are_read() {
    let foam = workshop::read(&read_from("examples", "workshop-foam.toml"), "foam.toml").unwrap();
    assert_eq!(foam.findings, []);
    assert_relative_eq!(foam.layer.thickness, 6.2, epsilon = 1e-9);
    assert!(foam.stock[0].roll);
    assert_eq!(foam.prices.currency, "EUR");
    assert_eq!(foam.stock[0].price, Some(12.5));
    assert_eq!(
        (foam.prices.dowel, foam.prices.batting),
        (Some(2.4), Some(6.9))
    );
    assert_relative_eq!(foam.stock[0].length, 1500.0);
    // ASTM D1785 and steel pipe alike: nominal 3/4 is 1.050 in outside.
    assert_relative_eq!(foam.pole.unwrap(), 1.05 * 25.4, epsilon = 1e-9);
    let card = workshop::read(
        &read_from("examples", "workshop-card-inch.toml"),
        "card.toml",
    )
    .unwrap();
    assert_relative_eq!(card.layer.thickness, 1.625 * 2.54, epsilon = 1e-9);
    assert_eq!(card.other_layers.len(), 1);
    assert_eq!(card.stock.len(), 2);
    assert_eq!(card.stock[0].turns, [0.0, 180.0]);
    // ASME Y14.1: Letter is 8.5 x 11 in.
    assert_relative_eq!(card.paper.width, 215.9, epsilon = 1e-9);
    assert_relative_eq!(card.paper.height, 279.4, epsilon = 1e-9);
    assert_relative_eq!(card.hem_below_hip.unwrap(), 50.8, epsilon = 1e-9);
    assert_eq!(card.findings.len(), 1);
    assert_eq!(card.findings[0].severity, Severity::Note);
}

#[test]
fn an_empty_workshop_is_the_usual_room_without_a_pole() {
    let read = workshop::read("", "room.toml").unwrap();
    let usual = Workshop {
        pole: None,
        ..Workshop::default()
    };
    assert_eq!(read, usual);
    let with_pole = workshop::read("[pole]\n", "room.toml").unwrap();
    assert_eq!(with_pole, Workshop::default());
}

#[test]
fn a_roll_of_paper_is_as_wide_as_said() {
    let paper = |size: &str| {
        let text = format!("[paper]\nsize = \"{size}\"\n");
        workshop::read(&text, "room.toml").unwrap().paper
    };
    for (size, width) in [
        ("roll 610 mm", 610.0),
        ("roll 24 in", 609.6),
        ("roll 914", 914.0),
    ] {
        assert!(paper(size).roll);
        assert_relative_eq!(paper(size).width, width, epsilon = 1e-9);
    }
    let plain = paper("a3");
    assert!(!plain.roll);
    assert_eq!((plain.width, plain.height), (297.0, 420.0));
}

// ---------------------------------------------------------------------------------------------
// Properties.

/// Lines that a hurried person may write.
fn scrap() -> impl Strategy<Value = String> {
    let key = prop_oneof![
        Just("bust"),
        Just("waist"),
        Just("hip"),
        Just("unit"),
        Just("figure"),
        Just("stature"),
        Just("shoulder"),
        Just("name"),
        Just("taken"),
        Just("chest"),
        Just("x y"),
        Just("turn"),
        Just("size"),
        Just("thickness"),
        Just("roll"),
    ];
    let value = prop_oneof![
        Just("96".to_owned()),
        Just("\"cm\"".to_owned()),
        Just("\"woman\"".to_owned()),
        Just("91,5".to_owned()),
        Just("nan".to_owned()),
        Just("-0".to_owned()),
        Just("{ left = 1, right = 2 }".to_owned()),
        Just("{ value = 9e999 }".to_owned()),
        Just("[1, 2".to_owned()),
        Just("\"40 3/4 in\"".to_owned()),
        Just("2026-02-30".to_owned()),
        Just("9223372036854775808".to_owned()),
        Just("1e400".to_owned()),
        Just("\"\"\"".to_owned()),
        Just("{ value = { value = 3 } }".to_owned()),
        any::<f64>().prop_map(|v| v.to_string()),
        ".{0,12}",
    ];
    let table = prop_oneof![
        Just("[girth]"),
        Just("[length]"),
        Just("[height]"),
        Just("[slope]"),
        Just("[wall]"),
        Just("[shape]"),
        Just("[[stock]]"),
        Just("[layer]"),
        Just("[paper]"),
        Just("[a.b]"),
        Just("["),
    ];
    prop_oneof![
        4 => (key, value).prop_map(|(k, v)| format!("{k} = {v}\n")),
        1 => table.prop_map(|t| format!("{t}\n")),
    ]
}

fn checked(findings: &[Finding], refused: bool) -> Result<(), TestCaseError> {
    prop_assert_eq!(
        findings.iter().any(|f| f.severity == Severity::Refusal),
        refused
    );
    for finding in findings {
        prop_assert!(!finding.message().is_empty());
        if let Some(place) = &finding.place {
            prop_assert!(place.line >= 1);
            prop_assert!(place.text.get(place.part.clone()).is_some());
            prop_assert!(!place.text.contains('\n'));
        }
    }
    Ok(())
}

fn never_panics(text: &str) -> Result<(), TestCaseError> {
    match sheet::read(text, "any.toml") {
        Ok(sheet) => {
            checked(&sheet.findings, false)?;
            for measure in [Measure::GirthBust, Measure::GirthWaist, Measure::GirthHip] {
                prop_assert!(sheet.value(measure).is_some_and(f64::is_finite));
            }
        }
        Err(Error::Sheet(findings)) => checked(&findings, true)?,
        Err(other) => prop_assert!(false, "{}", other),
    }
    match workshop::read(text, "any.toml") {
        Ok(workshop) => checked(&workshop.findings, false)?,
        Err(Error::Workshop(findings)) => checked(&findings, true)?,
        Err(other) => prop_assert!(false, "{}", other),
    }
    Ok(())
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in ".{0,400}") {
        never_panics(&text)?;
    }

    #[test]
    fn any_lines_are_read_or_refused(lines in prop::collection::vec(scrap(), 0..24)) {
        never_panics(&lines.concat())?;
    }

    /// One character of a good sheet changed, taken away or doubled.
    #[test]
    fn a_slip_of_one_character_is_read_or_refused(at in 0.0_f64..1.0, c in any::<char>(), how in 0..3) {
        for good in [crate::forms::CONTRALTO, sheet::TEMPLATE] {
            let chars: Vec<char> = good.chars().collect();
            // A position of the text: its length is far below 2^53.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "a test picks any place")]
            let at = (at * chars.len() as f64) as usize;
            let mut slip = chars.clone();
            match how {
                0 => slip[at] = c,
                1 => { slip.remove(at); }
                _ => slip.insert(at, chars[at]),
            }
            never_panics(&slip.into_iter().collect::<String>())?;
        }
    }

    /// The same body written in another unit is the same body, with the same findings.
    #[test]
    fn every_unit_gives_the_same_body(
        bust in 700.0_f64..1250.0, waist in 560.0_f64..1250.0, hip in 790.0_f64..1340.0,
        stature in 1400.0_f64..1850.0,
    ) {
        let read = |unit: Unit| {
            let v = |mm: f64| unit.from_mm(mm);
            let text = format!(
                "unit = \"{}\"\nfigure = \"woman\"\n[girth]\nbust = {}\nwaist = {}\nhip = {}\n\
                 [height]\nstature = {}\n",
                unit.name(), v(bust), v(waist), v(hip), v(stature)
            );
            sheet::read(&text, "a.toml").unwrap()
        };
        let cm = read(Unit::Cm);
        for unit in Unit::ALL {
            let other = read(unit);
            for (a, b) in cm.given.iter().zip(&other.given) {
                prop_assert_eq!(a.measure, b.measure);
                prop_assert!((a.value - b.value).abs() <= 1e-12 * a.value);
            }
            prop_assert_eq!(cm.findings.len(), other.findings.len());
        }
    }

    /// What a report shows, typed again, is the same to the reading of the tape.
    #[test]
    fn shown_values_can_be_typed_again(mm in 10.0_f64..2000.0) {
        for unit in Unit::ALL {
            let typed = units::parse_length(&unit.show(mm), unit).unwrap();
            let finest = match unit { Unit::Cm | Unit::Mm => 0.5, Unit::In => 25.4 / 16.0 };
            prop_assert!((typed - mm).abs() <= finest + 1e-9);
        }
    }
}

#[test]
fn every_measure_can_be_given_and_comes_back() {
    let body = [
        ("girth.bust", 960.0),
        ("girth.waist", 768.0),
        ("girth.hip", 1019.0),
        ("height.stature", 1700.0),
    ];
    for measure in Measure::ALL.into_iter().filter(|m| m.is_sheet_key()) {
        let [low, high] = measure.info().women;
        let middle = f64::midpoint(low, high);
        let typed = if measure.kind() == Kind::Slope {
            units::degrees(middle)
        } else {
            middle
        };
        let mut text = "unit = \"mm\"\nfigure = \"woman\"\n".to_owned();
        for (key, value) in body.iter().filter(|(key, _)| *key != measure.key()) {
            text.push_str(&format!("{key} = {value}\n"));
        }
        text.push_str(&format!("{measure} = {{ value = {typed}, within = 1 }}\n"));
        let sheet = sheet::read(&text, "a.toml").unwrap();
        assert_relative_eq!(value(&sheet, measure), middle, max_relative = 1e-12);
        let given = sheet.given.iter().find(|g| g.measure == measure).unwrap();
        assert!(given.within.is_some(), "{measure}");
        assert_eq!(given.place.line, text.lines().count(), "{measure}");
    }
}
