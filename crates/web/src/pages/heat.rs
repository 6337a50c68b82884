//! What happens in the press: a cloth, a transfer and a setting that a person
//! moves, with curves and window.

use crate::answer::{Answer, Fault, Frame, data, page};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::tongue::Tongue;
use askama::Template;
use desk::{PressCase, Tried};
use serde_json::json;
use std::sync::{Arc, Mutex, PoisonError};
use trade::{ClothId, Dye, Shop, TransferId};
use units::{Duration, Temperature};

struct Pick {
    value: String,
    name: String,
    picked: bool,
}

#[derive(Template)]
#[template(path = "heat.html")]
struct HeatPage {
    frame: Frame,
    w: Tongue,
    cloths: Vec<Pick>,
    dyes: Vec<Pick>,
    transfers: Vec<Pick>,
    answer: Option<Shown>,
}

/// What the page and the script show of an answer.
struct Shown {
    c: i64,
    s: i64,
    c_low: i64,
    c_high: i64,
    s_low: i64,
    s_high: i64,
    c_said: String,
    s_said: String,
    said: Vec<String>,
    curves: String,
    window: String,
    figures: Vec<(String, String)>,
}

/// What is asked, with everything filled in.
struct Asked {
    cloth: ClothId,
    dye: Dye,
    transfer: TransferId,
    recipe: usize,
}

/// Cases worked out already, so that moving a slider costs a few milliseconds.
static KNOWN: Mutex<Vec<(String, Arc<PressCase>)>> = Mutex::new(Vec::new());
const MOST_KNOWN: usize = 24;

fn asked(shop: &Shop, ask: &Ask) -> Option<Asked> {
    let cloth = shop.find_cloth(ask.query.get("cloth")).or_else(|| shop.cloths().next().map(|(id, _)| id))?;
    let dye = match ask.query.get("dye") {
        "undyed" => Dye::Undyed,
        "light" => Dye::Light,
        "sublimated" => Dye::Sublimated,
        "unknown" => Dye::Unknown,
        _ => Dye::Dark,
    };
    let (transfer, recipe) = match ask.query.get("transfer").rsplit_once(':') {
        Some((id, recipe)) => (shop.find_transfer(id)?, recipe.parse().ok()?),
        None => (shop.transfers().find(|(_, transfer)| !transfer.recipes.is_empty())?.0, 0),
    };
    shop.transfer(transfer).recipes.get(recipe)?;
    Some(Asked { cloth, dye, transfer, recipe })
}

fn case(shop: &Shop, asked: &Asked) -> Option<Result<Arc<PressCase>, String>> {
    // The shop's own values are part of the name: a changed shelf is a case of its own.
    let (cloth, transfer) = (shop.cloth(asked.cloth), shop.transfer(asked.transfer));
    let key = format!("{cloth:?}{transfer:?}{:?}{}{:?}", asked.dye, asked.recipe, shop.room);
    let key = store::hash_of(key.as_bytes());
    let known =
        KNOWN.lock().unwrap_or_else(PoisonError::into_inner).iter().find(|(k, _)| *k == key).map(|(_, c)| c.clone());
    if let Some(known) = known {
        return Some(Ok(known));
    }
    let case = match PressCase::of(shop, asked.cloth, asked.dye, asked.transfer, asked.recipe)? {
        Ok(case) => Arc::new(case),
        Err(error) => return Some(Err(error.to_string())),
    };
    let mut all = KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    if all.len() >= MOST_KNOWN {
        all.remove(0);
    }
    all.push((key, case.clone()));
    Some(Ok(case))
}

fn answer_of(w: &Tongue, case: &PressCase, ask: &Ask) -> Result<Shown, Fault> {
    let ((c_low, c_high), (s_low, s_high)) = case.span();
    let advised = case.advised();
    let c = ask.query.decimal("c").unwrap_or(advised.0.c()).clamp(c_low.c(), c_high.c());
    let s = ask.query.decimal("s").unwrap_or(advised.1.s()).clamp(s_low.s(), s_high.s());
    let (plate, dwell) = (Temperature::from_c(c).unwrap_or_default(), Duration::from_s(s).unwrap_or_default());
    let tried = case.tried(plate, dwell, &w.speech).map_err(|_| Fault::Strange)?;
    Ok(Shown {
        c: c.round() as i64,
        s: s.round() as i64,
        c_low: c_low.c().round() as i64,
        c_high: c_high.c().round() as i64,
        s_low: s_low.s().round() as i64,
        s_high: s_high.s().round() as i64,
        c_said: w.speech.temperature(plate),
        s_said: w.s(s),
        said: said(w, case, &tried),
        figures: figures(w, case, &tried),
        curves: tried.curves,
        window: tried.window,
    })
}

