//! A folder that is replaced as a whole: the earlier one stays until the new one
//! is complete.

use crate::refusal::Refusal;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

/// The file by which a folder is known as written by this program: the names of
/// all it holds. Only such a folder is ever replaced.
const MANIFEST: &str = "contents.txt";

/// What an earlier folder is called while its place is being taken.
const EARLIER: &str = ".earlier";

/// A new folder being filled beside the one it will replace.
#[derive(Debug)]
pub(crate) struct SafeFolder {
    target: PathBuf,
    filling: PathBuf,
    names: Vec<String>,
    done: bool,
}

impl SafeFolder {
    /// Begins a folder that will stand at `target`.
    ///
    /// Refuses a target that is a file, or a folder holding anything this
    /// program did not write.
    pub fn begin(target: &Path) -> Result<Self, Refusal> {
        check_target(target)?;
        let name = target.file_name().map_or_else(|| "plan".into(), |name| name.to_string_lossy().into_owned());
        let parent = parent_of(target);
        fs::create_dir_all(&parent).map_err(|error| unwritable(&parent, &error))?;
        clear_abandoned(target, &parent, &name);
        let filling = parent.join(format!("{}{}", filling_prefix(&name), std::process::id()));
        if filling.exists() {
            fs::remove_dir_all(&filling).map_err(|error| unwritable(&filling, &error))?;
        }
        fs::create_dir(&filling).map_err(|error| unwritable(&filling, &error))?;
        Ok(Self { target: target.to_path_buf(), filling, names: Vec::new(), done: false })
    }

    /// Writes a whole file, flushed to the disk; `name` may have folders in it.
    pub fn write(&mut self, name: &str, bytes: &[u8]) -> Result<(), Refusal> {
        self.stream(name, |out| out.write_all(bytes))
    }

    /// Writes a file through a stream, flushed to the disk.
    pub fn stream<E>(
        &mut self,
        name: &str,
        fill: impl FnOnce(&mut dyn std::io::Write) -> Result<(), E>,
    ) -> Result<(), Refusal>
    where
        E: std::fmt::Display,
    {
        let path = self.filling.join(name);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent).map_err(|error| unwritable(parent, &error))?;
        }
        let file = fs::File::create(&path).map_err(|error| unwritable(&path, &error))?;
        let mut buffered = std::io::BufWriter::with_capacity(1 << 16, file);
        fill(&mut buffered).map_err(|error| unwritable(&path, &error))?;
        buffered.flush().map_err(|error| unwritable(&path, &error))?;
        buffered.get_ref().sync_all().map_err(|error| unwritable(&path, &error))?;
        self.names.push(name.to_owned());
        Ok(())
    }

    /// How many files are written so far.
    pub fn mark(&self) -> usize {
        self.names.len()
    }

    /// Takes back every file written since `mark`.
    pub fn forget_from(&mut self, mark: usize) -> Result<(), Refusal> {
        for name in self.names.drain(mark.min(self.names.len())..) {
            let path = self.filling.join(name);
            fs::remove_file(&path).map_err(|error| unwritable(&path, &error))?;
        }
        Ok(())
    }

    /// Puts the new folder in the earlier one's place.
    pub fn finish(mut self) -> Result<Vec<String>, Refusal> {
        let mut names = std::mem::take(&mut self.names);
        names.sort();
        let mut list = names.join("\n");
        list.push('\n');
        self.write(MANIFEST, list.as_bytes())?;
        let earlier = self.take_place().map_err(|error| unwritable(&self.target, &error))?;
        self.done = true;
        // The new folder stands; what cannot be cleared away is cleared at the next run.
        if let Some(earlier) = earlier {
            let _ = fs::remove_dir_all(earlier);
        }
        if let Ok(parent) = fs::File::open(parent_of(&self.target)) {
            let _ = parent.sync_all();
        }
        Ok(names)
    }

    /// Puts the new folder under its name; returns where the earlier one went.
    fn take_place(&self) -> std::io::Result<Option<PathBuf>> {
        if !self.target.exists() {
            fs::rename(&self.filling, &self.target)?;
            return Ok(None);
        }
        if exchange(&self.filling, &self.target).is_ok() {
            return Ok(Some(self.filling.clone()));
        }
        // Where the file system cannot exchange two names, there is a moment without either.
        let mut earlier = self.filling.clone().into_os_string();
        earlier.push(EARLIER);
        let earlier = PathBuf::from(earlier);
        fs::rename(&self.target, &earlier)?;
        if let Err(error) = fs::rename(&self.filling, &self.target) {
            let _ = fs::rename(&earlier, &self.target);
            return Err(error);
        }
        Ok(Some(earlier))
    }
}

fn parent_of(target: &Path) -> PathBuf {
    match target.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    }
}

fn filling_prefix(name: &str) -> String {
    format!(".{name}.being-written-")
}

/// Removes what runs that were killed left beside the target. A folder whose
/// program still runs is left alone; so is every one where that cannot be known.
/// An earlier plan whose place was left empty is put back.
fn clear_abandoned(target: &Path, parent: &Path, name: &str) {
    let (prefix, processes) = (filling_prefix(name), Path::new("/proc/self"));
    let Ok(entries) = fs::read_dir(parent) else { return };
    if !processes.exists() {
        return;
    }
    for entry in entries.flatten() {
        let found = entry.file_name().to_string_lossy().into_owned();
        let Some(rest) = found.strip_prefix(&prefix) else { continue };
        let number = rest.strip_suffix(EARLIER).unwrap_or(rest);
        let known = !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit());
        if !known || Path::new("/proc").join(number).exists() {
            continue;
        }
        if rest.ends_with(EARLIER) && !target.exists() {
            let _ = fs::rename(entry.path(), target);
        } else {
            let _ = fs::remove_dir_all(entry.path());
        }
    }
}

