//! What a layout costs.

use std::collections::BTreeMap;

use geometry::{Bounds, Point};

use crate::instance::{Instance, Layout, Piece, Sheet, Stock, StockKind, Trim};

/// Cutting one sheet apart by hand.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Trimming {
    /// Hands-on time, s.
    pub seconds: f64,
    /// What it adds to the sheet's price, minor units.
    pub cost: i64,
}

/// What of a sheet's price is cutting apart by hand; nothing where a machine cuts.
pub fn trimming(instance: &Instance, sheet: &Sheet) -> Trimming {
    let Some(trim) = instance.stock.get(sheet.stock).and_then(|stock| stock.trim.as_ref()) else {
        return Trimming::default();
    };
    Trimming {
        seconds: cutting_apart_s(instance, trim, &sheet.pieces),
        cost: cutting_apart(instance, trim, &sheet.pieces),
    }
}

/// Length charged, and for how many sheets or steps of a roll, for a sheet used
/// up to `used_mm` of its usable length.
pub(crate) fn charged(stock: &Stock, used_mm: f64) -> (f64, i64) {
    match stock.kind {
        StockKind::Sheet { length_mm, .. } => (length_mm, 1),
        StockKind::Roll { step_mm, minimum_mm, .. } => {
            // A millionth of a step more is not a step begun.
            let steps = |mm: f64| (mm / step_mm - 1e-6).ceil().max(0.0);
            let count = steps(used_mm + 2.0 * stock.margin_mm).max(steps(minimum_mm));
            (count * step_mm, count as i64)
        }
    }
}

/// Price of one sheet or one step where so many are bought in all.
pub(crate) fn unit_price(stock: &Stock, units: i64) -> i64 {
    let (StockKind::Sheet { price, .. } | StockKind::Roll { price_per_step: price, .. }) = stock.kind;
    break_at(&stock.by_quantity, units).unwrap_or(price)
}

/// The price of the highest break that a number reaches.
fn break_at(breaks: &[(u32, i64)], units: i64) -> Option<i64> {
    breaks.iter().filter(|(from, _)| i64::from(*from) <= units).max_by_key(|(from, _)| *from).map(|(_, each)| *each)
}

/// Sets every sheet's price anew, after the prices of the instance have changed, and the sum.
pub fn reprice(instance: &Instance, layout: &mut Layout) {
    layout.cost = set_prices(instance, &mut layout.sheets);
    layout.lower_bound = layout.lower_bound.min(layout.cost);
}

/// Sets every sheet's price from what lies on it; returns the sum.
pub(crate) fn set_prices(instance: &Instance, sheets: &mut [Sheet]) -> i64 {
    let twins = twins(sheets);
    let counts: Vec<u32> =
        (0..sheets.len()).map(|at| twins.iter().filter(|t| **t == twins[at]).count() as u32).collect();
    let units: Vec<i64> =
        sheets.iter().map(|sheet| charged(&instance.stock[sheet.stock], sheet.used_length_mm).1).collect();
    let mut in_all = vec![0_i64; instance.stock.len()];
    for (sheet, units) in sheets.iter().zip(&units) {
        in_all[sheet.stock] = in_all[sheet.stock].saturating_add(*units);
    }
    let mut total = 0_i64;
    for (at, sheet) in sheets.iter_mut().enumerate() {
        let stock = &instance.stock[sheet.stock];
        sheet.charged_length_mm = charged(stock, sheet.used_length_mm).0;
        let mut price = unit_price(stock, in_all[sheet.stock]).saturating_mul(units[at]);
        if let Some(each) = break_at(&stock.identical, i64::from(counts[at])) {
            price = if stock.by_quantity.is_empty() { each } else { price.min(each) };
        }
        if twins[at] == at {
            price = price.saturating_add(stock.set_up);
        }
        if let Some(trim) = &stock.trim {
            price = price.saturating_add(cutting_apart(instance, trim, &sheet.pieces));
        }
        sheet.price = price;
        total = total.saturating_add(price);
    }
    total
}

