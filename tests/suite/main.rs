//! One test binary; a line per module says what it holds.

#![allow(
    clippy::disallowed_methods,
    reason = "what is only compared needs no portable last digit"
)]
#![allow(
    clippy::unwrap_used,
    reason = "a test that panics has failed, as it should"
)]

// Bodies and forms that several tests look at.
mod forms;
// Runs of the program, and a bench for them.
mod program;
// The program end to end: exit codes, what lands where, what is never touched.
mod commands;
// Layers of several kinds, wedges, corrected outlines, the rest cut again.
mod courses;
// Cards of the proof set: parts of a ring, and girths.
mod proof;
// The middle of the weight, the stand, and what rings save.
mod stand;
// Names of materials, kind and unkind.
mod materials;
// Thicknesses and materials side by side.
mod plan;
// Texts that were read and approved.
mod bless;
// Whole messages, one for each kind of refusal and warning.
mod messages;
// Lists and numbers that nobody types: refused with what is possible, at once, in few words.
mod limits;
// Sheets and workshop files: the examples, survey means, any text at all.
mod sheet;
// `new` in a pipe and on a terminal of its own.
mod entry;
// Bodies that no survey had in mind.
mod averages;
// Two people who measure one body.
mod two_people;
// The blank on paper.
mod blank;
// The words beside the results: help, manual, licences, missing files, the last line of `check`.
mod manners;
// Somebody who measures in inches.
mod inches;
// A made-up figure in closed form for the tests of solid and tape.
mod figure;
// How far points are from triangles.
mod closeness;
// Shapes that a fitter believes.
// A room asked for.
mod room;
mod shapes;
// The triangle solid: closed, close to its surface, its properties and cuts.
mod solid;
// The tape: hulls, taut paths and every measure on shapes with a closed form.
mod tape;
// `tape` on solids of any making, in closed form and broken.
mod any_solid;
// Files of solids as other programs write them: dents, joined lines, too much of them.
mod solid_files;
// Who may use whom, and other rules of the house that a compiler does not know.
mod imports;
// No name of a type stands twice.
mod names;
// What is said is not searched.
mod searches;
// Files that use each other in a circle.
mod circles;
// Polygons against closed forms and against clipper2.
mod geometry;
// The guide: its words, units and numbers.
mod guide;
// Layers, dowels and marks on shapes with a closed form.
mod stack;
// What is left of a solid when padding is taken off.
mod cores;
// The stack as built, padding put back on, against closed forms.
mod asbuilt;
// Size profiles: against the survey averages, built again, between the sizes, as typed.
mod profiles;
// Comparing bodies: differences, noise, sizes, the map, the page, the tone.
mod compare;
// Padding a form out, and a person over time.
mod padding;

// Made-up layers in closed form for the tests of drawings and layouts.
mod toy;
// Templates: every outline, by half, joins and printers.
mod templates;
// Where words of a drawing stand.
mod words;
// Words and numbers on templates.
mod lettering;
// Readers of the three formats of drawings, after their standards.
mod read_dxf;
mod read_pdf;
mod read_svg;
// Files read back: sizes, paper, check bars, words, bytes.
mod true_size;
// Nested boards and rolls, measured with clipper2.
mod nesting;
// Bodies fitted to sheets: tape against fit, triangles against surface.
mod bodies;
// A fit that starts where an earlier one ended.
mod refit;
// Sheets that contradict themselves, and what to measure next.
mod doubt;
// Dowels of whole figures.
mod dowels;
// Bodies whose left and right differ.
mod uneven;
// What is done with bytes from anywhere; the fuzzer uses the same.
#[path = "../../fuzz/src/lib.rs"]
#[allow(unreachable_pub, reason = "a library of its own for the fuzzer")]
mod anything;
// How random inputs are drawn.
mod draws;
// Broken files, unlikely bodies, names that want to be code, full disks and killed runs.
mod hostile;
// Hard sheets and odd workshops by the hundred.
mod thrown;
// Which folders and piles a form goes with.
mod piles;
// Folders of builds that are killed or refused.
mod folders;
// Killed runs, counted.
mod kills;
// Systems that refuse, counted; what is not a plain file.
mod refusals;
// Ctrl-C.
mod ctrl_c;
// Bodies at the ends of what people are; words of shape and amendments.
mod extremes;
