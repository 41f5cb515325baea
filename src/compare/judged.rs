//! Whether a form may be padded out to a body at all, by their measurements alone.

use crate::compare::Body;
use crate::compare::differences;
use crate::error::Finding;
use crate::error::Severity;
use crate::measure::Kind;
use crate::measure::Measure;
use crate::tolerance::finished;
use crate::units::Unit;

/// What the two sheets say: a form that is larger in a girth, or longer in the shoulder or back.
pub(super) fn judged(form: &Body, body: &Body, unit: Unit) -> Vec<Finding> {
    let mut out = Vec::new();
    for d in differences(form, body) {
        let what = match d.measure {
            Measure::LengthShoulder | Measure::LengthBackWaist => "longer",
            _ if d.measure.kind() == Kind::Girth => "larger",
            _ => continue,
        };
        let Some(least) = finished(d.measure) else {
            continue;
        };
        if d.apart >= -least {
            continue;
        }
        // Nothing of the padding lies on the end of a shoulder: it is cut off, or left to stand out.
        let shoulder = d.measure == Measure::LengthShoulder;
        let words = format!(
            "the form is {what} than the body in the {}: {} and {}",
            d.measure.title(),
            unit.show(d.a.value),
            unit.show(d.b.value)
        );
        out.push(if shoulder && !d.is_estimated() {
            Finding::new(
                Severity::Warning,
                words,
                format!(
                    "cut or shave {} off the arm end of the form's shoulder, or mark the body's shoulder \
                     point on the cover and let the form stand out beyond it",
                    unit.show(-d.apart)
                ),
            )
        } else if d.is_estimated() {
            Finding::new(
                Severity::Warning,
                words,
                "one of the two is an estimate: measure it before padding",
            )
        } else {
            Finding::new(
                Severity::Refusal,
                words,
                "padding only adds: choose a smaller form",
            )
        });
    }
    out
}
