//! What the shop has on hand: film left over, garments, transfers made already; listed, put there, counted.

use crate::answer::{Answer, Fault, on_to};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::pages::edit::{length, refused};
use crate::tongue::Tongue;
use desk::kept::{Deed, DeedError};
use report::{Named, Value};
use store::form::{OnHand, StockForm};
use store::{Kind, Record};
use trade::Shop;
use units::Length;

pub(crate) struct StockRow {
    pub id: String,
    pub version: i64,
    pub what: String,
    pub place: String,
    pub since: String,
    pub count: u32,
    /// Which orders have reserved how many; empty where none has.
    pub reserved: String,
}

/// Everything on hand, by number.
pub(crate) fn rows(ctx: &Ctx<'_>, shop: &Shop) -> Result<Vec<StockRow>, Fault> {
    let all = ctx.kept().list_stock()?;
    Ok(all.iter().map(|record| row(&ctx.w, shop, record)).collect())
}

fn row(w: &Tongue, shop: &Shop, record: &Record<StockForm>) -> StockRow {
    let form = &record.body;
    let reserved: Vec<String> =
        form.reserved.iter().map(|(order, count)| w.ab("web.reserved-for", count, order)).collect();
    StockRow {
        id: record.id.clone(),
        version: record.version,
        what: what(w, shop, &form.what),
        place: words::clean(&form.place),
        since: w.day(&form.since),
        count: form.count,
        reserved: reserved.join(", "),
    }
}

fn what(w: &Tongue, shop: &Shop, what: &OnHand) -> String {
    let size = |width: f64, height: f64| {
        let both = Length::from_mm(width).zip(Length::from_mm(height));
        both.map_or_else(String::new, |(width, height)| w.speech.size(width, height))
    };
    let coloured = |name: &str, colour: Option<&String>| match colour {
        Some(colour) => format!("{}, {}", words::clean(name), words::clean(colour)),
        None => words::clean(name),
    };
    let named = |name: &'static str, text: String| Named { name, value: Value::Text(text) };
    match what {
        OnHand::Film { stock, colour, width_mm, length_mm } => {
            let name = shop.find_stock(stock).map_or(stock, |id| &shop.stock_item(id).name);
            let values = [named("name", coloured(name, colour.as_ref())), named("size", size(*width_mm, *length_mm))];
            w.speech.say(desk::codes::STOCK_FILM, &values)
        }
        OnHand::Transfers { name, transfer, film, width_mm, height_mm, .. } => {
            let of = shop.find_transfer(transfer).map_or(transfer, |id| &shop.transfer(id).name);
            let values = [
                named("art", words::clean(name)),
                named("transfer", coloured(of, film.as_ref())),
                named("size", size(*width_mm, *height_mm)),
            ];
            w.speech.say(desk::codes::STOCK_TRANSFERS, &values)
        }
        OnHand::Garments { garment, colour, size } => {
            let name = shop.find_garment(garment).map_or(garment, |id| &shop.garment(id).name);
            format!("{}, {}", coloured(name, Some(colour)), words::clean(size))
        }
    }
}

/// Puts film or garments on hand; what is refused is said, and what was typed stays.
pub(crate) fn put(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    match form(ctx, ask).and_then(|form| ctx.kept().put_stock(&form, &ctx.hand())) {
        Ok(_) => Ok(on_to("/shelf#on-hand")),
        Err(error) => crate::pages::shelf::refused(ctx, ask, &error),
    }
}

fn form(ctx: &Ctx<'_>, ask: &Ask) -> Deed<StockForm> {
    let fields = &ask.fields;
    let text = |name: &str| words::clean(fields.get(name));
    let stop = |error| DeedError::Refused(error);
    let colour = Some(text("colour")).filter(|colour| !colour.is_empty());
    let what = match fields.get("what").split_once(':') {
        Some(("film", stock)) => {
            let mm = |name: &str| length(fields.get(name), ctx.w.inch()).map(|length| length.mm()).map_err(stop);
            OnHand::Film { stock: stock.to_owned(), colour, width_mm: mm("across")?, length_mm: mm("along")? }
        }
        Some(("garment", garment)) => {
            OnHand::Garments { garment: garment.to_owned(), colour: colour.unwrap_or_default(), size: text("size") }
        }
        _ => return Err(stop(refused("web.no-line", "web.no-line-remedy"))),
    };
    let count = count_of(fields.get("count"))?;
    let since = ctx.app.today().to_string();
    Ok(StockForm { what, count, reserved: Default::default(), place: text("place"), since, lot: None })
}

pub(crate) fn count_of(typed: &str) -> Deed<u32> {
    let count = typed.parse::<u32>().ok().filter(|count| *count <= 100_000);
    let refusal = || refused("web.no-count", "web.no-count-remedy").named("typed", words::clean(typed));
    count.ok_or_else(|| DeedError::Refused(refusal()))
}

/// So many were counted; none takes the entry off the list. The last change of an entry can be undone.
pub(crate) fn counted(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    let done = match ask.fields.get("deed") {
        "undo" => ctx.kept().undo(Kind::Stock, id, &ctx.hand()),
        _ => recount(ctx, ask, id),
    };
    match done {
        Ok(_) if ask.fields.get("deed") == "undo" => Ok(on_to("/shelf#on-hand")),
        Ok(_) => Ok(on_to(&format!("/shelf?counted={id}#on-hand"))),
        Err(error) => crate::pages::shelf::refused(ctx, ask, &error),
    }
}

fn recount(ctx: &Ctx<'_>, ask: &Ask, id: &str) -> Deed<i64> {
    let count = count_of(ask.fields.get("count"))?;
    let known = ctx.kept().list_stock()?.into_iter().find(|record| record.id == id);
    let form = known.ok_or_else(|| DeedError::Missing { what: format!("stock {id}") })?.body;
    match count {
        0 => ctx.kept().use_up(id, ask.version(), None, form.count, &ctx.hand()),
        count => ctx.kept().change_stock(id, ask.version(), &StockForm { count, ..form }, &ctx.hand()),
    }
}
