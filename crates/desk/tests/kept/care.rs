//! Backup, restoring, damage, and the way out into open files and back.

use crate::common::{art, bram, database, in_a_file, ines, on_each_with_shop, plan, take_totes, totes};
use desk::kept::{DeedError, Imported, Kept};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use store::{Kind, Place, Sieve, StoreError};

/// A shop with a bit of everything in its history.
fn fill(kept: &Kept) {
    let id = take_totes(kept, 12);
    plan(kept, &id);
    kept.change_order(&id, 1, &totes(14), "more", &bram(30)).expect("changed");
    kept.undo(Kind::Order, &id, &ines(31)).expect("undone");
    kept.redo(Kind::Order, &id, &ines(32)).expect("done again");
    let second = take_totes(kept, 3);
    kept.add_art(&second, 1, "art/deep/river é.svg", art("art/river.svg"), &bram(33)).expect("added");
    kept.remove_art(&second, 2, "art/kite.svg", &bram(34)).expect("removed");
    let third = take_totes(kept, 1);
    kept.undo(Kind::Order, &third, &ines(35)).expect("undone");
}

/// Whether two shops hold the same, history and bytes included.
fn assert_same(one: &Kept, other: &Kept) {
    let changes = |kept: &Kept| kept.store().changes(0, i64::MAX).expect("read");
    assert_eq!(changes(one), changes(other));
    assert_eq!(one.list(&Sieve::default()), other.list(&Sieve::default()));
    for change in changes(one) {
        for hash in change.body.iter().flat_map(|body| store::form::hashes(change.kind.word(), body)) {
            assert_eq!(one.store().bytes(&hash).expect("there"), other.store().bytes(&hash).expect("there too"));
        }
    }
    assert_eq!(other.check().expect("checked"), []);
}

fn files(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let (mut all, mut folders) = (Vec::new(), vec![folder.to_owned()]);
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(next).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let bytes = fs::read(&path).expect("a file");
                all.push((path.strip_prefix(folder).expect("within").to_owned(), bytes));
            }
        }
    }
    all.sort();
    all
}

#[test]
fn a_shop_goes_out_into_open_files_and_back_without_loss() {
    on_each_with_shop(|kept| {
        fill(kept);
        let home = tempfile::tempdir().expect("a folder");
        let (out, again) = (home.path().join("out"), home.path().join("again"));
        kept.export(&out).expect("written");
        assert!(out.join("orders/2/art/deep/river é.svg").is_file() && out.join("shop/presses.toml").is_file());
        let back = Kept::make(&Place::File(home.path().join("back.db"))).expect("made");
        let imported = back.import(&out, &ines(99)).expect("taken in");
        assert_eq!((imported.shop_files, imported.orders), (0, 0), "nothing was edited in the folder");
        assert_same(kept, &back);
        back.export(&again).expect("written");
        assert_eq!(files(&out), files(&again), "and out again, to the byte");
        assert_eq!(take_totes(&back, 1), "4", "numbers go on where they were");
        assert!(matches!(kept.import(&out, &ines(99)), Err(DeedError::Store(StoreError::Occupied { .. }))));
    });
}

#[test]
fn what_was_edited_in_the_folder_comes_back_as_a_change() {
    in_a_file(|kept, home| {
        fill(kept);
        let out = home.join("out");
        kept.export(&out).expect("written");
        fs::write(out.join("orders/1/order.toml"), totes(77)).expect("edited");
        fs::write(out.join("orders/2/art/new.svg"), art("art/ring.svg")).expect("added");
        let stock = out.join("shop/stock.toml");
        let dearer = fs::read_to_string(&stock).expect("a text").replacen("\"7.40\"", "\"7.90\"", 1);
        fs::write(&stock, &dearer).expect("edited");
        let back = Kept::make(&Place::File(home.join("back.db"))).expect("made");
        let imported = back.import(&out, &bram(99)).expect("taken in");
        assert_eq!((imported.shop_files, imported.orders), (1, 2));
        assert_eq!(back.order("1").expect("there").order.expect("reads").lines[0].pieces(), 77);
        assert_eq!(back.art_bytes("2", "art/new.svg"), Ok(art("art/ring.svg")));
        let last = back.history(Kind::Order, "1").expect("read").pop().expect("a change");
        assert_eq!((last.stamp.by.as_str(), last.what.as_str()), ("Bram", "changed in its folder"));
        assert_eq!(back.check().expect("checked"), []);
    });
}

#[test]
fn a_plain_shop_folder_is_taken_into_a_new_shop_and_over_a_kept_one() {
    let home = tempfile::tempdir().expect("a folder");
    let kept = Kept::make(&Place::File(home.path().join("shop.db"))).expect("made");
    let demo = crate::common::demo().join("shop");
    assert_eq!(kept.import(&demo, &ines(1)), Ok(Imported { history: 0, shop_files: 7, orders: 0 }));
    assert!(kept.shop().is_ok());
    assert_eq!(kept.import(&demo, &ines(2)), Ok(Imported::default()), "nothing has changed");
}

