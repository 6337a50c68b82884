//! The checker: is a layout what was asked for?
//!
//! It shares no code with the search. It measures the true outlines, edge by
//! edge, as they come to lie; it works out counts, lengths and prices anew.

use std::collections::{BTreeMap, BTreeSet};

use geometry::{Outline, Point};
use report::{Code, Finding, Severity, Value};

use crate::codes;
use crate::door::mm;
use crate::instance::{Direction, Instance, Layout, Piece, Rotations, Sheet, Stock, StockKind};

/// Lengths may be short by this, mm.
const TOLERANCE_MM: f64 = 1e-6;

/// What the checker found.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The smallest distance between two pieces of one sheet, mm; `None` with fewer than two near each other.
    pub worst_spacing_mm: Option<f64>,
    /// Every fault; none for a good layout.
    pub faults: Vec<Finding>,
}

impl Verdict {
    /// Whether the layout is good.
    pub fn good(&self) -> bool {
        self.faults.is_empty()
    }
}

/// Checks a layout against its instance, lengths to 10⁻⁶ mm.
pub fn check(instance: &Instance, layout: &Layout) -> Verdict {
    check_within(instance, layout, TOLERANCE_MM)
}

/// As [`check`], lengths to `tolerance_mm`: for layouts written with fewer digits.
pub fn check_within(instance: &Instance, layout: &Layout, tolerance_mm: f64) -> Verdict {
    let mut checker = Checker { instance, tolerance: tolerance_mm, faults: Vec::new(), worst: None };
    if checker.known(layout) {
        for (at, sheet) in layout.sheets.iter().enumerate() {
            checker.sheet(at, sheet);
        }
        checker.counts(layout);
        checker.groups(layout);
        checker.locks(layout);
        checker.money(layout);
    }
    Verdict { worst_spacing_mm: checker.worst, faults: checker.faults }
}

struct Checker<'a> {
    instance: &'a Instance,
    tolerance: f64,
    faults: Vec<Finding>,
    worst: Option<f64>,
}

