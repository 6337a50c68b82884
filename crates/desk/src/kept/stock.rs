//! Things on hand: film, spare transfers, garments; reserved by orders, used first.

use super::{Deed, DeedError, Kept};
use crate::codes;
use report::{Finding, Severity, Value};
use store::form::{OnHand, StockForm};
use store::{Kind, Record, Stamp, Write};
use trade::{Remnant, Shop, StockShape};
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

    /// Frees all that an order has reserved.
    pub(super) fn release(&self, order: &str, hand: &Stamp) -> Deed<()> {
        let mut writes = Vec::new();
        for record in self.store().all::<StockForm>()? {
            let mut form = record.body;
            if form.reserved.remove(order).is_some() {
                writes.push(Write::of(&record.id, record.version, &form, "no longer reserved")?);
            }
        }
        if !writes.is_empty() {
            self.store().change(hand, &[], &writes)?;
        }
        Ok(())
    }

    fn check_stock(&self, form: &StockForm) -> Deed<()> {
        let read = self.shop()?;
        let shop = &read.value;
        let unknown = |what: &str, name: &str| -> Deed<()> {
            Err(Finding::new(Severity::StopsLine, codes::STOCK_UNKNOWN, codes::STOCK_UNKNOWN_REMEDY)
                .named("what", what)
                .named("name", name)
                .into())
        };
        if form.count == 0 {
            return unknown("count", "0");
        }
        if form.since.parse::<jiff::civil::Date>().is_err() {
            return unknown("day", &form.since);
        }
        match &form.what {
            OnHand::Film { stock, width_mm, length_mm, .. } => match shop.find_stock(stock) {
                None => unknown("film or sheet", stock),
                Some(id) => {
                    let widest = width_of(&shop.stock_item(id).shape).mm();
                    let fits = (1.0..=widest + 0.01).contains(width_mm) && (1.0..=1e6).contains(length_mm);
                    if fits { Ok(()) } else { unknown("size", &format!("{width_mm} × {length_mm} mm")) }
                }
            },
            OnHand::Transfers { transfer, .. } if shop.find_transfer(transfer).is_none() => {
                unknown("transfer", transfer)
            }
            OnHand::Garments { garment, colour, size } => {
                let style = shop.find_garment(garment).map(|id| shop.garment(id));
                match style {
                    None => unknown("garment", garment),
                    Some(style) if style.colour(colour).is_none() => unknown("colour", colour),
                    Some(style) if style.size(size).is_none() => unknown("size", size),
                    Some(_) => Ok(()),
                }
            }
            OnHand::Transfers { .. } => Ok(()),
        }
    }
}

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

/// The shop with the film and blanks on hand that an order may use: what is free, and what it has reserved itself.
pub(super) fn with_on_hand(mut shop: Shop, all: &[Record<StockForm>], order: &str) -> Shop {
    for record in all {
        let count = usable(&record.body, order);
        if count == 0 {
            continue;
        }
        match &record.body.what {
            OnHand::Film { stock, colour, width_mm, length_mm } => {
                let size = Length::from_mm(*width_mm).zip(Length::from_mm(*length_mm));
                let Some((id, (width, length))) = shop.find_stock(stock).zip(size) else { continue };
                shop = shop.with_on_hand(id, Remnant { colour: colour.clone(), width, length, count });
            }
            OnHand::Garments { garment, colour, size } => {
                let Some(id) = shop.find_garment(garment) else { continue };
                shop = shop.with_blanks(id, colour, size, count);
            }
            OnHand::Transfers { .. } => {}
        }
    }
    shop
}

/// How many of a thing an order may use.
pub(super) fn usable(form: &StockForm, order: &str) -> u32 {
    form.free().saturating_add(form.reserved.get(order).copied().unwrap_or(0)).min(form.count)
}
