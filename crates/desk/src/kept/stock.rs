//! Things on hand: film, spare transfers, garments; reserved by orders, used first.

use super::{Deed, DeedError, Kept, names};
use crate::codes;
use report::{Finding, Severity, Value};
use std::collections::BTreeMap;
use store::form::{OnHand, StockForm};
use store::{Guard, Kind, Record, Stamp, StoreError, Write};
use trade::{Colours, Remnant, Shop, SpareGarment, SpareTransfer, StockShape};
use units::Length;

impl Kept {
    /// Everything on hand, by number.
    pub fn list_stock(&self) -> Deed<Vec<Record<StockForm>>> {
        let mut all = self.store().all::<StockForm>()?;
        all.sort_by_key(|record| record.id.parse::<u64>().unwrap_or(u64::MAX));
        Ok(all)
    }

    fn stock_record(&self, id: &str) -> Deed<Record<StockForm>> {
        self.store().get::<StockForm>(id)?.ok_or_else(|| DeedError::Missing { what: format!("stock {id}") })
    }

    /// Puts something on hand; answers with the record's name.
    ///
    /// Refuses what the shop does not know, film wider than it is sold, and nothing at all.
    pub fn put_stock(&self, form: &StockForm, hand: &Stamp) -> Deed<String> {
        self.check_stock(form)?;
        let id = self.store().number("stock")?.to_string();
        self.store().change(hand, &[], &[Write::of(&id, 0, form, "put on hand")?])?;
        Ok(id)
    }

    /// Writes anew what is on hand, as counted by a person.
    pub fn change_stock(&self, id: &str, on: i64, form: &StockForm, hand: &Stamp) -> Deed<i64> {
        self.check_stock(form)?;
        let reserved = form.reserved.values().fold(0_u32, |sum, count| sum.saturating_add(*count));
        if reserved > form.count {
            return Err(Finding::new(Severity::StopsLine, codes::STOCK_RESERVED, codes::STOCK_RESERVED_REMEDY)
                .with("reserved", Value::Count(reserved.into()))
                .with("wanted", Value::Count(form.count.into()))
                .into());
        }
        self.put_stock_form(id, on, form, "counted", hand)
    }

    /// Reserves so many for an order, over what it has reserved already.
    pub fn reserve(&self, id: &str, on: i64, order: &str, count: u32, hand: &Stamp) -> Deed<i64> {
        self.order_record(order)?;
        let mut form = self.stock_record(id)?.body;
        if count == 0 || count > form.free() {
            return Err(too_many(count, form.free()));
        }
        let reserved = form.reserved.entry(order.to_owned()).or_default();
        *reserved = reserved.saturating_add(count);
        self.put_stock_form(id, on, &form, "reserved", hand)
    }

    /// Uses so many up: first those that `order` has reserved, then free ones. What is used up is gone from the list.
    pub fn use_up(&self, id: &str, on: i64, order: Option<&str>, count: u32, hand: &Stamp) -> Deed<i64> {
        let mut form = self.stock_record(id)?.body;
        let own = order.and_then(|order| form.reserved.get(order)).copied().unwrap_or(0);
        let most = own.saturating_add(form.free()).min(form.count);
        if count == 0 || count > most {
            return Err(too_many(count, most));
        }
        if let Some(order) = order {
            match own.saturating_sub(count) {
                0 => form.reserved.remove(order),
                left => form.reserved.insert(order.to_owned(), left),
            };
        }
        form.count -= count;
        self.put_stock_form(id, on, &form, "used", hand)
    }

    fn put_stock_form(&self, id: &str, on: i64, form: &StockForm, what: &str, hand: &Stamp) -> Deed<i64> {
        let write = match form.count {
            0 => Write::removal(Kind::Stock, id, on, what),
            _ => Write::of(id, on, form, what)?,
        };
        let versions = self.store().change(hand, &[], &[write])?;
        Ok(versions.first().copied().unwrap_or_default())
    }

    /// The writes that free all that an order has reserved.
    pub(super) fn releasing(&self, order: &str) -> Deed<Vec<Write>> {
        let mut writes = Vec::new();
        for record in self.store().all::<StockForm>()? {
            let mut form = record.body;
            if form.reserved.remove(order).is_some() {
                writes.push(Write::of(&record.id, record.version, &form, "no longer reserved")?);
            }
        }
        Ok(writes)
    }

    /// The writes that use up all that an order has reserved.
    pub(super) fn using_up(&self, order: &str) -> Deed<Vec<Write>> {
        let mut writes = Vec::new();
        for record in self.store().all::<StockForm>()? {
            let mut form = record.body;
            let Some(used) = form.reserved.remove(order) else { continue };
            form.count = form.count.saturating_sub(used);
            let what = format!("used for order {order}");
            writes.push(match form.count {
                0 => Write::removal(Kind::Stock, &record.id, record.version, &what),
                _ => Write::of(&record.id, record.version, &form, &what)?,
            });
        }
        Ok(writes)
    }

