//! From orders to the plan: offer → choose → lay out → press steps → schedule
//! → buy → price. The function reads like the picture in ARCHITECTURE.md.

use crate::blanks::{self, Blanks, BoughtTogether, Part, Rack};
use crate::choose::{self, Asked};
use crate::crew::Crew;
use crate::draft::{self, Drafted, LineDraft};
use crate::layout::{self, Look, Taken, Wanted};
use crate::offer::{self, Books, Offer};
use crate::press_heat::HeatBook;
use crate::result::{
    Choice, Goods, LinePlan, LineState, OrderPlan, Plan, Pool, PoolDesign, PressCard, PrintPlan, Purchase,
    SelectionCost, Stuck, Timeline,
};
use crate::shapes::Shapes;
use crate::shelf::{Shelf, ShelfTake};
use crate::timeline::{Deadline, Work};
use crate::{
    Arts, Order, Way, bulk, buy, calendar, charge, codes, dates, films, locks, pressing, shortage, steps, timeline,
};
use jiff::civil::{Date, DateTime, Time};
use rayon::prelude::*;
use report::{Effort, Figure, Finding, Outcome, Progress, Reason, Seed, Severity, Subject, Value, Watch};
use std::collections::{BTreeMap, BTreeSet};
use trade::{Recipe, Shop, SupplierId, TransferId};
use units::{Duration, Money, MoneyError};

/// What a plan depends on besides shop, orders and art.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// The day it is made for.
    pub today: Date,
    /// Start of every random choice.
    pub seed: Seed,
    /// How hard to look: evaluations of the packing engine for each pool.
    pub effort: Effort,
    /// Threads to use, at least 1; the plan does not depend on it.
    pub threads: usize,
}

impl Settings {
    /// Usual effort.
    pub const EFFORT: Effort = Effort(600_000);
}

/// Plans orders together: prints that use the same transfer share its sheets.
///
/// What cannot be made stops its line, with a finding, and not the others. The
/// same shop, orders, art and settings give the same plan, whatever the threads.
pub fn plan(shop: &Shop, orders: &[Order], arts: &Arts, settings: &Settings, watch: &mut dyn Watch) -> Outcome<Plan> {
    let mut findings = Vec::new();
    let look =
        Look { effort: settings.effort, seed: settings.seed, threads: settings.threads.max(1), only_priced: false };
    told(watch, codes::STAGE_CHOOSE);
    let books = Books {
        heat: HeatBook::new(shop, settings.seed),
        shapes: Shapes::default(),
        priced: layout::Priced::default(),
        crew: Crew::of(settings.threads),
        shelf: Shelf::of(shop, settings.today),
    };
    let drafts = books.crew.run(|| drafts(shop, orders, arts, &books.shapes));
    let (drafts, stuck) = told_apart(drafts, &mut findings);
    let offered = books.crew.run(|| offer_all(shop, &drafts, &books));
    let (chosen, selections) = choose_all(shop, orders, &drafts, &offered, look, &books, &mut findings);
    let windows = windows(shop, orders, &mut findings);
    let (wanted, from_shelf) = books.shelf.first(want_all(shop, &drafts, &chosen));
    let mut pools = layout::pools(shop, &wanted, &windows, &locks::of(shop, orders), look, watch, &mut findings);
    bulk::reprice(shop, &mut pools, &windows);
    for lines in &drafts {
        let lines: Vec<LineDraft<'_>> = lines.iter().flatten().cloned().collect();
        let own = |(subject, _): &&(Subject, ShelfTake)| {
            lines.iter().any(|line| line.subject.order == subject.order && line.subject.line == subject.line)
        };
        let taken: Vec<(Subject, ShelfTake)> = from_shelf.iter().filter(own).copied().collect();
        findings.extend(books.shelf.told(&lines, &taken));
    }
    let mut cards = books.crew.run(|| cards(shop, &drafts, &chosen, &findings, &books.heat));
    findings.extend(pressing::later_heat(shop, &drafts, &mut cards, &books.heat));
    let origin = settings.today.to_datetime(Time::midnight());
    let holds = holds(shop, &drafts, &chosen);
    let together = Together { shelf: &books.shelf, windows: &windows };
    let bought = bought(shop, orders, &drafts, &chosen, &cards, &pools, &holds, origin, together, &mut findings);
    let (bought, timeline) = match bought {
        Ok(bought) => {
            let short = || short_of(shop, orders, arts, &drafts, &books, &windows, &bought, origin);
            findings.extend(books.crew.run(short));
            let timeline =
                schedule_all(shop, orders, &drafts, &cards, &bought, &holds, origin, look, watch, &mut findings);
            (bought, timeline)
        }
        Err(error) => {
            findings.push(countless(error));
            (Bought::default(), empty_timeline(origin))
        }
    };
    told(watch, codes::STAGE_PRICE);
    let Bought { purchases, blanks, rushed, latest, together, .. } = bought;
    let bench = charge::Bench {
        shop,
        orders,
        arts,
        look,
        drafts: &drafts,
        chosen: &chosen,
        books: &books,
        windows: &windows,
        rushed,
        together,
    };
    let mut plan = Plan {
        today: settings.today,
        seed: settings.seed.0,
        orders: Vec::new(),
        pools,
        timeline,
        purchases,
        findings: Vec::new(),
    };
    for (at, order) in orders.iter().enumerate() {
        let mut lines =
            line_plans(shop, order, at, &drafts[at], &offered[at], &chosen[at], &cards[at], &stuck[at], &findings);
        shelved(at, &mut lines, &from_shelf, &blanks);
        let by = (holds[at], latest.get(at).copied().flatten());
        let planned = order_plan(&bench, at, order, lines, &plan, by, &selections[at], &mut findings);
        plan.orders.push(planned);
    }
    settle_states(&mut plan, &findings);
    findings.sort_by_key(|finding| (finding.subject, std::cmp::Reverse(finding.severity)));
    findings.dedup();
    plan.findings.clone_from(&findings);
    Outcome { value: plan, findings }
}

