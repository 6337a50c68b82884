//! Orders: their text, their art, their decisions.

use super::listing::{OrderView, listed};
use super::{Deed, DeedError, Kept};
use crate::codes;
use plan::{Decision, Order};
use report::{Finding, Severity};
use std::collections::BTreeMap;
use store::form::{Assumed, FileRef, OrderForm, SignOff, Standing};
use store::{Blob, Listed, Record, Sieve, Stamp, StoreError, Write, hash_of};
use trade::form::FormFault;

/// Most art files of one order.
const MOST_ART: usize = 200;
/// Longest name of an art file, characters.
const LONGEST_NAME: usize = 200;
/// The order's file by name, as faults call it.
pub(super) const ORDER_FILE: &str = "order.toml";

/// An order as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptOrder {
    /// Its name, a number.
    pub id: String,
    /// How often it was changed.
    pub version: i64,
    /// When and by whom it was changed last.
    pub stamp: Stamp,
    /// As it is kept.
    pub form: OrderForm,
    /// Its text as read, or the faults of it.
    pub order: Result<Order, Vec<FormFault>>,
    /// As lists show it.
    pub listed: Listed,
}

/// Art of a kept order, fetched as it is read.
#[derive(Debug, Clone)]
pub struct KeptArt {
    kept: Kept,
    files: BTreeMap<String, FileRef>,
}

impl KeptArt {
    /// The bytes of a file; `None` when the order has none of that name.
    pub(crate) fn bytes(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        self.files.get(name).map(|file| self.kept.store().bytes(&file.sha256)).transpose()
    }
}

impl Kept {
    /// Takes a new order with its art, by the names its text calls it; answers with its name.
    ///
    /// Refuses a text that does not read, and art by a name that leads elsewhere
    /// or of more bytes than are read.
    pub fn new_order(&self, text: &str, art: Vec<(String, Vec<u8>)>, hand: &Stamp) -> Deed<String> {
        self.new_order_typed(text, art, Vec::new(), hand)
    }

    /// As [`Kept::new_order`], with what was taken for granted when it was typed.
    pub fn new_order_typed(
        &self,
        text: &str,
        art: Vec<(String, Vec<u8>)>,
        assumed: Vec<Assumed>,
        hand: &Stamp,
    ) -> Deed<String> {
        let mut form = self.fresh_form(text, art)?;
        form.assumed = assumed;
        self.put_new(&form, "order taken", hand)
    }

    /// A new form with its art kept already.
    fn fresh_form(&self, text: &str, art: Vec<(String, Vec<u8>)>) -> Deed<OrderForm> {
        plan::form::read_order(ORDER_FILE, text).map_err(DeedError::Faults)?;
        let mut form = OrderForm {
            text: text.to_owned(),
            art: BTreeMap::new(),
            standing: Standing::default(),
            repeats: None,
            assumed: Vec::new(),
        };
        for (name, bytes) in art {
            check_art(&form, &name, &bytes)?;
            form.art.insert(name, self.keep_bytes(bytes)?);
        }
        Ok(form)
    }

    pub(super) fn keep_bytes(&self, bytes: Vec<u8>) -> Deed<FileRef> {
        let size = bytes.len() as u64;
        let blob = Blob::new(bytes);
        let file = FileRef { sha256: blob.hash.clone(), bytes: size };
        self.store().keep(&[blob])?;
        Ok(file)
    }

    /// Keeps a new order under the next number.
    pub(super) fn put_new(&self, form: &OrderForm, what: &str, hand: &Stamp) -> Deed<String> {
        let id = self.store().number("order")?.to_string();
        let view = OrderView::of(&id, form, None);
        let write = Write::of(&id, 0, form, what)?.listed(listed(&view));
        self.store().change(hand, &[], &[write])?;
        Ok(id)
    }

