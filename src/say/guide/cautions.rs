//! What can hurt, each at the step where it can (common practice, no source).

use crate::form::Form;
use crate::measure::MEASURING_A_CHILD;
use crate::say::guide::kinds::kinds;
use crate::say::page::Block;
use crate::sheet::Figure;
use crate::text;
use crate::text::{Part, Text};
use crate::workshop::family::{Family, Laser, NEVER_ON_A_LASER};

/// Whoever holds a knife, at the proof as at the layers.
const KNIFE: &str = "Knife: a sharp blade, a cutting mat, the free hand behind the blade, several light passes; retract \
     it when you put it down, old blades into a sharps box. No blades, heat or glue for children.";
/// The same where it was said before.
const KNIFE_AGAIN: &str = "Knife: sharp, on a mat, the free hand behind it, light passes; retracted when put down, old blades into a \
     sharps box; no blades, heat or glue for children.";
const DOWELS: &str = "Dowels and poles: glasses on, a dust mask for wood, the dowel clamped, the saw for wood or metal as it is, \
     hands away from the blade; file burrs and ends. Never drill a tube held in the hand.";
const STANDING: &str = "Dowels that stand up are at the height of eyes when you bend over: put a cork or a ball of tape \
     on each end until the next run goes on.";
const LADDER: &str = "Hanging it: have the hook fixed by somebody who knows what the ceiling bears; a ladder that stands \
     firm, a second person, nobody under the form while it is pulled up.";
const ADHESIVES: &str = "Spray and contact adhesives give vapour that burns and hugs the floor: open windows, no flame, \
     spark or pilot light, read label and data sheet. Hot glue burns skin and melts foam; wear gloves for contact glue.";
/// Holes in the pieces.
const HOLES: &str = "Holes: a scrap under the piece, the piece held flat or clamped, no hand where punch or drill come out.";
/// Plates of wood under and on the form.
const PLATES: &str = "Base board and cap plate of wood: clamp them, glasses and a dust mask on to saw, drill or sand.";

/// A box of cautions.
fn note(sentences: impl IntoIterator<Item = Text>) -> Block {
    Block::Caution(sentences.into_iter().collect())
}

/// What to mind about a laser.
fn of_laser(family: &Family, laser: Laser) -> Text {
    match laser {
        Laser::Usual => text![
            "Laser: extraction on, interlocks intact, never left running alone, a fire blanket or extinguisher \
             at hand. Some workshops ban thick board: ask first. ",
            NEVER_ON_A_LASER,
            "."
        ],
        Laser::Ask => text![
            "Laser: ",
            family.name,
            " is not for the laser unless the machine's owner and the material's data sheet both say \
             so: some burn, some give poisonous gas. ",
            NEVER_ON_A_LASER,
            ", and never leave a running laser."
        ],
        Laser::Never => text![
            "Laser: no. ",
            Part::Begin,
            family.name,
            " does not go on a laser. ",
            NEVER_ON_A_LASER,
            ": they can burn, give poisonous gas and ruin the machine."
        ],
    }
}

/// At the proof: cards and the first cut.
pub(super) fn at_the_proof(form: &Form) -> Block {
    let child = form.checked.sheet.figure == Figure::Child;
    let all = [Some(KNIFE), child.then_some(MEASURING_A_CHILD)];
    note(all.into_iter().flatten().map(Text::from))
}

/// Where pieces are cut.
pub(super) fn at_the_cut(form: &Form) -> Block {
    let proved = !form.proof.is_empty();
    let mut all: Vec<Text> = vec![if proved { KNIFE_AGAIN } else { KNIFE }.into()];
    all.push(HOLES.into());
    let kinds = kinds(form);
    for kind in &kinds {
        let line = of_laser(&kind.family, kind.laser);
        if !all.contains(&line) {
            all.push(line);
        }
    }
    for kind in &kinds {
        for line in kind.family.cautions.iter().copied().map(Text::from) {
            if !all.contains(&line) {
                all.push(line);
            }
        }
    }
    all.push(
        "The maker's data sheet, local rules and somebody trained on the machine come first."
            .into(),
    );
    note(all)
}

/// Where dowels are sawn and stand.
pub(super) fn at_the_dowels() -> Block {
    note([DOWELS, STANDING].map(Text::from))
}

/// Where glue is spread.
pub(super) fn at_the_glue() -> Block {
    note([ADHESIVES.into()])
}

/// Where it hangs.
pub(super) fn at_the_hook() -> Block {
    note([LADDER, PLATES].map(Text::from))
}
