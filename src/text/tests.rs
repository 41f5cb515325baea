//! What texts say to whom.

use super::*;

#[test]
fn whoever_reads_inches_has_them_beside_the_millimetres() {
    let said = crate::text![
        "dowels of ",
        mm0(8.0),
        " with ",
        mm1(12.0),
        ", ",
        mm(6.35),
        ", ",
        Part::Sizes([700.0, 500.0], 0, "x"),
        ", ",
        Part::TrimmedSizes([700.0, 12.7], "by"),
        "; set ",
        typed("dowel.diameter")
    ];
    assert_eq!(
        said.plain(Reader::default()),
        "dowels of 8 mm with 12.0 mm, 6.35 mm, 700 x 500 mm, 700 by 12.7 mm; set `dowel.diameter`"
    );
    // 25.4 mm to the inch.
    assert_eq!(
        said.plain(Reader {
            unit: Unit::In,
            ..Reader::default()
        }),
        "dowels of 5/16 in (8 mm) with 15/32 in (12.0 mm), 1/4 in (6.35 mm), 27 9/16 x 19 11/16 in (700 x 500 mm), 27 9/16 by 1/2 in (700 by 12.7 mm); set \
         `dowel.diameter`"
    );
    let last = said.runs(Reader::default()).pop();
    assert!(last.is_some_and(|r| r.unbroken));
    assert!(Text::from("").is_empty());
    assert_eq!(
        Text::joined(["a".into(), "b".into()], ", ").plain(Reader::default()),
        "a, b"
    );
    let three = ["a", "b", "c"].map(Text::from);
    assert_eq!(listed(three, "or").plain(Reader::default()), "a, b or c");
}

#[test]
fn a_sentence_has_a_capital_and_one_mark() {
    let plain = |words: Text| sentence(words).plain(Reader::default());
    assert_eq!(
        plain("étoffe of the chorister".into()),
        "Étoffe of the chorister."
    );
    assert_eq!(plain("is it so?".into()), "Is it so?");
    assert_eq!(plain("`taken` is no date".into()), "`taken` is no date.");
    assert_eq!(plain(Text::new()), "");
}

#[test]
fn backticks_in_words_of_the_program_hold_what_is_typed() {
    let said = Text::from("type `go hip`, or `back`");
    let kept = |all: &[Run]| all.iter().filter(|r| r.unbroken).count();
    assert_eq!(kept(&said.runs(Reader::default())), 2);
    assert_eq!(
        said,
        crate::text!["type ", typed("go hip"), ", or ", typed("back"), ""]
    );
    assert_eq!(said.plain(Reader::default()), "type `go hip`, or `back`");
    // One alone holds nothing, and what somebody else wrote is not read at all.
    assert_eq!(Text::from("a ` b").plain(Reader::default()), "a ` b");
    assert_eq!(
        kept(&Text::from("`go hip`".to_owned()).runs(Reader::default())),
        0
    );
}

#[test]
fn a_measurement_is_spoken_of_as_the_listener_knows_it() {
    let said = crate::text![
        "is ",
        key("girth.bust"),
        " right?",
        Part::IfNot,
        "read it again"
    ];
    assert!(said.names(Measure::GirthBust) && !said.names(Measure::GirthHip));
    assert_eq!(
        said.plain(Reader::default()),
        "is bust girth `girth.bust` right?; else read it again"
    );
    let spoken = |figure| {
        said.plain(Reader {
            figure,
            names: Names::Spoken,
            ..Reader::default()
        })
    };
    assert_eq!(
        spoken(Figure::Woman),
        "is the bust girth right? If not, read it again"
    );
    assert_eq!(
        spoken(Figure::Man),
        "is the chest girth right? If not, read it again"
    );
}
