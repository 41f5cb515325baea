use std::fmt::Write;

use layfigure::error::Error;
use layfigure::error::Finding;
use layfigure::sheet;
use layfigure::workshop;

// The program's own printing, taken in as it stands: a test cannot name the program's parts.
#[path = "../../src/cli/messages.rs"]
#[allow(dead_code, reason = "the program uses the rest")]
mod printed;

/// A sheet about which there is nothing to say.
pub(crate) const SHEET: &str = r#"name = "contralto"
unit = "cm"
figure = "woman"
[girth]
bust = 96
waist = 76.8
hip = 101.9
[length]
back_waist = 37.9
[height]
stature = 170
"#;

/// A workshop about which there is nothing to say.
const WORKSHOP: &str = r#"unit = "mm"
[layer]
material = "EVA foam"
thickness = 6
[stock]
width = 1000
length = 600
[dowel]
diameter = 8
[paper]
size = "A4"
"#;

/// What is wrong, the text that is replaced, and by what. Text that is not replaced is added: an
/// empty first text stands for the end.
type Case = (&'static str, &'static [(&'static str, &'static str)]);

const SHEETS: &[Case] = &[
    ("a key misspelt", &[("waist =", "wiast =")]),
    (
        "a key of another table",
        &[("back_waist = 37.9", "back_waist = 37.9\nbust = 30")],
    ),
    (
        "a key under another name",
        &[("bust = 96", "bust = 96\nhigh_bust = 90")],
    ),
    (
        "a key of the head below a table",
        &[
            ("unit = \"cm\"\n", ""),
            ("bust = 96", "unit = \"cm\"\nbust = 96"),
        ],
    ),
    ("a key unlike any", &[("bust = 96", "bust = 96\nzzz = 1")]),
    ("a table misspelt", &[("[girth]", "[girths]")]),
    (
        "a table of the workshop",
        &[("", "[stock]\nwidth = 1000\n")],
    ),
    (
        "a table that is a value",
        &[
            ("[height]\nstature = 170\n", ""),
            ("[girth]", "height = 170\n[girth]"),
        ],
    ),
    ("the wrong type", &[("bust = 96", "bust = true")]),
    ("a list", &[("bust = 96", "bust = [96, 97]")]),
    ("not a number", &[("bust = 96", "bust = nan")]),
    ("infinite", &[("bust = 96", "bust = -inf")]),
    ("zero", &[("bust = 96", "bust = 0")]),
    ("negative", &[("bust = 96", "bust = \"-96 cm\"")]),
    ("a decimal comma", &[("76.8", "76,8")]),
    ("a decimal comma in quotes", &[("76.8", "\"76,8 cm\"")]),
    (
        "a decimal comma in a table",
        &[("76.8", "{ value = 76,8, within = 1.0 }")],
    ),
    ("an unknown unit", &[("76.8", "\"76.8 ells\"")]),
    (
        "a unit of other trades",
        &[("stature = 170", "stature = \"1.7 m\"")],
    ),
    ("words that are no number", &[("76.8", "\"slim\"")]),
    ("a fraction without quotes", &[("76.8", "30 1/4")]),
    ("words without quotes", &[("\"woman\"", "woman")]),
    ("a quote that is not closed", &[("\"woman\"", "\"woman")]),
    ("curly quotes", &[("\"woman\"", "“woman”")]),
    (
        "quotes within quotes",
        &[("\"contralto\"", "\"Anna \"the voice\" B\"")],
    ),
    (
        "an apostrophe within quotes",
        &[("\"contralto\"", "'O'Hara'")],
    ),
    ("a fraction by nothing", &[("76.8", "\"43 1/0 in\"")]),
    (
        "no space before a fraction",
        &[("back_waist = 37.9", "back_waist = \"161/4 in\"")],
    ),
    ("no value", &[("76.8", "")]),
    ("a key twice", &[("bust = 96", "bust = 96\nbust = 97")]),
    ("chest and bust", &[("bust = 96", "bust = 96\nchest = 97")]),
    ("far too large", &[("stature = 170", "stature = 1700")]),
    ("far too small", &[("37.9", "3.79")]),
    (
        "two sides of what has none",
        &[("76.8", "{ left = 38, right = 38.8 }")],
    ),
    (
        "an unknown key of a value",
        &[("76.8", "{ value = 76.8, plus_minus = 1 }")],
    ),
    ("a value without a value", &[("76.8", "{ within = 1 }")]),
    (
        "sure to nothing",
        &[("76.8", "{ value = 76.8, within = 0 }")],
    ),
    (
        "a slope unsure by a length",
        &[(
            "",
            "[slope]\nshoulder = { value = 22, within = \"1 cm\" }\n",
        )],
    ),
    (
        "no unit and no figure",
        &[("unit = \"cm\"\nfigure = \"woman\"\n", "")],
    ),
    ("an unknown figure", &[("\"woman\"", "\"womann\"")]),
    (
        "an unknown word of shape",
        &[("", "[shape]\nabdomen = \"round\"\n")],
    ),
    (
        "a name that cannot be printed",
        &[("\"contralto\"", "\"con\\u0007tralto\"")],
    ),
    ("no date", &[("unit =", "taken = \"14 March\"\nunit =")]),
    (
        "obligatory values missing",
        &[
            ("bust = 96\nwaist = 76.8\n", ""),
            ("back_waist = 37.9\n", ""),
            ("stature = 170\n", ""),
        ],
    ),
    (
        "a breadth of more than half the girth",
        &[("", "[breadth]\nwaist = 39\n")],
    ),
    (
        "a girth less than round breadth and depth",
        &[("", "[breadth]\nhip = 42\n[depth]\nhip = 30\n")],
    ),
    (
        "a girth more than round breadth and depth",
        &[("", "[breadth]\nbust = 25\n[depth]\nbust = 22\n")],
    ),
    (
        "an arc longer than its girth",
        &[("", "[arc]\nfront_waist = 77\n")],
    ),
    ("heights swapped", &[("", "waist = 90\nhip = 101\n")]),
    (
        "a length a little shorter than straight",
        &[("", "nape = 147\nwaist = 106\n")],
    ),
    (
        "a length much shorter than straight",
        &[("37.9", "34"), ("", "nape = 147\nwaist = 106\n")],
    ),
    (
        "past the bust point",
        &[(
            "37.9",
            "37.9\nside_neck_to_bust = 40\nside_neck_to_waist = 36",
        )],
    ),
    ("an unusual proportion", &[("", "waist = 99\n")]),
    (
        "bust and underbust swapped",
        &[("bust = 96", "bust = 80\nunderbust = 88")],
    ),
    (
        "two main girths swapped",
        &[
            ("waist = 76.8", "waist = 101.9"),
            ("hip = 101.9", "hip = 76.8"),
        ],
    ),
    ("two digits swapped", &[("bust = 96", "bust = 69")]),
    ("one value in inches", &[("37.9", "15")]),
    ("a hip in inches", &[("hip = 101.9", "hip = 43")]),
    (
        "a hip in centimetres among inches",
        &[
            ("\"cm\"", "\"in\""),
            ("96", "37.8"),
            ("76.8", "30.2"),
            ("101.9", "109"),
            ("37.9", "14.9"),
            ("170", "67"),
        ],
    ),
    (
        "a waist of another body",
        &[("waist = 76.8", "waist = 210")],
    ),
    (
        "every value in inches",
        &[
            ("96", "37.8"),
            ("76.8", "30.2"),
            ("101.9", "40.1"),
            ("37.9", "14.9"),
            ("170", "67"),
        ],
    ),
    (
        "every value in millimetres",
        &[
            ("96", "960"),
            ("76.8", "768"),
            ("101.9", "1019"),
            ("37.9", "379"),
            ("170", "1700"),
        ],
    ),
    (
        "an odd section",
        &[("", "[breadth]\nhip = 33\n[depth]\nhip = 19\n")],
    ),
    ("an odd back length", &[("37.9", "47")]),
    (
        "left and right far apart",
        &[("37.9", "37.9\nshoulder = { left = 14.9, right = 12 }")],
    ),
    (
        "next to nothing",
        &[("76.8", "{ value = 76.8, within = 20 }")],
    ),
    (
        "deeper than broad",
        &[("", "[breadth]\nhip = 24\n[depth]\nhip = 36\n")],
    ),
    (
        "an amendment with a key it has not",
        &[(
            "",
            "[[shape.amend]]\nlevel = \"hip\"\ntowards = \"left\"\nby = 1\nreech = 8\n",
        )],
    ),
    (
        "an amendment that does not say where",
        &[("", "[[shape.amend]]\nlevel = \"hip\"\nby = 1\n")],
    ),
    (
        "an amendment that reaches round the body",
        &[(
            "",
            "[[shape.amend]]\nlevel = \"hip\"\ntowards = \"left\"\nby = 1\nreach = 80\n",
        )],
    ),
    (
        "an amendment that is a number",
        &[("", "[shape]\namend = 3\n")],
    ),
    (
        "three amendments of one spot",
        &[(
            "",
            "[[shape.amend]]\nlevel = \"hip\"\ntowards = \"left\"\nby = 2\n\
             [[shape.amend]]\nlevel = \"hip\"\ntowards = \"sides\"\nby = 2\n\
             [[shape.amend]]\nlevel = \"hip\"\ntowards = \"left\"\nby = 2\nreach = 10\n",
        )],
    ),
    (
        "a half arc that is the whole twice",
        &[("", "[arc]\nfront_bust = { left = 52, right = 52 }\n")],
    ),
    (
        "half arcs that leave little for the back",
        &[("", "[arc]\nfront_waist = { left = 29, right = 28 }\n")],
    ),
    (
        "half arcs of which one is no half",
        &[("", "[arc]\nfront_bust = { left = 46, right = 3 }\n")],
    ),
    (
        "one half arc that is the whole",
        &[("", "[arc]\nfront_hip = { left = 51 }\n")],
    ),
    (
        "a whole arc that is half",
        &[("", "[arc]\nfront_hip = 24.6\n")],
    ),
    (
        "an arc that takes nearly all",
        &[("", "[arc]\nfront_bust = 80\n")],
    ),
    (
        "digits swapped on one side",
        &[(
            "bust = 96",
            "bust = 96\nthigh = { left = 58.5, right = 85.5 }",
        )],
    ),
    (
        "digits swapped on the right",
        &[("", "shoulder = { left = 142.0, right = 114.0 }\n")],
    ),
    (
        "far too small on one side",
        &[("37.9", "37.9\nshoulder = { left = 14.9, right = 1.49 }")],
    ),
    (
        "shoulders that the bones overreach",
        &[
            ("bust = 96", "bust = 96\nneck_base = 34"),
            ("37.9", "37.9\nshoulder = 10.8"),
            ("", "[breadth]\nbiacromial = 39\n"),
        ],
    ),
    (
        "shoulders that nothing bridges",
        &[
            ("bust = 96", "bust = 96\nneck_base = 30"),
            ("37.9", "37.9\nshoulder = 10.6"),
            ("", "[breadth]\nbiacromial = 42\n"),
        ],
    ),
    (
        "a back much longer than straight",
        &[("37.9", "47.9"), ("", "nape = 146\nwaist = 112\n")],
    ),
    (
        "a front longer than over the bust",
        &[("37.9", "37.9\nfront_waist = 41\nside_neck_to_waist = 40.5")],
    ),
    ("a value of 309 digits", &[("bust = 96", "bust = 1e308")]),
    ("a value of no size", &[("bust = 96", "bust = 1e-320")]),
    (
        "an endless whole number",
        &[("bust = 96", "bust = 99999999999999999999999999")],
    ),
    (
        "a large fraction",
        &[("bust = 96", "bust = \"999999999/3 in\"")],
    ),
    (
        "endless digits in quotes",
        &[(
            "bust = 96",
            "bust = \"99999999999999999999999999999999999999999999999999 cm\"",
        )],
    ),
    (
        "unsure by more than anybody measures",
        &[("76.8", "{ value = 76.8, within = 1e300 }")],
    ),
    (
        "surer than any tape",
        &[("76.8", "{ value = 76.8, within = 1e-320 }")],
    ),
    (
        "a slope of any size",
        &[("", "[slope]\nshoulder = 1e300\n")],
    ),
    (
        "a plumb line far to the left",
        &[("", "[plumb]\nwaist = -1e308\n")],
    ),
    (
        "a Cyrillic letter in a key",
        &[("waist =", "w\u{430}ist =")],
    ),
    (
        "a Cyrillic letter in a key in quotes",
        &[("waist =", "\"w\u{430}ist\" =")],
    ),
    (
        "a Cyrillic letter in a table",
        &[("[girth]", "[g\u{456}rth]")],
    ),
    ("a Cyrillic letter in a word", &[("\"cm\"", "\"\u{441}m\"")]),
    (
        "a Cyrillic letter in a unit",
        &[("76.8", "\"76.8 \u{441}m\"")],
    ),
    ("a letter that no key has", &[("bust =", "b\u{fc}st =")]),
    (
        "full-width digits",
        &[("bust = 96", "bust = \u{ff19}\u{ff16}")],
    ),
    (
        "full-width digits in quotes",
        &[("bust = 96", "bust = \"\u{ff19}\u{ff16} cm\"")],
    ),
    (
        "a space that does not break",
        &[("bust = 96", "bust\u{a0}= 96")],
    ),
    (
        "a sign that is not seen",
        &[("bust = 96", "bu\u{200b}st = 96")],
    ),
    ("curly quotes round a key", &[("bust = 96", "“bust” = 96")]),
    (
        "curly quotes round a key and its value",
        &[("\"contralto\"", "“contralto”"), ("name", "“name”")],
    ),
];

