//! One selection for the whole order, out of what fits each print.
//!
//! Everyday: least total cost in a stated model – film by area but at least the
//! smallest sheet or length of each pool, work, a test piece for each pool, a
//! change for each temperature, and each supplier's minimum and carriage once. Prints that are alike (the same
//! transfers at the same cost) get the same answer. The model is solved to proven
//! optimality as a mixed-integer program ([`program`]). Stronger and finest: what
//! lasts longest.

mod program;

use crate::draft::LineDraft;
use crate::offer::Offer;
use crate::result::{Candidate, Choice, Fit};
use crate::shelf::{Left, Shelf};
use crate::{Way, codes};
use program::{Group, PoolCost, Program, SupplierCost, Take};
use report::{Finding, Origin, Reason, Severity, Value};
use std::collections::BTreeMap;
use trade::{Shop, StockShape, Supplier, SupplierId, TransferId};
use units::Money;

/// A print with its offers and its quantity.
pub(crate) struct Asked<'a> {
    pub line: &'a LineDraft<'a>,
    pub print: usize,
    pub offers: &'a [Offer],
    pub pieces: u32,
}

/// A transfer for each print of an order.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Selection {
    /// The index of the offer taken for each print; `None` where nothing suits.
    pub taken: Vec<Option<usize>>,
    /// Its cost in the stated model, minor units.
    pub model: i64,
    /// Whether it is proven that no set of transfers but those before it is cheaper.
    pub proven: bool,
}

/// Selections worth laying out, the cheapest in the stated model first; at least one.
pub(crate) fn select(shop: &Shop, shelf: &Shelf<'_>, asked: &[Asked<'_>], way: Way) -> Vec<Selection> {
    match way {
        Way::Everyday => least_cost(shop, shelf, asked),
        Way::Stronger | Way::Finest => {
            let taken: Vec<Option<usize>> = asked.iter().map(|ask| longest_lasting(shop, ask)).collect();
            vec![Selection { model: model_cost(shop, shelf, asked, &taken), taken, proven: true }]
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

fn least_cost(shop: &Shop, shelf: &Shelf<'_>, asked: &[Asked<'_>]) -> Vec<Selection> {
    let model = Model::of(shop, shelf, asked, Alike::Together);
    let mut best = model.program.cheapest(LAID_OUT);
    let least = best.first().map_or(0, |first| first.cost);
    best.retain(|one| one.cost.saturating_mul(WORTH_A_LOOK.1) <= least.saturating_mul(WORTH_A_LOOK.0));
    best.into_iter()
        .map(|answer| Selection { taken: model.offers(&answer.taken), model: answer.cost, proven: answer.proven })
        .collect()
}

/// An order's selection as a program.
struct Model {
    program: Program,
    /// For each print its group and, for each take of the group, the offer it stands for.
    prints: Vec<Option<(usize, Vec<usize>)>>,
}

impl Model {
    fn of(shop: &Shop, shelf: &Shelf<'_>, asked: &[Asked<'_>], alike: Alike) -> Self {
        let set_ups = SetUps::of(shop);
        // A temperature of the plate is a pool without film: whatever uses it pays its change once.
        let mut heats: BTreeMap<i64, usize> = BTreeMap::new();
        let mut pools: BTreeMap<(TransferId, Option<&str>), usize> = BTreeMap::new();
        let mut suppliers: BTreeMap<SupplierId, usize> = BTreeMap::new();
        let mut groups: BTreeMap<Vec<Take>, usize> = BTreeMap::new();
        let mut program = Program::default();
        let mut prints = Vec::with_capacity(asked.len());
        let mut left = shelf.left();
        for ask in asked {
            let open = open(shop, ask);
            if open.is_empty() {
                prints.push(None);
                continue;
            }
            let (mut takes, mut made) = (Vec::with_capacity(open.len()), Vec::with_capacity(open.len()));
            for at in &open {
                let candidate = &ask.offers[*at].candidate;
                let (films, work) = films_and_work(shop, ask, candidate);
                let to_make = to_make(shelf, &mut left, ask, candidate);
                made.push(to_make);
                // What all lies on the shelf needs no sheet.
                let films = if to_make == 0 { Vec::new() } else { films };
                let mut needs = Vec::with_capacity(films.len() + 1);
                for (nth, film) in films.into_iter().enumerate() {
                    let colour = candidate.films.get(nth).map(|film| film.name.as_str());
                    let next = program.pools.len();
                    let pool = *pools.entry((candidate.transfer, colour)).or_insert_with(|| {
                        program.pools.push(pool_cost(shop, &set_ups, candidate.transfer, colour, &mut suppliers));
                        next
                    });
                    needs.push((pool, film));
                }
                let next = program.pools.len();
                needs.extend(heat_c(shop, candidate).map(|heat| {
                    let pool = *heats.entry(heat).or_insert_with(|| {
                        program.pools.push(PoolCost { least: 0, set_up: set_ups.heat, supplier: None });
                        next
                    });
                    (pool, 0)
                }));
                takes.push(Take { film: needs, work });
            }
            let next = program.groups.len();
            let group = match alike {
                Alike::Together => *groups.entry(takes.clone()).or_insert(next),
                Alike::Apart => next,
            };
            if group == program.groups.len() {
                let nothing =
                    |take: &Take| Take { film: take.film.iter().map(|(pool, _)| (*pool, 0)).collect(), work: 0 };
                program.groups.push(Group { takes: takes.iter().map(nothing).collect() });
            }
            let pieces = i64::from(ask.pieces);
            for ((sum, one), made) in program.groups[group].takes.iter_mut().zip(&takes).zip(made) {
                sum.work = sum.work.saturating_add(one.work.saturating_mul(pieces));
                for ((_, sum), (_, film)) in sum.film.iter_mut().zip(&one.film) {
                    *sum = sum.saturating_add(film.saturating_mul(i64::from(made)));
                }
            }
            prints.push(Some((group, open)));
        }
        let mut by_place: Vec<(usize, SupplierId)> = suppliers.into_iter().map(|(id, place)| (place, id)).collect();
        by_place.sort_unstable();
        program.suppliers = by_place.into_iter().map(|(_, id)| supplier_cost(shop.supplier(id))).collect();
        Self { program, prints }
    }

    /// The offer of each print in a selection of the program.
    fn offers(&self, taken: &[usize]) -> Vec<Option<usize>> {
        let of = |(group, open): &(usize, Vec<usize>)| taken.get(*group).and_then(|at| open.get(*at)).copied();
        self.prints.iter().map(|print| print.as_ref().and_then(of)).collect()
    }

    /// What a program with a group for each print takes for given offers; a group past its
    /// takes where a print has none.
    fn taken(&self, offers: &[Option<usize>]) -> Vec<usize> {
        let mut taken = vec![usize::MAX; self.program.groups.len()];
        for (print, offer) in self.prints.iter().zip(offers) {
            let (Some((group, open)), Some(offer)) = (print, offer) else { continue };
            if let Some(at) = open.iter().position(|known| known == offer) {
                taken[*group] = at;
            }
        }
        taken
    }
}

/// Whether prints that are alike get the same answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Alike {
    Together,
    Apart,
}

