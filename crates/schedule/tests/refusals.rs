//! What is not taken is refused by name, with its limit, in bounded time.

mod common;

use common::{batch, festival, job, person, press};
use report::{Code, Effort, Quiet, Seed, Value};
use schedule::{Lag, Problem, Settings, Span, codes, solve};

type Spoil = fn(&mut Problem);

fn shop() -> Problem {
    Problem {
        presses: vec![press("left")],
        people: vec![person("Ebb")],
        rack_places: 4,
        jobs: vec![job("kites", 90_000)],
        batches: vec![batch("tails", 0, &[0], 150, 5), batch("sails", 0, &[0], 150, 5)],
        ..Problem::default()
    }
}

fn check(spoil: Spoil, code: Code, remedy: Code) {
    let mut problem = shop();
    spoil(&mut problem);
    let settings = Settings { effort: Effort(10), seed: Seed(1) };
    let refusal = solve(&problem, &settings, &mut Quiet).expect_err(code.0);
    let found = refusal.findings.iter().find(|f| f.code == code).unwrap_or_else(|| panic!("{}: {refusal:?}", code.0));
    assert_eq!(found.remedy, remedy);
}

#[test]
fn bad_input_is_refused_by_name() {
    let cases: [(Spoil, Code, Code); 22] = [
        (|p| p.presses.clear(), codes::NO_PRESSES, codes::ENTER_PRESS),
        (|p| p.presses[0].available.clear(), codes::NO_PRESSES, codes::ENTER_PRESS),
        (|p| p.people.clear(), codes::NO_PEOPLE, codes::ENTER_PERSON),
        (|p| p.people[0].hours.clear(), codes::NO_PEOPLE, codes::ENTER_PERSON),
        (|p| p.batches[0].pieces = 0, codes::OUT_OF_RANGE, codes::ENTER_WITHIN),
        (|p| p.batches[0].per_closing = 0, codes::OUT_OF_RANGE, codes::ENTER_WITHIN),
        (|p| p.batches[0].pieces = u32::MAX, codes::OUT_OF_RANGE, codes::ENTER_WITHIN),
        (|p| p.batches[0].press_s = i64::MAX, codes::OUT_OF_RANGE, codes::ENTER_WITHIN),
        (|p| p.batches[0].load_s = -1, codes::OUT_OF_RANGE, codes::ENTER_WITHIN),
        (|p| p.batches[0].setup.temp_c = i32::MIN, codes::OUT_OF_RANGE, codes::ENTER_WITHIN),
        (|p| p.jobs[0].due_s = i64::MIN, codes::OUT_OF_RANGE, codes::ENTER_WITHIN),
        (|p| p.jobs[0].weight = 0, codes::OUT_OF_RANGE, codes::ENTER_WITHIN),
        (|p| p.now_s = i64::MAX, codes::OUT_OF_RANGE, codes::ENTER_WITHIN),
        (|p| p.presses[0].heat_ms_per_k = i64::MAX, codes::OUT_OF_RANGE, codes::ENTER_WITHIN),
        (|p| p.people[0].hours = vec![Span::new(5, 1)], codes::CALENDAR, codes::ORDER_SPANS),
        (|p| p.people[0].hours = vec![Span::new(0, i64::MAX)], codes::CALENDAR, codes::ORDER_SPANS),
        (|p| p.batches[1].job = 7, codes::UNKNOWN, codes::NAME_KNOWN),
        (|p| p.batches[1].presses_allowed = vec![usize::MAX], codes::UNKNOWN, codes::NAME_KNOWN),
        (|p| p.batches[1].presses_allowed.clear(), codes::NO_PRESS_ALLOWED, codes::ALLOW_PRESS),
        (
            |p| {
                p.batches[0].after.push(Lag { batch: 1, lag_s: 0 });
                p.batches[1].after.push(Lag { batch: 0, lag_s: 0 });
            },
            codes::CIRCLE,
            codes::OPEN_CIRCLE,
        ),
        (
            |p| {
                p.batches[0].per_closing = 5;
                p.batches[0].cool_s = 30;
            },
            codes::RACK_SMALL,
            codes::MORE_RACK,
        ),
        (|p| p.presses = vec![press("x"); 33], codes::TOO_MANY, codes::PLAN_FEWER),
    ];
    for (spoil, code, remedy) in cases {
        check(spoil, code, remedy);
    }
}

#[test]
fn a_refused_number_names_its_limits() {
    let mut problem = shop();
    problem.batches[0].pieces = 0;
    let refusal = solve(&problem, &Settings::default(), &mut Quiet).expect_err("no pieces");
    let value = |name| refusal.findings[0].quantities.iter().find(|q| q.name == name).map(|q| q.value.clone());
    assert_eq!(value("of"), Some(Value::Text("tails".into())));
    assert_eq!(value("what"), Some(Value::Term(codes::TERM_PIECES)));
    assert_eq!(value("value"), Some(Value::Count(0)));
    assert_eq!((value("least"), value("most")), (Some(Value::Count(1)), Some(Value::Count(50_000))));
}

#[test]
fn work_that_fits_no_hours_is_named_and_the_rest_goes_on() {
    let mut problem = shop();
    problem.batches[0].press_s = 5 * 3600;
    let found = solve(&problem, &Settings::default(), &mut Quiet).expect("a schedule");
    assert_eq!(found.value.unplaced.iter().map(|u| (u.batch, u.pieces)).collect::<Vec<_>>(), [(0, 5)]);
    assert_eq!(found.value.late_jobs, [0]);
    assert!(found.findings.iter().any(|f| f.code == codes::UNPLACED));
}

#[test]
fn the_largest_problem_taken_is_answered() {
    let mut problem = festival(1, 1000, 49_000, 3, 4);
    problem.rack_places = 2;
    for batch in &mut problem.batches {
        batch.per_closing = 1;
    }
    let settings = Settings { effort: Effort(0), seed: Seed(1) };
    match solve(&problem, &settings, &mut Quiet) {
        Ok(found) => assert!(!found.value.unplaced.is_empty(), "a week is too short for it"),
        Err(refusal) => assert_eq!(refusal.findings[0].code, codes::TOO_MANY),
    }
}