    /// An order by its name.
    pub fn order(&self, id: &str) -> Deed<KeptOrder> {
        let record = self.order_record(id)?;
        let plan = self.plan_record(id)?;
        let order = plan::form::read_order(ORDER_FILE, &record.body.text);
        let view = OrderView::of(id, &record.body, plan.as_ref().map(|plan| &plan.body));
        let listed = listed(&view);
        Ok(KeptOrder { id: record.id, version: record.version, stamp: record.stamp, form: record.body, order, listed })
    }

    pub(super) fn order_record(&self, id: &str) -> Deed<Record<OrderForm>> {
        self.store().get::<OrderForm>(id)?.ok_or_else(|| DeedError::Missing { what: format!("order {id}") })
    }

    /// Orders that pass the sieve: open ones first, by due date, then by number.
    /// A sieve without a moment means now.
    pub fn list(&self, sieve: &Sieve) -> Deed<Vec<Listed>> {
        let mut sieve = sieve.clone();
        if sieve.now.is_empty() {
            sieve.now = self.now();
        }
        Ok(self.store().list(&sieve)?)
    }

    /// How many open orders wait for what now, by the stage's word.
    pub fn stages(&self) -> Deed<Vec<(String, i64)>> {
        Ok(self.store().stages(&self.now())?)
    }

    /// Replaces the text of an order.
    pub fn change_order(&self, id: &str, on: i64, text: &str, what: &str, hand: &Stamp) -> Deed<i64> {
        plan::form::read_order(ORDER_FILE, text).map_err(DeedError::Faults)?;
        self.change_form(id, on, what, hand, |form| {
            text.clone_into(&mut form.text);
            Ok(())
        })
    }

    /// Changes the order as read, and writes its text anew; refuses what the
    /// file could not hold.
    pub fn edit_order(
        &self,
        id: &str,
        on: i64,
        what: &str,
        hand: &Stamp,
        change: impl FnOnce(&mut Order) -> Result<(), Finding>,
    ) -> Deed<i64> {
        self.change_form(id, on, what, hand, |form| {
            let mut order = plan::form::read_order(ORDER_FILE, &form.text).map_err(DeedError::Faults)?;
            change(&mut order)?;
            let text = plan::form::write_order(&order);
            plan::form::read_order(ORDER_FILE, &text).map_err(DeedError::Faults)?;
            form.text = text;
            Ok(())
        })
    }

    /// Adds an art file to an order, in place of one of the same name.
    pub fn add_art(&self, id: &str, on: i64, name: &str, bytes: Vec<u8>, hand: &Stamp) -> Deed<i64> {
        let record = self.order_record(id)?;
        check_art(&record.body, name, &bytes)?;
        let file = self.keep_bytes(bytes)?;
        self.change_form(id, on, "art added", hand, |form| {
            form.art.insert(name.to_owned(), file);
            Ok(())
        })
    }

    /// Takes an art file out of an order; its bytes stay in the history.
    pub fn remove_art(&self, id: &str, on: i64, name: &str, hand: &Stamp) -> Deed<i64> {
        self.change_form(id, on, "art removed", hand, |form| match form.art.remove(name) {
            Some(_) => Ok(()),
            None => Err(DeedError::Missing { what: format!("art {name} of order {id}") }),
        })
    }

    /// The bytes of an order's art.
    pub fn art_bytes(&self, id: &str, name: &str) -> Deed<Vec<u8>> {
        let record = self.order_record(id)?;
        let file = record.body.art.get(name);
        let file = file.ok_or_else(|| DeedError::Missing { what: format!("art {name} of order {id}") })?;
        Ok(self.store().bytes(&file.sha256)?)
    }

    /// Art for reading, by the names orders call it.
    pub(super) fn art_of(&self, files: BTreeMap<String, FileRef>) -> KeptArt {
        KeptArt { kept: self.clone(), files }
    }

    /// Adds a person's decision, in place of an earlier one on the same question.
    pub fn decide(&self, id: &str, on: i64, decision: Decision, hand: &Stamp) -> Deed<i64> {
        self.edit_order(id, on, "decided", hand, |order| {
            order.decisions.retain(|known| !same_question(known, &decision));
            order.decisions.push(decision);
            Ok(())
        })
    }

