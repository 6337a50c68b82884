//! A shop as a folder of open files, and back.
//!
//! ```text
//! shop/presses.toml …        the shop's files, as people write them
//! orders/12/order.toml       an order's text, beside it its art by the names the text calls it
//! orders/12/standing.json    where it stands
//! history.jsonl              every change ever made, one a line, the oldest first
//! files/<sha256>             every file that a change refers to, by its hash
//! ```
//!
//! The history alone holds everything; the other files are there to be read and
//! edited. What differs from the history on the way back is taken as a change
//! made in the folder. Jobs, sessions and the like are not written.

use super::orders::{ORDER_FILE, check_art};
use super::{Deed, DeedError, Kept};
use crate::codes;
use crate::refusal::Refusal;
use crate::safe_folder::SafeFolder;
use crate::shop_folder::ShopFolder;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use report::{Finding, Severity, Value};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{BufRead as _, BufReader, Read as _};
use std::path::{Path, PathBuf};
use store::form::OrderForm;
use store::{Blob, Change, Kind, Record, Stamp, StoreError, hash_of};

const HISTORY: &str = "history.jsonl";
const STANDING: &str = "standing.json";
/// Longest line of a history: an order with all its art is far below, bytes.
const LONGEST_LINE: u64 = 64 << 20;
/// Largest file taken; databases hold no larger value, bytes.
const LARGEST_FILE: u64 = 900_000_000;

/// What came in from a folder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Imported {
    /// Changes of the history.
    pub history: usize,
    /// Files of the shop that were new or changed.
    pub shop_files: usize,
    /// Orders that were new or changed.
    pub orders: usize,
}

/// A line of the history.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct ChangeForm {
    seq: i64,
    kind: String,
    id: String,
    version: i64,
    at_ms: i64,
    by: String,
    what: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    undoes: Option<i64>,
    /// The text of the record after it, to the letter; left out where it was removed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    body: Option<String>,
}

impl Kept {
    /// Writes the whole shop into a folder of open files; an earlier one written
    /// there is replaced when this one is complete.
    pub fn export(&self, folder: &Path) -> Deed<()> {
        let mut out = SafeFolder::begin(folder)?;
        for Record { id: name, body, .. } in self.shop_records()? {
            let picture = trade::form::is_mark_file(&name).then(|| STANDARD.decode(&body.text).unwrap_or_default());
            out.write(&format!("shop/{name}"), picture.as_deref().unwrap_or(body.text.as_bytes()))?;
        }
        for order in self.store().all::<OrderForm>()? {
            self.export_order(&order, &mut out)?;
        }
        let files = self.export_history(&mut out)?;
        for hash in files {
            out.write(&format!("files/{hash}"), &self.store().bytes(&hash)?)?;
        }
        out.finish()?;
        Ok(())
    }

    fn export_order(&self, order: &Record<OrderForm>, out: &mut SafeFolder) -> Deed<()> {
        let home = format!("orders/{}", order.id);
        out.write(&format!("{home}/{ORDER_FILE}"), order.body.text.as_bytes())?;
        let standing = serde_json::to_string_pretty(&order.body.standing).map_err(|error| not_text(&error))?;
        out.write(&format!("{home}/{STANDING}"), standing.as_bytes())?;
        for (name, file) in &order.body.art {
            out.write(&format!("{home}/{name}"), &self.store().bytes(&file.sha256)?)?;
        }
        Ok(())
    }

    /// Writes the history line by line; answers with the hashes it refers to.
    fn export_history(&self, out: &mut SafeFolder) -> Deed<BTreeSet<String>> {
        const AT_ONCE: i64 = 200;
        let (mut files, mut after) = (BTreeSet::new(), 0);
        let mut failed = None;
        out.stream(HISTORY, |out| -> std::io::Result<()> {
            loop {
                let changes = match self.store().changes(after, AT_ONCE) {
                    Ok(changes) if changes.is_empty() => return Ok(()),
                    Ok(changes) => changes,
                    Err(error) => {
                        failed = Some(error);
                        return Ok(());
                    }
                };
                for change in changes {
                    after = change.seq;
                    files.extend(held(&change));
                    serde_json::to_writer(&mut *out, &line_of(&change))?;
                    out.write_all(b"\n")?;
                }
            }
        })?;
        failed.map_or(Ok(files), |error| Err(error.into()))
    }

