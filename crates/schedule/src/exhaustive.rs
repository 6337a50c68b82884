//! Small shops searched completely, nothing held back: the search finds as good a one.

use crate::check::checked;
use crate::decode::{Choice, Score, decode};
use crate::model::Model;
use crate::{Settings, solve};
use report::{Effort, Quiet, Seed};

#[path = "../tests/common/mod.rs"]
mod common;

/// Every order that keeps what waits for what, every choice of presses, every crew.
fn best_of_all(model: &Model<'_>) -> (Score, usize) {
    let (mut orders, mut presses) = (Vec::new(), vec![Vec::new()]);
    permute(model, &mut Vec::new(), &mut orders);
    for work in &model.works {
        let with = |p: &Vec<usize>| work.presses.iter().map(|&x| [p.as_slice(), &[x]].concat()).collect::<Vec<_>>();
        presses = presses.iter().flat_map(with).collect();
    }
    let hold = vec![[0; 3]; model.works.len()];
    let mut best: Option<Score> = None;
    let mut tried = 0;
    for order in &orders {
        for press in &presses {
            for crew in 1..1_u64 << model.problem.people.len() {
                let score =
                    decode(model, &Choice { order: order.clone(), press: press.clone(), crew, hold: hold.clone() })
                        .score;
                best = Some(best.map_or(score, |b| b.min(score)));
                tried += 1;
            }
        }
    }
    (best.expect("at least one order"), tried)
}

fn permute(model: &Model<'_>, so_far: &mut Vec<usize>, orders: &mut Vec<Vec<usize>>) {
    if so_far.len() == model.works.len() {
        orders.push(so_far.clone());
        return;
    }
    for next in 0..model.works.len() {
        let free = model.works[next].after.iter().all(|(b, _)| so_far.contains(b));
        if free && !so_far.contains(&next) {
            so_far.push(next);
            permute(model, so_far, orders);
            so_far.pop();
        }
    }
}

#[test]
fn the_search_finds_the_optimum_of_every_order_press_and_crew() {
    let (mut most, mut missed) = (0, Vec::new());
    for seed in 1000..1060 {
        let problem = common::tiny(seed);
        let model = checked(&problem).expect("a sound shop");
        let (best, tried) = best_of_all(&model);
        most = most.max(tried);
        let settings = Settings { effort: Effort(12000), seed: Seed(1) };
        let found = solve(&problem, &settings, &mut Quiet).expect("a schedule").value;
        let cost = crate::model::minor(best.cost);
        if (found.late_weight, found.cost_minor) > (best.late_weight, cost) {
            missed.push((seed, (found.late_weight, found.cost_minor), (best.late_weight, cost)));
        }
    }
    assert!(missed.is_empty(), "seed, found, optimum: {missed:?}");
    assert!(most > 5_000, "the shops are too small to mean anything: {most}");
}
