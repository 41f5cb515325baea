//! Where the centre of a hole may lie in each layer.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::Layer;
use crate::geom::Point2;
use crate::geom::hull::hull;
use crate::geom::offset::{Region, offset};
use crate::tolerance::ROOM_ACCURACY_MM;

/// The room of one layer, and how far apart two points of it can be.
pub(crate) type DowelRoom = (Vec<Region>, f64);

/// The rooms of all layers for every reach asked for so far.
pub(crate) struct DowelRooms {
    /// Largest piece of each layer, with few corners.
    rough: Vec<Region>,
    /// By reach, in thousandths of a millimetre.
    by_reach: BTreeMap<i64, Vec<DowelRoom>>,
}

impl DowelRooms {
    pub(crate) fn new(layers: &[Layer]) -> Self {
        let rough = layers
            .par_iter()
            .map(|l| Region {
                outer: l.pieces[0].outline.simplified(ROOM_ACCURACY_MM),
                holes: l.pieces[0].openings().cloned().collect(),
            })
            .collect();
        Self {
            rough,
            by_reach: BTreeMap::new(),
        }
    }

    /// The room of each layer for holes whose centres keep at least `reach` mm from every edge (and
    /// no more than [`ROOM_ACCURACY_MM`] times two beyond it).
    pub(crate) fn at(&mut self, reach: f64) -> &[DowelRoom] {
        let rough = &self.rough;
        self.by_reach
            .entry((reach * 1000.0).ceil() as i64)
            .or_insert_with_key(|key| {
                let reach = *key as f64 / 1000.0 + ROOM_ACCURACY_MM;
                rough
                    .par_iter()
                    .map(|piece| {
                        let room = offset(std::slice::from_ref(piece), -reach);
                        let wide = widest(&room);
                        (room, wide)
                    })
                    .collect()
            })
    }
}

/// Greatest distance between two points of the shapes; 0 when there are none.
pub(crate) fn widest(shapes: &[Region]) -> f64 {
    let points: Vec<Point2> = shapes
        .iter()
        .flat_map(|r| r.outer.points.iter().copied())
        .collect();
    let rim = hull(&points).points;
    let mut most = 0.0_f64;
    for (i, a) in rim.iter().enumerate() {
        for b in &rim[i + 1..] {
            most = most.max((a - b).norm());
        }
    }
    most
}
