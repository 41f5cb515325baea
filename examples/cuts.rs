//! Cuts a solid at many heights and reads the tape at each, and says how long that took: what
//! `benches/side_by_side.py` times beside other libraries.
//!
//! `cargo run --release --example cuts -- SOLID LAYERS [REPEATS]` reads an STL file and prints JSON:
//! seconds of the fastest repeat, and the girths.

#![allow(
    clippy::disallowed_methods,
    reason = "what is only compared needs no portable last digit"
)]

use std::error::Error;
use std::time::Instant;

use layfigure::mesh::stl;
use layfigure::tape;
use serde_json::json;

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = std::env::args().skip(1);
    let (Some(path), Some(layers)) = (args.next(), args.next()) else {
        return Err("usage: cuts SOLID LAYERS [REPEATS]".into());
    };
    let layers: u32 = layers.parse()?;
    let repeats: usize = args.next().map_or(Ok(1), |n| n.parse())?;
    let mesh = stl::read(&std::fs::read(path)?)?;
    let (low, high) = mesh.bounds().ok_or("an empty solid")?;
    let pitch = (high.z - low.z) / f64::from(layers);
    let heights: Vec<f64> = (0..layers)
        .map(|i| low.z + (f64::from(i) + 0.5) * pitch)
        .collect();
    let mut fastest = f64::INFINITY;
    let mut girths = Vec::new();
    for _ in 0..repeats.max(1) {
        let start = Instant::now();
        let rounds = tape::rounds(&mesh, &heights);
        fastest = fastest.min(start.elapsed().as_secs_f64());
        girths = rounds
            .iter()
            .map(|r| r.as_ref().map(|r| r.together))
            .collect();
    }
    #[allow(clippy::print_stdout, reason = "a program of its own")]
    {
        println!(
            "{}",
            json!({ "seconds": fastest, "triangles": mesh.triangles.len(), "girths": girths })
        );
    }
    Ok(())
}