    /// Takes a folder in. With a history this shop must be empty, and becomes what
    /// the folder was written from; what was edited in the folder since is a change
    /// by `hand`. Without one, the files of the shop are put in place of the kept
    /// ones, and every folder under `orders` is a new order. A plain folder of the
    /// shop's TOML files is taken too.
    ///
    /// On refusal nothing is kept of what did not read.
    pub fn import(&self, folder: &Path, hand: &Stamp) -> Deed<Imported> {
        let mut done = Imported::default();
        let with_history = folder.join(HISTORY).is_file();
        if with_history {
            done.history = self.import_history(folder)?;
            self.relist()?;
        }
        let shop = folder.join("shop");
        if shop.is_dir() || (!with_history && !folder.join("orders").is_dir()) {
            done.shop_files = self.import_shop(if shop.is_dir() { &shop } else { folder }, hand)?;
        }
        done.orders = self.import_orders(&folder.join("orders"), with_history, hand)?;
        Ok(done)
    }

    fn import_history(&self, folder: &Path) -> Deed<usize> {
        if self.store().count_changes()? > 0 {
            return Err(StoreError::Occupied { place: self.store().place().shown() }.into());
        }
        let changes = read_history(&folder.join(HISTORY))?;
        let wanted: BTreeSet<String> = changes.iter().flat_map(held).collect();
        for hash in &wanted {
            let path = folder.join("files").join(hash);
            let bytes = read_file(&path)?;
            if hash_of(&bytes) != *hash {
                return Err(unreadable(&path, "its bytes are not those of its name").into());
            }
            self.store().keep(&[Blob { hash: hash.clone(), bytes }])?;
        }
        self.store().replay(&changes, held)?;
        Ok(changes.len())
    }

    fn import_shop(&self, folder: &Path, hand: &Stamp) -> Deed<usize> {
        let kept = self.shop_records()?;
        let mut changed = Vec::new();
        for (name, text) in ShopFolder::open(folder)?.files {
            let known = kept.iter().find(|known| known.id == name);
            if known.is_none_or(|old| old.body.text != text) {
                let on = match known {
                    Some(known) => known.version,
                    None => self.store().version(Kind::ShopFile, &name)?,
                };
                changed.push((name, text, on));
            }
        }
        if !changed.is_empty() {
            self.put_shop_files(&changed, hand)?;
        }
        Ok(changed.len())
    }

    fn import_orders(&self, folder: &Path, with_history: bool, hand: &Stamp) -> Deed<usize> {
        let mut done = 0;
        for home in subfolders(folder)? {
            let text = read_text(&home.join(ORDER_FILE))?;
            let mut art = Vec::new();
            gather_art(&home, "", &mut art)?;
            let id = home.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            let known = if with_history { self.store().get::<OrderForm>(&id)? } else { None };
            match known {
                Some(known) => done += usize::from(self.import_changed(&known, &text, art, hand)?),
                None => {
                    self.new_order(&text, art, hand)?;
                    done += 1;
                }
            }
        }
        Ok(done)
    }

    /// Takes over what was edited in an order's folder; `false` when nothing was.
    fn import_changed(
        &self,
        known: &Record<OrderForm>,
        text: &str,
        art: Vec<(String, Vec<u8>)>,
        hand: &Stamp,
    ) -> Deed<bool> {
        let same_art = art.len() == known.body.art.len()
            && art
                .iter()
                .all(|(name, bytes)| known.body.art.get(name).is_some_and(|file| file.sha256 == hash_of(bytes)));
        if text == known.body.text && same_art {
            return Ok(false);
        }
        plan::form::read_order(ORDER_FILE, text).map_err(DeedError::Faults)?;
        let mut files = BTreeMap::new();
        for (name, bytes) in art {
            check_art(&known.body, &name, &bytes)?;
            files.insert(name, self.keep_bytes(bytes)?);
        }
        self.change_form(&known.id, known.version, "changed in its folder", hand, |form| {
            text.clone_into(&mut form.text);
            form.art = files;
            Ok(())
        })?;
        Ok(true)
    }
}

fn line_of(change: &Change) -> ChangeForm {
    ChangeForm {
        seq: change.seq,
        kind: change.kind.word().to_owned(),
        id: change.id.clone(),
        version: change.version,
        at_ms: change.stamp.at_ms,
        by: change.stamp.by.clone(),
        what: change.what.clone(),
        undoes: change.undoes,
        body: change.body.clone(),
    }
}

fn held(change: &Change) -> Vec<String> {
    change.body.as_deref().map(|body| store::form::hashes(change.kind.word(), body)).unwrap_or_default()
}

