//! The program as a person runs it, on a shop with the demo's files.

use desk::kept::Kept;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use store::{Place, Stamp};

pub fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo")
}

/// The program with these arguments, not yet run.
pub fn program(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bondline"));
    command.args(args).stdin(Stdio::null());
    command
}

pub fn run(args: &[&str]) -> Output {
    program(args).output().expect("the program runs")
}

/// What it said, where it ended well.
pub fn said(args: &[&str]) -> String {
    let output = run(args);
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(0), "{args:?}: {text}{}", String::from_utf8_lossy(&output.stderr));
    text
}

/// A shop with the demo's files in a folder.
pub fn shop_in(folder: &Path) -> PathBuf {
    let data = folder.join("data");
    said(&["shop", "import", &demo().join("shop").display().to_string(), "--data", &data.display().to_string()]);
    data
}

pub fn open(data: &Path) -> Kept {
    Kept::open(&Place::File(data.join("shop.db"))).expect("it opens")
}

pub fn ines() -> Stamp {
    desk::kept::hand("Ines")
}

/// An order of so many carriers.
pub fn totes(count: u32) -> String {
    format!(
        "version = 1\ncustomer = \"Kite crew\"\ndue = \"2036-12-18\"\n\n[[line]]\ngarment = \"tote-canvas\"\n\
         colour = \"natural\"\nsizes = {{ \"one size\" = {count} }}\n\n[[line.print]]\nart = \"art/kite.svg\"\n\
         position = \"bag side\"\nwidth = \"120 mm\"\n"
    )
}

/// An order file in a folder with its art beside it.
pub fn order_file(folder: &Path, count: u32) -> PathBuf {
    std::fs::create_dir_all(folder.join("art")).expect("a folder");
    std::fs::copy(demo().join("art/kite.svg"), folder.join("art/kite.svg")).expect("the demo's art");
    let path = folder.join("order.toml");
    std::fs::write(&path, totes(count)).expect("written");
    path
}

/// Says aloud that a story could not be told here; where CI=true it must be told.
pub fn skipped(why: &str) {
    assert!(std::env::var("CI").as_deref() != Ok("true"), "{why}; where CI=true this must be possible");
    let _ = writeln!(std::io::stderr(), "SKIPPED: {why}");
}

/// A number of rounds that a long run by hand may raise.
pub fn rounds(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// Numbers from a seed: Steele, Lea & Flood, "Fast splittable pseudorandom number
/// generators", OOPSLA 2014, figure 17.
pub struct Dice(pub u64);

impl Dice {
    pub fn below(&mut self, most: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % most
    }
}
