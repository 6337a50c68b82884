//! No layout can cost less than this.
//!
//! A piece grown by half the spacing takes its area alone; all grown pieces of a
//! sheet lie within the usable area grown by as much on every side. What the
//! cheapest set of stock with that much area costs is a bound.
//!
//! Film cut apart by hand costs more than that. Of n pieces on a sheet each is parted
//! from the others by a straight cut or followed along its outline, whichever is less;
//! only one cut is saved, as n groups need n − 1. So each piece costs the less of the
//! two, each sheet gives one cut back, and the cheapest set of stock is sought at
//! prices that are lower by that cut.

use geometry::{Outline, Region};

use crate::instance::{Instance, Stock, StockKind};
use crate::parts::{convex_hull, laid_outline};
use crate::price::length_round;

/// Area of a design grown by half the spacing, mm²; holes count as free. Cost is shared by it.
pub fn grown_area(design: &crate::Design, spacing_mm: f64) -> f64 {
    let mut whole = Region { outlines: vec![design.outline.clone()] };
    if design.outline.outer().len() > MOST_MEASURED {
        let bounds = design.outline.bounds();
        whole = geometry::simplify_outward(&whole, 1e-3 * bounds.width().max(bounds.height()));
    }
    // The grown corners are drawn outside the arc by under 0.13 %; the area formula below is not.
    if spacing_mm > 0.0 { geometry::grow(&whole, spacing_mm / 2.0).area() } else { whole.area() }
}

/// Outlines of more points are not grown point by point.
const MOST_MEASURED: usize = 3000;

/// A bound on the cost of every layout that places all pieces.
pub(crate) fn lower_bound(instance: &Instance) -> i64 {
    let needed = needed_area(instance);
    let film = film_bound(instance, needed, None);
    let with_cuts = Cuts::of(instance).map_or(0, |cuts| film_bound(instance, needed, Some(&cuts)));
    let set_up = instance.stock.iter().map(|s| s.set_up).min().unwrap_or(0);
    film.max(with_cuts).saturating_add(set_up.max(0))
}

/// The least that stock of the needed area costs, with what cutting apart adds.
fn film_bound(instance: &Instance, needed: f64, cuts: Option<&Cuts>) -> i64 {
    let half = instance.spacing_mm / 2.0;
    let mut apart = cuts.map_or(0.0, |cuts| cuts.pieces);
    let mut sizes: Vec<Size> = Vec::new();
    for (at, stock) in instance.stock.iter().enumerate() {
        let mut size = Size::of(stock, half);
        if let Some(cuts) = cuts {
            apart -= size.give_back(cuts.given_back[at], cuts.count, least_steps(stock, cuts.narrowest));
        }
        sizes.push(size);
    }
    sizes.retain(|s| s.area > 0.0);
    // Cheapest for its area first.
    sizes.sort_by(|a, b| (a.price * b.area).total_cmp(&(b.price * a.area)));
    cheapest_possible(&sizes, needed, apart)
}

/// What cutting apart by hand costs at least, minor units.
struct Cuts {
    /// Of all pieces, before any sheet gives a cut back.
    pieces: f64,
    /// Pieces in all.
    count: f64,
    /// A straight cut on each stock item, which a sheet of it gives back.
    given_back: Vec<f64>,
    /// No piece is narrower, mm.
    narrowest: f64,
}

impl Cuts {
    /// `None` where a piece may be had without cutting by hand.
    fn of(instance: &Instance) -> Option<Self> {
        // Cost of a straight cut and of a millimetre along an outline.
        let by_hand = |stock: &Stock| {
            let trim = stock.trim.filter(|trim| trim.by_hand)?;
            let each = trim.rate_per_hour as f64 / 3600.0;
            Some((trim.per_straight_cut_s * each, trim.per_outline_mm_s * each))
        };
        let costs: Vec<(f64, f64)> = instance.stock.iter().map(by_hand).collect::<Option<_>>()?;
        let of_piece = |design: &crate::Design| {
            let round = length_round(design.outline.outer());
            costs.iter().map(|(straight, along)| straight.min(along * round)).fold(f64::INFINITY, f64::min)
        };
        let count = instance.designs.iter().map(|d| f64::from(d.quantity)).sum();
        let pieces: f64 = instance.designs.iter().map(|d| f64::from(d.quantity) * of_piece(d)).sum();
        let narrowest = instance.designs.iter().map(|d| narrowest(&d.outline)).fold(f64::INFINITY, f64::min);
        let given_back = costs.iter().map(|(straight, _)| *straight).collect();
        pieces.is_finite().then_some(Self { pieces, count, given_back, narrowest })
    }
}

