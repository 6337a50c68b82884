//! No step of a run asks for memory: a run four times as long asks no oftener.

use allocation_counter::measure;
use heat::boundary::Boundary;
use heat::case::{Case, Change, DoseAt, Phase, Place, Probe, run};
use heat::dose::DoseRule;
use heat::layer::Stack;
use heat::pace::Pace;
use heat::press::{Assembly, Cloth, Cooling, Fibre, Setting, Surroundings, cooled_after, press};

fn asked(work: impl FnOnce()) -> u64 {
    measure(work).count_total
}

#[test]
fn a_longer_press_asks_for_memory_no_oftener() {
    let work = Assembly::reference();
    let of = |dwell_s: f64| {
        let setting = Setting { platen_c: 150.0, dwell_s };
        asked(|| {
            press(&work, &[], setting, Surroundings::default(), 110.0).expect("presses");
        })
    };
    assert_eq!(of(5.0), of(15.0));
    assert_eq!(of(15.0), of(60.0));
    assert!(of(5.0) > 0, "the counter counts");
}

#[test]
fn a_longer_cooling_asks_for_memory_no_oftener() {
    let work = Assembly::reference();
    let setting = Setting { platen_c: 150.0, dwell_s: 15.0 };
    // On one thread, so that all of it is counted here.
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a pool");
    let of = |peel_c: f64| {
        let way = [Cooling::Table];
        let cool = || drop(cooled_after(&work, &[], setting, Surroundings::default(), &way, peel_c).expect("cools"));
        pool.install(|| asked(cool))
    };
    assert_eq!(of(60.0), of(30.0));
}

#[test]
fn a_longer_case_asks_for_memory_no_oftener() {
    let of = |duration_s: f64| {
        let cloth = Cloth::new(vec![(Fibre::Cotton, 1.0)], 180.0, 0.38).layer("cloth").expect("a cloth");
        let case = Case {
            stack: Stack::new(vec![heat::press::film(0.17), cloth], vec![Some(1500.0)]).expect("a stack"),
            start_c: 22.0,
            phases: vec![Phase {
                name: "press".into(),
                duration_s,
                top: Boundary::contact(2000.0, 150.0),
                bottom: Boundary::contact(500.0, 28.0),
                change: Change::default(),
                pressed: true,
            }],
            probes: vec![Probe { name: "bond".into(), place: Place::Bottom(0) }],
            times_s: vec![1.0, 2.0],
            dose: Some(DoseAt { place: Place::Bottom(0), rule: DoseRule::gated_at(110.0) }),
            pace: Pace::Even(0.02),
        };
        asked(|| drop(run(&case).expect("runs")))
    };
    assert_eq!(of(5.0), of(50.0));
}