/// Which orders may share sheets and parcels: those of the same number. Orders are taken by
/// due date; one that is due more than the shop's days after the first of its number begins the next.
fn windows(shop: &Shop, orders: &[Order], findings: &mut Vec<Finding>) -> Vec<usize> {
    let mut by_due: Vec<usize> = (0..orders.len()).collect();
    by_due.sort_by_key(|at| (orders[*at].due, *at));
    let mut windows = vec![0; orders.len()];
    let Some(mut first) = by_due.first().copied() else { return windows };
    let mut window = 0;
    for at in by_due {
        let apart = orders[at].due.date().duration_since(orders[first].due.date()).as_hours() / 24;
        if apart > i64::from(shop.share_days.value) {
            findings.push(
                Finding::new(Severity::Note, codes::DUE_APART, codes::DUE_APART_REMEDY)
                    .named("order", orders[at].name.clone())
                    .named("first", orders[first].name.clone())
                    .with("days", Value::Count(i64::from(shop.share_days.value)))
                    .about(Subject { order: Some(at), ..Subject::default() }),
            );
            window += 1;
            first = at;
        }
        windows[at] = window;
    }
    windows
}

/// What orders planned together share.
#[derive(Clone, Copy)]
struct Together<'a> {
    shelf: &'a Shelf<'a>,
    windows: &'a [usize],
}

/// What is taken from the shelf, to the lines and prints it is for.
fn shelved(
    order: usize,
    lines: &mut [LinePlan],
    from_shelf: &[(Subject, ShelfTake)],
    blanks: &BTreeMap<LineAt, Blanks>,
) {
    for (nth, line) in lines.iter_mut().enumerate() {
        for (at, print) in line.prints.iter_mut().enumerate() {
            let own = Subject { order: Some(order), line: Some(nth), print: Some(at) };
            print.from_shelf =
                from_shelf.iter().filter(|(subject, _)| *subject == own).map(|(_, take)| *take).collect();
        }
        line.on_hand = blanks.get(&(order, nth)).map_or_else(Vec::new, |blanks| blanks.taken.clone());
    }
}

