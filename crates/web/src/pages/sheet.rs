//! One sheet close up: pieces are picked, moved and locked, and the search may go on longer.

use crate::answer::{Answer, Fault, Frame, data, on_to, page_as};
use crate::app::Ctx;
use crate::ask::{Ask, Fields};
use crate::form::plan::{PlanFile, PoolPart, Reader};
use crate::pages::edit::{length, refused, wish};
use crate::pages::order::progress_words;
use crate::pages::try_place::shown as length_shown;
use crate::parts::{Fig, Mark};
use crate::plans::plan_file;
use crate::tongue::Tongue;
use askama::Template;
use axum::http::StatusCode;
use desk::kept::{DeedError, KeptOrder, KeptPlan, Laid, LockEdit, Moved};
use drawing::Handled;
use report::{Finding, Severity};
use serde_json::json;
use std::sync::Arc;
use trade::Shop;
use units::{Length, UnitSystem};

struct PieceView {
    nth: usize,
    name: String,
    locked: bool,
    along: String,
    across: String,
}

#[derive(Template)]
#[template(path = "sheet.html")]
struct SheetPage {
    frame: Frame,
    w: Tongue,
    watch: Mark,
    id: String,
    name: String,
    version: i64,
    plan_version: i64,
    pool: String,
    nth: usize,
    title: String,
    said: String,
    told: Vec<String>,
    undo: Option<String>,
    planning: Option<String>,
    stale: bool,
    /// Label, HTML of the figure, small print.
    facts: Vec<(String, String, String)>,
    /// What searching longer changed: label, before, now.
    before: Vec<(String, String, String)>,
    svg: String,
    wide: bool,
    pieces: Vec<PieceView>,
    /// Locked pieces that found no place, by their number.
    loose: Vec<(usize, String)>,
    /// The other sheets of the order: address, words, whether it is this one.
    others: Vec<(String, String, bool)>,
    files: Vec<(String, String, String)>,
    /// Fields as typed, after a refusal.
    typed: Typed,
}

#[derive(Debug, Default)]
struct Typed {
    piece: String,
    along: String,
    across: String,
    turn: String,
}

impl Typed {
    fn of(fields: &Fields) -> Self {
        let get = |name: &str| fields.get(name).to_owned();
        Self { piece: get("piece"), along: get("along"), across: get("across"), turn: get("turn") }
    }
}

/// What a page of a sheet is made from.
struct Table {
    order: KeptOrder,
    plan: KeptPlan,
    file: Arc<PlanFile>,
    laid: Laid,
    pool: usize,
    sheet: usize,
}

impl Table {
    fn of(ctx: &Ctx<'_>, ask: &Ask) -> Result<Self, Fault> {
        let (id, key) = (ask.part(0), ask.part(1));
        let order = ctx.kept().order(id)?;
        let plan = ctx.kept().plan_of(id)?.ok_or(Fault::Missing)?;
        let file = plan_file(ctx, &plan.form)?.ok_or(Fault::Missing)?;
        let pool = file.pools.iter().position(|pool| pool.key == key).ok_or(Fault::Missing)?;
        let laid = ctx.kept().laid(&plan, key)?;
        let nth = ask.part(2).parse::<usize>().ok().and_then(|nth| nth.checked_sub(1));
        let sheet = nth.filter(|at| *at < laid.layout.sheets.len()).ok_or(Fault::Missing)?;
        Ok(Self { order, plan, file, laid, pool, sheet })
    }

    fn part(&self) -> Option<&PoolPart> {
        self.file.pools.get(self.pool)
    }

    /// What a piece is called: its art, where it goes, which copy.
    fn name(&self, w: &Tongue, piece: usize) -> String {
        let of = self.laid.layout.sheets.get(self.sheet).and_then(|sheet| sheet.pieces.get(piece));
        let Some(of) = of else { return String::new() };
        let art = words::clean(self.laid.arts.get(of.design).map_or("", String::as_str));
        let (line, print, film) = self.laid.prints.get(of.design).copied().unwrap_or_default();
        let print = self.file.orders.first().and_then(|order| order.lines.get(line)?.prints.get(print));
        let position = print.and_then(|print| print.position.as_deref()).map(|code| w.code(code)).unwrap_or_default();
        let film = film.map(|film| w.a("web.film-nth", film + 1)).unwrap_or_default();
        let values = [
            ("nth", (piece + 1).to_string()),
            ("art", art),
            ("position", position),
            ("film", film),
            ("copy", (of.copy + 1).to_string()),
        ];
        w.f("web.piece-name", &values)
    }
}

