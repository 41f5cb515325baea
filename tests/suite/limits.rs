use layfigure::error::Error;
use layfigure::error::Finding;
use layfigure::error::Severity;
use layfigure::measure::Measure;
use layfigure::profile;
use layfigure::units::Unit;
use layfigure::workshop;

use crate::messages::SHEET;
use crate::messages::of_sheet;
use crate::messages::of_workshop;

/// Lists that nobody types are refused with the number that is possible, at once.
#[test]
fn lists_have_an_end() {
    let said = |findings: Vec<Finding>| {
        let refused: Vec<String> = findings
            .into_iter()
            .filter(|f| f.severity == Severity::Refusal)
            .map(|f| f.message())
            .collect();
        assert_eq!(refused.len(), 1, "{refused:?}");
        refused[0].clone()
    };
    let amends = "[[shape.amend]]\nlevel = \"hip\"\ntowards = \"left\"\nby = 0.01\n".repeat(10_000);
    assert_eq!(
        said(of_sheet(&format!("{SHEET}{amends}"))),
        "`[[shape.amend]]` stands 10000 times: 100 are possible"
    );
    for (table, times, possible) in [("layer", 21, 20), ("stock", 101, 100)] {
        let text = format!("[[{table}]]\n").repeat(times);
        assert_eq!(
            said(of_workshop(&text)),
            format!("`[[{table}]]` stands {times} times: {possible} are possible")
        );
        assert!(workshop::read(&format!("[[{table}]]\n").repeat(possible), "room.toml").is_ok());
    }
    let turns = |n: usize| {
        let list: Vec<String> = (0..n).map(|i| format!("{}", i as f64 / 10.0)).collect();
        format!("[stock]\nturn = [{}]\n", list.join(", "))
    };
    assert_eq!(
        said(of_workshop(&turns(3600))),
        "`stock.turn` names 3600 turns: 36 are possible"
    );
    assert!(workshop::read(&turns(36), "room.toml").is_ok());
    // The same turn again is no other.
    let same = format!("[stock]\nturn = [{}0]\n", "0, 90, ".repeat(500));
    assert_eq!(
        workshop::read(&same, "room.toml").unwrap().stock[0].turns,
        [0.0, 90.0]
    );
    let names = |n: usize| {
        (0..n)
            .map(|i| format!("\"c{i}\""))
            .collect::<Vec<_>>()
            .join(", ")
    };
    let sizes = format!(
        "system = \"chorus\"\nunit = \"cm\"\nfigure = \"woman\"\nwaist = \"natural\"\nsource = \"s\"\n\
         [size]\nmain = \"girth.bust\"\nnames = [{}]\ncolumns = [{}]\n[girth]\nbust = [1]\n",
        names(500),
        names(51)
    );
    let Err(Error::Profile(findings)) = profile::read(&sizes, "sizes.toml") else {
        panic!("read")
    };
    assert!(
        findings
            .iter()
            .any(|f| f.message() == "`size.columns` names 51 columns: 50 are possible")
    );
}

/// However much there is to say, what is refused is refused, and a line says that there is more.
#[test]
fn nothing_is_swallowed_where_there_is_much_to_say() {
    let lines: String = (0..300).map(|i| format!("k{i} = 1\n")).collect();
    let findings = of_sheet(&format!("{lines}{SHEET}"));
    assert_eq!(findings.len(), 201);
    assert_eq!(
        findings[200].message(),
        "there is more to say of this file than 200 things"
    );
    assert_eq!(findings[200].severity, Severity::Refusal);
    // A file of nothing but slips, a mebibyte of them.
    let findings = of_sheet(&"a\n".repeat(1 << 19));
    assert_eq!(findings.len(), 201);
}

/// The program says little about any number in a file, however long it is.
#[test]
fn no_number_makes_a_long_message() {
    let numbers = [
        "1e308",
        "-1e308",
        "1e25",
        "1e300",
        "1e-320",
        "5e-324",
        "-0.0",
        "nan",
        "-inf",
        "1e400",
        "0x7fffffffffffffff",
        "1_000_000_000",
        "0o777777777777777777777",
        "123456789.123456789123456789",
        "99999999999999999999999999999999",
        "\"999999999/3 in\"",
        "\"1/0\"",
        "\"-999999999999 mm\"",
    ];
    let short = |findings: Vec<Finding>, what: &str| {
        for f in findings {
            let all = format!("{} {}", f.message(), f.hint());
            for word in all.split([' ', '`', '"', '(', ')', '{', '}']) {
                let digits = word.chars().filter(char::is_ascii_digit).count();
                assert!(digits <= 40 && word.len() <= 130, "{what}: {all}");
            }
            assert!(!all.contains("(not a number"), "{what}: {all}");
            assert!(f.message().len() <= 320, "{what}: {all}");
        }
    };
    for number in numbers {
        for measure in Measure::ALL.into_iter().filter(|m| m.is_sheet_key()) {
            for form in [
                format!("{measure} = {number}\n"),
                format!("{measure} = {{ value = {number}, within = {number} }}\n"),
                format!("{measure} = {{ left = {number}, right = 10 }}\n"),
            ] {
                let head = "unit = \"in\"\nfigure = \"man\"\n";
                short(of_sheet(&format!("{head}{form}")), &form);
            }
        }
        for key in ["by", "reach"] {
            let text = format!(
                "{SHEET}[[shape.amend]]\nlevel = \"hip\"\ntowards = \"left\"\nby = 1\n{key} = {number}\n"
            )
            .replace("by = 1\nby", "by");
            short(of_sheet(&text), &text);
        }
        // Every key of a workshop, as its blank has them.
        let mut table = "";
        let blank = workshop::blank(Unit::Mm);
        for line in blank
            .lines()
            .filter_map(|l| l.strip_prefix('#').or(Some(l)))
        {
            if line.starts_with('[') {
                table = line;
            } else if let Some((key, _)) = line.split_once(" = ").filter(|(k, _)| !k.contains(' '))
            {
                let text = if key == "turn" {
                    format!("{table}\n{key} = [{number}]\n")
                } else {
                    format!("{table}\n{key} = {number}\n")
                };
                short(of_workshop(&text), &text);
            }
        }
        let sizes = format!(
            "system = \"chorus\"\nunit = \"cm\"\nfigure = \"woman\"\nwaist = \"natural\"\nsource = \"s\"\n\
             [size]\nmain = \"girth.bust\"\nnames = [\"a\"]\npeople = [{number}]\n[girth]\nbust = [{number}]\n"
        );
        match profile::read(&sizes, "sizes.toml") {
            Err(Error::Profile(findings)) => short(findings, &sizes),
            other => assert!(other.is_ok()),
        }
    }
}
