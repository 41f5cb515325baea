//! What the program says about sheets and workshop files, one case for each kind of refusal and warning: the files
//! of `tests/messages` hold the lines of each case with the answer below them.
//!
//! A case is a good file with some lines changed: `- ` takes the next line that reads so away, `+ ` puts
//! one in there, `...` goes on to the end. An answer is how grave, line and column with the text that is
//! marked, message, and what to do next. `LAYFIGURE_BLESS=1 cargo test --release --test suite messages`
//! writes the answers again: read them then.

use std::fmt::Write;

use layfigure::error::Error;
use layfigure::error::Finding;
use layfigure::error::Severity;
use layfigure::sheet;
use layfigure::workshop;

use crate::bless;

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

/// The files of cases.
const FAMILIES: [&str; 6] = [
    "sheet-writing",
    "sheet-keys",
    "sheet-values",
    "sheet-sums",
    "sheet-amendments",
    "workshop",
];

/// How many cases there are: one that gets lost is missed.
const CASES: usize = 142;

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

/// A finding in one line, and what to do next in another.
fn told(finding: &Finding) -> String {
    let mut out = String::from(match finding.severity {
        Severity::Refusal => "refused",
        Severity::Warning => "warning",
        Severity::Note => "note",
    });
    if let Some(place) = &finding.place {
        let column = place.text[..place.part.start].chars().count() + 1;
        let marked = escaped(&place.text[place.part.clone()]);
        let _ = write!(out, " {}:{column} {marked}", place.line);
    }
    let _ = writeln!(out, ": {}", escaped(&finding.message()));
    if !finding.hint().is_empty() {
        let _ = writeln!(out, "    next: {}", escaped(&finding.hint()));
    }
    out
}

/// Signs that nobody sees, or that look like others, by their number.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        let hidden = c.is_control() || matches!(c, '\u{a0}' | '\u{200b}');
        let alike = matches!(c, '\u{400}'..='\u{4ff}' | '\u{ff00}'..='\u{ffef}');
        if hidden || alike {
            let _ = write!(out, "\\u{{{:x}}}", u32::from(c));
        } else {
            out.push(c);
        }
    }
    out
}

fn unescaped(text: &str) -> String {
    let mut parts = text.split("\\u{");
    let mut out = parts.next().unwrap().to_owned();
    for part in parts {
        let (code, rest) = part.split_once('}').unwrap();
        let code = u32::from_str_radix(code, 16).unwrap();
        out.push(char::from_u32(code).unwrap());
        out.push_str(rest);
    }
    out
}

struct Case {
    name: String,
    /// Its lines as they stand in the file.
    changes: Vec<String>,
}

impl Case {
    /// The whole file that it stands for.
    fn text(&self, base: &str) -> String {
        let mut rest: Vec<String> = base.lines().map(Into::into).collect();
        let mut done = Vec::new();
        for change in &self.changes {
            if change == "..." {
                done.append(&mut rest);
                continue;
            }
            let (sign, line) = change.split_at(2);
            let line = unescaped(line);
            if sign == "- " {
                let at = rest.iter().position(|l| *l == line);
                let at = at.unwrap_or_else(|| panic!("{}: no `{line}`", self.name));
                done.extend(rest.drain(..=at).take(at));
            } else {
                done.push(line);
            }
        }
        done.append(&mut rest);
        done.join("\n") + "\n"
    }

    fn findings(&self, family: &str) -> Vec<Finding> {
        let findings = if family.starts_with("sheet") {
            of_sheet(&self.text(SHEET))
        } else {
            of_workshop(&self.text(WORKSHOP))
        };
        assert!(!findings.is_empty(), "{}: nothing is said", self.name);
        findings
    }
}

/// The families of cases: name of the file, its head, its cases.
fn families() -> Vec<(&'static str, String, Vec<Case>)> {
    let family = |name: &'static str| {
        let text = bless::approved(&format!("{name}.txt"));
        let mut parts = text.split("=== ");
        let head = parts.next().unwrap().to_owned();
        let cases = parts.map(|part| {
            let (name, rest) = part.split_once('\n').unwrap();
            let is_change = |l: &&str| l.starts_with("- ") || l.starts_with("+ ") || *l == "...";
            let changes: Vec<String> = rest.lines().take_while(is_change).map(Into::into).collect();
            Case {
                name: name.to_owned(),
                changes,
            }
        });
        (name, head, cases.collect())
    };
    FAMILIES.map(family).into()
}

#[test]
fn every_message_is_as_it_was_read_and_approved() {
    let mut count = 0;
    for (family, head, cases) in families() {
        let mut file = head;
        for (k, case) in cases.iter().enumerate() {
            count += 1;
            let answer: String = case.findings(family).iter().map(told).collect();
            let changes: String = case.changes.iter().map(|l| format!("{l}\n")).collect();
            let gap = if k == 0 { "" } else { "\n" };
            let _ = write!(file, "{gap}=== {}\n{changes}{answer}", case.name);
        }
        bless::same(&format!("{family}.txt"), &file);
    }
    assert_eq!(count, CASES, "cases were added or taken away");
}

#[test]
fn there_is_nothing_to_say_about_a_good_file() {
    assert_eq!(printed::render(&of_sheet(SHEET), false), "");
    assert_eq!(printed::render(&of_workshop(WORKSHOP), false), "");
}

#[test]
fn a_file_too_large_is_not_looked_into() {
    let text = format!("#{}", "x".repeat(2 << 20));
    let [one] = of_sheet(&text).try_into().unwrap();
    let one: Finding = one;
    assert_eq!(one.severity, Severity::Refusal);
    assert!(one.place.is_none() && one.message().contains("1024 KiB"));
}

/// In print a finding has its file and line, the line itself below, and what to do next; the last line
/// counts.
#[test]
fn a_finding_is_printed_with_its_line() {
    let findings = of_sheet(&SHEET.replace("bust = 96", "bust = -96"));
    let text = printed::render(&findings, false);
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let source = text.lines().position(|l| l.trim() == "bust = -96");
    let source = source.unwrap_or_else(|| panic!("no line in\n{text}"));
    let lines: Vec<&str> = text.lines().collect();
    let above = words(&lines[..source].join(" "));
    let below = words(&lines[source + 1..].join(" "));
    let [one] = findings.try_into().unwrap();
    let one: Finding = one;
    assert!(above.contains(&words(&one.message())), "{above}");
    assert!(above.contains("contralto.toml") && above.contains('5'));
    assert!(below.contains(&words(&one.hint())), "{below}");
    assert_eq!(lines.last(), Some(&"1 refusal"));
}

#[test]
fn colour_adds_only_terminal_codes() {
    let findings = of_sheet(&SHEET.replace("bust = 96", "bust = -96"));
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

/// A message says what, where and what next, and is written as the house writes. What is not in the file
/// at all has no place there.
#[test]
fn every_finding_has_a_place_and_a_next_step() {
    let nowhere = ["obligatory values missing", "no unit and no figure"];
    for (family, _, cases) in families() {
        for case in cases {
            for finding in case.findings(family) {
                let (name, message) = (&case.name, finding.message());
                let stops = message.ends_with('.') || finding.hint().ends_with('.');
                assert!(!stops, "{name}: {message}");
                let placed = finding.place.is_some() || nowhere.contains(&name.as_str());
                if family.starts_with("sheet") {
                    assert!(!finding.hint().is_empty(), "{name}: {message}");
                    assert!(placed, "{name}: {message}");
                }
            }
        }
    }
}