    fn check_stock(&self, form: &StockForm) -> Deed<()> {
        let read = self.shop()?;
        let shop = &read.value;
        if form.count == 0 {
            return Err(Finding::new(Severity::StopsLine, codes::STOCK_NONE, codes::STOCK_NONE_REMEDY).into());
        }
        if form.since.parse::<jiff::civil::Date>().is_err() {
            return Err(names::no_day(&form.since).into());
        }
        let sized = |fits: bool, size: (f64, f64), widest: f64| -> Deed<()> {
            if fits {
                return Ok(());
            }
            let size = format!("{} × {} mm", size.0, size.1);
            Err(Finding::new(Severity::StopsLine, codes::STOCK_SIZE, codes::STOCK_SIZE_REMEDY)
                .named("name", size)
                .with("widest", Value::Length(Length::from_mm(widest).unwrap_or_default()))
                .into())
        };
        match &form.what {
            OnHand::Film { stock, width_mm, length_mm, .. } => {
                let Some(id) = shop.find_stock(stock) else {
                    let known = shop.stock().map(|(_, item)| item.id.as_str());
                    return Err(names::unknown("film or sheet", stock, known).into());
                };
                let widest = width_of(&shop.stock_item(id).shape).mm();
                let fits = (1.0..=widest + 0.01).contains(width_mm) && (1.0..=1e6).contains(length_mm);
                sized(fits, (*width_mm, *length_mm), widest)
            }
            OnHand::Transfers { art, transfer, film, width_mm, height_mm, .. } => {
                let Some(id) = shop.find_transfer(transfer) else {
                    let known = shop.transfers().map(|(_, transfer)| transfer.id.as_str());
                    return Err(names::unknown("transfer", transfer, known).into());
                };
                let films: &[_] = match &shop.transfer(id).colours {
                    Colours::Film(films) => films,
                    _ => &[],
                };
                let film_known = match film {
                    Some(film) => films.iter().any(|known| known.name == *film),
                    None => films.is_empty(),
                };
                if !film_known {
                    let known = films.iter().map(|film| film.name.as_str());
                    return Err(names::unknown("film", film.as_deref().unwrap_or("–"), known).into());
                }
                if art.len() != 64 || !art.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b)) {
                    return Err(Finding::new(Severity::StopsLine, codes::STOCK_ART, codes::STOCK_ART_REMEDY)
                        .named("name", words::clean(art))
                        .into());
                }
                let fits = [width_mm, height_mm].iter().all(|mm| (1.0..=LARGEST_MM).contains(*mm));
                sized(fits, (*width_mm, *height_mm), LARGEST_MM)
            }
            OnHand::Garments { garment, colour, size } => {
                let Some(id) = shop.find_garment(garment) else {
                    let known = shop.garments().map(|(_, garment)| garment.id.as_str());
                    return Err(names::unknown("garment", garment, known).into());
                };
                let style = shop.garment(id);
                if style.colour(colour).is_none() {
                    let known = style.colours.iter().map(|colour| colour.name.as_str());
                    return Err(names::unknown("colour", colour, known).into());
                }
                if style.size(size).is_none() {
                    let known = style.sizes.iter().map(|size| size.name.as_str());
                    return Err(names::unknown("size", size, known).into());
                }
                Ok(())
            }
        }
    }
}

/// Sides of a spare transfer, mm, at most: larger than any press.
const LARGEST_MM: f64 = 5000.0;

fn width_of(shape: &StockShape) -> Length {
    match shape {
        StockShape::Sheet { width, .. } | StockShape::Roll { width, .. } => *width,
    }
}

fn too_many(wanted: u32, free: u32) -> DeedError {
    Finding::new(Severity::StopsLine, codes::STOCK_SHORT, codes::STOCK_SHORT_REMEDY)
        .with("wanted", Value::Count(wanted.into()))
        .with("free", Value::Count(free.into()))
        .into()
}

/// The shop with all on hand that orders planned together may use: what is free, and what they have reserved.
pub(super) fn with_on_hand(mut shop: Shop, all: &[Record<StockForm>], orders: &[String]) -> Shop {
    for record in all {
        let count = usable(&record.body, orders);
        if count > 0 {
            shop = with_one(shop, record, count);
        }
    }
    shop
}

