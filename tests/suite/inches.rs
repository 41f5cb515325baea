//! Somebody who measures in inches: paper, boards and dowels of sizes sold there, and no millimetre to read.

use layfigure::drawing::Item;
use layfigure::form;
use layfigure::layout::board;
use layfigure::sheet;
use layfigure::stack::{Piece, rods};
use layfigure::units::Unit;
use layfigure::workshop::Workshop;

use crate::program::{bench, build};

/// Paper: ASME Y14.1 size A, 8 1/2 x 11 in. Boards of 24 x 48 in, dowels of 3/8 and 1/4 in: sizes of do-it-yourself
/// shops (common practice, no source). An inch is 25.4 mm by the agreement of 1959.
#[test]
fn a_sheet_in_inches_is_built_of_what_is_sold_by_the_inch() {
    let text = std::fs::read_to_string("tests/sheets/baritone.toml").unwrap();
    let sheet = sheet::read(&text, "baritone.toml").unwrap();
    let room = Workshop::usual(sheet.unit);
    let inches = |mm: f64| mm / 25.4;
    assert!((inches(room.paper.width) - 8.5).abs() < 1e-9);
    assert!((inches(room.paper.height) - 11.0).abs() < 1e-9);
    assert!((inches(room.stock[0].width) - 48.0).abs() < 1e-9);
    assert!((inches(room.stock[0].length) - 24.0).abs() < 1e-9);
    let checked = form::check(sheet, &room, None).unwrap();
    let form = form::build(checked, room, 0).unwrap();
    for dowel in &form.stack.dowels {
        let sixteenths = inches(dowel.diameter) * 16.0;
        assert!((sixteenths - sixteenths.round()).abs() < 1e-9);
        assert!(dowel.diameter < 3.1 / 8.0 * 25.4, "{}", dowel.diameter);
    }
    let boards = form.boards.iter().map(|b| {
        let pieces: Vec<&Piece> = form.cut.iter().map(|c| &c.piece).collect();
        board::board_drawing(b, &pieces, &form.workshop).unwrap()
    });
    let mut read = 0;
    let mut bars = 0;
    for page in form.pages.iter().chain(&form.proof).cloned().chain(boards) {
        for item in page.groups.into_iter().flat_map(|g| g.items) {
            let Item::Text { words, .. } = item else {
                continue;
            };
            // The bars of millimetres stand beside those of inches.
            if ["100 mm", "200 mm"].contains(&words.as_str()) {
                bars += 1;
                continue;
            }
            read += 1;
            assert!(!words.split([' ', ',']).any(|w| w == "mm"), "{words}");
        }
    }
    assert!(read > 1000 && bars == 2 * (form.pages.len() + form.proof.len()));
}

/// A room that is written in inches takes what is usual there for what it does not say; one in millimetres is as
/// it always was.
#[test]
fn a_workshop_file_lives_in_its_own_unit() {
    for (unit, paper) in [(Unit::In, "Letter"), (Unit::Mm, "A4"), (Unit::Cm, "A4")] {
        let text = format!("unit = \"{}\"\n[pole]\n", unit.name());
        let room = layfigure::workshop::read(&text, "room.toml").unwrap();
        assert_eq!(room, Workshop::usual(unit));
        assert_eq!(room.paper.name, paper);
    }
}

/// The pages themselves are read back: the box of a page of 11 x 17 in has 72 points to the inch (ISO 32000-1, 8.3.2.3).
#[test]
fn paper_can_be_named_at_the_prompt() {
    let dir = bench();
    build(dir.path(), &["--paper", "11x17 in"]).success();
    let bytes = std::fs::read(dir.path().join("form/proof.pdf")).unwrap();
    let text = String::from_utf8_lossy(&bytes);
    let (_, rest) = text.split_once("/MediaBox [").unwrap();
    let numbers = rest.split(']').next().unwrap().split_whitespace();
    let mut sides: Vec<f64> = numbers.skip(2).map(|n| n.parse().unwrap()).collect();
    sides.sort_by(f64::total_cmp);
    assert!((sides[0] - 11.0 * 72.0).abs() < 0.01 && (sides[1] - 17.0 * 72.0).abs() < 0.01);
    build(dir.path(), &["--paper", "A9"])
        .code(2)
        .says("`paper.size` \"A9\" is not known");
}

/// What a message says of a size begins with the unit of its reader; rods are bought by number, and each is long enough
/// for the dowels that are sawn from it: lengths are added here by hand.
#[test]
fn inches_stand_first_and_rods_are_counted() {
    let text = std::fs::read_to_string("examples/baritone.toml").unwrap();
    let sheet = sheet::read(&text, "baritone.toml").unwrap();
    let room = Workshop::usual(Unit::In);
    let form = form::build(form::check(sheet, &room, None).unwrap(), room, 0).unwrap();
    let all: f64 = form.stack.dowels.iter().map(|d| d.length).sum();
    let bought = rods::to_buy(&form.stack.dowels, Unit::In);
    assert_eq!(bought.len(), 1, "{bought:?}");
    let (count, length) = (bought[0].count as f64, bought[0].length);
    assert!((length - 36.0 * 25.4).abs() < 1e-9);
    // No fewer than the lengths together need, and no more than when every rod is half used.
    assert!(
        count * length >= all && (count - 1.0) * length / 2.0 < all,
        "{bought:?} {all}"
    );
    // A number stays on one line with its unit.
    let said = guide(&form)
        .replace("<span class=\"option\">", "")
        .replace("</span>", "");
    let said_rods = format!("{count} rods of 36 in, and one more as spare");
    assert!(said.contains(&said_rods), "{said_rods}");
    let known = layfigure::say::materials::table(Unit::In);
    assert!(
        known.contains("sold, in") && known.contains("1/8 3/16"),
        "{known}"
    );
}

fn guide(form: &form::Form) -> String {
    let files = layfigure::say::folder(form).unwrap();
    let (_, bytes) = files
        .into_iter()
        .find(|(name, _)| name == "guide.html")
        .unwrap();
    String::from_utf8(bytes).unwrap()
}

/// Where layers are cut again, the guide says what to cut off the pole: by how much its old end stands above the top of
/// the last layer that it passes now.
#[test]
fn a_pole_that_stands_out_is_cut() {
    let sheet = sheet::read(crate::program::SHEET, "sheet.toml").unwrap();
    let text = crate::program::WORKSHOP.replace("[paper]", "[pole]\ndiameter = 25\n[paper]");
    let room = layfigure::workshop::read(&text, "room.toml").unwrap();
    let checked = form::check(sheet, &room, None).unwrap();
    let (whole, _) = form::stacked(&checked, &room, None).unwrap();
    let old = whole.layers[whole.pole.unwrap().last_layer - 1].top;
    let mut cut = 0;
    for more in [-6.0, 6.0] {
        let height = whole.layers[9].top - whole.bottom() + more;
        let pile = layfigure::stack::Pile {
            restart_at: 11,
            height,
        };
        let made = form::rebuild(checked.clone(), room.clone(), 0, Some(pile), &mut |_| {});
        let made = made.unwrap();
        let pole = made.stack.pole.unwrap();
        assert!((pole.earlier.unwrap() - old).abs() < 1e-9);
        let by = old - made.stack.layers[pole.last_layer - 1].top;
        let said = guide(&made);
        assert_eq!(said.contains(" off the top of the pole"), by > 1.0, "{by}");
        assert_eq!(said.contains("The pole ends "), by < -1.0, "{by}");
        cut += usize::from(by > 1.0);
    }
    assert!(cut > 0);
}
