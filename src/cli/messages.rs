//! Findings as a person reads them on a terminal: what, where, what next.

use anstyle::{AnsiColor, Style};

use layfigure::error::Finding;
use layfigure::error::Place;
use layfigure::error::Severity;
use layfigure::say::terminal;
use layfigure::say::words;
use layfigure::text;
use layfigure::text::Part;

/// How far what belongs to a finding is set in, and the line that it points at.
const INSET: usize = 2;
const LINE_INSET: usize = 6;
/// Letters of a line that are shown at most, so that it stays one line of 80 columns.
const LONGEST_SHOWN: usize = 72;
/// Letters shown before the part that is meant, where the line is longer.
const BEFORE: usize = 24;

/// Every finding with the line that it points at, and a last line that counts them. Coloured with
/// terminal codes if `colour` says so. Ends with a line break; empty when there is nothing to say.
pub(crate) fn render(findings: &[Finding], colour: bool) -> String {
    let mut out = String::new();
    for finding in findings {
        let place = finding.place.as_ref();
        let at = place.map_or_else(String::new, |p| {
            format!(" {}", words::at_line(&p.file, p.line))
        });
        let (name, style) = heading(finding.severity);
        let said = text![Part::Strong(name.into()), ": ", finding.told(), at];
        let style = colour.then_some(style);
        let said = terminal::marked(&said, finding.reader, 0, INSET, style);
        out.push_str(&said);
        if let Some(place) = place {
            out.push_str(&line(place, colour));
        }
        let hint = finding.fact.hint();
        if !hint.is_empty() {
            let next = text!["next: ", hint];
            let next = terminal::wrapped(&next, finding.reader, INSET, 2 * INSET);
            out.push_str(&next);
        }
        out.push('\n');
    }
    if !findings.is_empty() {
        out.push_str(&words::counted(findings));
        out.push('\n');
    }
    out
}

/// Every finding in as few lines of 80 columns as its words take, without the text that it points at,
/// and nothing counted: for a screen that ends with the count.
pub(crate) fn render_in_short(findings: &[Finding], colour: bool) -> String {
    let mut out = String::new();
    for finding in findings {
        let (name, style) = heading(finding.severity);
        let hint = finding.fact.hint();
        let next = if hint.is_empty() {
            hint
        } else {
            text!["; next: ", hint]
        };
        let place = finding.place.as_ref();
        let at = place.map_or_else(String::new, |p| {
            format!(" {}", words::at_line(&p.file, p.line))
        });
        let said = text![Part::Strong(name.into()), ": ", finding.told(), next, at];
        let style = colour.then_some(style);
        let said = terminal::marked(&said, finding.reader, 0, INSET, style);
        out.push_str(&said);
    }
    out
}

/// The word before a finding, and its colour.
fn heading(severity: Severity) -> (&'static str, Style) {
    let (name, colour) = match severity {
        Severity::Refusal => ("refused", AnsiColor::BrightRed),
        Severity::Warning => ("warning", AnsiColor::Yellow),
        Severity::Note => ("note", AnsiColor::BrightGreen),
    };
    (name, colour.on_default().bold())
}

/// The line that is pointed at as it stands in the file, the part that is meant underlined where
/// there are colours; of a long line what stands about that part.
fn line(place: &Place, colour: bool) -> String {
    let Some((before, rest)) = place.text.split_at_checked(place.part.start) else {
        return String::new();
    };
    let Some((meant, after)) = rest.split_at_checked(place.part.end - place.part.start) else {
        return String::new();
    };
    let mut before = before.trim_start().to_owned();
    let (mut meant, mut after) = (meant.to_owned(), after.trim_end().to_owned());
    let letters = |text: &str| text.chars().count();
    if letters(&before) + letters(&meant) + letters(&after) > LONGEST_SHOWN {
        if letters(&before) > BEFORE {
            let last: String = before.chars().skip(letters(&before) - BEFORE).collect();
            before = format!("...{last}");
        }
        cut(&mut meant, LONGEST_SHOWN - letters(&before));
        cut(
            &mut after,
            LONGEST_SHOWN.saturating_sub(letters(&before) + letters(&meant)),
        );
    }
    let (on, off) = if colour {
        let style = Style::new().underline();
        (style.render().to_string(), style.render_reset().to_string())
    } else {
        Default::default()
    };
    let text = format!("{:LINE_INSET$}{before}{on}{meant}{off}{after}", "");
    format!("{}\n", text.trim_end())
}

/// Cuts words to this many letters; dots stand for what is left out.
fn cut(words: &mut String, letters: usize) {
    if words.chars().count() > letters {
        *words = words.chars().take(letters.saturating_sub(3)).collect();
        words.push_str("...");
    }
}
