//! Every door through which a file comes in, given sound files and damaged ones: an answer or a
//! refusal, never a panic, never a hang.
//!
//! The corpora are replayed and a little damage is tried with every run. For more, say how many
//! seconds all doors together may take: `BONDLINE_FUZZ_S=300 cargo test --release -p bondline --test
//! doors`; `BONDLINE_FUZZ_DOORS=art_read,nest_form` tries these alone. An input that was too much is kept under the target folder.

mod doors;
mod mutate;

use doors::{DOORS, Door};
use mutate::{Dice, damaged};
use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// No input may hold a door longer than this, on a busy machine too.
const LONGEST: Duration = Duration::from_secs(60);
/// Damaged inputs for each door in an ordinary run.
const FEW: u64 = 60;
/// Bytes of a damaged input at most.
const MOST_BYTES: usize = 1 << 16;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Sound inputs of each door: its corpus, and the demo's own files.
fn corpora() -> BTreeMap<&'static str, Vec<Vec<u8>>> {
    let files = |folder: PathBuf| -> Vec<Vec<u8>> {
        let mut paths: Vec<PathBuf> =
            fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path()).collect();
        paths.sort();
        paths.into_iter().filter(|path| path.is_file()).filter_map(|path| fs::read(path).ok()).collect()
    };
    let mut all = BTreeMap::new();
    for (name, _) in DOORS {
        let mut inputs = files(root().join("fuzz/corpus").join(name));
        match name {
            "art_read" => inputs.extend(files(root().join("demo/art")).into_iter().filter(|f| f.len() <= MOST_BYTES)),
            "shop_form" => {
                let shop = |(which, name): (u8, &&str)| {
                    let text = fs::read(root().join("demo/shop").join(name)).ok()?;
                    Some([vec![which], text].concat())
                };
                inputs.extend((0..).zip(trade::form::FILE_NAMES.iter()).filter_map(shop));
            }
            "order_form" => inputs.extend(fs::read(root().join("demo/order.toml")).ok()),
            _ => {}
        }
        assert!(!inputs.is_empty(), "{name} has no corpus");
        all.insert(name, inputs);
    }
    all
}

/// The input a door is busy with, and since when.
type Busy = Arc<Mutex<Option<(Instant, Vec<u8>)>>>;

/// Hands one input through a door; what was too much for it is kept and told.
fn through((name, door): Door, input: &[u8], busy: &Busy) {
    if let Ok(mut busy) = busy.lock() {
        *busy = Some((Instant::now(), input.to_vec()));
    }
    let told = std::panic::catch_unwind(|| door(input));
    if let Ok(mut busy) = busy.lock() {
        *busy = None;
    }
    assert!(told.is_ok(), "{name} panicked; see {}", kept(name, input).display());
}

fn kept(name: &str, input: &[u8]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("doors");
    let _ = fs::create_dir_all(&folder);
    let path = folder.join(format!("{name}-{}", input.len()));
    let _ = fs::write(&path, input);
    path
}

#[test]
fn corpora_are_replayed() {
    let corpora = corpora();
    let busy = Busy::default();
    for door in DOORS {
        for input in &corpora[door.0] {
            through(door, input, &busy);
        }
    }
}

/// What one door's thread does until it has tried enough or time is up.
fn try_damage(door: Door, inputs: &[Vec<u8>], busy: &Busy, enough: impl Fn(u64) -> bool, tried: &AtomicU64) {
    let mut dice = Dice::new(door.0.len() as u64 ^ seed());
    let mut count = 0;
    while !enough(count) {
        let sound = &inputs[dice.below(inputs.len())];
        let other = &inputs[dice.below(inputs.len())];
        let input = damaged(&mut dice, sound, other, MOST_BYTES);
        through(door, &input, busy);
        count += 1;
    }
    tried.store(count, Ordering::Relaxed);
}

/// Which damage: the same with every run, another with `BONDLINE_FUZZ_SEED`.
fn seed() -> u64 {
    std::env::var("BONDLINE_FUZZ_SEED").ok().and_then(|seed| seed.parse().ok()).unwrap_or(1)
}

#[test]
fn damaged_files_are_answered_or_refused() {
    let seconds: Option<u64> = std::env::var("BONDLINE_FUZZ_S").ok().and_then(|seconds| seconds.parse().ok());
    let corpora = Arc::new(corpora());
    // Two doors are tried at a time; all of them together take what was allowed.
    let wanted = std::env::var("BONDLINE_FUZZ_DOORS").ok();
    let named = |door: &Door| wanted.as_ref().is_none_or(|wanted| wanted.split(',').any(|name| name == door.0));
    let doors: Vec<Door> = DOORS.into_iter().filter(named).collect();
    assert!(!doors.is_empty(), "no door of that name; the doors are {:?}", DOORS.map(|door| door.0));
    let each = seconds.map(|seconds| Duration::from_secs_f64(seconds as f64 / doors.len() as f64));
    let waiting = Arc::new(Mutex::new(doors));
    let lanes: Vec<(Busy, JoinHandle<()>)> = (0..2)
        .map(|_| {
            let (busy, corpora, waiting) = (Busy::default(), Arc::clone(&corpora), Arc::clone(&waiting));
            let own = Arc::clone(&busy);
            let work = move || {
                while let Some(door) = waiting.lock().ok().and_then(|mut waiting| waiting.pop()) {
                    let start = Instant::now();
                    let tried = AtomicU64::new(0);
                    let enough = |count| each.map_or(count >= FEW, |each| start.elapsed() >= each);
                    try_damage(door, &corpora[door.0], &own, enough, &tried);
                    let _ = writeln!(
                        std::io::stdout(),
                        "{}: {} damaged inputs in {:.0} s",
                        door.0,
                        tried.load(Ordering::Relaxed),
                        start.elapsed().as_secs_f64()
                    );
                }
            };
            (busy, std::thread::spawn(work))
        })
        .collect();
    while lanes.iter().any(|(_, lane)| !lane.is_finished()) {
        std::thread::sleep(Duration::from_millis(200));
        for (busy, _) in &lanes {
            let stuck = busy.lock().ok().and_then(|busy| busy.clone()).filter(|(since, _)| since.elapsed() > LONGEST);
            if let Some((_, input)) = stuck {
                panic!("a door was held for {LONGEST:?}; see {}", kept("held", &input).display());
            }
        }
    }
    for (_, lane) in lanes {
        assert!(lane.join().is_ok(), "a door failed");
    }
}