/// Steps that each length of a roll has at least, a piece of some width lying on it; 1 for sheets.
fn least_steps(stock: &Stock, narrowest: f64) -> f64 {
    match stock.kind {
        StockKind::Sheet { .. } => 1.0,
        StockKind::Roll { step_mm, minimum_mm, .. } => {
            let long = (narrowest + 2.0 * stock.margin_mm).max(minimum_mm);
            (long / step_mm - 1e-6).ceil().max(1.0)
        }
    }
}

/// Area that all pieces need at least: drawn inside the true grown shape, so never too much.
fn needed_area(instance: &Instance) -> f64 {
    let half = instance.spacing_mm / 2.0;
    let widths: Vec<f64> = instance.designs.iter().map(|d| narrowest(&d.outline)).collect();
    let smallest = widths.iter().copied().fold(f64::INFINITY, f64::min);
    instance.designs.iter().map(|d| f64::from(d.quantity) * least_area(d, half, smallest)).sum()
}

/// Grown by Steiner's formula on the hull's share: area + half·(perimeter of hull)… is an upper
/// value for bays, so the grown region itself is measured and its corner excess taken off.
fn least_area(design: &crate::Design, half: f64, smallest: f64) -> f64 {
    let laid = laid_outline(&design.outline, design.mirrored);
    // A hole nothing fits into is as good as covered.
    let useless = |hole: &geometry::Ring| {
        let b = geometry::Bounds::around(hole);
        b.is_none_or(|b| b.width().min(b.height()) < smallest)
    };
    let holes = laid.holes().iter().filter(|h| !useless(h)).cloned().collect();
    let Ok(shape) = Outline::new(laid.outer().to_vec(), holes) else { return laid.area() };
    if half <= 0.0 || shape.outer().len() > MOST_MEASURED {
        return shape.area();
    }
    let grown = geometry::grow(&Region { outlines: vec![shape.clone()] }, half).area();
    // Every corner is drawn at most 0.13 % of `half` too far, over at most the perimeter of its arcs.
    let excess =
        0.0013 * half * (std::f64::consts::TAU * half * (1.0 + shape.holes().len() as f64) + 0.1 * shape.perimeter());
    (grown - excess).max(shape.area())
}

/// The least distance between two parallel lines around the outline.
fn narrowest(outline: &Outline) -> f64 {
    let hull = convex_hull(outline.outer());
    hull.iter()
        .zip(hull.iter().cycle().skip(1))
        .map(|(a, b)| {
            let long = a.distance(*b).max(1e-300);
            hull.iter().map(|p| ((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)) / long).fold(0.0, f64::max)
        })
        .fold(f64::INFINITY, f64::min)
}

/// A stock item as area for money.
#[derive(Debug, Clone)]
struct Size {
    /// Of one sheet, or of one step of a roll, mm².
    area: f64,
    price: f64,
    /// How many there are.
    count: u64,
    /// Charged at least.
    minimum: f64,
    /// Area that the first step has beyond the others.
    extra: f64,
    /// Price from so many on, rising; before the first of them it is `few`.
    breaks: Vec<(u32, f64)>,
    few: f64,
}

impl Size {
    fn of(stock: &Stock, half: f64) -> Self {
        let (length, width) = stock.usable();
        let (StockKind::Sheet { price: few, .. } | StockKind::Roll { price_per_step: few, .. }) = stock.kind;
        let cheapest = |price: i64| stock.identical.iter().map(|(_, p)| *p).fold(price, i64::min) as f64;
        let breaks = stock.by_quantity.iter().map(|(from, price)| (*from, *price as f64)).collect();
        let few = cheapest(few);
        let price = cheapest(stock.lowest_price());
        match stock.kind {
            StockKind::Sheet { count, .. } => Self {
                area: (length + 2.0 * half) * (width + 2.0 * half),
                price,
                count: count.map_or(u64::MAX, u64::from),
                minimum: 0.0,
                extra: 0.0,
                breaks,
                few,
            },
            StockKind::Roll { step_mm, minimum_mm, .. } => Self {
                area: step_mm * (width + 2.0 * half),
                price,
                count: u64::MAX,
                minimum: (minimum_mm / step_mm).ceil().max(1.0) * price,
                // Each length of roll grows by half the spacing at both ends, less its margins.
                extra: (2.0 * half - 2.0 * stock.margin_mm).max(0.0) * (width + 2.0 * half),
                breaks,
                few,
            },
        }
    }

