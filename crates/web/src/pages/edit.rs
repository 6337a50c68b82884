//! Changes to an order. Each is kept on the version the person saw, and a plan
//! is made anew behind it.

use crate::answer::{Answer, Fault, on_to};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::pages::new_order::art_name;
use crate::pages::order::{Aside, shown};
use art::SizeWish;
use desk::kept::{DeedError, PlanWish};
use plan::{Decision, Line, Order, Print, Way};
use report::{Finding, Severity};
use store::Kind;
use units::{Length, UnitSystem, read_length};

/// What a plan is made with.
pub(crate) fn wish(ctx: &Ctx<'_>, effort: Option<u64>) -> PlanWish {
    PlanWish { today: Some(ctx.app.today()), seed: 1, effort }
}

/// Plans anew, searching as long as before, and shows the order, which says what changed once the plan is there.
fn again(ctx: &Ctx<'_>, id: &str) -> Answer {
    let effort = ctx.kept().plan_of(id)?.and_then(|plan| plan.form.effort);
    ctx.kept().plan_anew(id, wish(ctx, effort), &ctx.hand())?;
    Ok(on_to(&format!("/orders/{id}?changed=1")))
}

/// A change of the order as it was read.
fn edit(ctx: &Ctx<'_>, ask: &Ask, what: &str, change: impl FnOnce(&mut Order) -> Result<(), Finding>) -> Answer {
    let id = ask.part(0);
    match ctx.kept().edit_order(id, ask.version(), what, &ctx.hand(), change) {
        Ok(_) => again(ctx, id),
        Err(error) => back(ctx, id, &error, None),
    }
}

/// The order as it is now, with why the change was not made, and what was typed.
pub(crate) fn back(ctx: &Ctx<'_>, id: &str, error: &DeedError, text: Option<String>) -> Answer {
    back_with(ctx, id, error, Aside { text, ..Aside::default() })
}

/// As [`back`], with whatever was typed.
pub(crate) fn back_with(ctx: &Ctx<'_>, id: &str, error: &DeedError, mut aside: Aside) -> Answer {
    if matches!(error, DeedError::Missing { .. }) {
        return Err(Fault::Missing);
    }
    aside.told.push(error.to_string());
    if matches!(error, DeedError::Conflict { .. }) {
        aside.told.insert(0, ctx.w.t("web.conflict"));
    }
    let mut response = shown(ctx, id, false, aside)?;
    *response.status_mut() = match error {
        DeedError::Conflict { .. } => axum::http::StatusCode::CONFLICT,
        _ => axum::http::StatusCode::UNPROCESSABLE_ENTITY,
    };
    Ok(response)
}

pub(crate) fn refused(code: &'static str, remedy: &'static str) -> Finding {
    Finding::new(Severity::StopsLine, report::Code(code), report::Code(remedy))
}

fn line_of<'a>(order: &'a mut Order, ask: &Ask) -> Result<&'a mut Line, Finding> {
    let at = ask.fields.number("line").and_then(|line| usize::try_from(line).ok()).and_then(|line| line.checked_sub(1));
    let missing = || refused("web.no-line", "web.no-line-remedy");
    at.and_then(|at| order.lines.get_mut(at)).ok_or_else(missing)
}

fn print_of<'a>(order: &'a mut Order, ask: &Ask) -> Result<&'a mut Print, Finding> {
    let at = ask.fields.number("print").and_then(|nth| usize::try_from(nth).ok()).and_then(|nth| nth.checked_sub(1));
    let missing = || refused("web.no-line", "web.no-line-remedy");
    at.and_then(|at| line_of(order, ask).ok()?.prints.get_mut(at)).ok_or_else(missing)
}

/// Plans anew without a change; longer, where the person asks for it.
///
/// The search goes on where a shorter one stopped, so what it found is never lost.
pub(crate) fn plan(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    let before = ctx.kept().plan_of(id)?.and_then(|plan| plan.form.effort);
    let effort = match ask.fields.get("effort") {
        "longer" => Some(before.unwrap_or(plan::Settings::EFFORT.0).saturating_mul(10).min(LONGEST)),
        _ => before,
    };
    ctx.kept().plan_anew(id, wish(ctx, effort), &ctx.hand())?;
    // Asked for on a sheet's own page, it is answered there.
    let (pool, sheet) = (ask.fields.get("pool"), ask.fields.number("sheet"));
    let plain = !pool.is_empty() && pool.chars().all(|c| c.is_ascii_lowercase());
    Ok(on_to(&match sheet.filter(|_| plain) {
        Some(sheet) => format!("/orders/{id}/sheets/{pool}/{sheet}?changed=1"),
        None => format!("/orders/{id}?changed=1"),
    }))
}