/// Reads a history; every line is checked before anything is kept.
fn read_history(path: &Path) -> Deed<Vec<Change>> {
    let file = fs::File::open(path).map_err(|error| unreadable(path, &error.to_string()))?;
    let mut lines = BufReader::new(file);
    let mut versions: BTreeMap<(Kind, String), i64> = BTreeMap::new();
    let mut changes: Vec<Change> = Vec::new();
    loop {
        let mut line = Vec::new();
        let number = changes.len() + 1;
        let wrong = |cause: String| unreadable(path, &format!("line {number}: {cause}"));
        let read = (&mut lines).take(LONGEST_LINE).read_until(b'\n', &mut line);
        if read.map_err(|error| wrong(error.to_string()))? == 0 {
            return Ok(changes);
        }
        let form: ChangeForm = serde_json::from_slice(&line).map_err(|error| wrong(error.to_string()))?;
        let kind = Kind::of_word(&form.kind).ok_or_else(|| wrong(format!("“{}” is not a kind", form.kind)))?;
        let version = versions.entry((kind, form.id.clone())).or_default();
        *version += 1;
        if form.version != *version || form.seq != i64::try_from(number).unwrap_or(i64::MAX) {
            return Err(wrong("a change before it is missing".to_owned()).into());
        }
        if let Some(cause) = form.body.as_deref().and_then(|body| store::form::unreadable(kind.word(), body)) {
            return Err(wrong(cause).into());
        }
        changes.push(Change {
            seq: form.seq,
            kind,
            id: form.id,
            version: form.version,
            stamp: Stamp { at_ms: form.at_ms, by: form.by },
            what: form.what,
            undoes: form.undoes,
            body: form.body,
        });
    }
}

/// Every file of an order's folder but its own text and standing, by name.
fn gather_art(home: &Path, within: &str, art: &mut Vec<(String, Vec<u8>)>) -> Deed<()> {
    const MOST: usize = 1000;
    let folder = home.join(within);
    let mut names: Vec<(String, bool)> = Vec::new();
    for entry in fs::read_dir(&folder).map_err(|error| unreadable(&folder, &error.to_string()))? {
        let entry = entry.map_err(|error| unreadable(&folder, &error.to_string()))?;
        let kind = entry.file_type().map_err(|error| unreadable(&entry.path(), &error.to_string()))?;
        // Links are left where they are: they may lead anywhere.
        if kind.is_dir() || kind.is_file() {
            names.push((entry.file_name().to_string_lossy().into_owned(), kind.is_dir()));
        }
    }
    names.sort();
    for (name, is_folder) in names {
        if within.is_empty() && !is_folder && (name == ORDER_FILE || name == STANDING) {
            continue;
        }
        let name = if within.is_empty() { name } else { format!("{within}/{name}") };
        if is_folder {
            gather_art(home, &name, art)?;
        } else if art.len() < MOST {
            art.push((name.clone(), read_file(&home.join(&name))?));
        }
    }
    Ok(())
}

fn subfolders(folder: &Path) -> Deed<Vec<PathBuf>> {
    if !folder.is_dir() {
        return Ok(Vec::new());
    }
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).map_err(|error| unreadable(folder, &error.to_string()))? {
        let entry = entry.map_err(|error| unreadable(folder, &error.to_string()))?;
        if entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            all.push(entry.path());
        }
    }
    // By number, so that they are numbered anew in their order.
    all.sort_by_key(|path| {
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        (name.parse::<u64>().unwrap_or(u64::MAX), name)
    });
    Ok(all)
}

fn read_text(path: &Path) -> Deed<String> {
    String::from_utf8(read_file(path)?).map_err(|_| unreadable(path, "it is not a text").into())
}

fn read_file(path: &Path) -> Deed<Vec<u8>> {
    let cause = |error: std::io::Error| unreadable(path, &error.to_string());
    let size = fs::metadata(path).map_err(cause)?.len();
    if size > LARGEST_FILE {
        let limit = i64::try_from(LARGEST_FILE / 1_000_000).unwrap_or(i64::MAX);
        return Err(Finding::new(Severity::StopsLine, codes::ART_LARGE, codes::READER_SMALLER_REMEDY)
            .named("file", path.display().to_string())
            .with("limit-mb", Value::Count(limit))
            .into());
    }
    let mut bytes = Vec::new();
    fs::File::open(path).and_then(|file| file.take(LARGEST_FILE).read_to_end(&mut bytes)).map_err(cause)?;
    Ok(bytes)
}

fn unreadable(path: &Path, cause: &str) -> Refusal {
    Refusal::Unreadable {
        path: path.display().to_string(),
        cause: cause.to_owned(),
        remedy: "name a folder that was exported, or one that holds shop.toml".to_owned(),
    }
}

fn not_text(error: &serde_json::Error) -> DeedError {
    StoreError::Other { cause: error.to_string() }.into()
}
