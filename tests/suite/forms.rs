//! The bodies of the examples, and what is made of them in the usual workshop: made once for all tests
//! that only look at them.

use std::sync::LazyLock;

use layfigure::form::{self, Checked};
use layfigure::mesh::{self, Mesh};
use layfigure::sheet::{self, Sheet};
use layfigure::stack::{self, Stack};
use layfigure::torso::{self, Fit};
use layfigure::workshop::Workshop;

pub(crate) const CONTRALTO: &str = include_str!("../sheets/contralto.toml");
pub(crate) const BARITONE: &str = include_str!("../sheets/baritone.toml");
pub(crate) const CHORISTER: &str = include_str!("../sheets/chorister.toml");

/// A sheet, the torso fitted to it, and its solid.
pub(crate) struct Body {
    pub(crate) sheet: Sheet,
    pub(crate) fit: Fit,
    pub(crate) mesh: Mesh,
}

fn body(text: &str) -> Body {
    let sheet = sheet::read(text, "sheet.toml").unwrap();
    let fit = torso::fit(&sheet).unwrap();
    let mesh = mesh::build(&fit.torso);
    Body { sheet, fit, mesh }
}

pub(crate) fn contralto() -> &'static Body {
    static BODY: LazyLock<Body> = LazyLock::new(|| body(CONTRALTO));
    &BODY
}

pub(crate) fn baritone() -> &'static Body {
    static BODY: LazyLock<Body> = LazyLock::new(|| body(BARITONE));
    &BODY
}

pub(crate) fn chorister() -> &'static Body {
    static BODY: LazyLock<Body> = LazyLock::new(|| body(CHORISTER));
    &BODY
}

/// The contralto checked in the usual workshop.
pub(crate) fn contralto_checked() -> &'static Checked {
    static CHECKED: LazyLock<Checked> = LazyLock::new(|| {
        let sheet = contralto().sheet.clone();
        form::check(sheet, &Workshop::default(), None).unwrap()
    });
    &CHECKED
}

/// The contralto cut in the usual workshop, and whether anything was said of it.
pub(crate) fn contralto_stack() -> &'static (Stack, bool) {
    static STACK: LazyLock<(Stack, bool)> = LazyLock::new(|| {
        let body = contralto();
        let room = Workshop::default();
        let (stack, findings) = stack::build(&body.mesh, &room, &body.sheet.name).unwrap();
        (stack, !findings.is_empty())
    });
    &STACK
}
