//! Disks that are full or read-only, a database that is locked, damaged, gone and back, two programs on one folder.

use crate::common::{ines, open, order_file, run, said, shop_in, skipped, totes};
use crate::server;
use desk::kept::{DeedError, Kept};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use store::{Place, Sieve, StoreError};

/// A small disk of its own; `None`, said aloud, where none may be mounted.
struct Disk {
    home: PathBuf,
}

impl Disk {
    fn of(megabytes: u32) -> Option<Self> {
        let home = tempfile::tempdir().expect("a folder").keep();
        let size = format!("size={megabytes}m");
        let mounted = Command::new("mount").args(["-t", "tmpfs", "-o", &size, "none"]).arg(&home).output();
        if mounted.is_ok_and(|done| done.status.success()) {
            return Some(Self { home });
        }
        let _ = std::fs::remove_dir(&home);
        skipped("no disk may be mounted here");
        None
    }

    fn remount(&self, how: &str) {
        let done =
            Command::new("mount").args(["-o", &format!("remount,{how}")]).arg(&self.home).status().expect("mount");
        assert!(done.success(), "remounted {how}");
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(&self.home).status();
        let _ = std::fs::remove_dir(&self.home);
    }
}

fn art(bytes: usize, seed: u8) -> Vec<(String, Vec<u8>)> {
    // Bytes that do not repeat, so that each is kept.
    vec![("art/kite.svg".to_owned(), (0..bytes).map(|at| (at % 251) as u8 ^ seed).collect())]
}

#[test]
fn a_full_disk_is_told_and_nothing_is_lost() {
    let Some(disk) = Disk::of(6) else { return };
    let data = shop_in(&disk.home);
    let kept = open(&data);
    let mut taken = Vec::new();
    let full = loop {
        match kept.new_order(&totes(taken.len() as u32 + 1), art(300_000, taken.len() as u8), &ines()) {
            Ok(id) => taken.push(id),
            Err(error) => break error,
        }
        assert!(taken.len() < 100, "the disk is never full");
    };
    assert_eq!(full, DeedError::Store(StoreError::Full));
    assert!(full.to_string().contains("disk is full"), "{full}");
    // The same connection goes on: refused again and again, never wedged.
    for seed in 0..20 {
        let again = kept.new_order(&totes(99), art(300_000, 100 + seed), &ines());
        assert_eq!(again, Err(DeedError::Store(StoreError::Full)));
        assert_eq!(kept.list(&Sieve::default()).expect("reading goes on").len(), taken.len());
    }
    let by_hand = run(&["order", "--data", &data.display().to_string(), "new", &order_with(&disk, 400_000)]);
    assert_eq!(by_hand.status.code(), Some(2), "{by_hand:?}");
    assert!(String::from_utf8_lossy(&by_hand.stderr).contains("disk is full"));
    disk.remount("size=40m");
    let id = kept.new_order(&totes(77), art(300_000, 200), &ines()).expect("there is room again");
    taken.push(id);
    drop(kept);
    let kept = open(&data);
    assert_eq!(kept.check().expect("checked"), []);
    for (id, nth) in taken.iter().zip(1_u32..) {
        let pieces = kept.order(id).expect("there").order.expect("it reads").lines[0].pieces();
        assert!(pieces == nth || pieces == 77, "order {id}");
        assert_eq!(kept.art_bytes(id, "art/kite.svg").expect("there").len(), 300_000);
    }
}

/// An order with large art, on another disk.
fn order_with(disk: &Disk, bytes: usize) -> String {
    let home =
        std::env::temp_dir().join(format!("order-of-{}", disk.home.file_name().expect("a name").to_string_lossy()));
    let file = order_file(&home, 5);
    std::fs::write(home.join("art/kite.svg"), &art(bytes, 250)[0].1).expect("written");
    file.display().to_string()
}

#[test]
fn a_read_only_disk_is_told() {
    let Some(disk) = Disk::of(20) else { return };
    let data = shop_in(&disk.home);
    let file = order_file(&disk.home.join("file"), 3).display().to_string();
    let at = data.display().to_string();
    said(&["order", "--data", &at, "new", &file]);
    disk.remount("ro");
    let refused = run(&["order", "--data", &at, "new", &file]);
    assert_eq!(refused.status.code(), Some(2));
    let word = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(word.contains("may only be read"), "{word}");
    disk.remount("rw");
    said(&["order", "--data", &at, "new", &file]);
    assert_eq!(open(&data).list(&Sieve::default()).expect("read").len(), 2);
    assert!(said(&["shop", "check", "--data", &at]).contains("as it was put in"));
}

