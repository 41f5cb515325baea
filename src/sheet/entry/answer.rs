//! What somebody types for one measurement: a reading, two of them, or left and right apart.

use crate::measure::{Measure, Side};
use crate::sheet::entry::facts::AnswerFact;
use crate::tolerance::{READINGS_AGREE_TOLERANCE_MM, READINGS_AGREE_TOLERANCE_RAD, READINGS_SLIP};
use crate::units;
use crate::units::{AngleOrLength, Unit};

/// One reading as typed.
#[derive(Clone, Debug, PartialEq)]
pub struct Try {
    /// The words.
    pub words: String,
    /// mm, or radians.
    pub value: f64,
    /// Whether it is an angle.
    pub angle: bool,
    /// Whether the words carry no unit of their own.
    pub bare: bool,
}

/// Everything typed for one measurement; the readings of a side are in the order of typing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Answer {
    /// Readings of the whole body, or of both sides alike.
    pub both: Vec<Try>,
    /// Readings of the wearer's left.
    pub left: Vec<Try>,
    /// Readings of the wearer's right.
    pub right: Vec<Try>,
}

/// What several readings of one side come to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Settled {
    /// mm, or radians.
    pub(super) value: f64,
    /// Half-width, where the readings differ.
    pub(super) within: Option<f64>,
}

impl Answer {
    /// Every side that has readings, and these.
    pub fn sides(&self) -> impl Iterator<Item = (Side, &[Try])> {
        [
            (Side::Both, &self.both),
            (Side::Left, &self.left),
            (Side::Right, &self.right),
        ]
        .into_iter()
        .filter(|(_, tries)| !tries.is_empty())
        .map(|(side, tries)| (side, tries.as_slice()))
    }

    /// Whether every side was read once only.
    #[must_use]
    pub fn is_single(&self) -> bool {
        self.sides().all(|(_, tries)| tries.len() == 1)
    }

    /// Whether the readings of a side differ by so much that a half-width is kept.
    #[must_use]
    pub fn is_spread(&self) -> bool {
        let within = |tries: &[Try]| settled(tries).and_then(|s| s.within);
        self.sides().any(|(_, tries)| within(tries).is_some())
    }

    /// Adds the readings of another answer, side by side; nothing, if one of them tells left from
    /// right and the other does not.
    #[must_use]
    pub fn joined(&self, more: &Self) -> Option<Self> {
        if self.both.is_empty() != more.both.is_empty() {
            return None;
        }
        let mut out = self.clone();
        out.both.extend(more.both.iter().cloned());
        out.left.extend(more.left.iter().cloned());
        out.right.extend(more.right.iter().cloned());
        Some(out)
    }

    /// The readings as they were typed, with the unit of those that named none: `34 1/2 in`, `96 cm
    /// and 97 cm`, `left 13 cm, right 13.4 cm`.
    #[must_use]
    pub fn shown(&self, unit: Unit) -> String {
        let one = |t: &Try| match (t.bare, t.angle) {
            (false, _) => t.words.clone(),
            (true, true) => format!("{}°", t.words),
            (true, false) => format!("{} {}", t.words, unit.name()),
        };
        let sides: Vec<String> = self
            .sides()
            .map(|(side, tries)| {
                let all: Vec<String> = tries.iter().map(one).collect();
                let all = all.join(" and ");
                match side {
                    Side::Both => all,
                    Side::Left => format!("left {all}"),
                    Side::Right => format!("right {all}"),
                }
            })
            .collect();
        sides.join(", ")
    }

    /// The difference of the two readings of a side, where it is so large that one of them is hardly a
    /// try of `measure` at all. Of three the middle one counts, so that one slip does no harm.
    #[must_use]
    pub fn slip(&self, measure: Measure) -> Option<f64> {
        self.sides()
            .filter_map(|(_, tries)| match tries {
                [a, b] => Some((a.value - b.value).abs()),
                _ => None,
            })
            .filter(|gap| *gap > READINGS_SLIP * measure.info().repeat)
            .max_by(f64::total_cmp)
    }