    /// Takes a person's decision back.
    pub fn undecide(&self, id: &str, on: i64, decision: &Decision, hand: &Stamp) -> Deed<i64> {
        self.edit_order(id, on, "decision taken back", hand, |order| {
            order.decisions.retain(|known| !same_question(known, decision));
            Ok(())
        })
    }

    /// Changes a form on the version seen. What the customer signed is no longer
    /// signed when the order itself is another afterwards: then it is planned and
    /// priced anew, and they are asked again.
    pub(super) fn change_form(
        &self,
        id: &str,
        on: i64,
        what: &str,
        hand: &Stamp,
        change: impl FnOnce(&mut OrderForm) -> Deed<()>,
    ) -> Deed<i64> {
        let record = self.order_record(id)?;
        if record.version != on {
            let what = format!("order {id}");
            return Err(DeedError::Conflict { what, seen: on, now: record.version, by: record.stamp.by });
        }
        let mut form = record.body;
        let before = content_of(&form);
        change(&mut form)?;
        let reopened = content_of(&form) != before && form.standing.sign_off != SignOff::Open;
        if reopened {
            form.standing.sign_off = SignOff::Open;
        }
        let write = self.order_write(id, on, &form, what)?;
        let versions = self.store().change(hand, &[], &[write])?;
        if reopened {
            self.price_again(id, hand)?;
        }
        Ok(versions.first().copied().unwrap_or_default())
    }

    /// The write of an order with what lists show of it.
    pub(super) fn order_write(&self, id: &str, on: i64, form: &OrderForm, what: &str) -> Deed<Write> {
        let plan = self.plan_record(id)?;
        let view = OrderView::of(id, form, plan.as_ref().map(|plan| &plan.body));
        Ok(Write::of(id, on, form, what)?.listed(listed(&view)))
    }
}

fn same_question(one: &Decision, other: &Decision) -> bool {
    match (one, other) {
        (Decision::Answered { line, question, .. }, Decision::Answered { line: of, question: asked, .. }) => {
            line == of && question == asked
        }
        _ => one == other,
    }
}

/// The hash over all that a plan of the order depends on: its text and its art.
pub(super) fn content_of(form: &OrderForm) -> String {
    let mut all = format!("{}\n{}", form.text.len(), form.text);
    for (name, file) in &form.art {
        all.push_str(&format!("\n{}:{name} {}", name.len(), file.sha256));
    }
    hash_of(all.as_bytes())
}

/// Art that an order may hold: within its own folder, and no larger than is read.
pub(super) fn check_art(form: &OrderForm, name: &str, bytes: &[u8]) -> Result<(), Finding> {
    let climbs = name.split('/').any(|part| part.is_empty() || part == "." || part == "..");
    let strange = name.contains(['\\', ':']) || name.chars().any(char::is_control);
    if climbs || strange || name.trim() != name || name.chars().count() > LONGEST_NAME || name == ORDER_FILE {
        return Err(Finding::new(Severity::StopsLine, codes::ART_NAME, codes::ART_NAME_REMEDY).named("file", name));
    }
    let most = art::Caps::default().bytes;
    if bytes.len() as u64 > most {
        let megabytes = i64::try_from(most / 1_000_000).unwrap_or(i64::MAX);
        return Err(Finding::new(Severity::StopsLine, codes::ART_LARGE, codes::READER_SMALLER_REMEDY)
            .named("file", name)
            .with("limit-mb", report::Value::Count(megabytes)));
    }
    if form.art.len() >= MOST_ART && !form.art.contains_key(name) {
        let most = i64::try_from(MOST_ART).unwrap_or(i64::MAX);
        return Err(Finding::new(Severity::StopsLine, codes::ART_MANY, codes::ART_MANY_REMEDY)
            .with("limit", report::Value::Count(most)));
    }
    Ok(())
}