/// Drafts by order and line; `None` where the line is halted.
type Drafts<'a> = Vec<Vec<Option<LineDraft<'a>>>>;
/// Prints out of reach by order and line, each with its place in the line.
type AllStuck = Vec<Vec<Vec<(usize, Stuck)>>>;
/// Offers by order, line and print.
type Offered = Vec<Vec<Vec<Vec<Offer>>>>;
/// Choices by order, line and print.
type Chosen = Vec<Vec<Vec<Choice>>>;
/// Cards by order, line and print.
type Cards = Vec<Vec<Vec<Option<PressCard>>>>;

fn told(watch: &mut dyn Watch, stage: report::Code) {
    watch.told(&Progress { stage, done: 0, of: None, best: None, bound: None });
}

fn drafts<'a>(shop: &'a Shop, orders: &'a [Order], arts: &'a Arts, shapes: &Shapes) -> Vec<Vec<Outcome<Drafted<'a>>>> {
    let of_order = |(at, order): (usize, &'a Order)| {
        let of_line = |(nth, line)| {
            let subject = Subject { order: Some(at), line: Some(nth), print: None };
            draft::draft(shop, order, subject, line, None, arts, shapes)
        };
        order.lines.par_iter().enumerate().map(of_line).collect()
    };
    orders.par_iter().enumerate().map(of_order).collect()
}

/// Drafts without their findings, which are kept in the order of lines.
fn told_apart<'a>(drafts: Vec<Vec<Outcome<Drafted<'a>>>>, findings: &mut Vec<Finding>) -> (Drafts<'a>, AllStuck) {
    let (mut all, mut all_stuck) = (Vec::new(), Vec::new());
    for outcomes in drafts {
        let (mut lines, mut stuck) = (Vec::new(), Vec::new());
        for outcome in outcomes {
            findings.extend(outcome.findings);
            lines.push(outcome.value.line);
            stuck.push(outcome.value.stuck);
        }
        all.push(lines);
        all_stuck.push(stuck);
    }
    (all, all_stuck)
}

fn offer_all(shop: &Shop, drafts: &Drafts<'_>, books: &Books<'_>) -> Offered {
    let prints = drafts.iter().flatten().flatten().flat_map(|line| &line.prints);
    books.shapes.look_over_shared(&prints.map(|print| (print.art, print.size)).collect::<Vec<_>>());
    let of_line =
        |line: &Option<LineDraft<'_>>| line.as_ref().map_or_else(Vec::new, |line| offer_line(shop, line, books));
    drafts.iter().map(|lines| lines.par_iter().map(of_line).collect()).collect()
}

/// Offers for every print of a line.
pub(crate) fn offer_line(shop: &Shop, line: &LineDraft<'_>, books: &Books<'_>) -> Vec<Vec<Offer>> {
    line.prints.par_iter().map(|print| offer::offers(shop, line, print, books)).collect()
}

fn choose_all(
    shop: &Shop,
    orders: &[Order],
    drafts: &Drafts<'_>,
    offered: &Offered,
    look: Look,
    books: &Books<'_>,
    findings: &mut Vec<Finding>,
) -> (Chosen, Vec<Vec<SelectionCost>>) {
    let (mut all, mut weighed) = (Vec::new(), Vec::new());
    for (at, order) in orders.iter().enumerate() {
        let asked = asked(&drafts[at], &offered[at]);
        let selections = choose::select(shop, &books.shelf, &asked, order.way);
        let (taken, costs) = books.crew.run(|| cheapest_laid_out(shop, &asked, selections, look, books));
        weighed.push(costs);
        let mut choices: Vec<Vec<Choice>> = drafts[at].iter().map(|_| Vec::new()).collect();
        for (ask, taken) in asked.iter().zip(taken) {
            let choice = choose::choice(shop, ask, taken, order.way, findings);
            if let Some(line) = ask.line.subject.line {
                choices[line].push(choice);
            }
        }
        all.push(choices);
    }
    (all, weighed)
}

