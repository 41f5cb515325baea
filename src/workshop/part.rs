//! The values of one table of a workshop file, each within its range.

use toml::de::DeTable;

use crate::error::Finding;
use crate::error::Severity;
use crate::source::Source;
use crate::source::Value;
use crate::tolerance::BEYOND_MM;
use crate::tolerance::LEAST_READING_MM;
use crate::units;
use crate::units::Unit;

/// Lowest and highest value of each length of a workshop, mm: outside them something is mistyped.
/// Common practice, no source, wide.
pub const RANGES: &[(&str, f64, f64)] = &[
    ("layer.thickness", 0.3, 100.0),
    ("layer.ten_stacked", 3.0, 1000.0),
    ("layer.hollow", 5.0, 200.0),
    ("layer.glue_line", 0.0, 2.0),
    ("stock.width", 50.0, 5000.0),
    ("stock.length", 50.0, 50_000.0),
    ("stock.margin", 0.0, 100.0),
    ("stock.gap", 0.0, 50.0),
    ("stock.kerf", 0.0, 5.0),
    ("dowel.diameter", 2.0, 60.0),
    ("dowel.clearance", 0.0, 3.0),
    ("dowel.edge", 1.0, 60.0),
    ("pole.diameter", 5.0, 120.0),
    ("base.thickness", 1.0, 80.0),
    ("padding.batting", 0.0, 60.0),
    ("padding.cover", 0.0, 10.0),
    ("padding.wrap_bare", 50.0, 3000.0),
    ("padding.wrap_padded", 50.0, 3500.0),
    ("paper.margin", 0.0, 50.0),
    ("paper.overlap", 0.0, 80.0),
    ("paper.length", 200.0, 5000.0),
    ("form.from", 0.0, 400.0),
    ("form.to", 0.0, 80.0),
    ("form.step", 0.5, 60.0),
    ("form.wedges", 4.0, 60.0),
];

/// One table being read.
pub(super) struct Part {
    pub(super) name: &'static str,
    pub(super) unit: Unit,
}

impl Part {
    fn key(&self, key: &str) -> String {
        format!("{}.{key}", self.name)
    }

    pub(super) fn warn(
        &self,
        source: &mut Source<'_>,
        table: &DeTable<'_>,
        key: &str,
        what: &str,
        hint: &str,
    ) {
        let at = table.get(key).map_or(0..0, Value::span);
        let place = source.place(&at);
        source.push(
            Finding::new(
                Severity::Warning,
                format!("`{}`: {what}", self.key(key)),
                hint,
            )
            .at(place),
        );
    }

    /// A length within its range, put where it belongs. False when it is not given.
    pub(super) fn length<'a>(
        &self,
        source: &mut Source<'a>,
        table: &DeTable<'a>,
        key: &str,
        into: &mut f64,
    ) -> bool {
        let Some(value) = table.get(key) else {
            return false;
        };
        let dotted = self.key(key);
        let Some(mm) = source.length(&dotted, value, self.unit) else {
            return true;
        };
        let range = RANGES.iter().find(|(name, ..)| *name == dotted);
        let (low, high) = range.map_or((0.0, f64::MAX), |(_, low, high)| (*low, *high));
        if (low..=high).contains(&mm) {
            *into = mm;
            return true;
        }
        let show = |mm: f64| show(self.unit, mm);
        // What would be shown as nothing, or by a row of noughts, is shown as it was typed.
        let shown = if (LEAST_READING_MM..BEYOND_MM).contains(&mm) || mm <= 0.0 {
            show(mm)
        } else {
            source.typed(value)
        };
        let what = if mm < 0.0 {
            "negative".to_owned()
        } else {
            format!("{shown}, too {}", if mm < low { "small" } else { "large" })
        };
        let other = Unit::ALL
            .into_iter()
            .filter(|u| *u != self.unit)
            .find(|u| (low..=high).contains(&(mm / self.unit.in_mm() * u.in_mm())));
        let hint = match other {
            Some(u) if mm > 0.0 => format!(
                "{} to {} is possible; was it read in {}? write \"{} {}\"",
                show(low),
                show(high),
                u.plural(),
                trimmed(self.unit.from_mm(mm)),
                u.name()
            ),
            _ => format!("{} to {} is possible", show(low), show(high)),
        };
        source.refuse(value.span(), format!("`{dotted}` is {what}"), hint);
        true
    }

    pub(super) fn count<'a>(
        &self,
        source: &mut Source<'a>,
        table: &DeTable<'a>,
        key: &str,
        range: std::ops::RangeInclusive<usize>,
    ) -> Option<usize> {
        let value = table.get(key)?;
        let number = source.number(&self.key(key), value)?;
        let found = range
            .clone()
            .find(|n| u32::try_from(*n).is_ok_and(|n| (f64::from(n) - number).abs() <= 0.0));
        if found.is_none() {
            source.refuse(
                value.span(),
                format!("`{}` cannot be {}", self.key(key), source.typed(value)),
                if range.start() == range.end() {
                    format!("write {}, or leave the line out", range.start())
                } else {
                    format!("write a whole number, {} to {}", range.start(), range.end())
                },
            );
        }
        found
    }

    /// A bare number within a range.
    pub(super) fn number<'a>(
        &self,
        source: &mut Source<'a>,
        table: &DeTable<'a>,
        key: &str,
        [low, high]: [f64; 2],
        what: &str,
    ) -> Option<f64> {
        let value = table.get(key)?;
        let number = source.number(&self.key(key), value)?;
        if (low..=high).contains(&number) {
            return Some(number);
        }
        source.refuse(
            value.span(),
            format!("`{}` cannot be {}", self.key(key), source.typed(value)),
            format!("{} to {} {what} is possible", trimmed(low), trimmed(high)),
        );
        None
    }

    pub(super) fn price<'a>(&self, source: &mut Source<'a>, table: &DeTable<'a>) -> Option<f64> {
        self.number(source, table, "price", [0.0, 1e6], "in your currency")
    }
}

/// A number without needless zeros.
pub(super) fn trimmed(value: f64) -> String {
    units::trimmed(value, 3)
}

/// A length of a workshop: finer than a tape reads.
pub(super) fn show(unit: Unit, mm: f64) -> String {
    format!("{} {}", trimmed(unit.from_mm(mm)), unit.name())
}
