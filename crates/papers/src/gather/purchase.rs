//! The purchase list and the sheet map: both speak of the whole plan.

use super::{Papers, film_rgb, shown, text, tight};
use crate::PaperError;
use crate::form::{Item, MapPool, MapRow, MapSheet, Purchases, SheetMap, SupplierList};
use plan::{Goods, Pool, Purchase, PurchaseItem};
use report::{Named, Value};
use units::{Length, Money, MoneyError};

/// Orders named beside an item that is bought for several; of more the rest are counted.
const MOST_NAMES: usize = 3;

pub(crate) fn purchases(teller: &Papers<'_>) -> Result<Purchases, PaperError> {
    let plan = teller.plan;
    let mut lists: Vec<&Purchase> = plan.purchases.iter().collect();
    lists.sort_by_key(|purchase| (purchase.order_by.value, purchase.supplier));
    let zero = Money::zero(teller.shop.currency);
    let total: Result<Money, MoneyError> = lists.iter().try_fold(zero, |sum, purchase| sum.plus(purchase.total));
    Ok(Purchases {
        frame: teller.frame("papers.purchase", ""),
        subtitle: subtitle(teller),
        count: lists.len().to_string(),
        total: total.ok().map(|total| teller.money(total)),
        first: lists.first().map(|purchase| teller.speech.moment(purchase.order_by.value)),
        shelf: shelf(teller),
        purchases: lists.into_iter().map(|purchase| list(teller, purchase)).collect(),
    })
}

/// What lies in the shop and is not bought, each place a row.
fn shelf(teller: &Papers<'_>) -> Vec<String> {
    let count = |take: &plan::ShelfTake| Named::count("count", i64::from(take.count));
    let mut rows = Vec::new();
    for line in teller.plan.orders.iter().flat_map(|order| &order.lines) {
        for take in line.prints.iter().flat_map(|print| &print.from_shelf) {
            let Some(spare) = teller.shop.spare_transfers().get(take.entry) else { continue };
            let values = [
                count(take),
                text("art", spare.art.as_str()),
                text("transfer", teller.shop.transfer(spare.transfer).name.as_str()),
                text("place", teller.shelf_place(&spare.place)),
                text("since", teller.speech.date(spare.since)),
            ];
            rows.push(shown(&teller.say("papers.shelf-transfer", &values)));
        }
        for take in &line.on_hand {
            let Some(spare) = teller.shop.spare_garments().get(take.entry) else { continue };
            let name = format!("{}, {}, {}", teller.shop.garment(spare.garment).name, spare.colour, spare.size);
            let values = [count(take), text("garment", name), text("place", teller.shelf_place(&spare.place))];
            rows.push(shown(&teller.say("papers.shelf-garment", &values)));
        }
    }
    rows
}

/// "For River Kite Days and two more": every order by name.
fn subtitle(teller: &Papers<'_>) -> String {
    let names: Vec<String> = teller.plan.orders.iter().map(|order| words::clean(&order.name)).collect();
    shown(&teller.say("papers.for-orders", &[text("orders", teller.speech.list(&names))]))
}

fn list(teller: &Papers<'_>, purchase: &Purchase) -> SupplierList {
    let supplier = teller.shop.supplier(purchase.supplier);
    let name = text("supplier", supplier.name.as_str());
    let mut sums = vec![(teller.label("papers.goods"), teller.money(purchase.goods))];
    if purchase.set_up.minor() != 0 {
        sums.push((teller.label("papers.set-up"), teller.money(purchase.set_up)));
    }
    if purchase.top_up.minor() != 0 {
        let label = match supplier.minimum {
            Some(minimum) => teller.say("papers.top-up", &[Named { name: "minimum", value: Value::Money(minimum) }]),
            None => teller.label("papers.top-up-bare"),
        };
        sums.push((label, teller.money(purchase.top_up)));
    }
    if purchase.handling.minor() != 0 {
        sums.push((teller.label("papers.handling"), teller.money(purchase.handling)));
    }
    let freight = match supplier.freight.free_from {
        Some(from) => teller.say("papers.freight-free", &[Named { name: "from", value: Value::Money(from) }]),
        None => teller.label("papers.freight"),
    };
    sums.push((freight, teller.money(purchase.freight)));
    if let Some(second) = purchase.second {
        let arrives = Named { name: "arrives", value: Value::Date(second.arrives) };
        sums.push((teller.say("papers.second-freight", &[arrives]), teller.money(second.freight)));
    }
    if let Some(rush) = purchase.rush.filter(|rush| rush.taken) {
        sums.push((teller.label("papers.rush-fee"), teller.money(rush.price)));
    }
    SupplierList {
        supplier: shown(&supplier.name),
        order_by: teller.speech.moment(purchase.order_by.value),
        arrives: teller.speech.date(purchase.arrives),
        earliest: teller.speech.date(purchase.earliest),
        items: purchase.items.iter().map(|bought| item(teller, purchase, bought)).collect(),
        sums,
        sum_label: shown(&teller.say("papers.sum-for", &[name])),
        total: teller.money(purchase.total),
        more: purchase.more.iter().flat_map(|more| teller.why(&more.why)).collect(),
        why: teller.why(&purchase.order_by.why),
    }
}