/// Plans an order with others that were ticked, or by itself again where none is.
pub(crate) fn together(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    let effort = ctx.kept().plan_of(id)?.and_then(|plan| plan.form.effort);
    let with = ask.fields.0.iter().filter(|(name, _)| name == "with").map(|(_, id)| id.trim().to_owned());
    let all: Vec<String> = std::iter::once(id.to_owned()).chain(with).collect();
    let (wish, hand) = (wish(ctx, effort), ctx.hand());
    let done = match (all.len(), ask.fields.has("alone")) {
        (1, true) => ctx.kept().plan_later(id, wish, &hand),
        _ => ctx.kept().plan_together(&all, wish, &hand),
    };
    match done {
        Ok(_) => Ok(on_to(&format!("/orders/{id}?changed=1"))),
        Err(error) => back(ctx, id, &error, None),
    }
}

/// Evaluations of the longest search that the page asks for: minutes of work.
const LONGEST: u64 = 600_000_000;

/// A print: where, how large, moved how far, with which transfer, repaired or not.
pub(crate) fn print(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let inch = ctx.w.speech.units() == UnitSystem::Inch;
    edit(ctx, ask, "print changed", |order| {
        let print = print_of(order, ask)?;
        let fields = &ask.fields;
        if fields.has("transfer") {
            print.transfer = Some(fields.get("transfer").to_owned()).filter(|id| !id.is_empty());
        }
        if !fields.get("position").is_empty() {
            let position = garment::read_position(fields.get("position"))?;
            print.position = position.term().0.trim_start_matches("garment.position-").replace('-', " ");
        }
        if !fields.get("width").is_empty() {
            print.size = SizeWish::Width(length(fields.get("width"), inch)?);
        }
        if fields.has("right") || fields.has("up") {
            let read = |name: &str| match fields.get(name) {
                "" => Ok(Length::ZERO),
                text => length(text, inch),
            };
            let (right, up) = (read("right")?, read("up")?);
            print.offset = (right != Length::ZERO || up != Length::ZERO).then_some((right, up));
        }
        Ok(())
    })
}

/// A repair is accepted or taken back: the repaired art is a file beside the customer's own.
pub(crate) fn repair(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    let nth = |name: &str| {
        let number = ask.fields.number(name).and_then(|nth| usize::try_from(nth).ok());
        number.and_then(|nth| nth.checked_sub(1)).unwrap_or(usize::MAX)
    };
    let at = (nth("line"), nth("print"));
    let hand = ctx.hand();
    let done = match (ask.fields.get("repair"), ask.fields.get("withdraw")) {
        ("", "") => return Err(Fault::Strange),
        ("", name) => ctx.kept().withdraw_repair(id, ask.version(), at, name, &hand),
        (name, _) => ctx.kept().accept_repair(id, ask.version(), at, name, &hand),
    };
    match done {
        Ok(_) => again(ctx, id),
        Err(error) => back(ctx, id, &error, None),
    }
}

/// A length as typed; a bare number is in the person's own unit.
pub(crate) fn length(text: &str, inch: bool) -> Result<Length, Finding> {
    let typed = text.trim();
    let text = typed.replace('\u{2212}', "-");
    let bare = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+'));
    let text = match (bare, inch) {
        (true, true) => format!("{text} in"),
        (true, false) => format!("{text} mm"),
        _ => text,
    };
    let not = || refused("web.no-length", "web.no-length-remedy").named("typed", words::clean(typed));
    read_length(&text).map_err(|_| not())
}

/// A line: how many of each size, which colour, brought or bought.
pub(crate) fn line(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    edit(ctx, ask, "garments changed", |order| {
        let line = line_of(order, ask)?;
        let mut sizes = Vec::new();
        for (name, text) in &ask.fields.0 {
            let Some(size) = name.strip_prefix("size:") else { continue };
            let text = text.trim();
            if text.is_empty() || text == "0" {
                continue;
            }
            let count: u32 = text
                .parse()
                .ok()
                .filter(|count| *count <= 100_000)
                .ok_or_else(|| refused("web.no-count", "web.no-count-remedy").named("typed", words::clean(text)))?;
            sizes.push(plan::SizeCount { size: size.to_owned(), count });
        }
        if sizes.is_empty() {
            return Err(refused("web.no-sizes", "web.no-sizes-remedy"));
        }
        line.sizes = sizes;
        if !ask.fields.get("colour").is_empty() {
            line.colour = ask.fields.get("colour").to_owned();
        }
        line.brought = ask.fields.has("brought");
        Ok(())
    })
}

