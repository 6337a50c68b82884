//! Invented shops for the tests: a riverside kite festival's crew at its presses.
#![allow(dead_code, reason = "each test file uses its own part")]

use schedule::{Batch, Job, Lag, Person, Press, Problem, Rates, Setup, Span};

/// Steps of a linear congruence (Knuth, TAOCP 2, table of multipliers), high bits used.
pub struct Dice(pub u64);

impl Dice {
    pub fn below(&mut self, count: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % count
    }

    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        low + self.below((high - low + 1) as u64) as i64
    }
}

pub const HOUR: i64 = 3600;

/// Five days from eight to half past four with half an hour's break at noon.
pub fn week() -> Vec<Span> {
    let day = |d: i64| d * 24 * HOUR;
    (0..5)
        .flat_map(|d| {
            [
                Span::new(day(d) + 8 * HOUR, day(d) + 12 * HOUR),
                Span::new(day(d) + 12 * HOUR + 1800, day(d) + 16 * HOUR + 1800),
            ]
        })
        .collect()
}

/// Switched on from eight to half past four.
pub fn press_week() -> Vec<Span> {
    (0..5).map(|d| Span::new((24 * d + 8) * HOUR, (24 * d + 16) * HOUR + 1800)).collect()
}

pub fn press(name: &str) -> Press {
    Press {
        name: name.into(),
        available: press_week(),
        start: Setup { platen: 0, temp_c: 150, pressure: 2 },
        hot_at_start: false,
        warm_up_s: 900,
        heat_ms_per_k: 7500,
        cool_ms_per_k: 24_000,
        settle_s: 240,
        platen_swap_s: 180,
        pressure_reset_s: 60,
        standby_w: 400,
        heating_w: 1800,
    }
}

pub fn person(name: &str) -> Person {
    Person { name: name.into(), hours: week() }
}

pub fn batch(name: &str, job: usize, presses: &[usize], temp_c: i32, pieces: u32) -> Batch {
    Batch {
        name: name.into(),
        job,
        presses_allowed: presses.to_vec(),
        release_s: 0,
        setup: Setup { platen: 0, temp_c, pressure: 2 },
        pieces,
        per_closing: 1,
        load_s: 16,
        press_s: 15,
        open_wait_s: 0,
        unload_s: 8,
        cool_s: 0,
        finish_s: 0,
        after: Vec::new(),
        test_piece_s: 60,
    }
}

pub fn job(name: &str, due_s: i64) -> Job {
    Job { name: name.into(), release_s: 0, due_s, weight: 1 }
}

/// So many jobs on so many presses, of mixed kinds, pieces and dates.
pub fn festival(seed: u64, jobs: usize, pieces: u32, presses: usize, people: usize) -> Problem {
    let mut dice = Dice(seed);
    let names = ["north bank", "south bank", "weir", "ferry", "meadow", "mill", "reed bed", "lock"];
    let mut problem = Problem {
        presses: (0..presses).map(|p| press(&format!("press {}", p + 1))).collect(),
        people: (0..people).map(|p| person(&format!("crew {}", p + 1))).collect(),
        rack_places: 24,
        rates: Rates::default(),
        ..Problem::default()
    };
    let each = i64::from(pieces) / jobs as i64;
    for at in 0..jobs {
        let due_s = dice.between(1, 5) * 24 * HOUR - 8 * HOUR;
        problem.jobs.push(job(&format!("{} {}", names[at % names.len()], at + 1), due_s));
        let temp_c = [130, 140, 150, 160][dice.below(4) as usize];
        let count = dice.between(each / 2 + 1, each * 3 / 2 + 1) as u32;
        let all: Vec<usize> = (0..presses).collect();
        let mut first = batch(&format!("front {}", at + 1), at, &all, temp_c, count);
        first.setup.platen = dice.below(3) as usize;
        if dice.below(3) == 0 {
            (first.cool_s, first.finish_s) = (dice.between(30, 90), 5);
        }
        if dice.below(4) == 0 {
            first.per_closing = 4;
        }
        problem.batches.push(first);
        if dice.below(4) == 0 {
            let mut second = batch(&format!("back {}", at + 1), at, &all, temp_c - 10, count.div_ceil(2));
            second.after.push(Lag { batch: problem.batches.len() - 1, lag_s: dice.between(0, 600) });
            problem.batches.push(second);
        }
    }
    problem
}

