//! What was done to a record, and undoing it.
//!
//! An undo is a change of its own that puts back what was before; it names the
//! change it undoes. A redo names the undo. Which change an undo takes back
//! follows from the history alone, so that several people and machines agree.

use super::listing::{OrderView, listed};
use super::{Deed, DeedError, Kept};
use crate::codes;
use report::{Finding, Severity};
use store::form::OrderForm;
use store::{Change, Kind, Stamp, StoreError, Write};

impl Kept {
    /// What was ever done to a record, the oldest first.
    pub fn history(&self, kind: Kind, id: &str) -> Deed<Vec<Change>> {
        let all = self.store().history(kind, id)?;
        if all.is_empty() {
            return Err(DeedError::Missing { what: format!("{} {id}", kind.word()) });
        }
        Ok(all)
    }

    /// What the next undo of a record would take back, as the change called itself; `None` where nothing is left.
    pub fn undoable(&self, kind: Kind, id: &str) -> Deed<Option<String>> {
        let history = self.history(kind, id)?;
        // The first change made the record; taking that back would leave nothing to look at.
        Ok(Hands::of(&history).done.pop().filter(|last| last.version > 1).map(|last| last.what.clone()))
    }

    /// What the next redo of a record would do again; `None` where nothing was undone last.
    pub fn redoable(&self, kind: Kind, id: &str) -> Deed<Option<String>> {
        let history = self.history(kind, id)?;
        Ok(Hands::of(&history).undone.pop().map(|(change, _)| change.what.clone()))
    }

    /// As [`Kept::undo`], on the version that the person saw: a conflict when somebody changed it meanwhile.
    pub fn undo_seen(&self, kind: Kind, id: &str, on: i64, hand: &Stamp) -> Deed<i64> {
        self.seen(kind, id, on)?;
        if self.undoable(kind, id)?.is_none() {
            return Err(nothing(codes::NOTHING_TO_UNDO));
        }
        self.undo(kind, id, hand)
    }

    /// As [`Kept::redo`], on the version that the person saw.
    pub fn redo_seen(&self, kind: Kind, id: &str, on: i64, hand: &Stamp) -> Deed<i64> {
        self.seen(kind, id, on)?;
        self.redo(kind, id, hand)
    }

    /// Whether a record is still the one that the person saw. What comes between this look and
    /// the write is a conflict of the write itself, which names the version it read.
    fn seen(&self, kind: Kind, id: &str, on: i64) -> Deed<()> {
        match self.history(kind, id)?.last() {
            Some(last) if last.version != on => Err(DeedError::Conflict {
                what: format!("{} {id}", kind.word()),
                seen: on,
                now: last.version,
                by: last.stamp.by.clone(),
            }),
            _ => Ok(()),
        }
    }

    /// Undoes the last change of a record that is not undone; answers with the new version.
    pub fn undo(&self, kind: Kind, id: &str, hand: &Stamp) -> Deed<i64> {
        let history = self.history(kind, id)?;
        let Some(last) = Hands::of(&history).done.pop() else { return Err(nothing(codes::NOTHING_TO_UNDO)) };
        let before = history.iter().find(|change| change.version == last.version - 1);
        let body = before.and_then(|change| change.body.clone());
        self.put_back_body(&history, body, format!("undone: {}", last.what), last.seq, hand)
    }

    /// Does the change again that was undone last; answers with the new version.
    pub fn redo(&self, kind: Kind, id: &str, hand: &Stamp) -> Deed<i64> {
        let history = self.history(kind, id)?;
        let Some((change, undo)) = Hands::of(&history).undone.pop() else {
            return Err(nothing(codes::NOTHING_TO_REDO));
        };
        self.put_back_body(&history, change.body.clone(), format!("done again: {}", change.what), undo, hand)
    }

