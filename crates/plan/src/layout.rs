//! Pools: all prints that use one transfer in one film colour share its sheets
//! and rolls, laid out at least cost.

use crate::bulk;
use crate::codes;
use crate::draft::{LineDraft, PrintDraft};
use crate::locks::{self, Lock};
use crate::result::{Candidate, FilmStack, Pool, PoolDesign, PoolStock, PoolUse};
use crate::shapes::{Known, PackShape};
use geometry::{Outline, Point, Region};
use nest::{Design, Instance, PairBook, Rotations, Stock, StockKind};
use rayon::prelude::*;
use report::{Effort, Figure, Finding, Go, Origin, Progress, Quiet, Reason, Seed, Severity, Subject, Value, Watch};
use std::collections::BTreeMap;
use std::sync::Arc;
use trade::{Direction, Reading, Shop, Spoilage, StockId, StockItem, StockShape, TransferId};
use units::{Area, Money};

/// What a print is made in: a transfer, and the film or films it is cut from.
#[derive(Debug, Clone)]
pub(crate) struct Taken {
    pub transfer: TransferId,
    /// The film, where there is one.
    film: Option<String>,
    /// The films, where there are several colours.
    stack: Option<Arc<FilmStack>>,
}

impl Taken {
    pub fn of(candidate: &Candidate) -> Self {
        Self {
            transfer: candidate.transfer,
            film: candidate.films.first().map(|film| film.name.clone()),
            stack: candidate.stack.clone(),
        }
    }
}

/// What is asked for: copies of one film of one print of one line, in one transfer.
#[derive(Debug, Clone)]
pub(crate) struct Wanted<'a> {
    pub subject: Subject,
    pub print: &'a PrintDraft<'a>,
    pub transfer: TransferId,
    pub colour: Option<String>,
    /// Which film of the print's stack, from the lowest.
    film: Option<(usize, Arc<FilmStack>)>,
    /// Pieces to make, spares included.
    pub pieces: u32,
}

impl Wanted<'_> {
    /// As packing sees it.
    fn shape(&self) -> &PackShape {
        match &self.film {
            Some((nth, stack)) => stack.shapes.get(*nth).unwrap_or(&self.print.shape),
            None => &self.print.shape,
        }
    }

    /// Whether it is one of several films that are laid over one another, or of one with the rest left to the cloth.
    pub fn is_layered(&self) -> bool {
        self.film.is_some()
    }

    fn nth_film(&self) -> Option<usize> {
        self.film.as_ref().map(|(nth, _)| *nth)
    }
}

/// How hard to look, and from which seed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    pub effort: Effort,
    pub seed: Seed,
    /// As [`nest::Settings::threads`].
    pub threads: usize,
    /// Whether the layout is only priced, not made: outlines of few corners will do.
    pub only_priced: bool,
}

/// Tolerance of outlines for packing, mm: outward only.
const OUTLINE_TOLERANCE_MM: f64 = 0.3;
/// Parts of one print nearer than twice this are bridged, mm.
const BRIDGE_MM: f64 = 4.0;

