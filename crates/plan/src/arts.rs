//! Art that orders name, as read.

use art::CleanArt;
use report::{Finding, Outcome};
use std::collections::BTreeMap;

/// Every art file of the orders, read once for each way it is wanted: as it is,
/// or with the box behind it removed. A file that could not be read is kept as
/// its finding.
#[derive(Debug, Clone, Default)]
pub struct Arts {
    read: BTreeMap<(String, bool), Result<Outcome<CleanArt>, Finding>>,
}

impl Arts {
    /// Nothing read yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file, by its name in the order.
    pub fn insert(&mut self, name: &str, background_removed: bool, read: Result<Outcome<CleanArt>, Finding>) {
        self.read.insert((name.to_owned(), background_removed), read);
    }

    /// The file of that name; `None` when it was not among the order's files.
    pub fn get(&self, name: &str, background_removed: bool) -> Option<&Result<Outcome<CleanArt>, Finding>> {
        self.read.get(&(name.to_owned(), background_removed))
    }

    /// Every file name, with whether the box behind it is to be removed, that orders ask for; each once.
    pub fn wanted(orders: &[crate::Order]) -> Vec<(String, bool)> {
        let prints = orders.iter().flat_map(|order| &order.lines).flat_map(|line| &line.prints);
        let mut wanted: Vec<(String, bool)> = prints.map(|p| (p.art.clone(), p.remove_background)).collect();
        wanted.sort();
        wanted.dedup();
        wanted
    }
}