pub(crate) fn show(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    shown(ctx, ask, StatusCode::OK, Vec::new(), Typed::of(&ask.query))
}

fn shown(ctx: &Ctx<'_>, ask: &Ask, status: StatusCode, mut told: Vec<String>, typed: Typed) -> Answer {
    let w = ctx.w;
    let table = match Table::of(ctx, ask) {
        // After planning anew there may be fewer sheets, or none of that transfer.
        Err(Fault::Missing) if ctx.kept().order(ask.part(0)).is_ok() && ask.query.has("changed") => {
            return Ok(on_to(&format!("/orders/{}?changed=1", ask.part(0))));
        }
        table => table?,
    };
    let shop = ctx.kept().shop()?;
    let (order, plan, laid) = (&table.order, &table.plan, &table.laid);
    let part = table.part().ok_or(Fault::Missing)?;
    let reader = Reader { speech: &w.speech, currency: table.file.money().ok_or(Fault::Missing)? };
    let job = ctx.kept().job_of(&order.id)?;
    let planning = job.as_ref().and_then(|job| progress_words(&w, job));
    let changed = ask.query.has("changed");
    if changed && planning.is_none() {
        told.extend(super::order::difference(ctx, &order.id)?);
    }
    let pool_name = pool_name(&shop.value, part);
    let sheets = laid.layout.sheets.len();
    let mut frame = Frame::new(ctx, w.ab("web.sheet-of", table.sheet + 1, &pool_name), "today");
    frame.again = planning.is_some();
    let inch = w.speech.units() == UnitSystem::Inch;
    let pieces = pieces(&table, &w, inch);
    let picture = picture(&table, &w, &pieces);
    let all_laid: Vec<Laid> =
        table.file.pools.iter().filter_map(|pool| ctx.kept().laid(plan, &pool.key).ok()).collect();
    let loose = order.order.as_ref().map(|read| ctx.kept().loose_locks(read, &all_laid)).unwrap_or_default();
    let page_of = SheetPage {
        w,
        watch: Mark::WATCH,
        id: order.id.clone(),
        name: words::clean(&order.listed.name),
        version: order.version,
        plan_version: plan.version,
        pool: part.key.clone(),
        nth: table.sheet + 1,
        title: w.ab("web.sheet-nth-of", table.sheet + 1, sheets),
        said: pool_name,
        undo: super::order::undo_words(ctx, &order.id)?.filter(|_| changed),
        told,
        stale: (plan.stale || plan.order_changed) && planning.is_none(),
        planning,
        facts: facts(&table, part, &w, &reader),
        before: before(ctx, &table, part, &w, &reader)?,
        svg: picture.ok_or(Fault::Missing)?,
        wide: laid.layout.sheets.get(table.sheet).is_some_and(|sheet| sheet.charged_length_mm > 1000.0),
        loose: loose.into_iter().map(|(nth, locked)| (nth, loose_words(&w, order, &locked))).collect(),
        others: others(&table, &shop.value, &w),
        files: files(&table, part),
        pieces,
        typed,
        frame,
    };
    page_as(status, &page_of)
}

fn pool_name(shop: &Shop, part: &PoolPart) -> String {
    let name = shop.find_transfer(&part.transfer).map_or(&part.transfer, |id| &shop.transfer(id).name);
    match &part.colour {
        Some(colour) => format!("{}, {}", words::clean(name), words::clean(colour)),
        None => words::clean(name),
    }
}

fn pieces(table: &Table, w: &Tongue, inch: bool) -> Vec<PieceView> {
    let count = table.laid.layout.sheets.get(table.sheet).map_or(0, |sheet| sheet.pieces.len());
    let mm = |mm: f64| length_shown(Length::from_mm(mm).unwrap_or_default(), inch);
    let view = |piece: usize| {
        let place = table.laid.place(table.sheet, piece)?;
        Some(PieceView {
            nth: piece + 1,
            name: table.name(w, piece),
            locked: table.laid.is_locked(table.sheet, piece),
            along: mm(place.along_mm),
            across: mm(place.across_mm),
        })
    };
    (0..count).filter_map(view).collect()
}

