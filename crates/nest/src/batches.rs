//! Very many different designs are laid out some at a time.
//!
//! Every pair of designs has a no-fit polygon for every turn, so time and memory grow with the
//! square of their number. Past [`TOGETHER`] designs they are divided; each batch gets sheets and
//! lengths of its own, so that a sheet at the end of each may stay part empty.

use std::collections::BTreeMap;

use crate::instance::{Design, Instance, Layout, LockedPiece, StockKind};

/// Different designs laid out together: about 150 MB of no-fit polygons in quarter turns.
const TOGETHER: usize = 100;

/// Which designs are laid out together: one batch, unless there are very many.
///
/// Groups that must share a sheet stay together, and so do all designs with a locked piece.
pub(crate) fn of(instance: &Instance) -> Vec<Vec<usize>> {
    let count = instance.designs.len();
    if count <= TOGETHER {
        return vec![(0..count).collect()];
    }
    let most = count.div_ceil(count.div_ceil(TOGETHER));
    let mut batches: Vec<Vec<usize>> = vec![Vec::new()];
    let mut homes: BTreeMap<&str, usize> = BTreeMap::new();
    let locked = |design: usize| instance.locked.iter().any(|lock| lock.piece.design == design);
    // Locked ones come first, so that they all lie in the first batch.
    let order = (0..count).filter(|d| locked(*d)).chain((0..count).filter(|d| !locked(*d)));
    for design in order {
        let group = instance.designs[design].keep_together.as_deref();
        let home = group.and_then(|group| homes.get(group).copied());
        let at = home.unwrap_or_else(|| {
            let last = batches.len() - 1;
            if batches[last].len() < most || locked(design) { last } else { batches.len() }
        });
        if at == batches.len() {
            batches.push(Vec::new());
        }
        batches[at].push(design);
        if let Some(group) = group {
            homes.entry(group).or_insert(at);
        }
    }
    batches
}

/// A batch as an instance of its own. Sheets of which there are only so many are those of `counts`,
/// by stock item; locks belong to the first batch.
pub(crate) fn instance_of(whole: &Instance, batch: &[usize], first: bool, counts: &[Option<u32>]) -> Instance {
    let own: BTreeMap<usize, usize> = batch.iter().enumerate().map(|(own, design)| (*design, own)).collect();
    let designs: Vec<Design> = batch.iter().map(|design| whole.designs[*design].clone()).collect();
    let mut stock = whole.stock.clone();
    for (item, left) in stock.iter_mut().zip(counts) {
        if let StockKind::Sheet { count, .. } = &mut item.kind {
            *count = *left;
        }
    }
    let lock = |lock: &LockedPiece| {
        let mut lock = *lock;
        lock.piece.design = *own.get(&lock.piece.design)?;
        Some(lock)
    };
    let locked = if first { whole.locked.iter().filter_map(lock).collect() } else { Vec::new() };
    Instance { spacing_mm: whole.spacing_mm, designs, stock, locked }
}

/// How many sheets of each stock item there are, where there are only so many.
pub(crate) fn counts(instance: &Instance) -> Vec<Option<u32>> {
    let count = |kind: &StockKind| match kind {
        StockKind::Sheet { count, .. } => *count,
        StockKind::Roll { .. } => None,
    };
    instance.stock.iter().map(|stock| count(&stock.kind)).collect()
}

/// How many sheets of each stock item a layout takes.
pub(crate) fn taken(instance: &Instance, layout: &Layout) -> Vec<u32> {
    let mut taken = vec![0; instance.stock.len()];
    for sheet in &layout.sheets {
        taken[sheet.stock] += 1;
    }
    taken
}

/// Adds a batch's layout to that of the whole.
pub(crate) fn join(whole: &mut Layout, batch: &[usize], part: Layout) {
    whole.cost += part.cost;
    whole.complete &= part.complete;
    whole.unplaced.extend(part.unplaced.into_iter().map(|(own, count)| (batch[own], count)));
    whole.sheets.extend(part.sheets.into_iter().map(|mut sheet| {
        for piece in &mut sheet.pieces {
            piece.design = batch[piece.design];
        }
        sheet
    }));
}
