//! One selection for the whole order, out of what fits each print.
//!
//! Everyday: least total cost in a stated model – film by area but at least the
//! smallest sheet or length of each pool, work, and each supplier's minimum and
//! carriage once. Found exactly by trying every set of transfers (a set decides
//! the best transfer of each print), which is possible because shelves are
//! short; of a longer shelf only the transfers that are cheapest for some print
//! or fit most prints are tried. Stronger and finest: what lasts longest.

use crate::draft::LineDraft;
use crate::offer::Offer;
use crate::result::{Candidate, Choice, Fit};
use crate::{Way, buy, codes};
use report::{Finding, Origin, Reason, Severity, Value};
use std::collections::BTreeMap;
use trade::{Shop, StockShape, SupplierId, TransferId};
use units::Money;

/// A print with its offers and its quantity.
pub(crate) struct Asked<'a> {
    pub line: &'a LineDraft<'a>,
    pub print: usize,
    pub offers: &'a [Offer],
    pub pieces: u32,
}

/// Most transfers of which every set is tried: 4,096 sets.
const MOST_TRIED: usize = 12;

/// A transfer for each print of an order.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Selection {
    /// The index of the offer taken for each print; `None` where nothing suits.
    pub taken: Vec<Option<usize>>,
    /// Its cost in the stated model, minor units.
    pub model: i64,
}

