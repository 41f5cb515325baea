//! A workshop file being filled in, as text.

use super::*;
use crate::error::{Error, Severity};
use crate::units::Unit;
use crate::workshop;
use crate::workshop::Workshop;

fn put(draft: &mut RoomDraft, asked: Asked, typed: &str) -> Vec<String> {
    let found = draft.put(asked, typed);
    let found = found.unwrap_or_else(|e| panic!("{typed}: {e:?}"));
    found.iter().map(|f| f.fact.name().to_owned()).collect()
}

fn refused(draft: &mut RoomDraft, asked: Asked, typed: &str) -> String {
    let before = draft.text();
    let found = draft.put(asked, typed).expect_err(typed);
    assert!(found.iter().all(|f| f.severity == Severity::Refusal));
    assert_eq!(
        draft.text(),
        before,
        "nothing changes where an answer is refused"
    );
    found[0].fact.name().to_owned()
}

#[test]
fn a_room_is_what_was_answered() {
    let mut draft = RoomDraft::blank("room.toml");
    for (asked, typed) in [
        (Asked::Unit, "mm"),
        (Asked::Material, "EVA foam"),
        (Asked::Thickness, "98,5"),
        (Asked::Board, "1 m x 500"),
        (Asked::Machine, "laser 0.15"),
        (Asked::Paper, "A3"),
        (Asked::Padding, "300 and 332"),
        (Asked::Pole, "28"),
    ] {
        assert_eq!(put(&mut draft, asked, typed), [""; 0], "{typed}");
    }
    let text = draft.text();
    let (_, text) = text.split_once("\n\n").unwrap();
    assert_eq!(
        text,
        "unit = \"mm\"\n\n[layer]\nmaterial = \"EVA foam\"\nten_stacked = 98.5\n\n[stock]\nwidth = \"1000 mm\"\n\
         length = 500\nkerf = 0.15\n\n[paper]\nsize = \"A3\"\n\n[padding]\nwrap_bare = 300\nwrap_padded = 332\n\n\
         [pole]\ndiameter = 28\n"
    );
    let room = draft.room();
    assert!((room.layer.thickness - 9.85).abs() < 1e-9);
    assert!((room.layer.density - 110.0).abs() < 1e-9);
    assert_eq!((room.stock[0].width, room.stock[0].length), (1000.0, 500.0));
    assert!((room.stock[0].kerf - 0.15).abs() < 1e-9);
    assert_eq!((room.paper.name.as_str(), room.pole), ("A3", Some(28.0)));
    // 32 mm more round a tin are 5.1 mm of batting and cover (2 pi).
    assert!((room.padding.thickness() - 5.09).abs() < 0.01);
    assert_eq!(draft.given(Asked::Board).unwrap(), "1000 mm x 500");
    assert_eq!(draft.given(Asked::Padding).unwrap(), "300 and 332");
    assert_eq!(put(&mut draft, Asked::Thickness, "9.8"), ["ThinSheets"]);
    put(&mut draft, Asked::Padding, "4.5");
    put(&mut draft, Asked::Thickness, "one 5");
    put(&mut draft, Asked::Board, "roll 1500");
    let room = draft.room();
    assert_eq!((room.padding.batting, room.layer.thickness), (4.5, 5.0));
    assert!(room.stock[0].roll && (room.stock[0].width - 1500.0).abs() < 1e-9);
    draft.remove(Asked::Pole);
    assert_eq!(draft.room().pole, None);
}

/// What is left out is what the question says, in each unit.
#[test]
fn what_is_left_out_is_what_was_said() {
    for unit in Unit::ALL {
        let mut draft = RoomDraft::blank("room.toml");
        put(&mut draft, Asked::Unit, unit.name());
        let usual = Workshop {
            pole: None,
            ..Workshop::usual(unit)
        };
        assert_eq!(draft.room(), usual);
        for q in questions() {
            let said = q.without(unit);
            match q.asked {
                Asked::Unit | Asked::Pole => continue,
                Asked::Machine => {
                    put(&mut draft, q.asked, "laser");
                    assert_eq!(draft.given(q.asked).unwrap(), said);
                }
                _ => {
                    put(&mut draft, q.asked, &said);
                }
            }
            let room = draft.room();
            assert_eq!(room.paper, usual.paper);
            assert!((room.layer.thickness - usual.layer.thickness).abs() < 1e-9);
            assert_eq!(
                (&room.stock, &room.padding),
                (&usual.stock, &usual.padding),
                "{said}"
            );
        }
    }
    let mut draft = RoomDraft::blank("room.toml");
    put(&mut draft, Asked::Unit, "in");
    put(&mut draft, Asked::Board, "48 x 24 in");
    put(&mut draft, Asked::Padding, "12 and 13 3/8");
    let room = draft.room();
    assert!((room.stock[0].width - 48.0 * 25.4).abs() < 1e-9);
    assert!((room.stock[0].length - 24.0 * 25.4).abs() < 1e-9);
    assert!((room.padding.thickness() - 1.375 * 25.4 / std::f64::consts::TAU).abs() < 1e-6);
    put(&mut draft, Asked::Thickness, "2 1/2");
    assert_eq!(draft.given(Asked::Thickness).unwrap(), "2 1/2");
}

