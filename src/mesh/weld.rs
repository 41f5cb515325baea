//! Joining corners while they are read: files of other programs write the same corner again for every
//! triangle, so only one of each is ever kept.

use std::hash::{BuildHasher, BuildHasherDefault, DefaultHasher};

use hashbrown::HashTable;

use super::Mesh;
use crate::error::Error;
use crate::geom::Point3;

/// Corners, each place once, in the order in which they were first met.
#[derive(Default)]
pub(super) struct Corners {
    places: Vec<Point3>,
    /// Numbers of `places`, found by their coordinates. Its order is in nothing that comes out.
    known: HashTable<u32>,
}

/// The bits of a place. Adding zero makes the two zeros one.
fn bits(p: Point3) -> [u64; 3] {
    [p.x, p.y, p.z].map(|v| (v + 0.0).to_bits())
}

fn hash(p: Point3) -> u64 {
    BuildHasherDefault::<DefaultHasher>::default().hash_one(bits(p))
}

impl Corners {
    /// The number of the corner at this very place; the first one there is kept.
    ///
    /// # Errors
    /// [`Error::Format`] when there is no memory left.
    pub(super) fn number(&mut self, p: Point3) -> Result<u32, Error> {
        let (key, hashed) = (bits(p), hash(p));
        let places = &self.places;
        if let Some(n) = self
            .known
            .find(hashed, |n| bits(places[*n as usize]) == key)
        {
            return Ok(*n);
        }
        let n = self.places.len() as u32;
        push(&mut self.places, p)?;
        let again = |n: &u32| hash(self.places[*n as usize]);
        self.known
            .try_reserve(1, again)
            .map_err(|_| Error::no_memory())?;
        self.known.insert_unique(hashed, n, again);
        Ok(n)
    }

    /// Where a corner is.
    pub(super) fn place(&self, number: u32) -> Point3 {
        self.places[number as usize]
    }

    /// These triangles, without those that shrink to a line and without corners that no triangle
    /// uses; corners numbered in the order in which triangles first name them.
    ///
    /// # Errors
    /// [`Error::Format`] when there is no memory left.
    pub(super) fn joined(self, mut triangles: Vec<[u32; 3]>) -> Result<Mesh, Error> {
        let places = self.places;
        drop(self.known);
        triangles.retain(|t| t[0] != t[1] && t[1] != t[2] && t[2] != t[0]);
        let mut number: Vec<u32> = room(places.len())?;
        number.resize(places.len(), u32::MAX);
        let mut vertices = room(places.len())?;
        for v in triangles.iter_mut().flatten() {
            let slot = &mut number[*v as usize];
            if *slot == u32::MAX {
                *slot = vertices.len() as u32;
                vertices.push(places[*v as usize]);
            }
            *v = *slot;
        }
        Ok(Mesh {
            vertices,
            triangles,
            ..Mesh::default()
        })
    }
}

/// A list with room for this many.
///
/// # Errors
/// [`Error::Format`] when there is no memory for them.
pub(super) fn room<T>(many: usize) -> Result<Vec<T>, Error> {
    let mut list = Vec::new();
    list.try_reserve_exact(many)
        .map_err(|_| Error::no_memory())?;
    Ok(list)
}

/// One more in the list.
///
/// # Errors
/// [`Error::Format`] when there is no memory left.
pub(super) fn push<T>(list: &mut Vec<T>, one: T) -> Result<(), Error> {
    list.try_reserve(1).map_err(|_| Error::no_memory())?;
    list.push(one);
    Ok(())
}
