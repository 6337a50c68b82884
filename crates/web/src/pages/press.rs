//! The press side: this piece, the next, the step in large type, timers, counts.

use crate::answer::{Answer, Fault, Frame, data, page};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::form::plan::{CardPart, EntryPart, PlanFile, SetPart, StepPart};
use crate::plans::plan_file;
use crate::tongue::Tongue;
use askama::Template;
use desk::kept::{Counted, DeedError, KeptOrder, KeptPlan, Run};
use serde_json::json;
use std::sync::Arc;
use store::Slip;
use store::form::PressCount;
use trade::Shop;

struct RunLink {
    address: String,
    title: String,
    small: String,
}

#[derive(Template)]
#[template(path = "press_list.html")]
struct PressList {
    frame: Frame,
    w: Tongue,
    runs: Vec<RunLink>,
}

/// A step at the press: what to do, the figure of the moment, a timer where one runs.
struct PressStep {
    words: String,
    figure: String,
    more: String,
    timer_s: i64,
}

#[derive(Template)]
#[template(path = "press_run.html")]
struct PressRun {
    frame: Frame,
    w: Tongue,
    id: String,
    line: usize,
    print: usize,
    key: String,
    /// When the counts were read: a page kept on a device may be older than what it knows.
    at: i64,
    title: String,
    order_name: String,
    place: String,
    picture: Option<String>,
    pieces: Vec<(String, u32)>,
    all: u32,
    good: u32,
    spoiled: u32,
    spares: u32,
    cool_s: i64,
    racks: u32,
    steps: Vec<PressStep>,
    cautions: Vec<String>,
}

/// Orders whose runs are listed.
const MOST: i64 = 30;

pub(crate) fn list(ctx: &Ctx<'_>, _: &Ask) -> Answer {
    let w = ctx.w;
    let shop = ctx.kept().shop()?;
    let link = |run: &Run| {
        let position = if run.position.is_empty() { String::new() } else { w.code(&run.position) };
        RunLink {
            address: format!("/press/{}/{}/{}", run.order.id, run.at.0 + 1, run.at.1 + 1),
            title: format!("{} – {position}", garment_name(&shop.value, &run.garment)),
            small: w.f(
                "web.run-small",
                &[
                    ("order", words::clean(&run.order.name)),
                    ("from", w.moment(&run.from)),
                    ("press", words::clean(&run.press)),
                    ("pieces", w.speech.counted(u64::from(run.pieces), "piece", "pieces")),
                ],
            ),
        }
    };
    let runs = ctx.kept().runs(MOST)?.iter().map(link).collect();
    page(&PressList { frame: Frame::new(ctx, w.t("web.at-the-press"), "press"), w, runs })
}

fn plan_of(ctx: &Ctx<'_>, id: &str) -> Result<Option<(KeptPlan, Arc<PlanFile>, usize)>, Fault> {
    let Some(kept) = ctx.kept().plan_of(id)? else { return Ok(None) };
    let at = kept.form.orders.iter().position(|planned| planned.id == id).unwrap_or(0);
    Ok(plan_file(ctx, &kept.form)?.map(|file| (kept, file, at)))
}

fn garment_name(shop: &Shop, id: &str) -> String {
    words::clean(shop.find_garment(id).map_or(id, |id| shop.garment(id).name.as_str()))
}

fn nth(text: &str) -> Result<usize, Fault> {
    text.parse::<usize>().ok().and_then(|nth| nth.checked_sub(1)).ok_or(Fault::Missing)
}

