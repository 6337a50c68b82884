//! Which sets of stock would be cheaper, and whether the pieces fit one.

use crate::answer::{Answer, Context};
use crate::board::{Board, Placed};
use crate::fill::{fill, mixed, right_ends};
use crate::first::{available, by_area, pieces};
use crate::instance::{Stock, StockKind};
use crate::random::Random;
use crate::separate::{Crowd, Patience};

/// A set of stock to try: stock item and usable length of each sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Target {
    pub(crate) bins: Vec<(usize, f64)>,
    /// Share of the grown usable area that the grown pieces would take.
    density: f64,
}

/// Sets kept at most.
const MOST_TARGETS: usize = 48;
/// Sets looked through at most.
const MOST_SETS: usize = 200_000;
/// Denser sets are not tried.
const DENSEST: f64 = 1.0 + 1e-9;
/// Up to so many pieces clashes are searched away; beyond, only filling is tried.
const MOST_CROWDED: u32 = 1200;

/// Sets cheaper than the best answer (or any, while pieces are missing) that
/// have the area, the roomiest first.
pub(crate) fn targets(context: &Context<'_>, best: &Answer, bound: i64) -> Vec<Target> {
    let limit = if best.missing() > 0 { i64::MAX / 4 } else { best.cost };
    let set_up = if context.instance.stock.iter().all(|s| s.set_up == 0 && s.identical.is_empty()) { 0 } else { 1 };
    if limit <= bound || pieces(context) == 0 || set_up > 0 && context.instance.stock.len() == 1 {
        return Vec::new();
    }
    let sheets: Vec<usize> = (0..context.instance.stock.len()).filter(|s| !context.is_roll(*s)).collect();
    let rolls: Vec<usize> = (0..context.instance.stock.len()).filter(|s| context.is_roll(*s)).collect();
    let most = best.sheets.len().max(1) + 3;
    let shortest = shortest(context);
    // What lies on one roll gets shorter by itself.
    let shrunk = match &best.sheets[..] {
        [only] if best.missing() == 0 && context.instance.stock[only.stock].by_quantity.is_empty() => Some(only.stock),
        _ => None,
    };
    let needed = needed(context);
    let mut walk = Walk { context, limit, most, needed, shortest, shrunk, found: Vec::new(), seen: 0 };
    let mut chosen = Vec::new();
    walk.sheets(&sheets, &rolls, &mut chosen, 0);
    let mut found = walk.found;
    found.sort_by(|a, b| a.density.total_cmp(&b.density).then(a.bins.len().cmp(&b.bins.len())));
    found.truncate(MOST_TARGETS);
    found
}

/// Grown area of all pieces still to be placed and locked, mm².
fn needed(context: &Context<'_>) -> f64 {
    let half = context.instance.spacing_mm / 2.0;
    context
        .instance
        .designs
        .iter()
        .map(|d| {
            // Steiner's formula on the hull is too much for bays; a plain grown estimate will do here.
            let area = d.outline.area() + half * d.outline.perimeter() * 0.9;
            area * f64::from(d.quantity)
        })
        .sum()
}

/// The shortest length in which each design lies on each stock item; nothing for
/// designs no longer wanted, infinite where it does not fit.
fn shortest(context: &Context<'_>) -> Vec<Vec<f64>> {
    let of = |stock: usize, design: usize| {
        if context.wanted[design] == 0 {
            return 0.0;
        }
        let board = context.board_free(&[(stock, context.length(stock))]);
        let turns = board.classes_on(0, design);
        turns.into_iter().map(|c| context.parts.classes[c].size()[0]).fold(f64::INFINITY, f64::min)
    };
    let designs = context.wanted.len();
    (0..context.instance.stock.len()).map(|s| (0..designs).map(|d| of(s, d)).collect()).collect()
}

/// The most steps of a roll that the money buys; a higher quantity at a lower price may be the most.
fn most_steps(stock: &Stock, money: i64) -> f64 {
    let StockKind::Roll { price_per_step, .. } = stock.kind else { return 0.0 };
    let froms = std::iter::once((0, price_per_step)).chain(stock.by_quantity.iter().copied());
    let until = stock.by_quantity.iter().map(|(from, _)| i64::from(*from) - 1).chain([i64::MAX]);
    let most = froms.zip(until).filter_map(|((from, price), until)| {
        let steps = if price > 0 { (money / price).min(until) } else { until };
        (steps >= i64::from(from)).then_some(steps)
    });
    most.max().map_or(0.0, |steps| if steps == i64::MAX { f64::INFINITY } else { steps as f64 })
}

struct Walk<'c, 'i> {
    context: &'c Context<'i>,
    limit: i64,
    most: usize,
    needed: f64,
    /// Length that each design still wanted takes at least, by stock item.
    shortest: Vec<Vec<f64>>,
    /// A roll that need not be tried by itself.
    shrunk: Option<usize>,
    found: Vec<Target>,
    seen: usize,
}