    /// Takes what each sheet, or each length of at least so many steps, gives back off the price;
    /// returns what is given back beyond that, where a price would fall below nothing.
    fn give_back(&mut self, back: f64, pieces: f64, least_steps: f64) -> f64 {
        let each = back / least_steps;
        // There are no more sheets or lengths than pieces.
        let below = (each - self.price).max(0.0) * least_steps * pieces.min(self.count as f64);
        self.price = (self.price - each).max(0.0);
        self.few = (self.few - each).max(0.0);
        for (_, price) in &mut self.breaks {
            *price = (*price - each).max(0.0);
        }
        self.minimum = (self.minimum - back).max(0.0);
        below
    }

    /// The least that so many or more cost: never above the price of exactly so many.
    fn at_least(&self, many: f64) -> f64 {
        let reached = self.breaks.iter().filter(|(from, _)| f64::from(*from) <= many);
        let each = reached.map(|(_, price)| *price).fold(self.few, f64::min);
        let further = self.breaks.iter().filter(|(from, _)| f64::from(*from) > many);
        further.map(|(from, price)| f64::from(*from) * *price).fold(many * each, f64::min)
    }
}

/// Combinations looked through before the plain ratio is taken.
const MOST_NODES: u32 = 200_000;

/// The cheapest set with at least the needed area, by depth-first search with the fractional bound,
/// and what is paid beside it.
fn cheapest_possible(sizes: &[Size], needed: f64, beside: f64) -> i64 {
    if sizes.is_empty() {
        return 0;
    }
    let mut best = f64::INFINITY;
    let mut nodes = 0;
    cover(sizes, needed, 0.0, &mut best, &mut nodes);
    let value = if nodes >= MOST_NODES || !best.is_finite() { fractional(sizes, needed) } else { best };
    if value.is_finite() { (value + beside - 1e-6).ceil().max(0.0) as i64 } else { 0 }
}

/// Cost of the area when sheets could be bought in parts.
fn fractional(sizes: &[Size], mut needed: f64) -> f64 {
    let mut cost = 0.0;
    for size in sizes {
        if needed <= 0.0 {
            break;
        }
        if size.extra > 0.0 || size.count == u64::MAX {
            return cost + needed / (size.area + size.extra) * size.price;
        }
        let take = (needed / size.area).min(size.count as f64);
        cost += take * size.price;
        needed -= take * size.area;
    }
    cost
}

fn cover(sizes: &[Size], needed: f64, spent: f64, best: &mut f64, nodes: &mut u32) {
    *nodes += 1;
    if needed <= 1e-9 {
        *best = best.min(spent);
        return;
    }
    let Some((size, rest)) = sizes.split_first() else { return };
    if *nodes >= MOST_NODES || spent + fractional(sizes, needed) >= *best {
        return;
    }
    if size.extra > 0.0 || size.minimum > 0.0 {
        // A roll: enough of it for all, or (in as many lengths as one likes) for any part.
        let steps = ((needed - size.extra).max(0.0) / size.area - 1e-9).ceil().max(1.0);
        let by_length = size.at_least(steps).max(size.minimum);
        let many = needed / (size.area + size.extra) * size.price;
        *best = best.min(spent + by_length.min(if size.extra > 0.0 { many } else { by_length }));
        if steps > 64.0 && !rest.is_empty() {
            // Too many lengths to try one by one; the plain ratio stands in.
            *nodes = MOST_NODES;
            return;
        }
        for k in 1..=steps as u64 {
            let cost = size.at_least(k as f64).max(size.minimum);
            cover(rest, needed - k as f64 * size.area - size.extra, spent + cost, best, nodes);
        }
        cover(rest, needed, spent, best, nodes);
        return;
    }
    let most = ((needed / size.area - 1e-9).ceil().max(0.0) as u64).min(size.count);
    for k in (0..=most).rev() {
        cover(rest, needed - k as f64 * size.area, spent + size.at_least(k as f64), best, nodes);
        if *nodes >= MOST_NODES {
            return;
        }
    }
}