pub(crate) fn run(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let w = ctx.w;
    let (id, line_at, print_at) = (ask.part(0), nth(ask.part(1))?, nth(ask.part(2))?);
    let shop = ctx.kept().shop()?;
    let order = ctx.kept().order(id)?;
    let (kept, file, at) = plan_of(ctx, id)?.ok_or(Fault::Missing)?;
    let line = file.orders.get(at).and_then(|order| order.lines.get(line_at)).ok_or(Fault::Missing)?;
    let print = line.prints.get(print_at).ok_or(Fault::Missing)?;
    let card = print.card.as_ref().ok_or(Fault::Missing)?;
    let prefix = format!("pictures/garment-{}-{}-", at + 1, line_at + 1);
    let shows = |name: &str| {
        let prints = name.strip_prefix(&prefix).and_then(|rest| rest.strip_suffix(".svg"));
        prints.is_some_and(|prints| prints.split('+').any(|nth| nth == (print_at + 1).to_string()))
    };
    let picture = kept.form.files.iter().find(|file| shows(&file.name));
    let of_run = |entry: &&EntryPart| entry.order == at && entry.line == line_at && entry.print == print_at;
    let named = file.timeline.entries.iter().find(of_run).map(|entry| entry.press.as_str());
    // The timeline names presses for people, the card by the shop's word for them.
    let on = shop.value.presses().find(|(_, press)| Some(press.name.as_str()) == named).map(|(_, press)| &*press.id);
    let (good, spoiled) = counted(&order, line_at, print_at);
    page(&PressRun {
        frame: Frame::new(ctx, w.t("web.at-the-press"), "press"),
        w,
        id: id.to_owned(),
        line: line_at + 1,
        print: print_at + 1,
        key: format!("{id}-{}-{}", line_at + 1, print_at + 1),
        at: ctx.app.now_ms(),
        title: garment_name(&shop.value, &line.garment),
        order_name: words::clean(&order.listed.name),
        place: print.position.as_deref().map(|code| w.code(code)).unwrap_or_default(),
        picture: picture.map(|file| {
            format!("/orders/{id}/picture/{}?v={}", file.name.trim_start_matches("pictures/"), kept.version)
        }),
        pieces: line.sizes.iter().map(|size| (words::clean(&size.size), size.count)).collect(),
        all: line.pieces(),
        good,
        spoiled,
        spares: print.spares,
        cool_s: cool_s(card),
        racks: shop.value.rack_places.clamp(1, 24),
        steps: card.steps.iter().map(|step| step_of(&w, &shop.value, on, step)).collect(),
        cautions: card.cautions.iter().map(|code| w.code(code)).collect(),
    })
}

/// How long a piece lies before it may be peeled, s.
fn cool_s(card: &CardPart) -> i64 {
    let waits = card.steps.iter().filter_map(|step| match step {
        StepPart::SetAside { wait_s } => Some(wait_s.value.ceil() as i64),
        _ => None,
    });
    waits.max().unwrap_or(60)
}

/// What the press of the run is set to, so that its plate has `plate_c`; without a run, the card's first press.
fn set_point(set: &[SetPart], on: Option<&str>, plate_c: f64) -> f64 {
    let of_run = set.iter().find(|set| Some(set.press.as_str()) == on);
    of_run.or(set.first()).map_or(plate_c, |set| set.c.value)
}

fn step_of(w: &Tongue, shop: &Shop, on: Option<&str>, step: &StepPart) -> PressStep {
    let plain = |words: String| PressStep { words, figure: String::new(), more: String::new(), timer_s: 0 };
    let whole = |s: f64| s.ceil() as i64;
    match step {
        StepPart::Preheat { c, set, dwell_s } => PressStep {
            words: w.a("web.step-preheat", w.c(set_point(set, on, *c)).0),
            figure: w.s(dwell_s.value),
            more: String::new(),
            timer_s: whole(dwell_s.value),
        },
        StepPart::Place => plain(w.t("web.step-place")),
        StepPart::Press { role, c, set, from_inside, dwell_s, pressure, cover } => {
            let words_ = match role.as_str() {
                "tack" => w.t("web.step-tack"),
                "second" => w.t("web.step-second"),
                _ => w.t("web.step-press"),
            };
            let (first, second) = w.c(set_point(set, on, c.value));
            let pressure = match pressure.as_str() {
                "light" => w.t("web.pressure-light"),
                "firm" => w.t("web.pressure-firm"),
                _ => w.t("web.pressure-medium"),
            };
            let mut more = vec![format!("{first} · {second}"), pressure];
            if *from_inside {
                more.push(w.t("web.from-inside"));
            }
            if let Some(cover) = cover {
                let name = shop.find_accessory(cover).map_or(cover.as_str(), |id| &shop.accessory(id).name);
                more.push(w.a("web.under-cover", words::clean(name)));
            }
            PressStep {
                words: words_,
                figure: w.s(dwell_s.value),
                more: more.join(" · "),
                timer_s: whole(dwell_s.value),
            }
        }
        StepPart::SetAside { wait_s } => PressStep {
            words: w.t("web.step-aside"),
            figure: w.s(wait_s.value),
            more: String::new(),
            // Timed by the rack, several pieces at once.
            timer_s: 0,
        },
        StepPart::Peel { when } => plain(match when.as_str() {
            "hot" => w.t("web.peel-hot"),
            "warm" => w.t("web.peel-warm"),
            _ => w.t("web.peel-cold"),
        }),
    }
}

/// Names of counts are kept for a month: a device that comes back later than that asks anew.
const COUNTED: &str = "press-counted";
const COUNTED_MS: i64 = 30 * 24 * 3600 * 1000;
/// How often a count is tried when others change the order meanwhile.
const TRIES: usize = 8;

/// One count after the other: the same count from two requests at once counts once.
static ONE_AT_A_TIME: std::sync::Mutex<()> = std::sync::Mutex::new(());

