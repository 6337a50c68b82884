//! A hundred at once on one order and on their own: no update is lost, nothing is told but the announced conflict.

use crate::common::{ines, rounds, shop_in, totes};
use crate::server;
use desk::kept::{DeedError, Kept};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};
use store::{Kind, Place};

const WRITERS: u32 = 100;

#[test]
fn a_hundred_writers_lose_no_update_on_sqlite() {
    let home = tempfile::tempdir().expect("a folder");
    let data = shop_in(home.path());
    hundred(&Place::File(data.join("shop.db")), "SQLite");
}

#[test]
fn a_hundred_writers_lose_no_update_on_postgresql() {
    if let Some(address) = server::database() {
        let place = Place::Server(address);
        drop(Kept::make(&place).expect("made"));
        hundred(&place, "PostgreSQL");
    }
}

/// Four programs with 25 hands each; every hand adds a garment to one order of all, and to one of its own.
fn hundred(place: &Place, name: &str) {
    let seconds = rounds("BONDLINE_WRITERS_S", 30);
    let programs: Vec<Kept> = (0..4).map(|_| Kept::open(place).expect("opened")).collect();
    let shared = programs[0].new_order(&totes(1), vec![], &ines()).expect("taken");
    let (done, conflicts) = (AtomicU64::new(0), AtomicU64::new(0));
    let until = Instant::now() + Duration::from_secs(seconds);
    let own: Vec<(String, u32)> = std::thread::scope(|scope| {
        let hands: Vec<_> = (0..WRITERS)
            .map(|nth| {
                let (kept, shared, done, conflicts) = (&programs[nth as usize % 4], &shared, &done, &conflicts);
                scope.spawn(move || {
                    let own = kept.new_order(&totes(1), vec![], &ines()).expect("taken");
                    let mut mine = 1;
                    while Instant::now() < until {
                        add_one(kept, &own, 1).expect("nobody else writes it");
                        mine += 1;
                        match add_one(kept, shared, 1) {
                            Ok(()) => done.fetch_add(1, Ordering::SeqCst),
                            Err(DeedError::Conflict { .. }) => conflicts.fetch_add(1, Ordering::SeqCst),
                            Err(other) => panic!("{name}: {other}"),
                        };
                    }
                    (own, mine)
                })
            })
            .collect();
        hands.into_iter().map(|hand| hand.join().expect("no panic")).collect()
    });
    let kept = &programs[0];
    let pieces = |id: &str| kept.order(id).expect("there").order.expect("it reads").lines[0].pieces();
    let (done, conflicts) = (done.into_inner(), conflicts.into_inner());
    let text = format!(
        "{name}, {seconds} s: {done} on the shared order, {conflicts} conflicts, {} on their own\n",
        own.iter().map(|(_, mine)| u64::from(mine - 1)).sum::<u64>()
    );
    let _ = std::io::Write::write_all(&mut std::io::stderr(), text.as_bytes());
    assert!(done > 0, "{text}");
    assert_eq!(u64::from(pieces(&shared)), done + 1, "every acknowledged update is in the sum");
    assert_eq!(kept.history(Kind::Order, &shared).expect("read").len() as u64, done + 1);
    for (id, mine) in &own {
        assert_eq!(pieces(id), *mine);
    }
    assert_eq!(kept.check().expect("checked"), []);
}

fn add_one(kept: &Kept, id: &str, more: u32) -> Result<(), DeedError> {
    let version = kept.order(id)?.version;
    let change = |order: &mut plan::Order| {
        order.lines[0].sizes[0].count += more;
        Ok(())
    };
    kept.edit_order(id, version, "one more", &ines(), change).map(|_| ())
}
