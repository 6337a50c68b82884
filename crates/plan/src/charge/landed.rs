//! What the prints of a line cost to have in the shop, each way of getting them, over the
//! quantity: sheets and film with what carriage, handling and minimums add to them.

use super::break_even::cheapest;
use super::{Bench, material, weeding_of, whole};
use crate::buy::{self, Carriage};
use crate::draft::LineDraft;
use crate::layout::{self, Taken};
use crate::offer::Offer;
use crate::planning::taken;
use crate::price::{self, LineBasis};
use crate::result::{Choice, Fit, Landed, LandedPoint, Pool};
use rayon::prelude::*;
use std::collections::BTreeMap;
use trade::{Shop, SupplierId, TransferId, Way as Making};
use units::{Duration, Money, MoneyError};

/// Quantities looked at beside the line's own: where freight and minimums weigh most. Each is laid
/// out for every way of making, so they are few.
const QUANTITIES: [u32; 5] = [1, 3, 6, 12, 24];

/// The line's own way first, then for each further way of making the transfers of that way that
/// cost least to have here in the line's own quantity, where every print has one.
pub(super) fn landed(
    bench: &Bench<'_>,
    draft: &LineDraft<'_>,
    choices: &[Choice],
    offers: &[Vec<Offer>],
    basis: &LineBasis,
) -> Result<Vec<Landed>, MoneyError> {
    let basis = &basis.alone(basis.office_s);
    let own = made_of(bench, choices);
    let mut ways = vec![(own, choices.to_vec())];
    for making in [Making::CutInShop, Making::PrintedInShop, Making::Bought] {
        if own == Some(making) {
            continue;
        }
        let mut best: Option<((Fit, i64, i64), Vec<Choice>)> = None;
        for made in made_as(bench, choices, offers, making) {
            let Some(taken) = taken(&made) else { continue };
            let weeding_s = whole(weeding_of(bench.shop, &made, offers));
            let point = point(bench, draft, &taken, basis, weeding_s, draft.pieces())?;
            let worst = made.iter().filter_map(|choice| Some(choice.taken()?.fit)).max().unwrap_or(Fit::DoesNot);
            let key = (worst, point.total.minor(), point.goods.minor());
            if best.as_ref().is_none_or(|(known, _)| key < *known) {
                best = Some((key, made));
            }
        }
        ways.extend(best.map(|(_, made)| (Some(making), made)));
    }
    let mut all = Vec::new();
    for (making, choices) in ways {
        let Some(taken) = taken(&choices) else { continue };
        let weeding_s = whole(weeding_of(bench.shop, &choices, offers));
        let at = |pieces: &u32| point(bench, draft, &taken, basis, weeding_s, *pieces);
        let points = quantities(draft.pieces()).par_iter().map(at).collect::<Result<Vec<_>, MoneyError>>()?;
        all.push(Landed { making, transfers: taken.iter().map(|one| one.transfer).collect(), points });
    }
    Ok(all)
}

/// All prints made one way, once with each transfer of that way wherever it suits: a print's own
/// transfer or the cheapest of that way elsewhere. Nothing where a print has none.
fn made_as(bench: &Bench<'_>, choices: &[Choice], offers: &[Vec<Offer>], making: Making) -> Vec<Vec<Choice>> {
    let of_way = |transfer: TransferId| bench.shop.transfer(transfer).way == making;
    let mut transfers: Vec<TransferId> = offers.iter().flatten().map(|offer| offer.candidate.transfer).collect();
    transfers.retain(|transfer| of_way(*transfer));
    transfers.sort_unstable();
    transfers.dedup();
    let with = |wished: TransferId| -> Option<Vec<Choice>> {
        let of_print = |(choice, offers): (&Choice, &Vec<Offer>)| {
            let own = || choice.taken().filter(|own| of_way(own.transfer)).and(choice.chosen);
            let chosen = cheapest(offers, |transfer| transfer == wished).or_else(own);
            let chosen = chosen.or_else(|| cheapest(offers, of_way))?;
            Some(Choice { chosen: Some(chosen), ..choice.clone() })
        };
        choices.iter().zip(offers).map(of_print).collect()
    };
    transfers.into_iter().filter_map(with).collect()
}

/// How all prints of a line are got; `None` where some are got otherwise than others.
fn made_of(bench: &Bench<'_>, choices: &[Choice]) -> Option<Making> {
    let mut all = choices.iter().filter_map(|choice| Some(bench.shop.transfer(choice.taken()?.transfer).way));
    let first = all.next()?;
    all.all(|way| way == first).then_some(first)
}

