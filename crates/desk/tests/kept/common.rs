//! A shop on each database, with the demo's files in it.

#[path = "../../../store/tests/server/mod.rs"]
mod server;

pub use server::database;

use desk::kept::{Kept, PlanWish};
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;
use store::{Place, Stamp};

/// The day the stories are told on.
pub const TODAY: jiff::civil::Date = jiff::civil::date(2026, 11, 24);

/// A story on a fresh shop on each database; the shop is whole at its end.
pub fn on_each(story: impl Fn(&Kept)) {
    let home = tempfile::tempdir().expect("a folder");
    let kept = Kept::make(&Place::File(home.path().join("shop.db"))).expect("made");
    story(&kept);
    assert_eq!(kept.store().check().expect("checked"), []);
    drop(kept);
    if let Some(address) = database() {
        let kept = Kept::make(&Place::Server(address)).expect("made");
        story(&kept);
        assert_eq!(kept.store().check().expect("checked"), []);
    }
}

/// The same with the demo's shop files in it.
pub fn on_each_with_shop(story: impl Fn(&Kept)) {
    on_each(|kept| {
        put_shop(kept);
        story(kept);
    });
}

/// A shop in one file with the demo's shop files in it, for stories about what is kept in it.
pub fn in_a_file(story: impl Fn(&Kept, &Path)) {
    let home = tempfile::tempdir().expect("a folder");
    let kept = Kept::make(&Place::File(home.path().join("shop.db"))).expect("made");
    put_shop(&kept);
    story(&kept, home.path());
    assert_eq!(kept.store().check().expect("checked"), []);
}

pub fn put_shop(kept: &Kept) {
    let files: Vec<(String, String, i64)> = shop_files().into_iter().map(|(name, text)| (name, text, 0)).collect();
    kept.put_shop_files(&files, &ines(1)).expect("kept");
}

pub fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo")
}

pub fn shop_files() -> Vec<(String, String)> {
    let mut files: Vec<(String, String)> = std::fs::read_dir(demo().join("shop"))
        .expect("the demo")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| {
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).expect("a text"))
        })
        .collect();
    files.sort();
    files
}

pub fn art(name: &str) -> Vec<u8> {
    std::fs::read(demo().join(name)).expect("the demo's art")
}

pub fn ines(at_ms: i64) -> Stamp {
    Stamp { at_ms, by: "Ines".to_owned() }
}

pub fn bram(at_ms: i64) -> Stamp {
    Stamp { at_ms, by: "Bram".to_owned() }
}

/// An order of so many carriers with a kite on them.
pub fn totes(count: u32) -> String {
    format!(
        "version = 1\ncustomer = \"Kite crew\"\nname = \"Totes for the stall\"\ndue = \"2026-12-18\"\n\n[[line]]\n\
         garment = \"tote-canvas\"\ncolour = \"natural\"\nsizes = {{ \"one size\" = {count} }}\n\n[[line.print]]\n\
         art = \"art/kite.svg\"\nposition = \"bag side\"\nwidth = \"120 mm\"\n"
    )
}

/// The demo's order with all its art: long work, when much effort is asked for.
pub fn take_demo(kept: &Kept) -> String {
    let text = std::fs::read_to_string(demo().join("order.toml")).expect("a text");
    let names =
        ["clouds.png", "club.png", "kite.svg", "marshal.svg", "ring.svg", "river.svg", "splash.svg", "sunset.svg"];
    let art = names.map(|name| (format!("art/{name}"), art(&format!("art/{name}")))).to_vec();
    kept.new_order(&text, art, &ines(10)).expect("taken")
}

/// The order of carriers with its art, kept.
pub fn take_totes(kept: &Kept, count: u32) -> String {
    let art = vec![("art/kite.svg".to_owned(), art("art/kite.svg"))];
    kept.new_order(&totes(count), art, &ines(10)).expect("taken")
}

pub const WISH: PlanWish = PlanWish { today: Some(TODAY), seed: 1, effort: Some(0) };

/// Plans an order and waits for it.
pub fn plan(kept: &Kept, id: &str) {
    let job = kept.plan_later(id, WISH, &ines(20)).expect("put in");
    assert!(kept.work_one("desk", 2, &AtomicBool::new(false)).expect("worked"));
    let job = kept.job(&job).expect("read").expect("there");
    assert_eq!((job.state, job.result.as_str()), (store::JobState::Done, ""));
}