fn item(teller: &Papers<'_>, purchase: &Purchase, bought: &PurchaseItem) -> Item {
    let (what, mut details, rgb) = match &bought.goods {
        Goods::Stock { item, colour, length, pool } => stock(teller, (*item, *pool), colour.as_deref(), *length),
        Goods::Garment { style, colour, size, .. } => {
            let style = teller.shop.garment(*style);
            let rgb = style.colour(colour).map(|colour| colour.rgb);
            (shown(&format!("{}, {colour}, {size}", style.name)), Vec::new(), rgb)
        }
    };
    details.extend(for_orders(teller, &bought.goods));
    if let Some(second) = purchase.second.filter(|_| bought.second) {
        let comes = teller.say("papers.comes-later", &[Named { name: "arrives", value: Value::Date(second.arrives) }]);
        details.push(comes);
    }
    Item {
        quantity: teller.speech.count(i64::from(bought.quantity)),
        what,
        detail: (!details.is_empty()).then(|| details.join(" · ")),
        rgb,
        unit: teller.money(bought.unit),
        total: teller.money(bought.total),
    }
}

/// Whose goods they are, when several orders are bought for together.
fn for_orders(teller: &Papers<'_>, goods: &Goods) -> Option<String> {
    if teller.plan.orders.len() < 2 {
        return None;
    }
    let name = |at: usize| teller.plan.orders.get(at).map(|order| words::clean(&order.name));
    let names: Vec<String> = goods.orders(teller.plan).into_iter().filter_map(name).collect();
    let said = match names.len() {
        0 => return None,
        1..=MOST_NAMES => teller.say("papers.for-orders", &[text("orders", teller.speech.list(&names))]),
        all => {
            let count = Named::count("count", i64::try_from(all - MOST_NAMES).unwrap_or(i64::MAX));
            let orders = text("orders", names.get(..MOST_NAMES).unwrap_or_default().join(", "));
            teller.say("papers.for-orders-many", &[orders, count])
        }
    };
    Some(shown(&said))
}

fn stock(
    teller: &Papers<'_>,
    (item, pool): (trade::StockId, usize),
    colour: Option<&str>,
    length: Option<Length>,
) -> (String, Vec<String>, Option<[u8; 3]>) {
    let pool = teller.plan.pools.get(pool);
    let transfer = pool.map(|pool| teller.shop.transfer(pool.transfer));
    let mut what = teller.shop.stock_item(item).name.clone();
    if let Some(colour) = colour {
        what = format!("{what}, {colour}");
    }
    let mut details: Vec<String> = transfer.iter().map(|transfer| shown(&transfer.name)).collect();
    details.extend(length.map(|length| {
        teller.say("papers.of-length", &[text("length", tight(&teller.speech.length_both(length)))]).to_lowercase()
    }));
    details.extend(pool.map(|pool| teller.say("papers.print-file", &[text("key", pool.key.as_str())]).to_lowercase()));
    let rgb = transfer.zip(colour).and_then(|(transfer, colour)| film_rgb(transfer, colour));
    (shown(&what), details, rgb)
}

pub(crate) fn sheets(teller: &Papers<'_>) -> SheetMap {
    let names: Vec<String> = teller.plan.orders.iter().map(|order| words::clean(&order.name)).collect();
    SheetMap {
        frame: teller.frame("papers.sheets", &names.join(", ")),
        subtitle: subtitle(teller),
        pools: teller.plan.pools.iter().enumerate().map(|(at, pool)| map_pool(teller, at, pool)).collect(),
    }
}

fn map_pool(teller: &Papers<'_>, at: usize, pool: &Pool) -> MapPool {
    let transfer = teller.shop.transfer(pool.transfer);
    let colour = pool.colour.as_deref();
    MapPool {
        title: shown(
            &teller
                .say("papers.sheet-key", &[text("key", pool.key.as_str()), text("transfer", transfer.name.as_str())]),
        ),
        colour: colour.map(shown),
        rgb: colour.and_then(|colour| film_rgb(transfer, colour)),
        sheets: runs(&pool.layout.sheets).into_iter().map(|run| map_sheet(teller, at, run, pool)).collect(),
    }
}

