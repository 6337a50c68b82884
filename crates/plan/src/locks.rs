//! Pieces that a person laid on a sheet: they stay, and the rest is packed round
//! them. One that cannot stay is laid out like the others, and a finding says why.

use crate::result::{PoolDesign, PoolStock};
use crate::{Locked, Order, codes};
use nest::{Instance, Layout, LockedPiece, Piece, Sheet, StockKind};
use report::{Code, Finding, Severity, Subject, Value};
use std::collections::BTreeMap;
use trade::Shop;

/// A locked piece with the order it belongs to.
#[derive(Debug, Clone)]
pub(crate) struct Lock<'a> {
    pub order: usize,
    pub locked: &'a Locked,
    /// Its art's name, as far as its print is known.
    art: String,
    /// Its transfer's name, as far as the shop knows it.
    transfer: String,
    subject: Subject,
}

/// All locked pieces of the orders.
pub(crate) fn of<'a>(shop: &Shop, orders: &'a [Order]) -> Vec<Lock<'a>> {
    let all = orders.iter().enumerate().flat_map(|(at, order)| order.locked().map(move |locked| (at, order, locked)));
    all.map(|(at, order, locked)| {
        let line = order.lines.get(locked.line);
        let print = line.and_then(|line| line.prints.get(locked.print));
        let subject = Subject { order: Some(at), line: line.map(|_| locked.line), print: print.map(|_| locked.print) };
        let nameless = || format!("{}.{}", locked.line + 1, locked.print + 1);
        let transfer = shop.find_transfer(&locked.transfer).map(|id| shop.transfer(id).name.clone());
        let transfer = transfer.unwrap_or_else(|| locked.transfer.clone());
        Lock { order: at, locked, transfer, art: print.map_or_else(nameless, |print| print.art.clone()), subject }
    })
    .collect()
}

impl Lock<'_> {
    fn lost(&self, code: Code) -> Finding {
        Finding::new(Severity::Warning, code, codes::LOCK_REMEDY)
            .named("art", self.art.clone())
            .named("transfer", self.transfer.clone())
            .with("sheet", count(self.locked.sheet + 1))
            .about(self.subject)
    }

    /// Its print is not made that way any more.
    pub fn gone(&self) -> Finding {
        self.lost(codes::LOCK_GONE)
    }

    /// Nothing can be laid out with it in its place.
    pub fn nothing_round(&self) -> Finding {
        self.lost(codes::LOCK_NOTHING)
    }
}

fn count(many: usize) -> Value {
    Value::Count(i64::try_from(many).unwrap_or(i64::MAX))
}

/// A sheet that holds locked pieces.
struct Held {
    /// Order and the number it has there.
    name: (usize, usize),
    stock: usize,
    pieces: Vec<Piece>,
}