    fn put_back_body(
        &self,
        history: &[Change],
        body: Option<String>,
        what: String,
        undoes: i64,
        hand: &Stamp,
    ) -> Deed<i64> {
        let Some(last) = history.last() else { return Err(nothing(codes::NOTHING_TO_UNDO)) };
        let (kind, id) = (last.kind, last.id.as_str());
        let mut write = Write::removal(kind, id, last.version, &what);
        write.undoes = Some(undoes);
        if let Some(text) = &body {
            write.holds = store::form::hashes(kind.word(), text);
        }
        match (kind, &body) {
            (Kind::Order, Some(text)) => {
                let form: OrderForm =
                    serde_json::from_str(text).map_err(|error| StoreError::Damaged { cause: error.to_string() })?;
                let plan = self.plan_record(id)?;
                write.listed = Some(listed(&OrderView::of(id, &form, plan.as_ref().map(|plan| &plan.body))));
            }
            (Kind::Order | Kind::Evidence | Kind::Stock, _) => {}
            (Kind::ShopFile, Some(text)) => self.check_shop_body(id, text)?,
            _ => return Err(nothing(codes::NOT_UNDOABLE)),
        }
        write.body = body;
        let versions = self.store().change(hand, &[], &[write])?;
        Ok(versions.first().copied().unwrap_or_default())
    }
}

fn nothing(code: report::Code) -> DeedError {
    Finding::new(Severity::StopsLine, code, codes::NOTHING_TO_UNDO_REMEDY).into()
}

/// A history told as changes that hold and changes that were undone.
struct Hands<'a> {
    /// Changes that hold, the oldest first.
    done: Vec<&'a Change>,
    /// Changes that were undone, the latest undone last, each with the number of its undo.
    undone: Vec<(&'a Change, i64)>,
}

impl<'a> Hands<'a> {
    fn of(history: &'a [Change]) -> Self {
        let mut hands = Self { done: Vec::new(), undone: Vec::new() };
        for change in history {
            hands.take(change);
        }
        hands
    }

    fn take(&mut self, change: &'a Change) {
        let undoes = change.undoes;
        if let Some(last) = self.done.last().copied().filter(|last| undoes == Some(last.seq)) {
            self.done.pop();
            self.undone.push((last, change.seq));
        } else if let Some((again, _)) = self.undone.last().copied().filter(|(_, undo)| undoes == Some(*undo)) {
            self.undone.pop();
            self.done.push(again);
        } else {
            // Whatever is done anew, nothing before it can be done again.
            self.undone.clear();
            self.done.push(change);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Undo and redo against the plainest model there is: a list of states and a place in it.
    #[test]
    fn undoing_walks_through_all_states() {
        let mut history: Vec<Change> = Vec::new();
        let (mut states, mut at): (Vec<Option<String>>, usize) = (vec![None], 0);
        let mut seed = 7_u64;
        for step in 0..4000_i64 {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            let version = i64::try_from(history.len()).expect("small") + 1;
            let (body, undoes) = match (seed >> 33) % 3 {
                0 => {
                    states.truncate(at + 1);
                    states.push(Some(format!("state {step}")));
                    at += 1;
                    (states[at].clone(), None)
                }
                1 => {
                    let last = Hands::of(&history).done.pop();
                    assert_eq!(last.is_some(), at > 0, "step {step}");
                    let Some(last) = last else { continue };
                    at -= 1;
                    let before = history.iter().find(|change| change.version == last.version - 1);
                    (before.and_then(|change| change.body.clone()), Some(last.seq))
                }
                _ => {
                    let last = Hands::of(&history).undone.pop();
                    assert_eq!(last.is_some(), at + 1 < states.len(), "step {step}");
                    let Some((change, undo)) = last else { continue };
                    at += 1;
                    (change.body.clone(), Some(undo))
                }
            };
            assert_eq!(body, states[at], "step {step}");
            history.push(Change {
                // Other records change in between.
                seq: version * 3,
                kind: Kind::ShopFile,
                id: "x".to_owned(),
                version,
                stamp: Stamp { at_ms: 0, by: String::new() },
                what: String::new(),
                undoes,
                body,
            });
            if history.len() > 400 {
                history.clear();
                (states, at) = (vec![None], 0);
            }
        }
    }
}