/// Sheets one after the other that are laid out alike, as first and number.
fn runs(sheets: &[nest::Sheet]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (at, sheet) in sheets.iter().enumerate() {
        match runs.last_mut() {
            Some((first, many)) if alike(&sheets[*first], sheet) => *many = many.saturating_add(1),
            _ => runs.push((at, 1)),
        }
    }
    runs
}

/// The same pieces in the same places; which copies they are does not matter.
fn alike(a: &nest::Sheet, b: &nest::Sheet) -> bool {
    let same = |(a, b): (&nest::Piece, &nest::Piece)| {
        (a.design, a.mirrored) == (b.design, b.mirrored)
            && (a.x_mm, a.y_mm, a.rotation_deg) == (b.x_mm, b.y_mm, b.rotation_deg)
    };
    a.stock == b.stock && a.pieces.len() == b.pieces.len() && a.pieces.iter().zip(&b.pieces).all(same)
}

fn map_sheet(teller: &Papers<'_>, at: usize, (index, alike): (usize, usize), pool: &Pool) -> MapSheet {
    let sheet = &pool.layout.sheets[index];
    let count = |count: usize| i64::try_from(count).unwrap_or(i64::MAX);
    let length = |mm: f64| Length::from_mm(mm).map_or_else(|| "—".to_owned(), |length| teller.speech.length(length));
    let mut notes = Vec::new();
    if let Some(stock) = pool.stock.get(sheet.stock) {
        notes.push(shown(&teller.shop.stock_item(stock.item).name));
        if stock.on_hand {
            notes.push(teller.label("papers.on-hand").to_lowercase());
        }
    }
    notes.push(teller.say(
        "papers.sheet-used",
        &[text("used", length(sheet.used_length_mm)), text("length", length(sheet.charged_length_mm))],
    ));
    notes.push(teller.say("papers.sheet-pieces", &[Named::count("count", count(sheet.pieces.len()))]));
    let rows = uses_on(pool, sheet, alike);
    let numbers = [
        Named::count("number", count(index.saturating_add(1))),
        Named::count("last", count(index.saturating_add(alike))),
        Named::count("count", count(pool.layout.sheets.len())),
        Named::count("alike", count(alike)),
    ];
    MapSheet {
        title: teller.say(if alike > 1 { "papers.sheets-alike" } else { "papers.sheet-of" }, &numbers),
        notes: notes.join(" · "),
        pictures: teller.pictures.sheets.get(&(at, index)).cloned().unwrap_or_default(),
        rows: rows.into_iter().map(|(of, here)| map_row(teller, of, here)).collect(),
    }
}

/// Whose copies lie on a sheet, and how many. Where one layout is made several
/// times a piece stands for several copies, and everyone who may take some is named.
fn uses_on(pool: &Pool, sheet: &nest::Sheet, alike: usize) -> Vec<(plan::PoolUse, usize)> {
    let mut all: Vec<(plan::PoolUse, usize)> = Vec::new();
    for (at, design) in pool.designs.iter().enumerate() {
        let pieces: Vec<u32> = sheet.pieces.iter().filter(|piece| piece.design == at).map(|piece| piece.copy).collect();
        for one in design.uses() {
            let own = pieces.iter().filter(|copy| design.use_of(**copy) == one).count();
            let here = if alike > 1 { pieces.len() } else { own };
            if here > 0 {
                all.push((one, here));
            }
        }
    }
    all
}

fn map_row(teller: &Papers<'_>, of: plan::PoolUse, here: usize) -> MapRow {
    let order = teller.plan.orders.get(of.order);
    let line = order.and_then(|order| order.lines.get(of.line));
    let print = line.and_then(|line| line.prints.get(of.print));
    let mut belongs: Vec<String> = order.iter().map(|order| shown(&order.name)).collect();
    belongs.extend(line.map(|line| shown(&line.garment_name)));
    belongs.extend(print.map(|print| teller.position(print)));
    MapRow {
        mark: [of.order, of.line, of.print].map(|index| index.saturating_add(1).to_string()).join("."),
        art: print.map_or_else(|| "—".to_owned(), |print| shown(&print.art)),
        belongs: belongs.join(" · "),
        here: teller.speech.count(i64::try_from(here).unwrap_or(i64::MAX)),
        size: print.and_then(|print| teller.print_size(print)),
    }
}
