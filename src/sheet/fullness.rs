//! Girth, breadth and depth of one level against each other: how full a section is.

use std::sync::LazyLock;

use crate::error::{Finding, Severity};
use crate::measure::Measure;
use crate::sheet::Figure;
use crate::sheet::check::{Facts, OneReading, say};
use crate::sheet::doubts::ReadingFact;
use crate::survey;
use crate::survey::{Line, Row};

/// Perimeter of the ellipse with these full axes: Ramanujan's second approximation (1914), off by
/// less than a millionth for the shapes of a trunk.
fn ellipse(breadth: f64, depth: f64) -> f64 {
    let (a, b) = (breadth / 2.0, depth / 2.0);
    let h = (a - b) / (a + b);
    let h = h * h;
    std::f64::consts::PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()))
}

/// A row of `fullness.csv` for a figure: what the girth leads to.
struct Lead {
    figure: &'static str,
    girth: Measure,
    measure: Measure,
    /// Girth over ellipse.
    band: [f64; 2],
    line: Line,
}

impl Lead {
    fn value(&self, girth: f64) -> f64 {
        self.line.value(|_| girth)
    }

    fn sd(&self, girth: f64) -> f64 {
        self.line.own_sd(|_| girth)
    }
}

static LEADS: LazyLock<Vec<Lead>> = LazyLock::new(|| {
    let lead = |row: Row<'static>| Lead {
        figure: row.text("figure"),
        girth: row.measure("girth"),
        measure: row.measure("measure"),
        band: [row.number("low"), row.number("high")],
        line: Line::of(row, None),
    };
    survey::FULLNESS.rows().map(lead).collect()
});

/// Breadth and depth that a girth leads to on people of `figure`: each with its standard deviation, mm. Nothing
/// where no survey tells.
pub(crate) fn led_to(
    figure: Figure,
    girth: Measure,
    value: f64,
) -> impl Iterator<Item = (Measure, f64, f64)> {
    let here = move |lead: &&Lead| lead.figure == figure.name() && lead.girth == girth;
    let of = move |lead: &Lead| (lead.measure, lead.value(value), lead.sd(value));
    LEADS.iter().filter(here).map(of)
}

/// How full a section is: its girth against the ellipse of its breadth and depth. What one of the figures with a
/// share may have is not odd.
pub(super) fn fullness<'a>(
    facts: &Facts<'_>,
    get: &impl Fn(Measure) -> Option<OneReading<'a>>,
    found: &mut Vec<Finding>,
) {
    let mut odd = facts.averages.parts().map(|(figure, _)| {
        let mut odd = Vec::new();
        of_figure(figure, facts, get, &mut odd);
        odd
    });
    let mut all = odd.next().unwrap_or_default();
    for other in odd {
        all.retain(|f| other.iter().any(|o| o.measure == f.measure));
    }
    found.extend(all);
}

fn of_figure<'a>(
    figure: Figure,
    facts: &Facts<'_>,
    get: &impl Fn(Measure) -> Option<OneReading<'a>>,
    found: &mut Vec<Finding>,
) {
    let of_figure: Vec<&Lead> = LEADS
        .iter()
        .filter(|lead| lead.figure == figure.name())
        .collect();
    // Breadth and depth of a level stand one below the other.
    for level in of_figure.chunks_exact(2) {
        let (of_breadth, of_depth) = (level[0], level[1]);
        let band = of_breadth.band;
        let read = (
            get(of_breadth.girth),
            get(of_breadth.measure),
            get(of_depth.measure),
        );
        let (Some(g), Some(b), Some(d)) = read else {
            continue;
        };
        let ratio = g.value / ellipse(b.value, d.value);
        let slack = (g.within + std::f64::consts::PI * (b.within + d.within) / 2.0) / g.value;
        if (band[0] - slack..=band[1] + slack).contains(&ratio) {
            continue;
        }
        let off = |r: OneReading<'_>, lead: &Lead| {
            let usual = lead.value(g.value);
            (((r.value - usual) / lead.sd(g.value)).abs(), usual)
        };
        let (odd_b, usual_b) = off(b, of_breadth);
        let (odd_d, usual_d) = off(d, of_depth);
        let (odd, usual) = if odd_b > odd_d {
            (b, usual_b)
        } else {
            (d, usual_d)
        };
        found.push(say(
            Severity::Warning,
            odd,
            ReadingFact::Fullness {
                girth: facts.named(g),
                ratio,
                breadth: facts.named(b),
                depth: facts.named(d),
                usual: band,
                odd: odd.measure,
                expected: facts.shown(odd.measure, usual),
            },
        ));
    }
}
