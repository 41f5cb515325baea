//! How long the stages take. `cargo bench` runs it; nothing is checked here.

#![allow(
    clippy::disallowed_methods,
    reason = "what is only compared needs no portable last digit"
)]

#[path = "../tests/suite/figure.rs"]
mod figure;

use divan::{Bencher, black_box};
use layfigure::measure::Measure;
use layfigure::mesh::{self, Grid, Sampled, Slicer, stl};
use layfigure::sheet::Sheet;
use layfigure::tape;
use layfigure::tolerance::MESH_ACCURACY_MM;
use layfigure::torso::Ends;

fn main() {
    divan::main();
}

fn grid() -> Grid {
    let surface = Sampled {
        range: figure::RANGE,
        radii: &figure::radii,
        pole: &figure::pole,
    };
    Grid::refined(&surface, &figure::GIRTHS, &figure::LEVELS, MESH_ACCURACY_MM)
}

/// Choosing rows and columns and sampling the surface.
#[divan::bench]
fn mesh_refine() -> Grid {
    grid()
}

/// Joining the samples into triangles.
#[divan::bench]
fn mesh_triangles(bencher: Bencher) {
    let grid = grid();
    bencher.bench(|| grid.mesh());
}

/// Sorting triangles by height.
#[divan::bench]
fn mesh_slicer(bencher: Bencher) {
    let mesh = grid().mesh();
    bencher.bench(|| Slicer::new(&mesh).at(0.0));
}

/// One horizontal cut of a sorted solid.
#[divan::bench]
fn mesh_level_cut(bencher: Bencher) {
    let mesh = grid().mesh();
    let slicer = Slicer::new(&mesh);
    bencher.bench(|| slicer.at(black_box(37.3)));
}

/// One upright cut, which looks at every triangle.
#[divan::bench]
fn mesh_upright_cut(bencher: Bencher) {
    let mesh = grid().mesh();
    bencher.bench(|| mesh::section_where(&mesh, |p| p.x - 11.0));
}

/// Writing a solid file.
#[divan::bench]
fn mesh_stl(bencher: Bencher) {
    let mesh = grid().mesh();
    bencher.bench(|| stl::binary(&mesh));
}

/// The tape at ten heights.
#[divan::bench]
fn tape_rounds(bencher: Bencher) {
    let mesh = grid().mesh();
    let heights: Vec<f64> = (0..10).map(|i| f64::from(i) * 40.0 - 200.0).collect();
    bencher.bench(|| tape::rounds(&mesh, &heights));
}

/// The embedded example body.
fn body() -> (layfigure::torso::Fit, Sheet) {
    let text = include_str!("../tests/sheets/contralto.toml");
    let sheet =
        layfigure::sheet::read(text, "contralto.toml").expect("the example is a good sheet");
    (
        layfigure::torso::fit(&sheet).expect("the example can be fitted"),
        sheet,
    )
}

/// From a sheet to a fitted body.
#[divan::bench]
fn body_fit(bencher: Bencher) {
    let (_, sheet) = body();
    bencher.bench(|| layfigure::torso::fit(&sheet));
}

/// The same after one reading was changed by a centimetre.
#[divan::bench]
fn body_refit(bencher: Bencher) {
    let (earlier, mut sheet) = body();
    let waist = sheet
        .given
        .iter_mut()
        .find(|g| g.measure == Measure::GirthWaist);
    waist.expect("the example has a waist").value += 10.0;
    bencher.bench(|| layfigure::torso::refit_to(&earlier, &sheet, Ends::default()));
}

/// From a body to its solid with every mark.
#[divan::bench]
fn body_mesh(bencher: Bencher) {
    let (fit, _) = body();
    bencher.bench(|| mesh::build(&fit.torso));
}

/// Every measure off a solid.
#[divan::bench]
fn body_tape(bencher: Bencher) {
    let (fit, _) = body();
    let mesh = mesh::build(&fit.torso);
    bencher.bench(|| tape::check(&mesh, &fit.targets));
}

/// A body from the fewest readings that a sheet may hold.
#[divan::bench]
fn body_fit_fewest(bencher: Bencher) {
    let text = "unit = \"cm\"\nfigure = \"woman\"\n[girth]\nbust = 96\nwaist = 76.8\nhip = 101.9\n\
                [height]\nstature = 170\n";
    let sheet = layfigure::sheet::read(text, "fewest").expect("a good sheet");
    bencher.bench(|| layfigure::torso::fit(&sheet));
}

/// From a solid to layers with dowels and marks.
#[divan::bench(sample_count = 10)]
fn body_stack(bencher: Bencher) {
    let (fit, _) = body();
    let mesh = mesh::build(&fit.torso);
    let workshop = layfigure::workshop::Workshop::default();
    bencher.bench(|| layfigure::stack::build(&mesh, &workshop, "bench"));
}

/// Layers of half the thickness, twice as many: the time should double, no more.
#[divan::bench(sample_count = 10)]
fn body_stack_twice_the_layers(bencher: Bencher) {
    let (fit, _) = body();
    let mesh = mesh::build(&fit.torso);
    let mut workshop = layfigure::workshop::Workshop::default();
    workshop.layer.thickness *= 0.5;
    bencher.bench(|| layfigure::stack::build(&mesh, &workshop, "bench"));
}

/// Padding put back on the layers, and the tape read again.
#[divan::bench(sample_count = 10)]
fn body_as_built(bencher: Bencher) {
    let (fit, _) = body();
    let mesh = mesh::build(&fit.torso);
    let workshop = layfigure::workshop::Workshop::default();
    let (stack, _) = layfigure::stack::build(&mesh, &workshop, "bench").expect("a good stack");
    bencher
        .with_inputs(|| tape::check(&mesh, &fit.targets))
        .bench_refs(|readings| layfigure::asbuilt::read(&stack, &mesh.marks, readings));
}

/// Pieces on boards.
#[divan::bench(sample_count = 10)]
fn body_boards(bencher: Bencher) {
    let (fit, _) = body();
    let mesh = mesh::build(&fit.torso);
    let workshop = layfigure::workshop::Workshop::default();
    let (stack, _) = layfigure::stack::build(&mesh, &workshop, "bench").expect("a good stack");
    let pieces: Vec<_> = stack.pieces().collect();
    let tries = layfigure::layout::nest::DEFAULT_TRIES;
    bencher.bench(|| layfigure::layout::nest::nest(&pieces, &workshop.stock, tries));
}

/// Pieces on pages.
#[divan::bench(sample_count = 10)]
fn body_pages(bencher: Bencher) {
    let (fit, _) = body();
    let mesh = mesh::build(&fit.torso);
    let workshop = layfigure::workshop::Workshop::default();
    let (stack, _) = layfigure::stack::build(&mesh, &workshop, "bench").expect("a good stack");
    bencher.bench(|| layfigure::layout::page::pages(&stack, &workshop, "bench"));
}
