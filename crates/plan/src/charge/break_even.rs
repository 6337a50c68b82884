//! Two ways of making one line over the quantity: from where on the other is cheaper.

use super::ways::Extras;
use super::{Bench, alone, designs_of, line_basis, whole};
use crate::draft::LineDraft;
use crate::offer::Offer;
use crate::planning::taken;
use crate::price::LineBasis;
use crate::result::{BreakEven, BreakEvenPoint, Candidate, Choice, Fit};
use rayon::prelude::*;
use std::collections::BTreeMap;
use trade::{TransferId, Way as Making};
use units::{Money, MoneyError};

/// The line as it is made, against the cheapest other way of making it: bought prints
/// against film cut in the shop where the shelf has both, else the next transfer.
///
/// Costs are those of the line made alone, its sheets laid out for each quantity.
/// `None` where no other transfer suits any of its prints.
pub(super) fn break_even(
    bench: &Bench<'_>,
    at: usize,
    draft: &LineDraft<'_>,
    choices: &[Choice],
    offers: &[Vec<Offer>],
    basis: &LineBasis,
) -> Result<Option<BreakEven>, MoneyError> {
    let Some(other) = other_way(bench, choices, offers) else { return Ok(None) };
    let (Some(here), Some(there)) = (taken(choices), taken(&other)) else { return Ok(None) };
    let weeding = super::weeding_of(bench.shop, &other, offers);
    let new_art = bench.orders.get(at).map_or(0, |order| designs_of(order, draft));
    let extras = Extras::of(bench.way(at));
    let other_basis = line_basis(
        bench.shop,
        (draft, bench.beside(at, draft)),
        &other,
        whole(weeding),
        new_art,
        draft.pieces(),
        &extras,
    )?;
    let cost_at = |pieces: u32| -> Result<BreakEvenPoint, MoneyError> {
        let here = alone(bench, draft, &here, basis, pieces)?;
        let there = alone(bench, draft, &there, &other_basis, pieces)?;
        Ok(BreakEvenPoint { pieces, costs: [here, there] })
    };
    let mut points: BTreeMap<u32, BreakEvenPoint> = BTreeMap::new();
    let steps = quantities(bench, draft.pieces());
    for point in steps.par_iter().map(|pieces| cost_at(*pieces)).collect::<Result<Vec<_>, MoneyError>>()? {
        points.insert(point.pieces, point);
    }
    let mut changes = Vec::new();
    for pair in steps.windows(2) {
        let (Some(low), Some(high)) = (points.get(&pair[0]).copied(), points.get(&pair[1]).copied()) else { continue };
        if cheaper(&low) != cheaper(&high) {
            let first = first_change(low, high, &cost_at)?;
            changes.push((first.pieces, cheaper(&first)));
            points.insert(first.pieces, first);
        }
    }
    let transfers = |taken: &[crate::layout::Taken]| taken.iter().map(|one| one.transfer).collect();
    Ok(Some(BreakEven { ways: [transfers(&here), transfers(&there)], points: points.into_values().collect(), changes }))
}

/// The way that is cheaper at a point; the line's own where both cost the same.
fn cheaper(point: &BreakEvenPoint) -> usize {
    usize::from(point.costs[1].minor() < point.costs[0].minor())
}

/// The first quantity between two at which the cheaper way is that of the larger one.
///
/// Halves the gap, as if the ways crossed once in it; sheets are bought whole, so they may
/// cross more often, and what is found is one place where they do.
fn first_change(
    mut low: BreakEvenPoint,
    mut high: BreakEvenPoint,
    cost_at: &impl Fn(u32) -> Result<BreakEvenPoint, MoneyError>,
) -> Result<BreakEvenPoint, MoneyError> {
    let there = cheaper(&high);
    while high.pieces - low.pieces > 1 {
        let middle = cost_at(low.pieces + (high.pieces - low.pieces) / 2)?;
        if cheaper(&middle) == there {
            high = middle;
        } else {
            low = middle;
        }
    }
    Ok(high)
}

/// Quantities looked at: one piece, those of the shop's ladder and the line's own, rising.
fn quantities(bench: &Bench<'_>, own: u32) -> Vec<u32> {
    let ladder = bench.shop.pricing.ladder.iter().map(|step| step.from);
    let mut all: Vec<u32> = std::iter::once(1).chain(ladder).chain(std::iter::once(own)).collect();
    all.retain(|pieces| *pieces > 0);
    all.sort_unstable();
    all.dedup();
    all
}

/// The other way: for each print the cheapest transfer that is made otherwise; where none
/// is, the cheapest other one; its own where there is no other. `None` where nothing changes.
fn other_way(bench: &Bench<'_>, choices: &[Choice], offers: &[Vec<Offer>]) -> Option<Vec<Choice>> {
    let otherwise = |making: Option<Making>| -> Option<Vec<Choice>> {
        let mut changed = false;
        let all = choices
            .iter()
            .zip(offers)
            .map(|(choice, offers)| {
                let own = choice.taken()?.transfer;
                let best = cheapest(offers, |transfer| {
                    transfer != own && making.is_none_or(|own| made(bench, transfer) != own)
                });
                changed |= best.is_some();
                let chosen = best.or(choice.chosen);
                Some(Choice { chosen, ..choice.clone() })
            })
            .collect::<Option<Vec<Choice>>>();
        all.filter(|_| changed)
    };
    let own = choices.first().and_then(Choice::taken).map(|taken| made(bench, taken.transfer));
    otherwise(own).or_else(|| otherwise(None))
}

/// The offer that suits best and costs least among some transfers.
pub(super) fn cheapest(offers: &[Offer], of: impl Fn(TransferId) -> bool) -> Option<usize> {
    let fits = |candidate: &Candidate| candidate.fit != Fit::DoesNot && of(candidate.transfer);
    let cost = |candidate: &Candidate| candidate.estimate.map_or(i64::MAX, Money::minor);
    let all = offers.iter().map(|offer| &offer.candidate).enumerate().filter(|(_, candidate)| fits(candidate));
    all.min_by_key(|(at, candidate)| (candidate.fit, cost(candidate), *at)).map(|(at, _)| at)
}

fn made(bench: &Bench<'_>, transfer: TransferId) -> Making {
    bench.shop.transfer(transfer).way
}