/// Exchanges two names in one step, so that there is never a moment without a folder.
#[cfg(target_os = "linux")]
fn exchange(one: &Path, other: &Path) -> std::io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE)?)
}

#[cfg(not(target_os = "linux"))]
fn exchange(_: &Path, _: &Path) -> std::io::Result<()> {
    Err(std::io::ErrorKind::Unsupported.into())
}

impl Drop for SafeFolder {
    fn drop(&mut self) {
        if !self.done {
            // Nothing half-written is left; where even that fails there is nobody left to tell.
            let _ = fs::remove_dir_all(&self.filling);
        }
    }
}

fn check_target(target: &Path) -> Result<(), Refusal> {
    let refused = |cause: &str| Refusal::Unwritable {
        path: target.display().to_string(),
        cause: cause.to_owned(),
        remedy: "choose another folder with --out".to_owned(),
    };
    match fs::symlink_metadata(target) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(unwritable(target, &error)),
        Ok(found) if !found.is_dir() => Err(refused("it is not a folder")),
        Ok(_) => {
            let empty = fs::read_dir(target).map_err(|error| unwritable(target, &error))?.next().is_none();
            if empty || target.join(MANIFEST).is_file() && only_ours(target)? {
                Ok(())
            } else {
                Err(refused("it holds other files, which would be lost"))
            }
        }
    }
}

/// Whether every file of the folder stands in its manifest.
fn only_ours(target: &Path) -> Result<bool, Refusal> {
    let list = fs::read_to_string(target.join(MANIFEST)).map_err(|error| unwritable(target, &error))?;
    let known: Vec<&str> = list.lines().collect();
    let mut folders = vec![PathBuf::new()];
    while let Some(folder) = folders.pop() {
        let entries = fs::read_dir(target.join(&folder)).map_err(|error| unwritable(target, &error))?;
        for entry in entries {
            let entry = entry.map_err(|error| unwritable(target, &error))?;
            let name = folder.join(entry.file_name());
            if entry.file_type().map_err(|error| unwritable(target, &error))?.is_dir() {
                folders.push(name);
                continue;
            }
            let shown = name.to_string_lossy().replace('\\', "/");
            if shown != MANIFEST && !known.contains(&shown.as_str()) {
                return Ok(false);
            }
        }
    }
    Ok(true)
}

fn unwritable(path: &Path, error: &dyn std::fmt::Display) -> Refusal {
    Refusal::Unwritable {
        path: path.display().to_string(),
        cause: error.to_string(),
        remedy: "check the disk's space and your rights there, or choose another folder with --out".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_earlier_folder_stays_until_the_new_one_is_complete() {
        let home = tempfile::tempdir().expect("a folder");
        let target = home.path().join("plan");
        let mut first = SafeFolder::begin(&target).expect("begun");
        first.write("a/one.txt", b"one").expect("written");
        first.finish().expect("finished");

        let mut second = SafeFolder::begin(&target).expect("begun");
        second.write("a/two.txt", b"two").expect("written");
        assert!(target.join("a/one.txt").is_file(), "the first is whole while the second is written");
        drop(second);
        assert!(target.join("a/one.txt").is_file(), "an unfinished one leaves it alone");
        assert_eq!(fs::read_dir(home.path()).expect("a folder").count(), 1, "and leaves nothing behind");

        let mut third = SafeFolder::begin(&target).expect("begun");
        third.write("a/three.txt", b"three").expect("written");
        third.finish().expect("finished");
        assert!(!target.join("a/one.txt").exists() && target.join("a/three.txt").is_file());
    }

    #[test]
    fn what_a_killed_run_left_is_cleared_and_nothing_else() {
        let home = tempfile::tempdir().expect("a folder");
        let target = home.path().join("plan");
        // No process has this number: the kernel's largest is 2^22.
        let abandoned = home.path().join(".plan.being-written-99999999");
        let other = home.path().join(".plan.being-written-mine");
        let running = home.path().join(format!(".plan.being-written-{}", std::os::unix::process::parent_id()));
        for folder in [&abandoned, &other, &running] {
            fs::create_dir(folder).expect("made");
        }
        SafeFolder::begin(&target).expect("begun");
        assert!(!abandoned.exists() && other.exists() && running.exists());
    }

    #[test]
    fn a_folder_with_other_files_is_never_replaced() {
        let home = tempfile::tempdir().expect("a folder");
        fs::write(home.path().join("letter.txt"), "dear").expect("written");
        assert!(matches!(SafeFolder::begin(home.path()), Err(Refusal::Unwritable { .. })));

        let target = home.path().join("plan");
        let mut ours = SafeFolder::begin(&target).expect("begun");
        ours.write("plan.json", b"{}").expect("written");
        ours.finish().expect("finished");
        fs::write(target.join("note.txt"), "mine").expect("written");
        assert!(SafeFolder::begin(&target).is_err(), "a note put beside it is not lost either");
        assert!(target.join("note.txt").is_file());
    }
}