fn picture(table: &Table, w: &Tongue, pieces: &[PieceView]) -> Option<String> {
    let sheet = table.laid.layout.sheets.get(table.sheet)?;
    let of = |design: usize| {
        let (line, print, film) = table.laid.prints.get(design).copied()?;
        let size = table.file.orders.first()?.lines.get(line)?.prints.get(print)?;
        let address =
            format!("/orders/{}/picture/art-1-{}-{}.png?v={}", table.order.id, line + 1, print + 1, table.plan.version);
        // A piece cut from one film of several shows only its own shape.
        film.is_none().then_some((address, size.width_mm?, size.height_mm?))
    };
    let images: Vec<Option<(String, f64, f64)>> = sheet.pieces.iter().map(|piece| of(piece.design)).collect();
    let handled: Vec<Handled<'_>> = pieces
        .iter()
        .zip(&images)
        .enumerate()
        .map(|(at, (view, image))| Handled {
            name: &view.name,
            locked: view.locked,
            from_edges: table.laid.place(table.sheet, at).map_or((0.0, 0.0), |of| (of.along_mm, of.across_mm)),
            image: image.as_ref().map(|(address, wide, high)| (address.as_str(), *wide, *high)),
        })
        .collect();
    let title = w.ab("web.sheet-of", table.sheet + 1, table.part().map_or("", |part| part.transfer.as_str()));
    let shows = w.speech.counted(sheet.pieces.len() as u64, "piece", "pieces");
    drawing::sheet_to_handle(&table.laid.instance, &table.laid.layout, table.sheet, (&title, &shows), &handled)
}

fn facts(table: &Table, part: &PoolPart, w: &Tongue, reader: &Reader<'_>) -> Vec<(String, String, String)> {
    let mut all = Vec::new();
    let cost = Fig::money(w, reader, &part.cost);
    let sheets = w.speech.counted(part.sheets.len() as u64, "sheet or length", "sheets and lengths");
    all.push((w.t("web.sheets-cost"), super::order::html_of(&cost), sheets));
    all.push((w.t("web.least-cost"), w.money(part.lower_bound, reader.currency), w.t("web.least-cost-how")));
    all.push((w.t("web.gap"), gap(w, reader, part.cost.value, part.lower_bound), gap_share(w, part)));
    if let Some(sheet) = table.laid.layout.sheets.get(table.sheet) {
        let length = |mm: f64| w.speech.length(Length::from_mm(mm).unwrap_or_default());
        let used = w.a("web.used-length", length(sheet.used_length_mm));
        all.push((w.t("web.this-sheet"), w.money(sheet.price, reader.currency), used));
    }
    all
}

fn gap(w: &Tongue, reader: &Reader<'_>, cost: i64, bound: i64) -> String {
    match cost.saturating_sub(bound) {
        gap if gap <= 0 => w.t("web.no-gap"),
        gap => w.money(gap, reader.currency),
    }
}

fn gap_share(w: &Tongue, part: &PoolPart) -> String {
    let gap = part.cost.value.saturating_sub(part.lower_bound);
    match gap > 0 && part.cost.value > 0 {
        true => w.a("web.gap-share", w.speech.percent(gap as f64 / part.cost.value as f64)),
        false => String::new(),
    }
}