#[test]
fn an_answer_is_read_as_a_file_is() {
    let mut draft = RoomDraft::blank("room.toml");
    put(&mut draft, Asked::Unit, "cm");
    for (asked, typed, why) in [
        (Asked::Unit, "ells", "NoUnit"),
        (Asked::Thickness, "900", "OutOfRange"),
        (Asked::Thickness, "thick", "NoNumber"),
        (Asked::Board, "100", "NoBoard"),
        (Asked::Board, "100 x 1", "OutOfRange"),
        (Asked::Machine, "teeth", "NoMachine"),
        (Asked::Machine, "router", "NoBit"),
        (Asked::Machine, "router 9 cm", "OutOfRange"),
        (Asked::Paper, "foolscap", "NoSuchPaper"),
        (Asked::Padding, "30 and 31 and 32", "NoPadding"),
        (Asked::Padding, "32 and 30", "WrapGives"),
        (Asked::Pole, "0.1", "OutOfRange"),
    ] {
        let found = refused(&mut draft, asked, typed);
        assert!(
            found == why || found == "Misread" && why == "NoNumber",
            "{typed}: {found}"
        );
    }
    assert_eq!(put(&mut draft, Asked::Material, "wool"), ["NoDensity"]);
    assert_eq!(refused(&mut draft, Asked::Unit, "in"), "UnitIsKept");
}

/// A laser may not be named for what gives poisonous gas, in whichever order the two are answered.
#[test]
fn no_laser_is_kept_for_what_none_may_cut() {
    let mut draft = RoomDraft::blank("room.toml");
    put(&mut draft, Asked::Material, "PVC board");
    assert_eq!(refused(&mut draft, Asked::Machine, "laser"), "NoLaser");
    put(&mut draft, Asked::Machine, "router 3");
    put(&mut draft, Asked::Material, "birch plywood");
    put(&mut draft, Asked::Machine, "laser");
    assert_eq!(
        put(&mut draft, Asked::Material, "PVC board"),
        ["LaserTakenBack"]
    );
    assert_eq!(draft.given(Asked::Machine), None);
    put(&mut draft, Asked::Machine, "router 3");
    assert_eq!(put(&mut draft, Asked::Material, "PVC board"), [""; 0]);
    assert!((draft.room().stock[0].kerf - 3.0).abs() < 1e-9);
}

#[test]
fn what_somebody_wrote_stays() {
    let text = "# my room\nunit = \"mm\"\n[[layer]] # first\nmaterial = \"foam\"\nthickness = 10 # measured\n\
                [[layer]]\nmaterial = \"felt\"\nthickness = 3\n\n[stock]\nprice = 4.5 # a board\n";
    let mut draft = RoomDraft::open(text, "room.toml").unwrap();
    assert_eq!(draft.text(), text);
    assert_eq!(draft.given(Asked::Thickness).unwrap(), "one 10");
    put(&mut draft, Asked::Thickness, "101");
    put(&mut draft, Asked::Board, "1200 x 600");
    let now = draft.text();
    for line in [
        "# my room",
        "[[layer]] # first",
        "ten_stacked = 101",
        "price = 4.5 # a board",
        "width = 1200",
    ] {
        assert!(now.lines().any(|l| l == line), "{line}\n{now}");
    }
    let room = workshop::read(&now, "room.toml").unwrap();
    assert!((room.layer.thickness - 10.1).abs() < 1e-9);
    assert!((room.other_layers[0].thickness - 3.0).abs() < 1e-9);
    assert!(matches!(
        RoomDraft::open("[layer]\nthickness = 0\n", "x"),
        Err(Error::Workshop(_))
    ));
}