const WORKSHOPS: &[Case] = &[
    ("a key misspelt", &[("thickness", "thicknes")]),
    (
        "a key of another table",
        &[("diameter = 8", "diameter = 8\nkerf = 0.2")],
    ),
    ("a table misspelt", &[("[paper]", "[papers]")]),
    ("a table of the sheet", &[("", "[girth]\nbust = 96\n")]),
    (
        "a length in another unit",
        &[("width = 1000", "width = 39")],
    ),
    ("too thick", &[("thickness = 6", "thickness = \"6 in\"")]),
    (
        "thickness said twice",
        &[("thickness = 6", "thickness = 6\nten_stacked = 60")],
    ),
    (
        "no such cut",
        &[("thickness = 6", "thickness = 6\ncut = \"centre\"")],
    ),
    ("no such paper", &[("\"A4\"", "\"A44\"")]),
    ("no such roll", &[("\"A4\"", "\"roll 9000 mm\"")]),
    (
        "a page too small for anything",
        &[("\"A4\"", "\"50 x 300 mm\"")],
    ),
    (
        "a longest page of sheets",
        &[("\"A4\"", "\"A4\"\nlength = 2000")],
    ),
    (
        "test bars that nobody measured",
        &[("\"A4\"", "\"A4\"\nprinted = \"good\"")],
    ),
    ("no such scale", &[("", "[form]\nscale = 0.7\n")]),
    (
        "no such count",
        &[("diameter = 8", "diameter = 8\ncount = 2.5")],
    ),
    (
        "no such turn",
        &[("length = 600", "length = 600\nturn = [0, 400]")],
    ),
    (
        "turns against the grain",
        &[(
            "length = 600",
            "length = 600\ndirection = \"x\"\nturn = [0, 90]",
        )],
    ),
    (
        "a margin as broad as the board",
        &[("width = 1000", "width = 100\nmargin = 60")],
    ),
    (
        "several materials",
        &[
            ("[layer]", "[[layer]]"),
            ("", "[[layer]]\nmaterial = \"plywood\"\nthickness = 4\n"),
        ],
    ),
    (
        "a material of unknown weight",
        &[("EVA foam", "stiff stuff")],
    ),
    ("one dowel", &[("diameter = 8", "diameter = 8\ncount = 1")]),
    (
        "more turns than are looked through",
        &[(
            "length = 600",
            "length = 600\nturn = [0, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 100, 105, 110, 115, 120, 125, 130, 135, 140, 145, 150, 155, 160, 165, 170, 175, 180]",
        )],
    ),
    (
        "a turn the other way round",
        &[("length = 600", "length = 600\nturn = [-90]")],
    ),
    ("no turns", &[("length = 600", "length = 600\nturn = []")]),
    (
        "boards of a layer that is not there",
        &[("length = 600", "length = 600\nlayer = 2")],
    ),
    (
        "a price below nothing",
        &[("length = 600", "length = 600\nprice = -4")],
    ),
    ("a roll of no width", &[("\"A4\"", "\"roll\"")]),
    (
        "a length of 309 digits",
        &[("width = 1000", "width = 1e308")],
    ),
    (
        "a length of no size",
        &[("thickness = 6", "thickness = 1e-320")],
    ),
    (
        "a density of 300 digits",
        &[("thickness = 6", "thickness = 6\ndensity = 1e300")],
    ),
    (
        "a count that is large",
        &[("diameter = 8", "diameter = 8\ncount = 0xFFFFFFFFFFFFFFFFFF")],
    ),
    ("paper of 300 digits", &[("\"A4\"", "\"1e300 x 5 mm\"")]),
    (
        "bars of 300 digits",
        &[("\"A4\"", "\"A4\"\nprinted = \"1e300x99\"")],
    ),
    (
        "a Cyrillic letter in a key",
        &[("width =", "width\u{430} =")],
    ),
];