/// For each sheet the first one with the very same layout.
fn twins(sheets: &[Sheet]) -> Vec<usize> {
    let key = |s: &Sheet| {
        let mut lies: Vec<(usize, u64, u64, u64)> =
            s.pieces.iter().map(|p| (p.design, p.x_mm.to_bits(), p.y_mm.to_bits(), p.rotation_deg.to_bits())).collect();
        lies.sort_unstable();
        (s.stock, lies)
    };
    let mut first = BTreeMap::new();
    sheets.iter().enumerate().map(|(at, s)| *first.entry(key(s)).or_insert(at)).collect()
}

/// Cost of cutting the pieces of a sheet apart by hand, minor units rounded up.
///
/// Straight cuts part groups of pieces as far as they go; pieces that no
/// straight cut parts are cut along their outlines.
pub(crate) fn cutting_apart(instance: &Instance, trim: &Trim, pieces: &[Piece]) -> i64 {
    let seconds = cutting_apart_s(instance, trim, pieces);
    (seconds * trim.rate_per_hour as f64 / 3600.0 - 1e-9).ceil().max(0.0) as i64
}

/// Seconds of cutting the pieces of a sheet apart by hand.
fn cutting_apart_s(instance: &Instance, trim: &Trim, pieces: &[Piece]) -> f64 {
    if !trim.by_hand || pieces.is_empty() {
        return 0.0;
    }
    // Copies of a design are as long round; where they lie alone differs.
    let mut lengths: BTreeMap<usize, f64> = BTreeMap::new();
    let boxes: Vec<(Bounds, f64)> = pieces
        .iter()
        .filter_map(|p| {
            let outer = instance.designs[p.design].outline.outer();
            let lies: Vec<Point> = outer.iter().copied().map(p.pose().mapping()).collect();
            Some((Bounds::around(&lies)?, *lengths.entry(p.design).or_insert_with(|| length_round(outer))))
        })
        .collect();
    let (groups, along) = parted(boxes);
    groups.saturating_sub(1) as f64 * trim.per_straight_cut_s + along * trim.per_outline_mm_s
}

/// Length of a closed ring, mm.
pub(crate) fn length_round(ring: &[Point]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| a.distance(*b)).sum()
}

/// Groups left by straight cuts, and the outlines that still have to be followed, mm.
fn parted(boxes: Vec<(Bounds, f64)>) -> (usize, f64) {
    let mut open = vec![boxes];
    let (mut groups, mut along) = (0, 0.0);
    while let Some(group) = open.pop() {
        if group.len() == 1 {
            groups += 1;
            continue;
        }
        let split = split_along(&group, |b| (b.min.x, b.max.x)).or_else(|| split_along(&group, |b| (b.min.y, b.max.y)));
        match split {
            Some(parts) => open.extend(parts),
            None => {
                groups += 1;
                along += group.iter().map(|(_, length)| length).sum::<f64>();
            }
        }
    }
    (groups, along)
}

/// The group in parts between which a straight line passes; `None` when there is none.
fn split_along(group: &[(Bounds, f64)], extent: impl Fn(&Bounds) -> (f64, f64)) -> Option<Vec<Vec<(Bounds, f64)>>> {
    let mut sorted = group.to_vec();
    sorted.sort_by(|a, b| extent(&a.0).0.total_cmp(&extent(&b.0).0));
    let mut parts: Vec<Vec<(Bounds, f64)>> = Vec::new();
    let mut end = f64::NEG_INFINITY;
    for one in sorted {
        let (from, to) = extent(&one.0);
        match parts.last_mut() {
            Some(part) if from < end - 1e-6 => part.push(one),
            _ => parts.push(vec![one]),
        }
        end = end.max(to);
    }
    (parts.len() > 1).then_some(parts)
}
