//! What changed between two plans, for a person who changed something.

use crate::codes;
use crate::result::Plan;
use report::{Origin, Reason, Value};
use trade::Shop;

/// What differs from `before` to `after`, the money first.
pub fn difference(shop: &Shop, before: &Plan, after: &Plan) -> Vec<Reason> {
    let mut all = Vec::new();
    for (old, new) in before.orders.iter().zip(&after.orders) {
        if old.price.net.value != new.price.net.value {
            all.push(change(
                codes::CHANGED_PRICE,
                Value::Money(old.price.net.value),
                Value::Money(new.price.net.value),
            ));
        }
        for (old_line, new_line) in old.lines.iter().zip(&new.lines) {
            if old_line.state != new_line.state {
                all.push(
                    Reason::new(codes::CHANGED_STATE)
                        .from("garment", Value::Text(new_line.garment_name.clone()), Origin::Person)
                        .from("before", Value::Term(codes::line_state(old_line.state)), Origin::Model)
                        .from("after", Value::Term(codes::line_state(new_line.state)), Origin::Model),
                );
            }
            for (old_print, new_print) in old_line.prints.iter().zip(&new_line.prints) {
                let name = |choice: &crate::Choice| {
                    choice.taken().map_or("–".to_owned(), |taken| shop.transfer(taken.transfer).name.clone())
                };
                let (was, is) = (name(&old_print.choice), name(&new_print.choice));
                if was != is {
                    all.push(change(codes::CHANGED_TRANSFER, Value::Text(was), Value::Text(is)).from(
                        "print",
                        Value::Text(new_print.art.clone()),
                        Origin::Person,
                    ));
                }
            }
        }
        if let (Some(old_finish), Some(new_finish)) = (&old.dates.finish, &new.dates.finish)
            && old_finish.value != new_finish.value
        {
            all.push(change(codes::CHANGED_FINISH, Value::Moment(old_finish.value), Value::Moment(new_finish.value)));
        }
    }
    let (was, is) = (sheets(before), sheets(after));
    if was != is {
        all.push(change(codes::CHANGED_SHEETS, Value::Count(was), Value::Count(is)));
    }
    all
}

fn sheets(plan: &Plan) -> i64 {
    plan.pools
        .iter()
        .map(|pool| i64::try_from(pool.layout.sheets.len()).unwrap_or(i64::MAX))
        .fold(0, i64::saturating_add)
}

fn change(rule: report::Code, before: Value, after: Value) -> Reason {
    Reason::new(rule).from("before", before, Origin::Model).from("after", after, Origin::Model)
}
