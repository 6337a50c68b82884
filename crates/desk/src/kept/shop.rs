//! The shop's facts as the files people write, checked before they are kept.

use super::{Deed, DeedError, Kept, locked};
use crate::codes;
use crate::shop_folder::{ShopFolder, read_shop};
use report::{Finding, Outcome, Severity};
use std::sync::Arc;
use store::form::ShopFileForm;
use store::{Guard, Kind, Record, Stamp, StoreError, Write, hash_of};
use trade::Shop;
use trade::form::FILE_NAMES;

impl Kept {
    /// Name, version and text of every file of the shop that people write, by name.
    pub fn shop_files(&self) -> Deed<Vec<(String, i64, String)>> {
        let all = self.shop_records()?;
        let texts = all.into_iter().filter(|file| !trade::form::is_mark_file(&file.id));
        Ok(texts.map(|file| (file.id, file.version, file.body.text)).collect())
    }

    /// All that is kept of the shop's folder: its files, and its mark in base64.
    pub(super) fn shop_records(&self) -> Deed<Vec<Record<ShopFileForm>>> {
        Ok(self.store().all::<ShopFileForm>()?)
    }

    /// The shop as its files say; read once for each state of the files.
    ///
    /// Faults when files are missing, as in a shop that was just made.
    pub fn shop(&self) -> Deed<Arc<Outcome<Shop>>> {
        let files = self.shop_records()?.into_iter().map(|file| (file.id, file.body.text)).collect();
        self.read_cached(files).map(|(shop, _)| shop)
    }

    /// The shop and the hash of its files.
    pub(super) fn shop_with_hash(&self) -> Deed<(Arc<Outcome<Shop>>, String)> {
        let files = self.shop_records()?.into_iter().map(|file| (file.id, file.body.text)).collect();
        self.read_cached(files)
    }

    fn read_cached(&self, files: Vec<(String, String)>) -> Deed<(Arc<Outcome<Shop>>, String)> {
        let hash = hash_of_files(&files);
        if let Some((known, shop)) = locked(&self.inside.shop).as_ref()
            && *known == hash
        {
            return Ok((Arc::clone(shop), hash));
        }
        let shop = Arc::new(read_shop(&ShopFolder { files })?);
        *locked(&self.inside.shop) = Some((hash.clone(), Arc::clone(&shop)));
        Ok((shop, hash))
    }

    /// Keeps a file of the shop; the whole shop must read with it. Of a shop that
    /// is still without some of its files only what this file itself says is checked.
    pub fn put_shop_file(&self, name: &str, text: &str, on: i64, hand: &Stamp) -> Deed<i64> {
        let versions = self.put_shop_files(&[(name.to_owned(), text.to_owned(), on)], hand)?;
        Ok(versions.first().copied().unwrap_or_default())
    }

    /// Keeps several files of the shop together, each on the version seen; the shop must read with all of them.
    pub fn put_shop_files(&self, files: &[(String, String, i64)], hand: &Stamp) -> Deed<Vec<i64>> {
        let kept = self.shop_records()?;
        let mut whole: Vec<(String, String)> =
            kept.iter().map(|file| (file.id.clone(), file.body.text.clone())).collect();
        let mut writes = Vec::new();
        for (name, text, on) in files {
            if !FILE_NAMES.contains(&name.as_str()) && !trade::form::is_mark_file(name) {
                let known = FILE_NAMES.join(", ");
                return Err(Finding::new(
                    Severity::StopsLine,
                    codes::SHOP_FILE_UNKNOWN,
                    codes::SHOP_FILE_UNKNOWN_REMEDY,
                )
                .named("file", name.clone())
                .named("known", known)
                .into());
            }
            match whole.iter_mut().find(|(known, _)| known == name) {
                Some((_, known)) => known.clone_from(text),
                None => whole.push((name.clone(), text.clone())),
            }
            writes.push(Write::of(name, *on, &ShopFileForm { text: text.clone() }, "shop file written")?);
        }
        whole.sort();
        match self.read_cached(whole) {
            Ok(_) => {}
            // Files come one by one into a new shop: what is not there yet is no fault of this one.
            Err(DeedError::Faults(faults)) if still_partial(&kept, files) => {
                let own: Vec<_> =
                    faults.into_iter().filter(|fault| files.iter().any(|(name, _, _)| *name == fault.file)).collect();
                if !own.is_empty() {
                    return Err(DeedError::Faults(own));
                }
            }
            Err(error) => return Err(error),
        }
        // What was checked together must be kept together.
        let guards: Vec<Guard> = kept
            .iter()
            .filter(|file| files.iter().all(|(name, _, _)| *name != file.id))
            .map(|file| Guard { kind: Kind::ShopFile, id: file.id.clone(), version: file.version })
            .collect();
        Ok(self.store().change(hand, &guards, &writes)?)
    }
}

impl Kept {
    /// Whether the shop reads with this body of one of its files.
    pub(super) fn check_shop_body(&self, name: &str, body: &str) -> Deed<()> {
        let form: ShopFileForm =
            serde_json::from_str(body).map_err(|error| StoreError::Damaged { cause: error.to_string() })?;
        let mut files: Vec<(String, String)> =
            self.shop_records()?.into_iter().map(|file| (file.id, file.body.text)).collect();
        match files.iter_mut().find(|(known, _)| known == name) {
            Some((_, text)) => *text = form.text,
            None => files.push((name.to_owned(), form.text)),
        }
        files.sort();
        self.read_cached(files).map(|_| ())
    }
}

/// Whether the shop lacks files that it must have, even with those being put in.
fn still_partial(kept: &[Record<ShopFileForm>], files: &[(String, String, i64)]) -> bool {
    FILE_NAMES
        .iter()
        .filter(|name| **name != "suppliers.toml")
        .any(|name| !kept.iter().any(|file| file.id == *name) && !files.iter().any(|(known, _, _)| known == name))
}

fn hash_of_files(files: &[(String, String)]) -> String {
    let mut all = Vec::new();
    for (name, text) in files {
        all.extend_from_slice(format!("{name}\n{}\n", text.len()).as_bytes());
        all.extend_from_slice(text.as_bytes());
    }
    hash_of(&all)
}
