//! An order once more, exactly as it was made, and what has changed since.

use super::orders::ORDER_FILE;
use super::plans::money;
use super::{Deed, DeedError, Kept};
use crate::codes;
use jiff::civil::DateTime;
use plan::Order;
use report::{Code, Finding, Severity};
use store::Stamp;
use store::form::{Goods, MadeLine, MadePrint, OrderForm, PlanFacts, Repeats, Standing};
use trade::{Colours, Shop};

/// One thing that is not as it was: a finding in its sentences.
pub type Changed = Finding;

impl Kept {
    /// Takes an order once more: the same art to the byte, the same sizes, positions and
    /// colours, each print in the transfer and film it was made in. Answers with the new
    /// order's name and with what has changed since in the shop; price and lot are told
    /// by [`Kept::changes_since`] once it is planned and its goods have arrived.
    pub fn reorder(&self, id: &str, due: DateTime, hand: &Stamp) -> Deed<(String, Vec<Changed>)> {
        let record = self.order_record(id)?;
        let plan = self.plan_record(id)?;
        let facts = plan.iter().flat_map(|plan| &plan.body.facts).find(|facts| facts.order == id).cloned();
        let mut order = plan::form::read_order(ORDER_FILE, &record.body.text).map_err(DeedError::Faults)?;
        order.due = due;
        if let Some(facts) = &facts {
            pin(&mut order, facts);
        }
        let lots = match &record.body.standing.goods {
            Goods::Arrived { lots, .. } => lots.clone(),
            _ => Default::default(),
        };
        let form = OrderForm {
            text: plan::form::write_order(&order),
            art: record.body.art.clone(),
            standing: Standing::default(),
            repeats: Some(Repeats { order: id.to_owned(), version: record.version, facts, lots }),
            assumed: Vec::new(),
        };
        plan::form::read_order(ORDER_FILE, &form.text).map_err(DeedError::Faults)?;
        let new = self.put_new(&form, &format!("order {id} once more"), hand)?;
        let changed = self.changes_since(&new)?;
        Ok((new, changed))
    }

    /// What is not as it was when the order that this one repeats was made; empty for a first order.
    pub fn changes_since(&self, id: &str) -> Deed<Vec<Changed>> {
        let form = self.order_record(id)?.body;
        let Some(repeats) = &form.repeats else { return Ok(Vec::new()) };
        let Some(then) = &repeats.facts else {
            return Ok(vec![
                changed(codes::THEN_UNPLANNED, codes::LOOK_AGAIN_REMEDY).named("order", repeats.order.clone()),
            ]);
        };
        let read = self.shop()?;
        let mut all = Vec::new();
        for line in &then.lines {
            since(&read.value, line, &mut all);
        }
        let plan = self.plan_record(id)?;
        let now = plan.iter().flat_map(|plan| &plan.body.facts).find(|facts| facts.order == id);
        if let Some(now) = now {
            prices(then, now, &mut all);
        }
        if let Goods::Arrived { lots, .. } = &form.standing.goods {
            for (transfer, lot) in &repeats.lots {
                let is = lots.get(transfer).map_or("–", String::as_str);
                if is != lot {
                    all.push(
                        changed(codes::LOT_CHANGED, codes::TEST_PIECE_REMEDY)
                            .named("transfer", transfer.clone())
                            .named("before", lot.clone())
                            .named("after", is),
                    );
                }
            }
        }
        all.dedup();
        Ok(all)
    }
}

/// Each print as it was made: its transfer, and its film where it came in colours.
fn pin(order: &mut Order, facts: &PlanFacts) {
    // Lines made larger or smaller by bands of sizes were planned as several; each is found by its garment and art.
    for line in &mut order.lines {
        let same = |made: &&MadeLine| {
            made.colour.eq_ignore_ascii_case(&line.colour)
                && made.garment.eq_ignore_ascii_case(&line.garment)
                && made.prints.len() == line.prints.len()
        };
        let Some(made) = facts.lines.iter().find(same) else { continue };
        for (print, made) in line.prints.iter_mut().zip(&made.prints).filter(|(print, made)| print.art == made.art) {
            print.transfer.clone_from(&made.transfer);
            if !made.films.is_empty() {
                print.colours.clone_from(&made.films);
            }
        }
    }
}

/// What of a line is no longer in the shop as it was.
fn since(shop: &Shop, line: &MadeLine, all: &mut Vec<Changed>) {
    match shop.find_garment(&line.garment).map(|id| shop.garment(id)) {
        None => all.push(gone("garment", &line.garment)),
        Some(style) => match style.colour(&line.colour) {
            None => all.push(gone("colour", &format!("{}, {}", line.garment, line.colour))),
            Some(colour) => {
                let cloth = &shop.cloth(colour.cloth).id;
                if line.cloth.as_ref().is_some_and(|then| then != cloth) {
                    all.push(
                        changed(codes::CLOTH_CHANGED, codes::TEST_PIECE_REMEDY)
                            .named("garment", style.name.clone())
                            .named("before", line.cloth.clone().unwrap_or_default())
                            .named("after", cloth.clone()),
                    );
                }
            }
        },
    }
    for print in &line.prints {
        print_since(shop, print, all);
    }
}

fn print_since(shop: &Shop, print: &MadePrint, all: &mut Vec<Changed>) {
    let Some(name) = &print.transfer else { return };
    let Some(transfer) = shop.find_transfer(name).map(|id| shop.transfer(id)) else {
        all.push(gone("transfer", name));
        return;
    };
    if let Colours::Film(colours) = &transfer.colours {
        for film in print.films.iter().filter(|film| !colours.iter().any(|colour| colour.name == **film)) {
            all.push(gone("film", &format!("{}, {film}", transfer.name)));
        }
    }
    if let Some(recipe) = &print.recipe
        && !transfer.recipes.iter().any(|known| known.source == *recipe)
    {
        all.push(
            changed(codes::RECIPE_CHANGED, codes::TEST_PIECE_REMEDY)
                .named("transfer", transfer.name.clone())
                .named("before", recipe.clone()),
        );
    }
}

fn prices(then: &PlanFacts, now: &PlanFacts, all: &mut Vec<Changed>) {
    if (then.net, &then.currency) != (now.net, &now.currency) {
        all.push(
            changed(codes::PRICE_SINCE, codes::LOOK_AGAIN_REMEDY)
                .with("before", money(then, then.net))
                .with("after", money(now, now.net)),
        );
    }
    let prints = |facts: &PlanFacts| -> Vec<MadePrint> {
        facts.lines.iter().flat_map(|line| line.prints.iter().cloned()).collect()
    };
    for (was, is) in prints(then).iter().zip(&prints(now)) {
        let size = |print: &MadePrint| print.width_mm.zip(print.height_mm);
        let same_size = size(was).zip(size(is)).is_none_or(|(a, b)| (a.0 - b.0).abs() + (a.1 - b.1).abs() < 0.01);
        if was.transfer != is.transfer || was.films != is.films || was.sha256 != is.sha256 || !same_size {
            all.push(changed(codes::PRINT_SINCE, codes::LOOK_AGAIN_REMEDY).named("art", is.art.clone()));
        }
    }
}

fn gone(what: &'static str, name: &str) -> Changed {
    changed(codes::GONE, codes::GONE_REMEDY).named("what", what).named("name", name)
}

fn changed(code: Code, remedy: Code) -> Changed {
    Finding::new(Severity::Warning, code, remedy)
}
