//! Transfers of an order that were not pressed, put on the shelf for the next one.

use crate::answer::{Answer, Fault, on_to};
use crate::app::Ctx;
use crate::ask::{Ask, Fields};
use crate::form::plan::{LinePart, OrderPart, PlanFile, PrintPart};
use crate::pages::edit::{back_with, refused};
use crate::pages::on_hand::count_of;
use crate::pages::order::Aside;
use crate::plans::plan_file;
use desk::kept::{Deed, DeedError, KeptOrder, KeptPlan};
use store::form::{OnHand, StockForm};
use trade::{Colours, Shop};

/// The transfers of one print.
pub(crate) struct LeftOver {
    /// Line and print, "2-1", counted from 1.
    pub of: String,
    /// What it is, with how many more are made than pressed.
    pub name: String,
    pub picked: bool,
}

/// What stands in the form: as typed where that was refused.
pub(crate) struct Typed {
    pub open: bool,
    pub count: String,
    pub place: String,
}

impl Typed {
    pub fn of(typed: Option<&Fields>) -> Self {
        let field = |name: &str| typed.map(|fields| fields.get(name).to_owned());
        Self {
            open: typed.is_some(),
            count: field("count").unwrap_or_else(|| "1".to_owned()),
            place: field("place").unwrap_or_default(),
        }
    }
}

/// Prints whose transfers can be kept; none before there is a plan of the order as it is.
pub(crate) fn rows(
    ctx: &Ctx<'_>,
    order: &KeptOrder,
    kept: &KeptPlan,
    shop: &Shop,
    typed: Option<&Fields>,
) -> Result<Vec<LeftOver>, Fault> {
    let Some(file) = plan_file(ctx, &kept.form)?.filter(|_| !kept.order_changed) else { return Ok(Vec::new()) };
    let Some(part) = own_part(&file, order, kept) else { return Ok(Vec::new()) };
    let mut rows = Vec::new();
    for (nth, line) in part.lines.iter().enumerate() {
        for (at, print) in line.prints.iter().enumerate() {
            if of_print(order, shop, (nth, at), print).is_some() {
                let of = format!("{}-{}", nth + 1, at + 1);
                let picked = typed.is_some_and(|fields| fields.get("of") == of);
                rows.push(LeftOver { of, name: name(ctx, shop, line, print), picked });
            }
        }
    }
    Ok(rows)
}

fn own_part<'f>(file: &'f PlanFile, order: &KeptOrder, kept: &KeptPlan) -> Option<&'f OrderPart> {
    let at = kept.form.orders.iter().position(|planned| planned.id == order.id)?;
    file.orders.get(at)
}

fn name(ctx: &Ctx<'_>, shop: &Shop, line: &LinePart, print: &PrintPart) -> String {
    let garment = shop.find_garment(&line.garment).map_or(line.garment.as_str(), |id| &shop.garment(id).name);
    let position = print.position.as_deref().map(|code| ctx.w.code(code)).unwrap_or_default();
    let chosen = print.chosen.as_deref().unwrap_or_default();
    let transfer = shop.find_transfer(chosen).map_or(chosen, |id| &shop.transfer(id).name);
    ctx.w.f(
        "web.left-over-of",
        &[
            ("garment", words::clean(garment)),
            ("position", position),
            ("art", words::clean(&print.art)),
            ("transfer", words::clean(transfer)),
            ("spares", print.spares.to_string()),
        ],
    )
}

/// What lies on the shelf when a transfer of the print is kept; `None` where a later order could not be told that it
/// is the same: laid of several films, or made otherwise than its file says.
fn of_print(order: &KeptOrder, shop: &Shop, (line, print): (usize, usize), part: &PrintPart) -> Option<OnHand> {
    let wish = order.order.as_ref().ok()?.lines.get(line)?.prints.get(print)?;
    if wish.let_cloth_show || wish.remove_background || !wish.stated.is_empty() {
        return None;
    }
    let transfer = part.chosen.clone()?;
    let films = &part.candidates.iter().find(|one| one.transfer == transfer)?.films;
    let coloured = matches!(shop.transfer(shop.find_transfer(&transfer)?).colours, Colours::Film(_));
    let film = match &films[..] {
        [film] if coloured => Some(film.name.clone()),
        [] | [_] if !coloured => None,
        _ => return None,
    };
    let name = part.art.rsplit('/').next().unwrap_or_default().to_owned();
    Some(OnHand::Transfers {
        art: order.form.art.get(&part.art)?.sha256.clone(),
        name,
        transfer,
        film,
        width_mm: part.width_mm?,
        height_mm: part.height_mm?,
    })
}

/// Puts so many transfers of a print on the shelf.
pub(crate) fn keep(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let id = ask.part(0);
    match form(ctx, ask, id).and_then(|form| ctx.kept().put_stock(&form, &ctx.hand())) {
        Ok(_) => Ok(on_to("/shelf#on-hand")),
        Err(error) => back_with(ctx, id, &error, Aside { left_over: Some(ask.fields.clone()), ..Aside::default() }),
    }
}

fn form(ctx: &Ctx<'_>, ask: &Ask, id: &str) -> Deed<StockForm> {
    let gone = || DeedError::Refused(refused("web.no-line", "web.no-line-remedy"));
    let at = |nth: &str| nth.parse::<usize>().ok().and_then(|nth| nth.checked_sub(1)).ok_or_else(gone);
    let (line, print) = ask.fields.get("of").split_once('-').ok_or_else(gone)?;
    let (line, print) = (at(line)?, at(print)?);
    let (order, shop) = (ctx.kept().order(id)?, ctx.kept().shop()?);
    let kept = ctx.kept().plan_of(id)?.filter(|kept| !kept.order_changed).ok_or_else(gone)?;
    let file = plan_file(ctx, &kept.form).ok().flatten().ok_or_else(gone)?;
    let part = own_part(&file, &order, &kept).and_then(|part| part.lines.get(line)?.prints.get(print));
    let what = part.and_then(|part| of_print(&order, &shop.value, (line, print), part)).ok_or_else(gone)?;
    let count = count_of(ask.fields.get("count"))?;
    let since = ctx.app.today().to_string();
    Ok(StockForm {
        what,
        count,
        reserved: Default::default(),
        place: words::clean(ask.fields.get("place")),
        since,
        lot: None,
    })
}
