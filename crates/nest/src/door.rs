//! Raw input becomes an instance the search can trust, or is refused with what
//! to do about it.

use geometry::{Fault, Outline, Point, Region};
use report::{Finding, Named, Refusal, Severity, Value};
use units::Length;

use crate::codes;
use crate::instance::{Instance, Rotations, Stock, StockKind};

/// Pieces planned at once.
pub(crate) const MOST_PIECES: u64 = 20_000;
/// Designs planned at once.
const MOST_DESIGNS: usize = 2_000;
/// Points of an outline that are examined one by one.
const MOST_POINTS: usize = 400_000;
/// Largest coordinate or length, mm.
const FARTHEST_MM: f64 = 1e6;
/// Largest price, minor units.
const MOST_PRICE: i64 = 1_000_000_000_000;

/// The instance with outlines mended where possible; pieces a search may count on.
pub(crate) fn admit(instance: &Instance) -> Result<(Instance, Vec<Finding>), Refusal> {
    let mut stops = numbers(instance);
    let (mut admitted, mut notes) = (instance.clone(), Vec::new());
    if stops.is_empty() {
        for design in &mut admitted.designs {
            match usable(&design.outline) {
                Ok(None) => {}
                Ok(Some(mended)) => {
                    design.outline = mended;
                    notes.push(
                        Finding::new(Severity::Warning, codes::MENDED, codes::LOOK_AT_OUTLINE)
                            .named("design", &design.id),
                    );
                }
                Err(stop) => stops.push(stop.named("design", &design.id)),
            }
        }
    }
    if stops.is_empty() { Ok((admitted, notes)) } else { Err(Refusal { findings: stops }) }
}

/// Faults of numbers and counts.
fn numbers(instance: &Instance) -> Vec<Finding> {
    let mut stops = Vec::new();
    if instance.designs.is_empty() {
        stops.push(Finding::new(Severity::StopsLine, codes::NOTHING, codes::ADD_DESIGN));
    }
    if instance.stock.is_empty() {
        stops.push(Finding::new(Severity::StopsLine, codes::NO_STOCK, codes::ADD_STOCK));
    }
    within(&mut stops, "spacing", "", instance.spacing_mm, 0.0, FARTHEST_MM);
    for stock in &instance.stock {
        stock_numbers(&mut stops, stock);
    }
    if instance.designs.len() > MOST_DESIGNS {
        stops.push(too_many(instance.designs.len() as u64, MOST_DESIGNS as u64));
        return stops;
    }
    for design in &instance.designs {
        if design.quantity == 0 {
            let stop = Finding::new(Severity::StopsLine, codes::NO_QUANTITY, codes::SET_QUANTITY);
            stops.push(stop.named("design", &design.id));
        }
        within(&mut stops, "spare weight", &design.id, design.spare_weight, 0.0, 1e9);
        if let Rotations::List(turns) = &design.rotations {
            within(&mut stops, "number of rotations", &design.id, turns.len() as f64, 1.0, 360.0);
            for turn in turns {
                within(&mut stops, "rotation", &design.id, *turn, -1e6, 1e6);
            }
        }
        let b = design.outline.bounds();
        for v in [b.min.x, b.min.y, b.max.x, b.max.y] {
            within(&mut stops, "coordinate", &design.id, v, -FARTHEST_MM, FARTHEST_MM);
        }
        let points = design.outline.rings().map(<[Point]>::len).sum::<usize>();
        within(&mut stops, "number of points", &design.id, points as f64, 3.0, MOST_POINTS as f64);
    }
    let pieces: u64 = instance.designs.iter().map(|d| u64::from(d.quantity)).sum();
    if pieces > MOST_PIECES {
        stops.push(too_many(pieces, MOST_PIECES));
    }
    locks(&mut stops, instance);
    stops
}

fn too_many(found: u64, limit: u64) -> Finding {
    let count = |n: u64| Value::Count(i64::try_from(n).unwrap_or(i64::MAX));
    Finding::new(Severity::StopsLine, codes::TOO_MANY, codes::SPLIT_ORDER)
        .with("pieces", count(found))
        .with("limit", count(limit))
}

