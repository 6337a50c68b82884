//! Looking after what is kept: backup while others work, restoring, looking for damage.

use super::listing::{OrderView, listed};
use super::{Deed, Kept};
use crate::codes;
use crate::refusal::Refusal;
use report::{Finding, Severity, Value};
use std::path::{Path, PathBuf};
use store::form::OrderForm;
use store::{Fault, Place, Sieve, Store, StoreError};

impl Kept {
    /// Copies the whole shop as it is at one moment into one file, while others go on working.
    ///
    /// The file appears under its name only when it is complete and was read back
    /// without a fault. Refuses a name that is taken.
    pub fn backup(&self, to: &Path) -> Deed<()> {
        if to.exists() {
            return Err(StoreError::Occupied { place: to.display().to_string() }.into());
        }
        let part = beside(to, ".part");
        // Left by a backup that was ended half-way; it is of no use to anybody.
        remove_database(&part);
        let done = self.store().copy_to(&Place::File(part.clone())).map_err(Into::into).and_then(|()| whole(&part));
        let done = done.and_then(|()| std::fs::rename(&part, to).map_err(|error| unwritable(to, &error).into()));
        if done.is_err() {
            remove_database(&part);
        }
        done
    }

    /// Makes a shop of a backup in a new place; nothing may be kept there.
    pub fn restore(from: &Path, to: &Place) -> Deed<Self> {
        let backup = Store::open(&Place::File(from.to_owned()))?;
        faultless(&backup, from)?;
        backup.copy_to(to)?;
        let kept = Self::open(to)?;
        kept.relist()?;
        Ok(kept)
    }

    /// Reads everything that is kept and answers with all faults; none is found in a shop that is whole.
    pub fn check(&self) -> Deed<Vec<Fault>> {
        let mut faults = self.store().check()?;
        if faults.is_empty() {
            faults.extend(self.check_lists()?);
        }
        Ok(faults)
    }

    /// Whether lists show what follows from orders and plans.
    fn check_lists(&self) -> Deed<Vec<Fault>> {
        let shown = self.store().list(&Sieve { most: i64::MAX, ..Sieve::default() })?;
        let mut faults = Vec::new();
        for record in self.store().all::<OrderForm>()? {
            let plan = self.plan_record(&record.id)?;
            let wanted = listed(&OrderView::of(&record.id, &record.body, plan.as_ref().map(|plan| &plan.body)));
            if shown.iter().find(|order| order.id == record.id) != Some(&wanted) {
                let place = format!("order {}", record.id);
                faults.push(Fault { place, what: "the list of orders shows something else".to_owned() });
            }
        }
        Ok(faults)
    }

    /// Makes the list of orders anew from orders and plans.
    pub(super) fn relist(&self) -> Deed<()> {
        let mut all = Vec::new();
        for record in self.store().all::<OrderForm>()? {
            let plan = self.plan_record(&record.id)?;
            all.push(listed(&OrderView::of(&record.id, &record.body, plan.as_ref().map(|plan| &plan.body))));
        }
        Ok(self.store().relist(&all)?)
    }
}

/// Reads a finished copy back.
fn whole(path: &Path) -> Deed<()> {
    faultless(&Store::open(&Place::File(path.to_owned()))?, path)
}

fn faultless(store: &Store, path: &Path) -> Deed<()> {
    let faults = store.check()?;
    let Some(first) = faults.first() else { return Ok(()) };
    Err(Finding::new(Severity::StopsLine, codes::COPY_DAMAGED, codes::COPY_DAMAGED_REMEDY)
        .named("file", path.display().to_string())
        .named("place", first.place.clone())
        .named("cause", first.what.clone())
        .with("count", Value::Count(i64::try_from(faults.len()).unwrap_or(i64::MAX)))
        .into())
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// Removes a database with what it may have beside it.
fn remove_database(path: &Path) {
    for ending in ["", "-wal", "-shm", "-journal"] {
        // Mostly there is none.
        let _ = std::fs::remove_file(beside(path, ending));
    }
}

pub(super) fn unwritable(path: &Path, error: &std::io::Error) -> Refusal {
    Refusal::Unwritable {
        path: path.display().to_string(),
        cause: error.to_string(),
        remedy: "check the disk's space and your rights there, or choose another place".to_owned(),
    }
}
