//! Measures the search on an open strip-packing instance by the clock:
//! `strip INSTANCE.json SECONDS [SEED] [THREADS] [LAYOUT.json]` prints density and length.
#![allow(clippy::print_stdout)]

use std::time::{Duration, Instant};

use report::{Effort, Go, Progress, Seed, Watch};

struct Clock {
    end: Instant,
    best: f64,
    start: Instant,
    loud: bool,
    done: u64,
}

impl Watch for Clock {
    fn told(&mut self, progress: &Progress) -> Go {
        self.done = progress.done.max(self.done);
        if let Some(best) = progress.best.filter(|b| *b < self.best) {
            self.best = best;
            if self.loud {
                println!("{:8.2} s  {best:.0}  {}", self.start.elapsed().as_secs_f64(), progress.done);
            }
        }
        if Instant::now() < self.end { Go::On } else { Go::Stop }
    }
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let arguments: Vec<String> = std::env::args().collect();
    let path = arguments.get(1).ok_or("strip INSTANCE.json SECONDS [SEED] [THREADS]")?;
    let number = |k: usize, or: u64| arguments.get(k).and_then(|a| a.parse().ok()).unwrap_or(or);
    let instance = nest::form::read_strip(&std::fs::read_to_string(path)?)?;
    let start = Instant::now();
    let loud = std::env::var_os("LOUD").is_some();
    let mut clock =
        Clock { end: start + Duration::from_secs(number(2, 10)), best: f64::INFINITY, start, loud, done: 0 };
    let effort = std::env::var("EFFORT").ok().and_then(|e| e.parse().ok()).unwrap_or(u64::MAX / 4);
    let settings = nest::Settings { effort: Effort(effort), seed: Seed(number(3, 1)), threads: number(4, 2) as usize };
    let outcome = nest::solve(&instance, &settings, &mut clock).map_err(|r| format!("{:?}", r.findings))?;
    if let Some(out) = arguments.get(5) {
        std::fs::write(out, nest::form::write_layout(&instance, &outcome.value, &outcome.findings))?;
    }
    let area: f64 = instance.designs.iter().map(|d| d.outline.area() * f64::from(d.quantity)).sum();
    let length: f64 = outcome.value.sheets.iter().map(|s| s.used_length_mm).sum();
    let (_, width) = instance.stock.first().ok_or("no stock")?.usable();
    println!(
        "{path} density {:.2} length {length:.3} evaluations {} in {:.1} s, complete {}, check {}",
        100.0 * area / (length * width),
        clock.done,
        start.elapsed().as_secs_f64(),
        outcome.value.complete,
        nest::check(&instance, &outcome.value).good(),
    );
    Ok(())
}
