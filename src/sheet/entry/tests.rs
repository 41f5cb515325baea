//! A sheet being filled in, as text.

use super::draft::HEADING;
use super::*;
use crate::error::Error;
use crate::measure::Measure;
use crate::sheet;
use crate::sheet::Figure;
use crate::units::Unit;
use Measure as M;

fn begun() -> Draft {
    let mut draft = Draft::blank("alto.toml");
    draft.set_head(Head::Name, "Alto \"the voice\"");
    draft.set_head(Head::Taken, "2026-03-14");
    draft.set_head(Head::Unit, "cm");
    draft.set_head(Head::Figure, "woman");
    draft.set_head(Head::Worn, "bra");
    draft
}

fn put(draft: &mut Draft, measure: Measure, text: &str) {
    let unit = draft.unit().unwrap();
    let answer = parse(text, measure, unit).unwrap();
    draft.put(measure, &answer);
}

#[test]
fn answers_stand_in_the_order_of_a_sheet_whatever_the_order_of_asking() {
    let mut draft = begun();
    put(&mut draft, M::WallNape, "5");
    put(&mut draft, M::GirthHip, "101.9");
    put(&mut draft, M::LengthBackWaist, "37.9 and 38.5");
    put(&mut draft, M::HeightStature, "5 and 1.7");
    draft.remove(M::HeightStature);
    put(&mut draft, M::HeightStature, "170");
    put(
        &mut draft,
        M::LengthShoulder,
        "left 14.9 and 15.3 right 14.9",
    );
    put(&mut draft, M::SlopeShoulder, "2 in and 5.6 cm");
    put(&mut draft, M::GirthBust, "37 7/8 in");
    put(&mut draft, M::GirthWaist, "76.8 and 76.85");
    draft.set_shape("seat", Some("flat"));
    draft.set_shape("back", Some("rounded"));
    draft.set_shape("back", None);
    assert_eq!(
        draft.text().strip_prefix(HEADING).unwrap(),
        r#"name = 'Alto "the voice"'
taken = 2026-03-14
unit = "cm"
figure = "woman"
worn = "bra"

[girth]
hip = 101.9
bust = "37 7/8 in"
waist = 76.83  # read 76.8 and 76.85

[length]
back_waist = { value = 38.2, within = 0.3 }  # read 37.9 and 38.5
shoulder = { left = { value = 15.1, within = 0.2 }, right = 14.9 }  # read left 14.9 and 15.3, right 14.9

[height]
stature = 170

[slope]
shoulder = { value = "5.34 cm", within = "0.26 cm" }  # read 2 in and 5.6 cm

[wall]
nape = 5

[shape]
seat = "flat"
"#
    );
    let sheet = sheet::read(&draft.text(), "alto.toml").unwrap();
    assert_eq!(sheet.given.len(), 9);
    let wide = |m| sheet.given.iter().find(|g| g.measure == m).unwrap().within;
    assert!((wide(M::LengthBackWaist).unwrap() - 3.0).abs() < 1e-9);
    assert!((sheet.value(M::ShoulderDrop).unwrap() - 53.4).abs() < 1e-9);
    assert_eq!(draft.missing(), []);
    assert_eq!(draft.count(), 8);
}

#[test]
fn what_somebody_wrote_stays_when_it_is_gone_on_with() {
    let text = "# mine\nunit = \"in\"   # tape of the old lady\nfigure = \"man\"\n\n# round\n[girth] \
                # tight\nchest = 41 # my hand\nhip = \"40 1/2 in\"\n# end\n\n[height]\nstature = 72\n";
    let mut draft = Draft::open(text, "b.toml").unwrap();
    assert_eq!(draft.text(), text);
    assert_eq!(draft.given(M::GirthBust).as_deref(), Some("41"));
    assert_eq!(draft.missing(), [M::GirthWaist]);
    put(&mut draft, M::GirthBust, "41 and 41 1/2");
    put(&mut draft, M::GirthWaist, "34 3/4");
    put(&mut draft, M::LengthShoulder, "6 1/8");
    let now = draft.text();
    for line in [
        "# mine",
        "unit = \"in\"   # tape of the old lady",
        "[girth] # tight",
        "chest = { value = 41.25, within = 0.25 }  # read 41 and 41 1/2",
        "waist = \"34 3/4 in\"",
        "# end",
    ] {
        assert!(now.lines().any(|l| l == line), "{line}\n{now}");
    }
    assert!(now.find("[length]").unwrap() < now.find("[height]").unwrap());
    assert!(now.find("[girth]").unwrap() < now.find("[length]").unwrap());
    assert_eq!(draft.given(M::GirthBust).unwrap(), "41 1/4 ± 1/4");
    // With units of their own the mean is words in the sheet, and a fraction to anyone who reads it.
    put(&mut draft, M::GirthNeck, "15 3/8 in and 15 1/2 in");
    assert_eq!(draft.given(M::GirthNeck).unwrap(), "15 7/16 in ± 1/16 in");
    assert!(draft.findings().is_empty(), "{:?}", draft.findings());
}

