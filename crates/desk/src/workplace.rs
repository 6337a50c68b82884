//! A folder for the files of work under way, gone when the work is over.

use crate::refusal::Refusal;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

/// What such folders are called, before the number of the process.
const PREFIX: &str = "bondline-work-";
/// A folder whose process is gone is cleared after so long: another machine's
/// processes may not be seen from here.
const ABANDONED: Duration = Duration::from_secs(24 * 3600);

static NEXT: AtomicU64 = AtomicU64::new(0);

/// A folder of one piece of work.
#[derive(Debug)]
pub(crate) struct Workplace {
    path: PathBuf,
}

impl Workplace {
    /// A new folder among the system's temporary ones, for this user alone.
    pub fn new() -> Result<Self, Refusal> {
        let home = std::env::temp_dir();
        clear_abandoned(&home);
        let nth = NEXT.fetch_add(1, Ordering::Relaxed);
        let path = home.join(format!("{PREFIX}{}-{nth}", std::process::id()));
        let made = make_private(&path).or_else(|error| {
            // An earlier process of the same number may have left one behind.
            if error.kind() == std::io::ErrorKind::AlreadyExists {
                std::fs::remove_dir_all(&path)?;
                return make_private(&path);
            }
            Err(error)
        });
        made.map_err(|error| Refusal::Unwritable {
            path: path.display().to_string(),
            cause: error.to_string(),
            remedy: "check the space of the folder for temporary files, or name another one with TMPDIR".to_owned(),
        })?;
        Ok(Self { path })
    }

    pub fn path(&self) -> &Path {
        &self.path
    }
}

impl Drop for Workplace {
    fn drop(&mut self) {
        // What cannot be cleared now is cleared after a day.
        let _ = std::fs::remove_dir_all(&self.path);
    }
}

#[cfg(unix)]
fn make_private(path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::DirBuilderExt as _;
    std::fs::DirBuilder::new().mode(0o700).create(path)
}

#[cfg(not(unix))]
fn make_private(path: &Path) -> std::io::Result<()> {
    std::fs::create_dir(path)
}

fn clear_abandoned(home: &Path) {
    let Ok(entries) = std::fs::read_dir(home) else { return };
    if !Path::new("/proc/self").exists() {
        return;
    }
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let Some(number) = name.strip_prefix(PREFIX).and_then(|rest| rest.split('-').next()) else { continue };
        let old = entry
            .metadata()
            .and_then(|found| found.modified())
            .is_ok_and(|at| at.elapsed().is_ok_and(|age| age > ABANDONED));
        let known = !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit());
        if known && old && !Path::new("/proc").join(number).exists() {
            let _ = std::fs::remove_dir_all(entry.path());
        }
    }
}
