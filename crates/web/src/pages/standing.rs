//! What happens between shop and customer, noted on the order.

use crate::answer::{Answer, Fault, on_to};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::pages::edit::back;
use crate::pages::order::{Aside, shown};
use desk::kept::{Deed, DeedError, Told};
use std::collections::BTreeMap;
use store::form::Goods;
use units::read_money;

/// Notes a deed; warnings of it are shown on the order.
pub(crate) fn note(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    match noted(ctx, ask)? {
        Ok(told) if told.warnings.is_empty() => Ok(on_to(&format!("/orders/{id}"))),
        Ok(told) => {
            let said = |finding: &report::Finding| {
                let said = ctx.w.finding(finding);
                format!("{}: {} {}", said.severity, said.what, said.remedy)
            };
            let told = told.warnings.iter().map(said).collect();
            shown(ctx, id, false, Aside { told, ..Aside::default() })
        }
        Err(error) => back(ctx, id, &error, None),
    }
}

fn noted(ctx: &Ctx<'_>, ask: &Ask) -> Result<Deed<Told>, Fault> {
    let (id, on, hand, kept) = (ask.part(0), ask.version(), ctx.hand(), ctx.kept());
    let text = ask.fields.get("text");
    let amount = || -> Deed<i64> {
        let typed = ask.fields.get("amount");
        if typed.is_empty() {
            // What the plan asks for.
            let plan = kept.plan_of(id)?;
            let facts = plan.iter().flat_map(|plan| &plan.form.facts).find(|facts| facts.order == id);
            let asked =
                facts.map(|facts| if ask.fields.get("deed") == "deposit" { facts.deposit } else { facts.gross });
            return Ok(asked.unwrap_or(0));
        }
        let currency = kept.shop()?.value.currency;
        let read = read_money(&typed.replace(',', "."), currency).map(|money| money.minor());
        read.map_err(|_| DeedError::Refused(crate::pages::edit::refused("web.no-amount", "web.no-amount-remedy")))
    };
    Ok(match ask.fields.get("deed") {
        "quote-sent" => kept.quote_sent(id, on, &hand),
        "signed" => kept.sign_off(id, on, text, &hand),
        "wish" => match text.split_once(':') {
            Some((by, wish)) => kept.wish_change(id, on, by, wish, &hand),
            None => kept.wish_change(id, on, &kept.order(id)?.listed.customer, text, &hand),
        },
        "deposit" => amount().and_then(|amount| kept.deposit(id, on, amount, &hand)),
        "deposit-waived" => kept.waive_deposit(id, on, &hand),
        "ordered" => kept.ordered(id, on, &hand),
        "arrived" => {
            let order = kept.order(id)?;
            let all = u32::try_from(order.listed.pieces).unwrap_or(0);
            // Bought and brought alike are counted; a note says what is missing.
            let already = matches!(order.form.standing.goods, Goods::Arrived { .. });
            let note = if already && text.is_empty() { "counted again" } else { text };
            kept.arrived(id, on, all, note, BTreeMap::new(), &hand)
        }
        "pressed" => kept.pressed(id, on, &hand),
        "handed-over" => {
            let to = if text.is_empty() { kept.order(id)?.listed.customer } else { text.to_owned() };
            kept.handed_over(id, on, &to, &hand)
        }
        "paid" => amount().and_then(|amount| kept.paid(id, on, amount, &hand)),
        "drop" => kept.drop_order(id, on, text, &hand),
        _ => return Err(Fault::Strange),
    })
}
