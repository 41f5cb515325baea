//! Lays the least squares problem of a sheet open to another solver.
//!
//! `cargo run --release --example residuals -- SHEET` prints one line of JSON with `low` and `high`
//! (bounds of every parameter) and `solved` (where our own solver ends). Then it answers every line
//! of parameters on standard input with a line of misfits, both as numbers with spaces between them.
//! `tests/outside/check_fit.py` sets another library's solver to it.

#![allow(
    clippy::disallowed_methods,
    reason = "what is only compared needs no portable last digit"
)]

use std::error::Error;
use std::io::{self, BufRead, Write};

use layfigure::sheet;
use layfigure::torso::ExposedProblem;

fn main() -> Result<(), Box<dyn Error>> {
    let Some(path) = std::env::args().nth(1) else {
        return Err("call it with a measurement sheet".into());
    };
    let sheet = sheet::read(&std::fs::read_to_string(&path)?, &path)?;
    let problem = ExposedProblem::new(&sheet);
    let bounds = problem.bounds();
    let side = |k: usize| -> Vec<Option<f64>> {
        let finite = |b: &[f64; 2]| Some(b[k]).filter(|v| v.is_finite());
        bounds.iter().map(finite).collect()
    };
    let mut out = io::stdout().lock();
    let head = serde_json::json!({ "low": side(0), "high": side(1), "solved": problem.solved() });
    writeln!(out, "{head}")?;
    out.flush()?;
    for line in io::stdin().lock().lines() {
        let parameters = line?
            .split_whitespace()
            .map(str::parse)
            .collect::<Result<Vec<f64>, _>>()?;
        if parameters.len() != bounds.len() {
            return Err(format!("{} parameters are needed", bounds.len()).into());
        }
        let misfits: Vec<String> = problem
            .misfits(&parameters)
            .iter()
            .map(f64::to_string)
            .collect();
        writeln!(out, "{}", misfits.join(" "))?;
        out.flush()?;
    }
    Ok(())
}