/// Of the selections that are cheapest in the model the one that is cheapest with
/// its sheets laid out; all of them with both figures.
fn cheapest_laid_out(
    shop: &Shop,
    asked: &[Asked<'_>],
    selections: Vec<choose::Selection>,
    look: Look,
    books: &Books<'_>,
) -> (Vec<Option<usize>>, Vec<SelectionCost>) {
    let many = selections.len() > 1;
    let real: Vec<Option<i64>> = selections
        .par_iter()
        .map(|selection| many.then(|| charge::laid_out(shop, asked, &selection.taken, look, books)).flatten())
        .collect();
    let best = (0..selections.len()).min_by_key(|at| (real[*at].unwrap_or(i64::MAX), *at)).unwrap_or(0);
    let money = |minor| Money::new(minor, shop.currency);
    let of_print = |(ask, at): (&Asked<'_>, &Option<usize>)| at.map(|at| ask.offers[at].candidate.transfer);
    let cost = |(at, selection): (usize, &choose::Selection)| SelectionCost {
        transfers: asked.iter().zip(&selection.taken).map(of_print).collect(),
        model: money(selection.model),
        laid_out: real[at].map(money),
        taken: at == best,
        proven: selection.proven,
    };
    let costs = selections.iter().enumerate().map(cost).collect();
    (selections.into_iter().nth(best).map_or_else(Vec::new, |selection| selection.taken), costs)
}

/// The prints of an order's drafted lines, with their offers.
pub(crate) fn asked<'a>(lines: &'a [Option<LineDraft<'a>>], offered: &'a [Vec<Vec<Offer>>]) -> Vec<Asked<'a>> {
    let mut all = Vec::new();
    for (line, offers) in lines.iter().zip(offered) {
        let Some(line) = line else { continue };
        for (print, offers) in offers.iter().enumerate() {
            all.push(Asked { line, print, offers, pieces: line.pieces() });
        }
    }
    all
}

/// Transfer and films of every print of a line; `None` unless all prints have one.
pub(crate) fn taken(choices: &[Choice]) -> Option<Vec<Taken>> {
    choices.iter().map(|choice| choice.taken().map(Taken::of)).collect()
}

fn want_all<'a>(shop: &Shop, drafts: &'a Drafts<'a>, chosen: &Chosen) -> Vec<Wanted<'a>> {
    let mut all = Vec::new();
    for (lines, choices) in drafts.iter().zip(chosen) {
        for (line, choices) in lines.iter().zip(choices) {
            if let (Some(line), Some(taken)) = (line, taken(choices)) {
                all.extend(layout::wanted(shop, line, &taken, line.pieces()));
            }
        }
    }
    all
}

/// Whether anything found stops or halts a line.
fn halted(findings: &[Finding], order: usize, line: usize) -> Option<Severity> {
    findings
        .iter()
        .filter(|finding| finding.subject.order == Some(order) && finding.subject.line == Some(line))
        .map(|finding| finding.severity)
        .filter(|severity| *severity >= Severity::Ask)
        .max()
}

fn cards(shop: &Shop, drafts: &Drafts<'_>, chosen: &Chosen, findings: &[Finding], heat: &HeatBook) -> Cards {
    let mut all = Vec::new();
    for (at, lines) in drafts.iter().enumerate() {
        let mut of_order = Vec::new();
        for (nth, line) in lines.iter().enumerate() {
            let running = halted(findings, at, nth).is_none();
            let cards = match line.as_ref().filter(|_| running) {
                Some(line) => line_cards(shop, line, &chosen[at][nth], heat),
                None => Vec::new(),
            };
            of_order.push(cards);
        }
        all.push(of_order);
    }
    all
}

fn line_cards(shop: &Shop, line: &LineDraft<'_>, choices: &[Choice], heat: &HeatBook) -> Vec<Option<PressCard>> {
    line.prints
        .iter()
        .zip(choices)
        .map(|(print, choice)| {
            let candidate = choice.taken()?;
            let recipe = recipe(shop, candidate.transfer, candidate.recipe)?;
            let shade = pressing::shade(line, print);
            let layered = films::layered(candidate.stack.as_deref(), shop.transfer(candidate.transfer));
            let pressing = heat.with_doubt(shop, line, print, candidate.transfer, candidate.recipe?, layered, shade);
            let mut card = steps::card(shop, line, print, candidate, recipe, pressing.as_ref())?;
            let beneath = films::beneath(shop, line, &card, recipe, heat);
            if let Some(stacked) = &mut card.stacked {
                stacked.beneath = beneath;
            }
            Some(card)
        })
        .collect()
}

/// A recipe of a transfer by its index.
pub(crate) fn recipe(shop: &Shop, transfer: TransferId, at: Option<usize>) -> Option<&Recipe> {
    at.and_then(|at| shop.transfer(transfer).recipes.get(at))
}

/// How long each order's finished prints are held to see whether dye wanders into them.
fn holds(shop: &Shop, drafts: &Drafts<'_>, chosen: &Chosen) -> Vec<Duration> {
    drafts
        .iter()
        .zip(chosen)
        .map(|(lines, choices)| {
            lines
                .iter()
                .zip(choices)
                .filter_map(|(line, choices)| line.as_ref().map(|line| pressing::dye_hold(shop, line, choices)))
                .fold(Duration::ZERO, Duration::max)
        })
        .collect()
}

/// Work of the lines that are planned through, with their cards in pressing order.
fn work<'a>(shop: &Shop, drafts: &'a Drafts<'a>, cards: &'a Cards) -> Vec<Work<'a>> {
    let mut all = Vec::new();
    for (order, lines) in drafts.iter().enumerate() {
        for (nth, line) in lines.iter().enumerate() {
            let (Some(draft), of_line) = (line, &cards[order][nth]) else { continue };
            let Some(whole) = of_line.iter().map(Option::as_ref).collect::<Option<Vec<&PressCard>>>() else { continue };
            if whole.is_empty() {
                continue;
            }
            let sequence = pressing::sequence(shop, draft, &whole);
            let cards = sequence.value.into_iter().filter_map(|print| Some((print, *whole.get(print)?))).collect();
            all.push(Work { order, line: nth, draft, cards, parts: vec![Part::whole(draft)] });
        }
    }
    all
}