/// The shop with one thing more on hand; what it does not know, as a style that is gone, is left out.
fn with_one(shop: Shop, record: &Record<StockForm>, count: u32) -> Shop {
    let (kept, place) = (Some(record.id.clone()), record.body.place.clone());
    match &record.body.what {
        OnHand::Film { stock, colour, width_mm, length_mm } => {
            let size = Length::from_mm(*width_mm).zip(Length::from_mm(*length_mm));
            let Some((id, (width, length))) = shop.find_stock(stock).zip(size) else { return shop };
            shop.with_on_hand(id, Remnant { colour: colour.clone(), width, length, count, kept })
        }
        OnHand::Transfers { art, name, transfer, film, width_mm, height_mm } => {
            let size = Length::from_mm(*width_mm).zip(Length::from_mm(*height_mm));
            let since = record.body.since.parse::<jiff::civil::Date>().ok();
            let Some(((transfer, (width, height)), since)) = shop.find_transfer(transfer).zip(size).zip(since) else {
                return shop;
            };
            let (sha256, art) = (art.clone(), name.clone());
            let film = film.clone();
            shop.with_spare_transfer(SpareTransfer {
                transfer,
                sha256,
                art,
                film,
                width,
                height,
                count,
                place,
                since,
                kept,
            })
        }
        OnHand::Garments { garment, colour, size } => {
            let Some(garment) = shop.find_garment(garment) else { return shop };
            let (colour, size) = (colour.clone(), size.clone());
            shop.with_spare_garment(SpareGarment { garment, colour, size, count, place, kept })
        }
    }
}

/// How many of a thing orders planned together may use.
fn usable(form: &StockForm, orders: &[String]) -> u32 {
    let own =
        orders.iter().filter_map(|order| form.reserved.get(order)).fold(0_u32, |sum, one| sum.saturating_add(*one));
    form.free().saturating_add(own).min(form.count)
}

/// What a plan uses of each thing on hand, by its record and by the order it is for.
pub(super) type Uses = BTreeMap<String, BTreeMap<String, u32>>;

/// What a plan uses; `orders` names its orders, as they stand in it.
pub(super) fn uses(shop: &Shop, plan: &plan::Plan, orders: &[String]) -> Uses {
    let mut all = Uses::new();
    let mut add = |kept: Option<&String>, order: usize, count: u32| {
        if let (Some(kept), Some(order)) = (kept, orders.get(order)) {
            let sum = all.entry(kept.clone()).or_default().entry(order.clone()).or_default();
            *sum = sum.saturating_add(count);
        }
    };
    for (at, line) in
        plan.orders.iter().enumerate().flat_map(|(at, order)| order.lines.iter().map(move |line| (at, line)))
    {
        for take in line.prints.iter().flat_map(|print| &print.from_shelf) {
            add(shop.spare_transfers().get(take.entry).and_then(|spare| spare.kept.as_ref()), at, take.count);
        }
        for take in &line.on_hand {
            add(shop.spare_garments().get(take.entry).and_then(|spare| spare.kept.as_ref()), at, take.count);
        }
    }
    for pool in &plan.pools {
        for sheet in &pool.layout.sheets {
            let Some(entry) = pool.stock.get(sheet.stock) else { continue };
            let Some(remnant) = entry.remnant.and_then(|at| shop.stock_item(entry.item).remnants.get(at)) else {
                continue;
            };
            // A sheet that several share is reserved by the first of them.
            let first =
                sheet.pieces.iter().filter_map(|piece| pool.designs.get(piece.design).map(|of| (of, piece.copy)));
            let order = first.map(|(of, copy)| of.use_of(copy).order).min();
            add(remnant.kept.as_ref(), order.unwrap_or(0), 1);
        }
    }
    all
}

/// What must stay as it is, and what is written.
pub(super) type Reserving = (Vec<Guard>, Vec<Write>);

/// The writes that make `orders` reserve exactly what their plan uses, and the guards of what stays as it is;
/// `None` when some of it is no longer to be had.
pub(super) fn reserving(
    all: &[Record<StockForm>],
    orders: &[String],
    uses: &Uses,
) -> Result<Option<Reserving>, StoreError> {
    let (mut guards, mut writes) = (Vec::new(), Vec::new());
    if uses.keys().any(|id| !all.iter().any(|record| record.id == *id)) {
        return Ok(None);
    }
    for record in all {
        let wanted = uses.get(&record.id);
        let mut form = record.body.clone();
        form.reserved.retain(|order, _| !orders.contains(order));
        form.reserved.extend(wanted.into_iter().flatten().map(|(order, count)| (order.clone(), *count)));
        let reserved = form.reserved.values().fold(0_u32, |sum, count| sum.saturating_add(*count));
        if wanted.is_some() && reserved > form.count {
            return Ok(None);
        }
        if form != record.body {
            writes.push(Write::of(&record.id, record.version, &form, "reserved by a plan")?);
        } else if wanted.is_some() {
            guards.push(Guard { kind: Kind::Stock, id: record.id.clone(), version: record.version });
        }
    }
    Ok(Some((guards, writes)))
}
