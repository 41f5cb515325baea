//! The tape on a solid of any making: what is wrong with the solid, which heights to read, and what
//! the tape reads there.

use rayon::prelude::*;

use crate::error::{Error, Finding, Severity};
use crate::form::Checked;
use crate::form::facts::{Edge, SolidFact};
use crate::measure::Level;
use crate::mesh::{Crossings, Mesh};
use crate::sheet::Origin;
use crate::tape;
use crate::tape::GirthRound;
use crate::tolerance::FINISHED_BROAD_TOLERANCE_MM;
use crate::units::Unit;

/// A solid less tall or taller than this was probably read in the wrong unit, mm. Our choice: no
/// torso of anybody is shorter, even at half scale; nobody is taller.
const USUAL_HEIGHT: [f64; 2] = [100.0, 2500.0];
/// At most this many heights are read.
pub const MOST_HEIGHTS: usize = 10_000;
/// At most this many triangles are cut, counted again at every height. Our choice: a minute of work; the
/// finest solid that is read can be cut at twenty heights where every triangle reaches through all.
const MOST_CUT: usize = 200_000_000;
/// Memory that looking for faults and crossings and cutting take for every triangle, bytes: measured,
/// rounded up.
const WORK_BYTES: usize = 48;

/// A solid that a tape can go round, and what there is to say of it.
#[derive(Clone, Debug)]
pub struct Solid {
    /// The triangles: closed, normals outward.
    pub mesh: Mesh,
    /// Where it passes through itself.
    pub crossings: Crossings,
    /// Warnings and notes.
    pub findings: Vec<Finding>,
}

/// A height at which to read the tape, and what is expected there.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TapeHeight {
    /// In the solid's own coordinates, mm.
    pub height: f64,
    /// The level that the sheet has there.
    pub level: Option<Level>,
    /// The sheet's girth there, in the size of the solid, mm, and whether somebody measured it.
    pub asked: Option<(f64, Origin)>,
}

/// What the lowest point of a solid is on the body of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Foot {
    /// The lower end of the form, as in the solids of `build`.
    Hem,
    /// The floor that the body stands on.
    Floor,
}

/// One height and what the tape reads there.
#[derive(Clone, Debug, PartialEq)]
pub struct AtHeight {
    /// Where.
    pub place: TapeHeight,
    /// The reading, where the solid is met and is plain there.
    pub round: Option<GirthRound>,
    /// Why there is no reading, where there is none.
    pub reason: Option<&'static str>,
}

/// Looks whether triangles are a solid that a tape can go round. Heights in messages are in `unit`.
///
/// # Errors
/// [`Error::Format`] when they enclose nothing: there are none, or the surface has holes or parts
/// that do not fit together. Every reason is given.
pub fn solid(mut mesh: Mesh, unit: Unit) -> Result<Solid, Error> {
    if mesh.triangles.is_empty() {
        return Err(Error::format(SolidFact::Empty));
    }
    // What follows cannot end with a sentence when memory ends, so room for it is asked for at once.
    Vec::<u8>::new()
        .try_reserve_exact(mesh.triangles.len() * WORK_BYTES)
        .map_err(|_| Error::no_memory())?;
    let faults = mesh.faults();
    let edges: Vec<_> = [
        (Edge::Open, faults.open),
        (Edge::Crowded, faults.crowded),
        (Edge::Turned, faults.turned),
    ]
    .into_iter()
    .filter(|(_, spread)| spread.count > 0)
    .collect();
    if !edges.is_empty() {
        return Err(Error::format(SolidFact::NotClosed { edges, unit }));
    }
    let mut findings = Vec::new();
    if mesh.volume() < 0.0 {
        mesh.turn_inside_out();
        findings.push(Finding::of(Severity::Note, SolidFact::InsideOut));
    }
    let height = mesh.bounds().map_or(0.0, |(low, high)| high.z - low.z);
    if !(USUAL_HEIGHT[0]..=USUAL_HEIGHT[1]).contains(&height) {
        let fact = SolidFact::NoBodysHeight { height, unit };
        findings.push(Finding::of(Severity::Warning, fact));
    }
    let crossings = mesh.crossings();
    if crossings.pairs.count > 0 {
        let pairs = crossings.pairs;
        findings.push(Finding::of(
            Severity::Warning,
            SolidFact::Crosses { pairs, unit },
        ));
    }
    if !crossings.complete {
        let unsearched = crossings.unsearched;
        findings.push(Finding::of(
            Severity::Warning,
            SolidFact::Tangled { unsearched, unit },
        ));
    }
    Ok(Solid {
        mesh,
        crossings,
        findings,
    })
}

/// Heights at every whole `step` (mm) within the solid, from the lowest up.
///
/// # Errors
/// [`Error::Request`] when they would be more than [`MOST_HEIGHTS`].
pub fn every(mesh: &Mesh, step: f64) -> Result<Vec<TapeHeight>, Error> {
    let Some((low, high)) = mesh.bounds() else {
        return Ok(Vec::new());
    };
    let (first, last) = ((low.z / step).ceil(), (high.z / step).floor());
    if last - first >= MOST_HEIGHTS as f64 {
        return Err(Error::request(SolidFact::StepTooSmall {
            most: MOST_HEIGHTS,
        }));
    }
    let count = (last - first + 1.0).max(0.0) as usize;
    Ok((0..count)
        .map(|i| TapeHeight {
            height: (first + i as f64) * step,
            ..TapeHeight::default()
        })
        .collect())
}

