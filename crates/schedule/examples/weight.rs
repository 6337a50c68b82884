//! Times and quality on invented weeks; figures for docs/schedule.md.
//!
//! `cargo run --release -p schedule --example weight`
#![allow(clippy::print_stdout, reason = "it prints its table")]

#[path = "../tests/common/mod.rs"]
mod common;

use report::{Effort, Quiet, Seed};
use schedule::{Settings, solve};
use std::time::Instant;

fn main() {
    let effort: u64 = std::env::args().nth(1).and_then(|a| a.parse().ok()).unwrap_or(2000);
    println!("seed people effort seconds late bound labour_h bound_h hands_h cost bound gap%");
    for seed in 0..3 {
        for people in [1, 2, 3] {
            let problem = common::festival(seed, 40, 2000, 3, people);
            for effort in [0, effort] {
                let clock = Instant::now();
                let settings = Settings { effort: Effort(effort), seed: Seed(1) };
                match solve(&problem, &settings, &mut Quiet) {
                    Ok(found) => {
                        let s = found.value;
                        println!(
                            "{seed} {people} {effort} {:.3} {} {} {:.2} {:.2} {:.2} {} {} {:.1} unplaced {}",
                            clock.elapsed().as_secs_f64(),
                            s.late_weight,
                            s.bound.late_weight,
                            s.labour_s as f64 / 3600.0,
                            s.bound.labour_s as f64 / 3600.0,
                            s.hands_s as f64 / 3600.0,
                            s.cost_minor,
                            s.bound.cost_minor,
                            100.0 * (s.cost_minor as f64 / s.bound.cost_minor as f64 - 1.0),
                            s.unplaced.len(),
                        );
                    }
                    Err(refusal) => println!("{seed} {people}: {:?}", refusal.findings[0].quantities),
                }
            }
        }
    }
}
