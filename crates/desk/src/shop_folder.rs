//! A shop folder of open files.

use crate::art_folder::from_disk;
use crate::refusal::Refusal;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use report::Outcome;
use std::path::Path;
use trade::Shop;
use trade::form::ShopFile;

/// Files a shop folder may hold, largest that is read: a price list is never this long.
const MOST_BYTES: u64 = 4 << 20;

/// Largest picture taken as the shop's mark.
const MOST_MARK_BYTES: u64 = 2 << 20;

/// The files of a shop, from disk or built in.
#[derive(Debug, Clone)]
pub struct ShopFolder {
    /// Name and text of each file; of the shop's mark its bytes in base64.
    pub files: Vec<(String, String)>,
}

impl ShopFolder {
    /// Reads every `.toml` file of a folder, in order of name, and the picture that `shop.toml`
    /// names as the shop's mark, in base64.
    ///
    /// Refuses a folder that is not there, holds no such file, or holds one that
    /// is over 4 MiB or not text.
    pub fn open(folder: &Path) -> Result<Self, Refusal> {
        let path = folder.display().to_string();
        let unreadable = |path: &str, cause: String| Refusal::Unreadable {
            path: path.to_owned(),
            cause,
            remedy: "name the folder that holds shop.toml".to_owned(),
        };
        let entries = std::fs::read_dir(folder).map_err(|error| unreadable(&path, error.to_string()))?;
        let mut names = Vec::new();
        for entry in entries {
            let entry = entry.map_err(|error| unreadable(&path, error.to_string()))?;
            let name = entry.file_name().to_string_lossy().into_owned();
            if name.ends_with(".toml") {
                names.push(name);
            }
        }
        names.sort();
        if names.is_empty() {
            return Err(unreadable(&path, "it holds no .toml file".to_owned()));
        }
        let mut files = Vec::new();
        for name in names {
            let file = folder.join(&name);
            let shown = file.display().to_string();
            let size = std::fs::metadata(&file).map_err(|error| unreadable(&shown, error.to_string()))?.len();
            if size > MOST_BYTES {
                return Err(unreadable(&shown, format!("{size} bytes are more than the {MOST_BYTES} that are read")));
            }
            let text = std::fs::read_to_string(&file).map_err(|error| unreadable(&shown, error.to_string()))?;
            files.push((name, text));
        }
        files.extend(mark(folder, &files));
        Ok(Self { files })
    }
}

/// The shop's mark, where it is there and can be read; what is missing is found when papers are set.
fn mark(folder: &Path, files: &[(String, String)]) -> Option<(String, String)> {
    let (_, text) = files.iter().find(|(name, _)| name == "shop.toml")?;
    let name = trade::form::mark_of(text)?;
    let bytes = from_disk(folder, &name).ok().flatten()?;
    (bytes.len() as u64 <= MOST_MARK_BYTES).then(|| (name, STANDARD.encode(bytes)))
}

/// The shop of a folder, checked.
pub fn read_shop(folder: &ShopFolder) -> Result<Outcome<Shop>, Refusal> {
    let files: Vec<ShopFile<'_>> = folder.files.iter().map(|(name, text)| ShopFile { name, text }).collect();
    trade::form::read(&files).map_err(Refusal::Faults)
}
