//! What a selection of transfers costs with its sheets laid out for real.

use crate::buy;
use crate::choose::{self, Asked};
use crate::draft::LineDraft;
use crate::layout::{self, Look, Taken, Wanted};
use crate::offer::Books;
use trade::Shop;
use units::{Money, MoneyError};

/// Sheets and film with their carriage, cutting apart, and the work the model
/// counts, minor units; `None` where something has no transfer, no place or no sum.
pub(crate) fn laid_out(
    shop: &Shop,
    asked: &[Asked<'_>],
    taken: &[Option<usize>],
    look: Look,
    books: &Books<'_>,
) -> Option<i64> {
    let (wanted, _) = books.shelf.first(wanted(shop, asked, taken)?);
    let pools = layout::priced(shop, &wanted, look, &books.priced);
    let whole = pools.iter().all(|pool| pool.layout.complete);
    let placed: usize = pools.iter().flat_map(|pool| &pool.designs).map(|design| 1 + design.also.len()).sum();
    if !whole || placed != wanted.len() {
        return None;
    }
    let goods = goods(shop, &pools.iter().map(AsRef::as_ref).collect::<Vec<_>>()).ok()?;
    goods.checked_add(choose::work_cost(shop, &books.shelf, asked, taken))
}

fn goods(shop: &Shop, pools: &[&crate::Pool]) -> Result<i64, MoneyError> {
    let mut sum = Money::zero(shop.currency);
    for pool in pools {
        sum = sum.plus(pool.cost.value)?;
    }
    let mut basket = buy::Basket::new();
    buy::stock_basket(shop, pools.iter().copied().enumerate(), &mut basket)?;
    for (supplier, parcel) in &basket {
        sum = sum.plus(buy::carriage(shop.supplier(*supplier), parcel.goods()?)?.sum()?)?;
    }
    Ok(sum.minor())
}

/// What must be made, line by line; lines that cannot be made anyway are left out. `None` when nothing is left.
fn wanted<'a>(shop: &Shop, asked: &[Asked<'a>], taken: &[Option<usize>]) -> Option<Vec<Wanted<'a>>> {
    let mut lines: Vec<(&'a LineDraft<'a>, Vec<Taken>)> = Vec::new();
    for (ask, at) in asked.iter().zip(taken) {
        // A print without any suitable transfer stops its line whatever is selected for the others.
        let Some(candidate) = at.and_then(|at| ask.offers.get(at)).map(|offer| &offer.candidate) else { continue };
        let transfer = Taken::of(candidate);
        match lines.last_mut().filter(|(line, _)| line.subject == ask.line.subject) {
            Some((_, transfers)) => transfers.push(transfer),
            None => lines.push((ask.line, vec![transfer])),
        }
    }
    let mut all = Vec::new();
    for (line, transfers) in &lines {
        if transfers.len() == line.prints.len() {
            all.extend(layout::wanted(shop, line, transfers, line.pieces()));
        }
    }
    (!all.is_empty()).then_some(all)
}