fn counted(order: &KeptOrder, line: usize, print: usize) -> (u32, u32) {
    let count = order.form.standing.counts.iter().find(|count| (count.line, count.print) == (line, print));
    let spoiled = |count: &PressCount| count.spoiled.iter().map(|one| one.pieces).fold(0, u32::saturating_add);
    count.map_or((0, 0), |count| (count.good, spoiled(count)))
}

/// Counts one good or spoiled piece; the same count sent again counts once.
pub(crate) fn count(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let (id, line, print) = (ask.part(0), nth(ask.part(1))?, nth(ask.part(2))?);
    let key = ask.fields.get("key");
    let named = key.len() == 32 && key.bytes().all(|byte| byte.is_ascii_hexdigit());
    if !named && ask.by_script {
        return Err(Fault::Strange);
    }
    let _one = ONE_AT_A_TIME.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let (store, now) = (ctx.kept().store(), ctx.app.now_ms());
    let name = format!("{id}-{line}-{print}-{key}");
    if !named || store.slip(COUNTED, &name, now)?.is_none() {
        count_once(ctx, ask, (id, line, print))?;
        if named {
            let ends_ms = now.saturating_add(COUNTED_MS);
            store.put_slip(&Slip { kind: COUNTED.into(), id: name, body: String::new(), ends_ms })?;
        }
    }
    if ask.by_script {
        let (good, spoiled) = counted(&ctx.kept().order(id)?, line, print);
        return Ok(data(&json!({ "good": good, "spoiled": spoiled, "at": ctx.app.now_ms() })));
    }
    Ok(crate::answer::on_to(&format!("/press/{id}/{}/{}", line + 1, print + 1)))
}

/// Counts add up whatever else is changed meanwhile: they are tried on the version that is there.
fn count_once(ctx: &Ctx<'_>, ask: &Ask, (id, line, print): (&str, usize, usize)) -> Result<(), Fault> {
    let of = |what: &str| u32::from(ask.fields.get(what) == "1");
    let why = match ask.fields.get("why") {
        "" => ctx.w.t("web.spoiled-at-press"),
        why => words::clean(why),
    };
    let mut left = TRIES;
    loop {
        let on = ctx.kept().order(id)?.version;
        let counted = Counted { line, print, good: of("good"), spoiled: of("spoiled"), why: &why };
        match ctx.kept().count(id, on, counted, &ctx.hand()) {
            Err(DeedError::Conflict { .. }) if left > 0 => left -= 1,
            other => return Ok(other.map(|_| ())?),
        }
    }
}

/// The script that keeps these pages readable without a connection.
pub(crate) fn worker(_: &Ctx<'_>, _: &Ask) -> Answer {
    let response = crate::assets::asset("worker.js").ok_or(Fault::Missing)?;
    // It is asked for under one address, so that a newer one takes its place.
    Ok(crate::answer::with_only(response, axum::http::header::CACHE_CONTROL, "no-cache"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::plan::FigurePart;

    /// A plate of 150 °C is had by setting 152 on one press and 147 on the other, by their calibration.
    #[test]
    fn a_step_shows_what_its_own_press_is_set_to() {
        let figure = |value: f64| FigurePart { value, low: None, high: None, why: Vec::new() };
        let of = |press: &str, c: f64| SetPart { press: press.to_owned(), c: figure(c) };
        let set = [of("left", 152.0), of("right", 147.0)];
        assert_eq!(set_point(&set, Some("right"), 150.0), 147.0);
        assert_eq!(set_point(&set, Some("left"), 150.0), 152.0);
        assert_eq!(set_point(&set, None, 150.0), 152.0, "without a run, the card's first press");
        assert_eq!(set_point(&set, Some("sold"), 150.0), 152.0);
        assert_eq!(set_point(&[], Some("left"), 150.0), 150.0, "without calibration the plate's own figure");

        let shop = demo();
        let w = Tongue::new(units::UnitSystem::Metric);
        let step = StepPart::Preheat { c: 150.0, set: Vec::from(set), dwell_s: figure(4.0) };
        let shown = step_of(&w, &shop, Some("right"), &step);
        assert!(shown.words.contains("147") && !shown.words.contains("150"), "{}", shown.words);
    }

    fn demo() -> Shop {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/shop");
        let mut files = Vec::new();
        for entry in std::fs::read_dir(folder).expect("the demo") {
            let path = entry.expect("an entry").path();
            if path.extension().is_some_and(|ending| ending == "toml") {
                let name = path.file_name().expect("a name").to_string_lossy().into_owned();
                files.push((name, std::fs::read_to_string(&path).expect("a text")));
            }
        }
        desk::read_shop(&desk::ShopFolder { files }).expect("it reads").value
    }
}
