//! What layouts cost where several of them use one sheet or roll: its price breaks count
//! everything of it that is bought together, whatever the layout and the film colour.

use crate::layout;
use crate::result::Pool;
use std::collections::BTreeMap;
use std::sync::Arc;
use trade::{Shop, StockId, StockShape};

/// How many sheets, or steps of a roll, are bought of each item.
type Bought = BTreeMap<StockId, i64>;

/// The price breaks as the packing engine weighs them within one layout.
pub(crate) fn breaks(shape: &StockShape) -> Vec<(u32, i64)> {
    shape.by_quantity().into_iter().skip(1).map(|(from, price)| (from, price.minor())).collect()
}

/// What is bought for the layouts, item by item.
pub(crate) fn bought<'p>(shop: &Shop, pools: impl IntoIterator<Item = &'p Pool>) -> Bought {
    let mut all = Bought::new();
    for pool in pools {
        for sheet in &pool.layout.sheets {
            let Some(entry) = pool.stock.get(sheet.stock).filter(|entry| !entry.on_hand) else { continue };
            let units = shop.stock_item(entry.item).shape.units(sheet.charged_length_mm);
            let sum = all.entry(entry.item).or_default();
            *sum = sum.saturating_add(units);
        }
    }
    all
}

/// Layouts of orders that are bought for together (those of one number in `windows`), at the price of all of them.
pub(crate) fn reprice(shop: &Shop, pools: &mut [Pool], windows: &[usize]) {
    let window = |pool: &Pool| {
        let order = pool.designs.first().map_or(0, |design| design.order);
        windows.get(order).copied().unwrap_or(0)
    };
    let mut by_window: BTreeMap<usize, Vec<&mut Pool>> = BTreeMap::new();
    for pool in pools {
        by_window.entry(window(pool)).or_default().push(pool);
    }
    for mut pools in by_window.into_values() {
        let bought = bought(shop, pools.iter().map(|pool| &**pool));
        for pool in pools.iter_mut().filter(|pool| is_lower(shop, pool, &bought)) {
            at_prices_of(shop, pool, &bought);
        }
    }
}

/// Layouts that are all bought together, at the price of all of them.
pub(crate) fn all_together(shop: &Shop, mut pools: Vec<Arc<Pool>>) -> Vec<Arc<Pool>> {
    let bought = bought(shop, pools.iter().map(AsRef::as_ref));
    for pool in pools.iter_mut().filter(|pool| is_lower(shop, pool, &bought)) {
        at_prices_of(shop, Arc::make_mut(pool), &bought);
    }
    pools
}

/// Whether all together reach a break that the layout by itself does not.
fn is_lower(shop: &Shop, pool: &Pool, bought: &Bought) -> bool {
    self::bought(shop, [pool]).iter().any(|(item, own)| {
        let shape = &shop.stock_item(*item).shape;
        bought.get(item).is_some_and(|all| shape.unit_price(*all) != shape.unit_price(*own))
    })
}

/// The quantity is known now, so one price is left of the breaks, and the layout can be checked by it.
fn at_prices_of(shop: &Shop, pool: &mut Pool, bought: &Bought) {
    for (stock, entry) in pool.instance.stock.iter_mut().zip(&pool.stock).filter(|(_, entry)| !entry.on_hand) {
        let Some(many) = bought.get(&entry.item) else { continue };
        let each = shop.stock_item(entry.item).shape.unit_price(*many).minor();
        match &mut stock.kind {
            nest::StockKind::Sheet { price, .. } | nest::StockKind::Roll { price_per_step: price, .. } => *price = each,
        }
        stock.identical.retain(|(_, identical)| *identical < each);
        stock.by_quantity.clear();
    }
    nest::reprice(&pool.instance, &mut pool.layout);
    pool.cost = layout::cost(shop, &pool.layout);
}