/// A shop of a few minutes with odd numbers, for exhaustive search and property tests.
pub fn tiny(seed: u64) -> Problem {
    let mut dice = Dice(seed.wrapping_mul(7919).wrapping_add(17));
    let presses = 1 + dice.below(2) as usize;
    let people = 1 + dice.below(2) as usize;
    let hours = vec![Span::new(0, dice.between(500, 900)), Span::new(1000, 8000)];
    let mut problem = Problem { rack_places: 4, ..Problem::default() };
    for p in 0..presses {
        let start = Setup { platen: dice.below(2) as usize, temp_c: 150, pressure: 1 };
        problem.presses.push(Press {
            name: format!("press {}", p + 1),
            available: vec![Span::new(0, 8000)],
            start,
            hot_at_start: dice.below(2) == 0,
            warm_up_s: 60,
            heat_ms_per_k: 1000,
            cool_ms_per_k: 3000,
            settle_s: 10,
            platen_swap_s: dice.between(10, 60),
            pressure_reset_s: 5,
            standby_w: 400,
            heating_w: 1500,
        });
    }
    problem.people = (0..people).map(|p| Person { name: format!("crew {}", p + 1), hours: hours.clone() }).collect();
    for j in 0..2 + dice.below(3) as usize {
        let release_s = dice.between(0, 100);
        problem.jobs.push(Job {
            name: format!("kite {}", j + 1),
            release_s,
            due_s: dice.between(200, 1600),
            weight: 1,
        });
    }
    for b in 0..4 + dice.below(2) as usize {
        let job = dice.below(problem.jobs.len() as u64) as usize;
        let allowed: Vec<usize> =
            if dice.below(3) == 0 { vec![dice.below(presses as u64) as usize] } else { (0..presses).collect() };
        let mut one = batch(
            &format!("print {}", b + 1),
            job,
            &allowed,
            [130, 150][dice.below(2) as usize],
            1 + dice.below(6) as u32,
        );
        one.setup = Setup { platen: dice.below(2) as usize, temp_c: one.setup.temp_c, pressure: 1 };
        one.per_closing = 1 + dice.below(2) as u32;
        (one.load_s, one.press_s, one.unload_s) = (dice.between(3, 12), dice.between(5, 30), dice.between(2, 6));
        one.open_wait_s = [0, 0, 10][dice.below(3) as usize];
        one.test_piece_s = [0, 20][dice.below(2) as usize];
        if dice.below(2) == 0 {
            (one.cool_s, one.finish_s) = (dice.between(10, 40), dice.between(0, 6));
        }
        if b > 0 && dice.below(4) == 0 {
            one.after.push(Lag { batch: dice.below(b as u64) as usize, lag_s: dice.between(0, 50) });
        }
        problem.batches.push(one);
    }
    problem
}

/// A small shop with strange numbers: nothing takes time, or much does; calendars in
/// pieces, before the origin, apart from one another; a rack of one place.
pub fn odd(seed: u64) -> Problem {
    let mut problem = tiny(seed);
    let mut dice = Dice(seed.wrapping_mul(104_729).wrapping_add(3));
    let mut other = Dice(seed.wrapping_mul(15_485_863).wrapping_add(5));
    let mut some = |number: &mut i64| match other.below(6) {
        0 => *number = 0,
        1 => *number = *number * 3 + 1,
        2 => *number = 1,
        _ => {}
    };
    for press in &mut problem.presses {
        for number in [&mut press.warm_up_s, &mut press.heat_ms_per_k, &mut press.cool_ms_per_k, &mut press.settle_s] {
            some(number);
        }
        for number in
            [&mut press.platen_swap_s, &mut press.pressure_reset_s, &mut press.standby_w, &mut press.heating_w]
        {
            some(number);
        }
    }
    for batch in &mut problem.batches {
        for number in [&mut batch.load_s, &mut batch.unload_s, &mut batch.cool_s, &mut batch.finish_s] {
            some(number);
        }
        for number in [&mut batch.open_wait_s, &mut batch.test_piece_s] {
            some(number);
        }
        batch.setup.pressure = dice.below(2) as u8;
        batch.per_closing = 1 + dice.below(4) as u32;
        // Some goods come after those of the rest of their job.
        batch.release_s = [0, 0, 400][(batch.load_s + batch.press_s).rem_euclid(3) as usize];
    }
    for press in &mut problem.presses {
        press.available = pieces_of_time(&mut dice);
    }
    for person in &mut problem.people {
        person.hours = pieces_of_time(&mut dice);
    }
    problem.now_s = dice.between(-600, 300);
    problem.rack_places = 4 + dice.below(3) as u32;
    problem
}

fn pieces_of_time(dice: &mut Dice) -> Vec<Span> {
    let mut at = dice.between(-500, 200);
    let mut spans = Vec::new();
    for _ in 0..2 + dice.below(6) {
        let end = at + dice.between(1, 900);
        spans.push(Span::new(at, end));
        at = end + dice.between(0, 200);
    }
    spans
}
