//! How fast the room answers, against its own targets. Run with
//! `cargo bench -p heat`; one line a figure.

#![allow(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use std::time::Instant;

use heat::press::{
    Assembly, Cloth, Cooling, Doubt, Dye, Fibre, Longer, MakerLimits, PressStep, Question, Setting, Surroundings,
    advise,
};
use heat::window::{Search, window};
use report::Origin;

fn main() {
    let work = Assembly::reference();
    let setting = Setting { platen_c: 150.0, dwell_s: 15.0 };
    let around = Surroundings::default();
    let one = rayon_threads(1);
    let cycle = one.install(|| {
        best(200, || {
            heat::press::cooled_after(&work, &[], setting, around, &[Cooling::Table], 40.0).expect("cools");
        })
    });
    report("press of 15 s and cooling to 40 °C on a table, one thread", cycle, 2.0);
    let samples = best(5, || {
        let question = Question { cooling: Vec::new(), ..question(&work) };
        heat::press::ranges(&question, &Doubt::sampled(1, 200)).expect("ranges");
    });
    report("range over 200 samples of reference and target, all cores", samples, 300.0);
    let search = Search {
        target: &work,
        steps: &[],
        around,
        rule: heat::dose::DoseRule::gated_at(110.0),
        dose_s: 13.5,
        above_s: 13.0,
        limits: work.cloth[0].face_limits(Dye::Fast),
    };
    let platens: Vec<f64> = (135..=165).map(f64::from).collect();
    let map = best(5, || {
        let window = window(&search, &platens, (1.0, 60.0)).expect("a window");
        let open = (0..31).flat_map(|p| (1..=60).map(move |s| (p, f64::from(s))));
        assert!(open.filter(|&(p, s)| window.closed_at(p, s).is_none()).count() > 100);
    });
    report("window map of 31 × 60 points, print and bare cloth, all cores", map, 500.0);
    let whole = best(3, || {
        advise(&question(&work), &Doubt::sampled(1, 100)).expect("advice");
    });
    println!("{whole:8.2} ms  whole advice with 100 samples and three ways of cooling, all cores");
}

fn question(work: &Assembly) -> Question {
    let denim = Cloth::new(vec![(Fibre::Cotton, 1.0)], 400.0, 0.62);
    let target = Assembly::usual(denim.clone());
    Question {
        reference: work.clone(),
        reference_setting: Setting { platen_c: 150.0, dwell_s: 15.0 },
        reference_steps: Vec::new(),
        target,
        steps: Vec::new(),
        around: Surroundings::default(),
        maker: MakerLimits {
            platen_c: (145.0, 155.0),
            dwell_s: (10.0, 15.0),
            activation_c: Some(110.0),
            activation_origin: Origin::Maker,
            longer: Longer::Borne,
        },
        cloth_limits: denim.face_limits(Dye::Fast),
        platen_c: 150.0,
        press_step: PressStep::default(),
        cooling: vec![Cooling::Table, Cooling::MetalPlate, Cooling::Hung],
        peel_c: 40.0,
    }
}

fn rayon_threads(count: usize) -> rayon::ThreadPool {
    rayon::ThreadPoolBuilder::new().num_threads(count).build().expect("a pool")
}

/// Shortest of several runs, ms: what the machine can do when nothing else runs.
fn best(runs: usize, mut work: impl FnMut()) -> f64 {
    let mut shortest = f64::INFINITY;
    for _ in 0..runs {
        let start = Instant::now();
        work();
        shortest = shortest.min(start.elapsed().as_secs_f64() * 1e3);
    }
    shortest
}

fn report(what: &str, ms: f64, target_ms: f64) {
    let verdict = if ms <= target_ms { "within" } else { "PAST" };
    println!("{ms:8.2} ms  {what}; {verdict} {target_ms} ms");
}