/// Lays out all that is wanted, pool by pool, in the order of the shelf, round the pieces that stay.
///
/// `windows` says for each order which orders it may share sheets with: those of the same number.
pub(crate) fn pools(
    shop: &Shop,
    wanted: &[Wanted<'_>],
    windows: &[usize],
    locks: &[Lock<'_>],
    look: Look,
    watch: &mut dyn Watch,
    findings: &mut Vec<Finding>,
) -> Vec<Pool> {
    let groups = groups(wanted, windows);
    let mut done = Vec::new();
    // What lies in the shop can be used once, whichever pool takes it.
    let mut used = Used::new();
    let pairs = PairBook::default();
    let all = groups.len() as u64;
    let mut open = locks.to_vec();
    for (at, ((transfer, colour, _), wants)) in groups.into_iter().enumerate() {
        let progress = Progress { stage: codes::STAGE_LAYOUT, done: at as u64, of: Some(all), best: None, bound: None };
        let stopping = watch.told(&progress) == Go::Stop;
        let look = if stopping { Look { effort: Effort(0), ..look } } else { look };
        let key = key(done.len());
        let (mine, others): (Vec<Lock<'_>>, Vec<Lock<'_>>) =
            open.into_iter().partition(|lock| wants.iter().any(|want| holds(shop, want, lock)));
        open = others;
        if let Some(pool) = pool(shop, transfer, colour, &wants, &mine, key, look, &used, &pairs, watch, findings) {
            for sheet in &pool.layout.sheets {
                let entry = pool.stock.get(sheet.stock);
                if let Some((item, remnant)) = entry.and_then(|entry| Some((entry.item, entry.remnant?))) {
                    let count: &mut u32 = used.entry((item, remnant)).or_default();
                    *count = count.saturating_add(1);
                }
            }
            done.push(pool);
        }
    }
    findings.extend(open.iter().map(Lock::gone));
    done
}

/// How many of which left-over piece of an item other pools have taken.
type Used = BTreeMap<(StockId, usize), u32>;

/// Whether a locked piece is a copy of what is wanted.
fn holds(shop: &Shop, want: &Wanted<'_>, lock: &Lock<'_>) -> bool {
    let Subject { order, line, print } = want.subject;
    (order, line, print) == (Some(lock.order), Some(lock.locked.line), Some(lock.locked.print))
        && want.nth_film() == lock.locked.film
        && shop.transfer(want.transfer).id == lock.locked.transfer
}

/// What shares sheets: one transfer in one film colour, for orders of one window.
type Groups<'a, 'b> = BTreeMap<(TransferId, Option<&'a str>, usize), Vec<&'a Wanted<'b>>>;

fn groups<'a, 'b>(wanted: &'a [Wanted<'b>], windows: &[usize]) -> Groups<'a, 'b> {
    let mut groups: Groups<'a, 'b> = BTreeMap::new();
    for want in wanted {
        let window = want.subject.order.and_then(|order| windows.get(order)).copied().unwrap_or(0);
        groups.entry((want.transfer, want.colour.as_deref(), window)).or_default().push(want);
    }
    groups
}

/// Layouts that were only priced, not made, and what their quantities have in common.
#[derive(Debug, Default)]
pub(crate) struct Priced {
    layouts: Known<PricedKey, Option<Arc<Pool>>>,
    pairs: PairBook,
}
/// Transfer, film colour, and how many of which prints.
type PricedKey = (TransferId, Option<String>, Vec<(Subject, u32)>);

/// Lays out all that is wanted for its price alone: the packing engine's first
/// answer on outlines of few corners. Findings are left to the layouts that are made.
pub(crate) fn priced(shop: &Shop, wanted: &[Wanted<'_>], look: Look, known: &Priced) -> Vec<Arc<Pool>> {
    // Many are priced side by side, each on the threads that ask for them.
    let look = Look { effort: Effort(0), only_priced: true, threads: 0, ..look };
    let group = |((transfer, colour, _), wants): ((TransferId, Option<&str>, usize), Vec<&Wanted<'_>>)| {
        let many = wants.iter().map(|want| (want.subject, want.pieces)).collect();
        known.layouts.get_or((transfer, colour.map(str::to_owned), many), || {
            let used = Used::new();
            let (pairs, key) = (&known.pairs, String::new());
            pool(shop, transfer, colour, &wants, &[], key, look, &used, pairs, &mut Quiet, &mut Vec::new())
                .map(Arc::new)
        })
    };
    bulk::all_together(shop, groups(wanted, &[]).into_par_iter().filter_map(group).collect())
}

#[expect(clippy::too_many_arguments, reason = "two call sites; a struct would only rename them")]
fn pool(
    shop: &Shop,
    transfer: TransferId,
    colour: Option<&str>,
    wants: &[&Wanted<'_>],
    locks: &[Lock<'_>],
    key: String,
    look: Look,
    used: &Used,
    pairs: &PairBook,
    watch: &mut dyn Watch,
    findings: &mut Vec<Finding>,
) -> Option<Pool> {
    let (stock, items) = stock(shop, transfer, colour, used, findings);
    let spacing = items.iter().map(|item| shop.stock_item(item.item).spacing.value.mm()).fold(0.0, f64::max);
    let reversed = items.first().is_some_and(|item| shop.stock_item(item.item).reading.value == Reading::Reversed);
    let alike = alike(wants);
    let designs: Vec<Design> = alike.iter().map(|wants| design(wants, reversed, look.only_priced)).collect();
    let mut instance = Instance { spacing_mm: spacing, designs, stock, locked: Vec::new() };
    let pool_designs: Vec<PoolDesign> = alike.iter().map(|wants| pool_design(wants)).collect();
    instance.locked = locks::laid(shop, &instance, &items, &pool_designs, locks, findings);
    let settings = nest::Settings { effort: look.effort, seed: look.seed, threads: look.threads };
    let name = shop.transfer(transfer).name.clone();
    let mut solved = nest::solve_knowing(&instance, &settings, watch, pairs);
    if solved.is_err() && !instance.locked.is_empty() {
        // The order is made all the same; that its locks did not hold is said.
        findings.extend(locks.iter().map(Lock::nothing_round));
        instance.locked.clear();
        solved = nest::solve(&instance, &settings, watch);
    }
    let solved = match solved {
        Ok(outcome) => outcome,
        Err(refusal) => {
            for want in wants {
                let stop = Finding::new(Severity::StopsLine, codes::LAYOUT_REFUSED, codes::LAYOUT_REFUSED_REMEDY);
                findings.push(stop.named("transfer", name.clone()).about(want.subject));
                findings.extend(refusal.findings.iter().cloned().map(|finding| finding.about(want.subject)));
            }
            return None;
        }
    };
    for (design, count) in &solved.value.unplaced {
        for want in alike.get(*design).into_iter().flatten() {
            findings.push(
                Finding::new(Severity::StopsLine, codes::UNPLACED, codes::UNPLACED_REMEDY)
                    .named("transfer", name.clone())
                    .named("art", want.print.wish.art.clone())
                    .with("count", Value::Count(i64::from(*count)))
                    .about(want.subject),
            );
        }
    }
    let art_area: f64 = wants.iter().map(|want| want.shape().ink_mm2 * f64::from(want.pieces)).sum();
    let layout = solved.value;
    Some(Pool {
        key,
        transfer,
        colour: colour.map(str::to_owned),
        designs: pool_designs,
        cost: cost(shop, &layout),
        art_area: Area::from_mm2(art_area).unwrap_or_default(),
        paid_area: paid_area(&instance, &layout),
        instance,
        stock: items,
        layout,
    })
}

/// Spares for one design: few for a small order, a share of a large one.
pub(crate) fn spares(pieces: u32, spoilage: &Spoilage) -> u32 {
    if pieces <= spoilage.small_order {
        return spoilage.small_spares.value;
    }
    let share = i128::from(pieces) * i128::from(spoilage.share.value.ppm());
    u32::try_from((share + 999_999) / 1_000_000).unwrap_or(u32::MAX)
}

/// What is wanted for the lines of all orders in the given transfers.
pub(crate) fn wanted<'a>(shop: &Shop, line: &'a LineDraft<'a>, taken: &[Taken], pieces: u32) -> Vec<Wanted<'a>> {
    let pieces = pieces.saturating_add(spares(pieces, &shop.spoilage));
    let mut all = Vec::new();
    for (print, taken) in line.prints.iter().zip(taken) {
        let want =
            |colour, film| Wanted { subject: print.subject, print, transfer: taken.transfer, colour, film, pieces };
        match &taken.stack {
            Some(stack) => all.extend(
                stack
                    .layers
                    .iter()
                    .enumerate()
                    .map(|(nth, one)| want(Some(one.film.name.clone()), Some((nth, Arc::clone(stack))))),
            ),
            None => all.push(want(taken.film.clone(), None)),
        }
    }
    all
}

/// The share of each use of each design in its pool's cost, in the order of the
/// designs and their uses: by area grown by half the spacing.
pub(crate) fn grown_shares(pool: &Pool) -> Vec<i64> {
    pool.instance
        .designs
        .iter()
        .zip(&pool.designs)
        .flat_map(|(design, of)| {
            let one = nest::grown_area(design, pool.instance.spacing_mm);
            // Hundredths of a square millimetre are finer than any outline.
            of.uses().map(move |copies| (one * f64::from(copies.copies) * 100.0).clamp(1.0, 1e15) as i64)
        })
        .collect()
}

fn stock(
    shop: &Shop,
    transfer: TransferId,
    colour: Option<&str>,
    used: &Used,
    findings: &mut Vec<Finding>,
) -> (Vec<Stock>, Vec<PoolStock>) {
    let ids = &shop.transfer(transfer).stock;
    let Some(reading) = ids.first().map(|id| shop.stock_item(*id).reading.value) else {
        return (Vec::new(), Vec::new());
    };
    let mut stock = Vec::new();
    let mut items = Vec::new();
    for id in ids {
        let item = shop.stock_item(*id);
        if item.reading.value != reading {
            // One layout cannot hold both; the first item's way is kept.
            findings.push(
                Finding::new(Severity::Note, codes::STOCK_READING_DIFFERS, codes::STOCK_READING_DIFFERS_REMEDY)
                    .named("stock", item.name.clone()),
            );
            continue;
        }
        for (entry, remnant) in entries(shop, *id, item, colour, used) {
            stock.push(entry);
            items.push(PoolStock { item: *id, on_hand: remnant.is_some(), remnant });
        }
    }
    (stock, items)
}

/// What is on hand at no cost, then what can be bought.
fn entries(
    shop: &Shop,
    id: StockId,
    item: &StockItem,
    colour: Option<&str>,
    used: &Used,
) -> Vec<(Stock, Option<usize>)> {
    let common = |kind: StockKind| Stock {
        margin_mm: item.margin.mm(),
        direction: match item.direction {
            Direction::Any => nest::Direction::None,
            Direction::Half => nest::Direction::Half,
            Direction::Fixed => nest::Direction::Fixed,
        },
        trim: item.trim.map(|trim| nest::Trim {
            by_hand: true,
            per_straight_cut_s: trim.straight_cut.s(),
            per_outline_mm_s: trim.per_outline_mm.s(),
            rate_per_hour: shop.rates.labour_per_hour.minor().saturating_add(shop.rates.overhead_per_hour.minor()),
        }),
        ..Stock::new(format!("{}-{}", item.id, id.index()), kind)
    };
    let mut all = Vec::new();
    for (at, remnant) in item.remnants.iter().enumerate().filter(|(_, remnant)| remnant.colour.as_deref() == colour) {
        let count = remnant.count.saturating_sub(used.get(&(id, at)).copied().unwrap_or(0));
        if count == 0 {
            continue;
        }
        let kind = StockKind::Sheet {
            width_mm: remnant.width.mm(),
            length_mm: remnant.length.mm(),
            price: 0,
            count: Some(count),
        };
        all.push((common(kind), Some(at)));
    }
    // What nobody sells is only had from what is on hand.
    if item.supplier.is_none() && !item.remnants.is_empty() {
        return all;
    }
    let mut bought = match &item.shape {
        StockShape::Sheet { width, length, price, .. } => {
            common(StockKind::Sheet { width_mm: width.mm(), length_mm: length.mm(), price: price.minor(), count: None })
        }
        StockShape::Roll { width, step, price_per_step, minimum, maximum, .. } => common(StockKind::Roll {
            width_mm: width.mm(),
            price_per_step: price_per_step.minor(),
            step_mm: step.mm(),
            minimum_mm: minimum.mm(),
            maximum_mm: maximum.mm(),
        }),
    };
    if let StockShape::Sheet { identical, set_up, .. } = &item.shape {
        bought.identical = identical.iter().map(|step| (step.from, step.price.minor())).collect();
        bought.set_up = set_up.map_or(0, Money::minor);
    }
    bought.by_quantity = bulk::breaks(&item.shape);
    all.push((bought, None));
    all
}

/// Prints whose copies are interchangeable: one art at one size, made to look the same.
fn alike<'a, 'b>(wants: &[&'a Wanted<'b>]) -> Vec<Vec<&'a Wanted<'b>>> {
    let mut all: Vec<Vec<&Wanted<'_>>> = Vec::new();
    for want in wants {
        match all.iter_mut().find(|known| look_alike(known[0], want)) {
            Some(known) => known.push(want),
            None => all.push(vec![want]),
        }
    }
    all
}

fn look_alike(one: &Wanted<'_>, other: &Wanted<'_>) -> bool {
    // Where it goes, and how its transfer was found, change nothing on the film.
    let look = |want: &Wanted<'_>| crate::Print {
        art: String::new(),
        position: String::new(),
        offset: None,
        transfer: None,
        finish: None,
        size: one.print.wish.size,
        ..want.print.wish.clone()
    };
    // Where the cloth shows, the garment's colour is part of the look.
    let whose = |want: &Wanted<'_>| want.print.wish.let_cloth_show.then_some((want.subject.order, want.subject.line));
    let cuts = |want: &Wanted<'_>| want.film.as_ref().map(|(nth, stack)| (*nth, stack.cuts()));
    whose(one) == whose(other)
        && cuts(one) == cuts(other)
        && one.print.art.hash() == other.print.art.hash()
        && one.print.size == other.print.size
        && look(one) == look(other)
}

fn design(wants: &[&Wanted<'_>], reversed: bool, only_priced: bool) -> Design {
    let want = wants[0];
    let id = format!(
        "{}.{}.{}",
        want.subject.order.map_or(0, |at| at + 1),
        want.subject.line.map_or(0, |at| at + 1),
        want.subject.print.map_or(0, |at| at + 1)
    );
    // Two films of one print may be of one colour and lie in one pool.
    let id = want.nth_film().map_or(id.clone(), |film| format!("{id}.{}", film + 1));
    Design {
        rotations: Rotations::Quarter,
        spare_weight: 0.0,
        keep_together: None,
        keep_apart: None,
        mirrored: reversed,
        id,
        quantity: wants.iter().map(|want| want.pieces).fold(0, u32::saturating_add),
        outline: if only_priced { want.shape().coarse.clone() } else { want.shape().outline.clone() },
    }
}

/// One outline around all parts of a print, which travel on one piece of carrier.
///
/// Parts near one another are bridged by growing and shrinking again; what is
/// scattered wider gets the hull around all of it, as one would cut it out. Holes
/// wide enough stay open for other pieces.
pub(crate) fn one_piece(region: &Region) -> Option<Outline> {
    let simple = geometry::simplify_outward(region, OUTLINE_TOLERANCE_MM);
    if let [one] = simple.outlines.as_slice() {
        return Some(one.clone());
    }
    if simple.outlines.len() > MOST_BRIDGED {
        return hull(simple.outlines.iter().flat_map(Outline::outer));
    }
    // Grown a little more than shrunk, so that the result covers the art.
    let wide = geometry::grow(&simple, BRIDGE_MM);
    let joined = geometry::simplify_outward(&geometry::shrink(&wide, BRIDGE_MM * 0.98), OUTLINE_TOLERANCE_MM);
    match joined.outlines.as_slice() {
        [one] => Some(one.clone()),
        _ => hull(simple.outlines.iter().flat_map(Outline::outer)),
    }
}

/// Scattered in more parts than this, a print is cut out along its hull.
const MOST_BRIDGED: usize = 40;

/// The convex hull by Andrew's monotone chain (Information Processing Letters 9, 1979).
fn hull<'a>(points: impl Iterator<Item = &'a Point>) -> Option<Outline> {
    let mut points: Vec<Point> = points.copied().collect();
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let turn = |a: Point, b: Point, c: Point| (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
    let half = |points: &mut dyn Iterator<Item = &Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for p in points {
            while chain.len() >= 2 && turn(chain[chain.len() - 2], chain[chain.len() - 1], *p) <= 0.0 {
                chain.pop();
            }
            chain.push(*p);
        }
        chain.pop();
        chain
    };
    let mut ring = half(&mut points.iter());
    ring.extend(half(&mut points.iter().rev()));
    Outline::new(ring, Vec::new()).ok()
}

fn pool_design(wants: &[&Wanted<'_>]) -> PoolDesign {
    let of = |want: &Wanted<'_>| PoolUse {
        order: want.subject.order.unwrap_or(0),
        line: want.subject.line.unwrap_or(0),
        print: want.subject.print.unwrap_or(0),
        copies: want.pieces,
    };
    let PoolUse { order, line, print, copies } = of(wants[0]);
    let film = wants[0].nth_film();
    PoolDesign { order, line, print, film, copies, also: wants[1..].iter().map(|want| of(want)).collect() }
}

pub(crate) fn cost(shop: &Shop, layout: &nest::Layout) -> Figure<Money> {
    let money = |minor| Money::new(minor, shop.currency);
    let reason = Reason::new(codes::LAYOUT_COST)
        .from("cost", Value::Money(money(layout.cost)), Origin::Model)
        .from("bound", Value::Money(money(layout.lower_bound)), Origin::Model)
        .from("sheets", Value::Count(i64::try_from(layout.sheets.len()).unwrap_or(i64::MAX)), Origin::Model)
        .changed_by(codes::CHANGE_QUANTITY)
        .changed_by(codes::CHANGE_PRICE);
    Figure::new(money(layout.cost), reason).between(money(layout.lower_bound), money(layout.cost))
}

fn paid_area(instance: &Instance, layout: &nest::Layout) -> Area {
    let area = layout
        .sheets
        .iter()
        .filter_map(|sheet| {
            let width = match instance.stock.get(sheet.stock)?.kind {
                StockKind::Sheet { width_mm, .. } | StockKind::Roll { width_mm, .. } => width_mm,
            };
            Some(width * sheet.charged_length_mm)
        })
        .sum();
    Area::from_mm2(area).unwrap_or_default()
}

/// `a` … `z`, `aa` …: short, and safe in file names.
fn key(mut at: usize) -> String {
    let mut letters = Vec::new();
    loop {
        letters.push(char::from(b'a' + u8::try_from(at % 26).unwrap_or(0)));
        if at < 26 {
            break;
        }
        at = at / 26 - 1;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use geometry::Pose;

    #[test]
    fn keys_count_on_after_z() {
        assert_eq!([0, 25, 26, 51, 52].map(key), ["a", "z", "aa", "az", "ba"]);
    }

    /// A word of three letters is one piece of carrier and covers each letter;
    /// a ring keeps its hole.
    #[test]
    fn parts_of_a_print_travel_together() {
        let square = Outline::rectangle(10.0, 10.0).expect("an outline");
        let letters = [0.0, 14.0, 40.0].map(|x| Pose::at(x, 0.0).outline(&square).expect("an outline"));
        let word = Region { outlines: letters.to_vec() };
        let piece = one_piece(&word).expect("a piece");
        for letter in &word.outlines {
            for corner in letter.outer() {
                let inward = Point::new(corner.x * 0.999 + 0.02, corner.y * 0.99 + 0.05);
                assert!(piece.contains(inward), "{corner:?}");
            }
        }
        let hole = vec![Point::new(20.0, 20.0), Point::new(80.0, 20.0), Point::new(80.0, 80.0), Point::new(20.0, 80.0)];
        let frame = Outline::rectangle(100.0, 100.0).expect("an outline");
        let ring = Region { outlines: vec![Outline::new(frame.outer().to_vec(), vec![hole]).expect("a ring")] };
        assert_eq!(one_piece(&ring).expect("a piece").holes().len(), 1);
    }
}
