//! One order on one page, in the order in which a person decides: can it be
//! made, where, with what, how pressed, what to buy, when, for how much.

mod plan_view;
mod standing;

use crate::answer::{Answer, Frame, data, page};
use crate::app::Ctx;
use crate::ask::{Ask, Fields};
use crate::pages::left_over::{self, LeftOver, Typed};
use crate::pages::took::{self, TookView};
use crate::parts::{Mark, Note};
use crate::plans::plan_file;
use crate::tongue::Tongue;
use askama::Template;
use desk::kept::{KeptOrder, KeptPlan, Stage};
use plan_view::PlanView;
pub(crate) use plan_view::{bytes_said, html_of, way_name};
use serde_json::json;
use store::form::AssumedOf;
use store::{Job, JobState, Kind};
use trade::Shop;

/// The one next step.
pub(crate) struct Next {
    /// Where the form goes.
    pub to: &'static str,
    pub deed: &'static str,
    pub words: String,
}

pub(crate) struct EditLine {
    nth: usize,
    title: String,
    /// Place, name and count of each size.
    sizes: Vec<(usize, String, String)>,
    colours: Vec<(String, bool)>,
    brought: bool,
}

#[derive(Template)]
#[template(path = "order.html")]
struct OrderPage {
    frame: Frame,
    w: Tongue,
    watch: Mark,
    fine: Mark,
    ask: Mark,
    id: String,
    version: i64,
    version_said: String,
    name: String,
    customer: String,
    due: String,
    due_typed: String,
    stage: String,
    stage_mark: Mark,
    next: Option<Next>,
    /// The first line that waits, where looking at it is the next step.
    look: Option<usize>,
    told: Vec<String>,
    /// What an undo would take back, offered where it was just done.
    undo: Option<String>,
    undo_last: Option<String>,
    redo: Option<String>,
    planning: Option<String>,
    stale: bool,
    faults: Vec<String>,
    plan: Option<PlanView>,
    plan_notes: Vec<Note>,
    positions: Vec<String>,
    standing: Vec<(String, Mark)>,
    deeds: Vec<(&'static str, String)>,
    /// Orders that this one is planned together with.
    together: Vec<(String, String)>,
    /// Those that it could be planned together with: number, name, when due.
    near: Vec<(String, String, String)>,
    /// How many things were taken as usual, and whether art has still to come.
    assumed: String,
    assumed_said: bool,
    art_to_come: bool,
    took: Option<TookView>,
    /// Prints whose transfers can be kept for a later order.
    left_over: Vec<LeftOver>,
    left_typed: Typed,
    links: Vec<(String, String)>,
    link_new: Option<String>,
    edit_lines: Vec<EditLine>,
    arts: Vec<String>,
    text: String,
    text_open: bool,
    /// When, who, what.
    history: Vec<(String, String, String)>,
}

/// What an edit wants said on the page that follows.
#[derive(Debug, Default)]
pub(crate) struct Aside {
    /// Sentences.
    pub told: Vec<String>,
    /// The customer's link that was just made; shown this once.
    pub link: Option<String>,
    /// Text that was refused, kept as typed.
    pub text: Option<String>,
    /// What it really took, as typed, where that was refused.
    pub took: Option<Fields>,
    /// Transfers left over, as typed, where that was refused.
    pub left_over: Option<Fields>,
}

pub(crate) fn show(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    shown(ctx, ask.part(0), ask.query.has("changed"), Aside::default())
}

/// The page of an order; `changed` says what a change did in words and money.
pub(crate) fn shown(ctx: &Ctx<'_>, id: &str, changed: bool, aside: Aside) -> Answer {
    let w = ctx.w;
    let order = ctx.kept().order(id)?;
    let shop = ctx.kept().shop().ok();
    let plan = ctx.kept().plan_of(id)?;
    let job = ctx.kept().job_of(id)?;
    let planning = job.as_ref().and_then(|job| progress_words(&w, job));
    let stage = ctx.kept().stage(&order, plan.as_ref());
    let mut told = aside.told;
    let mut faults = Vec::new();
    if let Err(found) = &order.order {
        faults.extend(found.iter().map(ToString::to_string));
    }
    faults.extend(job.as_ref().filter(|job| job.state == JobState::Failed).map(|job| words::clean(&job.result)));
    let since = ctx.kept().changes_since(id)?;
    told.extend(since.iter().map(|finding| {
        let said = w.finding(finding);
        format!("{} {}", said.what, said.remedy)
    }));
    if changed && planning.is_none() {
        told.extend(difference(ctx, id)?);
    }
    let (view, plan_notes) = match (&plan, &shop) {
        (Some(kept), Some(shop)) => plan_page(ctx, &order, kept, &shop.value)?,
        _ => (None, Vec::new()),
    };
    let stale = plan.as_ref().is_some_and(|plan| plan.stale) && planning.is_none();
    let mut frame = Frame::new(ctx, words::clean(&order.listed.name), "today");
    frame.again = planning.is_some();
    let links = links(ctx, id)?;
    let undo = undo_words(ctx, id)?;
    let next = standing::next(&w, &order, plan.as_ref(), stage);
    let waits = |view: &PlanView| view.lines.iter().find(|line| line.mark != Mark::FINE).map(|line| line.nth);
    let look = match (&next, stage) {
        (None, Stage::NeedsAnswer) => view.as_ref().and_then(waits),
        _ => None,
    };
    let assumed = order.assumed();
    let to_come = assumed.iter().filter(|one| one.of == AssumedOf::ArtToCome).count();
    let page_of = OrderPage {
        frame,
        w,
        watch: Mark::WATCH,
        fine: Mark::FINE,
        ask: Mark::ASK,
        id: id.to_owned(),
        version: order.version,
        version_said: w.ab("web.version", order.version, words::clean(&order.stamp.by)),
        name: words::clean(&order.listed.name),
        customer: words::clean(&order.listed.customer),
        due: w.a("web.due-on", w.moment(&order.listed.due)),
        due_typed: order.listed.due.get(..16).unwrap_or(&order.listed.due).to_owned(),
        stage: w.speech.term(stage.term()),
        stage_mark: standing::stage_mark(stage),
        next,
        look,
        assumed: match assumed.len() {
            0 => String::new(),
            count => w.a("web.assumed-count", count),
        },
        assumed_said: assumed.len() > to_come,
        art_to_come: to_come > 0,
        took: took::view(ctx, &order, aside.took.as_ref())?,
        left_over: match (&plan, &shop) {
            (Some(plan), Some(shop)) => left_over::rows(ctx, &order, plan, &shop.value, aside.left_over.as_ref())?,
            _ => Vec::new(),
        },
        left_typed: Typed::of(aside.left_over.as_ref()),
        undo: undo.clone().filter(|_| changed),
        undo_last: undo,
        redo: ctx.kept().redoable(Kind::Order, id)?.map(|what| w.a("web.redo-what", words::clean(&what))),
        told,
        stale,
        faults,
        plan: view,
        plan_notes,
        positions: garment::Position::ALL.iter().map(|position| w.speech.term(position.term())).collect(),
        standing: standing::facts(&w, &order.form.standing),
        deeds: standing::deeds(&w),
        together: plan.as_ref().map(|plan| together(ctx, id, plan)).transpose()?.unwrap_or_default(),
        near: match &plan {
            Some(plan) if planning.is_none() => near(ctx, &order, plan)?,
            _ => Vec::new(),
        },
        planning,
        links,
        link_new: aside.link,
        edit_lines: edit_lines(&w, &order, shop.as_ref().map(|shop| &shop.value)),
        arts: order.form.art.keys().cloned().collect(),
        text_open: aside.text.is_some() || order.order.is_err(),
        text: aside.text.unwrap_or_else(|| order.form.text.clone()),
        history: history(ctx, id)?,
    };
    page(&page_of)
}

/// What an undo of the order would take back, as its button says it.
pub(crate) fn undo_words(ctx: &Ctx<'_>, id: &str) -> Result<Option<String>, crate::answer::Fault> {
    let what = ctx.kept().undoable(Kind::Order, id)?;
    Ok(what.map(|what| ctx.w.a("web.undo-what", words::clean(&what))))
}

/// How far the plan is, in words, while it is being made.
pub(crate) fn progress_words(w: &Tongue, job: &Job) -> Option<String> {
    match job.state {
        JobState::Waiting => Some(w.t("web.plan-waits")),
        JobState::Running if job.progress.is_empty() => Some(w.t("web.plan-begins")),
        JobState::Running => Some(w.a("web.plan-runs", words::clean(&job.progress))),
        _ => None,
    }
}

/// For the script that looks whether the plan is there.
pub(crate) fn progress(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let job = ctx.kept().job_of(ask.part(0))?;
    let words = job.as_ref().and_then(|job| progress_words(&ctx.w, job));
    Ok(data(&json!({ "working": words.is_some(), "words": words.unwrap_or_default() })))
}

/// What the last change did, in words and money.
pub(crate) fn difference(ctx: &Ctx<'_>, id: &str) -> Result<Vec<String>, crate::answer::Fault> {
    let Some(difference) = ctx.kept().difference(id)? else { return Ok(Vec::new()) };
    let lines: Vec<String> = difference.iter().map(|reason| ctx.w.speech.rule(reason)).collect();
    Ok(if lines.is_empty() { vec![ctx.w.t("web.nothing-changed")] } else { lines })
}

fn plan_page(
    ctx: &Ctx<'_>,
    order: &KeptOrder,
    kept: &KeptPlan,
    shop: &Shop,
) -> Result<(Option<PlanView>, Vec<Note>), crate::answer::Fault> {
    let Some(file) = plan_file(ctx, &kept.form)? else { return Ok((None, Vec::new())) };
    let at = kept.form.orders.iter().position(|planned| planned.id == order.id).unwrap_or(0);
    let mut names = Vec::new();
    if kept.form.orders.len() > 1 {
        for planned in &kept.form.orders {
            names.push(words::clean(&ctx.kept().order(&planned.id)?.listed.name));
        }
    }
    Ok(plan_view::view(&ctx.w, shop, order, kept, &file, &names, at)
        .map_or((None, Vec::new()), |(view, notes)| (Some(view), notes)))
}

fn edit_lines(w: &Tongue, order: &KeptOrder, shop: Option<&Shop>) -> Vec<EditLine> {
    let (Ok(read), Some(shop)) = (&order.order, shop) else { return Vec::new() };
    let lines = read.lines.iter().enumerate().map(|(at, line)| {
        let style = shop.find_garment(&line.garment).map(|id| shop.garment(id));
        let name = style.map_or(line.garment.as_str(), |style| style.name.as_str());
        let mut sizes: Vec<String> =
            style.map(|s| s.sizes.iter().map(|size| size.name.clone()).collect()).unwrap_or_default();
        sizes.extend(
            line.sizes.iter().filter(|known| !sizes.contains(&known.size)).map(|s| s.size.clone()).collect::<Vec<_>>(),
        );
        let count = |size: &String| {
            let of = line.sizes.iter().find(|known| known.size.eq_ignore_ascii_case(size));
            of.map_or_else(String::new, |of| of.count.to_string())
        };
        let mut colours: Vec<(String, bool)> = style
            .map(|s| s.colours.iter().map(|c| (c.name.clone(), c.name.eq_ignore_ascii_case(&line.colour))).collect())
            .unwrap_or_default();
        if !colours.iter().any(|(_, picked)| *picked) {
            colours.push((line.colour.clone(), true));
        }
        EditLine {
            nth: at + 1,
            title: w.ab("web.change-line", at + 1, words::clean(name)),
            sizes: sizes.iter().enumerate().map(|(at, size)| (at, size.clone(), count(size))).collect(),
            colours,
            brought: line.brought,
        }
    });
    lines.collect()
}

fn history(ctx: &Ctx<'_>, id: &str) -> Result<Vec<(String, String, String)>, crate::answer::Fault> {
    let mut all = ctx.kept().history(Kind::Order, id)?;
    all.reverse();
    let said = |change: &store::Change| {
        (ctx.w.at(change.stamp.at_ms), words::clean(&change.stamp.by), words::clean(&change.what))
    };
    Ok(all.iter().take(50).map(said).collect())
}

/// The other orders of its plan, by number and name.
fn together(ctx: &Ctx<'_>, id: &str, plan: &KeptPlan) -> Result<Vec<(String, String)>, crate::answer::Fault> {
    let others = plan.form.orders.iter().filter(|other| other.id != id);
    others.map(|other| Ok((other.id.clone(), words::clean(&ctx.kept().order(&other.id)?.listed.name)))).collect()
}

fn near(
    ctx: &Ctx<'_>,
    order: &KeptOrder,
    plan: &KeptPlan,
) -> Result<Vec<(String, String, String)>, crate::answer::Fault> {
    let all = ctx.kept().near(order, plan)?;
    let said = |one: &store::Listed| {
        let name = ctx.w.ab("web.order-of", words::clean(&one.name), words::clean(&one.customer));
        (one.id.clone(), name, ctx.w.a("web.due-on", ctx.w.moment(&one.due)))
    };
    Ok(all.iter().map(said).collect())
}

fn links(ctx: &Ctx<'_>, id: &str) -> Result<Vec<(String, String)>, crate::answer::Fault> {
    let all = ctx.kept().store().links_of(id)?;
    let mine = all.iter().filter(|record| !record.body.revoked);
    Ok(mine.map(|record| (record.id.clone(), ctx.w.a("web.link-of", ctx.w.at(record.body.made_ms)))).collect())
}