impl Walk<'_, '_> {
    /// All numbers of each sheet size that stay below the limit.
    fn sheets(&mut self, sizes: &[usize], rolls: &[usize], chosen: &mut Vec<usize>, spent: i64) {
        self.seen += 1;
        if self.seen > MOST_SETS {
            return;
        }
        let Some((size, rest)) = sizes.split_first() else {
            self.keep(chosen, None);
            for roll in rolls {
                self.keep_with_roll(chosen, *roll, spent);
            }
            return;
        };
        let price = self.context.instance.stock[*size].lowest_price();
        let room = (available(self.context, *size) as usize).min(self.most - chosen.len().min(self.most));
        let before = chosen.len();
        let mut cost = spent;
        for _ in 0..=room {
            self.sheets(rest, rolls, chosen, cost);
            chosen.push(*size);
            cost = cost.saturating_add(price);
            if cost >= self.limit {
                break;
            }
        }
        chosen.truncate(before);
    }

    fn keep_with_roll(&mut self, chosen: &[usize], roll: usize, spent: i64) {
        let stock = &self.context.instance.stock[roll];
        let StockKind::Roll { step_mm, minimum_mm, maximum_mm, .. } = stock.kind else { return };
        if chosen.is_empty() && self.shrunk == Some(roll) {
            return;
        }
        let money = self.limit - 1 - spent;
        let steps = most_steps(stock, money);
        let least = (minimum_mm / step_mm - 1e-6).ceil().max(1.0);
        if money < 0 || steps < least {
            return;
        }
        let length = (steps * step_mm).min(maximum_mm) - 2.0 * stock.margin_mm;
        if length > 0.0 {
            self.keep(chosen, Some((roll, length)));
        }
    }

    fn keep(&mut self, chosen: &[usize], roll: Option<(usize, f64)>) {
        let context = self.context;
        let mut bins = context.locked_bins();
        bins.extend(chosen.iter().map(|s| (*s, context.length(*s))));
        bins.extend(roll);
        let designs = self.shortest.first().map_or(0, Vec::len);
        let takes = |design: usize| bins.iter().any(|(s, length)| self.shortest[*s][design] <= length + 1e-9);
        if !(0..designs).all(takes) {
            return;
        }
        let gap = context.instance.spacing_mm;
        let area: f64 =
            bins.iter().map(|(s, length)| (length + gap) * (context.instance.stock[*s].usable().1 + gap)).sum();
        let density = self.needed / area.max(1e-9);
        if density <= DENSEST && self.found.len() < 4 * MOST_SETS {
            self.found.push(Target { bins, density });
        }
    }
}

/// Tries to get all pieces onto the target's sheets: filled in one of several
/// orders, then what is left over pressed in and separated.
pub(crate) fn try_target(
    context: &Context<'_>,
    target: &Target,
    random: &mut Random,
    budget: u64,
    round: u32,
) -> (Option<Answer>, u64) {
    let mut board = context.board(&target.bins);
    let count = pieces(context);
    let exact = count <= 150;
    let order = stirred(context, random, round);
    let bias = if round == 0 { right_ends(&board) } else { mixed(&board, random) };
    let placed = fill(&mut board, &order, &context.groups, exact, &bias);
    let mut all: Vec<Placed> = placed.iter().flatten().copied().collect();
    let missing: Vec<usize> = order.iter().zip(&placed).filter(|(_, p)| p.is_none()).map(|(d, _)| *d).collect();
    if missing.is_empty() {
        return (Some(context.answer(&board, &all)), board.spent);
    }
    let area = |d: &usize| context.parts.area[*d];
    let share = missing.iter().map(area).sum::<f64>() / order.iter().map(area).sum::<f64>().max(1e-9);
    let most = if count <= 60 { 0.55 } else { 0.25 };
    if count > MOST_CROWDED || share > most || missing.iter().any(|d| context.groups.binds(*d)) {
        return (None, board.spent);
    }
    for design in missing {
        match somewhere(&board, random, design) {
            Some(p) => all.push(p),
            None => return (None, board.spent),
        }
    }
    let bound = all.iter().map(|p| context.groups.binds(context.parts.classes[p.class].shape)).collect();
    let mut crowd = Crowd::new(&board, all, bound);
    let patience = Patience { rounds: 80 + 40 * round, budget };
    let clear = crowd.separate(&mut board, random, patience);
    (clear.then(|| context.answer(&board, &crowd.placed)), board.spent)
}

/// Large pieces first, the order stirred more from round to round.
fn stirred(context: &Context<'_>, random: &mut Random, round: u32) -> Vec<usize> {
    let order = by_area(context);
    if round == 0 {
        return order;
    }
    let spread = 0.15 * f64::from(round.min(6));
    let mut keyed: Vec<(f64, usize)> =
        order.into_iter().map(|d| (context.parts.area[d] * (spread * random.bell()).exp(), d)).collect();
    keyed.sort_by(|a, b| b.0.total_cmp(&a.0));
    keyed.into_iter().map(|(_, d)| d).collect()
}

/// A random place within some sheet that is large enough, clashes or not.
fn somewhere(board: &Board<'_>, random: &mut Random, design: usize) -> Option<Placed> {
    for _ in 0..50 {
        let bin = random.below(board.bins.len());
        let classes = board.classes_on(bin, design);
        if classes.is_empty() {
            continue;
        }
        let class = classes[random.below(classes.len())];
        let (low, high) = board.room(bin, class)?;
        return Some(Placed { class, at: [random.between(low[0], high[0]), random.between(low[1], high[1])], bin });
    }
    None
}