/// The locked pieces of a pool as the packing engine takes them, each judged by
/// the engine's checker with those before it; `instance` has none yet.
///
/// Their sheets come first in the layout, in the order of their numbers.
pub(crate) fn laid(
    shop: &Shop,
    instance: &Instance,
    stock: &[PoolStock],
    designs: &[PoolDesign],
    locks: &[Lock<'_>],
    findings: &mut Vec<Finding>,
) -> Vec<LockedPiece> {
    let mut held: Vec<Held> = Vec::new();
    let mut taken: BTreeMap<(usize, usize), u32> = BTreeMap::new();
    let mut locks: Vec<&Lock<'_>> = locks.iter().collect();
    locks.sort_by_key(|lock| (lock.order, lock.locked.sheet));
    for lock in locks {
        match stays(shop, instance, stock, designs, lock, &mut held, &mut taken) {
            Ok(()) => {}
            Err(finding) => findings.push(*finding),
        }
    }
    let numbered = held.iter().enumerate();
    numbered
        .flat_map(|(sheet, held)| {
            held.pieces.iter().map(move |piece| LockedPiece { sheet, stock: held.stock, piece: *piece })
        })
        .collect()
}

fn stays(
    shop: &Shop,
    instance: &Instance,
    stock: &[PoolStock],
    designs: &[PoolDesign],
    lock: &Lock<'_>,
    held: &mut Vec<Held>,
    taken: &mut BTreeMap<(usize, usize), u32>,
) -> Result<(), Box<Finding>> {
    let (design, nth_use, first, copies) = design_of(designs, lock).ok_or_else(|| Box::new(lock.gone()))?;
    let no_film = || Box::new(lock.lost(codes::LOCK_FILM).named("stock", lock.locked.stock.clone()));
    let on = stock_of(shop, instance, stock, lock.locked).ok_or_else(no_film)?;
    let before = taken.get(&(design, nth_use)).copied().unwrap_or(0);
    if before >= copies {
        return Err(Box::new(lock.lost(codes::LOCK_MORE).with("count", Value::Count(i64::from(copies)))));
    }
    let piece = Piece {
        design,
        copy: first.saturating_add(before),
        x_mm: lock.locked.at.0.mm(),
        y_mm: lock.locked.at.1.mm(),
        rotation_deg: lock.locked.turn_deg,
        mirrored: instance.designs.get(design).is_some_and(|design| design.mirrored),
        spare: false,
    };
    let name = (lock.order, lock.locked.sheet);
    let sheet = held.iter().position(|sheet| sheet.name == name);
    let known: &[Piece] = match sheet.and_then(|at| held.get(at)) {
        Some(sheet) if sheet.stock != on => return Err(no_film()),
        Some(sheet) => &sheet.pieces,
        None => {
            let used = held.iter().filter(|sheet| sheet.stock == on).count();
            let kind = instance.stock.get(on).map(|stock| stock.kind);
            if matches!(kind, Some(StockKind::Sheet { count: Some(there), .. }) if used >= there as usize) {
                return Err(no_film());
            }
            &[]
        }
    };
    let pieces: Vec<Piece> = known.iter().copied().chain([piece]).collect();
    if let Some(fault) = lying_fault(instance, on, &pieces) {
        return Err(Box::new(told(lock, &fault)));
    }
    match sheet.and_then(|at| held.get_mut(at)) {
        Some(sheet) => sheet.pieces.push(piece),
        None => held.push(Held { name, stock: on, pieces }),
    }
    taken.insert((design, nth_use), before + 1);
    Ok(())
}

/// The design a lock is a copy of, which of its uses that is, the first copy of that use and how many it has.
fn design_of(designs: &[PoolDesign], lock: &Lock<'_>) -> Option<(usize, usize, u32, u32)> {
    let wanted = (lock.order, lock.locked.line, lock.locked.print);
    designs.iter().enumerate().filter(|(_, design)| design.film == lock.locked.film).find_map(|(at, design)| {
        let mut first = 0_u32;
        for (nth, one) in design.uses().enumerate() {
            if (one.order, one.line, one.print) == wanted {
                return Some((at, nth, first, one.copies));
            }
            first = first.saturating_add(one.copies);
        }
        None
    })
}

fn stock_of(shop: &Shop, instance: &Instance, stock: &[PoolStock], locked: &Locked) -> Option<usize> {
    stock.iter().zip(&instance.stock).position(|(known, entry)| {
        let same = match (locked.remnant, entry.kind) {
            (None, _) => !known.on_hand,
            (Some((width, length)), StockKind::Sheet { width_mm, length_mm, .. }) => {
                // Lengths in files are rounded; film is not cut to hundredths.
                known.on_hand && (width.mm() - width_mm).abs() < 0.01 && (length.mm() - length_mm).abs() < 0.01
            }
            _ => false,
        };
        same && shop.stock_item(known.item).id == locked.stock
    })
}

/// What the packing engine's checker finds of pieces alone on a sheet of the stock
/// entry: too near one another, beyond the film, turned as is not allowed.
///
/// Turns are judged as those of any other piece where `instance` has nothing locked.
pub fn lying_fault(instance: &Instance, stock: usize, pieces: &[Piece]) -> Option<Finding> {
    use nest::codes::{FORBIDDEN, MIRRORED, OUTSIDE, OVERLAP, SPACING_SHORT, TURNED, UNKNOWN};
    let sheet = Sheet { stock, used_length_mm: 0.0, charged_length_mm: 0.0, price: 0, pieces: pieces.to_vec() };
    let alone = Layout { sheets: vec![sheet], ..Layout::default() };
    // Counts and prices are not yet what they will be.
    let of_place = [FORBIDDEN, MIRRORED, OUTSIDE, OVERLAP, SPACING_SHORT, TURNED, UNKNOWN];
    nest::check(instance, &alone).faults.into_iter().find(|fault| of_place.contains(&fault.code))
}

/// A fault of the layout as a fault of the lock, with its figures.
fn told(lock: &Lock<'_>, fault: &Finding) -> Finding {
    use nest::codes::{OUTSIDE, OVERLAP, SPACING_SHORT, TURNED};
    let mut finding = lock.lost(match fault.code {
        OUTSIDE => codes::LOCK_OUTSIDE,
        SPACING_SHORT | OVERLAP => codes::LOCK_NEAR,
        TURNED => codes::LOCK_TURNED,
        _ => codes::LOCK_NOTHING,
    });
    let nothing = Value::Length(units::Length::ZERO);
    if fault.code == OVERLAP {
        finding = finding.with("spacing", nothing.clone()).with("limit", nothing);
    }
    let figures = fault.quantities.iter().filter(|named| ["over", "spacing", "limit", "turn"].contains(&named.name));
    figures.fold(finding, |finding, named| finding.with(named.name, named.value.clone()))
}
