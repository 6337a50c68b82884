//! What is bought, of whom, by when.

use super::dates::moment;
use super::figures::FigureFile;
use crate::form::plan_file::money_figure;
use crate::result::{Goods, Plan, Purchase};
use schemars::JsonSchema;
use serde::Serialize;
use trade::Shop;

/// One purchase.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct PurchaseFile {
    supplier: String,
    items: Vec<ItemFile>,
    goods: i64,
    set_up: i64,
    top_up: i64,
    handling: i64,
    freight: i64,
    /// What the supplier must first wait for, when it comes by itself.
    second: Option<SecondFile>,
    total: i64,
    order_by: FigureFile<String>,
    arrives: String,
    earliest: String,
    /// Faster delivery, where the supplier sells any.
    rush: Option<RushFile>,
    /// What buying more would save in all; nothing is bought so by itself.
    more: Vec<FigureFile<i64>>,
}

/// A second delivery.
#[derive(Debug, Serialize, JsonSchema)]
struct SecondFile {
    arrives: String,
    freight: i64,
}

/// Faster delivery.
#[derive(Debug, Serialize, JsonSchema)]
struct RushFile {
    price: i64,
    arrives: String,
    usually: String,
    taken: bool,
}

/// One item of a purchase.
#[derive(Debug, Serialize, JsonSchema)]
struct ItemFile {
    what: String,
    colour: Option<String>,
    size: Option<String>,
    length_mm: Option<f64>,
    quantity: u32,
    unit: i64,
    total: i64,
    /// Comes in the second delivery.
    second: bool,
    /// The orders it is for, counted from 0.
    orders: Vec<usize>,
}

pub(in crate::form::plan_file) fn purchase(shop: &Shop, plan: &Plan, purchase: &Purchase) -> PurchaseFile {
    PurchaseFile {
        supplier: shop.supplier(purchase.supplier).id.clone(),
        items: purchase
            .items
            .iter()
            .map(|item| {
                let (what, colour, size, length_mm) = match &item.goods {
                    Goods::Stock { item, colour, length, .. } => {
                        (shop.stock_item(*item).id.clone(), colour.clone(), None, length.map(|l| l.mm()))
                    }
                    Goods::Garment { style, colour, size, .. } => {
                        (shop.garment(*style).id.clone(), Some(colour.clone()), Some(size.clone()), None)
                    }
                };
                let (unit, total) = (item.unit.minor(), item.total.minor());
                let (quantity, second, orders) = (item.quantity, item.second, item.goods.orders(plan));
                ItemFile { what, colour, size, length_mm, quantity, unit, total, second, orders }
            })
            .collect(),
        goods: purchase.goods.minor(),
        set_up: purchase.set_up.minor(),
        top_up: purchase.top_up.minor(),
        handling: purchase.handling.minor(),
        freight: purchase.freight.minor(),
        second: purchase
            .second
            .map(|second| SecondFile { arrives: second.arrives.to_string(), freight: second.freight.minor() }),
        total: purchase.total.minor(),
        order_by: moment(&purchase.order_by),
        arrives: purchase.arrives.to_string(),
        earliest: purchase.earliest.to_string(),
        rush: purchase.rush.map(|rush| RushFile {
            price: rush.price.minor(),
            arrives: rush.arrives.to_string(),
            usually: rush.usually.to_string(),
            taken: rush.taken,
        }),
        more: purchase.more.iter().map(money_figure).collect(),
    }
}
