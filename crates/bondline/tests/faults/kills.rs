//! The program ended with SIGKILL at random moments while it writes.

use crate::common::{Dice, demo, open, order_file, program, rounds, said, shop_in, totes};
use std::collections::BTreeMap;
use std::io::Read as _;
use std::process::Stdio;
use std::time::{Duration, Instant};
use store::{JobState, Sieve};

/// What is known to be kept: for each order the version and pieces of the text that was acknowledged last.
#[derive(Default)]
struct Acknowledged {
    orders: BTreeMap<String, (i64, u32)>,
    art: BTreeMap<String, Vec<String>>,
    plans: BTreeMap<String, i64>,
}

/// One deed of the program.
enum Deed {
    New(u32),
    Change(String, u32),
    Art(String, String),
    Plan(String),
}

/// Ended at 200 random moments (`BONDLINE_KILLS` for more): every change that was acknowledged is there
/// afterwards, nothing is half-written, and every job that was left is done by the next worker.
#[test]
fn nothing_acknowledged_is_lost_when_the_program_is_killed() {
    let home = tempfile::tempdir().expect("a folder");
    let data = shop_in(home.path());
    let at = data.display().to_string();
    let kills = rounds("BONDLINE_KILLS", 200);
    let (mut dice, mut known) = (Dice(rounds("BONDLINE_SEED", 1)), Acknowledged::default());
    let (mut killed, mut ended, mut usual) = (0, 0, [400, 400, 400, 4000].map(Duration::from_millis));
    while killed < kills {
        let deed = choose(&mut dice, &known);
        let kind = match &deed {
            Deed::New(_) => 0,
            Deed::Change(..) => 1,
            Deed::Art(..) => 2,
            Deed::Plan(_) => 3,
        };
        let args = arguments(&deed, home.path(), &at);
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let begun = Instant::now();
        let mut child = program(&args)
            .env("TMPDIR", home.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it runs");
        let moment = usual[kind].mul_f64(dice.below(1100) as f64 / 1000.0);
        while begun.elapsed() < moment && child.try_wait().expect("a child").is_none() {
            std::thread::sleep(Duration::from_millis(1));
        }
        let over = child.try_wait().expect("a child").is_some();
        child.kill().expect("killed");
        child.wait().expect("waited for");
        let mut text = String::new();
        child.stdout.take().expect("its answer").read_to_string(&mut text).expect("text");
        if over {
            ended += 1;
            let mut complaint = String::new();
            child.stderr.take().expect("its complaint").read_to_string(&mut complaint).expect("text");
            assert!(!text.is_empty(), "{args:?} ended without an answer: {complaint}");
            usual[kind] = (usual[kind] * 3 + begun.elapsed()) / 4;
        } else {
            killed += 1;
            // Deeds that are never over yet are given a little more time.
            usual[kind] = usual[kind].mul_f64(1.02).min(Duration::from_secs(4));
        }
        acknowledge(&mut known, &deed, &text);
        if !over && killed % 50 == 0 {
            look(&known, &data);
        }
    }
    look(&known, &data);
    let worker =
        program(&["worker", "--until-done", "--data", &at]).env("TMPDIR", home.path()).output().expect("it runs");
    assert!(worker.status.success(), "{worker:?}");
    let kept = open(&data);
    let jobs = kept.store().jobs(i64::MAX).expect("read");
    assert!(
        jobs.iter().all(|job| job.state == JobState::Done),
        "{:?}",
        jobs.iter().find(|job| job.state != JobState::Done)
    );
    drop(kept);
    look(&known, &data);
    assert!(said(&["shop", "check", "--data", &at]).contains("as it was put in"));
    let text = format!(
        "{killed} killed, {ended} ended by themselves; kept: {} orders, {} with further art, {} plans\n",
        known.orders.len(),
        known.art.len(),
        known.plans.len()
    );
    let _ = std::io::Write::write_all(&mut std::io::stderr(), text.as_bytes());
    assert!(known.orders.len() > 10 && !known.plans.is_empty(), "{text}");
}

fn choose(dice: &mut Dice, known: &Acknowledged) -> Deed {
    let ids: Vec<&String> = known.orders.keys().collect();
    if ids.len() < 3 {
        return Deed::New(1);
    }
    let id = ids[usize::try_from(dice.below(ids.len() as u64)).expect("small")].clone();
    let pieces = 1 + u32::try_from(dice.below(50)).expect("small");
    match dice.below(8) {
        0 => Deed::New(pieces),
        1..=3 => Deed::Change(id, pieces),
        4..=6 => Deed::Art(id, format!("art/more-{}.png", dice.below(1000))),
        _ => Deed::Plan(id),
    }
}

fn arguments(deed: &Deed, home: &std::path::Path, at: &str) -> Vec<String> {
    let file = |pieces: u32| order_file(&home.join("file"), pieces).display().to_string();
    let words = match deed {
        Deed::New(pieces) => vec!["new".to_owned(), file(*pieces)],
        Deed::Change(id, pieces) => vec!["change".to_owned(), id.clone(), file(*pieces)],
        Deed::Art(id, name) => {
            vec!["art".to_owned(), id.clone(), name.clone(), demo().join("art/clouds.png").display().to_string()]
        }
        Deed::Plan(id) => ["plan", id, "--effort", "0", "--today", "2036-11-24"].map(str::to_owned).to_vec(),
    };
    let mut all = ["order", "--data", at].map(str::to_owned).to_vec();
    all.extend(words);
    all
}

/// Takes over what the program said it had done.
fn acknowledge(known: &mut Acknowledged, deed: &Deed, said: &str) {
    let Some(line) = said.lines().next().filter(|_| said.contains('\n')) else { return };
    let version = || line.rsplit("version ").next().and_then(|rest| rest.split(',').next()?.parse::<i64>().ok());
    match deed {
        Deed::New(pieces) => {
            let id = line.strip_prefix("order ").expect("an order").to_owned();
            known.orders.insert(id, (1, *pieces));
        }
        Deed::Change(id, pieces) => {
            known.orders.insert(id.clone(), (version().expect("a version"), *pieces));
        }
        Deed::Art(id, name) => {
            known.art.entry(id.clone()).or_default().push(name.clone());
        }
        Deed::Plan(id) => {
            let Some(plan) = said.lines().find_map(|line| line.strip_prefix("plan ")) else { return };
            let version = plan.split([',', ':']).next().and_then(|text| text.parse().ok()).expect("a version");
            known.plans.insert(id.clone(), version);
        }
    }
}

/// Everything that was acknowledged is there; a change may have been kept whose acknowledgement was cut off.
fn look(known: &Acknowledged, data: &std::path::Path) {
    let kept = open(data);
    assert_eq!(kept.check().expect("checked"), []);
    for (id, (version, pieces)) in &known.orders {
        let order = kept.order(id).expect("an acknowledged order");
        assert!(order.version >= *version, "order {id}: {} is less than {version}", order.version);
        let history = kept.history(store::Kind::Order, id).expect("read");
        let then = history.iter().find(|change| change.version == *version).and_then(|change| change.body.clone());
        let then: store::form::OrderForm = serde_json::from_str(&then.expect("its text")).expect("a form");
        assert_eq!(then.text, totes(*pieces), "order {id}, version {version}");
        for name in known.art.get(id).into_iter().flatten() {
            assert_eq!(
                kept.art_bytes(id, name).expect("art").len(),
                std::fs::read(demo().join("art/clouds.png")).expect("art").len()
            );
        }
    }
    for (id, version) in &known.plans {
        let plan = kept.plan_of(id).expect("read").expect("an acknowledged plan");
        assert!(plan.version >= *version);
        for file in &plan.form.files {
            assert_eq!(kept.plan_file(&plan, &file.name).expect("there").len() as u64, file.bytes);
        }
    }
    let listed = kept.list(&Sieve { most: i64::MAX, ..Sieve::default() }).expect("read");
    assert!(listed.len() >= known.orders.len());
}
