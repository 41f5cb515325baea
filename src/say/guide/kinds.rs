//! What the kinds of material of a form need, each once, whichever is named first.

use crate::form::Form;
use crate::workshop::family::{Family, Laser};
use crate::workshop::material;

/// One kind of material that layers are cut from.
#[derive(Clone, Debug)]
pub(super) struct MaterialKind<'a> {
    /// The names under which the workshop has it.
    names: Vec<&'a str>,
    pub(super) family: Family,
    pub(super) laser: Laser,
}

/// The kinds of material that layers are cut from.
pub(super) fn kinds(form: &Form) -> Vec<MaterialKind<'_>> {
    let mut kinds: Vec<MaterialKind<'_>> = Vec::new();
    for name in form.stack.materials_of(&form.workshop) {
        let (family, laser) = (material::family(name), material::laser(name));
        match kinds
            .iter_mut()
            .find(|k| (k.family, k.laser) == (family, laser))
        {
            Some(kind) => kind.names.push(name),
            None => kinds.push(MaterialKind {
                names: vec![name],
                family,
                laser,
            }),
        }
    }
    kinds
}

/// The glue; of several kinds each its own, and what suits both where they meet.
pub(super) fn glue(form: &Form) -> String {
    let all = each(form, |family| family.glue);
    if let [(_, glue)] = all.as_slice() {
        return (*glue).to_owned();
    }
    let own = all
        .iter()
        .map(|(names, glue)| format!("for {}: {glue}", names.join(" and ")));
    format!(
        "{}; where two of them meet, one that is safe for both, tried on offcuts overnight",
        own.collect::<Vec<_>>().join("; ")
    )
}

/// What to do with sheets that do not lie flat; of several kinds each its own.
pub(super) fn flat(form: &Form) -> String {
    let all = each(form, |family| family.flat);
    if let [(_, flat)] = all.as_slice() {
        return (*flat).to_owned();
    }
    let own = all
        .iter()
        .map(|(names, flat)| format!("{}: {flat}", names.join(" and ")));
    own.collect::<Vec<_>>().join(" ")
}

/// What is told of the kinds, with the names of those that it holds for.
fn each(form: &Form, told: impl Fn(&Family) -> &'static str) -> Vec<(Vec<&str>, &'static str)> {
    let mut all: Vec<(Vec<&str>, &'static str)> = Vec::new();
    for kind in kinds(form) {
        let words = told(&kind.family);
        match all.iter_mut().find(|(_, known)| *known == words) {
            Some((names, _)) => names.extend(kind.names),
            None => all.push((kind.names, words)),
        }
    }
    all
}
