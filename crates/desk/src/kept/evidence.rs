//! What was seen of transfers on cloths, and what follows for later choices.

use super::{Deed, Kept, names};
use crate::codes;
use report::{Finding, Severity};
use std::collections::BTreeMap;
use store::form::{EvidenceForm, Goods, PlanFacts, PressCount, Seen};
use store::{Record, Stamp, Write};
use trade::{ClothId, Evidence, Shop, TransferId};

impl Kept {
    /// Records what was seen; answers with the record's name.
    ///
    /// Refuses a transfer, cloth or press that the shop does not have, and a day that is none.
    pub fn record(&self, form: &EvidenceForm, hand: &Stamp) -> Deed<String> {
        self.check_evidence(form)?;
        let form = self.with_recipe(form)?;
        let id = self.store().number("evidence")?.to_string();
        self.store().change(hand, &[], &[Write::of(&id, 0, &form, "seen")?])?;
        Ok(id)
    }

    /// With the recipe it must have been pressed by, where the transfer has only one.
    fn with_recipe(&self, form: &EvidenceForm) -> Deed<EvidenceForm> {
        let mut form = form.clone();
        let read = self.shop()?;
        if let Some(id) = read.value.find_transfer(&form.transfer)
            && let [only] = read.value.transfer(id).recipes.as_slice()
            && form.recipe.is_empty()
        {
            form.recipe.clone_from(&only.source);
        }
        Ok(form)
    }

    fn check_evidence(&self, form: &EvidenceForm) -> Deed<()> {
        let read = self.shop()?;
        let shop = &read.value;
        if form.day.parse::<jiff::civil::Date>().is_err() {
            return Err(names::no_day(&form.day).into());
        }
        if let Seen::Platen { press, set_c, read_c } = &form.seen {
            // A reading is of the press; transfer and cloth may be left empty.
            if shop.find_press(press).is_none() {
                return Err(names::unknown("press", press, shop.presses().map(|(_, press)| press.id.as_str())).into());
            }
            if ![set_c, read_c].iter().all(|c| (0.0..=300.0).contains(*c)) {
                return Err(Finding::new(
                    Severity::StopsLine,
                    codes::TEMPERATURE_RANGE,
                    codes::TEMPERATURE_RANGE_REMEDY,
                )
                .named("name", format!("{set_c} °C, {read_c} °C"))
                .into());
            }
            return Ok(());
        }
        let Some(transfer) = shop.find_transfer(&form.transfer) else {
            let known = shop.transfers().map(|(_, transfer)| transfer.id.as_str());
            return Err(names::unknown("transfer", &form.transfer, known).into());
        };
        let recipes = &shop.transfer(transfer).recipes;
        if !form.recipe.is_empty() && !recipes.iter().any(|recipe| recipe.source == form.recipe) {
            let known = recipes.iter().map(|recipe| recipe.source.as_str());
            return Err(names::unknown("recipe", &form.recipe, known).into());
        }
        if shop.find_cloth(&form.cloth).is_none() {
            return Err(names::unknown("cloth", &form.cloth, shop.cloths().map(|(_, cloth)| cloth.id.as_str())).into());
        }
        Ok(())
    }

    /// Everything seen, by number.
    pub fn evidence(&self) -> Deed<Vec<Record<EvidenceForm>>> {
        let mut all = self.store().all::<EvidenceForm>()?;
        all.sort_by_key(|record| record.id.parse::<u64>().unwrap_or(u64::MAX));
        Ok(all)
    }

    /// Everything seen of a transfer on a cloth, by number.
    pub fn evidence_for(&self, transfer: &str, cloth: &str) -> Deed<Vec<Record<EvidenceForm>>> {
        let mut all = self.evidence()?;
        all.retain(|record| record.body.transfer == transfer && record.body.cloth == cloth);
        Ok(all)
    }
}

/// What the planner is told: sums for each transfer on each cloth, as far as the
/// shop still has them and the recipe is still the one it was pressed by.
pub(super) fn sums(shop: &Shop, all: &[Record<EvidenceForm>]) -> Vec<Evidence> {
    let mut sums: BTreeMap<(TransferId, ClothId), Evidence> = BTreeMap::new();
    for record in all {
        let form = &record.body;
        let ids = shop.find_transfer(&form.transfer).zip(shop.find_cloth(&form.cloth));
        let Some((transfer, cloth)) = ids else { continue };
        let known =
            form.recipe.is_empty() || shop.transfer(transfer).recipes.iter().any(|recipe| recipe.source == form.recipe);
        if known {
            let sum = sums.entry((transfer, cloth)).or_insert_with(|| Evidence::none(transfer, cloth));
            add(sum, &form.seen);
        }
    }
    sums.into_values().collect()
}

fn add(sum: &mut Evidence, seen: &Seen) {
    match seen {
        Seen::TestPiece { held: true } => sum.tests_held = sum.tests_held.saturating_add(1),
        Seen::TestPiece { held: false } => sum.tests_failed = sum.tests_failed.saturating_add(1),
        Seen::Pressed { pieces } => {
            sum.orders = sum.orders.saturating_add(1);
            sum.pieces = sum.pieces.saturating_add(*pieces);
        }
        Seen::Washed { washes, held: true } => sum.washes_held = sum.washes_held.max(*washes),
        Seen::Washed { washes, held: false } => {
            sum.washes_failed = Some(sum.washes_failed.map_or(*washes, |known| known.min(*washes)));
        }
        Seen::Returned { pieces, .. } => sum.returned = sum.returned.saturating_add(*pieces),
        Seen::Spoiled { pieces, .. } => sum.spoiled = sum.spoiled.saturating_add(*pieces),
        Seen::Platen { .. } => {}
    }
}

/// What pressing an order has shown: good pieces and spoiled ones of each print.
pub(super) fn of_pressing(
    order: &str,
    counts: &[PressCount],
    facts: Option<&PlanFacts>,
    goods: &Goods,
    hand: &Stamp,
) -> Vec<EvidenceForm> {
    let Some(facts) = facts else { return Vec::new() };
    let lots = match goods {
        Goods::Arrived { lots, .. } => Some(lots),
        _ => None,
    };
    let mut all = Vec::new();
    for count in counts {
        let Some(line) = facts.lines.get(count.line) else { continue };
        let Some(print) = line.prints.get(count.print) else { continue };
        let (Some(transfer), Some(cloth)) = (&print.transfer, &line.cloth) else { continue };
        let form = |seen| EvidenceForm {
            day: day_of(hand),
            transfer: transfer.clone(),
            cloth: cloth.clone(),
            recipe: print.recipe.clone().unwrap_or_default(),
            order: Some(order.to_owned()),
            lot: lots.and_then(|lots| lots.get(transfer)).cloned(),
            seen,
            note: String::new(),
        };
        if count.good > 0 {
            all.push(form(Seen::Pressed { pieces: count.good }));
        }
        all.extend(count.spoiled.iter().map(|one| form(Seen::Spoiled { pieces: one.pieces, why: one.why.clone() })));
    }
    all
}

/// The day of a hand's work by this machine's calendar.
pub(super) fn day_of(hand: &Stamp) -> String {
    let at = jiff::Timestamp::from_millisecond(hand.at_ms).unwrap_or_default();
    at.to_zoned_datetime(jiff::tz::TimeZone::system()).date().to_string()
}