/// The levels of a sheet at which a tape goes round, from the lowest up, on a solid whose lowest
/// point is `foot` and which is `scale` times as large as the body.
///
/// # Errors
/// [`Error::Request`] when the solid stands on a floor whose height the sheet does not tell.
pub fn of_sheet(
    checked: &Checked,
    mesh: &Mesh,
    foot: Foot,
    scale: f64,
) -> Result<Vec<TapeHeight>, Error> {
    let marks = &checked.mesh.marks;
    let zero = match foot {
        Foot::Hem => marks.levels.get(&Level::Hem).copied(),
        Foot::Floor => marks.floor.map(|f| f.0),
    };
    let zero = zero.ok_or_else(|| Error::request(SolidFact::NoFloor))?;
    let low = mesh.bounds().map_or(0.0, |b| b.0.z);
    let mut places: Vec<TapeHeight> = Level::ALL
        .into_iter()
        .filter_map(|level| {
            let girth = level.girth()?;
            let z = marks.levels.get(&level)?;
            let asked = checked
                .readings
                .iter()
                .map(|r| &r.target)
                .find(|t| t.measure == girth)
                .map(|t| (t.value * scale, t.origin));
            Some(TapeHeight {
                height: low + (z - zero) * scale,
                level: Some(level),
                asked,
            })
        })
        .collect();
    places.sort_by(|a, b| a.height.total_cmp(&b.height));
    Ok(places)
}

/// Reads the tape at every place.
///
/// # Errors
/// [`Error::Request`] when there are more than [`MOST_HEIGHTS`] places, or so many triangles to cut at
/// them that it would take minutes.
pub fn read(solid: &Solid, places: &[TapeHeight]) -> Result<Vec<AtHeight>, Error> {
    let heights: Vec<f64> = places.iter().map(|p| p.height).collect();
    if heights.len() > MOST_HEIGHTS {
        return Err(Error::request(SolidFact::TooManyHeights {
            heights: heights.len(),
            most: MOST_HEIGHTS,
        }));
    }
    let cut = cut(&solid.mesh, &heights);
    if cut > MOST_CUT {
        return Err(Error::request(SolidFact::TooMuchToCut {
            heights: heights.len(),
            triangles: cut,
        }));
    }
    let rows = places
        .iter()
        .zip(tape::rounds(&solid.mesh, &heights))
        .map(|(place, round)| {
            let reason = match &round {
                None => Some("the solid is not met at this height"),
                Some(_) if solid.crossings.at(place.height) => {
                    Some("the solid passes through itself at this height")
                }
                Some(r) if r.scattered => {
                    Some("the solid falls into more than a thousand parts at this height")
                }
                Some(r) if r.overlap => Some("one body lies inside another at this height"),
                Some(_) => None,
            };
            AtHeight {
                place: *place,
                round: round.filter(|_| reason.is_none()),
                reason,
            }
        })
        .collect();
    Ok(rows)
}

/// How many triangles are cut at these heights, counted again at each; no more than that many if it
/// would be few in any case.
fn cut(mesh: &Mesh, heights: &[f64]) -> usize {
    let most = mesh.triangles.len() * heights.len();
    if most <= MOST_CUT {
        return most;
    }
    let mut rising = heights.to_vec();
    rising.sort_by(f64::total_cmp);
    let at = |t: &[u32; 3]| {
        let z = t.map(|v| mesh.vertices[v as usize].z);
        let (low, high) = (z[0].min(z[1]).min(z[2]), z[0].max(z[1]).max(z[2]));
        rising.partition_point(|h| *h <= high) - rising.partition_point(|h| *h < low)
    };
    mesh.triangles.par_iter().map(at).sum()
}

/// A girth that is off by more than this is not a girth of the same body, mm: twice what a finished form
/// may be off.
const ANOTHER_BODY: f64 = 2.0 * FINISHED_BROAD_TOLERANCE_MM;

/// What to say when most of the girths that somebody measured differ from the solid's.
#[must_use]
pub fn of_somebody_else(rows: &[AtHeight]) -> Option<Finding> {
    let off = rows.iter().filter_map(|r| match (&r.round, r.place.asked) {
        (Some(round), Some((asked, Origin::Given))) => Some((round.girth - asked).abs()),
        _ => None,
    });
    let (far, near): (Vec<f64>, Vec<f64>) = off.partition(|mm| *mm > ANOTHER_BODY);
    (far.len() > near.len()).then(|| {
        let fact = SolidFact::OfSomebodyElse {
            off: far.len(),
            girths: far.len() + near.len(),
        };
        Finding::of(Severity::Warning, fact)
    })
}

impl AtHeight {
    /// How far the girth is from the sheet's, mm, where both are known.
    #[must_use]
    pub fn difference(&self) -> Option<f64> {
        Some(self.round.as_ref()?.girth - self.place.asked?.0)
    }
}
