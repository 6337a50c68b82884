//! Things on hand and things seen as lines on a terminal.

use desk::codes;
use report::{Named, Value};
use store::Record;
use store::form::{EvidenceForm, OnHand, Seen, StockForm};
use trade::Shop;
use units::{Length, Temperature, UnitSystem};
use words::Speech;

fn speech() -> Speech {
    Speech::english(UnitSystem::Metric)
}

fn text(name: &'static str, value: impl Into<String>) -> Named {
    Named { name, value: Value::Text(value.into()) }
}

fn count(name: &'static str, count: u32) -> Named {
    Named { name, value: Value::Count(count.into()) }
}

fn or_dash(value: &str) -> String {
    if value.is_empty() { "–".to_owned() } else { words::clean(value) }
}

/// Something on hand: what, where, since when, free and reserved.
pub(super) fn stock_line(shop: &Shop, record: &Record<StockForm>) -> String {
    let form = &record.body;
    let mut values = vec![
        text("id", record.id.clone()),
        count("count", form.count),
        text("what", what(shop, &form.what)),
        text("place", or_dash(&form.place)),
        text("since", form.since.clone()),
        count("free", form.free()),
    ];
    if form.reserved.is_empty() {
        return speech().say(codes::STOCK_ROW, &values);
    }
    let orders: Vec<String> = form.reserved.iter().map(|(order, count)| format!("{order} ({count})")).collect();
    values.push(text("orders", orders.join(", ")));
    speech().say(codes::STOCK_ROW_RESERVED, &values)
}

fn what(shop: &Shop, what: &OnHand) -> String {
    let size = |width: f64, height: f64| {
        let both = Length::from_mm(width).zip(Length::from_mm(height));
        text("size", both.map_or_else(String::new, |(width, height)| speech().size(width, height)))
    };
    let colour = |name: &str, colour: Option<&String>| match colour {
        Some(colour) => format!("{name}, {colour}"),
        None => name.to_owned(),
    };
    match what {
        OnHand::Film { stock, colour: film, width_mm, length_mm } => {
            let name = shop.find_stock(stock).map_or(stock, |id| &shop.stock_item(id).name);
            let name = text("name", colour(name, film.as_ref()));
            speech().say(codes::STOCK_FILM, &[name, size(*width_mm, *length_mm)])
        }
        OnHand::Transfers { name, transfer, film, width_mm, height_mm, .. } => {
            let of = shop.find_transfer(transfer).map_or(transfer, |id| &shop.transfer(id).name);
            let values =
                [text("art", name.clone()), text("transfer", colour(of, film.as_ref())), size(*width_mm, *height_mm)];
            speech().say(codes::STOCK_TRANSFERS, &values)
        }
        OnHand::Garments { garment, colour, size } => {
            let name = shop.find_garment(garment).map_or(garment, |id| &shop.garment(id).name);
            format!("{name}, {colour}, {size}")
        }
    }
}

/// Something seen: when, of what, what.
pub(super) fn seen_line(record: &Record<EvidenceForm>) -> String {
    let form = &record.body;
    let degrees = |name, c| {
        let value = Temperature::from_c(c).map_or(Value::Text(String::new()), Value::Temperature);
        Named { name, value }
    };
    let (code, values) = match &form.seen {
        Seen::TestPiece { held: true } => (codes::SEEN_TEST_HELD, Vec::new()),
        Seen::TestPiece { held: false } => (codes::SEEN_TEST_FAILED, Vec::new()),
        Seen::Pressed { pieces } => (codes::SEEN_PRESSED, vec![count("count", *pieces)]),
        Seen::Washed { washes, held: true } => (codes::SEEN_WASHED, vec![count("count", *washes)]),
        Seen::Washed { washes, held: false } => (codes::SEEN_WASHED_OFF, vec![count("count", *washes)]),
        Seen::Returned { pieces, why } => {
            (codes::SEEN_RETURNED, vec![count("count", *pieces), text("why", or_dash(why))])
        }
        Seen::Spoiled { pieces, why } => {
            (codes::SEEN_SPOILED, vec![count("count", *pieces), text("why", or_dash(why))])
        }
        Seen::Platen { set_c, read_c, .. } => {
            (codes::SEEN_PLATEN, vec![degrees("set", *set_c), degrees("read", *read_c)])
        }
    };
    let of = match &form.seen {
        Seen::Platen { press, .. } => press.clone(),
        _ => format!("{} × {}", form.transfer, form.cloth),
    };
    let values = [
        text("id", record.id.clone()),
        text("day", form.day.clone()),
        text("of", of),
        text("what", speech().say(code, &values)),
    ];
    speech().say(codes::SEEN_ROW, &values)
}
