//! Whether a form may be padded out to a body at all, by their measurements alone.

use crate::compare::Body;
use crate::compare::differences;
use crate::compare::facts::CompareFact;
use crate::error::{Finding, Severity};
use crate::measure::{Kind, Measure};
use crate::text::Reader;
use crate::tolerance::finished;
use crate::units::Unit;

/// What the two sheets say: a form that is larger in a girth, or longer in the shoulder or back.
pub(super) fn judged(form: &Body, body: &Body, unit: Unit) -> Vec<Finding> {
    let mut out = Vec::new();
    let reader = Reader {
        figure: form.figure.with(body.figure),
        ..Reader::default()
    };
    for d in differences(form, body) {
        let longer = match d.measure {
            Measure::LengthShoulder | Measure::LengthBackWaist => true,
            _ if d.measure.kind() == Kind::Girth => false,
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
        let values = [d.a.value, d.b.value];
        let (severity, fact) = if d.is_estimated() {
            let fact = CompareFact::FormPerhapsLarger {
                measure: d.measure,
                longer,
                values,
                unit,
            };
            (Severity::Warning, fact)
        } else if shoulder {
            let by = -d.apart;
            let fact = CompareFact::ShoulderLonger { values, by, unit };
            (Severity::Warning, fact)
        } else {
            let fact = CompareFact::FormLarger {
                measure: d.measure,
                longer,
                values,
                unit,
            };
            (Severity::Refusal, fact)
        };
        out.push(Finding {
            reader,
            ..Finding::of(severity, fact)
        });
    }
    out
}
