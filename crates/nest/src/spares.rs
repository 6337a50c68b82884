//! Film that is paid for anyway is filled with the pieces most worth having twice.

use crate::answer::{Answer, Context, Filled};
use crate::board::Placed;
use crate::fill::{Filler, right_ends};
use crate::instance::StockKind;

/// Class and place of each piece.
type Items = Vec<(usize, [f64; 2])>;

/// Spares of one design on one sheet at most.
const MOST: u32 = 500;

/// The answer with spares where they cost nothing.
pub(crate) fn add_spares(context: &Context<'_>, answer: &Answer) -> Answer {
    let worth: Vec<f64> = context.instance.designs.iter().map(|d| d.spare_weight).collect();
    if worth.iter().all(|w| *w <= 0.0) || answer.sheets.is_empty() {
        return answer.clone();
    }
    let mut with = answer.clone();
    let mut done: Vec<(Filled, Items)> = Vec::new();
    let mut have = vec![0_u32; worth.len()];
    for at in 0..with.sheets.len() {
        let sheet = with.sheets[at].clone();
        if context.instance.stock[sheet.stock].trim.is_some_and(|t| t.by_hand) || at < context.locked.len() {
            continue;
        }
        // Sheets of one layout stay of one layout, for the price break.
        let known = done.iter().find(|(s, _)| s.stock == sheet.stock && s.items == sheet.items);
        let spares = match known {
            Some((_, spares)) => spares.clone(),
            None => {
                let spares = spares_for(context, &sheet, &worth, &mut have);
                done.push((sheet, spares.clone()));
                spares
            }
        };
        with.sheets[at].spares.extend(spares);
    }
    let priced = context.priced(with.sheets, with.left);
    if priced.cost <= answer.cost { priced } else { answer.clone() }
}

fn spares_for(context: &Context<'_>, sheet: &Filled, worth: &[f64], have: &mut [u32]) -> Items {
    let length = paid_length(context, sheet);
    let mut board = context.board_free(&[(sheet.stock, length)]);
    let on: Vec<Placed> =
        sheet.items.iter().chain(&sheet.spares).map(|(class, at)| Placed { class: *class, at: *at, bin: 0 }).collect();
    let bias = right_ends(&board);
    let mut filler = Filler::new(&mut board, 0, &on, on.len() <= 150, &bias);
    let mut open: Vec<usize> = (0..worth.len()).filter(|d| worth[*d] > 0.0 && !context.groups.binds(*d)).collect();
    let mut spares = Vec::new();
    // The next spare is the one worth most for its area, each further one of a design worth less.
    while let Some(best) = open.iter().copied().max_by(|a, b| {
        let value = |d: &usize| worth[*d] / (1.0 + f64::from(have[*d]));
        value(a).total_cmp(&value(b)).then(context.parts.area[*b].total_cmp(&context.parts.area[*a])).then(b.cmp(a))
    }) {
        match filler.place(best).filter(|_| have[best] < MOST) {
            Some(p) => {
                have[best] += 1;
                spares.push((p.class, p.at));
            }
            None => open.retain(|d| *d != best),
        }
    }
    spares
}

/// Usable length of what is paid for, mm.
fn paid_length(context: &Context<'_>, sheet: &Filled) -> f64 {
    let stock = &context.instance.stock[sheet.stock];
    match stock.kind {
        StockKind::Sheet { .. } => stock.usable().0,
        StockKind::Roll { maximum_mm, .. } => {
            let one = context.priced(vec![sheet.clone()], Vec::new());
            let (length, _) = crate::price::charged(stock, one.used);
            length.min(maximum_mm) - 2.0 * stock.margin_mm
        }
    }
}