/// Another program holds the database in the middle of a change and does not let go: SQLite's own command line.
#[test]
fn a_locked_database_is_told_after_ten_seconds() {
    if Command::new("sqlite3").arg("--version").output().is_err() {
        return skipped("SQLite's own command line is not installed (apt-get install sqlite3)");
    }
    let home = tempfile::tempdir().expect("a folder");
    let data = shop_in(home.path());
    let file = order_file(&home.path().join("file"), 3).display().to_string();
    let at = data.display().to_string();
    let mut holder = Command::new("sqlite3")
        .arg(data.join("shop.db"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("sqlite3 runs");
    let mut input = holder.stdin.take().expect("its input");
    std::io::Write::write_all(&mut input, b"BEGIN IMMEDIATE;\nSELECT 'held';\n").expect("written");
    let mut held = [0; 4];
    std::io::Read::read_exact(holder.stdout.as_mut().expect("its answer"), &mut held).expect("held");
    let begun = Instant::now();
    let refused = run(&["order", "--data", &at, "new", &file]);
    let waited = begun.elapsed();
    assert_eq!(refused.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&refused.stderr).contains("Another program holds"), "{refused:?}");
    assert!((8..40).contains(&waited.as_secs()), "{waited:?}");
    assert!(said(&["order", "--data", &at, "list"]).contains("no order"), "reading goes on meanwhile");
    drop(input);
    holder.wait().expect("it ended");
    said(&["order", "--data", &at, "new", &file]);
    let whole = Command::new("sqlite3").arg(data.join("shop.db")).arg("PRAGMA integrity_check").output().expect("runs");
    assert_eq!(String::from_utf8_lossy(&whole.stdout).trim(), "ok", "SQLite's own tool says so too");
}

#[test]
fn two_programs_on_one_folder_lose_nothing() {
    let home = tempfile::tempdir().expect("a folder");
    let data = shop_in(home.path());
    let at = data.display().to_string();
    let file = order_file(&home.path().join("file"), 3).display().to_string();
    let mut all: Vec<String> = std::thread::scope(|scope| {
        let hands: Vec<_> = (0..4)
            .map(|_| scope.spawn(|| (0..15).map(|_| said(&["order", "--data", &at, "new", &file])).collect::<Vec<_>>()))
            .collect();
        hands.into_iter().flat_map(|hand| hand.join().expect("no panic")).collect()
    });
    all.sort();
    all.dedup();
    assert_eq!(all.len(), 60, "every order has its own number");
    assert_eq!(open(&data).list(&Sieve::default()).expect("read").len(), 60);
    assert!(said(&["shop", "check", "--data", &at]).contains("as it was put in"));
}

#[test]
fn damage_is_told_with_exit_code_one_and_a_file_that_is_none_is_refused() {
    let home = tempfile::tempdir().expect("a folder");
    let data = shop_in(home.path());
    let at = data.display().to_string();
    let path = data.join("shop.db");
    let mut bytes = std::fs::read(&path).expect("a file");
    // A word of the shop's own text, wherever it lies.
    let place = bytes.windows(9).position(|part| part == b"weir-lane").expect("a word");
    bytes[place] ^= 1;
    std::fs::write(&path, &bytes).expect("written");
    let found = run(&["shop", "check", "--data", &at]);
    assert_eq!(found.status.code(), Some(1), "{found:?}");
    assert!(String::from_utf8_lossy(&found.stdout).contains("is not what was put in"), "{found:?}");
    bytes.truncate(bytes.len() / 2);
    std::fs::write(&path, &bytes).expect("written");
    assert_eq!(run(&["shop", "check", "--data", &at]).status.code(), Some(1));
    std::fs::write(&path, "dear crew").expect("written");
    let none = run(&["order", "--data", &at, "list"]);
    assert_eq!(none.status.code(), Some(2));
    let nowhere = home.path().join("nowhere").display().to_string();
    let none = run(&["order", "--data", &nowhere, "list"]);
    assert_eq!(none.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&none.stderr).contains("No shop is kept at"), "{none:?}");
    assert!(!Path::new(&nowhere).exists(), "and nothing is made there");
}

/// A database server that loses its power and comes back.
#[test]
fn a_database_that_was_gone_and_is_back_has_everything() {
    let Some(server) = server::own() else {
        return skipped("PostgreSQL is not installed (apt-get install postgresql)");
    };
    let kept = Kept::make(&Place::Server(server.database())).expect("made");
    let mut taken = Vec::new();
    for round in 0..3 {
        for _ in 0..10 {
            taken.push(kept.new_order(&totes(3), art(50_000, round), &ines()).expect("taken"));
        }
        server.stop();
        let away = kept.new_order(&totes(3), art(50_000, 99), &ines()).expect_err("nobody answers");
        assert!(matches!(away, DeedError::Store(StoreError::Away { .. })), "{away:?}");
        assert!(away.to_string().contains("does not answer"), "{away}");
        assert!(kept.list(&Sieve::default()).is_err());
        server.start_again();
        let begun = Instant::now();
        while kept.list(&Sieve::default()).is_err() {
            assert!(begun.elapsed() < Duration::from_secs(30), "it is not back");
            std::thread::sleep(Duration::from_millis(100));
        }
        assert_eq!(kept.list(&Sieve::default()).expect("read").len(), taken.len());
    }
    assert_eq!(kept.check().expect("checked"), []);
}
