//! No-fit polygons kept between instances of the same designs: the same line in another
//! quantity needs no other ones.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use geometry::Outline;

use crate::instance::{Instance, Rotations};
use crate::parts::{Detail, Parts};

/// No-fit polygons worked out before, for callers who lay the same designs out again and again.
///
/// Answers never depend on what it holds. It keeps those of [`MOST_KEPT`] sets of up to
/// [`MOST_DESIGNS`] designs, some megabytes at most each.
#[derive(Debug, Default)]
pub struct PairBook(Mutex<BTreeMap<Vec<u64>, Arc<Parts>>>);

/// Larger sets are worked out each time.
const MOST_DESIGNS: usize = 24;
/// Sets kept at most.
const MOST_KEPT: usize = 400;

impl PairBook {
    /// The parts of an instance; worked out where they are not known. No lock is held meanwhile, so that
    /// others may ask; two who ask for the same at once work it out twice.
    pub(crate) fn parts(
        &self,
        instance: &Instance,
        detail: Detail,
        extra: &[Vec<f64>],
        obstacles: &[Outline],
    ) -> Arc<Parts> {
        if instance.designs.len() > MOST_DESIGNS {
            return Arc::new(Parts::new(instance, detail, extra, obstacles));
        }
        let key = key(instance, detail, extra, obstacles);
        if let Some(known) = self.known().get(&key) {
            return Arc::clone(known);
        }
        let parts = Arc::new(Parts::new(instance, detail, extra, obstacles));
        let mut known = self.known();
        if known.len() < MOST_KEPT {
            known.insert(key, Arc::clone(&parts));
        }
        parts
    }

    fn known(&self) -> std::sync::MutexGuard<'_, BTreeMap<Vec<u64>, Arc<Parts>>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Everything that parts follow from, number by number.
fn key(instance: &Instance, detail: Detail, extra: &[Vec<f64>], obstacles: &[Outline]) -> Vec<u64> {
    let mut key = vec![instance.spacing_mm.to_bits(), instance.designs.len() as u64, detail as u64];
    let list = |key: &mut Vec<u64>, turns: &[f64]| {
        key.push(turns.len() as u64);
        key.extend(turns.iter().map(|turn| turn.to_bits()));
    };
    let outline = |key: &mut Vec<u64>, outline: &Outline| {
        for ring in outline.rings() {
            key.push(ring.len() as u64);
            key.extend(ring.iter().flat_map(|p| [p.x.to_bits(), p.y.to_bits()]));
        }
        key.push(0);
    };
    for design in &instance.designs {
        key.push(u64::from(design.mirrored));
        match &design.rotations {
            Rotations::None => key.push(1),
            Rotations::Half => key.push(2),
            Rotations::Quarter => key.push(3),
            Rotations::Any => key.push(4),
            Rotations::List(turns) => {
                key.push(5);
                list(&mut key, turns);
            }
        }
        outline(&mut key, &design.outline);
    }
    extra.iter().for_each(|turns| list(&mut key, turns));
    key.push(obstacles.len() as u64);
    obstacles.iter().for_each(|zone| outline(&mut key, zone));
    key
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instance::{Design, Stock, StockKind};
    use geometry::Point;

    fn instance(side: f64, quantity: u32) -> Instance {
        let ring = vec![Point::new(0.0, 0.0), Point::new(side, 0.0), Point::new(0.0, side)];
        let kind = StockKind::Sheet { width_mm: 100.0, length_mm: 120.0, price: 100, count: None };
        Instance {
            spacing_mm: 2.0,
            designs: vec![Design::new("flag", quantity, Outline::new(ring, Vec::new()).expect("an outline"))],
            stock: vec![Stock::new("sheet", kind)],
            locked: Vec::new(),
        }
    }

    #[test]
    fn another_quantity_needs_no_other_polygons() {
        let book = PairBook::default();
        let parts = |instance: &Instance, turn: f64| book.parts(instance, Detail::Coarse, &[vec![turn]], &[]);
        let first = parts(&instance(30.0, 1), 10.0);
        assert!(Arc::ptr_eq(&first, &parts(&instance(30.0, 40), 10.0)));
        for other in [parts(&instance(31.0, 1), 10.0), parts(&instance(30.0, 1), 11.0)] {
            assert!(!Arc::ptr_eq(&first, &other));
        }
        let mirrored = Instance {
            designs: vec![Design { mirrored: true, ..instance(30.0, 1).designs.remove(0) }],
            ..instance(30.0, 1)
        };
        assert!(!Arc::ptr_eq(&first, &parts(&mirrored, 10.0)));
    }
}
