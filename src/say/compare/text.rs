//! Comparisons for a terminal, 80 columns wide.

use crate::compare::Body;
use crate::compare::Difference;
use crate::compare::Nearest;
use crate::say::compare::Pair;
use crate::say::compare::alteration;
use crate::say::compare::both_units;
use crate::say::compare::ease;
use crate::say::compare::percent;
use crate::say::compare::title;
use crate::say::compare::value;
use crate::say::table::{Row, Table, Weight};
use crate::say::terminal;
use crate::say::words;
use crate::sheet::Origin;
use crate::text;
use crate::units::Unit;

fn heading(letter: &str, body: &Body) -> String {
    let mut text = format!("{letter}: {}", body.name);
    if let Some(taken) = &body.taken {
        text.push_str(&format!(", measured on {taken}"));
    }
    if body.is_size {
        text.push_str(", a size");
    }
    text.push('\n');
    text
}

/// Differences, as the page and the terminal show them.
pub(super) fn differences<'a>(
    pair: &Pair,
    rows: impl IntoIterator<Item = &'a Difference>,
    heads: &[&str],
) -> Table {
    let rows = rows.into_iter().map(|d| {
        let [cm, inch] = both_units(d.measure, d.apart);
        let [limit, _] = both_units(d.measure, d.limit);
        let noise = d.is_noise();
        let cells = vec![
            title(d.measure, d.side),
            value(&d.a, pair.unit),
            value(&d.b, pair.unit),
            cm,
            inch,
            percent(d),
            limit.trim_start_matches('+').to_owned(),
            if noise { "noise" } else { "" }.to_owned(),
        ];
        let weight = if noise { Weight::Noise } else { Weight::Plain };
        Row::new(cells, weight)
    });
    Table::new(heads, &[1, 2, 3, 4, 5, 6], rows)
}

/// The same for a terminal, where noise stands in a table of its own.
fn table(pair: &Pair, rows: &[&Difference]) -> String {
    let heads = ["measurement", "A", "B", "cm", "in", "%", "noise"];
    terminal::table(&differences(pair, rows.iter().copied(), &heads), false)
}

/// Two bodies: what differs, what is noise, and what it means at the cutting table. With `every` the
/// estimates within noise are listed too.
#[must_use]
pub fn bodies(pair: &Pair, every: bool) -> String {
    let mut out = heading("A", &pair.a);
    out.push_str(&heading("B", &pair.b));
    out.push('\n');
    if let Some(waists) = pair.waists() {
        out.push_str(&terminal::paragraph(&waists, 0));
        out.push('\n');
    }
    if pair.is_same() {
        out.push_str("no difference at all\n");
        return out;
    }
    let (noise, told): (Vec<&Difference>, Vec<&Difference>) =
        pair.differences.iter().partition(|d| d.is_noise());
    if told.is_empty() {
        out.push_str("nothing differs by more than measuring twice can account for\n");
    } else {
        out.push_str("B less A, what stands out most first\n\n");
        out.push_str(&table(pair, &told));
    }
    let (guessed, read): (Vec<&Difference>, Vec<&Difference>) =
        noise.into_iter().partition(|d| d.is_estimated());
    let shown: Vec<&Difference> = if every {
        read.iter().chain(&guessed).copied().collect()
    } else {
        read
    };
    if !shown.is_empty() {
        out.push_str("\nwithin measuring noise\n\n");
        out.push_str(&table(pair, &shown));
    }
    if !every && !guessed.is_empty() {
        out.push_str(&terminal::paragraph(
            &format!(
                "and {} that rest on estimates; `--all` lists them",
                text::count(guessed.len(), "measurement")
            ),
            0,
        ));
    }
    out.push('\n');
    out.push_str(&terminal::paragraph(
        &format!(
            "A and B in {}; ~ estimated; noise, in cm: what measuring or estimating can account for",
            words::unit_words(pair.unit)
        ),
        2,
    ));
    out.push_str(&format!(
        "\nat the cutting table, for something cut for A and worn by B\n(the other way round: name B first; {})\n\n",
        ease(pair.ease)
    ));
    if pair.alterations.is_empty() {
        out.push_str("nothing beyond the ease\n");
    }
    for a in &pair.alterations {
        out.push_str(&terminal::paragraph(&format!("- {}", alteration(a)), 2));
    }
    out
}

/// A body beside systems of sizes.
#[must_use]
pub fn sizes(body: &Body, nearest: &[Nearest], unit: Unit) -> String {
    let mut out = String::new();
    for n in nearest {
        out.push_str(&format!("{} beside {}\n", body.name, n.system));
        if let Some((column, apart)) = &n.column {
            let apart = apart.map_or_else(String::new, |mm| {
                let [cm, inch] = both_units(crate::measure::Measure::HeightStature, mm);
                format!(" (stature {cm} cm, {inch} in from it)")
            });
            out.push_str(&format!("looked along the column `{column}`{apart}\n"));
        }
        if n.other_waist {
            out.push_str("its waist is not the sheet's waist: waists are left out\n");
        }
        out.push('\n');
        let rows = n.levels.iter().map(|l| {
            let [cm, inch] = both_units(l.measure, l.apart);
            let estimated = l.origin == Origin::Estimated;
            vec![
                l.measure.title().to_owned(),
                format!(
                    "{}{}",
                    if estimated { "~" } else { "" },
                    unit.show_bare(l.value)
                ),
                l.size.clone(),
                cm,
                inch,
                l.between
                    .map_or_else(|| "beyond".to_owned(), |mm| unit.show_bare(mm)),
            ]
        });
        out.push_str(&terminal::table(
            &Table::new(
                &["by", "body", "nearest", "cm", "in", "between"],
                &[1, 3, 4, 5],
                rows,
            ),
            false,
        ));
        out.push('\n');
        for p in &n.picks {
            let apart: Vec<String> = p
                .apart
                .iter()
                .map(|(m, mm)| {
                    let [cm, inch] = both_units(*m, *mm);
                    format!("{} {cm} cm ({inch} in)", m.title())
                })
                .collect();
            out.push_str(&terminal::paragraph(
                &format!(
                    "for a {}, by the {}: {}:{}; there the body has {}",
                    p.for_a.name(),
                    p.by.title(),
                    n.system,
                    p.size,
                    apart.join(", ")
                ),
                2,
            ));
        }
        out.push('\n');
    }
    let mut mains: Vec<&str> = nearest.iter().map(|n| n.main.title()).collect();
    mains.dedup();
    out.push_str(&terminal::paragraph(
        &format!(
            "lengths in {}; cm, in: the body less the size; between: the {} between the sizes that \
             goes with the same measurement; ~ estimated; sizes are measurements of bodies, not of \
             garments",
            words::unit_words(unit),
            mains.join(" or ")
        ),
        0,
    ));
    out
}