/// Selections worth laying out, the cheapest in the stated model first; at least one.
pub(crate) fn select(shop: &Shop, asked: &[Asked<'_>], way: Way) -> Vec<Selection> {
    match way {
        Way::Everyday => least_cost(shop, asked),
        Way::Stronger | Way::Finest => {
            let taken: Vec<Option<usize>> = asked.iter().map(|ask| longest_lasting(shop, ask)).collect();
            vec![Selection { model: model_cost(shop, asked, &taken), taken }]
        }
    }
}

/// Selections laid out for real, and how much dearer than the cheapest one in the
/// model (a quarter more) the last of them may be: the model prices film by area
/// at three quarters used, which real layouts miss by about that much.
const LAID_OUT: usize = 4;
const WORTH_A_LOOK: (i64, i64) = (5, 4);

/// Offers that may be taken: those that fit, else those that fit under conditions;
/// a person's own choice alone where there is one.
fn open(shop: &Shop, ask: &Asked<'_>) -> Vec<usize> {
    let wish = ask.line.prints.get(ask.print).and_then(|print| print.wish.transfer.as_deref());
    let wished = wish.map(|name| shop.find_transfer(name));
    let fitting = |fit: Fit| -> Vec<usize> {
        let mut all: Vec<usize> = Vec::new();
        for (at, offer) in ask.offers.iter().enumerate() {
            let chosen = wished.is_none_or(|wished| wished == Some(offer.candidate.transfer));
            if chosen && offer.candidate.fit == fit {
                all.push(at);
            }
        }
        all
    };
    let plain = fitting(Fit::Fits);
    if plain.is_empty() { fitting(Fit::WithConditions) } else { plain }
}

fn longest_lasting(shop: &Shop, ask: &Asked<'_>) -> Option<usize> {
    let cost = |at: &usize| ask.offers[*at].candidate.estimate.map_or(i64::MAX, Money::minor);
    open(shop, ask).into_iter().min_by_key(|at| (std::cmp::Reverse(ask.offers[*at].candidate.lasting), cost(at), *at))
}

fn least_cost(shop: &Shop, asked: &[Asked<'_>]) -> Vec<Selection> {
    let open: Vec<Vec<usize>> = asked.iter().map(|ask| open(shop, ask)).collect();
    let shelf = tried(asked, &open);
    let mut best: Vec<Selection> = Vec::new();
    for set in 1_u32..(1 << shelf.len()) {
        let within = |transfer: TransferId| {
            shelf.iter().position(|known| *known == transfer).is_some_and(|bit| set & (1 << bit) != 0)
        };
        let Some(taken) = assign(asked, &open, within) else { continue };
        if best.iter().any(|known| known.taken == taken) {
            continue;
        }
        let model = model_cost(shop, asked, &taken);
        let place = best.partition_point(|known| known.model <= model);
        if place < LAID_OUT {
            best.insert(place, Selection { taken, model });
            best.truncate(LAID_OUT);
        }
    }
    let least = best.first().map_or(0, |first| first.model);
    best.retain(|one| one.model.saturating_mul(WORTH_A_LOOK.1) <= least.saturating_mul(WORTH_A_LOOK.0));
    if best.is_empty() {
        best.push(Selection { taken: vec![None; asked.len()], model: 0 });
    }
    best
}

/// Transfers worth trying, in the shop's order.
fn tried(asked: &[Asked<'_>], open: &[Vec<usize>]) -> Vec<TransferId> {
    let mut fits: BTreeMap<TransferId, usize> = BTreeMap::new();
    for (ask, open) in asked.iter().zip(open) {
        for at in open {
            *fits.entry(ask.offers[*at].candidate.transfer).or_default() += 1;
        }
    }
    if fits.len() <= MOST_TRIED {
        return fits.into_keys().collect();
    }
    let mut shelf: Vec<(TransferId, usize)> = fits.into_iter().collect();
    shelf.sort_by_key(|(transfer, count)| (std::cmp::Reverse(*count), *transfer));
    shelf.truncate(MOST_TRIED);
    let mut shelf: Vec<TransferId> = shelf.into_iter().map(|(transfer, _)| transfer).collect();
    shelf.sort_unstable();
    shelf
}

/// The cheapest offer of each print within a set; `None` when a print that could be made has none.
fn assign(asked: &[Asked<'_>], open: &[Vec<usize>], within: impl Fn(TransferId) -> bool) -> Option<Vec<Option<usize>>> {
    let mut taken = Vec::with_capacity(asked.len());
    for (ask, open) in asked.iter().zip(open) {
        let cost = |at: &usize| ask.offers[*at].candidate.estimate.map_or(i64::MAX, Money::minor);
        let best = open
            .iter()
            .copied()
            .filter(|at| within(ask.offers[*at].candidate.transfer))
            .min_by_key(|at| (cost(at), *at));
        if best.is_none() && !open.is_empty() {
            return None;
        }
        taken.push(best);
    }
    Some(taken)
}

/// The stated model of a selection's cost, minor units.
pub(crate) fn model_cost(shop: &Shop, asked: &[Asked<'_>], taken: &[Option<usize>]) -> i64 {
    let (pools, work) = film_and_work(shop, asked, taken);
    let mut suppliers: BTreeMap<SupplierId, i64> = BTreeMap::new();
    let mut goods = 0_i64;
    for ((transfer, colour), film) in &pools {
        let (least, supplier) = least_purchase(shop, *transfer, *colour);
        let cost = (*film).max(least);
        goods = goods.saturating_add(cost);
        if let Some(supplier) = supplier {
            *suppliers.entry(supplier).or_default() += cost;
        }
    }
    let carriage = suppliers
        .into_iter()
        .filter_map(|(id, goods)| {
            let extra = buy::carriage(shop, shop.supplier(id), Money::new(goods, shop.currency)).ok()?;
            extra.sum().ok().map(Money::minor)
        })
        .fold(0, i64::saturating_add);
    work.saturating_add(goods).saturating_add(carriage)
}

/// Film of each pool and work in all, weeding, pressing and a test piece for each
/// pool, minor units.
fn film_and_work<'a>(
    shop: &Shop,
    asked: &'a [Asked<'_>],
    taken: &[Option<usize>],
) -> (BTreeMap<(TransferId, Option<&'a str>), i64>, i64) {
    let mut pools: BTreeMap<(TransferId, Option<&str>), i64> = BTreeMap::new();
    let mut work = 0_i64;
    for (ask, at) in asked.iter().zip(taken) {
        let Some(candidate) = at.map(|at| &ask.offers[at].candidate) else { continue };
        let pieces = i64::from(ask.pieces);
        let all = candidate.estimate.map_or(0, Money::minor).saturating_mul(pieces);
        let films: Vec<i64> = film_costs(shop, ask, candidate).iter().map(|film| film.saturating_mul(pieces)).collect();
        let film = films.iter().copied().fold(0, i64::saturating_add).min(all);
        work = work.saturating_add(all - film);
        for (nth, cost) in films.into_iter().enumerate() {
            let colour = candidate.films.get(nth).map(|film| film.name.as_str());
            *pools.entry((candidate.transfer, colour)).or_default() += cost.min(all);
        }
    }
    let test = i64::try_from(pools.len()).unwrap_or(i64::MAX).saturating_mul(test_piece_cost(shop));
    (pools, work.saturating_add(test))
}

/// Work of a selection as the model counts it, minor units.
pub(crate) fn work_cost(shop: &Shop, asked: &[Asked<'_>], taken: &[Option<usize>]) -> i64 {
    film_and_work(shop, asked, taken).1
}

/// Film of one print, minor units, for each of its films.
fn film_costs(shop: &Shop, ask: &Asked<'_>, candidate: &Candidate) -> Vec<i64> {
    let print = ask.line.prints.get(ask.print);
    print.and_then(|print| crate::offer::film_prices(shop, candidate, print)).unwrap_or_default()
}

/// The smallest sheet or length of a transfer, and who sells it.
fn least_purchase(shop: &Shop, transfer: TransferId, colour: Option<&str>) -> (i64, Option<SupplierId>) {
    let stock = shop.transfer(transfer).stock.iter().map(|id| shop.stock_item(*id));
    stock
        .filter(|item| item.supplier.is_some() || item.remnants_in(colour).next().is_some())
        .map(|item| match &item.shape {
            _ if item.remnants_in(colour).next().is_some() => (0, None),
            StockShape::Sheet { price, set_up, .. } => {
                (price.minor().saturating_add(set_up.map_or(0, Money::minor)), item.supplier)
            }
            StockShape::Roll { step, price_per_step, minimum, .. } => {
                let steps = (minimum.mm() / step.mm().max(1.0)).ceil().clamp(1.0, 1e6) as i64;
                (price_per_step.minor().saturating_mul(steps), item.supplier)
            }
        })
        .min_by_key(|(price, _)| *price)
        .unwrap_or((0, None))
}

fn test_piece_cost(shop: &Shop) -> i64 {
    crate::price::work(codes::COST_SET_UP, shop.times.test_piece.value.s().ceil() as i64, &shop.rates)
        .map_or(0, |item| item.amount.value.minor())
}

/// The choice as the plan shows it, with findings where nothing suits or a condition holds.
pub(crate) fn choice(
    shop: &Shop,
    ask: &Asked<'_>,
    taken: Option<usize>,
    way: Way,
    findings: &mut Vec<Finding>,
) -> Choice {
    let candidates: Vec<Candidate> = ask.offers.iter().map(|offer| offer.candidate.clone()).collect();
    let nearest = (0..candidates.len())
        .filter(|at| candidates[*at].fit == Fit::DoesNot)
        .min_by(|a, b| candidates[*a].shortfall.total_cmp(&candidates[*b].shortfall).then(a.cmp(b)));
    match taken {
        Some(at) => {
            findings.extend(conditions(shop, ask, &candidates[at]));
            let why = why(shop, ask, &candidates, at, way);
            Choice { chosen: Some(at), nearest: None, candidates, why }
        }
        None => {
            findings.push(none_suits(shop, ask, &candidates, nearest));
            Choice { chosen: None, nearest, candidates, why: Vec::new() }
        }
    }
}

fn conditions(shop: &Shop, ask: &Asked<'_>, candidate: &Candidate) -> Vec<Finding> {
    let Some(print) = ask.line.prints.get(ask.print) else { return Vec::new() };
    let measured = ask.offers.iter().find(|offer| offer.candidate.transfer == candidate.transfer);
    // The art's own findings carry place and limit; they stand for themselves.
    let mut all: Vec<Finding> = measured
        .and_then(|offer| offer.measured.as_ref())
        .map(|measured| measured.findings.clone())
        .unwrap_or_default();
    let rest = candidate.against.iter().filter(|reason| reason.rule != codes::ART_RISKY);
    all.extend(rest.map(|reason| {
        let mut finding = Finding::new(Severity::Warning, reason.rule, codes::CONDITION_REMEDY);
        for input in &reason.inputs {
            finding = finding.with(input.name, input.value.clone());
        }
        finding.named("transfer", shop.transfer(candidate.transfer).name.clone())
    }));
    all.into_iter().map(|finding| finding.about(print.subject)).collect()
}

fn none_suits(shop: &Shop, ask: &Asked<'_>, candidates: &[Candidate], nearest: Option<usize>) -> Finding {
    let print = ask.line.prints.get(ask.print);
    let subject = print.map(|print| print.subject).unwrap_or_default();
    let wish = print.and_then(|print| print.wish.transfer.as_deref());
    if let Some(wish) = wish {
        return match shop.find_transfer(wish) {
            None => {
                let known = shop.transfers().map(|(_, transfer)| transfer.id.as_str());
                Finding::new(Severity::StopsLine, codes::TRANSFER_UNKNOWN, codes::TRANSFER_UNKNOWN_REMEDY)
                    .named("transfer", wish)
                    .named("nearest", crate::form::probably(wish, known).unwrap_or("–"))
            }
            Some(id) => {
                let reason = candidates.iter().find(|c| c.transfer == id).and_then(|c| c.against.first());
                with_reason(
                    Finding::new(Severity::StopsLine, codes::CHOSEN_UNSUITED, codes::CHOSEN_UNSUITED_REMEDY)
                        .named("transfer", shop.transfer(id).name.clone()),
                    reason,
                )
            }
        }
        .about(subject);
    }
    let nearest = nearest.and_then(|at| candidates.get(at));
    let name = nearest.map_or("–".to_owned(), |candidate| shop.transfer(candidate.transfer).name.clone());
    let reason = nearest.and_then(|candidate| candidate.against.first());
    // Where the reason's own sentence does not say by how much, this one does.
    let says = [codes::TOO_HOT, codes::HEAT_OVER];
    let by = reason
        .is_some_and(|reason| !says.contains(&reason.rule) && reason.inputs.iter().any(|input| input.name == "by"));
    let code = if by { codes::NONE_SUITS_BY } else { codes::NONE_SUITS };
    let finding = Finding::new(Severity::StopsLine, code, codes::NONE_SUITS_REMEDY)
        .named("art", print.map_or(String::new(), |print| print.wish.art.clone()))
        .named("cloth", ask.line.cloth.name.clone())
        .named("nearest", name);
    with_reason(finding, reason).about(subject)
}

/// A finding that carries a reason: its rule as the term `reason`, its inputs under their names.
fn with_reason(mut finding: Finding, reason: Option<&Reason>) -> Finding {
    if let Some(reason) = reason {
        for input in &reason.inputs {
            finding = finding.with(input.name, input.value.clone());
        }
        finding = finding.with("reason", Value::Term(reason.rule));
    }
    finding
}

fn why(shop: &Shop, ask: &Asked<'_>, candidates: &[Candidate], taken: usize, way: Way) -> Vec<Reason> {
    let chosen = &candidates[taken];
    let name = |candidate: &Candidate| Value::Text(shop.transfer(candidate.transfer).name.clone());
    let by_person = ask.line.prints.get(ask.print).is_some_and(|print| print.wish.transfer.is_some());
    let mut first = if by_person {
        Reason::new(codes::CHOSEN_BY_PERSON).from("transfer", name(chosen), Origin::Person)
    } else if way == Way::Everyday {
        let mut reason = Reason::new(codes::CHOSEN_CHEAPEST).from("transfer", name(chosen), Origin::Model);
        if let Some(cost) = chosen.estimate {
            reason = reason.from("cost", Value::Money(cost), Origin::Model);
        }
        reason
    } else {
        Reason::new(codes::CHOSEN_LASTING).from("transfer", name(chosen), Origin::Model).from(
            "lasting",
            Value::Count(i64::from(chosen.lasting)),
            Origin::Model,
        )
    };
    for code in [codes::CHANGE_CLOTH, codes::CHANGE_ART, codes::CHANGE_PRICE, codes::CHANGE_QUANTITY] {
        first = first.changed_by(code);
    }
    let mut all = vec![first];
    all.extend(chosen.for_it.iter().cloned());
    all
}