fn quantities(own: u32) -> Vec<u32> {
    let mut all: Vec<u32> = QUANTITIES.into_iter().chain(std::iter::once(own)).filter(|pieces| *pieces > 0).collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// What the prints of a line use, made alone, and of whom it is bought.
pub(super) struct Sources {
    /// Sheets and film, set-ups of layouts included.
    pub transfers: Money,
    pub set_up: Money,
    pub trimming_s: i64,
    /// Transfers that lie ready.
    pub ready: u32,
    /// Sheets and lengths that lie here.
    pub on_hand: u32,
    /// Goods of each supplier.
    pub goods: BTreeMap<SupplierId, Money>,
}

/// Lays out the prints of a line made alone in so many pieces, for their price.
pub(super) fn sources(
    bench: &Bench<'_>,
    draft: &LineDraft<'_>,
    taken: &[Taken],
    pieces: u32,
) -> Result<Sources, MoneyError> {
    let shop = bench.shop;
    let (wanted, from_shelf) = bench.books.shelf.first(layout::wanted(shop, draft, taken, pieces));
    let pools = layout::priced(shop, &wanted, bench.look, &bench.books.priced);
    let mut basket = buy::Basket::new();
    buy::stock_basket(shop, pools.iter().map(AsRef::as_ref).enumerate(), &mut basket)?;
    let (transfers, trimming_s) = material::of_pools(shop, pools.iter().map(AsRef::as_ref))?;
    let (mut goods, mut set_up) = (BTreeMap::new(), Money::zero(shop.currency));
    for (supplier, parcel) in &basket {
        goods.insert(*supplier, parcel.goods()?);
        set_up = set_up.plus(parcel.set_up)?;
    }
    let ready = from_shelf.iter().map(|(_, take)| take.count).fold(0, u32::saturating_add);
    let lies_here = |pool: &Pool| {
        let here = |sheet: &&nest::Sheet| pool.stock.get(sheet.stock).is_some_and(|entry| entry.on_hand);
        pool.layout.sheets.iter().filter(here).count()
    };
    let on_hand = u32::try_from(pools.iter().map(|pool| lies_here(pool)).sum::<usize>()).unwrap_or(u32::MAX);
    Ok(Sources { transfers, set_up, trimming_s, ready, on_hand, goods })
}

fn point(
    bench: &Bench<'_>,
    draft: &LineDraft<'_>,
    taken: &[Taken],
    basis: &LineBasis,
    weeding_s: i64,
    pieces: u32,
) -> Result<LandedPoint, MoneyError> {
    let shop = bench.shop;
    let zero = Money::zero(shop.currency);
    let sources = sources(bench, draft, taken, pieces)?;
    let blanks = match (&basis.blanks, draft.style.supplier) {
        (Some(blanks), Some(supplier)) => Some((supplier, blanks.at(pieces, zero)?)),
        _ => None,
    };
    let mut adds = Carriage::none(zero);
    let mut rush = zero;
    for (supplier, goods) in &sources.goods {
        // Garments of the same supplier come with it anyway.
        let before = blanks.filter(|(of, value)| of == supplier && value.minor() > 0).map(|(_, value)| value);
        let (one, more) = added(shop, *supplier, *goods, before)?;
        adds = adds.plus(one)?;
        let order = draft.subject.order.unwrap_or(0);
        rush = rush.plus(bench.rush(order, *supplier, more)?)?;
        if let Some(before) = before {
            rush = rush.minus(bench.rush(order, *supplier, before)?)?;
        }
    }
    let seconds = price::started(weeding_s.saturating_mul(i64::from(pieces)), shop.spoilage.garment_loss.value);
    Ok(LandedPoint {
        pieces,
        ready: sources.ready,
        on_hand: sources.on_hand,
        goods: sources.transfers.minus(sources.set_up)?,
        set_up: sources.set_up,
        top_up: adds.top_up,
        handling: adds.handling,
        freight: adds.freight,
        rush,
        total: sources.transfers.plus(adds.sum()?)?.plus(rush)?,
        work: Duration::from_s(seconds.saturating_add(sources.trimming_s) as f64).unwrap_or_default(),
    })
}

/// What goods of a supplier add to what a parcel of it costs beside the goods; and the value of the whole parcel.
fn added(
    shop: &Shop,
    supplier: SupplierId,
    goods: Money,
    before: Option<Money>,
) -> Result<(Carriage, Money), MoneyError> {
    let supplier = shop.supplier(supplier);
    let Some(before) = before else { return Ok((buy::carriage(supplier, goods)?, goods)) };
    let all = goods.plus(before)?;
    let (with, without) = (buy::carriage(supplier, all)?, buy::carriage(supplier, before)?);
    Ok((with.minus(without)?, all))
}
