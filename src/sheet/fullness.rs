//! Girth, breadth and depth of one level against each other: how full a section is.

use crate::error::Finding;
use crate::error::Severity;
use crate::measure::Measure;
use crate::sheet::Figure;
use crate::sheet::check::Facts;
use crate::sheet::check::Reading;
use crate::sheet::check::say;
use crate::units;

use Measure as M;

/// Perimeter of the ellipse with these full axes: Ramanujan's second approximation (1914), off by
/// less than a millionth for the shapes of a trunk.
fn ellipse(breadth: f64, depth: f64) -> f64 {
    let (a, b) = (breadth / 2.0, depth / 2.0);
    let h = (a - b) / (a + b);
    let h = h * h;
    std::f64::consts::PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()))
}

/// A level at which girth, breadth and depth are set against each other.
struct Level {
    girth: Measure,
    breadth: Measure,
    depth: Measure,
    /// Girth over ellipse, percentiles 1 to 99.
    band: [f64; 2],
    /// Breadth and depth from the girth, women then men: base, factor, residual sd.
    expect: [[[f64; 3]; 2]; 2],
}

/// Bands cover both surveys at waist and hip; at the bust only 1988, since the breadth of 2012 was
/// taken on the ribs. Regressions: 1988 survey (waist at the navel).
const LEVELS: [Level; 3] = [
    Level {
        girth: M::GirthBust,
        breadth: M::BreadthBust,
        depth: M::DepthBust,
        band: [1.05, 1.18],
        expect: [
            [[42.34, 0.261_62, 10.7], [-32.71, 0.300_1, 9.1]],
            [[-7.13, 0.331_73, 11.2], [-32.43, 0.277_96, 9.7]],
        ],
    },
    Level {
        girth: M::GirthWaist,
        breadth: M::BreadthWaist,
        depth: M::DepthWaist,
        band: [0.97, 1.12],
        expect: [
            [[29.24, 0.329_22, 8.4], [-13.18, 0.274_02, 9.7]],
            [[32.19, 0.321_58, 8.0], [-11.01, 0.274_82, 9.1]],
        ],
    },
    Level {
        girth: M::GirthHip,
        breadth: M::BreadthHip,
        depth: M::DepthHip,
        band: [1.01, 1.14],
        expect: [
            [[12.78, 0.341_32, 9.1], [-35.86, 0.271_61, 12.6]],
            [[51.52, 0.295_21, 8.7], [-39.42, 0.292_75, 9.9]],
        ],
    },
];

/// How full a section is: its girth against the ellipse of its breadth and depth.
pub(super) fn fullness<'a>(
    facts: &Facts<'_>,
    get: &impl Fn(Measure) -> Option<Reading<'a>>,
    found: &mut Vec<Finding>,
) {
    let sex = match facts.figure {
        Figure::Woman => 0,
        Figure::Man => 1,
        Figure::Child => return,
    };
    for level in &LEVELS {
        let (Some(g), Some(b), Some(d)) = (get(level.girth), get(level.breadth), get(level.depth))
        else {
            continue;
        };
        let ratio = g.value / ellipse(b.value, d.value);
        let slack = (g.within + std::f64::consts::PI * (b.within + d.within) / 2.0) / g.value;
        if (level.band[0] - slack..=level.band[1] + slack).contains(&ratio) {
            continue;
        }
        let off = |r: Reading<'_>, [base, factor, sd]: [f64; 3]| {
            let usual = base + factor * g.value;
            (((r.value - usual) / sd).abs(), usual)
        };
        let [of_breadth, of_depth] = level.expect[sex];
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
            format!(
                "{} is {} of the ellipse of {} and {}; 98 of 100 people lie between {} and {}",
                facts.named(g),
                units::fixed(ratio, 3),
                facts.named(b),
                facts.named(d),
                units::fixed(level.band[0], 2),
                units::fixed(level.band[1], 2)
            ),
            format!(
                "`{}` is the farthest from what the girth leads to, about {}: read it again \
                 without pressing",
                odd.measure,
                facts.unit.show(usual)
            ),
        ));
    }
}
