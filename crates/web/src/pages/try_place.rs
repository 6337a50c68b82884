//! A print moved by hand: where it lies and what is in the way, at once.

use crate::answer::{Answer, Fault, data, picture};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::pages::edit::length;
use art::{CleanArt, ReadOptions, SizeWish};
use desk::Trying;
use desk::kept::KeptOrder;
use report::Severity;
use serde_json::{Value, json};
use std::sync::{Arc, Mutex, PoisonError};
use units::{Length, UnitSystem};

/// Art read already, by its hash: moving it costs no reading.
static KNOWN: Mutex<Vec<(String, Arc<CleanArt>)>> = Mutex::new(Vec::new());
const MOST_KNOWN: usize = 24;
/// Nearer than this to the usual place, a print falls into it, mm.
const SNAP_MM: f64 = 4.0;

fn art_of(ctx: &Ctx<'_>, order: &KeptOrder, print: &plan::Print) -> Option<Arc<CleanArt>> {
    let file = order.form.art.get(&print.art)?;
    let key = format!("{}{}", file.sha256, print.remove_background);
    let known = KNOWN
        .lock()
        .unwrap_or_else(PoisonError::into_inner)
        .iter()
        .find(|(k, _)| *k == key)
        .map(|(_, art)| art.clone());
    if known.is_some() {
        return known;
    }
    let bytes = ctx.kept().art_bytes(&order.id, &print.art).ok()?;
    let options = ReadOptions { remove_background: print.remove_background, ..ReadOptions::default() };
    let art = Arc::new(desk::read_art(&print.art, &bytes, &options).ok()?.value);
    let mut all = KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    if all.len() >= MOST_KNOWN {
        all.remove(0);
    }
    all.push((key, art.clone()));
    Some(art)
}

/// `?line=1&print=1&size=M&position=…&width=…&right=…&up=…`, lengths as typed; `snap=1` lets it fall into its place.
pub(crate) fn answer(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let w = ctx.w;
    let query = &ask.query;
    let order = ctx.kept().order(ask.part(0))?;
    let read = order.order.as_ref().map_err(|_| Fault::Missing)?;
    let nth =
        |name: &str| query.number(name).and_then(|nth| usize::try_from(nth).ok()).and_then(|nth| nth.checked_sub(1));
    let line = nth("line").and_then(|at| read.lines.get(at)).ok_or(Fault::Missing)?;
    let at = nth("print").ok_or(Fault::Missing)?;
    let print = line.prints.get(at).ok_or(Fault::Missing)?;
    let shop = ctx.kept().shop()?;
    let Some(art) = art_of(ctx, &order, print) else { return Ok(data(&told(&w.t("web.art-not-read")))) };
    let inch = w.speech.units() == UnitSystem::Inch;
    let typed = |name: &str| match query.get(name) {
        "" => Ok(Length::ZERO),
        text => length(text, inch),
    };
    let asked = garment::read_position(query.get("position"))
        .and_then(|position| Ok((position, typed("width")?, typed("right")?, typed("up")?)));
    let (position, width, mut right, mut up) = match asked {
        Ok(asked) => asked,
        Err(finding) => {
            let said = w.finding(&finding);
            return Ok(data(&told(&format!("{} {}", said.what, said.remedy))));
        }
    };
    let near = |length: Length| length.mm().abs() < SNAP_MM;
    let snapped = query.has("snap") && (near(right) || near(up));
    if query.has("snap") {
        // Each direction by itself: centred stays centred while it is moved down.
        right = if near(right) { Length::ZERO } else { right };
        up = if near(up) { Length::ZERO } else { up };
    }
    let wish = if width == Length::ZERO { print.size } else { SizeWish::Width(width) };
    let beside = |(nth, other): (usize, &plan::Print)| Some((nth, art_of(ctx, &order, other)?));
    let others: Vec<(usize, Arc<CleanArt>)> =
        line.prints.iter().enumerate().filter(|(nth, _)| *nth != at).filter_map(beside).collect();
    let trying =
        Trying { line, print: at, size: query.get("size"), position, wish, offset: (right, up), others: &others };
    let tried = match desk::try_place(&shop.value, &art, &trying, &w.speech) {
        None => return Ok(data(&told(&w.t("web.no-picture")))),
        Some(Err(finding)) => {
            let said = w.finding(&finding);
            return Ok(data(&told(&format!("{}: {} {}", said.severity, said.what, said.remedy))));
        }
        Some(Ok(tried)) => tried,
    };
    let grave = tried.findings.iter().filter(|finding| finding.severity > Severity::Note);
    let mut said: Vec<String> = grave
        .map(|finding| {
            let said = w.finding(finding);
            format!("{}: {} {}", said.severity, said.what, said.remedy)
        })
        .collect();
    if said.is_empty() {
        let platen = tried.platen.as_deref().map(words::clean).unwrap_or_default();
        said.push(w.ab("web.lies-well", w.speech.size(tried.size.0, tried.size.1), platen));
    }
    if snapped {
        said.push(w.t("web.in-its-usual-place"));
    }
    let shown = |length: Length| shown(length, inch);
    Ok(data(&json!({
        "picture": tried.picture, "said": said, "right": shown(right), "up": shown(up), "width": shown(tried.size.0),
    })))
}

/// `/orders/7/on/1/2/3`: the third size of the first line with its second print, and what else lies on that panel,
/// as the order says now.
pub(crate) fn on_size(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let order = ctx.kept().order(ask.part(0))?;
    let read = order.order.as_ref().map_err(|_| Fault::Missing)?;
    let nth = |part: usize| ask.part(part).parse::<usize>().ok().and_then(|nth| nth.checked_sub(1));
    let line = nth(1).and_then(|at| read.lines.get(at)).ok_or(Fault::Missing)?;
    let at = nth(2).ok_or(Fault::Missing)?;
    let print = line.prints.get(at).ok_or(Fault::Missing)?;
    let size = nth(3).and_then(|nth| line.sizes.get(nth)).ok_or(Fault::Missing)?;
    let position = garment::read_position(&print.position).map_err(|_| Fault::Missing)?;
    let shop = ctx.kept().shop()?;
    let art = art_of(ctx, &order, print).ok_or(Fault::Missing)?;
    let beside = |(nth, other): (usize, &plan::Print)| Some((nth, art_of(ctx, &order, other)?));
    let others: Vec<(usize, Arc<CleanArt>)> =
        line.prints.iter().enumerate().filter(|(nth, _)| *nth != at).filter_map(beside).collect();
    let trying = Trying {
        line,
        print: at,
        size: &size.size,
        position,
        wish: print.size,
        offset: print.offset.unwrap_or_default(),
        others: &others,
    };
    match desk::try_place(&shop.value, &art, &trying, &ctx.w.speech) {
        Some(Ok(tried)) => Ok(picture(tried.picture.into_bytes())),
        _ => Err(Fault::Missing),
    }
}

/// A length as its field has it: in the person's unit, to be typed over.
pub(crate) fn shown(length: Length, inch: bool) -> String {
    if inch {
        format!("{} in", (length.inches() * 100.0).round() / 100.0)
    } else {
        format!("{} mm", (length.mm() * 10.0).round() / 10.0)
    }
}

fn told(what: &str) -> Value {
    json!({ "picture": "", "said": [what] })
}