    /// The largest difference between two neighbouring readings of one side, where it is more than
    /// two tries of `measure` usually differ by. With three readings the two nearest ones count.
    #[must_use]
    pub fn apart(&self, measure: Measure) -> Option<f64> {
        self.sides()
            .filter_map(|(_, tries)| {
                let mut values: Vec<f64> = tries.iter().map(|t| t.value).collect();
                values.sort_by(f64::total_cmp);
                let gaps = values.windows(2).map(|w| w[1] - w[0]);
                gaps.min_by(f64::total_cmp)
            })
            .filter(|gap| *gap > measure.info().repeat)
            .max_by(f64::total_cmp)
    }
}

/// What readings come to: two their mean, within half their difference; more of them the middle
/// one, within the way to its nearer neighbour. So the form lies between what was read.
pub(super) fn settled(tries: &[Try]) -> Option<Settled> {
    let mut values: Vec<f64> = tries.iter().map(|t| t.value).collect();
    values.sort_by(f64::total_cmp);
    let n = values.len();
    let (value, within) = match n {
        0 => return None,
        1 => (values[0], 0.0),
        _ if n.is_multiple_of(2) => {
            let (a, b) = (values[n / 2 - 1], values[n / 2]);
            (f64::midpoint(a, b), (b - a) / 2.0)
        }
        _ => {
            let (a, m, b) = (values[n / 2 - 1], values[n / 2], values[n / 2 + 1]);
            (m, (m - a).min(b - m))
        }
    };
    let least = if tries.iter().any(|t| t.angle) {
        READINGS_AGREE_TOLERANCE_RAD
    } else {
        READINGS_AGREE_TOLERANCE_MM
    };
    Some(Settled {
        value,
        within: (within >= least).then_some(within),
    })
}

/// Reads what was typed for `measure`; a reading without a unit is in `unit` (a slope in degrees).
/// `96.5`, `40 3/4 and 41`, `left 13.0 right 13.4`, `13.0 left, 13.2 and 13.4 right`. A decimal comma is
/// read as a point, and feet or metres in `unit`: [`Try::words`] then has them as a sheet writes them.
///
/// # Errors
/// [`AnswerFact`] with what is the matter and what to type instead.
pub fn parse(text: &str, measure: Measure, unit: Unit) -> Result<Answer, AnswerFact> {
    let mut answer = Answer::default();
    let parts = parts(text);
    let sided = parts.iter().any(|(side, _)| *side != Side::Both);
    if sided && !measure.info().paired {
        return Err(AnswerFact::NoSides { measure });
    }
    if sided && parts.iter().any(|(side, _)| *side == Side::Both) {
        return Err(AnswerFact::SideLacking);
    }
    for (side, words) in parts {
        let reading = one(&words, measure, unit)?;
        match side {
            Side::Both => answer.both.push(reading),
            Side::Left => answer.left.push(reading),
            Side::Right => answer.right.push(reading),
        }
    }
    if answer.sides().next().is_none() {
        let typed = units::clip(text.trim());
        return Err(AnswerFact::NoReading { typed });
    }
    let angles = || answer.sides().flat_map(|(_, tries)| tries).map(|t| t.angle);
    if angles().any(|a| a) && !angles().all(|a| a) {
        return Err(AnswerFact::AngleAndLength);
    }
    Ok(answer)
}

/// The words of a reading as a sheet writes them: a comma with one or two digits after it is a point
/// (three could be a thousand), and a length in feet or metres is in the sheet's unit.
fn written(words: &str, unit: Unit) -> String {
    let pointed = units::decimal_comma(words).filter(|_| {
        let after = words.split(',').nth(1).unwrap_or_default();
        after.chars().take_while(char::is_ascii_digit).count() < 3
    });
    let words = pointed.unwrap_or_else(|| words.to_owned());
    match units::in_another_unit(&words) {
        Some(mm) => unit.show(mm),
        None => words,
    }
}

fn one(words: &str, measure: Measure, unit: Unit) -> Result<Try, AnswerFact> {
    let words = written(words, unit);
    let words = words.as_str();
    let read = if measure == Measure::SlopeShoulder {
        units::parse_angle_or_length(words, unit)
    } else {
        units::parse_length(words, unit).map(AngleOrLength::Length)
    };
    let read = read.map_err(|why| {
        let numbers = words
            .split_whitespace()
            .filter(|w| w.parse::<f64>().is_ok());
        if numbers.count() > 1 {
            AnswerFact::SeveralNumbers
        } else {
            AnswerFact::Misread { why }
        }
    })?;
    let bare = words
        .chars()
        .all(|c| !c.is_alphabetic() && !"\"″”°'".contains(c));
    Ok(match read {
        AngleOrLength::Angle(value) => Try {
            words: words.to_owned(),
            value,
            angle: true,
            bare,
        },
        AngleOrLength::Length(value) => Try {
            words: words.to_owned(),
            value,
            angle: false,
            bare,
        },
    })
}

