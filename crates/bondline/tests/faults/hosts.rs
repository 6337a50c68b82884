//! Two hosts with a worker each on one PostgreSQL; one of them dies in the middle.
//! The hosts are network namespaces, each joined to this machine by a cable of its own.

use crate::common::{demo, ines, program, skipped};
use crate::server;
use desk::kept::{Kept, PlanWish};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use store::{JobState, Place};

/// Where the server is reached from the hosts.
const SERVER: &str = "10.213.77.1";

/// Two hosts and the cables; taken down at the end.
struct Hosts;

const NAMES: [&str; 2] = ["bl-one", "bl-two"];

impl Hosts {
    fn new() -> Option<Self> {
        let hosts = Self;
        hosts.down();
        let mut steps = vec![
            "link add bl-switch type bridge".to_owned(),
            format!("addr add {SERVER}/24 dev bl-switch"),
            "link set bl-switch up".to_owned(),
        ];
        for (nth, name) in NAMES.iter().enumerate() {
            steps.extend([
                format!("netns add {name}"),
                format!("link add {name}-near type veth peer name {name}-far"),
                format!("link set {name}-near master bl-switch up"),
                format!("link set {name}-far netns {name}"),
                format!("-n {name} addr add 10.213.77.{}/24 dev {name}-far", nth + 11),
                format!("-n {name} link set {name}-far up"),
                format!("-n {name} link set lo up"),
            ]);
        }
        if steps.iter().all(|step| ip(step)) {
            return Some(hosts);
        }
        skipped("network namespaces may not be made here");
        None
    }

    fn down(&self) {
        for name in NAMES {
            ip(&format!("netns del {name}"));
            ip(&format!("link del {name}-near"));
        }
        ip("link del bl-switch");
    }
}

impl Drop for Hosts {
    fn drop(&mut self) {
        self.down();
    }
}

fn ip(step: &str) -> bool {
    let done = Command::new("ip").args(step.split(' ')).stdout(Stdio::null()).stderr(Stdio::null()).status();
    done.is_ok_and(|done| done.success())
}

/// A worker on a host, as somebody starts it there.
fn worker(host: &str, database: &str) -> Child {
    let own = program(&[]).get_program().to_owned();
    Command::new("ip")
        .args(["netns", "exec", host])
        .arg(own)
        .args(["worker", "--until-done", "--threads", "1", "--name", host, "--database", database])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("it runs")
}

#[test]
fn losing_one_of_two_hosts_loses_nothing() {
    let Some(_hosts) = Hosts::new() else { return };
    let Some(server) = server::own_at(SERVER) else {
        return skipped("PostgreSQL is not installed (apt-get install postgresql)");
    };
    let database = server.database_from_afar();
    let kept = Kept::make(&Place::Server(database.clone())).expect("made, over the network");
    kept.import(&demo().join("shop"), &ines()).expect("taken in");
    let text = std::fs::read_to_string(demo().join("order.toml")).expect("a text");
    let art: Vec<(String, Vec<u8>)> =
        ["clouds.png", "club.png", "kite.svg", "marshal.svg", "ring.svg", "river.svg", "splash.svg", "sunset.svg"]
            .map(|name| (format!("art/{name}"), std::fs::read(demo().join("art").join(name)).expect("art")))
            .to_vec();
    let wish = PlanWish { today: Some(jiff::civil::date(2026, 11, 24)), seed: 1, effort: Some(0) };
    let orders: Vec<String> = (0..5).map(|_| kept.new_order(&text, art.clone(), &ines()).expect("taken")).collect();
    for id in &orders {
        kept.plan_later(id, wish, &ines()).expect("put in");
    }
    let mut workers = NAMES.map(|name| worker(name, &database));
    // The first host dies as soon as it has done one job and taken another.
    let begun = Instant::now();
    let job_of = |id: &String| kept.job_of(id).expect("read").expect("a job");
    loop {
        let jobs: Vec<_> = orders.iter().map(job_of).collect();
        let of_one = |state| jobs.iter().any(|job| job.worker == NAMES[0] && job.state == state);
        if of_one(JobState::Done) && of_one(JobState::Running) {
            break;
        }
        assert!(begun.elapsed() < Duration::from_secs(240), "{jobs:?}");
        std::thread::sleep(Duration::from_millis(20));
    }
    ip(&format!("link del {}-near", NAMES[0]));
    workers[0].kill().expect("killed");
    workers[0].wait().expect("waited for");
    let done = workers[1].wait().expect("waited for");
    assert!(done.success(), "the other ends when nothing is left");
    let jobs: Vec<_> = orders.iter().map(job_of).collect();
    assert!(jobs.iter().all(|job| job.state == JobState::Done), "{jobs:?}");
    assert!(NAMES.iter().all(|name| jobs.iter().any(|job| job.worker == *name)), "both have worked: {jobs:?}");
    assert!(jobs.iter().any(|job| job.attempt > 1), "what the dead one had was taken again");
    let files = |id: &String| kept.plan_of(id).expect("read").expect("planned").form.files;
    for id in &orders {
        assert_eq!(files(id), files(&orders[0]), "the same order gives the same bytes on every host");
    }
    assert_eq!(kept.check().expect("checked"), []);
}
