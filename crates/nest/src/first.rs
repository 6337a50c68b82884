//! A first full answer: sheets of one stock item filled one after the other,
//! for each stock item, and one layout repeated where that is cheaper.

use rayon::prelude::*;

use crate::answer::{Answer, Context, Filled};
use crate::board::Placed;
use crate::fill::{Bias, Filler, fill, left_starts, mixed, right_ends};
use crate::instance::StockKind;
use crate::lanes::in_lanes;
use crate::random::Random;

/// Up to so many pieces the heights at which pieces touch are scanned too.
const EXACT: u32 = 150;
/// Sheets opened at most.
const MOST_SHEETS: usize = 20_000;

/// The cheapest of several plain answers, as complete as can be.
pub(crate) fn first_answer(context: &Context<'_>) -> Answer {
    let stocks = by_value(context);
    let many = pieces(context) > 1200;
    let tried: Vec<usize> = stocks.iter().copied().take(if many { 2 } else { 8 }).collect();
    let ways = if context.groups.any() { 1 } else { ways(pieces(context)) };
    let tasks: Vec<(usize, u64)> = tried.iter().flat_map(|first| (0..ways).map(|way| (*first, way))).collect();
    let mut answers: Vec<Answer> = tasks
        .par_iter()
        .flat_map_iter(|(first, way)| {
            let mut order = vec![*first];
            order.extend(stocks.iter().copied().filter(|s| s != first));
            let mut found = vec![one_after_the_other(context, &order, *way)];
            if *way + 1 == ways && !context.groups.any() {
                if context.locked.is_empty() {
                    found.extend(repeated(context, *first));
                }
                if context.instance.stock[*first].trim.is_some_and(|t| t.by_hand) {
                    found.extend(in_lanes(context, *first));
                }
            }
            found
        })
        .collect();
    let rank = |a: &Answer| (a.missing(), a.cost);
    answers.sort_by(|a, b| rank(a).cmp(&rank(b)).then(a.used.total_cmp(&b.used)));
    // Checking takes as long as filling: only the answer that is given out is checked.
    answers.into_iter().find(|a| context.good(a)).unwrap_or_else(|| only_locked(context))
}

/// How many orders and preferences are tried: many where each takes a moment.
fn ways(pieces: u32) -> u64 {
    match pieces {
        0..=12 => 24,
        13..=40 => 8,
        41..=150 => 2,
        151..=1200 => 1,
        // One for each of two cores: nothing but filling comes after.
        _ => 2,
    }
}

/// The designs in order and what is preferred: large ones first and right ends,
/// then left starts, then stirred.
fn way_of(context: &Context<'_>, way: u64) -> (Vec<usize>, Bias) {
    let mut designs = by_area(context);
    designs.dedup();
    let board = context.board_free(&[]);
    let mut random = Random::new(way, 77);
    match way {
        0 => (designs, right_ends(&board)),
        1 => (designs, left_starts(&board)),
        _ => {
            let mut keyed: Vec<(f64, usize)> =
                designs.into_iter().map(|d| (context.parts.area[d] * (0.4 * random.bell()).exp(), d)).collect();
            keyed.sort_by(|a, b| b.0.total_cmp(&a.0));
            (keyed.into_iter().map(|(_, d)| d).collect(), mixed(&board, &mut random))
        }
    }
}

/// Nothing but what is locked.
pub(crate) fn only_locked(context: &Context<'_>) -> Answer {
    let sheets = context
        .locked
        .iter()
        .map(|(stock, _)| Filled { stock: *stock, items: Vec::new(), spares: Vec::new() })
        .collect();
    context.priced(sheets, context.wanted.clone())
}

pub(crate) fn pieces(context: &Context<'_>) -> u32 {
    context.wanted.iter().fold(0, |n, w| n.saturating_add(*w))
}

/// Every copy to be placed, as designs, large ones first.
pub(crate) fn by_area(context: &Context<'_>) -> Vec<usize> {
    let mut designs: Vec<usize> = (0..context.wanted.len()).collect();
    designs.sort_by(|a, b| context.parts.area[*b].total_cmp(&context.parts.area[*a]).then(a.cmp(b)));
    designs.into_iter().flat_map(|d| std::iter::repeat_n(d, context.wanted[d] as usize)).collect()
}

/// Stock items that can take something, cheapest for their area first.
fn by_value(context: &Context<'_>) -> Vec<usize> {
    let designs = context.wanted.len();
    let mut all: Vec<usize> =
        (0..context.instance.stock.len()).filter(|s| (0..designs).any(|d| context.fits(*s, d))).collect();
    let worth = |s: &usize| {
        let stock = &context.instance.stock[*s];
        match stock.kind {
            StockKind::Sheet { width_mm, length_mm, .. } => stock.lowest_price() as f64 / (width_mm * length_mm),
            StockKind::Roll { step_mm, width_mm, .. } => stock.lowest_price() as f64 / (width_mm * step_mm),
        }
    };
    all.sort_by(|a, b| worth(a).total_cmp(&worth(b)).then(a.cmp(b)));
    all
}

