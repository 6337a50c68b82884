//! Art files of an order's folder.

use crate::art_reader::read_art;
use crate::codes;
use crate::kept::{DeedError, KeptArt};
use art::CleanArt;
use plan::{Arts, Order};
use report::{Finding, Go, Outcome, Progress, Severity, Watch};
use std::path::{Path, PathBuf};

/// Where an order's art lies.
#[derive(Debug, Clone)]
pub enum ArtFolder {
    /// A folder on the disk.
    Disk(PathBuf),
    /// Files built into the program, by name.
    BuiltIn(&'static [(&'static str, &'static [u8])]),
    /// A kept order's art.
    Kept(KeptArt),
}

/// Reads every art file that the orders name, on so many threads; a file that
/// cannot be used comes back as its finding.
pub fn read_arts(folder: &ArtFolder, orders: &[Order], threads: usize, watch: &mut dyn Watch) -> Arts {
    let wanted = Arts::wanted(orders);
    let mut arts = Arts::new();
    let all = wanted.len() as u64;
    for (nth, few) in wanted.chunks(threads.max(1)).enumerate() {
        let done = (nth * threads.max(1)) as u64;
        let progress = Progress { stage: codes::STAGE_READ, done, of: Some(all), best: None, bound: None };
        if watch.told(&progress) == Go::Stop {
            break;
        }
        for ((name, background_removed), read) in few.iter().zip(read_few(folder, few)) {
            match read {
                Ok(None) => {}
                Ok(Some(read)) => arts.insert(name, *background_removed, Ok(read)),
                Err(finding) => arts.insert(name, *background_removed, Err(finding)),
            }
        }
    }
    arts
}

/// A file as read; `None` when it is not there.
type Read = Result<Option<Outcome<CleanArt>>, Finding>;

/// Reads a few files side by side.
fn read_few(folder: &ArtFolder, few: &[(String, bool)]) -> Vec<Read> {
    std::thread::scope(|scope| {
        let running: Vec<_> = few
            .iter()
            .map(|(name, background_removed)| scope.spawn(|| read_one(folder, name, *background_removed)))
            .collect();
        running
            .into_iter()
            .zip(few)
            .map(|(thread, (name, _))| thread.join().unwrap_or_else(|_| Err(reader_died(name))))
            .collect()
    })
}

fn read_one(folder: &ArtFolder, name: &str, remove_background: bool) -> Read {
    let Some(bytes) = bytes(folder, name)? else { return Ok(None) };
    let options = art::ReadOptions { remove_background, ..art::ReadOptions::default() };
    read_art(name, &bytes, &options).map(Some)
}

/// A reader that gave up is a finding about its file, not the end of the job.
fn reader_died(name: &str) -> Finding {
    Finding::new(Severity::StopsLine, codes::READER_DIED, codes::READER_DIED_REMEDY).named("file", name)
}

/// The bytes of a file; `None` when it is not there, which the plan says itself.
fn bytes(folder: &ArtFolder, name: &str) -> Result<Option<Vec<u8>>, Finding> {
    match folder {
        ArtFolder::BuiltIn(files) => {
            Ok(files.iter().find(|(known, _)| *known == name).map(|(_, bytes)| bytes.to_vec()))
        }
        ArtFolder::Disk(folder) => from_disk(folder, name),
        ArtFolder::Kept(art) => art.bytes(name).map_err(|error| unreadable(name, &DeedError::from(error))),
    }
}

fn unreadable(name: &str, error: &dyn std::error::Error) -> Finding {
    Finding::new(Severity::StopsLine, codes::ART_UNREADABLE, codes::ART_UNREADABLE_REMEDY)
        .named("file", name)
        .named("cause", error.to_string())
}

/// The bytes of a file within a folder, at most one over what the reader takes; `None` when it is not there.
pub(crate) fn from_disk(folder: &Path, name: &str) -> Result<Option<Vec<u8>>, Finding> {
    let unreadable = |error: &std::io::Error| unreadable(name, error);
    let path = folder.join(name);
    let real = match path.canonicalize() {
        Ok(real) => real,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(unreadable(&error)),
    };
    // A link must not lead out of the order's folder.
    let home = folder.canonicalize().map_err(|error| unreadable(&error))?;
    if !real.starts_with(&home) {
        return Err(
            Finding::new(Severity::StopsLine, codes::ART_OUTSIDE, codes::ART_OUTSIDE_REMEDY).named("file", name)
        );
    }
    let size = std::fs::metadata(&real).map_err(|error| unreadable(&error))?;
    if !size.is_file() {
        return Ok(None);
    }
    // One byte over the limit is enough for the reader to refuse it by size.
    let most = art::Caps::default().bytes;
    let mut bytes = Vec::new();
    let file = std::fs::File::open(&real).map_err(|error| unreadable(&error))?;
    std::io::Read::read_to_end(&mut std::io::Read::take(file, most.saturating_add(1)), &mut bytes)
        .map_err(|error| unreadable(&error))?;
    Ok(Some(bytes))
}