/// Customer, name, due day.
pub(crate) fn head(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    edit(ctx, ask, "customer or day changed", |order| {
        let due = ask.fields.get("due");
        let read = due.parse::<jiff::civil::DateTime>().ok().or_else(|| {
            let day = due.parse::<jiff::civil::Date>().ok()?;
            Some(day.to_datetime(jiff::civil::Time::constant(17, 0, 0, 0)))
        });
        order.due = read.ok_or_else(|| refused("web.no-day", "web.no-day-remedy"))?;
        let (customer, name) = (words::clean(ask.fields.get("customer")), words::clean(ask.fields.get("name")));
        if customer.is_empty() {
            return Err(refused("web.no-customer", "web.no-customer-remedy"));
        }
        (order.name, order.customer) = (if name.is_empty() { customer.clone() } else { name }, customer);
        Ok(())
    })
}

/// The whole order as text.
pub(crate) fn text(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    let text = ask.fields.raw("text").replace("\r\n", "\n");
    match ctx.kept().change_order(id, ask.version(), &text, "text changed", &ctx.hand()) {
        Ok(_) => again(ctx, id),
        Err(error) => back(ctx, id, &error, Some(text)),
    }
}

/// Which of the three ways.
pub(crate) fn way(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let way = match ask.fields.get("way") {
        "everyday" => Way::Everyday,
        "stronger" => Way::Stronger,
        "finest" => Way::Finest,
        _ => return Err(Fault::Strange),
    };
    edit(ctx, ask, "way chosen", |order| {
        order.way = way;
        Ok(())
    })
}

/// A person answers for a question, and work goes on.
pub(crate) fn answer(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let by = ctx.who().to_owned();
    edit(ctx, ask, "question answered", |order| {
        line_of(order, ask)?;
        let line = usize::try_from(ask.fields.number("line").unwrap_or(1) - 1).unwrap_or(0);
        let question = ask.fields.get("question").to_owned();
        order.decisions.retain(|known| {
            !matches!(known, Decision::Answered { line: of, question: asked, .. } if *of == line && *asked == question)
        });
        order.decisions.push(Decision::Answered { line, question, go_on: true, by });
        Ok(())
    })
}

/// All that was taken as usual is meant so.
pub(crate) fn assumed(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    match ctx.kept().confirm_assumed(id, ask.version(), &ctx.hand()) {
        Ok(_) => Ok(on_to(&format!("/orders/{id}"))),
        Err(error) => back(ctx, id, &error, None),
    }
}

/// Art put beside the other art, or in place of one.
pub(crate) fn add_art(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    let Some(file) = ask.files.iter().find(|file| file.field == "art") else { return Err(Fault::Strange) };
    let name = art_name(&file.name, 1);
    let instead = ask.fields.get("for").to_owned();
    let hand = ctx.hand();
    let done = ctx.kept().add_art(id, ask.version(), &name, file.bytes.to_vec(), &hand).and_then(|version| {
        if instead.is_empty() || instead == name {
            return Ok(version);
        }
        ctx.kept().edit_order(id, version, "art put in place", &hand, |order| {
            for print in order.lines.iter_mut().flat_map(|line| &mut line.prints).filter(|print| print.art == instead) {
                print.art.clone_from(&name);
            }
            Ok(())
        })
    });
    match done {
        Ok(_) => again(ctx, id),
        Err(error) => back(ctx, id, &error, None),
    }
}

/// Takes the last change back.
pub(crate) fn undo(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    match ctx.kept().undo_seen(Kind::Order, id, ask.version(), &ctx.hand()) {
        Ok(_) => again(ctx, id),
        Err(error) => back(ctx, id, &error, None),
    }
}

/// Does again what was taken back last.
pub(crate) fn redo(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    match ctx.kept().redo_seen(Kind::Order, id, ask.version(), &ctx.hand()) {
        Ok(_) => again(ctx, id),
        Err(error) => back(ctx, id, &error, None),
    }
}

/// The same order once more, by another day: garments, transfers and films as they were.
pub(crate) fn repeat(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    let Ok(day) = ask.fields.get("due").parse::<jiff::civil::Date>() else {
        let error = DeedError::Refused(refused("web.no-day", "web.no-day-remedy"));
        return back(ctx, id, &error, None);
    };
    let due = day.to_datetime(jiff::civil::Time::constant(17, 0, 0, 0));
    match ctx.kept().reorder(id, due, &ctx.hand()) {
        Ok((new, _)) => {
            ctx.kept().plan_later(&new, wish(ctx, None), &ctx.hand())?;
            Ok(on_to(&format!("/orders/{new}")))
        }
        Err(error) => back(ctx, id, &error, None),
    }
}