fn stock_numbers(stops: &mut Vec<Finding>, stock: &Stock) {
    let before = stops.len();
    let price = |stops: &mut Vec<Finding>, name, value: i64| {
        within(stops, name, &stock.id, value as f64, 0.0, MOST_PRICE as f64);
    };
    within(stops, "margin", &stock.id, stock.margin_mm, 0.0, FARTHEST_MM);
    match stock.kind {
        StockKind::Sheet { width_mm, length_mm, price: each, .. } => {
            within(stops, "width", &stock.id, width_mm, 0.001, FARTHEST_MM);
            within(stops, "length", &stock.id, length_mm, 0.001, FARTHEST_MM);
            price(stops, "price", each);
        }
        StockKind::Roll { width_mm, price_per_step, step_mm, minimum_mm, maximum_mm } => {
            within(stops, "width", &stock.id, width_mm, 0.001, FARTHEST_MM);
            within(stops, "longest length", &stock.id, maximum_mm, 0.001, FARTHEST_MM);
            within(stops, "shortest length", &stock.id, minimum_mm, 0.0, maximum_mm);
            // A step far below what can be cut would only lose digits.
            within(stops, "step", &stock.id, step_mm, 1e-4, FARTHEST_MM);
            price(stops, "price", price_per_step);
        }
    }
    price(stops, "set-up", stock.set_up);
    for (from, each) in &stock.identical {
        within(stops, "identical sheets from", &stock.id, f64::from(*from), 1.0, 1e9);
        price(stops, "price", *each);
    }
    for (from, each) in &stock.by_quantity {
        within(stops, "price from a quantity of", &stock.id, f64::from(*from), 1.0, 1e9);
        price(stops, "price", *each);
    }
    if let Some(trim) = stock.trim {
        within(stops, "seconds for each cut", &stock.id, trim.per_straight_cut_s, 0.0, 1e5);
        within(stops, "seconds for each mm", &stock.id, trim.per_outline_mm_s, 0.0, 1e5);
        price(stops, "rate", trim.rate_per_hour);
    }
    let zones = stock.forbidden.iter().map(|f| f.bounds());
    for b in zones {
        for v in [b.min.x, b.min.y, b.max.x, b.max.y] {
            within(stops, "coordinate", &stock.id, v, -FARTHEST_MM, FARTHEST_MM);
        }
    }
    let (length, width) = stock.usable();
    if stops.len() == before && (length <= 0.0 || width <= 0.0) {
        let stop = Finding::new(Severity::StopsLine, codes::NO_AREA, codes::CHECK_MARGIN);
        stops.push(stop.named("stock", &stock.id).with("margin", mm(stock.margin_mm)));
    }
}

fn locks(stops: &mut Vec<Finding>, instance: &Instance) {
    for (at, lock) in instance.locked.iter().enumerate() {
        let fits = lock.piece.design < instance.designs.len()
            && lock.stock < instance.stock.len()
            && (lock.sheet == 0 || instance.locked.iter().any(|other| other.sheet + 1 == lock.sheet))
            && lock.piece.spare == (lock.piece.copy >= instance.designs[lock.piece.design].quantity)
            && lock.piece.mirrored == instance.designs[lock.piece.design].mirrored
            && [lock.piece.x_mm, lock.piece.y_mm, lock.piece.rotation_deg].iter().all(|v| v.abs() <= FARTHEST_MM)
            && instance.locked.iter().all(|other| other.sheet != lock.sheet || other.stock == lock.stock);
        if !fits {
            let stop = Finding::new(Severity::StopsLine, codes::LOCK_FAULT, codes::MOVE_LOCK);
            stops.push(stop.with("piece", Value::Count(at as i64 + 1)));
        }
    }
}

/// A number that must lie in a range; NaN lies in none.
fn within(stops: &mut Vec<Finding>, what: &str, of: &str, value: f64, low: f64, high: f64) {
    if !(low..=high).contains(&value) {
        let mut stop = Finding::new(Severity::StopsLine, codes::OUT_OF_RANGE, codes::SET_IN_RANGE);
        stop = stop.named("what", what).named("of", of);
        stop.quantities.push(Named { name: "value", value: Value::Text(plain(value)) });
        stops.push(stop.named("low", plain(low)).named("high", plain(high)));
    }
}

fn plain(value: f64) -> String {
    if value.is_finite() { format!("{value}") } else { "not a number".to_owned() }
}

/// A length for a sentence; 0 when it is no number.
pub(crate) fn mm(value: f64) -> Value {
    Value::Length(Length::from_mm(value).unwrap_or_default())
}

/// `None` for an outline good as it is, the mended one where that is plain, else why not.
fn usable(outline: &Outline) -> Result<Option<Outline>, Box<Finding>> {
    let stop = |code| Box::new(Finding::new(Severity::StopsLine, code, codes::REDRAW));
    match geometry::outline_fault(outline) {
        None => Ok(None),
        Some(Fault::TooTangled) => Err(stop(codes::TANGLED)),
        Some(Fault::HoleOutside { .. }) => Err(stop(codes::HOLE_OUTSIDE)),
        Some(Fault::Crossing { at }) => mended(outline).map(Some).ok_or_else(|| {
            let place = geometry::Bounds { min: at, max: at };
            Box::new(stop(codes::CROSSING).at(place).with("x", mm(at.x)).with("y", mm(at.y)))
        }),
    }
}

/// How far what mending leaves out may reach beyond what stays, mm: less than a cutter tells.
const LOST_MM: f64 = 0.05;

/// The filled area, when it is one piece and as good as all of what was drawn.
fn mended(outline: &Outline) -> Option<Outline> {
    let rings: Vec<_> = outline.rings().map(<[Point]>::to_vec).collect();
    // Crossings can grow with the square of the points; a long tangle is left to its owner.
    if rings.iter().map(Vec::len).sum::<usize>() > 4000 {
        return None;
    }
    let parts = geometry::even_odd(&rings).outlines;
    let one = parts.into_iter().max_by(|a, b| a.area().total_cmp(&b.area()))?;
    // A thin loop has hardly any area and a spike has none, and still they may reach far, over a
    // neighbour or the edge: what counts is whether every corner drawn is in what stays, or beside it.
    let near = geometry::grow(&Region { outlines: vec![one.clone()] }, LOST_MM);
    let all_stays = rings.iter().flatten().all(|corner| near.contains(*corner));
    (all_stays && geometry::outline_fault(&one).is_none()).then_some(one)
}