/// Cost, bound and gap of the same transfer in the plan before, where they differ or the search was longer.
fn before(
    ctx: &Ctx<'_>,
    table: &Table,
    part: &PoolPart,
    w: &Tongue,
    reader: &Reader<'_>,
) -> Result<Vec<(String, String, String)>, Fault> {
    let Some(form) = ctx.kept().plan_before(&table.order.id)? else { return Ok(Vec::new()) };
    let longer = table.plan.form.effort.unwrap_or(0) > form.effort.unwrap_or(0);
    let file = plan_file(ctx, &form).ok().flatten();
    let Some(file) = file else { return Ok(Vec::new()) };
    let same = |pool: &&PoolPart| pool.transfer == part.transfer && pool.colour == part.colour;
    let Some(was) = file.pools.iter().find(same) else { return Ok(Vec::new()) };
    if !longer && (was.cost.value, was.lower_bound) == (part.cost.value, part.lower_bound) {
        return Ok(Vec::new());
    }
    let money = |minor| w.money(minor, reader.currency);
    Ok(vec![
        (w.t("web.sheets-cost"), money(was.cost.value), money(part.cost.value)),
        (w.t("web.least-cost"), money(was.lower_bound), money(part.lower_bound)),
        (
            w.t("web.gap"),
            gap(w, reader, was.cost.value, was.lower_bound),
            gap(w, reader, part.cost.value, part.lower_bound),
        ),
        (w.t("web.sheets"), was.sheets.len().to_string(), part.sheets.len().to_string()),
    ])
}

fn loose_words(w: &Tongue, order: &KeptOrder, locked: &plan::Locked) -> String {
    let print = order.order.as_ref().ok().and_then(|read| read.lines.get(locked.line)?.prints.get(locked.print));
    let art = print.map_or_else(|| w.ab("web.line-print", locked.line + 1, locked.print + 1), |p| words::clean(&p.art));
    w.f("web.lock-lost", &[("art", art), ("sheet", (locked.sheet + 1).to_string()), ("by", words::clean(&locked.by))])
}

fn others(table: &Table, shop: &Shop, w: &Tongue) -> Vec<(String, String, bool)> {
    let mut all = Vec::new();
    for (at, pool) in table.file.pools.iter().enumerate() {
        for sheet in 0..pool.sheets.len() {
            let here = at == table.pool && sheet == table.sheet;
            let address = format!("/orders/{}/sheets/{}/{}", table.order.id, pool.key, sheet + 1);
            all.push((address, w.ab("web.sheet-of", sheet + 1, pool_name(shop, pool)), here));
        }
    }
    all
}

/// Every file of this pool's sheets.
fn files(table: &Table, part: &PoolPart) -> Vec<(String, String, String)> {
    let of_pool = |name: &str| {
        let bare = name.rsplit('/').next().unwrap_or(name);
        let of_sheet = bare.strip_prefix("sheet-").or(bare.strip_prefix("cut-")).unwrap_or(bare);
        let dir = !name.starts_with("pictures/");
        dir && of_sheet.strip_prefix(part.key.as_str()).is_some_and(|rest| rest.starts_with('-'))
    };
    let files = table.plan.form.files.iter().filter(|file| of_pool(&file.name) || file.name.ends_with("sheet-map.pdf"));
    files
        .map(|file| {
            let address = format!("/orders/{}/file/{}", table.order.id, file.name);
            (address, words::clean(&file.name), super::order::bytes_said(file.bytes))
        })
        .collect()
}

fn no_number(typed: &str) -> Finding {
    refused("web.no-turn", "web.no-turn-remedy").named("typed", words::clean(typed))
}

/// A piece with its place as typed; what was left empty stays as it lies.
fn moved(laid: &Laid, sheet: usize, fields: &[(&str, &str)], inch: bool) -> Result<Moved, Finding> {
    let get = |name: &str| fields.iter().find(|(known, _)| *known == name).map_or("", |(_, text)| text.trim());
    let missing = || refused("desk.piece-unknown", "desk.piece-unknown-remedy");
    let piece = get("piece").parse::<usize>().ok().and_then(|nth| nth.checked_sub(1)).ok_or_else(missing)?;
    let mut to = laid.place(sheet, piece).ok_or_else(missing)?;
    if !get("turn").is_empty() {
        let text = get("turn").trim_end_matches('°').trim().replace(',', ".").replace('\u{2212}', "-");
        let turn: f64 = text.parse().map_err(|_| no_number(&text))?;
        if !turn.is_finite() || turn.abs() > 360.0 {
            return Err(no_number(&text));
        }
        to.turn_deg = turn.rem_euclid(360.0);
    }
    if !get("along").is_empty() {
        to.along_mm = length(get("along"), inch)?.mm();
    }
    if !get("across").is_empty() {
        to.across_mm = length(get("across"), inch)?.mm();
    }
    Ok(to)
}

