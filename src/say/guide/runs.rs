//! The runs of layers that are glued one by one.

use crate::form::Form;
use crate::measure::Level;
use crate::stack::Layer;

/// One run of layers that is glued by itself before the runs are joined.
pub(super) struct LayerRun<'a> {
    pub(super) name: &'static str,
    pub(super) layers: &'a [Layer],
}

/// What is still to be cut of the stack, in runs that end at the waist, below the arms, at the shoulders
/// and at the top.
pub(super) fn runs(form: &Form) -> Vec<LayerRun<'_>> {
    let levels = &form.solid.marks.levels;
    let layers = &form.stack.layers;
    let ends = [
        ("hips", Level::Waist),
        ("waist to bust", Level::Bust),
        ("chest", Level::ShoulderPoint),
        ("shoulders and neck", Level::NeckTop),
    ];
    let mut out = Vec::new();
    let mut from = form.stack.piled().len();
    for (i, (name, level)) in ends.iter().enumerate() {
        let to = if i + 1 == ends.len() {
            layers.len()
        } else {
            levels
                .get(level)
                .map_or(from, |z| layers.partition_point(|l| l.top <= *z))
        };
        if to > from {
            out.push(LayerRun {
                name,
                layers: &layers[from..to],
            });
            from = to;
        }
    }
    out
}