/// The cost of given offers in the stated model, minor units.
fn model_cost(shop: &Shop, shelf: &Shelf<'_>, asked: &[Asked<'_>], taken: &[Option<usize>]) -> i64 {
    let model = Model::of(shop, shelf, asked, Alike::Apart);
    model.program.cost(&model.taken(taken))
}

/// Work of given offers as the model counts it – weeding, pressing, a test
/// piece for each pool and the changes of temperature –, minor units.
pub(crate) fn work_cost(shop: &Shop, shelf: &Shelf<'_>, asked: &[Asked<'_>], taken: &[Option<usize>]) -> i64 {
    let model = Model::of(shop, shelf, asked, Alike::Apart);
    model.program.work(&model.taken(taken))
}

/// Pieces of a print that are not on the shelf in a candidate's transfer; those that are, are taken.
fn to_make(shelf: &Shelf<'_>, left: &mut Left, ask: &Asked<'_>, candidate: &Candidate) -> u32 {
    let Some(print) = ask.line.prints.get(ask.print).filter(|_| candidate.stack.is_none()) else { return ask.pieces };
    let film = candidate.films.first().map(|film| film.name.as_str());
    let taken = shelf.take(left, print, (candidate.transfer, film), ask.pieces);
    taken.iter().fold(ask.pieces, |rest, take| rest.saturating_sub(take.count))
}

/// Film of one print in a transfer, film by film, and its work, minor units.
fn films_and_work(shop: &Shop, ask: &Asked<'_>, candidate: &Candidate) -> (Vec<i64>, i64) {
    let print = ask.line.prints.get(ask.print);
    let films = print.and_then(|print| crate::offer::film_prices(shop, candidate, print)).unwrap_or_default();
    let all = candidate.estimate.map_or(0, Money::minor);
    let film = films.iter().copied().fold(0, i64::saturating_add);
    (films, all.saturating_sub(film).max(0))
}

/// What is paid once, minor units.
struct SetUps {
    /// A test piece, for each pool.
    test: i64,
    /// A change of temperature.
    heat: i64,
}

impl SetUps {
    fn of(shop: &Shop) -> Self {
        let work = |seconds| {
            crate::price::work(codes::COST_SET_UP, seconds, &shop.rates).map_or(0, |item| item.amount.value.minor())
        };
        Self {
            test: work(shop.times.test_piece.value.s().ceil() as i64),
            heat: work(crate::timeline::change_over_s(shop)),
        }
    }
}

/// What the plate is set to for a candidate, °C.
fn heat_c(shop: &Shop, candidate: &Candidate) -> Option<i64> {
    let recipe = crate::planning::recipe(shop, candidate.transfer, candidate.recipe)?;
    Some(recipe.full_press()?.temperature.set.c().round() as i64)
}

fn pool_cost(
    shop: &Shop,
    set_ups: &SetUps,
    transfer: TransferId,
    colour: Option<&str>,
    suppliers: &mut BTreeMap<SupplierId, usize>,
) -> PoolCost {
    let (least, supplier) = least_purchase(shop, transfer, colour);
    let next = suppliers.len();
    PoolCost { least, set_up: set_ups.test, supplier: supplier.map(|id| *suppliers.entry(id).or_insert(next)) }
}

fn supplier_cost(supplier: &Supplier) -> SupplierCost {
    let free = supplier.freight.free_from.map(Money::minor);
    let mut freight: Vec<(i64, i64)> = Vec::new();
    for (from, price) in &supplier.freight.steps {
        if free.is_none_or(|free| from.minor() < free) {
            freight.push((from.minor(), price.minor()));
        }
    }
    if freight.first().is_some_and(|(from, _)| *from > 0) {
        freight.insert(0, (0, 0));
    }
    if !freight.is_empty() {
        freight.extend(free.map(|free| (free, 0)));
    }
    SupplierCost {
        minimum: supplier.minimum.map_or(0, Money::minor),
        handling: supplier.handling.map_or(0, Money::minor),
        freight,
    }
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
