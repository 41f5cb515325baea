//! Bodies beside each other, and beside sizes.

use layfigure::Error;
use layfigure::compare;
use layfigure::compare::{Body, Ease, Matched, Standing};
use layfigure::profile;
use layfigure::profile::Profile;
use layfigure::say::compare as report;
use layfigure::say::compare::Pair;
use layfigure::say::{json, size_numbers};
use layfigure::sheet;
use layfigure::units::Unit;
use serde_json::{Value, json};

use crate::body;
use crate::reply::EngineReply;
use crate::request::{BodyOf, Which};

/// The two bodies that were compared last.
#[derive(Default)]
pub(crate) struct Compared {
    pair: Option<Pair>,
}

impl Compared {
    /// The systems of sizes.
    pub(crate) fn systems(&self) -> EngineReply {
        told(|| size_numbers::systems(&profile::built_in()?))
    }

    /// One system with its sizes.
    pub(crate) fn system(&self, name: &str) -> EngineReply {
        told(|| {
            let all = profile::built_in()?;
            size_numbers::system(found(&all, name)?)
        })
    }

    /// A size as a sheet.
    pub(crate) fn size(&self, name: &str, unit: Option<Unit>) -> EngineReply {
        told(|| {
            let size = profile::size(&profile::built_in()?, name)?;
            Ok(json!({
                "text": size.sheet(unit.unwrap_or(size.unit)),
                "size": size_numbers::size(&size)?,
            }))
        })
    }

    /// The sizes of some systems that come nearest to a body.
    pub(crate) fn nearest(&self, of: &BodyOf, systems: &[String]) -> EngineReply {
        told(|| {
            let all = profile::built_in()?;
            let systems: Vec<&Profile> = systems
                .iter()
                .map(|name| found(&all, name))
                .collect::<Result<_, Error>>()?;
            let body = body_of(of)?;
            let nearest: Vec<compare::Nearest> =
                systems.iter().map(|p| compare::nearest(&body, p)).collect();
            let named = |n: &compare::Nearer| systems.iter().any(|p| p.system == n.system);
            let nearer: Vec<Vec<compare::Nearer>> = systems
                .iter()
                .map(|p| compare::nearer(&body, p, &all))
                .map(|all| all.into_iter().filter(|n| !named(n)).collect())
                .collect();
            report::sizes_json(&body, &nearest, &nearer)
        })
    }

    /// Two bodies beside each other; the waists level.
    pub(crate) fn compare(&mut self, a: &BodyOf, b: &BodyOf, unit: Option<Unit>) -> EngineReply {
        let made = || -> Result<(Pair, Value), Error> {
            let (a, b) = (body_of(a)?, body_of(b)?);
            let unit = unit.unwrap_or(a.unit);
            let pair = Pair::new(a, b, Ease::default(), unit, Standing::Waist);
            let mut all = report::bodies_json(&pair)?;
            let findings = pair.a.findings.iter().chain(&pair.b.findings);
            all["findings"] = json::findings(&findings.cloned().collect::<Vec<_>>());
            all["told"] = report::bodies(&pair, false).into();
            Ok((pair, all))
        };
        match made() {
            Err(e) => e.into(),
            Ok((pair, all)) => {
                self.pair = Some(pair);
                EngineReply::of(all)
            }
        }
    }

    /// One of the two as triangles, with how far it stands outside the other (mm) at each corner.
    pub(crate) fn solid(&self, which: Which) -> EngineReply {
        let Some(pair) = &self.pair else {
            return none();
        };
        let (this, other) = match which {
            Which::A => (&pair.a, &pair.b),
            Which::B => (&pair.b, &pair.a),
        };
        let (Some(mesh), Some(other)) = (&this.solid, &other.solid) else {
            return EngineReply::misasked(
                "one of the two is a size of too few measurements for a solid",
            );
        };
        let outside = Matched::new(other, mesh).map(|m| m.outside(&mesh.vertices));
        let values = outside.map_or_else(
            || vec![f64::NAN; mesh.vertices.len()],
            |all| all.into_iter().map(|v| v.unwrap_or(f64::NAN)).collect(),
        );
        body::triangles(mesh, values)
    }

    /// The comparison as a page of HTML, in the bytes.
    pub(crate) fn page(&self) -> EngineReply {
        let Some(pair) = &self.pair else {
            return none();
        };
        match report::page(pair) {
            Ok(page) => EngineReply::with(json!({}), page.into_bytes()),
            Err(e) => e.into(),
        }
    }
}

fn none() -> EngineReply {
    EngineReply::misasked("nothing was compared yet")
}

/// An answer of these fields.
fn told(fields: impl FnOnce() -> Result<Value, Error>) -> EngineReply {
    fields().map_or_else(EngineReply::from, EngineReply::of)
}

fn found<'a>(all: &'a [Profile], system: &str) -> Result<&'a Profile, Error> {
    profile::find(all, system).ok_or_else(|| profile::unknown(all, system))
}

fn body_of(of: &BodyOf) -> Result<Body, Error> {
    match of {
        BodyOf::Sheet(file) => Body::of_sheet(&sheet::read(&file.text, &file.file)?),
        BodyOf::Size(name) => Body::of_size(&profile::size(&profile::built_in()?, name)?),
    }
}
