//! What one row of the table of measurements holds.

use super::{Figure, Kind, Level};

/// What to mind when a child is measured. Common practice, no source.
pub const MEASURING_A_CHILD: &str = "A parent or guardian agrees and stays by, and the child may stop at any time. Leave no tape, string or chain \
     round a child's neck: lay it, read it, take it off.";

/// Who is needed to take a measurement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Who {
    /// Easily done alone.
    Alone,
    /// Alone before a mirror, better with a helper.
    Mirror,
    /// A second person is needed.
    Helper,
}

impl Who {
    /// In words for a sheet.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Alone => "alone",
            Self::Mirror => "alone before a mirror, better with a helper",
            Self::Helper => "a helper is needed",
        }
    }
}

/// Words that depend on whose figure it is: men and children have a chest, and the larynx shows on men.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Words {
    woman: &'static str,
    man: &'static str,
    child: &'static str,
}

impl Words {
    pub(super) const fn new(woman: &'static str, man: &'static str, child: &'static str) -> Self {
        Self { woman, man, child }
    }

    /// The words for this figure.
    #[must_use]
    pub const fn of(self, figure: Figure) -> &'static str {
        match figure {
            Figure::Woman => self.woman,
            Figure::Man => self.man,
            Figure::Child => self.child,
        }
    }
}

/// By whom a range was seen: a test holds the ranges to what the surveys have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// Smallest and largest of the US Army surveys of 1988 (NATICK/TR-89/044) and 2012 (NATICK/TR-15/007).
    Army,
    /// The survey of 1988 alone took it.
    Army1988,
    /// Both took it, of bodies less various than those that forms are made for: the range is wider.
    ArmyOrWider,
    /// The same where the survey of 1988 alone took it.
    Army1988OrWider,
    /// Smallest and largest of Snyder et al. 1977 (UM-HSRI-77-17, ages 2 to 20).
    Children,
    /// Common practice, no source: no survey took it, or took it elsewhere.
    Practice,
}

/// Where the ranges of a measurement come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seen {
    /// Those of women and men.
    pub adults: By,
    /// That of children.
    pub children: By,
}

impl Seen {
    /// In words for a message about an adult or a child.
    #[must_use]
    pub const fn words(self, child: bool) -> &'static str {
        match if child { self.children } else { self.adults } {
            By::Army => "seen in the 1988 and 2012 US Army surveys",
            By::Army1988 => "seen in the 1988 US Army survey",
            By::ArmyOrWider => "as seen in the 1988 and 2012 US Army surveys, or wider",
            By::Army1988OrWider => "as seen in the 1988 US Army survey, or wider",
            By::Children => "seen in children by Snyder et al. 1977",
            By::Practice => "common practice",
        }
    }
}

/// All that a person needs to know about one measurement. Lengths in mm, angles in radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Info {
    /// The dotted key of the sheet.
    pub key: &'static str,
    /// What sort of measurement it is.
    pub kind: Kind,
    /// The level at which it is read, where it is read at one.
    pub level: Option<Level>,
    /// Its name in plain words.
    pub title: Words,
    /// Its name below the name of its kind, where that is not what the key says.
    pub short: Option<Words>,
    /// What it is, in our own words.
    pub definition: Words,
    /// How to take it.
    pub how: Words,
    /// The usual mistake.
    pub mistake: Words,
    /// The term of ISO 8559-1, where it has one.
    pub term: Option<&'static str>,
    /// Who is needed.
    pub who: Who,
    /// Smallest and largest to expect of women.
    pub women: [f64; 2],
    /// Smallest and largest to expect of men.
    pub men: [f64; 2],
    /// Smallest and largest to expect of children from two years up.
    pub child: [f64; 2],
    /// Where those ranges come from.
    pub seen: Seen,
    /// Whether left and right may differ, and may be given apart.
    pub paired: bool,
    /// Whether the form has that part: it has no arms, legs or head.
    pub on_form: bool,
    /// Usual difference between two tries with a helper.
    pub repeat: f64,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Measure;

    #[test]
    fn every_record_is_whole() {
        for measure in Measure::ALL {
            let info = measure.info();
            for [low, high] in [info.women, info.men, info.child] {
                // To either side of the line.
                let signed = measure.kind() == Kind::Plumb;
                assert!((signed || low >= 0.0) && high > low, "{measure}");
            }
            assert!(info.repeat > 0.0, "{measure}");
            for figure in [Figure::Woman, Figure::Man, Figure::Child] {
                for words in [info.definition, info.how, info.mistake] {
                    let words = words.of(figure);
                    assert!(
                        words.len() > 8 && !words.ends_with('.'),
                        "{measure}: {words}"
                    );
                }
                // Two lines on the printed sheet.
                let how = info.how.of(figure);
                assert!(how.len() <= 180, "{measure}: {}", how.len());
            }
        }
    }

    #[test]
    fn six_measurements_only_inform_the_fit() {
        let off: Vec<_> = Measure::ALL
            .into_iter()
            .filter(|m| !m.info().on_form)
            .collect();
        assert_eq!(
            off,
            [
                Measure::GirthShoulder,
                Measure::GirthThigh,
                Measure::GirthUpperArm,
                Measure::BreadthBiacromial,
                Measure::HeightStature,
                Measure::HeightCrotch,
            ]
        );
    }

    /// Means of the 1988 US Army survey (full sample; US Government work, public domain).
    #[test]
    fn survey_means_lie_inside_the_ranges() {
        for (measure, women, men) in [
            (Measure::HeightStature, 1629.4, 1755.8),
            (Measure::GirthBust, 907.1, 991.4),
            (Measure::GirthUnderbust, 769.7, 926.1),
            (Measure::GirthWaist, 725.5, 839.9),
            (Measure::GirthHip, 966.9, 983.7),
            (Measure::GirthNeck, 315.7, 379.6),
            (Measure::GirthNeckBase, 346.2, 408.4),
            (Measure::GirthArmscye, 371.3, 445.5),
            (Measure::LengthShoulder, 144.7, 150.5),
            (Measure::LengthBackWaist, 367.3, 412.0),
            (Measure::LengthFrontWaist, 311.7, 345.7),
            (Measure::LengthSideNeckToBust, 268.0, 272.4),
            (Measure::LengthBustPointWidth, 184.8, 215.9),
            (Measure::LengthScyeDepth, 185.7, 212.7),
            (Measure::BreadthBust, 279.6, 321.5),
            (Measure::DepthBust, 239.4, 243.2),
            (Measure::BreadthHip, 342.7, 341.8),
            (Measure::DepthHip, 227.1, 248.6),
            (Measure::HeightNape, 1408.0, 1519.4),
            (Measure::HeightWaist, 1056.5, 1127.1),
            (Measure::HeightHip, 838.3, 887.4),
        ] {
            let info = measure.info();
            assert!(info.women[0] < women && women < info.women[1], "{measure}");
            assert!(info.men[0] < men && men < info.men[1], "{measure}");
        }
    }
}