#[test]
fn a_folder_that_is_not_whole_is_refused_and_nothing_is_kept() {
    in_a_file(|kept, home| {
        fill(kept);
        let out = home.join("out");
        kept.export(&out).expect("written");
        let history = fs::read_to_string(out.join("history.jsonl")).expect("a text");
        let lines: Vec<&str> = history.lines().collect();
        let one_lost = lines.iter().enumerate().filter(|(at, _)| *at != 3).map(|(_, line)| *line).collect::<Vec<_>>();
        let blob = fs::read_dir(out.join("files")).expect("files").next().expect("one").expect("an entry").path();
        let bytes = fs::read(&blob).expect("bytes");
        let cases: [(&str, &dyn Fn()); 5] = [
            ("line 4: a change before it is missing", &|| {
                fs::write(out.join("history.jsonl"), one_lost.join("\n")).expect("written");
            }),
            ("line 1: expected", &|| fs::write(out.join("history.jsonl"), "[nonsense").expect("written")),
            ("“orders” is not a kind", &|| {
                fs::write(out.join("history.jsonl"), history.replacen("\"order\"", "\"orders\"", 1)).expect("written");
            }),
            ("its bytes are not those of its name", &|| {
                fs::write(&blob, [&bytes[..], b"x"].concat()).expect("written")
            }),
            ("cannot be read", &|| fs::remove_file(&blob).expect("removed")),
        ];
        for (nth, (word, damage)) in cases.iter().enumerate() {
            damage();
            let back = Kept::make(&Place::File(home.join(format!("back{nth}.db")))).expect("made");
            let said = back.import(&out, &ines(1)).expect_err(word).to_string();
            assert!(said.contains(word), "{said}");
            assert_eq!((back.store().count_changes(), back.list(&Sieve::default())), (Ok(0), Ok(vec![])));
            fs::write(out.join("history.jsonl"), &history).expect("as it was");
            fs::write(&blob, &bytes).expect("as it was");
        }
    });
}

#[test]
fn a_backup_is_made_while_others_write_and_is_whole() {
    on_each_with_shop(|kept| {
        fill(kept);
        let home = tempfile::tempdir().expect("a folder");
        let stop = AtomicBool::new(false);
        std::thread::scope(|scope| {
            let writer = scope.spawn(|| {
                let mut taken = 0;
                while !stop.load(Ordering::SeqCst) {
                    take_totes(kept, 5);
                    taken += 1;
                }
                taken
            });
            for nth in 0..5 {
                let file = home.path().join(format!("backup{nth}.db"));
                kept.backup(&file).expect("copied");
                assert!(!home.path().join(format!("backup{nth}.db.part")).exists());
                let place = Place::File(home.path().join(format!("restored{nth}.db")));
                let restored = Kept::restore(&file, &place).expect("restored");
                assert_eq!(restored.check().expect("checked"), []);
                let all = restored.list(&Sieve { most: i64::MAX, ..Sieve::default() }).expect("read");
                assert!(all.len() >= 2 && restored.plan_of("1").expect("read").is_some());
            }
            stop.store(true, Ordering::SeqCst);
            assert!(writer.join().expect("no panic") > 5, "the others went on");
        });
        let taken = home.path().join("backup0.db");
        assert!(matches!(kept.backup(&taken), Err(DeedError::Store(StoreError::Occupied { .. }))));
        assert!(matches!(
            Kept::restore(&taken, kept.store().place()),
            Err(DeedError::Store(StoreError::Occupied { .. }))
        ));
        if let Some(address) = database() {
            let moved = Kept::restore(&taken, &Place::Server(address)).expect("moved to the server");
            assert_eq!(moved.check().expect("checked"), []);
        }
    });
}

/// Every byte of the file in turn is a matter of luck: a thousand of them, and
/// each changed one is either told or changes nothing that is kept.
#[test]
fn a_changed_byte_is_found() {
    let home = tempfile::tempdir().expect("a folder");
    let path = home.path().join("shop.db");
    let kept = Kept::make(&Place::File(path.clone())).expect("made");
    crate::common::put_shop(&kept);
    for _ in 0..3 {
        let id = take_totes(&kept, 12);
        kept.change_order(&id, 1, &totes(14), "more", &bram(30)).expect("changed");
    }
    let wanted = everything(&kept).expect("read");
    drop(kept);
    let whole = fs::read(&path).expect("a file");
    let (mut told, mut harmless, mut seed) = (0, 0, 1_u64);
    for _ in 0..300 {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let at = usize::try_from((seed >> 20) % whole.len() as u64).expect("small");
        let mut damaged = whole.clone();
        damaged[at] ^= 1 << ((seed >> 10) % 8);
        fs::write(&path, &damaged).expect("written");
        for rest in ["-wal", "-shm"] {
            let _ = fs::remove_file(home.path().join(format!("shop.db{rest}")));
        }
        let found = Kept::open(&Place::File(path.clone())).and_then(|kept| Ok((kept.check()?, everything(&kept))));
        match found {
            Ok((faults, read)) if faults.is_empty() => {
                assert_eq!(read.expect("read"), wanted, "byte {at} was changed, and nobody said so");
                harmless += 1;
            }
            _ => told += 1,
        }
    }
    assert!(told > 100, "{told} told, {harmless} in room that holds nothing");
}

/// All that people can see of a shop.
fn everything(kept: &Kept) -> Result<String, DeedError> {
    let mut all = format!("{:?}{:?}", kept.store().changes(0, i64::MAX)?, kept.shop_files()?);
    for order in kept.list(&Sieve::default())? {
        all.push_str(&format!("{order:?}{:?}", kept.order(&order.id)?));
        all.push_str(&store::hash_of(&kept.art_bytes(&order.id, "art/kite.svg")?));
    }
    Ok(all)
}
