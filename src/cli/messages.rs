//! Findings as a person reads them on a terminal: what, where, what next.

use annotate_snippets::AnnotationKind;
use annotate_snippets::Group;
use annotate_snippets::Level;
use annotate_snippets::Renderer;
use annotate_snippets::Snippet;
use anstyle::AnsiColor;

use layfigure::error::Finding;
use layfigure::error::Severity;
use layfigure::report::words;

/// Every finding with the line that it points at, and a last line that counts them. Coloured with
/// terminal codes if `colour` says so. Ends with a line break; empty when there is nothing to say.
pub(crate) fn render(findings: &[Finding], colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let mut out = String::new();
    for finding in findings {
        out.push_str(renderer.render(&[group(finding)]).trim_end());
        out.push_str("\n\n");
    }
    if !findings.is_empty() {
        out.push_str(&summary(findings));
        out.push('\n');
    }
    out
}

/// Every finding in as few lines of 80 columns as its words take, without the text that it points at,
/// and nothing counted: for a screen that ends with the count.
pub(crate) fn render_in_short(findings: &[Finding], colour: bool) -> String {
    let mut out = String::new();
    for finding in findings {
        let (name, colours) = match finding.severity {
            Severity::Refusal => ("refused", AnsiColor::BrightRed),
            Severity::Warning => ("warning", AnsiColor::Yellow),
            Severity::Note => ("note", AnsiColor::BrightGreen),
        };
        let next = if finding.hint().is_empty() {
            String::new()
        } else {
            format!("; next: {}", finding.hint())
        };
        let place = finding
            .place
            .as_ref()
            .map_or_else(String::new, |p| format!(" ({}, line {})", p.file, p.line));
        let text = words::wrapped(&format!("{name}: {}{next}{place}", finding.message()), 0, 2);
        let style = colours.on_default().bold();
        match text.strip_prefix(name).filter(|_| colour) {
            Some(rest) => out.push_str(&format!("{style}{name}{style:#}{rest}")),
            None => out.push_str(&text),
        }
    }
    out
}

/// "2 refused, 1 warning".
pub(crate) fn summary(findings: &[Finding]) -> String {
    let count = |severity| findings.iter().filter(|f| f.severity == severity).count();
    let mut parts = Vec::new();
    let refused = count(Severity::Refusal);
    if refused > 0 {
        parts.push(format!("{refused} refused"));
    }
    for (severity, word) in [(Severity::Warning, "warning"), (Severity::Note, "note")] {
        let n = count(severity);
        if n > 0 {
            parts.push(format!("{n} {word}{}", if n == 1 { "" } else { "s" }));
        }
    }
    parts.join(", ")
}

fn group(finding: &Finding) -> Group<'_> {
    let level = match finding.severity {
        Severity::Refusal => Level::ERROR.with_name("refused"),
        Severity::Warning => Level::WARNING.with_name("warning"),
        Severity::Note => Level::NOTE.with_name("note"),
    };
    let mut group = Group::with_title(level.primary_title(finding.message()));
    if let Some(place) = &finding.place {
        group = group.element(
            Snippet::source(place.text.as_str())
                .line_start(place.line)
                .path(place.file.as_str())
                .annotation(AnnotationKind::Primary.span(place.part.clone())),
        );
    }
    if !finding.hint().is_empty() {
        group = group.element(Level::HELP.with_name("next").message(finding.hint()));
    }
    group
}