/// The side that a word names.
fn side(word: &str) -> Option<Side> {
    match word.trim_end_matches([':', '=']).to_lowercase().as_str() {
        "left" | "l" => Some(Side::Left),
        "right" | "r" => Some(Side::Right),
        _ => None,
    }
}

/// The readings in what was typed, each with its side. A side in front of the first reading holds
/// for what follows it; a side behind a reading holds for what stands before it.
fn parts(text: &str) -> Vec<(Side, String)> {
    let spaced = text
        .replace([';', '&'], " and ")
        .replace(", ", " and ")
        .replace(['\t', '\n'], " ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let in_front = words.first().is_some_and(|w| side(w).is_some());
    let mut done: Vec<(Option<Side>, String)> = Vec::new();
    let mut now = String::new();
    let mut holds = None;
    let close = |now: &mut String, holds, done: &mut Vec<(Option<Side>, String)>| {
        if !now.is_empty() {
            done.push((holds, std::mem::take(now)));
        }
    };
    for word in words {
        if word.eq_ignore_ascii_case("and") {
            close(&mut now, holds, &mut done);
        } else if let Some(side) = side(word) {
            close(&mut now, holds, &mut done);
            if in_front {
                holds = Some(side);
            } else {
                for part in done.iter_mut().filter(|p| p.0.is_none()) {
                    part.0 = Some(side);
                }
            }
        } else {
            if !now.is_empty() {
                now.push(' ');
            }
            now.push_str(word);
        }
    }
    close(&mut now, holds, &mut done);
    done.into_iter()
        .map(|(side, words)| (side.unwrap_or(Side::Both), words))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fact::Fact as _;
    use proptest::prelude::*;

    fn values(text: &str, measure: Measure, unit: Unit) -> [Vec<f64>; 3] {
        let a = parse(text, measure, unit).expect(text);
        [a.both, a.left, a.right].map(|v| v.iter().map(|t| t.value).collect())
    }

    #[test]
    fn answers_are_read() {
        use Measure as M;
        let none = Vec::new;
        for (text, unit, both, left, right) in [
            ("96.5", Unit::Cm, vec![965.0], none(), none()),
            ("96.5 and 97", Unit::Cm, vec![965.0, 970.0], none(), none()),
            ("96.5; 97", Unit::Cm, vec![965.0, 970.0], none(), none()),
            (
                "96.5, 97 & 98",
                Unit::Cm,
                vec![965.0, 970.0, 980.0],
                none(),
                none(),
            ),
            (
                "40 3/4 and 41",
                Unit::In,
                vec![1035.05, 1041.4],
                none(),
                none(),
            ),
            (
                "left 13 right 13.4",
                Unit::Cm,
                none(),
                vec![130.0],
                vec![134.0],
            ),
            (
                "13 left, 13.4 right",
                Unit::Cm,
                none(),
                vec![130.0],
                vec![134.0],
            ),
            ("l: 13 r: 13.4", Unit::Cm, none(), vec![130.0], vec![134.0]),
            (
                "left 13 and 13.2 right 13.4",
                Unit::Cm,
                none(),
                vec![130.0, 132.0],
                vec![134.0],
            ),
            (
                "13 and 13.2 left 13.4 right",
                Unit::Cm,
                none(),
                vec![130.0, 132.0],
                vec![134.0],
            ),
            ("RIGHT 5 in", Unit::Cm, none(), none(), vec![127.0]),
            ("96,5", Unit::Cm, vec![965.0], none(), none()),
            (
                "left 13,5 right 13,25",
                Unit::Cm,
                none(),
                vec![135.0],
                vec![132.5],
            ),
            ("5 ft 5 1/2", Unit::In, vec![1663.7], none(), none()),
            ("5' 5\"", Unit::In, vec![1651.0], none(), none()),
            (
                "1,65 m and 1.66 m",
                Unit::Cm,
                vec![1650.0, 1660.0],
                none(),
                none(),
            ),
        ] {
            let got = values(text, M::LengthShoulder, unit);
            for (got, want) in got.iter().zip([both, left, right]) {
                assert_eq!(got.len(), want.len(), "{text}");
                for (g, w) in got.iter().zip(&want) {
                    assert!((g - w).abs() < 1e-9, "{text}: {g} {w}");
                }
            }
        }
    }

    #[test]
    fn answers_that_are_none() {
        use Measure as M;
        for (text, measure, fact) in [
            ("", M::GirthBust, "NoReading"),
            ("and", M::GirthBust, "NoReading"),
            ("slim", M::GirthBust, "NoNumber"),
            ("1,016", M::GirthBust, "DecimalComma"),
            ("96,5,5", M::GirthBust, "DecimalComma"),
            ("left 40 right 41", M::GirthBust, "NoSides"),
            ("13 and right 13.4", M::LengthShoulder, "SideLacking"),
            ("right 13 left", M::LengthShoulder, ""),
            ("22 and 5.5 cm", M::SlopeShoulder, "AngleAndLength"),
            ("96.5 97", M::GirthBust, "SeveralNumbers"),
        ] {
            let name = match parse(text, measure, Unit::Cm) {
                Err(AnswerFact::Misread { why }) => why.name(),
                Err(why) => why.name(),
                Ok(_) => "",
            };
            assert_eq!(name, fact, "{text}");
        }
    }

    #[test]
    fn readings_settle_between_themselves() {
        let tries = |text| parse(text, Measure::GirthBust, Unit::Cm).unwrap().both;
        let s = settled(&tries("96")).unwrap();
        assert_eq!((s.value, s.within), (960.0, None));
        let s = settled(&tries("96 and 97")).unwrap();
        assert_eq!((s.value, s.within), (965.0, Some(5.0)));
        let s = settled(&tries("99 and 96 and 97")).unwrap();
        assert_eq!((s.value, s.within), (970.0, Some(10.0)));
        let s = settled(&tries("96 and 96")).unwrap();
        assert_eq!((s.value, s.within), (960.0, None));
        assert_eq!(settled(&[]), None);
    }

    #[test]
    fn readings_are_shown_with_their_unit() {
        for (text, measure, unit, shown) in [
            ("34 1/2", Measure::GirthBust, Unit::In, "34 1/2 in"),
            (
                "96 and 38 in",
                Measure::GirthBust,
                Unit::Cm,
                "96 cm and 38 in",
            ),
            ("22", Measure::SlopeShoulder, Unit::Cm, "22°"),
            (
                "l 13 r 13.4",
                Measure::LengthShoulder,
                Unit::Cm,
                "left 13 cm, right 13.4 cm",
            ),
        ] {
            assert_eq!(parse(text, measure, unit).unwrap().shown(unit), shown);
        }
    }

    #[test]
    fn readings_far_apart_are_told() {
        let apart = |text| {
            parse(text, Measure::GirthBust, Unit::Cm)
                .unwrap()
                .apart(Measure::GirthBust)
        };
        assert_eq!(apart("96 and 96.9"), None);
        assert!((apart("96 and 98").unwrap() - 20.0).abs() < 1e-9);
        assert_eq!(apart("96 and 98 and 97.9"), None);
        assert_eq!(apart("96"), None);
    }

    #[test]
    fn two_readings_of_two_things_are_a_slip() {
        let slip = |text, m| parse(text, m, Unit::Cm).unwrap().slip(m);
        let gap = slip("39.5 and 102.5", Measure::GirthNeck).unwrap();
        assert!((gap - 630.0).abs() < 1e-9, "{gap}");
        assert_eq!(slip("36 and 37.5", Measure::GirthNeck), None);
        // The middle one of three counts.
        assert_eq!(slip("39.5 and 102.5 and 39.7", Measure::GirthNeck), None);
        let gap = slip("left 13 and 31 right 13.4", Measure::LengthShoulder).unwrap();
        assert!((gap - 180.0).abs() < 1e-9, "{gap}");
    }

    proptest! {
        #[test]
        fn no_answer_panics(text in ".*") {
            for m in [Measure::GirthBust, Measure::SlopeShoulder] {
                let _ = parse(&text, m, Unit::In);
            }
        }
    }
}