#[test]
fn an_answer_is_judged_before_it_is_written() {
    let mut draft = begun();
    put(&mut draft, M::GirthBust, "96");
    let judge = |draft: &Draft, m, text| {
        let (impossible, found) = draft.judge(m, &parse(text, m, Unit::Cm).unwrap());
        let all: Vec<String> = found
            .into_iter()
            .map(|f| f.message() + ": " + &f.hint())
            .collect();
        (impossible, all.join("; "))
    };
    assert_eq!(judge(&draft, M::GirthHip, "101.9"), (false, String::new()));
    let (impossible, said) = judge(&draft, M::LengthBackWaist, "15");
    assert!(
        !impossible && said.contains("was it read in inches?"),
        "{said}"
    );
    let (impossible, said) = judge(&draft, M::LengthBackWaist, "5");
    assert!(impossible && !said.is_empty(), "{said}");
    let (impossible, said) = judge(&draft, M::BreadthBust, "49");
    assert!(!impossible && said.contains("more than half of"), "{said}");
    let (impossible, said) = judge(&draft, M::GirthUnderbust, "98");
    assert!(
        !impossible && said.contains("are the two swapped?"),
        "{said}"
    );
    // A finding about an earlier answer is not repeated.
    put(&mut draft, M::GirthUnderbust, "98");
    assert_eq!(judge(&draft, M::GirthHip, "101.9").1, "");
}

#[test]
fn a_blank_sheet_can_be_gone_on_with() {
    let mut draft = Draft::open(sheet::TEMPLATE, "t.toml").unwrap();
    for m in draft.missing() {
        put(&mut draft, m, "90");
    }
    assert_eq!(draft.missing(), []);
    assert!(draft.text().contains("#bust =   # OBLIGATORY"));
    assert_eq!(draft.count(), 4);
    assert!(sheet::read(&draft.text(), "t.toml").is_ok());
}

#[test]
fn what_is_no_sheet_is_refused_with_its_reason() {
    for (text, said) in [
        ("[girth\nbust = 3", "cannot be read"),
        (
            "unit = \"cm\"\nfigure = \"woman\"\ngirth = 3\n",
            "not a table",
        ),
        (
            "unit = \"cm\"\nfigure = \"woman\"\n[girth]\nbust = 96,5\n",
            "decimal comma",
        ),
    ] {
        let Err(Error::Sheet(found)) = Draft::open(text, "x.toml") else {
            panic!("{text} was taken");
        };
        assert!(
            found.iter().any(|f| f.message().contains(said)),
            "{found:?}"
        );
    }
}

#[test]
fn every_word_of_shape_is_asked_for() {
    let (_, shape) = sheet::TEMPLATE.split_once("\n[shape]").unwrap();
    let (words, _) = shape.split_once("\n\n").unwrap();
    let mut keys: Vec<&str> = words
        .lines()
        .filter_map(|l| {
            l.strip_prefix('#')?
                .split_once('=')
                .map(|(key, _)| key.trim())
        })
        .collect();
    let mut asked: Vec<&str> = shapes(Figure::Woman).map(|s| s.key).collect();
    keys.sort_unstable();
    asked.sort_unstable();
    assert!(keys.len() > 5);
    assert_eq!(keys, asked);
    assert_eq!(
        shapes(Figure::Man).count() + 2,
        asked.len(),
        "the two words of the bust are for women"
    );
}