fn said(w: &Tongue, case: &PressCase, tried: &Tried) -> Vec<String> {
    let mut all = Vec::new();
    all.push(match tried.against {
        Some(code) => w.a("web.try-not", w.speech.term(code)),
        None => w.t("web.try-serves"),
    });
    if !tried.on_sheet {
        all.push(w.t("web.try-off-sheet"));
    }
    let (plate, dwell) = case.advised();
    all.push(w.speech.term(case.verdict()));
    all.push(w.ab("web.try-advised", w.speech.temperature(plate), w.speech.duration(dwell)));
    all
}

fn figures(w: &Tongue, case: &PressCase, tried: &Tried) -> Vec<(String, String)> {
    let speech = &w.speech;
    let mut bond = speech.temperature(tried.bond_end);
    if let Some((low, high)) = case.bond_range() {
        bond = format!("{bond} ({})", w.a("web.at-advised", speech.temperature_range(low, high)));
    }
    let mut all = vec![
        (w.t("web.bond-end"), bond),
        (w.t("web.above-activation"), speech.duration(tried.above_activation)),
        (w.t("web.hottest-cloth"), speech.temperature(tried.cloth_peak)),
    ];
    for cooled in case.cooled() {
        let peel = cooled.to_peel_s.map_or_else(|| w.t("web.not-soon"), |s| w.s(s));
        all.push((w.a("web.to-peel", speech.term(cooled.way.code())), peel));
    }
    all
}

pub(crate) fn show(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let w = ctx.w;
    let shop = ctx.kept().shop()?;
    let shop = &shop.value;
    let of = asked(shop, ask);
    let answer = match of.as_ref().and_then(|of| case(shop, of)) {
        Some(Ok(case)) => Some(answer_of(&w, &case, ask)?),
        _ => None,
    };
    let pick =
        |value: &str, name: &str, picked: bool| Pick { value: value.to_owned(), name: words::clean(name), picked };
    let cloth = of.as_ref().map(|of| of.cloth);
    let transfer = of.as_ref().map(|of| (of.transfer, of.recipe));
    let mut transfers = Vec::new();
    for (id, transfer_of) in shop.transfers() {
        for (at, recipe) in transfer_of.recipes.iter().enumerate() {
            let name = match transfer_of.recipes.len() {
                1 => transfer_of.name.clone(),
                _ => format!("{} ({})", transfer_of.name, recipe.source),
            };
            transfers.push(pick(&format!("{}:{at}", transfer_of.id), &name, transfer == Some((id, at))));
        }
    }
    let dye = of.as_ref().map(|of| of.dye);
    let dyes = [
        ("dark", "web.dye-dark", Dye::Dark),
        ("light", "web.dye-light", Dye::Light),
        ("undyed", "web.dye-undyed", Dye::Undyed),
        ("sublimated", "web.dye-sublimated", Dye::Sublimated),
        ("unknown", "web.dye-unknown", Dye::Unknown),
    ];
    page(&HeatPage {
        frame: Frame::new(ctx, w.t("web.what-happens"), "heat"),
        w,
        cloths: shop.cloths().map(|(id, of)| pick(&of.id, &of.name, cloth == Some(id))).collect(),
        dyes: dyes.iter().map(|(value, name, of)| pick(value, &w.t(name), dye == Some(*of))).collect(),
        transfers,
        answer,
    })
}

/// The same as data, for sliders.
pub(crate) fn answer(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let shop = ctx.kept().shop()?;
    let of = asked(&shop.value, ask).ok_or(Fault::Strange)?;
    let Some(Ok(case)) = case(&shop.value, &of) else {
        return Ok(data(&json!({ "none": ctx.w.t("web.try-no-model") })));
    };
    let shown = answer_of(&ctx.w, &case, ask)?;
    Ok(data(&json!({
        "c": shown.c, "s": shown.s, "cLow": shown.c_low, "cHigh": shown.c_high, "sLow": shown.s_low, "sHigh": shown.s_high,
        "cSaid": shown.c_said, "sSaid": shown.s_said, "said": shown.said, "curves": shown.curves, "window": shown.window,
        "figures": shown.figures,
    })))
}