impl Checker<'_> {
    fn fault(&mut self, code: Code) -> &mut Finding {
        self.faults.push(Finding::new(Severity::StopsLine, code, codes::LAY_OUT_AGAIN));
        let last = self.faults.len() - 1;
        &mut self.faults[last]
    }

    fn fault_at(&mut self, code: Code, sheet: usize, piece: &Piece, more: &[(&'static str, Value)]) {
        let design = self.instance.designs[piece.design].id.clone();
        let finding = Finding::new(Severity::StopsLine, code, codes::LAY_OUT_AGAIN)
            .named("design", design)
            .with("copy", Value::Count(i64::from(piece.copy)))
            .with("sheet", Value::Count(sheet as i64 + 1));
        self.faults.push(more.iter().fold(finding, |f, (name, value)| f.with(name, value.clone())));
    }

    /// Indices exist and numbers are numbers; nothing else is looked at otherwise.
    fn known(&mut self, layout: &Layout) -> bool {
        let pieces = layout.sheets.iter().flat_map(|s| &s.pieces);
        let good = layout.sheets.iter().all(|s| s.stock < self.instance.stock.len())
            && layout.unplaced.iter().all(|(d, _)| *d < self.instance.designs.len())
            && pieces.clone().all(|p| p.design < self.instance.designs.len())
            && pieces.clone().all(|p| [p.x_mm, p.y_mm, p.rotation_deg].iter().all(|v| v.is_finite()));
        if !good {
            self.fault(codes::UNKNOWN);
        }
        good
    }

    fn sheet(&mut self, at: usize, sheet: &Sheet) {
        let instance = self.instance;
        let stock = &instance.stock[sheet.stock];
        let (length, width) = stock.usable();
        let mut lies: Vec<(&Piece, Outline)> = Vec::new();
        for piece in &sheet.pieces {
            self.turned_as_allowed(at, stock, piece);
            match piece.pose().outline(&instance.designs[piece.design].outline) {
                Ok(outline) => lies.push((piece, outline)),
                Err(_) => self.fault_at(codes::UNKNOWN, at, piece, &[]),
            }
        }
        let mut end = 0.0_f64;
        for (piece, outline) in &lies {
            let b = outline.bounds();
            end = end.max(b.max.x);
            let over = (-b.min.x).max(-b.min.y).max(b.max.x - length).max(b.max.y - width);
            if over > self.tolerance {
                self.fault_at(codes::OUTSIDE, at, piece, &[("over", mm(over))]);
            }
            for zone in &stock.forbidden {
                if b.grown(1.0).overlaps(&zone.bounds().grown(1.0)) && self.covers(outline, zone) {
                    self.fault_at(codes::FORBIDDEN, at, piece, &[]);
                }
            }
        }
        if (end - sheet.used_length_mm).abs() > self.tolerance.max(1e-5) {
            self.fault(codes::MISPRICED)
                .quantities
                .extend([report::Named::new("stated", mm(sheet.used_length_mm)), report::Named::new("found", mm(end))]);
        }
        self.pairs(at, &lies);
    }

    /// Every pair of pieces that could be too near each other.
    fn pairs(&mut self, at: usize, lies: &[(&Piece, Outline)]) {
        let near = self.instance.spacing_mm + 1.0;
        let mut order: Vec<usize> = (0..lies.len()).collect();
        let bounds: Vec<_> = lies.iter().map(|(_, o)| o.bounds()).collect();
        order.sort_by(|a, b| bounds[*a].min.x.total_cmp(&bounds[*b].min.x));
        for (k, i) in order.iter().enumerate() {
            for j in order.iter().skip(k + 1) {
                if bounds[*j].min.x > bounds[*i].max.x + near {
                    break;
                }
                if bounds[*i].grown(near).overlaps(&bounds[*j]) {
                    self.pair(at, &lies[*i], &lies[*j]);
                }
            }
        }
    }

    fn pair(&mut self, at: usize, (p, a): &(&Piece, Outline), (q, b): &(&Piece, Outline)) {
        let spacing = self.instance.spacing_mm;
        let away = geometry::distance(a, b);
        self.worst = Some(self.worst.map_or(away, |w| w.min(away)));
        if away >= spacing - self.tolerance && (away > 0.0 || spacing > self.tolerance) {
            return;
        }
        let other = || Value::Text(self.instance.designs[q.design].id.clone());
        if spacing > self.tolerance {
            let more = [("other", other()), ("spacing", mm(away)), ("limit", mm(spacing))];
            self.fault_at(codes::SPACING_SHORT, at, p, &more);
        } else if self.covers(a, b) {
            let more = [("other", other())];
            self.fault_at(codes::OVERLAP, at, p, &more);
        }
    }

    /// Whether two outlines share more than a sliver of the tolerance's width.
    fn covers(&self, a: &Outline, b: &Outline) -> bool {
        if geometry::distance(a, b) > 0.0 {
            return false;
        }
        // Drawn in by the tolerance, shapes that only touch come apart.
        let Ok(thinner) = drawn_in(a, self.tolerance) else { return true };
        geometry::distance(&thinner, b) <= 0.0
    }

    fn turned_as_allowed(&mut self, at: usize, stock: &Stock, piece: &Piece) {
        let design = &self.instance.designs[piece.design];
        let near = |want: f64, step: f64| {
            let off = (piece.rotation_deg - want).rem_euclid(step);
            off.min(step - off) < 1e-9
        };
        let by_design = match &design.rotations {
            Rotations::Any => true,
            Rotations::Quarter => near(0.0, 90.0),
            Rotations::Half => near(0.0, 180.0),
            Rotations::None => near(0.0, 360.0),
            Rotations::List(list) => list.iter().any(|t| near(*t, 360.0)),
        };
        let by_stock = match stock.direction {
            Direction::None => true,
            Direction::Half => near(0.0, 180.0),
            Direction::Fixed => near(0.0, 360.0),
        };
        let locked = self.instance.locked.iter().any(|l| l.sheet == at && l.piece == *piece);
        let turn_good = by_design && by_stock;
        if !turn_good && !locked {
            self.fault_at(codes::TURNED, at, piece, &[("turn", Value::Number(piece.rotation_deg))]);
        }
        if piece.mirrored != design.mirrored {
            self.fault_at(codes::MIRRORED, at, piece, &[]);
        }
    }

    fn counts(&mut self, layout: &Layout) {
        let mut copies: BTreeMap<usize, BTreeSet<u32>> = BTreeMap::new();
        let (mut doubled, mut spare_wrong) = (Vec::new(), Vec::new());
        for (at, piece) in layout.sheets.iter().enumerate().flat_map(|(at, s)| s.pieces.iter().map(move |p| (at, p))) {
            if !copies.entry(piece.design).or_default().insert(piece.copy) {
                doubled.push((at, *piece));
            }
            if piece.spare != (piece.copy >= self.instance.designs[piece.design].quantity) {
                spare_wrong.push((at, *piece));
            }
        }
        for (at, piece) in doubled {
            self.fault_at(codes::DOUBLED, at, &piece, &[]);
        }
        for (at, piece) in spare_wrong {
            self.fault_at(codes::MISCOUNTED, at, &piece, &[]);
        }
        let mut open = BTreeMap::new();
        for (design, count) in &layout.unplaced {
            *open.entry(*design).or_insert(0_u32) += count;
        }
        for (design, wanted) in self.instance.designs.iter().enumerate() {
            let found = copies.get(&design).map_or(0, |c| c.iter().filter(|k| **k < wanted.quantity).count()) as u64;
            let stated =
                u64::from(wanted.quantity) - u64::from((*open.get(&design).unwrap_or(&0)).min(wanted.quantity));
            if found != stated {
                let finding = self.fault(codes::MISCOUNTED);
                finding.quantities.push(report::Named::text("design", &wanted.id));
                finding.quantities.push(report::Named::count("found", found as i64));
                finding.quantities.push(report::Named::count("limit", stated as i64));
            }
        }
        if layout.complete != open.values().all(|n| *n == 0) {
            self.fault(codes::MISCOUNTED);
        }
    }

    fn groups(&mut self, layout: &Layout) {
        let mut homes: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
        let mut holders: BTreeMap<(&str, usize), BTreeSet<usize>> = BTreeMap::new();
        for (at, sheet) in layout.sheets.iter().enumerate() {
            for piece in &sheet.pieces {
                let design = &self.instance.designs[piece.design];
                if let Some(group) = &design.keep_together {
                    homes.entry(group).or_default().insert(at);
                }
                if let Some(group) = &design.keep_apart {
                    holders.entry((group, at)).or_default().insert(piece.design);
                }
            }
        }
        let apart = homes.iter().filter(|(_, sheets)| sheets.len() > 1).map(|(g, _)| (*g).to_owned());
        let together = holders.iter().filter(|(_, designs)| designs.len() > 1).map(|((g, _), _)| (*g).to_owned());
        for group in apart.chain(together).collect::<Vec<_>>() {
            self.fault(codes::GROUPED).quantities.push(report::Named::text("group", group));
        }
    }

    fn locks(&mut self, layout: &Layout) {
        for lock in &self.instance.locked {
            let there = layout.sheets.get(lock.sheet).is_some_and(|s| {
                s.stock == lock.stock
                    && s.pieces.iter().any(|p| {
                        p.design == lock.piece.design
                            && (p.x_mm, p.y_mm, p.rotation_deg)
                                == (lock.piece.x_mm, lock.piece.y_mm, lock.piece.rotation_deg)
                    })
            });
            if !there {
                self.fault_at(codes::UNLOCKED, lock.sheet, &lock.piece, &[]);
            }
        }
    }

    fn money(&mut self, layout: &Layout) {
        let mut used: BTreeMap<usize, u32> = BTreeMap::new();
        for sheet in &layout.sheets {
            *used.entry(sheet.stock).or_insert(0) += 1;
        }
        for (stock, count) in used {
            let item = &self.instance.stock[stock];
            let StockKind::Sheet { count: Some(there), .. } = item.kind else { continue };
            if count > there {
                let finding = self.fault(codes::OVERDRAWN);
                finding.quantities.push(report::Named::text("stock", &item.id));
                finding.quantities.push(report::Named::count("found", i64::from(count)));
                finding.quantities.push(report::Named::count("limit", i64::from(there)));
            }
        }
        let mut sum = 0_i128;
        for (at, sheet) in layout.sheets.iter().enumerate() {
            let price = self.price(layout, at, sheet);
            sum += price;
            if price != i128::from(sheet.price) {
                let finding = self.fault(codes::MISPRICED);
                finding.quantities.push(report::Named::count("stated", sheet.price));
                finding.quantities.push(report::Named::count("found", i64::try_from(price).unwrap_or(i64::MAX)));
            }
        }
        if sum != i128::from(layout.cost) {
            let finding = self.fault(codes::MISPRICED);
            finding.quantities.push(report::Named::count("stated", layout.cost));
            finding.quantities.push(report::Named::count("found", i64::try_from(sum).unwrap_or(i64::MAX)));
        }
    }

    /// The sheet's price, worked out from the instance and the pieces alone.
    fn price(&self, layout: &Layout, at: usize, sheet: &Sheet) -> i128 {
        let stock = &self.instance.stock[sheet.stock];
        let same = |other: &Sheet| other.stock == sheet.stock && same_layout(other, sheet);
        let (twins, first) = if stock.identical.is_empty() && stock.set_up == 0 {
            (1, at)
        } else {
            let all: Vec<usize> = (0..layout.sheets.len()).filter(|k| same(&layout.sheets[*k])).collect();
            (all.len(), all.first().copied().unwrap_or(at))
        };
        let bought = layout.sheets.iter().filter(|other| other.stock == sheet.stock);
        let many: i128 = bought.map(|other| units(stock, other)).sum();
        let mut each = match stock.kind {
            StockKind::Sheet { price, .. } => i128::from(price),
            StockKind::Roll { price_per_step, .. } => i128::from(price_per_step),
        };
        // Breaks rise, so the last one reached is the one that holds.
        for (from, price) in &stock.by_quantity {
            if i128::from(*from) <= many {
                each = i128::from(*price);
            }
        }
        let mut price = each * units(stock, sheet);
        for (from, each) in &stock.identical {
            let better_from = stock.identical.iter().any(|(f, _)| f > from && *f as usize <= twins);
            if *from as usize <= twins && !better_from {
                let of_twins = i128::from(*each);
                price = if stock.by_quantity.is_empty() || of_twins < price { of_twins } else { price };
            }
        }
        if first == at {
            price += i128::from(stock.set_up);
        }
        price + self.trimming(stock, sheet)
    }

    fn trimming(&self, stock: &Stock, sheet: &Sheet) -> i128 {
        let Some(trim) = stock.trim.filter(|t| t.by_hand) else { return 0 };
        let lies: Vec<Outline> = sheet
            .pieces
            .iter()
            .filter_map(|p| p.pose().outline(&self.instance.designs[p.design].outline).ok())
            .collect();
        let (groups, along) = cut_apart(&lies);
        let seconds = (groups as f64 - 1.0).max(0.0) * trim.per_straight_cut_s + along * trim.per_outline_mm_s;
        (seconds * trim.rate_per_hour as f64 / 3600.0 - 1e-9).ceil().max(0.0) as i128
    }
}

/// Every vertex moved inward along the middle of its corner, so that both its
/// edges move by `by` (less at corners sharper than about 30°).
fn drawn_in(outline: &Outline, by: f64) -> Result<Outline, geometry::OutlineError> {
    let inset = |ring: &[Point]| -> Vec<Point> {
        let count = ring.len();
        let unit = |a: Point, b: Point| {
            let long = a.distance(b);
            Point::new((b.x - a.x) / long, (b.y - a.y) / long)
        };
        (0..count)
            .map(|k| {
                let at = ring[k];
                let (u, v) = (unit(ring[(k + count - 1) % count], at), unit(at, ring[(k + 1) % count]));
                // The left side is the inside for outer rings and holes alike.
                let half = (1.0 + u.x * v.x + u.y * v.y).max(0.07);
                Point::new(at.x - by * (u.y + v.y) / half, at.y + by * (u.x + v.x) / half)
            })
            .collect()
    };
    Outline::new(inset(outline.outer()), outline.holes().iter().map(|h| inset(h)).collect())
}

/// Groups that straight cuts leave, and the length of outline left to follow:
/// tries every gap at either end of every piece.
fn cut_apart(lies: &[Outline]) -> (usize, f64) {
    if lies.len() <= 1 {
        return (lies.len(), 0.0);
    }
    let bounds: Vec<_> = lies.iter().map(Outline::bounds).collect();
    for upright in [true, false] {
        let low = |k: usize| if upright { bounds[k].min.x } else { bounds[k].min.y };
        let high = |k: usize| if upright { bounds[k].max.x } else { bounds[k].max.y };
        for k in 0..lies.len() {
            let line = high(k) - 1e-6;
            let before: Vec<usize> = (0..lies.len()).filter(|i| high(*i) <= line + 2e-6).collect();
            let after: Vec<usize> = (0..lies.len()).filter(|i| high(*i) > line + 2e-6).collect();
            let end = before.iter().map(|i| high(*i)).fold(f64::NEG_INFINITY, f64::max);
            if !after.is_empty() && after.iter().all(|i| low(*i) >= end - 1e-6) {
                let part = |of: &[usize]| of.iter().map(|i| lies[*i].clone()).collect::<Vec<_>>();
                let (a, b) = (cut_apart(&part(&before)), cut_apart(&part(&after)));
                return (a.0 + b.0, a.1 + b.1);
            }
        }
    }
    let along = |o: &Outline| {
        let ring: &[Point] = o.outer();
        (0..ring.len()).map(|k| ring[k].distance(ring[(k + 1) % ring.len()])).sum::<f64>()
    };
    (1, lies.iter().map(along).sum())
}

fn same_layout(a: &Sheet, b: &Sheet) -> bool {
    let has = |s: &Sheet, p: &Piece| {
        s.pieces.iter().any(|q| {
            (q.design, q.x_mm.to_bits(), q.y_mm.to_bits(), q.rotation_deg.to_bits())
                == (p.design, p.x_mm.to_bits(), p.y_mm.to_bits(), p.rotation_deg.to_bits())
        })
    };
    a.pieces.len() == b.pieces.len() && a.pieces.iter().all(|p| has(b, p))
}

/// How many sheets or steps of a roll one sheet is charged as.
fn units(stock: &Stock, sheet: &Sheet) -> i128 {
    let StockKind::Roll { step_mm, minimum_mm, .. } = stock.kind else { return 1 };
    let must = (sheet.used_length_mm + 2.0 * stock.margin_mm).max(minimum_mm);
    let whole = (must / step_mm).floor();
    whole as i128 + i128::from(must - whole * step_mm > step_mm * 1e-6)
}