fn edit(base: &str, edits: &[(&str, &str)]) -> String {
    let mut text = base.to_owned();
    for (from, to) in edits {
        if from.is_empty() {
            text.push_str(to);
        } else {
            assert!(text.contains(from), "{from} is not in the text");
            text = text.replacen(from, to, 1);
        }
    }
    text
}

pub(crate) fn of_sheet(text: &str) -> Vec<Finding> {
    match sheet::read(text, "contralto.toml") {
        Ok(sheet) => sheet.findings,
        Err(Error::Sheet(findings)) => findings,
        Err(other) => panic!("{other}"),
    }
}

pub(crate) fn of_workshop(text: &str) -> Vec<Finding> {
    match workshop::read(text, "room.toml") {
        Ok(workshop) => workshop.findings,
        Err(Error::Workshop(findings)) => findings,
        Err(other) => panic!("{other}"),
    }
}

/// Every case and what is said about it. `UPDATE=1` writes the file anew: read it then.
#[test]
fn every_message_is_as_it_was_read_and_approved() {
    let mut all = String::new();
    for (kind, base, cases) in [("sheet", SHEET, SHEETS), ("workshop", WORKSHOP, WORKSHOPS)] {
        for (name, edits) in cases {
            let text = edit(base, edits);
            let findings = if kind == "sheet" {
                of_sheet(&text)
            } else {
                of_workshop(&text)
            };
            assert!(!findings.is_empty(), "{kind}: {name}: nothing is said");
            let _ = write!(
                all,
                "=== {kind}: {name}\n\n{}\n",
                printed::render(&findings, false)
            );
        }
    }
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/messages.txt");
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(path, &all).unwrap();
    }
    let approved = std::fs::read_to_string(path).unwrap();
    for (now, then) in all.split("=== ").zip(approved.split("=== ")) {
        assert_eq!(now, then);
    }
    assert_eq!(all.len(), approved.len(), "cases were added or taken away");
}