#[expect(clippy::too_many_arguments, reason = "one call site; each argument is a stage's result")]
fn bought(
    shop: &Shop,
    orders: &[Order],
    drafts: &Drafts<'_>,
    chosen: &Chosen,
    cards: &Cards,
    pools: &[Pool],
    holds: &[Duration],
    origin: DateTime,
    Together { shelf, windows }: Together<'_>,
    findings: &mut Vec<Finding>,
) -> Result<Bought, MoneyError> {
    let work = work(shop, drafts, cards);
    let latest = dates::latest_starts(shop, orders, &work, holds, origin);
    let mut bought = Bought { latest, ..Bought::default() };
    let (mut left, mut rack) = (shelf.left(), Rack::default());
    let rushed = |goods: &Goods| match goods {
        Goods::Garment { order, .. } => orders.get(*order).is_some_and(|order| order.rush),
        Goods::Stock { pool, .. } => {
            let uses = pools.get(*pool).into_iter().flat_map(|pool| pool.designs.iter().flat_map(PoolDesign::uses));
            uses.into_iter().any(|one| orders.get(one.order).is_some_and(|order| order.rush))
        }
    };
    for window in 0..=windows.iter().copied().max().unwrap_or(0) {
        let within = |order: usize| windows.get(order).copied().unwrap_or(0) == window;
        let own = || work.iter().filter(|work| within(work.order));
        let mut basket = buy::Basket::new();
        let first = |pool: &Pool| pool.designs.first().map_or(0, |design| design.order);
        let pools = || pools.iter().enumerate().filter(|(_, pool)| within(first(pool)));
        buy::stock_basket(shop, pools(), &mut basket)?;
        buy::more::stock(shop, pools().map(|(_, pool)| pool), &mut basket)?;
        let with_transfers = || own().filter(|work| taken(&chosen[work.order][work.line]).is_some());
        for work in with_transfers() {
            let of_line = rack.take(work.draft, pressing::spare_garments(shop, work.draft), (shelf, &mut left));
            findings.extend(shelf.told_garments(work.draft.subject, &of_line.taken));
            bought.blanks.insert((work.order, work.line), of_line);
        }
        let lines: Vec<(&LineDraft<'_>, &Blanks)> = with_transfers()
            .filter_map(|work| Some((work.draft, bought.blanks.get(&(work.order, work.line))?)))
            .collect();
        let together = BoughtTogether::of(lines.iter().copied());
        for of_line in &lines {
            buy::garment_basket(shop, *of_line, &together, &mut basket)?;
        }
        buy::more::garments(&lines, &mut basket)?;
        let needed = dates::needed(shop, &bought.latest, origin, &within);
        let need = buy::Need { today: origin.date(), needed, rushed: &rushed };
        let purchases = buy::purchases(shop, basket, &need, findings)?;
        for work in own() {
            let at = (work.order, work.line);
            let Some(of_line) = bought.blanks.get(&at) else { continue };
            let purchase = purchase_of(&purchases, work.draft);
            let usual = purchase.map(|purchase| purchase.earliest);
            let later = purchase.and_then(|purchase| purchase.second).map(|second| second.arrives).or(usual);
            bought.parts.insert(at, blanks::parts(work.draft, of_line, usual, later, needed));
        }
        let taken = purchases.iter().filter(|one| one.rush.is_some_and(|rush| rush.taken));
        bought.rushed.extend(taken.map(|one| (one.supplier, window)));
        bought.needed.push(needed);
        bought.together.push(together);
        bought.purchases.extend(purchases);
    }
    Ok(bought)
}

/// What is bought, and what it means for each line.
#[derive(Default)]
struct Bought {
    purchases: Vec<Purchase>,
    /// Where the blanks of each planned line come from.
    blanks: BTreeMap<LineAt, Blanks>,
    /// The pieces of each planned line by the day their blanks arrive.
    parts: BTreeMap<LineAt, Vec<Part>>,
    /// The last moment to begin each order's test piece.
    latest: Vec<Option<DateTime>>,
    /// The day on which all goods must be there, by the number of the orders they are for.
    needed: Vec<Date>,
    /// How many blanks of each style are bought together, by the number of the orders they are for.
    together: Vec<BoughtTogether>,
    /// Suppliers whose rush is taken, with the number of the orders it is taken for.
    rushed: BTreeSet<(SupplierId, usize)>,
}

/// An order and a line of it.
type LineAt = (usize, usize);

/// The purchase that a line's blanks come with.
fn purchase_of<'p>(purchases: &'p [Purchase], line: &LineDraft<'_>) -> Option<&'p Purchase> {
    let of_line = |goods: &Goods| match goods {
        Goods::Garment { order, style, colour, .. } => {
            Some(*order) == line.subject.order && *style == line.garment && *colour == line.colour.name
        }
        Goods::Stock { .. } => false,
    };
    purchases.iter().find(|purchase| !line.brought && purchase.items.iter().any(|item| of_line(&item.goods)))
}

/// What is to be said of blanks that are short or late.
#[expect(clippy::too_many_arguments, reason = "one call site; each argument is a stage's result")]
fn short_of(
    shop: &Shop,
    orders: &[Order],
    arts: &Arts,
    drafts: &Drafts<'_>,
    books: &Books<'_>,
    windows: &[usize],
    bought: &Bought,
    origin: DateTime,
) -> Vec<Finding> {
    let mut all = Vec::new();
    for ((at, nth), blanks) in &bought.blanks {
        let Some(line) = drafts[*at][*nth].as_ref() else { continue };
        let today = origin.date();
        let window = windows.get(*at).copied().unwrap_or(0);
        let needed = bought.needed.get(window).copied().unwrap_or(today);
        let nothing = BoughtTogether::default();
        let together = bought.together.get(window).unwrap_or(&nothing);
        let weighed = shortage::Weighed { shop, order: &orders[*at], arts, books, today, needed, together };
        let parts = bought.parts.get(&(*at, *nth)).map_or(&[][..], Vec::as_slice);
        all.extend(shortage::findings(&weighed, line, blanks, parts, purchase_of(&bought.purchases, line)));
    }
    all
}

#[expect(clippy::too_many_arguments, reason = "one call site; each argument is a stage's result")]
fn schedule_all(
    shop: &Shop,
    orders: &[Order],
    drafts: &Drafts<'_>,
    cards: &Cards,
    bought: &Bought,
    holds: &[Duration],
    origin: DateTime,
    look: Look,
    watch: &mut dyn Watch,
    findings: &mut Vec<Finding>,
) -> Timeline {
    let mut work = work(shop, drafts, cards);
    for one in &mut work {
        if let Some(parts) = bought.parts.get(&(one.order, one.line)) {
            one.parts.clone_from(parts);
        }
    }
    let release = dates::transfers_in(shop, &bought.purchases, origin);
    let deadlines: Vec<Deadline> = orders
        .iter()
        .zip(holds)
        .map(|(order, hold)| Deadline { name: order.name.clone(), release, due: order.due, hold: *hold })
        .collect();
    let timeline = timeline::timeline(shop, origin, &work, &deadlines, look, watch, findings);
    findings.extend(dates::lateness(orders, &timeline, holds));
    timeline
}

fn empty_timeline(origin: DateTime) -> Timeline {
    Timeline { origin, problem: schedule::Problem::default(), batches: Vec::new(), schedule: None }
}

fn countless(error: MoneyError) -> Finding {
    Finding::new(Severity::StopsLine, codes::SUM_TOO_LARGE, codes::SUM_TOO_LARGE_REMEDY)
        .named("reason", error.to_string())
}

#[expect(clippy::too_many_arguments, reason = "one call site; each argument is a stage's result")]
fn line_plans(
    shop: &Shop,
    order: &Order,
    at: usize,
    drafts: &[Option<LineDraft<'_>>],
    offered: &[Vec<Vec<Offer>>],
    chosen: &[Vec<Choice>],
    cards: &[Vec<Option<PressCard>>],
    stuck: &[Vec<(usize, Stuck)>],
    findings: &[Finding],
) -> Vec<LinePlan> {
    order
        .lines
        .iter()
        .enumerate()
        .map(|(nth, line)| {
            let draft = drafts[nth].as_ref();
            let style = shop.find_garment(&line.garment);
            let whole: Option<Vec<&PressCard>> = cards[nth].iter().map(Option::as_ref).collect();
            let whole = whole.filter(|cards| !cards.is_empty());
            let state = match halted(findings, at, nth) {
                Some(Severity::StopsLine) => LineState::Stopped,
                Some(_) => LineState::Waiting,
                None if whole.is_some() => LineState::Planned,
                None => LineState::Stopped,
            };
            LinePlan {
                garment: style,
                garment_name: style.map_or_else(|| line.garment.clone(), |id| shop.garment(id).name.clone()),
                colour: draft.map_or_else(|| line.colour.clone(), |draft| draft.colour.name.clone()),
                rgb: draft.map(|draft| draft.colour.rgb),
                brought: line.brought,
                sizes: line.sizes.clone(),
                state,
                prints: print_plans(shop, line, draft, &offered[nth], &chosen[nth], &cards[nth], &stuck[nth]),
                pressing_order: match (draft, whole) {
                    (Some(draft), Some(cards)) => pressing::sequence(shop, draft, &cards),
                    _ => Figure::new(Vec::new(), Reason::new(codes::PRESS_ORDER_ONE)),
                },
                spare_garments: draft.map_or(0, |draft| pressing::spare_garments(shop, draft)),
                on_hand: Vec::new(),
                press_from: None,
                price: None,
            }
        })
        .collect()
}

fn print_plans(
    shop: &Shop,
    line: &crate::Line,
    draft: Option<&LineDraft<'_>>,
    offered: &[Vec<Offer>],
    chosen: &[Choice],
    cards: &[Option<PressCard>],
    stuck: &[(usize, Stuck)],
) -> Vec<PrintPlan> {
    line.prints
        .iter()
        .enumerate()
        .map(|(at, wish)| {
            let print = draft.and_then(|draft| draft.prints.get(at));
            let choice = chosen.get(at).cloned().unwrap_or_else(nothing_chosen);
            let offer = choice.chosen.and_then(|taken| offered.get(at)?.get(taken));
            let measured = offer.and_then(|offer| offer.measured.as_ref()).map(|measured| &measured.value);
            let weeding = match (choice.taken(), measured) {
                (Some(candidate), Some(measured)) => offer::weeding(shop, candidate, measured),
                _ => Duration::ZERO,
            };
            let spares = if choice.chosen.is_some() { layout::spares(line.pieces(), &shop.spoilage) } else { 0 };
            PrintPlan {
                art: wish.art.clone(),
                hash: print.map(|print| print.art.hash()),
                position: print.map(|print| print.position),
                size: print.map(|print| print.size),
                placements: print.map_or_else(Vec::new, |print| print.placements.clone()),
                transfers: if choice.chosen.is_some() { line.pieces().saturating_add(spares) } else { 0 },
                from_shelf: Vec::new(),
                choice,
                card: cards.get(at).cloned().flatten(),
                spares,
                weeding,
                stuck: stuck.iter().find(|(print, _)| *print == at).map(|(_, stuck)| stuck.clone()),
            }
        })
        .collect()
}

fn nothing_chosen() -> Choice {
    Choice { chosen: None, nearest: None, candidates: Vec::new(), why: Vec::new() }
}

#[expect(clippy::too_many_arguments, reason = "one call site; each argument is a stage's result")]
fn order_plan(
    bench: &charge::Bench<'_>,
    at: usize,
    order: &Order,
    mut lines: Vec<LinePlan>,
    plan: &Plan,
    (hold, latest): (Duration, Option<DateTime>),
    selections: &[SelectionCost],
    findings: &mut Vec<Finding>,
) -> OrderPlan {
    let dates = dates::dates(bench.shop, at, order, plan, hold, latest);
    findings.extend(dates::no_replacement(at, &dates));
    for (nth, line) in lines.iter_mut().enumerate() {
        line.press_from = dates::first_load(plan, at, nth);
    }
    let price = match charge::order(bench, at, &mut lines, plan, findings) {
        Ok(price) => price,
        Err(error) => {
            findings.push(countless(error).about(Subject { order: Some(at), ..Subject::default() }));
            charge::nothing(bench.shop, plan.today)
        }
    };
    let ways = charge::ways(bench, at, &lines, &price);
    OrderPlan {
        customer: order.customer.clone(),
        name: order.name.clone(),
        due: order.due,
        way: order.way,
        lines,
        selections: selections.to_vec(),
        price,
        ways,
        dates,
        test_piece: order.test_piece(bench.shop.pricing.test_piece.value),
    }
}

/// A line that was stopped after its state was first set, by layout or price.
fn settle_states(plan: &mut Plan, findings: &[Finding]) {
    for (at, order) in plan.orders.iter_mut().enumerate() {
        for (nth, line) in order.lines.iter_mut().enumerate() {
            if line.state == LineState::Planned {
                line.state = match halted(findings, at, nth) {
                    Some(Severity::StopsLine) => LineState::Stopped,
                    Some(_) => LineState::Waiting,
                    None => LineState::Planned,
                };
            }
        }
    }
}

/// The way an order is planned, for those that need only that.
pub(crate) fn way_of(orders: &[Order], at: usize) -> Way {
    orders.get(at).map_or(Way::Everyday, |order| order.way)
}

/// Opening of the first working day from `origin` on.
pub(crate) fn first_opening(shop: &Shop, origin: DateTime) -> DateTime {
    let day = origin.date();
    let day = if calendar::shop_works(shop, day) { day } else { calendar::working_day_after(shop, day) };
    calendar::opening(shop, day)
}