/// What is to be said of a piece in another place, at once: `?piece=3&along=…&across=…&turn=…`.
pub(crate) fn tried(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let w = ctx.w;
    let table = Table::of(ctx, ask)?;
    let inch = w.speech.units() == UnitSystem::Inch;
    let fields: Vec<(&str, &str)> = ask.query.0.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let found = match moved(&table.laid, table.sheet, &fields, inch) {
        Ok(to) => table.laid.tried(table.sheet, &to),
        Err(finding) => vec![finding],
    };
    let stops = found.iter().any(|finding| finding.severity == Severity::StopsLine);
    let mut said: Vec<String> = found
        .iter()
        .map(|finding| {
            let said = w.finding(finding);
            format!("{} {}", said.what, said.remedy)
        })
        .collect();
    if said.is_empty() {
        said.push(w.t("web.piece-lies-well"));
    }
    Ok(data(&json!({ "said": said, "stops": stops })))
}

/// Locks, moves or unlocks pieces.
pub(crate) fn changed(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let inch = ctx.w.speech.units() == UnitSystem::Inch;
    let table = Table::of(ctx, ask)?;
    let edit = match edit(&table, ask, inch) {
        Ok(edit) => edit,
        Err(finding) => return back(ctx, ask, &finding.into()),
    };
    match ctx.kept().lock_pieces(ask.part(0), ask.version(), &edit, &ctx.hand()) {
        Ok(_) => {
            let effort = table.plan.form.effort;
            ctx.kept().plan_later(ask.part(0), wish(ctx, effort), &ctx.hand())?;
            Ok(on_to(&format!("{}?changed=1", address(ask))))
        }
        Err(error) => back(ctx, ask, &error),
    }
}

fn address(ask: &Ask) -> String {
    format!("/orders/{}/sheets/{}/{}", ask.part(0), ask.part(1), ask.part(2))
}

fn edit(table: &Table, ask: &Ask, inch: bool) -> Result<LockEdit, Finding> {
    let fields = &ask.fields;
    let numbers = |name: &str| -> Vec<usize> {
        let all = fields.0.iter().filter(|(known, _)| known == name);
        all.filter_map(|(_, text)| text.trim().parse().ok()).collect()
    };
    let mut edit = LockEdit {
        plan: fields.number("plan").unwrap_or(0),
        pool: ask.part(1).to_owned(),
        sheet: table.sheet,
        lock: Vec::new(),
        unlock: numbers("unlock").into_iter().filter_map(|nth: usize| nth.checked_sub(1)).collect(),
        forget: numbers("forget"),
    };
    if fields.get("deed") == "lock" {
        let names = ["piece", "along", "across", "turn"];
        let one: Vec<(&str, &str)> = names.iter().map(|name| (*name, fields.get(name))).collect();
        edit.lock.push(moved(&table.laid, table.sheet, &one, inch)?);
    }
    // Pieces moved before on the same page: "piece;along;across;turn".
    for (_, text) in fields.0.iter().filter(|(known, _)| known == "also") {
        let parts: Vec<&str> = text.split(';').collect();
        let one: Vec<(&str, &str)> = ["piece", "along", "across", "turn"].into_iter().zip(parts).collect();
        let to = moved(&table.laid, table.sheet, &one, inch)?;
        if edit.lock.iter().all(|known| known.piece != to.piece) && !edit.unlock.contains(&to.piece) {
            edit.lock.push(to);
        }
    }
    Ok(edit)
}

/// The sheet as it lies, with why nothing was locked, and what was typed.
fn back(ctx: &Ctx<'_>, ask: &Ask, error: &DeedError) -> Answer {
    if matches!(error, DeedError::Missing { .. }) {
        return Err(Fault::Missing);
    }
    let (status, mut told) = match error {
        DeedError::Conflict { .. } => (StatusCode::CONFLICT, vec![ctx.w.t("web.conflict")]),
        _ => (StatusCode::UNPROCESSABLE_ENTITY, Vec::new()),
    };
    told.push(match error {
        DeedError::Refused(finding) => {
            let said = ctx.w.finding(finding);
            format!("{} {}", said.what, said.remedy)
        }
        other => other.to_string(),
    });
    shown(ctx, ask, status, told, Typed::of(&ask.fields))
}
