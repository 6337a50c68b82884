//! Today: what to act on first, then every order, searched at once.

use crate::answer::{Answer, Frame, on_to, page};
use crate::app::Ctx;
use crate::ask::Ask;
use crate::parts::{Mark, Slip};
use crate::tongue::Tongue;
use askama::Template;
use desk::kept::Stage;
use store::Sieve;
use store::form::Role;

/// Orders of a stage shown on the first screen, and of a list at once.
const FIRST: i64 = 6;
const LIST: i64 = 60;
/// Orders of a group that are called by name.
const NAMED: usize = 4;

struct StageView {
    word: &'static str,
    name: String,
    mark: Mark,
    count: i64,
    slips: Vec<String>,
    more: bool,
    /// Orders of it that may share sheets: the first's number, the others', what is said of them.
    groups: Vec<(String, Vec<String>, String)>,
}

#[derive(Template)]
#[template(path = "today.html")]
struct Today {
    frame: Frame,
    w: Tongue,
    day: String,
    stages: Vec<StageView>,
    nothing: bool,
    q: String,
    found: String,
}

#[derive(Template)]
#[template(path = "found.html")]
struct Found {
    w: Tongue,
    said: String,
    slips: Vec<String>,
    next: Option<String>,
}

/// The mark of a stage by its word.
pub(crate) fn mark_of(word: &str) -> Mark {
    match word {
        "late" => Mark::STOP,
        "order-before-cut-off" | "press-now" => Mark::WATCH,
        "change-wished" | "needs-answer" => Mark::ASK,
        "arrived" | "done" => Mark::FINE,
        _ => Mark::PLAIN,
    }
}

pub(crate) fn today(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    if !ctx.kept().shop_files()?.iter().any(|(name, _, _)| name == "shop.toml") {
        return Ok(on_to("/first"));
    }
    let found = found(ctx, ask)?;
    if ask.query.has("part") {
        return Ok(crate::answer::made(axum::http::StatusCode::OK, "text/html; charset=utf-8", found));
    }
    let w = ctx.w;
    let (q, stage) = (ask.query.get("q"), ask.query.get("stage"));
    let mut stages = Vec::new();
    if q.is_empty() && stage.is_empty() {
        let counts = ctx.kept().stages()?;
        for stage in Stage::ALL.into_iter().filter(|stage| stage.open()) {
            let count = counts.iter().find(|(word, _)| word == stage.word()).map_or(0, |(_, count)| *count);
            if count > 0 {
                stages.push(stage_view(ctx, stage, count)?);
            }
        }
    }
    let page_of = Today {
        frame: Frame::new(ctx, w.t("web.today"), "today"),
        w,
        day: w.speech.date(ctx.app.today()),
        nothing: stages.is_empty() && q.is_empty() && stage.is_empty(),
        stages,
        q: q.to_owned(),
        found,
    };
    page(&page_of)
}

fn slips(ctx: &Ctx<'_>, sieve: &Sieve) -> Result<Vec<String>, crate::answer::Fault> {
    let currency = ctx.kept().shop().ok().map(|shop| shop.value.currency);
    let all = ctx.kept().list(sieve)?;
    Ok(all.iter().filter_map(|listed| Slip::of(&ctx.w, currency, listed).render().ok()).collect())
}

fn stage_view(ctx: &Ctx<'_>, stage: Stage, count: i64) -> Result<StageView, crate::answer::Fault> {
    let sieve = Sieve { stage: Some(stage.word().to_owned()), open_only: true, most: FIRST, ..Sieve::default() };
    Ok(StageView {
        word: stage.word(),
        name: ctx.w.speech.term(stage.term()),
        mark: mark_of(stage.word()),
        count,
        slips: slips(ctx, &sieve)?,
        more: count > FIRST,
        groups: match stage {
            Stage::OrderBeforeCutOff if count > 1 && plans(ctx) => {
                ctx.kept().worth_together()?.iter().filter_map(|group| group_view(ctx, group)).collect()
            }
            _ => Vec::new(),
        },
    })
}

fn plans(ctx: &Ctx<'_>) -> bool {
    ctx.session.as_ref().is_some_and(|session| matches!(session.role, Role::Owner | Role::Planner))
}

fn group_view(ctx: &Ctx<'_>, group: &[store::Listed]) -> Option<(String, Vec<String>, String)> {
    let (first, others) = group.split_first()?;
    let mut names: Vec<String> = group.iter().map(|one| words::clean(&one.name)).collect();
    if names.len() > NAMED + 1 {
        let others = names.split_off(NAMED).len();
        names.push(ctx.w.a("web.others-of-these", others));
    }
    let (last, before) = names.split_last()?;
    let said = ctx.w.ab("web.may-share", before.join(", "), last);
    Some((first.id.clone(), others.iter().map(|one| one.id.clone()).collect(), said))
}

/// The list that the search narrows.
fn found(ctx: &Ctx<'_>, ask: &Ask) -> Result<String, crate::answer::Fault> {
    let (q, stage) = (ask.query.get("q"), ask.query.get("stage"));
    let skip = ask.query.number("skip").unwrap_or(0).clamp(0, 10_000_000);
    let sieve = Sieve {
        text: q.chars().take(200).collect(),
        stage: Stage::of_word(stage).map(|stage| stage.word().to_owned()),
        most: LIST + 1,
        skip,
        ..Sieve::default()
    };
    let mut slips = slips(ctx, &sieve)?;
    let further = slips.len() > usize::try_from(LIST).unwrap_or(usize::MAX);
    slips.truncate(usize::try_from(LIST).unwrap_or(usize::MAX));
    let plain: String = q.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '+' }).collect();
    let list = Found {
        w: ctx.w,
        said: match (slips.len(), q.is_empty()) {
            (0, true) => String::new(),
            (0, false) => ctx.w.a("web.found-none", q),
            (count, _) if further || skip > 0 => {
                ctx.w.ab("web.orders-from-to", skip + 1, skip.saturating_add(count as i64))
            }
            (count, _) => ctx.w.speech.counted(count as u64, "order", "orders"),
        },
        slips,
        next: further
            .then(|| format!("/?q={plain}&stage={}&skip={}", sieve.stage.clone().unwrap_or_default(), skip + LIST)),
    };
    list.render().map_err(|_| crate::answer::Fault::Unset)
}