/// Locked sheets first, then sheets of the stock items in the given order.
fn one_after_the_other(context: &Context<'_>, stocks: &[usize], way: u64) -> Answer {
    if context.groups.any() {
        return by_rules(context, stocks);
    }
    let mut left = context.wanted.clone();
    let mut sheets = Vec::new();
    let exact = pieces(context) <= EXACT;
    let (designs, bias) = way_of(context, way);
    for bin in 0..context.locked.len() {
        let items = fill_one(context, context.locked[bin].0, Some(bin), &designs, &mut left, (exact, &bias));
        sheets.push(Filled { stock: context.locked[bin].0, items, spares: Vec::new() });
    }
    for stock in stocks {
        let mut room = available(context, *stock);
        while room > 0 && left.iter().any(|n| *n > 0) && sheets.len() < MOST_SHEETS {
            let before = left.clone();
            let items = fill_one(context, *stock, None, &designs, &mut left, (exact, &bias));
            if items.is_empty() {
                break;
            }
            let used: Vec<u32> = before.iter().zip(&left).map(|(b, l)| b - l).collect();
            let again = repeats(&left, &used).min(room - 1);
            for _ in 0..=again {
                sheets.push(Filled { stock: *stock, items: items.clone(), spares: Vec::new() });
            }
            for (l, u) in left.iter_mut().zip(&used) {
                *l -= u * again;
            }
            room -= 1 + again;
        }
    }
    context.priced(sheets, left)
}

/// How often what one sheet took is still wanted.
fn repeats(left: &[u32], used: &[u32]) -> u32 {
    left.iter().zip(used).filter(|(_, u)| **u > 0).map(|(l, u)| l / u).min().unwrap_or(0)
}

/// Sheets of a stock item beyond the locked ones.
pub(crate) fn available(context: &Context<'_>, stock: usize) -> u32 {
    let locked = context.locked.iter().filter(|(s, _)| *s == stock).count() as u32;
    match context.instance.stock[stock].kind {
        StockKind::Sheet { count: Some(count), .. } => count.saturating_sub(locked),
        _ => u32::MAX,
    }
}

/// Fills one sheet with as many of the remaining pieces as find a place.
fn fill_one(
    context: &Context<'_>,
    stock: usize,
    locked: Option<usize>,
    designs: &[usize],
    left: &mut [u32],
    (exact, bias): (bool, &Bias),
) -> Vec<(usize, [f64; 2])> {
    let mut board = match locked {
        Some(at) => context.board_of_lock(at),
        None => context.board_free(&[(stock, context.length(stock))]),
    };
    let start = board.bins[0].start;
    let mut filler = Filler::new(&mut board, 0, &[], exact, bias);
    let mut items = Vec::new();
    for design in designs {
        while left[*design] > 0 {
            let Some(placed) = filler.place(*design) else { break };
            left[*design] -= 1;
            items.push((placed.class, [placed.at[0] - start, placed.at[1]]));
        }
    }
    items
}

/// With groups kept together or apart: all sheets side by side, more until all is placed.
fn by_rules(context: &Context<'_>, stocks: &[usize]) -> Answer {
    let order = by_area(context);
    let mut best: Option<Answer> = None;
    let mut count = 1_usize;
    while count <= 256 {
        let mut bins = context.locked_bins();
        for stock in stocks {
            let room = available(context, *stock) as usize;
            bins.extend(std::iter::repeat_n((*stock, context.length(*stock)), room.min(count)));
        }
        let mut board = context.board(&bins);
        let groups = context.groups.clone();
        let bias = right_ends(&board);
        let placed: Vec<Placed> =
            fill(&mut board, &order, &groups, order.len() as u32 <= EXACT, &bias).into_iter().flatten().collect();
        let answer = context.answer(&board, &placed);
        let done = answer.missing() == 0;
        let better = best.as_ref().is_none_or(|b| (answer.missing(), answer.cost) < (b.missing(), b.cost));
        if better {
            best = Some(answer);
        } else if best.as_ref().is_some_and(|b| b.missing() > 0) && count > 4 {
            break;
        }
        if done {
            break;
        }
        count *= 2;
    }
    best.unwrap_or_else(|| only_locked(context))
}

/// One layout as often as it takes, for each number of repeats up to a limit.
fn repeated(context: &Context<'_>, stock: usize) -> Option<Answer> {
    let item = &context.instance.stock[stock];
    if (item.identical.is_empty() && item.set_up == 0) || pieces(context) == 0 {
        return None;
    }
    let (order, bias) = way_of(context, 0);
    let mut best: Option<Answer> = None;
    for times in 1..=available(context, stock).min(64) {
        let each: Vec<u32> = context.wanted.iter().map(|w| w.div_ceil(times)).collect();
        let mut left = each.clone();
        let total: u32 = each.iter().sum();
        let items = fill_one(context, stock, None, &order, &mut left, (total <= EXACT, &bias));
        if left.iter().any(|n| *n > 0) {
            continue;
        }
        let answer = repeated_answer(context, stock, &items, times);
        if best.as_ref().is_none_or(|b| answer.cost < b.cost) {
            best = Some(answer);
        }
    }
    best
}

fn repeated_answer(context: &Context<'_>, stock: usize, items: &[(usize, [f64; 2])], times: u32) -> Answer {
    let mut left = context.wanted.clone();
    let mut sheets = Vec::new();
    for _ in 0..times {
        let mut sheet = Filled { stock, items: Vec::new(), spares: Vec::new() };
        for item in items {
            let design = context.parts.classes[item.0].shape;
            if left[design] > 0 {
                left[design] -= 1;
                sheet.items.push(*item);
            } else {
                sheet.spares.push(*item);
            }
        }
        sheets.push(sheet);
    }
    context.priced(sheets, left)
}