#[test]
fn there_is_nothing_to_say_about_a_good_file() {
    assert_eq!(printed::render(&of_sheet(SHEET), false), "");
    assert_eq!(printed::render(&of_workshop(WORKSHOP), false), "");
}

#[test]
fn a_file_too_large_is_not_looked_into() {
    let text = format!("#{}", "x".repeat(2 << 20));
    assert_eq!(
        printed::render(&of_sheet(&text), false),
        "refused: the file is larger than 1024 KiB\n |\n = next: a file of this kind is a page or \
         two of text: check that it is the right one\n\n1 refused\n"
    );
}

#[test]
fn colour_adds_only_terminal_codes() {
    let findings = of_sheet(&edit(SHEET, &[("bust = 96", "bust = -96")]));
    let coloured = printed::render(&findings, true);
    assert!(coloured.contains("\u{1b}["));
    let mut plain = String::new();
    let mut rest = coloured.as_str();
    while let Some((before, after)) = rest.split_once("\u{1b}[") {
        plain.push_str(before);
        rest = after.split_once('m').unwrap().1;
    }
    plain.push_str(rest);
    assert_eq!(plain, printed::render(&findings, false));
}

/// A message says what, where and what next, and is written as the house writes.
#[test]
fn every_finding_has_a_place_and_a_next_step() {
    for (name, edits) in SHEETS {
        for finding in of_sheet(&edit(SHEET, edits)) {
            let message = &finding.message();
            assert!(
                !message.ends_with('.') && !finding.hint().ends_with('.'),
                "{name}"
            );
            assert!(!finding.hint().is_empty(), "{name}: {message}");
            let missing = ["missing", "does not say", "neither"];
            assert!(
                finding.place.is_some() || missing.iter().any(|w| message.contains(w)),
                "{name}: {message}"
            );
        }
    }
}
